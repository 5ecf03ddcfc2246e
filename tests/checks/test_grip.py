"""Sections against the grip sizes of IRC 2021 R311.7.8.5: way round 4 to 6 1/4 in, 2 1/4 in across."""

import math

import pytest
from tests.builders import ENGLAND, US_2021, HandBuilt, full_length, hand_built, with_word, without
from tests.strategies_stairs import regular_flight

from pitchline.catalogue.rules import RuleSet
from pitchline.checks.case import Case
from pitchline.checks.grip import Section, check_grip
from pitchline.kit.finding import Finding, Verdict

FLIGHT = regular_flight(5, 200.0, 250.0, None)


def found(width: float, plumb_depth: float, rules: RuleSet, round_over: float = 0.0) -> dict[str, Finding]:
    sizes = HandBuilt(
        full_length(90.0, 32.0, FLIGHT), rail_width=width, rail_depth=plumb_depth, round_over=round_over
    )
    return {f.code: f for f in check_grip(Case(hand_built(sizes, FLIGHT), rules))}


def plumb(square: float) -> float:
    """Plumb depth of a rail that is ``square`` deep square to a pitch of 200 in 250."""
    return square * math.hypot(200.0, 250.0) / 250.0


def test_the_way_round_by_plain_sums() -> None:
    assert Section(40.0, 30.0, 0.0).perimeter == 140.0
    assert Section(40.0, 30.0, 0.0).across == 50.0
    half_round = Section(40.0, 30.0, 20.0)
    assert half_round.perimeter == pytest.approx(40.0 + 2 * 10.0 + math.pi * 20.0)
    assert half_round.across == pytest.approx(20.0 + math.hypot(20.0, 10.0))


def test_the_largest_measure_across_by_points_of_the_outline() -> None:
    """The farthest pair among points strewn over the section's edge."""
    width, depth, r = 60.0, 48.0, 14.0
    angles = [math.pi / 2 * k / 400 for k in range(401)]
    right = [(width / 2 - r + r * math.cos(a), -r + r * math.sin(a)) for a in angles]
    points = [*right, *((-x, z) for x, z in right), (width / 2, -depth), (-width / 2, -depth)]
    farthest = max(math.dist(p, q) for p in points for q in points[-2:])
    assert Section(width, depth, r).across == pytest.approx(max(farthest, width), abs=1e-3)


def test_a_slim_section_fits_the_hand() -> None:
    fits = found(38.0, plumb(42.0), US_2021, 10.0)
    assert fits["handrail.grip.perimeter.max"].verdict is Verdict.PASS
    assert fits["handrail.grip.across"].verdict is Verdict.PASS
    assert fits["handrail.grip.perimeter.max"].remedy is None


def test_a_square_of_45_rounded_by_8_is_too_much_to_hold() -> None:
    """With all four edges rounded the way round is 166.3 mm, above 158.75; two square edges add to it."""
    four_edges = 4 * 45.0 - (8.0 - 2.0 * math.pi) * 8.0
    assert four_edges == pytest.approx(166.3, abs=0.05)
    wide = found(45.0, plumb(45.0), US_2021, 8.0)["handrail.grip.perimeter.max"]
    assert wide.verdict is Verdict.FAIL
    assert wide.measured == pytest.approx(four_edges + (4.0 - math.pi) * 8.0)
    assert wide.limit == pytest.approx(158.75)


def test_a_lath_is_too_little() -> None:
    thin = found(20.0, plumb(25.0), US_2021)
    assert list(thin) == ["handrail.grip.perimeter.min"]
    assert thin["handrail.grip.perimeter.min"].verdict is Verdict.FAIL


def test_where_grip_is_advice_nothing_fails() -> None:
    advised = found(90.0, plumb(60.0), with_word(US_2021, "handrail.grip.duty", "advice"))
    assert {f.verdict for f in advised.values()} == {Verdict.ADVICE}


def test_england_only_advises() -> None:
    assert found(90.0, plumb(50.0), ENGLAND)["handrail.grip"].verdict is Verdict.ADVICE
    assert "wider" in found(90.0, plumb(50.0), ENGLAND)["handrail.grip"].text
    assert "within" in found(45.0, plumb(50.0), ENGLAND)["handrail.grip"].text
    assert "narrower" in found(20.0, plumb(50.0), ENGLAND)["handrail.grip"].text


def test_no_figures_no_findings() -> None:
    assert found(90.0, plumb(50.0), without(ENGLAND, "handrail.grip.round.max")) == {}
