"""Cutting plans for sheets: guillotine cuts in two or three stages, lowest cost first, then the largest rest.

``plan_sheets`` is the whole of it: it turns an order into grown whole numbers (`patterns`), plans (`sheets_improve`),
spends what effort is left on one large rest (`sheets_rests`), and lays the pieces out again in mm.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from math import ceil, floor
from time import monotonic

from pitchline.kit.cutting.fitting import without_unfit_sheets
from pitchline.kit.cutting.need import Piece, SheetOrder, SheetStock
from pitchline.kit.cutting.patterns import UNITS_PER_MM, Pattern, Sort, Spot, Stock, Task, spots, tidied
from pitchline.kit.cutting.plan import CutSheet, Rest, SheetPiece, SheetPlan, Shortage
from pitchline.kit.cutting.sheets_improve import Progress, search
from pitchline.kit.cutting.sheets_rests import Smallest, enlarge_rest
from pitchline.kit.cutting.sheets_search import Bench, Cuts, uncut
from pitchline.kit.cutting.sheets_second import has_second, start_second

OWN_ENGINE = "own"

SECOND_ENGINE = "second"

WORTH_A_PROCESS = 3.0
"""Seconds from which a second search is started beside the first: it takes half a second to begin."""

FREE = 1e-6
"""A sheet without a price costs this part of the dearest one, so that it is used, but not for nothing."""


@dataclass(frozen=True, slots=True)
class Kerfs:
    """Kerfs in whole units: of cuts across the sheet's length, which take length, and of cuts along it."""

    across: int
    along: int

    @staticmethod
    def of(order: SheetOrder) -> "Kerfs":
        """One saw for all cuts."""
        return Kerfs(_up(order.saw.kerf), _up(order.saw.kerf))

    @staticmethod
    def from_mm(across: float, along: float) -> "Kerfs":
        """Two saws; kerfs in mm, rounded up to whole units."""
        return Kerfs(_up(across), _up(along))


def plan_sheets(
    order: SheetOrder,
    seconds: float,
    seed: int = 0,
    offers: Iterable[Cuts] = (),
    clock: Callable[[], float] = monotonic,
) -> SheetPlan:
    """A plan for the order within so many seconds, and a cost that no plan in these stages can undercut.

    The same seed gives the same plan unless the clock cut the search short (``late``) or the user did
    (``stopped``, Ctrl-C): then it is the best that was found by then. Parts that fit no sheet, and those for which
    the sheets do not suffice, are told in ``unplaced``. ``offers`` are plans from elsewhere to start from.
    """
    return plan_with_kerfs(order, Kerfs.of(order), seconds, seed, offers=offers, clock=clock)


def plan_with_kerfs(
    order: SheetOrder,
    kerfs: Kerfs,
    seconds: float,
    seed: int = 0,
    *,
    exact: bool = False,
    offers: Iterable[Cuts] = (),
    clock: Callable[[], float] = monotonic,
) -> SheetPlan:
    """As `plan_sheets`, with a kerf for each way of cutting; ``exact``: no piece is narrower than its strip."""
    order, misfits = without_unfit_sheets(order)
    parts = tuple(part for part in order.parts if part.quantity > 0)
    if not parts:
        return SheetPlan((), 0.0, 0.0, misfits, engine=OWN_ENGINE)
    task = replace(sheet_task(order, parts, kerfs), exact=exact)
    smallest = Smallest(floor(order.keep.length * UNITS_PER_MM), floor(order.keep.width * UNITS_PER_MM))

    second = start_second(task, 0.5 * seconds, seed + 1) if seconds >= WORTH_A_PROCESS else None
    engines = [OWN_ENGINE]

    def finish(bench: Bench, progress: Progress) -> None:
        if second is not None and not progress.settled:
            cuts, late = second.proposal(0.5 * bench.effort.seconds_left)
            bench.effort.late |= late
            if cuts and progress.offer(cuts) and has_second():
                engines[0] = SECOND_ENGINE
        enlarge_rest(bench, progress, smallest, (kerfs.across, kerfs.along))

    try:
        progress = search(task, seconds, seed, offers, clock, finish)
    finally:
        if second is not None:
            second.stop()
    return replace(_plan(order, parts, kerfs, progress, misfits), engine=engines[0])


