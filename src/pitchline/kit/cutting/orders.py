"""A whole need: divided into orders, planned one after the other, judged, and put together again."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from time import monotonic

from pitchline.kit.cutting.bars import plan_bars
from pitchline.kit.cutting.checker import check_bars, check_sheets
from pitchline.kit.cutting.fitting import Show, in_mm, without_unfit_bars, without_unfit_sheets
from pitchline.kit.cutting.need import BarOrder, BarStock, Need, Piece, SheetOrder, SheetStock
from pitchline.kit.cutting.plan import BarPlan, CuttingPlan, Ripped, SheetPlan, Shortage
from pitchline.kit.tolerances import SAME_PART

SHEETS_ARE_HARDER = 3.0
"""A piece on a sheet is given this many times the planning time of one on a bar."""


@dataclass(frozen=True, slots=True)
class Orders:
    """A need divided: bars of one section each, sheets of one thickness each, and what no stock can give."""

    bars: tuple[BarOrder, ...]
    sheets: tuple[SheetOrder, ...]
    shortages: tuple[Shortage, ...]


def plan_need(need: Need, seconds: float = 5.0, seed: int = 0, show: Show = in_mm) -> CuttingPlan:
    """The plan of a need: every order gets its share of ``seconds``; the same seed gives the same plan.

    What found no place is told in ``unplaced``, one sentence each with lengths written by ``show``; there is no bound
    then. Ctrl-C ends the search with the best plan so far. RuntimeError if a plan fails its check: a fault of the
    program.
    """
    begin = monotonic()
    orders = orders_of(need, show)
    weights = [float(_pieces(order.parts)) for order in orders.bars]
    weights += [SHEETS_ARE_HARDER * _pieces(order.parts) for order in orders.sheets]
    shares = [seconds * weight / sum(weights) for weight in weights]
    bars: list[BarPlan] = []
    sheets: list[SheetPlan] = []
    ripped: list[Ripped] = []
    stopped = False
    for bar_order, share in zip(orders.bars, shares, strict=False):
        plan = plan_bars(bar_order, 0.0 if stopped else share, seed)
        _demand_sound(check_bars(bar_order, plan))
        stopped = stopped or plan.stopped
        bars.append(plan)
    for sheet_order, share in zip(orders.sheets, shares[len(orders.bars) :], strict=True):
        cut, strips = _sheet_plan(sheet_order, 0.0 if stopped else share, seed)
        ripped += strips
        _demand_sound(check_sheets(sheet_order, cut))
        stopped = stopped or cut.stopped
        sheets.append(cut)
    whole = _together(bars, sheets, orders.shortages, monotonic() - begin)
    return replace(whole, ripped=tuple(ripped))


def _sheet_plan(order: SheetOrder, seconds: float, seed: int) -> tuple[SheetPlan, tuple[Ripped, ...]]:
    """The plan, and what a merchant is asked for if one rips the sheets."""
    from pitchline.kit.cutting.sheets import plan_sheets  # half of the planners' code, which bars do not need
    from pitchline.kit.cutting.sheets_strips import plan_strips

    if not order.saw.merchant:
        return plan_sheets(order, seconds, seed), ()
    saw = order.saw
    found = plan_strips(order, saw.kerf_across, seconds, seed, home_rips=saw.home_rips)
    asked = tuple(Ripped(one.stock, one.count, one.widths, one.marks, one.rest) for one in found.merchant)
    return found.plan, asked


def _pieces(parts: Iterable[Piece]) -> int:
    return sum(part.quantity for part in parts)


def _demand_sound(faults: Sequence[str]) -> None:
    if faults:
        raise RuntimeError("a cutting plan failed its own check: " + "; ".join(faults))


def _together(
    bars: Sequence[BarPlan], sheets: Sequence[SheetPlan], shortages: tuple[Shortage, ...], seconds: float
) -> CuttingPlan:
    plans: list[BarPlan | SheetPlan] = [*bars, *sheets]
    unplaced = shortages + tuple(shortage for plan in plans for shortage in plan.unplaced)
    return CuttingPlan(
        sheets=tuple(sheet for plan in sheets for sheet in plan.sheets),
        bars=tuple(bar for plan in bars for bar in plan.bars),
        cost=sum(plan.cost for plan in plans),
        lower_bound=0.0 if unplaced else sum(plan.lower_bound for plan in plans),
        seconds=seconds,
        unplaced=unplaced,
        late=any(plan.late for plan in plans),
        stopped=any(plan.stopped for plan in plans),
        engines=tuple(sorted({plan.engine for plan in plans if plan.engine})),
    )


def orders_of(need: Need, show: Show = in_mm) -> Orders:
    """The need divided. A part goes to bars of its section where there are any, else to sheets of its thickness."""
    bars: dict[int, list[Piece]] = {}
    sheets: dict[int, list[Piece]] = {}
    shortages: list[Shortage] = []
    bar_kinds, sheet_kinds = _bar_kinds(need.bars), _sheet_kinds(need.sheets)
    for part in need.parts:
        bar = next((i for i, kind in enumerate(bar_kinds) if _same_section(part, kind[0])), None)
        sheet = next((i for i, kind in enumerate(sheet_kinds) if _same_thickness(part, kind[0])), None)
        if bar is not None:
            bars.setdefault(bar, []).append(part)
        elif sheet is not None:
            sheets.setdefault(sheet, []).append(part)
        else:
            shortages.append(Shortage(part.id, part.quantity, _no_stock(need, part, show)))
    bar_orders: list[BarOrder] = []
    for index, parts in sorted(bars.items()):
        order, unfit = without_unfit_bars(BarOrder(tuple(parts), bar_kinds[index], need.saw, need.keep), show)
        shortages += unfit
        bar_orders += [order] if order.parts else []
    sheet_orders: list[SheetOrder] = []
    for index, parts in sorted(sheets.items()):
        whole = SheetOrder(tuple(parts), sheet_kinds[index], need.saw, need.keep)
        cut, unfit = without_unfit_sheets(whole, show)
        shortages += unfit
        sheet_orders += [_with_fitting_stock(cut)] if cut.parts else []
    return Orders(tuple(bar_orders), tuple(sheet_orders), tuple(shortages))


def _with_fitting_stock(order: SheetOrder) -> SheetOrder:
    """The order without sheets of which nothing is left when they are trimmed, or of which there are none."""
    useful = [
        stock
        for stock in order.stocks
        if min(stock.length, stock.width) > 2.0 * order.trim_of(stock) and stock.count != 0
    ]
    return replace(order, stocks=tuple(useful))


def _bar_kinds(stocks: Iterable[BarStock]) -> list[tuple[BarStock, ...]]:
    kinds: list[list[BarStock]] = []
    for stock in stocks:
        for kind in kinds:
            alike = abs(kind[0].width - stock.width) <= SAME_PART
            if (
                alike
                and abs(kind[0].thickness - stock.thickness) <= SAME_PART
                and kind[0].material == stock.material
            ):
                kind.append(stock)
                break
        else:
            kinds.append([stock])
    return [tuple(kind) for kind in kinds]


def _sheet_kinds(stocks: Iterable[SheetStock]) -> list[tuple[SheetStock, ...]]:
    kinds: list[list[SheetStock]] = []
    for stock in stocks:
        for kind in kinds:
            if abs(kind[0].thickness - stock.thickness) <= SAME_PART and kind[0].material == stock.material:
                kind.append(stock)
                break
        else:
            kinds.append([stock])
    return [tuple(kind) for kind in kinds]


def _same_section(part: Piece, stock: BarStock) -> bool:
    return (
        part.material == stock.material
        and abs(part.width - stock.width) <= SAME_PART
        and abs(part.thickness - stock.thickness) <= SAME_PART
    )


def _same_thickness(part: Piece, stock: SheetStock) -> bool:
    return part.material == stock.material and abs(part.thickness - stock.thickness) <= SAME_PART


def _no_stock(need: Need, part: Piece, show: Show) -> str:
    of = f" of {part.material}" if part.material else ""
    sections = sorted({(stock.width, stock.thickness) for stock in need.bars})
    thicknesses = sorted({stock.thickness for stock in need.sheets})
    have = [f"{show(width)} x {show(thickness)}" for width, thickness in sections]
    have += [f"{show(thickness)} thick sheet" for thickness in thicknesses]
    there = "; there is " + ", ".join(have) if have else "; no stock is listed"
    return (
        f"{part.id} is {show(part.width)} x {show(part.thickness)}{of} and no bar has that section, no sheet that "
        f"thickness{there}"
    )
