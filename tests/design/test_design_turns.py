"""Turns of an edge: newels, mitres, easings, and handrail lines that must meet; figures worked by hand."""

import math
from dataclasses import replace

import pytest
from tests.strategies_edges import (
    CORNER,
    LANDING_LIMITS,
    QUARTER,
    Leg,
    briefs_of,
    built,
    composed,
    edge_of,
    limits_of,
)
from tests.strategies_stairs import LIMITS, PLAIN_RAIL, regular

from pitchline.design.balustrade import Balustrade, compose_edge
from pitchline.design.brief import Bored, Eased, Mitred, Shape, SpacingBrief, Spread, UprightsBrief
from pitchline.design.rail_runs import Meeting, RailLeg, lines_of
from pitchline.design.turns import turn_of_section
from pitchline.kit.errors import ImpossibleDesignError
from pitchline.kit.geometry.lines import Line
from pitchline.parts.explode import explode_legs
from pitchline.stair.model import Side

LOWER, LANDING, UPPER = (
    Leg("lower", regular(6, 190.0, 230.0)),
    Leg("landing", None, 900.0),
    Leg("upper", regular(5, 190.0, 230.0)),
)
PITCH = 190.0 / 230.0


def test_a_newel_between_rake_and_level_takes_both_rails() -> None:
    """Rails at 900 mm: on the newel's axis, 45 mm past N6, the rake stands 45 tan(pitch) above the level rail."""
    whole = composed((LOWER, LANDING), (QUARTER,), (CORNER,))
    (turn,) = whole.turns
    assert turn.step == pytest.approx(-45.0 * PITCH)
    assert turn.post is not None
    assert turn.post.length == pytest.approx(900.0 + 45.0 * PITCH + 90.0)
    assert turn.post.foot == pytest.approx((5 * 230.0 + 45.0, 0.0, 6 * 190.0))


def test_a_rake_that_leaves_a_landing_starts_a_rise_higher() -> None:
    """45 mm before N1 the rake stands a rise less 45 tan(pitch) above the level rail."""
    whole = composed((LANDING, UPPER), (QUARTER,), (CORNER,))
    assert whole.turns[0].step == pytest.approx(190.0 - 45.0 * PITCH)


def test_rails_over_a_newel_rest_on_it() -> None:
    """Level rails 59 mm deep at 900 mm, mitred over a newel: it ends at 841 mm."""
    over = replace(CORNER, under_rail=True, above_rail=0.0)
    whole = composed((LANDING, Leg("gallery", None, 1200.0)), (QUARTER,), (over,))
    (turn,) = whole.turns
    assert turn.post is not None and turn.joint is not None
    assert turn.post.length == pytest.approx(900.0 - PLAIN_RAIL.depth)
    assert turn.joint.first.mitre_deg == pytest.approx(45.0)


def test_in_line_the_rails_meet_where_their_lines_cross() -> None:
    """Rake 900 above the nosings, level 900 above the floor: they cross on the top nosing, wherever the turn is."""
    for inset in (0.0, 45.0, 120.0):
        flights = built((LOWER, LANDING))
        whole = compose_edge(
            edge_of((LOWER, LANDING), (0.0,), inset=inset),
            {f.id: f for f in flights},
            briefs_of(flights, (Mitred(),)),
            limits_of(flights),
        )
        (turn,) = whole.turns
        assert turn.meets == pytest.approx(5 * 230.0, abs=1e-6)
        assert turn.joint is not None
        assert turn.joint.turn_deg == pytest.approx(math.degrees(math.atan(PITCH)))
        assert abs(turn.joint.first.bevel_deg) == pytest.approx(math.degrees(math.atan(PITCH)) / 2)


def test_a_level_rail_set_higher_meets_the_rake_behind_the_nosing() -> None:
    """A level rail 57 mm higher meets the rake 57 / tan(pitch) = 69 mm behind the top nosing."""
    flights = built((LOWER, LANDING))
    briefs = briefs_of(flights, (Mitred(),))
    raised = replace(briefs[1], rail=replace(PLAIN_RAIL, height=957.0))
    whole = compose_edge(
        edge_of((LOWER, LANDING), (0.0,)), {f.id: f for f in flights}, (briefs[0], raised), limits_of(flights)
    )
    assert whole.turns[0].meets == pytest.approx(5 * 230.0 + 57.0 / PITCH)


def test_an_easing_is_tangent_to_both_rails() -> None:
    """Tangent length r tan(turn / 2); the rails end square where the arc begins."""
    flights = built((LOWER, LANDING))
    briefs = [
        replace(brief, making=Bored(20.0, 10.0, 0.3), infill=UprightsBrief(Shape.ROUND, 25.0, 25.0))
        for brief in briefs_of(flights, (Eased(500.0),))
    ]
    whole = compose_edge(
        edge_of((LOWER, LANDING), (0.0,)), {f.id: f for f in flights}, briefs, limits_of(flights)
    )
    piece = whole.turns[0].easement
    assert piece is not None
    pitch = math.atan(PITCH)
    assert piece.easing.tangent == pytest.approx(500.0 * math.tan(pitch / 2))
    end = whole.legs[0].handrail.finish
    assert end.point[0] == pytest.approx(5 * 230.0 - piece.easing.tangent * math.cos(pitch))
    assert end.normal == pytest.approx((math.cos(pitch), 0.0, math.sin(pitch)))
    under = [u for u in whole.legs[0].uprights if "easing" in u.outline.labels]
    assert under
    for upright in under:
        arc = piece.under(piece.depth)
        tops = sorted(upright.sight, key=lambda p: p[1])[-2:]
        for u, z in tops:
            bent = arc.reaches(math.atan2(z - arc.centre[1], u - arc.centre[0]))
            off = math.dist((u, z), arc.centre) - arc.radius
            assert not bent or off == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize(
    ("turn", "angle", "words"),
    [
        (Eased(300.0), QUARTER, "bends in one upright plane"),
        (Eased(9000.0), 0.0, "longer than its legs"),
        (Eased(40.0), 0.0, "tighter than the handrail is deep"),
    ],
)
def test_what_cannot_be_eased(turn: Eased, angle: float, words: str) -> None:
    with pytest.raises(ImpossibleDesignError, match=words):
        composed((LOWER, LANDING), (angle,), (turn,))


