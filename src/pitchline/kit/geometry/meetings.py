"""Where two straight lines of an unrolled elevation meet, and what a post sees where they do not.

The first line arrives, the second leaves; both are `Line`s of the same elevation (u along the edge, z up), so a
turn in plan makes no difference here. Lengths in mm. See docs/method/turning-rails.md.
"""

import math
from dataclasses import dataclass

from pitchline.kit.geometry.lines import Line, Point2
from pitchline.kit.tolerances import SAME_DIRECTION


@dataclass(frozen=True, slots=True)
class Meeting:
    """The point in which two lines meet."""

    first: Line
    second: Line
    u: float
    z: float

    @property
    def point(self) -> Point2:
        """The point as (u, z)."""
        return (self.u, self.z)

    @property
    def turn_deg(self) -> float:
        """Change of pitch in degrees, positive where the second line is the steeper one upwards."""
        return math.degrees(self.second.angle - self.first.angle)

    @property
    def mitre_deg(self) -> float:
        """What each of two rails of equal depth is cut off square in the plane that bisects them, degrees."""
        return self.turn_deg / 2.0

    def beyond(self, u: float) -> float:
        """How far past ``u`` the lines meet: behind a nosing there when positive, before it when negative."""
        return self.u - u

    def u_sigma(self, first_sigma: float, second_sigma: float) -> float:
        """Standard uncertainty of the place from those of the two heights there (taken as independent).

        A height off by 1 moves the place by 1 / (difference of the slopes): lines of nearly the same pitch
        have no well-known meeting.
        """
        return math.hypot(first_sigma, second_sigma) / abs(self.second.slope - self.first.slope)


def meeting_of(first: Line, second: Line) -> Meeting | None:
    """Where two lines meet, or None when they run parallel (one may then be the other's continuation)."""
    difference = first.slope - second.slope
    if abs(difference) <= SAME_DIRECTION:
        return None
    u = (second.z0 - first.z0) / difference
    return Meeting(first, second, u, (first.at(u) + second.at(u)) / 2.0)


def raise_to_meet(first: Line, second: Line, u: float) -> float:
    """How much the second line must be raised, plumb, to meet the first at ``u`` (negative: lowered)."""
    return first.at(u) - second.at(u)


def level_through(line: Line, u: float) -> Line:
    """The level line that meets ``line`` at ``u``."""
    return Line(line.at(u), 0.0)


def plumb_depth(depth: float, slope: float) -> float:
    """How deep a bar of square ``depth`` stands measured plumb: the depth over the cosine of its pitch."""
    return depth * math.hypot(1.0, slope)


@dataclass(frozen=True, slots=True)
class StepAtPost:
    """What a post sees of two lines that end on its two faces.

    ``start_u`` and ``finish_u`` are the places of its faces along the elevation, ``arrives_z`` and ``leaves_z``
    the heights of the first and the second line on them.
    """

    start_u: float
    finish_u: float
    arrives_z: float
    leaves_z: float

    @property
    def rise(self) -> float:
        """How much higher the second line leaves than the first arrives (negative: a drop)."""
        return self.leaves_z - self.arrives_z

    @property
    def drop(self) -> float:
        """How much lower the second line leaves than the first arrives (negative: a rise)."""
        return -self.rise

    def block(self, arrives_depth: float, leaves_depth: float) -> tuple[float, float]:
        """Lowest and highest height at which a rail touches the post, from the plumb depths of the two rails.

        The lines are the tops of the rails; a turned post needs its square block at least this far.
        """
        low = min(self.arrives_z - arrives_depth, self.leaves_z - leaves_depth)
        return low, max(self.arrives_z, self.leaves_z)


def step_at(first: Line, second: Line, u: float, width: float = 0.0) -> StepAtPost:
    """What a post of ``width`` along the elevation, its middle at ``u``, sees of two lines.

    Raises ValueError for a width below zero.
    """
    if width < 0.0:
        raise ValueError("a post cannot be less than nothing wide")
    start, finish = u - width / 2.0, u + width / 2.0
    return StepAtPost(start, finish, first.at(start), second.at(finish))


def shares_of_rise(rise: float, count: int) -> tuple[float, ...]:
    """How much longer than the shortest each of ``count`` upright members on one tread is.

    Spread evenly over the going under a straight rake: 0 and 1/2 of the rise for two, 0, 1/3 and 2/3 for three
    (Hatfield, *American House Carpenter*, art. 258, for two).
    """
    if count < 1:
        raise ValueError("a tread has at least one member")
    return tuple(rise * k / count for k in range(count))


def rise_by_shares(rise: float, before: float, behind: float) -> float:
    """The step in height left at a post between two rakes of one pitch with one rise between their nosings.

    The post stands ``before`` of a going past the last nosing of the first rake and ``behind`` of a going ahead
    of the first nosing of the second. Half and half leaves no step: each rake takes half of the rise. Positive:
    the second rake leaves higher.
    """
    return rise * (1.0 - before - behind)


@dataclass(frozen=True, slots=True)
class Levelled:
    """A level stretch put between two lines round a place in the elevation.

    It runs from ``start_u``, where the first line is at ``arrives_z``, to ``finish_u``, where the second is at
    ``leaves_z``. Only where the two heights are the same is one level piece enough.
    """

    start_u: float
    finish_u: float
    arrives_z: float
    leaves_z: float

    @property
    def plumb(self) -> float:
        """Length of the plumb piece still wanted between two level pieces (positive: the second is higher).

        It is also how much the second line must come down for one level piece to do.
        """
        return self.leaves_z - self.arrives_z


def levelled(first: Line, second: Line, u: float, before: float, behind: float) -> Levelled:
    """Level the first line out ``before`` ahead of ``u`` and take up the second ``behind`` past it."""
    if min(before, behind) < 0.0:
        raise ValueError("a level stretch has no negative length")
    start, finish = u - before, u + behind
    return Levelled(start, finish, first.at(start), second.at(finish))
