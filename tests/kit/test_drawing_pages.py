import io
import re
from itertools import pairwise
from pathlib import Path
from typing import Any

import pypdfium2
import pytest
from PIL import Image
from pypdf import PdfReader
from tests.sample_drawing import HOSTILE, every_mark, hostile_drawing

from pitchline.kit.drawing.lettering import FONT_FILE
from pitchline.kit.drawing.pages import compile_pdf, compile_png, sheet_data
from pitchline.kit.drawing.sheet import (
    CAPTION_HEIGHT,
    TITLE_HEIGHT,
    TITLE_WIDTH,
    DrawingPage,
    Page,
    PlacedView,
    Section,
    Table,
    TablePage,
    TextPage,
    TitleBlock,
    drawing_field,
    place_in_rows,
)
from pitchline.kit.drawing.svg import write_svg
from pitchline.kit.drawing.tiles import tile_name
from pitchline.kit.errors import OutputError

BLOCK = TitleBlock("Invented job", "Balustrade to flight 1", "R. Example", "2026-03-01")
DRAWABLE = tuple(text for text in HOSTILE if "😀" not in text)


def rows(count: int) -> tuple[tuple[str, ...], ...]:
    return tuple((f"B{index}", "baluster", f"{812.5 + index:.1f}") for index in range(count))


def every_page() -> tuple[Page, ...]:
    picture = write_svg(every_mark(50.0))
    table = Table(
        ("mark", "part", "length"), rows(70), ("left", "left", "right"), (20.0, None, 0.0), "Infill"
    )
    return (
        DrawingPage(
            "Elevation", (PlacedView(picture, 10.0, 10.0, "Flight 1", "1:50"),), ("Fit the newels first.",)
        ),
        TablePage("Cutting list", (table,), ("Longest point to longest point.",), ("Mark every piece.",)),
        TextPage(
            "Order of work",
            (Section("Newels", ("Stand plumb.",), ("Scribe.", "Drill."), picture, "foot", (table,)),),
        ),
    )


def text_of(pdf: bytes) -> list[str]:
    document = pypdfium2.PdfDocument(pdf)
    return [str(page.get_textpage().get_text_range()) for page in document]


def squeezed(text: str) -> str:
    return re.sub(r"\s+", "", text)


def test_sheets_are_numbered_one_of_many() -> None:
    texts = text_of(compile_pdf(every_page(), BLOCK))
    assert len(texts) > 4
    for number, text in enumerate(texts, start=1):
        assert f"{number} / {len(texts)}" in text


def test_every_sheet_names_the_job_and_its_title() -> None:
    for text in text_of(compile_pdf(every_page(), BLOCK)):
        assert "Invented job" in text
        assert "2026-03-01" in text
        assert any(title in text for title in ("Elevation", "Cutting list", "Order of work"))


def test_a_long_table_repeats_its_headings_and_loses_no_row() -> None:
    page = TablePage("Cutting list", (Table(("mark", "part", "length"), rows(150)),))
    texts = text_of(compile_pdf((page,), BLOCK))
    assert len(texts) > 2
    assert all("length" in text for text in texts)
    assert {f"B{index}" for index in range(150)} <= set(re.findall(r"B\d+", " ".join(texts)))


def test_the_same_sheets_give_the_same_bytes() -> None:
    assert compile_pdf(every_page(), BLOCK) == compile_pdf(every_page(), BLOCK)


def test_it_asks_to_be_printed_at_full_size_and_carries_no_date() -> None:
    reader = PdfReader(io.BytesIO(compile_pdf(every_page(), BLOCK)))
    wishes: Any = reader.viewer_preferences
    assert wishes is not None
    assert wishes.print_scaling == "/None"
    assert reader.metadata is not None
    assert reader.metadata.title == "Invented job"
    assert "/CreationDate" not in reader.metadata
    assert "/ModDate" not in reader.metadata


def test_words_of_a_drawing_can_be_searched() -> None:
    (text,) = text_of(compile_pdf(every_page()[:1], BLOCK))
    assert "newel 90 x 90" in text
    assert "1081.7" in text


def test_hostile_words_are_shown_as_they_are() -> None:
    joined = "\n".join(DRAWABLE)
    table = Table(HOSTILE[:3], (HOSTILE[3:6], HOSTILE[6:9]), caption=HOSTILE[0])
    view = PlacedView(write_svg(hostile_drawing()), 5.0, 5.0, HOSTILE[0], HOSTILE[7])
    pages: tuple[Page, ...] = (
        TextPage(HOSTILE[2], (Section(HOSTILE[1], DRAWABLE, DRAWABLE),)),
        TablePage(HOSTILE[3], (table,), DRAWABLE, DRAWABLE),
        DrawingPage(HOSTILE[4], (view,), DRAWABLE),
    )
    block = TitleBlock(HOSTILE[2], HOSTILE[3], HOSTILE[1], HOSTILE[6], notes=joined)
    first, second, third = text_of(compile_pdf(pages, block))
    for text in DRAWABLE:
        for sheet in (first, second, third):
            assert squeezed(text) in squeezed(sheet)
    assert "שלום" in third or "םולש" in third


