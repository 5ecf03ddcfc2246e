"""The workshop: what saws take away, how far they tilt, what is safe to hold, and what to leave on."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from pitchline.catalogue.load import (
    Fact,
    FactRange,
    Section,
    Source,
    chosen,
    data_text,
    parse,
    read_fact,
    read_range,
    read_sources,
)


@dataclass(frozen=True, slots=True)
class Tool:
    """A cutting tool: ``kerf`` in mm; the furthest mitre and bevel from square in degrees, None where it has none."""

    id: str
    name: str
    kerf: FactRange
    mitre_deg: Fact | None
    bevel_deg: Fact | None


@dataclass(frozen=True, slots=True)
class Shop:
    """Tools by id, and working figures by name: ``allowances`` (mm to leave on), ``working`` (other lengths)."""

    tools: Mapping[str, Tool]
    hold_by_hand: FactRange
    allowances: Mapping[str, FactRange]
    working: Mapping[str, FactRange]

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
    tools = {key: _tool(key, section, sources) for key, section in root.named("tools").items()}
    hold = read_range(root.section("hold_by_hand"), "length", sources)
    allowances = _ranges(root, "allowances", sources)
    working = _ranges(root, "working", sources)
    root.close()
    root.finish(name)
    return Shop(MappingProxyType(tools), hold, allowances, working)


def _tool(key: str, section: Section, sources: Mapping[str, Source]) -> Tool:
    tool = Tool(
        key,
        section.text("name"),
        read_range(section.section("kerf"), "length", sources),
        _angle(section, "mitre", sources),
        _angle(section, "bevel", sources),
    )
    section.close()
    return tool


def _angle(section: Section, key: str, sources: Mapping[str, Source]) -> Fact | None:
    inner = section.section(key)
    return read_fact(inner, "angle", sources) if inner.table else None


def _ranges(root: Section, key: str, sources: Mapping[str, Source]) -> Mapping[str, FactRange]:
    return MappingProxyType(
        {name: read_range(section, "length", sources) for name, section in root.named(key).items()}
    )
