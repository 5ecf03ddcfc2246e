"""Whether guarding is needed at all, and whether it covers the side of the flight where it is.

The floor below the open side is the lowest finished floor unless the stair tells otherwise; the drop beside a tread
is its height above that floor. Lengths in mm.
"""

import math
from collections.abc import Iterator

from pitchline.catalogue.rules import Figure, RuleSet
from pitchline.checks.case import LIMIT_WORDS, Case
from pitchline.checks.opening_limits import Opening, OpeningKind, limit_figure
from pitchline.checks.openings import unguarded
from pitchline.checks.silhouettes import EndFacts, ends_of
from pitchline.design.model import Design
from pitchline.kit.finding import Finding, Verdict, judge


def drop_of(design: Design) -> tuple[float, float]:
    """The greatest drop beside the leg, at its upper end, with its expanded uncertainty."""
    flight = design.flight
    return flight.drop_beside(len(flight.nosings)), flight.expanded({}, {flight.nosing_names[-1]: 1.0})


def _triggers(design: Design, rules: RuleSet) -> tuple[tuple[Figure, float, float], ...]:
    """Each figure from which guarding is needed, with what the flight has of it and how surely."""
    found: list[tuple[Figure, float, float]] = []
    drop, risers = rules.figure("guard.needed.drop"), rules.figure("guard.needed.risers")
    if drop is not None:
        found.append((drop, *drop_of(design)))
    if risers is not None and not design.flight.is_level:
        found.append((risers, float(len(design.flight.nosings)), 0.0))
    return tuple(found)


def guarding_needed(design: Design, rules: RuleSet) -> bool:
    """Whether the rules ask for guarding somewhere along the flight; in doubt they do."""
    found = _triggers(design, rules)
    return not found or any(
        judge(has, expanded, figure.value, figure.compare) is not Verdict.FAIL
        for figure, has, expanded in found
    )


def first_to_guard(design: Design, rules: RuleSet) -> int | None:
    """Number of the first tread beside which guarding is called for; None where none does.

    A drop is that beside the tread; where risers are counted, those below the tread are.
    """
    drop, risers = rules.figure("guard.needed.drop"), rules.figure("guard.needed.risers")
    level = design.flight.is_level
    for number in range(1, len(design.flight.nosings) + 1):
        counted = ((drop, design.flight.drop_beside(number)), (None if level else risers, float(number)))
        asked = [judge(has, 0.0, f.value, f.compare) for f, has in counted if f is not None]
        if not asked or Verdict.PASS in asked:
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
    """Whether guarding is needed beside the flight, by each figure of the place."""
    for figure, has, expanded in _triggers(case.design, case.rules):
        is_drop = figure.unit == "mm"
        yield Finding(
            "guard.needed",
            Verdict.REPORT,
            case.at("the open side"),
            (_drop_words if is_drop else _riser_words)(case, figure),
            has,
            expanded,
            figure.value,
            "mm" if is_drop else "",
            rule=case.rules.ref(figure.id),
        )


def _needed(case: Case, figure: Figure, has: float, expanded: float) -> bool:
    return judge(has, expanded, figure.value, figure.compare) is not Verdict.FAIL


def _drop_words(case: Case, figure: Figure) -> str:
    words, (total, expanded) = case.words, drop_of(case.design)
    drop = words.measured(total, expanded)
    if not _needed(case, figure, total, expanded):
        return (
            f"Guarding is not asked for: the drop beside {case.leg} is {drop} at most, and the duty begins at "
            f"{words.mm(figure.value_mm)}; what follows on guarding is advice."
        )
    flight = case.design.flight
    if flight.is_level:
        return (
            f"Guarding is needed: the drop beside {case.leg} is {drop}, and the duty begins at "
            f"{words.mm(figure.value_mm)}."
        )
    count = len(flight.nosings)
    passed = (
        number
        for number in range(1, count + 1)
        if judge(flight.drop_beside(number), 0.0, figure.value_mm, figure.compare) is Verdict.PASS
    )
    below = (
        "level with the lower floor"
        if flight.below == 0.0
        else f"{words.mm(flight.below)} below the foot of the flight"
    )
    return (
        f"Guarding is needed: the drop beside the flight reaches {drop} and passes "
        f"{words.mm(figure.value_mm)} at step {next(passed, count)} (the floor beside it taken {below})."
    )


def _riser_words(case: Case, figure: Figure) -> str:
    count = len(case.design.flight.nosings)
    asked = f"{LIMIT_WORDS[figure.compare]} {figure.value:g}"
    if _needed(case, figure, float(count), 0.0):
        return (
            f"Guarding is needed: the flight has {count} risers, and it is asked for where there are {asked}."
        )
    return f"By its {count} risers the flight needs no guarding (the duty begins at {asked})."


def check_extent(case: Case, stretches: tuple[Opening, ...]) -> Iterator[Finding]:
    """Whether the balustrade covers the flight's side."""
    figure = limit_figure(case.rules, OpeningKind.UNGUARDED)
    limit = "not known here: ask" if figure is None else case.words.mm(figure.value_mm)
    for stretch in stretches:
        measured = case.words.measured(stretch.ball.diameter, stretch.expanded)
        text = f"The side of {case.leg} is open for {measured} {stretch.where}, where the drop calls for guarding"
        passed = stretch.verdict is Verdict.PASS
        text += "; no ball of the limit passes." if passed else f"; the limit is {limit}."
        remedy = None if passed else _close(case, stretch, figure)
        yield Finding(
            "guard.extent",
            stretch.verdict,
            case.at(stretch.where),
            text,
            stretch.ball.diameter,
            stretch.expanded,
            stretch.limit,
            rule=None if figure is None else case.rules.ref(figure.id),
            remedy=remedy,
        )
    if not stretches and first_to_guard(case.design, case.rules) is not None:
        text = f"The balustrade reaches along the whole side of {case.leg} where the drop calls for guarding."
        yield Finding("guard.extent", Verdict.PASS, case.at("the open side"), text, unit="")
    yield from _lower_steps(case)


def _close(case: Case, stretch: Opening, figure: Figure | None) -> str:
    """How far the end must move out for what stays open to hold the ball back."""
    ways = "close the rest with further guarding, a newel or a wall"
    if figure is None:
        return ways
    by = stretch.ball.diameter + stretch.expanded - figure.value_mm
    return f"move the end out by {case.words.enough(by)}, or {ways}"


def _lower_steps(case: Case) -> Iterator[Finding]:
    foot = ends_of(case.design)[0]
    nosings = case.design.flight.nosings
    first = first_to_guard(case.design, case.rules) or len(nosings) + 1
    flight = case.design.flight
    free = [flight.drop_beside(n) for n, (u, _) in enumerate(nosings[: first - 1], start=1) if u < foot.outer]
    if free and not math.isinf(foot.outer):
        text = (
            f"The lowest {f'{len(free)} steps have' if len(free) > 1 else 'step has'} no guarding beside; the drop "
            f"there is at most {case.words.mm(free[-1])}, below the duty's beginning."
        )
        stated = case.rules.figure("guard.needed.drop") or case.rules.figure("guard.needed.risers")
        choice = None if stated is None else stated.id
        yield case.advise("guard.extent.foot", "the foot of the flight", text, choice)
