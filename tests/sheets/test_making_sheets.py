"""The workshop's sheets: every cut is told, short pieces stand out, only needed jigs, printers corrected."""

import io
from dataclasses import replace

import pypdfium2
import pytest
from tests.packs import designs, groups_of, solved, style_of

from pitchline.job.load import load_text
from pitchline.job.new import starting_text
from pitchline.kit.drawing.pages import compile_pdf
from pitchline.kit.drawing.sheet import DrawingPage, Section, TextPage, TitleBlock
from pitchline.kit.geometry.bevels import SawReading
from pitchline.kit.units import Unit
from pitchline.making.jigs import JigKind
from pitchline.making.settings import Holding, Setting
from pitchline.making.shop import Printer, SawKind, usual_saw
from pitchline.sheets.drawings import Style, angle_sheets
from pitchline.sheets.making_chapter import making_chapter
from pitchline.sheets.making_jigs import jig_list, jig_pages
from pitchline.sheets.making_saws import compared_making, saw_list, saw_pages
from pitchline.sheets.making_words import mitre_words, setting_name, tilt_words
from pitchline.sheets.templates_chapter import templates_chapter
from pitchline.story import Solved, solve
from pitchline.story_making import Workshop, work_out

BLOCK = TitleBlock("Invented job", "making")


@pytest.fixture(scope="module")
def demo() -> Solved:
    return solved("mm")


@pytest.fixture(scope="module")
def workshop(demo: Solved) -> Workshop:
    return work_out(demo)


def sections(pages: tuple[TextPage, ...]) -> list[Section]:
    return [section for page in pages for section in page.sections]


def words_of(pages: tuple[TextPage, ...]) -> str:
    """Every word of some pages of text."""
    said: list[str] = []
    for section in sections(pages):
        said += [section.heading, *section.paragraphs, *section.points]
        for table in section.tables:
            said += [table.caption, *table.headings]
            said += [cell for row in table.rows for cell in row if isinstance(cell, str)]
    return "\n".join(said)


def test_every_setting_is_a_section_in_working_order(demo: Solved, workshop: Workshop) -> None:
    for name, work in workshop.sawing.items():
        pages = tuple(saw_pages(name, "Design", work, workshop.shop, style_of(demo)))
        headings = [section.heading for section in sections(pages) if section.heading.startswith("Setting")]
        assert len(headings) == work.settings
        assert [heading.split(".")[0] for heading in headings] == [
            f"Setting {k} of {work.settings}" for k in range(1, work.settings + 1)
        ]


def test_every_mark_of_a_design_is_told_on_its_sheets_or_in_its_list(
    demo: Solved, workshop: Workshop
) -> None:
    for whole in demo.balustrades:
        listing = saw_list(whole.id, workshop.sawing[whole.id])
        marks = {row[listing.headings.index("Mark")] for row in listing.rows}
        assert marks == {part.mark for part in whole.parts}


def test_short_pieces_stand_out_and_the_sheet_says_how_they_are_held(
    demo: Solved, workshop: Workshop
) -> None:
    work = workshop.sawing["A"]
    assert work.of(Holding.STICK)
    pages = tuple(saw_pages("A", "Design", work, workshop.shop, style_of(demo)))
    said = words_of(pages)
    assert "Off a long stick" in said
    assert "by hand" in said
    tables = [table for section in sections(pages) for table in section.tables if "held" in table.headings]
    for table in tables:
        held = table.headings.index("held")
        red = {number for number, row in enumerate(table.rows) if "STICK" in str(row[held])}
        assert table.accents == red


def test_designs_are_compared_by_their_settings(workshop: Workshop) -> None:
    listing = compared_making(workshop.sawing, workshop.shop)
    told = {str(row[0]): getattr(row[1], "value", None) for row in listing.rows}
    assert told == {name: work.settings for name, work in workshop.sawing.items()}


@pytest.mark.parametrize(
    ("kind", "mitre", "tilt", "said"),
    [
        (SawKind.MITRE, 40.0, 0.0, ("40.00° to the right", "upright")),
        (SawKind.MITRE, -12.5, 3.0, ("12.50° to the left", "3.00°, top to the left")),
        (SawKind.TABLE, 20.0, -5.0, ("20.00° right end of the gauge towards you", "5.00°, top to the right")),
        (SawKind.RAIL, -20.0, 0.0, ("20.00° near end of the rail to the left", "upright")),
        (SawKind.HAND, 0.0, 0.0, ("square", "upright")),
    ],
)
def test_settings_are_told_as_one_stands_at_the_saw(
    kind: SawKind, mitre: float, tilt: float, said: tuple[str, str]
) -> None:
    setting = Setting(usual_saw(kind), mitre, tilt)
    assert (mitre_words(setting), tilt_words(setting)) == said


def test_a_taper_block_is_told_with_what_the_scale_shows() -> None:
    setting = Setting(usual_saw(SawKind.MITRE), 46.0, 0.0, 30.0)
    assert setting_name(setting) == "mitre saw: mitre 46.00° to the right, blade upright, taper block of 30°"
    assert setting.made == SawReading(76.0, 0.0)


