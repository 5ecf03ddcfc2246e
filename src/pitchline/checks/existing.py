"""The stair as it is, reported and never failed: steps, pitch, headroom, width, steps that trip, string.

Figures of the place stand beside what was found, for the owner and building control to weigh; only new work is
judged. Lengths in mm, angles in degrees.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pitchline.catalogue.rules import Figure
from pitchline.checks.case import LIMIT_WORDS, Case
from pitchline.kit.finding import Finding, Verdict, judge
from pitchline.kit.tolerances import COVERAGE_FACTOR
from pitchline.stair.model import Flight
from pitchline.stair.pitch import fitted_line, fitted_pitch_sigma, pitch_deg, support_line


@dataclass(frozen=True, slots=True)
class Step:
    """One measured size of one step: ``name`` in words, the size, its expanded uncertainty."""

    name: str
    size: float
    expanded: float


def rises_of(flight: Flight) -> tuple[Step, ...]:
    """Every rise, the first from the lower floor."""
    names = ("", *flight.nosing_names)
    return tuple(
        Step(f"rise {number}", rise, flight.expanded({}, _difference(names[number], names[number - 1])))
        for number, rise in enumerate(flight.rises, start=1)
    )


def goings_of(flight: Flight) -> tuple[Step, ...]:
    """Every going; going 1 lies between the first two nosings."""
    names = flight.nosing_names
    return tuple(
        Step(f"going {number}", going, flight.expanded(_difference(names[number], names[number - 1])))
        for number, going in enumerate(flight.goings, start=1)
    )


def _difference(plus: str, minus: str) -> dict[str, float]:
    return {plus: 1.0, minus: -1.0} if minus else {plus: 1.0}


def two_rise_going_of(flight: Flight) -> tuple[Step, ...]:
    """Twice the rise plus the going of every tread between two nosings: rise k + 1 with going k."""
    names = flight.nosing_names
    found = []
    for number, (rise, going) in enumerate(zip(flight.rises[1:], flight.goings, strict=True), start=1):
        low, high = names[number - 1], names[number]
        height = {high: 2.0, low: -2.0}
        found.append(
            Step(f"step {number}", 2.0 * rise + going, flight.expanded(_difference(high, low), height))
        )
    return tuple(found)


def check_existing(case: Case) -> Iterator[Finding]:
    """Everything reported of the stair that stands."""
    flight = case.design.flight
    rises, goings = rises_of(flight), goings_of(flight)
    yield from _sizes(case, "stair.rise", "rises", rises)
    yield from _sizes(case, "stair.going", "goings", goings)
    yield from _sizes(
        case, "stair.two_rise_going", "sums of two rises and a going", two_rise_going_of(flight)
    )
    yield from _variation(case, "stair.rise.variation", "rises", rises)
    yield from _variation(case, "stair.going.variation", "goings", goings)
    yield from _pitch(case)
    yield from _stated(case, "stair.headroom", "headroom", flight.headroom, "stair.headroom.min")
    yield from _stated(case, "stair.width", "width", flight.width, "stair.width.min")
    yield from _overhang(case)
    yield from _flight_rise(case)


def report(
    case: Case,
    code: str,
    place: str,
    text: str,
    step: Step | None = None,
    figure: Figure | None = None,
    unit: str = "mm",
) -> Finding:
    """Something about the stair that stands, with the figure for a new one beside it."""
    return Finding(
        code,
        Verdict.REPORT,
        case.at(place),
        text,
        None if step is None else step.size,
        None if step is None else step.expanded,
        None if figure is None else figure.value,
        unit,
        None if figure is None else case.rules.ref(figure.id),
    )


def beside(measured: float, expanded: float, figure: Figure, shown: str) -> str:
    """How a measured size of the stair compares with a figure, in words that judge nothing."""
    asked = f"{LIMIT_WORDS[figure.compare]} {shown}"
    return {
        Verdict.PASS: f"within the figure for a new stair ({asked})",
        Verdict.FAIL: f"outside the figure for a new stair ({asked})",
        Verdict.UNSURE: f"too near the figure for a new stair to tell ({asked})",
    }[judge(measured, expanded, figure.value, figure.compare)]


def extremes(steps: Sequence[Step]) -> tuple[Step, Step]:
    """The smallest and the largest step, the first of those that are alike to a millionth of a millimetre."""
    return min(steps, key=lambda step: round(step.size, 6)), max(steps, key=lambda step: round(step.size, 6))


def _sizes(case: Case, code: str, name: str, steps: Sequence[Step]) -> Iterator[Finding]:
    """The range of one size, and its largest and smallest against the figures of the place."""
    if not steps:
        return
    words = case.words
    small, large = extremes(steps)
    text = (
        f"The {name} run from {words.measured(small.size, small.expanded)} ({small.name}) to "
        f"{words.measured(large.size, large.expanded)} ({large.name})"
    )
    yield report(case, code, "the stair", text + ".", large)
    for step, end, word in ((small, "min", "smallest"), (large, "max", "largest")):
        figure = case.rules.figure(f"{code}.{end}")
        if figure is not None:
            compared = beside(step.size, step.expanded, figure, words.mm(figure.value_mm))
            size = words.measured(step.size, step.expanded)
            yield report(
                case, figure.id, step.name, f"The {word} of the {name}, {size}, is {compared}.", step, figure
            )


def _variation(case: Case, code: str, name: str, steps: Sequence[Step]) -> Iterator[Finding]:
    if len(steps) < 2:
        return
    flight, words = case.design.flight, case.words
    small, large = extremes(steps)
    spread = Step(name, large.size - small.size, math.hypot(small.expanded, large.expanded))
    text = f"The largest and the smallest of the {len(steps)} {name} differ by "
    text += words.measured(spread.size, spread.expanded)
    figure = case.rules.figure(code)
    if figure is not None:
        text += f", {beside(spread.size, spread.expanded, figure, words.mm(figure.value_mm))}"
    else:
        text += "; no tolerance is stated here, steps of a flight are to be equal"
    yield report(case, code, flight.id, text + ".", spread, figure)


def _pitch(case: Case) -> Iterator[Finding]:
    """The three lines over the nosings: what is there step by step, the straightedge, the fitted line."""
    flight = case.design.flight
    fitted = pitch_deg(fitted_line(flight.nosings))
    expanded = COVERAGE_FACTOR * math.degrees(fitted_pitch_sigma(flight))
    steps = [
        (math.degrees(math.atan2(rise, going)), number)
        for number, (rise, going) in enumerate(zip(flight.rises[1:], flight.goings, strict=True), start=1)
    ]
    (flattest, low), (steepest, high) = min(steps), max(steps)
    text = (
        f"The line fitted to the nosings rises at {fitted:.2f} ± {expanded:.2f} degrees, a straightedge laid on "
        f"them lies at {pitch_deg(support_line(flight.nosings)):.2f}, and single steps run from {flattest:.1f} "
        f"(step {low}) to {steepest:.1f} (step {high})"
    )
    pitch = Step("pitch", fitted, expanded)
    figure = case.rules.figure("stair.pitch.max")
    if figure is not None:
        text += f"; the fitted pitch is {beside(fitted, expanded, figure, f'{figure.value:g} degrees')}"
    yield report(case, "stair.pitch", flight.id, text + ".", pitch, figure, "deg")


def _stated(case: Case, code: str, name: str, size: float | None, figure_id: str) -> Iterator[Finding]:
    figure = case.rules.figure(figure_id)
    if size is None:
        if figure is not None:
            text = f"The {name} was not given; a new stair needs {case.words.mm(figure.value_mm)}."
            yield report(case, code, "the stair", text, None, figure)
        return
    text = f"The stair's {name} is {case.words.mm(size)}"
    if figure is not None:
        text += f", {beside(size, 0.0, figure, case.words.mm(figure.value_mm))}"
    yield report(case, code, "the stair", text + ".", Step(name, size, 0.0), figure)


def _overhang(case: Case) -> Iterator[Finding]:
    """The nosings' overhang, where the place asks for one on narrow treads."""
    flight, below = case.design.flight, case.rules.figure("stair.nosing.below")
    narrow = below is not None and bool(flight.goings) and min(flight.goings) < below.value_mm
    for end in ("min", "max"):
        figure = case.rules.figure(f"stair.nosing.{end}")
        if figure is not None and (end == "max" or narrow or below is None):
            size = flight.nosing_overhang
            compared = beside(size, 0.0, figure, case.words.mm(figure.value_mm))
            text = f"The nosings overhang by {case.words.mm(size)}, {compared}."
            yield report(case, figure.id, "the stair", text, Step("overhang", size, 0.0), figure)


def _flight_rise(case: Case) -> Iterator[Finding]:
    figure, flight = case.rules.figure("stair.flight_rise.max"), case.design.flight
    if figure is None:
        return
    total = flight.nosings[-1][1]
    rise = Step("flight", total, flight.expanded({}, {flight.nosing_names[-1]: 1.0}))
    compared = beside(rise.size, rise.expanded, figure, case.words.mm(figure.value_mm))
    text = f"The flight rises {case.words.measured(rise.size, rise.expanded)}, {compared}."
    yield report(case, figure.id, flight.id, text, rise, figure)
