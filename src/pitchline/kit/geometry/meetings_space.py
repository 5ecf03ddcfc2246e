"""Rails that meet in space: ends against faces out of plumb, mitres of unequal rails, what a section does at a turn.

Rails lie as `bevels.rail_frame` says: x along, y level across the width, z up through the depth. Lengths in mm,
angles in degrees. See docs/method/turning-rails.md.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

from pitchline.kit.geometry.bevels import Joint, SawReading, joint_between, rail_frame, saw_reading
from pitchline.kit.geometry.frames import (
    ORIGIN,
    Z_AXIS,
    Frame,
    Plane,
    Vec3,
    add,
    along,
    cross,
    dot,
    unit,
)
from pitchline.kit.tolerances import SAME_DIRECTION

Corners = tuple[float, float, float, float]
"""One figure for each long edge of a rail: low right, high right, low left, high left, looking along it."""


def leaning(x_per_m: float, y_per_m: float) -> Vec3:
    """The axis of a post whose top stands out of plumb by so many mm in 1 m of height, along x and along y."""
    return unit((x_per_m / 1000.0, y_per_m / 1000.0, 1.0))


def post_face(point: Vec3, outwards_deg: float, axis: Vec3 = Z_AXIS, twist_deg: float = 0.0) -> Plane:
    """The face of a leaning, twisted post through ``point``; the post lies behind its normal.

    ``outwards_deg`` is the bearing in plan that the face was meant to look along, ``twist_deg`` how far the post
    has turned anticlockwise from it. The face runs along the post's ``axis``, so a lean sideways does not turn
    it, a lean forwards tips it.
    """
    bearing = math.radians(outwards_deg + twist_deg)
    level = (math.cos(bearing), math.sin(bearing), 0.0)
    up = unit(axis)
    return Plane(point, along(level, up, -dot(level, up)))


@dataclass(frozen=True, slots=True)
class EndCut:
    """How one end of a rail is cut to a face.

    ``at_axis`` is where the rail's own axis (the middle of its section) meets the face, measured along the rail
    from its frame's origin; ``edges`` says how much further along each long edge is cut. Their spread is what a
    square saw cut would leave open at most.
    """

    reading: SawReading
    at_axis: float
    edges: Corners

    @property
    def spread(self) -> float:
        """From the shortest long edge to the longest, along the rail."""
        return max(self.edges) - min(self.edges)


def end_cut(rail: Frame, face: Plane, width: float, depth: float) -> EndCut:
    """The cut of a rail's end against a face, whichever way the face's normal points.

    Each end of a rail has a face and so a cut of its own. Raises ValueError when the face runs along the rail.
    """
    local = rail.plane_to_local(face)
    reading = saw_reading(local.normal)
    at_axis = local.meet_line(ORIGIN, (1.0, 0.0, 0.0))[0]
    n = reading.normal
    low_right, high_right, low_left, high_left = (
        -(n[1] * y + n[2] * z) / n[0]
        for y in (-width / 2.0, width / 2.0)
        for z in (-depth / 2.0, depth / 2.0)
    )
    return EndCut(reading, at_axis, (low_right, high_right, low_left, high_left))


def unequal_mitre(turn_deg: float, first: float, second: float) -> tuple[float, float]:
    """What each of two rails of unequal size in the plane of the turn is cut off square, in degrees.

    With a turn t and sizes a and b both faces run from the meeting of the inner sides to that of the outer ones,
    so a / cos(m1) = b / cos(m2) and m1 + m2 = t, from which tan(m1) = (b / a - cos t) / sin t. Equal sizes take
    half of the turn each; the larger rail takes less, and below 0 its cut leans away from the turn. Raises
    ValueError without a turn.
    """
    turn = math.radians(turn_deg)
    if min(first, second) <= 0.0 or not abs(math.sin(turn)) > SAME_DIRECTION:
        raise ValueError("a mitre of unequal rails needs two sizes above zero and a turn")
    one = math.atan((second / first - math.cos(turn)) / math.sin(turn))
    return math.degrees(one), math.degrees(turn - one)


def depth_to_agree(depth: float, pitch_deg: float, other_pitch_deg: float) -> float:
    """The square depth of a rail at the other pitch whose plumb cut is as long as that of the first."""
    return depth * math.cos(math.radians(other_pitch_deg)) / math.cos(math.radians(pitch_deg))


def arris_step(width: float, plan_deg: float, first_pitch_deg: float, second_pitch_deg: float) -> float:
    """How far the long edges of two rails miss each other, plumb, at a plumb mitre round a plan corner.

    The rails meet on their middle lines. Towards the outside of the corner the first has come further and the
    second not yet as far, w/2 tan(plan/2) each along the level: the edges part by that times the sum of the
    slopes. Only a rail that falls as steeply as the other climbs meets it all across.
    """
    slopes = math.tan(math.radians(first_pitch_deg)) + math.tan(math.radians(second_pitch_deg))
    return width / 2.0 * abs(math.tan(math.radians(plan_deg) / 2.0) * slopes)


class Symmetry(StrEnum):
    """How far a section must be rolled until it looks the same."""

    ROUND = "round"
    """By any angle."""
    SQUARE = "square"
    """By quarter turns: width and depth alike, all edges treated alike."""
    OBLONG = "oblong"
    """By half turns."""
    MOULDED = "moulded"
    """Only by a whole turn."""


_REPEATS = {Symmetry.SQUARE: 90.0, Symmetry.OBLONG: 180.0, Symmetry.MOULDED: 360.0}


def roll_left(roll_deg: float, symmetry: Symmetry) -> float:
    """The roll that remains when a section may be turned to any position in which it looks the same.

    Degrees, 0 where the section runs on through the joint.
    """
    repeat = _REPEATS.get(symmetry)
    return 0.0 if repeat is None else math.remainder(roll_deg, repeat)


def corner_miss(width: float, depth: float, roll_deg: float) -> float:
    """How far the corner of one section stands from the corner it should run into, in the plane of the section."""
    return math.hypot(width, depth) * abs(math.sin(math.radians(roll_deg) / 2.0))


def chain(directions: Sequence[Vec3]) -> tuple[Joint, ...]:
    """The joints of rails that follow one another, each base down (see `bevels.joint_between`)."""
    return tuple(joint_between(a, b) for a, b in pairwise(directions))


def roll_through(directions: Sequence[Vec3]) -> float:
    """How far the last of a chain of mitred rails comes out rolled from base down when the section runs on.

    The first lies base down; at each joint the section is carried over by the plane that bisects the two rails.
    Degrees, anticlockwise looking against the last rail's direction (right-hand rule about it).
    """
    section = rail_frame(directions[0]).z
    for a, b in pairwise(directions):
        section = Plane(ORIGIN, add(unit(a), unit(b))).mirrored(section)
    last = rail_frame(directions[-1])
    return math.degrees(math.atan2(dot(cross(last.z, section), last.x), dot(last.z, section)))


def rolled_to_run_on(first: Vec3, second: Vec3) -> float:
    """How far the first rail must be rolled from base down for its moulding to run into a second, base down."""
    return -joint_between(first, second).roll_deg
