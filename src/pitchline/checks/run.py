"""All checks of one finished design against one set of rules."""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from pitchline.catalogue.rules import RuleSet
from pitchline.checks.cables import check_cables
from pitchline.checks.case import Case, worst_first
from pitchline.checks.clearances import check_clearances
from pitchline.checks.climbing import check_climbing
from pitchline.checks.drops import check_bands
from pitchline.checks.extent import check_extent, check_need, guarding_needed, unguarded_stretches
from pitchline.checks.flexing import check_flexing
from pitchline.checks.floors import check_upper_floor
from pitchline.checks.handrail import check_handrail
from pitchline.checks.heights import HeightAt, check_heights, heights_of
from pitchline.checks.housings import check_housings
from pitchline.checks.joints import Following, joint_openings
from pitchline.checks.notices import check_notices
from pitchline.checks.opening_findings import check_openings, check_unneeded
from pitchline.checks.openings import Opening, find_openings
from pitchline.checks.panel_movement import check_panel_movement
from pitchline.checks.panels import check_panels
from pitchline.checks.standing import as_known
from pitchline.checks.standing_stair import check_standing_stair
from pitchline.checks.unmeasured import check_side_gap, check_underside
from pitchline.design.model import Design
from pitchline.kit.finding import Finding, Verdict
from pitchline.kit.words import Show, Words, plain_mm
from pitchline.strength.openings import Opened

__all__ = ["CheckReport", "Following", "HeightAt", "Opening", "check"]


@dataclass(frozen=True, slots=True)
class CheckReport:
    """What was found, and the measured heights and openings behind it, from the foot to the head."""

    findings: tuple[Finding, ...]
    heights: tuple[HeightAt, ...]
    openings: tuple[Opening, ...]


def check(
    design: Design,
    rules: RuleSet,
    show: Show = plain_mm,
    following: Following | None = None,
    opened: tuple[Opened, ...] = (),
) -> CheckReport:
    """Measure one finished leg and compare it with the rules; ``following`` is the leg after it along the edge.

    ``opened`` are its gaps under the push that the rules name, empty where that was not worked out.
    ``show`` writes a length in mm for the reader. Findings come subject by subject (guarding, heights, openings,
    handrail, climbing, the stair that stands, notices), the worst first within each. What a place does not state is
    told as advice, and what rests on memory says so: nothing passes for want of a figure.
    """
    case = Case(design, rules, Words(show), opened)
    heights = heights_of(design)
    stretches = unguarded_stretches(design, rules)
    shared = joint_openings(design, following, rules)
    openings = (*find_openings(design, rules), *shared, *stretches)
    subjects: list[Iterable[Finding]] = [
        *(_binding(case, subject) for subject in _guarding(case, heights, openings, stretches)),
        check_handrail(case),
        check_climbing(case),
        [*check_standing_stair(case), *check_clearances(case)],
        check_notices(case),
    ]
    found = (finding for subject in subjects for finding in worst_first(tuple(subject)))
    return CheckReport(tuple(as_known(case, finding) for finding in found), heights, openings)


def _guarding(
    case: Case,
    heights: tuple[HeightAt, ...],
    openings: tuple[Opening, ...],
    stretches: tuple[Opening, ...],
) -> list[list[Finding]]:
    """Findings that bind only where guarding is needed: its need and extent, its heights, its openings."""
    return [
        [*check_need(case), *check_extent(case, stretches)],
        [*check_heights(case, heights), *check_bands(case), *check_upper_floor(case, heights)],
        [
            *check_openings(case, openings),
            *check_underside(case),
            *check_side_gap(case),
            *check_flexing(case),
            *check_cables(case),
            *check_panels(case),
            *check_panel_movement(case),
            *check_housings(case),
            *(() if guarding_needed(case.design, case.rules) else check_unneeded(case, openings)),
        ],
    ]


def _binding(case: Case, findings: Iterable[Finding]) -> Iterable[Finding]:
    """Findings on guarding as they are where guarding is needed, as advice where it is not."""
    if guarding_needed(case.design, case.rules):
        return findings
    return [_as_advice(finding) for finding in findings]


def _as_advice(finding: Finding) -> Finding:
    harsh = finding.verdict in (Verdict.FAIL, Verdict.UNSURE)
    binds_anyway = finding.code.startswith(("height.handrail", "handrail.", "opening.unneeded"))
    return replace(finding, verdict=Verdict.ADVICE) if harsh and not binds_anyway else finding
