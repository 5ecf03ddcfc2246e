"""Lines made of straight pieces and true arcs: paths, the bands along them, and closed contours.

Points are (u, z) in mm, angles in radians from the u axis, anticlockwise positive. Arcs stay arcs: centre, radius,
start and end are what a router or a drawing needs, nothing is broken into chords until `points` is asked for.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from pitchline.kit.geometry.lines import Point2
from pitchline.kit.geometry.outlines import Points, signed_area
from pitchline.kit.tolerances import SAME_POINT, SQUARE_AXES


@dataclass(frozen=True, slots=True)
class Straight:
    """A straight piece from start to end, which must not be the same point."""

    start: Point2
    end: Point2

    def __post_init__(self) -> None:
        if math.dist(self.start, self.end) <= SAME_POINT:
            raise ValueError("a straight piece needs some length")

    @property
    def length(self) -> float:
        """Length in mm."""
        return math.dist(self.start, self.end)

    @property
    def start_angle(self) -> float:
        """Direction of travel at the start."""
        return math.atan2(self.end[1] - self.start[1], self.end[0] - self.start[0])

    @property
    def end_angle(self) -> float:
        """Direction of travel at the end."""
        return self.start_angle

    def at(self, s: float) -> Point2:
        """The point ``s`` along the piece."""
        return moved(self.start, self.start_angle, s)

    def angle_at(self, s: float) -> float:
        """Direction of travel ``s`` along the piece: the same everywhere."""
        del s
        return self.start_angle

    def part(self, low: float, high: float) -> "Straight":
        """The piece between two places along it."""
        return Straight(self.at(low), self.at(high))

    def offset(self, left: float) -> "Straight":
        """The parallel piece a distance to the left of travel (negative: to the right)."""
        side = self.start_angle + math.pi / 2.0
        return Straight(moved(self.start, side, left), moved(self.end, side, left))

    def reversed(self) -> "Straight":
        """The same piece travelled the other way."""
        return Straight(self.end, self.start)


@dataclass(frozen=True, slots=True)
class Arc:
    """Part of a circle from the bearing ``begins`` of its start point seen from the centre, turning by ``sweep``.

    A positive sweep turns anticlockwise. Raises ValueError without radius or sweep, or for more than one turn.
    """

    centre: Point2
    radius: float
    begins: float
    sweep: float

    def __post_init__(self) -> None:
        if not (self.radius > SAME_POINT and 0.0 < abs(self.sweep) <= math.tau):
            raise ValueError("an arc needs a radius and a sweep above zero, and no more than one turn")

    @property
    def start(self) -> Point2:
        """Where it starts."""
        return moved(self.centre, self.begins, self.radius)

    @property
    def end(self) -> Point2:
        """Where it ends."""
        return moved(self.centre, self.begins + self.sweep, self.radius)

    @property
    def length(self) -> float:
        """Developed length: radius times sweep."""
        return self.radius * abs(self.sweep)

    @property
    def chord(self) -> float:
        """Straight from start to end: 2 r sin(sweep / 2)."""
        return 2.0 * self.radius * math.sin(abs(self.sweep) / 2.0)

    @property
    def sagitta(self) -> float:
        """How far the arc stands off its chord in the middle: r (1 - cos(sweep / 2))."""
        return 2.0 * self.radius * math.sin(abs(self.sweep) / 4.0) ** 2

    @property
    def bulge(self) -> float:
        """tan(sweep / 4), how polylines of drawing exchange files hold an arc (positive: anticlockwise)."""
        return math.tan(self.sweep / 4.0)

    @property
    def start_angle(self) -> float:
        """Direction of travel at the start."""
        return self.begins + math.copysign(math.pi / 2.0, self.sweep)

    @property
    def end_angle(self) -> float:
        """Direction of travel at the end."""
        return self.start_angle + self.sweep

    def at(self, s: float) -> Point2:
        """The point ``s`` along the arc."""
        return moved(self.centre, self.begins + math.copysign(s / self.radius, self.sweep), self.radius)

    def angle_at(self, s: float) -> float:
        """Direction of travel ``s`` along the arc."""
        return self.start_angle + math.copysign(s / self.radius, self.sweep)

    def part(self, low: float, high: float) -> "Arc":
        """The arc between two places along it."""
        sense = math.copysign(1.0 / self.radius, self.sweep)
        return Arc(self.centre, self.radius, self.begins + sense * low, sense * (high - low))

    def offset(self, left: float) -> "Arc":
        """The arc about the same centre a distance to the left of travel (ValueError past the centre)."""
        radius = self.radius - math.copysign(1.0, self.sweep) * left
        if radius <= SAME_POINT:
            raise ValueError("an arc cannot be followed at a distance as large as its radius on the inside")
        return Arc(self.centre, radius, self.begins, self.sweep)

    def reversed(self) -> "Arc":
        """The same arc travelled the other way."""
        return Arc(self.centre, self.radius, self.begins + self.sweep, -self.sweep)

    def reaches(self, bearing: float) -> bool:
        """Whether the arc passes the point of its circle at this bearing from the centre."""
        ahead = (bearing - self.begins) * math.copysign(1.0, self.sweep)
        return math.fmod(math.fmod(ahead, math.tau) + math.tau, math.tau) <= abs(self.sweep)


Piece = Straight | Arc
Path = tuple[Piece, ...]


def moved(p: Point2, angle: float, distance: float) -> Point2:
    """The point at a distance in a direction."""
    return (p[0] + distance * math.cos(angle), p[1] + distance * math.sin(angle))


def path_length(path: Sequence[Piece]) -> float:
    """Developed length of a path in mm."""
    return math.fsum(piece.length for piece in path)


def place_on(path: Sequence[Piece], s: float) -> tuple[Point2, float]:
    """The point ``s`` along a path and the direction of travel there; ends are carried on straight."""
    for piece in path[:-1]:
        if s <= piece.length:
            return _on(piece, s)
        s -= piece.length
    return _on(path[-1], s)


def _on(piece: Piece, s: float) -> tuple[Point2, float]:
    if s < 0.0:
        return moved(piece.start, piece.start_angle, s), piece.start_angle
    if s > piece.length:
        return moved(piece.end, piece.end_angle, s - piece.length), piece.end_angle
    return piece.at(s), piece.angle_at(s)


def part_of(path: Sequence[Piece], low: float, high: float) -> Path:
    """The path between two places along it (ValueError when nothing is left)."""
    kept: list[Piece] = []
    begun = 0.0
    for piece in path:
        a, b = max(low - begun, 0.0), min(high - begun, piece.length)
        if b - a > SAME_POINT:
            kept.append(piece.part(a, b))
        begun += piece.length
    if not kept:
        raise ValueError("nothing of the path lies between the two places")
    return tuple(kept)


def band(path: Sequence[Piece], left: float, right: float) -> "Contour":
    """The closed contour from ``left`` of a path to ``right`` of it, its ends cut square.

    Two straights that meet at an angle are mitred; an arc must run on from its neighbours. Raises ValueError
    for a band without width, for a hook at an arc, and where an arc is tighter than the band on its inside.
    """
    if not left + right > 0.0:
        raise ValueError("a band needs some width")
    one, other = _followed(path, left), _followed(path, -right)
    back = tuple(piece.reversed() for piece in reversed(one))
    return Contour(
        (*other, Straight(other[-1].end, back[0].start), *back, Straight(back[-1].end, other[0].start))
    )


def _followed(path: Sequence[Piece], left: float) -> Path:
    """The path a distance to the left, its mitred corners drawn together."""
    pieces = [piece.offset(left) for piece in path]
    for i, (a, b) in enumerate(pairwise(path)):
        turn = math.remainder(b.start_angle - a.end_angle, math.tau)
        one, other = pieces[i], pieces[i + 1]
        if abs(turn) <= max(SQUARE_AXES, SAME_POINT / min(a.length, b.length)):
            pieces[i], pieces[i + 1] = _run_on(one, other)
        elif isinstance(one, Straight) and isinstance(other, Straight):
            corner = moved(one.end, a.end_angle, -left * math.tan(turn / 2.0))
            pieces[i], pieces[i + 1] = Straight(one.start, corner), Straight(corner, other.end)
        else:
            raise ValueError("an arc must run on from its neighbours without a corner")
    return tuple(pieces)


def _run_on(one: Piece, other: Piece) -> tuple[Piece, Piece]:
    """Two pieces with one point between them: a short straight knows its own direction only so well."""
    if isinstance(one, Straight):
        return Straight(one.start, other.start), other
    if isinstance(other, Straight):
        return one, Straight(one.end, other.end)
    return one, other


@dataclass(frozen=True, slots=True)
class Contour:
    """A closed line of pieces, each starting where the one before ends (ValueError otherwise)."""

    pieces: Path

    def __post_init__(self) -> None:
        if len(self.pieces) < 2:
            raise ValueError("a contour needs two pieces or more")
        for a, b in pairwise((*self.pieces, self.pieces[0])):
            if math.dist(a.end, b.start) > SAME_POINT:
                raise ValueError("the pieces of a contour do not follow one another")

    @property
    def area(self) -> float:
        """Area in mm2, arcs taken truly; positive when it runs anticlockwise (Green's theorem)."""
        corners = [piece.start for piece in self.pieces]
        return signed_area(corners) + math.fsum(
            arc.radius**2 * (arc.sweep - math.sin(arc.sweep)) / 2.0 for arc in self.arcs
        )

    @property
    def arcs(self) -> tuple[Arc, ...]:
        """Its arcs, in order."""
        return tuple(piece for piece in self.pieces if isinstance(piece, Arc))

    @property
    def length(self) -> float:
        """Length all round in mm."""
        return path_length(self.pieces)

    def extent(self, angle: float) -> tuple[float, float]:
        """Lowest and highest place of the contour along a direction, measured from the origin."""
        ux, uz = math.cos(angle), math.sin(angle)
        places = [piece.start[0] * ux + piece.start[1] * uz for piece in self.pieces]
        for arc in self.arcs:
            middle = arc.centre[0] * ux + arc.centre[1] * uz
            if arc.reaches(angle):
                places.append(middle + arc.radius)
            if arc.reaches(angle + math.pi):
                places.append(middle - arc.radius)
        return min(places), max(places)

    def points(self, off_by: float) -> Points:
        """Corners of a polygon whose sides leave the arcs by no more than ``off_by``; its corners lie on them."""
        if not off_by > 0.0:
            raise ValueError("chords always leave an arc by something")
        return tuple(point for piece in self.pieces for point in chords(piece, off_by))


def chords(piece: Piece, off_by: float) -> Iterator[Point2]:
    """The start of a piece and, on an arc, the corners between it and its end: chords that leave it by ``off_by``."""
    yield piece.start
    if isinstance(piece, Arc):
        step = 2.0 * math.acos(max(0.0, 1.0 - off_by / piece.radius))
        count = math.ceil(abs(piece.sweep) / step)
        for k in range(1, count):
            yield piece.at(piece.length * k / count)
