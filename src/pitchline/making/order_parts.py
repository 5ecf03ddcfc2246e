"""The pieces of a design by what is made of them together: rails, newels, infill; and how long each takes to make.

The minutes of a piece are one figure of the shop; `SHARES` spreads it over the acts (common practice, no source),
over those alone that the piece needs, so that the hours of a design are the sum of the figures.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

from pitchline.making.order import Act
from pitchline.making.shop import Shop
from pitchline.parts.part import (
    Groove,
    Hole,
    Mortise,
    Notch,
    Part,
    Role,
    RoundOver,
    Sawn,
    Taper,
    Tenon,
    Turning,
)


class Family(StrEnum):
    """Pieces that go through the shop together."""

    NEWEL = "newels"
    HANDRAIL = "handrails"
    BASE = "base rails"
    PACKER = "packers"
    EASING = "easings"
    UPRIGHT = "uprights"
    STRAND = "bars, rods and cables"
    PANEL = "panels"
    FILLET = "fillets"


FAMILIES: Mapping[Role, Family] = MappingProxyType(
    {
        Role.HANDRAIL: Family.HANDRAIL,
        Role.RAIL_STRIP: Family.HANDRAIL,
        Role.RAIL_CHEEK: Family.HANDRAIL,
        Role.RAIL_BLOCK: Family.HANDRAIL,
        Role.BASE: Family.BASE,
        Role.BASE_STRIP: Family.BASE,
        Role.BASE_CHEEK: Family.BASE,
        Role.BASE_BLOCK: Family.BASE,
        Role.PACKER: Family.PACKER,
        Role.NEWEL: Family.NEWEL,
        Role.HALF_NEWEL: Family.NEWEL,
        Role.UPRIGHT: Family.UPRIGHT,
        Role.RAIL_FILLET: Family.FILLET,
        Role.BASE_FILLET: Family.FILLET,
        Role.EASING: Family.EASING,
        Role.STRAND: Family.STRAND,
        Role.ROD: Family.STRAND,
        Role.CABLE: Family.STRAND,
        Role.PANEL: Family.PANEL,
        Role.SLAT: Family.PANEL,
        Role.WALL_RAIL: Family.HANDRAIL,
        Role.RETURN: Family.HANDRAIL,
    }
)

BLOCKS = (Role.RAIL_BLOCK, Role.BASE_BLOCK)
"""Pieces that lie between the uprights in a rail of layers."""

BOUGHT = (Role.CABLE, Role.ROD)
"""Pieces that are cut to length and no more."""

SHARES: Mapping[Family, Mapping[Act, float]] = MappingProxyType(
    {
        Family.NEWEL: {
            Act.MILL: 0.10,
            Act.CUT: 0.10,
            Act.WORK: 0.20,
            Act.ROUND: 0.05,
            Act.SAND: 0.10,
            Act.SET: 0.45,
        },
        Family.HANDRAIL: {
            Act.MILL: 0.08,
            Act.CUT: 0.05,
            Act.WORK: 0.10,
            Act.GLUE: 0.12,
            Act.ROUND: 0.05,
            Act.SAND: 0.10,
            Act.TRIAL: 0.30,
            Act.FIX: 0.20,
        },
        Family.BASE: {
            Act.MILL: 0.10,
            Act.CUT: 0.05,
            Act.WORK: 0.15,
            Act.GLUE: 0.15,
            Act.ROUND: 0.05,
            Act.SAND: 0.10,
            Act.FIX: 0.40,
        },
        Family.EASING: {Act.MILL: 0.10, Act.CUT: 0.40, Act.ROUND: 0.20, Act.SAND: 0.15, Act.FIX: 0.15},
        Family.UPRIGHT: {
            Act.MILL: 0.10,
            Act.CUT: 0.20,
            Act.WORK: 0.20,
            Act.ROUND: 0.05,
            Act.SAND: 0.15,
            Act.FIT: 0.30,
        },
        Family.STRAND: {Act.CUT: 0.35, Act.SAND: 0.10, Act.FIT: 0.55},
        Family.PANEL: {Act.CUT: 0.40, Act.WORK: 0.10, Act.SAND: 0.15, Act.FIT: 0.35},
        Family.FILLET: {Act.MILL: 0.10, Act.CUT: 0.35, Act.SAND: 0.10, Act.FIT: 0.45},
        Family.PACKER: {Act.MILL: 0.25, Act.CUT: 0.35, Act.WORK: 0.40},
    }
)
"""How the minutes of a piece are spread over what is done to it."""


@dataclass(frozen=True, slots=True)
class Unit:
    """What is handled as one piece at the stair: a single part, or a rail with its layers and blocks glued."""

    id: str
    family: Family
    parts: tuple[Part, ...]

    @property
    def places(self) -> tuple[str, ...]:
        """Place marks of its parts."""
        return tuple(part.place for part in self.parts)

    @property
    def is_glued(self) -> bool:
        """Whether it is glued up from several."""
        return len(self.parts) > 1


def units_of(parts: Iterable[Part], rails: Mapping[str, str]) -> tuple[Unit, ...]:
    """The units of a design in the order of its parts; ``rails`` names the bar that a layer or block belongs to."""
    found: dict[str, list[Part]] = {}
    for part in parts:
        found.setdefault(rails.get(part.place, part.place), []).append(part)
    return tuple(Unit(name, FAMILIES[group[0].role], tuple(group)) for name, group in found.items())


def joints(part: Part) -> bool:
    """Whether joints are worked into or on a piece."""
    kinds = (Groove, Hole, Mortise, Notch, Taper, Tenon, Turning)
    sawn = any(isinstance(feature, Sawn) and feature.holes for feature in part.features)
    return sawn or any(isinstance(feature, kinds) for feature in part.features)


def rounded(part: Part) -> bool:
    """Whether edges of a piece are rounded or chamfered."""
    return any(isinstance(feature, RoundOver) for feature in part.features)


def rate_of(unit: Unit, standing: bool) -> str:
    """The shop's figure that holds for a unit; ``standing``: newels are bolted to a stair that stands."""
    if unit.family is Family.NEWEL:
        return "newel-bolted" if standing else "newel"
    if unit.family is Family.UPRIGHT:
        jointed = any(isinstance(f, Hole | Tenon) for part in unit.parts for f in part.features)
        return "upright-jointed" if jointed else "upright-grooved"
    return RATES[unit.family]


