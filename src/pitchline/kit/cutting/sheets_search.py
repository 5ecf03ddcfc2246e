"""Plans for a whole order: sheet after sheet at first, then taking a few sheets apart and filling them again.

The first plans fill one sheet after the other, values of pieces being raised where they end up on badly filled
sheets (sequential value correction: G. Belov and G. Scheithauer, Setup and open-stacks minimization in
one-dimensional stock cutting, 2007). Then a cheaper *combination* of sheets is tried: what it leaves uncut is
driven to nothing by large neighbourhood search (P. Shaw, Using constraint programming and local search methods to
solve vehicle routing problems, 1998) and by a whole-number programme over all fillings seen so far.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from pitchline.kit.cutting.guillotine_beam import GUIDES, Beam, Fill, fill_next, fill_sheet, no_chain
from pitchline.kit.cutting.patterns import Pattern, Task, without
from pitchline.kit.cutting.sheets_effort import Effort, Share

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Cuts = tuple[Pattern, ...]
"""A plan: one pattern for each sheet that is cut."""

POOL_SIZE = 60_000
"""Fillings that are remembered; the first ones stay."""


@dataclass(slots=True)
class Pool:
    """Fillings seen so far, each set of pieces once for every stock."""

    patterns: dict[tuple[int, tuple[int, ...]], Pattern] = field(default_factory=dict)

    def add(self, pattern: Pattern) -> None:
        """Remember a filling."""
        if len(self.patterns) < POOL_SIZE:
            self.patterns.setdefault((pattern.stock, pattern.counts), pattern)


@dataclass(slots=True)
class Bench:
    """What every search needs: the task, the chance of one seed, the pool and the effort."""

    task: Task
    chance: np.random.Generator
    pool: Pool
    effort: Effort

    def fill(self, stock: int, left: Ints, values: Floats, beam: Beam, ways: Sequence[bool]) -> list[Fill]:
        """Fillings of one sheet, best first; all are remembered."""
        found: list[Fill] = []
        for lying in ways:
            fills, work = fill_sheet(self.task, stock, lying, left, values, beam, self.chance)
            self.effort.spend(work)
            found += fills
        for fill in found:
            self.pool.add(fill.pattern)
        return sorted(found, key=lambda fill: -fill.value)

    def any_way(self, stock: int) -> tuple[bool]:
        """One of the ways that patterns of a stock may run."""
        ways = self.task.ways_of(stock)
        return (ways[int(self.chance.integers(len(ways)))],)


def plan_cost(task: Task, cuts: Cuts) -> float:
    """Price of the sheets that a plan uses."""
    return sum(task.stocks[pattern.stock].cost for pattern in cuts)


def uncut(task: Task, cuts: Cuts) -> Ints:
    """Pieces of each sort that a plan leaves out."""
    left = np.array(task.demand, dtype=np.int64)
    for pattern in cuts:
        left -= np.array(pattern.counts)
    return np.maximum(left, 0)


def trimmed(task: Task, cuts: Cuts) -> Cuts:
    """The plan without pieces that nobody wants and without sheets that carry none."""
    surplus = [-count for count in task.demand]
    for pattern in cuts:
        surplus = [have + count for have, count in zip(surplus, pattern.counts, strict=True)]
    kept = []
    for pattern in sorted(cuts, key=lambda pattern: sum(pattern.counts)):
        left = pattern
        if any(more > 0 and count for more, count in zip(surplus, pattern.counts, strict=True)):
            surplus = [max(more, 0) for more in surplus]
            left = without(task, pattern, surplus)
        if left.recipe:
            kept.append(left)
    return tuple(kept)


def sheet_after_sheet(bench: Bench, rounds: int, share: Share) -> tuple[Cuts, float]:
    """The cheapest of several plans made by filling one sheet after the other, and its cost.

    Where the stock does not suffice the plan leaves pieces out; less left out counts before less cost.
    """
    task = bench.task
    areas = np.array([float(sort.area) for sort in task.sorts])
    areas /= areas.mean()
    values = areas.copy()
    best: Cuts = ()
    best_rank = (float("inf"), float("inf"))
    for turn in range(rounds):
        cuts = _one_plan(bench, values, turn, share)
        rank = (float(uncut(task, cuts) @ areas), plan_cost(task, cuts))
        if rank < best_rank:
            best, best_rank = cuts, rank
        if share.over:
            break
        _correct(bench, values, areas, cuts)
    return best, best_rank[1]


def _one_plan(bench: Bench, values: Floats, turn: int, share: Share) -> Cuts:
    task = bench.task
    left = np.array(task.demand, dtype=np.int64)
    counts = [stock.count if stock.count is not None else int(left.sum()) for stock in task.stocks]
    beam = Beam(breadth=60, keep=8, guide=(1, 2, 0)[turn % GUIDES], noise=0.02 if turn else 0.0)
    cuts: list[Pattern] = []
    while left.any():
        best: tuple[float, Pattern] | None = None
        for stock, count in enumerate(counts):
            ways = task.ways_of(stock)
            if turn % GUIDES != GUIDES - 1:
                ways = (ways[turn % len(ways)],)
            fills = bench.fill(stock, left, values, beam, ways) if count else []
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
        if share.over and turn:
            break
    return tuple(cuts)


def _correct(bench: Bench, values: Floats, areas: Floats, cuts: Cuts) -> None:
    """Raise the value of pieces on badly filled sheets, lower that of pieces on full ones."""
    task = bench.task
    mean = float(np.mean([float(sort.area) for sort in task.sorts]))
    for pattern in dict.fromkeys(cuts):
        counts = np.array(pattern.counts)
        full = float(counts @ areas) * mean / task.stocks[pattern.stock].area
        sorts = np.nonzero(counts)[0]
        weight = 0.5 * bench.chance.random(len(sorts))
        fresh = np.power(areas[sorts], 1.02) / max(full, 0.3)
        values[sorts] = (1.0 - weight) * values[sorts] + weight * fresh


@dataclass(slots=True)
class Attempt:
    """A combination of sheets that is being tried: its sheets' fillings and what they leave out.

    ``least`` is the least that was ever left out, in mean pieces, ``work`` what the attempt has cost. A whole-number
    programme last chose from all fillings when that stood at ``chosen_at``; the next does ``patience`` later.
    """

    task: Task
    patterns: list[Pattern]
    left: Ints
    weights: Floats
    least: float = float("inf")
    turns: int = 0
    work: float = 0.0
    chosen_at: float = 0.0
    patience: float = 5e6

    @property
    def done(self) -> bool:
        """Whether every piece is cut."""
        return not self.left.any()


COLD = 0.05
"""A worse filling is taken with probability exp(-loss / this); losses are in mean pieces."""


WORK_OF_A_TURN = 1500.0
"""Work of a turn beside what is weighed in it."""

TAKEN_APART, HOW_OFTEN = (2, 3, 4), (0.2, 0.4, 0.4)
"""Sheets that are taken apart at a time, and how often."""

LEANINGS = (-0.1, 0.0, 0.1, 0.2)
"""Values of pieces go with their area to the power of 1 and this: a leaning to small pieces or to large ones."""

KEPT = 30
"""Fillings of a sheet with which the next sheet is begun."""


def start_attempt(bench: Bench, stocks: Sequence[int]) -> Attempt:
    """Fill the sheets of a combination one after the other, the smallest first."""
    task = bench.task
    areas = _areas(task)
    left = np.array(task.demand, dtype=np.int64)
    order = sorted(stocks, key=lambda stock: task.stocks[stock].area)
    patterns = []
    for stock in order:
        fills = bench.fill(stock, left, areas, Beam(breadth=20), task.ways_of(stock))
        pattern = fills[0].pattern if fills else _nothing(task, stock)
        patterns.append(pattern)
        left = left - np.array(pattern.counts)
    return Attempt(task, patterns, left, np.ones(len(task.sorts)))


def attempt_from(task: Task, stocks: Sequence[int], cuts: Cuts) -> Attempt:
    """An attempt at these sheets that takes over a plan's fillings as far as the sheets are the same."""
    rest = list(stocks)
    patterns = []
    for pattern in trimmed(task, cuts):
        if pattern.stock in rest:
            rest.remove(pattern.stock)
            patterns.append(pattern)
    patterns += [_nothing(task, stock) for stock in rest]
    return Attempt(task, patterns, uncut(task, tuple(patterns)), np.ones(len(task.sorts)))


