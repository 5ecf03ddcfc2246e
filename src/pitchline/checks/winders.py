"""Winders as they stand, reported and never failed: goings on the walking line, narrow and wide ends, rises.

Where the line runs differs from place to place: a fixed distance from the narrow side, the middle of the stair, or
two lines on a wide stair. A going is told along the line and compared so; a straight measure between the same points
is a little less and is spoken of where it would judge otherwise. Lengths in mm.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pitchline.catalogue.rules import Figure, RuleSet
from pitchline.checks.existing import Step, beside, extremes, goings_of
from pitchline.kit.finding import Finding, Verdict, judge
from pitchline.kit.tolerances import COVERAGE_FACTOR
from pitchline.kit.words import Show, Words, plain_mm
from pitchline.stair.model import Flight
from pitchline.stair.walking_line import Walk, sigmas_of, walk
from pitchline.stair.winder_facts import WinderFacts
from pitchline.stair.winders import AtNewel, Winders, lay_winders, tread_under

WIDE_STAIR = 1000.0
"""Width from which a tapered tread is measured near both sides and not in the middle (Approved Document K, 1998,
1.18)."""


@dataclass(frozen=True, slots=True)
class LineToWalk:
    """A walking line that the rules name: its distance from the inner side, that in words, and the figure."""

    distance: float
    words: str
    figure: Figure | None


def lines_to_walk(rules: RuleSet, widths: Sequence[float]) -> tuple[LineToWalk, ...]:
    """Where goings of tapered treads are measured, for a stair of these widths (the narrowest counts)."""
    width = min(widths)
    narrow, sides = rules.figure("stair.winder.line.narrow"), rules.figure("stair.winder.line")
    if narrow is not None and narrow.value_mm < width:
        return (LineToWalk(narrow.value_mm, f"{narrow.written} from the narrow side", narrow),)
    if sides is not None and width >= WIDE_STAIR:
        near, far = sides.value_mm, width - sides.value_mm
        return (
            LineToWalk(near, f"{sides.written} from the narrow side", sides),
            LineToWalk(far, f"{sides.written} from the wide side", sides),
        )
    words = "in the middle of the stair"
    return (LineToWalk(width / 2.0, words if sides else f"{words} (no line is stated here)", sides),)


def named_goings(flight: Flight) -> tuple[Step, ...]:
    """The goings of a straight flight, each with the flight's name."""
    return tuple(Step(f"{flight.id}, {step.name}", step.size, step.expanded) for step in goings_of(flight))


@dataclass(frozen=True, slots=True)
class _Case:
    winders: Winders
    rules: RuleSet
    words: Words
    below: tuple[Step, ...]
    above: tuple[Step, ...]

    @property
    def straight(self) -> tuple[Step, ...]:
        """The goings of both straight flights."""
        return (*self.below, *self.above)

    def tell(
        self, code: str, place: str, text: str, step: Step | None = None, figure: Figure | None = None
    ) -> Finding:
        """Something about the winders that stand."""
        return Finding(
            code,
            Verdict.REPORT,
            f"{self.winders.id}: {place}",
            text,
            None if step is None else step.size,
            None if step is None else step.expanded,
            None if figure is None else figure.value,
            "mm",
            None if figure is None else self.rules.ref(figure.id),
        )

    def tread(self, number: int) -> str:
        """A tread by the nosing in front of it."""
        kite = ", the kite" if number in self.winders.kites else ""
        return f"the tread of {self.winders.names[number]}{kite}"

    def size(self, step: Step) -> str:
        """A size with its uncertainty."""
        return self.words.measured(step.size, step.expanded)

    def steps(self, sizes: Sequence[float], sigmas: Sequence[float]) -> tuple[Step, ...]:
        """One size of every tread."""
        return tuple(
            Step(self.tread(k), size, COVERAGE_FACTOR * sigma)
            for k, (size, sigma) in enumerate(zip(sizes, sigmas, strict=True))
        )


def check_winders(
    winders: Winders,
    rules: RuleSet,
    below: Sequence[Step] = (),
    above: Sequence[Step] = (),
    show: Show = plain_mm,
) -> tuple[Finding, ...]:
    """Everything reported of winders; ``below`` and ``above`` are the goings of the flights they join."""
    case = _Case(winders, rules, Words(show), tuple(below), tuple(above))
    found = list(_rises(case))
    for line in lines_to_walk(rules, winders.facts.widths):
        try:
            walked = walk(winders, line.distance)
        except ValueError as short:
            found.append(case.tell("winder.line", "walking line", f"The goings cannot be told: {short}."))
            continue
        found += _goings(case, line, walked)
    return (*found, *_narrow(case), *_wide(case))


