"""Laws of lengths, placements, cut boxes, saw angles and balls, on inputs drawn at random."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.spatial import ConvexHull
from shapely import affinity
from shapely.geometry import Point, Polygon

from pitchline.kit.geometry.balls import largest_ball, largest_ball_centred_in
from pitchline.kit.geometry.bevels import (
    SawReading,
    direction_of,
    end_plane,
    joint_between,
    saw_reading,
)
from pitchline.kit.geometry.cutbox import CutBox
from pitchline.kit.geometry.frames import (
    Frame,
    Plane,
    Vec3,
    cross,
    dot,
    magnitude,
    rotate,
    scale,
    subtract,
    unit,
)
from pitchline.kit.geometry.outlines import HalfPlane, Outline, area, centroid
from pitchline.kit.geometry.views import Look, view
from pitchline.kit.tolerances import BALL, SAME_POINT
from pitchline.kit.units import Unit, read_length, show_angle, show_feet_inches, show_length

mm = st.floats(-20000.0, 20000.0)
denominators = st.sampled_from([1, 2, 4, 8, 16, 32, 64])
small = st.floats(-1.0, 1.0)
directions = st.tuples(small, small, small).filter(lambda v: magnitude(v) > 0.1).map(unit)
points = st.tuples(*[st.floats(-500.0, 500.0)] * 3)
pitches = st.floats(-60.0, 60.0)


@st.composite
def frames(draw: st.DrawFn) -> Frame:
    x, towards = draw(directions), draw(directions)
    assume(magnitude(cross(x, towards)) > 0.1)
    return Frame.from_xy(draw(points), x, towards)


@st.composite
def cut_boxes(draw: st.DrawFn) -> CutBox:
    """Boxes with up to four cuts; many of them through corners and along edges of the box."""
    size = draw(st.tuples(st.floats(50.0, 4000.0), st.floats(10.0, 300.0), st.floats(5.0, 100.0)))
    cuts = []
    for _ in range(draw(st.integers(0, 4))):
        at = tuple(draw(st.one_of(st.sampled_from([-0.5, 0.0, 0.5]), st.floats(-0.5, 0.5))) for _ in range(3))
        point = ((at[0] + 0.5) * size[0], at[1] * size[1], at[2] * size[2])
        whole = st.tuples(*[st.sampled_from([-1.0, 0.0, 1.0])] * 3).filter(any)
        cuts.append(Plane(point, draw(st.one_of(whole, directions))))
    try:
        return CutBox(*size, tuple(cuts))
    except ValueError:
        assume(False)
        raise


@st.composite
def stars(draw: st.DrawFn) -> Polygon:
    """Outlines with corners in every direction from the origin, convex or not."""
    radii = draw(st.lists(st.floats(40.0, 300.0), min_size=3, max_size=14))
    first = draw(st.floats(0.0, 1.0))
    turns = [2.0 * math.pi * (first + i) / len(radii) for i in range(len(radii))]
    return Polygon([(r * math.cos(t), r * math.sin(t)) for r, t in zip(radii, turns, strict=True)])


@given(mm, denominators)
def test_what_is_shown_reads_back_within_half_a_division(length: float, denominator: int) -> None:
    for text in (
        show_length(length, Unit.INCH, denominator=denominator),
        show_feet_inches(length, denominator=denominator),
        show_length(length, Unit.INCH, denominator=denominator, signed=True),
    ):
        assert abs(read_length(text, Unit.INCH) - length) <= 25.4 / denominator / 2.0 + 1e-9
    assert abs(read_length(show_length(length, Unit.MM) + " mm", Unit.MM) - length) <= 0.05 + 1e-9


@given(mm, denominators)
def test_a_fraction_shown_is_always_proper_and_reduced(length: float, denominator: int) -> None:
    text = show_length(length, Unit.INCH, denominator=denominator)
    if "/" in text:
        top, bottom = (int(part) for part in text.strip('-"').split(" ")[-1].split("/"))
        assert top < bottom <= denominator
        assert top % 2 == 1


@given(st.integers(-100000, 100000), denominators)
def test_a_length_on_a_division_is_shown_exactly(steps: int, denominator: int) -> None:
    length = steps * 25.4 / denominator
    text = show_length(length, Unit.INCH, denominator=denominator)
    assert read_length(text, Unit.MM) == pytest.approx(length, abs=1e-9)


@given(mm, mm, denominators)
def test_longer_is_never_shown_shorter(one: float, other: float, denominator: int) -> None:
    low, high = sorted((one, other))
    shown = [read_length(show_length(x, Unit.INCH, denominator=denominator), Unit.MM) for x in (low, high)]
    assert shown[0] <= shown[1]


@given(st.text(max_size=12))
def test_any_text_is_read_or_refused_cleanly(text: str) -> None:
    try:
        length = read_length(text, Unit.MM)
    except ValueError as fault:
        assert str(fault)
    else:
        assert math.isfinite(length)


@given(st.floats(-360.0, 360.0), st.integers(0, 3))
def test_an_angle_shown_is_within_half_its_last_place(deg: float, places: int) -> None:
    assert abs(float(show_angle(deg, places).rstrip("°")) - deg) <= 0.5 * 10.0**-places + 1e-9


@given(frames(), points, points)
def test_a_placement_there_and_back_changes_nothing(frame: Frame, p: Vec3, q: Vec3) -> None:
    assert frame.to_local(frame.to_world(p)) == pytest.approx(p, abs=1e-9)
    there = subtract(frame.to_world(p), frame.to_world(q))
    assert magnitude(there) == pytest.approx(magnitude(subtract(p, q)), abs=1e-9)


@given(frames(), points, directions, points)
def test_a_plane_cuts_the_same_material_wherever_it_is_seen_from(
    frame: Frame, at: Vec3, normal: Vec3, p: Vec3
) -> None:
    plane = Plane(at, normal)
    assert frame.plane_to_world(plane).distance(frame.to_world(p)) == pytest.approx(
        plane.distance(p), abs=1e-9
    )


@given(directions, directions, st.floats(-10.0, 10.0))
def test_turning_keeps_length_and_height_along_the_axis(v: Vec3, axis: Vec3, angle: float) -> None:
    turned = rotate(v, axis, angle)
    assert magnitude(turned) == pytest.approx(1.0)
    assert dot(turned, axis) == pytest.approx(dot(v, axis), abs=1e-12)


@given(cut_boxes())
@settings(deadline=None)
def test_a_cut_box_is_the_hull_of_its_corners(box: CutBox) -> None:
    """Volume against Qhull (Barber, Dobkin and Huhdanpaa 1996), through scipy."""
    assume(box.volume > 1.0)
    hull = ConvexHull(box.vertices, qhull_options="QJ Pp" if len(box.corners) < 5 else "")
    skin = 2.0 * box.length * (box.width + box.thickness) * SAME_POINT
    assert box.volume == pytest.approx(hull.volume, rel=1e-6, abs=skin)


@given(cut_boxes())
@settings(deadline=None)
def test_a_cut_box_is_closed_and_inside_every_cut(box: CutBox) -> None:
    """Euler: corners - edges + faces = 2; every corner lies behind every cut, every face on its plane."""
    assert len(box.corners) - len(box.edges) + len(box.faces) == 2
    for plane in box.planes:
        assert max(plane.distance(corner) for corner in box.corners) <= 1e-6
    for face in box.faces:
        heights = [dot(box.corners[i], face.normal) for i in face.loop]
        assert max(heights) - min(heights) <= 1e-6


@given(cut_boxes(), points, directions)
@settings(deadline=None)
def test_two_halves_make_the_whole(box: CutBox, at: Vec3, normal: Vec3) -> None:
    plane = Plane(at, normal)
    halves = 0.0
    for side in (plane, plane.flipped()):
        try:
            halves += CutBox(box.length, box.width, box.thickness, (*box.planes, side)).volume
        except ValueError:
            continue
    assert halves == pytest.approx(box.volume, rel=1e-7, abs=1e-2)


@given(cut_boxes(), st.floats(-0.5, 0.5), st.floats(-0.5, 0.5))
@settings(deadline=None)
def test_a_line_along_the_piece_ends_on_its_surface(box: CutBox, y: float, z: float) -> None:
    span = box.span_along_x(y * box.width, z * box.thickness)
    if span is None:
        return
    for x in span:
        for plane in box.planes:
            assert plane.distance((x, y * box.width, z * box.thickness)) <= 1e-4
    low, high = box.extent((1.0, 0.0, 0.0))
    assert low - 1e-4 <= span[0]
    assert span[1] <= high + 1e-4


@given(cut_boxes())
@settings(deadline=None)
def test_every_view_outlines_the_hull_of_what_it_draws(box: CutBox) -> None:
    for look in Look:
        seen = view(box, look)
        ends = [p for stroke in seen.visible for p in (stroke.start, stroke.end)]
        assert area(seen.outline) == pytest.approx(
            shapely.MultiPoint(ends).convex_hull.area, rel=1e-6, abs=1e-3
        )


@given(st.floats(-80.0, 80.0), st.floats(-80.0, 80.0))
def test_a_saw_set_to_a_reading_makes_the_cut_it_was_read_from(mitre: float, bevel: float) -> None:
    reading = SawReading(mitre, bevel)
    for normal in (reading.normal, scale(reading.normal, -3.0)):
        again = saw_reading(normal)
        assert (again.mitre_deg, again.bevel_deg) == pytest.approx((mitre, bevel), abs=1e-9)
    assert end_plane((500.0, 0.0, 0.0), reading).normal == pytest.approx(reading.normal, abs=1e-12)


@given(st.floats(-170.0, 170.0), pitches, pitches)
def test_mitred_rails_share_their_joint(plan: float, one: float, other: float) -> None:
    """True turn by the cosine rule; the bisecting plane makes the same angle with both rails."""
    d1, d2 = direction_of(0.0, one), direction_of(plan, other)
    joint = joint_between(d1, d2)
    p1, p2, p = math.radians(one), math.radians(other), math.radians(plan)
    cosine = math.cos(p1) * math.cos(p2) * math.cos(p) + math.sin(p1) * math.sin(p2)
    assert math.cos(math.radians(joint.turn_deg)) == pytest.approx(cosine, abs=1e-9)
    half = math.cos(math.radians(joint.turn_deg) / 2.0)
    assert dot(joint.normal, d1) == pytest.approx(half, abs=1e-9)
    assert dot(joint.normal, d2) == pytest.approx(half, abs=1e-9)


@given(st.floats(-170.0, 170.0), pitches, pitches)
def test_a_joint_mirrored_in_plan_is_cut_with_the_signs_changed(
    plan: float, one: float, other: float
) -> None:
    here = joint_between(direction_of(0.0, one), direction_of(plan, other))
    there = joint_between(direction_of(0.0, one), direction_of(-plan, other))
    assert there.turn_deg == pytest.approx(here.turn_deg)
    assert there.first.mitre_deg == pytest.approx(-here.first.mitre_deg, abs=1e-9)
    assert there.first.bevel_deg == pytest.approx(here.first.bevel_deg, abs=1e-9)
    assume(abs(abs(here.roll_deg) - 180.0) > 1e-6)
    assert there.roll_deg == pytest.approx(-here.roll_deg, abs=1e-6)


@given(stars(), st.tuples(*[st.floats(-200.0, 200.0)] * 2), st.floats(0.0, 2.0 * math.pi))
def test_a_clipped_outline_and_the_rest_make_the_whole(
    shape: Polygon, at: tuple[float, float], turn: float
) -> None:
    corners = [(float(u), float(z)) for u, z in shape.convex_hull.exterior.coords[:-1]]
    cut = HalfPlane(at, (math.cos(turn), math.sin(turn)))
    rest = HalfPlane(at, (-math.cos(turn), -math.sin(turn)))
    whole = Outline.of(corners)
    one, other = whole.clipped(cut, "cut"), whole.clipped(rest, "cut")
    assert one.area + other.area == pytest.approx(whole.area, abs=1e-3)
    if one.area > 1.0 and other.area > 1.0:
        moments = [area(o.points) * np.array(centroid(o.points)) for o in (one, other, whole)]
        assert moments[0] + moments[1] == pytest.approx(moments[2], rel=1e-6, abs=1.0)


@given(stars())
@settings(max_examples=60, deadline=None)
def test_a_ball_is_inside_touches_and_is_not_beaten(shape: Polygon) -> None:
    """Against shapely's maximum inscribed circle, which may read too small by its tolerance, never too large."""
    ball = largest_ball(shape)
    centre = Point(ball.centre)
    assert shape.contains(centre)
    assert 2.0 * shape.exterior.distance(centre) == pytest.approx(ball.diameter, abs=1e-6)
    assert ball.diameter >= 2.0 * shapely.maximum_inscribed_circle(shape, 0.05).length - BALL


