"""Laws of newels between the ends of a leg: two bays are one balustrade with a newel let in, whatever the stair."""

import math
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from tests.strategies_stairs import LIMITS, flights, newel, plain_brief, regular_flight

from pitchline.catalogue.rules import load_rule_set
from pitchline.checks.run import check
from pitchline.design.balustrade import Balustrade, compose_edge, edge_with_bays
from pitchline.design.brief import AtTurn, Brief, Foot, NewelBetween, Station
from pitchline.design.compose import compose
from pitchline.design.model import PostRole
from pitchline.kit.errors import ImpossibleDesignError
from pitchline.kit.finding import Verdict
from pitchline.parts.explode import explode_legs
from pitchline.parts.part import Role
from pitchline.stair.model import Flight

ENGLAND = load_rule_set("england-dwelling")
NEAR = 1e-6
"""mm: rounding over metres."""


def whole_brief(flight: Flight) -> Brief:
    """A brief between two new newels, one before the first nosing and one at the last."""
    last = flight.nosing_names[-1]
    return plain_brief(flight, bottom=newel("N1", offset=-62.0), top=newel(last, offset=30.0))


def bays_of(brief: Brief, newels: tuple[NewelBetween, ...]) -> list[Brief]:
    """The brief divided at newels."""
    found = []
    for number in range(len(newels) + 1):
        bay = replace(brief, id=f"{brief.id} bay {number + 1}", whole=brief.id, run_on=number > 0)
        if number:
            bay = replace(bay, bottom=AtTurn(number, newels[number - 1]))
        if number < len(newels):
            bay = replace(bay, top=AtTurn(number + 1, newels[number]))
        found.append(bay)
    return found


def divided(flight: Flight, brief: Brief, newels: tuple[NewelBetween, ...]) -> Balustrade:
    """The brief laid out in bays; what cannot be built is no matter of these laws."""
    briefs = bays_of(brief, newels)
    try:
        return compose_edge(edge_with_bays(None, briefs), {flight.id: flight}, briefs, [LIMITS] * len(briefs))
    except ImpossibleDesignError:
        assume(False)
        raise


@st.composite
def divided_flights(draw: st.DrawFn) -> tuple[Flight, Brief, tuple[NewelBetween, ...]]:
    """A stair, the brief of its side, and one or two newels well inside."""
    flight = draw(flights(smallest=6))
    count = len(flight.nosings)
    places = draw(st.lists(st.integers(3, count - 2), min_size=1, max_size=2, unique=True).map(sorted))
    assume(all(b - a >= 2 for a, b in pairwise(places)))
    under = draw(st.booleans())
    newels = tuple(
        NewelBetween(
            Station(f"N{place}", draw(st.floats(20.0, 120.0))),
            along=draw(st.sampled_from((70.0, 90.0))),
            across=90.0,
            above_rail=0.0 if under else 80.0,
            foot=draw(st.sampled_from((Foot.TREAD, Foot.STRING)))
            if flight.string is not None
            else Foot.TREAD,
            lap=0.0,
            under_rail=under,
        )
        for place in places
    )
    return flight, whole_brief(flight), newels


@given(divided_flights())
def test_bays_and_newels_tile_the_run(drawn: tuple[Flight, Brief, tuple[NewelBetween, ...]]) -> None:
    flight, brief, newels = drawn
    whole = divided(flight, brief, newels)
    undivided = compose(flight, brief, LIMITS)
    runs = sum(design.bay.run for design in whole.legs)
    assert runs + sum(newel.along for newel in newels) == pytest.approx(undivided.bay.run, abs=NEAR)


@given(divided_flights())
def test_the_handrail_keeps_one_line_through_every_bay(
    drawn: tuple[Flight, Brief, tuple[NewelBetween, ...]],
) -> None:
    flight, brief, newels = drawn
    whole = divided(flight, brief, newels)
    undivided = compose(flight, brief, LIMITS)
    for design in whole.legs:
        for u, _ in flight.nosings:
            assert design.handrail.top.at(u) == pytest.approx(undivided.handrail.top.at(u), abs=NEAR)


@given(divided_flights())
def test_a_newel_between_stands_once_and_where_it_was_asked_for(
    drawn: tuple[Flight, Brief, tuple[NewelBetween, ...]],
) -> None:
    flight, brief, newels = drawn
    whole = divided(flight, brief, newels)
    standing = [post for leg in whole.legs for post in leg.posts if not post.shared]
    between = [post for post in standing if post.role is PostRole.BETWEEN]
    assert [post.id for post in standing] == [f"P{n}" for n in range(1, len(standing) + 1)]
    assert len(between) == len(newels)
    for post, asked in zip(between, newels, strict=True):
        u = flight.u_of(asked.at.point) + asked.at.offset
        assert post.foot[:2] == pytest.approx((u, 0.0), abs=NEAR)
        below = max(z for place, z in flight.nosings if place <= u)
        if asked.foot is Foot.TREAD:
            assert post.foot[2] == pytest.approx(below, abs=NEAR)
        rail = whole.legs[0].handrail
        top = rail.top.at(u) + asked.above_rail
        if asked.under_rail:
            ends = (u - max(asked.along, asked.across) / 2, u + max(asked.along, asked.across) / 2)
            top = min(rail.bottom.at(end) for end in ends)
        assert post.top_z == pytest.approx(top, abs=NEAR)
    made = [part for parts in explode_legs(whole.legs) for part in parts if part.role is Role.NEWEL]
    assert sorted(part.place for part in made) == sorted(post.id for post in standing)


