"""What fixings bear: bases of posts and ends of rails against what acts on them. N, Nmm.

Glue counts for nothing here: a base or end that only glue holds has no strength that may be counted.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

from pitchline.catalogue.strength import FixingType
from pitchline.strength.bases.joints import (
    Base,
    Dowelled,
    FaceFixed,
    InSocket,
    OnPlate,
    PostEnd,
    group_places,
    row_heights,
)
from pitchline.strength.bases.supports import Support
from pitchline.strength.ec5 import axial, edition_2025, factors, groups, lateral
from pitchline.strength.limits import grade_of
from pitchline.strength.nds import joints as nds
from pitchline.strength.nds import members as nds_members
from pitchline.strength.settings import Code, RailFixing, StrengthSettings
from pitchline.strength.woods import PSI, Wood

POUND = 4.4482216152605
INCH = 25.4
STEEL_FACTOR = 1.25
"""gamma_M2 of bolts in tension (EN 1993-1-8)."""

SHORT = factors.Duration.SHORT


@dataclass(frozen=True, slots=True)
class Actions:
    """What acts on a joint: turning across and along (Nmm), shear across and along, pull out of it (N)."""

    across: float
    along: float
    shear_across: float
    shear_along: float
    pull: float


@dataclass(frozen=True, slots=True)
class FixingStrength:
    """What one fixing bears pushed sideways and pulled, N, by a code, and the words for it."""

    lateral: float
    axial: float
    squared: bool
    clause: str
    worked: str


@dataclass(frozen=True, slots=True)
class Between:
    """What a fixing joins: the head side and the point side with their thicknesses (mm); point None: masonry."""

    head: Wood
    head_thickness: float
    point: Wood | None
    point_thickness: float


def fixing_strength(
    fixing: FixingType, between: Between, thread: float, settings: StrengthSettings, code: Code
) -> FixingStrength:
    """One fixing by the chosen code, both woods pushed square to the grain (the weaker way)."""
    if code is Code.NDS_2018:
        return _by_nds(fixing, between, thread, settings)
    return _by_ec5(fixing, between, thread, settings, code)


def _by_ec5(
    fixing: FixingType, between: Between, thread: float, settings: StrengthSettings, code: Code
) -> FixingStrength:
    bolt = fixing.kind == "bolt"
    head, point = between.head, between.point or between.head
    d = fixing.d if bolt else lateral.screw_diameter(fixing.d, fixing.root, shank_in_point=False)
    fh1, fh2 = _embedment(head, d), _embedment(point, d)
    my = lateral.yield_moment(d, fixing.f_u)
    deep = between.point_thickness if bolt else min(thread, between.point_thickness)
    kind = lateral.Fastener.BOLT if bolt else lateral.Fastener.SCREW
    pull = _bolt_pull(fixing, between) if bolt else _screw_pull(fixing, point, deep, code)
    modes = lateral.with_rope(
        lateral.single_shear(between.head_thickness, deep, d, fh1, fh2, my), kind, pull, "ab"
    )
    mode = lateral.weakest(modes)
    k_mod = factors.k_mod("solid", settings.service, SHORT)
    share = k_mod / factors.JOINT_FACTOR
    steel = 0.9 * fixing.f_u * fixing.stress_area / STEEL_FACTOR
    axial_bears = min(pull * share, steel)
    worked = (
        f"{fixing.name}: mode {mode.letter} F_v,Rk {mode.resistance:.0f} N, F_ax,Rk {pull:.0f} N, k_mod {k_mod:g}, "
        f"gamma {factors.JOINT_FACTOR:g}"
    )
    return FixingStrength(mode.resistance * share, axial_bears, True, f"{code} 8.2.2, 8.5, 8.7", worked)


def _embedment(wood: Wood, d: float) -> float:
    if wood.family == "plywood":
        return lateral.embedment_plywood(d, wood.rho_k, thin=d <= 6.0)
    kind = lateral.Wood.SOFTWOOD if wood.softwood else lateral.Wood.HARDWOOD
    return lateral.embedment(lateral.embedment_along(d, wood.rho_k), d, math.pi / 2, kind)


def _bolt_pull(fixing: FixingType, between: Between) -> float:
    washer = math.pi * (fixing.head**2 - (fixing.d + fixing.hole) ** 2) / 4.0
    woods = [between.head] + ([between.point] if between.point is not None else [])
    weakest = min(wood.values.f_c90 for wood in woods)
    return lateral.bolt_withdrawal(weakest, washer, fixing.f_u * fixing.stress_area)


def _screw_pull(fixing: FixingType, wood: Wood, thread: float, code: Code) -> float:
    if code is Code.EC5_2025:
        return edition_2025.withdrawal(fixing.d, thread, wood.rho_k, hardwood=not wood.softwood)
    if fixing.pull > 0.0:
        return axial.withdrawal_declared(fixing.pull, fixing.d, thread, wood.rho_k, 350.0)
    return axial.withdrawal(fixing.d, thread, wood.rho_k)


def _by_nds(
    fixing: FixingType, between: Between, thread: float, settings: StrengthSettings
) -> FixingStrength:
    bolt = fixing.kind == "bolt"
    head = grade_of(between.head)
    point = grade_of(between.point) if between.point is not None else head
    d = (fixing.d if bolt else fixing.root) / INCH
    deep = between.point_thickness if bolt else min(thread, between.point_thickness)
    modes = nds.single_shear(
        d,
        deep / INCH,
        between.head_thickness / INCH,
        nds.bearing(point.gravity, d, 90.0),
        nds.bearing(head.gravity, d, 90.0),
        nds.bending_yield(d, screw_or_nail=not bolt),
        90.0,
    )
    mode = nds.weakest(modes)
    c_d = nds_members.C_D[settings.duration]
    if bolt:
        washer = math.pi * (fixing.head**2 - (fixing.d + fixing.hole) ** 2) / 4.0
        pull = min(head.f_c90, point.f_c90) * PSI * washer
    else:
        pull = nds.screw_withdrawal(point.gravity, fixing.d / INCH) * thread / INCH * POUND * c_d
        c_d *= nds.penetration_factor(deep / INCH, fixing.d / INCH)
    value = mode.value * POUND * c_d
    worked = (
        f"{fixing.name}: mode {mode.name} Z {mode.value:.0f} lb, C_D {c_d:.2f}, pull {pull / POUND:.0f} lb"
    )
    if value == 0.0:
        worked = (
            f"{fixing.name}: so little of it is in the wood that the NDS counts nothing (12.1.5, 6 diameters)"
        )
    return FixingStrength(value, pull, False, "NDS 2018 12.2, 12.3, 12.4", worked)


def both(strength: FixingStrength, shear: float, pull: float) -> float:
    """Ratio of one fixing pushed and pulled: the root of the sum of squares (EN 1995-1-1 8.7.3) or the sum (NDS)."""
    across = shear / strength.lateral if strength.lateral > 0.0 else math.inf
    out = max(0.0, pull) / strength.axial if strength.axial > 0.0 else math.inf
    return math.hypot(across, out) if strength.squared else across + out


Judge = Callable[[Actions], float]


@dataclass(frozen=True, slots=True)
class BaseStrength:
    """How a base is judged: the ratio for given actions, clause and words; ``judge`` None: not known."""

    judge: Judge | None
    clause: str
    worked: str


def base_strength(
    base: Base, end: PostEnd, support: Support, settings: StrengthSettings, code: Code
) -> BaseStrength:
    """What a base bears. A base as found is not known; one that only glue holds bears nothing."""
    if isinstance(base, FaceFixed):
        between = Between(end.wood, end.across - base.notch, support.wood, support.thickness)
        strength = fixing_strength(base.fixing, between, base.thread, settings, code)
        group = _face_group(base, code)
        return BaseStrength(lambda a: _face_ratio(base, strength, group, a), strength.clause, strength.worked)
    if isinstance(base, OnPlate):
        between = Between(support.wood or end.wood, base.thread, support.wood, base.thread)
        strength = fixing_strength(base.fixing, between, base.thread, settings, code)
        group = _plate_group(base, code)
        return BaseStrength(
            lambda a: _plate_ratio(base, strength, group, a), strength.clause, strength.worked
        )
    if isinstance(base, InSocket):
        limit = _pressed(end.wood, settings, code)
        clause = "NDS 2018 3.10" if code is Code.NDS_2018 else f"{code} 6.1.5"
        return BaseStrength(
            lambda a: _socket_ratio(base, end, limit, a), clause, f"{limit:.2f} MPa square to the grain"
        )
    if isinstance(base, Dowelled):
        return BaseStrength(lambda _: math.inf, "project rule", "held by glue alone: glue is not counted on")
    return BaseStrength(None, "", "a base as found is not known")


def _pressed(wood: Wood, settings: StrengthSettings, code: Code) -> float:
    """Strength square to the grain, MPa."""
    if code is Code.NDS_2018:
        return grade_of(wood).f_c90 * PSI
    return wood.values.f_c90 * factors.k_mod("solid", settings.service, SHORT) / factors.gamma_m("solid")


@dataclass(frozen=True, slots=True)
class Group:
    """How many of a base's fixings count: of one row and of all when pulled out, of all when slid up and down."""

    row: float
    pulled: float
    slid: float


