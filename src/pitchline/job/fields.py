"""How single values of a job file are read: lengths, angles, counts, words, choices; nothing is ever guessed.

Each kind of value is a small frozen reader used as a mark on a model's field, so that the table of sizes in
``limits`` is the one place where a range and its reason stand. A value that does not fit raises pydantic's
error of type ``unfit``, whose context holds what is allowed and what to do.
"""

import datetime
import difflib
import math
import re
import unicodedata
from abc import ABC, abstractmethod
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Any, NamedTuple

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import PydanticCustomError, core_schema

from pitchline.kit.units import KILOGRAM_FORCE, POUND_FORCE, LengthError, Unit, read_length

BEYOND_SENSE = 1e9
"""A plain number beyond this is refused before any arithmetic: no stair is a thousand kilometres long."""

LONGEST_LENGTH_TEXT = 60
"""Characters a length may be written in."""

NOT_READ = "-"
"""Written in a list of rises or goings where none was read."""


class UnfitError(Exception):
    """A value that a field cannot take: the problem, what is allowed, and what to do (either may be None)."""

    def __init__(self, problem: str, allowed: str | None = None, remedy: str | None = None) -> None:
        super().__init__(problem)
        self.problem, self.allowed, self.remedy = problem, allowed, remedy


class Setting(NamedTuple):
    """What reading a value depends on: the job's unit, and whether that unit is itself readable."""

    unit: Unit
    certain: bool = True


def sort_of(value: object) -> str:
    """What a TOML value is, as a person would say it."""
    sorts: tuple[tuple[type | tuple[type, ...], str], ...] = (
        (bool, "true or false"),
        ((int, float), "a number"),
        (str, "text"),
        ((datetime.datetime, datetime.date, datetime.time), "a date or time"),
        (list, "a list"),
        (dict, "a table"),
    )
    return next((name for sort, name in sorts if isinstance(value, sort)), "nothing")


def nearest(word: str, known: list[str]) -> str | None:
    """The known word most like this one, None if none is much like it."""
    folded = {name.casefold(): name for name in reversed(known)}
    close = difflib.get_close_matches(word.casefold()[:80], list(folded), n=1, cutoff=0.6)
    return folded[close[0]] if close else None


