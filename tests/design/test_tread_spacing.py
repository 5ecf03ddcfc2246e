"""Uprights spread tread by tread and their feet, worked by hand."""

from dataclasses import replace

import pytest
from tests.strategies_stairs import LIMITS, PLAIN_BASE, newel, plain_brief, regular, regular_flight
from tests.strategies_treads import GROOVED_HEAD, METAL, cut_flight, per_tread, tread_brief

from pitchline.design.brief import (
    Foot,
    FreeEnd,
    Leaning,
    SpacingBrief,
    Spread,
    Station,
    TreadFoot,
    TreadPlace,
)
from pitchline.design.compose import compose
from pitchline.design.model import Design
from pitchline.kit.errors import ImpossibleDesignError
from pitchline.kit.finding import Verdict
from pitchline.stair.model import LegKind
from pitchline.stair.treads import treads_of


def design(**changes: object) -> Design:
    flight = cut_flight()
    return compose(flight, tread_brief(flight, **changes), LIMITS)


def said(made: Design, code: str) -> list[str]:
    return [finding.text for finding in made.findings if finding.code == code]


def test_the_first_of_a_tread_is_flush_with_the_riser_below_and_the_second_half_a_going_on() -> None:
    made = design()
    fourth = treads_of(made.flight)[4]
    first, second = (u for u in made.uprights if fourth.front <= u.u < fourth.back)
    assert first.u - 16.0 == pytest.approx(fourth.riser)
    assert second.u - first.u == pytest.approx(240.0 / 2)


def test_in_the_middle_of_its_share_each_stands_at_quarters_of_the_going() -> None:
    made = design(infill=per_tread(2, TreadPlace.SHARES))
    fourth = treads_of(made.flight)[4]
    middles = [u.u - fourth.riser for u in made.uprights if fourth.front <= u.u < fourth.back]
    assert middles == pytest.approx([60.0, 180.0])


def test_each_tread_shares_its_own_going() -> None:
    """Gaps on a tread are its going over two, less the width of an upright."""
    made = design()
    gaps = {round(u.gap_after, 3) for u in made.uprights[1:-1]}
    assert gaps == {round(going / 2 - 32.0, 3) for going in (229.0, 221.0, 240.0, 224.0, 228.0)}


def test_feet_stand_on_their_own_treads_and_heads_go_into_the_handrail() -> None:
    made = design()
    treads = treads_of(made.flight)
    for upright in made.uprights:
        tread = next(tread for tread in treads if tread.front <= upright.u < tread.back)
        edge = upright.outline.edge("tread")
        assert edge is not None
        assert [z for _, z in edge] == pytest.approx([tread.surface.z0] * 2)
        assert upright.outline.edge("rail") is not None
        seat = made.handrail.seat
        assert seat is not None
        assert max(z - seat.at(u) for u, z in upright.outline.points) == pytest.approx(0.0, abs=1e-9)


def test_long_and_short_uprights_differ_by_half_the_rise_under_a_rail_at_the_pitch() -> None:
    flight = cut_flight(regular(9, 180.0, 240.0, margin=None))
    made = compose(flight, tread_brief(flight), LIMITS)
    lengths = [u.outline.points[1][1] - u.outline.points[0][1] for u in made.uprights]
    short, long = min(lengths), max(lengths)
    assert long - short == pytest.approx(180.0 / 2)


def test_what_would_clash_with_a_newel_is_left_out() -> None:
    """The newel on the first tread covers from 15 to 105, the first upright's place from 22 to 54."""
    made = design()
    assert made.uprights[0].u - 16.0 == pytest.approx(22.0 + 226.0 / 2)
    assert all(u.gap_before >= 0.0 and u.gap_after >= 0.0 for u in made.uprights)


def test_over_a_floor_the_pattern_goes_on_only_where_the_gap_would_be_too_wide() -> None:
    """A newel 300 mm before the first nosing leaves 277 mm to the first riser: two more stand on the floor."""
    made = design(bottom=newel("N1", offset=-300.0))
    floor = [upright for upright in made.uprights if upright.u < 0.0]
    assert len(floor) == 2
    assert all(min(z for _, z in u.outline.points) == pytest.approx(0.0) for u in floor)
    assert max(u.gap_before for u in made.uprights) < 99.0


def test_the_program_takes_the_fewest_that_hold_on_the_widest_tread() -> None:
    """240 / 2 - 18 = 102 passes 99, so three stand on every tread."""
    made = design(infill=per_tread(width=18.0))
    assert "three to a tread, the fewest that keep the limit" in made.bay.spacing_note


