"""QR codes (ISO/IEC 18004) as one vector path: runs of dark modules as plain rectangles."""

from collections.abc import Iterator
from itertools import groupby

QUIET = 4
"""Modules left light around a code (ISO/IEC 18004)."""


def qr_modules(text: str) -> tuple[tuple[bool, ...], ...]:
    """The modules of a code row by row, True for dark, without the light border; a seventh of it may be lost."""
    import segno  # only labels need it

    code = segno.make(text, error="m", micro=False)
    return tuple(tuple(bool(module) for module in row) for row in code.matrix)


def qr_path(text: str, x: float, y: float, size: float) -> str:
    """An SVG path of a code ``size`` wide with its light border, its upper left corner at (x, y)."""
    rows = qr_modules(text)
    step = size / (len(rows) + 2 * QUIET)
    pieces = []
    for number, row in enumerate(rows):
        top = y + (QUIET + number) * step
        for start, length in _dark_runs(row):
            left = x + (QUIET + start) * step
            wide = length * step
            pieces.append(f"M{left:.3f} {top:.3f}h{wide:.3f}v{step:.3f}h{-wide:.3f}z")
    return "".join(pieces)


def _dark_runs(row: tuple[bool, ...]) -> Iterator[tuple[int, int]]:
    """Where runs of dark modules begin, and how long they are."""
    place = 0
    for dark, run in groupby(row):
        length = len(list(run))
        if dark:
            yield place, length
        place += length
