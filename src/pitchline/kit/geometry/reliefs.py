"""Corners that a round cutter cannot reach: relieved by a small arc, so that a square corner goes in. Lengths in mm.

A contour is travelled with the material on its left: what surrounds a piece anticlockwise, an opening clockwise.
Where the way turns right the void has a corner, and a cutter leaves it round.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

from pitchline.kit.geometry.contours import Arc, Contour, Piece, Straight, moved
from pitchline.kit.geometry.lines import Point2
from pitchline.kit.geometry.relief_kinds import Relief
from pitchline.kit.tolerances import SAME_PART, SQUARE_AXES


@dataclass(frozen=True, slots=True)
class Relieved:
    """A contour with its reliefs, the discs that were cut for them, and corners that stay round all the same."""

    contour: Contour
    discs: tuple[tuple[Point2, float], ...]
    left_round: tuple[Point2, ...]


def relieved(
    contour: Contour, radius: float, style: Relief, wanted: Callable[[Point2], bool] = lambda _: True
) -> Relieved:
    """Relieve the corners that are ``wanted`` and that a cutter of this radius leaves out by more than a hair.

    A corner between straight sides too short for the arc, or beside an arc, is left round.
    """
    pieces = list(contour.pieces)
    count = len(pieces)
    room = [piece.length if isinstance(piece, Straight) else 0.0 for piece in pieces]
    after: dict[int, Arc] = {}
    discs: list[tuple[Point2, float]] = []
    left: list[Point2] = []
    cut_start, cut_end = [0.0] * count, [0.0] * count
    for k in range(count):
        a, b = pieces[k], pieces[(k + 1) % count]
        corner, turn = a.end, -math.remainder(b.start_angle - a.end_angle, math.tau)
        if radius * (1.0 / max(math.cos(turn / 2.0), SQUARE_AXES) - 1.0) <= SAME_PART or turn <= 0.0:
            continue
        if not wanted(corner):
            continue
        found = _relief(a, b, turn, radius, style)
        nxt = (k + 1) % count
        fits = (
            found is not None
            and cut_start[k] + cut_end[k] + found.back < room[k]
            and cut_start[nxt] + cut_end[nxt] + found.ahead < room[nxt]
        )
        if found is None or not fits:
            left.append(corner)
            continue
        cut_end[k], cut_start[nxt] = found.back, found.ahead
        after[k] = found.arc
        discs.append((found.arc.centre, radius))
    made: list[Piece] = []
    for k, piece in enumerate(pieces):
        if isinstance(piece, Straight) and (cut_start[k] or cut_end[k]):
            made.append(piece.part(cut_start[k], piece.length - cut_end[k]))
        else:
            made.append(piece)
        if k in after:
            made.append(after[k])
    return Relieved(Contour(tuple(made)), tuple(discs), tuple(left))


@dataclass(frozen=True, slots=True)
class _Found:
    """The arc of a relief, and how much of the sides before and after the corner it takes."""

    arc: Arc
    back: float
    ahead: float


def _relief(a: Piece, b: Piece, turn: float, radius: float, style: Relief) -> _Found | None:
    if style is Relief.ROUND or not (isinstance(a, Straight) and isinstance(b, Straight)):
        return None
    if style is Relief.ALONG and abs(turn - math.pi / 2.0) <= SQUARE_CORNER:
        return _along(a, b, radius)
    half = (math.pi - turn) / 2.0
    centre = moved(a.end, b.start_angle - half, radius)
    reach = 2.0 * radius * math.cos(half)
    first = moved(a.end, a.end_angle + math.pi, reach)
    begins = math.atan2(first[1] - centre[1], first[0] - centre[0])
    return _Found(Arc(centre, radius, begins, -2.0 * turn), reach, reach)


SQUARE_CORNER = math.radians(1.0)
"""A corner this near to a right one may be relieved beside it."""


def _along(a: Straight, b: Straight, radius: float) -> _Found:
    """Half a turn whose middle lies on the longer of the two sides."""
    if a.length >= b.length:
        centre = moved(a.end, a.end_angle + math.pi, radius)
        return _Found(Arc(centre, radius, a.end_angle + math.pi, -math.pi), 2.0 * radius, 0.0)
    centre = moved(b.start, b.start_angle, radius)
    return _Found(Arc(centre, radius, b.start_angle + math.pi, -math.pi), 0.0, 2.0 * radius)
