"""The wreath by the tangent method: the middle line, the plank, the mould, the ends."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import ellipeinc
from shapely.geometry import LineString, Point, Polygon

from pitchline.kit.geometry.frames import cross, dot, subtract, unit
from pitchline.kit.geometry.wreath import Wreath, cross_slope, enclosing_plank, radius_of_straight_fall

RISES = st.floats(-150.0, 200.0)
WREATHS = st.builds(Wreath, st.floats(80.0, 400.0), st.floats(20.0, 150.0), RISES, RISES)
WIDTH, DEPTH = 60.0, 50.0


@given(WREATHS)
def test_the_middle_line_begins_and_ends_along_the_tangents(wreath: Wreath) -> None:
    """Against the curve itself, followed for a ten-thousandth of its turn at both ends."""
    one, other = wreath.tangents
    assert wreath.over(*wreath.plan_point(0.0)) == pytest.approx([-part for part in one], abs=1e-6)
    assert wreath.over(*wreath.plan_point(1.0)) == pytest.approx(other, abs=1e-6)
    for tangent, a, b in ((one, 0.0, 1e-5), (other, 1.0 - 1e-5, 1.0)):
        along = subtract(wreath.over(*wreath.plan_point(b)), wreath.over(*wreath.plan_point(a)))
        assert dot(unit(along), unit(tangent)) == pytest.approx(1.0, abs=1e-7)


@given(WREATHS, st.floats(0.0, 1.0), st.sampled_from([-30.0, 0.0, 30.0]))
def test_the_line_on_the_plank_is_an_ellipse(wreath: Wreath, share: float, side: float) -> None:
    """(x / small)^2 + (y / large)^2 = 1 about the centre, small axis along the level line of the plank."""
    centre = wreath.on_plank(-wreath.plan_tangent, wreath.radius)
    x, y = wreath.on_plank(*wreath.plan_point(share, wreath.radius + side))
    small, large = wreath.semi_axes
    grown = (wreath.radius + side) / wreath.radius
    found = ((x - centre[0]) / small) ** 2 + ((y - centre[1]) / large) ** 2
    assert found == pytest.approx(grown**2)


@given(WREATHS)
def test_its_length_is_that_of_an_elliptic_arc(wreath: Wreath) -> None:
    """Against the incomplete elliptic integral of the second kind (SciPy, after Abramowitz and Stegun 17.2)."""
    small, large = wreath.semi_axes
    centre = wreath.on_plank(-wreath.plan_tangent, wreath.radius)
    angles = []
    for share in (0.0, 1.0):
        x, y = wreath.on_plank(*wreath.plan_point(share))
        angles.append(math.atan2((y - centre[1]) / large, (x - centre[0]) / small))
    m = 1.0 - (small / large) ** 2
    turn = math.remainder(angles[1] - angles[0], math.tau)
    elliptic = large * (ellipeinc(angles[0] + turn, m) - ellipeinc(angles[0], m))
    assert wreath.length == pytest.approx(abs(elliptic), rel=1e-7)


@given(WREATHS)
def test_twist_turns_the_base_of_the_rail_into_the_face_of_the_plank(wreath: Wreath) -> None:
    """About the tangent, by the right-hand rule, whatever the rises."""
    for tangent, end in zip(wreath.tangents, (wreath.first, wreath.second), strict=True):
        along = unit(tangent)
        left = unit(cross((0.0, 0.0, 1.0), along))
        base = cross(along, left)
        twist = math.radians(end.twist_deg)
        turned = [math.cos(twist) * b - math.sin(twist) * y for b, y in zip(base, left, strict=True)]
        assert dot((turned[0], turned[1], turned[2]), wreath.plank.z) == pytest.approx(1.0)
        assert 0.0 < end.bevel_deg <= 90.0


@given(WREATHS)
def test_the_plank_holds_the_section_at_both_joints(wreath: Wreath) -> None:
    """Against the corners of the section, measured from the middle plane of the plank."""
    thickest = 0.0
    for tangent in wreath.tangents:
        along = unit(tangent)
        left = unit(cross((0.0, 0.0, 1.0), along))
        base = cross(along, left)
        for y in (-WIDTH / 2.0, WIDTH / 2.0):
            for z in (-DEPTH / 2.0, DEPTH / 2.0):
                corner = (
                    y * left[0] + z * base[0],
                    y * left[1] + z * base[1],
                    y * left[2] + z * base[2],
                )
                thickest = max(thickest, 2.0 * abs(dot(corner, wreath.plank.z)))
    assert wreath.plank_thickness(WIDTH, DEPTH) == pytest.approx(thickest)
    assert wreath.plank_thickness(WIDTH, DEPTH) <= enclosing_plank(WIDTH, DEPTH) + 1e-9


@given(WREATHS)
def test_the_mould_is_a_clean_outline_as_wide_at_its_joints_as_it_should_be(wreath: Wreath) -> None:
    """Sides stand plumb over the rail's edges; joints are square to the tangents, which the plank shows truly."""
    shank = wreath.least_shank(WIDTH) + 40.0
    mould = wreath.face_mould(WIDTH, shank)
    assert Polygon(mould).is_valid
    first_out, second_out, second_in, first_in = mould[0], mould[66], mould[67], mould[-1]
    assert math.dist(first_out, first_in) == pytest.approx(wreath.first.mould_width(WIDTH))
    assert math.dist(second_out, second_in) == pytest.approx(wreath.second.mould_width(WIDTH))
    corner = Point(wreath.on_plank(0.0, 0.0))
    for out, into, end in ((first_out, first_in, wreath.first), (second_out, second_in, wreath.second)):
        assert LineString([out, into]).project(corner) == pytest.approx(math.dist(out, into) / 2.0)
        assert LineString([out, into]).distance(corner) == pytest.approx(end.tangent + shank)
    with pytest.raises(ValueError, match="shanks of"):
        wreath.face_mould(WIDTH, wreath.least_shank(WIDTH) - 1.0)
    with pytest.raises(ValueError, match="two points"):
        wreath.mould_edge(wreath.radius, 1)


