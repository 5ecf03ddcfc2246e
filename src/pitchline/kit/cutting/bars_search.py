"""Plans for a whole order of bars: bar after bar at first, then taking a few bars apart and filling them again.

The first plans fill one bar after the other, pieces that end up on badly filled bars being given more value in the
next (sequential value correction: G. Belov and G. Scheithauer, Setup and open-stacks minimization in one-dimensional
stock cutting, 2007). Then a cheaper combination of bars is tried: what it leaves uncut is driven to nothing by large
neighbourhood search (P. Shaw, Using constraint programming and local search methods to solve vehicle routing
problems, 1998).
"""

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from pitchline.kit.cutting.bars_fill import Bench, Fill, fill_bar
from pitchline.kit.cutting.bars_master import Column
from pitchline.kit.cutting.bars_task import BarTask, Pattern
from pitchline.kit.cutting.sheets_effort import Effort, Share

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Cuts = tuple[Pattern, ...]
"""A plan: one pattern for each bar that is cut."""

POOL_SIZE = 40_000
"""Fillings that are remembered; older ones stay."""

COLD = 0.15
"""A worse filling is taken with probability exp(-loss / this); losses are in mean pieces."""


@dataclass(slots=True)
class Search:
    """What every search needs: the task, its bench, the chance of one seed, fillings seen so far, the effort."""

    task: BarTask
    bench: Bench
    chance: np.random.Generator
    effort: Effort
    pool: dict[Column, Pattern] = field(default_factory=dict)

    def fill(self, stock: int, left: Ints, values: Floats, *, breadth: int = 24, keep: int = 1) -> list[Fill]:
        """Fillings of one bar, best first; all are remembered."""
        found, work = fill_bar(self.bench, stock, left, values, self.chance, breadth=breadth, keep=keep)
        self.effort.spend(0.45 * work)
        for fill in found:
            self.remember(fill.pattern)
        return found

    def remember(self, pattern: Pattern) -> None:
        """Keep a filling for later programmes."""
        if len(self.pool) < POOL_SIZE:
            self.pool.setdefault((pattern.stock, pattern.counts), pattern)


def plan_cost(task: BarTask, cuts: Sequence[Pattern]) -> float:
    """Price of the bars that a plan uses."""
    return sum(task.stocks[pattern.stock].cost for pattern in cuts)


def uncut(task: BarTask, cuts: Sequence[Pattern]) -> Ints:
    """Pieces of each sort that a plan leaves out."""
    left = np.array(task.demand, dtype=np.int64)
    for pattern in cuts:
        left -= np.array(pattern.counts)
    return np.maximum(left, 0)


def trimmed(task: BarTask, cuts: Sequence[Pattern]) -> Cuts:
    """The plan without pieces that nobody wants and without bars that carry none."""
    surplus = np.maximum(sum((np.array(p.counts) for p in cuts), -np.array(task.demand)), 0)
    kept = []
    for pattern in sorted(cuts, key=lambda pattern: sum(pattern.counts)):
        lies = []
        for index in pattern.lies:
            if surplus[task.lies[index].sort] > 0:
                surplus[task.lies[index].sort] -= 1
            else:
                lies.append(index)
        if lies:
            kept.append(task.pattern(pattern.stock, lies))
    return tuple(kept)


def bar_after_bar(search: Search, rounds: int, share: Share) -> Cuts:
    """The best of several plans made by filling one bar after the other: least left out, then least cost."""
    task = search.task
    values = task.weights / task.weights.mean()
    base = values.copy()
    best: Cuts = ()
    best_rank = (float("inf"), float("inf"))
    for turn in range(rounds):
        cuts = _one_plan(search, values)
        rank = (float(uncut(task, cuts) @ base), plan_cost(task, cuts))
        if rank < best_rank:
            best, best_rank = cuts, rank
        if share.over:
            break
        _correct(search, values, base, cuts, turn)
    return best


