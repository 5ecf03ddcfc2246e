"""Winders in plan: corners, nosings, walking lines, and the sums that must hold whatever the readings."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from tests.strategies_winders import crooked_winders, radiating

from pitchline.kit.errors import InputError
from pitchline.stair.model import Side
from pitchline.stair.walking_line import crossing_of, walk
from pitchline.stair.winder_facts import WinderFacts, WinderNosing, winder_faults
from pitchline.stair.winders import at_newel, build_winders

THIRTY = [math.radians(30.0 * k) for k in range(4)]


def test_three_winders_of_a_quarter_turn() -> None:
    """A quarter turn shared by three: 30 degrees each, the middle one a kite (common practice of the trade)."""
    winders = build_winders(radiating(THIRTY))
    assert winders.corners[0] == pytest.approx((850.0, -850.0))
    assert [math.degrees(winders.tread_angle(k)) for k in range(3)] == pytest.approx([30.0] * 3)
    assert winders.kites == (1,)
    assert winders.heights == pytest.approx((0.0, 190.0, 380.0, 570.0))
    assert winders.names == ("N5", "N6", "N7", "N8")
    assert winders.outer_places[1] == pytest.approx(850.0 * math.tan(math.pi / 6) - 850.0)
    assert winders.wide_goings[1] == pytest.approx(math.sqrt(2.0) * 850.0 * (1.0 - math.tan(math.pi / 6)))


def test_two_winders_of_a_quarter_turn_have_no_kite() -> None:
    assert build_winders(radiating([0.0, math.pi / 4, math.pi / 2])).kites == ()


def test_goings_of_nosings_that_radiate_are_an_arc_and_its_chord() -> None:
    """Closed form: radius times angle along the line, twice the radius times the sine of half of it straight."""
    found = walk(build_winders(radiating(THIRTY)), 425.0)
    assert found.goings == pytest.approx([425.0 * math.pi / 6] * 3)
    assert found.chords == pytest.approx([2.0 * 425.0 * math.sin(math.pi / 12)] * 3)


def test_unequal_widths_and_a_skew_turn_put_the_corner_at_both_distances() -> None:
    turn = math.radians(75.0)
    winders = build_winders(radiating([0.0, turn / 3, turn], (800.0, 950.0), turn))
    x, y = winders.corners[0]
    assert -y == pytest.approx(800.0)
    assert x * math.sin(turn) - y * math.cos(turn) == pytest.approx(950.0)


@given(crooked_winders())
def test_the_goings_add_up_to_the_line_between_the_outer_nosings(facts: WinderFacts) -> None:
    """Two straight pieces and one arc of the whole turn, however the nosings between lie."""
    winders = build_winders(facts)
    line = walk(winders, min(facts.widths) / 2)
    first, last = line.crossings[0], line.crossings[-1]
    turn = winders.turn
    before = -first.point[0] if first.place < 0.0 else 0.0
    past = last.point[0] * math.cos(turn) + last.point[1] * math.sin(turn)
    after = past if last.place > line.distance * turn else 0.0
    if first.place <= 0.0 and last.place >= line.distance * turn:
        assert sum(line.goings) == pytest.approx(before + line.distance * turn + after)
    assert all(chord <= going + 1e-6 for chord, going in zip(line.chords, line.goings, strict=True))


@given(crooked_winders())
def test_walked_the_other_way_the_goings_come_in_reverse(facts: WinderFacts) -> None:
    back = replace(
        facts,
        widths=facts.widths[::-1],
        nosings=tuple(replace(n, inner=-n.inner, outer=-n.outer) for n in facts.nosings[::-1]),
    )
    distance = min(facts.widths) / 2
    forth = walk(build_winders(facts), distance)
    assert walk(build_winders(back), distance).goings == pytest.approx(forth.goings[::-1], abs=1e-6)
    assert build_winders(back).narrow_goings == pytest.approx(build_winders(facts).narrow_goings[::-1])


@given(crooked_winders())
def test_every_crossing_lies_on_the_line_and_on_its_nosing(facts: WinderFacts) -> None:
    winders = build_winders(facts)
    distance = 0.4 * min(facts.widths)
    turn = winders.turn
    for crossing, inner, outer in zip(
        walk(winders, distance).crossings, winders.inner, winders.outer, strict=True
    ):
        x, y = crossing.point
        if crossing.place < 0.0:
            assert -y == pytest.approx(distance)
        elif crossing.place > distance * turn:
            assert x * math.sin(turn) - y * math.cos(turn) == pytest.approx(distance)
        else:
            assert math.hypot(x, y) == pytest.approx(distance)
        off = (outer[0] - inner[0]) * (y - inner[1]) - (outer[1] - inner[1]) * (x - inner[0])
        assert off / math.dist(inner, outer) == pytest.approx(0.0, abs=1e-6)


def test_uncertainty_of_a_going_between_square_nosings() -> None:
    """Straight pieces: a nosing's place half way across is the mean of its two ends, so each end counts half.

    By hand: both ends of both nosings with sigma s give s times the root of 4/4; the outer corner moves both outer
    ends alike, so widths do not count.
    """
    nosings = (
        WinderNosing(-600.0, -1450.0),
        WinderNosing(-350.0, -1200.0, 190.0),
        WinderNosing(300.0, 1150.0, 190.0),
    )
    facts = WinderFacts(
        "W", Side.RIGHT, "lower", 3, "upper", (math.pi / 2,), (850.0, 850.0), nosings, turn_sigma=0.0
    )
    found = walk(build_winders(facts), 425.0)
    assert found.goings[0] == pytest.approx(250.0)
    assert found.going_sigmas[0] == pytest.approx(1.0, rel=1e-6)


def test_a_half_turn_round_one_newel_has_two_outer_corners() -> None:
    quarter = math.pi / 2
    nosings = (
        WinderNosing(0.0, -800.0),
        WinderNosing(0.0, 0.0, 190.0),
        WinderNosing(0.0, 800.0, 190.0),
        WinderNosing(0.0, 0.0, 190.0, corner=2),
        WinderNosing(0.0, 800.0, 190.0, corner=2),
    )
    facts = WinderFacts(
        "W", Side.LEFT, "lower", 2, "upper", (quarter, quarter), (800.0, 800.0, 800.0), nosings
    )
    winders = build_winders(facts)
    assert winders.corners[0] == pytest.approx((800.0, -800.0))
    assert winders.corners[1] == pytest.approx((800.0, 800.0))
    assert winders.corner_places == pytest.approx((0.0, 1600.0))
    assert winders.outer_places == pytest.approx((-800.0, 0.0, 800.0, 1600.0, 2400.0))
    assert walk(winders, 400.0).goings == pytest.approx([400.0 * math.pi / 4] * 4)
    walls = [[name for name, _ in winders.outer_wall(k)] for k in range(3)]
    assert walls == [["N2"], ["N3", "N4"], ["N5", "N6"]]
    assert winders.outer_wall(1)[1][1] == pytest.approx((800.0, 380.0))


def test_narrow_ends_are_told_straight_and_round_the_newel() -> None:
    inner = [-60.0, -30.0, 30.0, 60.0]
    winders = build_winders(radiating(THIRTY, inner=inner))
    assert winders.narrow_ways == pytest.approx((30.0, 60.0, 30.0))
    assert winders.narrow_goings == pytest.approx((30.0, 30.0 * math.sqrt(2.0), 30.0))


def test_the_newel_takes_every_nosing_that_meets_it_and_both_rails() -> None:
    inner = [-300.0, -30.0, 30.0, 60.0]
    winders = build_winders(radiating(THIRTY, inner=inner))
    newel = at_newel(winders, (980.0, 1450.0), above_rail=60.0, drop=150.0)
    assert (newel.lowest, newel.highest) == pytest.approx((190.0, 570.0))
    assert newel.rise == pytest.approx(470.0)
    assert newel.foot == pytest.approx(-150.0)
    assert newel.length == pytest.approx(1450.0 + 60.0 + 150.0)


def test_a_nosing_that_does_not_reach_the_line_is_told_by_name() -> None:
    assert crossing_of((0.0, 0.0), (0.0, -200.0), 425.0, math.pi / 2) is None
    with pytest.raises(ValueError, match="nosing N5 does not reach"):
        walk(build_winders(radiating(THIRTY)), 900.0)


def test_faults_are_told_together() -> None:
    facts = replace(radiating(THIRTY), nosings=(WinderNosing(0.0, -850.0), WinderNosing(-20.0, -900.0, 0.0)))
    told = list(winder_faults(facts))
    assert len(told) == 4
    with pytest.raises(InputError, match="along the inner side N6 lies before N5"):
        build_winders(facts)
