"""Members: NDS 2018 chapters 3 and 4. Any one unit of stress and of length throughout, unless a docstring says."""

import math
from enum import StrEnum


class LoadDuration(StrEnum):
    """How long a load acts in all (table 2.3.2)."""

    PERMANENT = "permanent"
    TEN_YEARS = "ten years"
    TWO_MONTHS = "two months"
    SEVEN_DAYS = "seven days"
    TEN_MINUTES = "ten minutes"
    IMPACT = "impact"


C_D = {
    LoadDuration.PERMANENT: 0.9,
    LoadDuration.TEN_YEARS: 1.0,
    LoadDuration.TWO_MONTHS: 1.15,
    LoadDuration.SEVEN_DAYS: 1.25,
    LoadDuration.TEN_MINUTES: 1.6,
    LoadDuration.IMPACT: 2.0,
}
"""Table 2.3.2: load duration factor; impact only for members, not joints (from memory)."""


def slenderness(length: float, depth: float, width: float) -> float:
    """3.3.3.6 (3.3-5): R_B = sqrt(l_e d / b^2), at most 50."""
    return math.sqrt(length * depth / width**2)


def critical_bending(modulus_min: float, ratio: float) -> float:
    """3.3.3.8: F_bE = 1.20 E'_min / R_B^2."""
    return 1.20 * modulus_min / ratio**2


def beam_stability(critical: float, strength: float) -> float:
    """3.3.3.8 (3.3-6): C_L from F_bE and F_b* (all factors but C_L, C_fu, C_V)."""
    return _interaction(critical / strength, 1.9, 0.95)


def _interaction(x: float, double: float, c: float) -> float:
    half = (1.0 + x) / double
    return half - math.sqrt(half**2 - x / c)


def critical_column(modulus_min: float, length: float, depth: float) -> float:
    """3.7.1.5: F_cE = 0.822 E'_min / (l_e / d)^2."""
    return 0.822 * modulus_min / (length / depth) ** 2


def column_stability(critical: float, strength: float, c: float = 0.8) -> float:
    """3.7.1.5 (3.7-1): C_P; c = 0.8 sawn, 0.9 glued."""
    return _interaction(critical / strength, 2.0 * c, c)


def bending_with_compression(
    compression: float, compression_strength: float, critical: float, bending: float, bending_strength: float
) -> float:
    """3.9.2 (3.9-3) in one plane: (f_c/F'_c)^2 + f_b / (F'_b (1 - f_c/F_cE)), limit 1."""
    return (compression / compression_strength) ** 2 + bending / (
        bending_strength * (1.0 - compression / critical)
    )


def bending_two_ways(
    edgewise: float, edgewise_strength: float, flatwise: float, flatwise_strength: float, critical: float
) -> float:
    """3.9.2 without axial stress: f_b1/F'_b1 + f_b2 / (F'_b2 (1 - (f_b1/F_bE)^2)), limit 1."""
    return edgewise / edgewise_strength + flatwise / (flatwise_strength * (1.0 - (edgewise / critical) ** 2))


def bending_with_tension(
    tension: float, tension_strength: float, bending: float, bending_strength: float
) -> float:
    """3.9.1 (3.9-1): f_t/F'_t + f_b/F*_b, limit 1."""
    return tension / tension_strength + bending / bending_strength


def shear_stress(force: float, width: float, depth: float) -> float:
    """3.4.2 (3.4-2): f_v = 3 V / (2 b d)."""
    return 1.5 * force / (width * depth)


def notched_shear(strength: float, width: float, left: float, depth: float) -> float:
    """3.4.3.2 (3.4-3): V'_r = (2/3 F'_v b d_n) (d_n/d)^2 at a notch on the tension face at an end (from memory)."""
    return 2.0 / 3.0 * strength * width * left * (left / depth) ** 2


def connection_shear(strength: float, width: float, edge: float, depth: float) -> float:
    """3.4.3.3 (3.4-6): V'_r = (2/3 F'_v b d_e) (d_e/d)^2 at fasteners less than 5 d from the end (from memory)."""
    return 2.0 / 3.0 * strength * width * edge * (edge / depth) ** 2


def bearing_area_factor(length: float) -> float:
    """3.10.4 (3.10-2): C_b = (l_b + 0.375) / l_b, inches, for bearings under 6 in and 3 in from an end."""
    return (length + 0.375) / length if length < 6.0 else 1.0


def bearing_at_angle(along: float, square: float, angle: float) -> float:
    """3.10.3 (3.10-1): F'_theta = F*_c F'_c,perp / (F*_c sin^2 + F'_c,perp cos^2), angle in radians."""
    return along * square / (along * math.sin(angle) ** 2 + square * math.cos(angle) ** 2)


def size_factor(depth: float) -> float:
    """Table 4A (from memory): C_F on bending of sawn lumber 2 to 4 in thick by its depth in inches."""
    for limit, factor in ((4.0, 1.5), (5.0, 1.4), (6.0, 1.3), (8.0, 1.2), (10.0, 1.1), (12.0, 1.0)):
        if depth <= limit:
            return factor
    return 0.9


def torsion_strength(shear_strength: float) -> float:
    """Allowable shear in torsion: two thirds of F'_v, common practice (Wood Handbook: solid wood in torsion)."""
    return 2.0 / 3.0 * shear_strength
