"""Tangent arcs between two pitches, levelling out, goosenecks and pitch boards."""

import math
from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely.geometry import LineString, Polygon

from pitchline.kit.geometry.easings import (
    DOWN,
    UP,
    Easing,
    PitchBoard,
    easing_between,
    easing_of_tangent,
    gooseneck,
    levelled_out,
    radius_of_tangent,
    radius_off_corner,
)
from pitchline.kit.geometry.lines import Line
from pitchline.kit.geometry.meetings import meeting_of

RAKE = Line(900.0, 200.0 / 225.0)
THETA = math.atan2(200.0, 225.0)
SLOPES = st.floats(-1.3, 1.3)


@given(SLOPES, SLOPES, st.floats(50.0, 900.0))
def test_an_easing_touches_both_lines_and_no_more(first: float, second: float, radius: float) -> None:
    """Equal tangents from the corner and a centre at one radius from both lines (Euclid III.17, III.36)."""
    assume(abs(first - second) > 0.02)
    one, other = Line(900.0, first), Line(1000.0, second)
    easing = easing_between(one, other, radius)
    found = meeting_of(one, other)
    assert found is not None
    assert math.dist(easing.start, found.point) == pytest.approx(easing.tangent)
    assert math.dist(easing.end, found.point) == pytest.approx(easing.tangent)
    assert easing.start[1] == pytest.approx(one.at(easing.start[0]))
    assert easing.end[1] == pytest.approx(other.at(easing.end[0]))
    arc = easing.arc
    assert arc.start == pytest.approx(easing.start)
    assert arc.end == pytest.approx(easing.end)
    for line in (one, other):
        off = (arc.centre[1] - line.at(arc.centre[0])) * math.cos(line.angle)
        assert off == pytest.approx(math.copysign(radius, easing.turn))
    middle = arc.at(arc.length / 2.0)
    assert math.dist(middle, found.point) == pytest.approx(easing.off_corner, rel=1e-6, abs=1e-9)
    assert arc.length == pytest.approx(radius * abs(other.angle - one.angle))


@given(st.floats(0.05, 2.8), st.floats(10.0, 600.0))
def test_a_radius_is_found_from_its_tangent_or_from_its_distance_off_the_corner(
    turn: float, size: float
) -> None:
    assert Easing((0.0, 0.0), 0.0, turn, radius_of_tangent(turn, size)).tangent == pytest.approx(size)
    assert Easing((0.0, 0.0), 0.0, turn, radius_off_corner(turn, size)).off_corner == pytest.approx(size)


def test_easing_of_a_given_tangent() -> None:
    assert easing_of_tangent(RAKE, Line(900.0, 0.0), 150.0).start[0] == pytest.approx(
        -150.0 * math.cos(THETA)
    )
    with pytest.raises(ValueError, match="and a turn"):
        easing_of_tangent(RAKE, RAKE.raised(1.0), 150.0)
    with pytest.raises(ValueError, match="no corner"):
        easing_between(RAKE, RAKE.raised(1.0), 150.0)


@given(SLOPES, SLOPES, st.floats(150.0, 900.0), st.floats(-60.0, 60.0))
def test_a_line_beside_an_easing_keeps_its_distance(
    first: float, second: float, radius: float, left: float
) -> None:
    assume(abs(first - second) > 0.02)
    easing = easing_between(Line(0.0, first), Line(0.0, second), radius)
    beside = easing.followed(left)
    assert beside.arc.centre == pytest.approx(easing.arc.centre, rel=1e-6, abs=1e-6)
    assert beside.radius == pytest.approx(radius - math.copysign(1.0, easing.turn) * left)
    offset = Line(0.0, first).offset(left)
    assert beside.start[1] == pytest.approx(offset.at(beside.start[0]), abs=1e-6)


def test_the_outline_holds_true_arcs_about_one_centre() -> None:
    easing = easing_between(RAKE, Line(900.0, 0.0), 300.0)
    outline = easing.outline(0.0, 60.0, 75.0, 75.0)
    low, high = sorted(arc.radius for arc in outline.arcs)
    assert (low, high) == pytest.approx((240.0, 300.0))
    assert [arc.centre for arc in outline.arcs] == [pytest.approx(easing.arc.centre)] * 2
    assert outline.area == pytest.approx(60.0 * (150.0 + 270.0 * THETA))
    hollow = easing_between(Line(900.0, 0.0), RAKE, 300.0)
    assert sorted(arc.radius for arc in hollow.outline(0.0, 60.0).arcs) == pytest.approx([300.0, 360.0])
    assert Polygon(outline.points(0.01)).is_valid


