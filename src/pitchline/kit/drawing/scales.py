"""The standard drawing scales, their names, and the choice of the one that fits a sheet.

A scale is held as its denominator N of 1:N: 20 means 1:20, 1 full size, 0.5 twice full size.
Metric scales are those of ISO 5455; the inch scales are the customary architectural ones, on which a stated
number of inches on paper stands for one foot.
"""

import math
from collections.abc import Sequence

ISO_SCALES: tuple[float, ...] = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000)
"""Full size and reductions of ISO 5455 (1979), clause 4."""

INCH_SCALES: tuple[float, ...] = (1, 2, 4, 8, 12, 16, 24, 32, 48, 96, 192)
"""Denominators of full, half, quarter size and of the architectural scales (common practice, no source)."""

_INCH_NAMES: dict[float, str] = {
    8: '1 1/2" = 1\'-0"',
    12: '1" = 1\'-0"',
    16: '3/4" = 1\'-0"',
    24: '1/2" = 1\'-0"',
    32: '3/8" = 1\'-0"',
    48: '1/4" = 1\'-0"',
    96: '1/8" = 1\'-0"',
    192: '1/16" = 1\'-0"',
}


def fit_scale(
    width_mm: float, height_mm: float, size_on_paper: tuple[float, float], inches: bool = False
) -> float:
    """Denominator of the largest standard scale at which a thing fits.

    ``width_mm`` and ``height_mm`` are its real size, ``size_on_paper`` the room (width, height) in paper mm;
    ``inches`` chooses the architectural scales. ValueError if a size is not positive or no scale is small enough.
    """
    room_width, room_height = size_on_paper
    if min(width_mm, height_mm) < 0 or max(width_mm, height_mm) <= 0 or min(size_on_paper) <= 0:
        raise ValueError("a scale can only be chosen for a thing and a room with a positive size")
    need = max(width_mm / room_width, height_mm / room_height)
    family = INCH_SCALES if inches else ISO_SCALES
    for denominator in family:
        if need <= denominator * (1 + 1e-12):
            return denominator
    raise ValueError(
        f"nothing down to 1:{family[-1]:g} brings {width_mm:g} x {height_mm:g} mm "
        f"onto {room_width:g} x {room_height:g} mm of paper"
    )


def name_of_scale(denominator: float) -> str:
    """How the scale is written beside a drawing: ``1:20``, ``2:1``, ``3/4" = 1'-0"``, ``1:1 (full size)``."""
    if denominator <= 0 or not math.isfinite(denominator):
        raise ValueError(f"a scale denominator must be positive, not {denominator!r}")
    if denominator == 1:
        return "1:1 (full size)"
    if denominator in _INCH_NAMES:
        return _INCH_NAMES[denominator]
    return f"1:{denominator:g}" if denominator > 1 else f"{1 / denominator:g}:1"


def bar_divisions(denominator: float, inches: bool = False, longest_mm: float = 50.0) -> tuple[float, ...]:
    """Real distances in mm at which a scale bar is divided, from 0, at most ``longest_mm`` long on paper.

    The step is 1, 2 or 5 times a power of ten in mm, or whole inches, 3, 6 inches and feet.
    """
    longest = longest_mm * denominator
    steps = _inch_steps() if inches else _metric_steps()
    fitting = [step for step in steps if 4 * step <= longest]
    step = fitting[-1] if fitting else steps[0]
    return tuple(step * count for count in range(5))


def _metric_steps() -> Sequence[float]:
    return [mantissa * 10.0**power for power in range(-1, 6) for mantissa in (1, 2, 5)]


def _inch_steps() -> Sequence[float]:
    return [25.4 * count for count in (0.125, 0.25, 0.5, 1, 3, 6, 12, 24, 60, 120, 240, 600, 1200)]
