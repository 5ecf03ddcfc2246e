"""What curved pieces are sawn from: the least blank, pieces short enough in the grain, strips stacked to a width.

A piece is sawn flat from a board, its grain along the board. Where the curve leaves the board's direction the grain
runs out of the piece; short pieces keep that angle small. Lengths in mm. See docs/method/turning-rails.md.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise

from pitchline.kit.geometry.contours import (
    Arc,
    Contour,
    Path,
    Piece,
    band,
    part_of,
    path_length,
)
from pitchline.kit.tolerances import SAME_POINT, TILING

MOST_PIECES = 64
"""An easing in more pieces than this is a heap of wedges; the run-out asked for is too small."""


@dataclass(frozen=True, slots=True)
class Blank:
    """The board a piece is sawn from: its least width, the length it then needs, and how it lies.

    ``angle`` is the direction of the board's length, and so of the grain, in the piece's elevation, radians.
    """

    length: float
    width: float
    angle: float


def blank_along(contour: Contour, angle: float) -> Blank:
    """The board that a contour needs when the grain runs in a given direction."""
    low, high = contour.extent(angle)
    bottom, top = contour.extent(angle + math.pi / 2.0)
    return Blank(high - low, top - bottom, math.remainder(angle, math.pi))


def least_blank(contour: Contour) -> Blank:
    """The narrowest board a contour can be sawn from; of two as narrow the shorter.

    The width across a shape is least where one side of the board lies on two places of it, or stands square under
    the centre of an arc; all such directions are tried, so nothing is searched for.
    """
    blanks = (blank_along(contour, angle) for angle in _directions(contour))
    return min(blanks, key=lambda blank: (round(blank.width / TILING), blank.length))


def _directions(contour: Contour) -> Iterator[float]:
    """Directions along which a board may be narrowest."""
    corners = [piece.start for piece in contour.pieces]
    for a, b in combinations(corners, 2):
        yield math.atan2(b[1] - a[1], b[0] - a[0])
    for arc in contour.arcs:
        for p in corners:
            du, dz = p[0] - arc.centre[0], p[1] - arc.centre[1]
            off = math.hypot(du, dz)
            towards = math.atan2(dz, du)
            yield towards + math.pi / 2.0
            if off > arc.radius:
                aside = math.asin(arc.radius / off)
                yield towards + aside
                yield towards - aside
    for one, other in combinations(contour.arcs, 2):
        yield from _between_arcs(one, other)


def _between_arcs(one: Arc, other: Arc) -> Iterator[float]:
    """Directions square to the line of two centres, and of the tangents that two arcs share."""
    du, dz = other.centre[0] - one.centre[0], other.centre[1] - one.centre[1]
    off = math.hypot(du, dz)
    if off <= SAME_POINT:
        return
    towards = math.atan2(dz, du)
    yield towards + math.pi / 2.0
    for size in (one.radius - other.radius, one.radius + other.radius):
        if abs(size) < off:
            aside = math.asin(size / off)
            yield towards + aside
            yield towards - aside


@dataclass(frozen=True, slots=True)
class CurvedPiece:
    """One piece of a curved rail from ``start`` to ``end`` along its line, joints square to the line.

    ``run_out_deg`` is the largest angle between grain and line, at one of its ends or between: what the grain
    runs out of the curve by. The blank lies along the chord of the line.
    """

    start: float
    end: float
    outline: Contour
    blank: Blank
    run_out_deg: float


def in_pieces(
    path: Sequence[Piece], above: float, below: float, places: Sequence[float]
) -> tuple[CurvedPiece, ...]:
    """A curved rail jointed at these places along its line, both ends among them.

    ``above`` and ``below`` are the rail's extent on either side of the line. Raises ValueError for fewer than two
    places or places that do not grow.
    """
    if len(places) < 2 or any(b - a <= SAME_POINT for a, b in pairwise(places)):
        raise ValueError("pieces run from place to place along the line, each beyond the one before")
    return tuple(_piece(part_of(path, a, b), above, below, a, b) for a, b in pairwise(places))


def _piece(path: Path, above: float, below: float, start: float, end: float) -> CurvedPiece:
    chord, run_out = _grain(path)
    outline = band(path, above, below)
    return CurvedPiece(start, end, outline, blank_along(outline, chord), math.degrees(run_out))


def _grain(path: Path) -> tuple[float, float]:
    """Direction of the chord of a line, and the largest angle by which the line leaves it, radians."""
    (u0, z0), (u1, z1) = path[0].start, path[-1].end
    chord = math.atan2(z1 - z0, u1 - u0)
    angles = (angle for piece in path for angle in (piece.start_angle, piece.end_angle))
    return chord, max(abs(math.remainder(angle - chord, math.tau)) for angle in angles)


def even_places(length: float, count: int, *, staggered: bool = False) -> tuple[float, ...]:
    """Places of the joints along a line of ``length`` in ``count`` equal pieces, both ends among them.

    Staggered, the joints fall on the middles of those pieces, with half a piece at each end: what the next strip
    of a stack needs so that no joint lies on another.
    """
    if count < 1 or not length > 0.0:
        raise ValueError("a line of some length has at least one piece")
    step = length / count
    if staggered:
        return (0.0, *(step * (k + 0.5) for k in range(count)), length)
    return tuple(length * k / count for k in range(count + 1))


def fewest_pieces(path: Sequence[Piece], run_out_deg: float) -> int:
    """The smallest number of equal pieces in which grain runs out by no more than an angle in degrees.

    Raises ValueError where more than `MOST_PIECES` would be needed.
    """
    length = path_length(path)
    for count in range(1, MOST_PIECES + 1):
        parts = [part_of(path, a, b) for a, b in pairwise(even_places(length, count))]
        if math.degrees(max(_grain(part)[1] for part in parts)) <= run_out_deg + TILING:
            return count
    raise ValueError(
        f"more than {MOST_PIECES} pieces would be needed to keep the grain within {run_out_deg} degrees"
    )


@dataclass(frozen=True, slots=True)
class Stack:
    """A curved rail glued up from flat strips side by side across its width, joints of neighbours staggered.

    ``thickness`` is what each strip must be planed to so that they make up the width; ``overlap`` is how far the
    joints of one strip lie from those of its neighbours, in thicknesses of a strip (None without joints).
    """

    layers: tuple[tuple[CurvedPiece, ...], ...]
    thickness: float

    @property
    def count(self) -> int:
        """How many strips."""
        return len(self.layers)

    @property
    def overlap(self) -> float | None:
        """Least distance along the line between joints of neighbouring strips over the strip's thickness."""
        apart = [
            abs(a.end - b.end) for one, other in pairwise(self.layers) for a in one[:-1] for b in other[:-1]
        ]
        return min(apart) / self.thickness if apart else None

    @property
    def board_area(self) -> float:
        """Area of all blanks together, mm2."""
        return math.fsum(piece.blank.length * piece.blank.width for layer in self.layers for piece in layer)


def stacked(
    path: Sequence[Piece], above: float, below: float, width: float, thickest: float, count: int
) -> Stack:
    """A curved rail of ``width`` from as few strips as may be, none thicker than ``thickest``.

    Each strip is in ``count`` equal pieces; where that is more than one, every second strip begins and ends with
    half a piece, so that its joints fall between those of its neighbours. Raises ValueError for sizes not above zero.
    """
    if not min(width, thickest) > 0.0:
        raise ValueError("a stack has a width and strips of some thickness")
    strips = math.ceil(width / thickest - TILING)
    length = path_length(path)
    layers = []
    for k in range(strips):
        places = even_places(length, count, staggered=count > 1 and k % 2 == 1)
        layers.append(in_pieces(path, above, below, places))
    return Stack(tuple(layers), width / strips)
