"""Woods, boards and metals: density, movement with moisture, and the strength class to assume."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Literal, cast, get_args

from pitchline.catalogue.load import (
    Fact,
    Section,
    Source,
    Status,
    chosen,
    data_text,
    parse,
    read_fact,
    read_origin,
    read_sources,
)

MaterialKind = Literal["softwood", "hardwood", "plywood", "fibreboard", "metal", "glass"]


@dataclass(frozen=True, slots=True)
class StrengthClass:
    """The class to assume for ungraded joinery stock of a material, and why."""

    name: str
    source: Source
    status: Status
    note: str


@dataclass(frozen=True, slots=True)
class Timber:
    """One material. Density in kg/m3 as in a heated room; movement is the share of its width per % of moisture.

    For wood ``movement_radial`` goes with quartersawn and ``movement_tangential`` with flatsawn faces; for
    plywood they are in the plane and through the thickness. Metals and glass do not move; some woods have no class.
    """

    id: str
    name: str
    kind: MaterialKind
    density: Fact
    movement_radial: Fact | None
    movement_tangential: Fact | None
    strength: StrengthClass | None


def movement(timber: Timber, width: float, moisture_change: float, *, flatsawn: bool = True) -> float:
    """How much wider (mm) a piece becomes across the grain as its moisture rises by ``moisture_change`` %.

    Linear between about 6 and 14 % moisture (Wood Handbook, FPL-GTR-190, chapter 13). Zero for metals.
    """
    rate = timber.movement_tangential if flatsawn else timber.movement_radial
    return 0.0 if rate is None else width * rate.value * moisture_change


def list_timbers() -> tuple[str, ...]:
    """The ids of the materials, in the order of the file."""
    return tuple(_all_timbers())


def load_timber(timber_id: str) -> Timber:
    """A material by id; InputError naming the nearest for an unknown id."""
    return chosen("material", timber_id, _all_timbers())


@cache
def _all_timbers() -> Mapping[str, Timber]:
    return read_timbers(data_text("timber.toml"), "the catalogue of timber")


def read_timbers(text: str, name: str) -> Mapping[str, Timber]:
    """The materials of a TOML text; InputError with every fault in it, told with the file's ``name``."""
    root = parse(text, name)
    sources = read_sources(root)
    timbers = {key: _timber(key, section, sources) for key, section in root.named("timber").items()}
    root.close()
    root.finish(name)
    return MappingProxyType(timbers)


def _timber(key: str, section: Section, sources: Mapping[str, Source]) -> Timber:
    kind = cast("MaterialKind", section.word("kind", get_args(MaterialKind)))
    timber = Timber(
        key,
        section.text("name"),
        kind,
        read_fact(section.section("density"), "density", sources),
        _movement(section, "movement_radial", sources),
        _movement(section, "movement_tangential", sources),
        _strength(section, sources),
    )
    section.close()
    return timber


def _movement(section: Section, key: str, sources: Mapping[str, Source]) -> Fact | None:
    inner = section.section(key)
    return read_fact(inner, "movement", sources) if inner.table else None


def _strength(section: Section, sources: Mapping[str, Source]) -> StrengthClass | None:
    inner = section.section("strength")
    if not inner.table:
        return None
    name = inner.text("class")
    source, status = read_origin(inner, sources)
    note = inner.text("note", "")
    inner.close()
    return StrengthClass(name, source, status, note)
