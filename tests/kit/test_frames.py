"""Points, planes and placements."""

import math

import numpy as np
import pytest

from pitchline.kit.geometry.frames import (
    X_AXIS,
    Y_AXIS,
    Z_AXIS,
    Frame,
    Plane,
    angle_between,
    cross,
    dot,
    rotate,
    unit,
)


def test_a_quarter_turn_about_z_takes_x_to_y() -> None:
    assert rotate(X_AXIS, (0, 0, 5), math.pi / 2) == pytest.approx(Y_AXIS)


def test_angles_are_exact_where_arccosine_is_not() -> None:
    tiny = 1e-9
    assert angle_between(X_AXIS, (1.0, tiny, 0.0)) == pytest.approx(tiny, rel=1e-9)


def test_a_vector_without_length_has_no_direction() -> None:
    with pytest.raises(ValueError, match="direction"):
        unit((0.0, 0.0, 0.0))
    with pytest.raises(ValueError, match="direction"):
        Plane((0.0, 0.0, 0.0), (math.nan, 0.0, 0.0))


def test_a_plane_keeps_the_material_behind_its_normal() -> None:
    plane = Plane((10.0, 0.0, 0.0), (3.0, 0.0, 0.0))
    assert plane.normal == X_AXIS
    assert plane.distance((12.0, 5.0, 5.0)) == 2.0
    assert plane.distance((7.0, 5.0, 5.0)) == -3.0
    assert plane.flipped().distance((12.0, 5.0, 5.0)) == -2.0
    assert plane.moved(2.0).distance((12.0, 0.0, 0.0)) == 0.0
    assert plane.offset == 10.0
    assert plane.mirrored((12.0, 5.0, 5.0)) == (8.0, 5.0, 5.0)


def test_a_line_meets_a_plane_unless_parallel() -> None:
    plane = Plane((10.0, 0.0, 0.0), (1.0, 1.0, 0.0))
    assert plane.meet_line((0.0, 0.0, 3.0), (2.0, 0.0, 0.0)) == pytest.approx((10.0, 0.0, 3.0))
    with pytest.raises(ValueError, match="parallel"):
        plane.meet_line((0.0, 0.0, 0.0), Z_AXIS)


def test_a_frame_refuses_axes_that_are_not_square() -> None:
    with pytest.raises(ValueError, match="right-handed"):
        Frame((0.0, 0.0, 0.0), X_AXIS, Y_AXIS, (0.0, 0.0, -1.0))
    with pytest.raises(ValueError, match="square"):
        Frame((0.0, 0.0, 0.0), X_AXIS, unit((0.1, 1.0, 0.0)), Z_AXIS)
    with pytest.raises(ValueError, match="one long"):
        Frame((math.nan, 0.0, 0.0), (math.nan, 0.0, 0.0))


def test_a_frame_can_be_set_by_two_directions() -> None:
    frame = Frame.from_xz((1.0, 2.0, 3.0), (3.0, 0.0, 4.0), Z_AXIS)
    assert frame.x == pytest.approx((0.6, 0.0, 0.8))
    assert frame.y == pytest.approx(Y_AXIS)
    assert frame.z == pytest.approx((-0.8, 0.0, 0.6))
    same = Frame.from_xy(frame.origin, (3.0, 0.0, 4.0), (5.0, 1.0, 0.0))
    assert same.y == pytest.approx(cross(same.z, same.x))
    assert dot(same.y, (5.0, 1.0, 0.0)) > 0.0


def test_arrays_go_the_same_way_as_single_points() -> None:
    frame = Frame.from_xz((1.0, 2.0, 3.0), (3.0, 1.0, 4.0), Z_AXIS)
    points = np.array([(0.0, 0.0, 0.0), (10.0, -3.0, 7.0)])
    world = frame.array_to_world(points)
    assert world[1] == pytest.approx(frame.to_world((10.0, -3.0, 7.0)))
    assert frame.array_to_local(world) == pytest.approx(points)


def test_frames_follow_each_other() -> None:
    outer = Frame.from_xz((1.0, 2.0, 3.0), (3.0, 1.0, 4.0), Z_AXIS)
    inner = Frame.from_xy((5.0, 0.0, 1.0), (1.0, 1.0, 1.0), Y_AXIS)
    both = outer.frame_to_world(inner)
    p = (7.0, 8.0, 9.0)
    assert both.to_world(p) == pytest.approx(outer.to_world(inner.to_world(p)))
