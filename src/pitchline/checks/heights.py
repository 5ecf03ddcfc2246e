"""Plumb height of the handrail's top above every finished nosing, and what the rules ask of it. Lengths in mm."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pitchline.catalogue.rules import Figure
from pitchline.checks.case import LIMIT_WORDS, Case, severity
from pitchline.checks.drops import guard_figure
from pitchline.checks.setting_out import height_weights, rail_height_expanded
from pitchline.checks.silhouettes import ends_of
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
    """Heights above every finished nosing of the leg, the edge of the upper floor included."""
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
class Asked:
    """One height and the figure that is asked of it there."""

    height: HeightAt
    figure: Figure

    @property
    def verdict(self) -> Verdict:
        """The height against its figure."""
        return judged(self.height, self.figure)

    @property
    def spare(self) -> float:
        """How much room the whole interval leaves to the limit, mm; negative where it reaches beyond."""
        return spare(self.height, self.figure)


def check_heights(case: Case, heights: Sequence[HeightAt]) -> Iterator[Finding]:
    """One finding for each figure on heights, at the nosing where it is hardest to keep."""
    beside = beside_the_rail(case.design, heights)
    if not beside:
        text = "The balustrade passes none of the nosings, so no height can be measured above one."
        yield case.advise("height.guard", case.leg, text)
        return
    guard = _guard_asked(case, beside)
    if guard:
        yield _finding(case, "height.guard", "guarding", guard)
    if case.design.flight.is_level:
        yield from _along_floor(case, beside)
        return
    if not top_is_handrail(case):
        yield _own_handrail(case, beside)
        return
    for code, figure in _handrail_figures(case):
        yield _finding(case, code, "handrail", [Asked(height, figure) for height in beside])


def _along_floor(case: Case, beside: Sequence[HeightAt]) -> Iterator[Finding]:
    """The handrail's window along the edge of a floor, where the place states one."""
    for end, code in (("min", "least"), ("max", "most")):
        figure = case.rules.figure(f"handrail.landing.{end}")
        if figure is not None:
            yield _finding(
                case, f"height.floor.{code}", "handrail", [Asked(height, figure) for height in beside]
            )


def top_is_handrail(case: Case) -> bool:
    """Whether the top of the guarding may be the flight's handrail; else the handrail is a rail of its own.

    It cannot be where the guarding's least height leaves no room below the handrail's greatest.
    """
    guard, rail = case.rules.figure("guard.flight.height"), case.rules.figure("handrail.height.max")
    room = guard is None or rail is None or guard.value_mm < rail.value_mm
    return room and case.rules.word("guard.top.as_handrail", "yes") == "yes"


def _guard_asked(case: Case, beside: Sequence[HeightAt]) -> list[Asked]:
    """What is asked of the guarding over each nosing, by the drop beside it."""
    names = case.design.flight.nosing_names
    asked = []
    for height in beside:
        flight = case.design.flight
        drop = flight.drop_beside(names.index(height.nosing) + 1)
        expanded = flight.expanded({}, {height.nosing: 1.0})
        figure = guard_figure(case.rules, "landing" if flight.is_level else "flight", drop, expanded)
        if figure is not None:
            asked.append(Asked(height, figure))
    return asked


def _handrail_figures(case: Case) -> Iterator[tuple[str, Figure]]:
    """The window of the handrail, and that of a guarding whose top is the handrail where it is another."""
    for end, code in (("min", "least"), ("max", "most")):
        rail, top = case.rules.figure(f"handrail.height.{end}"), case.rules.figure(f"guard.top.{end}")
        if rail is not None:
            yield f"height.handrail.{code}", rail
        if top is not None and (rail is None or (top.value, top.compare) != (rail.value, rail.compare)):
            yield f"height.top.{code}", top


