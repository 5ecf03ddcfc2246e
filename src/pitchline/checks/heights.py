"""Plumb height of the handrail's top above every finished nosing, and what the rules ask of it. Lengths in mm."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pitchline.catalogue.rules import Figure
from pitchline.checks.case import LIMIT_WORDS, Case, severity
from pitchline.checks.setting_out import height_weights, rail_height_expanded
from pitchline.checks.silhouettes import ends_of, middle_y, place_at
from pitchline.design.model import Design
from pitchline.kit.finding import Finding, Verdict, judge
from pitchline.kit.tolerances import SAME_POINT


@dataclass(frozen=True, slots=True)
class HeightAt:
    """Height of the rail's top above one nosing, with its expanded uncertainty (k = 2)."""

    nosing: str
    height: float
    expanded: float


def heights_of(design: Design) -> tuple[HeightAt, ...]:
    """Heights above every finished nosing of the flight, the edge of the upper floor included."""
    top = design.handrail.top
    return tuple(
        HeightAt(name, top.at(u) - z, rail_height_expanded(design, top, number))
        for number, (name, (u, z)) in enumerate(
            zip(design.flight.nosing_names, design.flight.nosings, strict=True), start=1
        )
    )


def beside_the_rail(design: Design, heights: Sequence[HeightAt]) -> tuple[HeightAt, ...]:
    """Those nosings that the balustrade passes: from the outer face of one end to that of the other."""
    foot, head = ends_of(design)
    low, high = foot.outer - SAME_POINT, head.outer + SAME_POINT
    places = zip(heights, design.flight.nosings, strict=True)
    return tuple(height for height, (u, _) in places if low <= u <= high)


@dataclass(frozen=True, slots=True)
class _Ask:
    """What one figure asks of a height, and what it is called."""

    code: str
    figure: str
    name: str


_ASKS = (
    _Ask("height.guard", "guard.flight.height", "guarding"),
    _Ask("height.handrail.least", "handrail.height.min", "handrail"),
    _Ask("height.handrail.most", "handrail.height.max", "handrail"),
)


def check_heights(case: Case, heights: Sequence[HeightAt]) -> Iterator[Finding]:
    """One finding for each figure on heights, at the nosing where it is hardest to keep."""
    beside = beside_the_rail(case.design, heights)
    if not beside:
        text = "The balustrade passes none of the nosings, so no height can be measured above one."
        yield case.advise("height.guard", "the flight", text)
        return
    for ask in _ASKS:
        figure = case.rules.figure(ask.figure)
        if figure is not None:
            yield _finding(case, ask, figure, beside)
    yield from _landing(case, heights[-1])


def judged(height: HeightAt, figure: Figure) -> Verdict:
    """One height against one figure."""
    return judge(height.height, height.expanded, figure.value_mm, figure.compare)


def spare(height: HeightAt, figure: Figure) -> float:
    """How much room the whole interval leaves to the limit, mm; negative where it reaches beyond."""
    at_least = figure.compare in ("ge", "gt")
    room = height.height - figure.value_mm if at_least else figure.value_mm - height.height
    return room - height.expanded


def worst_height(heights: Sequence[HeightAt], figure: Figure) -> HeightAt:
    """The height with the worst verdict, and among those the one with the least room."""
    return min(heights, key=lambda height: (severity(judged(height, figure)), spare(height, figure)))


def _finding(case: Case, ask: _Ask, figure: Figure, beside: Sequence[HeightAt]) -> Finding:
    worst = worst_height(beside, figure)
    measured, limit = case.words.measured(worst.height, worst.expanded), case.words.mm(figure.value_mm)
    verdict = judged(worst, figure)
    text = (
        f"Above {worst.nosing}, its tightest place, the {ask.name}'s top stands {measured} plumb; it must be "
        f"{LIMIT_WORDS[figure.compare]} {limit}."
    )
    return Finding(
        ask.code,
        verdict,
        case.at(f"{ask.name} at {worst.nosing}"),
        text,
        measured=worst.height,
        expanded_uncertainty=worst.expanded,
        limit=figure.value_mm,
        rule=case.rules.ref(ask.figure),
        remedy=_remedy(case, worst, figure, beside),
    )


def _remedy(case: Case, worst: HeightAt, figure: Figure, beside: Sequence[HeightAt]) -> str | None:
    verdict = judged(worst, figure)
    if verdict is Verdict.UNSURE:
        number = case.design.flight.nosing_names.index(worst.nosing) + 1
        wanted = height_weights(case.design, case.design.handrail.top, number).wanted()
        return case.reading_wanted(wanted, f"the rail's height over {worst.nosing}")
    if verdict is not Verdict.FAIL:
        return None
    return _shift(case, -min(spare(height, figure) for height in beside), figure, beside)


def _shift(case: Case, change: float, figure: Figure, beside: Sequence[HeightAt]) -> str:
    """Raise or lower the whole rail, and what that would do to the opposite limit."""
    up = figure.compare in ("ge", "gt")
    text = f"{'raise' if up else 'lower'} the whole rail by {case.words.enough(change)}"
    stated = [case.rules.figure(name) for name in _opposites(up)]
    for other in (figure for figure in stated if figure is not None):
        room, nosing = min((spare(height, other), height.nosing) for height in beside)
        if room < change:
            return (
                f"{text}; that would take it past {case.words.mm(other.value_mm)} at {nosing}: "
                "even out the treads or break the rail in two"
            )
    return text


def _opposites(up: bool) -> tuple[str, ...]:
    return ("handrail.height.max",) if up else ("guard.flight.height", "handrail.height.min")


def _landing(case: Case, last: HeightAt) -> Iterator[Finding]:
    """Where the rail runs on over the upper floor, its height there against the figure for landings."""
    design, figure = case.design, case.rules.figure("guard.landing.height")
    edge = design.flight.nosings[-1][0]
    end = place_at(design.handrail.finish, middle_y(design), design.handrail.top.at(edge))
    if figure is None or end <= edge:
        return
    verdict = judged(last, figure)
    text = (
        f"The rail runs on over the upper floor by {case.words.mm(end - edge)} and stands "
        f"{case.words.measured(last.height, last.expanded)} above its edge; guarding of the floor itself must be "
        f"at least {case.words.mm(figure.value_mm)}"
    )
    if verdict is not Verdict.PASS:
        verdict = Verdict.ADVICE
        text += ", so the higher guarding must begin at the edge or the rail rise to it"
    yield Finding(
        "height.landing",
        verdict,
        case.at("the upper floor"),
        text + ".",
        measured=last.height,
        expanded_uncertainty=last.expanded,
        limit=figure.value_mm,
        rule=case.rules.ref("guard.landing.height"),
    )
