"""Panels of solid wood move across their grain with the seasons: whether their grooves leave room for it.

The grain is taken to run along the panel's longest edge. Lengths in mm.
"""

import math
from collections.abc import Iterator
from itertools import pairwise

from pitchline.catalogue.moisture import across_face, movement_between
from pitchline.catalogue.timber import load_timber
from pitchline.checks.case import Case
from pitchline.design.brief import PanelKind
from pitchline.design.model import Panel
from pitchline.kit.finding import Finding, Verdict, judge
from pitchline.kit.geometry.outlines import area
from pitchline.kit.tolerances import COVERAGE_FACTOR

_SOLID = {"softwood", "hardwood"}


def check_panel_movement(case: Case) -> Iterator[Finding]:
    """What the season asks of the clearance of solid panels; said without figures where nothing is known of it."""
    panels = [p for p in case.design.panels if p.kind is not PanelKind.GLASS]
    if not panels or load_timber(panels[0].material).kind not in _SOLID:
        return
    widest = max(panels, key=across)
    season = case.design.brief.season
    if season is None:
        text = (
            f"Panels of solid wood {case.words.mm(across(widest))} across their grain move with the seasons: they "
            "must be free in their grooves or clamps, never glued. Tell how dry the wood is and where it will stand, "
            "and the room they need is worked out; sheets of plywood stand still."
        )
        yield case.advise("panel.moves", widest.mark, text)
        return
    timber = load_timber(widest.material)
    moved = movement_between(
        across(widest), across_face(timber, in_plane=True), season.made, season.damp.moisture
    )
    room, expanded = 2.0 * widest.edge_gap, COVERAGE_FACTOR * moved.sigma
    text = (
        f"In a damp summer a panel of {timber.name.lower()} {case.words.mm(across(widest))} across its grain is "
        f"{case.words.measured(moved.change, expanded)} larger; its clearance leaves {case.words.mm(room)}."
    )
    verdict = judge(moved.change, expanded, room, "le")
    remedy = (
        f"make edge_gap {case.words.enough((moved.change + expanded - room) / 2.0)} larger, or choose plywood"
    )
    yield Finding(
        "panel.moves",
        verdict,
        case.at(widest.mark),
        text,
        moved.change,
        expanded,
        room,
        remedy=None if verdict is Verdict.PASS else remedy,
    )


def across(panel: Panel) -> float:
    """The width of a panel square to its longest edge: its area over that edge, which holds for parallelograms."""
    points = panel.outline.points
    return area(points) / max(math.dist(a, b) for a, b in pairwise((*points, points[0])))
