"""What one bar can be worth at most, when every piece has its price: the pricing problem of column generation.

A knapsack (P. C. Gilmore and R. E. Gomory, A linear programming approach to the cutting-stock problem, 1961) whose
state is the length used and the slope of the last cut. Worked out on a grid: with pieces rounded down and bars up
the value is an upper bound for any bar. Nothing limits how often a sort is laid, which only makes it larger.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pitchline.kit.cutting.bars_task import BarTask
from pitchline.kit.tolerances import CUT_FITS

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

NO_GAIN = 1e-9
"""Values that differ by less than this part of the dearest piece are equal: rounding in sums of doubles."""


@dataclass(frozen=True, slots=True)
class Worth:
    """The most a bar can be worth, and lies that are; they may overfill the bar by the grid's rounding."""

    value: float
    lies: tuple[int, ...]


class BarPricer:
    """Values of all bar lengths at once. ``upwards`` rounds pieces up: its lies always fit, its value is no bound."""

    def __init__(self, task: BarTask, grid: float, *, upwards: bool = False) -> None:
        self.task = task
        self.grid = grid

        def steps(length: float) -> int:
            return math.ceil(length / grid - CUT_FITS) if upwards else math.floor(length / grid + CUT_FITS)

        def spread(lengths: Floats) -> Ints:
            return np.array([steps(float(x)) for x in lengths.ravel()], dtype=np.int64).reshape(lengths.shape)

        self._room, self._edge = spread(task.room), spread(task.edge)
        self._cores = [max(1, steps(lie.core)) for lie in task.lies]
        whole = math.floor if upwards else math.ceil
        shift = CUT_FITS if upwards else -CUT_FITS
        self._ends = [whole(stock.length / grid + shift) for stock in task.stocks]

    @property
    def cells(self) -> int:
        """How many cells one pricing works out."""
        return (len(self._cores) + len(self._edge) ** 2) * max(self._ends, default=0)

    def worth(self, prices: Floats) -> list[Worth]:
        """The most valuable filling of each stock at these prices (0 or more, one for each sort)."""
        scale = float(prices.max(initial=0.0))
        if scale <= 0.0:
            return [Worth(0.0, ()) for _ in self.task.stocks]
        values, before = self._tables(prices / scale)
        return [self._best(end, values, before, prices / scale, scale) for end in self._ends]

    def _tables(self, prices: Floats) -> tuple[Floats, Floats]:
        """``values[s, x]``: most value with the last cut of slope s within x; ``before[s, x]``: most value with room
        for a cut of slope s at x. Minus infinity where nothing can be.
        """
        slopes, size = len(self._edge), max(self._ends, default=0) + 1
        values = np.full((slopes, size), -np.inf)
        before = np.full((slopes, size), -np.inf)
        useful = [(i, lie) for i, lie in enumerate(self.task.lies) if prices[lie.sort] > 0.0]
        step = min((self._cores[i] for i, _ in useful), default=size)
        for low in range(0, size, step):
            high = min(size, low + step)
            for index, lie in useful:
                self._lay(
                    values[lie.right], before[lie.left], self._cores[index], prices[lie.sort], low, high
                )
            for row in values:
                edge = row[low - 1] if low else -np.inf
                np.maximum.accumulate(np.maximum(row[low:high], edge), out=row[low:high])
            self._make_room(values, before, low, high)
        return values, before

    @staticmethod
    def _lay(value: Floats, before: Floats, core: int, price: float, low: int, high: int) -> None:
        first = max(low, core)
        if first < high:
            better = before[first - core : high - core] + price
            np.maximum(value[first:high], better, out=value[first:high])

    def _make_room(self, values: Floats, before: Floats, low: int, high: int) -> None:
        for left in range(len(self._edge)):
            row = before[left]
            start = max(low, int(self._edge[left]))
            if start < high:
                row[start:high] = 0.0
            for right in range(len(self._edge)):
                room = int(self._room[right, left])
                first = max(low, room)
                if first < high:
                    np.maximum(
                        row[first:high], values[right, first - room : high - room], out=row[first:high]
                    )

    def _best(self, end: int, values: Floats, before: Floats, prices: Floats, scale: float) -> Worth:
        found = [(0.0, -1)]
        for slope, edge in enumerate(self._edge):
            if end - edge >= 0:
                found.append((float(values[slope, end - edge]), slope))
        value, slope = max(found)
        if slope < 0 or value <= NO_GAIN:
            return Worth(0.0, ())
        return Worth(value * scale, self._traced(end - int(self._edge[slope]), slope, values, before, prices))

    def _traced(self, at: int, slope: int, values: Floats, before: Floats, prices: Floats) -> tuple[int, ...]:
        """The lies that made up a value, from the bar's start."""
        lies: list[int] = []
        while True:
            goal = values[slope, at]
            index, at = self._last_lie(at, slope, goal, before, prices)
            lies.append(index)
            left = self.task.lies[index].left
            goal = before[left, at]
            if goal <= NO_GAIN:
                return tuple(reversed(lies))
            for right in range(len(self._edge)):
                back = at - int(self._room[right, left])
                if back >= 0 and values[right, back] >= goal - NO_GAIN:
                    slope, at = right, back
                    break

    def _last_lie(self, at: int, slope: int, goal: float, before: Floats, prices: Floats) -> tuple[int, int]:
        """The lie that ends last within ``at``, and where its start cut meets the middle line."""
        best: tuple[float, int, int] | None = None
        for index, lie in enumerate(self.task.lies):
            if lie.right != slope or prices[lie.sort] <= 0.0:
                continue
            back = at - self._cores[index]
            if back < 0:
                continue
            value = float(before[lie.left, back]) + float(prices[lie.sort])
            if best is None or value > best[0] + NO_GAIN:
                best = (value, index, back)
        assert best is not None
        assert best[0] >= goal - NO_GAIN
        return best[1], best[2]
