"""From what pydantic finds in a job file to faults with a path, a line and a sentence of the trade."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any, NamedTuple, get_args

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from pitchline.job import model
from pitchline.job.fields import nearest, not_a_choice, sort_of
from pitchline.job.positions import Path, line_of, lines_of
from pitchline.job.tables import TABLES, keys_of
from pitchline.kit.errors import Fault

LONGEST_SHOWN = 60
"""Characters of a wrong value that a sentence shows."""


def show_path(path: Path) -> str:
    """A path as a person reads it: designs[0].handrail.depth."""
    text = ""
    for part in path:
        text += f"[{part}]" if isinstance(part, int) else f".{_key(part)}"
    return text.removeprefix(".") or "the file"


def _key(part: str) -> str:
    shown = "".join(c if c.isprintable() else "?" for c in part)
    return shown if len(shown) <= LONGEST_SHOWN else shown[: LONGEST_SHOWN - 3] + "..."


def show_value(value: object) -> str:
    """A value as it would stand in the file, shortened."""
    match value:
        case bool():
            return "true" if value else "false"
        case int() if abs(value) >= 10**20:
            return "a very long number"
        case str():
            return f'"{_key(value)}"'
        case list():
            return f"a list of {len(value)}"
        case dict():
            return "a table with " + (", ".join(_key(str(key)) for key in list(value)[:4]) or "nothing in it")
        case _:
            return str(value)


class Slip(NamedTuple):
    """A fault before its line is known: ``found`` is the value or None to show none."""

    path: Path
    problem: str
    found: object | None = None
    allowed: str | None = None
    remedy: str | None = None


def with_lines(slips: Iterable[Slip], text: str, raw: Mapping[str, Any]) -> list[Fault]:
    """The slips as faults with their lines and with what was written, each told once, in the order of the file."""
    lines = lines_of(text)
    once = {(slip.path, slip.problem): slip for slip in slips}
    faults = [_with_line(slip, lines, raw) for slip in once.values()]
    return sorted(faults, key=lambda fault: fault.line or 0)


def located(faults: Iterable[Fault], text: str) -> list[Fault]:
    """Faults found after a file was read, with the lines of the tables and keys that they name."""
    lines = lines_of(text)
    return [
        fault if fault.line is not None else replace(fault, line=line_of(_path_of(fault.where), lines))
        for fault in faults
    ]


def _path_of(where: str) -> Path:
    """A path as `show_path` writes it, taken apart."""
    return tuple(int(word) if word.isdigit() else word for word in re.findall(r"[^.\[\]]+", where))


def _with_line(slip: Slip, lines: Mapping[Path, int], raw: Mapping[str, Any]) -> Fault:
    written = value_at(slip.path, raw)
    found = None if slip.found is None else show_value(slip.found if written is None else written)
    where = show_path(slip.path)
    return Fault(where, slip.problem, found, slip.allowed, slip.remedy, line_of(slip.path, lines))


def model_slips(error: ValidationError, raw: Mapping[str, Any]) -> list[Slip]:
    """Every fault that pydantic found in the values of a job file."""
    return [_slip(details, raw) for details in error.errors(include_url=False)]


def _slip(details: ErrorDetails, raw: Mapping[str, Any]) -> Slip:
    path = _plain_path(details["loc"])
    found = details["input"]
    kind = details["type"]
    context = details.get("ctx", {})
    if kind == "unfit":
        return Slip(path, context["problem"], found, context["allowed"], context["remedy"])
    if kind == "missing":
        return missing(path)
    if kind == "extra_forbidden":
        return _unknown_key(path, raw)
    if kind in {"union_tag_invalid", "union_tag_not_found", "literal_error"}:
        return _wrong_kind(path, found)
    wanted = "a list" if kind == "list_type" else "a table"
    written = "[[...]] or [ ... ]" if kind == "list_type" else "[...] or { ... }"
    return Slip(path, f"{sort_of(found)} stands where {wanted} belongs", found, f"{wanted}, {written}")


def _plain_path(loc: Iterable[str | int]) -> Path:
    """pydantic's place without the kinds of tables that it puts in."""
    path: Path = ()
    at_kind = False
    for part in loc:
        if at_kind and isinstance(part, str):
            at_kind = False
            continue
        path = (*path, part)
        at_kind = isinstance(TABLES.get(_pattern(path)), Mapping)
    return path


