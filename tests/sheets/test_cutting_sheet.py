"""Cutting pictures: to scale, marks from one datum, cuts in order; lists that hold every piece."""

from dataclasses import replace
from pathlib import Path

import pytest

from pitchline.kit.cutting.bars import plan_bars
from pitchline.kit.cutting.need import BarOrder, BarStock, End, Need, Piece, Saw, SheetStock
from pitchline.kit.cutting.orders import plan_need
from pitchline.kit.cutting.plan import CutSheet, CuttingPlan, Rest, Ripped, SheetPiece
from pitchline.kit.drawing.marks import Area, Disc, Label, RunningMarks
from pitchline.kit.units import Unit
from pitchline.sheets.cutting_sheet import buying_list, cutting_lists, cutting_sheets
from pitchline.sheets.cutting_views import bars_drawing, batches, edge_marks, outline, sheet_drawing
from pitchline.sheets.drawings import Style
from pitchline.sheets.tables import Quantity
from pitchline.stock.plan import Alternative, Cutting
from pitchline.stock.rack import Rack, RackBar, RackSheet

STYLE = Style(Unit.MM, "A3", first_angle=True)
SECTION = (40.0, 20.0)
PARTS = (
    Piece("a", 700.0, *SECTION, 6, ends=(End(30.0), End(30.0))),
    Piece("b", 400.0, *SECTION, 2),
)
BARS = (BarStock("oak", 2400.0, *SECTION, 9.0),)
SAW = Saw(3.0, 10.0, 2, "rip")


def plan() -> tuple[Need, CuttingPlan]:
    need = Need(PARTS, bars=BARS, saw=SAW)
    return need, plan_need(need, 0.5)


def show(mm: float) -> str:
    return f"{mm:.1f}"


def test_areas_on_paper_are_those_of_the_wood() -> None:
    need, found = plan()
    drawing = bars_drawing("A", need, batches(found.bars), show, 10.0)
    wood = [mark for mark in drawing.marks if isinstance(mark, Area) and mark.fill.value == "wood"]
    drawn = {len(batch.numbers): batch for batch in batches(found.bars)}
    assert len(wood) == sum(len(batch.bar.pieces) for batch in batches(found.bars))
    assert drawn
    for area in wood:
        (x0, y0), (x1, _), _, (_, y3) = area.outline
        assert x1 - x0 in (pytest.approx(700.0 - 40.0 * 3**-0.5), pytest.approx(400.0))
        assert y3 - y0 == pytest.approx(40.0)


def test_a_rhomboid_s_corners_are_where_its_cuts_meet_the_edges() -> None:
    _, found = plan()
    piece = next(p for bar in found.bars for p in bar.pieces if p.part == "a")
    corners = outline(piece, SECTION)
    slant = 40.0 * 3**-0.5
    assert corners[0][0] - corners[3][0] == pytest.approx(
        slant
    )  # the start runs back as it rises: mitre to +y
    assert max(x for x, _ in corners) - min(x for x, _ in corners) == pytest.approx(700.0)


def test_marks_follow_the_lower_edge_and_one_cut_is_one_mark() -> None:
    part = Piece("a", 700.0, *SECTION, 3, ends=(End(30.0), End(30.0)))
    found = plan_bars(BarOrder((part,), BARS, Saw(3.0)), 0.2)
    marks = list(edge_marks(found.bars[0], SECTION, 3.0))
    slant, core, kerf = 40.0 * 3**-0.5, 700.0 - 40.0 * 3**-0.5, 3.0 / 3**0.5 * 2.0
    assert marks[0] == pytest.approx(slant)
    assert marks[1:] == pytest.approx([slant + n * core + (n - 1) * kerf for n in (1, 2, 3)])


def test_bars_cut_alike_are_drawn_once_with_their_numbers() -> None:
    need, found = plan()
    labels = [
        m.text for m in bars_drawing("A", need, batches(found.bars), show, 10.0).marks if isinstance(m, Label)
    ]
    numbers = sorted(n for batch in batches(found.bars) for n in batch.numbers)
    assert numbers == list(range(1, len(found.bars) + 1))
    assert sum(text.startswith("Bar ") for text in labels) == len(batches(found.bars))


SHEET = CutSheet(
    "S",
    1220.0,
    620.0,
    (SheetPiece("p", 10.0, 10.0, 600.0, 300.0), SheetPiece("q", 10.0, 313.0, 400.0, 200.0)),
    (Rest(613.0, 10.0, 597.0, 300.0),),
)


