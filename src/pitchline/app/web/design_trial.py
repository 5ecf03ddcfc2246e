"""A job tried with other values, without touching its file: for small pictures and for sliders while they move."""

import copy
import datetime
import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pitchline.kit.errors import Fault, InputError

if TYPE_CHECKING:
    from pitchline.story import Memo, SolvedBalustrade


@dataclass(frozen=True, slots=True)
class Trial:
    """What one design would be; where it cannot be laid out, why not."""

    balustrade: "SolvedBalustrade | None"
    faults: tuple[Fault, ...] = ()


def try_design(
    raw: Mapping[str, Any], design: Mapping[str, Any], path: Path, memo: "Memo | None", index: int = 0
) -> Trial:
    """Lay out one design with the job's stair. ``memo`` is read and left as it is.

    Faults name the design by its ``index`` in the job.
    """
    from pitchline.job.load import load_text
    from pitchline.story import Memo, solve

    alone = {key: value for key, value in raw.items() if key != "wall_rails"} | {"designs": [design]}
    try:
        job = load_text(as_toml(alone), path.name, path)
        solved = solve(job, Memo(dict(memo.last) if memo is not None else {}))
    except InputError as wrong:
        return Trial(None, tuple(_moved(fault, index) for fault in wrong.faults))
    return Trial(solved.balustrades[0])


def _moved(fault: Fault, index: int) -> Fault:
    where = fault.where.replace("designs[0]", f"designs[{index}]", 1)
    return Fault(where, fault.problem, fault.found, fault.allowed, fault.remedy)


def with_values(
    design: Mapping[str, Any], values: Iterable[tuple[tuple[str | int, ...], Any]]
) -> dict[str, Any]:
    """The design with values put in at paths below it; None leaves a key out. Tables on the way are made."""
    made = copy.deepcopy(dict(design))
    for path, value in values:
        holder: Any = made
        for part in path[:-1]:
            holder = holder.setdefault(part, {}) if isinstance(holder, dict) else holder[part]
        if value is None:
            holder.pop(path[-1], None)
        else:
            holder[path[-1]] = value
    return made


def as_toml(table: Mapping[str, Any]) -> str:
    """Values as a TOML document of inline tables: read by the job's own reader, never kept."""
    return "".join(f"{_text(key)} = {_value(value)}\n" for key, value in table.items())


def _value(value: object) -> str:
    match value:
        case bool():
            return "true" if value else "false"
        case int() | float():
            return repr(value)
        case str():
            return _text(value)
        case datetime.date() | datetime.time():
            return value.isoformat()
        case list():
            return f"[{', '.join(map(_value, value))}]"
        case dict():
            return f"{{{', '.join(f'{_text(key)} = {_value(inner)}' for key, inner in value.items())}}}"
    raise TypeError(f"no TOML value: {value!r}")


def _text(value: str) -> str:
    """A basic string: what JSON escapes, TOML escapes alike, but for the delete character."""
    return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