def test_levelling_out_before_a_newel() -> None:
    """The rake reaches the level at u = 0; the arc takes r tan(theta / 2) of what is left to the face."""
    found = levelled_out(RAKE, 900.0, 300.0, 180.0)
    assert found.level == pytest.approx(180.0 - 300.0 * math.tan(THETA / 2.0))
    snug = levelled_out(RAKE, 900.0, found.greatest_radius, 180.0)
    assert snug.level == pytest.approx(0.0, abs=1e-9)
    falling = levelled_out(Line(0.0, -0.7), 0.0, 300.0, 180.0)
    assert falling.easing.turn > 0.0 > found.easing.turn
    with pytest.raises(ValueError, match="behind the face"):
        levelled_out(RAKE, 1300.0, 300.0, 180.0)


def test_a_gooseneck_climbs_to_a_higher_level() -> None:
    neck = gooseneck(RAKE, 0.0, 1200.0, 80.0, 60.0)
    lower = 80.0 * math.tan((math.pi / 2.0 - THETA) / 2.0)
    assert neck.plumb == pytest.approx(300.0 - lower - 60.0)
    path = neck.path(100.0, 100.0)
    line = LineString([piece.start for piece in path] + [path[-1].end])
    assert line.is_simple
    for a, b in pairwise(path):
        assert a.end == pytest.approx(b.start)
        assert math.remainder(a.end_angle - b.start_angle, math.tau) == pytest.approx(0.0, abs=1e-9)
    assert neck.outline(25.0, 25.0, 100.0, 100.0).area == pytest.approx(
        50.0 * sum(piece.length for piece in path)
    )


def test_a_ramp_and_knee_has_a_mitred_knee() -> None:
    neck = gooseneck(RAKE, 0.0, 1100.0, 80.0)
    assert neck.knee_mitre_deg == 45.0
    assert neck.plumb == pytest.approx(200.0 - neck.lower.tangent)
    path = neck.path(100.0, 100.0)
    outline = neck.outline(25.0, 25.0, 100.0, 100.0)
    assert outline.area == pytest.approx(50.0 * sum(piece.length for piece in path))


def test_a_gooseneck_drops_to_a_lower_level() -> None:
    neck = gooseneck(RAKE, 0.0, 500.0, 60.0, 60.0)
    assert (neck.lower.leaves, neck.knee) == (DOWN, (0.0, 500.0))
    assert neck.lower.turn < 0.0
    assert neck.upper is not None
    assert neck.upper.turn > 0.0
    assert gooseneck(RAKE, 0.0, 1200.0, 80.0, 60.0).lower.leaves == UP


def test_a_gooseneck_without_height_says_how_much_is_wanting() -> None:
    need = 80.0 * math.tan((math.pi / 2.0 - THETA) / 2.0) + 60.0 - 50.0
    with pytest.raises(ValueError, match=f"{need:.1f} mm more height than the 50.0"):
        gooseneck(RAKE, 0.0, 950.0, 80.0, 60.0)


def test_easings_that_are_none() -> None:
    with pytest.raises(ValueError, match="radius above zero"):
        Easing((0.0, 0.0), 0.0, 0.5, 0.0)
    for leaves in (0.0, math.pi):
        with pytest.raises(ValueError, match="straight back"):
            Easing((0.0, 0.0), 0.0, leaves, 10.0)
    with pytest.raises(ValueError, match="find a radius"):
        radius_of_tangent(0.0, 10.0)
    with pytest.raises(ValueError, match="find a radius"):
        radius_off_corner(0.5, 0.0)
    with pytest.raises(ValueError, match="radius above zero"):
        easing_between(RAKE, Line(900.0, 0.0), 50.0).followed(-60.0)


def test_a_pitch_board_is_the_step_itself() -> None:
    """Cyclopedia of Architecture, Carpentry and Building, 'Pitch-board': 10 in tread, 7 in rise."""
    board = PitchBoard(7.0, 10.0)
    assert board.rake == pytest.approx(math.sqrt(149.0))
    assert board.pitch_deg + board.level_cut_deg == 90.0
    assert board.depth == pytest.approx(70.0 / math.sqrt(149.0))
    assert Polygon(board.corners).area == pytest.approx(35.0)
    with pytest.raises(ValueError, match="above zero"):
        PitchBoard(0.0, 10.0)
