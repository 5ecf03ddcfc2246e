"""Where lines of an elevation meet and what a post sees of them."""

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from pitchline.kit.geometry.lines import Line
from pitchline.kit.geometry.meetings import (
    level_through,
    levelled,
    meeting_of,
    plumb_depth,
    raise_to_meet,
    rise_by_shares,
    shares_of_rise,
    step_at,
)

HEIGHTS = st.floats(-3000.0, 3000.0)
SLOPES = st.floats(-1.5, 1.5)
LINES = st.builds(Line, HEIGHTS, SLOPES)
RAKE = Line(900.0, 200.0 / 225.0)


def test_a_rake_and_a_level_of_one_height_meet_at_the_nosing() -> None:
    found = meeting_of(RAKE, Line(900.0, 0.0))
    assert found is not None
    assert found.point == pytest.approx((0.0, 900.0))
    assert found.beyond(0.0) == pytest.approx(0.0)


def test_a_higher_level_is_met_behind_the_nosing_a_lower_one_before_it() -> None:
    """1100 over the floor and 900 over a rake of 200 in 225: (1100 - 900) / (200 / 225) = 225 behind."""
    higher, lower = meeting_of(RAKE, Line(1100.0, 0.0)), meeting_of(RAKE, Line(850.0, 0.0))
    assert higher is not None
    assert lower is not None
    assert higher.beyond(0.0) == pytest.approx(225.0)
    assert lower.beyond(0.0) == pytest.approx(-50.0 * 225.0 / 200.0)


def test_parallel_lines_have_no_meeting() -> None:
    assert meeting_of(RAKE, RAKE.raised(20.0)) is None
    assert meeting_of(RAKE, RAKE) is None


@given(LINES, LINES)
def test_a_meeting_lies_on_both_lines_whichever_comes_first(first: Line, second: Line) -> None:
    assume(abs(first.slope - second.slope) > 1e-3)
    one, other = meeting_of(first, second), meeting_of(second, first)
    assert one is not None
    assert other is not None
    assert one.z == pytest.approx(first.at(one.u), rel=1e-9, abs=1e-6)
    assert one.z == pytest.approx(second.at(one.u), rel=1e-9, abs=1e-6)
    assert one.point == pytest.approx(other.point)
    assert one.turn_deg == pytest.approx(-other.turn_deg)


@given(LINES, LINES, st.floats(-5000.0, 5000.0))
def test_a_line_raised_to_meet_meets_there(first: Line, second: Line, u: float) -> None:
    assume(abs(first.slope - second.slope) > 1e-2)
    found = meeting_of(first, second.raised(raise_to_meet(first, second, u)))
    assert found is not None
    assert found.u == pytest.approx(u, abs=1e-6)
    level = level_through(first, u)
    assert (level.at(-99.0), level.at(u)) == pytest.approx((first.at(u), first.at(u)))


def test_each_rail_takes_half_of_the_change_of_pitch() -> None:
    found = meeting_of(RAKE, Line(900.0, 0.0))
    assert found is not None
    assert found.mitre_deg == pytest.approx(-math.degrees(math.atan2(200.0, 225.0)) / 2.0)


def test_the_place_is_as_uncertain_as_the_heights_over_the_difference_of_slopes() -> None:
    found = meeting_of(RAKE, Line(1000.0, 0.0))
    assert found is not None
    assert found.u_sigma(1.0, 0.0) == pytest.approx(225.0 / 200.0)
    moved = meeting_of(RAKE.raised(1.0), Line(1000.0, 0.0))
    assert moved is not None
    assert abs(moved.u - found.u) == pytest.approx(found.u_sigma(1.0, 0.0))
    assert found.u_sigma(3.0, 4.0) == pytest.approx(5.0 * 225.0 / 200.0)


def test_a_post_sees_a_rise_where_the_second_line_leaves_higher() -> None:
    step = step_at(RAKE, Line(1100.0, 0.0), 0.0, 90.0)
    assert (step.start_u, step.finish_u) == (-45.0, 45.0)
    assert step.arrives_z == pytest.approx(900.0 - 45.0 * 200.0 / 225.0)
    assert step.rise == pytest.approx(240.0)
    assert step.drop == pytest.approx(-240.0)
    low, high = step.block(plumb_depth(60.0, RAKE.slope), 60.0)
    assert low == pytest.approx(860.0 - 60.0 / math.cos(RAKE.angle))
    assert high == 1100.0
    with pytest.raises(ValueError, match="less than nothing"):
        step_at(RAKE, RAKE, 0.0, -1.0)


@given(st.floats(120.0, 220.0), st.floats(200.0, 320.0), st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_shares_of_a_going_leave_their_share_of_the_rise(
    rise: float, going: float, before: float, behind: float
) -> None:
    """Against the two rakes themselves: nosings one rise apart, the post a share of a going from each."""
    first = Line(900.0, rise / going)
    second = Line(900.0 + rise, rise / going).raised(-rise / going * (before + behind) * going)
    step = step_at(first, second, before * going)
    assert step.rise == pytest.approx(rise_by_shares(rise, before, behind), abs=1e-9)
    assert rise_by_shares(rise, before, 1.0 - before) == pytest.approx(0.0, abs=1e-9)


def test_members_of_a_tread_differ_by_shares_of_the_rise() -> None:
    assert shares_of_rise(210.0, 1) == (0.0,)
    assert shares_of_rise(210.0, 2) == pytest.approx((0.0, 105.0))
    assert shares_of_rise(210.0, 3) == pytest.approx((0.0, 70.0, 140.0))
    with pytest.raises(ValueError, match="at least one"):
        shares_of_rise(210.0, 0)


def test_levelling_out_between_two_rakes_leaves_what_the_rakes_climb_meanwhile() -> None:
    flat = levelled(RAKE, RAKE, 0.0, 100.0, 125.0)
    assert flat.plumb == pytest.approx(200.0)
    lowered = RAKE.raised(-flat.plumb)
    assert levelled(RAKE, lowered, 0.0, 100.0, 125.0).plumb == pytest.approx(0.0, abs=1e-9)
    with pytest.raises(ValueError, match="no negative"):
        levelled(RAKE, RAKE, 0.0, -1.0, 0.0)
