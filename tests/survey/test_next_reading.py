"""The suggested reading against closed forms; the gain itself is a law (see the laws of the survey)."""

import math

import numpy as np
import pytest
from tests.strategies_survey import DATUM, good_visit, irregular_stair, perfect

from pitchline.kit.units import Unit
from pitchline.kit.words import show_in
from pitchline.survey.adjust import adjust
from pitchline.survey.instruments import Instrument
from pitchline.survey.next_reading import LEVEL_REACH, TAPE_REACH, next_reading, possible_readings
from pitchline.survey.readings import Kind, Reading

TRUTH = irregular_stair(np.random.default_rng(5))
CHAIN = [
    perfect(TRUTH, Kind.HEIGHT, a, b)
    for a, b in [("floor", "N1"), *((f"N{k}", f"N{k + 1}") for k in range(1, 9))]
]


def test_the_longest_span_is_worth_most_in_a_chain() -> None:
    """Chain of nine rises, sigma s: one height over k of them leaves (9 - k) s^2 + k s^2 t^2 / (k s^2 + t^2)."""
    adjusted = adjust(CHAIN, DATUM)
    s, t = 0.9, 1.2
    spans = [Reading(f"to N{k}", Kind.HEIGHT, "floor", f"N{k}", 1.0, t) for k in (2, 4, 7)]
    suggestion = next_reading(adjusted, {("z", "N9"): 1.0}, spans, purpose="the top")
    assert suggestion is not None
    assert (suggestion.kind, suggestion.start, suggestion.end) == (Kind.HEIGHT, "floor", "N7")
    assert suggestion.sigma_before == pytest.approx(s * math.sqrt(9))
    parallel = 7 * s**2 * t**2 / (7 * s**2 + t**2)
    assert suggestion.sigma_after == pytest.approx(math.sqrt(2 * s**2 + parallel))
    assert "the height from floor to N7" in suggestion.sentence
    assert "the top" in suggestion.sentence


def test_nothing_is_suggested_for_what_is_fixed() -> None:
    assert next_reading(adjust(CHAIN, DATUM), {("z", "floor"): 1.0}) is None


def test_nothing_is_suggested_where_no_reading_is_possible() -> None:
    assert next_reading(adjust(CHAIN, DATUM), {("z", "N3"): 1.0}, []) is None


def test_only_what_can_be_reached_is_offered() -> None:
    adjusted = adjust(good_visit(TRUTH), DATUM)
    offered = possible_readings(adjusted, Instrument("tape", "tape-ii"))
    assert {reading.kind for reading in offered} == {
        Kind.HEIGHT,
        Kind.RUN,
        Kind.STRAIGHT,
        Kind.LEVEL,
        Kind.PLUMB,
    }
    for reading in offered:
        if reading.kind is Kind.STRAIGHT:
            assert reading.value <= TAPE_REACH
        elif reading.kind in {Kind.HEIGHT, Kind.RUN}:
            assert abs(reading.value) <= LEVEL_REACH


def test_a_gauge_offers_pitches_only() -> None:
    offered = possible_readings(adjust(good_visit(TRUTH), DATUM), Instrument("gauge", "gauge"))
    assert offered
    assert {reading.kind for reading in offered} == {Kind.PITCH}
    assert all(reading.sigma < math.radians(0.3) for reading in offered)


def test_a_repeat_is_said_to_be_one() -> None:
    adjusted = adjust(CHAIN, DATUM)
    again = [Reading("again", Kind.HEIGHT, "N1", "N2", 1.0, 0.9)]
    suggestion = next_reading(adjusted, {("z", "N9"): 1.0}, again)
    assert suggestion is not None
    assert "(once again)" in suggestion.sentence


def test_the_sentence_names_a_plumb_line_and_speaks_the_users_unit() -> None:
    """One run of sigma s from the line to each end: the span has s sqrt 2, a plumb reading again s sqrt 1.5."""
    plumbs = [
        Reading(f"plumb {point}", Kind.PLUMB, "plumb line", point, value, 2.0)
        for point, value in (("N1", -2000.0), ("N9", 10.0))
    ]
    again = [Reading("again", Kind.PLUMB, "plumb line", "N1", -2000.0, 2.0)]
    adjusted = adjust(plumbs, DATUM)
    suggestion = next_reading(adjusted, {("x", "N9"): 1.0}, again, purpose="the run", show=show_in(Unit.INCH))
    assert suggestion is not None
    assert suggestion.sigma_before == pytest.approx(2.0 * math.sqrt(2.0))
    assert suggestion.sigma_after == pytest.approx(2.0 * math.sqrt(1.5))
    sixty_fourths = [round(2.0 * s / 25.4 * 64) for s in (suggestion.sigma_before, suggestion.sigma_after)]
    assert sixty_fourths == [14, 12]
    assert "the distance from plumb line 'plumb line' to N1 (once again)" in suggestion.sentence
    assert suggestion.sentence.endswith('the uncertainty of the run from ±7/32" to ±3/16".')
