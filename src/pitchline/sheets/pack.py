"""The pack: everything a maker takes to the bench, written whole or not at all.

PDF drawings and lists, full-size angles, DXF and SVG of each drawing, CSV and workbook of the lists, GLB of the
assembly, findings as text and JSON, and a front page that shows the pictures first.
"""

import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pitchline.catalogue.timber import load_timber
from pitchline.design.choices import choices_of
from pitchline.kit.drawing.dxf import write_dxf
from pitchline.kit.drawing.pages import compile_pdf
from pitchline.kit.drawing.sheet import Page, TitleBlock
from pitchline.kit.errors import InputError
from pitchline.kit.finding import Finding
from pitchline.kit.geometry.frames import Vec3
from pitchline.kit.naming import safe_name
from pitchline.parts.explode import Group, fixings_of_legs, grouped
from pitchline.sheets.as_built_chapter import as_built_chapters
from pitchline.sheets.chapter import Chapter, PackFile
from pitchline.sheets.choicetable import choices_list
from pitchline.sheets.cutting_sheet import compared_list, cutting_lists, cutting_sheets
from pitchline.sheets.drawings import (
    Drawn,
    Sheet,
    Style,
    angle_sheets,
    edge_sheets,
    elevation_sheet,
    openings_sheet,
    part_sheets,
    plan_sheet,
    stair_sheet,
)
from pitchline.sheets.families import families
from pitchline.sheets.files import MARKER, csv_text, whole_folder, workbook, write_all
from pitchline.sheets.index import index_page
from pitchline.sheets.infill_lists import infill_lists
from pitchline.sheets.labels_chapter import labels_chapter
from pitchline.sheets.layers_chapter import layers_chapter
from pitchline.sheets.listpages import list_pages
from pitchline.sheets.making_chapter import making_chapter
from pitchline.sheets.order_chapter import Seen, order_chapter
from pitchline.sheets.rulesheet import rule_sheet
from pitchline.sheets.step_chapter import step_chapter
from pitchline.sheets.strength_chapter import strength_chapter
from pitchline.sheets.tables import (
    Listing,
    cut_list,
    end_angles,
    findings_list,
    fixings_list,
    heights_list,
    marks_lists,
    openings_list,
    readings_list,
    stair_list,
    tread_marks_list,
)
from pitchline.sheets.templates_chapter import templates_chapter
from pitchline.sheets.templates_pages import print_of
from pitchline.sheets.wallrailsheets import wall_rail_sheets
from pitchline.sheets.windersheet import winder_sheet
from pitchline.solids.drawn import picture_svg
from pitchline.solids.glb import scene_glb
from pitchline.solids.picture import Picture, axonometric, eye_direction
from pitchline.solids.scene import Scene, eye_for, scene_of
from pitchline.stair.pitch import nosing_names
from pitchline.story import Solved, SolvedBalustrade, SurveyedFlight
from pitchline.story_cutting import NO_CUTTINGS, Cuttings
from pitchline.story_making import Workshop, router_layers, work_out

Progress = Callable[[str], None]
More = Callable[[Mapping[str, Picture]], Sequence[tuple[PackFile, bytes]]]
"""What makes further files of a pack: it is given each design's picture in space."""


@dataclass(frozen=True, slots=True)
class _Contents:
    """Everything that goes into a pack besides its front page, in the order the page names it."""

    files: tuple[tuple[PackFile, bytes], ...]
    pictures: Mapping[str, Sequence[PackFile]]
    scenes: Mapping[str, Picture]


def write_pack(
    solved: Solved,
    folder: Path,
    document: Mapping[str, Any],
    progress: Progress = lambda _: None,
    cuttings: Cuttings = NO_CUTTINGS,
    workshop: Workshop | None = None,
    more: More = lambda _: (),
) -> tuple[str, ...]:
    """Write the whole pack of a solved job; returns the names of its files. Without ``workshop`` it is worked out.

    ``more`` makes files that go along, from the pictures in space.

    OutputError when the folder holds something else or cannot be written; nothing half written stays behind.
    """
    style = Style(solved.job.unit, solved.job.paper, solved.job.projection == "first")
    with whole_folder(folder) as beside:
        making = work_out(solved, cuttings) if workshop is None else workshop
        contents = _contents(solved, document, style, progress, cuttings, making)
        held = (*contents.files, *more(contents.scenes))
        names = write_all(beside, ((file.name, content) for file, content in held))
        progress("front page")
        listed = [file for file, _ in held]
        page = index_page(solved, listed, dict(contents.pictures), style.show, cuttings)
        marker = {"program": "pitchline", "files": [*names, "index.html"]}
        front = (("index.html", page.encode()), (MARKER, json.dumps(marker, indent=1).encode()))
        return (*write_all(beside, front), *names)


