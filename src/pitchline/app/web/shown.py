"""Values of the job file as a page shows them, and the names of their places. Loads nothing heavy."""

import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from pitchline.kit.units import Unit

Path = tuple[str | int, ...]
NOT_READ = "-"
_FRACTION_IN = re.compile(r"([+-]?(?:[0-9]+[ -])?[0-9]+/[0-9]+) ?in")


def shown(value: object, unit: Unit) -> str:
    """A value of the file as a field shows it; nothing for one that was not read."""
    if value is None or value == NOT_READ or isinstance(value, dict | list):
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, float):
        return f"{value:.10g}"
    inches = _FRACTION_IN.fullmatch(value) if unit is Unit.INCH and isinstance(value, str) else None
    return inches[1] if inches else str(value)


def where(path: Sequence[str | int]) -> str:
    """A path as faults name it: flights[0].rises.values[3]."""
    text = "".join(f"[{part}]" if isinstance(part, int) else f".{part}" for part in path)
    return text.removeprefix(".")


def at(path: Sequence[str | int], raw: Any) -> Any:
    """The value at a path, None where there is none."""
    for part in path:
        in_list = isinstance(raw, list) and isinstance(part, int) and 0 <= part < len(raw)
        if not in_list and not (isinstance(raw, Mapping) and part in raw):
            return None
        raw = raw[part]
    return raw


def items(raw: object, *path: str | int) -> list[Any]:
    """The list at a path, empty where there is none."""
    found = at(path, raw)
    return found if isinstance(found, list) else []


@dataclass(frozen=True, slots=True)
class Entry:
    """A field: its place, its label, what it shows now, its unit, and what the survey says beside it.

    ``round`` names the fields that follow each other when Enter is pressed.
    """

    path: Path
    label: str
    value: str
    was: Any
    unit: str = ""
    round: str = ""
    hint: str = ""
    options: tuple[tuple[str, str], ...] = ()
    figure: bool = True
    residual: str = ""
    doubt: bool = False
    said: str = ""

    @property
    def where(self) -> str:
        """Its place as faults name it."""
        return where(self.path)

    @property
    def path_json(self) -> str:
        """Its place as a script reads it."""
        return json.dumps(self.path)

    @property
    def was_json(self) -> str:
        """What the file holds now, as a script reads it."""
        return json.dumps(self.was)


def read_mm(value: object, unit: Unit) -> float | None:
    """A length of the file in mm, None where it cannot be read as one."""
    from pitchline.kit.units import LengthError, read_length

    if value is None or value == NOT_READ or isinstance(value, bool | dict | list):
        return None
    try:
        return read_length(value, unit)  # type: ignore[arg-type]  # what else TOML has is refused by it
    except (LengthError, TypeError, ValueError):
        return None
