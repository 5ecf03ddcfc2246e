"""Laws of edges of several legs: what meets at a turn meets in the world, whichever way the edge turns."""

import math
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import assume, given
from tests.strategies_edges import CORNER, Leg, briefs_of, built, edge_of, edges, limits_of

from pitchline.catalogue.rules import load_rule_set
from pitchline.checks.run import Following, check
from pitchline.design.balustrade import Balustrade, compose_edge
from pitchline.design.brief import TurnBrief
from pitchline.design.model import Post
from pitchline.kit.errors import ImpossibleDesignError
from pitchline.kit.geometry.frames import Vec3, dot
from pitchline.kit.geometry.outlines import area
from pitchline.parts.explode import explode_legs
from pitchline.stair.edge import LegPlace
from pitchline.stair.model import Flight, Side

Drawn = tuple[tuple[Leg, ...], tuple[float, ...], tuple[TurnBrief, ...]]

NEAR = 1e-6
"""mm: rounding in carrying a point from one leg's axes to another's and back, over metres."""


def laid_out(drawn: Drawn, side: Side = Side.LEFT, turned: float = 1.0) -> Balustrade:
    """The edge composed; turns that cannot be built are no matter of these laws."""
    legs, angles, turns = drawn
    flights = built(legs)
    edge = edge_of(legs, [turned * angle for angle in angles], side=side)
    try:
        return compose_edge(
            edge, {leg.id: leg for leg in flights}, briefs_of(flights, turns, side=side), limits_of(flights)
        )
    except ImpossibleDesignError:
        assume(False)
        raise


def in_world(place: LegPlace, point: Vec3) -> Vec3:
    return place.frame.to_world(point)


@given(edges())
def test_a_newel_at_a_turn_is_one_newel_seen_from_both_legs(drawn: Drawn) -> None:
    whole = laid_out(drawn)
    for turn, (before, after) in zip(whole.turns, pairwise(whole.places), strict=True):
        one, other = turn.before.post, turn.after.post
        if one is None or other is None:
            continue
        assert (one.id, one.length, one.along, one.across) == (
            other.id,
            other.length,
            other.along,
            other.across,
        )
        assert in_world(before, one.foot) == pytest.approx(in_world(after, other.foot), abs=NEAR)
        for own, seen in ((one.axis, other.axis), (one.along_axis, other.along_axis)):
            assert before.frame.direction_to_world(own) == pytest.approx(
                after.frame.direction_to_world(seen), abs=1e-9
            )
        assert other.shared and not one.shared


@given(edges())
def test_mitred_rails_share_one_plane_and_one_height(drawn: Drawn) -> None:
    """The bisecting plane makes equal angles with both rails, and both top lines pass through one point of it."""
    whole = laid_out(drawn)
    legs = list(zip(whole.legs, whole.places, strict=True))
    for turn, ((before, p), (after, q)) in zip(whole.turns, pairwise(legs), strict=True):
        if turn.joint is None:
            continue
        first = p.frame.plane_to_world(before.handrail.finish)
        second = q.frame.plane_to_world(after.handrail.start)
        assert first.normal == pytest.approx(tuple(-n for n in second.normal), abs=1e-9)
        a = p.frame.direction_to_world((*_unit(before.handrail.top.slope),))
        b = q.frame.direction_to_world((*_unit(after.handrail.top.slope),))
        assert dot(a, first.normal) == pytest.approx(dot(b, first.normal), abs=1e-9)
        ends = [
            place.frame.to_world((u, 0.0, rail.top.at(u)))
            for place, rail, u in (
                (p, before.handrail, before.handrail.finish.point[0]),
                (q, after.handrail, after.handrail.start.point[0]),
            )
        ]
        assert ends[0] == pytest.approx(ends[1], abs=1e-3)


def _unit(slope: float) -> Vec3:
    size = math.hypot(1.0, slope)
    return (1.0 / size, 0.0, slope / size)


@given(edges())
def test_no_two_pieces_of_an_edge_bear_one_place(drawn: Drawn) -> None:
    whole = laid_out(drawn)
    places = [part.place for parts in explode_legs(whole.legs) for part in parts]
    assert len(places) == len(set(places))


