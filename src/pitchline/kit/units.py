"""Lengths and angles as people write them: millimetres, inches and fractions of an inch, degrees.

Reading turns text or numbers into mm or degrees and refuses what is not plainly a length or an angle;
showing turns them into text for a bench or a drawing. Only what is shown is ever rounded.
The inch is 25.4 mm exactly (international yard and pound agreement of 1959).
"""

import math
import re
from enum import StrEnum

from pitchline.kit.errors import PitchlineError

MM_PER_INCH = 25.4
FINEST_FRACTION = 64

_LENGTH_FORMS = (
    '871.5 mm, 87.15 cm, 0.8715 m, 34 5/16 in, 34 5/16", 34.3125 in, 2\' 10 5/16" or 2 ft 10 5/16 in'
)
_ANGLE_FORMS = "41.6, 41.6 deg or 41.6°"

_MM_PER = {"mm": 1.0, "cm": 10.0, "m": 1000.0}
_NUMBER = r"[0-9]+(?:\.[0-9]+)?|\.[0-9]+"
_FRACTION = r"[0-9]+/[0-9]+"
_INCHES = (
    rf"(?:(?P<inch_whole>[0-9]+)(?:\ |-)(?P<inch_part>{_FRACTION})|(?P<inch_alone>{_FRACTION}|{_NUMBER}))"
)
_METRIC = re.compile(rf"(?P<number>{_NUMBER})\ ?(?P<unit>mm|cm|m)")
_IMPERIAL = re.compile(
    rf"(?:(?P<feet>{_NUMBER})\ ?(?:ft|feet|foot|')(?:-|\ -\ |\ )?)?"
    rf"(?:{_INCHES}\ ?(?:inches|inch|in|\"))?"
)
_BARE = re.compile(rf"(?:{_NUMBER})(?:[\ -]{_FRACTION})?|{_FRACTION}")
_ANGLE = re.compile(rf"(?P<number>{_NUMBER})\ ?(?:degrees|degree|deg|°)")
_TYPOGRAPHIC = str.maketrans(
    {
        "′": "'",
        "’": "'",
        "‘": "'",
        "″": '"',
        "”": '"',
        "“": '"',
        "⁄": "/",
        "−": "-",
        "\u00a0": " ",
        "\u202f": " ",
    }
)

POUND_FORCE = 4.4482216152605
"""One pound-force in N: exactly the pound 0.45359237 kg times 9.80665 m/s2."""

KILOGRAM_FORCE = 9.80665
"""One kilogram-force in N, by definition."""


class Unit(StrEnum):
    """The unit of the plain numbers in a job, and of what is shown."""

    MM = "mm"
    INCH = "in"

    @property
    def in_mm(self) -> float:
        """How many mm one of it is."""
        return MM_PER_INCH if self is Unit.INCH else 1.0


class LengthError(PitchlineError, ValueError):
    """Something that cannot be read as a length; the message says what is allowed."""


class AngleError(PitchlineError, ValueError):
    """Something that cannot be read as an angle; the message says what is allowed."""


def read_length(value: str | int | float, unit: Unit, *, signed: bool = True) -> float:
    """A length in mm, from a plain number in the job's ``unit`` or from text with its own unit.

    ``signed=False`` refuses negative lengths. Raises LengthError.
    """
    if isinstance(value, str):
        length = _length_from_text(value)
    else:
        length = _finite(value, LengthError, f"a length such as {_LENGTH_FORMS}") * unit.in_mm
    if length < 0.0 and not signed:
        raise LengthError(f"{_quoted(value)} is negative; allowed: zero or more")
    return length


def read_angle(value: str | int | float) -> float:
    """An angle in degrees, from a plain number of degrees or from text such as "41.6 deg". Raises AngleError."""
    if not isinstance(value, str):
        return _finite(value, AngleError, f"an angle in degrees such as {_ANGLE_FORMS}")
    sign, text = _tidied(value, AngleError, _ANGLE_FORMS)
    match = _ANGLE.fullmatch(text)
    if match is None:
        hint = f"; write {text} deg" if re.fullmatch(_NUMBER, text) else ""
        raise AngleError(f"{_quoted(value)} is not an angle with its unit{hint}; allowed: {_ANGLE_FORMS}")
    return sign * float(match["number"])


def show_length(
    mm: float, unit: Unit, *, decimals: int = 1, denominator: int = 32, signed: bool = False
) -> str:
    """A length as text without spaces round the sign: "871.5" in mm, ``34 5/16"`` in inches.

    mm are rounded to ``decimals`` places and bear no unit, as on a workshop drawing; inches are rounded to
    the nearest 1/``denominator`` (a power of two up to 64), reduced and carried up. Halves go away from zero.
    ``signed`` puts a + before lengths above zero.
    """
    if unit is Unit.MM:
        return _decimal(mm, decimals, signed)
    steps = _steps(mm, denominator)
    text = f'{_mixed(abs(steps), denominator)}"'
    return _sign(steps, signed) + text


def show_feet_inches(mm: float, *, denominator: int = 32, signed: bool = False) -> str:
    """A length in feet and inches, such as ``2' 10 5/16"``; under a foot in inches alone."""
    steps = _steps(mm, denominator)
    feet, rest = divmod(abs(steps), 12 * denominator)
    inches = f'{_mixed(rest, denominator)}"'
    text = f"{feet}' {inches}" if feet else inches
    return _sign(steps, signed) + text


