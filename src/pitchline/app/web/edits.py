"""Edits of a job as data: what a page asks to change, put into the TOML text with its comments kept."""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Literal

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import AoT, Array, InlineTable, Item, Table

from pitchline.job.faults import show_path
from pitchline.job.positions import Path, values_of
from pitchline.kit.errors import Fault, InputError

Do = Literal["put", "drop", "add", "typed"]
LONGEST_PATH = 12
LONGEST_TEXT = 500
"""Characters of one value: titles and names are shorter."""
MOST_CHANGES = 400
"""Changes of one edit: two lists of the longest flight are resized by eighty."""


@dataclass(frozen=True, slots=True)
class Change:
    """One change: ``put`` a value, ``drop`` a key or an item, ``add`` an item to a list, or a value as ``typed``."""

    path: Path
    do: Do
    value: Any = None
    was: Any = None
    has_was: bool = False


def changes_of(document: object) -> tuple[Change, ...]:
    """The changes that a request names. InputError for anything that is not one."""
    if not isinstance(document, list) or not 0 < len(document) <= MOST_CHANGES:
        raise _refused("changes", "a list of changes is needed")
    return tuple(_change(entry) for entry in document)


def _change(entry: object) -> Change:
    if not isinstance(entry, dict) or not _is_path(entry.get("path")):
        raise _refused("changes", "each change needs the path of its place")
    path = tuple(entry["path"])
    asked = [do for do in ("put", "drop", "add", "typed") if do in entry]
    if len(asked) != 1 or set(entry) - {"path", "was", *asked}:
        raise _refused(show_path(path), "a change does one thing", "put, typed, add or drop")
    do = asked[0]
    value = entry[do]
    if do != "drop" and not _is_value(value, 3):
        raise _refused(show_path(path), "this is no value of a job")
    if do == "typed" and not isinstance(value, str):
        raise _refused(show_path(path), "what is typed is text")
    return Change(path, do, value, entry.get("was"), "was" in entry)  # type: ignore[arg-type]  # one of the four


def _is_path(path: object) -> bool:
    if not isinstance(path, list) or not 0 < len(path) <= LONGEST_PATH:
        return False
    words = all(isinstance(part, int | str) and not isinstance(part, bool) for part in path)
    return words and isinstance(path[0], str)


def _is_value(value: object, depth: int) -> bool:
    match value:
        case bool() | int():
            return True
        case float():
            return math.isfinite(value)
        case str():
            return len(value) <= LONGEST_TEXT
        case list():
            return depth > 0 and all(_is_value(item, depth - 1) for item in value)
        case dict():
            return depth > 0 and all(isinstance(k, str) and _is_value(v, depth - 1) for k, v in value.items())
    return False


def _refused(where: str, problem: str, allowed: str | None = None) -> InputError:
    return InputError([Fault(where, problem, allowed=allowed)], "the edit")


def edited(text: str, changes: Iterable[Change]) -> str:
    """The text with every change made, in order; InputError, and nothing made, where one finds no place."""
    changes = tuple(changes)
    if len(changes) == 1 and (spliced := _spliced(text, changes[0])) is not None:
        return spliced
    try:
        document = tomlkit.parse(text)
        for change in changes:
            _make(document, change)
        return tomlkit.dumps(document)
    except TOMLKitError as error:
        raise _refused("the job", "the change cannot be written there") from error


def _spliced(text: str, change: Change) -> str | None:
    """One plain value put in the place of another, without taking the whole text apart: some ten times as quick."""
    if change.do != "put" or not isinstance(change.value, bool | int | float | str):
        return None
    held = values_of(text).get(change.path)
    return (
        None if held is None else text[: held[0]] + tomlkit.item(change.value).as_string() + text[held[1] :]
    )


def _make(document: Any, change: Change) -> None:
    holder = document
    for number, part in enumerate(change.path[:-1]):
        holder = _inner(holder, part, change.path[: number + 1], change)
    last = change.path[-1]
    match change.do:
        case "put":
            _put(holder, last, change)
        case "drop":
            _drop(holder, last, change.path)
        case "add":
            _add(holder, last, change)


def _inner(holder: Any, part: str | int, path: Path, change: Change) -> Any:
    """The table or list at a step of the path; a table that is not there yet is made on the way to a new value."""
    if isinstance(holder, dict) and isinstance(part, str):
        if part not in holder and change.do != "drop":
            holder[part] = tomlkit.table()
        if part in holder:
            return holder[part]
    if isinstance(holder, list) and isinstance(part, int) and 0 <= part < len(holder):
        return holder[part]
    raise _nowhere(path)


def _put(holder: Any, last: str | int, change: Change) -> None:
    value = _item(change.value, inline=not isinstance(holder, dict) or _is_inline(holder))
    if isinstance(holder, dict) and isinstance(last, str):
        old = holder.get(last)
        if isinstance(old, Table) and isinstance(value, Table):
            _refill(old, value)
        else:
            holder[last] = value
    elif isinstance(holder, list) and isinstance(last, int) and 0 <= last < len(holder):
        holder[last] = value
    else:
        raise _nowhere(change.path)


def _refill(old: Table, value: Table) -> None:
    """Another table's keys in the place of a table, so that it keeps its place in the file."""
    for key in list(old):
        del old[key]
    for key, inner in value.items():
        old[key] = inner


def _is_inline(holder: Any) -> bool:
    return isinstance(holder, InlineTable)


def _drop(holder: Any, last: str | int, path: Path) -> None:
    in_table = isinstance(holder, dict) and last in holder
    in_list = isinstance(holder, list) and isinstance(last, int) and 0 <= last < len(holder)
    if not (in_table or in_list):
        raise _nowhere(path)
    del holder[last]


def _add(holder: Any, last: str | int, change: Change) -> None:
    """Add to the list at the end of the path; the list is begun where there is none."""
    target = holder
    if isinstance(holder, dict) and isinstance(last, str):
        if last not in holder:
            holder[last] = tomlkit.aot() if isinstance(change.value, dict) else tomlkit.array()
        target = holder[last]
    elif isinstance(holder, list) and isinstance(last, int) and 0 <= last < len(holder):
        target = holder[last]
    if isinstance(target, AoT):
        target.append(_item(change.value, inline=False))
    elif isinstance(target, Array):
        _append(target, _item(change.value, inline=True))
    else:
        raise _nowhere(change.path)


def _append(target: Array, item: Item) -> None:
    """Append on a line of its own where the list is written over several lines."""
    if "\n" in target.as_string():
        target.add_line(item, indent="  ", newline=True)
    else:
        target.append(item)


def _item(value: Any, *, inline: bool) -> Item:
    if isinstance(value, Mapping):
        table = tomlkit.inline_table() if inline else tomlkit.table()
        for key, inner in value.items():
            table[key] = _item(inner, inline=inline)
        return table
    if isinstance(value, list) and not inline and value and all(isinstance(v, Mapping) for v in value):
        tables = tomlkit.aot()
        for inner in value:
            tables.append(_item(inner, inline=False))
        return tables
    if isinstance(value, list):
        array = tomlkit.array()
        for inner in value:
            array.append(_item(inner, inline=True))
        return array
    item: Item = tomlkit.item(value)
    return item


def _nowhere(path: Path) -> InputError:
    return _refused(show_path(path), "the job has no place for this value")
