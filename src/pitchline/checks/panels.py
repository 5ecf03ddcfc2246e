"""Panels: what is left between their openings, what their pattern lost at the margin, and cautions on glass.

Lengths in mm.
"""

from collections.abc import Iterator

import numpy as np
import shapely

from pitchline.checks.case import Case
from pitchline.design.brief import PanelKind, PanelsBrief
from pitchline.design.model import Panel
from pitchline.kit.finding import Finding, Verdict
from pitchline.kit.geometry.outlines import to_shapely
from pitchline.kit.tolerances import LEAST_BRIDGE, SAME_POINT


def check_panels(case: Case) -> Iterator[Finding]:
    """Bridges, patterns, glass, and how panels are measured."""
    panels = case.design.panels
    if not panels:
        return
    yield from _bridges(case)
    yield from _pattern(case)
    if any(panel.kind is PanelKind.GLASS for panel in panels):
        yield from _glass(case)


def thinnest_bridge(panel: Panel) -> float | None:
    """The least that is left between two openings of a panel or between one and its edge; None without any."""
    if not panel.holes:
        return None
    edge = to_shapely(panel.outline.points).exterior
    holes = np.array([to_shapely(hole) for hole in panel.holes], dtype=np.object_)
    to_edge = float(np.min(shapely.distance(holes, edge)))
    if len(holes) == 1:
        return to_edge
    tree = shapely.STRtree(holes)
    _, distances = tree.query_nearest(holes, exclusive=True, return_distance=True)
    return min(to_edge, float(np.min(distances)))


def _bridges(case: Case) -> Iterator[Finding]:
    found = [
        (bridge, panel) for panel in case.design.panels if (bridge := thinnest_bridge(panel)) is not None
    ]
    if not found:
        return
    bridge, panel = min(found, key=lambda pair: pair[0])
    if bridge < LEAST_BRIDGE - SAME_POINT:
        text = (
            f"Only {case.words.mm(bridge)} of board are left at the thinnest place between the openings of "
            f"{panel.mark} or beside them; under {case.words.mm(LEAST_BRIDGE)} it breaks in use: draw the openings "
            "further apart, or choose a wider margin."
        )
        yield Finding("panel.bridge", Verdict.ADVICE, case.at(panel.mark), text, bridge, 0.0, LEAST_BRIDGE)


def _pattern(case: Case) -> Iterator[Finding]:
    """How many openings of a pattern were cut off at the margin or left out there."""
    infill = case.design.brief.infill
    if not isinstance(infill, PanelsBrief) or infill.pattern is None:
        return
    panels = case.design.panels
    made = sum(len(panel.holes) for panel in panels)
    clipped, left_out = sum(p.clipped for p in panels), sum(p.left_out for p in panels)
    name = infill.pattern.source or "the drawing"
    text = (
        f"The pattern of {name} makes {made} openings in {len(panels)} panel{'s' if len(panels) > 1 else ''}"
    )
    if clipped:
        text += f"; {clipped} of its repeats' openings are cut off at the margin"
    if left_out:
        text += f"; {left_out} that would run into the margin are left out"
    yield Finding("panel.pattern", Verdict.REPORT, case.at("infill"), text + ".", float(made), unit="")


def _glass(case: Case) -> Iterator[Finding]:
    """Glass is its maker's work: what must be said of it, and to whom it is left."""
    clause = next((note for note in case.rules.notes_on("glass")), None)
    text = (
        "Glass in guarding is safety glass (toughened, laminated or both) of a thickness and fixing that the glazier "
        "works out by the standard of the place; its size, edges and holes cannot be changed once it is toughened. "
        "Measure each opening with a template when the rails are fitted, and order from that, not from these sizes."
    )
    if clause is not None:
        text += f" {clause.text}"
    yield case.advise("panel.glass", "infill", text)
