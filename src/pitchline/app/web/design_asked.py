"""A design as it stands in the job, and what may be put over it: choices as tables, and the edits they come to."""

import copy
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from pitchline.kit.units import Unit

Table = dict[str, Any]
Values = Mapping[str, Any]

NONE = "none"


@dataclass(frozen=True, slots=True)
class Choice:
    """One thing that can be chosen in a group; ``ways`` hold tables by key, None to leave a key out.

    ``words`` are the values its label names, such as a newel's.
    """

    group: str
    key: str
    chosen: bool
    ways: tuple[Table, ...]
    words: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Asked:
    """A design as it stands in the job, with the job around it."""

    raw: Values
    index: int
    unit: Unit

    @property
    def design(self) -> Values:
        """Its tables."""
        found: Values = self.raw["designs"][self.index]
        return found

    def table(self, key: str) -> Values:
        """One of its tables, empty where there is none."""
        found = self.design.get(key)
        return found if isinstance(found, dict) else {}

    def size(self, mm: float, inch: str) -> float | str:
        """A size of the trade in the job's unit."""
        return f"{inch} in" if self.unit is Unit.INCH else mm

    @property
    def legs(self) -> tuple[str, ...]:
        """Ids of the flights and levels it guards, from the foot up."""
        if isinstance(self.design.get("flight"), str):
            return (self.design["flight"],)
        edges = {str(edge.get("id")): edge for edge in tables_in(self.raw, "edges")}
        names = names_in(self.design, "edges") or [str(self.design.get("edge"))]
        return tuple(leg for name in names for leg in names_in(edges.get(name, {}), "legs"))

    def standing(self, leg: str, what: str) -> tuple[str, ...]:
        """Ids of the posts or walls that were measured along a leg."""
        for table in self.stretches:
            if table.get("id") == leg:
                return tuple(str(entry["id"]) for entry in tables_in(table, what) if "id" in entry)
        return ()

    @property
    def stretches(self) -> list[Values]:
        """The flights and levels of the job."""
        return [*tables_in(self.raw, "flights"), *tables_in(self.raw, "levels")]

    @property
    def wood(self) -> str:
        """The wood of the rails."""
        return str(self.table("handrail").get("material", "oak-european"))


def tables_in(holder: Values, key: str) -> list[Values]:
    """The tables of a list; of what is no list of tables, such as a slip of the pen, none."""
    found = holder.get(key)
    return [one for one in found if isinstance(one, dict)] if isinstance(found, list) else []


def names_in(holder: Values, key: str) -> list[str]:
    """The names of a list, in the same way."""
    found = holder.get(key)
    return [one for one in found if isinstance(one, str)] if isinstance(found, list) else []


def over(design: Values, way: Table) -> Table:
    """The design with the tables of a way put over it."""
    made = copy.deepcopy(dict(design))
    for key, value in way.items():
        if value is None:
            made.pop(key, None)
        else:
            made[key] = copy.deepcopy(value)
    return made


def changes_for(asked: Asked, way: Table) -> list[dict[str, Any]]:
    """The edits that put a way into the job file; what is so already is left alone."""
    changes: list[dict[str, Any]] = []
    for key, value in way.items():
        held = asked.design.get(key)
        path = ["designs", asked.index, key]
        if value is None:
            if held is not None:
                changes.append({"path": path, "drop": True})
        elif isinstance(value, dict) and isinstance(held, dict) and held.get("kind") == value.get("kind"):
            changes += _within(path, held, value)
        elif value != held:
            changes.append({"path": path, "put": value})
    return changes


def _within(path: list[Any], held: Values, wanted: Values) -> Iterator[dict[str, Any]]:
    """Edits of single keys, so that the comments beside the others stay."""
    yield from ({"path": [*path, key], "drop": True} for key in held if key not in wanted)
    yield from ({"path": [*path, key], "put": v} for key, v in wanted.items() if held.get(key) != v)
