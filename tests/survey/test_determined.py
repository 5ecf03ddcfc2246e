"""What is open or hardly fixed, in the user's unit."""

import pytest

from pitchline.kit.units import Unit
from pitchline.kit.words import Words, show_in
from pitchline.survey.determined import HardlyFixedError, UndeterminedError

INCHES = Words(show_in(Unit.INCH))


def test_how_badly_a_point_is_known_in_either_unit() -> None:
    error = HardlyFixedError({("z", "P"): 254.0, ("x", "P"): 120.0})
    assert "the height of P and the position along the stair of P" in str(error)
    assert "(standard uncertainty up to 254 mm)" in str(error)
    (sentence,) = error.sentences(INCHES)
    assert '(standard uncertainty up to 10")' in sentence


def test_a_point_that_is_lost_has_no_size() -> None:
    error = HardlyFixedError({("z", "P"): 1e7})
    assert error.sentences() == error.sentences(INCHES)
    assert "points lie in one line" in str(error)


@pytest.mark.parametrize("words", [INCHES, Words()])
def test_what_is_open_needs_no_unit(words: Words) -> None:
    error = UndeterminedError([(("z", "N7"),), (("x", "post"),)], ["One.", "Two."])
    assert error.sentences(words) == ("One.", "Two.")
    assert error.coordinates == (("z", "N7"), ("x", "post"))
