"""Strict reading of the catalogue's TOML files: every number with its source and status, no unknown keys.

All that is wrong with a file is told at once, each fault with its place in the file.
"""

import difflib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

Status = Literal["V-P", "V-S", "M", "CP", "D"]

STATUSES: Mapping[str, str] = MappingProxyType(
    {
        "V-P": "read in the published text itself, or in a copy of its page",
        "V-S": "read second hand: in a guide, a summary or another edition",
        "M": "from memory, not seen",
        "CP": "common practice, no source",
        "D": "worked out here by arithmetic",
    }
)

Quantity = Literal[
    "length",
    "angle",
    "count",
    "force",
    "line load",
    "pressure",
    "area",
    "ratio",
    "density",
    "movement",
    "word",
]


@dataclass(frozen=True, slots=True)
class Measure:
    """A unit a number may be written in: its quantity, how it is shown, the program's unit and the way there."""

    quantity: Quantity
    shown: str
    unit: str
    top: float
    bottom: float = 1.0


_POUND_FORCE = 4.4482216152605
MEASURES: Mapping[str, Measure] = MappingProxyType(
    {
        "mm": Measure("length", "mm", "mm", 1.0),
        "in": Measure("length", "in", "mm", 254.0, 10.0),
        "deg": Measure("angle", "deg", "deg", 1.0),
        "count": Measure("count", "", "", 1.0),
        "N": Measure("force", "N", "N", 1.0),
        "kN": Measure("force", "kN", "N", 1000.0),
        "lbf": Measure("force", "lbf", "N", _POUND_FORCE),
        "kN_per_m": Measure("line load", "kN/m", "N/mm", 1.0),
        "lbf_per_ft": Measure("line load", "lbf/ft", "N/mm", _POUND_FORCE, 304.8),
        "kN_per_m2": Measure("pressure", "kN/m2", "MPa", 1.0, 1000.0),
        "mm2": Measure("area", "mm2", "mm2", 1.0),
        "ft2": Measure("area", "ft2", "mm2", 92903.04),
        "times": Measure("ratio", "", "", 1.0),
        "one_in": Measure("ratio", "", "", 1.0),
        "kg_per_m3": Measure("density", "kg/m3", "kg/m3", 1.0),
        "per_percent": Measure("movement", "per % moisture", "1/%", 1.0),
    }
)
"""Pound force: standard gravity 9.80665 m/s2 on 0.45359237 kg (both exact by definition)."""


@dataclass(frozen=True, slots=True)
class Source:
    """Where numbers were read: ``seen`` says what of it was before our eyes."""

    id: str
    title: str
    edition: str
    seen: str


@dataclass(frozen=True, slots=True)
class Fact:
    """A number with its source and status; ``value`` in the program's ``unit``, ``written`` as in the file."""

    value: float
    unit: str
    written: str
    source: Source
    status: Status
    note: str

    @property
    def verified(self) -> bool:
        """Whether the number was read in the published text itself."""
        return self.status == "V-P"


@dataclass(frozen=True, slots=True)
class FactRange:
    """A range of numbers with its source and status, low to high, in the program's ``unit``."""

    low: float
    high: float
    unit: str
    written: str
    source: Source
    status: Status
    note: str


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word most like the given one, if any is alike."""
    alike = difflib.get_close_matches(word, list(known), n=1, cutoff=0.5)
    return alike[0] if alike else None


def did_you_mean(word: str, known: Iterable[str]) -> str | None:
    """A remedy naming the nearest known word, or None."""
    alike = nearest(word, known)
    return None if alike is None else f"did you mean {alike}?"
