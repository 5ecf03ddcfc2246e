"""How high the guarding must be by the drop that it guards: the figure of the place, and its bands. Lengths in mm.

The drop beside the flight is taken down to the lower finished floor. In a stairwell over several storeys it is more:
a band above what is measured here is then told, and not judged.
"""

from collections.abc import Iterator
from typing import Literal

from pitchline.catalogue.rules import Figure, RuleSet
from pitchline.checks.case import Case
from pitchline.checks.extent import drop_of
from pitchline.kit.finding import Finding, Verdict, judge

Beside = Literal["flight", "landing"]


def guard_figure(rules: RuleSet, beside: Beside, drop: float, expanded: float) -> Figure | None:
    """The height asked of guarding beside a flight or floor at this drop; in doubt that of the higher band."""
    above, height = (rules.figure(f"guard.drop_band.1.{name}") for name in ("above", beside))
    if (
        above is not None
        and height is not None
        and judge(drop, expanded, above.value_mm, above.compare) is not Verdict.FAIL
    ):
        return height
    return rules.figure(f"guard.{beside}.height")


def check_bands(case: Case) -> Iterator[Finding]:
    """A greater height that a greater drop would ask for, where the drop here stays below it."""
    beside = "landing" if case.design.flight.is_level else "flight"
    above, height = (case.rules.figure(f"guard.drop_band.1.{name}") for name in ("above", beside))
    if above is None or height is None:
        return
    drop, expanded = drop_of(case.design)
    if judge(drop, expanded, above.value_mm, above.compare) is not Verdict.FAIL:
        eye = case.rules.figure("guard.drop_band.eye")
        if eye is not None:
            text = (
                f"The greater height for so deep a drop is not asked for where the stair's eye is no wider than "
                f"{case.words.mm(eye.value_mm)}: measure it."
            )
            yield case.advise("height.band", "guarding", text, eye.id)
        return
    text = (
        f"From a drop of {case.words.mm(above.value_mm)} on the guarding must be {case.words.mm(height.value_mm)} "
        f"high: here it is {case.words.measured(drop, expanded)} to the lower floor, so look whether a stairwell "
        "goes deeper."
    )
    yield case.advise("height.band", "guarding", text, above.id)
