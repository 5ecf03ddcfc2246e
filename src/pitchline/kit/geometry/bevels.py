"""Saw angles: from the plane of an end cut to what a saw scale, a protractor or a steel square reads.

In a piece's own axes x runs along it, y across its wide face and z through its thickness. A cut is read from
square: mitre and bevel are both 0 for a plain cross-cut. The *mitre* is how far the trace of the cut on the
wide face is turned from square; the *bevel* is how far the blade leans from upright on that face.

The normal of the cut is taken on its +x side at BOTH ends. So equal readings at the two ends mean parallel
cuts (a rhomboid), and readings equal but for their signs mean a mirrored pair (a trapezium).
See docs/method/angles.md.
"""

import math
from dataclasses import dataclass
from enum import StrEnum

from pitchline.kit.geometry.frames import (
    ORIGIN,
    X_AXIS,
    Z_AXIS,
    Frame,
    Plane,
    Vec3,
    add,
    angle_between,
    cross,
    dot,
    rotate,
    scale,
    unit,
)
from pitchline.kit.tolerances import ENDS_ALIKE_DEG, SAME_DIRECTION


@dataclass(frozen=True, slots=True)
class SawReading:
    """Saw settings of one end cut in degrees, both read from a square cut.

    ``mitre_deg`` is positive when the cut's +x side turns towards +y, ``bevel_deg`` when it leans towards +z.
    """

    mitre_deg: float
    bevel_deg: float

    def __post_init__(self) -> None:
        if not (abs(self.mitre_deg) < 90.0 and abs(self.bevel_deg) < 90.0):
            raise ValueError("an end cut has a mitre and a bevel of less than 90 degrees")

    @property
    def from_edge_deg(self) -> float:
        """What a protractor laid on the piece's edge reads: 90 for a square cut."""
        return 90.0 - abs(self.mitre_deg)

    @property
    def rise_per_100(self) -> float:
        """The mitre as a slope: so many mm along the piece in 100 mm across it (negative like the mitre)."""
        return slope_per(self.mitre_deg, 100.0)

    @property
    def rise_per_12(self) -> float:
        """The mitre on a steel square: what to set on the tongue with 12 on the blade."""
        return slope_per(self.mitre_deg, 12.0)

    @property
    def bevel_per_100(self) -> float:
        """The bevel as a slope: so many mm of lean in 100 mm of thickness, square to the mitre's trace."""
        return slope_per(self.bevel_deg, 100.0)

    @property
    def normal(self) -> Vec3:
        """Unit normal of the cut in the piece's own axes, on its +x side."""
        m, b = math.radians(self.mitre_deg), math.radians(self.bevel_deg)
        return (math.cos(b) * math.cos(m), math.cos(b) * math.sin(m), math.sin(b))

    @property
    def mirrored(self) -> "SawReading":
        """The reading of the same cut on a mirrored piece, or at the other end of a trapezium."""
        return SawReading(-self.mitre_deg, -self.bevel_deg)


class EndsRelation(StrEnum):
    """How the two end cuts of a piece stand to each other."""

    SQUARE = "square"
    """Both ends are cross-cut."""
    PARALLEL = "parallel"
    """One setting cuts both ends, the piece is only pushed along."""
    MIRRORED = "mirrored"
    """One setting cuts both ends when the piece is turned over between them."""
    DIFFERENT = "different"
    """Each end needs its own setting."""


def slope_per(angle_deg: float, base: float) -> float:
    """How far a line at this angle rises over ``base``: base times the tangent."""
    return base * math.tan(math.radians(angle_deg))


def angle_of_slope(rise: float, base: float) -> float:
    """The angle in degrees of a line that rises ``rise`` over ``base``."""
    return math.degrees(math.atan2(rise, base))


def saw_reading(normal: Vec3) -> SawReading:
    """Mitre and bevel of an end cut from its normal in the piece's own axes, either side.

    Raises ValueError when the plane runs along the piece: that is a rip, not an end cut.
    """
    n = unit(normal)
    if abs(n[0]) <= SAME_DIRECTION:
        raise ValueError("a cut along the piece is no end cut")
    if n[0] < 0.0:
        n = scale(n, -1.0)
    mitre = math.degrees(math.atan2(n[1], n[0]))
    bevel = math.degrees(math.atan2(n[2], math.hypot(n[0], n[1])))
    return SawReading(mitre + 0.0, bevel + 0.0)