def test_a_going_too_wide_for_the_count_asked_is_told_with_tread_amount_and_remedy() -> None:
    made = design(infill=per_tread(2, width=18.0))
    (text,) = said(made, "design.spacing.tread")
    assert "240.0 mm at tread 4" in text
    assert "openings of 102.0 mm, 3.0 mm over the 99.0 mm" in text
    assert "3 to a tread would hold everywhere" in text
    (verdict,) = [f.verdict for f in made.findings if f.code == "design.spacing.tread"]
    assert verdict is Verdict.FAIL


def test_equal_gaps_on_treads_may_leave_a_foot_across_a_nosing() -> None:
    square = replace(design().brief.uprights, spacing=SpacingBrief(Spread.EQUAL))
    assert "across a nosing" in said(design(infill=square), "design.tread.foot")[0]
    assert said(design(), "design.tread.foot") == []


def test_per_tread_over_a_closed_string_stands_on_the_base_rail() -> None:
    flight = regular_flight()
    made = compose(flight, plain_brief(flight, infill=per_tread(2)), LIMITS)
    places = [u.u - 16.0 for u in made.uprights]
    assert all(min(abs(place - k * 112.5) for k in range(30)) < 1e-6 for place in places)
    assert all(u.outline.edge("base") is not None for u in made.uprights)


def test_along_a_level_edge_the_gaps_are_equal() -> None:
    level = replace(cut_flight(), kind=LegKind.LEVEL, nosings=((0.0, 0.0), (1500.0, 0.0)))
    brief = tread_brief(level, bottom=newel("N1"), top=newel("N2"))
    made = compose(level, brief, LIMITS)
    assert len({round(u.gap_after, 6) for u in made.uprights}) == 1
    assert {min(z for _, z in u.outline.points) for u in made.uprights} == {0.0}


def test_dovetails_and_metal_bars_reach_into_the_treads() -> None:
    tail = replace(GROOVED_HEAD, foot=TreadFoot.DOVETAIL, depth=18.0)
    for making, depth in ((tail, 18.0), (METAL, 15.0)):
        made = design(making=making)
        fourth = treads_of(made.flight)[4]
        held = [u for u in made.uprights if fourth.front <= u.u < fourth.back]
        assert {round(fourth.surface.z0 - min(z for _, z in u.outline.points), 6) for u in held} == {depth}
        assert all(min(z for _, z in u.sight) == pytest.approx(fourth.surface.z0) for u in held)


def test_a_free_end_leaves_the_last_upright_whole() -> None:
    made = design(bottom=FreeEnd(Station("N1", 10.0)), top=newel("N7", offset=22.0))
    assert made.uprights[0].u - 16.0 == pytest.approx(22.0)
    assert made.uprights[0].gap_before == pytest.approx(12.0)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"infill": per_tread(lean=Leaning.SQUARE)}, "stand plumb"),
        ({"base": PLAIN_BASE}, "closed string|no base rail"),
        ({"making": GROOVED_HEAD.head}, "say how they are joined"),
    ],
)
def test_what_cannot_be_is_told_in_a_sentence(changes: dict[str, object], words: str) -> None:
    with pytest.raises(ImpossibleDesignError, match=words):
        design(**changes)


@pytest.mark.parametrize("step", [1, 2, 3])
def test_a_newel_may_stand_on_step_one_two_or_three(step: int) -> None:
    """Its foot is at the nosing's height, and the uprights begin behind it."""
    made = design(bottom=newel(f"N{step}", offset=60.0, foot=Foot.TREAD))
    z = made.flight.nosings[step - 1][1]
    assert made.posts[0].foot[2] == pytest.approx(z)
    assert made.posts[0].stands == f"on the tread of N{step}"
    assert min(u.u for u in made.uprights) > made.posts[0].foot[0] + 45.0


def test_where_the_next_would_clash_with_a_newel_one_more_stands_in_the_middle_of_the_gap() -> None:
    """The last on tread 3 ends at 555.5; the next would stand from 645 to 663, but the newel's face is at 655."""
    regular_steps = cut_flight(regular(4, 165.0, 215.0, margin=None), overhang=0.0)
    brief = tread_brief(regular_steps, infill=per_tread(2, width=18.0), top=newel("N4", offset=55.0))
    made = compose(regular_steps, brief, LIMITS)
    assert made.uprights[-1].gap_before == pytest.approx((655.0 - 555.5 - 18.0) / 2)
    assert made.uprights[-1].gap_before == pytest.approx(made.uprights[-1].gap_after)
    assert max(u.gap_after for u in made.uprights) <= 99.0
