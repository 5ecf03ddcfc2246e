import math
import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitchline.kit.drawing.marks import (
    Anchor,
    AngleMark,
    ArcMark,
    Area,
    Bounds,
    Dimension,
    Disc,
    Drawing,
    Fill,
    Label,
    Pen,
    RunningMarks,
    Stroke,
    arc_points,
    bounds,
    scale_name,
)

ISO_WEIGHTS = (0.13, 0.18, 0.25, 0.35, 0.5, 0.7, 1.0)
"""Line weights of ISO 128-20 (from memory)."""


def test_every_pen_has_a_standard_weight_and_a_colour() -> None:
    for pen in Pen:
        assert pen.weight_mm in ISO_WEIGHTS
        assert pen.colour.startswith("#")
        assert len(pen.colour) == 7


def test_thick_lines_are_at_least_twice_as_thick_as_thin_ones_near_enough() -> None:
    # ISO 128-20 (from memory): the ratio of thick to thin lines is 2 : 1, in the rounded series 0.35 : 0.18.
    assert Pen.OUTLINE.weight_mm / Pen.THIN.weight_mm == pytest.approx(2.0, abs=0.06)
    assert Pen.CUT.weight_mm > Pen.OUTLINE.weight_mm > Pen.DIMENSION.weight_mm > Pen.GHOST.weight_mm


def test_only_hidden_and_centre_lines_are_broken() -> None:
    assert {pen for pen in Pen if pen.dashes_mm} == {Pen.HIDDEN, Pen.CENTRE}


def test_every_fill_has_a_light_tint() -> None:
    for fill in Fill:
        assert min(int(fill.colour[i : i + 2], 16) for i in (1, 3, 5)) > 170


def test_anchor_says_where_its_point_is() -> None:
    assert (Anchor.TOP_RIGHT.upright, Anchor.TOP_RIGHT.across) == ("top", "right")
    assert {anchor.across for anchor in Anchor} == {"left", "centre", "right"}


def test_bounds_hold_the_points_of_all_marks() -> None:
    marks = (
        Stroke(((0.0, 0.0), (10.0, -5.0))),
        Disc((100.0, 100.0), 20.0),
        Label((-7.0, 3.0), "far left"),
        Dimension((0.0, 0.0), (50.0, 0.0), 10.0, "50"),
        Area(((0.0, 0.0), (1.0, 0.0), (1.0, 130.0)), Fill.WOOD),
    )
    assert bounds(marks) == Bounds(-7.0, -5.0, 120.0, 130.0)
    assert Drawing("d", "t", 20.0, marks).bounds() == bounds(marks)


def test_a_quarter_circle_reaches_as_far_as_its_ends() -> None:
    # closed form: between 10 and 100 degrees a circle of radius 5 is highest at 90 degrees
    box = bounds((ArcMark((0.0, 0.0), 5.0, 10.0, 100.0),))
    assert box.top == pytest.approx(5.0)
    assert box.right == pytest.approx(5.0 * math.cos(math.radians(10.0)))
    assert box.left == pytest.approx(5.0 * math.cos(math.radians(100.0)))


@given(st.floats(-720, 720), st.floats(0.5, 359.5))
def test_every_point_of_an_arc_lies_in_its_bounds(start: float, sweep: float) -> None:
    box = Bounds.around(arc_points((1.0, 2.0), 3.0, start, start + sweep)).grown(1e-9)
    for step in range(13):
        angle = math.radians(start + sweep * step / 12)
        point = Bounds.around([(1.0 + 3.0 * math.cos(angle), 2.0 + 3.0 * math.sin(angle))])
        assert box.meets(point)


def test_no_marks_have_no_bounds() -> None:
    with pytest.raises(ValueError, match="no points"):
        bounds(())


def test_running_marks_need_a_text_each() -> None:
    with pytest.raises(ValueError, match="2 running marks need as many texts, not 1"):
        RunningMarks((0.0, 0.0), ((1.0, 0.0), (2.0, 0.0)), 0.0, 10.0, ("1",))


@pytest.mark.parametrize("scale", [0.0, -1.0, math.inf, math.nan])
def test_a_drawing_needs_a_positive_scale(scale: float) -> None:
    with pytest.raises(ValueError, match="positive"):
        Drawing("d", "t", scale, ())


def test_scale_names() -> None:
    assert scale_name(Drawing("d", "t", 20.0, ())) == "1:20"
    assert scale_name(Drawing("d", "t", 0.5, ())) == "2:1"


def test_marks_are_values() -> None:
    assert AngleMark((0.0, 0.0), 0.0, 45.0, 10.0, "45") == AngleMark((0.0, 0.0), 0.0, 45.0, 10.0, "45")
    assert Bounds(0.0, 0.0, 2.0, 2.0).joined(Bounds(1.0, -1.0, 3.0, 1.0)) == Bounds(0.0, -1.0, 3.0, 2.0)


def test_saying_marks_loads_no_document_writer() -> None:
    script = (
        "import sys, pitchline.kit.drawing.marks, pitchline.kit.drawing.svg, pitchline.kit.drawing.pages;"
        "heavy = {'ezdxf', 'typst', 'fontTools', 'pypdf', 'numpy'} & set(sys.modules);"
        "sys.exit(','.join(sorted(heavy)) or 0)"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
