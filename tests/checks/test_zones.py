"""Openings that a place limits only up to a height, in an upper zone, or where no guarding is asked for."""

import pytest
from tests.builders import HandBuilt, even, hand_built, with_figure, with_word
from tests.checks.place_designs import RULES, Wish, built
from tests.strategies_stairs import regular_flight

from pitchline.catalogue.rules import RuleSet
from pitchline.checks.case import Case
from pitchline.checks.opening_findings import check_unneeded
from pitchline.checks.opening_limits import OpeningKind, zones_of
from pitchline.checks.openings import Opening, find_openings
from pitchline.kit.finding import Verdict

NORWAY, DUTCH, CANADA = (RULES[name] for name in ("norway-tek17", "netherlands-bbl", "canada-nbc-2020"))
IBC = with_word(RULES["us-ibc-2021"], "opening.applies", "all")
FLIGHT = regular_flight(6, 200.0, 250.0, 60.0)
HIGH_NECK = ((830.0, 40.0), (860.0, 12.0), (1500.0, 12.0))
"""28 mm thinner from some 930 mm above the nosings on."""


def middle(rules: RuleSet, gap: float, profile: tuple[tuple[float, float], ...]) -> Opening:
    sizes = HandBuilt(even(4, gap), width=40.0, height=1160.0, lift=60.0, profile=profile)
    found = find_openings(hand_built(sizes, FLIGHT), rules)
    return [opening for opening in found if opening.kind is OpeningKind.INFILL][2]


def test_above_the_height_of_the_limit_openings_are_free_in_norway() -> None:
    """TEK17 12-15: 100 mm up to 750 mm."""
    high = middle(NORWAY, 90.0, HIGH_NECK)
    assert high.verdict is Verdict.PASS
    assert middle(NORWAY, 110.0, HIGH_NECK).verdict is Verdict.FAIL


def test_higher_up_a_larger_ball_is_the_limit_in_the_netherlands() -> None:
    """Bbl (from memory): 100 mm up to 700 mm, 200 mm above."""
    assert middle(DUTCH, 90.0, HIGH_NECK).verdict is Verdict.PASS
    strict = with_figure(DUTCH, "opening.above", 105.0)
    above = middle(strict, 90.0, HIGH_NECK)
    assert (above.verdict, above.rule) == (Verdict.FAIL, "opening.above")


def test_the_upper_zone_of_the_ibc() -> None:
    """IBC 1015.4 exception 1: 4 3/8 in between 36 and 42 in, 4 in below."""
    zones = [(zone.low / 25.4, zone.high / 25.4) for zone in zones_of(IBC, IBC.require("opening.general"))]
    assert zones[1] == pytest.approx((36.0, 42.0))
    below = middle(IBC, 105.0, ((830.0, 40.0), (860.0, 38.0)))
    assert below.verdict is Verdict.FAIL
    assert below.limit == pytest.approx(4.0 * 25.4)


def test_guarding_that_nobody_asks_for_catches_no_head_in_canada() -> None:
    """NBC 2020 9.8.8.5: below 100 mm, or 200 mm passes."""

    def unneeded(gap: float, reach: float) -> Verdict:
        design = built(Wish(height=900.0, gap=gap, risers=2, reach=reach))
        return next(check_unneeded(Case(design, CANADA), find_openings(design, CANADA))).verdict

    assert unneeded(90.0, 0.0) is Verdict.PASS
    assert unneeded(150.0, 0.0) is Verdict.FAIL
    assert unneeded(300.0, 300.0) is Verdict.PASS
