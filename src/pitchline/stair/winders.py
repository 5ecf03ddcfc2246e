"""Winders in plan: corners, nosings from side to side, and both sides unrolled.

Plan co-ordinates (x, y) start at the inner corner: x the way one walks up the flight below, y towards the inner
side, so that the stair always turns anticlockwise here; mirror y for one that turns to the right. Lengths in mm,
angles in radians.
"""

import math
from dataclasses import dataclass
from itertools import pairwise

from pitchline.kit.errors import Fault, InputError
from pitchline.kit.geometry.lines import Point2
from pitchline.kit.tolerances import SAME_POINT
from pitchline.stair.winder_facts import WinderFacts, WinderNosing, winder_faults


@dataclass(frozen=True, slots=True)
class Winders:
    """Winders as they lie.

    ``corners`` are the outer corners; ``inner`` and ``outer`` where each nosing meets the two sides;
    ``heights`` of the nosings above the first of them; ``inner_places`` and ``outer_places`` along the unrolled
    sides, from the inner corner and from the first outer corner.
    """

    facts: WinderFacts
    corners: tuple[Point2, ...]
    inner: tuple[Point2, ...]
    outer: tuple[Point2, ...]
    heights: tuple[float, ...]
    inner_places: tuple[float, ...]
    outer_places: tuple[float, ...]

    @property
    def id(self) -> str:
        """Its name."""
        return self.facts.id

    @property
    def names(self) -> tuple[str, ...]:
        """The nosings' names, numbered on from the flight below."""
        return self.facts.names

    @property
    def turn(self) -> float:
        """The whole change of direction, radians."""
        return sum(self.facts.turns)

    @property
    def narrow_goings(self) -> tuple[float, ...]:
        """Straight from end to end of two neighbouring nosings at the inner side, mm."""
        return tuple(math.dist(a, b) for a, b in pairwise(self.inner))

    @property
    def narrow_ways(self) -> tuple[float, ...]:
        """The same along the inner side, round its corner."""
        return tuple(b - a for a, b in pairwise(self.inner_places))

    @property
    def wide_goings(self) -> tuple[float, ...]:
        """Straight from end to end of two neighbouring nosings at the outer side, mm."""
        return tuple(math.dist(a, b) for a, b in pairwise(self.outer))

    @property
    def rises(self) -> tuple[float, ...]:
        """The rise up to each nosing after the first."""
        return tuple(b - a for a, b in pairwise(self.heights))

    @property
    def kites(self) -> tuple[int, ...]:
        """The treads (from 0) in which an outer corner lies: the kite-shaped ones."""
        return tuple(
            k
            for k, (low, high) in enumerate(pairwise(self.outer_places))
            if any(low + SAME_POINT < corner < high - SAME_POINT for corner in self.corner_places)
        )

    @property
    def corner_places(self) -> tuple[float, ...]:
        """The outer corners along the unrolled outer side; the first is 0."""
        places = [0.0]
        for a, b in pairwise(self.corners):
            places.append(places[-1] + math.dist(a, b))
        return tuple(places)

    def tread_angle(self, tread: int) -> float:
        """The angle in plan between the two nosings of a tread (from 0), radians."""
        ends = zip(self.inner[tread : tread + 2], self.outer[tread : tread + 2], strict=True)
        low, high = (math.atan2(o[1] - i[1], o[0] - i[0]) for i, o in ends)
        return (high - low) % math.tau

    def outer_wall(self, number: int) -> tuple[tuple[str, Point2], ...]:
        """The nosings along one outer wall (from 0), unrolled: their names and (place from its corner, height).

        Places count from the wall's first corner, those of wall 0 from its only one (below zero).
        """
        last = len(self.corners)
        found = []
        for name, place, height in zip(self.names, self.outer_places, self.heights, strict=True):
            before = number > 0 and place < self.corner_places[number - 1]
            after = number < last and place >= self.corner_places[number]
            if not before and not after:
                origin = self.corner_places[max(0, number - 1)]
                found.append((name, (place - origin, height)))
        return tuple(found)


def build_winders(facts: WinderFacts) -> Winders:
    """The winders as they lie. InputError with every reason why what was told cannot be."""
    faults = [Fault(f"winders {facts.id}", clause) for clause in winder_faults(facts)]
    if faults:
        raise InputError(faults, "the readings")
    return lay_winders(facts)


