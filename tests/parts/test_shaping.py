"""Placing axes and lengths from long point to long point, worked by hand."""

import math

import pytest

from pitchline.kit.geometry.frames import Frame, Plane
from pitchline.kit.geometry.lines import Line
from pitchline.kit.geometry.outlines import Outline
from pitchline.parts.part import Face
from pitchline.parts.shaping import (
    NothingLeftError,
    Stick,
    cut_to_length,
    edge_planes,
    face_names,
    face_towards,
    stick_between,
)
from pitchline.stair.model import Side

LEVEL = Stick((0.0, 0.0, 0.0), (1.0, 0.0), 60.0, 40.0)
THETA = math.atan2(3.0, 4.0)
RAKING = Stick((0.0, 0.0, 0.0), (0.8, 0.6), 60.0, 40.0)


def upright_plane(u: float, sense: float) -> Plane:
    return Plane((u, 0.0, 0.0), (sense, 0.0, 0.0))


def test_the_wide_face_is_the_larger_side() -> None:
    assert (LEVEL.width, LEVEL.thickness) == (60.0, 40.0)
    assert LEVEL.frame.y == pytest.approx((0.0, 0.0, 1.0))
    flat = Stick((0.0, 0.0, 0.0), (1.0, 0.0), 30.0, 70.0)
    assert (flat.width, flat.thickness) == (70.0, 30.0)
    assert flat.frame.y == (0.0, 1.0, 0.0)


def test_square_ends() -> None:
    cut = cut_to_length(LEVEL, (upright_plane(100.0, -1.0), upright_plane(350.0, 1.0)))
    assert cut.length == pytest.approx(250.0)
    assert cut.frame.origin == pytest.approx((100.0, 0.0, 0.0))


def test_plumb_cuts_on_a_rake() -> None:
    """3-4-5: 400 on the level is 500 on the rake, and the depth of 60 adds 60 x 3/4 from long point to long point."""
    cut = cut_to_length(RAKING, (upright_plane(0.0, -1.0), upright_plane(400.0, 1.0)))
    assert cut.length == pytest.approx(500.0 + 45.0)
    assert cut.start[0].normal[0] == pytest.approx(-0.8)
    assert abs(cut.start[0].normal[1]) == pytest.approx(0.6)


def test_a_piece_that_ends_in_a_point() -> None:
    """A level end at z = 0 under a plumb piece, and a slant through its lower right corner: a triangle 60 high."""
    plumb = Stick((0.0, 0.0, 0.0), (0.0, 1.0), 60.0, 40.0)
    base = Plane((0.0, 0.0, 0.0), (0.0, 0.0, -1.0))
    slant = Plane((30.0, 0.0, 0.0), (1.0, 0.0, 1.0))
    assert cut_to_length(plumb, (base, slant)).length == pytest.approx(60.0)
    crossing = Plane((0.0, 0.0, 0.0), (1.0, 0.0, 1.0))
    assert cut_to_length(plumb, (base, crossing)).length == pytest.approx(30.0)


def test_planes_that_cross_outside_leave_nothing() -> None:
    with pytest.raises(NothingLeftError, match="cross"):
        cut_to_length(LEVEL, (upright_plane(100.0, -1.0), upright_plane(50.0, 1.0)))


def test_a_plane_along_the_piece_is_no_end_cut() -> None:
    """Even where rounding has turned it by a millionth of a millionth."""
    along = Plane((0.0, 0.0, 10.0), (1e-12, 0.0, 1.0))
    cut = cut_to_length(LEVEL, (upright_plane(100.0, -1.0), upright_plane(350.0, 1.0), along))
    assert cut.length == pytest.approx(250.0)
    assert len(cut.finish) == 1


def test_both_ends_are_needed() -> None:
    with pytest.raises(ValueError, match="both ends"):
        cut_to_length(LEVEL, (upright_plane(100.0, -1.0),))


def test_end_planes_from_an_outline() -> None:
    outline = Outline(
        ((0.0, 0.0), (40.0, 30.0), (40.0, 730.0), (0.0, 700.0)), ("base", "right", "rail", "left")
    )
    given = Plane((0.0, 0.0, 700.0), (-0.6, 0.1, 0.8))
    low, high = edge_planes(outline, ("left", "right"), {"rail": given})
    assert low.normal == pytest.approx((0.6, 0.0, -0.8))
    assert high is given


def test_edges_without_length_are_no_ends() -> None:
    outline = Outline(((0.0, 0.0), (0.0, 0.0), (40.0, 700.0)), ("base", "right", "rail"))
    assert len(edge_planes(outline, ("right",), {})) == 1


def test_a_stick_between_two_lines() -> None:
    """50 plumb at 3-4-5 is 40 square; its middle lies 25 plumb under the upper line."""
    stick = stick_between(Line(100.0, 0.75), Line(150.0, 0.75), 5.0, 70.0, 200.0)
    assert stick.depth == pytest.approx(40.0)
    assert stick.centre == pytest.approx((200.0, 5.0, 275.0))


@pytest.mark.parametrize("side", list(Side))
def test_faces_are_named_for_a_joiner(side: Side) -> None:
    names = dict(face_names(RAKING.frame, side))
    assert names[Face.PLUS_Y] == "top"
    assert names[Face.MINUS_Y] == "underside"
    assert names[Face.PLUS_Z] == ("open side" if side is Side.RIGHT else "stair side")
    plumb = Frame.from_xy((0.0, 0.0, 0.0), (0.0, 0.0, 1.0), (-1.0, 0.0, 0.0))
    assert dict(face_names(plumb, side))[Face.PLUS_Y] == "towards the foot"


def test_the_face_that_looks_a_way() -> None:
    assert face_towards(RAKING.frame, (-0.6, 0.0, 0.8)) is Face.PLUS_Y
    assert face_towards(RAKING.frame, (0.0, 1.0, 0.0)) is Face.MINUS_Z
