"""Boxes cut by planes: corners, faces, lengths, volumes."""

import math

import numpy as np
import pytest

from pitchline.kit.geometry.cutbox import CutBox, Side
from pitchline.kit.geometry.frames import X_AXIS, Y_AXIS, Z_AXIS, Plane

L, W, T = 900.0, 40.0, 30.0


def plumb_ends(angle_deg: float) -> tuple[Plane, Plane]:
    """Parallel end cuts through the box's end points on the centre line, turned in the wide face."""
    n = (math.cos(math.radians(angle_deg)), math.sin(math.radians(angle_deg)), 0.0)
    return Plane((100.0, 0.0, 0.0), (-n[0], -n[1], 0.0)), Plane((800.0, 0.0, 0.0), n)


def test_an_uncut_box() -> None:
    box = CutBox(L, W, T)
    assert box.volume == pytest.approx(L * W * T)
    assert box.centroid == pytest.approx((L / 2, 0.0, 0.0))
    assert box.vertices.shape == (8, 3)
    assert [face.source for face in box.faces] == list(Side)
    assert len(box.edges) == 12
    assert box.long_length == box.short_length == L
    assert box.extent(Y_AXIS) == (-W / 2, W / 2)


def test_faces_run_anticlockwise_seen_from_outside() -> None:
    box = CutBox(L, W, T, plumb_ends(30.0))
    for face in box.faces:
        a, b, c = (np.array(box.corners[i]) for i in face.loop[:3])
        assert np.dot(np.cross(b - a, c - b), face.normal) > 0.0


def test_a_rhomboid_has_one_length_and_longer_points() -> None:
    """Parallel end cuts at p: volume = length on the axis x section; point to point L + W tan p."""
    p = 35.0
    box = CutBox(L, W, T, plumb_ends(p))
    assert box.volume == pytest.approx(700.0 * W * T)
    assert box.long_edge_lengths == pytest.approx((700.0,) * 4)
    assert box.long_length == pytest.approx(700.0 + W * math.tan(math.radians(p)))
    assert box.short_length == pytest.approx(700.0)


def test_a_trapezium_is_longest_on_one_edge() -> None:
    """Mirrored end cuts at p: the two edges differ by 2 W tan p."""
    p = math.radians(35.0)
    n = (math.cos(p), math.sin(p), 0.0)
    cuts = (Plane((100.0, 0.0, 0.0), (-n[0], n[1], 0.0)), Plane((800.0, 0.0, 0.0), n))
    box = CutBox(L, W, T, cuts)
    low, _, high, _ = box.long_edge_lengths
    assert low - high == pytest.approx(2.0 * W * math.tan(p))
    assert box.long_length == pytest.approx(low)
    assert box.short_length == pytest.approx(high)
    assert box.volume == pytest.approx(700.0 * W * T)


def test_a_corner_is_cut_off() -> None:
    """A plane through three points a, b, c from a corner takes a tetrahedron of a b c / 6."""
    box = CutBox(100.0, 100.0, 100.0, (Plane((70.0, 50.0, 50.0), (1 / 30.0, 1 / 20.0, 1 / 10.0)),))
    assert box.volume == pytest.approx(1e6 - 30.0 * 20.0 * 10.0 / 6.0)
    assert len(box.face_polygon(0)) == 3
    assert len(box.faces) == 7
    assert box.extent((1.0, 0.0, 0.0)) == (0.0, 100.0)


def test_a_cut_through_edges_makes_no_crumbs() -> None:
    box = CutBox(100.0, 100.0, 100.0, (Plane((0.0, -50.0, 0.0), (-1.0, 1.0, 0.0)),))
    assert len(box.faces) == 5
    assert len(box.corners) == 6
    assert box.volume == pytest.approx(5e5)


def test_a_cut_through_three_corners() -> None:
    box = CutBox(100.0, 100.0, 100.0, (Plane((100.0, 50.0, -50.0), (1.0, 1.0, 1.0)),))
    assert box.volume == pytest.approx(1e6 * 5.0 / 6.0)
    assert len(box.corners) == 7
    assert set(box.face_polygon(0)) == {(100.0, 50.0, -50.0), (100.0, -50.0, 50.0), (0.0, 50.0, 50.0)}


@pytest.mark.parametrize(
    "plane",
    [
        Plane((L, 0.0, 0.0), X_AXIS),
        Plane((L + 5.0, 0.0, 0.0), X_AXIS),
        Plane((L, W / 2, T / 2), (1.0, 1.0, 1.0)),
        Plane((L, W / 2, 0.0), (1.0, 1.0, 0.0)),
    ],
    ids=["on a face", "clear", "on a corner", "on an edge"],
)
def test_cuts_that_only_touch_change_nothing(plane: Plane) -> None:
    box = CutBox(L, W, T, (plane,))
    assert box.faces == CutBox(L, W, T).faces
    assert box.corners == CutBox(L, W, T).corners


def test_the_same_cut_twice_is_one_cut() -> None:
    cut = plumb_ends(30.0)[0]
    assert CutBox(L, W, T, (cut, cut)).faces == CutBox(L, W, T, (cut,)).faces


@pytest.mark.parametrize("x", [0.0, -5.0])
def test_cuts_that_leave_nothing_are_refused(x: float) -> None:
    with pytest.raises(ValueError, match="leave nothing"):
        CutBox(L, W, T, (Plane((x, 0.0, 0.0), X_AXIS),))
    with pytest.raises(ValueError, match="leave nothing"):
        CutBox(L, W, T, (Plane((100.0, 0.0, 0.0), X_AXIS), Plane((200.0, 0.0, 0.0), (-1.0, 0.0, 0.0))))


@pytest.mark.parametrize("sizes", [(0.0, W, T), (L, -1.0, T), (L, W, math.nan), (math.inf, W, T)])
def test_sizes_must_be_above_zero(sizes: tuple[float, float, float]) -> None:
    with pytest.raises(ValueError, match="above zero"):
        CutBox(*sizes)


def test_lengths_along_the_piece() -> None:
    box = CutBox(L, W, T, plumb_ends(45.0))
    assert box.span_along_x(10.0, 0.0) == pytest.approx((90.0, 790.0))
    assert box.span_along_x(W, 0.0) is None
    assert box.edge_length_along_x(W, 0.0) == 0.0
    ripped = CutBox(L, W, T, (Plane((0.0, 5.0, 0.0), Y_AXIS),))
    assert ripped.span_along_x(10.0, 0.0) is None
    assert ripped.span_along_x(0.0, 0.0) == (0.0, L)
    assert ripped.short_length == 0.0
    assert ripped.face_polygon(Side.HIGH_EDGE) == ()


def test_a_wedge_is_shorter_where_the_cuts_meet() -> None:
    box = CutBox(100.0, 40.0, 40.0, (Plane((0.0, 0.0, 0.0), (-1.0, 0.0, 5.0)),))
    assert box.edge_length_along_x(0.0, 20.0) == 0.0
    assert box.edge_length_along_x(0.0, 10.0) == pytest.approx(50.0)
    assert box.extent(Z_AXIS) == (-20.0, 20.0)


def test_boxes_are_values() -> None:
    cuts = plumb_ends(30.0)
    assert CutBox(L, W, T, cuts) == CutBox(L, W, T, cuts)
    assert hash(CutBox(L, W, T, cuts)) == hash(CutBox(L, W, T, cuts))
    assert CutBox(L, W, T, cuts) != CutBox(L, W, T)
