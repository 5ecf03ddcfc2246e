"""Uncertainty of a rail's height, by the law of propagation worked out by hand (JCGM 100:2008, 5.1.2)."""

import math

import pytest
from tests.builders import HandBuilt, even, hand_built
from tests.strategies_stairs import TAPE, regular_flight

from pitchline.checks.setting_out import height_weights, rail_height_expanded, triangle_place
from pitchline.kit.tolerances import SETTING_OUT

FLIGHT = regular_flight(5, 200.0, 250.0, None)
DESIGN = hand_built(HandBuilt(even(3, 90.0)), FLIGHT)
SLOPE = 200.0 / 250.0


def test_weights_of_a_nosing_between_the_ends() -> None:
    weights = height_weights(DESIGN, DESIGN.handrail.top, 2)
    assert weights.height == pytest.approx({"N1": 0.75, "N5": 0.25, "N2": -1.0})
    assert weights.along == pytest.approx({"N1": -0.75 * SLOPE, "N5": -0.25 * SLOPE, "N2": SLOPE})
    assert weights.wanted()["z", "N2"] == -1.0


def test_weights_cancel_at_the_ends() -> None:
    for nosing in (1, 5):
        weights = height_weights(DESIGN, DESIGN.handrail.top, nosing)
        assert all(weight == pytest.approx(0.0) for weight in weights.height.values())


def test_over_the_ends_only_setting_out_is_uncertain() -> None:
    assert rail_height_expanded(DESIGN, DESIGN.handrail.top, 1) == pytest.approx(SETTING_OUT)
    assert rail_height_expanded(DESIGN, DESIGN.handrail.top, 5) == pytest.approx(SETTING_OUT)


def test_between_them_the_readings_count_too() -> None:
    """Every height and run was read once, independently, with the tape's uncertainty; N1's place is the datum."""
    heights = 0.5**2 + 0.5**2 + 1.0
    runs = SLOPE**2 * (0.5**2 + 1.0)
    expected = math.hypot(2.0 * TAPE * math.sqrt(heights + runs), SETTING_OUT)
    assert rail_height_expanded(DESIGN, DESIGN.handrail.top, 3) == pytest.approx(expected)


def test_over_a_tread_the_height_is_taken_at_the_next_nosing() -> None:
    """Rail at N2 over the level of N1: (1 - 3/4) z1 cancels against it but for 1/4, u2 counts with the slope."""
    assert triangle_place(DESIGN, 1) == (2, "N1")
    assert triangle_place(DESIGN, 0) == (1, "floor")
    assert triangle_place(DESIGN, 5) == (5, "N5")
    weights = height_weights(DESIGN, DESIGN.handrail.top, 2, "N1")
    assert weights.height == pytest.approx({"N1": -0.25, "N5": 0.25})
    assert weights.along == pytest.approx({"N1": -0.75 * SLOPE, "N5": -0.25 * SLOPE, "N2": SLOPE})
    heights, runs = 2 * 0.25**2, SLOPE**2 * (0.25**2 + 1.0)
    expected = math.hypot(2.0 * TAPE * math.sqrt(heights + runs), SETTING_OUT)
    assert rail_height_expanded(DESIGN, DESIGN.handrail.top, 2, "N1") == pytest.approx(expected)
