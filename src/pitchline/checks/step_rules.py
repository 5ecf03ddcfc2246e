"""Rules on the steps of a flight besides their sizes: neighbours, the intended size, pairs, numbers. Reported only.

Lengths in mm. The intended rise or going is taken to be the mean of the flight.
"""

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from pitchline.catalogue.rules import Figure
from pitchline.checks.case import LIMIT_WORDS, Case
from pitchline.checks.existing import Step, beside, goings_of, report, rises_of
from pitchline.kit.finding import Finding, Verdict, judge


def check_step_rules(case: Case) -> Iterator[Finding]:
    """Every rule on the steps that a place states besides their sizes."""
    for name, steps in (("rise", rises_of(case.design.flight)), ("going", goings_of(case.design.flight))):
        yield from _adjacent(case, name, steps)
        yield from _off_nominal(case, name, steps)
    yield from _first_rise(case)
    yield from _pairs(case)
    yield from _number(case)


def neighbour_steps(steps: Sequence[Step]) -> tuple[Step, ...]:
    """The difference of each two neighbouring sizes; uncertainties in squares, as if the two were independent."""
    return tuple(
        Step(
            f"{low.name} and {high.name.split()[-1]}",
            abs(high.size - low.size),
            math.hypot(low.expanded, high.expanded),
        )
        for low, high in pairwise(steps)
    )


def _compared(case: Case, figure: Figure, step: Step, what: str) -> Finding:
    """A size of the stair beside a figure, reported."""
    words = case.words
    compared = beside(step.size, step.expanded, figure, words.mm(figure.value_mm))
    text = f"{what} {words.measured(step.size, step.expanded)}, {compared}."
    return report(case, figure.id, step.name, text, step, figure)


def _adjacent(case: Case, name: str, steps: Sequence[Step]) -> Iterator[Finding]:
    figure, differences = case.rules.figure(f"stair.{name}.adjacent"), neighbour_steps(steps)
    if figure is not None and differences:
        most = max(differences, key=lambda step: round(step.size, 6))
        yield _compared(case, figure, most, f"The neighbours that differ most are {most.name}, by")


def _off_nominal(case: Case, name: str, steps: Sequence[Step]) -> Iterator[Finding]:
    """How far a size is off the mean; the bottom rise is spoken of on its own where a figure of its own exists."""
    figure = case.rules.figure(f"stair.{name}.off_nominal")
    if figure is None or len(steps) < 2:
        return
    mean = sum(step.size for step in steps) / len(steps)
    own = name == "rise" and case.rules.figure("stair.first_rise.off") is not None
    judged = steps[1:] if own else steps
    most = max(judged, key=lambda step: round(abs(step.size - mean), 6))
    off = Step(most.name, abs(most.size - mean), most.expanded)
    yield _compared(
        case, figure, off, f"Furthest from the {name}s' mean of {case.words.mm(mean)} is {most.name}, by"
    )


def _first_rise(case: Case) -> Iterator[Finding]:
    rises = rises_of(case.design.flight)
    if len(rises) < 2:
        return
    mean = sum(step.size for step in rises[1:]) / (len(rises) - 1)
    first, off = rises[0], rises[0].size - mean
    either, less = case.rules.figure("stair.first_rise.off"), case.rules.figure("stair.first_rise.less")
    if either is not None:
        step = Step(first.name, abs(off), first.expanded)
        yield _compared(case, either, step, "The bottom rise differs from the mean of the others by")
    if less is not None and off < 0.0:
        step = Step(first.name, -off, first.expanded)
        yield _compared(case, less, step, "The bottom rise is lower than the mean of the others by")


def pair_holds(case: Case, number: int) -> Verdict | None:
    """Whether all rises and goings lie within one pair of ranges that go together; None where it is not stated."""
    flight, found = case.design.flight, list[Verdict]()
    for name, steps in (("rise", rises_of(flight)), ("going", goings_of(flight))):
        for end in ("min", "max"):
            figure = case.rules.figure(f"stair.pair.{number}.{name}.{end}")
            if figure is None:
                return None
            found += [judge(step.size, step.expanded, figure.value_mm, figure.compare) for step in steps]
    if Verdict.FAIL in found:
        return Verdict.FAIL
    return Verdict.UNSURE if Verdict.UNSURE in found else Verdict.PASS


def _pairs(case: Case) -> Iterator[Finding]:
    """Ranges of rise and going that must be kept together, one pair or the other."""
    held = [verdict for number in (1, 2) if (verdict := pair_holds(case, number)) is not None]
    if not held:
        return
    words = []
    for number in range(1, len(held) + 1):
        ranges = (_range(case, number, name) for name in ("rise", "going"))
        words.append("rises {} with goings {}".format(*ranges))
    said = {
        Verdict.PASS: "within the figures for a new stair",
        Verdict.FAIL: "outside the figures for a new stair",
        Verdict.UNSURE: "too near the figures for a new stair to tell",
    }
    best = next(v for v in (Verdict.PASS, Verdict.UNSURE, Verdict.FAIL) if v in held)
    text = f"Rises and goings taken together are {said[best]} ({', or '.join(words)})."
    rule = case.rules.ref("stair.pair.1.rise.min")
    yield Finding("stair.pair", Verdict.REPORT, case.at("the stair"), text, unit="", rule=rule)


def _range(case: Case, number: int, name: str) -> str:
    low, high = (case.rules.require(f"stair.pair.{number}.{name}.{end}").value_mm for end in ("min", "max"))
    return f"{case.words.show(low)} to {case.words.mm(high)}"


def _number(case: Case) -> Iterator[Finding]:
    count = len(case.design.flight.nosings)
    for end in ("min", "max"):
        figure = case.rules.figure(f"stair.risers.{end}")
        if figure is not None:
            within = judge(float(count), 0.0, figure.value, figure.compare) is Verdict.PASS
            text = (
                f"The flight has {count} risers, {'within' if within else 'outside'} the figure for a new stair "
                f"({LIMIT_WORDS[figure.compare]} {figure.value:g})."
            )
            place, rule = case.at("the stair"), case.rules.ref(figure.id)
            size = (float(count), 0.0, figure.value, "")
            yield Finding(figure.id, Verdict.REPORT, place, text, *size, rule=rule)
