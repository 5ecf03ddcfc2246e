"""Screws, bolts, dowels and nails pushed sideways: EN 1995-1-1:2004 sections 8.2, 8.3, 8.5, 8.7. All Johansen modes.

Characteristic values per shear plane and fastener, N; d in mm, f_h in MPa, M_y in Nmm, densities in kg/m3.
"""

import math
from dataclasses import dataclass
from enum import StrEnum


class Fastener(StrEnum):
    """Kinds of fastener, as the rope effect and spacing tell them apart."""

    NAIL = "round nail"
    SCREW = "screw"
    BOLT = "bolt"
    DOWEL = "dowel"


ROPE_SHARE = {Fastener.NAIL: 0.15, Fastener.SCREW: 1.0, Fastener.BOLT: 0.25, Fastener.DOWEL: 0.0}
"""8.2.2(2): most that the rope effect adds, as a share of the Johansen part."""


class Wood(StrEnum):
    """What a fastener stands in, for embedment at an angle."""

    SOFTWOOD = "softwood"
    HARDWOOD = "hardwood"
    PLYWOOD = "plywood"


@dataclass(frozen=True, slots=True)
class Mode:
    """One way to fail: its letter in the clause, Johansen part and what the rope adds, N."""

    letter: str
    johansen: float
    rope: float = 0.0

    @property
    def resistance(self) -> float:
        """Characteristic resistance, N."""
        return self.johansen + self.rope


def embedment_along(diameter: float, density: float, predrilled: bool = True) -> float:
    """8.3.1.1 (8.15), (8.16) and 8.5.1.1 (8.32): f_h,0,k along the grain, MPa.

    Predrilled (and every bolt): 0.082 (1 - 0.01 d) rho_k; else 0.082 rho_k d^-0.3.
    """
    if predrilled:
        return 0.082 * (1.0 - 0.01 * diameter) * density
    return 0.082 * density * math.pow(diameter, -0.3)


def embedment_plywood(diameter: float, density: float, thin: bool) -> float:
    """8.5.1.2 (8.36) bolts 0.11 (1 - 0.01 d) rho_k; 8.3.1.3 (8.20) ``thin`` 0.11 rho_k d^-0.3; from memory, MPa."""
    return 0.11 * density * math.pow(diameter, -0.3) if thin else 0.11 * (1.0 - 0.01 * diameter) * density


def embedment(along: float, diameter: float, angle: float, wood: Wood) -> float:
    """8.5.1.1 (8.31), (8.33): embedment at ``angle`` (radians) to the grain; plywood has no angle, MPa."""
    if wood is Wood.PLYWOOD:
        return along
    k_90 = (1.35 if wood is Wood.SOFTWOOD else 0.90) + 0.015 * diameter
    return along / (k_90 * math.sin(angle) ** 2 + math.cos(angle) ** 2)


def yield_moment(diameter: float, tensile: float) -> float:
    """8.5.1.1 (8.30), 8.3.1.1 (8.14): M_y,Rk = 0.3 f_u d^2.6, Nmm."""
    return 0.3 * tensile * math.pow(diameter, 2.6)


def screw_diameter(outer: float, root: float, shank_in_point: bool) -> float:
    """8.7.1(1): d_ef = 1.1 root diameter, unless a smooth shank reaches 4 d into the point member, mm."""
    return outer if shank_in_point else 1.1 * root


def single_shear(t1: float, t2: float, d: float, fh1: float, fh2: float, my: float) -> tuple[Mode, ...]:
    """8.2.2 (8.6): modes a to f of timber on timber, one shear plane, without the rope effect.

    ``t1``: headside thickness or penetration, ``t2`` likewise in the other member, mm.
    """
    beta, ratio = fh2 / fh1, t2 / t1
    root = math.sqrt(beta + 2 * beta**2 * (1 + ratio + ratio**2) + beta**3 * ratio**2)
    return (
        Mode("a", fh1 * t1 * d),
        Mode("b", fh2 * t2 * d),
        Mode("c", fh1 * t1 * d / (1 + beta) * (root - beta * (1 + ratio))),
        Mode("d", _one_hinge(t1, d, fh1, beta, my)),
        Mode("e", _one_hinge(t2, d, fh2, 1.0 / beta, my)),
        Mode("f", 1.15 * math.sqrt(2 * beta / (1 + beta)) * math.sqrt(2 * my * fh1 * d)),
    )


