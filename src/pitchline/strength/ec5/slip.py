"""How far joints slip: EN 1995-1-1:2004 section 7.1. N/mm per shear plane and fastener; rho_m in kg/m3."""

import math


def joint_density(first: float, second: float) -> float:
    """7.1(2): rho_m = sqrt(rho_m,1 rho_m,2)."""
    return math.sqrt(first * second)


def k_ser(density: float, diameter: float, to_steel: bool = False) -> float:
    """Table 7.1: K_ser = rho_m^1.5 d / 23 of bolts, dowels, screws and predrilled nails; twice to steel (7.1(3)).

    The play of bolts in their holes comes on top.
    """
    return math.pow(density, 1.5) * diameter / 23.0 * (2.0 if to_steel else 1.0)


def k_ser_nail(density: float, diameter: float) -> float:
    """Table 7.1: rho_m^1.5 d^0.8 / 30 of nails driven without a hole (from memory)."""
    return math.pow(density, 1.5) * math.pow(diameter, 0.8) / 30.0


def k_u(slip: float) -> float:
    """2.2.2(2) (2.1): K_u = 2/3 K_ser at the ultimate limit."""
    return 2.0 / 3.0 * slip


def k_ser_axial(diameter: float, length: float) -> float:
    """Pull along a screw with ``length`` of thread in the wood: 780 d^0.2 l_ef^0.4, N/mm.

    Of the kind stated in European technical assessments of screws (from memory); EN 1995-1-1:2004 has none.
    """
    return 780.0 * math.pow(diameter, 0.2) * math.pow(length, 0.4)
