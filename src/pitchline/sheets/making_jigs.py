"""Jigs on paper: each drawn with its sizes, and beside it how it is made and used."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from pitchline.kit.drawing.marks import (
    Anchor,
    AngleMark,
    Area,
    Dimension,
    Drawing,
    Fill,
    Label,
    Mark,
    Pen,
    Point,
    RunningMarks,
    Stroke,
)
from pitchline.kit.drawing.scales import name_of_scale
from pitchline.kit.drawing.sheet import Section, Table, TextPage
from pitchline.kit.drawing.svg import write_svg
from pitchline.making.jigs import Jig, JigKind, JigMark, JigView
from pitchline.sheets.drawings import Style, at_fitting_scale
from pitchline.sheets.looking import Show
from pitchline.sheets.tables import Listing, Quantity

PICTURE_WIDE, PICTURE_HIGH = 154.0, 76.0
"""Room of a jig's picture, paper mm."""
ROW = 6.5
"""Paper mm from a shape to its first size, and from one row of sizes to the next."""
BETWEEN = 20.0
"""Paper mm between two views of a jig."""
LONGER = 4.0
"""Views wider than so many times their height stand below each other, others side by side."""

FEW_MARKS = 6
"""So many marks are written out in a list."""

INTRO = (
    "Only what this design needs. Sizes without a unit are in the job's unit; angles are told from what they are "
    "measured. Jigs marked with a star have a full-size template in templates.pdf: print at 100 %, check its "
    "bars, glue it on.",
)  # fmt: skip


def jig_pages(name: str, what: str, jigs: Sequence[Jig], style: Style) -> Iterator[TextPage]:
    """The jigs of a design or wall rail."""
    if not jigs:
        return
    sections = [Section("", INTRO)]
    sections += [_section(name, jig, style) for jig in jigs]
    yield TextPage(f"{what} {name}: jigs", tuple(sections), style.list_paper, landscape=True)


def _section(name: str, jig: Jig, style: Style) -> Section:
    drawing = at_fitting_scale(
        lambda scale: jig_drawing(name, jig, style.show, scale), PICTURE_WIDE, PICTURE_HIGH, style.scales
    )
    picture = replace(write_svg(drawing), scale=None, extents=None)
    star = " *" if any(view.template for view in jig.views) else ""
    off = f", {jig.quantity} off" if jig.quantity > 1 else ""
    table = Table(
        (f"drawn {name_of_scale(drawing.scale)}", "how it is made and used"),
        ((picture, "\n".join(jig.words)),),
        widths=(PICTURE_WIDE + 4.0, None),
        caption=f"{jig.id}{star}  {jig.title}{off}",
    )
    return Section("", tables=(table,))


def jig_drawing(name: str, jig: Jig, show: Show, scale: float) -> Drawing:
    """All views of a jig beside or below each other."""
    marks: list[Mark] = []
    at: Point = (0.0, 0.0)
    for view in jig.views:
        marks += _shifted(jig, view, show, at, scale)
        wide, high = view.extent
        if wide > LONGER * high:
            at = (at[0], at[1] - high - BETWEEN * scale)
        else:
            at = (at[0] + wide + (BETWEEN + 6.0) * scale, at[1])
    return Drawing(f"{name}-{jig.id}", f"{jig.id} {jig.title}", scale, tuple(marks))


def _shifted(jig: Jig, view: JigView, show: Show, at: Point, scale: float) -> Iterator[Mark]:
    low = min(y for outline in view.outlines for _, y in outline)
    left = min(x for outline in view.outlines for x, _ in outline)
    move = _Move((at[0] - left, at[1]))
    yield from shape_marks(view, move)
    yield from size_marks(view, move, show)
    if jig.kind is JigKind.STORY:
        yield from _running(view, move, show)
    else:
        yield from _mark_words(view, move)
    deepest = max([0, *(-size.row for size in view.sizes if size.direction_deg == 0.0)])
    foot = at[1] + low - (deepest * ROW + (4.5 if deepest else 3.0)) * scale
    yield Label((at[0], foot), view.name, 2.0, Anchor.TOP_LEFT)


@dataclass(frozen=True, slots=True)
class _Move:
    """From a view's own axes into the drawing."""

    by: Point = (0.0, 0.0)

    def __call__(self, point: Point) -> Point:
        return (point[0] + self.by[0], point[1] + self.by[1])


def shape_marks(view: JigView, move: _Move, *, fill: Fill | None = Fill.WOOD) -> Iterator[Mark]:
    """Its outlines, hidden edges and the lines marked on it."""
    for number, outline in enumerate(view.outlines):
        points = tuple(move(point) for point in outline)
        if fill is not None:
            yield Area(points, fill if number == 0 else Fill.END_GRAIN)
        yield Stroke(points, Pen.OUTLINE, closed=True)
    for a, b in view.hidden:
        yield Stroke((move(a), move(b)), Pen.HIDDEN)
    for mark in view.marks:
        yield Stroke((move(mark.a), move(mark.b)), Pen.ACCENT if mark.saw else Pen.THIN)


def size_marks(view: JigView, move: Callable[[Point], Point], show: Show) -> Iterator[Mark]:
    """Its sizes and angles."""
    for size in view.sizes:
        along = size.direction_deg
        (ax, ay), (bx, by) = size.a, size.b
        length = abs(bx - ax) if along == 0.0 else abs(by - ay) if along == 90.0 else None
        length = ((bx - ax) ** 2 + (by - ay) ** 2) ** 0.5 if length is None else length
        yield Dimension(move(size.a), move(size.b), ROW * size.row, show(length), direction_deg=along)
    for angle in view.angles:
        text = f"{angle.value_deg:.2f}°"
        yield AngleMark(move(angle.at), angle.from_deg, angle.to_deg, angle.radius, text, arms=True)


def _mark_words(view: JigView, move: _Move) -> Iterator[Mark]:
    for mark in view.marks:
        if mark.words:
            yield Label(_beside(mark, move), mark.words, 1.8, Anchor.BASE_LEFT)


def _beside(mark: JigMark, move: _Move) -> Point:
    high = max((mark.a, mark.b), key=lambda point: (point[1], point[0]))
    return move((high[0] + 2.0, high[1] + 1.0))


def _running(view: JigView, move: _Move, show: Show) -> Iterator[Mark]:
    """Every named place of a story stick from its datum, with its name inside the stick."""
    datum, *places = [mark for mark in view.marks if mark.words]
    points = tuple(move(mark.b) for mark in places)
    texts = tuple(f"{mark.words}  {show(mark.a[0] - datum.a[0])}" for mark in places)
    yield RunningMarks(move(datum.b), points, 0.0, 4.0, texts)


def _few(marks: Sequence[str]) -> str:
    """Marks in a list: all of a few; of many the first ones and how many there are."""
    if len(marks) <= FEW_MARKS:
        return ", ".join(marks)
    return f"{', '.join(marks[: FEW_MARKS - 1])} ... ({len(marks)})"


def jig_list(name: str, jigs: Sequence[Jig]) -> Listing:
    """The jigs with what each is for."""
    rows = tuple(
        (
            jig.id,
            Quantity(jig.quantity, "count"),
            jig.kind.value,
            jig.title,
            _few(jig.for_marks),
            "yes" if any(view.template for view in jig.views) else "",
        )
        for jig in jigs
    )
    return Listing(
        f"{name}-jigs",
        f"Jigs, {name}",
        ("Jig", "Off", "Kind", "What", "For", "Template"),
        rows,
        widths=(0, 0, 0, None, 50.0, 0),
        on_paper=False,
    )
