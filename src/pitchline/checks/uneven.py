"""Where the stair that stands is uneven: steps that trip, nosings off the line, a string that drifts.

Reported, never failed. Lengths in mm.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence

from pitchline.checks.case import Case
from pitchline.checks.existing import Step, goings_of, rises_of
from pitchline.kit.finding import Finding, Verdict
from pitchline.kit.tolerances import OUT_OF_LINE, TRIP_STEP
from pitchline.stair.model import Flight
from pitchline.stair.pitch import fitted_line


def check_uneven(case: Case) -> Iterator[Finding]:
    """Steps out of step with their neighbours, nosings proud or hollow, the string's margin."""
    flight = case.design.flight
    yield from _trips(case, "rise", rises_of(flight), "stair.rise.variation", _rise_weights)
    yield from _trips(case, "going", goings_of(flight), "stair.going.variation", _going_weights)
    yield from _off_line(case)
    yield from _margin(case)


Weights = Callable[[Flight, int, float], tuple[Mapping[str, float], Mapping[str, float]]]


def _rise_weights(
    flight: Flight, number: int, factor: float
) -> tuple[Mapping[str, float], Mapping[str, float]]:
    names = ("floor", *flight.nosing_names)
    return {}, {names[number]: factor, names[number - 1]: -factor}


def _going_weights(
    flight: Flight, number: int, factor: float
) -> tuple[Mapping[str, float], Mapping[str, float]]:
    names = flight.nosing_names
    return {names[number]: factor, names[number - 1]: -factor}, {}


def neighbours_of(number: int, count: int) -> tuple[int, ...]:
    """The numbers (from 1) of the steps beside a step; the first and the last look at the two next to them."""
    middle = min(max(number, 2), count - 1)
    return tuple(k for k in (middle - 1, middle, middle + 1) if k != number and 1 <= k <= count)


def departure(sizes: Sequence[float], number: int) -> float:
    """How much a step's size (numbered from 1) differs from the mean of its neighbours', mm."""
    beside = neighbours_of(number, len(sizes))
    return sizes[number - 1] - sum(sizes[k - 1] for k in beside) / len(beside)


def odd_steps(sizes: Sequence[float], allowed: Sequence[float]) -> dict[int, float]:
    """The steps that are out of step with their neighbours, by number, with their departures.

    A step is odd when it departs by more than its entry in ``allowed``. The oddest is named first and then taken
    to be as its neighbours are, so that it does not make its neighbours look odd too.
    """
    evened, odd = list(sizes), dict[int, float]()
    while True:
        offs = {k: departure(evened, k) for k in range(1, len(sizes) + 1) if k not in odd}
        over = {k: off for k, off in offs.items() if round(abs(off), 6) > allowed[k - 1]}
        if not over:
            return dict(sorted(odd.items()))
        oddest = max(over, key=lambda k: (round(abs(over[k]), 6), -k))
        odd[oddest] = over[oddest]
        evened[oddest - 1] -= over[oddest]


def _departure_expanded(flight: Flight, count: int, number: int, weights: Weights) -> float:
    beside = neighbours_of(number, count)
    along: dict[str, float] = {}
    height: dict[str, float] = {}
    for k, factor in ((number, 1.0), *((k, -1.0 / len(beside)) for k in beside)):
        for total, part in zip((along, height), weights(flight, k, factor), strict=True):
            for name, weight in part.items():
                total[name] = total.get(name, 0.0) + weight
    return flight.expanded(along, height)


def _trips(
    case: Case, name: str, steps: Sequence[Step], figure_id: str, weights: Weights
) -> Iterator[Finding]:
    """Steps that differ from their neighbours' mean by more than the tolerance and more than is uncertain."""
    if len(steps) < 3:
        return
    figure, words = case.rules.figure(figure_id), case.words
    tolerance = TRIP_STEP if figure is None else figure.value_mm
    flight, count = case.design.flight, len(steps)
    expanded = [_departure_expanded(flight, count, number, weights) for number in range(1, count + 1)]
    odd = odd_steps([step.size for step in steps], [max(tolerance, spread) for spread in expanded])
    for number, off in odd.items():
        step = steps[number - 1]
        word = {"rise": ("higher", "lower"), "going": ("longer", "shorter")}[name][off < 0.0]
        by = words.measured(abs(off), expanded[number - 1])
        text = (
            f"{step.name.capitalize()} ({words.mm(step.size)}) is {by} {word} than its neighbours' mean, more than "
            f"{words.mm(tolerance)}: a foot may trip there."
        )
        yield Finding(
            f"stair.trip.{name}",
            Verdict.REPORT,
            case.at(step.name),
            text,
            off,
            expanded[number - 1],
            tolerance,
            rule=None if figure is None else case.rules.ref(figure_id),
            remedy="mark the step, light it, or even it out with the finish",
        )


def off_line(flight: Flight) -> tuple[float, ...]:
    """How far each nosing stands plumb above the fitted line, mm (negative: below it)."""
    line = fitted_line(flight.nosings)
    return tuple(z - line.at(u) for u, z in flight.nosings)


def _off_line(case: Case) -> Iterator[Finding]:
    flight = case.design.flight
    offs = list(zip(off_line(flight), flight.nosing_names, strict=True))
    proud = [f"{name} by {case.words.mm(off)}" for off, name in offs if off > OUT_OF_LINE]
    hollow = [f"{name} by {case.words.mm(-off)}" for off, name in offs if off < -OUT_OF_LINE]
    largest, where = max(offs, key=lambda pair: abs(pair[0]))
    if proud or hollow:
        said = [
            f"{word} {', '.join(names)}" for word, names in (("proud", proud), ("hollow", hollow)) if names
        ]
        text = f"Off the fitted line, measured plumb, stand {'; '.join(said)}."
    else:
        text = (
            f"All nosings lie within {case.words.mm(OUT_OF_LINE)} of one straight line (largest: {where}, "
            f"{case.words.mm(abs(largest))})."
        )
    yield Finding("stair.line", Verdict.REPORT, case.at(where), text, largest, limit=OUT_OF_LINE)


def _margin(case: Case) -> Iterator[Finding]:
    flight = case.design.flight
    if flight.string is None:
        return
    margins = [
        (flight.string.top.at(u) - z, name)
        for name, (u, z) in zip(flight.nosing_names, flight.nosings, strict=True)
    ]
    (low, lowest), (high, highest) = min(margins), max(margins)
    first, last = flight.nosings[0][0], flight.nosings[-1][0]
    drift = (flight.string.top.slope - fitted_line(flight.nosings).slope) * (last - first)
    text = (
        f"The string stands {case.words.mm(low)} ({lowest}) to {case.words.mm(high)} ({highest}) above the nosings; "
        f"along the flight it {'gains' if drift >= 0 else 'loses'} {case.words.mm(abs(drift))} on their fitted line."
    )
    yield Finding("stair.margin", Verdict.REPORT, case.at("string"), text, high - low)