@given(stars(), st.floats(0.0, 360.0), st.floats(-5000.0, 5000.0), st.booleans())
@settings(max_examples=60, deadline=None)
def test_moving_turning_and_mirroring_an_opening_changes_nothing(
    shape: Polygon, turn: float, shift: float, mirrored: bool
) -> None:
    moved = affinity.translate(affinity.rotate(shape, turn), shift, -shift)
    if mirrored:
        moved = affinity.scale(moved, -1.0, 1.0)
    assert largest_ball(moved).diameter == pytest.approx(largest_ball(shape).diameter, abs=BALL)


@given(stars(), st.floats(1.0, 30.0), st.floats(-100.0, 100.0))
@settings(max_examples=60, deadline=None)
def test_a_larger_opening_never_lets_a_smaller_ball_through(shape: Polygon, more: float, at: float) -> None:
    here = largest_ball(shape).diameter
    larger = shape.union(shapely.box(at, at, at + more, at + 200.0))
    assume(isinstance(larger, Polygon))
    assert largest_ball(larger).diameter >= here - BALL
    assert largest_ball(shape.buffer(more, join_style="mitre")).diameter >= here + 2.0 * more - BALL


@given(stars(), st.floats(10.0, 200.0))
@settings(max_examples=60, deadline=None)
def test_a_region_can_only_hold_a_ball_back(shape: Polygon, size: float) -> None:
    whole = largest_ball(shape)
    held = largest_ball_centred_in(shape, shapely.box(0.0, 0.0, size, size))
    free = largest_ball_centred_in(shape, shapely.box(-400.0, -400.0, 400.0, 400.0))
    assert held is not None
    assert free is not None
    assert held.diameter <= whole.diameter + BALL
    assert free.diameter == pytest.approx(whole.diameter, abs=BALL)


@given(st.floats(20.0, 200.0), st.floats(20.0, 900.0), st.floats(0.0, 60.0))
def test_a_parallelogram_lets_through_the_less_of_its_two_clear_widths(g: float, h: float, p: float) -> None:
    """Between plumb members ``g`` apart and rails a plumb ``h`` apart at pitch p: min(g, h cos p)."""
    rise = g * math.tan(math.radians(p))
    shape = Polygon([(0.0, 0.0), (g, rise), (g, rise + h), (0.0, h)])
    assert largest_ball(shape).diameter == pytest.approx(min(g, h * math.cos(math.radians(p))), abs=1e-6)


@given(st.floats(20.0, 400.0), st.floats(20.0, 400.0))
def test_a_right_triangle_lets_its_inscribed_circle_through(a: float, b: float) -> None:
    """Euclid's incircle of a right triangle: diameter a + b - c."""
    shape = Polygon([(0.0, 0.0), (a, 0.0), (0.0, b)])
    assert largest_ball(shape).diameter == pytest.approx(a + b - math.hypot(a, b), abs=1e-6)
