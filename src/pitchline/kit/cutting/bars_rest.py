"""The longest rest to be had at the cost of a plan: one of its bars is taken shorter, and all is tried again."""

from collections.abc import Sequence
from dataclasses import replace

from pitchline.kit.cutting.bars_fill import Bench
from pitchline.kit.cutting.bars_search import Cuts, Search, attempt_from, refill
from pitchline.kit.cutting.bars_task import BarTask, Pattern
from pitchline.kit.cutting.sheets_effort import Share

SHARES = (0.9, 0.6, 0.35, 0.15)
"""How much of what is left elsewhere is tried to be gathered on one bar."""

PART_OF_EFFORT = 0.05
"""Share of the whole allowance that this may take, as far as it is left."""


def longest_rest(task: BarTask, cuts: Sequence[Pattern], kerf: float) -> float:
    """What is left of the bar of which most is left."""
    return max(_rest(task, pattern, kerf) for pattern in cuts)


def _rest(task: BarTask, pattern: Pattern, kerf: float) -> float:
    return max(0.0, task.stocks[pattern.stock].length - task.used(pattern.lies) - kerf)


def with_longest_rest(search: Search, cuts: Cuts, kerf: float, keep: float) -> Cuts:
    """A plan on the same bars whose longest rest is at least as long; rests under ``keep`` count for nothing."""
    task, effort = search.task, search.effort
    kinds = sorted({pattern.stock for pattern in cuts}, key=lambda k: -task.stocks[k].length)
    slice_of = PART_OF_EFFORT * effort.allowed / (len(SHARES) * len(kinds))
    for share in SHARES:
        rest = longest_rest(task, cuts, kerf)
        spare = sum(_rest(task, pattern, kerf) for pattern in cuts) - rest
        wanted = rest + share * spare
        if wanted < keep or spare <= 0.0:
            continue
        for stock in kinds:
            part = Share(effort, min(effort.allowed, effort.spent + slice_of))
            found = _with_rest(search, cuts, stock, wanted + kerf, part)
            if found is not None:
                cuts = found
                break
    return cuts


def _with_rest(search: Search, cuts: Cuts, stock: int, rest: float, share: Share) -> Cuts | None:
    """The same bars with ``rest`` left free on one of this stock, if that is found."""
    task = search.task
    short = replace(task.stocks[stock], length=task.stocks[stock].length - rest)
    if short.length <= 0.0:
        return None
    wider = replace(task, stocks=(*task.stocks, short))
    stocks = [pattern.stock for pattern in cuts]
    stocks[stocks.index(stock)] = len(task.stocks)
    inner = Search(wider, Bench.of(wider), search.chance, search.effort)
    attempt = attempt_from(wider, stocks, cuts)
    refill(inner, attempt, share)
    if not attempt.done:
        return None
    return tuple(
        replace(pattern, stock=stock) if pattern.stock == len(task.stocks) else pattern
        for pattern in attempt.patterns
        if pattern.lies
    )
