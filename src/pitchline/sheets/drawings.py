"""Every drawing of a job, each authored once, at the largest standard scale that its sheet has room for."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial

from pitchline.design.model import Design
from pitchline.kit.drawing.marks import Drawing, bounds, scale_name
from pitchline.kit.drawing.scales import INCH_SCALES, ISO_SCALES
from pitchline.kit.drawing.sheet import (
    CAPTION_HEIGHT,
    DrawingPage,
    Field,
    Paper,
    PlacedView,
    drawing_field,
    place_in_rows,
)
from pitchline.kit.drawing.svg import Picture, write_svg
from pitchline.kit.units import Unit, show_length
from pitchline.parts.explode import Group
from pitchline.sheets.elevation import elevation
from pitchline.sheets.partviews import bevel_card, distinct_angles, families, part_drawing
from pitchline.sheets.plan import plan
from pitchline.sheets.sections import base_section, rail_section
from pitchline.sheets.stairview import stair_drawing
from pitchline.solids.drawn import picture_marks
from pitchline.solids.picture import Picture as Scene
from pitchline.stair.model import Flight, Side

GAP = 8.0
"""Paper mm between views."""

PLAN_HEIGHT = 90.0
"""Paper mm that the plan may be high, so that the sections below it keep a useful scale."""


@dataclass(frozen=True, slots=True)
class Style:
    """How the user wants drawings: lengths, scales, paper and projection."""

    unit: Unit
    paper: Paper
    first_angle: bool

    @property
    def inches(self) -> bool:
        """Whether the user works in inches."""
        return self.unit is Unit.INCH

    def show(self, mm: float) -> str:
        """A length on a drawing: whole millimetres without a point."""
        return self.list_show(mm) if self.inches else self.list_show(mm).removesuffix(".0")

    def list_show(self, mm: float) -> str:
        """A length in a list, where the decimals stand below each other."""
        return show_length(mm, self.unit)

    @property
    def scales(self) -> tuple[float, ...]:
        """Standard scales, largest drawing first."""
        return INCH_SCALES if self.inches else ISO_SCALES

    @property
    def step(self) -> float:
        """The division a rule is read to when marking: 1 mm or 1/16 in."""
        return 25.4 / 16 if self.inches else 1.0

    @property
    def list_paper(self) -> Paper:
        """The paper of lists and cards."""
        return "Letter" if self.paper == "Tabloid" else "A4"


@dataclass(frozen=True, slots=True)
class Drawn:
    """A drawing with its picture."""

    drawing: Drawing
    picture: Picture

    @property
    def view(self) -> tuple[Picture, str, str]:
        """Picture, caption and scale as a sheet takes them."""
        return self.picture, self.drawing.title, scale_name(self.drawing)


@dataclass(frozen=True, slots=True)
class Sheet:
    """A page with the drawings on it."""

    page: DrawingPage
    drawn: tuple[Drawn, ...]


def fitted(draw: Callable[[float], Drawing], width: float, height: float, scales: Sequence[float]) -> Drawn:
    """A drawing at the largest scale whose picture finds room (paper mm); at the smallest if none does."""
    for scale in scales:
        drawing = draw(scale)
        size = drawing.bounds()
        if size.width / scale > width or size.height / scale > height:
            continue
        picture = write_svg(drawing)
        if picture.width_mm <= width and picture.height_mm <= height:
            return Drawn(drawing, picture)
    drawing = draw(scales[-1])
    return Drawn(drawing, write_svg(drawing))


def _room(style: Style, notes: tuple[str, ...]) -> Field:
    return drawing_field(style.paper, landscape=True, notes=notes)


STAIR_NOTES = (
    "Sizes run from one datum: along from nosing 1, heights from the finished lower floor. Never step off.",
    "Coverings still to be laid are included.",
)
ELEVATION_NOTES = (
    "Heights are plumb, from the finished nosing to the TOP of the handrail.",
    "Marks along the foot are centres of the uprights on the base rail, level, all from the face of the lower end.",
    "Every rail end has its own angles: see the part drawings. Fit the least forgiving end first.",
    "A design aid: check with your building authority; strength needs an engineer or a test.",
)


def stair_sheet(flight: Flight, side: Side, style: Style) -> Sheet:
    """The stair as surveyed."""
    field = _room(style, STAIR_NOTES)
    drawn = fitted(
        lambda scale: stair_drawing(flight, side, style.show, scale),
        field.width,
        field.height - CAPTION_HEIGHT,
        style.scales,
    )
    return _sheet(f"Flight {flight.id} as surveyed", (drawn,), style, STAIR_NOTES)


def elevation_sheet(design: Design, scene: Scene, style: Style) -> Sheet:
    """The balustrade in elevation, and beside it, where there is room, as it looks in space."""
    field = _room(style, ELEVATION_NOTES)
    drawn = fitted(
        lambda scale: elevation(design, style.show, scale),
        field.width,
        field.height - CAPTION_HEIGHT,
        style.scales,
    )
    sheet = _sheet(f"Design {design.id}: elevation", (drawn,), style, ELEVATION_NOTES)
    left = field.width - drawn.picture.width_mm - GAP
    if left < LEAST_SCENE:
        return sheet
    beside = _in_space(design, scene, left, field.height - CAPTION_HEIGHT)
    x = field.x + field.width - beside.width_mm
    view = PlacedView(beside, x, field.y, "In space, not to scale")
    return replace(sheet, page=replace(sheet.page, views=(*sheet.page.views, view)))


LEAST_SCENE = 60.0
"""Paper mm of width below which a picture in space is of no use."""


def _in_space(design: Design, scene: Scene, width: float, height: float) -> Picture:
    """The picture in space as large as the room allows, without a scale."""
    marks = picture_marks(scene)
    size = bounds(marks)
    margins = 6.0
    scale = max(size.width / (width - margins), size.height / (height - margins))
    picture = write_svg(Drawing(f"{design.id}-in-space", "In space", scale, marks))
    return replace(picture, scale=None, extents=None)


def plan_sheet(design: Design, style: Style) -> Sheet:
    """Plan and the sections through both rails."""
    field = _room(style, ())
    above = fitted(lambda scale: plan(design, style.show, scale), field.width, PLAN_HEIGHT, style.scales)
    left = field.height - above.picture.height_mm - 2 * CAPTION_HEIGHT - GAP
    half = field.width / 2 - GAP
    sections = [
        fitted(partial(draw, design, style.show), half, left, style.scales)
        for draw in (rail_section, base_section)
    ]
    alike = (max(drawn.drawing.scale for drawn in sections),)
    sections = [
        fitted(partial(draw, design, style.show), half, left, alike) for draw in (rail_section, base_section)
    ]
    rows = place_in_rows((above.view,), field, GAP)
    used = above.picture.height_mm + CAPTION_HEIGHT + GAP
    below = Field(field.x, field.y + used, field.width, field.height - used, ())
    views = (*rows, *place_in_rows(tuple(d.view for d in sections), below, GAP))
    page = DrawingPage(f"Design {design.id}: plan and sections", views, (), style.paper)
    return Sheet(page, (above, *sections))


def part_sheets(design: Design, groups: Sequence[Group], style: Style) -> Iterator[Sheet]:
    """The parts, as many to a sheet as it has room for."""
    field = _room(style, ())
    waiting: list[Drawn] = []
    number = 0
    for index, family in enumerate(families(groups), start=1):
        drawing = part_drawing(
            family,
            style.show,
            f"{design.id}-part-{index:02d}-{family.groups[0].mark}",
            inches=style.inches,
            first_angle=style.first_angle,
        )
        drawn = Drawn(drawing, write_svg(drawing))
        if waiting and not _finds_room([*waiting, drawn], field):
            number += 1
            yield _part_sheet(design, waiting, style, number)
            waiting = []
        waiting.append(drawn)
    if waiting:
        yield _part_sheet(design, waiting, style, number + 1)


def _finds_room(drawn: Sequence[Drawn], field: Field) -> bool:
    try:
        place_in_rows(tuple(d.view for d in drawn), field, GAP)
    except ValueError:
        return False
    return True


def _part_sheet(design: Design, drawn: Sequence[Drawn], style: Style, number: int) -> Sheet:
    return _sheet(f"Design {design.id}: parts {number}", tuple(drawn), style, ())


def _sheet(title: str, drawn: tuple[Drawn, ...], style: Style, notes: tuple[str, ...]) -> Sheet:
    field = _room(style, notes)
    views = place_in_rows(tuple(d.view for d in drawn), field, GAP)
    return Sheet(DrawingPage(title, views, notes, style.paper), drawn)


CARD_NOTES = (
    "Print at 100 % and check the scale bar. Set the bevel against the base line and the thick line: no reading, no "
    "scale error.",
    "Angles within 0.05 degrees share one card.",
)
CARDS_A_SHEET = 6


def angle_sheets(design: Design, groups: Sequence[Group], style: Style) -> Iterator[Sheet]:
    """Full-size angles to set a sliding bevel by."""
    angles = distinct_angles(groups)
    field = drawing_field(style.list_paper, landscape=False, notes=CARD_NOTES)
    for number, first in enumerate(range(0, len(angles), _cards(field)), start=1):
        card = bevel_card(angles[first : first + _cards(field)], f"{design.id}-angles-{number}")
        drawn = Drawn(card, write_svg(card))
        views = place_in_rows((drawn.view,), field, GAP)
        title = f"Design {design.id}: full-size angles {number}"
        yield Sheet(DrawingPage(title, views, CARD_NOTES, style.list_paper, landscape=False), (drawn,))


def _cards(field: Field) -> int:
    """How many cards a sheet holds: two side by side, rows of 80 mm."""
    return min(CARDS_A_SHEET, 2 * int((field.height - CAPTION_HEIGHT) // 82.0))
