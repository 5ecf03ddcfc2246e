"""Patterns: what is wrong with a drawing, and where its openings come. Elementary geometry; no source is needed."""

import math
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Polygon

from pitchline.design.brief import CutPattern, Follow
from pitchline.design.infill.pattern import pattern_faults, repeated
from pitchline.design.infill.pattern_file import PatternWish, read_pattern
from pitchline.kit.errors import InputError
from pitchline.kit.geometry.lines import Line, Point2
from pitchline.kit.geometry.outlines import Points

RAKE = Line(0.0, 0.75)


def square(x: float, y: float, side: float) -> Points:
    return ((x, y), (x + side, y), (x + side, y + side), (x, y + side))


def panel(width: float, height: float, rake: Line = RAKE) -> Points:
    """A parallelogram with plumb ends, ``height`` plumb, its lower foot corner at (0, 0)."""
    up = rake.slope * width
    return ((0.0, 0.0), (width, up), (width, up + height), (0.0, height))


def told(*outlines: Points) -> list[str]:
    return [f"{fault.where}: {fault.problem}" for fault in pattern_faults(outlines)]


def test_a_sound_drawing_has_no_faults() -> None:
    assert told(square(0, 0, 20), square(30, 0, 20)) == []


@pytest.mark.parametrize(
    ("outlines", "words"),
    [
        ((), "no closed outline"),
        ((((0.0, 0.0), (20.0, 20.0), (20.0, 0.0), (0.0, 20.0)),), "crosses itself"),
        ((square(0, 0, 60), square(20, 20, 20)), "outline 2: it lies inside outline 1"),
        ((square(20, 20, 20), square(0, 0, 60)), "outline 1: it lies inside outline 2"),
        ((square(0, 0, 20), square(10, 10, 20)), "outline 2: it runs into outline 1"),
        ((square(0, 0, 5),), "too narrow"),
    ],
)
def test_faults_name_their_outline(outlines: tuple[Points, ...], words: str) -> None:
    (fault,) = told(*outlines)
    assert words in fault


def test_sheared_repeats_fill_a_panel_that_is_a_whole_number_of_them() -> None:
    """10 repeats by 8, each with one square; a square's plumb sides stay plumb and its level ones rake."""
    pattern = CutPattern((square(10, 10, 30),), 50.0, 50.0)
    openings = repeated(pattern, panel(500.0, 400.0), RAKE)
    assert (len(openings.holes), openings.clipped, openings.left_out) == (80, 0, 0)
    corners = {
        (round(u - 10.0, 6) % 50.0, round(z - RAKE.at(u) - 10.0, 6) % 50.0) for u, z in openings.holes[0]
    }
    assert corners == {(0.0, 0.0), (30.0, 0.0), (30.0, 30.0), (0.0, 30.0)}
    assert Polygon(openings.holes[0]).area == pytest.approx(900.0)


@pytest.mark.parametrize("follow", [Follow.TURNED, Follow.STEPPED])
def test_other_ways_to_follow_keep_the_shape(follow: Follow) -> None:
    pattern = CutPattern((square(10, 10, 30),), 50.0, 50.0, follow)
    openings = repeated(pattern, panel(500.0, 400.0), RAKE)
    for hole in openings.holes:
        shape = Polygon(hole)
        assert shape.area == pytest.approx(900.0)
        assert shape.minimum_rotated_rectangle.area == pytest.approx(900.0)
    turned = openings.holes[0]
    sides = [math.degrees(math.atan2(b[1] - a[1], b[0] - a[0])) % 90 for a, b in pairwise(turned)]
    lean = 0.0 if follow is Follow.STEPPED else math.degrees(math.atan(0.75))
    assert all(min(abs(side - lean), 90 - abs(side - lean)) < 1e-6 for side in sides)


@given(
    st.floats(150, 900),
    st.floats(200, 900),
    st.sampled_from(list(Follow)),
    st.floats(0, 60),
    st.booleans(),
    st.floats(0, 1),
)
def test_openings_keep_the_margin_and_half_a_turn_changes_nothing(
    width: float, height: float, follow: Follow, margin: float, clip: bool, slope: float
) -> None:
    rake = Line(0.0, slope)
    pattern = CutPattern((square(12, 12, 30),), 54.0, 54.0, follow, margin, clip=clip)
    outline = panel(width, height, rake)
    openings = repeated(pattern, outline, rake)
    edge = Polygon(outline).exterior
    assert all(Polygon(hole).distance(edge) >= margin - 1e-6 for hole in openings.holes)
    middle = (width / 2, (height + slope * width) / 2)
    centres = np.array([(Polygon(hole).centroid.x, Polygon(hole).centroid.y) for hole in openings.holes])
    if len(centres):
        turned = 2.0 * np.array(middle) - centres
        apart = np.linalg.norm(centres[:, None] - turned[None], axis=2)
        assert apart.min(axis=1).max() <= 1e-6


def test_what_runs_into_the_margin_is_left_out_or_clipped() -> None:
    pattern = CutPattern((square(10, 10, 30),), 50.0, 50.0, margin=26.0)
    whole = repeated(pattern, panel(500.0, 400.0), RAKE)
    clipped = repeated(replace(pattern, clip=True), panel(500.0, 400.0), RAKE)
    assert whole.clipped == 0
    assert whole.left_out > 0
    assert clipped.clipped > 0
    assert len(clipped.holes) == len(whole.holes) + clipped.clipped


def test_a_margin_wider_than_the_panel_leaves_no_opening() -> None:
    pattern = CutPattern((square(10, 10, 30),), 50.0, 50.0, margin=300.0)
    assert repeated(pattern, panel(500.0, 400.0), RAKE).holes == ()


def written(folder: Path, inside: str) -> Path:
    path = folder / "leaves.svg"
    head = 'xmlns="http://www.w3.org/2000/svg" width="80mm" height="60mm" viewBox="0 0 80 60"'
    path.write_text(f"<svg {head}>{inside}</svg>", encoding="utf-8")
    return path


def test_a_drawing_becomes_a_pattern_of_its_sheet(tmp_path: Path) -> None:
    path = written(tmp_path, '<rect x="10" y="10" width="20" height="30"/>')
    pattern = read_pattern(path, PatternWish(margin=15.0, follow=Follow.TURNED, clip=True))
    assert (pattern.width, pattern.height, pattern.margin, pattern.source) == (80.0, 60.0, 15.0, "leaves.svg")
    lowest: Point2 = min(pattern.outlines[0])
    assert lowest == pytest.approx((10.0, 20.0))
    assert read_pattern(path, PatternWish(100.0, 90.0)).width == 100.0


def test_every_fault_of_a_drawing_is_told(tmp_path: Path) -> None:
    inside = '<rect width="50" height="50"/><rect x="10" y="10" width="20" height="20"/>'
    inside += '<circle cx="70" cy="30" r="1"/>'
    with pytest.raises(InputError) as caught:
        read_pattern(written(tmp_path, inside), PatternWish())
    assert len(caught.value.faults) == 2
