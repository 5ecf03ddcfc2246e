"""What keeps a tool off a face, on plain blocks whose answers are formulas; joints where blocks lie on each other."""

import math
from dataclasses import replace

import pytest

from pitchline.kit.geometry.bevels import SawReading, end_plane, start_plane
from pitchline.kit.geometry.frames import Frame
from pitchline.making.access import Field, PieceFace, Tool, closed, closers, exposed, faces_of, joints_of
from pitchline.making.access_bodies import part_body
from pitchline.parts.part import Face, Groove, Part, Role
from pitchline.parts.wood import surface_area

SQUARE = SawReading(0.0, 0.0)
SANDER = Tool("sander", 100.0, 100.0)
"""A pad 100 mm across with as much behind it, so that expected values are plain."""


def block(place: str, x: float, y: float, z: float, length: float = 800.0, side: float = 40.0) -> Part:
    """A square stick along x, the middle of its start end at (x, y, z)."""
    return Part(
        place,
        place,
        Role.UPRIGHT,
        "oak-european",
        length,
        side,
        side,
        (start_plane((0.0, 0.0, 0.0), SQUARE),),
        (end_plane((length, 0.0, 0.0), SQUARE),),
        (),
        Frame((x, y, z)),
    )


def face(part: Part, along: tuple[float, float, float]) -> PieceFace:
    """The face of a piece that looks along a direction."""
    found = [one for one in faces_of(part) if math.dist(one.frame.z, along) < 1e-6]
    assert len(found) == 1
    return found[0]


def field(*parts: Part) -> Field:
    return Field(tuple(part_body(part) for part in parts))


UP = (0.0, 0.0, 1.0)


def test_the_faces_of_a_block_are_its_six_sides() -> None:
    one = block("A", 0.0, 0.0, 0.0)
    assert len(faces_of(one)) == 6
    assert sum(side.area for side in faces_of(one)) == pytest.approx(surface_area(one))
    assert sum(side.is_end for side in faces_of(one)) == 2


def test_a_groove_takes_its_mouth_out_of_its_face_and_both_ends() -> None:
    plain = block("A", 0.0, 0.0, 0.0)
    grooved = replace(plain, features=(Groove(Face.PLUS_Z, 0.0, 16.0, 10.0),))
    assert face(grooved, UP).area == pytest.approx(800.0 * (40.0 - 16.0))
    assert sum(side.area for side in faces_of(grooved) if side.is_end) == pytest.approx(2 * (1600.0 - 160.0))


@pytest.mark.parametrize("gap", [30.0, 60.0, 99.0])
def test_a_neighbour_closer_than_the_tool_is_high_closes_the_whole_face(gap: float) -> None:
    """A stick over another, as long: no pad stands between them, and the face is no wider than the stick."""
    low, high = block("A", 0.0, 0.0, 0.0), block("B", 0.0, 0.0, 40.0 + gap)
    side = face(low, UP)
    shut = closed(side, side.outline, field(low, high), SANDER)
    assert shut.area == pytest.approx(side.area, rel=1e-3)
    assert closers(side, shut, field(low, high), SANDER) == ("B",)


def test_a_neighbour_further_off_than_the_tool_is_high_closes_nothing() -> None:
    low, high = block("A", 0.0, 0.0, 0.0), block("B", 0.0, 0.0, 141.0)
    side = face(low, UP)
    assert closed(side, side.outline, field(low, high), SANDER).is_empty


def test_a_post_on_a_face_leaves_the_corners_that_a_round_pad_does_not_fill() -> None:
    """A wide board and a stick across it: within the board, the pad sweeps up to the stick everywhere along it."""
    board = block("A", 0.0, 0.0, 0.0, side=400.0)
    post = replace(block("B", 0.0, 0.0, 0.0), frame=Frame.from_xy((400.0, 0.0, 200.0), UP, (1.0, 0.0, 0.0)))
    side = face(board, UP)
    joints = joints_of(side, field(board, post))
    assert joints["B"].area == pytest.approx(1600.0, rel=1e-6)
    left = exposed(side, joints.values())
    assert left.area == pytest.approx(side.area - 1600.0, rel=1e-6)
    assert closed(side, left, field(board, post), SANDER).area == pytest.approx(0.0, abs=2.0)


def test_two_walls_leave_the_rounding_of_the_pad_in_their_corner() -> None:
    """In an inner corner a pad of radius r leaves (1 - pi/4) r2; four corners of a well of four walls."""
    board = block("A", 0.0, 0.0, 0.0, length=600.0, side=600.0)
    walls = [
        block(name, -40.0, y, 340.0, length=680.0, side=80.0) for name, y in (("S", -340.0), ("N", 340.0))
    ]
    crossing = block("X", 0.0, 0.0, 0.0, length=680.0, side=80.0)
    across = [
        replace(crossing, place=name, frame=Frame.from_xy((x, -340.0, 340.0), (0.0, 1.0, 0.0), UP))
        for name, x in (("W", -40.0), ("E", 640.0))
    ]
    side = face(board, UP)
    shut = closed(side, side.outline, field(board, *walls, *across), SANDER)
    assert shut.area == pytest.approx(4 * (1.0 - math.pi / 4) * 50.0**2, rel=0.05)


def test_a_stick_lying_on_a_face_is_a_joint_as_large_as_they_share() -> None:
    low, high = block("A", 0.0, 0.0, 0.0), block("B", 500.0, 0.0, 40.0)
    assert joints_of(face(low, UP), field(low, high))["B"].area == pytest.approx(300.0 * 40.0, rel=1e-6)
    lifted = block("B", 500.0, 0.0, 41.0)
    assert joints_of(face(low, UP), field(low, lifted)) == {}
