"""Footholds by hand sums, against the zones of Canada (NBC 2020 9.8.8.6), Spain (DB-SUA 1 3.2) and Ontario."""

import math
import re
from dataclasses import replace

import pytest
from tests.builders import ENGLAND, US_2021, HandBuilt, even, full_length, hand_built, with_figure, with_word
from tests.strategies_stairs import regular_flight

from pitchline.catalogue.rules import RuleSet, load_rule_set
from pitchline.checks.case import Case
from pitchline.checks.climbing import check_climbing, how_it_stands
from pitchline.checks.ledges import footholds_of, ledge_depth, ledges_of, shoulders_of
from pitchline.design.model import Design
from pitchline.kit.finding import Finding, Verdict
from pitchline.kit.tolerances import FOOTHOLD_DEPTH

FLIGHT = regular_flight(5, 200.0, 250.0, None)
GAPS = full_length(90.0, 32.0, FLIGHT)
CANADA, ONTARIO, SPAIN = (load_rule_set(name) for name in ("canada-nbc-2020", "ontario-obc", "spain-db-sua"))
GERMANY, FRANCE = (load_rule_set(name) for name in ("germany-din-18065", "france-nf-p01-012-1988"))


def built(base_width: float = 60.0, lift: float = 30.0) -> Design:
    design = hand_built(HandBuilt(GAPS, lift=lift, base_depth=40.0), FLIGHT)
    return replace(design, base=replace(design.base_rail, width=base_width))


def found(design: Design, rules: RuleSet) -> dict[str, Finding]:
    return {f.code: f for f in check_climbing(Case(design, rules))}


def test_the_base_rail_is_a_ledge_beside_the_uprights() -> None:
    design = built()
    assert [ledge.name for ledge in ledges_of(design)] == ["the base rail"]
    assert ledge_depth(design, design.base_rail) == pytest.approx((60.0 - 32.0) / 2)
    moved = replace(design, uprights=tuple(replace(upright, y=5.0) for upright in design.uprights))
    assert ledge_depth(moved, moved.base_rail) == pytest.approx(19.0)
    assert ledge_depth(replace(design, uprights=()), design.base_rail) == 60.0


def test_the_ledge_is_measured_from_every_place_one_stands_on() -> None:
    """30 + 40 mm above the nosings; over a tread that grows by a whole rise up to the next one."""
    holds = {hold.standing: (hold.low, hold.high) for hold in footholds_of(built())}
    assert {f"step {k}" for k in range(1, 5)} <= set(holds)
    for k in range(1, 5):
        assert holds[f"step {k}"] == pytest.approx((70.0, 270.0))


@pytest.mark.parametrize(("width", "verdict"), [(60.0, Verdict.PASS), (63.0, Verdict.FAIL)])
def test_a_ledge_deeper_than_a_foot_s_hold_fails_in_ontario(width: float, verdict: Verdict) -> None:
    """(width - 32)/2 against 15 mm; the zone is 140 to 900 mm at any height."""
    zone = found(built(width), ONTARIO)["climb.zone"]
    assert zone.verdict is verdict
    assert (zone.remedy is None) is (verdict is Verdict.PASS)


def test_the_narrower_base_rail_of_the_remedy_passes() -> None:
    remedy = found(built(90.0), ONTARIO)["climb.zone"].remedy
    assert remedy is not None
    match = re.search(r"make the base rail (\d+)\.0 mm narrower", remedy)
    assert match is not None
    less = float(match[1])
    assert less == pytest.approx(90.0 - 32.0 - 2.0 * FOOTHOLD_DEPTH, abs=1.0)
    assert found(built(90.0 - less), ONTARIO)["climb.zone"].verdict is Verdict.PASS
    assert found(built(90.0 - less + 1.5), ONTARIO)["climb.zone"].verdict is Verdict.FAIL


def test_canada_s_zone_binds_from_a_drop() -> None:
    """4.2 m; five rises of 200 mm are 1 m, so the zone does not bind here."""
    shallow = found(built(90.0), CANADA)["climb.zone"]
    assert shallow.verdict is Verdict.PASS
    assert "4200.0" in shallow.text
    deep = found(built(90.0), with_figure(CANADA, "climb.zone.drop", 900.0))["climb.zone"]
    assert deep.verdict is Verdict.FAIL


