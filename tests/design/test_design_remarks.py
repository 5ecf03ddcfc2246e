"""What the design step has to say: each sentence with its figures, and silence where there is nothing to say."""

import math
import re
from dataclasses import replace

import pytest
from tests.strategies_stairs import (
    FOOT_POST,
    LIMITS,
    PLAIN_BASE,
    PLAIN_RAIL,
    PLAIN_UPRIGHTS,
    Sizes,
    flight_of,
    newel,
    plain_brief,
    regular_flight,
)

from pitchline.design.brief import (
    BaseBrief,
    BaseSeat,
    Bored,
    Centred,
    ExistingNewel,
    Grooved,
    Leaning,
    RailBrief,
    Shape,
    SpacingBrief,
    Spread,
    Stacked,
    UprightsBrief,
)
from pitchline.design.compose import compose
from pitchline.design.limits import Limits
from pitchline.design.section_remarks import bore_reach
from pitchline.kit.finding import Finding, Verdict
from pitchline.kit.units import Unit
from pitchline.kit.words import show_in
from pitchline.stair.facts import PostFacts
from pitchline.stair.model import Flight

HOLLOW = Sizes((200.0, 170.0, 230.0, 200.0, 200.0), (250.0,) * 4, (260.0, 0.8))
FREE_RAIL = replace(PLAIN_RAIL, height=None)


def said(flight: Flight | None = None, limits: Limits = LIMITS, **changes: object) -> dict[str, Finding]:
    flight = flight or regular_flight()
    told = compose(flight, plain_brief(flight, **changes), limits).findings
    findings = [finding for finding in told if finding.code != "design.choices"]
    assert len({finding.code for finding in findings}) == len(findings) or changes
    return {finding.code: finding for finding in findings}


def test_a_regular_stair_plainly_built_needs_no_remark() -> None:
    """But on the season: nothing was said of it, and only rods of steel stand still in it.

    The layouts to choose from are no remark on a fault; they are tested by themselves.
    """
    assert said().keys() == {"design.season"}
    assert said(infill=replace(PLAIN_UPRIGHTS, material="steel")) == {}


def test_a_wished_height_that_cannot_be_everywhere() -> None:
    finding = said(flight_of(HOLLOW), rail=replace(PLAIN_RAIL, height=950.0))["design.rail.wish"]
    assert finding.verdict is Verdict.REPORT
    assert "between 935.0 and 965.0 mm" in finding.text
    assert finding.limit == 950.0


def test_a_wish_that_is_met_is_not_spoken_of() -> None:
    assert "design.rail.wish" not in said(rail=replace(PLAIN_RAIL, height=950.0))


def test_a_wish_outside_the_window_asks_for_the_whole_rail_to_move() -> None:
    """1020 wished where 900 to 1000 is allowed: the middle of what is allowed lies 70 lower."""
    finding = said(rail=replace(PLAIN_RAIL, height=1020.0))["design.rail.height"]
    assert finding.verdict is Verdict.FAIL
    assert "misses its window by 20.0 mm" in finding.text
    assert "lower the whole rail by 70 mm" in finding.text
    assert "leave the rail's height out" in finding.text
    assert finding.limit == 1000.0


def test_a_wish_too_low_where_there_is_no_upper_limit() -> None:
    finding = said(limits=Limits(900.0, None, 100.0), rail=replace(PLAIN_RAIL, height=880.0))[
        "design.rail.height"
    ]
    assert "raise the whole rail by 20 mm" in finding.text
    assert finding.limit == 900.0


def test_where_no_straight_rail_holds_the_figure_for_the_treads_is_enough() -> None:
    """A hollow of 30 in a window of 12: 18 too much, and a tread raised by those 18 lets a straight rail hold."""
    limits = Limits(900.0, 912.0, 100.0)
    finding = said(flight_of(HOLLOW), limits, rail=FREE_RAIL)["design.rail.height"]
    assert "depart from a line by 30 mm over a window of 12 mm" in finding.text
    figure = re.search(r"correct the finished treads by (\d+) mm", finding.text)
    assert figure is not None
    assert int(figure[1]) in {18, 19}
    raised = float(figure[1])
    mended = Sizes((200.0, 170.0 + raised, 230.0 - raised, 200.0, 200.0), (250.0,) * 4, (260.0, 0.8))
    assert "design.rail.height" not in said(flight_of(mended), limits, rail=FREE_RAIL)