@dataclass(frozen=True, slots=True)
class Reader(ABC):
    """A field's reader: subclasses say how to read a value and how the JSON Schema describes it."""

    @abstractmethod
    def read(self, value: object, setting: Setting) -> object:
        """The value as the model holds it. Raises UnfitError."""

    @abstractmethod
    def schema(self) -> dict[str, Any]:
        """The JSON Schema of what may be written."""

    def _validate(self, value: object, info: core_schema.ValidationInfo) -> object:
        setting = info.context if isinstance(info.context, Setting) else Setting(Unit.MM)
        try:
            return self.read(value, setting)
        except UnfitError as unfit:
            context = {"problem": unfit.problem, "allowed": unfit.allowed, "remedy": unfit.remedy}
            raise PydanticCustomError("unfit", "{problem}", context) from unfit

    def __get_pydantic_core_schema__(
        self, source: object, handler: GetCoreSchemaHandler
    ) -> core_schema.CoreSchema:
        return core_schema.with_info_plain_validator_function(self._validate)

    def __get_pydantic_json_schema__(
        self, schema: core_schema.CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        return self.schema()


@dataclass(frozen=True, slots=True)
class Size(Reader):
    """A length read into mm: a number in the job's unit or text with its unit; ``low`` to ``high`` mm, and why."""

    what: str
    low: float
    high: float
    why: str
    may_be_unread: bool = False

    @property
    def or_unread(self) -> "Size":
        """The same size, in a list where "-" may stand for a reading that was not taken (read as None)."""
        return replace(self, may_be_unread=True)

    def read(self, value: object, setting: Setting) -> float | None:
        """The length in mm, None for one not read."""
        if self.may_be_unread and value == NOT_READ:
            return None
        length = _length(value, setting.unit, self.may_be_unread)
        if setting.certain and not self.low <= length <= self.high:
            raise UnfitError(
                f"{self.what} of {shown(length, setting.unit)} is out of reach ({self.why})",
                f"{shown(self.low, setting.unit)} to {shown(self.high, setting.unit)}",
                f"check the figure and its unit (plain numbers are {_PLAIN[setting.unit]} here)",
            )
        return length

    def schema(self) -> dict[str, Any]:
        """A number, or text with a unit."""
        note = (
            f"{self.what}, {self.low:g} to {self.high:g} mm. A number in the job's unit, or text with a unit."
        )
        text = {"type": "string", "pattern": "^-$|[0-9]"} if self.may_be_unread else _LENGTH_TEXT
        return {"anyOf": [{"type": "number"}, text], "description": note}


_PLAIN = {Unit.MM: "mm", Unit.INCH: "inches"}
_LENGTH_TEXT = {"type": "string", "pattern": "[0-9]", "examples": ["871.5 mm", "34 5/16 in", "2' 10 1/2\""]}


def _length(value: object, unit: Unit, may_be_unread: bool) -> float:
    dash = f'; "{NOT_READ}" where none was read' if may_be_unread else ""
    allowed = f'a number of {_PLAIN[unit]}, or text with a unit such as "871.5 mm" or "34 5/16 in"{dash}'
    if isinstance(value, str):
        return _length_text(value, unit, allowed)
    return read_length(_number(value, "a length", allowed), unit)


def _length_text(value: str, unit: Unit, allowed: str) -> float:
    if len(value) > LONGEST_LENGTH_TEXT:
        raise UnfitError(f"a length cannot be {len(value)} characters long", allowed)
    try:
        return read_length(value, unit)
    except LengthError as error:
        problem, _, rest = str(error).partition("; ")
        problem = problem.replace(f"'{value}'", "it", 1)
        remedy = rest if rest.startswith("write ") else None
        raise UnfitError(problem, allowed, remedy.partition("; allowed")[0] if remedy else None) from error


def _number(value: object, wanted: str, allowed: str) -> int | float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise UnfitError(f"{sort_of(value)} stands where {wanted} belongs", allowed)
    if isinstance(value, float) and not math.isfinite(value):
        raise UnfitError(f"{wanted} cannot be infinite or 'not a number'", allowed)
    if abs(value) > BEYOND_SENSE:
        raise UnfitError(f"{wanted} cannot be that large", allowed)
    return value


def shown(length: float, unit: Unit) -> str:
    """A length of a sentence, in the job's unit."""
    return f"{length:.5g} mm" if unit is Unit.MM else f"{length / unit.in_mm:.4g} in"


@dataclass(frozen=True, slots=True)
class Figure(Reader):
    """A plain number of one unit, whatever the job's unit of length: ``low`` to ``high``, and why."""

    what: str
    low: float
    high: float
    why: str
    unit: str = "percent"

    @property
    def _wanted(self) -> str:
        return f"a number in {self.unit}"

    def read(self, value: object, setting: Setting) -> float:
        """The number in its unit."""
        allowed = f"{self.low:g} to {self.high:g} {self.unit}, as a plain number"
        figure = _number(value, self._wanted, allowed)
        if not self.low <= figure <= self.high:
            raise UnfitError(f"{self.what} of {figure:g} {self.unit} is out of reach ({self.why})", allowed)
        return float(figure)

    def schema(self) -> dict[str, Any]:
        """A number in range."""
        return {"type": "number", "minimum": self.low, "maximum": self.high}


_FORCE_TEXT = re.compile(r"\s*([0-9]+(?:\.[0-9]+)?)\s*([A-Za-z]+)\s*")
_FORCES = {
    "N": 1.0,
    "kN": 1000.0,
    "lbf": POUND_FORCE,
    "lb": POUND_FORCE,
    "kgf": KILOGRAM_FORCE,
    "kg": KILOGRAM_FORCE,
}


@dataclass(frozen=True, slots=True)
class Force(Reader):
    """A force read into N: a number (newtons in a job in mm, pounds in one in inches) or text with its unit."""

    what: str
    low: float
    high: float
    why: str

    def read(self, value: object, setting: Setting) -> float:
        """The force in N."""
        plain = "pounds" if setting.unit is Unit.INCH else "newtons"
        allowed = f'a number of {plain}, or text with a unit such as "200 N", "45 lbf" or "20 kgf"'
        if isinstance(value, str):
            match = _FORCE_TEXT.fullmatch(value)
            if match is None or match[2] not in _FORCES:
                raise UnfitError("this is no force that can be read", allowed)
            force = float(match[1]) * _FORCES[match[2]]
        else:
            force = _number(value, "a force", allowed) * (POUND_FORCE if setting.unit is Unit.INCH else 1.0)
        if setting.certain and not self.low <= force <= self.high:
            raise UnfitError(
                f"{self.what} of {force:.4g} N is out of reach ({self.why})",
                f"{self.low:g} to {self.high:g} N",
                f"check the figure and its unit (plain numbers are {plain} here)",
            )
        return force

    def schema(self) -> dict[str, Any]:
        """A number, or text with a unit."""
        note = (
            f"{self.what}, {self.low:g} to {self.high:g} N. A number (N, or lbf in a job in inches), or text."
        )
        text = {"type": "string", "pattern": "[0-9]", "examples": ["200 N", "45 lbf", "20 kgf"]}
        return {"anyOf": [{"type": "number"}, text], "description": note}


@dataclass(frozen=True, slots=True)
class Angle(Figure):
    """An angle in degrees, a plain number: ``low`` to ``high``, and why."""

    unit: str = "degrees"

    @property
    def _wanted(self) -> str:
        return "an angle in degrees"


@dataclass(frozen=True, slots=True)
class Count(Reader):
    """A whole number from ``low`` to ``high``."""

    what: str
    low: int
    high: int

    def read(self, value: object, setting: Setting) -> int:
        """The number; 13.0 is refused too, for a count is written without a point."""
        allowed = f"a whole number from {self.low} to {self.high}"
        if isinstance(value, bool) or not isinstance(value, int):
            raise UnfitError(f"{self.what} must be a whole number, not {_part(value)}", allowed)
        if not self.low <= value <= self.high:
            raise UnfitError(f"{self.what} is out of reach", allowed)
        return value

    def schema(self) -> dict[str, Any]:
        """A whole number in range."""
        return {"type": "integer", "minimum": self.low, "maximum": self.high}


def _part(value: object) -> str:
    return "a number with a point" if isinstance(value, float) else sort_of(value)


@dataclass(frozen=True, slots=True)
class Words(Reader):
    """Text on one line, not empty, at most ``longest`` characters, of printable characters only."""

    what: str
    longest: int

    def read(self, value: object, setting: Setting) -> str:
        """The text as written."""
        allowed = f"text in quotes on one line, 1 to {self.longest} characters"
        if not isinstance(value, str):
            remedy = "put it in straight double quotes"
            raise UnfitError(f"{sort_of(value)} stands where text belongs", allowed, remedy)
        if not value.strip():
            remedy = "write something, or leave the key out if it may be left out"
            raise UnfitError(f"{self.what} is empty", allowed, remedy)
        if len(value) > self.longest:
            raise UnfitError(f"{self.what} is {len(value)} characters long", allowed, "shorten it")
        hidden = next(
            (c for c in value if unicodedata.category(c) in {"Cc", "Cf", "Zl", "Zp", "Cs", "Co"}), None
        )
        if hidden is not None:
            raise UnfitError(
                f"{self.what} holds the unprintable character U+{ord(hidden):04X}", allowed, "take it out"
            )
        return value

    def schema(self) -> dict[str, Any]:
        """Text of limited length."""
        return {"type": "string", "minLength": 1, "maxLength": self.longest}


_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9 ._-]*")