@given(edges())
def test_a_mirrored_edge_is_the_mirrored_balustrade(drawn: Drawn) -> None:
    """The other side guarded, every turn the other way: the same lengths, gaps and heights in the same order."""
    one, other = laid_out(drawn), laid_out(drawn, Side.RIGHT, -1.0)
    for a, b in zip(one.legs, other.legs, strict=True):
        assert a.handrail.top.z0 == pytest.approx(b.handrail.top.z0, abs=NEAR)
        assert [u.u for u in a.uprights] == pytest.approx([u.u for u in b.uprights], abs=NEAR)
        assert [p.length for p in a.posts] == pytest.approx([p.length for p in b.posts], abs=NEAR)
    for parts, mirrored in zip(explode_legs(one.legs), explode_legs(other.legs), strict=True):
        assert [p.length for p in parts] == pytest.approx([p.length for p in mirrored], abs=1e-4)


@given(edges())
def test_the_members_and_openings_of_every_leg_fill_its_bay(drawn: Drawn) -> None:
    """Elevation area balance: what is seen of the uprights and the gaps between them make up the bay."""
    for design in laid_out(drawn).legs:
        gaps = sum(u.gap_before for u in design.uprights) + design.uprights[-1].gap_after
        width = sum(u.width for u in design.uprights)
        assert gaps + width == pytest.approx(design.bay.run, abs=1e-6)
        for upright in design.uprights:
            assert area(upright.sight) <= area(design.bay.sight)


@given(edges())
def test_a_ball_at_a_mitre_is_no_wider_than_the_gap_across_it(drawn: Drawn) -> None:
    """Half a gap belongs to each leg. Where base rails do not meet, what is open below them is open too."""
    whole = laid_out(drawn)
    rules = load_rule_set("england-dwelling")
    for design, (p, q), after in zip(whole.legs[:-1], pairwise(whole.places), whole.legs[1:], strict=True):
        low = design.base_rail.top.at(design.base_rail.finish.point[0]) + p.dz
        high = after.base_rail.top.at(after.base_rail.start.point[0]) + q.dz
        report = check(design, rules, following=Following(after, q.du - p.du, q.dz - p.dz))
        crossing = [o for o in report.openings if "between the last member" in o.where]
        if abs(high - low) > 1.0:
            continue
        gap = design.uprights[-1].gap_after + after.uprights[0].gap_before
        assert all(opening.ball.diameter <= gap + 0.01 for opening in crossing)


@given(edges())
def test_half_a_gap_belongs_to_each_leg_at_a_mitre(drawn: Drawn) -> None:
    """Equal gaps: what a leg leaves before a mitre is half of what it leaves between its uprights."""
    whole = laid_out(drawn)
    for turn, (before, after) in zip(whole.turns, pairwise(whole.legs), strict=True):
        if not turn.before.is_joint:
            continue
        for design, gap in ((before, before.uprights[-1].gap_after), (after, after.uprights[0].gap_before)):
            if len(design.uprights) > 1:
                assert gap == pytest.approx(design.uprights[0].gap_after / 2, abs=1e-6)


@given(edges())
def test_a_place_in_the_world_goes_back_to_its_leg(drawn: Drawn) -> None:
    whole = laid_out(drawn)
    for one, other in pairwise(whole.places):
        point = (123.4, -56.7, 890.1)
        assert other.point_to(one, one.point_to(other, point)) == pytest.approx(point, abs=NEAR)


def test_turn_newels_of_both_legs_are_one_value_when_straight_on() -> None:
    """With no turn the newel of the leg before is only shifted in the co-ordinates of the leg after."""
    legs = (Leg("a", None, 1000.0), Leg("b", None, 1500.0))
    flights = built(legs)
    whole = compose_edge(
        edge_of(legs, [0.0]), {f.id: f for f in flights}, briefs_of(flights, [CORNER]), limits_of(flights)
    )
    one, other = whole.turns[0].before.post, whole.turns[0].after.post
    assert isinstance(one, Post) and isinstance(other, Post)
    assert replace(one, foot=other.foot, station=other.station, shared=True) == other
    assert isinstance(flights[0], Flight)