def _contents(
    solved: Solved,
    document: Mapping[str, Any],
    style: Style,
    progress: Progress,
    cuttings: Cuttings,
    workshop: Workshop,
) -> _Contents:
    groups = {whole.id: grouped(whole.parts) for whole in solved.balustrades}
    groups |= {rail.id: grouped(rail.parts) for rail in solved.wall_rails}
    progress("3-D pictures")
    placed = {whole.id: _placed(whole) for whole in solved.balustrades}
    scenes = {
        whole.id: axonometric(placed[whole.id].parts, placed[whole.id].around, _eye(whole))
        for whole in solved.balustrades
    }
    seen = {whole.id: (placed[whole.id], scenes[whole.id], _eye(whole)) for whole in solved.balustrades}
    chapters = tuple(_chapters(solved, workshop, seen, style))
    listings = [*_listings(solved, groups, style), *_cutting_lists(cuttings, groups, style)]
    listings += [listing for chapter in chapters for listing in chapter.listings]
    with ThreadPoolExecutor(max_workers=1) as typesetter:
        lists = _typeset(
            typesetter,
            tuple(list_pages([one for one in listings if one.on_paper], style)),
            _title(solved, "Lists"),
        )
        progress("drawing")
        upright = print_of(workshop.shop.printer, style).stretch(landscape=False)
        angles = [s for name, alike in groups.items() for s in angle_sheets(name, alike, style, upright)]
        sheets = list(_sheets(solved, groups, scenes, style))
        for name, planned in cuttings.items():
            sheets += cutting_sheets(name, planned.cutting.need, planned.cutting.plan, style)
        drawings = _typeset(typesetter, tuple(s.page for s in sheets), _title(solved, "Drawings"))
        cards = _typeset(typesetter, tuple(s.page for s in angles), _title(solved, "Angles"))
        ruled = tuple(rule_sheet(design, solved.rules, style) for design in solved.designs)
        rules = _typeset(typesetter, ruled, _title(solved, "Rules"))
        added = [
            (document.file, _typeset(typesetter, document.pages, _title(solved, document.subject)))
            for chapter in chapters
            for document in chapter.documents
        ]
        progress("DXF and SVG")
        drawn = [drawn for sheet in (*sheets, *angles) for drawn in sheet.drawn]
        drawn += [one for chapter in chapters for one in chapter.drawn]
        pictures, picture_files = _pictures(scenes, sheets)
        drawing_files = list(_drawing_files(drawn))
        progress("lists and models")
        others = [*_list_files(listings, style), *_models(solved, placed), *_text_files(solved, document)]
        progress("typesetting")
        usual = zip(PDF_FILES, (drawings, lists, rules, cards), strict=True)
        made = [(file, pdf.result()) for file, pdf in (*usual, *added)]
    whole = [(file, pdf) for file, pdf in made if pdf]
    whole += [file for chapter in chapters for file in chapter.files]
    return _Contents((*whole, *others, *picture_files, *drawing_files), pictures, scenes)


def _chapters(
    solved: Solved, workshop: Workshop, seen: Mapping[str, Seen], style: Style
) -> Iterator[Chapter]:
    """The chapters beside the drawings, each of one subject."""
    yield strength_chapter(solved, style)
    yield step_chapter(solved)
    yield from as_built_chapters(solved, style)
    yield making_chapter(solved, workshop, style)
    yield templates_chapter(solved, workshop, style)
    yield layers_chapter(router_layers(solved), style)
    yield order_chapter(workshop, seen, style)
    yield labels_chapter(solved, workshop, {name: scene for name, (scene, _, _) in seen.items()}, style)


PDF_FILES = (
    PackFile("drawings.pdf", "All drawings to scale: stair, elevations, openings, plans, sections, parts"),
    PackFile("lists.pdf", "Cut lists, end angles, running marks, heights, openings, readings, findings"),
    PackFile("rules.pdf", "Each design against the rules: every check with its limit, clause and standing"),
    PackFile("full-size-angles.pdf", "Angles to set a sliding bevel by; print at 100 %"),
)


def _typeset(typesetter: ThreadPoolExecutor, pages: tuple[Page, ...], title: TitleBlock) -> Future[bytes]:
    """Sheets being typeset while other files are made; nothing where there are no sheets."""
    return typesetter.submit(lambda: compile_pdf(pages, title) if pages else b"")


