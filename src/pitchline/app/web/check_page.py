"""The check page: what holds and what does not, chapter by chapter, worst first."""

from dataclasses import dataclass

from pitchline.app.web.desk import Desk
from pitchline.app.web.pages import Page, Told
from pitchline.app.web.state import State
from pitchline.app.web.words import Words
from pitchline.catalogue.load import STATUSES
from pitchline.kit.finding import Finding, RuleRef, Verdict
from pitchline.kit.units import Unit, show_length

SEVERITY = {verdict: number for number, verdict in enumerate(
    (Verdict.FAIL, Verdict.UNSURE, Verdict.ADVICE, Verdict.REPORT, Verdict.PASS)
)}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Line:
    """A finding with its numbers as they are shown, and where they lie between nothing and twice the limit."""

    finding: Finding
    measured: str
    limit: str
    place: float | None
    spread: float
    rule: str = ""


@dataclass(frozen=True, slots=True)
class Part:
    """One chapter of findings: those that call for something first, then those that hold."""

    title: str
    pressing: tuple[Line, ...]
    holding: tuple[Line, ...]


def parts(state: State, unit: Unit) -> tuple[Part, ...]:
    """The findings of a state, chapter by chapter."""
    if state.solved is None:
        return ()
    found = []
    for title, findings in state.solved.chapters():
        ordered = sorted(findings, key=lambda finding: SEVERITY[finding.verdict])
        lines = [line(finding, unit) for finding in ordered]
        pressing = tuple(each for each in lines if SEVERITY[each.finding.verdict] < 2)
        holding = tuple(each for each in lines if SEVERITY[each.finding.verdict] >= 2)
        found.append(Part(title, pressing, holding))
    return tuple(found)


def line(finding: Finding, unit: Unit) -> Line:
    """A finding ready to be shown."""
    measured, limit, spread = finding.measured, finding.limit, finding.expanded_uncertainty
    text = "" if measured is None or not finding.unit else _shown(measured, finding.unit, unit)
    if text and spread:
        text += f" ± {_shown(spread, finding.unit, unit)}"
    place = None
    judged = finding.verdict not in (Verdict.ADVICE, Verdict.REPORT)
    if judged and measured is not None and limit is not None and limit > 0 and measured >= 0:
        place = min(measured / limit, 2.0) / 2.0
    width = 0.0 if not limit or not spread else min(spread / abs(limit), 1.0)
    limited = "" if limit is None or not judged else _shown(limit, finding.unit, unit)
    return Line(finding, text, limited, place, width, _rule(finding.rule))


def _rule(rule: RuleRef | None) -> str:
    """Where a limit stands, and how well that is known."""
    if rule is None:
        return ""
    return f"{rule.id} {rule.clause}, {STATUSES.get(rule.status, rule.status)}"


def _shown(value: float, kind: str, unit: Unit) -> str:
    if kind == "mm":
        return show_length(value, unit) + (" mm" if unit is Unit.MM else "")
    return f"{value:.2f}°" if kind == "deg" else f"{value:.1f} {kind}".strip()


def _tell(desk: Desk, state: State, words: Words) -> Told:
    del desk, words
    return {"parts": parts(state, state.unit)}


PAGE = Page("check", "check.html", _tell, {"findings": "findings.html"}, ("check.js",), ("check.css",))
