"""Footholds of upright infill, by hand sums; the zone is one invented for the test."""

import math
from dataclasses import replace
from types import MappingProxyType

import pytest
from tests.builders import ENGLAND, US_2021, HandBuilt, full_length, hand_built, with_word
from tests.strategies_stairs import regular_flight

from pitchline.catalogue.rules import RuleSet
from pitchline.checks.case import Case
from pitchline.checks.climbing import check_climbing, ledge_heights, ledge_width
from pitchline.design.model import Design
from pitchline.kit.finding import Verdict

FLIGHT = regular_flight(5, 200.0, 250.0, None)
DESIGN = hand_built(HandBuilt(full_length(90.0, 32.0, FLIGHT), lift=30.0, base_depth=40.0), FLIGHT)


def with_zone(low: float, high: float, drop: float) -> RuleSet:
    rules = with_word(ENGLAND, "climb.mode", "zone")
    model = rules.require("guard.flight.height")
    figures = {
        f"climb.zone.{name}": replace(model, id=f"climb.zone.{name}", value=value)
        for name, value in (("from", low), ("to", high), ("drop", drop))
    }
    return replace(rules, figures=MappingProxyType({**rules.figures, **figures}))


def verdicts(design: Design, rules: RuleSet) -> dict[str, Verdict]:
    return {f.code: f.verdict for f in check_climbing(Case(design, rules))}


def test_the_ledge_above_the_steps() -> None:
    """70 mm above the nosings, and a whole rise more just before the next riser."""
    assert ledge_heights(DESIGN) == pytest.approx((70.0, 270.0))


def test_the_ledge_beside_the_uprights() -> None:
    assert ledge_width(DESIGN) == pytest.approx((60.0 - 32.0) / 2)
    moved = tuple(replace(upright, y=5.0) for upright in DESIGN.uprights)
    assert ledge_width(replace(DESIGN, uprights=moved)) == pytest.approx(19.0)
    assert ledge_width(replace(DESIGN, uprights=())) == 60.0


def test_where_no_zone_is_stated_footholds_are_advice() -> None:
    assert verdicts(DESIGN, ENGLAND) == {"climb.footholds": Verdict.ADVICE}
    assert verdicts(DESIGN, US_2021) == {"climb.footholds": Verdict.ADVICE}


def test_uprights_that_lie_down_are_mentioned() -> None:
    lying = tuple(replace(upright, lean=math.radians(-50.0)) for upright in DESIGN.uprights)
    assert verdicts(replace(DESIGN, uprights=lying), ENGLAND)["climb.lean"] is Verdict.ADVICE


@pytest.mark.parametrize(
    ("low", "high", "drop", "verdict"),
    [
        (300.0, 800.0, 600.0, Verdict.PASS),
        (150.0, 760.0, 600.0, Verdict.FAIL),
        (150.0, 760.0, 4000.0, Verdict.PASS),
    ],
)
def test_a_zone_without_footholds(low: float, high: float, drop: float, verdict: Verdict) -> None:
    assert verdicts(DESIGN, with_zone(low, high, drop)) == {"climb.zone": verdict}
