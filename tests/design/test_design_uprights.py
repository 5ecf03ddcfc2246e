"""Uprights plumb and leaning, laid out whole; figures worked by hand."""

import math
from dataclasses import replace
from itertools import pairwise

import pytest
from tests.strategies_stairs import FOOT_POST, LIMITS, PLAIN_RAIL, PLAIN_UPRIGHTS, plain_brief, regular_flight

from pitchline.design.brief import (
    Bored,
    Brief,
    ExistingNewel,
    FreeEnd,
    Leaning,
    Shape,
    SpacingBrief,
    Spread,
    Stacked,
    Station,
    UprightsBrief,
)
from pitchline.design.compose import compose
from pitchline.design.infill.uprights import Axes, Ends, lean_of, run_of
from pitchline.design.model import Design
from pitchline.design.seats import base_seat_depth, infill_y, rail_seat_depth
from pitchline.kit.errors import ImpossibleDesignError
from pitchline.kit.geometry.outlines import Outline
from pitchline.stair.facts import PostFacts
from pitchline.stair.model import Flight, Side

THETA = math.atan2(200.0, 225.0)
SQUARE = Outline(
    ((0.0, 0.0), (1000.0, 0.0), (1000.0, 700.0), (0.0, 700.0)), ("base", "finish", "rail", "start")
)
STACK = Stacked(3, 18.0, (2,), 30.0, 15.0)


def laid(flight: Flight | None = None, **changes: object) -> Design:
    flight = flight or regular_flight()
    return compose(flight, plain_brief(flight, **changes), LIMITS)


def leaning(lean: Leaning | float, spacing: SpacingBrief | None = None) -> UprightsBrief:
    return replace(PLAIN_UPRIGHTS, lean=lean, spacing=spacing or SpacingBrief())


def test_axes_of_a_lean() -> None:
    """30 degrees: up is (1/2, root 3 / 2); a place and its co-ordinates come back."""
    axes = Axes.of(math.radians(30.0))
    assert axes.up == pytest.approx((0.5, math.sqrt(3) / 2))
    assert axes.at(axes.s((123.0, 45.0)), axes.t((123.0, 45.0))) == pytest.approx((123.0, 45.0))


def test_named_leans() -> None:
    assert lean_of(Leaning.PLUMB, 0.7) == 0.0
    assert lean_of(Leaning.SQUARE, 0.7) == -0.7
    assert lean_of(0.2, 0.7) == 0.2


def test_the_run_of_plumb_uprights_is_from_face_to_face() -> None:
    assert run_of(SQUARE, SQUARE, 0.0, Ends()) == (0.0, 1000.0)
    assert run_of(SQUARE, SQUARE, 0.0, Ends(closed_start=False, closed_finish=False)) == (0.0, 1000.0)


def test_the_run_of_leaning_uprights() -> None:
    """Top leaning back 30 degrees: s = u cos 30 + z sin 30, corner to corner; less 350 at each free end."""
    lean = -math.radians(30.0)
    c = math.cos(math.radians(30.0))
    assert run_of(SQUARE, SQUARE, lean, Ends()) == pytest.approx((0.0, 1000 * c + 350.0))
    assert run_of(SQUARE, SQUARE, lean, Ends(closed_start=False)) == pytest.approx((350.0, 1000 * c + 350.0))
    assert run_of(SQUARE, SQUARE, lean, Ends(closed_finish=False)) == pytest.approx((0.0, 1000 * c))


def test_free_ends_and_a_long_lean_leave_no_run() -> None:
    with pytest.raises(ImpossibleDesignError, match="lean"):
        run_of(SQUARE, SQUARE, math.radians(60.0), Ends(closed_start=False, closed_finish=False))


@pytest.mark.parametrize("lean_deg", [50.0, 60.0])
def test_uprights_along_the_rails_are_refused(lean_deg: float) -> None:
    """The rake is 41.6 degrees: uprights leaning 48.4 up the stair would lie along it."""
    with pytest.raises(ImpossibleDesignError, match="lie along the rails"):
        laid(infill=leaning(math.radians(lean_deg)))


