"""What is read at a stair: one tape, level, straightedge or string reading each, with its standard uncertainty.

The flight is unrolled into a plane: ``x`` runs along it, up the stair, and ``z`` is up. Points are ``floor``
(the lower finished floor, of which only the height matters), the nosings ``N1`` to ``Nn`` (the last is the edge
of the upper floor or landing) and whatever else is named: faces of posts, walls, marks on a string.
"""

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import Literal

from pitchline.kit.errors import Fault, InputError

Axis = Literal["x", "z"]
Coordinate = tuple[Axis, str]
"""Which coordinate of which point: ("z", "N4") is the height of the fourth nosing."""


class Kind(StrEnum):
    """What a reading compares; the comment gives what its value is equal to."""

    HEIGHT = "height"  # z of end - z of start
    RUN = "run"  # x of end - x of start, level
    STRAIGHT = "straight"  # straight distance from start to end
    PITCH = "pitch"  # angle of a straightedge laid from start to end, radians above the level
    LEVEL = "level"  # start names a set-up of a level: how far end lies below the level line
    PLUMB = "plumb"  # start names a plumb line: how far end lies up-stair of it
    MARGIN = "margin"  # start names a string: plumb height of its top edge above end
    SLOPE = "slope"  # start names a string or a fitted rail: angle of its edge, radians above the level


SET_UP_KINDS = frozenset({Kind.LEVEL, Kind.PLUMB, Kind.MARGIN, Kind.SLOPE})
"""Kinds whose ``start`` names an instrument, a string or a fitted rail, not a point."""

ANGLES = frozenset({Kind.PITCH, Kind.SLOPE})
"""Kinds whose value is an angle, in radians."""


@dataclass(frozen=True, slots=True)
class Reading:
    """One reading: ``value`` and standard uncertainty ``sigma`` in mm, for an angle in radians.

    The slope of a rail or string speaks of no point: its ``end`` is empty.
    Raises InputError for a value or an uncertainty that no reading can have.
    """

    id: str
    kind: Kind
    start: str
    end: str
    value: float
    sigma: float
    instrument: str = ""

    def __post_init__(self) -> None:
        faults = tuple(self._faults())
        if faults:
            raise InputError(faults, source="the readings")

    def _faults(self) -> list[Fault]:
        where = f"reading {self.id}"
        faults = []
        if not math.isfinite(self.value):
            faults.append(Fault(where, "the value is not a number", str(self.value)))
        elif self.kind is Kind.STRAIGHT and self.value <= 0:
            faults.append(Fault(where, "a straight distance must be above zero", f"{self.value:g}"))
        elif self.kind in ANGLES and abs(self.value) > math.pi:
            found = f"{self.value:g}"
            faults.append(
                Fault(where, f"a {self.kind} must lie within half a turn", found, "-pi to pi radians")
            )
        if not (math.isfinite(self.sigma) and self.sigma > 0):
            faults.append(Fault(where, "the standard uncertainty must be above zero", f"{self.sigma:g}"))
        if self.kind not in SET_UP_KINDS and self.start == self.end:
            faults.append(Fault(where, "it starts and ends at the same point", self.end))
        return faults


@dataclass(frozen=True, slots=True)
class Fixed:
    """A coordinate that is exact by agreement (the datum), in mm."""

    coordinate: Coordinate
    value: float


@dataclass(frozen=True, slots=True)
class Prior:
    """A coordinate known beforehand, with its standard uncertainty, in mm: from a drawing or an earlier visit."""

    coordinate: Coordinate
    value: float
    sigma: float

    def __post_init__(self) -> None:
        if not (math.isfinite(self.value) and math.isfinite(self.sigma) and self.sigma > 0):
            axis, point = self.coordinate
            problem = "a known coordinate needs a number and a standard uncertainty above zero"
            fault = Fault(f"{axis} of {point}", problem, f"{self.value:g} +- {self.sigma:g}")
            raise InputError([fault], source="the readings")


def nosing_number(point: str) -> int | None:
    """The number in a nosing's name: 4 for ``N4``, 0 for ``floor``, None for any other point."""
    if point == "floor":
        return 0
    if point[:1] == "N" and point[1:].isdecimal():
        return int(point[1:])
    return None


def in_words(coordinate: tuple[str, str]) -> str:
    """A coordinate, or an unknown of a set-up, as a person would say it; a set-up's own name stands in quotes."""
    axis, name = coordinate
    return _WORDS[axis].format(name="the lower floor" if name == "floor" else name)


_WORDS = {
    "x": "the position along the stair of {name}",
    "z": "the height of {name}",
    "level": "the height of the level set up as '{name}'",
    "plumb": "the position of plumb line '{name}'",
    "string": "the height of string '{name}'",
    "slope": "the slope of string '{name}'",
}
