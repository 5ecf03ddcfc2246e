"""A balustrade along an edge of several legs: handrail lines that meet, turns built once, then every leg laid out.

Lengths in mm, angles in radians.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from pitchline.design.brief import (
    AtTurn,
    Brief,
    ExistingNewel,
    HalfNewel,
    NewelBetween,
    NewNewel,
    Spread,
    TurnBrief,
    TurnNewel,
)
from pitchline.design.compose import Joined, compose
from pitchline.design.limits import Limits
from pitchline.design.model import Design, Easement
from pitchline.design.posts import BuiltEnd
from pitchline.design.rail_runs import Meeting, RailLeg, lines_of
from pitchline.design.turn_remarks import turn_remarks
from pitchline.design.turns import (
    BuiltTurn,
    LegEnd,
    build_turn,
    corners,
    crosses,
    is_straight_on,
    joins_rails,
)
from pitchline.kit.errors import ImpossibleDesignError
from pitchline.kit.finding import Finding
from pitchline.kit.geometry.lines import Line
from pitchline.kit.words import Show, Words, plain_mm
from pitchline.stair.edge import Edge, EdgeTurn, LegPlace, Spot, alone, places_of
from pitchline.stair.model import Flight, Side


@dataclass(frozen=True, slots=True)
class Numbers:
    """What the bars, newels, members and turns of an edge begin to be numbered with."""

    bar: int = 1
    post: int = 1
    member: int = 1
    turn: int = 1


@dataclass(frozen=True, eq=False)
class Balustrade:
    """The balustrade of one edge: its legs from the foot up, where each lies, and the turns between them.

    ``edge`` is the id of its edge, empty where it is a single flight's side.
    """

    id: str
    title: str
    legs: tuple[Design, ...]
    places: tuple[LegPlace, ...]
    turns: tuple[BuiltTurn, ...] = ()
    findings: tuple[Finding, ...] = ()
    edge: str = ""

    @property
    def side(self) -> Side:
        """The guarded side all along."""
        return self.legs[0].side

    def place(self, leg: str) -> LegPlace:
        """Where a leg lies. KeyError if it has none of that id."""
        return {place.leg: place for place in self.places}[leg]


def single(design: Design) -> Balustrade:
    """A balustrade of one leg."""
    return Balustrade(design.id, design.title, (design,), (alone(design.flight),))


def compose_edge(
    edge: Edge,
    flights: Mapping[str, Flight],
    briefs: Sequence[Brief],
    limits: Sequence[Limits],
    show: Show = plain_mm,
    before: Sequence[Balustrade] = (),
) -> Balustrade:
    """Lay out a balustrade along an edge; a brief and the limits for every leg, in the edge's order.

    Where a design guards several edges, ``before`` are those laid out already: numbers go on from them, and a flight
    that is guarded on both sides stands between its two edges.
    ImpossibleDesignError (one sentence) as for one leg, and where rails cannot be joined as asked.
    """
    chain = _Chain.of(edge, flights, briefs, limits, before)
    turns = chain.turns()
    designs: list[Design] = []
    for number, brief in enumerate(briefs):
        joined = chain.joined(number, turns, designs)
        designs.append(compose(chain.legs[number], brief, limits[number], show, joined))
    whole = briefs[0].balustrade
    told = turn_remarks(whole, turns, designs, Words(show))
    return Balustrade(whole, briefs[0].title, tuple(designs), chain.places, tuple(turns), told, edge.id)


def edge_with_bays(edge: Edge | None, briefs: Sequence[Brief]) -> Edge:
    """The edge as it is built: a leg that newels between divide runs on as often as it has bays.

    ``edge`` None: the side of one flight.
    """
    turns, legs = iter(() if edge is None else edge.turns), [briefs[0].flight]
    built: list[EdgeTurn] = []
    for before, after in pairwise(briefs):
        asked = _turn_of(before)
        if isinstance(asked, NewelBetween):
            spot = Spot(asked.at.point, asked.at.offset)
            built.append(EdgeTurn(0.0, spot, spot))
        else:
            built.append(next(turns))
        legs.append(after.flight)
    return Edge("" if edge is None else edge.id, briefs[0].side, tuple(legs), tuple(built))


def numbers_after(before: Sequence[Balustrade]) -> Numbers:
    """The numbers an edge begins with after those laid out before it."""
    legs = [leg for done in before for leg in done.legs]
    return Numbers(
        bar=1 + len(legs),
        post=1 + sum(not post.shared for leg in legs for post in leg.posts),
        member=1 + sum(map(_members, legs)),
        turn=1 + sum(len(done.turns) for done in before),
    )


def _members(design: Design) -> int:
    return len(design.uprights) + len(design.strands) + len(design.panels)


def _stands_at(edge: Edge, flights: Mapping[str, Flight], before: Sequence[Balustrade]) -> LegPlace | None:
    """Where the first leg lies that an earlier edge guards on its other side: a flight's width away from it."""
    for leg in edge.legs:
        for done in before:
            for place in done.places:
                if place.leg == leg and done.side is not edge.side:
                    across = done.side.towards_stair * (flights[leg].width or UNKNOWN_WIDTH)
                    frame = replace(place.frame, origin=place.frame.to_world((0.0, across, 0.0)))
                    return replace(place, frame=frame)
    return None