def _title(solved: Solved, subject: str) -> TitleBlock:
    job = solved.job
    return TitleBlock(
        job.title, subject, job.drawn_by, job.date, units=job.unit.value, projection=job.projection
    )


def _sheets(
    solved: Solved, groups: Mapping[str, Sequence[Group]], scenes: Mapping[str, Picture], style: Style
) -> Iterator[Sheet]:
    sides = {design.design.flight.id: design.design.side for design in solved.designs}
    for surveyed in solved.flights:
        if surveyed.flight.id in sides and not surveyed.flight.is_level:
            yield stair_sheet(surveyed.flight, sides[surveyed.flight.id], style)
    for known in solved.winders:
        yield winder_sheet(known.winders, solved.rules, style)
    for whole in solved.balustrades:
        scene, alone = scenes[whole.id], len(whole.legs) == 1
        if not alone:
            for edge in whole.edges:
                yield from edge_sheets(edge, scene, style)
        for leg in whole.legs:
            yield elevation_sheet(leg.design, scene if alone else None, style)
            yield openings_sheet(leg.design, leg.report, style)
            yield plan_sheet(leg.design, style)
        yield from part_sheets(whole.id, groups[whole.id], style)
    for rail in solved.wall_rails:
        yield from wall_rail_sheets(rail.rail, rail.parts, style)
        yield from part_sheets(rail.id, groups[rail.id], style, "Wall rail")


def _listings(solved: Solved, groups: Mapping[str, Sequence[Group]], style: Style) -> Iterator[Listing]:
    for whole in solved.balustrades:
        yield cut_list(whole.id, groups[whole.id], _densities(groups[whole.id]))
        yield end_angles(whole.id, families(groups[whole.id]))
        fixings = fixings_of_legs(whole.designs)
        if fixings:
            yield fixings_list(whole.id, fixings, style.list_show)
        for leg in whole.legs:
            name = leg.design.id
            yield from marks_lists(name, leg.design, style.list_show, style.step)
            yield from tread_marks_list(name, leg.design)
            yield from infill_lists(name, leg.design)
            choices = choices_of(leg.design.bay, leg.design.brief, style.unit)
            if choices:
                yield choices_list(name, choices)
            yield heights_list(name, leg.report)
            yield openings_list(name, leg.report)
    for rail in solved.wall_rails:
        yield cut_list(rail.id, groups[rail.id], _densities(groups[rail.id]))
        yield end_angles(rail.id, families(groups[rail.id]))
        yield fixings_list(rail.id, rail.fixings, style.list_show)
    for surveyed in solved.flights:
        yield from _survey_lists(surveyed)
    for number, (title, findings) in enumerate(solved.chapters(), start=1):
        yield findings_list(f"findings-{number}", f"Findings. {title}", findings, style.list_show)


def _cutting_lists(
    cuttings: Cuttings, groups: Mapping[str, Sequence[Group]], style: Style
) -> Iterator[Listing]:
    if len(cuttings) > 1:
        yield compared_list({name: planned.cutting for name, planned in cuttings.items()})
    for name, planned in cuttings.items():
        densities = _densities(groups[name])
        yield from cutting_lists(name, planned.cutting, densities, style, planned.others)


def _survey_lists(surveyed: SurveyedFlight) -> Iterator[Listing]:
    flight = surveyed.flight
    names = nosing_names(len(flight.nosings))
    sigmas = [(flight.sigma({name: 1.0}), flight.sigma({}, {name: 1.0})) for name in names]
    yield stair_list(flight, sigmas)
    yield readings_list(flight.id, surveyed.adjusted)


def _densities(groups: Sequence[Group]) -> dict[str, float]:
    """Density of each material in kg/m3, where the catalogue has it."""
    found: dict[str, float] = {}
    for material in dict.fromkeys(group.part.material for group in groups):
        try:
            found[material] = load_timber(material).density.value
        except InputError:
            continue
    return found


