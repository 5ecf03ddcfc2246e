"""From what is typed into a field to the value that the job file holds: a number, a length with its unit, text.

What cannot be read is kept as text, so that nothing typed is lost; the job's own reading says what is wrong with it.
"""

import re
import typing
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, get_args, get_origin

from pydantic import BaseModel

from pitchline.job.faults import table_at
from pitchline.job.fields import NOT_READ, Count, Figure, Reader, Size, Switch
from pitchline.job.positions import Path
from pitchline.kit.units import Unit

_NUMBER = re.compile(r"[+-]?(?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)")
_WHOLE = re.compile(r"[+-]?[0-9]{1,9}")
_FRACTION = re.compile(r"[+-]?(?:[0-9]+[ -])?[0-9]+/[0-9]+")


@dataclass(frozen=True, slots=True)
class Left:
    """Nothing typed: the key is left out of the file."""


LEFT_OUT = Left()


def reader_at(path: Path, raw: object) -> Reader | None:
    """The reader of the field at a path of a job with these values; None where no such field is known."""
    in_list = isinstance(path[-1], int)
    holder = path[:-2] if in_list else path[:-1]
    key = path[-2] if in_list and len(path) > 1 else path[-1]
    table = table_at(holder, raw)
    if table is None:
        return None
    return next((r for r in _readers(table, str(key), in_list)), None)


def _readers(table: type[BaseModel], key: str, in_list: bool) -> list[Reader]:
    for name, field in table.model_fields.items():
        if key in (name, field.alias):
            found = [item for item in field.metadata if isinstance(item, Reader)]
            return found or _inside(field.annotation)
    return []


def _inside(annotation: Any) -> list[Reader]:
    """The readers named anywhere inside an annotation."""
    if get_origin(annotation) is typing.Annotated:
        return [item for item in annotation.__metadata__ if isinstance(item, Reader)]
    return [reader for part in get_args(annotation) for reader in _inside(part)]


def written(path: Path, typed: str, raw: object, unit: Unit) -> Any:
    """The TOML value of what was typed for a path; ``LEFT_OUT`` where nothing was."""
    text = " ".join(typed.split())
    reader = reader_at(path, raw)
    if not text:
        return NOT_READ if isinstance(path[-1], int) else LEFT_OUT
    match reader:
        case Size():
            return _length(text, unit)
        case Figure():
            return _plain(text.removesuffix("°").strip())
        case Count() if _WHOLE.fullmatch(text):
            return int(text)
        case Switch():
            return {"true": True, "false": False}.get(text, text)
    return text


def item_written(path: Path, item: Mapping[str, Any], unit: Unit) -> dict[str, Any]:
    """A new item of the list at a path: what stands in it as ``{"typed": text}`` is read as its field reads it."""
    raw: Any = [{key: value for key, value in item.items() if not isinstance(value, dict)}]
    for part in reversed(path):
        raw = {part: raw} if isinstance(part, str) else [None] * part + [raw]
    read = {key: _item_value((*path, 0, key), value, raw, unit) for key, value in item.items()}
    return {key: value for key, value in read.items() if value is not LEFT_OUT}


def _item_value(path: Path, value: Any, raw: object, unit: Unit) -> Any:
    typed = value.get("typed") if isinstance(value, Mapping) and set(value) == {"typed"} else None
    return written(path, typed, raw, unit) if isinstance(typed, str) else value


def _length(text: str, unit: Unit) -> Any:
    if text == NOT_READ:
        return text
    if unit is Unit.INCH and _FRACTION.fullmatch(text):
        return f"{text} in"
    return _plain(text)


def _plain(text: str) -> Any:
    """A number where it is one, with a point or a comma; else the text as it stands."""
    if not _NUMBER.fullmatch(text) or len(text) > 15:
        return text
    number = float(text.replace(",", "."))
    return int(number) if number.is_integer() and "." not in text and "," not in text else number
