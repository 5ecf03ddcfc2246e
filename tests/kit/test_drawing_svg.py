import re
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
from tests.sample_drawing import HOSTILE, every_mark, hostile_drawing

from pitchline.kit.drawing.marks import Area, Bounds, Dimension, Drawing, Fill, Label, Pen, Stroke
from pitchline.kit.drawing.svg import MARGIN, number, write_svg
from pitchline.kit.errors import OutputError

SVG = "{http://www.w3.org/2000/svg}"


def texts(svg: str) -> list[str]:
    return ["".join(element.itertext()) for element in ET.fromstring(svg).iter(f"{SVG}text")]


def test_the_picture_is_as_large_on_paper_as_its_scale_says() -> None:
    # closed form: 4160 mm at 1:20 is 208 mm of paper, plus a margin on both sides
    picture = write_svg(Drawing("d", "t", 20.0, (Stroke(((0.0, 0.0), (4160.0, 0.0)), Pen.THIN),)))
    assert picture.width_mm == pytest.approx(208.0 + 2 * MARGIN)
    root = ET.fromstring(picture.svg)
    assert root.get("width") == f"{208 + 2 * MARGIN:g}mm"
    assert root.get("viewBox") == f"0 0 {208 + 2 * MARGIN:g} {2 * MARGIN:g}"
    (path,) = root.iter(f"{SVG}path")
    assert path.get("d") == f"M{MARGIN:g} {MARGIN:g}L{MARGIN + 208:g} {MARGIN:g}"


def test_up_is_up() -> None:
    picture = write_svg(Drawing("d", "t", 1.0, (Stroke(((0.0, 0.0), (0.0, 10.0)), Pen.THIN),)))
    assert picture.on_paper((0.0, 10.0)) == pytest.approx((MARGIN, MARGIN))
    assert picture.on_paper((0.0, 0.0)) == pytest.approx((MARGIN, MARGIN + 10.0))


def test_every_pen_comes_with_its_weight_and_dashes() -> None:
    picture = write_svg(every_mark())
    for pen in Pen:
        assert f'stroke="{pen.colour}" stroke-width="{number(pen.weight_mm)}"' in picture.svg
    assert 'stroke-dasharray="8 1 0.6 1"' in picture.svg


def test_every_fill_comes_with_its_tint() -> None:
    svg = write_svg(every_mark()).svg
    assert all(f'fill="{fill.colour}"' in svg for fill in Fill)


def test_a_hole_is_a_hole() -> None:
    outer = ((0.0, 0.0), (9.0, 0.0), (9.0, 9.0))
    inner = ((6.0, 1.0), (8.0, 1.0), (8.0, 3.0))
    svg = write_svg(Drawing("d", "t", 1.0, (Area(outer, Fill.WOOD, (inner,)),))).svg
    (path,) = re.findall(r' d="([^"]*)"', svg)
    assert path.count("M") == 2
    assert 'fill-rule="evenodd"' in svg


def test_hostile_texts_come_out_letter_by_letter() -> None:
    picture = write_svg(hostile_drawing())
    shown = texts(picture.live)
    assert sorted(shown) == sorted(2 * list(HOSTILE))
    assert "<script" not in picture.svg + picture.live
    assert ET.fromstring(picture.svg).findtext(f"{SVG}title") == "Title <&> 'x'"


def test_screen_letters_are_outlines_that_name_their_text() -> None:
    picture = write_svg(Drawing("d", "t", 1.0, (Label((0.0, 0.0), 'a "b" <c>'),)))
    root = ET.fromstring(picture.svg)
    assert not list(root.iter(f"{SVG}text"))
    assert [one.get("aria-label") for one in root.iter(f"{SVG}g") if one.get("aria-label")] == ['a "b" <c>']
    names = {one.get("id") for one in root.iter(f"{SVG}path")} - {None}
    assert {str(one.get("href"))[1:] for one in root.iter(f"{SVG}use")} == names


def test_two_pictures_on_one_page_do_not_share_names() -> None:
    one = write_svg(Drawing("one", "t", 1.0, (Label((0.0, 0.0), "8"),))).svg
    two = write_svg(Drawing("two", "t", 1.0, (Label((0.0, 0.0), "8"),))).svg
    assert not set(re.findall(r' id="([^"]*)"', one)) & set(re.findall(r' id="([^"]*)"', two))


def test_no_style_and_no_script_for_a_strict_page() -> None:
    svg = write_svg(every_mark()).svg
    assert "style" not in svg
    assert "class=" not in svg


def test_the_same_drawing_gives_the_same_picture() -> None:
    assert write_svg(every_mark()) == write_svg(every_mark())


def test_a_window_shows_its_part_at_exact_size() -> None:
    window = Bounds(1000.0, -100.0, 2000.0, 400.0)
    picture = write_svg(every_mark(), window)
    assert (picture.width_mm, picture.height_mm) == (50.0, 25.0)
    assert picture.on_paper((1000.0, 400.0)) == (0.0, 0.0)
    assert len(picture.svg) < len(write_svg(every_mark()).svg)


def test_paper_things_keep_their_size_at_every_scale() -> None:
    sizes = {
        re.findall(
            r'font-size="([^"]*)"', write_svg(Drawing("d", "t", scale, (Label((0.0, 0.0), "8"),))).live
        )[0]
        for scale in (1.0, 5.0, 20.0)
    }
    # capitals 2.5 mm high; the font's capitals are 736 of 1024 units
    assert sizes == {number(2.5 * 1024 / 736)}


def test_a_missing_font_is_an_output_error(tmp_path: Path) -> None:
    with pytest.raises(OutputError, match="install pitchline again"):
        write_svg(every_mark(), fonts=tmp_path)


def test_a_picture_without_marks_is_refused() -> None:
    with pytest.raises(ValueError, match="without marks"):
        write_svg(Drawing("d", "t", 1.0, ()))


def test_a_picture_without_a_scale_has_no_model_points() -> None:
    picture = replace(write_svg(every_mark()), scale=None)
    with pytest.raises(ValueError, match="without a scale"):
        picture.on_paper((0.0, 0.0))


def test_empty_texts_write_nothing() -> None:
    mark = Dimension((0.0, 0.0), (1000.0, 0.0), 8.0, " ")
    assert texts(write_svg(Drawing("d", "t", 10.0, (mark,))).live) == []