def test_a_rail_may_be_broken_at_a_kink() -> None:
    kinked = Sizes((150.0,) * 4 + (200.0,) * 4, (250.0,) * 7, (260.0, 0.7))
    limits = Limits(900.0, 940.0, 100.0)
    text = said(flight_of(kinked), limits, rail=FREE_RAIL)["design.rail.height"].text
    assert "break the rail on a newel at nosing 4, where two straight pieces hold with 20 mm to spare" in text
    assert 'seat = "packed"' in text
    packed = replace(PLAIN_BASE, seat=BaseSeat.PACKED)
    other = said(flight_of(kinked), limits, rail=FREE_RAIL, base=packed)["design.rail.height"]
    assert 'seat = "packed"' not in other.text


def test_an_existing_newel_that_is_too_short() -> None:
    """The rail's top over the newel's middle at -105: 1100 - 105 x 200/225 = 1006.7; the newel ends at 990."""
    facts = PostFacts("foot", FOOT_POST, 800.0, 90.0, 90.0, top_height=990.0)
    finding = said(regular_flight(posts=(facts,)), bottom=ExistingNewel("foot"))["design.newel.short"]
    assert finding.verdict is Verdict.FAIL
    assert "ends 17 mm below the top of the rail" in finding.text


def test_uprights_that_do_not_fit() -> None:
    infill = replace(PLAIN_UPRIGHTS, spacing=SpacingBrief(count=70))
    finding = said(infill=infill)["design.spacing.room"]
    assert finding.verdict is Verdict.FAIL
    assert "wider than the run" in finding.text


def test_a_neck_that_no_spacing_can_guard() -> None:
    turned = UprightsBrief(Shape.TURNED, 120.0, 120.0, profile=((0.0, 120.0), (100.0, 20.0)))
    rail, base = replace(PLAIN_RAIL, width=140.0), replace(PLAIN_BASE, width=140.0)
    finding = said(infill=turned, rail=rail, base=base)["design.spacing.neck"]
    assert "100 mm thinner at the neck" in finding.text


def test_odd_ends_too_small_and_too_large() -> None:
    """A run of 2610, uprights of 41, an upright on the middle.

    Module 135: 19 reach 2471, odd ends of 69.5. Module 106: 25 reach 2585, odd ends of 12.5. Module 139: 19
    reach 2543, odd ends of 33.5; with a gap on the middle 18 reach 2404, odd ends of 103 where 99 is allowed.
    """

    def ends(module: float, centred: Centred = Centred.MEMBER) -> list[Finding]:
        spacing = SpacingBrief(Spread.MODULE, module=module, centred=centred)
        found = said(infill=replace(PLAIN_UPRIGHTS, spacing=spacing))
        return [finding for code, finding in found.items() if code == "design.spacing.end"]

    assert ends(135.0) == []
    assert ends(139.0) == []
    (small,) = ends(106.0)
    assert "only 12.5 mm against 65.0 mm" in small.text
    (wide,) = ends(139.0, Centred.GAP)
    assert "comes out at 103.0 mm, more than the 99.0 mm" in wide.text
    assert wide.verdict is Verdict.ADVICE


@pytest.mark.parametrize(
    ("making", "depth", "words"),
    [
        (Grooved(10.0, 28.0, 6.0), 30.0, "Only 2.0 mm of wood is left behind the housing"),
        (Grooved(10.0, 30.0, 6.0), 30.0, "Only 0.0 mm of wood is left behind the housing"),
    ],
)
def test_thin_wood_behind_a_groove(making: Grooved, depth: float, words: str) -> None:
    finding = said(making=making, base=replace(PLAIN_BASE, depth=depth))["design.section.thin"]
    assert words in finding.text
    assert finding.verdict is (Verdict.FAIL if "0.0" in words else Verdict.ADVICE)
    assert "base rail" in finding.where


def test_thin_wood_beside_a_groove() -> None:
    finding = said(rail=replace(PLAIN_RAIL, width=47.0))["design.section.thin"]
    assert "Only 3.0 mm of wood is left beside the groove: choose a larger handrail" in finding.text


def test_depth_of_a_raking_bore_by_hand() -> None:
    """3-4-5: 12 deep, 40 wide: on the centre line 12 + 20 x 3/4 = 27; square 27 x 4/5 and half the bottom x 3/5."""
    turn = math.atan2(3.0, 4.0)
    assert bore_reach(12.0, 40.0, 40.0, turn) == pytest.approx(27.0 * 0.8 + 20.0 * 0.6)
    assert bore_reach(12.0, 40.0, 40.0, -turn) == pytest.approx(27.0 * 0.8 + 20.0 * 0.6)
    assert bore_reach(12.0, 40.0, 41.0, 0.0) == 12.0


