"""Walking surfaces: where they begin, what stands on them."""

import math
from dataclasses import replace

import pytest
from tests.strategies_treads import INVENTED, cut_flight

from pitchline.kit.geometry.outlines import signed_area
from pitchline.stair.model import LegKind
from pitchline.stair.treads import profile_below, tread_under, treads_of


def test_a_tread_runs_from_its_nosing_to_the_next_and_its_going_from_riser_to_riser() -> None:
    treads = treads_of(cut_flight(overhang=22.0))
    assert [tread.number for tread in treads] == list(range(8))
    first, fourth = treads[1], treads[4]
    assert (first.front, first.riser, first.back) == pytest.approx((0.0, 22.0, 226.0))
    assert fourth.going == pytest.approx(240.0)
    assert fourth.surface.at(fourth.front) == pytest.approx(187.0 + 186.0 + 189.0 + 188.0)


def test_the_floors_have_no_end() -> None:
    treads = treads_of(cut_flight())
    assert treads[0].front == treads[0].riser == -math.inf
    assert treads[0].surface.z0 == 0.0
    assert treads[-1].back == math.inf
    assert treads[-1].surface.z0 == pytest.approx(sum(INVENTED.rises))


def test_what_stands_across_a_nosing_is_not_held() -> None:
    tread = treads_of(cut_flight())[2]
    assert tread.holds(tread.front, tread.front + 32.0)
    assert not tread.holds(tread.front - 1.0, tread.front + 31.0)
    assert not tread.holds(tread.back - 31.0, tread.back + 1.0)
    assert tread.holds(tread.front - 0.4, tread.front + 31.0, within=0.5)


def test_what_comes_down_plumb_meets_the_tread_under_it() -> None:
    treads = treads_of(cut_flight())
    for tread in treads[1:-1]:
        middle = (tread.front + tread.back) / 2
        assert tread_under(treads, (middle, 3000.0), (0.0, 1.0)) is tread


def test_what_comes_down_on_a_slant_may_miss_the_tread_it_started_over() -> None:
    """From 800 mm over the middle of tread 3, leaning 20 degrees up the stair, it lands 291 mm further back."""
    treads = treads_of(cut_flight())
    third = treads[3]
    z = third.surface.at(third.front)
    up = (math.sin(math.radians(20.0)), math.cos(math.radians(20.0)))
    met = tread_under(treads, ((third.front + third.back) / 2, z + 800.0), up)
    assert met.number < third.number


def test_a_level_edge_is_one_surface() -> None:
    level = replace(cut_flight(), kind=LegKind.LEVEL, nosings=((0.0, 0.0), (1500.0, 0.0)))
    (floor,) = treads_of(level)
    assert floor.number == 0
    assert not math.isfinite(floor.going)


def test_the_profile_below_is_as_large_as_its_steps() -> None:
    """Under two treads of 226 and 229 mm at heights 187 and 373 down to 0: 226 x 187 + 229 x 373 mm2."""
    profile = profile_below(cut_flight(), 0.0, 455.0, 0.0)
    assert signed_area(profile) == pytest.approx(226.0 * 187.0 + 229.0 * 373.0)