RATES: Mapping[Family, str] = MappingProxyType(
    {
        Family.HANDRAIL: "rail",
        Family.EASING: "rail",
        Family.BASE: "base-rail",
        Family.STRAND: "strand",
        Family.PANEL: "panel",
        Family.FILLET: "fillet",
        Family.PACKER: "base-rail",
    }
)
"""Figures of the shop for the families that have one of their own."""

PACKER_SHARE = 0.5
"""A packer takes this share of the time of a base rail (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Times:
    """Minutes of each family and act of a design."""

    minutes: Mapping[tuple[Family, Act], float]

    def of(self, family: Family, act: Act) -> float:
        """Minutes of an act for a whole family; 0 where there is none."""
        return self.minutes.get((family, act), 0.0)

    def each(self, family: Family, act: Act, share: float) -> float:
        """Minutes of a share of the family, by number of units."""
        return share * self.of(family, act)


def times_of(units: Sequence[Unit], acts: Mapping[Family, frozenset[Act]], shop: Shop) -> Times:
    """The minutes of every family spread over the acts it needs; blocks of layered rails count as fillets."""
    total: dict[Family, float] = {}
    for unit in units:
        rate = rate_of(unit, standing=True)
        minutes = shop.minutes(rate)
        if unit.family is Family.PACKER:
            minutes *= PACKER_SHARE
        blocks = sum(part.role in BLOCKS for part in unit.parts)
        total[unit.family] = total.get(unit.family, 0.0) + minutes + blocks * shop.minutes("fillet")
    spread: dict[tuple[Family, Act], float] = {}
    for family, minutes in total.items():
        shares = {act: share for act, share in SHARES[family].items() if act in acts[family]}
        whole = sum(shares.values())
        for act, share in shares.items():
            spread[family, act] = minutes * share / whole
    return Times(MappingProxyType(spread))
