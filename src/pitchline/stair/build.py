"""From adjusted readings and told facts to the stair with its finishes laid."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from pitchline.kit.geometry.lines import Line, Point2
from pitchline.stair.facts import FlightFacts, PostFacts, SoffitFacts, Support, WallFacts
from pitchline.stair.model import (
    FinishLayers,
    FittedRail,
    Flight,
    LegKind,
    Soffit,
    StandingPost,
    StringBoard,
    Wall,
)
from pitchline.stair.pitch import nosing_names
from pitchline.stair.winders import Winders
from pitchline.survey.adjust import Adjusted


def build_flight(adjusted: Adjusted, facts: FlightFacts) -> Flight:
    """The flight with finishes laid, everything in the edge's (u, z).

    Coverings still to be laid raise each surface by their thickness; one that wraps round the nosings also
    brings every tread nosing forward (down the stair) by it. The datum stays the finished lower floor and the
    finished first nosing, so a covering of the lower floor lowers everything above it. Walls, strings and
    posts that stand already do not move in the world; they shift with the datum.
    """
    layers = facts.finishes
    drop = layers.lower_floor
    forward = layers.treads if layers.wraps_nosings else 0.0
    names = nosing_names(facts.risers)
    level = facts.kind is LegKind.LEVEL
    nosings = tuple(
        _finished(adjusted.point(name), layers, is_top=level or k == facts.risers - 1, forward=forward)
        for k, name in enumerate(names)
    )
    return Flight(
        id=facts.id,
        nosings=nosings,
        survey=adjusted,
        width=facts.width,
        nosing_overhang=facts.nosing_overhang + forward,
        finishes=layers,
        string=_string(adjusted, facts, drop, forward),
        posts=tuple(_post(adjusted, post, drop, forward) for post in facts.posts),
        walls=tuple(_wall(adjusted, wall, drop, forward) for wall in facts.walls),
        headroom=facts.headroom,
        kind=facts.kind,
        cut_string=facts.cut_string,
        string_side=facts.string_side,
        cut_string_side=facts.cut_string_side,
        soffits=tuple(_soffit(adjusted, soffit, drop, forward) for soffit in facts.soffits),
        set_posts=tuple(_post(adjusted, post, drop, forward) for post in facts.set_posts),
        fitted_rails=tuple(_fitted(adjusted, name, drop, forward) for name in facts.fitted_rails),
    )


def stacked_flights(
    flights: Sequence[Flight], facts: Sequence[FlightFacts], winders: Sequence[Winders] = ()
) -> tuple[Flight, ...]:
    """The legs of one stair set on one another: each with the height of its own floor and the drop under it.

    Legs are given before those that stand on them; ``winders`` are those between them, on which a leg may stand by
    the number of one of their nosings. KeyError where a leg stands on one that is not given before.
    """
    placed: dict[str, Flight] = {}
    turning = {known.id: known for known in winders}
    for flight, told in zip(flights, facts, strict=True):
        base = 0.0
        if told.stands_on is not None:
            base = _height_of(told.stands_on, placed, turning)
        below = base if told.below is None else told.below
        unmoved = (base, below) == (flight.base_z, flight.below)
        placed[flight.id] = flight if unmoved else replace(flight, base_z=base, below=below)
    return tuple(placed.values())


def _height_of(support: Support, placed: Mapping[str, Flight], winders: Mapping[str, Winders]) -> float:
    """Height of the nosing that a leg stands on, from the lowest floor; winders rise from their lower flight."""
    if support.leg not in winders:
        under = placed[support.leg]
        return under.base_z + under.nosings[support.nosing - 1][1]
    known = winders[support.leg]
    first = known.facts.leaves
    own = _height_of(Support(known.facts.lower, first), placed, winders)
    return own + known.heights[support.nosing - first]


def _soffit(adjusted: Adjusted, soffit: SoffitFacts, drop: float, forward: float) -> Soffit:
    ends = [adjusted.point(name) for name in (soffit.start, soffit.finish)]
    start, finish = ((u + forward, z - drop) for u, z in ends)
    return Soffit(soffit.id, start, finish)


def _finished(point: Point2, layers: FinishLayers, *, is_top: bool, forward: float) -> Point2:
    """The finished nosing; the upper floor's edge is not wrapped by the treads' covering."""
    raise_by = layers.upper_floor if is_top else layers.treads
    shift = forward if is_top else 0.0
    return (point[0] + shift, point[1] + raise_by - layers.lower_floor)


def _string(adjusted: Adjusted, facts: FlightFacts, drop: float, forward: float) -> StringBoard | None:
    if facts.string is None:
        return None
    top = _edge(adjusted, facts.string.id, drop, forward)
    return StringBoard(facts.string.id, top, facts.string.thickness, facts.string.depth, facts.string.kind)


def _edge(adjusted: Adjusted, name: str, drop: float, forward: float) -> Line:
    """The line of a string or rail, carried along as the datum shifts."""
    a, b = adjusted.string(name)
    return Line(a - b * forward - drop, b)


def _fitted(adjusted: Adjusted, name: str, drop: float, forward: float) -> FittedRail:
    return FittedRail(name, _edge(adjusted, name, drop, forward))


def _post(adjusted: Adjusted, post: PostFacts, drop: float, forward: float) -> StandingPost:
    return StandingPost(
        id=post.id,
        station=post.station,
        face_u=adjusted.estimate(("x", post.station)) + forward,
        face_z=post.face_height - drop,
        along=post.along,
        across=post.across,
        lean_along=post.lean_along,
        lean_across=post.lean_across,
        twist=post.twist,
        top_z=None if post.top_height is None else post.top_height - drop,
    )


def _wall(adjusted: Adjusted, wall: WallFacts, drop: float, forward: float) -> Wall:
    return Wall(
        id=wall.id,
        station=wall.station,
        face_u=adjusted.estimate(("x", wall.station)) + forward,
        face_z=wall.face_height - drop,
        lean_along=wall.lean_along,
        skew=wall.skew,
    )
