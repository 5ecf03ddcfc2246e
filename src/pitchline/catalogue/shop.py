"""The workshop: what saws take away, how far they tilt, what is safe to hold, and what to leave on."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from pitchline.catalogue.load import (
    Fact,
    FactRange,
    FactSeries,
    Quantity,
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
class Tool:
    """A cutting tool: ``kerf`` in mm; the furthest mitre and bevel from square in degrees, None where it has none.

    ``deep`` and ``wide`` are the thickest and the widest piece it cuts through, upright and square; None if unsaid.
    """

    id: str
    name: str
    kerf: FactRange
    mitre_deg: Fact | None
    bevel_deg: Fact | None
    deep: FactRange | None
    wide: FactRange | None


@dataclass(frozen=True, slots=True)
class Rate:
    """How long one person takes over one of something, ``each``; ``minutes`` from quick to careful."""

    id: str
    each: str
    what: str
    minutes: FactRange


@dataclass(frozen=True, slots=True)
class Shop:
    """Tools by id, and working figures by name: ``allowances`` (mm to leave on), ``working`` (other lengths).

    ``router`` names its cutters' diameters, its depth and the length and width of its bed; ``clamps`` their
    ``counts`` and ``reaches``, in the same order; ``sanding`` the width that each way of sanding needs; ``glue`` its
    open and clamped times; ``bar`` what a bar of 100 mm measures when printed; ``rates`` the minutes of each work.
    """

    tools: Mapping[str, Tool]
    hold_by_hand: FactRange
    allowances: Mapping[str, FactRange]
    working: Mapping[str, FactRange]
    router: Mapping[str, FactSeries]
    clamps: Mapping[str, FactSeries]
    sanding: Mapping[str, FactRange]
    drills: FactSeries
    glue: Mapping[str, FactRange]
    bar: FactSeries
    rates: Mapping[str, Rate]

    def tool(self, tool_id: str) -> Tool:
        """A tool by id; InputError naming the nearest for an unknown id."""
        return chosen("tool", tool_id, self.tools)


@cache
def load_shop() -> Shop:
    """The built-in workshop figures."""
    return read_shop(data_text("shop.toml"), "the catalogue of the workshop")


def read_shop(text: str, name: str) -> Shop:
    """The workshop figures of a TOML text; InputError with every fault in it, told with the file's ``name``."""
    root = parse(text, name)
    sources = read_sources(root)
    clamps = root.section("clamps")
    printer = root.section("printer")
    shop = Shop(
        tools=MappingProxyType(
            {key: _tool(key, section, sources) for key, section in root.named("tools").items()}
        ),
        hold_by_hand=read_range(root.section("hold_by_hand"), "length", sources),
        allowances=_ranges(root, "allowances", "length", sources),
        working=_ranges(root, "working", "length", sources),
        router=MappingProxyType(
            {key: read_series(one, "length", sources) for key, one in root.named("router").items()}
        ),
        clamps=MappingProxyType(
            {
                "counts": read_series(clamps.section("counts"), "count", sources),
                "reaches": read_series(clamps.section("reaches"), "length", sources),
            }
        ),
        sanding=_ranges(root, "sanding", "length", sources),
        drills=read_series(root.section("drills"), "length", sources),
        glue=_ranges(root, "glue", "time", sources),
        bar=read_series(printer.section("bar"), "length", sources),
        rates=_rates(root, sources),
    )
    clamps.close()
    printer.close()
    root.close()
    root.finish(name)
    return shop


def _tool(key: str, section: Section, sources: Mapping[str, Source]) -> Tool:
    tool = Tool(
        key,
        section.text("name"),
        read_range(section.section("kerf"), "length", sources),
        _angle(section, "mitre", sources),
        _angle(section, "bevel", sources),
        _reach(section, "deep", sources),
        _reach(section, "wide", sources),
    )
    section.close()
    return tool


def _angle(section: Section, key: str, sources: Mapping[str, Source]) -> Fact | None:
    inner = section.section(key)
    return read_fact(inner, "angle", sources) if inner.table else None


def _reach(section: Section, key: str, sources: Mapping[str, Source]) -> FactRange | None:
    inner = section.section(key)
    return read_range(inner, "length", sources) if inner.table else None


def _rates(root: Section, sources: Mapping[str, Source]) -> Mapping[str, Rate]:
    found = {}
    for key, section in root.named("minutes").items():
        each, what = section.text("each"), section.text("what")
        found[key] = Rate(key, each, what, read_range(section, "time", sources))
    return MappingProxyType(found)


def _ranges(
    root: Section, key: str, quantity: Quantity, sources: Mapping[str, Source]
) -> Mapping[str, FactRange]:
    return MappingProxyType(
        {name: read_range(section, quantity, sources) for name, section in root.named(key).items()}
    )
