"""Small orders of bars solved whole: every set of pieces that goes on a bar, and the cheapest choice among them."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from pitchline.kit.cutting.bars_master import best_choice
from pitchline.kit.cutting.bars_task import BarTask, Pattern
from pitchline.kit.tolerances import CUT_FITS

MOST_SETS = 6000
"""Sets of pieces, each with the slope of its last cut, that are written out: about a second's work."""

MOST_PATTERNS = 4000
"""Patterns that the programme chooses from."""

ROUNDING = 1e-7
"""The solver's bound is within this share of a cost that it has proved least."""


@dataclass(frozen=True, slots=True)
class Whole:
    """The cheapest plan, and the cost below which none can be: the same where the programme came to its end."""

    cuts: tuple[Pattern, ...]
    bound: float


def solved_whole(task: BarTask, seconds: float) -> Whole | None:
    """The cheapest plan of a small order and its proof; None if it is not small or the stock does not suffice."""
    shortest = _all_sets(task)
    if shortest is None:
        return None
    patterns = [p for stock in range(len(task.stocks)) for p in _fullest(task, stock, shortest)]
    if not patterns or len(patterns) > MOST_PATTERNS:
        return None
    found = best_choice(task, patterns, seconds)
    if found is None:
        return None
    times, bound = found
    cuts = tuple(pattern for pattern, time in zip(patterns, times, strict=True) for _ in range(time))
    cost = sum(task.stocks[pattern.stock].cost for pattern in cuts)
    return Whole(cuts, cost if bound > cost * (1.0 - ROUNDING) else bound)


Sets = dict[tuple[int, ...], tuple[float, tuple[int, ...]]]
"""For every set of pieces that goes on the longest bar: the least length it takes, and the lies that take it."""


def _likely_sets(task: BarTask) -> int:
    """A rough number of the sets there are: by how many pieces a bar holds, and by how many there are."""
    longest = max(stock.length for stock in task.stocks)
    most = int(longest / max(float(task.weights.min()), 1e-6)) + 1
    by_demand = math.prod(demand + 1 for demand in task.demand)
    return min(by_demand, math.comb(len(task.sorts) + most, most))


def _all_sets(task: BarTask) -> Sets | None:
    if _likely_sets(task) > MOST_SETS:
        return None
    longest = max(stock.length for stock in task.stocks) + CUT_FITS
    front: dict[tuple[tuple[int, ...], int], tuple[float, tuple[int, ...]]] = {}
    none = tuple(0 for _ in task.sorts)
    for index, lie in enumerate(task.lies):
        _keep(front, (_more(none, lie.sort), lie.right), float(task.edge[lie.left]) + lie.core, (index,))
    shortest: Sets = {}
    seen = 0
    while front:
        seen += len(front)
        if seen > MOST_SETS:
            return None
        grown: dict[tuple[tuple[int, ...], int], tuple[float, tuple[int, ...]]] = {}
        for (counts, last), (at, lies) in front.items():
            length = at + float(task.edge[last])
            if length > longest:
                continue
            if counts not in shortest or length < shortest[counts][0]:
                shortest[counts] = (length, lies)
            for index, lie in enumerate(task.lies):
                if counts[lie.sort] < task.sorts[lie.sort].demand:
                    end = at + float(task.room[last, lie.left]) + lie.core
                    if end + float(task.edge[lie.right]) <= longest:
                        _keep(grown, (_more(counts, lie.sort), lie.right), end, (*lies, index))
        front = grown
    return shortest


def _more(counts: tuple[int, ...], sort: int) -> tuple[int, ...]:
    return (*counts[:sort], counts[sort] + 1, *counts[sort + 1 :])


def _keep(
    front: dict[tuple[tuple[int, ...], int], tuple[float, tuple[int, ...]]],
    state: tuple[tuple[int, ...], int],
    at: float,
    lies: tuple[int, ...],
) -> None:
    known = front.get(state)
    if known is None or at < known[0]:
        front[state] = (at, lies)


def _fullest(task: BarTask, stock: int, shortest: Sets) -> Iterator[Pattern]:
    """The sets that fit a stock and to which no piece can be added there."""
    room = task.stocks[stock].length + CUT_FITS
    fitting = {counts for counts, (length, _) in shortest.items() if length <= room}
    for counts in sorted(fitting):
        fuller = (
            _more(counts, sort) for sort in range(len(counts)) if counts[sort] < task.sorts[sort].demand
        )
        if not any(more in fitting for more in fuller):
            yield task.pattern(stock, shortest[counts][1])
