"""Slips are found one after the other, rivals are named, usual mishaps guessed."""

import math

import numpy as np
import pytest
from tests.strategies_survey import DATUM, good_visit, irregular_stair, perfect, read, slipped

from pitchline.kit.units import Unit
from pitchline.survey.adjust import adjust
from pitchline.survey.blunders import Blunder, find_blunders, residual_correlations
from pitchline.survey.readings import Fixed, Kind, Reading

TRUTH = irregular_stair(np.random.default_rng(17))
PLAN = good_visit(TRUTH)


def test_a_sound_visit_names_nobody() -> None:
    adjusted = adjust(PLAN, DATUM)
    assert find_blunders(adjusted) == ((), adjusted)


def test_several_slips_are_named_with_their_sizes() -> None:
    readings = slipped(slipped(PLAN, "run N3 N4", 12.0), "straight N7 N10", -300.0)
    readings = slipped(readings, "level set-up N6", 25.0)
    blunders, clean = find_blunders(adjust(readings, DATUM))
    found = {blunder.reading.id: blunder.slip for blunder in blunders}
    assert found == {
        "run N3 N4": pytest.approx(12.0, abs=1e-4),
        "straight N7 N10": pytest.approx(-300.0, abs=1e-4),
        "level set-up N6": pytest.approx(25.0, abs=1e-4),
    }
    assert blunders[0].reading.id == "straight N7 N10"
    assert clean.chi2 == pytest.approx(0.0, abs=1e-6)


def test_two_readings_that_cannot_be_told_apart_are_both_named() -> None:
    """Two readings of one rise that differ: nothing says which is wrong."""
    pair = [
        Reading(name, Kind.HEIGHT, "floor", "N1", value, 0.9) for name, value in (("a", 182.0), ("b", 212.0))
    ]
    adjusted = adjust(pair, DATUM)
    assert np.abs(residual_correlations(adjusted, 0)) == pytest.approx([1.0, 1.0])
    blunders, _ = find_blunders(adjusted)
    assert len(blunders) == 1
    assert {blunders[0].reading.id, *(rival.id for rival in blunders[0].rivals)} == {"a", "b"}


def test_three_readings_of_one_rise_are_told_apart() -> None:
    three = [
        Reading(n, Kind.HEIGHT, "floor", "N1", v, 0.9) for n, v in (("a", 182.0), ("b", 182.5), ("c", 194.0))
    ]
    blunders, _ = find_blunders(adjust(three, DATUM))
    assert [(b.reading.id, b.rivals) for b in blunders] == [("c", ())]
    assert blunders[0].slip == pytest.approx(194.0 - 182.25)


def test_residuals_of_n_equal_readings_are_correlated_minus_one_over_n_minus_one() -> None:
    """Closed form for the residuals from a mean."""
    four = [Reading(f"r{k}", Kind.HEIGHT, "floor", "N1", 182.0, 0.9) for k in range(4)]
    row = residual_correlations(adjust(four, DATUM), 0)
    assert row == pytest.approx([1.0, -1 / 3, -1 / 3, -1 / 3])


@pytest.mark.parametrize(
    ("value", "slip", "cause"),
    [
        (1282.0, 100.3, "one hundred"),
        (2400.0, 999.0, "one metre"),
        (1500.0, -305.5, "one foot"),
        (350.0, 25.0, "one inch"),
        (821.0, 821.0 - 281.0, "two figures changed places"),
        (821.0, 57.0, None),
    ],
)
def test_usual_mishaps_are_guessed(value: float, slip: float, cause: str | None) -> None:
    reading = Reading("r", Kind.RUN, "N1", "N2", value, 0.9)
    assert Blunder(reading, slip, 1.0, 20.0, ()).likely_cause() == cause


@pytest.mark.parametrize(
    ("inches", "slip", "cause"),
    [
        (50.75, 1.0, "one inch"),
        (50.75, -24.0, "two foot"),
        (32.5, 9.0, "two figures changed places"),
        (-32.5, -9.0, "two figures changed places"),
        (50.75, 1000.0 / 25.4, None),
        (50.75, 5.5, None),
    ],
)
def test_an_inch_tape_has_mishaps_of_its_own(inches: float, slip: float, cause: str | None) -> None:
    """32 1/2 read for 23 1/2 is nine inches too large; whole metres are no mishap on a tape of inches."""
    reading = Reading("r", Kind.RUN, "N1", "N9", inches * 25.4, 0.9)
    assert Blunder(reading, slip * 25.4, 1.0, 20.0, ()).likely_cause(Unit.INCH) == cause


def test_no_mishap_is_guessed_for_angles() -> None:
    reading = Reading("p", Kind.PITCH, "N1", "N9", 0.7, 0.003)
    assert Blunder(reading, 0.1, 0.003, 20.0, ()).likely_cause() is None


def test_good_readings_are_seldom_accused() -> None:
    """0.1 % of sound readings exceed 3.29: of 200 visits with 43 readings about 9 readings are expected."""
    rng = np.random.default_rng(31)
    accused = sum(len(find_blunders(adjust(read(rng, PLAN), DATUM))[0]) for _ in range(200))
    assert accused <= 20


def test_a_lone_reading_of_a_point_is_never_accused() -> None:
    lone = perfect(TRUTH, Kind.STRAIGHT, "N10", "post")
    other = perfect(TRUTH, Kind.HEIGHT, "N13", "post")
    readings = slipped((*PLAN, lone, other), lone.id, 300.0)
    blunders, _ = find_blunders(adjust(readings, DATUM))
    assert blunders == ()


def test_a_reading_that_cannot_be_spared_is_named_and_kept() -> None:
    """Distances along a line leave the height of a point to one bad reading: named, but nothing replaces it."""
    fixed = [
        Fixed(("x", "A"), 0.0),
        Fixed(("z", "A"), 0.0),
        Fixed(("x", "B"), 2000.0),
        Fixed(("z", "B"), 0.0),
    ]
    length = math.hypot(1000.0, 2.0)
    arms = [Reading(f"{end}{k}", Kind.STRAIGHT, end, "P", length, 1.0) for end in "AB" for k in range(2)]
    level = Reading("slipped", Kind.HEIGHT, "A", "P", 500.0, 50.0)
    blunders, clean = find_blunders(adjust([*arms, level], fixed))
    assert [blunder.reading for blunder in blunders] == [level]
    assert level in clean.readings


def test_every_named_reading_still_stands_out_against_the_rest() -> None:
    """Two slips that share no step; with a shared step a reading of that step could explain both."""
    rng = np.random.default_rng(41)
    for _ in range(40):
        readings = slipped(slipped(read(rng, PLAN), "straight N3 N6", 60.0), "straight N9 N12", 60.0)
        blunders, clean = find_blunders(adjust(readings, DATUM))
        assert {blunder.reading.id for blunder in blunders} >= {"straight N3 N6", "straight N9 N12"}
        assert len(clean.readings) + len(blunders) == len(readings)
        for blunder in blunders:
            again = adjust((*clean.readings, blunder.reading), DATUM)
            assert abs(again.standardised[len(clean.readings)]) > 3.29
