"""Parts of a wall rail: lengths and cuts in closed form, marks of the brackets, what has to be bought."""

import math

import pytest
from hypothesis import given, settings
from tests.strategies_walls import irregular_walls, one_wall, straight_stair, wall_over_winders, winder_stair

from pitchline.catalogue.rules import load_rule_set
from pitchline.design.brief import RailBrief
from pitchline.design.wall_brief import CornerWay, EndWay, WallEnd, WallRailBrief
from pitchline.design.wall_legs import Surroundings
from pitchline.design.wallrail import compose_wall_rail
from pitchline.kit.geometry.bevels import saw_reading
from pitchline.parts.part import Role, RoundBar
from pitchline.parts.wallrail import bracket_marks, wall_rail_fixings, wall_rail_parts

ENGLAND = load_rule_set("england-dwelling")


def test_a_straight_rail_between_two_returns() -> None:
    """12 goings of 225 and rises of 200: 12 hypotenuses, and half the width at both ends for the mitres."""
    rail = compose_wall_rail(one_wall(), straight_stair(), ENGLAND)
    parts = wall_rail_parts(rail)
    body = parts[0]
    assert body.role is Role.WALL_RAIL
    assert body.length == pytest.approx(12.0 * math.hypot(200.0, 225.0) + 45.0)
    cuts = [saw_reading(cut.normal) for cut in (*body.start_cuts, *body.finish_cuts)]
    assert sorted(abs(cut.mitre_deg) + abs(cut.bevel_deg) for cut in cuts) == pytest.approx([45.0, 45.0])
    assert body.trim == 12.0


def test_returns_reach_the_wall() -> None:
    """Clear 40 and the rail's width to the long point: 40 + 45."""
    rail = compose_wall_rail(one_wall(), straight_stair(), ENGLAND)
    returned = [part for part in wall_rail_parts(rail) if part.role is Role.RETURN]
    assert [part.length for part in returned] == pytest.approx([85.0, 85.0])
    assert {part.mark for part in returned} == {"E1", "E2"}


def test_plain_ends_are_cut_square() -> None:
    ends = WallEnd(EndWay.PLAIN, 0.0, 0.0)
    rail = compose_wall_rail(one_wall(bottom=ends, top=ends), straight_stair(), ENGLAND)
    (body,) = wall_rail_parts(rail)
    assert body.length == pytest.approx(12.0 * math.hypot(200.0, 225.0))


def test_a_round_rail_is_a_round_bar() -> None:
    brief = one_wall(rail=RailBrief(48.0, 48.0), is_round=True)
    part = wall_rail_parts(compose_wall_rail(brief, straight_stair(), ENGLAND))[0]
    assert part.features == (RoundBar(48.0),)
    assert (part.width, part.thickness) == (48.0, 48.0)


def test_marks_run_from_the_long_point_of_the_lower_end() -> None:
    """The underside hangs off the top line by the depth times the pitch's tangent; the mitre adds half the width."""
    rail = compose_wall_rail(one_wall(), straight_stair(), ENGLAND)
    (piece,) = bracket_marks(rail, wall_rail_parts(rail))
    pitch = math.atan(200.0 / 225.0)
    for (_, mark), bracket in zip(piece.marks, rail.brackets, strict=True):
        plumb_cut = 60.0 * math.tan(pitch)
        assert mark == pytest.approx(bracket.u / math.cos(pitch) - plumb_cut + 22.5)


def test_mitred_pieces_share_their_plane_and_its_outline() -> None:
    """A round rail's two faces at a mitre lie in one plane: the corners of both blanks' cuts are on it."""
    rail = compose_wall_rail(wall_over_winders(CornerWay.MITRED, is_round=True), winder_stair(), ENGLAND)
    parts = {part.place: part for part in wall_rail_parts(rail)}
    for joint in rail.joints:
        first, second = (
            next(piece for piece in rail.pieces if piece.id == name) for name in (joint.first, joint.second)
        )
        if "return" in joint.words:
            continue
        plane = first.finish_plane
        assert second.start_plane.normal == pytest.approx(tuple(-n for n in plane.normal))
        part = parts[first.id]
        world = [part.frame.to_world(corner) for corner in part.body.corners]
        assert max(plane.distance(point) for point in world) == pytest.approx(0.0, abs=1e-6)


def test_what_has_to_be_bought() -> None:
    rail = compose_wall_rail(wall_over_winders(), winder_stair(), ENGLAND)
    fixings = {fixing.what: fixing for fixing in wall_rail_fixings(rail)}
    brackets = fixings["handrail bracket"]
    assert brackets.quantity == len(rail.brackets)
    assert brackets.sizes == pytest.approx((40.0 + 22.5,))
    assert fixings["wood screw"].quantity + fixings["screw with plug"].quantity == 3 * len(rail.brackets)


@settings(deadline=None, max_examples=30)
@given(irregular_walls())
def test_every_bracket_has_a_mark_on_its_piece(given_wall: tuple[WallRailBrief, Surroundings]) -> None:
    brief, around = given_wall
    rail = compose_wall_rail(brief, around, ENGLAND)
    parts = wall_rail_parts(rail)
    lengths = {part.place: part.length for part in parts}
    told = {name: (piece.place, mark) for piece in bracket_marks(rail, parts) for name, mark in piece.marks}
    assert set(told) == {bracket.id for bracket in rail.brackets}
    assert all(0.0 <= mark <= lengths[place] for place, mark in told.values())
