"""The treads of a leg as what stands on them sees them. Lengths in mm, places u along the edge."""

import math
from dataclasses import dataclass

from pitchline.kit.geometry.lines import Line, Point2
from pitchline.kit.tolerances import SAME_POINT
from pitchline.stair.model import Flight
from pitchline.stair.pitch import support_line


@dataclass(frozen=True, slots=True)
class Tread:
    """One walking surface: the lower floor (number 0), the tread of a nosing, or the floor of a level edge.

    It is seen from above from ``front``, its nosing, to ``back``, the nosing above. ``riser`` is the face of the
    riser below it, ``next_riser`` that of the riser above; both are endless where there is none.
    """

    number: int
    surface: Line
    front: float
    back: float
    riser: float
    next_riser: float

    @property
    def going(self) -> float:
        """From riser face to riser face; without end for a floor."""
        return self.next_riser - self.riser

    def holds(self, low: float, high: float, within: float = 0.0) -> bool:
        """Whether what stands from ``low`` to ``high`` stands on it whole, or overhangs no more than ``within``."""
        return self.front - within <= low and high <= self.back + within


def treads_of(flight: Flight) -> tuple[Tread, ...]:
    """Every walking surface from the foot to the head; of a level edge the one it has."""
    if flight.is_level:
        return (Tread(0, support_line(flight.nosings), -math.inf, math.inf, -math.inf, math.inf),)
    back = flight.nosing_overhang
    fronts = [-math.inf, *(u for u, _ in flight.nosings), math.inf]
    levels = [0.0, *(z for _, z in flight.nosings)]
    return tuple(
        Tread(number, Line(z, 0.0), front, far, front + back, far + back)
        for number, (z, front, far) in enumerate(zip(levels, fronts[:-1], fronts[1:], strict=True))
    )


def tread_under(treads: tuple[Tread, ...], point: Point2, up: Point2) -> Tread:
    """The walking surface met by what comes down from ``point`` against the direction ``up``.

    Where it meets a riser instead, the tread whose edge is nearest.
    """

    def astray(tread: Tread) -> float:
        u, _ = tread.surface.meet(point, up)
        return max(tread.front - u, u - tread.back, 0.0)

    return min(reversed(treads), key=astray)


def tread_below(treads: tuple[Tread, ...], point: Point2, up: Point2, width: float) -> Tread:
    """The walking surface that a piece ``width`` wide about the line through ``point`` along ``up`` stands on.

    Across a nosing it stands on the higher one.
    """
    half = width / 2 - 2 * SAME_POINT
    out = (up[1], -up[0])
    sides = [(point[0] + sign * half * out[0], point[1] + sign * half * out[1]) for sign in (-1.0, 1.0)]
    return max((tread_under(treads, side, up) for side in sides), key=lambda tread: tread.number)


def profile_below(flight: Flight, left: float, right: float, floor: float) -> tuple[Point2, ...]:
    """What lies under the walking surfaces from ``left`` to ``right`` down to the height ``floor``, anticlockwise."""
    treads = [tread for tread in treads_of(flight) if tread.back > left and tread.front < right]
    above: list[Point2] = []
    for tread in treads:
        ends = (max(tread.front, left), min(tread.back, right))
        above += [tread.surface.point(end) for end in ends]
    return ((left, floor), (right, floor), *reversed(above))