UNKNOWN_WIDTH = 850.0
"""mm that two edges of a flight are drawn apart where its width was not read; nothing is computed from it."""


@dataclass(frozen=True, slots=True)
class _Chain:
    """The legs of an edge with what is asked of them and the handrail lines they take together."""

    edge: Edge
    legs: tuple[Flight, ...]
    places: tuple[LegPlace, ...]
    briefs: tuple[Brief, ...]
    rails: tuple[Line, ...]
    asked: tuple[TurnBrief, ...]
    corners: tuple[tuple[float, float], ...]
    begins: Numbers

    @staticmethod
    def of(
        edge: Edge,
        flights: Mapping[str, Flight],
        briefs: Sequence[Brief],
        limits: Sequence[Limits],
        before: Sequence[Balustrade],
    ) -> "_Chain":
        legs = tuple(flights[brief.flight] for brief in briefs)
        asked = tuple(_turn_of(brief) for brief in briefs[:-1])
        spots = tuple(corners(turn, *pair) for turn, pair in zip(edge.turns, pairwise(legs), strict=True))
        first = numbers_after(before)
        runs = [
            RailLeg(leg, brief.rail, limit, leg.fitted_rail(brief.balustrade, f"H{first.bar + k}"))
            for k, (leg, brief, limit) in enumerate(zip(legs, briefs, limits, strict=True))
        ]
        places = places_of(edge, flights, _stands_at(edge, flights, before))
        alone = lines_of(runs, ())
        meetings = [
            Meeting(k, *spots[k], in_line=isinstance(brief, NewelBetween))
            for k, (turn, brief) in enumerate(zip(edge.turns, asked, strict=True))
            if isinstance(brief, NewelBetween)
            or (
                joins_rails(brief)
                and (
                    isinstance(brief, TurnNewel)
                    or not is_straight_on(turn)
                    or not _cross(places[k : k + 2], legs[k : k + 2], alone[k : k + 2], spots[k])
                )
            )
        ]
        hang_together = any(not meeting.in_line for meeting in meetings) or any(run.fitted for run in runs)
        lines = lines_of(runs, meetings) if hang_together else alone
        return _Chain(edge, legs, places, tuple(briefs), lines, asked, spots, first)

    @property
    def first_post(self) -> int:
        """Number of the first newel that stands at a turn."""
        stands = isinstance(self.briefs[0].bottom, NewNewel | ExistingNewel | HalfNewel)
        return self.begins.post + int(stands)

    def turns(self) -> tuple[BuiltTurn, ...]:
        """Every turn built, its newels numbered on from the foot."""
        built: list[BuiltTurn] = []
        for k, (turn, brief) in enumerate(zip(self.edge.turns, self.asked, strict=True)):
            number = self.first_post + sum(made.post is not None for made in built)
            ends = (self._end(k, self.corners[k][0]), self._end(k + 1, self.corners[k][1]))
            built.append(build_turn(self.begins.turn + k, turn, brief, ends, self.edge.side, f"P{number}"))
        return tuple(built)

    def _end(self, leg: int, corner: float) -> LegEnd:
        rail = self.briefs[leg].rail
        return LegEnd(
            self.legs[leg],
            self.places[leg],
            self.rails[leg],
            corner,
            rail.width,
            rail.depth,
            rail.round_over,
            rail.material,
            self.briefs[leg].balustrade,
        )

    def easements(self, leg: int, turns: Sequence[BuiltTurn]) -> tuple[Easement, ...]:
        """The bent pieces at the two ends of a leg, in its own co-ordinates."""
        found = []
        if leg and (before := turns[leg - 1].easement) is not None:
            low, high = self.corners[leg - 1]
            rise = self.places[leg].dz - self.places[leg - 1].dz
            found.append(before.moved(high - low, -rise))
        if leg < len(turns) and (after := turns[leg].easement) is not None:
            found.append(after)
        return tuple(found)

    def joined(self, leg: int, turns: Sequence[BuiltTurn], before: Sequence[Design]) -> Joined:
        """How one leg hangs together with its neighbours, those before it laid out already."""
        brief = self.briefs[leg]
        standing = sum(turn.post is not None for turn in turns)
        return Joined(
            start=turns[leg - 1].after if leg else None,
            finish=turns[leg].before if leg < len(turns) else None,
            rail=self.rails[leg],
            number=self.begins.bar + leg,
            easements=self.easements(leg, turns),
            first_post=self.begins.post if leg == 0 else self.first_post + standing - 1,
            first_member=self.begins.member + sum(map(_members, before)),
            lead=_lead(before[-1], turns[leg - 1], brief) if leg and brief.run_on else None,
        )


