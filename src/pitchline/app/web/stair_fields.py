"""The fields of the stair page: every reading and every fact of a leg, with what the survey says beside it."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import zip_longest
from typing import Any

from pitchline.app.web.shown import Entry, Path, at, items, shown, where
from pitchline.app.web.stair_legs import Leg, Surveyed
from pitchline.app.web.words import Words
from pitchline.kit.units import Unit

SET_UPS = ("level", "plumb")
KINDS = ("straight", "pitch", "level", "plumb", "height", "run", "rise", "going")
"""Kinds of further readings of a flight, in the order in which they help most."""
LEVEL_KINDS = ("straight", "level", "plumb", "height", "run")


@dataclass(frozen=True, slots=True)
class Fields:
    """Makes the fields of one leg."""

    leg: Leg
    unit: Unit
    words: Words
    survey: Surveyed | None

    def reading(self, path: Path, label: str, group: str) -> Entry:
        """The field of a reading, with its residual and what is thought of it."""
        value = at(path[2:], self.leg.table)
        angle = path[-1] == "value_deg"
        line = None if self.survey is None else self.survey.lines.get(path)
        slip = None if self.survey is None else self.survey.said_of(path)
        return Entry(
            path=path,
            label=label,
            value=shown(value, self.unit),
            was=value,
            unit="°" if angle else self.unit.value,
            round=group,
            residual="" if line is None else _residual(line.residual, angle=angle, unit=self.unit),
            doubt=slip is not None,
            said="" if slip is None else f"{slip.text} {_sentence(slip.remedy)}",
        )

    def fact(self, key: Sequence[str | int], word: str, unit: str | None = None, hint: str = "") -> Entry:
        """The field of a fact of the leg at a place below its table; ``unit`` left out is that of lengths."""
        path = (*self.leg.path, *key)
        value = at(key, self.leg.table)
        named = self.unit.value if unit is None else unit
        label = self.words(f"fact.{word}")
        return Entry(path, label, shown(value, self.unit), value, named, hint=hint, figure=unit != "")

    def ladder(self) -> tuple[tuple[str, Entry | None, Entry | None], ...]:
        """The lists of the leg side by side, in the order of walking: the name of a point, and its two readings."""
        (first, one), (second, two) = self.leg.rows
        left = self._list(first, one, self.leg.count - (1 if self.leg.level else 0))
        right = self._list(second, two, self.leg.count - (0 if self.leg.level else 1))
        names = (f"N{k}" for k in range(1, self.leg.count + 1))
        return tuple((name or "", a, b) for name, a, b in zip_longest(names, left, right))

    def _list(self, key: str, kind: str, count: int) -> Iterator[Entry]:
        written = len(items(self.leg.table, key, "values"))
        for number in range(max(count, written) if written else 0):
            label = self.words(f"step.{kind}", number=number + 1)
            yield self.reading((*self.leg.path, key, "values", number), label, key)

    def margins(self) -> tuple[Entry, ...]:
        """How far the string stands above each nosing."""
        held = items(self.leg.table, "string", "margins")
        return tuple(
            self.reading(
                (*self.leg.path, "string", "margins", number),
                f"N{number + 1}",
                "margins",
            )
            for number in range(len(held))
        )

    def others(self) -> tuple[Entry, ...]:
        """The further readings, one by one."""
        found = []
        for number, entry in enumerate(items(self.leg.table, "readings")):
            table = entry if isinstance(entry, dict) else {}
            key = "value_deg" if table.get("kind") == "pitch" else "value"
            path = (*self.leg.path, "readings", number, key)
            found.append(self.reading(path, named(table, self.words), "readings"))
        return tuple(found)


def named(table: Mapping[str, Any], words: Words) -> str:
    """What is read, in words."""
    kind = str(table.get("kind", "?"))
    ends = {"start": table.get("from", table.get("setup", table.get("string", "?")))}
    ends |= {"end": table.get("to", table.get("at", "?")), "number": table.get("number", "?")}
    return words.maybe(f"reading.{kind}", kind).format(**ends)


def _residual(value: float, *, angle: bool, unit: Unit) -> str:
    from pitchline.kit.units import show_angle, show_length

    if angle:
        return show_angle(value, 2, signed=True)
    return show_length(value, unit, denominator=64, signed=True)


def _sentence(text: str | None) -> str:
    return f"{text[0].upper()}{text[1:]}." if text else ""


@dataclass(frozen=True, slots=True)
class Thing:
    """Something that stands at a leg, as it is told: a newel, a wall, the string; and how it is taken out again."""

    key: str
    title: str
    entries: tuple[Entry, ...]
    path: Path
    photos: str

    @property
    def where(self) -> str:
        """Its place as faults name it."""
        return where(self.path)

    @property
    def drop(self) -> list[dict[str, Any]]:
        """The change that takes it out."""
        return [{"path": list(self.path), "drop": True}]


POST = (
    (("id",), "id", ""), (("station",), "station", ""), (("face_height",), "face_height", None),
    (("along",), "along", None), (("across",), "across", None), (("top_height",), "top_height", None),
    (("lean_along", "offset"), "lean_along", None), (("lean_along", "over"), "lean_over", None),
    (("lean_across", "offset"), "lean_across", None), (("lean_across", "over"), "lean_over", None),
    (("twist_deg",), "twist", "°"),
)  # fmt: skip
WALL = (
    (("id",), "id", ""), (("station",), "station", ""), (("face_height",), "face_height", None),
    (("lean_along", "offset"), "lean_along", None), (("lean_along", "over"), "lean_over", None),
    (("skew_deg",), "skew", "°"),
)  # fmt: skip
STRING = (
    (("thickness",), "thickness", None), (("depth",), "depth", None),
)  # fmt: skip
CUT_STRING = (*STRING, (("return_nosing",), "return_nosing", None))
FINISHES = (
    (("lower_floor",), "lower_floor", None), (("treads",), "treads", None), (("upper_floor",), "upper_floor", None),
)  # fmt: skip
FLOOR = ((("floor",), "floor_covering", None),)

SINGLE: Mapping[str, Sequence[tuple[tuple[str, ...], str, str | None]]] = {
    "string": STRING,
    "cut_string": CUT_STRING,
    "finishes": FINISHES,
}
LISTED: Mapping[str, Sequence[tuple[tuple[str, ...], str, str | None]]] = {"posts": POST, "walls": WALL}


def things(fields: Fields) -> tuple[Thing, ...]:
    """What stands at a leg."""
    leg, words = fields.leg, fields.words
    found = []
    for key, facts in SINGLE.items():
        if isinstance(leg.table.get(key), dict):
            told = FLOOR if key == "finishes" and leg.level else facts
            entries = tuple(fields.fact((key, *place), word, unit) for place, word, unit in told)
            title = words.maybe(f"thing.{key}", key)
            if key == "string" and at(("string", "kind"), leg.table) == "knee wall":
                title = words("thing.knee_wall")
            found.append(Thing(key, title, entries, (*leg.path, key), ""))
    for key, facts in LISTED.items():
        for number, table in enumerate(items(leg.table, key)):
            rows = tuple(fields.fact((key, number, *place), word, unit) for place, word, unit in facts)
            name = table.get("id", "?") if isinstance(table, dict) else "?"
            title = words(f"thing.{key}", name=name)
            found.append(Thing(f"{key}-{number}", title, rows, (*leg.path, key, number), str(name)))
    return tuple(found)


def addable(leg: Leg, words: Words) -> tuple[tuple[str, list[dict[str, Any]]], ...]:
    """What can be put to a leg that is not there yet: its name, and the changes that put it."""
    margins = ["-"] * leg.count
    new: list[tuple[str, tuple[str, ...], str, dict[str, Any]]] = []
    if "string" not in leg.table:
        if not leg.level:
            new.append(("string", ("string",), "put", {"id": "string", "margins": margins}))
        new.append(("knee_wall", ("string",), "put", {"id": "wall", "kind": "knee wall", "margins": margins}))
    if "cut_string" not in leg.table and not leg.level:
        new.append(("cut_string", ("cut_string",), "put", {"id": "cut string"}))
    if "finishes" not in leg.table:
        new.append(("finishes", ("finishes",), "put", {"floor" if leg.level else "treads": 0}))
    for key, word in (("posts", "newel"), ("walls", "wall")):
        number = len(items(leg.table, key)) + 1
        name = f"{word} {number}"
        new.append((f"add_{key}", (key,), "add", {"id": name, "station": name}))
    return tuple(
        (words(f"thing.{word}"), [{"path": [*leg.path, *path], do: value}]) for word, path, do, value in new
    )