def _goings(case: _Case, line: LineToWalk, walked: Walk) -> Iterator[Finding]:
    """The goings on one line: sizes, against the figure, against each other, against the straight flights."""
    steps = case.steps(walked.goings, walked.going_sigmas)
    small, large = extremes(steps)
    text = (
        f"On the walking line, {line.words}, the goings run from {case.size(small)} ({small.name}) to "
        f"{case.size(large)} ({large.name})"
    )
    yield case.tell("winder.going", "walking line", text + ".", small, line.figure)
    yield from _least(case, walked, steps)
    yield from _alike(case, small, large)
    yield from _beside_straight(case, steps)
    yield from _two_rises(case, steps)


def _least(case: _Case, walked: Walk, steps: tuple[Step, ...]) -> Iterator[Finding]:
    figure = case.rules.figure("stair.winder.going") or case.rules.figure("stair.going.min")
    if figure is None:
        return
    small, _ = extremes(steps)
    text = f"The smallest of them, {case.size(small)}, is {_beside(case, small, figure)}"
    chord = walked.chords[steps.index(small)]
    if _verdict(Step("", chord, small.expanded), figure) is not _verdict(small, figure):
        text += f"; straight from nosing to nosing it is {case.words.mm(chord)}, so ask which is meant"
    yield case.tell("winder.going.least", small.name, text + ".", small, figure)


def _alike(case: _Case, small: Step, large: Step) -> Iterator[Finding]:
    spread = Step("goings", large.size - small.size, math.hypot(small.expanded, large.expanded))
    figure = case.rules.figure("stair.going.variation")
    text = f"The largest and the smallest of the winders' goings differ by {case.size(spread)}"
    if figure is not None:
        text += f", {_beside(case, spread, figure)}"
    else:
        text += "; no tolerance is stated here, winders that follow one another are to be equal"
    yield case.tell("winder.going.variation", "walking line", text + ".", spread, figure)


def _beside_straight(case: _Case, steps: tuple[Step, ...]) -> Iterator[Finding]:
    """Against the straight flights: the mean, and the neighbours where the winders begin."""
    if not case.straight:
        return
    least = min(case.straight, key=lambda step: step.size)
    small, _ = extremes(steps)
    less = Step(small.name, least.size - small.size, math.hypot(small.expanded, least.expanded))
    how = {
        Verdict.PASS: "no less than",
        Verdict.FAIL: "less than",
        Verdict.UNSURE: "too near to tell from",
    }[judge(less.size, less.expanded, 0.0, "le")]
    mean = sum(step.size for step in case.straight) / len(case.straight)
    text = (
        f"The straight flights' goings average {case.words.mm(mean)}, the smallest {case.size(least)}; the winders' "
        f"smallest, {case.size(small)}, is {how} that"
    )
    yield case.tell("winder.going.straight", small.name, text + ".", less, None)
    adjacent = case.rules.figure("stair.going.adjacent")
    if adjacent is not None and case.below:
        before, after = case.below[-1], steps[0]
        step = Step(after.name, abs(before.size - after.size), math.hypot(before.expanded, after.expanded))
        text = f"Where they begin the going changes by {case.size(step)}, {_beside(case, step, adjacent)}."
        yield case.tell("winder.going.adjacent", after.name, text, step, adjacent)


def _two_rises(case: _Case, steps: tuple[Step, ...]) -> Iterator[Finding]:
    """Twice the rise plus the going of every tread, where the place states a range."""
    sigma = case.winders.facts.rise_sigma
    sums = [
        Step(step.name, 2.0 * rise + step.size, math.hypot(step.expanded, 2.0 * COVERAGE_FACTOR * sigma))
        for step, rise in zip(steps, case.winders.rises, strict=True)
    ]
    for end, worst in zip(("min", "max"), extremes(sums), strict=True):
        figure = case.rules.figure(f"stair.two_rise_going.{end}")
        if figure is not None:
            text = f"Twice the rise plus the going is {case.size(worst)}, {_beside(case, worst, figure)}."
            yield case.tell(f"winder.two_rise_going.{end}", worst.name, text, worst, figure)


