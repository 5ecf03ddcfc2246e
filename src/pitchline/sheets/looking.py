"""Looking at an edge from its open side: from (u, z) to the drawing's (x, y), for either guarded side.

The balustrade is drawn as one sees it from the well: a right-hand edge climbs to the right, a left-hand one to
the left, so that a mirrored stair gives a mirrored drawing.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from pitchline.design.model import Bar, Design, Post
from pitchline.kit.drawing.marks import AngleMark, Dimension, Pen, Point, Points, Stroke
from pitchline.kit.geometry.frames import Plane
from pitchline.kit.geometry.lines import Line, Point2
from pitchline.stair.model import Flight, Side

Show = Callable[[float], str]
"""How a length in mm is written for the user."""


@dataclass(frozen=True, slots=True)
class Looker:
    """The eye in front of the open side of an edge; a leg of several is drawn shifted by ``du`` and ``dz``."""

    side: Side
    du: float = 0.0
    dz: float = 0.0

    @property
    def sign(self) -> float:
        """+1 where u runs to the right of the drawing."""
        return 1.0 if self.side is Side.RIGHT else -1.0

    def at(self, point: Point2) -> Point:
        """A point of the elevation in the drawing."""
        return (self.sign * (point[0] + self.du), point[1] + self.dz)

    def all(self, points: Iterable[Point2]) -> Points:
        """Points of the elevation in the drawing."""
        return tuple(self.at(point) for point in points)

    def angle(self, centre: Point2, from_deg: float, to_deg: float, radius: float, text: str) -> AngleMark:
        """An angle given in the elevation (anticlockwise there), drawn the right way round."""
        if self.sign > 0:
            return AngleMark(self.at(centre), from_deg, to_deg, radius, text, arms=True)
        return AngleMark(self.at(centre), 180.0 - to_deg, 180.0 - from_deg, radius, text, arms=True)

    def along(self, a: Point2, b: Point2, offset: float, text: str) -> Dimension:
        """An aligned dimension; a positive offset lies on the upper side."""
        left, right = sorted((self.at(a), self.at(b)))
        return Dimension(left, right, offset, text)

    def level(self, a: Point2, b: Point2, offset: float, text: str) -> Dimension:
        """A level dimension; a positive offset lies above."""
        left, right = sorted((self.at(a), self.at(b)))
        return Dimension(left, right, offset, text, direction_deg=0.0)

    def plumb(self, low: Point2, high: Point2, offset: float, text: str) -> Dimension:
        """A plumb dimension; a positive offset lies towards the head of the stair."""
        return Dimension(self.at(low), self.at(high), -self.sign * offset, text, direction_deg=90.0)


def steps(flight: Flight, before: float, beyond: float) -> tuple[Point2, ...]:
    """The steps as they stand: floor, risers set back by the overhang, treads; ``before`` and ``beyond`` in mm.

    Along the edge of a floor, its surface.
    """
    if flight.is_level:
        (first, low), (last, high) = flight.nosings[0], flight.nosings[-1]
        return ((first - before, low), *flight.nosings, (last + beyond, high))
    back = flight.nosing_overhang
    first = flight.nosings[0][0] + back
    points: list[Point2] = [(flight.nosings[0][0] - before, 0.0), (first, 0.0)]
    for index, (u, z) in enumerate(flight.nosings):
        thickness = min(_TREAD, z / 2)
        points += [(u + back, z - thickness), (u, z - thickness), (u, z)]
        if index + 1 < len(flight.nosings):
            points.append((flight.nosings[index + 1][0] + back, z))
    last_u, last_z = flight.nosings[-1]
    points.append((last_u + beyond, last_z))
    return tuple(points)


_TREAD = 25.0
"""mm of tread thickness drawn under a nosing; treads are not measured, only their tops are."""


def end_point(plane: Plane, line: Line, y: float = 0.0) -> Point2:
    """Where an end plane cuts a line of the elevation."""
    u, _, z = plane.meet_line((0.0, y, line.z0), (1.0, 0.0, line.slope))
    return (u, z)


def bar_outline(bar: Bar) -> tuple[Point2, ...]:
    """A bar's outline in the elevation."""
    return (
        end_point(bar.start, bar.bottom),
        end_point(bar.finish, bar.bottom),
        end_point(bar.finish, bar.top),
        end_point(bar.start, bar.top),
    )


def post_outline(post: Post) -> tuple[Point2, ...]:
    """A post's outline in the elevation, by its middle plane: the side that lies more along the leg."""
    side, half = max(
        ((post.along_axis, post.along / 2), (post.across_axis, post.across / 2)), key=lambda s: abs(s[0][0])
    )
    sense = half if side[0] > 0.0 else -half
    foot = (post.foot[0], post.foot[2])
    along = (sense * side[0], sense * side[2])
    up = (post.axis[0] * post.length, post.axis[2] * post.length)
    low = (foot[0] - along[0], foot[1] - along[1])
    high = (foot[0] + along[0], foot[1] + along[1])
    return (low, high, (high[0] + up[0], high[1] + up[1]), (low[0] + up[0], low[1] + up[1]))


def closed(points: Sequence[Point], pen: Pen) -> Stroke:
    """A closed outline."""
    return Stroke(tuple(points), pen, closed=True)


def view_words(design: Design) -> str:
    """From where the elevation is seen."""
    return f"seen from the open side; the guarded edge is on the {design.side.value} going up"