@dataclass(frozen=True, slots=True)
class Name(Words):
    """A short name that other lines refer to and that ends up in file names and on labels."""

    def read(self, value: object, setting: Setting) -> str:
        """The name as written."""
        text = Words.read(self, value, setting)
        if not _NAME.fullmatch(text) or text != text.rstrip(" ."):
            allowed = f"letters a-z, digits, blanks, dots, dashes; 1 to {self.longest} characters"
            raise UnfitError(
                f"{self.what} holds a character that a name cannot carry",
                allowed,
                "begin with a letter or digit and end without a blank or dot",
            )
        return text

    def schema(self) -> dict[str, Any]:
        """Text of a name's characters."""
        return {"type": "string", "maxLength": self.longest, "pattern": f"^{_NAME.pattern}$"}


@dataclass(frozen=True, slots=True)
class Letters(Words):
    """So many capital letters, as in an ISO 4217 currency code."""

    def read(self, value: object, setting: Setting) -> str:
        """The code."""
        if not isinstance(value, str) or not re.fullmatch(rf"[A-Z]{{{self.longest}}}", value):
            allowed = f'{self.longest} capital letters such as "GBP" or "USD"'
            raise UnfitError(f"{self.what} is not written as a code", allowed)
        return value

    def schema(self) -> dict[str, Any]:
        """The letters."""
        return {"type": "string", "pattern": f"^[A-Z]{{{self.longest}}}$"}


