"""A whole edge as one frame: legs that help each other at newels, mitres and bent rails, wherever it lies in plan."""

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.builders import ENGLAND, US_2021
from tests.strategies_edges import CORNER, QUARTER, Leg, composed, edges
from tests.strategies_stairs import LIMITS, Sizes, plain_brief, regular_flight
from tests.strength.test_strength_model import AT_TOP, plain

from pitchline.catalogue.rules import RuleSet
from pitchline.design.balustrade import Balustrade
from pitchline.design.brief import AtTurn, Mitred, TurnBrief
from pitchline.design.compose import compose
from pitchline.kit.errors import ImpossibleDesignError
from pitchline.kit.finding import Verdict
from pitchline.kit.frame.solve import solve
from pitchline.kit.geometry.frames import Frame
from pitchline.stair.edge import LegPlace
from pitchline.strength import changes
from pitchline.strength.edge import StandingLeg, strength_of_edge
from pitchline.strength.legs import by_itself
from pitchline.strength.loads import loads_of
from pitchline.strength.model import Model
from pitchline.strength.report import StrengthReport, Unstable
from pitchline.strength.run import strength_of

FLIGHT = Sizes(
    (187.0, 190.0, 186.0, 188.0, 189.0, 187.0), (228.0, 225.0, 226.0, 230.0, 224.0), (200.0, 0.829)
)
MITRED = Mitred()


def legs_of(whole: Balustrade) -> tuple[StandingLeg, ...]:
    return tuple(
        StandingLeg(design, (), place) for design, place in zip(whole.legs, whole.places, strict=True)
    )


def gallery(angle: float, turn: TurnBrief = CORNER, length: float = 2200.0) -> tuple[StandingLeg, ...]:
    """A flight with a level edge after it."""
    return legs_of(composed([Leg("lower", FLIGHT), Leg("gallery", None, length)], [angle], [turn]))


def report_of(legs: Sequence[StandingLeg], rules: RuleSet = ENGLAND) -> StrengthReport:
    found = strength_of_edge(legs, rules)
    assert isinstance(found, StrengthReport), found.findings[0].text
    return found


def turned(legs: Sequence[StandingLeg], angle: float, away: float = 0.0) -> tuple[StandingLeg, ...]:
    """The same edge turned about a plumb axis and moved."""
    c, s = math.cos(angle), math.sin(angle)

    def about(v: tuple[float, float, float]) -> tuple[float, float, float]:
        return (c * v[0] - s * v[1], s * v[0] + c * v[1], v[2])

    def placed(place: LegPlace) -> LegPlace:
        f = place.frame
        x, y, z = about(f.origin)
        return replace(place, frame=Frame((x + away, y - away, z), about(f.x), about(f.y), f.z))

    return tuple(replace(leg, place=placed(leg.place)) for leg in legs)


@pytest.mark.parametrize("rules", [ENGLAND, AT_TOP, US_2021], ids=lambda rules: rules.id)
@pytest.mark.parametrize("angle", [0.0, 90.0, 180.0, 37.0])
def test_one_leg_answers_the_same_wherever_it_lies(rules: RuleSet, angle: float) -> None:
    design = plain()
    alone = strength_of(design, (), rules)
    (leg,) = turned((by_itself(design),), math.radians(angle), 1234.5)
    placed = strength_of_edge((leg,), rules)
    assert isinstance(alone, StrengthReport)
    assert isinstance(placed, StrengthReport)
    assert placed.movement.value == pytest.approx(alone.movement.value, rel=1e-5)
    assert placed.movement.low == pytest.approx(alone.movement.low, rel=1e-5)
    assert placed.movement.high == pytest.approx(alone.movement.high, rel=1e-5)
    assert placed.movement.node == alone.movement.node
    for name, share in alone.movement.shares.items():
        assert placed.movement.shares.get(name, 0.0) == pytest.approx(share, abs=2e-3 * alone.movement.value)
    assert placed.utilisation == pytest.approx(alone.utilisation, rel=1e-4)
    assert placed.governing.where == alone.governing.where
    assert [f.verdict for f in placed.findings] == [f.verdict for f in alone.findings]


def test_legs_square_to_each_other_hold_their_corner() -> None:
    """A rail square to the push is a strut: the corner moves far less than the same newel in a straight run."""
    straight, square = (report_of(gallery(angle)) for angle in (0.0, QUARTER))
    moves = {
        name: {p.post: p.moves for p in r.posts} for name, r in (("straight", straight), ("square", square))
    }
    assert moves["square"]["P2"] < 0.7 * moves["straight"]["P2"]


def test_a_shared_newel_stands_once() -> None:
    report = report_of(gallery(QUARTER))
    assert [post.post for post in report.posts] == ["P1", "P2", "P3"]
    assert len({node.id for node in report.model.frame.nodes}) == len(report.model.frame.nodes)
    ends = [end for end in report.model.rail_ends if end.post == "P2"]
    assert {end.piece for end in ends} >= {"H1", "H2"}
    assert report.legs == ("lower", "gallery")


def test_a_leg_without_newel_at_its_end_stands_on_its_neighbour() -> None:
    """Mitred over the corner: alone the flight's rail hangs free; with the gallery it is held and judged."""
    lower, upper = gallery(QUARTER, MITRED)
    alone = strength_of_edge((lower,), ENGLAND)
    told = {finding.code: finding for finding in alone.findings}
    assert "strength.leaning" in told
    assert all(finding.verdict is not Verdict.FAIL for finding in alone.findings)
    both = report_of((lower, upper))
    assert not any(finding.code == "strength.leaning" for finding in both.findings)
    assert both.model.leaning == ()
    assert {joint.how for joint in both.model.rail_joints} == {"mitred"}
    assert any("joint with" in use.what for use in both.utilisations)
    assert any("rails joined to each other" in text for text in both.assumptions)


