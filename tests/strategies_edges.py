"""Invented edges of several legs: irregular flights, landings and galleries, and what may stand at their turns."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from hypothesis import strategies as st
from tests.strategies_stairs import (
    DATUM,
    LIMITS,
    PLAIN_BASE,
    PLAIN_GROOVES,
    PLAIN_RAIL,
    PLAIN_UPRIGHTS,
    Sizes,
    exact_readings,
    newel,
    stair_sizes,
)

from pitchline.design.balustrade import Balustrade, compose_edge
from pitchline.design.brief import AtTurn, BaseSeat, Brief, End, Mitred, TurnBrief, TurnNewel
from pitchline.design.limits import Limits
from pitchline.stair.build import build_flight, stacked_flights
from pitchline.stair.edge import Edge, EdgeTurn, Spot
from pitchline.stair.facts import FlightFacts, StringFacts, Support
from pitchline.stair.model import Flight, LegKind, Side
from pitchline.survey.adjust import adjust
from pitchline.survey.readings import Fixed, Kind, Reading

QUARTER = math.pi / 2
CORNER = TurnNewel(along=90.0, across=90.0, above_rail=90.0)
TURNS: tuple[TurnBrief, ...] = (CORNER, replace(CORNER, under_rail=True, above_rail=0.0), Mitred())
"""A newel between the rails, one under them, and rails that meet with nothing under them."""


@dataclass(frozen=True, slots=True)
class Leg:
    """One leg drawn: a flight of these sizes, or a level edge of this length."""

    id: str
    sizes: Sizes | None = None
    length: float = 0.0

    @property
    def last(self) -> str:
        """The name of its last nosing."""
        return "N2" if self.sizes is None else f"N{len(self.sizes.rises)}"


def built(legs: Sequence[Leg]) -> tuple[Flight, ...]:
    """The legs as one stair, each on the head of the one before."""
    facts = []
    flights = []
    for number, leg in enumerate(legs):
        under = legs[number - 1] if number else None
        support = (
            None if under is None else Support(under.id, 2 if under.sizes is None else len(under.sizes.rises))
        )
        told, flight = _level(leg, support) if leg.sizes is None else _flight(leg, leg.sizes, support)
        facts.append(told)
        flights.append(flight)
    return stacked_flights(flights, facts)


def _flight(leg: Leg, sizes: Sizes, support: Support | None) -> tuple[FlightFacts, Flight]:
    string = None if sizes.string is None else StringFacts("string", 32.0, 240.0)
    facts = FlightFacts(leg.id, len(sizes.rises), 850.0, string=string, stands_on=support)
    return facts, build_flight(adjust(exact_readings(sizes), DATUM), facts)


def _level(leg: Leg, support: Support | None) -> tuple[FlightFacts, Flight]:
    facts = FlightFacts(leg.id, 2, 850.0, kind=LegKind.LEVEL, stands_on=support)
    readings = (Reading("edge", Kind.RUN, "N1", "N2", leg.length, 0.9),)
    datum = (*DATUM, *(Fixed(("z", name), 0.0) for name in ("N1", "N2")))
    return facts, build_flight(adjust(readings, datum), facts)


def edge_of(
    legs: Sequence[Leg], angles: Sequence[float], inset: float = 45.0, side: Side = Side.LEFT
) -> Edge:
    """The legs in line, each turned from the one before; corners stand ``inset`` beyond the last nosing."""
    turns = tuple(
        EdgeTurn(angle, Spot(before.last, inset), Spot("N1", -inset))
        for before, angle in zip(legs[:-1], angles, strict=True)
    )
    return Edge("well", side, tuple(leg.id for leg in legs), turns)


def briefs_of(
    legs: Sequence[Flight],
    turns: Sequence[TurnBrief],
    ends: tuple[End, End] | None = None,
    side: Side = Side.LEFT,
) -> tuple[Brief, ...]:
    """Plain briefs of every leg: base rails on the string, on the floor of a level edge, else clear."""
    first, last = ends or (newel("N1"), newel(f"N{len(legs[-1].nosings)}"))
    briefs = []
    for k, leg in enumerate(legs):
        base = replace(PLAIN_BASE, seat=BaseSeat.CLEAR, clearance=40.0)
        if leg.is_level:
            base = replace(PLAIN_BASE, seat=BaseSeat.FLOOR)
        elif leg.string is not None:
            base = PLAIN_BASE
        briefs.append(
            Brief(
                id=f"A {leg.id}",
                title="invented",
                flight=leg.id,
                side=side,
                rail=PLAIN_RAIL,
                base=base,
                bottom=AtTurn(k, turns[k - 1]) if k else first,
                top=AtTurn(k + 1, turns[k]) if k < len(turns) else last,
                infill=PLAIN_UPRIGHTS,
                making=PLAIN_GROOVES,
                whole="A",
                edge="well",
            )
        )
    return tuple(briefs)


LANDING_LIMITS = Limits(low=900.0, high=None, gap=100.0)
"""Along the edge of a floor in an English dwelling (Approved Document K, 2013): 900 mm, no upper limit."""


def limits_of(legs: Sequence[Flight]) -> tuple[Limits, ...]:
    """The limits of every leg."""
    return tuple(LANDING_LIMITS if leg.is_level else LIMITS for leg in legs)


def composed(legs: Sequence[Leg], angles: Sequence[float], turns: Sequence[TurnBrief]) -> Balustrade:
    """A plain balustrade along an edge."""
    flights = built(legs)
    by_id = {flight.id: flight for flight in flights}
    return compose_edge(edge_of(legs, angles), by_id, briefs_of(flights, turns), limits_of(flights))


@st.composite
def edges(draw: st.DrawFn) -> tuple[tuple[Leg, ...], tuple[float, ...], tuple[TurnBrief, ...]]:
    """A lower flight, then landings and flights in any order, with newels or mitres at the turns."""
    count = draw(st.integers(2, 4))
    legs = []
    for number in range(count):
        if number and draw(st.booleans()):
            legs.append(Leg(f"level {number}", None, draw(st.integers(600, 3000)) + 0.5))
        else:
            legs.append(Leg(f"flight {number}", draw(stair_sizes(3, 8))))
    angles = tuple(
        math.radians(draw(st.sampled_from([-90.0, -45.0, 0.0, 30.0, 90.0, 89.3]))) for _ in range(count - 1)
    )
    turns: tuple[TurnBrief, ...] = tuple(draw(st.sampled_from(TURNS)) for _ in range(count - 1))
    return tuple(legs), angles, turns