def _pattern(path: Path) -> str:
    """The place of a table with its indices left out: designs[].handrail."""
    return "".join("[]" if isinstance(part, int) else f".{part}" for part in path).removeprefix(".")


def table_at(path: Path, raw: object) -> type[BaseModel] | None:
    """The table that belongs at a path of a file with these values."""
    table = TABLES.get(_pattern(path))
    if not isinstance(table, Mapping):
        return table
    values = value_at(path, raw)
    kind = values.get("kind") if isinstance(values, dict) else None
    return table.get(kind) if isinstance(kind, str) else None


def value_at(path: Path, raw: object) -> object:
    """The value at a path, None where there is none."""
    for part in path:
        if isinstance(raw, dict):
            raw = raw.get(part)
        elif isinstance(raw, list) and isinstance(part, int) and part < len(raw):
            raw = raw[part]
        else:
            return None
    return raw


def missing(path: Path) -> Slip:
    """The fault of a key or table that must be there and is not."""
    pattern = _pattern(path)
    if pattern + "[]" in TABLES:
        what = f"the tables [[{pattern.replace('[]', '')}]] are missing"
    elif pattern in TABLES:
        what = f"the table [{pattern.replace('[]', '')}] is missing"
    else:
        what = "this key is missing"
    remedy = f"add {_key(str(path[-1]))}; the howto on the job file explains it"
    if path == ("schema",):
        remedy = f'begin the file with schema = "{model.SCHEMA}"'
    return Slip(path, what, remedy=remedy)


def _unknown_key(path: Path, raw: Mapping[str, Any]) -> Slip:
    key = str(path[-1])
    table = table_at(path[:-1], raw)
    known = keys_of(table) if table else {}
    present = value_at(path[:-1], raw)
    free = [name for name in known if not (isinstance(present, dict) and name in present)]
    guess = nearest(key, free) or nearest(key, list(known))
    home = _home_of(key, path)
    if guess is not None and (home is None or guess.startswith(key) or key.startswith(guess)):
        remedy = f"perhaps you mean {guess}"
    else:
        remedy = f"it belongs in {home}" if home else "take it out"
    return Slip(path, "this key is not known here", allowed=", ".join(known), remedy=remedy)


def _home_of(key: str, path: Path) -> str | None:
    """Another table of the same flight or design that holds this key."""
    here = _pattern(path[:-1])
    family = here.split(".")[0]
    for pattern, tables in TABLES.items():
        kinds = tables.values() if isinstance(tables, Mapping) else [tables]
        if (
            pattern != here
            and pattern.split(".")[0] == family
            and any(key in keys_of(kind) for kind in kinds)
        ):
            name = pattern.replace("[]", "")
            return f"[[{name}]], above its sub-tables" if pattern.endswith("[]") else f"[{name}]"
    return None


def _wrong_kind(path: Path, found: object) -> Slip:
    if path == ("schema",):
        return Slip(
            path,
            "this form of job file is not known to this version",
            found,
            f'"{model.SCHEMA}"',
            "check the number, or use the version of pitchline that wrote the file",
        )
    tables = TABLES[_pattern(path)] if _pattern(path) in TABLES else TABLES[_pattern(path[:-1])]
    words = list(tables) if isinstance(tables, Mapping) else [_only_kind(tables)]
    if path[-1] != "kind":
        path = (*path, "kind")
    value = found.get("kind") if isinstance(found, dict) else found
    if value is None:
        allowed = " or ".join(f'"{word}"' for word in words)
        return Slip(path, "the kind is missing", allowed=allowed, remedy="say which kind it is")
    unfit = not_a_choice(value, words)
    return Slip(path, unfit.problem, value, unfit.allowed, unfit.remedy)


def _only_kind(table: type[BaseModel]) -> str:
    """The one kind that a table of a single kind has."""
    return str(get_args(table.model_fields["kind"].annotation)[0])
