"""Every drawing of a job, each authored once, at the largest standard scale that its sheet has room for."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial

from pitchline.checks.run import CheckReport
from pitchline.design.balustrade import Balustrade
from pitchline.design.model import Design
from pitchline.kit.drawing.full_size import stretched
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
from pitchline.kit.drawing.svg import Picture, picture_size, write_svg
from pitchline.kit.units import Unit, show_length
from pitchline.parts.explode import Group
from pitchline.sheets.arrange import GAP, View, in_columns, in_rows
from pitchline.sheets.bevelcards import bevel_card, distinct_angles
from pitchline.sheets.edgeviews import edge_plan, named, unrolled
from pitchline.sheets.elevation import elevation
from pitchline.sheets.families import families
from pitchline.sheets.gapview import gap_drawing, neighbours
from pitchline.sheets.listview import list_picture
from pitchline.sheets.openingsview import openings_drawing, pressing
from pitchline.sheets.partviews import part_drawing
from pitchline.sheets.plan import plan
from pitchline.sheets.schedule import schedule
from pitchline.sheets.sections import lower_section, rail_section
from pitchline.sheets.stairview import stair_drawing
from pitchline.sheets.stepview import step_drawing, tread_to_show
from pitchline.solids.drawn import picture_marks
from pitchline.solids.picture import Picture as Scene
from pitchline.stair.model import Flight, Side

PLAN_HEIGHT = 90.0
"""Paper mm that the plan may be high, so that the sections below it keep a useful scale."""


METRIC_SCALES = tuple(sorted((*ISO_SCALES, 25)))
"""1:25 as well, an intermediate scale as ISO 5455 allows where the next smaller one would waste the sheet."""


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
        return INCH_SCALES if self.inches else METRIC_SCALES

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
    drawing = at_fitting_scale(draw, width, height, scales)
    return Drawn(drawing, write_svg(drawing))


def at_fitting_scale(
    draw: Callable[[float], Drawing], width: float, height: float, scales: Sequence[float]
) -> Drawing:
    """As `fitted`, without its picture."""
    for scale in scales:
        drawing = draw(scale)
        size = drawing.bounds()
        if size.width / scale > width or size.height / scale > height:
            continue
        wide, high = picture_size(drawing)
        if wide <= width and high <= height:
            return drawing
    return draw(scales[-1])


def _room(style: Style, notes: tuple[str, ...]) -> Field:
    return drawing_field(style.paper, landscape=True, notes=notes)


STAIR_NOTES = (
    "Sizes run from one datum: along from nosing 1, heights from the finished lower floor. Never step off.",
    "Coverings still to be laid are included.",
)
ELEVATION_NOTES = (
    "Heights are plumb, from the finished nosing to the TOP of the handrail.",
    "Marks along the foot are centres of the uprights, level, all from the face of the lower end.",
    "Every rail end has its own angles: see the part drawings. Fit the least forgiving end first.",
    "A design aid: check with your building authority; strength needs an engineer or a test.",
)


EDGE_NOTES = (
    "Unrolled: every leg lies in one plane, so sizes along a leg are true, and those across a turn are not.",
    "Corners are where the middle lines of two legs meet: the axis of a newel, or the mitre of the rails.",
    "Heights are plumb, from the finished nosing or floor to the TOP of the handrail.",
)


OPENING_NOTES = (
    "Heights are plumb, from the finished nosing to the TOP of the handrail; ± is the expanded uncertainty (k = 2).",
    "A ball is the largest that passes its opening, drawn at its place; shown are the openings nearest their limits.",
    "All openings and all heights stand in the lists.",
)


def stair_sheet(flight: Flight, side: Side, style: Style) -> Sheet:
    """The stair as surveyed, and beside it the sizes of its steps where there is room."""
    field = _room(style, STAIR_NOTES)
    drawn = fitted(
        lambda scale: stair_drawing(flight, side, style.show, scale),
        field.width,
        field.height - CAPTION_HEIGHT,
        style.scales,
    )
    title = f"Flight {flight.id} as surveyed"
    return _with_table(title, (drawn,), _steps_table(flight, style), field, style, STAIR_NOTES)


def _steps_table(flight: Flight, style: Style) -> View:
    rows = [
        (name, show(rise), show(going) if going is not None else "", show(u), show(z))
        for name, rise, going, (u, z) in zip(
            flight.nosing_names, flight.rises, (*flight.goings, None), flight.nosings, strict=True
        )
        for show in (style.list_show,)
    ]
    headings = ("nosing", "rise below", "going above", "along", "height")
    return list_picture(f"{flight.id}-steps", headings, rows), "Rises and goings", ""


def _with_table(
    title: str, drawn: tuple[Drawn, ...], table: View, field: Field, style: Style, notes: tuple[str, ...]
) -> Sheet:
    """A sheet of views with a small table after them, left out where it finds no room."""
    views = tuple(d.view for d in drawn)
    try:
        placed = in_rows((*views, table), field)
    except ValueError:
        placed = in_rows(views, field)
    return Sheet(DrawingPage(title, placed, notes, style.paper), drawn)


def elevation_sheet(design: Design, scene: Scene | None, style: Style) -> Sheet:
    """A leg in elevation, and beside it, where there is room, in space and two uprights enlarged."""
    field = _room(style, ELEVATION_NOTES)
    high = field.height - CAPTION_HEIGHT
    drawn = fitted(lambda scale: elevation(design, style.show, scale), field.width, high, style.scales)
    left = field.width - drawn.picture.width_mm - GAP
    beside: list[PlacedView] = []
    enlarged = _gap_detail(design, left, field.height * GAP_SHARE, style)
    x = field.x + drawn.picture.width_mm + GAP
    if enlarged is not None:
        y = field.y + field.height - enlarged.picture.height_mm - CAPTION_HEIGHT
        middle = x + (left - enlarged.picture.width_mm) / 2
        beside.append(PlacedView(enlarged.picture, middle, y, enlarged.view[1], enlarged.view[2]))
        high = y - field.y - GAP - CAPTION_HEIGHT
    if left >= LEAST_SCENE and scene is not None:
        space = _in_space(design.id, scene, left, high)
        middle = x + (left - space.width_mm) / 2
        beside.append(PlacedView(space, middle, field.y, "In space, not to scale"))
    views = in_rows((drawn.view,), field) if not beside else place_in_rows((drawn.view,), field, GAP)
    page = DrawingPage(f"Design {design.id}: elevation", (*views, *beside), ELEVATION_NOTES, style.paper)
    return Sheet(page, (drawn,) if enlarged is None else (drawn, enlarged))


def edge_sheets(whole: Balustrade, scene: Scene, style: Style) -> Iterator[Sheet]:
    """An edge of several legs as a whole: unrolled, and on a sheet of its own in plan and in space."""
    field = _room(style, EDGE_NOTES)
    high = field.height - CAPTION_HEIGHT
    long = fitted(lambda scale: unrolled(whole, style.show, scale), field.width, high, style.scales)
    title = f"Design {named(whole)}: the whole edge"
    yield Sheet(DrawingPage(title, in_rows((long.view,), field), EDGE_NOTES, style.paper), (long,))
    field = _room(style, EDGE_NOTES[1:2])
    high = field.height - CAPTION_HEIGHT
    above = fitted(lambda s: edge_plan(whole, style.show, s), field.width * PLAN_SHARE, high, style.scales)
    left = field.width - above.picture.width_mm - GAP
    views = list(place_in_rows((above.view,), field, GAP))
    if left >= LEAST_SCENE:
        space = _in_space(whole.id, scene, left, high)
        x = field.x + above.picture.width_mm + GAP + (left - space.width_mm) / 2
        views.append(PlacedView(space, x, field.y, "In space, not to scale"))
    title = f"Design {named(whole)}: plan of the whole edge"
    yield Sheet(DrawingPage(title, tuple(views), EDGE_NOTES[1:2], style.paper), (above,))


PLAN_SHARE = 0.62
"""Share of the sheet's width that the plan of an edge may take beside the picture in space."""