def _face_group(base: FaceFixed, code: Code) -> Group:
    """EN 1995-1-1 8.7.2(8) for screws that are pulled, 8.5.1.1(4) for a row along the newel's grain."""
    count = base.rows * base.columns
    if code is Code.NDS_2018:
        return Group(base.columns, count, count)
    in_row = groups.bolts_in_row(base.rows, base.pitch, base.fixing.d)
    if base.fixing.kind == "bolt":
        return Group(base.columns, count, base.columns * in_row)
    return Group(axial.effective_count(base.columns), axial.effective_count(count), base.columns * in_row)


def _plate_group(base: OnPlate, code: Code) -> Group:
    """Half the screws are pulled together by a moment, all of them by a pull."""
    half = base.count / 2.0
    if code is Code.NDS_2018:
        return Group(half, base.count, base.count)
    return Group(axial.effective_count(half), axial.effective_count(base.count), base.count)


def _face_ratio(base: FaceFixed, strength: FixingStrength, group: Group, a: Actions) -> float:
    heights = row_heights(base)
    count = base.rows * base.columns
    pull = (
        abs(a.across) * max(heights) / (group.row * sum(z**2 for z in heights))
        + abs(a.shear_across) / group.pulled
    )
    places = group_places(base)
    polar = sum(x**2 + z**2 for x, z in places)
    turned = abs(a.along) * max(math.hypot(x, z) for x, z in places) / polar if polar > 0.0 else 0.0
    if polar == 0.0 and a.along:
        return math.inf
    return both(strength, turned + math.hypot(a.shear_along / count, a.pull / group.slid), pull)


def _plate_ratio(base: OnPlate, strength: FixingStrength, group: Group, a: Actions) -> float:
    pull = (abs(a.across) / base.lever_across + abs(a.along) / base.lever_along) / group.row
    pull += max(0.0, a.pull) / group.pulled
    return both(strength, math.hypot(a.shear_across, a.shear_along) / base.count, pull)


def _socket_ratio(base: InSocket, end: PostEnd, limit: float, a: Actions) -> float:
    """Pressure 6 M / (w d^2) + 4 V / (w d) at the socket's mouth, straight over its depth, on each pair of faces."""
    depth = base.depth
    first = (6.0 * abs(a.across) / depth + 4.0 * abs(a.shear_across)) / (end.along * depth)
    second = (6.0 * abs(a.along) / depth + 4.0 * abs(a.shear_along)) / (end.across * depth)
    return max(first, second) / limit


def rail_end_ratio(strength: FixingStrength, rail: RailFixing, shear: float, pull: float) -> float:
    """Fixings at a rail's end under its shear and its pull out of the newel."""
    return both(strength, shear / rail.count, pull / rail.count)
