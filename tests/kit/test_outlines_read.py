"""Drawings read: areas and places by elementary geometry, faults told by their outline.

Sizes of an SVG follow the standard (SVG 1.1: width, height, viewBox, transforms, arcs); no other source is needed.
"""

import math
from pathlib import Path
from typing import Protocol

import ezdxf
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Polygon

from pitchline.kit.drawing.outlines_read import Chain, chords_of_cubic, joined, read_outlines
from pitchline.kit.errors import InputError
from pitchline.kit.geometry.lines import Point2
from pitchline.kit.tolerances import CHORD_OFF_ARC

SHEET = 'width="100mm" height="80mm" viewBox="0 0 100 80"'


class Write(Protocol):
    """Writes the inside of an SVG sheet, of 100 x 80 mm unless its head says otherwise."""

    def __call__(self, inside: str, head: str = SHEET) -> Path: ...


@pytest.fixture
def write(tmp_path: Path) -> Write:
    """A writer of drawings in a folder of the test's own."""

    def written(inside: str, head: str = SHEET) -> Path:
        path = tmp_path / "pattern.svg"
        path.write_text(f'<svg xmlns="http://www.w3.org/2000/svg" {head}>{inside}</svg>', encoding="utf-8")
        return path

    return written


def area(path: Path) -> float:
    return float(sum(Polygon(outline).area for outline in read_outlines(path).outlines))


@pytest.mark.parametrize(
    ("inside", "expected"),
    [
        ('<rect x="10" y="10" width="30" height="20"/>', 600.0),
        ('<rect x="10" y="10" width="30" height="20" rx="5"/>', 600.0 - (4.0 - math.pi) * 25.0),
        ('<circle cx="50" cy="40" r="20"/>', math.pi * 400.0),
        ('<ellipse cx="50" cy="40" rx="20" ry="10"/>', math.pi * 200.0),
        ('<polygon points="0,0 30,0 0,40"/>', 600.0),
        ('<polyline points="0,0 30,0 0,40 0,0"/>', 600.0),
        ('<path d="M0 0h30v20h-30z"/>', 600.0),
        ('<path d="M10 40a20 20 0 1 0 40 0a20 20 0 1 0 -40 0z"/>', math.pi * 400.0),
        ('<path d="M0 0 L60 0 Q30 60 0 0 Z"/>', 2.0 / 3.0 * 60.0 * 30.0),
        ('<path d="M0 0 L30 0"/><line x1="30" y1="0" x2="0" y2="40"/><path d="M0 40 L0 0"/>', 600.0),
    ],
)
def test_areas_of_shapes(write: Write, inside: str, expected: float) -> None:
    """The parabola under a quadratic curve: two thirds of base times height (Archimedes)."""
    reach = 2.0 * math.pi * 20.0 * CHORD_OFF_ARC
    assert area(write(inside)) == pytest.approx(expected, abs=reach)


def test_groups_turn_move_and_scale(write: Write) -> None:
    inner = '<g transform="scale(2)"><rect width="10" height="5"/></g>'
    inside = f'<g transform="translate(50,40) rotate(90)">{inner}</g>'
    (outline,) = read_outlines(write(inside)).outlines
    left, low, right, high = Polygon(outline).bounds
    assert (left, low, right, high) == pytest.approx((40.0, 20.0, 50.0, 40.0))


@pytest.mark.parametrize(
    ("head", "scale"),
    [
        ('width="10cm" height="8cm" viewBox="0 0 100 80"', 1.0),
        ('width="4in" height="3.2in" viewBox="0 0 100 80"', 4 * 25.4 / 100),
        ('width="100mm" height="80mm" viewBox="0 0 50 40"', 2.0),
        ('width="100mm" height="80mm"', 25.4 / 96.0),
    ],
)
def test_the_sheet_says_how_long_a_unit_is(write: Write, head: str, scale: float) -> None:
    path = write('<rect x="1" y="2" width="10" height="10"/>', head)
    assert area(path) == pytest.approx(100.0 * scale**2)


