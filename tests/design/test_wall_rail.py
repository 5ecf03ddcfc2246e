"""A wall rail laid out: its line, its corners, its pieces, and what must hold on any stair."""

import math
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, settings
from tests.strategies_walls import (
    RAIL,
    irregular_walls,
    landing_stair,
    one_wall,
    straight_stair,
    studs,
    wall_over_winders,
    wall_round_half_turn,
    wall_round_landing,
    winder_stair,
)

from pitchline.catalogue.rules import load_rule_set
from pitchline.design.brief import RailBrief, Station
from pitchline.design.wall_brief import (
    Backing,
    BracketBrief,
    CornerWay,
    EndWay,
    WallEnd,
    WallFace,
    WallRailBrief,
    WallReading,
)
from pitchline.design.wall_legs import Surroundings
from pitchline.design.wall_model import PieceKind, WallRail
from pitchline.design.wallrail import compose_wall_rail
from pitchline.kit.finding import Verdict
from pitchline.kit.geometry.frames import angle_between, dot, subtract
from pitchline.stair.edge import Spot
from pitchline.stair.model import Side

ENGLAND = load_rule_set("england-dwelling")
IBC = load_rule_set("us-ibc-2021")


def codes(rail: WallRail) -> set[str]:
    return {finding.code for finding in rail.findings}


def test_a_regular_flight_has_a_straight_rail_in_the_middle_of_its_window() -> None:
    """900 to 1000 mm (Approved Document K): 950 above every nosing, at the flight's own pitch."""
    rail = compose_wall_rail(one_wall(), straight_stair(), ENGLAND)
    assert rail.heights[0].heights == pytest.approx([950.0] * 13)
    assert rail.heights[0].margin == pytest.approx(50.0)
    body = [piece for piece in rail.pieces if piece.kind is not PieceKind.RETURN]
    assert len(body) == 1
    assert math.degrees(math.asin(body[0].direction[2])) == pytest.approx(
        math.degrees(math.atan(200.0 / 225.0))
    )


def test_a_wished_height_is_kept() -> None:
    brief = one_wall(rail=RailBrief(45.0, 60.0, 920.0))
    rail = compose_wall_rail(brief, straight_stair(), ENGLAND)
    assert rail.heights[0].heights == pytest.approx([920.0] * 13)


def test_the_rail_stands_off_the_proudest_place() -> None:
    """Clear 45 asked; the wall 6 proud at N3 and 10 hollow at N9: centre 45 + 6 + 22.5 from the straight line."""
    readings = (WallReading(Station("N3"), 6.0), WallReading(Station("N9"), -10.0))
    face = WallFace("F1", Backing.STUDS, studs(-500.0, 400.0, 10), readings=readings)
    rail = compose_wall_rail(one_wall(walls=(face,), clear=45.0), straight_stair(), ENGLAND)
    assert rail.centres[0] == pytest.approx(73.5)
    packing = {bracket.u: bracket.packing for bracket in rail.brackets}
    for u, packed in packing.items():
        share = min(max((u - 450.0) / (1800.0 - 450.0), 0.0), 1.0)
        assert packed == pytest.approx(16.0 * share, abs=1e-6)
    assert "design.wall.packing" in codes(rail)


def test_a_wall_out_of_plumb_wedges_the_plates() -> None:
    """A lean of 1 in 100 over a plate 70 high: 0.7 mm."""
    face = WallFace("F1", Backing.MASONRY, lean=0.01)
    rail = compose_wall_rail(one_wall(walls=(face,)), straight_stair(), ENGLAND)
    assert [bracket.wedge for bracket in rail.brackets] == pytest.approx([0.7] * len(rail.brackets))
    assert "design.wall.plumb" in codes(rail)


def test_extensions_of_the_building_code() -> None:
    """IBC 1014.6: 12 in level past the top riser, one tread at the slope past the lowest."""
    rail = compose_wall_rail(one_wall(), straight_stair(), IBC)
    path = rail.paths[0]
    assert path[0][0] == pytest.approx(-225.0)
    assert path[-1][0] == pytest.approx(2700.0 + 304.8)
    assert path[-1][1] == pytest.approx(path[-2][1])
    assert path[-2][0] == pytest.approx(2700.0)


def test_a_return_is_a_plain_mitre_whatever_the_rake() -> None:
    rail = compose_wall_rail(one_wall(), straight_stair(), ENGLAND)
    returned = [joint for joint in rail.joints if "return" in joint.words]
    assert len(returned) == 2
    for joint in returned:
        for reading in (joint.first_reading, joint.second_reading):
            assert abs(reading.mitre_deg) == pytest.approx(45.0)
            assert reading.bevel_deg == pytest.approx(0.0, abs=1e-9)


