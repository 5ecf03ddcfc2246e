"""Strict reading of the catalogue's TOML files: every number with its source and status, no unknown keys.

All that is wrong with a file is told at once, each fault with its place in the file.
"""

import difflib
import math
import re
import tomllib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from importlib import resources
from pathlib import Path
from types import MappingProxyType
from typing import Literal, TypeVar, cast

from pitchline.kit.errors import Fault, InputError
from pitchline.kit.units import LengthError, Unit, read_length

T = TypeVar("T")

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
    "time",
    "coverage",
    "spread",
    "dust",
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
        "minutes": Measure("time", "min", "min", 1.0),
        "hours": Measure("time", "h", "min", 60.0),
        "m2_per_l": Measure("coverage", "m2/l", "m2/l", 1.0),
        "g_per_m2": Measure("spread", "g/m2", "g/m2", 1.0),
        "mg_per_m3": Measure("dust", "mg/m3", "mg/m3", 1.0),
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


@dataclass(frozen=True, slots=True)
class FactSeries:
    """Usual sizes with their source and status, as listed, in the program's ``unit``."""

    values: tuple[float, ...]
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


def chosen(what: str, wanted: str, known: Mapping[str, T]) -> T:
    """The one of that id; InputError with the nearest id where there is none."""
    found = known.get(wanted)
    if found is None:
        problem, allowed = f"there is no such {what}", ", ".join(known)
        raise InputError([Fault(what, problem, repr(wanted), allowed, did_you_mean(wanted, known))])
    return found


class Section:
    """One table of a file, read key by key; faults go into a list shared by the whole file.

    What is wrong is noted and stood in for by an empty value, so that reading goes on and every fault is found;
    ``finish`` of the whole file raises them. ``close`` refuses the keys that nobody asked for.
    """

    def __init__(self, table: Mapping[str, object], where: str, faults: list[Fault]) -> None:
        self.table = table
        self.where = where
        self.faults = faults
        self._asked: set[str] = set()

    def place(self, key: str) -> str:
        """The path of a key inside the file."""
        return f"{self.where}.{key}" if self.where else key

    def fault(
        self,
        key: str,
        problem: str,
        *,
        found: object = None,
        allowed: str | None = None,
        remedy: str | None = None,
    ) -> None:
        """Note one fault at a key (or at the table itself for an empty key)."""
        where = self.place(key) if key else self.where
        self.faults.append(Fault(where, problem, None if found is None else repr(found), allowed, remedy))

    def ask(self, key: str) -> object:
        """The raw value of a key or None; the key counts as known from now on."""
        self._asked.add(key)
        return self.table.get(key)

    def text(self, key: str, default: str | None = None) -> str:
        """A text; required unless a default is given."""
        value = self.ask(key)
        if isinstance(value, str) and value.strip():
            return value
        if value is not None:
            self.fault(key, "this must be a text that is not empty", found=value)
        elif default is None:
            self.fault(self._short(key), f"the {key} is missing", remedy=f'add {key} = "..."')
        return default or ""

    def word(self, key: str, allowed: Sequence[str], default: str | None = None) -> str:
        """One of the allowed words."""
        value = self.text(key, default)
        if value and value not in allowed:
            remedy = did_you_mean(value, allowed)
            self.fault(
                key, "this word is not known here", found=value, allowed=", ".join(allowed), remedy=remedy
            )
            return allowed[0]
        return value or allowed[0]

    def texts(self, key: str) -> tuple[str, ...]:
        """A list of texts, empty if absent."""
        value = self.ask(key)
        if value is None:
            return ()
        if isinstance(value, list) and all(isinstance(item, str) for item in value):
            return tuple(value)
        self.fault(key, "this must be a list of texts", found=value)
        return ()

    def section(self, key: str) -> "Section":
        """A table inside this one; an absent table is empty."""
        value = self.ask(key)
        if value is not None and not isinstance(value, dict):
            self.fault(key, "this must be a table", found=value)
            value = None
        return Section(cast("dict[str, object]", value or {}), self.place(key), self.faults)

    def named(self, key: str) -> dict[str, "Section"]:
        """The tables inside a table, by name, such as all the sources."""
        parent = self.section(key)
        return {name: parent.section(name) for name in parent.table}

    def listed(self, key: str) -> list["Section"]:
        """The tables of a list, such as all the notes."""
        value = self.ask(key)
        if value is None:
            return []
        if not isinstance(value, list) or not all(isinstance(item, dict) for item in value):
            self.fault(key, "this must be a list of tables", found=value)
            return []
        return [
            Section(item, f"{self.place(key)}[{number}]", self.faults) for number, item in enumerate(value)
        ]

    def close(self) -> None:
        """Refuse every key that was not asked for."""
        for key in self.table:
            if key not in self._asked:
                allowed = ", ".join(sorted(self._asked))
                remedy = did_you_mean(key, self._asked)
                self.fault(key, "this key is not known here", allowed=allowed, remedy=remedy)

    def finish(self, source: str) -> None:
        """Raise InputError with all that was wrong with the file, if anything was."""
        if self.faults:
            raise InputError(self.faults, source)

    def _short(self, key: str) -> str:
        return key if not self.where else ""


