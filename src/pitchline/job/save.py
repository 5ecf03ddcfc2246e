"""Write a job file back: one value changed, every comment and blank line left where it was."""

import os
import tempfile
from collections.abc import Callable
from pathlib import Path

from pitchline.job.faults import show_path
from pitchline.job.positions import Path as Place
from pitchline.job.read import parse
from pitchline.kit.errors import Fault, InputError, OutputError

Value = str | int | float | bool


def set_value(text: str, place: Place, value: Value) -> str:
    """The text with the value at ``place`` replaced, or added to its table when the key is not there yet.

    ``place`` is a path such as ("flights", 0, "rises", "values", 3). Lengths stay in the job's unit or carry
    their own: nothing is converted. Raises InputError when the text is not TOML or has no such table or item.
    """
    return _edited(text, place, lambda target: _put(target, place, value))


def drop_value(text: str, place: Place) -> str:
    """The text without the key at ``place``, so that what is usual holds again. Raises InputError as above."""
    return _edited(text, place, lambda target: _drop(target, place))


def _edited(text: str, place: Place, edit: Callable[[object], None]) -> str:
    import tomlkit  # heavy, and only an edit needs it
    from tomlkit.exceptions import TOMLKitError

    if not place:
        raise ValueError("a value needs a place to stand")
    parse(text, "the job")
    try:
        document = tomlkit.parse(text)
        target: object = document
        for part in place[:-1]:
            target = _step(target, part, place)
        edit(target)
        return tomlkit.dumps(document)
    except TOMLKitError as error:
        raise InputError([Fault(show_path(place), "the value cannot be written there")], "the job") from error


def _step(target: object, part: str | int, place: Place) -> object:
    if isinstance(target, dict) and part in target:
        return target[part]
    if isinstance(target, list) and isinstance(part, int) and 0 <= part < len(target):
        return target[part]
    raise _nowhere(place)


def _put(target: object, place: Place, value: Value) -> None:
    last = place[-1]
    if isinstance(target, dict) and isinstance(last, str):
        old = target.get(last)
        if isinstance(old, dict | list):
            raise _nowhere(place)
        target[last] = value
    elif isinstance(target, list) and isinstance(last, int) and 0 <= last < len(target):
        if isinstance(target[last], dict | list):
            raise _nowhere(place)
        target[last] = value
    else:
        raise _nowhere(place)


def _drop(target: object, place: Place) -> None:
    key = place[-1]
    if not isinstance(target, dict) or key not in target or isinstance(target[key], dict | list):
        raise _nowhere(place)
    del target[key]


def _nowhere(place: Place) -> InputError:
    fault = Fault(
        show_path(place), "the job has no place for this value", remedy="add its table to the file first"
    )
    return InputError([fault], "the job")


def save_text(path: Path, text: str) -> None:
    """Replace a file by this text in one step: after a crash or a full disk the old file still stands.

    Raises OutputError.
    """
    try:
        handle, name = tempfile.mkstemp(prefix=f".{path.name}.", suffix=".part", dir=path.resolve().parent)
    except OSError as error:
        raise OutputError(f"{path} cannot be written: {error.strerror}.") from error
    part = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(text.encode("utf-8"))
            file.flush()
            os.fsync(file.fileno())
        part.chmod(path.stat().st_mode & 0o777 if path.exists() else 0o644)
        part.replace(path.resolve())
    except OSError as error:
        part.unlink(missing_ok=True)
        raise OutputError(f"{path} cannot be written: {error.strerror}.") from error
