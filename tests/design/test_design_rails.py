"""The handrail's and the base rail's lines, on stairs worked by hand."""

import math

import numpy as np
import pytest
from tests.strategies_stairs import LIMITS, Sizes, flight_of, regular_flight

from pitchline.design.bay import Trace
from pitchline.design.brief import BaseBrief, BaseSeat, RailBrief
from pitchline.design.limits import Limits
from pitchline.design.rails import OPEN_WINDOW, base_lines, best_break, handrail_line, line_of_most_margin
from pitchline.kit.errors import ImpossibleDesignError
from pitchline.kit.geometry.frames import Plane
from pitchline.kit.geometry.lines import Line

RAIL = RailBrief(70.0, 59.0)
HOLLOW = Sizes((200.0, 170.0, 230.0), (250.0, 250.0))
"""The middle nosing lies 30 below the line through the other two."""


def faces(low: float, high: float) -> tuple[Trace, Trace]:
    planes = (Plane((low, 0.0, 0.0), (1.0, 0.0, 0.0)), Plane((high, 0.0, 0.0), (-1.0, 0.0, 0.0)))
    return Trace.of(planes[0], 0.0), Trace.of(planes[1], 0.0)


def test_a_regular_flight_takes_the_middle_of_the_window() -> None:
    line, told = handrail_line(regular_flight(), RAIL, LIMITS)
    assert line.slope == pytest.approx(200.0 / 225.0, abs=1e-12)
    assert told.margin == pytest.approx(50.0, abs=1e-6)
    assert told.heights == pytest.approx((950.0,) * 13, abs=1e-6)
    assert told.wished is None


def test_the_best_line_over_a_hollow_step() -> None:
    """Equal errors of alternating sense (Chebyshev): 15 above at the ends' sense, so the margin is 50 - 15."""
    line, told = handrail_line(flight_of(HOLLOW), RAIL, LIMITS)
    assert line.slope == pytest.approx(400.0 / 500.0)
    assert told.margin == pytest.approx(35.0, abs=1e-6)
    assert told.heights == pytest.approx((935.0, 965.0, 935.0), abs=1e-6)


def test_a_wished_height_is_departed_from_as_little_as_can_be() -> None:
    line, told = handrail_line(flight_of(HOLLOW), RailBrief(70.0, 59.0, 920.0), LIMITS)
    assert told.heights == pytest.approx((905.0, 935.0, 905.0), abs=1e-6)
    assert told.margin == pytest.approx(5.0, abs=1e-6)
    assert line.at(0.0) == pytest.approx(200.0 + 905.0, abs=1e-6)


def test_a_rail_that_cannot_hold_says_by_how_much() -> None:
    """A window of 20 against a hollow of 30: half of the other 10 is missing at each edge."""
    _, told = handrail_line(flight_of(HOLLOW), RAIL, Limits(900.0, 920.0, 100.0))
    assert told.margin == pytest.approx(-5.0, abs=1e-6)
    assert told.tightest in {1, 2, 3}


def test_without_an_upper_limit_the_rail_always_holds() -> None:
    """A hollow deeper than the open window: the rail is raised until it clears the lower limit everywhere."""
    deep = Sizes((200.0, 60.0, 340.0), (250.0, 250.0))
    _, told = handrail_line(flight_of(deep), RAIL, Limits(900.0, None, 100.0))
    assert OPEN_WINDOW < 140.0
    assert min(told.heights) == pytest.approx(900.0, abs=1e-6)
    assert told.margin == pytest.approx(0.0, abs=1e-6)


def test_two_nosings_have_one_line() -> None:
    line, margin = line_of_most_margin(np.array(((0.0, 200.0), (250.0, 390.0))), 900.0, 1000.0)
    assert (line.at(0.0), line.at(250.0)) == pytest.approx((1150.0, 1340.0))
    assert margin == pytest.approx(50.0)


def test_the_best_break_is_at_the_kink() -> None:
    """Two straight halves of different pitch: broken at the kink, each half keeps the whole margin."""
    nosings = ((0.0, 0.0), (250.0, 150.0), (500.0, 300.0), (750.0, 500.0), (1000.0, 700.0))
    broken = best_break(nosings, LIMITS)
    assert broken is not None
    assert broken.nosing == 3
    assert broken.margin == pytest.approx(50.0)


def test_two_nosings_cannot_be_broken() -> None:
    assert best_break(((0.0, 0.0), (250.0, 150.0)), LIMITS) is None


def test_a_base_rail_on_the_string_follows_the_string() -> None:
    """30 deep square to a pitch of tan 0.8: its top is 30 / cos higher."""
    flight = flight_of(Sizes((200.0,) * 4, (250.0,) * 3, (260.0, 0.8)))
    lines = base_lines(flight, BaseBrief(70.0, 30.0), Line(1100.0, 0.7), faces(0.0, 750.0))
    assert (lines.bottom.z0, lines.bottom.slope) == pytest.approx((260.0, 0.8), abs=1e-9)
    assert lines.top.z0 == pytest.approx(260.0 + 30.0 * math.hypot(1.0, 0.8), abs=1e-9)
    assert lines.packer_bottom is None


def test_a_packed_base_rail_lies_parallel_to_the_handrail() -> None:
    """The string rises faster than the rail: the packer is thinnest at the head, 0.1 x 750 thicker at the foot."""
    flight = flight_of(Sizes((200.0,) * 4, (250.0,) * 3, (260.0, 0.8)))
    base = BaseBrief(70.0, 30.0, BaseSeat.PACKED, least_packing=3.0)
    lines = base_lines(flight, base, Line(1100.0, 0.7), faces(0.0, 750.0))
    assert lines.bottom.slope == 0.7
    assert lines.packer_bottom is not None
    packing = [lines.bottom.at(u) - lines.packer_bottom.at(u) for u in (0.0, 750.0)]
    assert packing == pytest.approx([3.0 + 75.0, 3.0], abs=1e-9)


def test_a_clear_base_rail_clears_the_proudest_nosing() -> None:
    flight = flight_of(Sizes((200.0, 215.0, 185.0, 200.0), (250.0,) * 3))
    base = BaseBrief(70.0, 30.0, BaseSeat.CLEAR, clearance=40.0)
    lines = base_lines(flight, base, Line(1100.0, 0.8), faces(0.0, 750.0))
    assert lines.bottom.at(250.0) == pytest.approx(415.0 + 40.0)
    assert lines.bottom.at(0.0) == pytest.approx(200.0 + 15.0 + 40.0)


@pytest.mark.parametrize("seat", [BaseSeat.STRING, BaseSeat.PACKED])
def test_no_string_no_seat_on_it(seat: BaseSeat) -> None:
    with pytest.raises(ImpossibleDesignError, match="closed string"):
        base_lines(
            regular_flight(margin=None), BaseBrief(70.0, 30.0, seat), Line(1100.0, 0.8), faces(0.0, 750.0)
        )