def show_with_both(mm: float, unit: Unit, *, decimals: int = 1, denominator: int = 32) -> str:
    """A length in the job's unit with the other one in brackets: ``871.5 mm (34 5/16")``."""
    metric = f"{show_length(mm, Unit.MM, decimals=decimals)} mm"
    imperial = show_length(mm, Unit.INCH, denominator=denominator)
    return f"{metric} ({imperial})" if unit is Unit.MM else f"{imperial} ({metric})"


def show_angle(deg: float, places: int = 1, *, signed: bool = False) -> str:
    """An angle as text with its sign of degrees: "41.6°"; never "-0.0°"."""
    return f"{_decimal(deg, places, signed)}°"


def _length_from_text(value: str) -> float:
    sign, text = _tidied(value, LengthError, _LENGTH_FORMS)
    metric = _METRIC.fullmatch(text)
    if metric is not None:
        return sign * float(metric["number"]) * _MM_PER[metric["unit"]]
    imperial = _IMPERIAL.fullmatch(text)
    if imperial is not None and (imperial["feet"] or imperial["inch_whole"] or imperial["inch_alone"]):
        return sign * _inches(imperial, value) * 254.0 / 10.0
    if _BARE.fullmatch(text):
        other = "" if "/" in text else f" or {text} mm"
        raise LengthError(f"{_quoted(value)} has no unit; write {text} in{other}")
    raise LengthError(f"{_quoted(value)} is not a length; allowed: {_LENGTH_FORMS}")


def _inches(match: re.Match[str], value: str) -> float:
    feet, whole, part, alone = (match[name] for name in ("feet", "inch_whole", "inch_part", "inch_alone"))
    if part is None and alone is not None and "/" in alone:
        part, alone = alone, None
    inches = float(whole or 0) + float(alone or 0)
    if part is not None:
        inches += _fraction(part, value)
    if feet is not None and (whole or alone or part):
        if "." in feet:
            raise LengthError(
                f"{_quoted(value)} has part of a foot and inches too; write whole feet with inches"
            )
        if inches >= 12.0:
            raise LengthError(
                f"{_quoted(value)} has twelve inches or more after the feet; write less than 12 in"
            )
    return float(feet or 0) * 12.0 + inches


def _fraction(text: str, value: str) -> float:
    top, bottom = (int(part) for part in text.split("/"))
    if bottom not in {2, 4, 8, 16, 32, 64}:
        raise LengthError(
            f"{_quoted(value)} has a fraction no rule shows; allowed: halves, 4ths, 8ths, 16ths, 32nds and 64ths"
        )
    if not 0 < top < bottom:
        raise LengthError(
            f"{_quoted(value)} has a fraction that is not between 0 and 1; write whole inches apart"
        )
    return top / bottom


def _tidied(value: str, error: type[LengthError] | type[AngleError], forms: str) -> tuple[float, str]:
    """The sign, and the text in plain characters with single spaces."""
    text = " ".join(value.translate(_TYPOGRAPHIC).replace("''", '"').split()).lower()
    if not text:
        raise error(f"nothing is written; allowed: {forms}")
    strange = sorted({c for c in text if not c.isascii() and c != "°"})
    if strange:
        raise error(f"{_quoted(value)} has the character {strange[0]!r}, which is not read; allowed: {forms}")
    if text[0] in "+-":
        return (-1.0 if text[0] == "-" else 1.0), text[1:].lstrip()
    return 1.0, text


def _finite(value: int | float, error: type[LengthError] | type[AngleError], wanted: str) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise error(f"{value!r} is not a number; allowed: {wanted}")
    if not math.isfinite(value):
        raise error(f"{value!r} is not a finite number; allowed: {wanted}")
    return float(value)


def _quoted(value: object) -> str:
    return f"'{value}'"


def _steps(mm: float, denominator: int) -> int:
    """How many 1/denominator inch a length is, to the nearest; halves away from zero."""
    if denominator not in {1, 2, 4, 8, 16, 32, FINEST_FRACTION}:
        raise ValueError("inches are shown in fractions with 1, 2, 4, 8, 16, 32 or 64 below")
    if not math.isfinite(mm):
        raise ValueError(f"{mm} is not a length to show")
    return int(math.copysign(math.floor(abs(mm) / MM_PER_INCH * denominator + 0.5), mm))


def _mixed(steps: int, denominator: int) -> str:
    whole, top = divmod(steps, denominator)
    if top == 0:
        return str(whole)
    common = math.gcd(top, denominator)
    fraction = f"{top // common}/{denominator // common}"
    return f"{whole} {fraction}" if whole else fraction


def _decimal(value: float, places: int, signed: bool) -> str:
    if not math.isfinite(value):
        raise ValueError(f"{value} is not a number to show")
    factor = 10**places
    steps = math.copysign(math.floor(abs(value) * factor + 0.5), value)
    return _sign(steps, signed) + f"{abs(steps) / factor:.{places}f}"


def _sign(steps: float, signed: bool) -> str:
    if steps < 0:
        return "-"
    return "+" if signed and steps > 0 else ""
