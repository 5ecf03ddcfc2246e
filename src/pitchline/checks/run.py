"""All checks of one finished design against one set of rules."""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from pitchline.catalogue.rules import RuleSet
from pitchline.checks.case import Case, worst_first
from pitchline.checks.climbing import check_climbing
from pitchline.checks.existing import check_existing
from pitchline.checks.extent import check_extent, check_need, guarding_needed, unguarded_stretches
from pitchline.checks.handrail import check_handrail
from pitchline.checks.heights import HeightAt, check_heights, heights_of
from pitchline.checks.notices import check_notices
from pitchline.checks.opening_findings import check_openings
from pitchline.checks.openings import Opening, find_openings
from pitchline.checks.uneven import check_uneven
from pitchline.design.model import Design
from pitchline.kit.finding import Finding, Verdict
from pitchline.kit.words import Show, Words, plain_mm

__all__ = ["CheckReport", "HeightAt", "Opening", "check"]


@dataclass(frozen=True, slots=True)
class CheckReport:
    """What was found, and the measured heights and openings behind it, from the foot to the head."""

    findings: tuple[Finding, ...]
    heights: tuple[HeightAt, ...]
    openings: tuple[Opening, ...]


def check(design: Design, rules: RuleSet, show: Show = plain_mm) -> CheckReport:
    """Measure a finished design and compare it with the rules.

    ``show`` writes a length in mm for the reader. Findings come subject by subject (guarding, heights, openings,
    handrail, climbing, the stair that stands, notices), the worst first within each. InputError where the rules
    lack a figure that no check can do without.
    """
    case = Case(design, rules, Words(show))
    heights = heights_of(design)
    stretches = unguarded_stretches(design, rules)
    openings = (*find_openings(design, rules), *stretches)
    guarding = [
        [*check_need(case), *check_extent(case, stretches)],
        check_heights(case, heights),
        check_openings(case, openings),
    ]
    subjects: list[Iterable[Finding]] = [
        *(_binding(case, subject) for subject in guarding),
        check_handrail(case),
        check_climbing(case),
        [*check_existing(case), *check_uneven(case)],
        check_notices(case),
    ]
    findings = tuple(finding for subject in subjects for finding in worst_first(tuple(subject)))
    return CheckReport(findings, heights, openings)


def _binding(case: Case, findings: Iterable[Finding]) -> Iterable[Finding]:
    """Findings on guarding as they are where guarding is needed, as advice where it is not."""
    if guarding_needed(case.design, case.rules):
        return findings
    return [_as_advice(finding) for finding in findings]


def _as_advice(finding: Finding) -> Finding:
    harsh = finding.verdict in (Verdict.FAIL, Verdict.UNSURE)
    about_handrail = finding.code.startswith("height.handrail")
    return replace(finding, verdict=Verdict.ADVICE) if harsh and not about_handrail else finding
