"""Openings by name, by limit and by uncertainty. Limits: Approved Document K 1.39; IRC 2021 R312.1.3."""

from dataclasses import replace

import pytest
from tests.builders import (
    ENGLAND,
    US_2021,
    HandBuilt,
    changed_infill,
    even,
    full_length,
    hand_built,
    with_figure,
    with_word,
    without,
)
from tests.strategies_stairs import regular_flight

from pitchline.catalogue.rules import RuleSet
from pitchline.checks.openings import OpeningKind, find_openings, limit_figure
from pitchline.checks.setting_out import rail_height_expanded
from pitchline.checks.triangles import triangle_share
from pitchline.design.brief import SpacingBrief, Spread
from pitchline.design.model import BarRole, Design
from pitchline.kit.finding import Verdict
from pitchline.kit.geometry.lines import Line
from pitchline.kit.geometry.outlines import area

FLIGHT = regular_flight(5, 200.0, 250.0, None)


def design(gap: float = 90.0, lift: float = 30.0, run_sigma: float = 0.0) -> Design:
    return hand_built(HandBuilt(even(3, gap), lift=lift, run_sigma=run_sigma), FLIGHT)


def test_every_gap_is_named_from_the_foot() -> None:
    found = [o.where for o in find_openings(design(), ENGLAND) if o.kind is OpeningKind.INFILL]
    assert found == ["between P1 and U01", "between U01 and U02", "between U02 and U03", "between U03 and P2"]


def test_each_gap_is_its_own_outline() -> None:
    for opening in find_openings(design(), ENGLAND):
        if opening.kind is OpeningKind.INFILL:
            assert area(opening.outline) == pytest.approx(90.0 * (950.0 - 60.0 - 30.0 - 40.0), abs=0.5)


def test_a_run_without_uprights_is_one_opening() -> None:
    open_bay = replace(design(), uprights=())
    found = [o for o in find_openings(open_bay, ENGLAND) if o.kind is OpeningKind.INFILL]
    assert [o.where for o in found] == ["between P1 and P2"]
    assert found[0].verdict is Verdict.FAIL


def test_openings_under_the_base_rail_are_named_by_their_step() -> None:
    flight = regular_flight(4, 200.0, 250.0, None)
    sizes = HandBuilt((*full_length(90.0, 32.0, flight), 90.0))
    found = [o for o in find_openings(hand_built(sizes, flight), ENGLAND) if o.kind is OpeningKind.UNDER]
    assert [(o.step, o.where) for o in found] == [
        (0, "under the base rail before step 1"),
        (1, "under the base rail at step 1"),
        (2, "under the base rail at step 2"),
        (3, "under the base rail at step 3"),
        (4, "under the base rail at the upper floor"),
    ]


@pytest.mark.parametrize(
    ("spread", "at_end", "inside"),
    [(Spread.EQUAL, 1 / 4, 1 / 4), (Spread.HALF_ENDS, 1 / 6, 1 / 3), (Spread.MODULE, 1 / 2, 0.0)],
)
def test_a_gap_carries_its_share_of_the_run_s_uncertainty(
    spread: Spread, at_end: float, inside: float
) -> None:
    """k = 2; the spread says how the run is divided, so the shares of all gaps add up to the run's."""
    spaced = changed_infill(
        design(run_sigma=1.2), lambda infill: replace(infill, spacing=SpacingBrief(spread=spread))
    )
    gaps = [o.expanded for o in find_openings(spaced, ENGLAND) if o.kind is OpeningKind.INFILL]
    assert gaps == pytest.approx([2.4 * at_end, 2.4 * inside, 2.4 * inside, 2.4 * at_end])
    assert sum(gaps) == pytest.approx(2.4)


def test_the_limit_inside_the_uncertainty_is_unsure() -> None:
    found = find_openings(design(gap=99.9, run_sigma=1.2), ENGLAND)
    assert {o.verdict for o in found if o.kind is OpeningKind.INFILL} == {Verdict.UNSURE}


def test_exactly_the_limit_fails_where_the_ball_must_not_pass() -> None:
    """A ball of 100 mm must not pass (Approved Document K 1.39), so a gap of 100 mm is refused."""
    inner = find_openings(design(gap=100.0), ENGLAND)[1]
    assert inner.ball.diameter == pytest.approx(100.0)
    assert find_openings(design(gap=100.0001), ENGLAND)[1].verdict is Verdict.FAIL


