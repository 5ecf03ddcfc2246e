"""Openings between strands and through slots against closed forms, and cables against the figures of the trade.

The largest circle between two pairs of parallel lines is as wide as the narrower pair (elementary geometry). Step
sizes are limits of Approved Document K 2013 Table 1.1 and of IRC 2021 R311.7.5, and a usual one. Guides of the trade,
read second hand, put cables 3 in apart, centre to centre, so that n = H / 3 - 1 of them fill a clear height of H in;
on the rake the clear gap is the plumb spacing times the cosine of the pitch. The ideal string is Courant and
Hilbert's (Methods of Mathematical Physics I, chapter V; from memory).
"""

import math
from dataclasses import replace
from itertools import pairwise

import pytest
from tests.builders import ENGLAND
from tests.strategies_stairs import LIMITS, plain_brief, regular_flight

from pitchline.checks.openings import find_openings
from pitchline.design.brief import (
    BaseBrief,
    BaseSeat,
    Grooved,
    PanelKind,
    PanelsBrief,
    RailBrief,
    SpacingBrief,
    StrandKind,
    StrandsBrief,
)
from pitchline.design.compose import compose
from pitchline.design.infill.strands import opening_allowed
from pitchline.design.makings import BetweenPosts
from pitchline.design.spacing import Run, lay_out
from pitchline.kit.tolerances import BALL
from pitchline.kit.units import MM_PER_INCH

STEPS = [
    (220.0, 220.0 / math.tan(math.radians(42.0))),
    (150.0, 300.0),
    (7.75 * 25.4, 10.0 * 25.4),
    (200.0, 225.0),
]
BASE = BaseBrief(70.0, 30.0, BaseSeat.CLEAR)
RAIL = RailBrief(70.0, 50.0, 950.0)


@pytest.mark.parametrize(("rise", "going"), STEPS)
@pytest.mark.parametrize("count", [3, 7])
def test_the_ball_between_strands_is_their_gap(rise: float, going: float, count: int) -> None:
    """The clear height between the rails is h cos p for a plumb h; n strands of d leave (h cos p - n d) / (n + 1)."""
    flight = regular_flight(10, rise, going, None)
    infill = StrandsBrief(StrandKind.ROD, 12.0, 12.0, SpacingBrief(count=count), material="steel")
    design = compose(
        flight, plain_brief(flight, infill=infill, making=BetweenPosts(), base=BASE, rail=RAIL), LIMITS
    )
    pitch = math.atan2(rise, going)
    plumb = design.handrail.bottom.z0 - design.base_rail.top.z0
    gap = (plumb * math.cos(pitch) - 12.0 * count) / (count + 1)
    balls = [o.ball.diameter for o in find_openings(design, ENGLAND) if o.where.startswith("between")]
    assert len(balls) == count + 1
    assert balls == pytest.approx([gap] * (count + 1), abs=2 * BALL)


@pytest.mark.parametrize(("rise", "going"), STEPS)
@pytest.mark.parametrize(("slot", "slat"), [(60.0, 40.0), (400.0, 120.0)])
def test_the_ball_through_a_slot_is_its_narrower_way(
    rise: float, going: float, slot: float, slat: float
) -> None:
    """Plumb sides ``slot`` apart, raking ends as far apart as the rails, less a slat at both."""
    flight = regular_flight(10, rise, going, None)
    infill = PanelsBrief(PanelKind.SLATTED, 12.0, edge_gap=3.0, slat=slat, slot=slot)
    brief = plain_brief(
        flight, infill=infill, making=Grooved(12.0, 10.0, 6.0), base=BASE, rail=replace(RAIL, height=900.0)
    )
    design = compose(flight, brief, LIMITS)
    pitch = math.atan2(rise, going)
    plumb = design.handrail.bottom.z0 - design.base_rail.top.z0
    expected = min(slot, plumb * math.cos(pitch) - 2 * slat)
    balls = [o.ball.diameter for o in find_openings(design, ENGLAND) if o.where.startswith("through")]
    assert balls
    assert balls == pytest.approx([expected] * len(balls), abs=2 * BALL)


@pytest.mark.parametrize("height", [24, 27, 30, 33, 36, 39, 42])
def test_as_many_cables_as_the_trade_counts(height: int) -> None:
    """n = H / 3 - 1, for cables of 3/16 in."""
    thick = 3 / 16 * MM_PER_INCH
    infill = StrandsBrief(StrandKind.CABLE, thick, thick, pull=1000.0, material="steel")
    brief = plain_brief(regular_flight(), infill=infill, making=BetweenPosts())
    allowed = opening_allowed(brief, infill, (4 * MM_PER_INCH, None), 2000.0)
    layout = lay_out(Run(height * MM_PER_INCH, thick, thick), allowed, infill.spacing)
    assert len(layout.centres) == height // 3 - 1


@pytest.mark.parametrize(("rise", "going"), STEPS)
def test_plumb_spacing_times_the_cosine_is_the_spacing_square_to_them(rise: float, going: float) -> None:
    flight = regular_flight(10, rise, going, None)
    infill = StrandsBrief(StrandKind.CABLE, 5.0, 5.0, pull=1000.0, material="steel")
    brief = plain_brief(flight, infill=infill, making=BetweenPosts(), base=BASE, rail=RAIL)
    design = compose(flight, brief, LIMITS)
    for low, high in pairwise(design.strands):
        plumb = high.line.at(500.0) - low.line.at(500.0)
        assert low.gap_above + 5.0 == pytest.approx(plumb * math.cos(math.atan2(rise, going)))


@pytest.mark.parametrize(("push", "span", "pull"), [(50.0, 900.0, 1000.0), (100.0, 600.0, 2000.0)])
def test_the_solver_leaves_what_two_ideal_strings_give(push: float, span: float, pull: float) -> None:
    """2 F L / (4 T), to within the second order of F / 2T."""
    infill = StrandsBrief(StrandKind.CABLE, 5.0, 5.0, pull=pull, apart=span, push=push, material="steel")
    brief = replace(plain_brief(regular_flight()), infill=infill, making=BetweenPosts(), build_tolerance=0.0)
    left = 100.0 - opening_allowed(brief, infill, (100.0, None), 3 * span)
    assert left == pytest.approx(2 * push * span / (4 * pull), rel=(push / pull) ** 2)
