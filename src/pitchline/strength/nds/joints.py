"""Dowel-type fasteners: NDS 2018 chapter 12. Pounds, inches, psi, degrees, specific gravity."""

import math
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class YieldMode:
    """One yield mode of table 12.3.1 and its reference value, lb."""

    name: str
    value: float


def bearing_along(gravity: float) -> float:
    """12.3.3: F_e,par = 11 200 G, for D of 1/4 in and more."""
    return 11200.0 * gravity


def bearing_square(gravity: float, diameter: float) -> float:
    """12.3.3: F_e,perp = 6100 G^1.45 / sqrt(D), for D of 1/4 in and more."""
    return 6100.0 * math.pow(gravity, 1.45) / math.sqrt(diameter)


def bearing_small(gravity: float) -> float:
    """12.3.3: F_e = 16 600 G^1.84 for D under 1/4 in, in every direction."""
    return 16600.0 * math.pow(gravity, 1.84)


def bearing_at_angle(along: float, square: float, angle: float) -> float:
    """12.3.4 (12.3-11): F_e,theta = F_par F_perp / (F_par sin^2 + F_perp cos^2)."""
    s, c = math.sin(math.radians(angle)) ** 2, math.cos(math.radians(angle)) ** 2
    return along * square / (along * s + square * c)


def bearing(gravity: float, diameter: float, angle: float) -> float:
    """Dowel bearing strength for any diameter and angle to the grain, psi."""
    if diameter < 0.25:
        return bearing_small(gravity)
    return bearing_at_angle(bearing_along(gravity), bearing_square(gravity, diameter), angle)


def bending_yield(diameter: float, screw_or_nail: bool) -> float:
    """Table I1 (from memory): F_yb of bolts and lags 45 000; of nails and screws 100 000 to 60 000."""
    if not screw_or_nail:
        return 45000.0
    for limit, strength in ((0.142, 100000.0), (0.177, 90000.0), (0.236, 80000.0), (0.273, 70000.0)):
        if diameter <= limit:
            return strength
    return 60000.0


def _reductions(diameter: float, angle: float) -> tuple[float, float, float]:
    """Table 12.3.1B: R_d of modes I, II and the rest."""
    if diameter < 0.25:
        small = 2.2 if diameter <= 0.17 else 10.0 * diameter + 0.5
        return small, small, small
    turn = 1.0 + 0.25 * angle / 90.0
    return 4.0 * turn, 3.6 * turn, 3.2 * turn


def single_shear(
    diameter: float,
    main: float,
    side: float,
    main_bearing: float,
    side_bearing: float,
    yielding: float,
    angle: float = 0.0,
) -> tuple[YieldMode, ...]:
    """Table 12.3.1A: modes Im, Is, II, IIIm, IIIs, IV; ``angle`` is the largest of load to grain, degrees.

    ``main``, ``side``: dowel bearing lengths; D is the root diameter where threads lie in the shear plane.
    """
    d, fem, fes = diameter, main_bearing, side_bearing
    re, rt = fem / fes, main / side
    first, second, rest = _reductions(diameter, angle)
    k1 = (math.sqrt(re + 2 * re**2 * (1 + rt + rt**2) + rt**2 * re**3) - re * (1 + rt)) / (1 + re)
    k2 = -1 + math.sqrt(2 * (1 + re) + 2 * yielding * (1 + 2 * re) * d**2 / (3 * fem * main**2))
    k3 = -1 + math.sqrt(2 * (1 + re) / re + 2 * yielding * (2 + re) * d**2 / (3 * fem * side**2))
    return (
        YieldMode("Im", d * main * fem / first),
        YieldMode("Is", d * side * fes / first),
        YieldMode("II", k1 * d * side * fes / second),
        YieldMode("IIIm", k2 * d * main * fem / ((1 + 2 * re) * rest)),
        YieldMode("IIIs", k3 * d * side * fem / ((2 + re) * rest)),
        YieldMode("IV", d**2 / rest * math.sqrt(2 * fem * yielding / (3 * (1 + re)))),
    )


