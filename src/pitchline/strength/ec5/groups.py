"""Fasteners together: how many count, and how far apart they stand. EN 1995-1-1:2004 sections 8.3, 8.5, 8.7.

Spacings in mm after tables 8.2, 8.4, 8.5 and 8.6; ``angle`` in radians between the force and the grain.
"""

import math
from dataclasses import dataclass
from itertools import pairwise

from pitchline.strength.ec5.lateral import Fastener


def bolts_in_row(count: int, apart: float, diameter: float) -> float:
    """8.5.1.1(4) (8.34): n_ef = min(n, n^0.9 (a1 / 13 d)^0.25) of bolts and screws over 6 mm along the grain."""
    if count <= 1:
        return float(count)
    return min(float(count), math.pow(count, 0.9) * math.pow(apart / (13.0 * diameter), 0.25))


_NAIL_ROW = ((4.0, 0.5), (7.0, 0.7), (10.0, 0.85), (14.0, 1.0))


def nails_in_row(count: int, apart: float, diameter: float) -> float:
    """8.3.1.1(8) (8.17), table 8.1: n^k_ef of nails and thin screws, k_ef 0.5 at 4 d (predrilled) to 1 at 14 d."""
    ratio = apart / diameter
    power = _NAIL_ROW[0][1]
    for (x0, y0), (x1, y1) in pairwise(_NAIL_ROW):
        if ratio >= x0:
            power = min(y0 + (y1 - y0) * (ratio - x0) / (x1 - x0), y1)
    return math.pow(count, power)


@dataclass(frozen=True, slots=True)
class Spacing:
    """Least distances, mm: a1 along and a2 across the grain, a3 to a loaded (t) and unloaded (c) end, a4 to edges."""

    a1: float
    a2: float
    a3_t: float
    a3_c: float
    a4_t: float
    a4_c: float


def spacing(fastener: Fastener, diameter: float, angle: float, density: float, predrilled: bool) -> Spacing:
    """Tables 8.2 (nails and screws up to 6 mm), 8.4 (bolts and thicker screws), 8.5 (dowels).

    Nails and screws without a hole above 420 kg/m3 take the wider column; above 500 kg/m3 they need a hole anyway.
    """
    if fastener is Fastener.BOLT or (fastener is Fastener.SCREW and diameter > 6.0):
        return _bolts(diameter, angle)
    if fastener is Fastener.DOWEL:
        return _dowels(diameter, angle)
    return _nails(diameter, angle, density, predrilled)


def _nails(d: float, angle: float, density: float, predrilled: bool) -> Spacing:
    c, s = abs(math.cos(angle)), abs(math.sin(angle))
    thick = d >= 5.0
    if predrilled:
        edge = 3.0 + (4.0 if thick else 2.0) * s
        own = (4.0 + c, 3.0 + s, 7.0 + 5.0 * c, 7.0, edge, 3.0)
    elif density <= 420.0:
        edge = 5.0 + (5.0 if thick else 2.0) * s
        own = (5.0 + (7.0 if thick else 5.0) * c, 5.0, 10.0 + 5.0 * c, 10.0, edge, 5.0)
    else:
        edge = 7.0 + (5.0 if thick else 2.0) * s
        own = (7.0 + 8.0 * c, 7.0, 15.0 + 5.0 * c, 15.0, edge, 7.0)
    a1, a2, a3_t, a3_c, a4_t, a4_c = (value * d for value in own)
    return Spacing(a1, a2, a3_t, a3_c, a4_t, a4_c)


def _bolts(d: float, angle: float) -> Spacing:
    c, s = abs(math.cos(angle)), abs(math.sin(angle))
    loaded_edge = max((2.0 + 2.0 * s) * d, 3.0 * d)
    back = max((1.0 + 6.0 * s) * d, 4.0 * d)
    return Spacing((4.0 + c) * d, 4.0 * d, max(7.0 * d, 80.0), back, loaded_edge, 3.0 * d)


def _dowels(d: float, angle: float) -> Spacing:
    c, s = abs(math.cos(angle)), abs(math.sin(angle))
    end = max(7.0 * d, 80.0)
    loaded_edge = max((2.0 + 2.0 * s) * d, 3.0 * d)
    return Spacing((3.0 + 2.0 * c) * d, 3.0 * d, end, max(3.0 * d, end * s), loaded_edge, 3.0 * d)


def axial_spacing(diameter: float) -> Spacing:
    """Table 8.6: screws pulled along themselves; the wood must be 12 d thick. a3 and a4 to the thread's centre."""
    d = diameter
    return Spacing(7.0 * d, 5.0 * d, 10.0 * d, 10.0 * d, 4.0 * d, 4.0 * d)


def least_penetration(diameter: float) -> float:
    """8.7.2(3): 6 d of thread in the point member, mm."""
    return 6.0 * diameter


def needs_hole(fastener: Fastener, diameter: float, density: float) -> bool:
    """8.3.1.1(2), 8.7.1 (from memory): wood above 500 kg/m3 and screws over 6 mm need a hole bored first."""
    return fastener in {Fastener.BOLT, Fastener.DOWEL} or diameter > 6.0 or density >= 500.0
