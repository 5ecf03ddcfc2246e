"""The bundled drawing-office letters: their widths, their outlines, and texts made fit to be drawn.

The letters are Routed Gothic (SIL Open Font License 1.1, see ``fonts/OFL.txt``), modelled on engraved
drawing-office lettering. A text is data: it is cleaned of what cannot be drawn and never interpreted.
"""

import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from io import BytesIO
from itertools import groupby
from pathlib import Path
from typing import Any

from pitchline.kit.errors import OutputError

FONT_FOLDER = Path(__file__).parent / "fonts"
FONT_FILE = "routed-gothic.ttf"
FONT_FAMILY = "Routed Gothic"

_UNKNOWN_ADVANCE = 0.75
"""Width of a letter that the font lacks, in units of its height: enough for another font's."""

_TURNING = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
"""Marks that turn the reading direction of what follows; a text may not reorder its neighbours."""


def clean_text(text: str) -> str:
    """The text on one line, fit for any writer.

    Control characters, line ends and lone surrogates become spaces or the replacement character, direction
    overrides vanish; everything else stays as it is.
    """
    if text.isascii() and text.isprintable():
        return text
    return "".join(_clean_letter(letter) for letter in text.replace("\r\n", " "))


def _clean_letter(letter: str) -> str:
    if letter in _TURNING:
        return ""
    code = ord(letter)
    if code & 0xFFFE == 0xFFFE or unicodedata.category(letter) == "Cs":
        return "\ufffd"
    if unicodedata.category(letter) in {"Cc", "Zl", "Zp"}:
        return " "
    return letter


def text_lines(text: str) -> tuple[str, ...]:
    """The text parted at its line ends, each line cleaned; at least one line."""
    return tuple(clean_text(line) for line in text.replace("\r\n", "\n").replace("\r", "\n").split("\n"))


@dataclass(frozen=True, slots=True)
class Face:
    """A font opened for measuring; sizes in font units unless said otherwise."""

    cap_height: float
    units_per_em: float
    advances: Mapping[str, float]
    kerning: Mapping[tuple[str, str], float]

    def covers(self, text: str) -> bool:
        """Whether the font has a letter for every character of the text."""
        return all(letter in self.advances for letter in text)

    def runs(self, text: str) -> tuple[tuple[bool, str], ...]:
        """The text parted into runs of letters that the font has (True) and of letters that it lacks."""
        return tuple((known, "".join(run)) for known, run in groupby(text, key=self.advances.__contains__))

    def places(self, text: str) -> tuple[float, ...]:
        """Where each letter starts, and last where the text ends."""
        pen = 0.0
        starts = [pen]
        for letter, following in zip(text, (*text[1:], ""), strict=False):
            pen += self.advances.get(letter, _UNKNOWN_ADVANCE * self.units_per_em)
            pen += self.kerning.get((letter, following), 0.0)
            starts.append(pen)
        return tuple(starts)

    def width(self, text: str, height: float) -> float:
        """Length of a line of text whose capitals are ``height`` high, in the unit of ``height``."""
        return self.places(text)[-1] * height / self.cap_height


@cache
def open_face(folder: Path = FONT_FOLDER) -> Face:
    """The drawing letters from a folder; OutputError if they are not there or cannot be read."""
    font = _font(folder)
    names: dict[int, str] = font.getBestCmap()
    widths = font["hmtx"].metrics
    return Face(
        cap_height=float(font["OS/2"].sCapHeight),
        units_per_em=float(font["head"].unitsPerEm),
        advances={chr(code): float(widths[name][0]) for code, name in names.items()},
        kerning=_kerning(font, names),
    )


@cache
def letter_outline(letter: str, folder: Path = FONT_FOLDER) -> str:
    """The outline of one letter as SVG path commands in font units, y up; empty for a letter the font lacks."""
    from fontTools.pens.svgPathPen import (  # type: ignore[import-untyped]  # no types there
        SVGPathPen,  # font parsing stays out of `check`
    )

    font = _font(folder)
    name = font.getBestCmap().get(ord(letter))
    if name is None:
        return ""
    glyphs = font.getGlyphSet()
    pen = SVGPathPen(glyphs, ntos=lambda value: f"{value:g}")
    glyphs[name].draw(pen)
    return str(pen.getCommands())


def require_fonts(folder: Path) -> Path:
    """The path of the font in the folder; OutputError with a remedy if it is missing."""
    path = folder / FONT_FILE
    if not path.is_file():
        raise OutputError(
            f"The drawing letters {FONT_FILE} are missing from {folder}; install pitchline again."
        )
    return path


@cache
def _font(folder: Path) -> Any:
    from fontTools.ttLib import (  # type: ignore[import-untyped]  # no types there
        TTFont,
        TTLibError,
    )

    path = require_fonts(folder)
    try:
        return TTFont(BytesIO(path.read_bytes()))
    except TTLibError as fault:
        raise OutputError(
            f"The drawing letters in {path} cannot be read ({fault}); install pitchline again."
        ) from fault


def _kerning(font: Any, names: Mapping[int, str]) -> dict[tuple[str, str], float]:
    if "kern" not in font:
        return {}
    letters: dict[str, list[str]] = {}
    for code, name in names.items():
        letters.setdefault(name, []).append(chr(code))
    pairs = {}
    for (left, right), by in font["kern"].kernTables[0].kernTable.items():
        for first in letters.get(left, []):
            for second in letters.get(right, []):
                pairs[first, second] = float(by)
    return pairs
