"""What a balustrade is finished and glued with, and the limits on the dust of sanding it."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from pitchline.catalogue.load import (
    Fact,
    FactRange,
    FactSeries,
    Section,
    Source,
    chosen,
    data_text,
    parse,
    read_fact,
    read_range,
    read_series,
    read_sources,
)


@dataclass(frozen=True, slots=True)
class Finish:
    """One finish: ``coats`` in all, ``coverage`` in m2 a litre and coat, times in minutes, the grit ``between``.

    ``recoat``: until the next coat. ``hard``: until it may be handled and fitted. ``oily``: its rags heat up by
    themselves.
    """

    id: str
    name: str
    coats: Fact
    coverage: FactRange
    recoat: FactRange
    hard: FactRange
    between: int
    oily: bool
    note: str


@dataclass(frozen=True, slots=True)
class GlueKind:
    """One glue: ``spread`` in g/m2 of joint, times in minutes."""

    id: str
    name: str
    spread: FactRange
    open: FactRange
    clamped: FactRange


@dataclass(frozen=True, slots=True)
class DustLimit:
    """What the air of a workshop may hold of wood dust, mg/m3."""

    id: str
    name: str
    hardwood: Fact
    softwood: Fact


@dataclass(frozen=True, slots=True)
class Finishes:
    """Finishes, glues and dust limits by id; ``grits`` in the order they are used, m2 that one sheet sands."""

    finishes: Mapping[str, Finish]
    glues: Mapping[str, GlueKind]
    grits: FactSeries
    sheet_area: FactRange
    dust: Mapping[str, DustLimit]

    def finish(self, finish_id: str) -> Finish:
        """A finish by id; InputError naming the nearest for an unknown id."""
        return chosen("finish", finish_id, self.finishes)


@cache
def load_finishes() -> Finishes:
    """The built-in finishes."""
    return read_finishes(data_text("finishes.toml"), "the catalogue of finishes")


def read_finishes(text: str, name: str) -> Finishes:
    """The finishes of a TOML text; InputError with every fault in it, told with the file's ``name``."""
    root = parse(text, name)
    sources = read_sources(root)
    abrasives = root.section("abrasives")
    found = Finishes(
        finishes=MappingProxyType(
            {key: _finish(key, section, sources) for key, section in root.named("finishes").items()}
        ),
        glues=MappingProxyType(
            {key: _glue(key, section, sources) for key, section in root.named("glues").items()}
        ),
        grits=read_series(abrasives.section("grits"), "count", sources),
        sheet_area=read_range(abrasives.section("area"), "ratio", sources),
        dust=MappingProxyType(
            {key: _dust(key, section, sources) for key, section in root.named("dust").items()}
        ),
    )
    abrasives.close()
    root.close()
    root.finish(name)
    return found


def _finish(key: str, section: Section, sources: Mapping[str, Source]) -> Finish:
    between, oily = section.ask("between"), section.ask("oily")
    if isinstance(between, bool) or not isinstance(between, int):
        section.fault("between", "this must be a grit, a whole number", found=between)
        between = 0
    if oily is not None and not isinstance(oily, bool):
        section.fault("oily", "this must be true or false", found=oily)
    finish = Finish(
        id=key,
        name=section.text("name"),
        coats=read_fact(section.section("coats"), "count", sources),
        coverage=read_range(section.section("coverage"), "coverage", sources),
        recoat=read_range(section.section("recoat"), "time", sources),
        hard=read_range(section.section("hard"), "time", sources),
        between=between,
        oily=oily is True,
        note=section.text("note", ""),
    )
    section.close()
    return finish


def _glue(key: str, section: Section, sources: Mapping[str, Source]) -> GlueKind:
    glue = GlueKind(
        key,
        section.text("name"),
        read_range(section.section("spread"), "spread", sources),
        read_range(section.section("open"), "time", sources),
        read_range(section.section("clamped"), "time", sources),
    )
    section.close()
    return glue


def _dust(key: str, section: Section, sources: Mapping[str, Source]) -> DustLimit:
    limit = DustLimit(
        key,
        section.text("name"),
        read_fact(section.section("hardwood"), "dust", sources),
        read_fact(section.section("softwood"), "dust", sources),
    )
    section.close()
    return limit
