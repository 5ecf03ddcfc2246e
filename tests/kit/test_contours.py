"""Paths of straights and true arcs, bands along them, closed contours; shapely is the outside measure."""

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely.geometry import LineString, Point, Polygon

from pitchline.kit.geometry.contours import (
    Arc,
    Contour,
    Piece,
    Straight,
    band,
    part_of,
    path_length,
    place_on,
)

SWEEPS = st.floats(0.05, 3.0) | st.floats(-3.0, -0.05)
RADII = st.floats(20.0, 900.0)
ANGLES = st.floats(-math.pi, math.pi)


def s_curve(radius: float, sweep: float, begins: float, shank: float) -> tuple[Piece, ...]:
    """A straight, an arc and a straight that run on from one another."""
    arc = Arc((13.0, -7.0), radius, begins, sweep)
    lead = Straight(
        (arc.start[0] - shank * math.cos(arc.start_angle), arc.start[1] - shank * math.sin(arc.start_angle)),
        arc.start,
    )
    tail = Straight(
        arc.end, (arc.end[0] + shank * math.cos(arc.end_angle), arc.end[1] + shank * math.sin(arc.end_angle))
    )
    return (lead, arc, tail)


@given(RADII, ANGLES, SWEEPS)
def test_an_arc_is_its_chord_and_its_sagitta(radius: float, begins: float, sweep: float) -> None:
    """r = (c^2 / 4 + s^2) / (2 s), the bench rule for a radius from chord and rise (Euclid III.35)."""
    arc = Arc((5.0, 6.0), radius, begins, sweep)
    assert math.dist(arc.start, arc.end) == pytest.approx(arc.chord)
    assert (arc.chord**2 / 4.0 + arc.sagitta**2) / (2.0 * arc.sagitta) == pytest.approx(radius)
    middle = arc.at(arc.length / 2.0)
    centre_line = LineString([arc.start, arc.end])
    if abs(sweep) < math.pi:
        assert centre_line.distance(Point(middle)) == pytest.approx(arc.sagitta)
    assert abs(arc.bulge) == pytest.approx(arc.sagitta / (arc.chord / 2.0))
    assert arc.at(arc.length) == pytest.approx(arc.end)


@given(RADII, ANGLES, SWEEPS, st.floats(10.0, 300.0), st.floats(0.0, 1.0))
def test_a_path_travels_its_length(
    radius: float, begins: float, sweep: float, shank: float, share: float
) -> None:
    path = s_curve(radius, sweep, begins, shank)
    length = path_length(path)
    assert length == pytest.approx(2.0 * shank + radius * abs(sweep))
    here, angle = place_on(path, share * length)
    step = 1e-4
    there, _ = place_on(path, share * length + step)
    assert (there[0] - here[0]) / step == pytest.approx(math.cos(angle), abs=1e-4)
    assert (there[1] - here[1]) / step == pytest.approx(math.sin(angle), abs=1e-4)
    assume(0.01 < share < 0.99)
    first, second = part_of(path, 0.0, share * length), part_of(path, share * length, length)
    assert path_length(first) + path_length(second) == pytest.approx(length)
    assert first[-1].end == pytest.approx(here)
    assert second[0].start == pytest.approx(here)


def test_ends_of_a_path_are_carried_on_straight() -> None:
    path = s_curve(100.0, 1.0, 0.0, 50.0)
    assert place_on(path, -10.0)[1] == path[0].start_angle
    assert math.dist(place_on(path, path_length(path) + 10.0)[0], path[-1].end) == pytest.approx(10.0)
    with pytest.raises(ValueError, match="nothing"):
        part_of(path, 500.0, 600.0)


@given(st.floats(80.0, 900.0), ANGLES, st.floats(0.05, 2.0) | st.floats(-2.0, -0.05), st.floats(10.0, 300.0))
def test_a_band_has_the_area_and_reach_that_shapely_finds(
    radius: float, begins: float, sweep: float, shank: float
) -> None:
    """Area of a band = its width times the length of its middle line (Pappus); the rest against a fine polygon."""
    path = s_curve(radius, sweep, begins, shank)
    contour = band(path, 40.0, 20.0)
    middle = 10.0 * math.copysign(1.0, sweep)
    assert contour.area == pytest.approx(60.0 * (2.0 * shank + (radius - middle) * abs(sweep)))
    shape = Polygon(contour.points(0.001))
    assert shape.is_valid
    assert shape.area == pytest.approx(contour.area, abs=0.001 * contour.length)
    assert shape.length == pytest.approx(contour.length, rel=1e-4)
    for angle in (0.0, 0.7, 2.0):
        low, high = contour.extent(angle)
        places = [u * math.cos(angle) + z * math.sin(angle) for u, z in shape.exterior.coords]
        assert low == pytest.approx(min(places), abs=0.0011)
        assert high == pytest.approx(max(places), abs=0.0011)


def test_a_band_is_mitred_where_straights_meet() -> None:
    path = (Straight((0.0, 0.0), (100.0, 0.0)), Straight((100.0, 0.0), (100.0, 80.0)))
    contour = band(path, 10.0, 10.0)
    assert contour.area == pytest.approx(20.0 * 180.0)
    corners = {(round(u, 6), round(z, 6)) for u, z in contour.points(1.0)}
    assert {(90.0, 10.0), (110.0, -10.0)} <= corners


@given(st.floats(1e-4, 1e-2), ANGLES)
def test_a_hair_of_a_straight_beside_an_arc_does_no_harm(hair: float, begins: float) -> None:
    """Its direction is known to rounding over its length only; the band closes all the same."""
    contour = band(s_curve(300.0, -0.7, begins, hair), 40.0, 20.0)
    assert contour.area == pytest.approx(60.0 * (310.0 * 0.7 + 2.0 * hair), rel=1e-7)


def test_bands_and_contours_that_cannot_be() -> None:
    arc = Arc((0.0, 0.0), 30.0, 0.0, 1.0)
    with pytest.raises(ValueError, match="radius on the inside"):
        band((arc,), 30.0, 0.0)
    with pytest.raises(ValueError, match="some width"):
        band((arc,), 0.0, 0.0)
    with pytest.raises(ValueError, match="without a corner"):
        band((arc, Straight(arc.end, (100.0, 100.0))), 5.0, 5.0)
    with pytest.raises(ValueError, match="do not follow"):
        Contour((Straight((0.0, 0.0), (1.0, 0.0)), Straight((2.0, 0.0), (0.0, 0.0))))
    with pytest.raises(ValueError, match="two pieces"):
        Contour((arc,))
    with pytest.raises(ValueError, match="some length"):
        Straight((0.0, 0.0), (0.0, 0.0))
    with pytest.raises(ValueError, match="radius and a sweep"):
        Arc((0.0, 0.0), 10.0, 0.0, 0.0)
    with pytest.raises(ValueError, match="always leave"):
        band((arc,), 5.0, 5.0).points(0.0)


def test_a_whole_circle_is_two_arcs() -> None:
    circle = Contour((Arc((1.0, 2.0), 10.0, 0.3, math.pi), Arc((1.0, 2.0), 10.0, 0.3 + math.pi, math.pi)))
    assert circle.area == pytest.approx(math.pi * 100.0)
    assert circle.extent(1.1) == pytest.approx(
        (math.cos(1.1) + 2.0 * math.sin(1.1) - 10.0, math.cos(1.1) + 2.0 * math.sin(1.1) + 10.0)
    )