def _one_plan(search: Search, values: Floats) -> Cuts:
    task = search.task
    left = np.array(task.demand, dtype=np.int64)
    counts = [stock.count if stock.count is not None else int(left.sum()) for stock in task.stocks]
    cuts: list[Pattern] = []
    while left.any():
        best: tuple[float, Pattern] | None = None
        for stock, count in enumerate(counts):
            fills = search.fill(stock, left, values) if count else []
            worth = fills[0].value / max(task.stocks[stock].cost, 1e-9) if fills else 0.0
            if fills and (best is None or worth > best[0]):
                best = (worth, fills[0].pattern)
        if best is None:
            break
        pattern = best[1]
        wanted = np.array(pattern.counts)
        times = int((left[wanted > 0] // wanted[wanted > 0]).min())
        times = min(max(1, times), counts[pattern.stock])
        left = left - times * wanted
        counts[pattern.stock] -= times
        cuts += [pattern] * times
    return tuple(cuts)


def _correct(search: Search, values: Floats, base: Floats, cuts: Cuts, turn: int) -> None:
    """Raise the value of pieces on badly filled bars, lower that of pieces on full ones."""
    task = search.task
    mean = float(task.weights.mean())
    for pattern in dict.fromkeys(cuts):
        counts = np.array(pattern.counts)
        full = float(counts @ base) * mean / task.stocks[pattern.stock].length
        sorts = np.nonzero(counts)[0]
        weight = 0.5 * search.chance.random(len(sorts))
        fresh = base[sorts] ** (1.02 + 0.02 * (turn % 3)) / max(full, 0.3)
        values[sorts] = (1.0 - weight) * values[sorts] + weight * fresh


@dataclass(slots=True)
class Attempt:
    """A combination of bars that is being tried: its bars' fillings and what they leave out."""

    patterns: list[Pattern]
    left: Ints
    weights: Floats
    turns: int = 0

    @property
    def done(self) -> bool:
        """Whether every piece is cut."""
        return not self.left.any()


def attempt_from(task: BarTask, stocks: Sequence[int], cuts: Sequence[Pattern]) -> Attempt:
    """An attempt at these bars that takes over a plan's fillings as far as the bars are the same."""
    rest = list(stocks)
    patterns = []
    for pattern in trimmed(task, cuts):
        if pattern.stock in rest:
            rest.remove(pattern.stock)
            patterns.append(pattern)
    patterns += [task.pattern(stock, ()) for stock in rest]
    return Attempt(patterns, uncut(task, patterns), np.ones(len(task.sorts)))


def refill(search: Search, attempt: Attempt, share: Share, breadth: int = 20) -> None:
    """Take a few bars apart and fill them again, until all is cut or the share is used up."""
    task = search.task
    scale = 1.0 / float(task.weights.mean())
    sizes = np.array([task.stocks[pattern.stock].length for pattern in attempt.patterns])
    empty = np.array([_empty(task, pattern) for pattern in attempt.patterns])
    while not attempt.done and not share.over:
        attempt.turns += 1
        chosen = _bars_to_refill(search, empty / sizes)
        values = task.weights * scale * attempt.weights
        loss = float(attempt.left @ values)
        found, left = _filled(search, attempt, chosen, values, breadth)
        gain = loss - float(left @ values)
        if gain >= 0.0 or search.chance.random() < np.exp(gain / COLD):
            attempt.left = left
            for place, pattern in zip(chosen, found, strict=True):
                attempt.patterns[place] = pattern
                empty[place] = _empty(task, pattern)
        attempt.weights[attempt.left > 0] *= 1.02
        if attempt.turns % 50 == 0:
            attempt.weights = 1.0 + 0.9 * (attempt.weights - 1.0)


def _empty(task: BarTask, pattern: Pattern) -> float:
    """What a filling leaves of its bar, reckoned with the least room that each piece needs."""
    return task.stocks[pattern.stock].length - sum(
        float(task.weights[task.lies[i].sort]) for i in pattern.lies
    )


def _bars_to_refill(search: Search, empty: Floats) -> list[int]:
    """Two to four bars, sooner those of which a greater share is empty."""
    chances = np.maximum(empty, 0.0) + 0.03
    number = min(int(search.chance.integers(2, 5)), len(chances))
    places = search.chance.choice(len(chances), number, replace=False, p=chances / chances.sum())
    return [int(place) for place in places]


def _filled(
    search: Search, attempt: Attempt, chosen: Sequence[int], values: Floats, breadth: int
) -> tuple[list[Pattern], Ints]:
    """New fillings for the chosen bars: several for the first, the best go at the others for each of them."""
    loose = attempt.left.copy()
    for place in chosen:
        loose = loose + np.array(attempt.patterns[place].counts)
    noisy = values * (1.0 + 0.1 * search.chance.random(len(values)))
    best: tuple[float, list[Pattern], Ints] | None = None
    first_stock = attempt.patterns[chosen[0]].stock
    firsts = [fill.pattern for fill in search.fill(first_stock, loose, noisy, breadth=breadth, keep=3)]
    for first in firsts or [search.task.pattern(first_stock, ())]:
        left = loose - np.array(first.counts)
        found = [first]
        for place in chosen[1:]:
            stock = attempt.patterns[place].stock
            fills = search.fill(stock, left, noisy, breadth=breadth)
            pattern = fills[0].pattern if fills else search.task.pattern(stock, ())
            left = left - np.array(pattern.counts)
            found.append(pattern)
        loss = float(left @ values)
        if best is None or loss < best[0]:
            best = (loss, found, left)
        if not left.any():
            break
    assert best is not None
    return best[1], best[2]