def _pictures(
    scenes: Mapping[str, Picture], sheets: Sequence[Sheet]
) -> tuple[dict[str, Sequence[PackFile]], list[tuple[PackFile, bytes]]]:
    """The pictures of each design: the elevation (written with the drawings) and the view in space."""
    pictures: dict[str, Sequence[PackFile]] = {}
    made: list[tuple[PackFile, bytes]] = []
    names = [drawn.drawing.id for sheet in sheets for drawn in sheet.drawn]
    for name, scene in scenes.items():
        elevation = next((n for n in names if _shows_whole(n, name)), f"{name}-elevation")
        space = PackFile(
            f"drawings/{safe_name(name)}-in-space.svg", f"Design {name} seen from above, in space"
        )
        made.append((space, picture_svg(scene, f"Design {name} in space").encode()))
        shown = [PackFile(f"drawings/{safe_name(elevation)}.svg", f"Elevation of design {name}")]
        pictures[name] = [*(shown if elevation in names else []), space]
    for ending, what in BESIDE:
        for drawing in (name for name in names if name.endswith(ending)):
            of = drawing.removesuffix(ending)
            pictures[of] = [PackFile(f"drawings/{safe_name(drawing)}.svg", f"{what} {of}")]
    return pictures, made


BESIDE = (("-wall-elevation", "Elevation of wall rail"), ("-winders", "Plan of winders"))
"""How the drawings end that stand for a wall rail or winders on the front page, and what they show."""


def _shows_whole(drawing: str, design: str) -> bool:
    """Whether a drawing is the unrolled elevation of an edge of a design."""
    return drawing.startswith(f"{design} ") and drawing.endswith("-unrolled")


def _placed(whole: SolvedBalustrade) -> Scene:
    return scene_of(whole.edges, [leg.parts for leg in whole.legs])


def _eye(whole: SolvedBalustrade) -> Vec3:
    """A single leg is seen as its elevation is; an edge that turns, from the side most of it is open to."""
    legs = whole.designs
    return eye_direction(legs[0].side) if len(legs) == 1 else eye_for(whole.edges)


def _list_files(listings: Sequence[Listing], style: Style) -> Iterator[tuple[PackFile, bytes]]:
    book = workbook(listings, style.list_show, inches=style.inches)
    yield PackFile("lists.xlsx", "Every list as a workbook"), book
    for listing in listings:
        file = PackFile(f"lists/{safe_name(listing.id)}.csv", listing.title)
        yield file, csv_text(listing, style.list_show).encode("utf-8-sig")


def _models(solved: Solved, placed: Mapping[str, Scene]) -> Iterator[tuple[PackFile, bytes]]:
    for name, scene in placed.items():
        file = PackFile(f"{safe_name(name)}.glb", f"Design {name} in 3-D (glTF, metres), one node a part")
        yield file, scene_glb(f"balustrade {name}", scene.parts, scene.around)
    for rail in solved.wall_rails:
        file = PackFile(
            f"{safe_name(rail.id)}.glb", f"Wall rail {rail.id} in 3-D (glTF, metres), one node a part"
        )
        yield file, scene_glb(f"wall rail {rail.id}", rail.parts, ())


def _text_files(solved: Solved, document: Mapping[str, Any]) -> Iterator[tuple[PackFile, bytes]]:
    yield PackFile("findings.txt", "Every finding in words"), _findings_text(solved).encode()
    result = json.dumps(document, ensure_ascii=False, allow_nan=False, indent=1)
    yield PackFile("result.json", "The whole result for other programs (pitchline-result/1)"), result.encode()
    if solved.job.path is not None:
        yield PackFile("job.toml", "The job file this pack was made from"), solved.job.path.read_bytes()
    if solved.job.rack is not None:
        yield PackFile("rack.toml", "The shop's rack as it was planned from"), solved.job.rack.read_bytes()


def _findings_text(solved: Solved) -> str:
    lines = [solved.job.title, f"Rules: {solved.rules.title}", ""]
    for title, findings in solved.chapters():
        lines += [title, *map(_line, findings), ""]
    lines.append("A design aid: nothing here is an approval; ask your building authority and an engineer.")
    return "\n".join(lines) + "\n"


def _line(finding: Finding) -> str:
    rule = (
        "" if finding.rule is None else f" [{finding.rule.id} {finding.rule.clause}, {finding.rule.status}]"
    )
    remedy = "" if finding.remedy is None else f" {finding.remedy}"
    return f"  {finding.verdict.value.upper():7} {finding.where}: {finding.text}{remedy}{rule}"


def _drawing_files(drawn: Sequence[Drawn]) -> Iterator[tuple[PackFile, bytes]]:
    for one in drawn:
        name = safe_name(one.drawing.id)
        yield PackFile(f"drawings/{name}.svg", f"{one.drawing.title}, exact size"), one.picture.svg.encode()
        yield (
            PackFile(f"drawings/{name}.dxf", f"{one.drawing.title}, full size in model space"),
            write_dxf(one.drawing),
        )