def _own_handrail(case: Case, beside: Sequence[HeightAt]) -> Finding:
    """Where the top of the guarding may not be the handrail, the flight wants a handrail of its own."""
    ends = [case.rules.figure(f"handrail.height.{end}") for end in ("min", "max")]
    stated = [figure for figure in ends if figure is not None]
    window = " to ".join(case.words.mm(figure.value_mm) for figure in stated)
    sides = case.rules.figure("handrail.sides")
    both = sides is not None and sides.value >= 2.0
    where = "on this side too, and this design has none" if both else "on one side of the flight"
    text = (
        f"The top of the guarding cannot be the handrail here: a handrail of its own, its top {window} above the "
        f"nosings, is needed {where}."
    )
    choice = case.rules.choice("guard.top.as_handrail")
    rule = stated[-1].id if choice is None else choice.id
    return Finding(
        "height.handrail.own",
        Verdict.FAIL if both else Verdict.ADVICE,
        case.at("handrail"),
        text,
        min(height.height for height in beside),
        0.0,
        stated[-1].value_mm if stated else None,
        rule=case.rules.ref(rule),
        remedy=f"fix a second rail inside the balustrade with its top {window} above the nosings"
        if both
        else None,
    )


def judged(height: HeightAt, figure: Figure) -> Verdict:
    """One height against one figure."""
    return judge(height.height, height.expanded, figure.value_mm, figure.compare)


def spare(height: HeightAt, figure: Figure) -> float:
    """How much room the whole interval leaves to the limit, mm; negative where it reaches beyond."""
    at_least = figure.compare in ("ge", "gt")
    room = height.height - figure.value_mm if at_least else figure.value_mm - height.height
    return room - height.expanded


def worst_asked(asked: Sequence[Asked]) -> Asked:
    """The height with the worst verdict, and among those the one with the least room."""
    return min(asked, key=lambda one: (severity(one.verdict), one.spare))


def _finding(case: Case, code: str, name: str, asked: Sequence[Asked]) -> Finding:
    worst = worst_asked(asked)
    height, figure = worst.height, worst.figure
    measured, limit = case.words.measured(height.height, height.expanded), case.words.mm(figure.value_mm)
    text = (
        f"Above {height.nosing}, its tightest place, the {name}'s top stands {measured} plumb; it must be "
        f"{LIMIT_WORDS[figure.compare]} {limit}."
    )
    return Finding(
        code,
        worst.verdict,
        case.at(f"{name} at {height.nosing}"),
        text,
        measured=height.height,
        expanded_uncertainty=height.expanded,
        limit=figure.value_mm,
        rule=case.rules.ref(figure.id),
        remedy=_remedy(case, worst, asked),
    )


def _remedy(case: Case, worst: Asked, asked: Sequence[Asked]) -> str | None:
    if worst.verdict is Verdict.UNSURE:
        name = worst.height.nosing
        number = case.design.flight.nosing_names.index(name) + 1
        wanted = height_weights(case.design, case.design.handrail.top, number).wanted()
        return case.reading_wanted(wanted, f"the rail's height over {name}")
    if worst.verdict is not Verdict.FAIL:
        return None
    up = worst.figure.compare in ("ge", "gt")
    return _shift(case, -min(one.spare for one in asked), up, [one.height for one in asked])


def _shift(case: Case, change: float, up: bool, beside: Sequence[HeightAt]) -> str:
    """Raise or lower the whole rail, and what that would do to the opposite limit."""
    text = f"{'raise' if up else 'lower'} the whole rail by {case.words.enough(change)}"
    stated = [case.rules.figure(name) for name in _opposites(up)] if top_is_handrail(case) else []
    for other in (figure for figure in stated if figure is not None):
        room, nosing = min((spare(height, other), height.nosing) for height in beside)
        if room < change:
            return (
                f"{text}; that would take it past {case.words.mm(other.value_mm)} at {nosing}: "
                "even out the treads or break the rail in two"
            )
    return text


def _opposites(up: bool) -> tuple[str, ...]:
    if up:
        return ("handrail.height.max", "guard.top.max")
    return ("guard.flight.height", "handrail.height.min", "guard.top.min")
