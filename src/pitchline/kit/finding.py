"""Findings: what the program has to say about the user's work, from the survey to the last joint.

A measured quantity is compared with a limit together with its expanded uncertainty (coverage factor 2), in
the manner of JCGM 106: it passes or fails only when the whole interval does, otherwise it is *unsure*.
"""

import operator
from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from typing import Literal

Compare = Literal["lt", "le", "ge", "gt"]

_HOLDS: dict[str, Callable[[float, float], bool]] = {
    "lt": operator.lt,
    "le": operator.le,
    "ge": operator.ge,
    "gt": operator.gt,
}


class Verdict(StrEnum):
    """What a finding says."""

    PASS = "pass"
    FAIL = "fail"
    UNSURE = "unsure"
    REPORT = "report"
    ADVICE = "advice"


@dataclass(frozen=True, slots=True)
class RuleRef:
    """Where a limit comes from: rule set, clause, and how well the figure is known (see the catalogue)."""

    id: str
    clause: str
    status: str


@dataclass(frozen=True, slots=True)
class Finding:
    """One statement about the work, with the numbers behind it (``unit`` is mm, deg, N or empty)."""

    code: str
    verdict: Verdict
    where: str
    text: str
    measured: float | None = None
    expanded_uncertainty: float | None = None
    limit: float | None = None
    unit: str = "mm"
    rule: RuleRef | None = None
    remedy: str | None = None


def judge(measured: float, expanded_uncertainty: float, limit: float, compare: Compare) -> Verdict:
    """Compare a measured value and its expanded uncertainty with a limit.

    ``compare`` says what must hold of the true value: lt (below), le, ge or gt (above) the limit.
    """
    holds = _HOLDS[compare]
    low = holds(measured - expanded_uncertainty, limit)
    high = holds(measured + expanded_uncertainty, limit)
    if low and high:
        return Verdict.PASS
    if not low and not high:
        return Verdict.FAIL
    return Verdict.UNSURE
