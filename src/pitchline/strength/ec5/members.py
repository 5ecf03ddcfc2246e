"""Stresses in members against strength: EN 1995-1-1:2004 section 6. Ratios of 1 and less hold.

Stresses and design strengths in MPa, sizes in mm, forces in N.
"""

import math

K_M_RECTANGLE = 0.7
"""6.1.6(2): redistribution of bending stress in rectangles of solid timber; 1.0 for other sections."""

K_CR = 0.67
"""6.1.7(2): share of the width that cracks leave for shear in solid timber and glulam; 1.0 for panels."""


def bending(
    stress_y: float, stress_z: float, strength_y: float, strength_z: float, k_m: float = K_M_RECTANGLE
) -> float:
    """6.1.6 (6.11), (6.12): the larger ratio of bending about two axes."""
    y, z = abs(stress_y) / strength_y, abs(stress_z) / strength_z
    return max(y + k_m * z, k_m * y + z)


def bending_with_axial(
    bending_ratio: float, axial_stress: float, tension_strength: float, compression_strength: float
) -> float:
    """6.2.3 (6.17) and 6.2.4 (6.19): the ratio of ``bending`` with tension (+) added, compression (-) squared."""
    if axial_stress >= 0.0:
        return bending_ratio + axial_stress / tension_strength
    return bending_ratio + (axial_stress / compression_strength) ** 2


def shear_stress(force: float, width: float, depth: float, k_cr: float = K_CR) -> float:
    """6.1.7 (6.13a): tau = 1.5 V / (k_cr b h) in a rectangle ``depth`` high in the direction of the force, MPa."""
    return 1.5 * abs(force) / (k_cr * width * depth)


def shear(stress_y: float, stress_z: float, strength: float) -> float:
    """6.1.7: the ratio of shear along two axes, their squares added (common practice: the clause has one axis)."""
    return math.hypot(stress_y, stress_z) / strength


def k_shape(width: float, depth: float) -> float:
    """6.1.8 (6.15): min(1 + 0.15 h/b, 2.0) of a rectangle, h its longer side (from memory)."""
    long, short = max(width, depth), min(width, depth)
    return min(1.0 + 0.15 * long / short, 2.0)


K_SHAPE_ROUND = 1.2
"""6.1.8 (6.15): of a round bar (from memory)."""


def torsion(stress: float, strength: float, shape: float) -> float:
    """6.1.8 (6.14): tau_tor / (k_shape f_v,d)."""
    return abs(stress) / (shape * strength)


def torsion_stress(moment: float, width: float, depth: float) -> float:
    """Largest shear stress of a rectangle in torsion, MPa: T (3 + 1.8 b/h) / (h b^2), b the shorter side.

    The usual closed approximation of Saint-Venant's solution (S. Timoshenko, Strength of Materials), within 5 %.
    """
    long, short = max(width, depth), min(width, depth)
    return abs(moment) * (3.0 + 1.8 * short / long) / (long * short**2)


def effective_bearing_length(length: float, to_end: float, to_next: float, overlap: float = 30.0) -> float:
    """6.1.5(1): contact length with up to 30 mm added on each side, no more than the end distance, l or l1/2, mm.

    ``to_end`` is the wood beyond the contact on the end side (0: none), ``to_next`` the clear distance to the next
    contact.
    """
    side = min(overlap, length)
    return length + min(side, to_end) + min(side, to_next / 2.0)


def k_c90(
    softwood: bool, glulam: bool, continuous: bool, contact: float, apart: float, depth: float
) -> float:
    """6.1.5(3), (4): 1 unless the next contact is 2 h away; then 1.25 or 1.5 (softwood), 1.5 or 1.75 (glulam).

    ``continuous`` support or discrete; discrete glulam contacts longer than 400 mm get 1.
    """
    if not softwood or apart < 2.0 * depth:
        return 1.0
    if continuous:
        return 1.5 if glulam else 1.25
    if glulam:
        return 1.75 if contact <= 400.0 else 1.0
    return 1.5


def compression_square(
    force: float, width: float, length: float, strength: float, k_c90_value: float
) -> float:
    """6.1.5 (6.3), (6.4): F / (b l_ef) against k_c,90 f_c,90,d."""
    return abs(force) / (width * length) / (k_c90_value * strength)


def compression_at_angle(along: float, square: float, angle: float, k_c90_value: float = 1.0) -> float:
    """6.2.2 (6.16): strength in compression at ``angle`` (radians) to the grain, MPa."""
    s, c = math.sin(angle) ** 2, math.cos(angle) ** 2
    return along / (along / (k_c90_value * square) * s + c)


def k_notch(depth: float, left: float, reach: float, k_n: float = 5.0, slope: float = 0.0) -> float:
    """6.5.2 (6.62): factor on the shear strength of the ``left`` depth h_ef beside a notch on the support's side.

    ``depth`` is h, ``reach`` x the distance from the line of the support force to the notch's corner, ``slope`` i of
    a notch that tapers 1 in i (0: square). k_n 5.0 solid (from memory), 6.5 glulam, 4.5 LVL.
    """
    alpha = left / depth
    if alpha >= 1.0:
        return 1.0
    root = math.sqrt(depth)
    below = root * (
        math.sqrt(alpha * (1.0 - alpha)) + 0.8 * reach / depth * math.sqrt(1.0 / alpha - alpha**2)
    )
    return min(1.0, k_n * (1.0 + 1.1 * math.pow(slope, 1.5) / root) / below)


def k_crit(bending_strength: float, critical: float) -> float:
    """6.3.3 (6.30), (6.34): factor for sideways buckling from the characteristic strength and sigma_m,crit, MPa."""
    slender = math.sqrt(bending_strength / critical)
    if slender <= 0.75:
        return 1.0
    return 1.56 - 0.75 * slender if slender <= 1.4 else 1.0 / slender**2


def critical_bending(width: float, depth: float, length: float, e_05: float) -> float:
    """6.3.3 (6.32): sigma_m,crit = 0.78 b^2 E_0,05 / (h l_ef) of a softwood rectangle, MPa."""
    return 0.78 * width**2 * e_05 / (depth * length)


def k_c(length: float, radius: float, compression: float, e_05: float, straightness: float = 0.2) -> float:
    """6.3.2 (6.21) to (6.29): buckling factor of a column; ``radius`` of gyration, beta_c 0.2 solid, 0.1 glulam."""
    slender = length / radius / math.pi * math.sqrt(compression / e_05)
    if slender <= 0.3:
        return 1.0
    k = 0.5 * (1.0 + straightness * (slender - 0.3) + slender**2)
    return 1.0 / (k + math.sqrt(k**2 - slender**2))