def _one_hinge(t: float, d: float, fh: float, beta: float, my: float) -> float:
    """Modes d and e, seen from the member ``t`` that turns; mode e is mode d with the members changed over."""
    root = math.sqrt(2 * beta * (1 + beta) + 4 * beta * (2 + beta) * my / (fh * d * t**2))
    return 1.05 * fh * t * d / (2 + beta) * (root - beta)


def double_shear(t1: float, t2: float, d: float, fh1: float, fh2: float, my: float) -> tuple[Mode, ...]:
    """8.2.2 (8.7): modes g, h, j, k per shear plane; ``t1`` the thinner side, ``t2`` the middle member, mm."""
    beta = fh2 / fh1
    return (
        Mode("g", fh1 * t1 * d),
        Mode("h", 0.5 * fh2 * t2 * d),
        Mode("j", _one_hinge(t1, d, fh1, beta, my)),
        Mode("k", 1.15 * math.sqrt(2 * beta / (1 + beta)) * math.sqrt(2 * my * fh1 * d)),
    )


def steel_single(t: float, d: float, fh: float, my: float, plate: float) -> tuple[Mode, ...]:
    """8.2.3 (8.9), (8.10): a steel plate on timber, one shear plane (letters of the modes from memory).

    Thin: ``plate`` <= 0.5 d; thick: >= d; between, the weakest are interpolated into one mode named by both.
    """
    thin = (Mode("a", 0.4 * fh * t * d), Mode("b", 1.15 * math.sqrt(2 * my * fh * d)))
    thick = (
        Mode("c", fh * t * d * (math.sqrt(2 + 4 * my / (fh * d * t**2)) - 1)),
        Mode("d", 2.3 * math.sqrt(my * fh * d)),
        Mode("e", fh * t * d),
    )
    return _by_plate(thin, thick, plate, d)


def steel_outside(t2: float, d: float, fh: float, my: float, plate: float) -> tuple[Mode, ...]:
    """8.2.3 (8.12), (8.13): steel plates on both sides of a timber ``t2`` thick, per shear plane."""
    thin = (Mode("j", 0.5 * fh * t2 * d), Mode("k", 1.15 * math.sqrt(2 * my * fh * d)))
    thick = (Mode("l", 0.5 * fh * t2 * d), Mode("m", 2.3 * math.sqrt(my * fh * d)))
    return _by_plate(thin, thick, plate, d)


def steel_inside(t1: float, d: float, fh: float, my: float) -> tuple[Mode, ...]:
    """8.2.3 (8.11): a steel plate of any thickness within timber ``t1`` thick each side, per shear plane."""
    return (
        Mode("f", fh * t1 * d),
        Mode("g", fh * t1 * d * (math.sqrt(2 + 4 * my / (fh * d * t1**2)) - 1)),
        Mode("h", 2.3 * math.sqrt(my * fh * d)),
    )


def _by_plate(thin: tuple[Mode, ...], thick: tuple[Mode, ...], plate: float, d: float) -> tuple[Mode, ...]:
    share = min(1.0, max(0.0, (plate - 0.5 * d) / (0.5 * d)))
    if share <= 0.0:
        return thin
    if share >= 1.0:
        return thick
    low = min(thin, key=lambda mode: mode.johansen)
    high = min(thick, key=lambda mode: mode.johansen)
    johansen = low.johansen + (high.johansen - low.johansen) * share
    return (Mode(f"{low.letter}-{high.letter}", johansen),)


def with_rope(
    modes: tuple[Mode, ...], fastener: Fastener, withdrawal: float, bearing_only: str
) -> tuple[Mode, ...]:
    """8.2.2(2): F_ax,Rk / 4, no more than the fastener's share, on every mode but those named in ``bearing_only``."""
    share = ROPE_SHARE[fastener]
    return tuple(
        mode
        if mode.letter in bearing_only
        else Mode(mode.letter, mode.johansen, min(withdrawal / 4.0, share * mode.johansen))
        for mode in modes
    )


def weakest(modes: tuple[Mode, ...]) -> Mode:
    """The mode that governs."""
    return min(modes, key=lambda mode: mode.resistance)


def bolt_withdrawal(compression_square: float, washer: float, tensile: float) -> float:
    """8.5.2: F_ax,Rk of a bolt, N: its tension ``tensile`` or 3 f_c,90,k on the washer's net area (mm2)."""
    return min(3.0 * compression_square * washer, tensile)
