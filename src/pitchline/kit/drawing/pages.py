"""Sheets -> PDF (or PNG), typeset from a template that comes with the program.

The words and numbers of a job are handed over as JSON and shown as they are: nothing in them is ever read as
markup. The same sheets give the same bytes. Typesetting needs no network and no font of the machine.
"""

import json
import re
from functools import cache
from pathlib import Path
from typing import Any

from pitchline.kit.drawing.lettering import (
    FONT_FAMILY,
    FONT_FOLDER,
    clean_text,
    open_face,
    require_fonts,
    text_lines,
)
from pitchline.kit.drawing.scales import bar_divisions
from pitchline.kit.drawing.sheet import (
    EDGE,
    FILING,
    STRIP_HEIGHT,
    TITLE_HEIGHT,
    TITLE_WIDTH,
    Card,
    CardPage,
    DrawingPage,
    NoteColumn,
    Page,
    PlacedView,
    PlainPage,
    Section,
    Table,
    TablePage,
    TextPage,
    TitleBlock,
    drawing_field,
    paper_size,
)
from pitchline.kit.drawing.svg import Picture
from pitchline.kit.errors import OutputError

TEMPLATE = Path(__file__).parent / "sheet.typ"
Json = dict[str, Any]


def compile_pdf(pages: tuple[Page, ...], title_block: TitleBlock, fonts: Path = FONT_FOLDER) -> bytes:
    """The sheets as one PDF that asks to be printed at 100 %.

    OutputError if the letters or the template are missing or the sheets cannot be typeset; ValueError without pages.
    """
    made = _typeset(pages, title_block, fonts, "pdf", None)
    return _print_at_full_size(made[0])


def compile_png(
    pages: tuple[Page, ...], title_block: TitleBlock, ppi: float = 110.0, fonts: Path = FONT_FOLDER
) -> list[bytes]:
    """The sheets as PNG pictures, one a sheet; errors as for `compile_pdf`."""
    return _typeset(pages, title_block, fonts, "png", ppi)


def compile_svg(pages: tuple[Page, ...], title_block: TitleBlock, fonts: Path = FONT_FOLDER) -> list[bytes]:
    """The sheets as SVG for a screen, one a sheet; errors as for `compile_pdf`."""
    return _typeset(pages, title_block, fonts, "svg", None)


def _typeset(
    pages: tuple[Page, ...], title_block: TitleBlock, fonts: Path, form: str, ppi: float | None
) -> list[bytes]:
    import typst  # a heavy library that `check` must not load

    typesetter: Any = typst
    if not pages:
        raise ValueError("a set of sheets needs at least one page")
    try:
        made = typesetter.compile(
            _template(),
            format=form,
            ppi=ppi,
            font_paths=_font_book(fonts),
            ignore_system_fonts=True,
            sys_inputs={"sheets": json.dumps(sheet_data(pages, title_block, fonts))},
        )
    except typst.TypstError as fault:
        raise OutputError(f"The sheets cannot be typeset: {fault.message}.") from fault
    return [made] if isinstance(made, bytes) else list(made)


def _template() -> bytes:
    try:
        return TEMPLATE.read_bytes()
    except FileNotFoundError as fault:
        raise OutputError(
            f"The sheet template {TEMPLATE.name} is missing; install pitchline again."
        ) from fault


@cache
def _font_book(fonts: Path) -> Any:
    """The bundled letters and those that come with the typesetter, none of the machine's."""
    import typst  # a heavy library that `check` must not load

    require_fonts(fonts)
    return typst.Fonts(include_system_fonts=False, font_paths=[str(fonts)])


def _print_at_full_size(pdf: bytes) -> bytes:
    """Adds to the catalogue that viewers shall not scale when printing (ISO 32000-1, 12.2).

    The catalogue is written once more at the end, as an incremental update (ISO 32000-1, 7.5.6, from memory);
    the typesetter writes a plain cross-reference table, so nothing else of the file need be read. OutputError
    if it does not.
    """
    trailer = _TRAILER.search(pdf)
    catalogue = trailer and re.search(rb"\n%s 0 obj\n(.*?)\nendobj" % trailer["root"], pdf, re.DOTALL)
    if not trailer or not catalogue:
        raise OutputError("The typeset sheets have no plain catalogue; install the typesetter again.")
    wishes, count = _PREFERENCES.subn(rb"\1/PrintScaling/None/DisplayDocTitle true", catalogue[1])
    if not count:
        wishes = catalogue[1].replace(
            b"<<", b"<</ViewerPreferences<</PrintScaling/None/DisplayDocTitle true>>", 1
        )
    whole = pdf.rstrip(b"\r\n") + b"\n"
    place = len(whole)
    whole += b"%s 0 obj\n%s\nendobj\n" % (trailer["root"], wishes)
    table = b"xref\n%s 1\n%010d 00000 n\r\n" % (trailer["root"], place)
    words = trailer["words"] + b"/Prev " + trailer["start"]
    return b"%s%strailer\n<<%s>>\nstartxref\n%d\n%%%%EOF\n" % (whole, table, words, len(whole))