def test_a_zone_that_only_advises_never_fails() -> None:
    advised = with_word(ONTARIO, "climb.duty", "advice")
    assert found(built(90.0), advised)["climb.zone"].verdict is Verdict.ADVICE


@pytest.mark.parametrize(
    ("width", "lift", "verdict"),
    [(140.0, 30.0, Verdict.PASS), (140.0, 100.0, Verdict.FAIL), (120.0, 100.0, Verdict.PASS)],
)
def test_spain_allows_a_ledge_of_50_mm(width: float, lift: float, verdict: Verdict) -> None:
    """Zone 300 to 500 mm; the ledge's top reaches lift + 40 + 200; (140 - 32)/2 = 54 is over 50, 44 is not."""
    assert found(built(width, lift), SPAIN)["climb.zone"].verdict is verdict
    assert found(built(width, lift), SPAIN)["climb.upper"].verdict is Verdict.PASS


def test_a_bar_between_the_rails_is_found_whatever_it_is_called() -> None:
    """Uprights laid over to 60 degrees are bars to stand on, one by one."""
    lying = replace(built(), uprights=tuple(replace(u, lean=math.radians(60.0)) for u in built().uprights))
    names = {ledge.name for ledge in ledges_of(lying)}
    assert {f"upright {upright.mark}" for upright in lying.uprights} <= names
    assert found(lying, ENGLAND)["climb.lean"].verdict is Verdict.ADVICE
    assert found(lying, ONTARIO)["climb.zone"].verdict is Verdict.FAIL


def test_the_shoulder_of_a_turned_upright_is_a_ledge_where_it_is_deep_and_level() -> None:
    """A block of 80 that drops to a neck of 40 within 5 mm leaves a shoulder 20 deep; over 60 mm it is a slope."""
    steep = HandBuilt(even(4, 60.0), width=80.0, profile=((300.0, 80.0), (360.0, 40.0)))
    level = HandBuilt(even(4, 60.0), width=80.0, profile=((300.0, 80.0), (305.0, 40.0)))
    assert list(shoulders_of(hand_built(steep, FLIGHT).uprights[0])) == []
    design = hand_built(level, FLIGHT)
    assert list(shoulders_of(design.uprights[0])) == [(300.0, 20.0)]
    assert "the shoulders of the uprights" in {ledge.name for ledge in ledges_of(design)}


def test_a_string_with_room_for_a_foot_under_the_rail_is_a_ledge() -> None:
    flight = regular_flight(5, 200.0, 250.0, 60.0)
    low, high = (hand_built(HandBuilt(GAPS, lift=lift), flight) for lift in (70.0, 130.0))
    assert "the string" not in {ledge.name for ledge in ledges_of(low)}
    assert next(ledge.depth for ledge in ledges_of(high) if ledge.name == "the string") == 32.0


@pytest.mark.parametrize(
    ("lean_deg", "words"),
    [
        (0.0, "stands upright"),
        (12.0, "12.0 degrees from plumb, its top up"),
        (-12.0, "its top down the stair"),
    ],
)
def test_the_infill_is_described_as_it_stands(lean_deg: float, words: str) -> None:
    leaning = replace(
        built(), uprights=tuple(replace(u, lean=math.radians(lean_deg)) for u in built().uprights)
    )
    assert words in how_it_stands(leaning)
    assert words in found(leaning, ENGLAND)["climb.footholds"].text


def test_where_no_zone_is_stated_footholds_are_advice() -> None:
    for rules in (ENGLAND, US_2021, GERMANY):
        assert {f.verdict for f in found(built(), rules).values()} == {Verdict.ADVICE}
    assert "150.0 mm inside" in found(built(), GERMANY)["climb.footholds"].text


def test_a_low_ledge_may_count_as_a_place_to_stand_in_france() -> None:
    """NF P01-012: 450 mm high, less than 300 mm from the guarding."""
    assert "climb.standing" in found(built(90.0), FRANCE)
    assert "climb.standing" not in found(built(40.0), FRANCE)
