"""Members and rails under soffits: plain sums, and laws over any soffit."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitchline.design.infill.overhead import (
    SOFFIT,
    free_stretches,
    rail_under_soffits,
    tight_stretch,
    under_soffits,
)
from pitchline.kit.geometry.lines import Line
from pitchline.kit.geometry.outlines import Outline
from pitchline.stair.model import Soffit

MEMBER = Outline(((0.0, 0.0), (40.0, 0.0), (40.0, 900.0), (0.0, 900.0)), ("base", "right", "rail", "left"))
RAIL = Line(900.0, 0.8)


def test_a_member_dies_into_a_sloping_soffit_with_its_own_end_cut() -> None:
    """A slope of 45 degrees that passes 500 up at the member's left side cuts 500 and 460 off."""
    slope = Soffit("slope", (-100.0, 600.0), (400.0, 100.0))
    left = under_soffits(MEMBER, [slope])
    edge = left.edge(SOFFIT)
    assert edge is not None
    assert sorted(z for _, z in edge) == pytest.approx([460.0, 500.0])
    assert left.edge("rail") is None
    (au, az), (bu, bz) = edge
    assert abs(math.degrees(math.atan2(bz - az, bu - au))) == pytest.approx(135.0)


def test_a_gap_is_left_square_to_the_soffit() -> None:
    level = Soffit("beam", (-50.0, 700.0), (100.0, 700.0))
    left = under_soffits(MEMBER, [level], gap=3.0)
    assert max(z for _, z in left.points) == pytest.approx(697.0)


def test_a_soffit_over_or_beside_the_member_leaves_it_as_it_was() -> None:
    high = Soffit("beam", (-50.0, 1200.0), (100.0, 1200.0))
    beside = Soffit("beam", (50.0, 300.0), (500.0, 300.0))
    assert under_soffits(MEMBER, [high, beside]) == MEMBER


def test_nothing_is_left_under_a_soffit_lower_than_the_foot() -> None:
    low = Soffit("beam", (-50.0, -10.0), (100.0, -10.0))
    assert under_soffits(MEMBER, [low, low]).points == ()


def test_a_rail_stops_where_a_hand_no_longer_passes() -> None:
    """The rail climbs 0.8 from 900; under a level ceiling at 2575 from 1000 on, 75 are free up to 2500 = 2000."""
    ceiling = Soffit("ceiling", (1000.0, 2575.0), (4000.0, 2575.0))
    assert tight_stretch(RAIL, ceiling, 75.0) == pytest.approx((2000.0, 4000.0))
    assert rail_under_soffits(RAIL, (0.0, 3000.0), [ceiling], 75.0) == pytest.approx((0.0, 2000.0))


def test_two_beams_leave_three_stretches() -> None:
    level = Line(900.0, 0.0)
    beams = [Soffit("a", (500.0, 920.0), (600.0, 920.0)), Soffit("b", (1500.0, 920.0), (1700.0, 920.0))]
    assert free_stretches(level, (0.0, 2000.0), beams, 75.0) == (
        (0.0, 500.0),
        (600.0, 1500.0),
        (1700.0, 2000.0),
    )
    assert rail_under_soffits(level, (0.0, 2000.0), beams, 75.0) == (600.0, 1500.0)


def test_no_stretch_at_all() -> None:
    low = Soffit("low", (-100.0, 800.0), (5000.0, 800.0))
    assert rail_under_soffits(RAIL, (0.0, 3000.0), [low], 75.0) is None


places = st.floats(-500.0, 3500.0)
heights = st.floats(-200.0, 4000.0)


@given(places, places, heights, heights, st.floats(0.0, 200.0), st.floats(0.0, 1.0))
def test_room_is_there_where_it_is_said_and_only_there(
    a: float, b: float, low: float, high: float, room: float, share: float
) -> None:
    if abs(a - b) < 1.0:
        return
    soffit = Soffit("s", (a, low), (b, high))
    u = 3000.0 * share
    covered = min(a, b) < u < max(a, b)
    spare = soffit.underside.at(u) - RAIL.at(u) - room
    free = any(first <= u <= last for first, last in free_stretches(RAIL, (0.0, 3000.0), [soffit], room))
    on_an_end = min(abs(u - end) for end in (a, b)) < 1e-6
    if abs(spare) > 1e-6 and not on_an_end:
        assert free == (not covered or spare > 0.0)


@given(places, places, heights, heights)
def test_what_is_left_lies_under_the_soffit_and_inside_the_member(
    a: float, b: float, low: float, high: float
) -> None:
    if abs(a - b) < 1.0:
        return
    soffit = Soffit("s", (a, low), (b, high))
    left = under_soffits(MEMBER, [soffit])
    assert left.area <= MEMBER.area + 1e-6
    if left != MEMBER:
        assert all(z <= soffit.underside.at(u) + 1e-5 for u, z in left.points)