LEAST_SCENE = 60.0
"""Paper mm of width below which a picture in space is of no use."""

GAP_SHARE = 0.52
"""Share of the sheet's height that two uprights enlarged may take."""


def _gap_detail(design: Design, width: float, height: float, style: Style) -> Drawn | None:
    """Two uprights or a tread enlarged, at a scale that the room allows; None where it allows none that helps."""
    draw = _detail(design, style)
    if draw is None or width < LEAST_SCENE:
        return None
    drawn = fitted(
        draw,
        width,
        height - CAPTION_HEIGHT,
        [scale for scale in style.scales if scale <= LEAST_DETAIL],
    )
    return drawn if drawn.picture.width_mm <= width and drawn.picture.height_mm <= height else None


def _detail(design: Design, style: Style) -> Callable[[float], Drawing] | None:
    """What draws two neighbours on the base rail, or the uprights on a tread."""
    pair = neighbours(design)
    if pair is not None:
        return lambda scale: gap_drawing(design, pair, style.show, scale)
    held = tread_to_show(design)
    if held is not None:
        return lambda scale: step_drawing(design, *held, style.show, scale)
    return None


LEAST_DETAIL = 12.0
"""Smallest scale (1 to so much) at which two uprights enlarged still are enlarged."""


def _in_space(name: str, scene: Scene, width: float, height: float) -> Picture:
    """The picture in space as large as the room allows, without a scale."""
    marks = picture_marks(scene)
    size = bounds(marks)
    margins = 6.0
    scale = max(size.width / (width - margins), size.height / (height - margins))
    picture = write_svg(Drawing(f"{name}-in-space", "In space", scale, marks))
    return replace(picture, scale=None, extents=None)


def openings_sheet(design: Design, report: CheckReport, style: Style) -> Sheet:
    """The worst openings and all heights."""
    field = _room(style, OPENING_NOTES)
    drawn = fitted(
        lambda scale: openings_drawing(design, report, style.show, scale),
        field.width,
        field.height - CAPTION_HEIGHT,
        style.scales,
    )
    title = f"Design {design.id}: openings and heights"
    return _with_table(title, (drawn,), _openings_table(design, report, style), field, style, OPENING_NOTES)


