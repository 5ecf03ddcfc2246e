"""Beside the balustrades: winders measured, and handrails along walls laid out, taken apart and checked."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from pitchline.catalogue.rules import RuleSet
from pitchline.checks.wall_rail import check_wall_rail
from pitchline.checks.winders import check_newel, check_winders, named_goings
from pitchline.design.balustrade import Balustrade
from pitchline.design.wall_brief import WallRailBrief
from pitchline.design.wall_legs import Surroundings
from pitchline.design.wall_model import WallRail
from pitchline.design.wallrail import compose_wall_rail
from pitchline.kit.errors import Fault, ImpossibleDesignError, InputError
from pitchline.kit.finding import Finding
from pitchline.kit.words import Show
from pitchline.parts.part import Fixing, Part
from pitchline.parts.wallrail import wall_rail_fixings, wall_rail_parts
from pitchline.stair.model import Flight
from pitchline.stair.winders import AtNewel, Winders, held_by_newel


@dataclass(frozen=True, eq=False)
class MeasuredWinders:
    """Winders as they lie, and what the rules have to say of them."""

    winders: Winders
    findings: tuple[Finding, ...]


@dataclass(frozen=True, eq=False)
class SolvedWallRail:
    """One handrail along a wall laid out, taken apart and checked."""

    rail: WallRail
    parts: tuple[Part, ...]
    fixings: tuple[Fixing, ...]
    checked: tuple[Finding, ...]

    @property
    def id(self) -> str:
        """Its id in the job."""
        return self.rail.id

    @property
    def title(self) -> str:
        """Its title in the job."""
        return self.rail.title

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What the layout and the checks have to say about it."""
        return (*self.rail.findings, *self.checked)


def measure_winders(
    winders: Winders,
    flights: Mapping[str, Flight],
    edges: Sequence[Balustrade],
    rules: RuleSet,
    show: Show,
) -> MeasuredWinders:
    """Winders against the rules, the goings of the flights they join beside them, and the newel they turn at."""
    facts = winders.facts
    below, above = (named_goings(flights[name]) for name in (facts.lower, facts.upper))
    found = check_winders(winders, rules, below, above, show)
    newels = (at for edge in edges for at in _newels(winders, edge))
    return MeasuredWinders(winders, (*found, *(f for at in newels for f in check_newel(winders, at, show))))


def _newels(winders: Winders, edge: Balustrade) -> Iterator[AtNewel]:
    """What stands at the turn of an edge that goes round these winders, heights from their first nosing."""
    facts = winders.facts
    legs = list(zip(edge.legs, edge.places, strict=True))
    for turn, ((before, low), (after, high)) in zip(edge.turns, pairwise(legs), strict=True):
        post = turn.post
        if post is None or (before.leg, after.leg) != (facts.lower, facts.upper):
            continue
        first = low.dz + before.flight.nosings[facts.leaves - 1][1]
        axis = low.point_to(high, post.foot)[0]
        yield AtNewel(
            *held_by_newel(winders),
            before.handrail.top.at(post.foot[0]) + low.dz - first,
            after.handrail.top.at(axis) + high.dz - first,
            post.foot[2] + low.dz - first,
            post.top_z + low.dz - first,
        )


def solve_wall_rail(
    index: int,
    brief: WallRailBrief,
    flights: Mapping[str, Flight],
    winders: Sequence[MeasuredWinders],
    places: tuple[RuleSet, RuleSet],
    show: Show,
) -> SolvedWallRail:
    """One wall rail, laid out for the first of two places and judged by the second.

    InputError (one sentence) where it cannot be built.
    """
    around = Surroundings(flights, {known.winders.id: known.winders for known in winders})
    own, rules = places
    try:
        rail = compose_wall_rail(brief, around, own, show)
    except ImpossibleDesignError as nothing:
        problem = f"wall rail {brief.id} cannot be built: {nothing}"
        raise InputError([Fault(f"wall_rails[{index}]", problem)], "the job") from nothing
    parts = wall_rail_parts(rail)
    return SolvedWallRail(rail, parts, wall_rail_fixings(rail), check_wall_rail(rail, rules, show))
