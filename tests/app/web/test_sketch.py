"""The drawing of the stair page: points from readings, every reading between its own points, all in the frame."""

import math
import re
from collections.abc import Sequence
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitchline.app.web.guess import USUAL_GOING, USUAL_RISE, guessed, named_points
from pitchline.app.web.sketch import Sketch, Taken, settled_guess
from pitchline.app.web.sketch_readings import measures
from pitchline.kit.units import Unit

LENGTHS = st.one_of(st.just("-"), st.floats(100.0, 300.0), st.integers(100, 300), st.text(max_size=4))


def leg(rises: Sequence[Any], goings: Sequence[Any], *readings: dict[str, Any]) -> dict[str, Any]:
    return {
        "id": "main",
        "risers": len(rises),
        "rises": {"values": list(rises)},
        "goings": {"values": list(goings)},
        "readings": list(readings),
    }


def test_with_everything_read_the_points_are_the_sums() -> None:
    guess = guessed(leg((180, 190, 185), (220, 230)), Unit.MM, level=False)
    assert guess.nosings == ((0.0, 180.0), (220.0, 370.0), (450.0, 555.0))


def test_inches_are_read_as_inches() -> None:
    guess = guessed(leg(("7 1/2 in", 7.5), ("10 in",)), Unit.INCH, level=False)
    assert guess.nosings == ((0.0, 7.5 * 25.4), (254.0, 15 * 25.4))


def test_what_is_not_read_is_as_the_middle_of_what_is() -> None:
    guess = guessed(leg(("-", 200, 180, 190), ("-", "-", "-")), Unit.MM, level=False)
    assert guess.nosings[0] == (0.0, 190.0)
    assert guess.nosings[1][0] == USUAL_GOING
    empty = guessed(leg(("-", "-"), ("-",)), Unit.MM, level=False)
    assert empty.nosings == ((0.0, USUAL_RISE), (USUAL_GOING, 2 * USUAL_RISE))


@given(st.lists(LENGTHS, min_size=2, max_size=8), st.lists(LENGTHS, max_size=9))
def test_whatever_is_typed_there_is_a_drawing(rises: list[Any], goings: list[Any]) -> None:
    guess = guessed(leg(rises, goings), Unit.MM, level=False)
    assert len(guess.nosings) == len(rises)
    assert all(low < high for (low, _), (high, _) in zip(guess.nosings, guess.nosings[1:], strict=False))
    assert Sketch(guess, 1.0).svg([], "a stair", settled=False)


@pytest.mark.parametrize(
    "table",
    [
        {},
        {"risers": "many"},
        {"risers": 10**9},
        {"rises": 3},
        {"rises": {"values": "x"}},
        {"readings": ["x", {}]},
    ],
)
@pytest.mark.parametrize("level", [False, True])
def test_a_table_that_is_no_leg_still_has_a_drawing(table: dict[str, Any], level: bool) -> None:
    guess = guessed(table, Unit.MM, level=level)
    assert 2 <= len(guess.nosings) <= 40
    assert Sketch(guess, 1.0).svg([], "a stair", settled=False)


def test_levels_plumb_lines_and_runs_lead_to_further_points() -> None:
    readings = (
        {"kind": "level", "setup": "laser", "to": "floor", "value": 1000},
        {"kind": "level", "setup": "laser", "to": "mark", "value": 400},
        {"kind": "plumb", "setup": "line", "to": "N1", "value": -500},
        {"kind": "plumb", "setup": "line", "to": "wall", "value": 60},
        {"kind": "run", "from": "N2", "to": "newel", "value": 75},
        {"kind": "height", "from": "N1", "to": "shelf", "value": 90},
    )
    table = leg((180, 190), (220,), *readings)
    guess = guessed(table, Unit.MM, level=False)
    assert guess.lines == {"laser": 1000.0, "line": 500.0}
    assert guess.points["mark"][1] == 600.0
    assert guess.points["wall"][0] == 560.0
    assert guess.points["newel"][0] == 295.0
    assert guess.points["shelf"][1] == 270.0
    assert set(named_points(table)) == {"mark", "wall", "newel", "shelf"}


def test_every_reading_is_drawn_between_its_own_points() -> None:
    guess = guessed(leg((180, 190, 185), (220, 230)), Unit.MM, level=False)
    rise, going, straight = measures(
        guess,
        (
            Taken("a", "rise", "N1", "N2", "190"),
            Taken("b", "going", "N1", "N2", "220"),
            Taken("c", "straight", "N1", "N3", "600"),
        ),
    )
    assert [z for _, z in rise.lines[0]] == [180.0, 370.0]
    assert [u for u, _ in going.lines[0]] == [0.0, 220.0]
    (start, a), (_, b), (_, end) = straight.lines
    assert (start, end) == ((0.0, 180.0), (450.0, 555.0))
    along = (end[0] - start[0], end[1] - start[1])
    assert math.dist(a, b) == pytest.approx(math.hypot(*along))
    assert (a[0] - start[0]) * along[0] + (a[1] - start[1]) * along[1] == pytest.approx(0.0, abs=1e-6)


def test_readings_over_each_other_get_lanes_of_their_own() -> None:
    guess = guessed(leg((180,) * 6, (220,) * 5), Unit.MM, level=False)
    spans = (("N1", "N3"), ("N2", "N4"), ("N4", "N6"))
    one, two, three = measures(guess, [Taken(f"{a}{b}", "straight", a, b, "1") for a, b in spans])

    def lifted(measure: Any) -> float:
        start, a = measure.lines[0]
        return math.dist(start, a)

    assert lifted(two) > lifted(one)
    assert lifted(three) == pytest.approx(lifted(one))


@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_nothing_drawn_lies_outside_the_picture(sign: float) -> None:
    guess = guessed(leg((180, 190, 185), (220, 230)), Unit.MM, level=False)
    taken = [Taken("a", "straight", "N1", "N3", "600"), Taken("b", "rise", "floor", "N1", "180")]
    svg = str(Sketch(guess, sign).svg(taken, "a stair", settled=True))
    box = re.search(r'viewBox="(\S+) (\S+) (\S+) (\S+)"', svg)
    assert box is not None
    left, top, width, height = map(float, box.groups())
    points = re.findall(r"[ML](-?[\d.]+) (-?[\d.]+)", svg)
    assert len(points) > 20
    assert all(left <= float(x) <= left + width and top <= float(y) <= top + height for x, y in points)


def test_adjusted_points_take_the_place_of_guessed_ones() -> None:
    before = guessed(leg((180, 190), (220,)), Unit.MM, level=False)
    after = settled_guess(before, [(0.0, 181.0), (221.0, 372.0)], {"newel": (300.0, 500.0)})
    assert after.nosings == ((0.0, 181.0), (221.0, 372.0))
    assert after.points["N2"] == (221.0, 372.0)
    assert after.points["newel"] == (300.0, 500.0)


def test_names_and_words_cannot_leave_the_picture() -> None:
    guess = guessed(leg((180, 190), (220,)), Unit.MM, level=False)
    wicked = '"><script>alert(1)</script>'
    svg = Sketch(guess, 1.0).svg([Taken(wicked, "rise", "floor", "N1", wicked)], wicked, settled=True)
    assert "<script" not in svg
