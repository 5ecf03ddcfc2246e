"""The laying out of marks: arrowheads, extension lines, reading directions, spread numbers, hatches."""

import math
from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely.geometry import LineString, Polygon

from pitchline.kit.drawing.author import extents, hatch_lines, in_drawing_order, lay_mark, lay_out
from pitchline.kit.drawing.dimensioning import ARROW, readable, spread
from pitchline.kit.drawing.ink import Arc, Blot, Dot, Ink, Line, Nib, Writing
from pitchline.kit.drawing.lettering import open_face
from pitchline.kit.drawing.marks import (
    Anchor,
    AngleMark,
    Area,
    Dimension,
    Drawing,
    Fill,
    HeightMark,
    Label,
    Leader,
    Mark,
    Pen,
    Point,
    RunningMarks,
    Stroke,
)

SCALE = 20.0


def ink_of(mark: Mark, scale: float = SCALE) -> tuple[Ink, ...]:
    return lay_mark(mark, Nib(scale, open_face()))


def blots(ink: tuple[Ink, ...]) -> list[Blot]:
    return [one for one in ink if isinstance(one, Blot)]


def writings(ink: tuple[Ink, ...]) -> list[Writing]:
    return [one for one in ink if isinstance(one, Writing)]


def pointing(blot: Blot) -> Point:
    tip, left, right = blot.points
    dx, dy = tip[0] - (left[0] + right[0]) / 2, tip[1] - (left[1] + right[1]) / 2
    length = math.hypot(dx, dy)
    return dx / length, dy / length


def test_a_wide_dimension_has_its_arrows_inside_pointing_outwards() -> None:
    first, second = blots(ink_of(Dimension((0.0, 0.0), (1000.0, 0.0), 10.0, "1000", 0.0)))
    assert first.points[0] == pytest.approx((0.0, 200.0))
    assert second.points[0] == pytest.approx((1000.0, 200.0))
    assert pointing(first) == pytest.approx((-1.0, 0.0))
    assert pointing(second) == pytest.approx((1.0, 0.0))


def test_a_narrow_dimension_has_its_arrows_outside_pointing_inwards() -> None:
    first, second = blots(ink_of(Dimension((0.0, 0.0), (80.0, 0.0), 10.0, "80", 0.0)))
    assert first.points[0] == pytest.approx((0.0, 200.0))
    assert pointing(first) == pytest.approx((1.0, 0.0))
    assert pointing(second) == pytest.approx((-1.0, 0.0))


@given(
    st.tuples(st.floats(-3000, 3000), st.floats(-3000, 3000)),
    st.tuples(st.floats(-3000, 3000), st.floats(-3000, 3000)),
    st.floats(-40, 40),
    st.one_of(st.none(), st.floats(-360, 360)),
)
def test_arrow_tips_lie_abreast_of_their_points(
    a: Point, b: Point, offset: float, direction: float | None
) -> None:
    assume(math.dist(a, b) > 1e-3)
    mark = Dimension(a, b, offset, "?", direction)
    tips = [blot.points[0] for blot in blots(ink_of(mark))]
    deg = direction if direction is not None else math.degrees(math.atan2(b[1] - a[1], b[0] - a[0]))
    along = (math.cos(math.radians(deg)), math.sin(math.radians(deg)))
    wanted = sorted(p[0] * along[0] + p[1] * along[1] for p in (a, b))
    assert sorted(t[0] * along[0] + t[1] * along[1] for t in tips) == pytest.approx(wanted, abs=1e-6)


def test_offset_is_paper_size_beyond_the_outer_point() -> None:
    above = blots(ink_of(Dimension((0.0, 0.0), (900.0, 300.0), 8.0, "900", 0.0)))
    below = blots(ink_of(Dimension((0.0, 0.0), (900.0, 300.0), -8.0, "900", 0.0)))
    assert {round(blot.points[0][1], 6) for blot in above} == {300.0 + 8.0 * SCALE}
    assert {round(blot.points[0][1], 6) for blot in below} == {0.0 - 8.0 * SCALE}


def test_a_plumb_dimension_with_positive_offset_stands_on_the_left_and_is_read_from_the_right() -> None:
    ink = ink_of(Dimension((0.0, 0.0), (0.0, 900.0), 8.0, "900", 90.0))
    (writing,) = writings(ink)
    assert blots(ink)[0].points[0][0] == pytest.approx(-8.0 * SCALE)
    assert writing.angle_deg == pytest.approx(90.0)
    assert writing.at[0] < -8.0 * SCALE, "the number stands on the left of a plumb line, its feet towards it"


@pytest.mark.parametrize(
    ("deg", "read"),
    [
        (0, 0),
        (40, 40),
        (90, 90),
        (91, -89),
        (90.2, 90.2),
        (180, 0),
        (215, 35),
        (270, 90),
        (-90, 90),
        (-40, -40),
    ],
)
def test_texts_are_read_from_the_bottom_or_the_right(deg: float, read: float) -> None:
    # ISO 129-1 (from memory): values are readable from the bottom or from the right-hand side of the sheet
    assert readable(deg) == pytest.approx(read)


