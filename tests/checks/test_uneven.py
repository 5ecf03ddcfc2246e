"""Uneven steps, proud nosings and a drifting string, by hand sums."""

import math
from dataclasses import replace

import pytest
from tests.builders import ENGLAND, US_2021, HandBuilt, full_length, hand_built
from tests.strategies_stairs import DATUM, TAPE, Sizes, exact_readings, flight_of, regular

from pitchline.catalogue.rules import RuleSet
from pitchline.checks.case import Case
from pitchline.checks.uneven import check_uneven, departure, neighbours_of, odd_steps, off_line
from pitchline.kit.finding import Finding, Verdict
from pitchline.kit.geometry.lines import Line
from pitchline.stair.model import Flight
from pitchline.survey.adjust import adjust


def found(flight: Flight, rules: RuleSet = ENGLAND) -> list[Finding]:
    design = hand_built(HandBuilt(full_length(90.0, 32.0, flight)), flight)
    return list(check_uneven(Case(design, rules)))


def trips(flight: Flight, rules: RuleSet = ENGLAND) -> list[str]:
    return [f.where.removeprefix("A: ") for f in found(flight, rules) if f.code.startswith("stair.trip")]


def with_rise(number: int, off: float) -> Flight:
    rises = [190.0] * 9
    rises[number - 1] += off
    return flight_of(Sizes(tuple(rises), (230.0,) * 8))


def test_neighbours() -> None:
    assert [neighbours_of(k, 3) for k in (1, 2, 3)] == [(2, 3), (1, 3), (1, 2)]
    assert neighbours_of(9, 9) == (7, 8)


def test_a_step_is_compared_with_the_mean_of_its_neighbours() -> None:
    rises = (180.0, 195.0, 190.0, 200.0)
    assert departure(rises, 2) == pytest.approx(195.0 - 185.0)
    assert departure(rises, 1) == pytest.approx(180.0 - 192.5)
    assert departure(rises, 4) == pytest.approx(200.0 - 192.5)


def test_one_high_riser_in_the_middle_is_named_with_the_figure() -> None:
    tripping = found(with_rise(5, 9.0))[0]
    assert (tripping.verdict, tripping.where, tripping.limit) == (Verdict.REPORT, "A: rise 5", 5.0)
    assert tripping.measured == pytest.approx(9.0)
    assert "9.0" in tripping.text
    assert "higher" in tripping.text


def test_its_uncertainty_is_that_of_the_four_heights_in_it() -> None:
    """z5 - z4 - ((z4 - z3) + (z6 - z5)) / 2: weights 3/2, -3/2, 1/2, -1/2."""
    expected = 2 * TAPE * math.sqrt(2 * 1.5**2 + 2 * 0.5**2)
    assert found(with_rise(5, 9.0))[0].expanded_uncertainty == pytest.approx(expected)


def test_a_difference_within_its_uncertainty_is_not_called_a_trip() -> None:
    """A tape of 1.5 mm leaves 2 x 1.5 x sqrt(5) = 6.7 mm: it cannot tell 6 mm from nothing."""
    rises = [190.0] * 9
    rises[4] += 6.0
    sizes = Sizes(tuple(rises), (230.0,) * 8)
    sharp, blunt = (adjust(exact_readings(sizes, sigma), DATUM) for sigma in (TAPE, 1.5))
    assert trips(flight_of(sizes, survey=sharp)) == ["rise 5"]
    assert trips(flight_of(sizes, survey=blunt)) == []


def test_the_oddest_step_does_not_make_its_neighbours_odd() -> None:
    assert odd_steps((190.0, 190.0, 202.0, 190.0, 190.0), (5.0,) * 5) == pytest.approx({3: 12.0})
    assert odd_steps((178.0, 190.0, 190.0), (5.0,) * 3) == pytest.approx({1: -12.0})
    two = odd_steps((190.0, 178.0, 190.0, 190.0, 202.0), (5.0,) * 5)
    assert two == pytest.approx({2: -12.0, 5: 12.0})


def test_the_place_s_own_tolerance_is_taken() -> None:
    """IRC: 3/8 in, 9.525 mm."""
    assert trips(with_rise(5, 9.0), US_2021) == []
    assert trips(with_rise(5, 10.0), US_2021) == ["rise 5"]


def test_a_short_going_is_named() -> None:
    goings = [230.0] * 8
    goings[3] -= 9.0
    short = found(flight_of(Sizes((190.0,) * 9, tuple(goings))))[0]
    assert short.where == "A: going 4"
    assert "shorter" in short.text


def test_a_low_bottom_rise_is_named() -> None:
    assert trips(with_rise(1, -12.0)) == ["rise 1"]


def test_an_even_stair_has_no_trips_and_no_proud_nosings() -> None:
    said = found(flight_of(regular(9, 190.0, 230.0, None)))
    assert [f.code for f in said] == ["stair.line"]
    assert said[0].text.startswith("All nosings lie within")


def test_a_nosing_above_its_neighbours_is_proud() -> None:
    """Nosing 3 of 5 raised by 10 mm: the fitted line rises by 2 mm everywhere, so it stands 8 mm above."""
    flight = flight_of(Sizes((190.0, 190.0, 200.0, 180.0, 190.0), (230.0,) * 4))
    assert off_line(flight) == pytest.approx((-2.0, -2.0, 8.0, -2.0, -2.0))
    line = next(f for f in found(flight) if f.code == "stair.line")
    assert "proud N3 by 8.0 mm" in line.text
    assert line.measured == pytest.approx(8.0)


def test_the_string_s_margin_and_its_drift() -> None:
    flight = flight_of(regular(5, 200.0, 250.0, 60.0))
    assert flight.string is not None
    steeper = replace(flight, string=replace(flight.string, top=Line(260.0, 0.8 + 0.01)))
    margin = found(steeper)[-1]
    assert margin.code == "stair.margin"
    assert margin.measured == pytest.approx(10.0)
    assert "gains 10.0 mm" in margin.text
