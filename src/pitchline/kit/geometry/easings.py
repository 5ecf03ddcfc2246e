"""Easings: tangent arcs that take a rail from one pitch to another, in one plumb plane.

Everything lies in an elevation (u along, z up, mm; angles in radians unless a name ends in ``_deg``). The
reference line is whichever line of the rail the user gives, often its top. See docs/method/turning-rails.md.
"""

import math
from dataclasses import dataclass

from pitchline.kit.geometry.contours import Arc, Contour, Path, Straight, band, moved
from pitchline.kit.geometry.lines import Line, Point2
from pitchline.kit.geometry.meetings import meeting_of
from pitchline.kit.tolerances import SAME_DIRECTION, SAME_POINT, SLIVER

UP = math.pi / 2.0
"""Direction of a plumb piece that climbs."""

DOWN = -math.pi / 2.0
"""Direction of a plumb piece that drops."""


@dataclass(frozen=True, slots=True)
class Easing:
    """An arc of ``radius`` tangent to two directions of travel that meet in ``corner``.

    It turns up (is hollow above: concave) where ``turn`` is positive, and down (is round above: convex) where it is
    negative. Raises ValueError without a radius, without a turn, and for a turn straight back.
    """

    corner: Point2
    arrives: float
    leaves: float
    radius: float

    def __post_init__(self) -> None:
        if not self.radius > SAME_POINT:
            raise ValueError("an easing needs a radius above zero")
        if not SAME_DIRECTION < abs(self.turn) < math.pi - SAME_DIRECTION:
            raise ValueError("an easing needs two directions that differ and do not run straight back")

    @property
    def turn(self) -> float:
        """Change of direction, positive anticlockwise (upwards when travelling to the right)."""
        return math.remainder(self.leaves - self.arrives, math.tau)

    @property
    def tangent(self) -> float:
        """Length from each end of the arc to the corner: r tan(turn / 2), the same on both sides."""
        return self.radius * math.tan(abs(self.turn) / 2.0)

    @property
    def start(self) -> Point2:
        """Where the arc takes over from the first line."""
        return moved(self.corner, self.arrives, -self.tangent)

    @property
    def end(self) -> Point2:
        """Where the second line takes over from the arc."""
        return moved(self.corner, self.leaves, self.tangent)

    @property
    def arc(self) -> Arc:
        """The arc itself, with its centre, length, chord and sagitta."""
        side = math.copysign(math.pi / 2.0, self.turn)
        centre = moved(self.start, self.arrives + side, self.radius)
        return Arc(centre, self.radius, self.arrives - side, self.turn)

    @property
    def off_corner(self) -> float:
        """How far the middle of the arc stays off the corner: r (1 / cos(turn / 2) - 1)."""
        return self.radius * (1.0 / math.cos(self.turn / 2.0) - 1.0)

    def followed(self, left: float) -> "Easing":
        """The easing a distance to the left of travel (above a rail that runs to the right), about one centre.

        Raises ValueError where nothing is left of the radius.
        """
        half = self.turn / 2.0
        middle = (self.arrives + half) + math.pi / 2.0
        corner = moved(self.corner, middle, left / math.cos(half))
        return Easing(corner, self.arrives, self.leaves, self.radius - math.copysign(1.0, self.turn) * left)

    def path(self, before: float, behind: float) -> Path:
        """The arc with straight shanks of these lengths before and behind it; shorter than `SLIVER` they are none."""
        arc = self.arc
        path: list[Straight | Arc] = []
        if before > SLIVER:
            path.append(Straight(moved(arc.start, self.arrives, -before), arc.start))
        path.append(arc)
        if behind > SLIVER:
            path.append(Straight(arc.end, moved(arc.end, self.leaves, behind)))
        return tuple(path)

    def outline(self, above: float, below: float, before: float = 0.0, behind: float = 0.0) -> Contour:
        """The piece seen from the side: from ``below`` the line to ``above`` it, with shanks, ends cut square."""
        return band(self.path(before, behind), above, below)


def easing_between(first: Line, second: Line, radius: float) -> Easing:
    """The easing of a given radius between two lines of an elevation (ValueError when they are parallel)."""
    found = meeting_of(first, second)
    if found is None:
        raise ValueError("parallel lines have no corner to ease")
    return Easing(found.point, first.angle, second.angle, radius)


def radius_of_tangent(turn: float, tangent: float) -> float:
    """The radius whose tangents are this long, with the change of direction in radians: t / tan(turn / 2)."""
    half = abs(math.remainder(turn, math.tau)) / 2.0
    if not (tangent > 0.0 and SAME_DIRECTION < half < math.pi / 2.0):
        raise ValueError("a tangent above zero and a turn are needed to find a radius")
    return tangent / math.tan(half)


def radius_off_corner(turn: float, off: float) -> float:
    """The radius whose arc stays this far off the corner in its middle."""
    half = abs(math.remainder(turn, math.tau)) / 2.0
    if not (off > 0.0 and SAME_DIRECTION < half < math.pi / 2.0):
        raise ValueError("a distance above zero and a turn are needed to find a radius")
    return off * math.cos(half) / (2.0 * math.sin(half / 2.0) ** 2)