def test_over_winders_with_level_pieces_nothing_rolls() -> None:
    rail = compose_wall_rail(wall_over_winders(), winder_stair(), ENGLAND)
    assert all(abs(joint.roll_deg) < 1e-9 for joint in rail.joints)
    assert all(height.margin > 0.0 for height in rail.heights)
    corner = next(joint for joint in rail.joints if "corner" in joint.words)
    assert (corner.turn_deg, abs(corner.first_reading.mitre_deg)) == pytest.approx((90.0, 45.0))
    assert "design.wall.roll" not in codes(rail)


def test_the_nosings_of_winders_stand_beside_their_walls() -> None:
    """Three winders at 30 degrees in a quarter turn 850 wide: 850 (1 - tan 30) from the corner on either wall."""
    rail = compose_wall_rail(wall_over_winders(), winder_stair(), ENGLAND)
    lower, upper = rail.legs
    reach = 850.0 * (1.0 - math.tan(math.pi / 6))
    assert lower.finish == pytest.approx(960.0 + 850.0)
    assert lower.finish - lower.nosings[-1].u == pytest.approx(reach)
    assert upper.nosings[0].u - upper.start == pytest.approx(reach)
    assert [n.name for n in lower.nosings][-1] == "W N6"
    heights = [n.z for n in (*lower.nosings, *upper.nosings)]
    assert all(b - a == pytest.approx(190.0) for a, b in pairwise(heights))


def test_mitred_over_winders_the_section_rolls_and_the_ways_out_are_told() -> None:
    rail = compose_wall_rail(wall_over_winders(CornerWay.MITRED), winder_stair(), ENGLAND)
    finding = next(f for f in rail.findings if f.code == "design.wall.roll")
    assert finding.verdict is Verdict.ADVICE
    assert "level pieces at least" in finding.text
    assert "a round rail of 45.0 mm" in finding.text
    round_one = compose_wall_rail(wall_over_winders(CornerWay.MITRED, is_round=True), winder_stair(), ENGLAND)
    assert "design.wall.roll" not in codes(round_one)


def test_level_pieces_too_short_for_their_mitres_are_told() -> None:
    brief = wall_over_winders()
    short = replace(brief, turns=(replace(brief.turns[0], level=20.0),))
    rail = compose_wall_rail(short, winder_stair(), ENGLAND)
    assert "design.wall.level" in codes(rail)


def test_broken_at_the_corner_each_rail_has_its_own_returns() -> None:
    rail = compose_wall_rail(wall_over_winders(CornerWay.BROKEN), winder_stair(), ENGLAND)
    assert rail.runs == ((0,), (1,))
    assert sum(piece.kind is PieceKind.RETURN for piece in rail.pieces) == 4


def test_along_a_landing_the_rail_climbs_one_going_before_the_next_flight() -> None:
    """Level at 950, and the line 950 above the nosings of the next flight: they meet one going before its first."""
    rail = compose_wall_rail(wall_round_landing(), landing_stair(), ENGLAND)
    landing = rail.paths[1]
    assert landing[-2] == pytest.approx((1000.0 - 240.0, 6 * 190.0 + 950.0))
    assert landing[-1][1] - landing[-2][1] == pytest.approx(190.0)
    body = [piece for piece in rail.pieces if piece.kind is not PieceKind.RETURN]
    assert len(body) == 4
    assert all(height.margin == pytest.approx(50.0) for height in rail.heights)


def test_round_an_outside_corner_the_rail_runs_past_it() -> None:
    """The wall on the inner side of a left turn: the middle lines meet one distance past the corner on both legs."""
    plain = wall_round_landing()
    first = replace(plain.turns[0], leaves=Spot("N6", 100.0), joins=Spot("N1", 0.0), level=150.0)
    rail = compose_wall_rail(
        replace(plain, side=Side.LEFT, turns=(first, plain.turns[1])), landing_stair(), ENGLAND
    )
    assert rail.paths[0][-1][0] == pytest.approx(1300.0 + rail.centres[0])
    assert rail.paths[1][0][0] == pytest.approx(-rail.centres[1])
    assert sum(piece.kind is not PieceKind.RETURN for piece in rail.pieces) == 4


