"""Sheets of the pack as plain data for a page: pictures as SVG, lists as headings and rows of text."""

from collections.abc import Iterable, Sequence
from typing import TypedDict

from pitchline.job.value import Job
from pitchline.kit.finding import Finding
from pitchline.sheets.drawings import Drawn, Style
from pitchline.sheets.tables import Listing, cell_text
from pitchline.story import Solved


class TableData(TypedDict):
    """One list."""

    id: str
    title: str
    intro: str
    headings: list[str]
    rows: list[list[str]]
    accents: list[int]


class PictureData(TypedDict):
    """One drawing."""

    id: str
    title: str
    svg: str


class SheetData(TypedDict):
    """What one page shows of a subject."""

    pictures: list[PictureData]
    tables: list[TableData]
    findings: list[Finding]
    missing: str


def style_of(job: Job) -> Style:
    """How a job's drawings are made, as in its pack."""
    return Style(job.unit, job.paper, job.projection == "first")


def pictures(drawn: Iterable[Drawn]) -> list[PictureData]:
    """Drawings as data."""
    return [{"id": d.drawing.id, "title": d.drawing.title, "svg": d.picture.svg} for d in drawn]


def tables(listings: Iterable[Listing], style: Style) -> list[TableData]:
    """Lists as data, in the job's unit."""
    return [
        {
            "id": listing.id,
            "title": listing.title,
            "intro": listing.intro,
            "headings": list(listing.headings),
            "rows": [[cell_text(cell, style.list_show) for cell in row] for row in listing.rows],
            "accents": sorted(listing.accents),
        }
        for listing in listings
    ]


def sheet_data(
    style: Style, drawn: Iterable[Drawn], listings: Iterable[Listing], findings: Sequence[Finding] = ()
) -> SheetData:
    """A page's data."""
    return {
        "pictures": pictures(drawn),
        "tables": tables(listings, style),
        "findings": list(findings),
        "missing": "",
    }


def cutting_data(solved: Solved) -> SheetData:
    """The cutting plans of a job: of every design its plan, and what it costs beside other ways."""
    from pitchline.sheets.cutting_sheet import compared_list, cutting_lists, cutting_sheets
    from pitchline.story_cutting import plan_cuttings

    style = style_of(solved.job)
    cuttings = plan_cuttings(solved)
    drawn: list[Drawn] = []
    listings: list[Listing] = []
    findings: list[Finding] = []
    if len(cuttings) > 1:
        listings.append(compared_list({name: planned.cutting for name, planned in cuttings.items()}))
    for name, planned in cuttings.items():
        sheets = cutting_sheets(name, planned.cutting.need, planned.cutting.plan, style)
        drawn += [one for sheet in sheets for one in sheet.drawn]
        listings += cutting_lists(name, planned.cutting, {}, style, planned.others)
        findings += planned.findings
    return sheet_data(style, drawn, listings, findings)


def making_data(solved: Solved) -> SheetData:
    """What the workshop needs: cut lists, angles, marks; with the chapters that the pack has for making."""
    from pitchline.parts.explode import grouped
    from pitchline.sheets.drawings import part_sheets
    from pitchline.sheets.families import families
    from pitchline.sheets.tables import cut_list, end_angles, marks_lists, tread_marks_list

    style = style_of(solved.job)
    drawn: list[Drawn] = []
    listings: list[Listing] = []
    made = [(whole.id, whole.parts) for whole in solved.balustrades]
    made += [(rail.id, rail.parts) for rail in solved.wall_rails]
    for name, parts in made:
        groups = grouped(parts)
        listings += [cut_list(name, groups, {}), end_angles(name, families(groups))]
        drawn += [one for sheet in part_sheets(name, groups, style) for one in sheet.drawn]
    for leg in solved.designs:
        listings += [*marks_lists(leg.design.id, leg.design, style.list_show, style.step)]
        listings += [*tread_marks_list(leg.design.id, leg.design)]
    return sheet_data(style, drawn, listings)
