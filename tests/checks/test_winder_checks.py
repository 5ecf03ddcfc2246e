"""Winders against figures: what is measured where, and what is said of it."""

import math
from dataclasses import replace

import pytest
from tests.strategies_winders import radiating

from pitchline.catalogue.rules import load_rule_set
from pitchline.checks.existing import Step
from pitchline.checks.winders import check_newel, check_winders, lines_to_walk
from pitchline.kit.finding import Finding, Verdict
from pitchline.kit.units import Unit
from pitchline.kit.words import show_in
from pitchline.stair.winders import at_newel, build_winders

THIRTY = [math.radians(30.0 * k) for k in range(4)]
INNER = (-60.0, -30.0, 30.0, 60.0)


def by_code(findings: tuple[Finding, ...]) -> dict[str, Finding]:
    return {finding.code: finding for finding in findings}


def test_the_stair_that_stands_is_reported_and_not_failed() -> None:
    found = check_winders(build_winders(radiating(THIRTY, inner=INNER)), load_rule_set("england-dwelling"))
    assert {finding.verdict for finding in found} == {Verdict.REPORT}


def test_narrow_end_straight_and_round_the_newel_judged_otherwise() -> None:
    """A kite 35 mm either side of the arris: 70 mm round it, 49.5 mm straight; at least 50 mm are asked."""
    winders = build_winders(radiating(THIRTY, inner=(-120.0, -35.0, 35.0, 120.0), sigma=0.05))
    finding = by_code(check_winders(winders, load_rule_set("england-dwelling")))["winder.narrow"]
    assert finding.measured == pytest.approx(35.0 * math.sqrt(2.0))
    assert "outside the figure" in finding.text
    assert "round the newel's corner it is 70.0 mm, so ask which is meant" in finding.text
    assert finding.limit == 50.0


def test_winders_smaller_than_the_straight_steps_are_told() -> None:
    winders = build_winders(radiating(THIRTY))
    below, above = [Step("lower, going 1", 240.0, 1.0)], [Step("upper, going 1", 236.0, 1.0)]
    rules = load_rule_set("england-dwelling")
    finding = by_code(check_winders(winders, rules, below, above))["winder.going.straight"]
    assert finding.measured == pytest.approx(236.0 - 425.0 * math.pi / 6)
    assert "is less than that" in finding.text
    assert "average 238.0 mm" in finding.text


def test_the_step_into_the_winders_is_the_last_of_the_flight_below() -> None:
    winders = build_winders(radiating(THIRTY))
    below = [Step("lower, going 1", 300.0, 1.0), Step("lower, going 2", 230.0, 1.0)]
    rules = load_rule_set("canada-nbc-2020")
    finding = by_code(check_winders(winders, rules, below, [Step("upper", 100.0, 1.0)]))[
        "winder.going.adjacent"
    ]
    assert finding.measured == pytest.approx(230.0 - 425.0 * math.pi / 6)


def test_two_lines_on_a_wide_stair() -> None:
    winders = build_winders(radiating(THIRTY, (1100.0, 1100.0)))
    found = check_winders(winders, load_rule_set("wales-dwelling"))
    goings = [f.measured for f in found if f.code == "winder.going"]
    assert goings == pytest.approx([270.0 * math.pi / 6, 830.0 * math.pi / 6])


def test_inches_and_a_place_without_a_line() -> None:
    words = [line.words for line in lines_to_walk(load_rule_set("spain-db-sua"), (900.0, 800.0))]
    assert words == ["in the middle of the stair (no line is stated here)"]
    found = check_winders(
        build_winders(radiating(THIRTY, inner=INNER)), load_rule_set("us-irc-2021"), show=show_in(Unit.INCH)
    )
    told = by_code(found)
    assert "12 in from the narrow side" in told["winder.going"].text
    assert 'at least 10"' in told["winder.going.least"].text
    assert 'at least 6"' in told["winder.narrow"].text


def test_a_line_that_no_nosing_reaches_is_told() -> None:
    winders = build_winders(radiating(THIRTY, (850.0, 850.0)))
    short = tuple(
        (point[0] * 0.3, point[1] * 0.3) if name == "N6" else point
        for name, point in zip(winders.names, winders.outer, strict=True)
    )
    found = check_winders(replace(winders, outer=short), load_rule_set("england-dwelling"))
    assert "nosing N6 does not reach" in by_code(found)["winder.line"].text


def test_a_newel_that_hangs_too_little_or_stands_too_low_fails() -> None:
    """It meets N6 and N7 at 190 and 380; the tread before N6 is N5 at 0. Rails at 980 and 1450: 470 apart."""
    winders = build_winders(radiating(THIRTY, inner=(-300.0, -30.0, 30.0, 300.0)))
    good = at_newel(winders, (980.0, 1450.0), above_rail=60.0, drop=100.0)
    assert (good.foot, good.top) == pytest.approx((-100.0, 1510.0))
    told = list(check_newel(winders, good))
    assert [finding.code for finding in told] == ["winder.newel"]
    assert told[0].measured == pytest.approx(1610.0)
    assert "meet it 470.0 mm apart" in told[0].text
    bad = replace(good, foot=50.0, top=1400.0)
    assert [finding.verdict for finding in check_newel(winders, bad)][1:] == [Verdict.FAIL, Verdict.FAIL]
