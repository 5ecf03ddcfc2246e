"""Usual sections and stock lengths of the parts of a balustrade, by place: suggestions, never limits."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from types import MappingProxyType
from typing import Literal, cast, get_args

from pitchline.catalogue.load import FactSeries, Section, Source, data_text, parse, read_series, read_sources

Place = Literal["UK", "US"]
PartKind = Literal[
    "baluster", "metal baluster", "newel", "half newel", "handrail", "base rail", "fillet", "string"
]
SIZES = ("side", "diameter", "width", "depth", "thickness", "groove_width", "groove_depth", "length")


@dataclass(frozen=True, slots=True)
class UsualPart:
    """The usual sizes of one kind of part at one place, in mm, by the names of SIZES."""

    place: Place
    kind: PartKind
    sizes: Mapping[str, FactSeries] = field(hash=False)

    def size(self, name: str) -> FactSeries | None:
        """The usual values of one size, or None where none is known."""
        return self.sizes.get(name)


def usual_part(place: Place, kind: PartKind) -> UsualPart | None:
    """What is usual for a part at a place, or None where nothing is known."""
    for part in usual_parts():
        if part.place == place and part.kind == kind:
            return part
    return None


@cache
def usual_parts() -> tuple[UsualPart, ...]:
    """Every kind of part at every place, in the order of the file."""
    return read_usual_parts(data_text("sections.toml"), "the catalogue of sections")


def read_usual_parts(text: str, name: str) -> tuple[UsualPart, ...]:
    """The usual parts of a TOML text; InputError with every fault in it, told with the file's ``name``."""
    root = parse(text, name)
    sources = read_sources(root)
    parts = tuple(_part(section, sources) for section in root.listed("parts"))
    root.close()
    root.finish(name)
    return parts


def _part(section: Section, sources: Mapping[str, Source]) -> UsualPart:
    place = cast("Place", section.word("place", get_args(Place)))
    kind = cast("PartKind", section.word("kind", get_args(PartKind)))
    sizes = {}
    for name in SIZES:
        inner = section.section(name)
        if inner.table:
            sizes[name] = read_series(inner, "length", sources)
    section.close()
    return UsualPart(place, kind, MappingProxyType(sizes))