def _cross(
    places: Sequence[LegPlace], legs: Sequence[Flight], rails: Sequence[Line], spot: tuple[float, float]
) -> bool:
    """Whether the handrails of two legs in line cross by themselves between the far ends of the two."""
    ends = [
        LegEnd(leg, place, rail, corner, 0.0, 0.0)
        for leg, place, rail, corner in zip(legs, places, rails, spot, strict=True)
    ]
    return crosses(ends[0], ends[1])


def _turn_of(brief: Brief) -> TurnBrief:
    if not isinstance(brief.top, AtTurn):
        raise ImpossibleDesignError(
            f"leg {brief.flight} is followed by another, but nothing is said of their turn"
        )
    return brief.top.turn


def _lead(before: Design, turn: BuiltTurn, brief: Brief) -> float | None:
    """Place of the first upright of a module that runs on from the leg before, from the start of the run.

    The module counts along the plan, through what stands at the turn; an upright that would stand nearer to the
    turn than a third of a gap is left out.
    """
    wish = brief.uprights.spacing
    if wish.spread is not Spread.MODULE or wish.module is None or not before.uprights:
        return None
    last = before.uprights[-1]
    if abs(last.lean) > 0.0:
        return None
    run_on = _to_corner(turn.before, last.u) + _to_corner(turn.after, None)
    least = brief.uprights.width / 2 + (wish.module - brief.uprights.width) / 3
    steps = math.ceil((run_on + least) / wish.module)
    return steps * wish.module - run_on


def _to_corner(end: BuiltEnd, start: float | None) -> float:
    """Level distance from a place (None: from the end's own face) to the turn's corner."""
    face, corner = end.bay_face.point[0], end.rail_face.point[0]
    if end.post is not None:
        corner = end.post.foot[0]
    return abs(corner - (face if start is None else start))
