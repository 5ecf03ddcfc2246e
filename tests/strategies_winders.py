"""Winders drawn by Hypothesis and by hand: radiating ones as a builder sets them out, and crooked ones."""

import math
from collections.abc import Sequence

from hypothesis import strategies as st

from pitchline.stair.model import Side
from pitchline.stair.winder_facts import WinderFacts, WinderNosing


def outer_place(angle: float, widths: tuple[float, float], turn: float) -> float:
    """Where a nosing that radiates from the inner corner at ``angle`` from the first meets the outer side."""
    near, far = widths
    corner = math.atan2(*_corner(near, far, turn))
    if angle <= corner:
        return near * math.tan(angle) - _corner(near, far, turn)[0]
    back = math.hypot(*_corner(near, far, turn)) ** 2 - far * far
    return math.sqrt(max(back, 0.0)) - far * math.tan(turn - angle)


def _corner(near: float, far: float, turn: float) -> tuple[float, float]:
    """The outer corner: how far along the flight below, and how far to the side."""
    return ((far - near * math.cos(turn)) / math.sin(turn), near)


def radiating(
    angles: Sequence[float],
    widths: tuple[float, float] = (850.0, 850.0),
    turn: float = math.pi / 2,
    rise: float = 190.0,
    inner: Sequence[float] | None = None,
    sigma: float = 1.0,
) -> WinderFacts:
    """Winders whose nosings radiate from the inner corner at these angles from the first (radians)."""
    nosings = tuple(
        WinderNosing(0.0 if inner is None else inner[k], outer_place(angle, widths, turn), rise)
        for k, angle in enumerate(angles)
    )
    return WinderFacts(
        "W", Side.LEFT, "lower", 5, "upper", (turn,), widths, nosings, 90.0, sigma, sigma, sigma, 0.002
    )


@st.composite
def crooked_winders(draw: st.DrawFn) -> WinderFacts:
    """Two to four winders round any usual turn, set out unevenly, their readings a little wrong."""
    turn = math.radians(draw(st.floats(60.0, 120.0)))
    widths = (draw(st.floats(700.0, 1100.0)), draw(st.floats(700.0, 1100.0)))
    count = draw(st.integers(2, 4))
    parts = [draw(st.floats(0.8, 1.2)) for _ in range(count)]
    angles = [turn * sum(parts[:k]) / sum(parts) for k in range(count + 1)]
    half = draw(st.floats(0.0, 60.0))
    inner = [half * (2.0 * k / count - 1.0) for k in range(count + 1)]
    return radiating(angles, widths, turn, draw(st.floats(170.0, 210.0)), inner)