def _nothing(task: Task, stock: int) -> Pattern:
    return Pattern(stock, task.ways_of(stock)[0], (), tuple(0 for _ in task.sorts))


def _areas(task: Task) -> Floats:
    areas = np.array([float(sort.area) for sort in task.sorts])
    scaled: Floats = areas * (areas.size / areas.sum())
    return scaled


def refill(bench: Bench, attempt: Attempt, share: Share, breadth: int) -> None:
    """Take a few sheets apart and fill them again, until all is cut or the share is used up."""
    areas = _areas(bench.task)
    means = float(np.mean([float(sort.area) for sort in bench.task.sorts]))
    sizes = np.array([bench.task.stocks[pattern.stock].area for pattern in attempt.patterns]) / means
    while not attempt.done and not share.over:
        attempt.turns += 1
        bench.effort.spend(WORK_OF_A_TURN)
        chosen = _chosen(bench, attempt, areas, sizes)
        loss = float(attempt.left @ (areas * attempt.weights))
        found, left = _filled(bench, attempt, chosen, areas, breadth)
        gain = loss - float(left @ (areas * attempt.weights))
        if gain >= 0.0 or bench.chance.random() < np.exp(gain / COLD):
            attempt.left = left
            for place, pattern in zip(chosen, found, strict=True):
                attempt.patterns[place] = pattern
        attempt.weights[attempt.left > 0] *= 1.02
        if attempt.turns % 50 == 0:
            attempt.weights = 1.0 + 0.9 * (attempt.weights - 1.0)
        attempt.least = min(attempt.least, float(attempt.left @ areas))


