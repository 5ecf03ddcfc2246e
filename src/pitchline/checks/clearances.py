"""What is overhead: headroom over the steps, and room for a hand over a rail, under soffits and flights above.

Both are plumb. The line over which headroom is measured runs straight from nosing to nosing; it and an underside are
straight between their corners, so the least room stands at one of those. Lengths in mm.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from pitchline.catalogue.rules import RuleSet
from pitchline.checks.case import LIMIT_WORDS, Case
from pitchline.checks.wall_measure import WallCase, spans
from pitchline.kit.finding import Finding, Verdict, judge
from pitchline.kit.geometry.lines import Point2
from pitchline.kit.tolerances import HAND_OVER_RAIL
from pitchline.kit.words import Words
from pitchline.stair.model import Soffit


@dataclass(frozen=True, slots=True)
class Room:
    """The least plumb room under one soffit, and where along the leg."""

    soffit: str
    room: float
    u: float


def rooms_under(soffits: Sequence[Soffit], line: Sequence[Point2]) -> tuple[Room, ...]:
    """The least room between a chain of points and each soffit over it; none where they do not pass each other."""
    found = []
    for soffit in soffits:
        places = _shared(soffit, line)
        if places:
            under = soffit.underside
            room, u = min((under.at(u) - _height(line, u), u) for u in places)
            found.append(Room(soffit.id, room, u))
    return tuple(found)


def _shared(soffit: Soffit, line: Sequence[Point2]) -> list[float]:
    """Corners of the chain and of the soffit where both are there."""
    a, b = sorted((soffit.start[0], soffit.finish[0]))
    low, high = max(a, line[0][0]), min(b, line[-1][0])
    if low > high:
        return []
    return [low, high, *(u for u, _ in line if low < u < high)]


def _height(line: Sequence[Point2], u: float) -> float:
    for (a, low), (b, high) in pairwise(line):
        if u <= b:
            return low + (high - low) * (u - a) / (b - a) if b > a else max(low, high)
    return line[-1][1]


def check_clearances(case: Case) -> Iterator[Finding]:
    """Headroom and room for a hand over one leg of a balustrade; nothing where nothing is overhead."""
    flight, rail = case.design.flight, case.design.handrail
    told = _Told(case.rules, case.words, case.design.id, case.leg)
    yield from _headroom(told, rooms_under(flight.soffits, flight.nosings))
    ends = (rail.start.point[0], rail.finish.point[0])
    yield from _hands(told, rooms_under(flight.soffits, tuple(rail.top.point(u) for u in ends)))


def overhead_of_wall_rail(case: WallCase) -> Iterator[Finding]:
    """The same for the legs of a wall rail."""
    for leg in case.rail.legs:
        told = _Told(case.rules, case.words, case.rail.id, f"wall beside {leg.id}")
        nosings = tuple((nosing.u, nosing.z) for nosing in leg.nosings)
        yield from _headroom(told, rooms_under(leg.soffits, nosings))
        for span in spans(case.rail, leg):
            yield from _hands(told, rooms_under(leg.soffits, span))


@dataclass(frozen=True, slots=True)
class _Told:
    """Whose clearance it is, and how lengths are written."""

    rules: RuleSet
    words: Words
    id: str
    place: str


def _headroom(told: _Told, rooms: Sequence[Room]) -> Iterator[Finding]:
    """Reported, for the stair stands: how much room is overhead, with the figure beside it."""
    figure = told.rules.figure("stair.headroom.min")
    for room in rooms:
        text = f"Under {room.soffit} the headroom is {told.words.mm(room.room)}, plumb above the line of the nosings"
        rule, limit = None, None
        if figure is not None:
            fits = judge(room.room, 0.0, figure.value, figure.compare) is Verdict.PASS
            asked = f"{LIMIT_WORDS[figure.compare]} {told.words.mm(figure.value_mm)}"
            text += f", {'within' if fits else 'outside'} the figure for a new stair ({asked})"
            rule, limit = told.rules.ref(figure.id), figure.value
        where = f"{told.id}: {told.place}, under {room.soffit}"
        size = (room.room, 0.0, limit)
        yield Finding("stair.headroom.under", Verdict.REPORT, where, text + ".", *size, rule=rule)


def _hands(told: _Told, rooms: Sequence[Room]) -> Iterator[Finding]:
    """Room for a hand between the rail and what is over it."""
    for room in rooms:
        where = f"{told.id}: {told.place}, under {room.soffit}"
        size = (room.room, 0.0, HAND_OVER_RAIL)
        if room.room >= HAND_OVER_RAIL:
            text = f"Over the rail {told.words.mm(room.room)} are free under {room.soffit}; a hand passes."
            yield Finding("handrail.clear.over", Verdict.PASS, where, text, *size)
            continue
        at = told.words.mm(room.u)
        met = (
            "the rail meets it"
            if room.room <= 0.0
            else f"only {told.words.mm(room.room)} are free over the rail"
        )
        asked = told.words.mm(HAND_OVER_RAIL)
        text = f"Under {room.soffit}, {at} along, {met}; a hand needs {asked} (common practice)."
        remedy = "end the rail before it, or set it lower or further out"
        yield Finding("handrail.clear.over", Verdict.ADVICE, where, text, *size, remedy=remedy)
