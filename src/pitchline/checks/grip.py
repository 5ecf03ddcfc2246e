"""Whether a hand can close round the handrail: its section against the figures of the place. Lengths in mm."""

from collections.abc import Callable, Iterator
from dataclasses import replace

from pitchline.catalogue.rules import Figure
from pitchline.checks.case import LIMIT_WORDS, Case
from pitchline.checks.hand_sections import TypeOne, TypeTwo, section_of, type_one, type_two
from pitchline.design.model import Bar
from pitchline.kit.finding import Finding, Verdict, judge
from pitchline.kit.geometry.outlines import Points

EASED = 1.0
"""A radius asked for below this is a broken arris, done by hand, and not a shape of the section."""


def check_grip(case: Case, section: Points | None = None) -> Iterator[Finding]:
    """The handrail's section, or any other outline, against the figures of the place, which bind or advise."""
    outline = section or section_of(case.design.handrail)
    measures = type_one(outline)
    rules = case.rules
    if measures.is_round and rules.figure("handrail.grip.round.max") is not None:
        yield from _round(case, measures)
    elif rules.figure("handrail.grip.perimeter.max") is not None:
        yield from _shaped(case, outline, measures)
    elif rules.figure("handrail.grip.oval.width") is not None:
        yield from _oval(case, outline, measures)
    elif rules.figure("handrail.grip.round.max") is not None:
        yield _hold(case, measures)


def _binds(case: Case) -> bool:
    return case.rules.word("handrail.grip.duty", "advice") == "required"


def _against(case: Case, figure_id: str, measured: float, name: str, remedy: str) -> Finding | None:
    """One measure against its figure, as advice where the figures do not bind; None where none is stated."""
    figure = case.rules.figure(figure_id)
    if figure is None:
        return None
    verdict = judge(round(measured, 6), 0.0, figure.value_mm, figure.compare)
    failed = verdict is Verdict.FAIL
    asked = "must" if _binds(case) else "should"
    bound = f"{LIMIT_WORDS[figure.compare]} {case.words.mm(figure.value_mm)}"
    return Finding(
        figure.id,
        Verdict.ADVICE if failed and not _binds(case) else verdict,
        case.at("handrail"),
        f"{name} is {case.words.mm(measured)}; it {asked} be {bound}.",
        measured,
        0.0,
        figure.value_mm,
        rule=case.rules.ref(figure.id),
        remedy=remedy if failed else None,
    )


def _stated(*found: Finding | None) -> Iterator[Finding]:
    return (finding for finding in found if finding is not None)


def _round(case: Case, measures: TypeOne) -> Iterator[Finding]:
    name = "The round handrail's diameter"
    for end, word in (("min", "thicker"), ("max", "thinner")):
        yield from _stated(
            _against(case, f"handrail.grip.round.{end}", measures.across, name, f"choose a {word} rail")
        )


def _hold(case: Case, measures: TypeOne) -> Finding:
    """Where only figures for round rails are known: how this section compares, as advice."""
    low = case.rules.require("handrail.grip.round.min").value_mm
    high = case.rules.require("handrail.grip.round.max").value_mm
    bar = case.design.handrail
    size = f"{case.words.show(bar.width)} x {case.words.mm(bar.depth)}"
    bounds = f"{case.words.show(low)} to {case.words.mm(high)}"
    if low <= bar.width <= high:
        text = f"The rail of {size} lies within {bounds} across, the sizes for a round rail"
    else:
        word = "wider" if bar.width > high else "narrower"
        text = f"The rail of {size} is {word} than the {bounds} of a round rail"
    if _binds(case):
        text += "; these figures bind and this rail is not round, so ask whether it is accepted."
    else:
        text += "; a house needs a firm hold, so try a short piece in the hand, the smallest user's too."
    rule = case.rules.ref("handrail.grip.round.max")
    return Finding(
        "handrail.grip", Verdict.ADVICE, case.at("handrail"), text, bar.width, 0.0, high, rule=rule
    )


def _oval(case: Case, section: Points, measures: TypeOne) -> Iterator[Finding]:
    """Where a rail that is not round must lie within a width, a depth and an edge radius."""
    across, up = ([point[k] for point in section] for k in (0, 1))
    width, depth = max(across) - min(across), max(up) - min(up)
    for name, size in (("width", width), ("depth", depth)):
        figure = case.rules.figure(f"handrail.grip.oval.{name}")
        if figure is not None:
            less = case.words.enough(max(0.0, size - figure.value_mm))
            remedy = f"take {less} off the rail's {name}"
            yield from _stated(_against(case, figure.id, size, f"The handrail's {name}", remedy))
    yield from _edges(case, measures)