def parse(text: str, source: str) -> Section:
    """The root of a TOML text; InputError where it is no TOML."""
    try:
        return Section(tomllib.loads(text), "", [])
    except tomllib.TOMLDecodeError as error:
        found = re.search(r"line (\d+)", str(error))
        line = None if found is None else int(found[1])
        raise InputError([Fault("the text", f"this is not TOML: {error}", line=line)], source) from error


def read_text(path: Path) -> str:
    """The text of a user's file; InputError where it cannot be read."""
    try:
        return path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise InputError([Fault("the file", f"it cannot be read: {error}")], str(path)) from error


def data_text(*names: str) -> str:
    """The text of one of the catalogue's own files, by its path below the data folder."""
    return resources.files("pitchline.catalogue").joinpath("data", *names).read_text(encoding="utf-8")


def data_names(folder: str) -> tuple[str, ...]:
    """The names, without ending, of the TOML files in a folder of the catalogue's data."""
    found = resources.files("pitchline.catalogue").joinpath("data", folder).iterdir()
    return tuple(sorted(item.name[:-5] for item in found if item.name.endswith(".toml")))


def read_sources(root: Section) -> dict[str, Source]:
    """The sources a file names, by key."""
    sources = {}
    for key, section in root.named("sources").items():
        sources[key] = Source(key, section.text("title"), section.text("edition"), section.text("seen"))
        section.close()
    return sources


def read_origin(section: Section, sources: Mapping[str, Source]) -> tuple[Source, Status]:
    """The source and status every number must carry."""
    key = section.text("source")
    source = sources.get(key)
    if source is None:
        if key:
            remedy = did_you_mean(key, sources)
            allowed = ", ".join(sources) or "none is named in the file"
            section.fault("source", "no such source is named", found=key, allowed=allowed, remedy=remedy)
        source = Source("", "", "", "")
    return source, cast("Status", section.word("status", tuple(STATUSES)))


def read_measure(section: Section, quantity: Quantity) -> tuple[float, str, str]:
    """The one number of a table under the name of its unit: value in the program's unit, that unit, as written."""
    written = [key for key in section.table if key in MEASURES]
    allowed = [key for key, measure in MEASURES.items() if measure.quantity == quantity]
    if len(written) != 1 or written[0] not in allowed:
        problem = f"one number with its unit as its key is needed ({quantity})"
        section.fault("", problem, found=written or None, allowed=", ".join(allowed))
        for key in written:
            section.ask(key)
        return math.nan, "", ""
    key = written[0]
    value, text = _number(section, key, section.ask(key))
    return value, MEASURES[key].unit, text


def read_fact(section: Section, quantity: Quantity, sources: Mapping[str, Source]) -> Fact:
    """A number with its source and status."""
    value, unit, written = read_measure(section, quantity)
    source, status = read_origin(section, sources)
    note = section.text("note", "")
    section.close()
    return Fact(value, unit, written, source, status, note)


def read_range(section: Section, quantity: Quantity, sources: Mapping[str, Source]) -> FactRange:
    """A range ``unit = [low, high]`` with its source and status."""
    series = read_series(section, quantity, sources)
    low, high = series.values if len(series.values) == 2 else (math.nan, math.nan)
    if not low <= high:
        section.fault("", "a range is two numbers, the low one first", found=series.written)
    written = series.written.replace(", ", " to ")
    return FactRange(low, high, series.unit, written, series.source, series.status, series.note)


def read_series(section: Section, quantity: Quantity, sources: Mapping[str, Source]) -> FactSeries:
    """Usual sizes ``unit = [first, second, ...]`` with their source and status."""
    units = [key for key, measure in MEASURES.items() if measure.quantity == quantity]
    keys = [key for key in section.table if key in units]
    raw = section.ask(keys[0]) if len(keys) == 1 else None
    numbers: list[tuple[float, str]] = []
    if isinstance(raw, list) and raw:
        numbers = [_number(section, keys[0], item) for item in raw]
    else:
        section.fault("", "a list of numbers with its unit as its key is needed", allowed=", ".join(units))
    source, status = read_origin(section, sources)
    note = section.text("note", "")
    section.close()
    written = ", ".join(text for _, text in numbers)
    unit = MEASURES[keys[0]].unit if keys else ""
    return FactSeries(tuple(value for value, _ in numbers), unit, written, source, status, note)


def _number(section: Section, key: str, raw: object) -> tuple[float, str]:
    """A number in the program's unit, and how it is written with its own unit."""
    measure = MEASURES[key]
    if key == "in" and isinstance(raw, str):
        try:
            return read_length(f"{raw} in", Unit.INCH, signed=False), f"{raw} in"
        except LengthError as error:
            section.fault(key, str(error))
            return math.nan, ""
    whole = key == "count" and not isinstance(raw, int)
    if isinstance(raw, bool) or not isinstance(raw, int | float) or whole or not 0.0 <= raw < math.inf:
        section.fault(
            key, "this must be a number, not negative" + (", and whole" if whole else ""), found=raw
        )
        return math.nan, ""
    if key == "one_in":
        if raw == 0:
            section.fault(key, "one part in nothing is no share", found=raw)
            return math.nan, ""
        return 1.0 / raw, f"1/{raw:g}"
    return raw * measure.top / measure.bottom, f"{raw:g} {measure.shown}".strip()
