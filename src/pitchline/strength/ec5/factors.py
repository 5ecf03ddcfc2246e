"""Factors on strength and movement: EN 1995-1-1:2004 sections 2 and 3."""

import math
from enum import StrEnum
from typing import Literal

ServiceClass = Literal[1, 2, 3]
Family = Literal["solid", "glulam", "plywood", "fibreboard"]


class Duration(StrEnum):
    """How long a load acts (2.3.1.2)."""

    PERMANENT = "permanent"
    LONG = "long-term"
    MEDIUM = "medium-term"
    SHORT = "short-term"
    INSTANT = "instantaneous"


_INSIDE = (0.60, 0.70, 0.80, 0.90, 1.10)
_OUTSIDE = (0.50, 0.55, 0.65, 0.70, 0.90)
_FIBREBOARD = (0.20, 0.40, 0.60, 0.80, 1.10)
_GAMMA = {"solid": 1.30, "glulam": 1.25, "plywood": 1.20, "fibreboard": 1.30}
_CREEP = {
    "solid": (0.60, 0.80, 2.00),
    "glulam": (0.60, 0.80, 2.00),
    "plywood": (0.80, 1.00, 2.50),
    "fibreboard": (2.25, math.nan, math.nan),
}

JOINT_FACTOR = 1.30
"""Partial factor on connections (table 2.3)."""


def k_mod(family: Family, service: ServiceClass, duration: Duration) -> float:
    """Table 3.1: factor for moisture and duration of load. Pushes on a guarding are short-term (from memory).

    ValueError for fibreboard outside service class 1.
    """
    column = list(Duration).index(duration)
    if family == "fibreboard":
        if service != 1:
            raise ValueError("fibreboard carries loads in service class 1 only")
        return _FIBREBOARD[column]
    return (_OUTSIDE if service == 3 else _INSIDE)[column]


def gamma_m(family: Family) -> float:
    """Table 2.3: partial factor of a material for persistent situations."""
    return _GAMMA[family]


def k_def(family: Family, service: ServiceClass) -> float:
    """Table 3.2: creep factor. ValueError for fibreboard outside service class 1."""
    found = _CREEP[family][service - 1]
    if math.isnan(found):
        raise ValueError("fibreboard carries loads in service class 1 only")
    return found


def design_strength(characteristic: float, modification: float, factor: float) -> float:
    """(2.14): X_d = k_mod X_k / gamma_M, in the unit of the strength."""
    return modification * characteristic / factor


def k_h(family: Family, depth: float, density: float) -> float:
    """(3.1), (3.2): size factor for a bending depth or tension width below 150 (solid) or 600 mm (glulam).

    1 for other families and for solid timber above 700 kg/m3.
    """
    if family == "solid" and density <= 700.0:
        return max(1.0, min(math.pow(150.0 / depth, 0.2), 1.3))
    if family == "glulam":
        return max(1.0, min(math.pow(600.0 / depth, 0.1), 1.1))
    return 1.0


def final_movement(instant: float, creep: float, quasi_permanent: float) -> float:
    """(2.4): w_fin = w_inst (1 + psi_2 k_def) of a variable load; psi_2 = 1 of a permanent one."""
    return instant * (1.0 + quasi_permanent * creep)