def test_a_plumb_bore_that_cuts_through_a_thin_base_rail() -> None:
    """12 deep along the upright looks safe in a rail of 30; 41 wide at 41.6 degrees it comes out below."""
    round_ones = UprightsBrief(Shape.ROUND, 41.0, 41.0)
    plumb = said(making=Bored(20.0, 12.0), infill=round_ones)["design.section.thin"]
    assert plumb.verdict is Verdict.FAIL
    square = said(making=Bored(20.0, 12.0), infill=replace(round_ones, lean=Leaning.SQUARE))
    assert "design.section.thin" not in square


def test_uprights_thinner_or_thicker_than_their_layers() -> None:
    making = Stacked(3, 18.0, (2,), 30.0, 15.0)
    rail, base = replace(PLAIN_RAIL, width=54.0), replace(PLAIN_BASE, width=54.0)

    def fit(thickness: float) -> Finding | None:
        infill = UprightsBrief(Shape.RECTANGULAR, 41.0, thickness)
        return said(making=making, infill=infill, rail=rail, base=base).get("design.stack.fit")

    thin, thick = fit(16.0), fit(20.0)
    assert thin is not None
    assert thick is not None
    assert thin.verdict is Verdict.ADVICE
    assert "1.0 mm back on each side" in thin.text
    assert thick.verdict is Verdict.FAIL
    assert "do not go in" in thick.text
    assert fit(18.0) is None


def test_a_rail_wider_than_its_newel() -> None:
    found = compose(
        regular_flight(), plain_brief(regular_flight(), bottom=newel("N1", 60.0)), LIMITS
    ).findings
    proud = [finding for finding in found if finding.code == "design.rail.proud"]
    assert len(proud) == 2
    assert "10.0 mm wider than the newel" in proud[0].text
    assert "5.0 mm of end grain on each side" in proud[0].text


def test_a_string_below_the_nosings_brings_the_base_rail_into_the_treads() -> None:
    """The string lies 12 below the nosings; a base rail no wider than it (32) passes beside the treads."""
    flight = regular_flight(margin=-12.0)
    finding = said(flight)["design.base_rail.nosing"]
    assert "lies 12.0 mm below nosing" in finding.text
    narrow = replace(PLAIN_BASE, width=32.0)
    slim = replace(PLAIN_UPRIGHTS, thickness=18.0)
    assert "design.base_rail.nosing" not in said(flight, base=narrow, infill=slim)
    clear = BaseBrief(70.0, 30.0, BaseSeat.CLEAR, clearance=30.0)
    assert "design.base_rail.nosing" not in said(flight, base=clear)


def test_short_pieces_are_not_held_by_hand() -> None:
    """Square to the rake with half gaps at the ends, the corner pieces are about 100 long (tan of 48.4 degrees)."""
    infill = replace(PLAIN_UPRIGHTS, lean=Leaning.SQUARE, spacing=SpacingBrief(Spread.HALF_ENDS))
    found = said(infill=infill)
    assert "never held by hand at the saw" in found["design.piece.short"].text


def test_the_rail_of_most_margin_needs_no_wish() -> None:
    assert said(flight_of(HOLLOW), rail=RailBrief(70.0, 59.0)).keys() == {"design.season"}


def test_a_job_in_inches_is_told_inches() -> None:
    """20 mm are 25.2/32 in, up to the next sixteenth 13/16; 59 - 30 = 29 mm of wood need no remark, 2 mm do."""
    flight, limits = regular_flight(), Limits(900.0, None, 100.0)
    thin = {"making": Grooved(10.0, 28.0, 6.0), "base": replace(PLAIN_BASE, depth=30.0)}
    brief = plain_brief(flight, rail=replace(PLAIN_RAIL, height=880.0), **thin)
    findings = compose(flight, brief, limits, show_in(Unit.INCH)).findings
    texts = {finding.code: finding.text for finding in findings}
    assert 'raise the whole rail by 13/16"' in texts["design.rail.height"]
    assert 'Only 3/32" of wood is left' in texts["design.section.thin"]
    assert not [text for text in texts.values() if re.search(r"\bmm\b", text)]
    plain = compose(flight, brief, limits).findings
    assert [replace(one, text="") for one in plain] == [replace(one, text="") for one in findings]


def test_of_heights_equally_far_from_the_wish_the_lowest_is_named() -> None:
    finding = said(flight_of(HOLLOW), rail=replace(PLAIN_RAIL, height=950.0))["design.rail.wish"]
    assert finding.measured == pytest.approx(935.0)
