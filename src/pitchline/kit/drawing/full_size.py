"""Full-size prints: pages whose drawings come out true on a printer that was measured, with bars to check them by.

Every page has a bar along each of its edges and the drawings in the room that is left. A printer that prints too
large or too small is corrected by drawing everything as much smaller or larger, each direction by itself; the bars
are corrected with it, so on paper they must measure what is written at them.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import ceil

from pitchline.kit.drawing.author import extents, lay_out
from pitchline.kit.drawing.lettering import open_face
from pitchline.kit.drawing.marks import (
    LETTER_HEIGHT,
    Anchor,
    Bounds,
    Drawing,
    Label,
    Mark,
    Pen,
    Point,
    Stroke,
    mark_points,
)
from pitchline.kit.drawing.scales import name_of_scale
from pitchline.kit.drawing.sheet import CAPTION_HEIGHT, DrawingPage, Field, Paper, PlacedView, drawing_field
from pitchline.kit.drawing.svg import Picture, write_svg
from pitchline.kit.drawing.tiles import OVERLAP, joining_marks, tile_name
from pitchline.kit.tolerances import SAME_POINT

BAR_ROOM = 9.0
"""Room along two edges of the field for the bars, paper mm."""
GAP = 8.0
"""Room between drawings that share a page, paper mm."""
TICK = 3.0
"""Length of the ticks at the ends of a bar, paper mm."""
CAPTION_LETTERS = 3.0
"""Height of the letters of a caption on a sheet, paper mm."""
SCALE_ROOM = 6.0
"""Room below the last length of a page for its scale, paper mm."""
REACH = 60.0
"""mm that letters and sizes may reach away from the points they belong to."""
MARGIN = 2.0
"""Room round a tiled drawing, paper mm."""


@dataclass(frozen=True, slots=True)
class Print:
    """The paper, and what drawings are multiplied by along its short edge (``across``) and its long one.

    ``bar`` is the length of the bars in mm and ``bar_words`` how it is written.
    """

    paper: Paper = "A4"
    across: float = 1.0
    along: float = 1.0
    bar: float = 100.0
    bar_words: str = "100 mm"

    def stretch(self, *, landscape: bool) -> tuple[float, float]:
        """What drawings are multiplied by to the right and upwards."""
        return (self.along, self.across) if landscape else (self.across, self.along)

    @property
    def is_true(self) -> bool:
        """Whether nothing is corrected."""
        return self.across == 1.0 and self.along == 1.0


def full_size_field(printed: Print, *, landscape: bool, notes: tuple[str, ...] = ()) -> Field:
    """The room that drawings of true size have on a page, in mm of the drawing."""
    field = drawing_field(printed.paper, landscape, notes)
    across, up = printed.stretch(landscape=landscape)
    return Field(
        field.x + BAR_ROOM,
        field.y,
        (field.width - BAR_ROOM) / across,
        (field.height - BAR_ROOM) / up,
        field.notes,
    )


def stretched(picture: Picture, by: tuple[float, float]) -> Picture:
    """The picture drawn so much wider and higher on paper; it then says nothing of its scale."""
    return replace(
        picture,
        width_mm=picture.width_mm * by[0],
        height_mm=picture.height_mm * by[1],
        scale=None,
        extents=None,
    )


def bars_view(
    printed: Print, *, landscape: bool, notes: tuple[str, ...] = (), true: bool = False
) -> PlacedView:
    """Bars along the left and the lower edge of the field; ``true`` leaves them uncorrected, to measure by."""
    field = drawing_field(printed.paper, landscape, notes)
    stretch = (1.0, 1.0) if true else printed.stretch(landscape=landscape)
    window = Bounds(-BAR_ROOM + 1.0, -BAR_ROOM + 1.0, printed.bar + 8.0, printed.bar + 8.0)
    picture = stretched(write_svg(Drawing("bars", "Bars", 1.0, _bars(printed)), window), stretch)
    return PlacedView(picture, field.x - 1.0, field.y + field.height + 1.0 - picture.height_mm)


def _bars(printed: Print) -> tuple[Mark, ...]:
    size = printed.bar
    marks: list[Mark] = [
        Stroke(((0.0, -4.0), (size, -4.0)), Pen.ACCENT),
        Stroke(((-4.0, 0.0), (-4.0, size)), Pen.ACCENT),
    ]
    for place in (0.0, size / 2.0, size):
        marks.append(Stroke(((place, -4.0 - TICK / 2), (place, -4.0 + TICK / 2)), Pen.OUTLINE))
        marks.append(Stroke(((-4.0 - TICK / 2, place), (-4.0 + TICK / 2, place)), Pen.OUTLINE))
    words = f"must measure {printed.bar_words}"
    marks.append(Label((size * 0.25, -2.9), words, 1.8, Anchor.BASE_CENTRE))
    marks.append(Label((-5.1, size * 0.25), words, 1.8, Anchor.BASE_CENTRE, 90.0))
    return tuple(marks)


def packed_pages(
    drawings: Sequence[Drawing],
    title: str,
    printed: Print,
    notes: tuple[str, ...] = (),
    *,
    landscape: bool = False,
) -> tuple[DrawingPage, ...]:
    """Small drawings, as many to a page as it has room for; each must fit on one by itself.

    ValueError names one that does not.
    """
    field = full_size_field(printed, landscape=landscape, notes=notes)
    stretch = printed.stretch(landscape=landscape)
    pages: list[list[PlacedView]] = [[]]
    x, y, row = 0.0, 0.0, 0.0
    for drawing in drawings:
        picture = write_svg(drawing)
        wide, high = picture.width_mm, picture.height_mm + CAPTION_HEIGHT / stretch[1]
        if wide > field.width + SAME_POINT or high > field.height + SAME_POINT:
            raise ValueError(f"{drawing.title!r} needs more than one page")
        taken = max(wide, _caption_width(drawing.title) / stretch[0])
        if x > 0.0 and x + taken > field.width:
            x, y, row = 0.0, y + row + GAP, 0.0
        if y + high > field.height:
            pages.append([])
            x, y, row = 0.0, 0.0, 0.0
        view = PlacedView(
            stretched(picture, stretch),
            field.x + x * stretch[0],
            field.y + y * stretch[1],
            drawing.title,
            name_of_scale(1.0),
        )
        pages[-1].append(view)
        x, row = x + taken + GAP, max(row, high)
    bars = bars_view(printed, landscape=landscape, notes=notes)
    return tuple(
        DrawingPage(_counted(title, number, len(pages)), (*views, bars), notes, printed.paper, landscape)
        for number, views in enumerate(pages, start=1)
        if views
    )


def _caption_width(title: str) -> float:
    """What a caption takes on paper with its scale beside it."""
    face = open_face()
    return face.width(title, CAPTION_LETTERS) + 4.0 + face.width(name_of_scale(1.0), LETTER_HEIGHT)


def fits_one_page(
    drawing: Drawing, printed: Print, notes: tuple[str, ...] = (), *, landscape: bool = False
) -> bool:
    """Whether a drawing finds room on a page, upright or lying."""
    field = full_size_field(printed, landscape=landscape, notes=notes)
    box = extents(lay_out(drawing))
    room = field.height - CAPTION_HEIGHT / printed.stretch(landscape=landscape)[1]
    return box.width + 4.0 <= field.width and box.height + 4.0 <= room


@dataclass(frozen=True, slots=True)
class Tiling:
    """How a drawing is cut into pages: the box that is covered, steps from page to page, columns and rows."""

    box: Bounds
    step: tuple[float, float]
    size: tuple[float, float]
    columns: int
    rows: int
    landscape: bool

    @property
    def count(self) -> int:
        """How many pages it takes."""
        return self.columns * self.rows

    def window(self, column: int, row: int) -> Bounds:
        """What one page shows."""
        left, top = self.box.left + column * self.step[0], self.box.top - row * self.step[1]
        return Bounds(left, top - self.size[1], left + self.size[0], top)

    @property
    def corners(self) -> tuple[Point, ...]:
        """Where the middles of the overlaps cross: the same points on neighbouring pages."""
        lap = OVERLAP / 2.0
        return tuple(
            (self.box.left + column * self.step[0] + lap, self.box.top - row * self.step[1] - lap)
            for row in range(self.rows + 1)
            for column in range(self.columns + 1)
        )


def tiling_of(drawing: Drawing, printed: Print, notes: tuple[str, ...] = ()) -> Tiling:
    """The tiling with the fewest pages, upright or lying."""
    box = extents(lay_out(drawing)).grown(MARGIN)
    return min((_tiling(box, printed, notes, lies) for lies in (False, True)), key=lambda one: one.count)


def _tiling(box: Bounds, printed: Print, notes: tuple[str, ...], landscape: bool) -> Tiling:
    field = full_size_field(printed, landscape=landscape, notes=notes)
    width, height = field.width, field.height - CAPTION_HEIGHT
    step = (width - OVERLAP, height - OVERLAP)
    columns = max(1, ceil((box.width - OVERLAP) / step[0]))
    rows = max(1, ceil((box.height - OVERLAP) / step[1]))
    return Tiling(box, step, (width, height), columns, rows, landscape)


def tiled_pages(drawing: Drawing, printed: Print, notes: tuple[str, ...] = ()) -> tuple[DrawingPage, ...]:
    """A large drawing on as many pages as it needs, row by row from the upper left, with crosses to join them by."""
    tiling = tiling_of(drawing, printed, notes)
    stretch = printed.stretch(landscape=tiling.landscape)
    field = full_size_field(printed, landscape=tiling.landscape, notes=notes)
    joined = replace(drawing, marks=drawing.marks + joining_marks(tiling.corners, 1.0))
    bars = bars_view(printed, landscape=tiling.landscape, notes=notes)
    pages = []
    for row in range(tiling.rows):
        for column in range(tiling.columns):
            window = tiling.window(column, row)
            name = tile_name(column, row)
            picture = stretched(write_svg(_near(joined, window), window), stretch)
            caption = f"{drawing.title}: sheet {name} of {tiling.columns} x {tiling.rows}"
            view = PlacedView(picture, field.x, field.y, caption, name_of_scale(1.0))
            pages.append(
                DrawingPage(
                    f"{drawing.title}, {name}", (view, bars), notes, printed.paper, landscape=tiling.landscape
                )
            )
    return tuple(pages)


def map_marks(drawing: Drawing, printed: Print, notes: tuple[str, ...] = ()) -> tuple[Mark, ...]:
    """The drawing with the edges of its pages and their names over it, for a map of the pages."""
    tiling = tiling_of(drawing, printed, notes)
    marks: list[Mark] = [mark for mark in drawing.marks if isinstance(mark, Stroke)]
    for row in range(tiling.rows):
        for column in range(tiling.columns):
            box = tiling.window(column, row)
            corners = (
                (box.left, box.bottom),
                (box.right, box.bottom),
                (box.right, box.top),
                (box.left, box.top),
            )
            marks.append(Stroke(corners, Pen.HIDDEN, closed=True))
            middle = ((box.left + box.right) / 2, (box.bottom + box.top) / 2)
            marks.append(Label(middle, tile_name(column, row), 2.5, Anchor.MIDDLE))
    return tuple(marks)


@dataclass(frozen=True, slots=True)
class StripPlan:
    """How a long strip is cut into lengths that overlap: the box that is covered, how many, how long, their step."""

    box: Bounds
    step: float
    length: float
    count: int

    def window(self, number: int) -> Bounds:
        """What one length shows, the first being 0."""
        left = self.box.left + number * self.step
        return Bounds(left, self.box.bottom, left + self.length, self.box.top)

    @property
    def joints(self) -> tuple[float, ...]:
        """Where the middles of the overlaps lie, before the first length and after the last too."""
        return tuple(self.box.left + number * self.step + OVERLAP / 2.0 for number in range(self.count + 1))


def strip_plan(drawing: Drawing, printed: Print, notes: tuple[str, ...] = ()) -> StripPlan:
    """The lengths of a strip on upright pages."""
    field = full_size_field(printed, landscape=False, notes=notes)
    box = extents(lay_out(drawing)).grown(MARGIN)
    step = field.width - OVERLAP
    return StripPlan(box, step, field.width, max(1, ceil((box.width - OVERLAP) / step)))


def strip_pages(
    drawings: Sequence[Drawing], title: str, printed: Print, notes: tuple[str, ...] = ()
) -> tuple[DrawingPage, ...]:
    """Long strips in lengths below each other, to be joined end to end; strips share pages.

    Each length bears the first word of its drawing's title and its number.
    """
    field = full_size_field(printed, landscape=False, notes=notes)
    stretch = printed.stretch(landscape=False)
    pages: list[list[PlacedView]] = [[]]
    y = 0.0
    for picture in _lengths(drawings, printed, notes):
        if pages[-1] and y + picture.height_mm + SCALE_ROOM > field.height:
            pages.append([])
            y = 0.0
        pages[-1].append(PlacedView(stretched(picture, stretch), field.x, field.y + y * stretch[1]))
        y += picture.height_mm + GAP
    bars = bars_view(printed, landscape=False, notes=notes)
    said = [[*views[:-1], replace(views[-1], scale_text=name_of_scale(1.0))] for views in pages if views]
    return tuple(
        DrawingPage(_counted(title, number, len(said)), (*views, bars), notes, printed.paper, landscape=False)
        for number, views in enumerate(said, start=1)
    )


def _lengths(drawings: Sequence[Drawing], printed: Print, notes: tuple[str, ...]) -> Iterator[Picture]:
    """Every length of every strip."""
    for drawing in drawings:
        plan = strip_plan(drawing, printed, notes)
        joined = replace(drawing, marks=drawing.marks + tuple(_strip_joints(drawing, plan)))
        for number in range(plan.count):
            window = plan.window(number)
            yield write_svg(_near(joined, window), window)


def _strip_joints(drawing: Drawing, plan: StripPlan) -> Iterator[Mark]:
    box, called = plan.box, drawing.title.split()[0]
    middle = (box.bottom + box.top) / 2.0
    for number, x in enumerate(plan.joints):
        yield Stroke(((x, box.bottom), (x, box.top)), Pen.HIDDEN)
        yield Stroke(((x - 3.0, middle), (x + 3.0, middle)), Pen.THIN)
        if number < plan.count:
            name = f"{called}, {number + 1} of {plan.count}"
            place = (x + OVERLAP / 2.0 + 1.0, box.bottom + MARGIN + 1.0)
            yield Label(place, name, 1.8, Anchor.BASE_LEFT)


def _near(drawing: Drawing, window: Bounds) -> Drawing:
    """The drawing without what lies far from a window, so that only what may show is laid out."""
    room = window.grown(REACH)
    near = tuple(mark for mark in drawing.marks if Bounds.around(mark_points(mark)).meets(room))
    return replace(drawing, marks=near)


def measuring_page(printed: Print, notes: tuple[str, ...]) -> DrawingPage:
    """A page with uncorrected bars in both directions to measure a printer by."""
    view = bars_view(printed, landscape=False, notes=notes, true=True)
    return DrawingPage("Measure the printer", (view,), notes, printed.paper, landscape=False)


def _counted(title: str, number: int, count: int) -> str:
    return title if count == 1 else f"{title}, {number} of {count}"