@dataclass(frozen=True, slots=True)
class Choice(Reader):
    """One of a few words, read into a member of ``of``."""

    of: type[StrEnum]

    def read(self, value: object, setting: Setting) -> StrEnum:
        """The chosen member."""
        words = [member.value for member in self.of]
        if isinstance(value, str) and value in words:
            return self.of(value)
        raise not_a_choice(value, words)

    def schema(self) -> dict[str, Any]:
        """The words."""
        return {"type": "string", "enum": [member.value for member in self.of]}


@dataclass(frozen=True, slots=True)
class Word(Words):
    """One of a few words that a table elsewhere lists."""

    known: tuple[str, ...] = ()

    def read(self, value: object, setting: Setting) -> str:
        """The word."""
        if isinstance(value, str) and value in self.known:
            return value
        raise not_a_choice(value, list(self.known))

    def schema(self) -> dict[str, Any]:
        """The words."""
        return {"type": "string", "enum": list(self.known)}


def not_a_choice(value: object, words: list[str]) -> UnfitError:
    """The fault of a word that is none of these."""
    allowed = " or ".join(f'"{word}"' for word in words)
    if not isinstance(value, str):
        return UnfitError(f"{sort_of(value)} stands where one of a few words belongs", allowed)
    guess = nearest(value, words)
    return UnfitError(
        "this word is not known here", allowed, f'perhaps you mean "{guess}"' if guess else None
    )


@dataclass(frozen=True, slots=True)
class Switch(Reader):
    """true or false, nothing that merely looks like it."""

    def read(self, value: object, setting: Setting) -> bool:
        """The answer."""
        if not isinstance(value, bool):
            raise UnfitError(
                f"{sort_of(value)} stands where true or false belongs", "true or false, without quotes"
            )
        return value

    def schema(self) -> dict[str, Any]:
        """A boolean."""
        return {"type": "boolean"}


@dataclass(frozen=True, slots=True)
class Day(Reader):
    """A calendar day: a TOML date or the text "2025-03-14"; held as that text."""

    def read(self, value: object, setting: Setting) -> str:
        """The day as year-month-day."""
        allowed = "a day written 2025-03-14"
        if isinstance(value, datetime.date) and not isinstance(value, datetime.datetime):
            return value.isoformat()
        if not isinstance(value, str) or not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", value):
            raise UnfitError("this is not a day of the calendar", allowed, "write year, month, day")
        try:
            return datetime.date.fromisoformat(value).isoformat()
        except ValueError as error:
            raise UnfitError("the calendar has no such day", allowed) from error

    def schema(self) -> dict[str, Any]:
        """A date."""
        return {"type": "string", "format": "date"}