@given(st.floats(-1000, 1000))
def test_reading_direction_keeps_the_line_and_never_stands_on_its_head(deg: float) -> None:
    read = readable(deg)
    assert math.sin(math.radians(read - deg)) == pytest.approx(0.0, abs=1e-9)
    assert -90.0 < read < 91.0


def test_the_number_stands_above_its_line() -> None:
    for deg in range(-170, 181, 10):
        end = (1000.0 * math.cos(math.radians(deg)), 1000.0 * math.sin(math.radians(deg)))
        (writing,) = writings(ink_of(Dimension((0.0, 0.0), end, 0.0, "1000")))
        up = math.radians(writing.angle_deg + 90.0)
        height = writing.at[0] * math.cos(up) + writing.at[1] * math.sin(up)
        assert height == pytest.approx(0.8 * SCALE)


def test_a_number_too_wide_for_its_place_stands_beyond_the_dimension() -> None:
    (writing,) = writings(ink_of(Dimension((0.0, 0.0), (60.0, 0.0), 10.0, "60.25", 0.0)))
    assert min(x for x, _ in writing.corners()) > 60.0


def test_two_points_in_one_place_are_still_drawn() -> None:
    assert blots(ink_of(Dimension((5.0, 5.0), (5.0, 5.0), 10.0, "0")))


def test_running_arrows_point_away_from_the_datum_and_the_datum_has_a_circle() -> None:
    ink = ink_of(
        RunningMarks(
            (0.0, 0.0), ((-400.0, 0.0), (300.0, 0.0), (800.0, 0.0)), 0.0, -12.0, ("-400", "300", "800")
        )
    )
    tips = {round(blot.points[0][0]): round(pointing(blot)[0]) for blot in blots(ink)}
    assert tips == {-400: -1, 300: 1, 800: 1}
    (circle,) = [one for one in ink if isinstance(one, Arc)]
    assert circle.centre == pytest.approx((0.0, -240.0))
    assert [writing.text for writing in writings(ink)] == ["-400", "0", "300", "800"]


def test_crowded_running_marks_get_dots_and_their_numbers_do_not_touch() -> None:
    places = tuple((20.0 * count, 0.0) for count in range(1, 9))
    ink = ink_of(RunningMarks((0.0, 0.0), places, 0.0, -12.0, tuple(f"{x:.0f}" for x, _ in places)))
    assert any(isinstance(one, Dot) for one in ink)
    boxes = [Polygon(writing.corners()) for writing in writings(ink)]
    for first, second in pairwise(boxes):
        assert not first.intersects(second)


@given(st.lists(st.floats(-1000, 1000), min_size=1, max_size=30), st.floats(0.1, 60))
def test_spread_places_keep_their_distance_order_and_mean(wanted: list[float], pitch: float) -> None:
    wanted = sorted(wanted)
    places = spread(wanted, pitch)
    assert all(b - a >= pitch - 1e-6 for a, b in pairwise(places))
    assert sum(places) == pytest.approx(sum(wanted), abs=1e-6)


def test_spread_leaves_alone_what_has_room() -> None:
    assert spread([0.0, 10.0, 25.0], 5.0) == pytest.approx([0.0, 10.0, 25.0])


def test_angle_arrows_lie_on_the_arc_and_the_text_outside_it() -> None:
    mark = AngleMark((100.0, 50.0), 0.0, 40.0, 20.0, "40°")
    ink = ink_of(mark)
    radius = 20.0 * SCALE
    for blot, deg in zip(blots(ink), (0.0, 40.0), strict=True):
        tip = (100.0 + radius * math.cos(math.radians(deg)), 50.0 + radius * math.sin(math.radians(deg)))
        assert blot.points[0] == pytest.approx(tip)
    first, last = (pointing(blot) for blot in blots(ink))
    assert first[1] < 0 < last[1], "arrows point outwards: clockwise at the start, anticlockwise at the end"
    (writing,) = writings(ink)
    assert all(math.dist(corner, (100.0, 50.0)) > radius for corner in writing.corners())


def test_a_small_angle_turns_its_arrows_round() -> None:
    first, last = (pointing(blot) for blot in blots(ink_of(AngleMark((0.0, 0.0), 0.0, 6.0, 20.0, "6°"))))
    assert first[1] > 0 > last[1]


def test_leader_ends_in_an_arrow_or_a_dot_at_its_tip() -> None:
    (blot,) = blots(ink_of(Leader((0.0, 0.0), (300.0, 400.0), "two\nlines")))
    assert blot.points[0] == pytest.approx((0.0, 0.0))
    assert pointing(blot) == pytest.approx((-0.6, -0.8))
    (dot,) = [
        one for one in ink_of(Leader((1.0, 2.0), (300.0, 400.0), "x", dot=True)) if isinstance(one, Dot)
    ]
    assert dot.centre == (1.0, 2.0)


