"""From the bytes of a file to TOML values, with a sentence for everything that can stand in the way."""

import re
import tomllib
from pathlib import Path
from typing import Any

from pitchline.job.tokens import deepest
from pitchline.kit.errors import Fault, InputError

LARGEST_FILE = 5_000_000
"""Bytes: a job of a hundred flights with all their readings is a tenth of this."""

DEEPEST_NESTING = 12
"""Levels of brackets or parts of a dotted key: a job file needs five."""

WHOLE = "the file"


def read_bytes(path: Path) -> bytes:
    """The bytes of a job file. Raises InputError when it is not there, not a file, not readable or too large."""
    name = _clean(path.name or str(path))
    try:
        with path.open("rb") as file:
            return file.read(LARGEST_FILE + 1)
    except FileNotFoundError as error:
        hint = "check the name, or write a starting job with 'pitchline new'"
        raise _refused(name, "there is no such file", remedy=hint) from error
    except IsADirectoryError as error:
        raise _refused(name, "this is a folder, not a job file", remedy="name the file inside it") from error
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise _refused(name, f"the file cannot be read ({reason})") from error


def decode(data: bytes, source: str) -> str:
    """The text of a job file's bytes: UTF-8, with or without a byte order mark. Raises InputError."""
    if len(data) > LARGEST_FILE:
        raise _refused(
            source, "the file is too large for a job", allowed=f"up to {LARGEST_FILE // 1_000_000} MB"
        )
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        hint = "save it again with the encoding UTF-8"
        raise _refused(source, "the file is written in UTF-16", allowed="UTF-8 text", remedy=hint)
    if b"\x00" in data:
        hint = "a job file is plain text; check that this is the right file"
        raise _refused(source, "the file is not text but binary", allowed="UTF-8 text", remedy=hint)
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = data[: error.start]
        fault = Fault(
            WHOLE,
            "a character is not written in UTF-8",
            found=f"byte {data[error.start]:#04x}",
            allowed="UTF-8 text",
            remedy="save the file again with the encoding UTF-8",
            line=before.count(b"\n") + 1,
        )
        raise InputError([fault], source) from error
    return text.replace("\r\n", "\n")


def parse(text: str, source: str) -> dict[str, Any]:
    """The values of a TOML text. Raises InputError with the line of the first thing that is not TOML."""
    if not text.strip():
        hint = "write a starting job with 'pitchline new'"
        raise _refused(source, "the file is empty", remedy=hint)
    depth, line = deepest(text, DEEPEST_NESTING)
    if depth > DEEPEST_NESTING:
        allowed = f"up to {DEEPEST_NESTING} levels"
        raise InputError(
            [Fault(WHOLE, "brackets or dotted keys are nested too deeply", None, allowed, line=line)],
            source,
        )
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise InputError([_syntax_fault(str(error), text)], source) from error
    except ValueError as error:
        raise _refused(
            source, "a number is too long to be read", allowed="numbers of a few digits"
        ) from error


def _refused(source: str, problem: str, allowed: str | None = None, remedy: str | None = None) -> InputError:
    return InputError([Fault(WHOLE, problem, allowed=allowed, remedy=remedy)], source)


_AT = re.compile(r" \(at (?:line (?P<line>\d+), column (?P<column>\d+)|end of document)\)$")


def _syntax_fault(message: str, text: str) -> Fault:
    match = _AT.search(message)
    rows = text.split("\n")
    number = int(match["line"]) if match and match["line"] else len(text.rstrip().split("\n"))
    row = rows[number - 1].strip() if number <= len(rows) else ""
    plain = _AT.sub("", message)
    problem, remedy = next(
        (said for words, said in _SAID if words in plain),
        (f"this is not TOML: {plain[:1].lower()}{plain[1:160]}", None),
    )
    return Fault(WHOLE, problem, _clean(row) if row else None, None, remedy or _slip(row), number)


_SAID: tuple[tuple[str, tuple[str, str]], ...] = (
    ("overwrite", ("the same key or table stands twice", "keep one of them")),
    ("twice", ("the same key or table stands twice", "keep one of them")),
    ("Cannot mutate", ("a table is closed in one place and added to in another", "write it in one place")),
    ("Illegal character '\\n'", ("text in quotes is not closed on its line", 'end it with "')),
    ("Unclosed array", ("the list that begins above is not closed", "end it with ]")),
    ("Unclosed inline table", ("the table in braces is not closed", "end it with }")),
)


def _clean(row: str) -> str:
    shown = "".join(c if c.isprintable() else "?" for c in row)
    return shown if len(shown) <= 60 else shown[:57] + "..."


_SLIPS = (
    (re.compile(r"=\s*-?0[0-9]"), "write numbers without a nought in front"),
    (re.compile("[“”„‘’]"), 'use straight quotes: "..."'),
    (re.compile(r"=\s*-?\d+,\d"), "write decimals with a point: 179.5"),
    (
        re.compile(r"=\s*-?[\d./' -]+\s*(?:mm|cm|m|in|ft|'|\")\s*(?:#.*)?$"),
        'put a length with its unit in quotes: "34 5/16 in"',
    ),
    (re.compile(r"=\s*\d+[ -]\d+/\d+"), 'put a fraction in quotes with its unit: "34 5/16 in"'),
    (re.compile(r"[\[,]\s*-\s*[,\]]"), 'put the dash for a reading that was not taken in quotes: "-"'),
    (re.compile(r"^[\w.-]+\s*=\s*[A-Za-z]"), 'put text in straight double quotes: "..."'),
    (re.compile(r"^[\w.-]+\s*:"), "put = between a key and its value"),
    (re.compile(r"^[\w.-]+\s*=\s*(?:#.*)?$"), "write a value after the =, or take the line out"),
)


def _slip(row: str) -> str | None:
    """What to do about a slip that is often made."""
    return next((remedy for pattern, remedy in _SLIPS if pattern.search(row)), None)
