"""What is known to differ in EN 1995-1-1:2025: shear of cracked timber and screws pulled out.

Read second hand, in an open program's data. Every other clause is taken over from the 2004 text, unseen.
"""

import math


def k_v(shear_strength: float, depth: float) -> float:
    """Takes the place of k_cr for solid timber: k_h,v 2.3 / f_v,k, at most 1; k_h,v = (150/h)^0.2 from 1 to 1.3."""
    size = max(1.0, min(math.pow(150.0 / depth, 0.2), 1.3))
    return min(1.0, size * 2.3 / shear_strength)


def withdrawal_strength(
    diameter: float, density: float, hardwood: bool = False, angle: float = math.pi / 2
) -> float:
    """Table 11.2: f_w,k = 8.2 k_w d^-0.33 (rho_k / 350)^k_rho, MPa, of screws 3.5 to 22 mm in solid timber.

    ``angle`` to the grain in radians: k_w = 1 from 30 degrees, else 0.3 + 0.7 angle / 30; k_rho 1.1 softwood (0.7 up
    to 5 degrees), 1.6 hardwood.
    """
    degrees = math.degrees(angle)
    k_w = 1.0 if degrees >= 30.0 else 0.3 + 0.7 * degrees / 30.0
    power = 1.6 if hardwood else (0.7 if degrees <= 5.0 else 1.1)
    return 8.2 * k_w * math.pow(diameter, -0.33) * math.pow(density / 350.0, power)


def withdrawal(
    diameter: float, length: float, density: float, hardwood: bool = False, angle: float = math.pi / 2
) -> float:
    """F_w,k = pi d l_w f_w,k of one screw, N; needs 5 d of thread, density up to 700 kg/m3, d1/d 0.55 to 0.76."""
    return math.pi * diameter * length * withdrawal_strength(diameter, density, hardwood, angle)
