"""Forces, moments and stresses in words, by the exact definitions of pound and inch (NIST SP 811, from memory)."""

import math

import pytest

from pitchline.kit.force_words import FOOT_POUND, PSI, ForceWords
from pitchline.kit.units import Unit

SI, POUNDS = ForceWords(), ForceWords(Unit.INCH)

LBF = 0.45359237 * 9.80665
"""N: the pound's mass in kg at standard gravity."""


def test_the_foot_pound_and_the_pound_on_a_square_inch_follow_from_pound_and_inch() -> None:
    assert pytest.approx(LBF * 12 * 25.4) == FOOT_POUND
    assert pytest.approx(LBF / 25.4**2) == PSI


@pytest.mark.parametrize(
    ("value", "unit", "metric", "imperial"),
    [
        (200 * LBF, "N", "890 N", "200 lbf"),
        (12345.0, "N", "12.3 kN", f"{12345.0 / LBF:.0f} lbf"),
        (1e6, "Nmm", "1000 Nm", f"{1e6 / (LBF * 304.8):.0f} ft lbf"),
        (850 * LBF / 25.4**2, "MPa", "5.86 MPa", "850 psi"),
        (0.5, "", "0.50", "0.50"),
        (math.nan, "N", "-", "-"),
    ],
)
def test_a_value_is_written_in_the_unit_of_the_job(
    value: float, unit: str, metric: str, imperial: str
) -> None:
    assert SI.of(value, unit) == metric
    assert POUNDS.of(value, unit) == imperial


def test_what_turns_nowhere_is_rigid() -> None:
    assert SI.turning(math.inf) == POUNDS.turning(math.inf) == "rigid"
    assert SI.turning(60e6) == "60.0 kNm/rad"
    assert POUNDS.turning(60e6) == f"{60e6 / (LBF * 304.8) / 1e3:.1f} ft kip/rad"
