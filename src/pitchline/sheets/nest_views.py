"""Pictures of nests: free shapes where they lie on their sheets, with the room kept for the tool and for clamps."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial

from shapely import LinearRing, Polygon

from pitchline.kit.cutting.nests import NestedSheet, NestOrder, NestPlan, Shape, lie
from pitchline.kit.drawing.marks import (
    Anchor,
    Area,
    Drawing,
    Fill,
    Label,
    Mark,
    Pen,
    Point,
    RunningMarks,
    Stroke,
)
from pitchline.kit.drawing.sheet import CAPTION_HEIGHT, DrawingPage, drawing_field
from pitchline.sheets.arrange import in_rows
from pitchline.sheets.cutting_views import SMALL
from pitchline.sheets.drawings import Sheet, Style, fitted
from pitchline.sheets.looking import Show
from pitchline.sheets.tables import Listing, Quantity

NEST_NOTES = (
    "Broken line: room left to the edges of the sheet for clamps. The grain runs along the sheet.",
    "Marks run from the lower left corner: along the foot to the left ends of shapes, up the side to lower edges.",
    "Place and turn of every shape stand in the list of nests. Outlines are the finished shapes, no tool taken off.",
)


@dataclass(frozen=True, slots=True)
class Nest:
    """A nest as it is drawn: the order it answers, with the sheets that were found for it."""

    order: NestOrder
    plan: NestPlan


def nest_sheets(name: str, nests: Sequence[Nest], style: Style) -> Iterator[Sheet]:
    """A page for each nested sheet."""
    field = drawing_field(style.paper, landscape=True, notes=NEST_NOTES)
    for number, nest, sheet in _numbered(nests):
        drawn = fitted(
            partial(nest_drawing, name, nest.order, number, sheet, style.show),
            field.width,
            field.height - CAPTION_HEIGHT,
            style.scales,
        )
        page = DrawingPage(
            f"Cutting {name}: nest {number}", in_rows((drawn.view,), field), NEST_NOTES, style.paper
        )
        yield Sheet(page, (drawn,))


def nests_list(name: str, nests: Sequence[Nest]) -> Listing:
    """Where every shape lies and how it is turned."""
    rows = []
    for number, nest, sheet in _numbered(nests):
        shapes = _by_id(nest.order)
        for one in sorted(sheet.shapes, key=lambda laid: (laid.x, laid.y)):
            left, low, right, high = lie(shapes[one.shape], one).bounds
            rows.append(
                (
                    Quantity(number, "count"),
                    sheet.stock,
                    one.shape,
                    Quantity(one.angle_deg, "degrees"),
                    Quantity(left),
                    Quantity(low),
                    Quantity(right),
                    Quantity(high),
                )
            )
    return Listing(
        f"{name}-nests",
        f"Shapes nested on sheets, {name}",
        ("Nest", "Stock", "Shape", "Turned", "Left", "Lower", "Right", "Upper"),
        tuple(rows),
        intro="Turned anticlockwise from how the shape is drawn; its extent from the lower left corner of the sheet.",
    )


def nest_stock_list(name: str, nests: Sequence[Nest]) -> Listing:
    """The sheets that nests take, with the bound that bare areas set."""
    rows = []
    for nest in nests:
        for stock in nest.order.stocks:
            used = sum(sheet.stock == stock.id for sheet in nest.plan.sheets)
            if used:
                rows.append(
                    (
                        Quantity(used, "count"),
                        stock.id,
                        stock.material,
                        Quantity(stock.length),
                        Quantity(stock.width),
                        Quantity(stock.thickness),
                        Quantity(stock.price * used, "number"),
                    )
                )
    least = sum(nest.plan.lower_bound for nest in nests)
    return Listing(
        f"{name}-nest-stock",
        f"Sheets for the nests, {name}",
        ("Off", "Stock", "Material", "Length", "Width", "Thick", "All"),
        tuple(rows),
        intro=f"The bare area of the shapes costs {least:.2f}: no nest can cost less.",
    )


def _numbered(nests: Sequence[Nest]) -> Iterator[tuple[int, Nest, NestedSheet]]:
    pairs = ((nest, sheet) for nest in nests for sheet in nest.plan.sheets)
    for number, (nest, sheet) in enumerate(pairs, start=1):
        yield number, nest, sheet


def _by_id(order: NestOrder) -> Mapping[str, Shape]:
    return {shape.id: shape for shape in order.shapes}


def nest_drawing(
    name: str, order: NestOrder, number: int, sheet: NestedSheet, show: Show, scale: float
) -> Drawing:
    """One sheet at 1:``scale`` with its shapes, their marks, and running marks from its lower left corner."""
    shapes = _by_id(order)
    marks: list[Mark] = [Area(_box(0.0, 0.0, sheet.length, sheet.width), Fill.WHITE, pen=Pen.THIN)]
    if order.margin:
        room = _box(
            order.margin, order.margin, sheet.length - 2 * order.margin, sheet.width - 2 * order.margin
        )
        marks.append(Stroke(room, Pen.HIDDEN, closed=True))
    laid = [(one.shape, lie(shapes[one.shape], one)) for one in sheet.shapes]
    for _, polygon in laid:
        holes = tuple(_corners(ring) for ring in polygon.interiors)
        marks.append(Area(_corners(polygon.exterior), Fill.WOOD, holes, Pen.OUTLINE))
    for mark, polygon in laid:
        inside = polygon.representative_point()
        marks.append(Label((inside.x, inside.y), mark, SMALL, Anchor.MIDDLE))
    marks += _running([polygon for _, polygon in laid], show)
    title = f"Nest {number}: {sheet.stock}, {show(sheet.length)} x {show(sheet.width)}"
    return Drawing(f"{name}-nest-{number:02d}", title, scale, tuple(marks), "grain along the sheet")


def _running(laid: Sequence[Polygon], show: Show) -> Iterator[Mark]:
    """Marks along the foot and up the left side: where shapes begin, places alike told once."""
    across = _places([polygon.bounds[0] for polygon in laid])
    up = _places([polygon.bounds[1] for polygon in laid])
    if across:
        yield RunningMarks((0.0, 0.0), tuple((x, 0.0) for x in across), 0.0, -5.0, tuple(map(show, across)))
    if up:
        yield RunningMarks((0.0, 0.0), tuple((0.0, y) for y in up), 90.0, 5.0, tuple(map(show, up)))


def _places(found: Sequence[float]) -> list[float]:
    return sorted({round(place, 3) for place in found})


def _corners(ring: LinearRing) -> tuple[Point, ...]:
    return tuple((float(x), float(y)) for x, y in list(ring.coords)[:-1])


def _box(x: float, y: float, length: float, width: float) -> tuple[Point, Point, Point, Point]:
    return ((x, y), (x + length, y), (x + length, y + width), (x, y + width))
