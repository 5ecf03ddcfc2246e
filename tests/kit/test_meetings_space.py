"""Ends against faces out of plumb, mitres of unequal rails, and what a section does at a turn."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitchline.kit.geometry.bevels import direction_of, joint_between, rail_frame, saw_reading
from pitchline.kit.geometry.cutbox import CutBox
from pitchline.kit.geometry.frames import ORIGIN, Z_AXIS, Frame, Plane, Vec3, dot, rotate
from pitchline.kit.geometry.meetings_space import (
    Symmetry,
    arris_step,
    chain,
    corner_miss,
    depth_to_agree,
    end_cut,
    leaning,
    post_face,
    roll_left,
    roll_through,
    rolled_to_run_on,
    unequal_mitre,
)

PITCHES = st.floats(-50.0, 50.0)
TURNS = st.floats(-150.0, 150.0)
RAKE = direction_of(0.0, 41.6)


def test_a_plumb_face_gives_the_plumb_cut() -> None:
    cut = end_cut(rail_frame(RAKE), post_face((500.0, 0.0, 0.0), 180.0), 60.0, 60.0)
    assert abs(cut.reading.bevel_deg) == pytest.approx(41.6)
    assert cut.reading.mitre_deg == pytest.approx(0.0, abs=1e-9)
    assert cut.at_axis == pytest.approx(500.0 / math.cos(math.radians(41.6)))
    assert cut.spread == pytest.approx(60.0 * math.tan(math.radians(41.6)))


@pytest.mark.parametrize("out", [-8.0, 5.0])
def test_a_post_that_leans_along_the_rail_adds_its_lean(out: float) -> None:
    """5 mm in a metre is 0.29 degrees; a top that leans up the rail makes the cut steeper to the rail."""
    face = post_face(ORIGIN, 180.0, leaning(out, 0.0))
    reading = end_cut(rail_frame(RAKE), face, 60.0, 60.0).reading
    lean = math.degrees(math.atan(out / 1000.0))
    assert abs(reading.bevel_deg) == pytest.approx(41.6 + lean)
    assert reading.mitre_deg == pytest.approx(0.0, abs=1e-9)


def test_a_post_that_leans_sideways_keeps_its_face_plumb() -> None:
    face = post_face(ORIGIN, 180.0, leaning(0.0, 12.0))
    assert face.normal == pytest.approx((-1.0, 0.0, 0.0))


def test_a_twisted_post_mitres_a_level_rail_by_its_twist() -> None:
    reading = end_cut(
        rail_frame(direction_of(0.0, 0.0)), post_face(ORIGIN, 180.0, Z_AXIS, 3.0), 60.0, 60.0
    ).reading
    assert reading.mitre_deg == pytest.approx(3.0)
    assert reading.bevel_deg == pytest.approx(0.0, abs=1e-12)


@given(st.floats(-30.0, 30.0), st.floats(-30.0, 30.0), st.floats(-8.0, 8.0))
def test_the_face_runs_along_the_post_and_looks_where_it_is_twisted_to(
    along: float, across: float, twist: float
) -> None:
    """Against turning the upright post as a solid body would: twist about plumb, then lean without spin."""
    axis = leaning(along, across)
    face = post_face(ORIGIN, 30.0, axis, twist)
    assert dot(face.normal, axis) == pytest.approx(0.0, abs=1e-12)
    level = direction_of(30.0 + twist, 0.0)
    hinge = (-axis[1], axis[0], 0.0)
    tilt = math.acos(axis[2])
    body = level if tilt == 0.0 else rotate(level, hinge, tilt)
    assert dot(face.normal, body) == pytest.approx(1.0, abs=1e-5)
    assert dot(face.normal, (-level[1], level[0], 0.0)) == pytest.approx(
        -dot(level, axis) * dot((-level[1], level[0], 0.0), axis), rel=1e-2, abs=1e-9
    )


@given(PITCHES, st.floats(-10.0, 10.0), st.floats(-20.0, 20.0), st.floats(-20.0, 20.0))
def test_edges_of_an_end_are_those_of_the_cut_piece(
    pitch: float, twist: float, along: float, across: float
) -> None:
    """Against the box that is cut by the plane: what is left of its four long edges."""
    rail = rail_frame(direction_of(0.0, pitch))
    face = post_face(rail.to_world((700.0, 0.0, 0.0)), 0.0, leaning(along, across), twist)
    cut = end_cut(rail, face, 68.0, 45.0)
    box = CutBox(1500.0, 68.0, 45.0, (rail.plane_to_local(face),))
    assert box.long_edge_lengths == pytest.approx([cut.at_axis + edge for edge in cut.edges])
    assert cut.spread == pytest.approx(box.long_length - box.short_length)


@given(st.floats(2.0, 120.0), st.floats(30.0, 90.0), st.floats(0.7, 1.4))
def test_unequal_rails_share_one_cut_and_its_length(turn: float, size: float, ratio: float) -> None:
    one, other = unequal_mitre(turn, size, size * ratio)
    assert one + other == pytest.approx(turn)
    assert size / math.cos(math.radians(one)) == pytest.approx(size * ratio / math.cos(math.radians(other)))


def test_equal_rails_halve_the_turn_and_a_hair_of_a_turn_is_refused() -> None:
    assert unequal_mitre(37.3, 60.0, 60.0) == pytest.approx((18.65, 18.65))
    with pytest.raises(ValueError, match="a turn"):
        unequal_mitre(0.0, 60.0, 60.0)
    with pytest.raises(ValueError, match="above zero"):
        unequal_mitre(30.0, 0.0, 60.0)
    leaning_away = unequal_mitre(3.0, 20.0, 10.0)
    assert leaning_away[0] < 0.0 < leaning_away[1] < 90.0


def test_a_picture_frame_of_unequal_boards() -> None:
    """A right angle of boards a and b is cut on the diagonal of the a by b corner: tan = b / a."""
    one, other = unequal_mitre(90.0, 60.0, 80.0)
    assert math.tan(math.radians(one)) == pytest.approx(80.0 / 60.0)
    assert math.tan(math.radians(other)) == pytest.approx(60.0 / 80.0)


@given(st.floats(30.0, 90.0), PITCHES, PITCHES)
def test_depths_that_agree_have_plumb_cuts_of_one_length(depth: float, one: float, other: float) -> None:
    second = depth_to_agree(depth, one, other)
    assert second / math.cos(math.radians(other)) == pytest.approx(depth / math.cos(math.radians(one)))


@given(st.floats(-140.0, 140.0), PITCHES, PITCHES)
def test_edges_part_at_a_plumb_mitre_as_the_rails_themselves_do(
    plan: float, one: float, other: float
) -> None:
    """Against the two top edges in space, followed to the plane that bisects the turn in plan."""
    mitre = Plane(ORIGIN, direction_of(plan / 2.0, 0.0))
    for side in (-1.0, 1.0):
        ends = []
        for bearing, pitch in ((0.0, one), (plan, other)):
            direction = direction_of(bearing, pitch)
            y = rail_frame(direction).y
            ends.append(mitre.meet_line((30.0 * side * y[0], 30.0 * side * y[1], 0.0), direction))
        assert ends[0][:2] == pytest.approx(ends[1][:2], abs=1e-9)
        assert abs(ends[0][2] - ends[1][2]) == pytest.approx(arris_step(60.0, plan, one, other), abs=1e-9)


def test_rolls_that_a_section_does_not_mind() -> None:
    assert roll_left(67.2, Symmetry.ROUND) == 0.0
    assert roll_left(92.0, Symmetry.SQUARE) == pytest.approx(2.0)
    assert roll_left(-178.0, Symmetry.OBLONG) == pytest.approx(2.0)
    assert roll_left(90.0, Symmetry.MOULDED) == 90.0
    assert corner_miss(60.0, 80.0, 60.0) == pytest.approx(100.0 * 2.0 * math.sin(math.radians(30.0)) / 2.0)


@given(PITCHES, PITCHES, TURNS)
def test_one_mitre_rolls_as_its_joint_says(one: float, other: float, plan: float) -> None:
    first, second = direction_of(0.0, one), direction_of(plan, other)
    joint = joint_between(first, second)
    assert roll_through((first, second)) == pytest.approx(joint.roll_deg, abs=1e-9)
    again = joint_between(first, second, rolled_to_run_on(first, second))
    assert again.roll_deg == pytest.approx(0.0, abs=1e-7)


@given(PITCHES, PITCHES, TURNS)
def test_levelling_out_before_and_after_the_turn_rolls_nothing(one: float, other: float, plan: float) -> None:
    path: list[Vec3] = [
        direction_of(0.0, one),
        direction_of(0.0, 0.0),
        direction_of(plan, 0.0),
        direction_of(plan, other),
    ]
    assert roll_through(path) == pytest.approx(0.0, abs=1e-9)
    joints = chain(path)
    assert [joint.roll_deg for joint in joints] == pytest.approx([0.0, 0.0, 0.0], abs=1e-7)
    assert abs(joints[0].first.bevel_deg) == pytest.approx(abs(one) / 2.0)
    assert abs(joints[1].first.mitre_deg) == pytest.approx(abs(plan) / 2.0)


@given(PITCHES, PITCHES, TURNS)
def test_a_plumb_piece_passes_the_turn_in_plan_on_as_a_roll(one: float, other: float, plan: float) -> None:
    path = (direction_of(0.0, one), Z_AXIS, direction_of(plan, other))
    assert abs(roll_through(path)) == pytest.approx(abs(plan), abs=1e-7)


def test_a_frame_may_stand_anywhere() -> None:
    """The distance along the rail is counted from the frame's own origin."""
    rail = rail_frame(RAKE)
    moved = Frame(rail.to_world((100.0, 0.0, 0.0)), rail.x, rail.y, rail.z)
    face = post_face((500.0, 0.0, 0.0), 180.0)
    assert end_cut(rail, face, 60.0, 60.0).at_axis - end_cut(
        moved, face, 60.0, 60.0
    ).at_axis == pytest.approx(100.0)
    assert saw_reading(rail.plane_to_local(face).normal) == end_cut(moved, face, 60.0, 60.0).reading
