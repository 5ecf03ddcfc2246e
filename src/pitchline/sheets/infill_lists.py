"""Lists for setting out what is not upright: heights of strands on the posts, edges and diagonals of panels."""

import math
from collections.abc import Iterator

from pitchline.design.model import Design, Panel, Strand
from pitchline.kit.geometry.lines import Point2
from pitchline.parts.strands import clear_length, spacer_places
from pitchline.sheets.tables import Cell, Listing, Quantity


def infill_lists(design: str, laid_out: Design) -> Iterator[Listing]:
    """What strands and panels are set out by; nothing for uprights, which have their running marks."""
    if laid_out.strands:
        yield _heights(design, laid_out)
    if laid_out.panels:
        yield _edges(design, laid_out)


def _heights(design: str, laid_out: Design) -> Listing:
    """Where the centre line of each strand meets the faces of the two ends, plumb above one datum on each."""
    base_start, base_finish, _, _ = laid_out.bay.sight
    datum = "the upper face of the base rail" if laid_out.base is not None else "the lower edge of the bay"
    rows: list[tuple[Cell, ...]] = []
    for strand in laid_out.strands:
        start, finish = face_points(strand)
        rows.append(
            (
                strand.mark,
                Quantity(start[1] - base_start[1]),
                Quantity(finish[1] - base_finish[1]),
                Quantity(strand.gap_below),
                Quantity(strand.gap_above),
                Quantity(clear_length(strand)),
            )
        )
    ends = (laid_out.handrail.start_at, laid_out.handrail.finish_at)
    spacers = spacer_places(laid_out)
    held = ""
    if spacers:
        places = f"{len(spacers) + 1} equal lengths"
        held = f" Spacers part the strands into {places}; their holes have the same plumb distances."
    return Listing(
        f"{design}-strands",
        f"Strands on the ends, design {design}",
        (
            "Strand", f"On {ends[0]}", f"On {ends[1]}", "Clear below, square", "Clear above, square",
            "Length between the faces",
        ),
        tuple(rows),
        intro=f"Heights of the centre lines, plumb on the face of each end above {datum} where it meets that face. "
        f"Mark them all from there; never step off. Clear gaps are square to the strands.{held}",
    )  # fmt: skip


def face_points(strand: Strand) -> tuple[Point2, Point2]:
    """Where the centre line of what is seen of a strand begins and ends."""
    (a, b, c, d) = strand.sight
    return ((a[0] + d[0]) / 2, (a[1] + d[1]) / 2), ((b[0] + c[0]) / 2, (b[1] + c[1]) / 2)


def _edges(design: str, laid_out: Design) -> Listing:
    rows: tuple[tuple[Cell, ...], ...] = tuple(
        (panel.mark, *edges_of(panel), *diagonals_of(panel), Quantity(len(panel.holes), "count"))
        for panel in laid_out.panels
    )
    return Listing(
        f"{design}-panels",
        f"Edges and diagonals of the panels, design {design}",
        (
            "Panel", "Lower edge", "Edge towards the head", "Upper edge", "Edge towards the foot",
            "Diagonal up the rake", "Diagonal across it", "Openings",
        ),
        rows,
        intro="Sizes as drawn, for ordering the sheets. Measure each opening with a template when the rails and "
        "newels are fitted, and cut the panel to that; glass is ordered from the template alone.",
    )  # fmt: skip


_AROUND = (("base",), ("finish", "right"), ("rail",), ("start", "left"))
"""What the four edges of a panel are called, from the lower one anticlockwise."""


def _edge(panel: Panel, names: tuple[str, ...]) -> tuple[Point2, Point2] | None:
    found = (panel.outline.edge(name) for name in names)
    return next((edge for edge in found if edge is not None), None)


def edges_of(panel: Panel) -> tuple[Cell, ...]:
    """The four edges from the lower one anticlockwise; blank where nothing is left of one."""
    edges = [_edge(panel, names) for names in _AROUND]
    return tuple("" if edge is None else Quantity(math.dist(*edge)) for edge in edges)


def diagonals_of(panel: Panel) -> tuple[Cell, ...]:
    """Both diagonals, the one that climbs first; blank for a panel that a corner is cut off from."""
    low, high = _edge(panel, ("base",)), _edge(panel, ("rail",))
    if low is None or high is None or len(panel.outline.points) != 4:
        return ("", "")
    return Quantity(math.dist(low[0], high[0])), Quantity(math.dist(low[1], high[1]))
