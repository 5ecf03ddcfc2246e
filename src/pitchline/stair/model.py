"""The stair as it stands, finishes included: what a balustrade is fitted to.

Co-ordinates of an edge: u along it in plan (0 at the first nosing, growing up the stair), z up from the lower
finished floor, y across it to the LEFT of someone walking up, so that (u, y, z) is right-handed whatever side
is guarded. Lengths in mm, leans and twists in radians.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import pairwise

import numpy as np

from pitchline.kit.geometry.lines import Line, Point2
from pitchline.kit.tolerances import COVERAGE_FACTOR
from pitchline.survey.adjust import Adjusted
from pitchline.survey.readings import Coordinate


class Side(StrEnum):
    """The guarded side of the flight as one walks up it."""

    LEFT = "left"
    RIGHT = "right"

    @property
    def other(self) -> "Side":
        """The side across the stair."""
        return Side.RIGHT if self is Side.LEFT else Side.LEFT

    @property
    def towards_stair(self) -> float:
        """+1 or -1: the sense of y that points from the guarded edge to the walking side."""
        return 1.0 if self is Side.RIGHT else -1.0


class LegKind(StrEnum):
    """What a straight piece of an open edge is: the side of a flight, or the edge of a landing or floor."""

    FLIGHT = "flight"
    LEVEL = "level edge"


class Seat(StrEnum):
    """What stands along the guarded side with a straight top edge for a base rail to lie on."""

    STRING = "closed string"
    KNEE_WALL = "knee wall"


@dataclass(frozen=True, slots=True)
class StringBoard:
    """A closed string or a knee wall: its top edge as measured in the elevation.

    ``thickness`` across, ``depth`` square to the top edge.
    """

    id: str
    top: Line
    thickness: float
    depth: float
    kind: Seat = Seat.STRING


@dataclass(frozen=True, slots=True)
class CutString:
    """A string cut to the steps: ``thickness`` across, ``depth`` left square to the rake below its notches.

    ``return_nosing`` is how far the treads' returned nosings stand out beyond the string's outer face.
    """

    id: str
    thickness: float
    depth: float
    return_nosing: float = 0.0


@dataclass(frozen=True, slots=True)
class Soffit:
    """Something overhead in the elevation: its underside runs straight from one point to another (u, z)."""

    id: str
    start: Point2
    finish: Point2

    @property
    def underside(self) -> Line:
        """The line of its underside."""
        return Line.through(self.start, self.finish)


@dataclass(frozen=True, slots=True)
class StandingPost:
    """A newel that is there already.

    ``face_u`` is the place of the face towards the flight, read at height ``face_z``; leans are tangents
    (mm per mm of height): along, positive when the top leans up the stair; across, positive when it leans to
    the walking side; ``twist`` is in radians, anticlockwise seen from above.
    """

    id: str
    station: str
    face_u: float
    face_z: float
    along: float
    across: float
    lean_along: float
    lean_across: float
    twist: float
    top_z: float | None


@dataclass(frozen=True, slots=True)
class FittedRail:
    """A rail of the work itself that is fitted: the line of its upper edge as measured."""

    id: str
    top: Line


@dataclass(frozen=True, slots=True)
class Wall:
    """A wall that a rail or half newel meets.

    Its face is at ``face_u`` at height ``face_z``; ``lean_along`` (mm per mm) is positive when its top leans up
    the stair; ``skew`` turns the face in plan, radians, anticlockwise seen from above.
    """

    id: str
    station: str
    face_u: float
    face_z: float
    lean_along: float
    skew: float


@dataclass(frozen=True, slots=True)
class FinishLayers:
    """What is still to be laid, in mm: it has already been added to the nosings of the flight."""

    lower_floor: float = 0.0
    treads: float = 0.0
    upper_floor: float = 0.0
    wraps_nosings: bool = False


def built_name(owner: str, piece: str) -> str:
    """What the survey calls a newel or rail of design ``owner`` that was measured in its place."""
    return f"{owner} {piece}"


@dataclass(frozen=True, eq=False)
class Flight:
    """One straight leg of an edge, finished sizes.

    Of a flight: nosings 1 to n (n is the edge of the upper floor). Of a level edge: two or more points along
    its walking surface, of which the first and the last are its ends. Heights z count from the leg's own lower
    floor, which lies ``base_z`` above the lowest finished floor of the stair; the floor on the open side lies
    ``below`` under the leg's own lower floor. Strings whose side is None are on the guarded side, whichever that
    is; `guarded` gives the flight as one of its sides sees it. ``set_posts`` and ``fitted_rails`` are what of the
    work itself stands already and was measured, by the names that `built_name` gives.
    """

    id: str
    nosings: tuple[Point2, ...]
    survey: Adjusted
    width: float | None
    nosing_overhang: float
    finishes: FinishLayers
    string: StringBoard | None
    posts: tuple[StandingPost, ...]
    walls: tuple[Wall, ...]
    headroom: float | None = None
    kind: LegKind = LegKind.FLIGHT
    base_z: float = 0.0
    below: float = 0.0
    cut_string: CutString | None = None
    string_side: Side | None = None
    cut_string_side: Side | None = None
    soffits: tuple[Soffit, ...] = ()
    set_posts: tuple[StandingPost, ...] = ()
    fitted_rails: tuple[FittedRail, ...] = ()

    def guarded(self, side: Side) -> "Flight":
        """The flight as its ``side`` sees it: without a string that is on the other one."""
        string = self.string if self.string_side in (None, side) else None
        cut_string = self.cut_string if self.cut_string_side in (None, side) else None
        if string is self.string and cut_string is self.cut_string:
            return self
        return replace(self, string=string, cut_string=cut_string)

    def set_post(self, owner: str, post: str) -> StandingPost | None:
        """A newel of the work of design ``owner`` as it was measured since; None where it was not."""
        return next((known for known in self.set_posts if known.id == built_name(owner, post)), None)

    def fitted_rail(self, owner: str, rail: str) -> Line | None:
        """The upper edge of a fitted rail of design ``owner``; None where it was not measured."""
        name = built_name(owner, rail)
        return next((known.top for known in self.fitted_rails if known.id == name), None)

    @property
    def is_level(self) -> bool:
        """Whether this is the edge of a landing or floor."""
        return self.kind is LegKind.LEVEL

    def drop_beside(self, number: int) -> float:
        """How far nosing ``number`` (from 1) lies above the floor on the open side."""
        return self.nosings[number - 1][1] + self.below

    @property
    def rises(self) -> tuple[float, ...]:
        """Rise 1 (floor to first nosing) to rise n, mm."""
        heights = (0.0, *(z for _, z in self.nosings))
        return tuple(high - low for low, high in pairwise(heights))

    @property
    def goings(self) -> tuple[float, ...]:
        """Going 1 (nosing 1 to 2) to going n - 1, mm."""
        places = tuple(u for u, _ in self.nosings)
        return tuple(far - near for near, far in pairwise(places))

    @property
    def nosing_names(self) -> tuple[str, ...]:
        """N1 to Nn, as the survey names the nosings."""
        return tuple(f"N{k}" for k in range(1, len(self.nosings) + 1))

    def u_of(self, point: str) -> float:
        """The place along the edge of a surveyed point, finishes laid. KeyError if it was not surveyed."""
        if point in self.nosing_names:
            return self.nosings[self.nosing_names.index(point)][0]
        forward = self.finishes.treads if self.finishes.wraps_nosings else 0.0
        return self.survey.estimate(("x", point)) + forward

    def sigma(self, along: Mapping[str, float], height: Mapping[str, float] | None = None) -> float:
        """Standard uncertainty of a weighted sum of surveyed places, mm.

        ``along`` gives the weight of each point's u, ``height`` of each point's z. What the datum fixes (the
        floor's height, the place of nosing 1) counts as exact.
        """
        weights: dict[Coordinate, float] = {("x", point): w for point, w in along.items()}
        weights.update({("z", point): w for point, w in (height or {}).items()})
        known = [c for c in weights if self.survey.has(c)]
        if not known:
            return 0.0
        vector = np.array([weights[c] for c in known])
        variance = float(vector @ self.survey.covariance_of(known) @ vector)
        return math.sqrt(max(0.0, variance))

    def expanded(self, along: Mapping[str, float], height: Mapping[str, float] | None = None) -> float:
        """Expanded uncertainty (k = 2) of a weighted sum of surveyed places, mm."""
        return COVERAGE_FACTOR * self.sigma(along, height)
