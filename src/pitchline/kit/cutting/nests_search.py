"""Nests by laying one shape after the other as far back as it goes, in many orders; the cheapest is kept.

Each shape takes the free place whose far edge is nearest to the sheet's start, holes of other shapes included
(bottom-left with filling; see A. M. Gomes and J. F. Oliveira, A 2-exchange heuristic for nesting problems, 2002, for
the search over orders by exchanges).
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from time import monotonic

import numpy as np

from pitchline.kit.cutting.need import SheetStock
from pitchline.kit.cutting.nests import (
    NestedShape,
    NestedSheet,
    NestOrder,
    NestPlan,
    Shape,
    area_cost,
    check_nest,
    lie,
)
from pitchline.kit.cutting.nests_raster import CELLS_ACROSS, Cells, Lay, Raster, make_raster
from pitchline.kit.cutting.plan import Shortage
from pitchline.kit.cutting.sheets_effort import Effort, effort_of

WORK_OF_A_LAY = 200.0
"""Work of shifting what one lay forbids another, in the units of `sheets_effort`."""


@dataclass(frozen=True, slots=True)
class _Place:
    lay: Lay
    x: int
    y: int


@dataclass(frozen=True, slots=True)
class _Filled:
    """A filled sheet in cells; ``reach`` is the far edge of its shapes."""

    stock: int
    places: tuple[_Place, ...]
    reach: int


@dataclass(frozen=True, slots=True)
class _Nest:
    """A whole nest and how good it is: area left out, cost, reach of the last sheet; less is better."""

    sheets: tuple[_Filled, ...]
    rank: tuple[float, float, float]
    order: tuple[int, ...]
    tastes: tuple[float, ...]


def nest_shapes(
    order: NestOrder,
    seconds: float,
    seed: int = 0,
    clock: Callable[[], float] = monotonic,
    cells_across: int = CELLS_ACROSS,
) -> NestPlan:
    """The cheapest nest found within so many seconds; of equal ones that which leaves most of the last sheet.

    The same seed gives the same nest unless the clock (``late``) or the user (``stopped``, Ctrl-C) cut the search
    short. With fewer ``cells_across`` the narrowest sheet it is quicker and wastes more. Shapes that fit no sheet, or
    for which the sheets do not suffice, are told in ``unplaced``. RuntimeError if the nest fails its own check: a
    fault of the program.
    """
    effort = effort_of(seconds, clock)
    if not order.stocks or not order.shapes:
        return _plan(order, None, effort, stopped=False)
    raster = make_raster(order, cells_across)
    chance = np.random.default_rng(seed)
    best: _Nest | None = None
    stopped = False
    try:
        best = _nest(raster, _by_size(order), tuple(1.0 for _ in order.stocks), effort)
        while not effort.over:
            tastes = _tasted(best.tastes, chance)
            trial = _nest(raster, _shuffled(best.order, chance), tastes, effort)
            if trial.rank <= best.rank:
                best = trial
    except KeyboardInterrupt:
        stopped = True
    plan = _plan(order, best, effort, stopped=stopped, cell=raster.cell)
    faults = check_nest(order, plan)
    if faults:
        raise RuntimeError("a nest failed its own check: " + "; ".join(faults))
    return plan


def _by_size(order: NestOrder) -> tuple[int, ...]:
    """Every single shape, large ones first."""
    singles = [index for index, shape in enumerate(order.shapes) for _ in range(shape.quantity)]
    return tuple(sorted(singles, key=lambda index: (-order.shapes[index].polygon.envelope.area, index)))


def _shuffled(order: Sequence[int], chance: np.random.Generator) -> tuple[int, ...]:
    """The order with a few exchanges, most between neighbours."""
    singles = list(order)
    for _ in range(1 + int(chance.integers(4))):
        first = int(chance.integers(len(singles)))
        away = 1 + int(chance.exponential(len(singles) / 8.0))
        second = min(len(singles) - 1, first + away)
        singles[first], singles[second] = singles[second], singles[first]
    return tuple(singles)


def _tasted(tastes: tuple[float, ...], chance: np.random.Generator) -> tuple[float, ...]:
    """The leanings to stocks, now and then changed: what is best for one sheet need not be best for all."""
    if chance.random() < 0.6:
        return tastes
    return tuple(float(taste) for taste in np.exp(0.2 * chance.standard_normal(len(tastes))))


def _nest(raster: Raster, singles: tuple[int, ...], tastes: tuple[float, ...], effort: Effort) -> _Nest:
    """Sheet after sheet the one that takes most area for its price; the last one as cheap as it can be."""
    order = raster.order
    areas = [shape.polygon.area for shape in order.shapes]
    left = list(singles)
    counts = [stock.count if stock.count is not None else len(singles) for stock in order.stocks]
    sheets: list[_Filled] = []
    while left:
        filled = [_fill(raster, stock, left, effort) for stock, count in enumerate(counts) if count]
        filled = [one for one in filled if one.places]
        if not filled:
            break
        whole = [one for one in filled if len(one.places) == len(left)]
        if whole:
            best = min(whole, key=lambda one: (order.stocks[one.stock].price, one.reach))
        else:
            best = max(
                filled, key=lambda one: tastes[one.stock] * _worth(order.stocks[one.stock], one, areas)
            )
        for place in best.places:
            left.remove(place.lay.shape)
        counts[best.stock] -= 1
        sheets.append(best)
    cost = sum(order.stocks[sheet.stock].price for sheet in sheets)
    reach = float(sheets[-1].reach) if sheets else 0.0
    rank = (sum(areas[index] for index in left), cost, reach)
    return _Nest(tuple(sheets), rank, singles, tastes)


def _worth(stock: SheetStock, filled: _Filled, areas: Sequence[float]) -> float:
    return sum(areas[place.lay.shape] for place in filled.places) / max(stock.price, 1e-6)


def _fill(raster: Raster, stock: int, singles: Sequence[int], effort: Effort) -> _Filled:
    """One sheet filled with as many of the shapes as find a place, in their order."""
    along, across = raster.room(raster.order.stocks[stock])
    kinds = list(dict.fromkeys(singles))
    free = {
        (lay.shape, lay.angle_deg): np.ones(
            (along - lay.size[0] + 1, across - lay.size[1] + 1), dtype=np.bool_
        )
        for kind in kinds
        for lay in raster.lays[kind]
        if lay.size[0] <= along and lay.size[1] <= across
    }
    full: set[int] = set()
    places: list[_Place] = []
    reach = 0
    for index in singles:
        if index in full:
            continue
        place = _best_place(raster.lays[index], free)
        if place is None:
            full.add(index)
            continue
        places.append(place)
        reach = max(reach, place.x + place.lay.size[0])
        for kind in kinds:
            for lay in raster.lays[kind]:
                cells = free.get((lay.shape, lay.angle_deg))
                if cells is not None and kind not in full:
                    start = (place.x - lay.size[0] + 1, place.y - lay.size[1] + 1)
                    _forbid(cells, raster.forbidden(place.lay, lay), *start)
                    effort.spend(WORK_OF_A_LAY)
    return _Filled(stock, tuple(places), reach)


def _best_place(lays: Sequence[Lay], free: dict[tuple[int, float], Cells]) -> _Place | None:
    """The free place whose far edge is nearest to the start, then lowest."""
    best: tuple[int, int] | None = None
    found: _Place | None = None
    for lay in lays:
        cells = free.get((lay.shape, lay.angle_deg))
        if cells is None:
            continue
        first = int(cells.argmax())
        x, y = divmod(first, cells.shape[1])
        if not cells[x, y]:
            continue
        rank = (x + lay.size[0], y + lay.size[1])
        if best is None or rank < best:
            best, found = rank, _Place(lay, x, y)
    return found


def _forbid(cells: Cells, forbidden: Cells, x: int, y: int) -> None:
    """Take the forbidden cells, laid at x, y, out of the free ones."""
    x0, y0 = max(x, 0), max(y, 0)
    x1, y1 = min(x + forbidden.shape[0], cells.shape[0]), min(y + forbidden.shape[1], cells.shape[1])
    if x0 < x1 and y0 < y1:
        cells[x0:x1, y0:y1] &= ~forbidden[x0 - x : x1 - x, y0 - y : y1 - y]


def _plan(
    order: NestOrder, nest: _Nest | None, effort: Effort, *, stopped: bool, cell: float = 1.0
) -> NestPlan:
    filled = nest.sheets if nest is not None else ()
    sheets = tuple(_sheet(order, one, cell) for one in filled)
    placed: list[str] = [shape.shape for sheet in sheets for shape in sheet.shapes]
    unplaced = tuple(
        Shortage(shape.id, shape.quantity - placed.count(shape.id), _why(order, shape))
        for shape in order.shapes
        if placed.count(shape.id) < shape.quantity
    )
    cost = sum(order.stocks[one.stock].price for one in filled)
    bound = 0.0 if unplaced else min(cost, area_cost(order, order.shapes))
    return NestPlan(sheets, cost, bound, unplaced, effort.late, stopped)


def _sheet(order: NestOrder, filled: _Filled, cell: float) -> NestedSheet:
    stock = order.stocks[filled.stock]
    shapes = tuple(
        NestedShape(
            order.shapes[place.lay.shape].id,
            place.lay.angle_deg,
            order.margin + place.x * cell,
            order.margin + place.y * cell,
        )
        for place in filled.places
    )
    by_id = {shape.id: shape for shape in order.shapes}
    used = max(lie(by_id[nested.shape], nested).bounds[2] for nested in shapes) + order.margin
    return NestedSheet(stock.id, stock.length, stock.width, shapes, float(used))


def _why(order: NestOrder, shape: Shape) -> str:
    m = 2.0 * order.margin
    for angle in shape.angles_deg:
        _, _, length, width = shape.at(angle).bounds
        if any(length <= stock.length - m and width <= stock.width - m for stock in order.stocks):
            return f"The sheets do not suffice for {shape.id}; add a sheet, or raise a count."
    _, _, length, width = shape.at(shape.angles_deg[0]).bounds
    return (
        f"{shape.id} ({length:.0f} x {width:.0f} mm) goes on no sheet inside its margins; add a larger sheet."
    )
