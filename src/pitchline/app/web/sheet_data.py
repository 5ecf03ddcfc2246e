"""Sheets of the pack for a page: typeset as they print, as pictures and as PDF, and their lists as plain data."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TypedDict

from pitchline.app.web.worker import Progress
from pitchline.job.value import Job
from pitchline.kit.drawing.pages import compile_pdf, compile_svg
from pitchline.kit.drawing.sheet import Page, TitleBlock
from pitchline.kit.finding import Finding
from pitchline.sheets.chapter import Chapter
from pitchline.sheets.drawings import Style
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


class DocumentData(TypedDict):
    """One document: its title, its PDF, and its sheets as pictures, by their file names."""

    title: str
    pdf: str
    sheets: list[str]


class SheetData(TypedDict):
    """What a page shows of a subject."""

    documents: list[DocumentData]
    tables: list[TableData]
    findings: list[Finding]


@dataclass(frozen=True, slots=True)
class Subject:
    """What is to be typeset and listed: documents by their titles, lists, findings."""

    documents: tuple[tuple[str, tuple[Page, ...]], ...] = ()
    listings: tuple[Listing, ...] = ()
    findings: tuple[Finding, ...] = ()


def style_of(job: Job) -> Style:
    """How a job's drawings are made, as in its pack."""
    return Style(job.unit, job.paper, job.projection == "first")


def sheets_of(page: str, solved: Solved, folder: Path, progress: Progress) -> SheetData:
    """The sheets of a page, their files written into a folder. KeyError for a page that has none."""
    style = style_of(solved.job)
    subjects = list(_SUBJECTS[page](solved, style, progress))
    documents = [one for subject in subjects for one in subject.documents if one[1]]
    progress("typesetting")
    return {
        "documents": [_written(solved, n, *one, folder) for n, one in enumerate(documents, start=1)],
        "tables": [_table(listing, style) for subject in subjects for listing in subject.listings],
        "findings": [finding for subject in subjects for finding in subject.findings],
    }


def _written(solved: Solved, number: int, title: str, pages: tuple[Page, ...], folder: Path) -> DocumentData:
    job = solved.job
    block = TitleBlock(
        job.title, title, job.drawn_by, job.date, units=job.unit.value, projection=job.projection
    )
    names = []
    for sheet, picture in enumerate(compile_svg(pages, block), start=1):  # a page may run over several sheets
        names.append(f"{number}-{sheet}.svg")
        (folder / names[-1]).write_bytes(picture)
    (folder / f"{number}.pdf").write_bytes(compile_pdf(pages, block))
    return {"title": title, "pdf": f"{number}.pdf", "sheets": names}


def _table(listing: Listing, style: Style) -> TableData:
    """A list as data, in the job's unit."""
    return {
        "id": listing.id,
        "title": listing.title,
        "intro": listing.intro,
        "headings": list(listing.headings),
        "rows": [[cell_text(cell, style.list_show) for cell in row] for row in listing.rows],
        "accents": sorted(listing.accents),
    }


def _cutting(solved: Solved, style: Style, progress: Progress) -> Iterator[Subject]:
    """Of every design its cutting plan, and what it costs beside other ways."""
    from pitchline.sheets.cutting_sheet import compared_list, cutting_lists, cutting_sheets
    from pitchline.story_cutting import plan_cuttings

    progress("cutting plans")
    cuttings = plan_cuttings(solved)
    if len(cuttings) > 1:
        yield Subject(listings=(compared_list({name: one.cutting for name, one in cuttings.items()}),))
    for name, planned in cuttings.items():
        need, plan = planned.cutting.need, planned.cutting.plan
        pages = tuple(sheet.page for sheet in cutting_sheets(name, need, plan, style))
        lists = tuple(cutting_lists(name, planned.cutting, {}, style, planned.others))
        yield Subject(((f"Cutting plan {name}", pages),), lists, tuple(planned.findings))


def _strength(solved: Solved, style: Style, progress: Progress) -> Iterator[Subject]:
    """Whether it will stand, and what it would take."""
    from pitchline.sheets.strength_chapter import strength_chapter

    progress("strength")
    yield _of_chapter(strength_chapter(solved, style))


def _making(solved: Solved, style: Style, progress: Progress) -> Iterator[Subject]:
    """What the workshop needs: saws and jigs, templates, layers for a router, the order of work, labels."""
    from pitchline.sheets.labels_chapter import labels_chapter
    from pitchline.sheets.layers_chapter import layers_chapter
    from pitchline.sheets.making_chapter import making_chapter
    from pitchline.sheets.order_chapter import order_chapter
    from pitchline.sheets.templates_chapter import templates_chapter
    from pitchline.solids.picture import axonometric
    from pitchline.solids.scene import eye_for, scene_of
    from pitchline.story_making import router_layers, work_out

    progress("workshop")
    workshop = work_out(solved)
    yield Subject(listings=tuple(_cut_lists(solved, style)))
    yield _of_chapter(making_chapter(solved, workshop, style))
    progress("3-D pictures")
    placed = {
        whole.id: (scene_of(whole.edges, [leg.parts for leg in whole.legs]), eye_for(whole.edges))
        for whole in solved.balustrades
    }
    seen = {
        name: (scene, axonometric(scene.parts, scene.around, eye), eye)
        for name, (scene, eye) in placed.items()
    }
    yield _of_chapter(order_chapter(workshop, seen, style))
    progress("making sheets")
    yield _of_chapter(layers_chapter(router_layers(solved), style))
    yield _of_chapter(templates_chapter(solved, workshop, style))
    yield _of_chapter(
        labels_chapter(solved, workshop, {name: scene for name, (scene, _) in placed.items()}, style)
    )


def _cut_lists(solved: Solved, style: Style) -> Iterator[Listing]:
    from pitchline.parts.explode import grouped
    from pitchline.sheets.families import families
    from pitchline.sheets.tables import cut_list, end_angles, marks_lists, tread_marks_list

    made = [(whole.id, whole.parts) for whole in solved.balustrades]
    made += [(rail.id, rail.parts) for rail in solved.wall_rails]
    for name, parts in made:
        groups = grouped(parts)
        yield cut_list(name, groups, {})
        yield end_angles(name, families(groups))
    for leg in solved.designs:
        yield from marks_lists(leg.design.id, leg.design, style.list_show, style.step)
        yield from tread_marks_list(leg.design.id, leg.design)


def _of_chapter(chapter: Chapter) -> Subject:
    documents = tuple((document.subject, document.pages) for document in chapter.documents)
    return Subject(documents, tuple(chapter.listings))


_SUBJECTS: Mapping[str, Callable[[Solved, Style, Progress], Iterable[Subject]]] = {
    "cutting": _cutting,
    "making": _making,
    "strength": _strength,
}