def test_a_half_turn_of_winders_has_a_rail_along_three_walls() -> None:
    """Two quarter turns round one newel: level pieces reach the corners of the middle lines, all heights are kept."""
    brief, around = wall_round_half_turn()
    rail = compose_wall_rail(brief, around, ENGLAND)
    back = rail.legs[1]
    assert back.finish == pytest.approx(1600.0)
    assert [nosing.name for nosing in back.nosings] == ["W N7", "W N8"]
    assert rail.paths[1][0][0] == pytest.approx(rail.centres[0])
    assert rail.paths[1][-1][0] == pytest.approx(1600.0 - rail.centres[2])
    assert all(height.margin > 0.0 for height in rail.heights)
    nosings = [nosing.z for leg in rail.legs for nosing in leg.nosings]
    assert [b - a for a, b in pairwise(nosings)] == pytest.approx([190.0] * (len(nosings) - 1))


def test_a_window_that_no_rail_keeps_is_told_with_the_ways_out() -> None:
    brief = one_wall(rail=RailBrief(45.0, 60.0, 1100.0))
    rail = compose_wall_rail(brief, straight_stair(), ENGLAND)
    finding = next(f for f in rail.findings if f.code == "design.wall.height")
    assert finding.measured == pytest.approx(-100.0)
    assert "leave its height open" in finding.text


def test_studs_that_do_not_allow_the_spacing_ask_for_a_backing_board() -> None:
    face = WallFace("F1", Backing.STUDS, studs(100.0, 2400.0, 2))
    rail = compose_wall_rail(one_wall(walls=(face,)), straight_stair(), load_rule_set("canada-nbc-2020"))
    finding = next(f for f in rail.findings if f.code == "design.wall.brackets")
    assert finding.verdict is Verdict.FAIL
    assert "backing board" in finding.text
    assert finding.measured == pytest.approx(2400.0)


def test_the_other_side_is_the_mirror_image() -> None:
    right, left = (
        compose_wall_rail(one_wall(side=side), straight_stair(), ENGLAND) for side in (Side.RIGHT, Side.LEFT)
    )
    for one, other in zip(right.pieces, left.pieces, strict=True):
        x, y, z = one.start
        assert other.start == pytest.approx((x, -y, z))
        assert other.direction == pytest.approx((one.direction[0], -one.direction[1], one.direction[2]))


@settings(deadline=None, max_examples=40)
@given(irregular_walls())
def test_pieces_meet_and_brackets_hang_under_the_rail(given_wall: tuple[WallRailBrief, Surroundings]) -> None:
    brief, around = given_wall
    rail = compose_wall_rail(brief, around, ENGLAND)
    body = [piece for piece in rail.pieces if piece.kind is not PieceKind.RETURN]
    for first, second in pairwise(body):
        assert first.finish == pytest.approx(second.start)
        normal = first.finish_plane.normal
        before, after = angle_between(normal, first.direction), angle_between(normal, second.direction)
        assert before == pytest.approx(after, abs=1e-9)
    for bracket in rail.brackets:
        assert rail.paths[0][0][0] <= bracket.u <= rail.paths[0][-1][0]
        below = rail.top_at(0, bracket.u) - bracket.rail_z
        assert below == pytest.approx(rail.depth * math.hypot(1.0, rail.slope_at(0, bracket.u)))
    kept = rail.heights[0].margin >= -1e-6
    assert kept != ("design.wall.height" in codes(rail))


@settings(deadline=None, max_examples=25)
@given(irregular_walls())
def test_every_piece_stays_clear_of_the_wall(given_wall: tuple[WallRailBrief, Surroundings]) -> None:
    brief, around = given_wall
    rail = compose_wall_rail(brief, around, ENGLAND)
    out = rail.side.towards_stair
    for piece in rail.pieces:
        ends = (piece.start, piece.finish)
        away = [dot(subtract(end, (0.0, 0.0, 0.0)), (0.0, out, 0.0)) for end in ends]
        if piece.kind is PieceKind.RETURN:
            assert min(away) == pytest.approx(0.0, abs=1e-9)
        else:
            assert min(away) - rail.width / 2 == pytest.approx(rail.clear)


def test_plain_ends_have_no_returns_and_brackets_keep_their_distance() -> None:
    ends = WallEnd(EndWay.PLAIN, 100.0, 0.0)
    brief = one_wall(
        bottom=ends, top=ends, walls=(WallFace("F1", Backing.MASONRY),), brackets=BracketBrief(800.0, 250.0)
    )
    rail = compose_wall_rail(brief, straight_stair(), ENGLAND)
    assert [piece.kind for piece in rail.pieces] == [PieceKind.RAKING]
    places = [bracket.u for bracket in rail.brackets]
    assert (places[0], places[-1]) == pytest.approx((-100.0 + 250.0, 2800.0 - 250.0))
    assert max(b - a for a, b in pairwise(places)) <= 800.0
    assert rail.brief.rail == RAIL
