"""The three lines over a flight's nosings, on nosings worked by hand."""

import math

import numpy as np
import pytest
from tests.strategies_stairs import TAPE, flight_of, regular

from pitchline.stair.pitch import (
    fitted_line,
    fitted_pitch_sigma,
    nosing_names,
    pitch_deg,
    support_line,
    upper_hull,
)

PROUD = ((0.0, 200.0), (200.0, 420.0), (400.0, 600.0), (600.0, 800.0))
"""The second nosing stands 20 proud of the line through the others."""


def test_the_hull_keeps_the_proud_nosings() -> None:
    assert upper_hull(PROUD) == ((0.0, 200.0), (200.0, 420.0), (600.0, 800.0))


def test_a_straightedge_rests_on_the_two_below_its_middle() -> None:
    line = support_line(PROUD)
    assert line.at(200.0) == pytest.approx(420.0)
    assert line.at(600.0) == pytest.approx(800.0)
    assert line.slope == pytest.approx(380.0 / 400.0)


def test_a_regular_flight_has_one_line() -> None:
    nosings = regular(13, 200.0, 225.0).nosings
    for line in (fitted_line(nosings), support_line(nosings)):
        assert line.slope == pytest.approx(200.0 / 225.0, abs=1e-12)
        assert pitch_deg(line) == pytest.approx(math.degrees(math.atan2(200, 225)), abs=1e-9)


def test_the_fitted_line_by_hand() -> None:
    """Slope = sum (u - 300)(z - 505) / sum (u - 300)^2 = (91500 + 8500 + 9500 + 88500) / 200000."""
    line = fitted_line(PROUD)
    assert line.slope == pytest.approx((300 * 305 + 100 * 85 + 100 * 95 + 300 * 295) / 200_000)
    assert line.at(300.0) == pytest.approx(505.0)


def test_one_nosing_carries_no_straightedge() -> None:
    with pytest.raises(ValueError, match="two nosings"):
        support_line(((0.0, 200.0),))


def test_names_of_nosings() -> None:
    assert nosing_names(3) == ("N1", "N2", "N3")


def test_uncertainty_of_the_pitch() -> None:
    """By moving every reading a little: the first-order formula against differences of the angle itself."""
    flight = flight_of(regular(6, 190.0, 240.0))
    base = np.array(flight.nosings)
    variance = 0.0
    for k in range(len(base)):
        for axis in (0, 1):
            if (k, axis) == (0, 0):
                continue
            moved = base.copy()
            moved[k, axis] += 1e-3
            turned = fitted_line(tuple(map(tuple, moved))).angle - fitted_line(flight.nosings).angle
            variance += (turned / 1e-3 * TAPE) ** 2
    assert fitted_pitch_sigma(flight) == pytest.approx(math.sqrt(variance), rel=1e-4)