def test_square_to_the_rake_is_square_to_the_rail() -> None:
    design = laid(infill=leaning(Leaning.SQUARE))
    whole = [u for u in design.uprights if set(u.outline.labels) == {"base", "right", "rail", "left"}]
    depth = (design.handrail.bottom.z0 - design.base_rail.top.z0) * math.cos(THETA) + 10.0 + 10.0
    for upright in whole:
        us = [Axes.of(upright.lean).t(point) for point in upright.outline.points]
        assert max(us) - min(us) == pytest.approx(depth, abs=1e-6)
        assert upright.lean == pytest.approx(-THETA)


def test_corner_pieces_die_into_the_newels_at_both_ends() -> None:
    """Run from corner to corner: L cos + H sin, with H the plumb height of the field seen."""
    design = laid(infill=leaning(Leaning.SQUARE))
    height = design.handrail.bottom.z0 - design.base_rail.top.z0
    run = 2610.0 / math.cos(THETA) + height * math.sin(THETA)
    assert design.bay.run == pytest.approx(run, abs=1e-6)
    first, last = design.uprights[0], design.uprights[-1]
    assert first.outline.edge("start") is not None
    assert first.outline.edge("rail") is None
    assert last.outline.edge("finish") is not None
    assert last.outline.edge("base") is None
    assert first.gap_before == pytest.approx(last.gap_after)
    assert [piece.mark for piece in design.uprights][:2] == ["U01", "U02"]


def test_a_strip_too_small_to_make_is_left_out_and_its_gap_runs_on() -> None:
    """An odd end so small that the corner piece would show less than 15: the next gap reaches to the corner.

    The height seen at s from the corner is s tan(90 - rake) = s 225 / 200 for a piece square to the rake.
    """
    wide = laid(infill=leaning(Leaning.SQUARE))
    run, width = wide.bay.run, 10.0
    count = 31
    module = (run - width) / (count - 1)
    infill = UprightsBrief(
        Shape.RECTANGULAR,
        width,
        width,
        Leaning.SQUARE,
        SpacingBrief(Spread.MODULE, module=module, count=count),
    )
    design = laid(infill=infill)
    assert width * 225.0 / 200.0 < 15.0
    assert len(design.uprights) == count - 2
    assert design.uprights[0].gap_before == pytest.approx(module, abs=1e-6)
    assert design.uprights[-1].gap_after == pytest.approx(module, abs=1e-6)


@pytest.mark.parametrize("lean", [0.0, math.radians(-20.0), math.radians(10.0)])
def test_the_last_upright_at_a_free_end_stands_whole(lean: float) -> None:
    flight = regular_flight()
    design = laid(
        flight, bottom=FreeEnd(Station("N1"), 30.0), top=FreeEnd(Station("N13"), 0.0), infill=leaning(lean)
    )
    for upright in (design.uprights[0], design.uprights[-1]):
        assert set(upright.outline.labels) == {"base", "right", "rail", "left"}
    lowest = min(u for u, _ in design.uprights[0].outline.points)
    assert lowest == pytest.approx(30.0, abs=1e-6)
    assert max(u for u, _ in design.uprights[-1].outline.points) == pytest.approx(2700.0, abs=1e-6)
    assert design.uprights[0].gap_before == 0.0


@pytest.mark.parametrize(
    ("layers", "housed", "from_middle"),
    [
        (1, (1,), 0.0),
        (2, (1,), 9.0),
        (2, (2,), -9.0),
        (2, (1, 2), 0.0),
        (3, (1,), 18.0),
        (3, (2,), 0.0),
        (3, (1, 2), 9.0),
        (3, (2, 3), -9.0),
        (3, (1, 2, 3), 0.0),
    ],
)
@pytest.mark.parametrize("side", list(Side))
def test_uprights_stand_in_the_layers_that_hold_them(
    layers: int, housed: tuple[int, ...], from_middle: float, side: Side
) -> None:
    """Layers of 18, counted from the walking side: halves of the stack by hand."""
    making = replace(STACK, layers=layers, member_layers=housed)
    thickness = 18.0 * len(housed)
    rail = replace(PLAIN_RAIL, width=18.0 * layers)
    design = laid(
        making=making, side=side, rail=rail, infill=UprightsBrief(Shape.RECTANGULAR, 41.0, thickness)
    )
    assert {piece.y for piece in design.uprights} == {side.towards_stair * from_middle}
    assert infill_y(design.brief) == side.towards_stair * from_middle
    assert making.room == thickness


