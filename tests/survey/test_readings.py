"""Readings refuse what no tape can say."""

import math

import pytest

from pitchline.kit.errors import InputError
from pitchline.survey.readings import Kind, Prior, Reading, in_words, nosing_number


@pytest.mark.parametrize(
    ("kind", "start", "end", "value", "sigma", "complaint"),
    [
        (Kind.HEIGHT, "floor", "N1", math.nan, 1.0, "not a number"),
        (Kind.HEIGHT, "floor", "N1", 180.0, 0.0, "above zero"),
        (Kind.HEIGHT, "floor", "N1", 180.0, math.inf, "above zero"),
        (Kind.STRAIGHT, "N1", "N2", 0.0, 1.0, "above zero"),
        (Kind.PITCH, "N1", "N2", 41.0, 0.01, "half a turn"),
        (Kind.RUN, "N1", "N1", 225.0, 1.0, "same point"),
    ],
)
def test_impossible_readings(
    kind: Kind, start: str, end: str, value: float, sigma: float, complaint: str
) -> None:
    with pytest.raises(InputError, match=complaint):
        Reading("r", kind, start, end, value, sigma)


def test_every_fault_is_told_at_once() -> None:
    with pytest.raises(InputError) as caught:
        Reading("r", Kind.RUN, "N1", "N1", math.inf, -1.0)
    assert len(caught.value.faults) == 3


def test_a_set_up_may_share_its_name_with_a_point() -> None:
    assert Reading("r", Kind.LEVEL, "N1", "N1", 900.0, 1.0).start == "N1"


def test_known_coordinates_need_an_uncertainty() -> None:
    with pytest.raises(InputError, match="above zero"):
        Prior(("z", "N4"), 760.0, 0.0)


@pytest.mark.parametrize(
    ("point", "number"), [("floor", 0), ("N1", 1), ("N13", 13), ("Newel", None), ("N", None), ("post", None)]
)
def test_nosing_numbers(point: str, number: int | None) -> None:
    assert nosing_number(point) == number


def test_words() -> None:
    assert in_words(("z", "N4")) == "the height of N4"
    assert in_words(("z", "floor")) == "the height of the lower floor"
    assert in_words(("slope", "wall string")) == "the slope of string 'wall string'"
    assert in_words(("plumb", "plumb line")) == "the position of plumb line 'plumb line'"