def easing_of_tangent(first: Line, second: Line, tangent: float) -> Easing:
    """The easing whose tangents are of a given length (ValueError when the lines are parallel)."""
    return easing_between(first, second, radius_of_tangent(second.angle - first.angle, tangent))


@dataclass(frozen=True, slots=True)
class LevelledOut:
    """A raking line eased to the level ahead of a face.

    ``level`` is the length of level line from the end of the arc to the face (negative: that much is wanting),
    ``greatest_radius`` the radius at which it would come to nothing.
    """

    easing: Easing
    face_u: float
    level: float
    greatest_radius: float


def levelled_out(rake: Line, level_z: float, radius: float, face_u: float) -> LevelledOut:
    """Ease a rake that arrives from the left to a level before a face at ``face_u``.

    The rake may climb or fall. Raises ValueError for a level line, and when the corner lies behind the face: then
    no radius does, the level must come down (or the face be met on the rake).
    """
    easing = easing_between(rake, Line(level_z, 0.0), radius)
    room = face_u - easing.corner[0]
    if not room > 0.0:
        raise ValueError("the lines meet behind the face: the level lies too far from the rake")
    return LevelledOut(easing, face_u, room - easing.tangent, room / math.tan(abs(easing.turn) / 2.0))


@dataclass(frozen=True, slots=True)
class Gooseneck:
    """A rake eased into a plumb piece and this turned level: by a second easing, or by a mitre (a *ramp and knee*).

    ``plumb`` is the length of straight plumb line between the two; it must not be negative.
    """

    lower: Easing
    upper: Easing | None
    knee: Point2
    plumb: float

    @property
    def knee_mitre_deg(self) -> float | None:
        """What each piece is cut off square at a mitred knee, degrees; None where the knee is eased."""
        return 45.0 if self.upper is None else None

    def path(self, before: float, behind: float) -> Path:
        """The line from ``before`` the lower arc to ``behind`` the knee or the upper arc, travelled to the right."""
        lower = self.lower.path(before, 0.0)
        if self.upper is None:
            end = (self.knee[0] + behind, self.knee[1])
            return (*lower, Straight(self.lower.end, self.knee), Straight(self.knee, end))
        between = (Straight(self.lower.end, self.upper.start),) if self.plumb > SAME_POINT else ()
        return (*lower, *between, *self.upper.path(0.0, behind))

    def outline(self, above: float, below: float, before: float, behind: float) -> Contour:
        """The whole piece seen from the side, ends cut square, a mitred knee as the mitre leaves it."""
        return band(self.path(before, behind), above, below)


def gooseneck(
    rake: Line, plumb_u: float, level_z: float, lower_radius: float, upper_radius: float | None = None
) -> Gooseneck:
    """A gooseneck from a rake that arrives from the left, plumb at ``plumb_u``, to a level at ``level_z``.

    It climbs where the level lies above the rake there, and drops where it lies below. ``upper_radius`` None
    means a mitred knee. Raises ValueError where the two arcs need more height than there is, with how much.
    """
    foot = rake.point(plumb_u)
    height = abs(level_z - foot[1])
    direction = UP if level_z > foot[1] else DOWN
    knee = (plumb_u, level_z)
    lower = Easing(foot, rake.angle, direction, lower_radius)
    upper = None if upper_radius is None else Easing(knee, direction, 0.0, upper_radius)
    plumb = height - lower.tangent - (0.0 if upper is None else upper.tangent)
    if plumb < -SAME_POINT or (upper is None and plumb <= SAME_POINT):
        raise ValueError(
            f"the arcs of the gooseneck need {-plumb:.1f} mm more height than the {height:.1f} there is"
        )
    return Gooseneck(lower, upper, knee, max(plumb, 0.0))


@dataclass(frozen=True, slots=True)
class PitchBoard:
    """The right triangle of one step by which rails are marked out, in mm; grain runs along the rake.

    Rise and going are its two short sides, the rake its long one, on which a fence is fixed.
    """

    rise: float
    going: float

    def __post_init__(self) -> None:
        if not min(self.rise, self.going) > 0.0:
            raise ValueError("a pitch board has a rise and a going above zero")

    @property
    def rake(self) -> float:
        """Length of the long side."""
        return math.hypot(self.rise, self.going)

    @property
    def pitch_deg(self) -> float:
        """The angle at the going: what a plumb cut is off square."""
        return math.degrees(math.atan2(self.rise, self.going))

    @property
    def level_cut_deg(self) -> float:
        """The angle at the rise: what a level cut is off square."""
        return 90.0 - self.pitch_deg

    @property
    def depth(self) -> float:
        """From the rake to the square corner: the least width of stuff for it."""
        return self.rise * self.going / self.rake

    @property
    def corners(self) -> tuple[Point2, Point2, Point2]:
        """Lower nosing, square corner and upper nosing, as it lies in a step that climbs to the right."""
        return (0.0, 0.0), (self.going, 0.0), (self.going, self.rise)
