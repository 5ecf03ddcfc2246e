"""Full-size templates on the printer's paper: small ones together, large ones in tiles, long ones in strips."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from enum import Enum

from pitchline.kit.drawing.full_size import (
    Print,
    fits_one_page,
    map_marks,
    measuring_page,
    packed_pages,
    strip_pages,
    strip_plan,
    tiled_pages,
    tiling_of,
)
from pitchline.kit.drawing.marks import Anchor, Drawing, Label, Mark, Pen, Stroke, bounds
from pitchline.kit.drawing.sheet import DrawingPage, Page, Section, Table, TextPage
from pitchline.kit.drawing.svg import Picture, write_svg
from pitchline.making.jigs import JigView
from pitchline.making.shop import BAR_INCHES, BAR_MM, Printer
from pitchline.making.templates import Template
from pitchline.sheets.drawings import Style
from pitchline.sheets.looking import Show
from pitchline.sheets.making_jigs import size_marks

MOST_TILES = 12
"""Pages beyond which a large straight-edged outline is printed as its corners."""
MAP_WIDE, MAP_HIGH = 56.0, 40.0
"""Room of a map of pages, paper mm."""

FOLD = (
    "Templates of ends show two faces of the piece: fold them along the dashed line, lay the fold on the arris, "
    "tape, and prick or knife the red line through. The wood stays on the side of the names of the faces."
)
"""How an end's template is used."""

HOW_TO_PRINT = (
    "Print at 100 %: no 'fit to page', no 'shrink to printable area'. These files ask for it; printers may not "
    "listen.",
    "Measure both bars on every sheet with a steel rule. If a bar is off, do not use the sheet.",
    "If your printer is off, measure the two bars on the page 'Measure the printer', write what you find in the "
    "job file and make the pack again; all templates are then drawn so much smaller or larger, each direction by "
    "itself.",
    "Sheets of one template overlap: cut along one edge, lay cross on cross against a light, tape. Strips are "
    "joined end to end in the same way on a straight lath.",
    "Paper grows and shrinks by about 1 mm in 500 with the moisture of the air: print, join and use on the same "
    "day, and trust the written sizes before the paper.",
    FOLD,
)  # fmt: skip
"""What stands on the first page."""


def print_of(printer: Printer, style: Style) -> Print:
    """How templates are printed for this printer."""
    across, along = printer.stretch
    bar, words = (BAR_INCHES, "4 in") if style.inches else (BAR_MM, "100 mm")
    return Print(printer.paper, across, along, bar, words)


def template_pages(
    title: str, templates: dict[str, tuple[Template, ...]], printer: Printer, style: Style
) -> Iterator[Page]:
    """The first page with the list and the maps, the page to measure the printer by, then the templates."""
    if not any(templates.values()):
        return
    printed = print_of(printer, style)
    notes = _notes(printed)
    whole = {name: [_drawing(name, one, style.show) for one in found] for name, found in templates.items()}
    yield _first_page(title, templates, whole, printed, notes, style)
    yield measuring_page(printed, (_measuring_note(printed),))
    for name, drawings in whole.items():
        yield from _pages(name, list(zip(templates[name], drawings, strict=True)), printed, notes, style.show)


def _notes(printed: Print) -> tuple[str, ...]:
    said = f"Print at 100 %. Both bars must measure {printed.bar_words}."
    if not printed.is_true:
        said += (
            f" Drawn {100.0 * printed.across:.2f} % along the short edge and {100.0 * printed.along:.2f} % along "
            "the long edge for the printer of the job file."
        )
    return (said,)


def _measuring_note(printed: Print) -> str:
    return (
        "These two bars are never corrected. Print this page at 100 %, measure them, and write in the job file "
        "under [shop.printer]: bar_across for the one along the short edge, bar_along for the one along the long "
        f"edge (left out: {printed.bar_words})."
    )


def _drawing(name: str, template: Template, show: Show) -> Drawing:
    title = f"{template.id} {template.title}"
    marks = tuple(_strip_marks(template.view, show) if template.strip else _marks(template.view, show))
    return Drawing(f"{name}-{template.id}", title, 1.0, marks)


def _marks(view: JigView, show: Show) -> Iterator[Mark]:
    for outline in view.outlines:
        yield Stroke(outline, Pen.OUTLINE, closed=True)
    for a, b in view.hidden:
        yield Stroke((a, b), Pen.HIDDEN)
    for mark in view.marks:
        if mark.a != mark.b:
            yield Stroke((mark.a, mark.b), Pen.ACCENT if mark.saw else Pen.THIN)
        if mark.words:
            at, anchor = (
                (mark.a, Anchor.MIDDLE) if mark.a == mark.b else (_top(mark.a, mark.b), Anchor.BASE_LEFT)
            )
            yield Label(at, mark.words, 2.2, anchor)
    yield from size_marks(view, lambda point: point, show)