def _narrow(case: _Case) -> Iterator[Finding]:
    """The narrow ends, straight from nosing to nosing; round the newel's corner the way is longer."""
    figure, winders = case.rules.figure("stair.winder.narrow"), case.winders

    def straight(told: WinderFacts) -> tuple[float, ...]:
        return lay_winders(told).narrow_goings

    steps = case.steps(winders.narrow_goings, sigmas_of(winders.facts, straight))
    small, _ = extremes(steps)
    text = f"At the narrow end the smallest going is {case.size(small)} ({small.name})"
    if figure is not None:
        text += f", {_beside(case, small, figure)}"
        way = winders.narrow_ways[steps.index(small)]
        if _verdict(Step("", way, small.expanded), figure) is not _verdict(small, figure):
            text += f"; measured round the newel's corner it is {case.words.mm(way)}, so ask which is meant"
    yield case.tell("winder.narrow", small.name, text + ".", small, figure)


def _wide(case: _Case) -> Iterator[Finding]:
    figure, winders = case.rules.figure("stair.winder.wide"), case.winders

    def straight(told: WinderFacts) -> tuple[float, ...]:
        return lay_winders(told).wide_goings

    _, large = extremes(case.steps(winders.wide_goings, sigmas_of(winders.facts, straight)))
    text = f"At the wide end the largest going is {case.size(large)} ({large.name})"
    if figure is not None:
        text += f", {_beside(case, large, figure)}"
    yield case.tell("winder.wide", large.name, text + ".", large, figure)


def _rises(case: _Case) -> Iterator[Finding]:
    expanded = COVERAGE_FACTOR * case.winders.facts.rise_sigma
    steps = [
        Step(f"the rise to {name}", rise, expanded)
        for name, rise in zip(case.winders.names[1:], case.winders.rises, strict=True)
    ]
    small, large = extremes(steps)
    text = (
        f"The winders' rises run from {case.size(small)} ({small.name}) to {case.size(large)} ({large.name})"
    )
    figure = case.rules.figure("stair.rise.max")
    if figure is not None:
        text += f"; the largest is {_beside(case, large, figure)}"
    yield case.tell("winder.rise", large.name, text + ".", large, figure)
    figure = case.rules.figure("stair.rise.variation")
    if figure is not None:
        spread = Step("rises", large.size - small.size, math.sqrt(2.0) * expanded)
        text = f"The largest and the smallest of these rises differ by {case.size(spread)}, "
        text += f"{_beside(case, spread, figure)}."
        yield case.tell("winder.rise.variation", "rises", text, spread, figure)


def _beside(case: _Case, step: Step, figure: Figure) -> str:
    return beside(step.size, step.expanded, figure, case.words.mm(figure.value_mm))


def _verdict(step: Step, figure: Figure) -> Verdict:
    return judge(step.size, step.expanded, figure.value_mm, figure.compare)


def check_newel(winders: Winders, newel: AtNewel, show: Show = plain_mm) -> Iterator[Finding]:
    """The newel at the winders' inner corner as it is to be made: what it takes, and whether it reaches.

    Heights of ``newel`` count from the winders' first nosing. A foot above the lowest tread at it would hang in the
    air; a top under the higher rail would not take it.
    """
    words, where = Words(show), f"{winders.id}: newel"
    text = (
        f"The newel takes the winders' nosings over {words.mm(newel.highest - newel.lowest)} of its height; the "
        f"handrails meet it {words.mm(abs(newel.rise))} apart, that of the "
        f"{'upper' if newel.rise >= 0.0 else 'lower'} flight the higher. It is {words.mm(newel.length)} long."
    )
    yield Finding("winder.newel", Verdict.REPORT, where, text, newel.length)
    tread = tread_under(winders, newel.lowest)
    if newel.foot > tread:
        text = f"The newel's foot stands {words.mm(newel.foot - tread)} above the lowest tread that meets it."
        remedy = f"let it hang at least {words.enough(newel.foot - tread)} lower"
        size = (newel.foot, 0.0, tread)
        yield Finding("winder.newel.foot", Verdict.FAIL, where, text, *size, remedy=remedy)
    higher = max(newel.rail_in, newel.rail_out)
    if newel.top < higher:
        text = f"The newel's top stands {words.mm(higher - newel.top)} below the higher of its two handrails."
        remedy = f"make it {words.enough(higher - newel.top)} longer"
        size = (newel.top, 0.0, higher)
        yield Finding("winder.newel.top", Verdict.FAIL, where, text, *size, remedy=remedy)
