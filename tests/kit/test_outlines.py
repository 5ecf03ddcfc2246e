"""Clipped outlines, strips and clean unions."""

import math

import pytest
import shapely

from pitchline.kit.geometry import outlines
from pitchline.kit.geometry.outlines import HalfPlane, Outline, Points

SQUARE: Points = ((0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0))


def test_a_cut_edge_is_told_from_the_others() -> None:
    cut = Outline.of(SQUARE).clipped(HalfPlane((50.0, 0.0), (1.0, 0.0)), "cut")
    assert cut.points == ((0.0, 0.0), (50.0, 0.0), (50.0, 100.0), (0.0, 100.0))
    assert cut.labels == (0, "cut", 2, 3)
    assert cut.edge("cut") == ((50.0, 0.0), (50.0, 100.0))
    assert cut.edge(1) is None
    assert cut.area == 5000.0


def test_corners_that_stay_are_not_touched() -> None:
    corner = (0.1 + 0.2, 1.0 / 3.0)
    points = (corner, (100.0, 0.0), (100.0, 100.0))
    kept = outlines.clip_half_plane(points, (70.0, 0.0), (1.0, 0.0))
    assert corner in kept


def test_a_cut_through_two_corners_makes_no_crumbs() -> None:
    cut = Outline.of(SQUARE).clipped(HalfPlane((0.0, 0.0), (-1.0, 1.0)), "cut")
    assert cut.points == ((0.0, 0.0), (100.0, 0.0), (100.0, 100.0))
    assert cut.labels == (0, 1, "cut")


def test_a_cut_on_an_edge_or_clear_of_it_changes_nothing() -> None:
    square = Outline.of(SQUARE)
    assert square.clipped(HalfPlane((100.0, 3.0), (1.0, 0.0)), "cut") == square
    assert square.clipped(HalfPlane((200.0, 3.0), (1.0, 0.0)), "cut") == square


def test_a_cut_that_takes_all_leaves_nothing() -> None:
    square = Outline.of(SQUARE)
    assert square.clipped(HalfPlane((0.0, 0.0), (1.0, 0.0)), "cut").points == ()
    assert square.clipped(HalfPlane((-5.0, 0.0), (1.0, 0.0)), "cut").area == 0.0
    assert Outline((), ()).clipped(HalfPlane((0.0, 0.0), (1.0, 0.0)), "cut").points == ()


def test_the_sense_of_the_corners_does_not_matter() -> None:
    assert Outline.of(SQUARE[::-1]).area == 10000.0
    assert outlines.signed_area(SQUARE) == 10000.0
    assert outlines.signed_area(SQUARE[::-1]) == -10000.0


def test_a_strip_is_cut_out_of_a_bay() -> None:
    """A strip at 45 degrees through the middle: width times diagonal less the two corners (w/2)^2 each."""
    w = 20.0
    slat = outlines.strip_within(Outline.of(SQUARE), (50.0, 50.0), (1.0, 1.0), w)
    assert slat.area == pytest.approx(w * 100.0 * math.sqrt(2.0) - 2.0 * (w / 2.0) ** 2)
    assert {"left", "right"} <= set(slat.labels)
    left = slat.edge("left")
    assert left is not None
    assert left[0][1] > left[0][0]


def test_a_strip_needs_a_width_and_a_direction() -> None:
    with pytest.raises(ValueError, match="width"):
        outlines.strip((0.0, 0.0), (1.0, 0.0), 0.0)
    with pytest.raises(ValueError, match="direction"):
        outlines.strip((0.0, 0.0), (0.0, 0.0), 10.0)
    with pytest.raises(ValueError, match="direction"):
        HalfPlane((0.0, 0.0), (0.0, 0.0))
    with pytest.raises(ValueError, match="label"):
        Outline(SQUARE, (1, 2))


def test_the_centre_of_a_triangle_is_the_mean_of_its_corners() -> None:
    assert outlines.centroid(((0.0, 0.0), (30.0, 0.0), (0.0, 60.0))) == pytest.approx((10.0, 20.0))
    for points in ((), ((0.0, 0.0), (1.0, 1.0), (2.0, 2.0))):
        with pytest.raises(ValueError, match="area"):
            outlines.centroid(points)


def test_hair_thin_pieces_and_holes_are_rounding() -> None:
    left = outlines.difference(shapely.box(0, 0, 100, 100), [shapely.box(0.001, -1, 60, 101)])
    assert [shape.bounds for shape in left] == [(60.0, 0.0, 100.0, 100.0)]
    joined = outlines.union(
        [shapely.box(0, 0, 50, 100), shapely.box(50.001, 5, 100, 95), shapely.box(40, 0, 60, 10)]
    )
    assert len(joined) == 1
    ring = shapely.box(0, 0, 100, 100).difference(shapely.box(50, 10, 50.001, 90))
    assert len(outlines.without_slivers(ring)[0].interiors) == 0
    window = shapely.box(0, 0, 100, 100).difference(shapely.box(50, 10, 60, 90))
    assert len(outlines.without_slivers(window)[0].interiors) == 1


def test_lines_and_points_of_an_overlay_are_dropped() -> None:
    mixed = shapely.GeometryCollection([shapely.LineString([(0, 0), (1, 1)]), shapely.box(0, 0, 5, 5)])
    assert [shape.area for shape in outlines.without_slivers(mixed)] == [25.0]
    assert outlines.without_slivers(shapely.GeometryCollection()) == []
    assert outlines.difference(shapely.box(0, 0, 5, 5), [shapely.box(-1, -1, 6, 6)]) == []


def test_outlines_go_to_shapely_and_back() -> None:
    back = outlines.from_shapely(outlines.to_shapely(SQUARE[::-1]))
    assert set(back) == set(SQUARE)
    assert outlines.signed_area(back) == 10000.0
    assert outlines.without_repeats([*SQUARE, SQUARE[0], SQUARE[0]]) == SQUARE
