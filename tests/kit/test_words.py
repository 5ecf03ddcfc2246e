"""Lengths in sentences. One inch is 25.4 mm exactly (agreement of 1959); the rest is plain rounding."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitchline.kit.units import Unit, read_length
from pitchline.kit.words import PLAIN, Words, plain_mm, show_in

INCHES = Words(show_in(Unit.INCH))
METRIC = Words(show_in(Unit.MM))


def test_plain_mm_has_no_negative_zero() -> None:
    assert plain_mm(-0.04) == "0.0"
    assert plain_mm(99.96) == "100.0"


def test_the_unit_is_what_is_shown() -> None:
    assert INCHES.unit is Unit.INCH
    assert METRIC.unit is Unit.MM
    assert PLAIN.unit is Unit.MM


@pytest.mark.parametrize(
    ("words", "exact", "rough"),
    [(PLAIN, "871.5 mm", "872 mm"), (METRIC, "871.5 mm", "872 mm"), (INCHES, '34 5/16"', '34 5/16"')],
)
def test_a_length_with_its_unit(words: Words, exact: str, rough: str) -> None:
    """34 5/16 in = 871.5375 mm."""
    assert words.mm(34.3125 * 25.4) == exact
    assert words.about(34.3125 * 25.4) == rough


def test_a_measured_length() -> None:
    assert PLAIN.measured(900.0, 2.2) == "900.0 ± 2.2 mm"
    assert PLAIN.measured(900.0, 0.01) == "900.0 mm"
    assert INCHES.measured(36 * 25.4, 25.4 / 16) == '36" ± 1/16"'


def test_an_uncertainty_that_shrinks() -> None:
    """In inches to a 64th; where both look alike, by how much: 1.6 and 1.44 mm are both 4/64 in."""
    assert PLAIN.narrowed(1.6, 1.3) == "from ±1.6 to ±1.3 mm"
    assert INCHES.narrowed(25.4 / 16, 25.4 / 32) == 'from ±1/16" to ±1/32"'
    assert INCHES.narrowed(1.6, 1.3) == 'from ±1/16" to ±3/64"'
    assert INCHES.narrowed(1.6, 1.44) == 'from ±1/16" by 10 %'
    assert PLAIN.narrowed(0.12, 0.09) == "from ±0.1 mm by 25 %"


def test_rounding_up_leaves_whole_numbers_alone() -> None:
    assert PLAIN.rounded_up(20.0) == "20 mm"
    assert PLAIN.rounded_up(20.1) == "21 mm"
    assert INCHES.rounded_up(25.4) == '1"'
    assert INCHES.rounded_up(25.5) == '1 1/16"'


@given(st.floats(0.01, 5000.0), st.sampled_from([PLAIN, METRIC, INCHES]))
def test_what_is_asked_for_suffices_as_it_is_shown(length: float, words: Words) -> None:
    """Read back from the sentence by the reader of job files, a remedy is no smaller than what is needed."""
    for text in (words.rounded_up(length), words.enough(length)):
        assert read_length(text, words.unit) >= length - 1e-6
        assert read_length(text, words.unit) <= length + 2.0