def test_limits_by_kind_and_place() -> None:
    kinds = (OpeningKind.INFILL, OpeningKind.LANDING, OpeningKind.UNDER)

    def limits(rules: RuleSet) -> list[float]:
        figures = [limit_figure(rules, kind) for kind in kinds]
        return [figure.value_mm for figure in figures if figure is not None]

    assert limits(ENGLAND) == [100.0, 100.0, 100.0]
    assert [limit / 25.4 for limit in limits(US_2021)] == pytest.approx([4.375, 4.0, 6.0])
    over_floor = limit_figure(US_2021, OpeningKind.UNDER, over_floor=True)
    assert over_floor is not None
    assert over_floor.id == "opening.general"
    assert limit_figure(without(ENGLAND, "opening.general"), OpeningKind.LANDING) is None


def test_beside_the_upper_floor_the_general_limit_holds() -> None:
    flight = regular_flight(3, 200.0, 250.0, None)
    far = hand_built(HandBuilt(even(8, 105.0)), flight)
    found = [o for o in find_openings(far, US_2021) if o.kind in (OpeningKind.INFILL, OpeningKind.LANDING)]
    assert {o.kind for o in found} == {OpeningKind.INFILL, OpeningKind.LANDING}
    assert {o.verdict for o in found if o.kind is OpeningKind.INFILL} == {Verdict.PASS}
    assert {o.verdict for o in found if o.kind is OpeningKind.LANDING} == {Verdict.FAIL}


def test_a_triangle_is_free_where_the_rail_is_near_enough() -> None:
    near = with_word(ENGLAND, "opening.triangle.mode", "exempt_if_rail_within")
    near = replace(
        near,
        figures={
            **near.figures,
            "opening.triangle.rail_within": replace(near.require("opening.general"), value=50.0),
        },
    )
    for lift, verdict in ((45.0, Verdict.PASS), (50.0, Verdict.UNSURE), (55.0, Verdict.FAIL)):
        at_step = [o for o in find_openings(design(lift=lift), near) if o.step == 1]
        assert [o.verdict for o in at_step] == [verdict]
        assert (at_step[0].limit is None) is (verdict is Verdict.PASS)


def test_openings_above_the_required_height_are_free_in_the_us() -> None:
    """IRC R312.1.3 speaks of openings up to the required height; a tall bay with wide gaps is cut off there."""
    tall = hand_built(HandBuilt(even(1, 300.0), height=1500.0, lift=-5.0, base_depth=30.0), FLIGHT)
    low = with_figure(US_2021, "guard.flight.height", 200.0)
    ball = next(o.ball.diameter for o in find_openings(tall, low) if o.where == "between U01 and P2")
    slope = 200.0 / 250.0
    assert ball == pytest.approx((200.0 - 25.0) / (1 + slope**2) ** 0.5, abs=0.01)
    assert next(o.ball.diameter for o in find_openings(tall, ENGLAND)) == pytest.approx(300.0, abs=0.01)


@pytest.mark.parametrize("slope", [0.5, 0.8, 1.0])
def test_the_triangle_s_share_by_its_three_sides(slope: float) -> None:
    """Legs 1 and 1/slope: a + b - hypot(a, b)."""
    a, b = 1.0, 1.0 / slope
    assert triangle_share(slope) == pytest.approx(a + b - (a * a + b * b) ** 0.5)


def test_under_a_level_rail_the_ball_grows_as_the_rail_does() -> None:
    assert triangle_share(0.0) == 1.0


def test_the_triangle_is_as_uncertain_as_the_rail_over_its_tread() -> None:
    built = design()
    opening = next(o for o in find_openings(built, ENGLAND) if o.step == 1)
    expected = triangle_share(0.8) * rail_height_expanded(built, built.base_rail.bottom, 2, "N1")
    assert opening.expanded == pytest.approx(expected)


def test_a_packer_that_runs_out_to_nothing_is_still_solid() -> None:
    """Its edges may cross by rounding at the feather edge; what it covers stays covered."""
    built = design()
    rail = built.base_rail
    foot, head = rail.start.point[0], rail.finish.point[0]
    middle = Line.through((foot, rail.bottom.at(foot) - 30.0), (head - 1e-6, rail.bottom.at(head - 1e-6)))
    packed = replace(built, packer=replace(rail, role=BarRole.PACKER, top=rail.bottom, bottom=middle))
    bare = {o.step: o.ball.diameter for o in find_openings(built, ENGLAND) if o.step is not None}
    closed = {o.step: o.ball.diameter for o in find_openings(packed, ENGLAND) if o.step is not None}
    assert set(closed) == set(bare)
    assert all(closed[step] <= bare[step] for step in bare)
    assert closed[1] < bare[1] - 10.0