def double_shear(
    diameter: float,
    main: float,
    side: float,
    main_bearing: float,
    side_bearing: float,
    yielding: float,
    angle: float = 0.0,
) -> tuple[YieldMode, ...]:
    """Table 12.3.1A: modes Im, Is, IIIs, IV for two shear planes together."""
    one = single_shear(diameter, main, side, main_bearing, side_bearing, yielding, angle)
    twice = {"Is", "IIIs", "IV"}
    return tuple(
        YieldMode(mode.name, mode.value * (2.0 if mode.name in twice else 1.0))
        for mode in one
        if mode.name in twice or mode.name == "Im"
    )


def weakest(modes: tuple[YieldMode, ...]) -> YieldMode:
    """The mode that governs."""
    return min(modes, key=lambda mode: mode.value)


def lag_withdrawal(gravity: float, diameter: float) -> float:
    """12.2.1 (12.2-1): W = 1800 G^1.5 D^0.75, lb per inch of thread in side grain; end grain 0.75 of it."""
    return 1800.0 * math.pow(gravity, 1.5) * math.pow(diameter, 0.75)


def screw_withdrawal(gravity: float, diameter: float) -> float:
    """12.2.2 (12.2-2): W = 2850 G^2 D, lb per inch of thread in side grain; none in end grain."""
    return 2850.0 * gravity**2 * diameter


def nail_withdrawal(gravity: float, diameter: float) -> float:
    """12.2.3 (12.2-3): W = 1380 G^2.5 D, lb per inch of a smooth nail in side grain."""
    return 1380.0 * math.pow(gravity, 2.5) * diameter


def penetration_factor(length: float, diameter: float, lag: bool = False) -> float:
    """12.1.4 to 12.1.6 (from memory): share of the table value at this penetration; 0 below the least one.

    Lags 4 D least and 8 D full, screws and nails 6 D and 10 D.
    """
    least, full = (4.0, 8.0) if lag else (6.0, 10.0)
    ratio = length / diameter
    return 0.0 if ratio < least else min(1.0, ratio / full)


def load_slip(diameter: float, steel: bool) -> float:
    """11.3.6: gamma = 180 000 D^1.5 lb/in wood to wood, 270 000 D^1.5 wood to steel (the latter from memory)."""
    return (270000.0 if steel else 180000.0) * math.pow(diameter, 1.5)


def group_action(count: int, apart: float, slip: float, first: float, second: float) -> float:
    """11.3.6 (11.3-1): C_g of a row of ``count`` fasteners ``apart`` inches; ``first``, ``second`` are E A (lb)."""
    if count <= 1:
        return 1.0
    ratio = min(first, second) / max(first, second)
    u = 1.0 + slip * apart / 2.0 * (1.0 / first + 1.0 / second)
    m = u - math.sqrt(u**2 - 1.0)
    top = m * (1.0 - m ** (2 * count))
    below = count * ((1.0 + ratio * m**count) * (1.0 + m) - 1.0 + m ** (2 * count))
    return top / below * (1.0 + ratio) / (1.0 - m)


def geometry_factor(
    edge: float, end: float, apart: float, diameter: float, square: bool, softwood: bool = True
) -> float:
    """12.5.1: C_delta of bolts and lags of 1/4 in and more; 0 where a least distance is not kept (from memory).

    ``square`` to the grain: 4 D to a loaded edge, 4 D (2 D least) to the end; along: 1.5 D, 7 D softwood (3.5 D
    least) or 5 D hardwood (2.5 D least) loaded towards the end. In rows 4 D apart, 3 D least.
    """
    needed_edge = 4.0 if square else 1.5
    full_end = 4.0 if square else (7.0 if softwood else 5.0)
    if edge < needed_edge * diameter or end < full_end / 2.0 * diameter or apart < 3.0 * diameter:
        return 0.0
    return min(1.0, end / (full_end * diameter), apart / (4.0 * diameter))


def pulled_both_ways(lateral: float, withdrawal: float, load: float, angle: float) -> float:
    """12.4.1 (12.4-1): a load at ``angle`` degrees to the wood's face against Z'_alpha of lags and screws; ratio."""
    s, c = math.sin(math.radians(angle)) ** 2, math.cos(math.radians(angle)) ** 2
    return load * (withdrawal * c + lateral * s) / (withdrawal * lateral)
