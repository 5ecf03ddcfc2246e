"""Whether guarding is needed at all, and whether it covers the side of the flight where it is.

The floor below the open side is taken to be the lower finished floor, so that the drop beside a tread is its
height above that floor. Lengths in mm.
"""

import math
from collections.abc import Iterator

from pitchline.catalogue.rules import RuleSet
from pitchline.checks.case import Case
from pitchline.checks.openings import Opening, OpeningKind, limit_figure, unguarded
from pitchline.checks.silhouettes import EndFacts, ends_of
from pitchline.design.model import Design
from pitchline.kit.finding import Finding, Verdict, judge


def guarding_needed(design: Design, rules: RuleSet) -> bool:
    """Whether the rules ask for guarding somewhere along the flight; in doubt they do."""
    drop = rules.figure("guard.needed.drop")
    if drop is None:
        return True
    total = design.flight.nosings[-1][1]
    expanded = design.flight.expanded({}, {design.flight.nosing_names[-1]: 1.0})
    return judge(total, expanded, drop.value_mm, drop.compare) is not Verdict.FAIL


def first_to_guard(design: Design, rules: RuleSet) -> int | None:
    """Number of the first tread beside which the drop calls for guarding; None where none does."""
    drop = rules.figure("guard.needed.drop")
    for number, (_, z) in enumerate(design.flight.nosings, start=1):
        if drop is None or judge(z, 0.0, drop.value_mm, drop.compare) is Verdict.PASS:
            return number
    return None


def unguarded_stretches(design: Design, rules: RuleSet) -> tuple[Opening, ...]:
    """What is left open beyond the two ends where the drop calls for guarding."""
    first = first_to_guard(design, rules)
    if first is None:
        return ()
    figure = limit_figure(rules, OpeningKind.INFILL)
    foot, head = ends_of(design)
    last = len(design.flight.nosings)
    found = [
        unguarded(end, design, figure, design.flight.nosings[number - 1][0], _expanded(design, end, number))
        for end, number in ((foot, first), (head, last))
    ]
    return tuple(stretch for stretch in found if stretch is not None)


def _expanded(design: Design, end: EndFacts, nosing: int) -> float:
    name = design.flight.nosing_names[nosing - 1]
    return 0.0 if end.station == name else design.flight.expanded({end.station: 1.0, name: -1.0})


def check_need(case: Case) -> Iterator[Finding]:
    """Whether guarding is needed beside the flight."""
    design, rules, words = case.design, case.rules, case.words
    figure = rules.figure("guard.needed.drop")
    if figure is None:
        return
    total = design.flight.nosings[-1][1]
    expanded = design.flight.expanded({}, {design.flight.nosing_names[-1]: 1.0})
    drop = words.measured(total, expanded)
    if guarding_needed(design, rules):
        first = first_to_guard(design, rules) or len(design.flight.nosings)
        text = (
            f"Guarding is needed: the drop beside the flight reaches {drop} and passes "
            f"{words.mm(figure.value_mm)} at step {first} (the floor beside it taken level with the lower floor)."
        )
    else:
        text = (
            f"Guarding is not asked for: the drop beside the flight is {drop} at most, and the duty begins at "
            f"{words.mm(figure.value_mm)}; what follows on guarding is advice."
        )
    yield Finding(
        "guard.needed",
        Verdict.REPORT,
        case.at("the open side"),
        text,
        total,
        expanded,
        figure.value_mm,
        rule=rules.ref("guard.needed.drop"),
    )


def check_extent(case: Case, stretches: tuple[Opening, ...]) -> Iterator[Finding]:
    """Whether the balustrade covers the flight's side."""
    figure = limit_figure(case.rules, OpeningKind.UNGUARDED)
    rule = case.rules.ref(figure.id)
    for stretch in stretches:
        measured = case.words.measured(stretch.ball.diameter, stretch.expanded)
        text = f"The side of the flight is open for {measured} {stretch.where}, where the drop calls for guarding"
        tail = (
            "; no ball of the limit passes."
            if stretch.verdict is Verdict.PASS
            else f"; the limit is {case.words.mm(figure.value_mm)}."
        )
        remedy = "move the end out, or close the rest with further guarding, a newel or a wall"
        yield Finding(
            "guard.extent",
            stretch.verdict,
            case.at(stretch.where),
            text + tail,
            stretch.ball.diameter,
            stretch.expanded,
            figure.value_mm,
            rule=rule,
            remedy=None if stretch.verdict is Verdict.PASS else remedy,
        )
    if not stretches and first_to_guard(case.design, case.rules) is not None:
        text = "The balustrade reaches along the whole side of the flight where the drop calls for guarding."
        yield Finding("guard.extent", Verdict.PASS, case.at("the open side"), text, unit="")
    yield from _lower_steps(case)


def _lower_steps(case: Case) -> Iterator[Finding]:
    foot = ends_of(case.design)[0]
    nosings = case.design.flight.nosings
    first = first_to_guard(case.design, case.rules) or len(nosings) + 1
    free = [z for u, z in nosings[: first - 1] if u < foot.outer]
    if free and not math.isinf(foot.outer):
        text = (
            f"The lowest {f'{len(free)} steps have' if len(free) > 1 else 'step has'} no guarding beside; the drop "
            f"there is at most {case.words.mm(free[-1])}, below the duty's beginning."
        )
        yield case.advise("guard.extent.foot", "the foot of the flight", text, "guard.needed.drop")
