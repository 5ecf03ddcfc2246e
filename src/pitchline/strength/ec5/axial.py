"""Screws pulled out and joints pulled both ways: EN 1995-1-1:2004 section 8.7. N, mm, MPa, kg/m3, radians."""

import math


def withdrawal_strength(diameter: float, length: float, density: float) -> float:
    """8.7.2(4) (8.39): f_ax,k = 0.52 d^-0.5 l_ef^-0.1 rho_k^0.8, MPa, of screws 6 to 12 mm with d1/d 0.6 to 0.75."""
    return 0.52 * math.pow(diameter, -0.5) * math.pow(length, -0.1) * math.pow(density, 0.8)


def withdrawal(
    diameter: float, length: float, density: float, angle: float = math.pi / 2, count: int = 1
) -> float:
    """8.7.2(4) (8.38): F_ax,Rk of ``count`` screws, N; ``length`` is the thread in the point member.

    ``angle`` between the screw and the grain. ValueError below 30 degrees, which the clause does not cover.
    """
    if angle < math.radians(30.0) - 1e-12:
        raise ValueError("the clause covers screws at 30 degrees to the grain and more")
    turn = 1.2 * math.cos(angle) ** 2 + math.sin(angle) ** 2
    short = min(diameter / 8.0, 1.0)
    strength = withdrawal_strength(diameter, length, density)
    return effective_count(count) * strength * diameter * length * short / turn


def withdrawal_declared(
    declared: float,
    diameter: float,
    length: float,
    density: float,
    declared_density: float,
    angle: float = math.pi / 2,
) -> float:
    """8.7.2(5) (8.40a): with a declared f_ax,k at its density, for screws outside the range of (8.39), N."""
    turn = 1.2 * math.cos(angle) ** 2 + math.sin(angle) ** 2
    return declared * diameter * length / turn * math.pow(density / declared_density, 0.8)


def head_pull(declared: float, head: float, density: float, declared_density: float = 350.0) -> float:
    """8.7.2(6) (8.40b): F_ax,Rk = f_head d_h^2 (rho_k / rho_a)^0.8, N."""
    return declared * head**2 * math.pow(density / declared_density, 0.8)


def effective_count(count: float) -> float:
    """8.7.2(8) (8.41): n_ef = n^0.9 of screws pulled together."""
    return math.pow(count, 0.9)


def pulled_both_ways(axial: float, axial_strength: float, lateral: float, lateral_strength: float) -> float:
    """8.7.3 (8.28): the sum of squares of both ratios, as one ratio whose limit is 1."""
    return (axial / axial_strength) ** 2 + (lateral / lateral_strength) ** 2


def splitting(width: float, loaded: float, depth: float) -> float:
    """8.1.4 (8.4), (8.5): F_90,Rk = 14 b w sqrt(h_e / (1 - h_e/h)) of softwood, w = 1, N.

    ``loaded``: distance h_e from the loaded edge to the furthest fastener.
    """
    return 14.0 * width * math.sqrt(loaded / (1.0 - loaded / depth))
