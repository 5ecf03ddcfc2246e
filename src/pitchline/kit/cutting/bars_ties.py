"""Among plans of equal cost: the one with the fewest settings of the saw, then the one with the longest rest.

The longest rest is never shorter than that of the plan that was found for its cost alone.
"""

from collections.abc import Iterable
from itertools import pairwise

import numpy as np

from pitchline.kit.cutting.bars_fill import Bench, fill_bar
from pitchline.kit.cutting.bars_layout import laid_out, settings
from pitchline.kit.cutting.bars_master import choose_easy_patterns
from pitchline.kit.cutting.bars_rest import longest_rest, with_longest_rest
from pitchline.kit.cutting.bars_search import Cuts, Search, plan_cost, trimmed, uncut
from pitchline.kit.cutting.bars_task import BarTask, Pattern
from pitchline.kit.cutting.need import BarOrder
from pitchline.kit.cutting.sheets_effort import WAYS_A_SECOND

MOST_PATTERNS = 800
"""Patterns that the programme chooses from: those with the fewest changes of slope."""

NODES = 60
"""Nodes of its tree: a fraction of a second's work."""

PART_OF_EFFORT = 0.12
"""Share of the whole allowance that it may take."""


def at_equal_cost(search: Search, order: BarOrder, cuts: Cuts) -> Cuts:
    """The best plan that costs the same; the plan itself when no time is left to look for others."""
    if search.effort.seconds_left <= 0.0:
        return cuts
    kerf, keep = order.saw.kerf_in_bars, order.keep.bar
    least = _kept(search.task, cuts, kerf, keep)
    found = [cuts]
    easy = _easiest(search, cuts)
    if easy is not None:
        found.append(easy)
    found += [with_longest_rest(search, one, kerf, keep) for one in list(found)]

    def rank(one: Cuts) -> tuple[int, float]:
        return settings(laid_out(order, search.task, one).bars), -_kept(search.task, one, kerf, keep)

    sound = [one for one in found if _kept(search.task, one, kerf, keep) >= least - 1e-9]
    return min(sound, key=rank)


def _kept(task: BarTask, cuts: Cuts, kerf: float, keep: float) -> float:
    rest = longest_rest(task, cuts, kerf)
    return rest if rest >= keep else 0.0


def _easiest(search: Search, cuts: Cuts) -> Cuts | None:
    """A plan of no more cost whose bars are cut with the fewest changes of slope, if one is found."""
    task, effort = search.task, search.effort
    if len(task.edge) < 2:
        return None
    for pattern in _pure(search):
        search.remember(pattern)
    pool = dict.fromkeys([*cuts, *search.pool.values()])
    patterns = sorted(pool, key=lambda p: (_changes(task, p), p.stock, p.lies))[:MOST_PATTERNS]
    patterns = list(dict.fromkeys([*patterns, *cuts]))
    efforts = [_changes(task, pattern) + 0.1 for pattern in patterns]
    cost = plan_cost(task, cuts)
    seconds = min(PART_OF_EFFORT * effort.allowed / WAYS_A_SECOND, effort.seconds_left)
    times = choose_easy_patterns(task, patterns, efforts, cost=cost, seconds=seconds, nodes=NODES)
    effort.spend(0.5 * PART_OF_EFFORT * effort.allowed)
    if times is None:
        return None
    chosen = [pattern for pattern, time in zip(patterns, times, strict=True) for _ in range(time)]
    plan = trimmed(task, chosen)
    if uncut(task, plan).any() or plan_cost(task, plan) > cost * (1.0 + 1e-9):
        return None
    return plan


def _changes(task: BarTask, pattern: Pattern) -> int:
    slopes = [slope for index in pattern.lies for slope in (task.lies[index].left, task.lies[index].right)]
    return sum(1 for a, b in pairwise(slopes) if a != b)


def _pure(search: Search) -> Iterable[Pattern]:
    """Fillings with cuts of one slope only, bar after bar until those pieces are used up."""
    task = search.task
    values = task.weights / task.weights.mean()
    for slope in range(len(task.edge)):
        lies = [i for i, lie in enumerate(task.lies) if lie.left == slope == lie.right]
        if not lies:
            continue
        bench = Bench.of(task, lies)
        for stock in range(len(task.stocks)):
            left = np.array(task.demand, dtype=np.int64)
            while left.any():
                fills, work = fill_bar(bench, stock, left, values, search.chance, keep=4)
                search.effort.spend(0.45 * work)
                if not fills:
                    break
                yield from (fill.pattern for fill in fills)
                left = left - np.array(fills[0].pattern.counts)
