"""The brackets of a wall rail measured: distances, screws, and what they hold in. Lengths in mm, level.

What the rules of a place state is judged; the trade's practice is told as advice.
"""

from collections.abc import Iterator
from itertools import pairwise

from pitchline.checks.wall_measure import WallCase, spans
from pitchline.design.wall_brief import Backing
from pitchline.design.wall_model import Bracket, WallLeg
from pitchline.kit.finding import Finding, Verdict
from pitchline.kit.tolerances import SAME_POINT

TRADE_APART = 1220.0
"""Brackets further apart than this let a rail spring (common practice: 48 in at most)."""

TRADE_FIRST = 300.0
"""An end that reaches further past its bracket than this works loose (common practice, no source)."""

TRADE_INTO_WOOD = 38.0
"""How far a bracket's screws go into a stud (common practice: 1 1/2 in)."""


def check_fixings(case: WallCase) -> Iterator[Finding]:
    """Distances between the brackets of every leg, their screws, and whether they sit on wood."""
    for number, leg in enumerate(case.rail.legs):
        held = [bracket for bracket in case.rail.brackets if bracket.leg == number]
        yield from _distances(case, leg, held)
        if leg.face.backing is Backing.STUDS:
            yield from _on_studs(case, leg, held)
    yield from _screws(case)


def _distances(case: WallCase, leg: WallLeg, held: list[Bracket]) -> Iterator[Finding]:
    place = f"wall beside {leg.id}"
    if not held:
        text = f"No bracket holds the rail beside {leg.id}."
        yield case.tell("handrail.fixing.apart", Verdict.FAIL, place, text)
        return
    own = [u for span in spans(case.rail, leg) for u, _ in span]
    start = max(min(own), leg.start) if _joined(case, leg, before=True) else min(own)
    finish = min(max(own), leg.finish) if _joined(case, leg, before=False) else max(own)
    places = [bracket.u for bracket in held]
    apart = max((b - a for a, b in pairwise(places)), default=0.0)
    first = max(places[0] - start, finish - places[-1])
    yield _distance(case, place, "handrail.fixing.apart", apart, TRADE_APART, "Brackets stand up to")
    yield _distance(
        case,
        place,
        "handrail.fixing.first",
        first,
        TRADE_FIRST,
        "The rail runs past its outer brackets by up to",
    )


def _joined(case: WallCase, leg: WallLeg, *, before: bool) -> bool:
    """Whether the rail goes on without a break before or behind a leg."""
    number = case.rail.legs.index(leg)
    return any(number in run and (number > run[0] if before else number < run[-1]) for run in case.rail.runs)


def _distance(
    case: WallCase, place: str, figure_id: str, measured: float, trade: float, what: str
) -> Finding:
    figure, words = case.rules.figure(figure_id), case.words
    remedy = "set a bracket between, on a backing board or noggins where no stud is"
    if figure is not None:
        text = f"{what} {words.mm(measured)}; at most {words.mm(figure.value_mm)} may be."
        return case.compare(figure, place, text, measured, remedy)
    over = measured > trade + SAME_POINT
    text = f"{what} {words.mm(measured)}; the trade keeps to {words.mm(trade)} (common practice)."
    verdict = Verdict.ADVICE if over else Verdict.PASS
    size = (measured, 0.0, trade)
    return Finding(figure_id, verdict, case.at(place), text, *size, remedy=remedy if over else None)


def _on_studs(case: WallCase, leg: WallLeg, held: list[Bracket]) -> Iterator[Finding]:
    """Every bracket's screws against the edges of its stud."""
    least = case.rail.brief.brackets.edge
    for bracket in held:
        edges = [stud.half_width - abs(bracket.u - stud.u) for stud in leg.studs]
        edge = max(edges, default=-1.0)
        if edge < least - SAME_POINT:
            text = (
                f"The screws of {bracket.id} stand {case.words.mm(max(edge, 0.0))} from the edge of the nearest "
                f"stud; {case.words.mm(least)} are wanted."
            )
            yield case.tell("handrail.fixing.stud", Verdict.FAIL, f"bracket {bracket.id}", text)
    text = f"{len(held)} of {len(leg.studs)} studs beside {leg.id} carry a bracket: try each with a fine drill first."
    yield case.tell("handrail.fixing.stud", Verdict.REPORT, f"wall beside {leg.id}", text)


def _screws(case: WallCase) -> Iterator[Finding]:
    """Number of screws, and how far they go into wood behind the lining."""
    brief, words = case.rail.brief.brackets, case.words
    count = case.rules.figure("handrail.fixing.screws")
    if count is not None:
        text = f"Every bracket has {brief.screws} screws; at least {count.value:g} are asked."
        yield case.compare(count, "brackets", text, float(brief.screws), "take brackets with more screws")
    linings = [leg.face.lining for leg in case.rail.legs if leg.face.backing is Backing.STUDS]
    if not linings:
        return
    packing = max((bracket.packing for bracket in case.rail.brackets), default=0.0)
    into = brief.screw_length - max(linings) - packing
    figure = case.rules.figure("handrail.fixing.into_wood")
    if figure is not None:
        text = (
            f"The screws go {words.mm(into)} into the studs; at least {words.mm(figure.value_mm)} are asked."
        )
        remedy = f"take screws {words.enough(figure.value_mm - into)} longer"
        yield case.compare(figure, "brackets", text, into, remedy)
        return
    short = into < TRADE_INTO_WOOD
    asked = words.mm(TRADE_INTO_WOOD)
    text = f"The screws go {words.mm(into)} into the studs; the trade asks {asked} (common practice)."
    verdict = Verdict.ADVICE if short else Verdict.PASS
    size = (into, 0.0, TRADE_INTO_WOOD)
    yield Finding("handrail.fixing.into_wood", verdict, case.at("brackets"), text, *size)
