"""Cables pushed apart and what they pull, against statics and the ideal string (see tests/kit/test_taut.py)."""

import math
from dataclasses import replace

import pytest
from tests.builders import ENGLAND
from tests.strategies_stairs import LIMITS, newel, plain_brief, regular_flight

from pitchline.catalogue.rules import RuleSet, load_rule_set
from pitchline.checks.cables import cables_of, check_cables, span_of_cable
from pitchline.checks.case import Case
from pitchline.checks.run import check
from pitchline.design.brief import SpacingBrief, StrandKind, StrandsBrief
from pitchline.design.compose import compose
from pitchline.design.makings import BetweenPosts
from pitchline.design.model import Design
from pitchline.kit.finding import Finding, Verdict

FLIGHT = regular_flight()
CANADA = load_rule_set("canada-nbc-2020")
CABLES = StrandsBrief(StrandKind.CABLE, 5.0, 5.0, pull=1000.0, apart=900.0, material="steel")


def design_of(infill: StrandsBrief, **changes: object) -> Design:
    return compose(FLIGHT, plain_brief(FLIGHT, infill=infill, making=BetweenPosts(), **changes), LIMITS)


def found(infill: StrandsBrief, code: str, rules: RuleSet = ENGLAND) -> list[Finding]:
    case = Case(design_of(infill), rules)
    return [finding for finding in check_cables(case) if finding.code == code]


def test_two_cables_pushed_apart_open_by_twice_what_one_gives() -> None:
    """w = F L / (4 T): 40 N over 873 mm at 1000 N move each by 8.73 mm, two legs at an angle by 8.74."""
    infill = replace(CABLES, push=40.0, spacing=SpacingBrief(count=6))
    design = design_of(infill)
    span = span_of_cable(design.strands[0])
    (finding,) = found(infill, "opening.flex")
    ideal = 40.0 * span / 4000.0
    assert finding.measured == pytest.approx(design.strands[1].gap_below + 2 * ideal, rel=1e-3)
    assert finding.verdict is Verdict.PASS
    assert "named in the job" in finding.text


def test_cables_too_far_apart_fail_and_the_remedy_holds() -> None:
    infill = replace(CABLES, push=30.0, apart=None, spacing=SpacingBrief(count=6))
    (finding,) = found(infill, "opening.flex")
    assert finding.verdict is Verdict.FAIL
    assert finding.remedy is not None
    spacers = int(finding.remedy.split("(")[1].split(" ")[0])
    length = span_of_cable(design_of(infill).strands[0])
    (better,) = found(replace(infill, apart=length / (spacers + 1) + 0.01), "opening.flex")
    assert better.verdict is Verdict.PASS
    (worse,) = found(replace(infill, apart=length / spacers + 0.01), "opening.flex")
    assert worse.verdict is Verdict.FAIL


def test_the_rules_of_a_place_may_name_the_push() -> None:
    """The National Building Code of Canada 2020, 9.8.8.2(2): 0.1 kN on each of two neighbours."""
    (finding,) = found(replace(CABLES, apart=400.0), "opening.flex", CANADA)
    assert "100 N each, the force named by the rules" in finding.text
    assert finding.rule is not None
    assert finding.rule.clause == "9.8.8.2(2)"


def test_where_nobody_names_a_push_the_one_that_opens_it_is_told() -> None:
    infill = replace(CABLES, spacing=SpacingBrief(count=6))
    (finding,) = found(infill, "opening.flex")
    design = design_of(infill)
    room = (100.0 - design.strands[1].gap_below) / 2
    span = span_of_cable(design.strands[0])
    assert finding.verdict is Verdict.ADVICE
    assert finding.measured == pytest.approx(4000.0 * room / span, rel=2e-3)


def test_posts_are_told_the_sum_of_all_pulls_and_their_moment() -> None:
    design = design_of(CABLES)
    foot, head = found(CABLES, "cable.pull")
    total = 1000.0 * len(design.strands)
    cosine = math.cos(design.handrail.top.angle)
    assert foot.measured == head.measured == total
    heights = [strand.line.at(45.0) for strand in design.strands]
    moment = sum(1000.0 * cosine * height for height in heights) / 1e6
    assert f"{moment:.2f} kNm" in foot.text
    assert f"{total * cosine:.0f} level" in foot.text
    assert "upwards" in foot.text
    assert "downwards" in head.text


def test_long_spans_and_slim_posts_are_spoken_of() -> None:
    loose = replace(CABLES, apart=None)
    assert [f.verdict for f in found(loose, "cable.held")] == [Verdict.ADVICE]
    assert found(CABLES, "cable.held") == []
    slim = plain_brief(FLIGHT, infill=CABLES, making=BetweenPosts(), bottom=newel("N1", side=60.0))
    case = Case(compose(FLIGHT, slim, LIMITS), ENGLAND)
    assert any("slimmer" in f.text for f in check_cables(case) if f.code == "cable.pull")


def test_bars_and_rods_are_no_cables() -> None:
    rods = StrandsBrief(StrandKind.ROD, 12.0, 12.0)
    assert cables_of(design_of(rods)) == ()
    assert found(rods, "cable.pull") == []
    report = check(design_of(rods), CANADA)
    assert any("two neighbouring rods" in f.text for f in report.findings if f.code == "opening.flex")