def _plan(
    order: SheetOrder,
    parts: tuple[Piece, ...],
    kerfs: Kerfs,
    progress: Progress,
    misfits: tuple[Shortage, ...],
) -> SheetPlan:
    task = progress.task
    sheets = tuple(_cut_sheet(order, parts, kerfs, task, tidied(task, pattern)) for pattern in progress.cuts)
    cost = sum(order.stocks[pattern.stock].price for pattern in progress.cuts)
    short = _shortages(parts, [int(count) for count in uncut(task, progress.cuts)])
    bound = min(progress.bounds.cost, cost) if not short else 0.0
    if any(stock.price <= 0.0 for stock in order.stocks):
        bound = max(0.0, bound - FREE * len(progress.cuts) * max(stock.cost for stock in task.stocks))
    return SheetPlan(
        sheets,
        cost,
        bound,
        misfits + short,
        late=progress.effort.late,
        stopped=progress.stopped,
        engine=OWN_ENGINE,
    )


def sheet_task(order: SheetOrder, parts: Iterable[Piece], kerfs: Kerfs) -> Task:
    """The order in grown whole numbers: pieces rounded up, sheets down."""
    along, across = kerfs.across, kerfs.along
    dearest = max((stock.price for stock in order.stocks), default=0.0) or 1.0
    sorts = []
    for part in parts:
        length, width = _up(part.length), _up(part.width)
        turned = None if part.keep_grain else (width + along, length + across)
        sorts.append(Sort((length + along, width + across), turned, part.quantity))
    stocks = []
    for stock in order.stocks:
        length, width = _net(order, stock)
        cost = stock.price if stock.price > 0.0 else FREE * dearest
        stocks.append(Stock(length + along, width + across, cost, stock.count))
    return Task(tuple(sorts), tuple(stocks), order.saw.stages, order.saw.first)


def _net(order: SheetOrder, stock: SheetStock) -> tuple[int, int]:
    trim = 2.0 * order.trim_of(stock)
    return max(_down(stock.length - trim), 0), max(_down(stock.width - trim), 0)


def _up(length: float) -> int:
    return ceil(length * UNITS_PER_MM - 1e-6)


def _down(length: float) -> int:
    return floor(length * UNITS_PER_MM + 1e-6)


def _shortages(parts: tuple[Piece, ...], left: Iterable[int]) -> tuple[Shortage, ...]:
    return tuple(
        Shortage(
            part.id,
            count,
            f"The sheets do not suffice for {count} of {part.quantity} of {part.id} ({part.length:g} x "
            f"{part.width:g} mm); add a sheet, or raise a count.",
        )
        for part, count in zip(parts, left, strict=True)
        if count
    )


def _cut_sheet(
    order: SheetOrder, parts: tuple[Piece, ...], kerfs: Kerfs, task: Task, pattern: Pattern
) -> CutSheet:
    stock = order.stocks[pattern.stock]
    trim = order.trim_of(stock)
    pieces, rests = [], []
    for spot in spots(task, pattern):
        x, y = trim + spot.x / UNITS_PER_MM, trim + spot.y / UNITS_PER_MM
        if spot.sort is None:
            rest = _rest(order, kerfs, spot, x, y)
            rests += [rest] if rest is not None else []
            continue
        part = parts[spot.sort]
        length, width = (part.width, part.length) if spot.turned else (part.length, part.width)
        pieces.append(SheetPiece(part.id, x, y, length, width, spot.turned))
    rests.sort(key=lambda rest: (-rest.area, rest.x, rest.y))
    return CutSheet(stock.id, stock.length, stock.width, tuple(pieces), tuple(rests))


def _rest(order: SheetOrder, kerfs: Kerfs, spot: Spot, x: float, y: float) -> Rest | None:
    """What is left at a place, less the kerf, if it is worth keeping."""
    length = (spot.length - kerfs.across) / UNITS_PER_MM
    width = (spot.width - kerfs.along) / UNITS_PER_MM
    if length >= order.keep.length and width >= order.keep.width:
        return Rest(x, y, length, width)
    return None