def test_jigs_are_drawn_each_with_words_and_a_picture(demo: Solved, workshop: Workshop) -> None:
    for name, jigs in workshop.jigs.items():
        pages = tuple(jig_pages(name, "Design", jigs, style_of(demo)))
        tables = [table for section in sections(pages) for table in section.tables]
        assert len(tables) == len(jigs)
        for jig, table in zip(jigs, tables, strict=True):
            assert table.caption.startswith(jig.id)
            picture, words = table.rows[0]
            assert not isinstance(picture, str)
            assert all(point in str(words) for point in jig.words)
        assert len(jig_list(name, jigs).rows) == len(jigs)


def test_only_jigs_that_are_needed() -> None:
    """Leaning uprights need a block beyond the scale; glass panels no spacer and no stick; cables a guide."""
    kinds: dict[str, set[JigKind]] = {}
    for example in ("leaning", "panels", "cables"):
        job = solve(load_text(starting_text(example, Unit.MM)))
        kinds[example] = {jig.kind for jig in work_out(job).jigs["A"]}
    assert JigKind.TAPER in kinds["leaning"]
    assert kinds["panels"].isdisjoint({JigKind.SPACER, JigKind.STORY, JigKind.DRILL, JigKind.TAPER})
    assert {JigKind.DRILL, JigKind.STORY} <= kinds["cables"]
    assert JigKind.SPACER not in kinds["cables"]


@pytest.mark.parametrize("units", ["mm", "in"])
def test_no_letter_of_the_making_sheets_leaves_its_page(units: str) -> None:
    job = solved(units)
    style = style_of(job)
    workshop = work_out(job)
    for chapter in (making_chapter(job, workshop, style), templates_chapter(job, workshop, style)):
        for document in chapter.documents:
            pdf = pypdfium2.PdfDocument(io.BytesIO(compile_pdf(document.pages, BLOCK)))
            for page in pdf:
                width, height = page.get_size()
                text = page.get_textpage()
                for number in range(text.count_rects()):
                    left, bottom, right, top = text.get_rect(number)
                    assert 0.0 <= left <= right <= width
                    assert 0.0 <= bottom <= top <= height


def test_templates_follow_the_printer_of_the_workshop(demo: Solved, workshop: Workshop) -> None:
    for paper in ("A4", "A3", "Letter"):
        shop = replace(workshop.shop, printer=Printer(paper))
        chapter = templates_chapter(demo, replace(workshop, shop=shop), style_of(demo))
        (document,) = chapter.documents
        drawn = [page for page in document.pages if isinstance(page, DrawingPage)]
        assert drawn
        assert {page.paper for page in drawn} == {paper}
        assert all(any(not view.caption for view in page.views) for page in drawn)


def test_fewer_sheets_on_larger_paper(demo: Solved, workshop: Workshop) -> None:
    counts = []
    for paper in ("A4", "A3"):
        shop = replace(workshop.shop, printer=Printer(paper))
        (document,) = templates_chapter(demo, replace(workshop, shop=shop), style_of(demo)).documents
        counts.append(len(document.pages))
    assert counts[1] < counts[0]


@pytest.mark.parametrize("stretch", [(1.0, 1.0), (1.01, 0.99), (1.06, 1.05), (1.2, 1.25), (0.85, 0.9)])
def test_angle_cards_of_a_printer_that_is_off_keep_their_angles(stretch: tuple[float, float]) -> None:
    """However far off it is, the card fits its sheet, and is drawn in the proportion that the printer undoes."""
    job = solved("mm")
    design = designs("mm")[0]
    style: Style = style_of(job)
    plain = next(iter(angle_sheets("A", groups_of(design), style))).page.views[0].picture
    made = next(iter(angle_sheets("A", groups_of(design), style, stretch))).page.views[0].picture
    ratio = (made.width_mm / plain.width_mm) / (made.height_mm / plain.height_mm)
    assert ratio == pytest.approx(stretch[0] / stretch[1])
    assert made.scale == pytest.approx(1.0 / stretch[0])


@pytest.mark.parametrize(
    "printer", [Printer("A4", 0.8, 0.8), Printer("Letter", 1.2, 0.8), Printer("A3", 1.2, 1.2)]
)
def test_a_printer_as_far_off_as_may_be_still_gets_all_its_templates(printer: Printer) -> None:
    """Panels, whose corners are large, on the least and the most room that a job may ask for."""
    job = solve(load_text(starting_text("panels", Unit.MM)))
    workshop = work_out(job)
    shop = replace(workshop.shop, printer=printer)
    (document,) = templates_chapter(job, replace(workshop, shop=shop), style_of(job)).documents
    captions = [
        view.caption
        for page in document.pages
        if isinstance(page, DrawingPage)
        for view in page.views
        if view.caption
    ]
    for name in ("A", "B"):
        for one in workshop.templates[name]:
            assert any(caption.startswith(f"{one.id} ") for caption in captions), one.title
