"""Where dowels register the layers of a rail or newel, so that they cannot slide when they are glued. Lengths in mm.

Every block gets one or two, and long strips one every so often; a dowel stands in all layers that it meets, square
to the boards. It keeps clear of edges by its own diameter at the least (common practice, no source).
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from shapely.geometry import Point, Polygon

from pitchline.kit.geometry.frames import Vec3, dot
from pitchline.kit.geometry.lines import Point2
from pitchline.making.layers_regions import Removal, base_area, disc, removals
from pitchline.parts.part import Part

EDGE = 1.0
"""Wood between a dowel and any edge, in diameters."""

TWO = 8.0
"""A piece gets two dowels when it is at least so many diameters long between them."""

FROM_END = 60.0
"""mm from the end of a long layer to its first dowel."""


@dataclass(frozen=True)
class Board:
    """A piece of board in a stack, from ``low`` to ``high`` across it, and where a dowel may go through it."""

    part: Part
    room: Polygon
    low: float
    high: float


def board_of(part: Part, across: Vec3, dowel: float) -> Board:
    """A piece and the area in which the middle of a dowel keeps clear of its edges and of what is cut into it.

    ``across`` is the direction in which the stack is told from one board to the next.
    """
    area = base_area(part)
    for removal in removals(part):
        area = area.difference(removal.area)
    middle = dot(across, part.frame.origin)
    half = part.thickness / 2.0
    return Board(part, area.buffer(-(0.5 + EDGE) * dowel), middle - half, middle + half)


def is_outer(board: Board, boards: Sequence[Board]) -> tuple[bool, bool]:
    """Whether nothing is glued to a board on its low side, and on its high side."""
    met = _neighbours(board, boards)
    return not any(o.high <= board.low + TOUCH for o in met), not any(
        o.low >= board.high - TOUCH for o in met
    )


def dowel_places(boards: Sequence[Board], dowel: float, apart: float) -> tuple[Vec3, ...]:
    """Where dowels go, in the edge's co-ordinates: short pieces first, then long ones where none stand yet."""
    places: list[Vec3] = []
    for board in sorted(boards, key=lambda one: one.part.length):
        if board.room.is_empty or not _neighbours(board, boards):
            continue
        standing = [at for at in (_local(board, place) for place in places) if _in(board, at)]
        for at in _wished(board, dowel, apart):
            near = any(math.dist(at, other) < TWO * dowel for other in standing)
            if not near and _in(board, at) and _met(board, at, boards):
                places.append(board.part.frame.to_world((at[0], at[1], 0.0)))
                standing.append(at)
    return tuple(places)


def _wished(board: Board, dowel: float, apart: float) -> Iterator[Point2]:
    """Along the middle of a piece: one, two near its ends, or a row of them."""
    low, _, high, _ = board.room.bounds
    middle = _middle(board.room)
    length = high - low
    if length < TWO * dowel:
        yield middle
        return
    inset = min(FROM_END, length / 6.0)
    count = max(2, math.ceil((length - 2.0 * inset) / apart) + 1)
    for k in range(count):
        x = low + inset + (length - 2.0 * inset) * k / (count - 1)
        yield (x, middle[1])


def _middle(room: Polygon) -> Point2:
    inner = room.centroid
    return (float(inner.x), float(inner.y))


def _local(board: Board, place: Vec3) -> Point2:
    x, y, _ = board.part.frame.to_local(place)
    return (x, y)


def _in(board: Board, at: Point2) -> bool:
    return bool(board.room.intersects(Point(at)))


def _neighbours(board: Board, boards: Sequence[Board]) -> list[Board]:
    """Boards that lie face to face with one."""
    return [
        other
        for other in boards
        if other is not board
        and (abs(other.low - board.high) <= TOUCH or abs(other.high - board.low) <= TOUCH)
    ]


TOUCH = 0.1
"""mm between boards that are glued face to face: a glue line."""


def _met(board: Board, at: Point2, boards: Sequence[Board]) -> bool:
    """Whether a neighbour takes the dowel too."""
    place = board.part.frame.to_world((at[0], at[1], 0.0))
    return any(_in(other, _local(other, place)) for other in _neighbours(board, boards))


def dowels_in(board: Board, places: Sequence[Vec3]) -> tuple[Point2, ...]:
    """Those that stand in a piece, in its own axes."""
    found = (_local(board, place) for place in places)
    return tuple(at for at in found if _in(board, at))


def dowel_holes(at: Sequence[Point2], diameter: float, low: float, high: float) -> Iterator[Removal]:
    """The holes between two heights of a piece."""
    for x, y in at:
        yield Removal(disc(x, y, diameter / 2.0), low, high)