def test_the_run_off_centre_is_measured_off_centre() -> None:
    """A newel twisted 4 degrees: 9 mm towards the left its face lies 9 tan 4 further down the stair."""
    twist = math.radians(4.0)
    flight = regular_flight(posts=(PostFacts("foot", FOOT_POST, 800.0, 90.0, 90.0, twist=twist),))
    infill = UprightsBrief(Shape.RECTANGULAR, 41.0, 18.0)
    runs = {}
    for housed in ((1,), (2,)):
        making = replace(STACK, layers=2, member_layers=housed)
        design = laid(flight, making=making, side=Side.RIGHT, bottom=ExistingNewel("foot"), infill=infill)
        runs[housed] = design.bay.run
    assert runs[1,] - runs[2,] == pytest.approx(18.0 * math.tan(twist), abs=1e-6)


def test_bored_uprights_end_square_below_the_shallow_side() -> None:
    """Plumb, 41 wide: the foot lies 12 below the lower of the two points where its sides enter the rail."""
    making = Bored(rail_depth=20.0, base_depth=12.0)
    design = laid(making=making, infill=UprightsBrief(Shape.ROUND, 41.0, 41.0))
    upright = design.uprights[3]
    base, rail = design.base_rail.top, design.handrail.bottom
    zs = sorted({round(z, 9) for _, z in upright.outline.points})
    assert zs == pytest.approx([base.at(upright.u - 20.5) - 12.0, rail.at(upright.u + 20.5) + 20.0], abs=1e-6)
    assert upright.foot[1] == pytest.approx(zs[0], abs=1e-6)


def test_seat_depths_by_making() -> None:
    bored = Bored(20.0, 12.0)
    assert (rail_seat_depth(STACK), base_seat_depth(STACK)) == (30.0, 15.0)
    assert (rail_seat_depth(bored), base_seat_depth(bored)) == (20.0, 12.0)
    plain = plain_brief(regular_flight()).making
    assert (rail_seat_depth(plain), base_seat_depth(plain)) == (10.0, 10.0)


def test_a_turned_upright_is_thinnest_at_its_neck() -> None:
    profile = ((0.0, 41.0), (80.0, 22.0), (300.0, 38.0))
    infill = UprightsBrief(Shape.TURNED, 41.0, 41.0, profile=profile, turned_from=150.0)
    design = laid(infill=infill)
    upright = design.uprights[0]
    assert upright.narrowest == 22.0
    assert upright.profile == ((150.0, 41.0), (230.0, 22.0), (450.0, 38.0))
    for a, b in pairwise(design.uprights):
        assert a.gap_after + 41.0 - 22.0 <= 99.0 + 1e-6
        assert b.gap_before == pytest.approx(a.gap_after, abs=1e-6)


def test_a_newel_that_leans_makes_a_wedge_and_the_limit_holds_at_its_wide_end() -> None:
    """30 mm in a metre over a field about 700 high: the first gap is 21 wider above than below."""
    facts = PostFacts("foot", FOOT_POST, 800.0, 90.0, 90.0, lean_along=-0.03)
    flight = regular_flight(posts=(facts,))
    design = laid(flight, bottom=ExistingNewel("foot"))
    first = design.uprights[0]
    left = first.foot[0] - 20.5
    low, high = design.bay.sight[0][0], design.bay.sight[3][0]
    assert left - high == pytest.approx(first.gap_before, abs=1e-6)
    assert left - high <= 99.0
    assert left - low < left - high - 15.0


def test_nothing_between_the_ends_is_one_sentence() -> None:
    flight = regular_flight()
    brief: Brief = plain_brief(flight, top=FreeEnd(Station("N1", -100.0)))
    with pytest.raises(ImpossibleDesignError, match="no field"):
        compose(flight, brief, LIMITS)
