"""Lengths and angles read and shown."""

import math

import pytest

from pitchline.kit.errors import PitchlineError
from pitchline.kit.units import (
    AngleError,
    LengthError,
    Unit,
    read_angle,
    read_length,
    show_angle,
    show_feet_inches,
    show_length,
    show_with_both,
)

IN = 25.4


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("871.5 mm", 871.5),
        ("871.5mm", 871.5),
        ("12.5 cm", 125.0),
        ("1.2 m", 1200.0),
        (".5 m", 500.0),
        ("34 5/16 in", 34.3125 * IN),
        ('34 5/16"', 34.3125 * IN),
        ('34-5/16"', 34.3125 * IN),
        ("3/4 in", 0.75 * IN),
        ('5/8"', 0.625 * IN),
        ("34.5 inches", 34.5 * IN),
        ("2' 10 1/2\"", 34.5 * IN),
        ("2'10\"", 34.0 * IN),
        ("1'-6\"", 18.0 * IN),
        ("1' - 6\"", 18.0 * IN),
        ("2 ft 10.5 in", 34.5 * IN),
        ("2 ft 3/4 in", 24.75 * IN),
        ("2 ft", 24.0 * IN),
        ("2.5 ft", 30.0 * IN),
        ("2′ 10 1⁄2″", 34.5 * IN),
        ("2’ 10”", 34.0 * IN),
        ("  34   5/16  IN ", 34.3125 * IN),
        ("-3 mm", -3.0),
        ("−3 mm", -3.0),
        ("+3 mm", 3.0),
        ("- 1/8 in", -0.125 * IN),
        ("0 mm", 0.0),
    ],
)
def test_a_length_is_read_as_written(text: str, mm: float) -> None:
    assert read_length(text, Unit.MM) == pytest.approx(mm, abs=1e-9)
    assert read_length(text, Unit.INCH) == read_length(text, Unit.MM)


def test_a_plain_number_is_in_the_unit_of_the_job() -> None:
    assert read_length(871.5, Unit.MM) == 871.5
    assert read_length(34, Unit.INCH) == pytest.approx(34 * IN)


@pytest.mark.parametrize(
    ("value", "says"),
    [
        ("34", "write 34 in or 34 mm"),
        ("34 5/16", "write 34 5/16 in"),
        ("", "nothing is written"),
        ("   ", "nothing is written"),
        ("1/3 in", "64ths"),
        ("1/128 in", "64ths"),
        ("1/0 in", "64ths"),
        ("5/4 in", "between 0 and 1"),
        ("0/4 in", "between 0 and 1"),
        ("3/4 mm", "is not a length"),
        ("2 ft 14 in", "twelve inches or more"),
        ("2.5 ft 3 in", "whole feet"),
        ("2 ft 10", "is not a length"),
        ("3 in 4 in", "is not a length"),
        ("5 mm 3 in", "is not a length"),
        ("1e3 mm", "is not a length"),
        ("nan mm", "is not a length"),
        ("inf", "is not a length"),
        ("1,5 mm", "is not a length"),
        ("--3 mm", "is not a length"),
        ("five in", "is not a length"),
        ("٣ mm", "character"),
        ("3² mm", "character"),
        ("½ in", "character"),
        (math.nan, "finite"),
        (math.inf, "finite"),
        (True, "not a number"),
    ],
)
def test_what_is_not_plainly_a_length_is_refused(value: str | float, says: str) -> None:
    with pytest.raises(LengthError, match=says) as caught:
        read_length(value, Unit.MM)
    assert isinstance(caught.value, PitchlineError)
    assert isinstance(caught.value, ValueError)


def test_nothing_but_text_and_numbers_is_read() -> None:
    with pytest.raises(LengthError, match="not a number"):
        read_length([3], Unit.MM)  # type: ignore[arg-type]  # what a job file may hold


@pytest.mark.parametrize("value", [-1, -0.5, "-3 mm", "-1/8 in"])
def test_a_negative_length_is_refused_where_the_caller_says_so(value: str | float) -> None:
    with pytest.raises(LengthError, match="negative"):
        read_length(value, Unit.MM, signed=False)


@pytest.mark.parametrize(
    ("value", "deg"), [(41.6, 41.6), (-3, -3.0), ("41.6 deg", 41.6), ("41.6°", 41.6), ("-2 degrees", -2.0)]
)
def test_an_angle_is_read_in_degrees(value: str | float, deg: float) -> None:
    assert read_angle(value) == deg


@pytest.mark.parametrize("value", ["41.6", "", "41.6 rad", "4/5 deg", "41° 30'", math.nan, True])
def test_what_is_not_plainly_an_angle_is_refused(value: str | float) -> None:
    with pytest.raises(AngleError, match="allowed"):
        read_angle(value)


def test_an_angle_without_its_unit_says_what_to_write() -> None:
    with pytest.raises(AngleError, match=r"write 41\.6 deg"):
        read_angle("41.6")


@pytest.mark.parametrize(
    ("inches", "denominator", "shown"),
    [
        (34 + 5 / 16, 32, '34 5/16"'),
        (15.99, 32, '16"'),
        (15.99, 64, '15 63/64"'),
        (7.999, 8, '8"'),
        (0.75, 16, '3/4"'),
        (0.0, 32, '0"'),
        (-0.001, 32, '0"'),
        (-0.75, 32, '-3/4"'),
        (12.0, 1, '12"'),
    ],
)
def test_inches_are_shown_as_reduced_fractions_that_carry(
    inches: float, denominator: int, shown: str
) -> None:
    assert show_length(inches * IN, Unit.INCH, denominator=denominator) == shown


def test_feet_and_inches_carry_to_the_next_foot() -> None:
    assert show_feet_inches(34.5 * IN) == "2' 10 1/2\""
    assert show_feet_inches(23.99 * IN) == "2' 0\""
    assert show_feet_inches(11.5 * IN) == '11 1/2"'
    assert show_feet_inches(-30 * IN) == "-2' 6\""


def test_millimetres_are_shown_to_a_tenth() -> None:
    assert show_length(871.5, Unit.MM) == "871.5"
    assert show_length(871.46, Unit.MM) == "871.5"
    assert show_length(871.46, Unit.MM, decimals=0) == "871"
    assert show_length(-0.01, Unit.MM) == "0.0"
    assert show_length(-1.25, Unit.MM) == "-1.3"


def test_a_sign_is_shown_on_request() -> None:
    assert show_length(3, Unit.MM, signed=True) == "+3.0"
    assert show_length(0, Unit.MM, signed=True) == "0.0"
    assert show_length(25.4, Unit.INCH, signed=True) == '+1"'


def test_both_units_stand_side_by_side() -> None:
    assert show_with_both(871.5, Unit.MM) == '871.5 mm (34 5/16")'
    assert show_with_both(34.3125 * IN, Unit.INCH) == '34 5/16" (871.5 mm)'


def test_angles_bear_their_sign() -> None:
    assert show_angle(41.634) == "41.6°"
    assert show_angle(-0.04) == "0.0°"
    assert show_angle(22.5, 0) == "23°"
    assert show_angle(2.25, 2, signed=True) == "+2.25°"


@pytest.mark.parametrize("denominator", [0, 3, 10, 128])
def test_only_fractions_a_rule_shows(denominator: int) -> None:
    with pytest.raises(ValueError, match="fractions"):
        show_length(10, Unit.INCH, denominator=denominator)


def test_no_text_is_made_of_what_is_no_number() -> None:
    for unit in Unit:
        with pytest.raises(ValueError, match="to show"):
            show_length(math.nan, unit)
