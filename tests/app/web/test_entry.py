"""From what is typed to what the file holds, and back to what a field shows."""

import tomllib
from typing import Any

import pytest

from pitchline.app.web.entry import LEFT_OUT, item_written, written
from pitchline.app.web.shown import shown
from pitchline.job.new import starting_text
from pitchline.kit.units import Unit

RISE = ("flights", 0, "rises", "values", 3)
RAW = tomllib.loads(starting_text("mm", Unit.MM))


@pytest.mark.parametrize(
    ("path", "typed", "expected"),
    [
        (RISE, "187,5", 187.5),
        (RISE, " 187.5 ", 187.5),
        (RISE, "188", 188),
        (RISE, "0.188 m", "0.188 m"),
        (RISE, "", "-"),
        (RISE, "-", "-"),
        (RISE, "18 7", "18 7"),
        (("flights", 0, "width"), "", LEFT_OUT),
        (("flights", 0, "risers"), "13", 13),
        (("flights", 0, "risers"), "13.5", "13.5"),
        (("flights", 0, "readings", 5, "value_deg"), "39,8°", 39.8),
        (("flights", 0, "readings", 0, "from"), "N2", "N2"),
        (("job", "title"), "  A   stair ", "A stair"),
        (("flights", 0, "posts", 0, "lean_along", "offset"), "-5", -5),
    ],
)
def test_typed_in_mm(path: tuple[str | int, ...], typed: str, expected: Any) -> None:
    value = written(path, typed, RAW, Unit.MM)
    assert value == expected
    assert type(value) is type(expected)


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        ("7 1/2", "7 1/2 in"),
        ("7-1/2", "7-1/2 in"),
        ("7.5", 7.5),
        ('7 1/2"', '7 1/2"'),
        ("3/8", "3/8 in"),
        ("190 mm", "190 mm"),
    ],
)
def test_typed_in_inches(typed: str, expected: Any) -> None:
    assert written(RISE, typed, RAW, Unit.INCH) == expected


@pytest.mark.parametrize("text", ["7 1/2", "187.5", "10 5/16"])
def test_what_was_typed_is_shown_again(text: str) -> None:
    assert shown(written(RISE, text, RAW, Unit.INCH), Unit.INCH) == text


@pytest.mark.parametrize("value", [None, "-", [1], {"a": 1}])
def test_what_is_no_value_shows_as_nothing(value: object) -> None:
    assert shown(value, Unit.MM) == ""


def test_the_values_of_a_new_item_are_read_as_their_fields_read_them() -> None:
    path = ("flights", 1, "readings")
    item = {"kind": "height", "from": "floor", "to": "N4", "value": {"typed": "29 7/8"}, "id": {"typed": ""}}
    read = item_written(path, item, Unit.INCH)
    assert read == {"kind": "height", "from": "floor", "to": "N4", "value": "29 7/8 in"}
    again = item_written(
        path, {"kind": "rise", "number": {"typed": "3"}, "value": {"typed": "190,5"}}, Unit.MM
    )
    assert again == {"kind": "rise", "number": 3, "value": 190.5}