def lay_winders(facts: WinderFacts) -> Winders:
    """As `build_winders`, nothing asked: for readings moved a hair to see what hangs on them."""
    directions = _directions(facts)
    corners = tuple(_corner(facts, directions, k) for k in range(len(facts.turns)))
    lengths = [math.dist(a, b) for a, b in pairwise(corners)]
    from_first = [sum(lengths[:k]) for k in range(len(corners))]
    return Winders(
        facts=facts,
        corners=corners,
        inner=tuple(_inner_point(nosing.inner, directions[-1]) for nosing in facts.nosings),
        outer=tuple(_outer_point(nosing, corners, directions) for nosing in facts.nosings),
        heights=_heights(facts),
        inner_places=tuple(nosing.inner for nosing in facts.nosings),
        outer_places=tuple(nosing.outer + from_first[nosing.corner - 1] for nosing in facts.nosings),
    )


def _directions(facts: WinderFacts) -> tuple[float, ...]:
    """The bearing of every outer wall; the first is 0."""
    return tuple(sum(facts.turns[:k]) for k in range(len(facts.turns) + 1))


def _corner(facts: WinderFacts, directions: tuple[float, ...], k: int) -> Point2:
    """Where outer walls k and k + 1 meet: the point at both walls' distances from the inner corner."""
    a, b = directions[k], directions[k + 1]
    near, far = facts.widths[k], facts.widths[k + 1]
    size = math.sin(b - a)
    return (
        (far * math.cos(a) - near * math.cos(b)) / size,
        (far * math.sin(a) - near * math.sin(b)) / size,
    )


def _inner_point(place: float, last: float) -> Point2:
    bearing = last if place > 0.0 else 0.0
    return (place * math.cos(bearing), place * math.sin(bearing))


def _outer_point(nosing: WinderNosing, corners: tuple[Point2, ...], directions: tuple[float, ...]) -> Point2:
    corner = corners[nosing.corner - 1]
    bearing = directions[nosing.corner if nosing.outer > 0.0 else nosing.corner - 1]
    return (
        corner[0] + nosing.outer * math.cos(bearing),
        corner[1] + nosing.outer * math.sin(bearing),
    )


def _heights(facts: WinderFacts) -> tuple[float, ...]:
    heights = [0.0]
    for nosing in facts.nosings[1:]:
        heights.append(heights[-1] + nosing.rise)
    return tuple(heights)


@dataclass(frozen=True, slots=True)
class AtNewel:
    """What the newel of the winders has to take: heights above the first of the winders' nosings, mm.

    ``lowest`` and ``highest`` are the nosings that meet it, ``rail_in`` and ``rail_out`` the tops of the two
    handrails on its axis; ``foot`` its lower end and ``top`` its upper.
    """

    lowest: float
    highest: float
    rail_in: float
    rail_out: float
    foot: float
    top: float

    @property
    def rise(self) -> float:
        """How much higher the rail leaves than it arrives."""
        return self.rail_out - self.rail_in

    @property
    def length(self) -> float:
        """From foot to top."""
        return self.top - self.foot


def at_newel(winders: Winders, rails: tuple[float, float], above_rail: float, drop: float) -> AtNewel:
    """The newel at the inner corner.

    ``rails`` are the heights of the two handrails' tops on its axis above the winders' first nosing,
    ``above_rail`` what it stands over the higher of them, ``drop`` what it hangs below the lowest tread at it.
    """
    lowest, highest = held_by_newel(winders)
    return AtNewel(
        lowest, highest, rails[0], rails[1], tread_under(winders, lowest) - drop, max(rails) + above_rail
    )


def held_by_newel(winders: Winders) -> tuple[float, float]:
    """Heights of the lowest and the highest nosing that meet the newel's faces, above the winders' first nosing."""
    reach = max(winders.facts.newel, 1.0)
    housed = [h for h, s in zip(winders.heights, winders.inner_places, strict=True) if abs(s) <= reach]
    held = housed or list(winders.heights[1:-1])
    return min(held), max(held)


def tread_under(winders: Winders, height: float) -> float:
    """Height of the tread before a nosing: of the nosing below it; a rise lower for the first."""
    below = [known for known in winders.heights if known < height - SAME_POINT]
    return max(below) if below else height - winders.rises[0]
