"""A cost below which no plan can be, proved by column generation, and the patterns that turned up on the way.

At any prices p for the pieces, sheets n of any plan satisfy ``sum n_k V_k(p) >= p . demand``, V_k being the most
that a sheet of stock k can be worth (`guillotine_prices`): each pricing gives such a cut, the area being the first.
The cheapest whole numbers of sheets that satisfy all cuts cost no more than any plan. Where a linear programme
shows that this combination cannot hold the pieces, its prices give another cut, and so on. The bound of the linear
programme itself is that of A. A. Farley, A note on bounding a class of linear programming problems, 1990.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from pitchline.kit.cutting.guillotine_prices import Pricer, Worth, grids
from pitchline.kit.cutting.patterns import Pattern, Task
from pitchline.kit.cutting.sheets_effort import Effort, Share
from pitchline.kit.cutting.sheets_master import Duals, Master, cheapest_combination

Floats = NDArray[np.float64]
Cut = tuple[Floats, float]

FINEST_TABLE = 8_000_000
"""Cells of the largest table that a pricing may fill: 32 MB, and about a quarter of a second."""

COARSE, FINE = (1000,), (2600, 6000)
"""Cells along the longest sheet of the grids that are tried in turn, first for a quick bound, then for a good one."""

RELATIVE = 1e-7
"""Reduced costs within this part of a sheet's price are rounding of the linear programme."""

MOST_CUTS = 60
"""Combinations that are disproved at most; each takes a linear programme and some pricings."""


@dataclass(slots=True)
class Bounds:
    """What has been proved: cuts, the cheapest combination they allow, prices, and sound patterns."""

    task: Task
    cuts: list[Cut]
    cost: float = 0.0
    combination: tuple[int, ...] = ()
    relaxed: float = 0.0
    prices: Floats | None = None
    patterns: dict[tuple[int, tuple[int, ...]], Pattern] = field(default_factory=dict)
    grids: list[int] = field(default_factory=list)

    def refresh(self) -> None:
        """Work out the cheapest combination again after cuts were added."""
        cost, combination = cheapest_combination(self.task, self.cuts)
        self.cost = max(self.cost, cost)
        self.combination = combination

    def allows(self, combination: Iterable[int]) -> float:
        """The least slack that the cuts leave a combination, as a share of the need; below 0 it is disproved."""
        numbers = np.array(tuple(combination), dtype=np.float64)
        return min(float(values @ numbers) / need - 1.0 for values, need in self.cuts)


def area_bound(task: Task) -> Bounds:
    """The bound that area alone gives: the floor under every other."""
    areas = np.array([float(stock.area) for stock in task.stocks])
    bounds = Bounds(task, [(areas, float(task.area))])
    bounds.refresh()
    return bounds


def improve_bound(
    bounds: Bounds, known: Iterable[Pattern], effort: Effort | Share, enough: float, cells: Sequence[int]
) -> None:
    """Raise the bound on finer and finer grids until the effort is over or it has reached ``enough``.

    ``known`` are patterns that can be cut; they start the linear programme. ``cells`` are those of the grids.
    """
    task = bounds.task
    start = list(known)
    for grid in grids(task, cells):
        if grid in bounds.grids:
            continue
        if (
            effort.over
            or bounds.cost >= enough - 1e-9
            or (bounds.patterns and _table_cells(task, grid) > FINEST_TABLE)
        ):
            return
        master = Master(task)
        for pattern in [*start, *bounds.patterns.values()]:
            master.add(pattern.stock, pattern.counts)
        if not _generate(bounds, master, Pricer(task, grid), effort):
            return
        bounds.grids.append(grid)
        _disprove(bounds, master, Pricer(task, grid), effort, enough)


def _table_cells(task: Task, grid: int) -> int:
    if task.stages == 2:
        return 1
    return max(stock.area for stock in task.stocks) // (2 * grid * grid)


