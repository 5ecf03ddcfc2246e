"""Findings as the check page shows them: what presses first, with size, uncertainty, limit and a gauge."""

from pathlib import Path
from typing import Any

import pytest
from tests.app.web.desk import job_in, page_on

from pitchline.app.web.check_page import SEVERITY, line, parts
from pitchline.kit.finding import Finding, RuleRef, Verdict
from pitchline.kit.units import Unit


def finding(verdict: Verdict = Verdict.FAIL, **told: Any) -> Finding:
    known: dict[str, Any] = {
        "measured": 75.0,
        "limit": 100.0,
        "expanded_uncertainty": 5.0,
        "unit": "mm",
        **told,
    }
    return Finding("opening.between", verdict, "A: U1", "A gap.", **known)


def test_the_gauge_has_the_limit_in_the_middle() -> None:
    shown = line(finding(), Unit.MM)
    assert (shown.measured, shown.limit) == ("75.0 mm ± 5.0 mm", "100.0 mm")
    assert shown.place == pytest.approx(0.75 / 2)
    assert shown.spread == pytest.approx(0.05)
    assert line(finding(measured=100.0), Unit.MM).place == 0.5
    assert line(finding(measured=1e9), Unit.MM).place == 1.0


def test_inches_are_shown_as_fractions() -> None:
    shown = line(finding(measured=101.6, limit=101.6, expanded_uncertainty=None), Unit.INCH)
    assert (shown.measured, shown.limit) == ('4"', '4"')


@pytest.mark.parametrize("verdict", [Verdict.ADVICE, Verdict.REPORT])
def test_what_is_not_judged_has_no_gauge_and_no_limit(verdict: Verdict) -> None:
    shown = line(finding(verdict), Unit.MM)
    assert (shown.limit, shown.place) == ("", None)


@pytest.mark.parametrize("told", [{"measured": None}, {"limit": None}, {"limit": 0.0}, {"measured": -3.0}])
def test_where_there_is_nothing_to_compare_there_is_no_gauge(told: dict[str, Any]) -> None:
    assert line(finding(**told), Unit.MM).place is None


def test_a_bare_number_is_not_shown_without_what_it_counts() -> None:
    assert line(finding(unit=""), Unit.MM).measured == ""


def test_a_rule_says_how_well_it_is_known() -> None:
    shown = line(finding(rule=RuleRef("england-dwelling", "K2 3.1", "M")), Unit.MM)
    assert shown.rule == "england-dwelling K2 3.1, from memory, not seen"


def test_what_fails_or_is_unsure_stands_before_what_holds(tmp_path: Path) -> None:
    desk = page_on(job_in(tmp_path), tmp_path).desk
    chapters = parts(desk.job.state(), Unit.MM)
    solved = desk.job.state().solved
    assert solved is not None
    assert [chapter.title for chapter in chapters] == [title for title, _ in solved.chapters()]
    for chapter in chapters:
        assert {each.finding.verdict for each in chapter.pressing} <= {Verdict.FAIL, Verdict.UNSURE}
        ranks = [SEVERITY[each.finding.verdict] for each in (*chapter.pressing, *chapter.holding)]
        assert ranks == sorted(ranks)
    told = [each.finding for chapter in chapters for each in (*chapter.pressing, *chapter.holding)]
    assert len(told) == sum(len(findings) for _, findings in solved.chapters())