def test_rails_that_pass_over_a_newel_are_joined_over_it() -> None:
    under = replace(CORNER, under_rail=True, above_rail=0.0)
    over, between = (report_of(gallery(0.0, turn)) for turn in (under, CORNER))
    assert over.movement.value < between.movement.value


def test_every_load_along_the_top_acts_on_all_legs_and_on_each_alone() -> None:
    """The whole push is the line load times the true length of both rails, wherever they point."""
    legs = gallery(QUARTER)
    report = report_of(legs, AT_TOP)
    names = {case.id for case in report.cases}
    assert {"line outward", "line outward on H1", "line outward on H2", "line inward"} <= names
    solution = solve(report.model.frame, [case.case for case in report.cases])
    w = AT_TOP.figures["load.line"].value
    for number, leg in enumerate(report.model.legs):
        case = solution.case_index[f"line outward on {leg.handrail}"]
        pushed = -solution.reactions[case, :, :3].sum(axis=0)
        long = sum(report.model.length_of(m) for m in report.model.by_name[leg.handrail].members)
        assert np.allclose(pushed, w * long * np.array(legs[number].outward), atol=1e-3 * w * long)


def test_a_single_load_is_tried_along_the_whole_top() -> None:
    report = report_of(gallery(QUARTER), US_2021)
    places = sorted(
        case.at for case in report.cases if case.at is not None and case.title.endswith("on the top, outward")
    )
    ends = report.model.rail_nodes
    assert places[0] == pytest.approx(min(u for _, u in ends))
    assert places[-1] == pytest.approx(max(u for _, u in ends))
    assert max(b - a for a, b in pairwise(places)) < 400.0


def test_without_a_turn_newel() -> None:
    """A corner newel taken away leaves two rails that end free: it is told, or what it then does."""
    legs = gallery(QUARTER)
    assert {"P1", "P2", "P3"} <= set(changes.removable(legs))
    gone = changes.without(legs, "P2", ENGLAND)
    assert gone.before is not None
    assert gone.after is None or gone.after.movement > 2.0 * gone.before.movement
    assert gone.sentence.startswith("without P2 ")
    if gone.after is None:
        assert gone.mechanisms
        assert "does not stand" in gone.sentence


def test_an_edge_whose_last_rail_hangs_free_does_not_stand() -> None:
    """The newel at the gallery's end forgotten and no base rail: the sentence names the free end and the cure."""
    lower, upper = gallery(0.0)
    design = replace(
        upper.design, posts=tuple(p for p in upper.design.posts if p.shared), base=None, uprights=()
    )
    told = strength_of_edge((lower, replace(upper, design=design)), AT_TOP)
    assert isinstance(told, Unstable)
    finding = told.findings[0]
    assert finding.verdict is Verdict.FAIL
    assert finding.where == "A: handrail H2 at its free upper end"
    assert finding.remedy is not None
    assert finding.remedy.startswith("put a newel under the handrail H2 at its free upper end")
    assert "node H2" in finding.text
    assert "without resistance" in finding.text
    shape = dict(told.mechanisms[0].shape)
    assert set(shape) == {node.id for node in told.frame.nodes}
    assert max(abs(v) for six in shape.values() for v in six) == pytest.approx(1.0)


def test_a_newel_forgotten_at_a_single_leg() -> None:
    flight = regular_flight()
    design = compose(flight, plain_brief(flight), LIMITS)
    bare = replace(design, posts=design.posts[:1], base=None, uprights=())
    told = strength_of_edge((by_itself(bare),), AT_TOP)
    assert isinstance(told, Unstable)
    assert "No movement or strength can be told" in told.findings[0].text


def total_weight(model: Model, rules: RuleSet) -> float:
    solution = solve(model.frame, [loads_of(model, rules).permanent.case])
    return float(solution.reactions[0, :, 2].sum())


SOME = settings(max_examples=25, deadline=None, suppress_health_check=list(HealthCheck))


@SOME
@given(edges(), st.floats(-3.0, 3.0))
def test_any_edge_answers_the_same_turned_in_plan(
    drawn: tuple[tuple[Leg, ...], tuple[float, ...], tuple[TurnBrief, ...]], angle: float
) -> None:
    """Either a report or a sentence, the same wherever north is; the ground carries the whole weight.

    Off the world's axes a seated base rail is held against rocking both ways: that is what 2 and 3 per cent are for.
    """
    try:
        legs = legs_of(composed(*drawn))
    except ImpossibleDesignError:
        return
    first, second = strength_of_edge(legs, ENGLAND), strength_of_edge(turned(legs, angle, 500.0), ENGLAND)
    assert type(first) is type(second)
    if isinstance(first, Unstable) or isinstance(second, Unstable):
        return
    assert second.movement.value == pytest.approx(first.movement.value, rel=2e-2)
    assert second.utilisation == pytest.approx(first.utilisation, rel=3e-2)
    assert sum(first.movement.shares.values()) == pytest.approx(first.movement.value, rel=1e-6)
    assert first.movement.low <= first.movement.value <= first.movement.high
    assert total_weight(first.model, ENGLAND) == pytest.approx(total_weight(second.model, ENGLAND), rel=1e-6)
    assert all(isinstance(leg.design.brief.bottom, AtTurn) == (n > 0) for n, leg in enumerate(legs))
