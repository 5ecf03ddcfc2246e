"""Pages of full size: what fits where, overlaps, joints, and a printer that is off."""

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pitchline.kit.drawing.full_size import (
    BAR_ROOM,
    Print,
    bars_view,
    fits_one_page,
    full_size_field,
    map_marks,
    packed_pages,
    strip_pages,
    strip_plan,
    tiled_pages,
    tiling_of,
)
from pitchline.kit.drawing.marks import Drawing, Label, Stroke
from pitchline.kit.drawing.sheet import CAPTION_HEIGHT, DrawingPage, drawing_field
from pitchline.kit.drawing.tiles import OVERLAP

FEW = settings(max_examples=40, deadline=None)
PAPERS = st.sampled_from(["A4", "A3", "Letter"])
A4 = Print()


def box(width: float, height: float, name: str = "box") -> Drawing:
    outline = ((0.0, 0.0), (width, 0.0), (width, height), (0.0, height))
    return Drawing(name, f"A {name}", 1.0, (Stroke(outline, closed=True),))


@FEW
@given(PAPERS, st.floats(20.0, 2500.0), st.floats(20.0, 1500.0))
def test_tiles_cover_a_drawing_and_overlap(paper: str, width: float, height: float) -> None:
    printed = Print(paper)  # type: ignore[arg-type]
    tiling = tiling_of(box(width, height), printed)
    windows = [tiling.window(c, r) for r in range(tiling.rows) for c in range(tiling.columns)]
    assert min(w.left for w in windows) < 0.0
    assert max(w.right for w in windows) > width
    assert max(w.top for w in windows) > height
    assert min(w.bottom for w in windows) < 0.0
    if tiling.columns > 1:
        assert tiling.window(0, 0).right - tiling.window(1, 0).left == pytest.approx(OVERLAP)
    if tiling.rows > 1:
        assert tiling.window(0, 0).bottom - tiling.window(0, 1).top == pytest.approx(-OVERLAP)
    field = full_size_field(printed, landscape=tiling.landscape)
    assert tiling.size == pytest.approx((field.width, field.height - CAPTION_HEIGHT))


def test_fewer_pages_are_chosen_of_upright_and_lying() -> None:
    # by hand: an A4 field is 161 wide upright and 248 lying, less than 10 for each overlap
    assert tiling_of(box(230.0, 50.0), A4).landscape
    assert tiling_of(box(230.0, 50.0), A4).count == 1
    assert not tiling_of(box(100.0, 190.0), A4).landscape


def test_every_page_has_its_crosses_where_the_neighbour_has_them() -> None:
    tiling = tiling_of(box(600.0, 400.0), A4)
    shared = [
        corner
        for corner in tiling.corners
        if sum(
            _inside(corner, tiling.window(c, r)) for r in range(tiling.rows) for c in range(tiling.columns)
        )
        > 1
    ]
    assert len(shared) >= (tiling.rows + 1) * (tiling.columns + 1) - 4


def _inside(point: tuple[float, float], window: object) -> bool:
    from pitchline.kit.drawing.marks import Bounds

    assert isinstance(window, Bounds)
    return window.left <= point[0] <= window.right and window.bottom <= point[1] <= window.top


def test_a_page_that_is_too_small_is_said() -> None:
    with pytest.raises(ValueError, match="needs more than one page"):
        packed_pages([box(400.0, 50.0)], "Small ones", A4)


def test_small_drawings_share_pages_and_stay_clear_of_the_bars() -> None:
    drawings = [box(70.0, 60.0, f"box{k}") for k in range(7)]
    assert all(fits_one_page(drawing, A4) for drawing in drawings)
    pages = packed_pages(drawings, "Small ones", A4)
    shown = [view for page in pages for view in page.views if view.caption]
    assert [view.caption for view in shown] == [drawing.title for drawing in drawings]
    assert [page.title for page in pages] == [
        f"Small ones, {k} of {len(pages)}" for k in range(1, len(pages) + 1)
    ]
    field = drawing_field("A4", landscape=False)
    for page in pages:
        for view in page.views:
            if view.caption:
                assert view.x_mm >= field.x + BAR_ROOM - 1e-9
                foot = view.y_mm + view.picture.height_mm + CAPTION_HEIGHT
                assert foot <= field.y + field.height - BAR_ROOM + 1e-6
                assert view.x_mm + view.picture.width_mm <= field.x + field.width + 1e-6
            else:
                assert view.picture.width_mm > A4.bar
    assert packed_pages([], "None", A4) == ()


@pytest.mark.parametrize("landscape", [False, True])
def test_a_printer_that_is_off_is_drawn_for_each_direction(landscape: bool) -> None:
    off = Print("A4", across=1.01, along=0.98)
    plain, corrected = bars_view(A4, landscape=landscape), bars_view(off, landscape=landscape)
    ratio = (
        corrected.picture.width_mm / plain.picture.width_mm,
        corrected.picture.height_mm / plain.picture.height_mm,
    )
    assert ratio == pytest.approx((0.98, 1.01) if landscape else (1.01, 0.98))
    true = bars_view(off, landscape=landscape, true=True)
    assert true.picture.width_mm == plain.picture.width_mm


def strip(length: float, name: str) -> Drawing:
    outline = ((0.0, 0.0), (length, 0.0), (length, 25.0), (0.0, 25.0))
    return Drawing(name, f"{name} a rod", 1.0, (Stroke(outline, closed=True),))


def test_long_strips_are_cut_into_lengths_below_each_other_and_share_pages() -> None:
    rods = [strip(2000.0, "R1"), strip(700.0, "R2")]
    plans = [strip_plan(rod, A4) for rod in rods]
    pages = strip_pages(rods, "Strips", A4)
    lengths = [view for page in pages for view in page.views if view.picture.height_mm < 60.0]
    assert len(lengths) == sum(plan.count for plan in plans)
    for rod, plan in zip((2000.0, 700.0), plans, strict=True):
        assert plan.window(0).left < 0.0
        assert plan.window(plan.count - 1).right > rod
        assert plan.window(0).right - plan.window(1).left == pytest.approx(OVERLAP)
        assert plan.joints[1] == pytest.approx((plan.window(0).right + plan.window(1).left) / 2.0)
    for page in pages:
        tops = [view.y_mm for view in page.views if view.picture.height_mm < 60.0]
        assert all(b - a >= 25.0 for a, b in pairwise(tops))
    full = [sum(view.picture.height_mm < 60.0 for view in page.views) for page in pages]
    assert set(full[:-1]) == {full[0]}
    assert strip_pages([], "None", A4) == ()


def test_a_map_names_every_page() -> None:
    drawing = box(500.0, 300.0)
    names = {mark.text for mark in map_marks(drawing, A4) if isinstance(mark, Label)}
    assert {page.title.rpartition(", ")[2] for page in tiled_pages(drawing, A4)} == names
    assert "A1" in names


def test_pages_of_tiles_say_what_they_are() -> None:
    pages = tiled_pages(box(500.0, 300.0), A4, ("A note",))
    assert all(isinstance(page, DrawingPage) and page.notes == ("A note",) for page in pages)
    assert len({page.title for page in pages}) == len(pages)