def _shaped(case: Case, section: Points, measures: TypeOne) -> Iterator[Finding]:
    """A section that is not round: the way round it, its largest measure, its edges, or its recesses."""
    name = "The way round the handrail"
    least = _against(case, "handrail.grip.perimeter.min", measures.perimeter, name, "choose a fuller section")
    if least is not None and least.verdict is not Verdict.PASS:
        yield least
        return
    most = case.rules.require("handrail.grip.perimeter.max")
    recess = _recess_of(case, section) if not _fits(measures.perimeter, most) else None
    if recess is not None:
        yield from _recessed(case, recess)
    else:
        remedy = narrower(case) + ", or give a wide one finger recesses on both sides"
        name_across = "The largest measure across the handrail"
        yield from _stated(
            _against(case, most.id, measures.perimeter, name, remedy),
            _against(case, "handrail.grip.across", measures.across, name_across, narrower(case)),
            _against(
                case,
                "handrail.grip.across.min",
                measures.least_across,
                "The least measure across the handrail",
                "choose a fuller section",
            ),
        )
    yield from _edges(case, measures)


def _fits(measured: float, figure: Figure) -> bool:
    return judge(round(measured, 6), 0.0, figure.value_mm, figure.compare) is Verdict.PASS


def narrower(case: Case) -> str:
    """By how much the rail must lose width so that its way round and its largest measure fit."""
    bar = case.design.handrail
    limits: list[tuple[Figure, Callable[[TypeOne], float]]] = []
    for figure_id, measure in (("perimeter.max", _perimeter), ("across", _across)):
        figure = case.rules.figure(f"handrail.grip.{figure_id}")
        if figure is not None:
            limits.append((figure, measure))

    def fits(width: float) -> bool:
        return all(_fits(measure(_measures(bar, width)), figure) for figure, measure in limits)

    low, high = bar.width / 4, bar.width
    if fits(high):
        return "leave the section as it is"
    if not fits(low):
        return "choose a smaller section with larger round-overs"
    while high - low > _NEAR_ENOUGH:
        middle = (low + high) / 2
        low, high = (middle, high) if fits(middle) else (low, middle)
    return f"make the rail {case.words.enough(bar.width - low)} narrower"


_NEAR_ENOUGH = 0.05
"""mm to which the width of a narrower rail is found: far below what is planed."""


def _measures(bar: Bar, width: float) -> TypeOne:
    return type_one(section_of(replace(bar, width=width)))


def _perimeter(measures: TypeOne) -> float:
    return measures.perimeter


def _across(measures: TypeOne) -> float:
    return measures.across


def _recess_of(case: Case, section: Points) -> TypeTwo | None:
    """The finger recesses of a wide section, where the place lets them make up for its width."""
    depth = case.rules.figure("handrail.grip.recess.depth")
    if depth is None:
        return None
    recess = type_two(section, depth.value_mm)
    return None if recess is None or recess.run == 0.0 else recess


def _recessed(case: Case, recess: TypeTwo) -> Iterator[Finding]:
    """A wide section by its finger recesses, measure by measure."""
    cut = "cut the finger recess to these sizes"
    wide = "choose another width over the recess"
    asks = (
        ("recess.top", recess.begins, "The level below the top where the finger recess begins", cut),
        ("recess.within", recess.within, "The way from there to the recess's full depth", cut),
        ("recess.run", recess.run, "The run of the recess at that depth", cut),
        ("recess.level", recess.level, "The level below the top to which the recess goes on", cut),
        ("above_recess.min", recess.above, "The width over the recess", wide),
        ("above_recess.max", recess.above, "The width over the recess", wide),
    )
    for figure_id, measured, name, remedy in asks:
        yield from _stated(_against(case, f"handrail.grip.{figure_id}", measured, name, remedy))


def _edges(case: Case, measures: TypeOne) -> Iterator[Finding]:
    """The radius of the edges: the upper ones as drawn, the lower ones as advice where they are sharp."""
    edge = case.rules.figure("handrail.grip.edge_radius")
    if edge is None or _fits(measures.edge_radius, edge):
        return
    upper = case.design.handrail.round_over
    if edge.value_mm > EASED:
        remedy = f"round the upper edges to {case.words.mm(edge.value_mm)}"
        yield from _stated(_against(case, edge.id, upper, "The radius of the handrail's upper edges", remedy))
    text = f"Ease the lower edges of the handrail too, to a radius of at least {edge.written}."
    yield case.advise("handrail.grip.edges", "handrail", text, "handrail.grip.edge_radius")