def test_a_groove_does_not_go_round_an_easing() -> None:
    with pytest.raises(ImpossibleDesignError, match="bored"):
        composed((LOWER, LANDING), (0.0,), (Eased(300.0),))


def test_joined_lines_take_the_largest_margin_together() -> None:
    """A flight of one pitch into a landing: raise the rake by t at the corner's cost to the level, both leave t.

    The rake stands 45 tan(pitch) above its height at N6 on the corner; with windows 900 to 1000 both, and slopes
    free on the rake, both legs can stand at 950 there only if the rake is flatter: the programme's margin is no less
    than that of any slope tried.
    """
    flights = built((LOWER, LANDING))
    legs = [RailLeg(f, replace(PLAIN_RAIL, height=None), LIMITS) for f in flights]
    rake, level = lines_of(legs, [Meeting(0, 5 * 230.0 + 45.0, -45.0)])
    corner = 5 * 230.0 + 45.0
    assert level.slope == 0.0
    assert rake.at(corner) == pytest.approx(level.z0 + 6 * 190.0, abs=1e-4)
    best = _margin(rake, flights[0].nosings)
    for k in range(-40, 41):
        slope = PITCH + k * 0.002
        for lift in range(900, 1001, 4):
            z0 = 6 * 190.0 + lift - slope * corner
            tried = min(_margin_of(z0, slope, flights[0].nosings), lift - 900.0, 1000.0 - lift)
            assert tried <= min(best, level.z0 - 900.0, 1000.0 - level.z0) + 1e-4


def _margin(line: Line, nosings: tuple[tuple[float, float], ...]) -> float:
    return _margin_of(line.z0, line.slope, nosings)


def _margin_of(z0: float, slope: float, nosings: tuple[tuple[float, float], ...]) -> float:
    heights = [z0 + slope * u - z for u, z in nosings]
    return min(min(heights) - 900.0, 1000.0 - max(heights))


def test_legs_that_do_not_meet_keep_their_own_lines() -> None:
    flights = built((LOWER, LANDING))
    legs = [RailLeg(flights[0], PLAIN_RAIL, LIMITS), RailLeg(flights[1], PLAIN_RAIL, LANDING_LIMITS)]
    rake, level = lines_of(legs, [])
    assert rake.slope == pytest.approx(PITCH)
    assert level.z0 == pytest.approx(900.0)


@pytest.mark.parametrize(
    ("degrees", "section"), [(90.0, 0.0), (45.0, 22.5), (30.0, 15.0), (120.0, 15.0), (0.0, 0.0)]
)
def test_a_newel_halves_what_a_turn_leaves_of_quarters(degrees: float, section: float) -> None:
    assert abs(math.degrees(turn_of_section(math.radians(degrees)))) == pytest.approx(section)


def test_one_module_runs_through_a_turn() -> None:
    """Centres keep their module along the plan, through the newel: what is missing there is a whole multiple."""
    flights = built((LOWER, LANDING))
    infill = UprightsBrief(Shape.RECTANGULAR, 41.0, 41.0, spacing=SpacingBrief(Spread.MODULE, module=120.0))
    briefs = [replace(b, infill=infill, run_on=k > 0) for k, b in enumerate(briefs_of(flights, (CORNER,)))]
    whole = compose_edge(
        edge_of((LOWER, LANDING), (QUARTER,)), {f.id: f for f in flights}, briefs, limits_of(flights)
    )
    last, first = whole.legs[0].uprights[-1], whole.legs[1].uprights[0]
    run = (5 * 230.0 + 45.0 - last.u) + (first.u + 45.0)
    assert run / 120.0 == pytest.approx(round(run / 120.0), abs=1e-9)
    assert whole.legs[1].uprights[1].u - first.u == pytest.approx(120.0)


def test_a_flight_guarded_on_both_sides_is_one_design_numbered_on() -> None:
    """Two edges of one flight 850 mm wide: their lines lie 850 mm apart, and no piece bears a number twice."""
    flights = built((LOWER,))
    by_id = {flight.id: flight for flight in flights}
    done: list[Balustrade] = []
    for side in (Side.LEFT, Side.RIGHT):
        edge = replace(edge_of((LOWER,), (), side=side), id=side.value)
        done.append(
            compose_edge(edge, by_id, briefs_of(flights, (), side=side), limits_of(flights), before=done)
        )
    one, other = done
    assert other.places[0].frame.origin == pytest.approx((0.0, -850.0, 0.0))
    assert [bar.id for leg in (*one.legs, *other.legs) for bar in leg.bars] == ["H1", "B1", "H2", "B2"]
    assert [post.id for leg in (*one.legs, *other.legs) for post in leg.posts] == ["P1", "P2", "P3", "P4"]
    places = [part.place for parts in explode_legs((*one.legs, *other.legs)) for part in parts]
    assert len(places) == len(set(places))
    lengths = [sorted(round(p.length, 6) for p in parts) for parts in explode_legs((*one.legs, *other.legs))]
    assert lengths[0] == lengths[1]
