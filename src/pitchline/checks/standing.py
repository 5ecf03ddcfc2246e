"""How well the figures behind a finding are known, said in the finding itself; figures that nobody knows."""

from collections.abc import Iterator
from dataclasses import replace

from pitchline.catalogue.rules import FIGURES
from pitchline.checks.case import Case
from pitchline.kit.finding import Finding, Verdict

ESSENTIAL = ("guard.flight.height", "opening.general")
"""Figures that every place with rules on guarding has; where one is missing it is unknown here, not free."""

FROM_MEMORY = "Figure from memory: ask your building authority."
UNKNOWN = "The figures of this edition are unknown here: ask your building authority."


def as_known(case: Case, finding: Finding) -> Finding:
    """A finding that says how well its figure is known.

    The verdict stays where a figure is from memory. Where the figures of a whole edition are unknown nothing passes.
    """
    if case.rules.status == "unknown" and finding.verdict is Verdict.PASS:
        return replace(finding, verdict=Verdict.ADVICE, text=f"{finding.text} {UNKNOWN}")
    judged = finding.verdict in (Verdict.PASS, Verdict.FAIL, Verdict.UNSURE)
    if judged and finding.rule is not None and finding.rule.status == "M":
        return replace(finding, text=f"{finding.text} {FROM_MEMORY}")
    return finding


def check_unknown(case: Case) -> Iterator[Finding]:
    """Which essential figures are not held for this place."""
    missing = [FIGURES[name].meaning for name in ESSENTIAL if case.rules.figure(name) is None]
    if missing:
        listed = "; ".join(missing)
        text = f"Figures unknown here, so nothing is judged by them: {listed}. Ask the building authority."
        yield case.advise("notice.unknown", "the rules", text)
