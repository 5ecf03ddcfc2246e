"""Pieces sawn to an outline: their wide face as it comes off the saw or router, and its corners in words."""

import math
from collections.abc import Iterator

from pitchline.kit.drawing.marks import Area, Fill, Mark, Pen, Points, Stroke
from pitchline.kit.geometry.lines import Point2
from pitchline.parts.panels import corner_angles
from pitchline.parts.part import Part, Role, Sawn
from pitchline.sheets.looking import Show

MOST_CORNERS = 8
"""An outline with more corners is drawn, not told."""


def sawn_of(part: Part) -> Sawn | None:
    """The outline a piece is sawn to; None where saw cuts alone shape it."""
    return next((feature for feature in part.features if isinstance(feature, Sawn)), None)


def sawn_marks(sawn: Sawn, lift: float) -> Iterator[Mark]:
    """The wide face with its openings."""
    outline, *holes = (tuple((x, y + lift) for x, y in ring) for ring in (sawn.outline, *sawn.holes))
    yield Area(outline, Fill.WOOD, tuple(holes))
    for ring, pen in ((outline, Pen.OUTLINE), *((hole, Pen.THIN) for hole in holes)):
        yield Stroke(ring, pen, closed=True)


def sawn_words(part: Part, sawn: Sawn, show: Show) -> str:
    """Corners, diagonals and openings; a panel is made to the opening as it is, not as it was drawn."""
    said = []
    ring: Points = sawn.outline
    if not sawn.arcs and len(ring) <= MOST_CORNERS:
        angles = ", ".join(f"{angle:.2f}°" for angle in corner_angles(ring))
        said.append(f"corners anticlockwise from the start, between their edges: {angles}")
    if not sawn.arcs and len(ring) == 4:
        said.append(f"diagonals {show(_apart(ring, 0))} and {show(_apart(ring, 1))}")
    if sawn.holes:
        said.append(f"{len(sawn.holes)} openings sawn through")
    if part.role is Role.PANEL:
        said.append("measure the opening with a template when the rails are fitted, and make it to that")
    return "; ".join(said)


def _apart(ring: tuple[Point2, ...], corner: int) -> float:
    return math.dist(ring[corner], ring[corner + 2])