@pytest.mark.parametrize(
    ("inside", "words"),
    [
        ('<path d="M0 0 L10 0 L10 10"/>', "not closed"),
        ("<use href='#a'/>", "<use>"),
        ("<text>A</text>", "letters into paths"),
        ('<rect x="0" width="5"/>', "no height"),
        ('<path d="L1 1"/>', "cannot be read"),
        ('<rect width="5" height="5" transform="matrix3d(1)"/>', "not understood"),
    ],
)
def test_what_cannot_be_cut_is_told(write: Write, inside: str, words: str) -> None:
    with pytest.raises(InputError, match=words):
        read_outlines(write(inside))


def test_a_drawing_without_units_is_refused_unless_its_unit_is_given(write: Write) -> None:
    path = write('<rect width="10" height="10"/>', 'viewBox="0 0 100 80"')
    with pytest.raises(InputError, match="how large it is"):
        read_outlines(path)
    drawn = read_outlines(path, 2.0)
    assert Polygon(drawn.outlines[0]).area == pytest.approx(400.0)
    assert drawn.page == pytest.approx((200.0, 160.0))


@pytest.mark.parametrize(
    ("name", "data"), [("a.svg", b"<svg"), ("b.svg", b"<html/>"), ("c.dxf", b"no"), ("d.png", b"")]
)
def test_other_files_are_refused(tmp_path: Path, name: str, data: bytes) -> None:
    path = tmp_path / name
    path.write_bytes(data)
    with pytest.raises(InputError):
        read_outlines(path)


def test_a_missing_file_is_told(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="no such file"):
        read_outlines(tmp_path / "none.svg")


def drawn_dxf(path: Path, unit: int) -> Path:
    document = ezdxf.new(units=unit)  # type: ignore[attr-defined]  # not listed among its exports
    space = document.modelspace()
    space.add_circle((10, 10), 10)
    space.add_line((30, 0), (50, 0))
    space.add_line((50, 20), (50, 0))
    space.add_line((50, 20), (30, 0))
    space.add_lwpolyline([(60, 0, 1), (80, 0, 1)], format="xyb", close=True)
    space.add_text("passed over")
    document.saveas(path)
    return path


@pytest.mark.parametrize(("unit", "mm"), [(4, 1.0), (5, 10.0), (1, 25.4)])
def test_a_dxf_in_any_unit(tmp_path: Path, unit: int, mm: float) -> None:
    """Units of the header variable INSUNITS: 1 inches, 4 millimetres, 5 centimetres (DXF reference)."""
    drawn = read_outlines(drawn_dxf(tmp_path / "a.dxf", unit))
    areas = sorted(Polygon(outline).area / mm**2 for outline in drawn.outlines)
    assert areas == pytest.approx([200.0, math.pi * 100.0, math.pi * 100.0], rel=2e-3)
    assert drawn.page is None


def test_a_dxf_without_units_is_refused(tmp_path: Path) -> None:
    path = drawn_dxf(tmp_path / "a.dxf", 0)
    with pytest.raises(InputError, match="which units"):
        read_outlines(path)
    assert len(read_outlines(path, 1.0).outlines) == 3


@given(st.lists(st.tuples(st.floats(-100, 100), st.floats(-100, 100)), min_size=4, max_size=4))
def test_chords_stay_near_a_curve(corners: list[Point2]) -> None:
    """Between its chords' ends the curve is sampled: it leaves them by no more than was asked."""
    a, b, c, d = corners
    chords = [a, *chords_of_cubic(a, b, c, d, 0.05)]
    for k in range(len(chords) - 1):
        for part in (0.25, 0.5, 0.75):
            t = (k + part) / (len(chords) - 1)
            s = 1.0 - t
            w = (s**3, 3 * s * s * t, 3 * s * t * t, t**3)
            at = tuple(sum(w[i] * corners[i][axis] for i in range(4)) for axis in (0, 1))
            (ax, ay), (bx, by) = chords[k], chords[k + 1]
            size = math.hypot(bx - ax, by - ay)
            off = abs((bx - ax) * (at[1] - ay) - (by - ay) * (at[0] - ax)) / size if size > 0 else 0.0
            assert off <= 0.05 + 1e-9


def test_lines_are_joined_whichever_way_they_run() -> None:
    square = [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)]
    sides = [
        Chain((square[i], square[(i + 1) % 4])[:: 1 if i % 2 else -1], closed=False) for i in (2, 0, 3, 1)
    ]
    closed, left = joined(sides)
    assert left == []
    assert Polygon(closed[0]).area == 1.0
