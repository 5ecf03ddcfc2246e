"""Balustrades that begin on the first, second or third step: what the rules of a place say of it."""

import pytest
from tests.strategies_stairs import LIMITS, newel, regular
from tests.strategies_treads import cut_flight, tread_brief

from pitchline.catalogue.rules import RuleSet, load_rule_set
from pitchline.checks.run import check
from pitchline.design.brief import Foot
from pitchline.design.compose import compose
from pitchline.kit.finding import Finding, Verdict

NEW_ZEALAND = load_rule_set("new-zealand-nzbc")
ENGLAND = load_rule_set("england-dwelling")


def found(step: int, code: str, rules: RuleSet = ENGLAND) -> Finding:
    """Nine rises of 187 mm, goings of 228, a newel on the tread of one step, 60 mm behind its nosing."""
    flight = cut_flight(regular(9, 187.0, 228.0, margin=None))
    brief = tread_brief(flight, bottom=newel(f"N{step}", offset=60.0, foot=Foot.TREAD))
    report = check(compose(flight, brief, LIMITS), rules)
    (finding,) = [finding for finding in report.findings if finding.code == code]
    return finding


@pytest.mark.parametrize(("step", "verdict"), [(1, Verdict.PASS), (2, Verdict.FAIL), (3, Verdict.FAIL)])
def test_where_a_rule_names_the_riser_a_rail_must_begin_by(step: int, verdict: Verdict) -> None:
    """New Zealand, NZBC clause D1/AS1: by the second riser; 60 mm behind nosing n the rail is past riser n."""
    finding = found(step, "handrail.begin", NEW_ZEALAND)
    assert finding.verdict is verdict
    assert f"at riser {step + 1}" in finding.text


@pytest.mark.parametrize(("step", "verdict"), [(1, Verdict.PASS), (3, Verdict.PASS), (5, Verdict.FAIL)])
def test_guarding_may_begin_where_the_drop_calls_for_it(step: int, verdict: Verdict) -> None:
    """England, Approved Document K: from a drop of 600 mm. The tread of step 4 is 748 mm up, that of step 3 561."""
    assert found(step, "guard.extent").verdict is verdict


def test_without_a_base_rail_nothing_is_open_under_one() -> None:
    finding = found(1, "opening.triangle")
    assert finding.verdict is Verdict.PASS
    assert "no base rail" in finding.text