def test_letters_from_right_to_left_and_faces_do_not_stop_the_press() -> None:
    page = TextPage("שלום 😀", (Section("مرحبا θ", ("\u202eabc", "\x00\x1b", "")),))
    assert len(text_of(compile_pdf((page,), BLOCK))) == 1


def test_a_job_without_words_is_still_a_sheet() -> None:
    assert compile_pdf((DrawingPage("", ()),), TitleBlock("", "", notes="")).startswith(b"%PDF")


def test_no_pages_are_refused() -> None:
    with pytest.raises(ValueError, match="at least one page"):
        compile_pdf((), BLOCK)


def test_a_missing_font_is_an_output_error(tmp_path: Path) -> None:
    with pytest.raises(OutputError, match=f"{FONT_FILE} are missing"):
        compile_pdf(every_page(), BLOCK, tmp_path)


def test_png_has_one_picture_a_sheet_at_its_resolution() -> None:
    pictures = [Image.open(io.BytesIO(data)) for data in compile_png(every_page()[:1], BLOCK, 100.0)]
    # A3 is 420 mm wide: 420 / 25.4 * 100 pixels
    assert [picture.width for picture in pictures] == [pytest.approx(420 / 25.4 * 100, abs=1)]


def test_the_scale_bar_is_true_and_in_the_units_of_the_job() -> None:
    data = sheet_data(every_page(), BLOCK)
    bar = data["pages"][0]["views"][0]["bar"]
    assert bar["labels"] == ["0", "500", "1000", "1500", "2000 mm"]
    assert bar["places"] == pytest.approx([0.0, 10.0, 20.0, 30.0, 40.0])
    inches = sheet_data(every_page(), TitleBlock("j", "s", units="in"))["pages"][0]["views"][0]["bar"]
    assert inches["labels"] == ['0"', "2'", "4'", "6'", "8'"]
    assert inches["places"][-1] == pytest.approx(8 * 304.8 / 50.0)


def test_scale_in_the_title_block() -> None:
    picture = write_svg(every_mark())
    views = (PlacedView(picture, 0, 0, "a", "1:20"), PlacedView(picture, 0, 0, "b", "1:5"))
    scales = [
        sheet_data((DrawingPage("t", views[:count]),), BLOCK)["pages"][0]["scale_text"] for count in (0, 1, 2)
    ]
    assert scales == ["none", "1:20", "as shown"]


def test_notes_stand_beside_the_title_block_on_wide_sheets_and_above_it_on_narrow_ones() -> None:
    notes = tuple(f"note {index}" for index in range(6))
    wide = drawing_field("A3", True, notes)
    assert wide.notes[-1].x + wide.notes[-1].width <= 390.0 - TITLE_WIDTH
    narrow = drawing_field("A4", False, notes)
    assert all(column.y < 277.0 - TITLE_HEIGHT for column in narrow.notes)
    assert narrow.height < drawing_field("A4", False).height
    assert [column.first for column in narrow.notes] == [1, 4]


def test_many_notes_take_room_from_the_views() -> None:
    notes = ("a note long enough to run over more than one line on any sheet whatever its size may be",) * 30
    assert drawing_field("A3", True, notes).height < drawing_field("A3", True).height


def test_views_in_rows_do_not_meet_and_stay_in_the_field() -> None:
    picture = write_svg(every_mark(50.0))
    field = drawing_field("A3", True)
    views = place_in_rows(tuple((picture, f"view {index}", "1:50") for index in range(6)), field)
    for first, second in pairwise(views):
        beside = second.x_mm >= first.x_mm + first.picture.width_mm
        below = second.y_mm >= first.y_mm + first.picture.height_mm + CAPTION_HEIGHT
        assert beside or below
    assert max(view.x_mm + view.picture.width_mm for view in views) <= field.x + field.width
    with pytest.raises(ValueError, match="finds no room"):
        place_in_rows(tuple((picture, f"view {index}", "1:50") for index in range(60)), field)


def test_tables_refuse_rows_of_another_length() -> None:
    with pytest.raises(ValueError, match="row 1 has 1 cells for 2 columns"):
        Table(("a", "b"), (("1", "2"), ("3",)))
    with pytest.raises(ValueError, match="2 columns but 1 in align"):
        Table(("a", "b"), (), ("left",))


def test_tile_names_count_like_columns_of_a_plan() -> None:
    assert [tile_name(column, 0) for column in (0, 1, 25, 26, 27)] == ["A1", "B1", "Z1", "AA1", "AB1"]
    assert tile_name(2, 4) == "C5"
