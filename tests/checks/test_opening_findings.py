"""One finding for each limit on openings, at its worst place, with a remedy that works."""

import re
from dataclasses import replace

import pytest
from tests.builders import ENGLAND, US_2021, HandBuilt, changed_infill, even, full_length, hand_built
from tests.strategies_stairs import LIMITS, plain_brief, regular_flight

from pitchline.catalogue.rules import RuleSet
from pitchline.checks.case import Case
from pitchline.checks.infill_remedies import members_to_add
from pitchline.checks.opening_findings import check_openings, worst_of
from pitchline.checks.openings import find_openings
from pitchline.design.brief import SpacingBrief, Spread
from pitchline.design.compose import compose
from pitchline.design.model import Design
from pitchline.kit.finding import Finding, Verdict

FLIGHT = regular_flight(5, 200.0, 250.0, None)


def found(design: Design, rules: RuleSet = ENGLAND) -> dict[str, Finding]:
    return {f.code: f for f in check_openings(Case(design, rules), find_openings(design, rules))}


def first_number(text: str | None) -> float:
    assert text is not None
    match = re.search(r"\d+(\.\d+)?", text)
    assert match is not None
    return float(match[0])


def test_the_widest_gap_is_named() -> None:
    worst = found(hand_built(HandBuilt((90.0, 90.0, 98.0, 90.0)), FLIGHT))["opening.stair"]
    assert worst.where == "A: between U02 and U03"
    assert worst.measured == pytest.approx(98.0, abs=0.01)
    assert (worst.verdict, worst.limit, worst.remedy) == (Verdict.PASS, 100.0, None)
    assert worst.rule is not None
    assert worst.rule.clause == "AD K 1.39"


def test_of_equal_gaps_the_first_is_named() -> None:
    assert (
        found(hand_built(HandBuilt(even(5, 90.0)), FLIGHT))["opening.stair"].where == "A: between P1 and U01"
    )


@pytest.mark.parametrize("asked", [5, 9, 13, 16])
def test_adding_the_uprights_of_the_remedy_is_enough_and_no_more_than_needed(asked: int) -> None:
    flight = regular_flight(13, 200.0, 225.0, 60.0)
    brief = plain_brief(flight)

    def laid(count: int) -> Design:
        spacing = SpacingBrief(count=count)
        return compose(flight, replace(brief, infill=replace(brief.uprights, spacing=spacing)), LIMITS)

    few = laid(asked)
    finding = found(few)["opening.stair"]
    assert finding.verdict is Verdict.FAIL
    more = int(first_number(finding.remedy))
    assert found(laid(asked + more))["opening.stair"].verdict is Verdict.PASS
    assert found(laid(asked + more - 1))["opening.stair"].verdict is not Verdict.PASS


def test_where_no_upright_fits_between_the_remedy_is_another() -> None:
    wide = hand_built(HandBuilt((101.0, 5.0, 5.0), width=120.0), FLIGHT)
    worst = worst_of([o for o in find_openings(wide, ENGLAND) if o.step is None])
    assert members_to_add(Case(wide, ENGLAND), worst, ENGLAND.require("opening.stair")) is None
    assert "closer together" in (found(wide)["opening.stair"].remedy or "")


def test_a_module_is_to_be_made_smaller() -> None:
    fixed = changed_infill(
        hand_built(HandBuilt(even(3, 110.0)), FLIGHT),
        lambda infill: replace(infill, spacing=SpacingBrief(spread=Spread.MODULE, module=142.0)),
    )
    assert "make the module smaller by 11.0 mm" in (found(fixed)["opening.stair"].remedy or "")


def test_lowering_the_base_rail_by_the_remedy_is_enough() -> None:
    flight = regular_flight(5, 175.0, 275.0, None)

    def laid(lift: float) -> Finding:
        sizes = HandBuilt(full_length(80.0, 32.0, flight), lift=lift)
        return found(hand_built(sizes, flight), US_2021)["opening.triangle"]

    high = laid(60.0)
    assert high.verdict is Verdict.FAIL
    by = first_number(high.remedy)
    assert laid(60.0 - by).verdict is Verdict.PASS
    assert laid(60.0 - by + 1.5).verdict is not Verdict.PASS


def test_where_the_nosings_are_in_the_way_other_ways_out_are_named() -> None:
    remedy = found(hand_built(HandBuilt(full_length(80.0, 32.0, FLIGHT), lift=5.0), FLIGHT))[
        "opening.triangle"
    ].remedy
    assert remedy is not None
    assert "close the triangles with a string" in remedy


def test_an_unsure_gap_names_a_reading() -> None:
    unsure = found(hand_built(HandBuilt(even(3, 99.9), run_sigma=1.2), FLIGHT))["opening.stair"]
    assert unsure.verdict is Verdict.UNSURE
    assert "one more reading" in (unsure.remedy or "")


def test_an_unsure_triangle_names_a_reading() -> None:
    flight = regular_flight(5, 200.0, 225.0, None)
    lift = 200.0 * (6.0 * 25.4 / (425.0 - (200.0**2 + 225.0**2) ** 0.5) - 1.0) - 0.1
    sizes = HandBuilt(full_length(80.0, 32.0, flight), lift=lift)
    unsure = found(hand_built(sizes, flight), US_2021)["opening.triangle"]
    assert unsure.verdict is Verdict.UNSURE
    assert "one more reading" in (unsure.remedy or "")


def test_a_closed_foot_is_said_to_be_closed() -> None:
    flight = regular_flight(5, 200.0, 250.0, 60.0)
    closed = found(compose(flight, plain_brief(flight), LIMITS))["opening.triangle"]
    assert (closed.verdict, closed.measured) == (Verdict.PASS, None)