def test_a_sheet_shows_its_cuts_in_order_and_marks_from_its_corner() -> None:
    need = Need((), sheets=(SheetStock("S", 1220.0, 620.0, 18.0, 30.0),), saw=SAW)
    drawing = sheet_drawing("A", need, 1, SHEET, show, 10.0)
    running = [mark for mark in drawing.marks if isinstance(mark, RunningMarks)]
    assert [mark.texts for mark in running] == [("310.0", "513.0")]
    assert [mark.datum for mark in running] == [(0.0, 0.0)]
    assert sum(isinstance(mark, Disc) for mark in drawing.marks) == 4
    assert any(isinstance(mark, Label) and mark.text == "keep 597.0 x 300.0" for mark in drawing.marks)


def test_every_bar_of_a_long_plan_finds_its_page() -> None:
    parts = tuple(Piece(f"p{i:02d}", 900.0 + 3.3 * i, *SECTION, 2) for i in range(30))
    need = Need(
        parts,
        bars=(BarStock("oak", 2400.0, *SECTION, 9.0), BarStock("long", 5400.0, *SECTION, 19.0)),
        saw=SAW,
    )
    found = plan_need(need, 0.5)
    pages = list(cutting_sheets("A", need, found, STYLE))
    words = [m.text for page in pages for d in page.drawn for m in d.drawing.marks if isinstance(m, Label)]
    assert all(any(part.id in text for text in words) for part in parts)
    assert len(pages) > 1


def test_lists_hold_prices_weights_and_marks() -> None:
    need, found = plan()
    rack = Rack(bars=tuple(RackBar(stock) for stock in BARS), saw=SAW, currency="GBP")
    cutting = Cutting(need, found, rack)
    listing = buying_list("A", cutting, {"": 700.0}, STYLE)
    (row,) = listing.rows
    assert row[1] == Quantity(len(found.bars), "count")
    assert row[8] == Quantity(9.0 * len(found.bars), "number")
    assert isinstance(row[9], Quantity)
    assert row[9].value == pytest.approx(len(found.bars) * 2.4 * 0.04 * 0.02 * 700.0)
    assert "GBP" in listing.intro
    others = (Alternative("new stock only", found.cost + 2.5, 12.0),)
    ids = [one.id for one in cutting_lists("A", cutting, {}, STYLE, others)]
    assert ids == ["A-buying", "A-others", "A-bars"]


def test_sheets_have_a_list_of_cuts_in_working_order() -> None:
    stock = SheetStock("S", 1220.0, 620.0, 18.0, 30.0)
    need = Need((Piece("p", 600.0, 300.0, 18.0), Piece("q", 400.0, 200.0, 18.0)), sheets=(stock,), saw=SAW)
    cutting = Cutting(
        need, CuttingPlan((SHEET,), (), 30.0, 30.0, 0.0), Rack(sheets=(RackSheet(stock),), saw=SAW)
    )
    lists = {one.id: one for one in cutting_lists("A", cutting, {}, STYLE)}
    assert [row[1:] for row in lists["A-cuts"].rows] == [
        ("1-2", Quantity(1, "count"), "rip, kerf beyond", Quantity(10.0), Quantity(1210.0), "310.0, 513.0"),
        ("3", Quantity(2, "count"), "cross-cut, kerf beyond", Quantity(10.0), Quantity(310.0), "610.0"),
        ("4", Quantity(2, "count"), "cross-cut, kerf beyond", Quantity(313.0), Quantity(513.0), "410.0"),
    ]
    assert [row[2:] for row in lists["A-sheets"].rows] == [
        ("along", Quantity(10.0), "p, keep 597.0 x 300.0", "10.0, 613.0"),
        ("along", Quantity(313.0), "q", "10.0"),
    ]


def test_pages_are_typeset(tmp_path: Path) -> None:
    from pitchline.kit.drawing.pages import compile_pdf
    from pitchline.kit.drawing.sheet import TitleBlock

    need, found = plan()
    pdf = compile_pdf(
        tuple(page.page for page in cutting_sheets("A", need, found, STYLE)), TitleBlock("t", "Cutting")
    )
    assert pdf.startswith(b"%PDF")


def test_the_merchant_gets_a_list_of_his_own() -> None:
    """Two sheets ripped alike: a row for every strip, what is left beside the last."""
    need, found = plan()
    rack = Rack(bars=tuple(RackBar(bar) for bar in BARS))
    asked = Ripped("ply", 2, (150.0, 90.0), (150.0, 243.0), 30.0)
    listed = {
        listing.id: listing
        for listing in cutting_lists("A", Cutting(need, replace(found, ripped=(asked,)), rack), {}, STYLE)
        if listing.id == "A-merchant"
    }
    first, second = listed["A-merchant"].rows
    assert first[1:] == (Quantity(2, "count"), Quantity(1, "count"), Quantity(150.0), Quantity(150.0), "")
    assert second[3:] == (Quantity(90.0), Quantity(243.0), Quantity(30.0))