def _top(a: tuple[float, float], b: tuple[float, float]) -> tuple[float, float]:
    high = max(a, b, key=lambda point: point[1])
    return high[0] + 1.5, high[1] + 1.5


def _strip_marks(view: JigView, show: Show) -> Iterator[Mark]:
    """A story stick: its edges, its marks, and beside each the name and how far it is from the datum."""
    for outline in view.outlines:
        yield Stroke(outline, Pen.OUTLINE, closed=True)
    datum = view.marks[0].a[0]
    for mark in view.marks:
        yield Stroke((mark.a, mark.b), Pen.ACCENT if mark.words else Pen.THIN)
        if mark.words:
            words = f"{mark.words}  {show(mark.a[0] - datum)}" if mark.a[0] > datum else mark.words
            yield Label((mark.a[0] + 3.2, mark.a[1] + 1.5), words, 2.0, Anchor.BASE_LEFT, 90.0)


def _pages(
    name: str, pairs: Sequence[tuple[Template, Drawing]], printed: Print, notes: tuple[str, ...], show: Show
) -> Iterator[DrawingPage]:
    title = f"{name}: templates"
    sorted_out: dict[_Place, list[Drawing]] = {place: [] for place in _Place}
    for template, drawing in pairs:
        place = _place(template, drawing, printed, notes)
        if place is _Place.CORNERS:
            for corner in (_corner(name, template, view, show) for view in template.corners):
                sorted_out[_room_for(corner, printed, notes)].append(corner)
        else:
            sorted_out[place].append(drawing)
    yield from packed_pages(sorted_out[_Place.UPRIGHT], title, printed, notes)
    yield from packed_pages(sorted_out[_Place.LYING], f"{title}, long", printed, notes, landscape=True)
    for drawing in sorted_out[_Place.TILES]:
        yield from tiled_pages(drawing, printed, notes)
    yield from strip_pages(sorted_out[_Place.STRIP], f"{title}, strips", printed, notes)


class _Place(Enum):
    """Where a template is printed."""

    UPRIGHT = "on an upright page with others"
    LYING = "on a lying page with others"
    TILES = "in tiles"
    CORNERS = "as its corners"
    STRIP = "in lengths"


def _place(template: Template, drawing: Drawing, printed: Print, notes: tuple[str, ...]) -> _Place:
    if template.strip:
        return _Place.STRIP
    room = _room_for(drawing, printed, notes)
    if room is _Place.TILES and template.corners and tiling_of(drawing, printed, notes).count > MOST_TILES:
        return _Place.CORNERS
    return room


def _room_for(drawing: Drawing, printed: Print, notes: tuple[str, ...]) -> _Place:
    """The smallest place that has room for a drawing."""
    if fits_one_page(drawing, printed, notes):
        return _Place.UPRIGHT
    return _Place.LYING if fits_one_page(drawing, printed, notes, landscape=True) else _Place.TILES


def _corner(name: str, template: Template, view: JigView, show: Show) -> Drawing:
    title = f"{template.id} {template.title}, {view.name}"
    return Drawing(f"{name}-{template.id}-{view.name.split()[1]}", title, 1.0, tuple(_marks(view, show)))


def _first_page(
    title: str,
    templates: dict[str, tuple[Template, ...]],
    whole: dict[str, list[Drawing]],
    printed: Print,
    notes: tuple[str, ...],
    style: Style,
) -> TextPage:
    sections = [Section("How to print", (), HOW_TO_PRINT)]
    for name, drawings in whole.items():
        if drawings:
            rows = tuple(
                (template.id, template.title, *_how(template, drawing, printed, notes))
                for template, drawing in zip(templates[name], drawings, strict=True)
            )
            table = Table(("", "template", "how", "pages"), rows, widths=(0, None, 52.0, MAP_WIDE))
            sections.append(Section(f"{name}", tables=(table,)))
    return TextPage(title, tuple(sections), "Letter" if printed.paper == "Letter" else "A4")


def _how(
    template: Template, drawing: Drawing, printed: Print, notes: tuple[str, ...]
) -> tuple[str, str | Picture]:
    """How a template is used, and its pages: in words, or a map of the tiles."""
    place = _place(template, drawing, printed, notes)
    if place is _Place.STRIP:
        plan = strip_plan(drawing, printed, notes)
        return template.words, f"in {plan.count} lengths to join"
    if place is _Place.CORNERS:
        return template.words, f"its {len(template.corners)} corners, one by one"
    return template.words, _map(drawing, printed, notes) if place is _Place.TILES else place.value


def _map(drawing: Drawing, printed: Print, notes: tuple[str, ...]) -> Picture:
    marks = map_marks(drawing, printed, notes)
    box = bounds(marks)
    scale = max(1.0, math.ceil(max(box.width / (MAP_WIDE - 6.0), box.height / MAP_HIGH)))
    picture = write_svg(Drawing(f"{drawing.id}-map", "Map of the pages", scale, marks))
    return replace(picture, scale=None, extents=None)
