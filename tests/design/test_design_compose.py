"""A whole design, its limits from the rules, its bars and its packer."""

import math
from dataclasses import replace

import pytest
from tests.strategies_stairs import (
    LIMITS,
    PLAIN_BASE,
    TAPE,
    Sizes,
    flight_of,
    plain_brief,
    regular_flight,
)

from pitchline.catalogue.rules import load_rule_set
from pitchline.design.brief import BaseSeat, FreeEnd, Shape, Station, UprightsBrief
from pitchline.design.compose import compose
from pitchline.design.limits import Limits
from pitchline.design.model import BarRole, PostRole


def test_limits_of_an_english_dwelling() -> None:
    """Approved Document K (2013): guarding of a flight 900, handrail 900-1000, no 100 mm ball."""
    limits = Limits.of(load_rule_set("england-dwelling"))
    assert (limits.low, limits.high, limits.gap) == (900.0, 1000.0, 100.0)


def test_limits_of_a_us_dwelling() -> None:
    """IRC R311.7.8.1 (34-38 in.) and R312.1.3 exception 2 (4 3/8 in. beside stairs)."""
    limits = Limits.of(load_rule_set("us-irc-2021"))
    assert limits.low == pytest.approx(34 * 25.4)
    assert limits.high == pytest.approx(38 * 25.4)
    assert limits.gap == pytest.approx(4.375 * 25.4)


def test_guarding_above_every_handrail_has_no_upper_limit() -> None:
    """IBC 2021 1015.3 (guarding 42 in.) against 1014.2 (handrail at most 38 in.): no one rail can be both."""
    limits = Limits.of(load_rule_set("us-ibc-2021"))
    assert limits.low == pytest.approx(42 * 25.4)
    assert limits.high is None


def test_bars_of_a_plain_design() -> None:
    flight = regular_flight()
    design = compose(flight, plain_brief(flight), LIMITS)
    assert [bar.role for bar in design.bars] == [BarRole.HANDRAIL, BarRole.BASE]
    assert design.handrail.depth == pytest.approx(59.0)
    assert design.base_rail.depth == pytest.approx(30.0)
    assert design.handrail.face == design.handrail.bottom
    assert design.base_rail.face == design.base_rail.top
    assert (design.handrail.start_at, design.handrail.finish_at) == ("new newel P1", "new newel P2")
    assert [post.role for post in design.posts] == [PostRole.NEW, PostRole.NEW]


def test_seats_lie_square_inside_their_faces() -> None:
    flight = regular_flight()
    design = compose(flight, plain_brief(flight), LIMITS)
    rake = design.handrail.top.angle
    assert design.handrail.seat is not None
    assert design.base_rail.seat is not None
    assert (design.handrail.seat.z0 - design.handrail.bottom.z0) * math.cos(rake) == pytest.approx(10.0)
    assert (design.base_rail.top.z0 - design.base_rail.seat.z0) * math.cos(rake) == pytest.approx(10.0)


def test_uncertainty_of_the_run() -> None:
    """The newels hang on N1 (the datum, exact) and N13 (read once): one reading. Both on N1: none."""
    flight = regular_flight()
    assert compose(flight, plain_brief(flight), LIMITS).bay.run_sigma == pytest.approx(TAPE)
    near = plain_brief(flight, bottom=FreeEnd(Station("N1")), top=FreeEnd(Station("N1", 900.0)))
    assert compose(flight, near, LIMITS).bay.run_sigma == 0.0


def test_a_packer_and_its_sides() -> None:
    sizes = Sizes((200.0,) * 13, (225.0,) * 12, (260.0, 0.88))
    flight = flight_of(sizes)
    packed = replace(PLAIN_BASE, seat=BaseSeat.PACKED, least_packing=4.0)
    design = compose(flight, plain_brief(flight, base=packed), LIMITS)
    assert design.packer is not None
    assert design.packer.top == design.base_rail.bottom
    assert flight.string is not None
    assert design.packer.bottom == flight.string.top
    thickness = [design.packer.top.at(u) - design.packer.bottom.at(u) for u in (45.0, 2655.0)]
    assert thickness[0] == pytest.approx(4.0, abs=1e-6)
    assert thickness[1] == pytest.approx(4.0 + (200.0 / 225.0 - 0.88) * 2610.0, abs=1e-6)


def test_nothing_to_pack_is_no_packer() -> None:
    flight = regular_flight()
    packed = replace(PLAIN_BASE, seat=BaseSeat.PACKED, least_packing=0.0)
    assert compose(flight, plain_brief(flight, base=packed), LIMITS).packer is None


def test_two_risers_are_a_flight() -> None:
    flight = regular_flight(2)
    infill = UprightsBrief(Shape.RECTANGULAR, 41.0, 41.0)
    design = compose(flight, plain_brief(flight, infill=infill), LIMITS)
    assert len(design.uprights) == 1
    assert design.bay.run == pytest.approx(225.0 - 90.0)
    assert design.uprights[0].gap_before == pytest.approx((135.0 - 41.0) / 2)


def test_narrowest_of_an_upright() -> None:
    assert UprightsBrief(Shape.RECTANGULAR, 41.0, 30.0).narrowest == 41.0
    assert UprightsBrief(Shape.TURNED, 41.0, 41.0, profile=((0.0, 41.0), (90.0, 25.0))).narrowest == 25.0
