"""Views of a cut box: visible and hidden strokes."""

import math

import pytest

from pitchline.kit.geometry.cutbox import CutBox
from pitchline.kit.geometry.frames import Frame, Plane
from pitchline.kit.geometry.outlines import signed_area
from pitchline.kit.geometry.views import Look, Stroke, view

BOX = CutBox(100.0, 40.0, 30.0)
BEVELLED = CutBox(100.0, 40.0, 30.0, (Plane((80.0, 0.0, 15.0), (1.0, 0.0, 20.0 / 30.0)),))
"""The far end leans: x = 80 at the front face, 100 at the back."""


def drawn(strokes: tuple[Stroke, ...]) -> set[frozenset[tuple[float, float]]]:
    return {
        frozenset(((round(s.start[0], 6), round(s.start[1], 6)), (round(s.end[0], 6), round(s.end[1], 6))))
        for s in strokes
    }


@pytest.mark.parametrize(
    ("look", "width", "height"),
    [
        (Look.FRONT, 100.0, 40.0),
        (Look.BACK, 100.0, 40.0),
        (Look.HIGH_EDGE, 100.0, 30.0),
        (Look.LOW_EDGE, 100.0, 30.0),
        (Look.START, 30.0, 40.0),
        (Look.END, 30.0, 40.0),
    ],
)
def test_a_box_is_a_rectangle_from_every_side(look: Look, width: float, height: float) -> None:
    seen = view(BOX, look)
    assert signed_area(seen.outline) == pytest.approx(width * height)
    assert len(seen.outline) == 4
    assert len(seen.visible) == 4
    assert seen.hidden == ()


def test_a_bevel_shows_as_a_line_from_the_front() -> None:
    seen = view(BEVELLED, Look.FRONT)
    assert frozenset(((80.0, -20.0), (80.0, 20.0))) in drawn(seen.visible)
    assert seen.hidden == ()


def test_a_bevel_is_dashed_from_the_back() -> None:
    seen = view(BEVELLED, Look.BACK)
    assert drawn(seen.hidden) == {frozenset(((80.0, -20.0), (80.0, 20.0)))}


def test_an_edge_view_has_the_slope() -> None:
    """On the low edge the front face is up: the outline's corner is at (80, 15)."""
    seen = view(BEVELLED, Look.LOW_EDGE)
    assert sorted((round(x, 9), round(y, 9)) for x, y in seen.outline) == [
        (0, -15),
        (0, 15),
        (80, 15),
        (100, -15),
    ]
    assert seen.hidden == ()


def test_a_box_seen_over_its_corner_is_a_hexagon_with_three_hidden_edges() -> None:
    """Isometric view: nine visible edges, three hidden, outline of six sides; a cube of 1 covers sqrt 3."""
    cube = CutBox(1.0, 1.0, 1.0)
    frame = Frame.from_xz((0.0, 0.0, 0.0), (1.0, -1.0, 0.0), (1.0, 1.0, 1.0))
    seen = view(cube, frame)
    assert len(seen.visible) == 9
    assert len(seen.outline) == 6
    assert signed_area(seen.outline) == pytest.approx(math.sqrt(3.0))
    assert sum(stroke.length for stroke in seen.hidden) <= 3.0