def _price(
    bounds: Bounds, pricer: Pricer, prices: Floats, effort: Effort | Share
) -> tuple[Floats, list[Worth]]:
    """The worth of each stock at these prices, as a cut, and the patterns."""
    task = bounds.task
    values, found = np.zeros(len(task.stocks)), []
    for stock in range(len(task.stocks)):
        for lying in task.ways_of(stock):
            worth = pricer.worth(stock, lying, prices)
            values[stock] = max(values[stock], worth.value)
            found.append(worth)
    effort.spend(_table_cells(task, pricer.grid) * len(task.sorts) * 0.01 + 4000.0 * len(found))
    need = float(prices @ np.array(task.demand))
    if need > 0.0:
        bounds.cuts.append((values, need))
    return values, found


def _take(bounds: Bounds, master: Master, found: Iterable[Worth], duals: Duals) -> bool:
    """Add what is worth more than it costs to the master; True when something was new."""
    new = False
    for worth in found:
        if worth.pattern is None:
            continue
        pattern = worth.pattern
        price = bounds.task.stocks[pattern.stock].cost
        cost = (price if master.combination is None else 0.0) - duals.limits[pattern.stock]
        if worth.value > cost + RELATIVE * (price if master.combination is None else 1.0):
            new |= master.add(pattern.stock, pattern.counts)
            if worth.sound:
                bounds.patterns.setdefault((pattern.stock, pattern.counts), pattern)
    return new


def _generate(bounds: Bounds, master: Master, pricer: Pricer, effort: Effort | Share) -> bool:
    """Column generation to its end; False when the effort was over before."""
    while True:
        duals = master.solve()
        values, found = _price(bounds, pricer, duals.prices, effort)
        low = _farley(bounds.task, values, duals.prices)
        if low > bounds.relaxed or bounds.prices is None:
            bounds.relaxed, bounds.prices = max(low, bounds.relaxed), duals.prices
        if not _take(bounds, master, found, duals) or low >= duals.value * (1.0 - 1e-6):
            bounds.prices = duals.prices
            bounds.refresh()
            return True
        if effort.over:
            bounds.refresh()
            return False


def _farley(task: Task, values: Floats, prices: Floats) -> float:
    """The bound on the linear programme that prices and worths prove."""
    free = [
        stock.cost / value
        for stock, value in zip(task.stocks, values.tolist(), strict=True)
        if stock.count is None and value > 0.0
    ]
    scale: float = min([*free, 1.0])
    low: float = scale * float(prices @ np.array(task.demand))
    for stock, value in zip(task.stocks, values.tolist(), strict=True):
        if stock.count is not None:
            low += stock.count * min(0.0, stock.cost - scale * value)
    return low


def _disprove(bounds: Bounds, master: Master, pricer: Pricer, effort: Effort | Share, enough: float) -> None:
    """Test the cheapest combination by a linear programme of its own, as long as that rules it out."""
    for _ in range(MOST_CUTS):
        if effort.over or bounds.cost >= enough - 1e-9 or bounds.cost == float("inf"):
            return
        trial = Master(bounds.task, bounds.combination)
        for stock, counts in sorted(master.columns):
            trial.add(stock, counts)
        if not _ruled_out(bounds, master, trial, pricer, effort):
            return
        bounds.refresh()


def _ruled_out(bounds: Bounds, master: Master, trial: Master, pricer: Pricer, effort: Effort | Share) -> bool:
    numbers = np.array(bounds.combination, dtype=np.float64)
    while not effort.over:
        duals = trial.solve()
        if duals.value < 1e-7:
            return False
        values, found = _price(bounds, pricer, duals.prices, effort)
        need = float(duals.prices @ np.array(bounds.task.demand))
        if need > float(values @ numbers) + 1e-7 * need:
            return True
        known = len(trial.columns)
        _take(bounds, trial, found, duals)
        if len(trial.columns) == known:
            return False
        for stock, counts in trial.columns - master.columns:
            master.add(stock, counts)
    return False