OPENINGS_SHOWN = 24
"""Rows of the small table of openings, those nearest their limits first."""


def _openings_table(design: Design, report: CheckReport, style: Style) -> View:
    ranked = sorted(report.openings, key=pressing, reverse=True)[:OPENINGS_SHOWN]
    rows = [
        (
            opening.where,
            style.list_show(opening.ball.diameter),
            "free" if opening.limit is None else style.list_show(opening.limit),
            opening.verdict.value,
        )
        for opening in ranked
    ]
    headings = ("opening", "largest ball", "limit", "verdict")
    return list_picture(f"{design.id}-balls", headings, rows), "Nearest their limits", ""


def plan_sheet(design: Design, style: Style) -> Sheet:
    """Plan, what the balustrade is made of, and the sections through both rails."""
    field = _room(style, ())
    above = fitted(lambda scale: plan(design, style.show, scale), field.width, PLAN_HEIGHT, style.scales)
    left = field.height - above.picture.height_mm - 2 * CAPTION_HEIGHT - GAP
    half = (field.width - GAP) / 2
    draws = [partial(rail_section, design, style.show)]
    foot = lower_section(design)
    if foot is not None:
        draws.append(partial(foot, style.show))
    scale = max(at_fitting_scale(draw, half, left, style.scales).scale for draw in draws)
    sections = [Drawn(drawing, write_svg(drawing)) for drawing in (draw(scale) for draw in draws)]
    title = f"Design {design.id}: plan and sections"
    upper = Field(field.x, field.y, field.width, above.picture.height_mm + CAPTION_HEIGHT, ())
    used = upper.height + GAP
    lower = Field(field.x, field.y + used, field.width, field.height - used, ())
    table: View = (schedule(design, style.show), "What it is made of, finished sizes", "")
    top = _with_table(title, (above,), table, upper, style, ())
    views = (*top.page.views, *in_rows(tuple(d.view for d in sections), lower))
    return Sheet(DrawingPage(title, views, (), style.paper), (above, *sections))


PART_GAP = 5.0
"""Paper mm between parts that stand below each other."""


def part_sheets(name: str, groups: Sequence[Group], style: Style, what: str = "Design") -> Iterator[Sheet]:
    """The parts, as many to a sheet as it has room for."""
    drawings = [
        part_drawing(
            family,
            style.show,
            f"{name}-part-{index:02d}-{family.groups[0].mark}",
            inches=style.inches,
            first_angle=style.first_angle,
        )
        for index, family in enumerate(families(groups), start=1)
    ]
    drawn = [Drawn(drawing, write_svg(drawing)) for drawing in drawings]
    taken = 0
    for number, views in enumerate(in_columns([d.view for d in drawn], _room(style, ()), PART_GAP), start=1):
        page = DrawingPage(f"{what} {name}: parts {number}", views, (), style.paper)
        yield Sheet(page, tuple(drawn[taken : taken + len(views)]))
        taken += len(views)


CARD_NOTES = (
    "Print at 100 % and check the scale bar. Set the bevel against the base line and the thick line: no reading, no "
    "scale error.",
    "Angles within 0.05 degrees share one card.",
)
CARDS_A_SHEET = 6


def angle_sheets(
    name: str, groups: Sequence[Group], style: Style, stretch: tuple[float, float] = (1.0, 1.0)
) -> Iterator[Sheet]:
    """Full-size angles to set a sliding bevel by; ``stretch`` corrects a printer to the right and upwards."""
    angles = distinct_angles(groups)
    field = drawing_field(style.list_paper, landscape=False, notes=CARD_NOTES)
    for number, first in enumerate(range(0, len(angles), _cards(field)), start=1):
        card = bevel_card(angles[first : first + _cards(field)], f"{name}-angles-{number}")
        drawn = Drawn(card, write_svg(card))
        views = in_rows(((_corrected(drawn.picture, stretch, field), *drawn.view[1:]),), field)
        title = f"Design {name}: full-size angles {number}"
        yield Sheet(DrawingPage(title, views, CARD_NOTES, style.list_paper, landscape=False), (drawn,))


def _corrected(picture: Picture, stretch: tuple[float, float], field: Field) -> Picture:
    """A card for a printer that is off; smaller all round where it finds no room, which leaves its angles true."""
    room = field.width / picture.width_mm, (field.height - CAPTION_HEIGHT) / picture.height_mm
    fit = min(1.0, room[0] / stretch[0], room[1] / stretch[1])
    sized = stretched(picture, (fit * stretch[0], fit * stretch[1]))
    return replace(sized, scale=1.0 / stretch[0])


def _cards(field: Field) -> int:
    """How many cards a sheet holds: two side by side, rows of 80 mm."""
    return min(CARDS_A_SHEET, 2 * int((field.height - CAPTION_HEIGHT) // 82.0))