@given(divided_flights())
def test_handrails_end_at_the_faces_or_meet_over_the_middle(
    drawn: tuple[Flight, Brief, tuple[NewelBetween, ...]],
) -> None:
    flight, brief, newels = drawn
    whole = divided(flight, brief, newels)
    for before, after, asked in zip(whole.legs[:-1], whole.legs[1:], newels, strict=True):
        u = flight.u_of(asked.at.point) + asked.at.offset
        z = before.handrail.top.at(u)
        way = (before.handrail.top.direction[0], 0.0, before.handrail.top.direction[1])
        ends = [
            plane.meet_line((u, 0.0, z), way)[0] for plane in (before.handrail.finish, after.handrail.start)
        ]
        wanted = (u, u) if asked.under_rail else (u - asked.along / 2, u + asked.along / 2)
        assert ends == pytest.approx(wanted, abs=NEAR)


@given(divided_flights())
def test_no_upright_runs_into_a_newel_and_every_gap_keeps_the_limit(
    drawn: tuple[Flight, Brief, tuple[NewelBetween, ...]],
) -> None:
    flight, brief, newels = drawn
    whole = divided(flight, brief, newels)
    for design in whole.legs:
        us = [u for upright in design.uprights for u, _ in upright.outline.points]
        start, finish = design.bay.start.point[0], design.bay.finish.point[0]
        assert start - NEAR <= min(us, default=start)
        assert max(us, default=finish) <= finish + NEAR
        for upright in design.uprights:
            assert upright.gap_before <= LIMITS.gap
            assert upright.gap_after <= LIMITS.gap
    marks = [upright.mark for design in whole.legs for upright in design.uprights]
    assert len(marks) == len(set(marks))


@given(divided_flights())
def test_no_check_on_openings_or_extent_fails_for_the_newel(
    drawn: tuple[Flight, Brief, tuple[NewelBetween, ...]],
) -> None:
    """What holds undivided holds in bays: the newel closes the side of the stair where it stands."""
    flight, brief, newels = drawn
    whole = divided(flight, brief, newels)
    undivided = check(compose(flight, brief, LIMITS), ENGLAND)
    before = {f.code for f in undivided.findings if f.verdict in (Verdict.FAIL, Verdict.UNSURE)}
    for design in whole.legs:
        for finding in check(design, ENGLAND).findings:
            if finding.code.startswith(("guard.extent", "opening.", "height.")):
                assert finding.verdict is not Verdict.FAIL or finding.code in before, finding.text


def test_a_newel_between_breaks_the_hand_where_the_place_forbids_it() -> None:
    """A handrail that must run on may pass over a newel, and may not stop at one (IRC R311.7.8.4, from memory)."""
    flight = regular_flight(13, 188.0, 225.0)
    brief = whole_brief(flight)
    usa = load_rule_set("us-irc-2024")
    verdicts = {}
    for under in (False, True):
        between = NewelBetween(Station("N7", 60.0), 90.0, 90.0, 0.0 if under else 80.0, under_rail=under)
        whole = divided(flight, brief, (between,))
        found = [
            f for design in whole.legs for f in check(design, usa).findings if f.code == "handrail.newel"
        ]
        verdicts[under] = {f.verdict for f in found if "P2" in f.text}
    assert verdicts[False] == {Verdict.FAIL}
    assert verdicts[True] == set()


def test_clear_widths_of_two_bays_of_a_regular_stair() -> None:
    """By subtraction: twelve goings of 225 mm, less the halves of newels of 90 mm."""
    flight = regular_flight(13, 188.0, 225.0)
    between = NewelBetween(Station("N7", 60.0), 90.0, 90.0, 80.0)
    whole = divided(flight, whole_brief(flight), (between,))
    middle = 6 * 225.0 + 60.0
    first, second = whole.legs
    assert first.bay.run == pytest.approx(middle - 45.0 - (-62.0 + 45.0), abs=1e-3)
    assert second.bay.run == pytest.approx(12 * 225.0 + 30.0 - 45.0 - (middle + 45.0), abs=1e-3)
    assert math.isclose(first.handrail.top.slope, 188.0 / 225.0, rel_tol=1e-6)
