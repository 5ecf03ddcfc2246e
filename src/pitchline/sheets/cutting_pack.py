"""The pack of a cutting list that belongs to no stair: pictures, lists, drawings for other programs, the plan."""

import json
from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from functools import partial
from pathlib import Path
from typing import Any, Literal

from pitchline.kit.drawing.dxf import write_dxf
from pitchline.kit.drawing.pages import compile_pdf
from pitchline.kit.drawing.sheet import TitleBlock
from pitchline.kit.naming import safe_name
from pitchline.sheets.cutting_sheet import cutting_lists, cutting_sheets
from pitchline.sheets.drawings import Sheet, Style
from pitchline.sheets.files import MARKER, csv_text, whole_folder, workbook, write_all
from pitchline.sheets.listpages import list_pages
from pitchline.sheets.nest_views import Nest, nest_sheets, nest_stock_list, nests_list
from pitchline.sheets.tables import Listing
from pitchline.stock.plan import Cutting


def write_cutting_pack(
    title: str,
    cutting: Cutting,
    nests: Sequence[Nest],
    document: Mapping[str, Any],
    folder: Path,
    style: Style,
    densities: Mapping[str, float],
) -> tuple[str, ...]:
    """Write pictures and lists of a plan into ``folder``; returns the names of the files.

    ``title`` names the list, ``document`` is the plan as other programs read it, ``densities`` those of its materials
    in kg/m3 as far as they are known. OutputError when the folder holds something else or cannot be written; nothing
    half written stays behind.
    """
    name = safe_name(title)
    sheets = [*cutting_sheets(name, cutting.need, cutting.plan, style), *nest_sheets(name, nests, style)]
    listings = list(_lists(name, cutting, nests, style, densities))
    with whole_folder(folder) as beside:
        names = write_all(beside, _files(title, sheets, listings, style, document))
        marker = {"program": "pitchline", "files": list(names)}
        return (*names, *write_all(beside, ((MARKER, json.dumps(marker, indent=1).encode()),)))


def _lists(
    name: str, cutting: Cutting, nests: Sequence[Nest], style: Style, densities: Mapping[str, float]
) -> Iterator[Listing]:
    if cutting.need.parts:
        yield from cutting_lists(name, cutting, densities, style)
    if nests:
        yield nest_stock_list(name, nests)
        yield nests_list(name, nests)


def _files(
    title: str,
    sheets: Sequence[Sheet],
    listings: Sequence[Listing],
    style: Style,
    document: Mapping[str, Any],
) -> Iterator[tuple[str, bytes]]:
    unit: Literal["mm", "in"] = "in" if style.inches else "mm"
    projection: Literal["first", "third"] = "first" if style.first_angle else "third"
    title_block = partial(TitleBlock, title, units=unit, projection=projection)
    with ThreadPoolExecutor(max_workers=1) as typesetter:
        pages = tuple(sheet.page for sheet in sheets)
        drawings = typesetter.submit(compile_pdf, pages, title_block("Cutting"))
        tables = tuple(list_pages(listings, style))
        lists = typesetter.submit(compile_pdf, tables, title_block("Lists"))
        for drawn in (drawn for sheet in sheets for drawn in sheet.drawn):
            file = f"drawings/{safe_name(drawn.drawing.id)}"
            yield f"{file}.svg", drawn.picture.svg.encode()
            yield f"{file}.dxf", write_dxf(drawn.drawing)
        for listing in listings:
            text = csv_text(listing, style.list_show)
            yield f"lists/{safe_name(listing.id)}.csv", text.encode("utf-8-sig")
        if listings:
            yield "lists.xlsx", workbook(listings, style.list_show, inches=style.inches)
        yield "plan.json", json.dumps(document, ensure_ascii=False, allow_nan=False, indent=1).encode()
        if pages:
            yield "cutting.pdf", drawings.result()
        if tables:
            yield "lists.pdf", lists.result()