def _chosen(bench: Bench, attempt: Attempt, areas: Floats, sizes: Floats) -> list[int]:
    counts = np.array([pattern.counts for pattern in attempt.patterns])
    chances = np.maximum(1.0 - counts @ areas / sizes, 0.0) + 0.05
    number = min(int(bench.chance.choice(TAKEN_APART, p=HOW_OFTEN)), len(attempt.patterns))
    places = bench.chance.choice(len(chances), number, replace=False, p=chances / chances.sum())
    return [int(place) for place in places]


def _filled(
    bench: Bench, attempt: Attempt, chosen: Sequence[int], areas: Floats, breadth: int
) -> tuple[list[Pattern], Ints]:
    """The best new fillings for the chosen sheets that a beam over all of them finds."""
    task = bench.task
    loose = attempt.left.copy()
    for place in chosen:
        loose = loose + np.array(attempt.patterns[place].counts)
    weights = areas * attempt.weights
    leaning = LEANINGS[int(bench.chance.integers(len(LEANINGS)))]
    values = weights * areas**leaning * (1.0 + 0.05 * bench.chance.random(len(areas)))
    chains = [no_chain(task)]
    for turn, place in enumerate(chosen):
        stock = attempt.patterns[place].stock
        keep = 1 if turn == len(chosen) - 1 else KEPT
        guide = 1 + int(bench.chance.integers(GUIDES - 1))
        beam = Beam(breadth=breadth, keep=keep, guide=guide, noise=0.01)
        (lying,) = bench.any_way(stock)
        longer, work = fill_next(task, stock, lying, loose, values, beam, bench.chance, chains)
        bench.effort.spend(work)
        for chain in longer[:8]:
            bench.pool.add(chain.patterns[-1])
        if not longer:
            best = chains[0]
            empty = [_nothing(task, attempt.patterns[other].stock) for other in chosen[turn:]]
            return [*best.patterns, *empty], loose - best.used
        chains = longer
    return list(chains[0].patterns), loose - chains[0].used
