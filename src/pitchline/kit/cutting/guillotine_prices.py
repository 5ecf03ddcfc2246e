"""What one sheet can be worth at most, when every piece has its price: the pricing problem of column generation.

Worked out by dynamic programming on a grid, as by P. C. Gilmore and R. E. Gomory, Multistage cutting stock problems
of two and more dimensions, 1965: the best strip of every width and length, the best stack of strips in every
segment, the best row of segments. Within one strip no sort is laid more often than it is wanted; over the sheet it
may be, so the value is an upper bound on that of any plan's sheet. Pieces are rounded down to the grid and sheets
up, which keeps it one.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import reduce
from math import gcd
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from pitchline.kit.cutting.patterns import (
    Lie,
    Pattern,
    Segment,
    Strip,
    Task,
    fits,
    pattern_from_segments,
)

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

NO_GAIN = 1e-12
"""Values that differ by less than this part of the largest price are equal: rounding in sums of doubles."""

SINGLES = 4e-6
"""Stacks of three-stage patterns are summed in single precision, for speed: up to fifty sums, each good to 6e-8, so
that the worth of a sheet is raised by this part to remain an upper bound."""

Real = TypeVar("Real", np.float32, np.float64)


@dataclass(frozen=True, slots=True)
class Worth:
    """The most that a sheet can be worth, a pattern that is worth it, and whether that pattern can be cut.

    A pattern that overfills the sheet by the rounding of the grid, or that holds more of a sort than is wanted, is
    still a sound column of the linear programme, which may only be too low by it.
    """

    value: float
    pattern: Pattern | None
    sound: bool = False


@dataclass(frozen=True, slots=True)
class _GridLie:
    along: int
    across: int
    lie: Lie


class Pricer:
    """Upper bounds on the worth of the task's sheets on a grid of ``grid`` units."""

    def __init__(self, task: Task, grid: int) -> None:
        self.task = task
        self.grid = grid
        self._lies = tuple(
            sorted(
                (_GridLie(lie.along // grid, lie.across // grid, lie) for lie in task.lies[lying]),
                key=lambda lie: (lie.across, lie.along, lie.lie.sort),
            )
            for lying in (False, True)
        )

    def worth(self, stock: int, lying: bool, prices: Floats) -> Worth:
        """The most that one sheet of ``stock`` can be worth at these prices (0 or more, one for each sort)."""
        along, across = (-(-side // self.grid) for side in self.task.span(stock, lying=lying))
        lies = [
            lie
            for lie in self._lies[lying]
            if lie.along <= along and lie.across <= across and prices[lie.lie.sort] > 0
        ]
        if not lies:
            return Worth(0.0, None)
        table = _Table(self.task, lies, along, across, prices)
        lengths = [along] if self.task.stages == 2 else table.row()
        parts = tuple(table.stack(length) for length in lengths)
        pattern = pattern_from_segments(self.task, stock, lying, tuple(part for part in parts if part))
        return Worth(table.best, pattern, fits(self.task, pattern))


class _Table:
    """The values of strips, stacks and rows of one sheet; grid units, prices scaled by the largest."""

    def __init__(self, task: Task, lies: Sequence[_GridLie], along: int, across: int, prices: Floats) -> None:
        self.task, self.lies, self.along, self.across = task, lies, along, across
        self.scale = float(max(prices[lie.lie.sort] for lie in lies))
        self.prices = prices / self.scale
        self.widths, self.strips = self._strips()
        if task.stages == 2:
            lengths = np.array([along])
        else:
            lengths = np.nonzero((np.diff(self.strips, axis=1) > NO_GAIN).any(axis=0))[0] + 1
        self.lengths = lengths
        if task.stages == 2:
            self.rows = self._stacks(self.strips[:, lengths])[across]
            self.best = float(self.rows[-1]) * self.scale
            return
        halved = self.strips[:, lengths].astype(np.float32)
        self.stacks = self._stacks(halved)[across].astype(np.float64)
        self.rows = self._rows()
        self.best = float(self.rows[-1]) * self.scale * (1.0 + SINGLES)

    def _strips(self) -> tuple[list[int], Floats]:
        """For every width, ascending: the best value of a strip of each length."""
        value = np.zeros(self.along + 1)
        widths: list[int] = []
        values: list[Floats] = []
        for lie in self.lies:
            if widths and lie.across != widths[-1] and self.task.exact:
                value = np.zeros(self.along + 1)
            self._add(value, lie)
            if widths and widths[-1] == lie.across:
                values[-1] = value.copy()
            else:
                widths.append(lie.across)
                values.append(value.copy())
        return widths, np.array(values)

    def _add(self, value: Floats, lie: _GridLie) -> None:
        """Let a strip's values take in one more lie, no more often than its sort is wanted."""
        price, step = self.prices[lie.lie.sort], max(lie.along, 1)
        wanted = self.task.sorts[lie.lie.sort].demand
        if wanted >= self.along // step:
            for low in range(step, self.along + 1, step):
                high = min(self.along + 1, low + step)
                np.maximum(value[low:high], value[low - step : high - step] + price, out=value[low:high])
            return
        for copies in _doublings(wanted):
            if copies * step <= self.along:
                better = value[: self.along + 1 - copies * step] + price * copies
                np.maximum(value[copies * step :], better, out=value[copies * step :])

    def _stacks(self, strips: NDArray[Real]) -> NDArray[Real]:
        """Best value of strips (rows: widths, columns: lengths) stacked up to every height."""
        value = np.zeros((self.across + 1, strips.shape[1]), dtype=strips.dtype)
        for width, worth in zip(self.widths, strips, strict=True):
            step = max(width, 1)
            for low in range(step, self.across + 1, step):
                high = min(self.across + 1, low + step)
                np.maximum(value[low:high], value[low - step : high - step] + worth, out=value[low:high])
        return value

    def _rows(self) -> Floats:
        """Best value of segments side by side up to every length."""
        value = np.zeros(self.along + 1)
        counts = np.searchsorted(self.lengths, np.arange(self.along + 1), "right")
        for x in range(1, self.along + 1):
            known = counts[x]
            value[x] = value[x - 1]
            if known:
                value[x] = max(value[x], (value[x - self.lengths[:known]] + self.stacks[:known]).max())
        return value

    def row(self) -> list[int]:
        """Lengths of the segments of the best row."""
        found, x = [], self.along
        while x > 0:
            if self.rows[x] <= self.rows[x - 1]:
                x -= 1
                continue
            known = int(np.searchsorted(self.lengths, x, "right"))
            length = int(self.lengths[np.argmax(self.rows[x - self.lengths[:known]] + self.stacks[:known])])
            found.append(length)
            x -= length
        return found

    def stack(self, length: int) -> Segment:
        """The strips of the best stack of a segment of this length."""
        worth = self.strips[:, length]
        value = self._stacks(worth[:, None])[:, 0]
        strips: list[Strip] = []
        y = self.across
        while y > 0:
            if value[y] <= value[y - 1]:
                y -= 1
                continue
            gains = [
                value[y - max(width, 1)] + gain if width <= y else -1.0
                for width, gain in zip(self.widths, worth, strict=True)
            ]
            place = int(np.argmax(gains))
            strips.append(self._strip(length, self.widths[place]))
            y -= max(self.widths[place], 1)
        return tuple(strip for strip in strips if strip)

    def _strip(self, length: int, width: int) -> Strip:
        """The lies of the best strip of this length and width, widest first."""
        value = np.zeros(length + 1)
        steps: list[tuple[Floats, int, int, Lie]] = []
        for lie in self.lies:
            if lie.across > width or lie.along > length or (self.task.exact and lie.across != width):
                continue
            step = max(lie.along, 1)
            for copies in _doublings(min(self.task.sorts[lie.lie.sort].demand, length // step)):
                if copies * step > length:
                    continue
                steps.append((value, copies, step, lie.lie))
                value = value.copy()
                better = value[: length + 1 - copies * step] + self.prices[lie.lie.sort] * copies
                np.maximum(value[copies * step :], better, out=value[copies * step :])
        lies: list[Lie] = []
        x = length
        for before, copies, step, laid in reversed(steps):
            if before[x] < value[x] - NO_GAIN:
                lies += [laid] * copies
                x -= copies * step
            value = before
        return tuple(sorted(lies, key=lambda lie: (-lie.across, -lie.along, lie.sort)))


def _doublings(count: int) -> list[int]:
    """Numbers whose sums reach every count up to ``count``: 1, 2, 4, ..., rest."""
    found, size = [], 1
    while count > 0:
        size = min(size, count)
        found.append(size)
        count -= size
        size *= 2
    return found


def grids(task: Task, cells: Sequence[int]) -> list[int]:
    """Grids of about so many ``cells`` along the longest sheet, coarse to fine, the last exact where that is cheap.

    Of the grids near each number of cells the one that loses the least area to rounding is taken; none is wider
    than the smallest piece.
    """
    sides = [side for sort in task.sorts for side in sort.flat + (sort.turned or ())]
    exact = reduce(gcd, sides)
    finest_side = min(sides)
    longest = max(max(stock.length, stock.width) for stock in task.stocks)
    found: list[int] = []
    for wanted in cells:
        if longest // exact <= wanted:
            found.append(exact)
            break
        coarse = min(longest / wanted, float(finest_side))
        near = np.unique(np.linspace(coarse / 1.3, coarse, 120).astype(np.int64))
        found.append(min((int(grid) for grid in near if grid > 0), key=lambda grid: _lost(task, grid)))
    return sorted(set(found), reverse=True)


def _lost(task: Task, grid: int) -> float:
    kept = 0.0
    for sort in task.sorts:
        kept += sort.demand * (sort.flat[0] // grid) * (sort.flat[1] // grid) * float(grid) ** 2
    return task.area - kept
