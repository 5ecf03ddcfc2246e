"""Springs of single fixings and of wood in contact, and ranges of them. N/mm and Nmm/rad; mm, MPa."""

import math
from collections.abc import Iterable
from dataclasses import dataclass

from pitchline.catalogue.strength import FixingType
from pitchline.strength.ec5.slip import joint_density, k_ser, k_ser_axial
from pitchline.strength.woods import Wood

STEEL_E = 210000.0
"""MPa, EN 1993-1-1."""


@dataclass(frozen=True, slots=True)
class Range:
    """A quantity known no better than from ``low`` to ``high``; inf: gives nowhere."""

    low: float
    mean: float
    high: float

    def times(self, factor: float) -> "Range":
        """All three multiplied."""
        return Range(self.low * factor, self.mean * factor, self.high * factor)


RIGID = Range(math.inf, math.inf, math.inf)


def about(mean: float, factor: float = 2.0) -> Range:
    """From ``mean`` divided to multiplied by ``factor``: an estimate without test (project choice: two)."""
    return Range(mean / factor, mean, mean * factor)


def in_series(parts: Iterable[Range]) -> Range:
    """Springs one behind the other: flexibilities add."""
    flexible = [(1.0 / p.low, 1.0 / p.mean, 1.0 / p.high) for p in parts]
    low, mean, high = (sum(row) for row in zip(*flexible, strict=True))
    return Range(_inverse(low), _inverse(mean), _inverse(high))


def _inverse(value: float) -> float:
    return math.inf if value == 0.0 else 1.0 / value


def shear_spring(fixing: FixingType, first: Wood, second: Wood | None) -> float:
    """Slip of one fixing pushed sideways (table 7.1 of EN 1995-1-1); ``second`` None: steel or concrete."""
    if second is None:
        return k_ser(first.rho_mean, fixing.d, to_steel=True)
    return k_ser(joint_density(first.rho_mean, second.rho_mean), fixing.d)


def contact(wood: Wood, area: float, deep: float) -> float:
    """Wood pressed square to its grain: E_90 A / h, with h the half depth of the member (project choice), N/mm."""
    return wood.e_90 * area / (deep / 2.0)


def bolt_pull(fixing: FixingType, woods: tuple[tuple[Wood, float], ...]) -> float:
    """A bolt in tension: its own lengthening and its washers sinking in, 1/K = L/(E A_s) + sum h_ef / (E_90 A_w).

    ``woods``: each timber under a washer and its thickness along the bolt.
    """
    length = sum(thickness for _, thickness in woods)
    washer = math.pi * (fixing.head**2 - (fixing.d + fixing.hole) ** 2) / 4.0
    give = length / (STEEL_E * fixing.stress_area)
    give += sum(1.0 / contact(wood, washer, thickness) for wood, thickness in woods)
    return 1.0 / give


def screw_pull(fixing: FixingType, thread: float) -> float:
    """A screw pulled along itself with ``thread`` mm in the point member, N/mm."""
    return k_ser_axial(fixing.d, thread)


def socket(e_90: float, width: float, depth: float, behind: float) -> float:
    """A square end housed ``depth`` deep between two faces that both bear: turning by E_90/h_ef over the depth.

    k = (E_90 / h_ef) w d^3 / 12, ``behind`` the wood that is squeezed (h_ef), Nmm/rad.
    """
    return e_90 / behind * width * depth**3 / 12.0