def start_plane(point: Vec3, reading: SawReading) -> Plane:
    """The cut at a piece's start with this reading through ``point``; the material lies towards +x."""
    return Plane(point, scale(reading.normal, -1.0))


def end_plane(point: Vec3, reading: SawReading) -> Plane:
    """The cut at a piece's far end with this reading through ``point``; the material lies towards -x."""
    return Plane(point, reading.normal)


def ends_relation(start: SawReading, end: SawReading, within_deg: float = ENDS_ALIKE_DEG) -> EndsRelation:
    """How two end cuts stand to each other, within an angle in degrees."""

    def alike(a: SawReading, b: SawReading) -> bool:
        off = max(abs(a.mitre_deg - b.mitre_deg), abs(a.bevel_deg - b.bevel_deg))
        return off <= within_deg

    plain = SawReading(0.0, 0.0)
    if alike(start, plain) and alike(end, plain):
        return EndsRelation.SQUARE
    if alike(start, end):
        return EndsRelation.PARALLEL
    if alike(start, end.mirrored):
        return EndsRelation.MIRRORED
    return EndsRelation.DIFFERENT


@dataclass(frozen=True, slots=True)
class Joint:
    """Two straight rails mitred in the plane that bisects them; angles in degrees.

    ``turn_deg`` is the true change of direction. ``first`` and ``second`` are the saw readings of the two
    rails, each lying on its base (wide face down, x along its own direction of travel). ``roll_deg`` is how
    far the second rail would have to be rolled about its own length, from upright, for a moulded section to
    run on (or the first by as much the other way); a moulding can be mitred only where it is 0, a round rail
    always.
    """

    turn_deg: float
    first: SawReading
    second: SawReading
    roll_deg: float
    normal: Vec3


def direction_of(plan_deg: float, pitch_deg: float) -> Vec3:
    """Unit direction of travel from its bearing in plan and its pitch above the level."""
    plan, pitch = math.radians(plan_deg), math.radians(pitch_deg)
    return (math.cos(pitch) * math.cos(plan), math.cos(pitch) * math.sin(plan), math.sin(pitch))


def rail_frame(direction: Vec3, roll_deg: float = 0.0) -> Frame:
    """Axes of a rail that lies along ``direction`` with its base down: x along, y level to its left, z up.

    ``roll_deg`` turns it about its own length. A plumb rail has no level base; its z is then set by the
    world's x. The base is the wide face of the saw reading.
    """
    placed = Frame.from_xz(ORIGIN, direction, X_AXIS if _plumb(unit(direction)) else Z_AXIS)
    return _rolled(placed, roll_deg)


def joint_between(direction1: Vec3, direction2: Vec3, roll_deg: float = 0.0) -> Joint:
    """The mitre between two rails, the first arriving along ``direction1``, the second leaving along the other.

    ``roll_deg`` is how far the first rail is rolled about its length from lying base down; the second is taken
    base down. Next to a plumb piece, which has no base, the section is taken to run on. Raises
    ValueError when the second rail runs straight back.
    """
    d1, d2 = unit(direction1), unit(direction2)
    both = add(d1, d2)
    if dot(both, both) <= SAME_DIRECTION:
        raise ValueError("a rail that runs straight back on itself cannot be mitred")
    normal = unit(both)
    mirror = Plane(ORIGIN, normal)
    placed1 = _next_to_plumb(d1, mirror.mirrored(rail_frame(d2).z)) if _plumb(d1) else rail_frame(d1)
    placed1 = _rolled(placed1, roll_deg)
    carried = mirror.mirrored(placed1.z)
    placed2 = _next_to_plumb(d2, carried) if _plumb(d2) else rail_frame(d2)
    twist = math.atan2(dot(cross(placed2.z, carried), d2), dot(placed2.z, carried))
    return Joint(
        turn_deg=math.degrees(angle_between(d1, d2)),
        first=saw_reading(placed1.direction_to_local(normal)),
        second=saw_reading(placed2.direction_to_local(normal)),
        roll_deg=math.degrees(twist),
        normal=normal,
    )


def _rolled(frame: Frame, roll_deg: float) -> Frame:
    if roll_deg == 0.0:
        return frame
    return Frame.from_xz(frame.origin, frame.x, rotate(frame.z, frame.x, math.radians(roll_deg)))


def _next_to_plumb(direction: Vec3, section_up: Vec3) -> Frame:
    return Frame.from_xz(ORIGIN, direction, section_up)


def _plumb(direction: Vec3) -> bool:
    return abs(direction[2]) >= 1.0 - SAME_DIRECTION