_TRAILER = re.compile(
    rb"\ntrailer\s*<<(?P<words>.*?/Root (?P<root>\d+) 0 R.*?)>>\s*startxref\s+(?P<start>\d+)\s+%%EOF\s*\Z",
    re.DOTALL,
)
_PREFERENCES = re.compile(rb"(/ViewerPreferences\s*<<)")


def sheet_data(pages: tuple[Page, ...], title_block: TitleBlock, fonts: Path = FONT_FOLDER) -> Json:
    """Everything the template shows, as plain JSON values."""
    face = open_face(fonts)
    return {
        "face": {"family": FONT_FAMILY, "em_per_cap": face.units_per_em / face.cap_height},
        "filing": FILING,
        "edge": EDGE,
        "title_width": TITLE_WIDTH,
        "title_height": TITLE_HEIGHT,
        "strip_height": STRIP_HEIGHT,
        "title_block": {
            "title": clean_text(title_block.title),
            "subject": clean_text(title_block.subject),
            "drawn_by": clean_text(title_block.drawn_by),
            "date": clean_text(title_block.date),
            "units": title_block.units,
            "projection": title_block.projection,
            "notes": _lines(title_block.notes),
        },
        "pages": [_page(page, title_block, fonts) for page in pages],
    }


def _page(page: Page, title_block: TitleBlock, fonts: Path) -> Json:
    width, height = paper_size(page.paper, page.landscape)
    common: Json = {"width": width, "height": height, "title": clean_text(page.title)}
    match page:
        case DrawingPage():
            return common | _drawing(page, title_block.units == "in", fonts)
        case TablePage():
            return common | {
                "kind": "table",
                "intro": [_lines(words) for words in page.intro],
                "tables": [_table(table) for table in page.tables],
                "notes": [_lines(note) for note in page.notes],
            }
        case TextPage():
            return common | {"kind": "text", "sections": [_section(section) for section in page.sections]}
        case CardPage():
            intro = [_lines(words) for words in page.intro]
            return common | {"kind": "cards", "intro": intro, "cards": [_card(card) for card in page.cards]}
        case PlainPage():
            return common | {
                "kind": "plain",
                "x": page.x_mm,
                "y": page.y_mm,
                "picture": _picture(page.picture),
            }


def _drawing(page: DrawingPage, inches: bool, fonts: Path) -> Json:
    field = drawing_field(page.paper, page.landscape, page.notes, fonts)
    scales = tuple(dict.fromkeys(view.scale_text for view in page.views if view.scale_text))
    return {
        "kind": "drawing",
        "views": [_view(view, inches) for view in page.views],
        "note_columns": [_column(column) for column in field.notes],
        "scale_text": clean_text(scales[0]) if len(scales) == 1 else "as shown" if scales else "none",
    }


def _column(column: NoteColumn) -> Json:
    return {
        "x": column.x,
        "y": column.y,
        "width": column.width,
        "first": column.first,
        "notes": [_lines(note) for note in column.notes],
    }


def _view(view: PlacedView, inches: bool) -> Json:
    scale = view.picture.scale
    return {
        "picture": _picture(view.picture),
        "x": view.x_mm,
        "y": view.y_mm,
        "caption": clean_text(view.caption),
        "scale_text": clean_text(view.scale_text),
        "bar": None if scale is None else _bar(scale, inches),
    }


def _bar(scale: float, inches: bool) -> Json:
    places = bar_divisions(scale, inches, 50.0 if scale > 1 else 100.0)
    labels = [_feet(place) if inches else f"{place:g}" for place in places]
    if not inches:
        labels[-1] += " mm"
    return {"places": [place / scale for place in places], "labels": labels}


def _feet(length: float) -> str:
    inches = length / 25.4
    if inches < 12:
        return f'{inches:g}"'
    feet, rest = divmod(round(inches, 6), 12)
    return f"{feet:g}'" + (f'-{rest:g}"' if rest else "")


def _picture(picture: Picture) -> Json:
    return {"svg": picture.live or picture.svg, "width": picture.width_mm, "height": picture.height_mm}


def _table(table: Table) -> Json:
    columns = len(table.headings)
    return {
        "caption": clean_text(table.caption),
        "headings": [_lines(heading) for heading in table.headings],
        "rows": [
            [_lines(cell) if isinstance(cell, str) else _picture(cell) for cell in row] for row in table.rows
        ],
        "align": list(table.align or ("left",) * columns),
        "widths": list(table.widths or (0,) * columns),
        "accents": sorted(table.accents),
    }


def _section(section: Section) -> Json:
    return {
        "heading": clean_text(section.heading),
        "paragraphs": [_lines(words) for words in section.paragraphs],
        "points": [_lines(words) for words in section.points],
        "picture": None if section.picture is None else _picture(section.picture),
        "caption": clean_text(section.caption),
        "tables": [_table(table) for table in section.tables],
    }


def _card(card: Card) -> Json:
    return {
        "number": clean_text(card.number),
        "title": clean_text(card.title),
        "quiet": clean_text(card.quiet),
        "paragraphs": [_lines(words) for words in card.paragraphs],
        "facts": [[clean_text(name), _lines(said)] for name, said in card.facts],
        "picture": None if card.picture is None else _picture(card.picture),
        "loud": card.loud,
    }


def _lines(text: str) -> str:
    """A text whose line ends are kept, each line cleaned."""
    return "\n".join(text_lines(text))