def test_leader_text_stands_away_from_its_tip() -> None:
    (right,) = writings(ink_of(Leader((0.0, 0.0), (300.0, 400.0), "x")))
    (left,) = writings(ink_of(Leader((0.0, 0.0), (-300.0, 400.0), "x")))
    assert right.at[0] > 300.0
    assert left.at[0] < -300.0
    assert left.anchor is Anchor.MIDDLE_RIGHT


def test_a_level_mark_stands_on_its_point() -> None:
    ink = ink_of(HeightMark((10.0, 2470.0), "+2.470"))
    triangle = next(one for one in ink if isinstance(one, Line) and one.closed)
    assert min(triangle.points, key=lambda point: point[1]) == (10.0, 2470.0)


def test_label_lines_run_downwards_and_middle_labels_stay_about_their_point() -> None:
    first, second = writings(ink_of(Label((0.0, 0.0), "one\ntwo", anchor=Anchor.TOP_LEFT)))
    assert (first.at[1], second.at[1] < 0.0) == (0.0, True)
    upper, lower = writings(ink_of(Label((0.0, 0.0), "one\ntwo", anchor=Anchor.MIDDLE)))
    assert upper.at[1] == pytest.approx(-lower.at[1])


def test_letters_have_their_paper_height_times_the_scale() -> None:
    for scale in (1.0, 5.0, 20.0):
        (writing,) = writings(ink_of(Label((0.0, 0.0), "H", height=3.5), scale))
        assert writing.height == 3.5 * scale


def test_anchors_put_the_box_where_they_say() -> None:
    for anchor in Anchor:
        (writing,) = writings(ink_of(Label((0.0, 0.0), "HHH", anchor=anchor)))
        start = writing.start[0]
        assert start == pytest.approx(
            {"left": 0.0, "centre": -0.5, "right": -1.0}[anchor.across] * writing.width
        )


def test_hatch_lines_stay_inside_and_out_of_holes() -> None:
    outline = ((0.0, 0.0), (300.0, 0.0), (300.0, 200.0), (150.0, 80.0), (0.0, 200.0))
    hole = ((100.0, 20.0), (200.0, 20.0), (200.0, 60.0), (100.0, 60.0))
    shape = Polygon(outline, [hole]).buffer(1e-6)
    lines = hatch_lines((outline, hole), 45.0, 7.0)
    assert len(lines) > 30
    assert all(shape.contains(LineString(line)) for line in lines)


def test_hatch_lines_cover_the_area_evenly() -> None:
    # closed form: total length of hatch lines times their spacing tends to the area
    outline = ((0.0, 0.0), (300.0, 0.0), (300.0, 200.0), (0.0, 200.0))
    total = sum(math.dist(a, b) for a, b in hatch_lines((outline,), 30.0, 1.0))
    assert total * 1.0 == pytest.approx(300.0 * 200.0, rel=0.01)


def test_annotations_come_after_things_and_letters_last() -> None:
    drawing = Drawing(
        "d",
        "t",
        SCALE,
        (
            Dimension((0.0, 0.0), (1000.0, 0.0), 8.0, "1000"),
            Stroke(((0.0, 0.0), (1000.0, 0.0))),
            Label((0.0, 0.0), "label"),
            Area(((0.0, 0.0), (1000.0, 0.0), (1000.0, 50.0)), Fill.WOOD, pen=Pen.OUTLINE),
        ),
    )
    kinds = [type(one).__name__ for one in in_drawing_order(lay_out(drawing))]
    assert kinds[:3] == ["Line", "Patch", "Line"]
    assert kinds[-2:] == ["Writing", "Writing"]


def test_extents_hold_dimension_lines_and_letters() -> None:
    drawing = Drawing("d", "t", SCALE, (Dimension((0.0, 0.0), (1000.0, 0.0), 8.0, "1000", 0.0),))
    box = extents(lay_out(drawing))
    assert box.top > 8.0 * SCALE + 2.5 * SCALE
    assert box.width >= 1000.0
    with pytest.raises(ValueError, match="without marks"):
        extents(())


def test_arrowheads_are_as_long_on_paper_at_every_scale() -> None:
    for scale in (1.0, 10.0, 50.0):
        tip, left, right = blots(ink_of(Dimension((0.0, 0.0), (1e4, 0.0), 9.0, "x", 0.0), scale))[1].points
        assert (tip[0] - left[0]) / scale == pytest.approx(ARROW)
        assert left[0] == pytest.approx(right[0])


def test_annotations_of_attention_are_thin_and_things_are_thick() -> None:
    leader = ink_of(Leader((0.0, 0.0), (300.0, 400.0), "x", pen=Pen.ACCENT))
    assert {one.pen for one in leader if isinstance(one, Line)} == {Pen.ACCENT_NOTE}
    (line,) = ink_of(Stroke(((0.0, 0.0), (1.0, 0.0)), Pen.ACCENT))
    assert isinstance(line, Line)
    assert line.pen is Pen.ACCENT
