"""Free shapes cut by a router: outlines with holes, nested on sheets with room for the tool and for clamps.

``nest_shapes`` gives the plan (`nests_search` finds it on a raster, see `nests_raster`), ``check_nest`` judges it by
plane geometry alone. Lengths in mm, angles in degrees; x runs along the sheet's length, the way of its grain.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from math import isfinite

from shapely import Polygon, box
from shapely.affinity import rotate, translate

from pitchline.kit.cutting.need import SheetStock
from pitchline.kit.cutting.plan import Shortage
from pitchline.kit.tolerances import CUT_FITS

Point = tuple[float, float]
Ring = tuple[Point, ...]

QUARTERS = (0.0, 90.0, 180.0, 270.0)
ALONG_GRAIN = (0.0, 180.0)


@dataclass(frozen=True)
class Shape:
    """A shape that is wanted ``quantity`` times; ``angles_deg`` are the turns it may lie at, from how it is drawn."""

    id: str
    outline: Ring
    holes: tuple[Ring, ...] = ()
    quantity: int = 1
    angles_deg: tuple[float, ...] = QUARTERS

    def __post_init__(self) -> None:
        if len(self.outline) < 3 or not self.polygon.is_valid or self.polygon.area <= 0.0:
            raise ValueError(f"the outline of {self.id} crosses itself, or its holes leave it")
        if not self.angles_deg or not all(isfinite(angle) for angle in self.angles_deg):
            raise ValueError(f"{self.id} needs at least one angle to lie at")

    @property
    def polygon(self) -> Polygon:
        """As drawn."""
        return Polygon(self.outline, self.holes)

    def at(self, angle_deg: float) -> Polygon:
        """Turned about the origin of the drawing and moved so that its extent begins at 0, 0."""
        turned = rotate(self.polygon, angle_deg, origin=(0.0, 0.0))
        return translate(turned, -turned.bounds[0], -turned.bounds[1])


@dataclass(frozen=True, slots=True)
class NestOrder:
    """Shapes and sheets. ``clearance``: between shapes, tool and allowance. ``margin``: to the sheet's edges."""

    shapes: tuple[Shape, ...]
    stocks: tuple[SheetStock, ...]
    clearance: float
    margin: float = 0.0


@dataclass(frozen=True, slots=True)
class NestedShape:
    """A shape where it lies: turned by ``angle_deg``, its extent beginning at ``x``, ``y``."""

    shape: str
    angle_deg: float
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class NestedSheet:
    """A sheet with its shapes; ``used`` is how much of its length they and the clamps take."""

    stock: str
    length: float
    width: float
    shapes: tuple[NestedShape, ...]
    used: float


@dataclass(frozen=True, slots=True)
class NestPlan:
    """Sheets with nested shapes. ``lower_bound`` is what the bare area costs at least: a weak bound, but proved."""

    sheets: tuple[NestedSheet, ...]
    cost: float
    lower_bound: float
    unplaced: tuple[Shortage, ...] = ()
    late: bool = False
    stopped: bool = False


def lie(shape: Shape, nested: NestedShape) -> Polygon:
    """The outline of a shape where it lies on its sheet."""
    return translate(shape.at(nested.angle_deg), nested.x, nested.y)


def check_nest(order: NestOrder, plan: NestPlan) -> tuple[str, ...]:
    """What is wrong with a nest, one sentence each; empty when it can be cut."""
    shapes = {shape.id: shape for shape in order.shapes}
    stocks = {stock.id: stock for stock in order.stocks}
    wrong: list[str] = []
    for number, sheet in enumerate(plan.sheets, start=1):
        if sheet.stock not in stocks:
            wrong.append(f"sheet {number} is no sheet of the order")
            continue
        wrong += [
            f"sheet {number}: {fault}" for fault in _sheet_faults(order, shapes, stocks[sheet.stock], sheet)
        ]
    placed = [nested.shape for sheet in plan.sheets for nested in sheet.shapes]
    for shape in order.shapes:
        told = sum(shortage.quantity for shortage in plan.unplaced if shortage.part == shape.id)
        if placed.count(shape.id) + told != shape.quantity:
            wrong.append(f"{shape.id} is wanted {shape.quantity} times, laid {placed.count(shape.id)} times")
    for stock in order.stocks:
        used = sum(sheet.stock == stock.id for sheet in plan.sheets)
        if stock.count is not None and used > stock.count:
            wrong.append(f"{used} of {stock.id} are used and there are {stock.count}")
    paid = sum(stocks[sheet.stock].price for sheet in plan.sheets if sheet.stock in stocks)
    if abs(paid - plan.cost) > 1e-6 * max(1.0, paid) or plan.lower_bound > plan.cost + 1e-6 * max(1.0, paid):
        wrong.append(
            f"the sheets cost {paid:.4f}, not {plan.cost:.4f}, or the bound {plan.lower_bound:.4f} is above"
        )
    return tuple(wrong)


def _sheet_faults(
    order: NestOrder, shapes: dict[str, Shape], stock: SheetStock, sheet: NestedSheet
) -> Iterator[str]:
    m = order.margin - CUT_FITS
    inner = box(m, m, stock.length - m, stock.width - m)
    laid: list[tuple[str, Polygon]] = []
    for nested in sheet.shapes:
        shape = shapes.get(nested.shape)
        if shape is None:
            yield f"there is no shape {nested.shape}"
            continue
        if nested.angle_deg not in shape.angles_deg:
            yield f"{shape.id} may not lie at {nested.angle_deg:g} degrees"
        outline = lie(shape, nested)
        if not inner.covers(outline):
            yield f"{shape.id} comes nearer to the edge than {order.margin:g} mm"
        laid.append((shape.id, outline))
    for (one, a), (other, b) in combinations(laid, 2):
        if a.distance(b) < order.clearance - CUT_FITS or a.intersection(b).area > CUT_FITS:
            yield f"between {one} and {other} there are less than {order.clearance:g} mm"


def area_cost(order: NestOrder, shapes: Sequence[Shape]) -> float:
    """What the bare area of the shapes costs at least: offcuts and sheets bought by the mm2, the cheapest first."""
    left = sum(shape.polygon.area * shape.quantity for shape in shapes)
    cost = 0.0
    for stock in sorted(order.stocks, key=lambda one: one.price / (one.length * one.width)):
        size = stock.length * stock.width
        sheets = left / size if stock.count is None else min(left / size, float(stock.count))
        cost += sheets * stock.price
        left -= sheets * size
        if left <= 0.0:
            break
    return cost