def test_a_level_turn_needs_no_tipped_plank() -> None:
    flat = Wreath(150.0, 90.0, 0.0, 0.0)
    assert flat.plank_pitch_deg == 0.0
    assert (flat.first.bevel_deg, flat.angle_deg) == pytest.approx((90.0, 90.0))
    assert flat.length == pytest.approx(150.0 * math.pi / 2.0)
    assert flat.plank_thickness(WIDTH, DEPTH) == pytest.approx(DEPTH)
    assert flat.least_shank(WIDTH) == 0.0


def test_pitches_of_its_ends_are_those_of_its_tangents() -> None:
    wreath = Wreath(100.0, 90.0, 80.0, -20.0)
    assert wreath.first.pitch_deg == pytest.approx(math.degrees(math.atan2(80.0, 100.0)))
    assert wreath.second.pitch_deg == pytest.approx(-math.degrees(math.atan2(20.0, 100.0)))


@given(st.floats(60.0, 300.0), st.floats(0.3, 1.2), st.floats(100.0, 250.0))
def test_a_half_turn_climbs_what_its_four_tangents_climb(radius: float, slope: float, rise: float) -> None:
    assert 2.0 * radius * slope + 2.0 * radius * cross_slope(rise, slope, radius) == pytest.approx(rise)


def test_turns_that_are_none() -> None:
    with pytest.raises(ValueError, match="half turn"):
        Wreath(100.0, 180.0, 10.0, 10.0)
    with pytest.raises(ValueError, match="radius above zero"):
        cross_slope(200.0, 0.8, 0.0)
    with pytest.raises(ValueError, match="above zero"):
        radius_of_straight_fall(0.0)
