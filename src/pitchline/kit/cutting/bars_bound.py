"""A cost below which no plan of bars can be, proved by column generation, and the patterns that turned up on the way.

At any prices p of the pieces the bars n of any plan satisfy ``sum n_k V_k(p) >= p . demand``, V_k being the most that
a bar of stock k can be worth (`bars_prices`): each pricing gives such a cut. The cheapest whole numbers of bars that
satisfy all cuts cost no more than any plan. Where a linear programme shows that this combination cannot hold the
pieces, its prices give another cut, and so on (J. F. Benders, Partitioning procedures for solving mixed-variables
programming problems, 1962, is the thought).
"""

from collections.abc import Iterable
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from pitchline.kit.cutting.bars_master import Column, Duals, Master, cheapest_numbers
from pitchline.kit.cutting.bars_prices import BarPricer, Worth
from pitchline.kit.cutting.bars_task import BarTask, Pattern
from pitchline.kit.cutting.sheets_effort import Share

Floats = NDArray[np.float64]

RELATIVE = 1e-7
"""Reduced costs within this part of a bar's price are rounding of the linear programme."""

MOST_TRIALS = 400
"""Combinations that are disproved at most; each takes a linear programme and some pricings."""

SETTLED = 1e-9
"""A combination whose linear programme leaves less than this share uncut is not disproved."""


CELLS_A_UNIT = 400.0
"""Cells of a pricing's tables that cost as much as one way weighed in a search."""


@dataclass(slots=True)
class Bounds:
    """What has been proved: cuts, the cheapest combination they allow, prices of the pieces, and sound patterns.

    ``settled``: the cheapest combination that is left was tried and its linear programme holds the pieces.
    """

    task: BarTask
    cuts: list[tuple[Floats, float]] = field(default_factory=list)
    cost: float = 0.0
    numbers: tuple[int, ...] = ()
    prices: Floats | None = None
    patterns: dict[Column, Pattern] = field(default_factory=dict)
    settled: bool = False

    def refresh(self) -> None:
        """Work out the cheapest combination again after cuts were added."""
        cost, self.numbers = cheapest_numbers(self.task, self.cuts)
        self.cost = max(self.cost, cost)

    def keep(self, pattern: Pattern) -> None:
        """Remember a pattern that can be cut."""
        self.patterns.setdefault((pattern.stock, pattern.counts), pattern)


def length_bound(task: BarTask) -> Bounds:
    """The bound that length alone gives: the floor under every other."""
    room = float(task.room.max(initial=0.0))
    lengths = np.array([stock.length + room for stock in task.stocks])
    bounds = Bounds(task, [(lengths, float(task.weights @ np.array(task.demand)))])
    bounds.refresh()
    return bounds


class Generator:
    """Column generation over one task, for as long as its share of the effort lasts."""

    def __init__(self, bounds: Bounds, grid: float, share: Share) -> None:
        self.bounds, self.task, self._share = bounds, bounds.task, share
        self._pricer = BarPricer(bounds.task, grid)
        self._fitting = BarPricer(bounds.task, grid, upwards=True)
        self._columns: dict[Column, Pattern] = {}

    def solve(self, start: Iterable[Pattern]) -> bool:
        """Column generation for the whole task, to its end; False when stopped before."""
        master = Master(self.task)
        for pattern in start:
            self._columns.setdefault((pattern.stock, pattern.counts), pattern)
            master.add(pattern)
        self._price(
            self.task.weights
        )  # by length alone: near the best prices where pieces are many and unlike
        self.bounds.refresh()
        done = False
        while not done and not self._share.over:
            duals = master.solve()
            found = self._price(duals.prices)
            self.bounds.prices = duals.prices
            done = not self._take(master, found, duals)
        self.bounds.refresh()
        return done

    def disprove(self, enough: float) -> None:
        """Try the cheapest combination, as long as that rules it out and the bound is below ``enough``."""
        for _ in range(MOST_TRIALS):
            if self._share.over or self.bounds.cost >= enough - 1e-9:
                return
            if not any(self.bounds.numbers):
                return
            if not self._ruled_out():
                return
            self.bounds.refresh()

    def _ruled_out(self) -> bool:
        """Whether the cheapest combination cannot hold the pieces; the proof is among the cuts then."""
        numbers = np.array(self.bounds.numbers, dtype=np.float64)
        trial = Master(self.task, self.bounds.numbers)
        for pattern in self._columns.values():
            trial.add(pattern)
        while not self._share.over:
            duals = trial.solve()
            if duals.value < SETTLED:
                self.bounds.settled = True
                return False
            found = self._price(duals.prices)
            values, need = self.bounds.cuts[-1]
            if need > float(values @ numbers) + 1e-9 * need:
                return True
            if not self._take(trial, found, duals):
                return False
        return False

    def _price(self, prices: Floats) -> list[Worth]:
        """The worth of each stock at these prices; it is kept as a cut."""
        found = self._pricer.worth(prices)
        self._share.spend(self._pricer.cells / CELLS_A_UNIT + 3000.0)
        need = float(prices @ np.array(self.task.demand))
        if need > 0.0:
            self.bounds.cuts.append((np.array([worth.value for worth in found]), need))
        return found

    def _take(self, master: Master, found: Iterable[Worth], duals: Duals) -> bool:
        """Add what is worth more than it costs to the programme; True when something was new."""
        new = False
        tight: list[Worth] | None = None
        for stock, worth in enumerate(found):
            price = self.task.stocks[stock].cost if master.numbers is None else 0.0
            if worth.value <= price - duals.limits[stock] + RELATIVE * max(price, 1e-3):
                continue
            pattern = self.task.pattern(stock, worth.lies)
            new |= master.add(pattern)
            self._columns.setdefault((stock, pattern.counts), pattern)
            if self.task.fits(stock, worth.lies):
                self.bounds.keep(pattern)
                continue
            tight = tight or self._fitting.worth(duals.prices)
            if tight[stock].lies:
                self.bounds.keep(self.task.pattern(stock, tight[stock].lies))
        return new
