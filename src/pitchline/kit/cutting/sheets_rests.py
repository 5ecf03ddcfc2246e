"""At equal cost, the largest rest worth keeping: one sheet is made shorter as long as all pieces still find a place.

Minimum cost first and the value of the leftover second is the order of R. Andrade, E. G. Birgin and R. Morabito,
Two-stage two-dimensional guillotine cutting stock problems with usable leftover, 2016. A rest counts here when it
is one rectangle that the first cuts leave whole.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from pitchline.kit.cutting.patterns import Pattern, Task, pattern_from_segments, segments, spots
from pitchline.kit.cutting.sheets_effort import Share
from pitchline.kit.cutting.sheets_improve import BREADTH, Progress
from pitchline.kit.cutting.sheets_search import Bench, Cuts, attempt_from, refill, trimmed, uncut

MOST_SHEETS = 40
"""Plans of more sheets keep the rests they have."""

GROWTH = (2.0, 1.4, 1.15, 1.05, 1.01)
"""How much larger a rest is tried for than the best so far, boldest first."""

MOST_WORK = 1.0e6
"""Work on one larger rest, but never more than a tenth of what is left."""


@dataclass(frozen=True, slots=True)
class Smallest:
    """The smallest rest worth keeping, ungrown: along the sheet and across it."""

    length: int
    width: int


@dataclass(frozen=True, slots=True)
class _Cropped:
    """A plan's sheet that is to keep a rest: the task with a shorter stock in its place."""

    task: Task
    place: int


def largest_rest(task: Task, cuts: Cuts, smallest: Smallest, kerfs: tuple[int, int]) -> int:
    """Area of the largest rest of a plan that is worth keeping, 0 when there is none."""
    largest = 0
    for pattern in dict.fromkeys(cuts):
        for spot in spots(task, pattern):
            length, width = spot.length - kerfs[0], spot.width - kerfs[1]
            if spot.sort is None and length >= smallest.length and width >= smallest.width:
                largest = max(largest, length * width)
    return largest


def enlarge_rest(bench: Bench, progress: Progress, smallest: Smallest, kerfs: tuple[int, int]) -> None:
    """Change the plan, at equal cost, for one with a larger rest, as long as effort is left."""
    task = progress.task
    if progress.cost == float("inf") or not 0 < len(progress.cuts) <= MOST_SHEETS:
        return
    best = largest_rest(task, progress.cuts, smallest, kerfs)
    for growth in GROWTH:
        gained = True
        while gained and not bench.effort.over:
            gained = False
            for cropped in _croppings(progress, smallest, kerfs, best * growth):
                found = _fill_cropped(bench, progress, cropped)
                rest = largest_rest(task, found, smallest, kerfs)
                if found and rest > best:
                    progress.cuts, best, gained = found, rest, True
                    break


def _croppings(
    progress: Progress, smallest: Smallest, kerfs: tuple[int, int], area: float
) -> Iterator[_Cropped]:
    """Sheets of the plan, the emptiest first, cropped so that a rest of this area remains."""
    task, cuts = progress.task, progress.cuts
    spare = sum(task.stocks[pattern.stock].area for pattern in cuts) - task.area
    areas = np.array([sort.area for sort in task.sorts])

    def unused(place: int) -> int:
        pattern = cuts[place]
        return task.stocks[pattern.stock].area - int(np.array(pattern.counts) @ areas)

    for place in sorted(range(len(cuts)), key=lambda place: -unused(place))[:4]:
        stock = task.stocks[cuts[place].stock]
        for lying in task.ways_of(cuts[place].stock):
            shortened = lying == (task.stages == 2)
            side, other = (stock.length, stock.width) if shortened else (stock.width, stock.length)
            kerf, other_kerf = kerfs if shortened else (kerfs[1], kerfs[0])
            least = smallest.length if shortened else smallest.width
            off = max(int(area / max(other - other_kerf, 1)) + 1, least) + kerf
            if off >= side or off * other > spare:
                continue
            short = (
                replace(stock, length=side - off, count=1, lying=lying)
                if shortened
                else replace(stock, width=side - off, count=1, lying=lying)
            )
            yield _Cropped(replace(task, stocks=(*task.stocks, short)), place)


def _fill_cropped(bench: Bench, progress: Progress, cropped: _Cropped) -> Cuts:
    """The plan with its sheet cropped, everything found a place again; empty when that fails."""
    task, last = cropped.task, len(progress.task.stocks)
    stocks = [pattern.stock for pattern in progress.cuts]
    stocks[cropped.place] = last
    if not all(_fits_one(task, sort, set(stocks)) for sort in range(len(task.sorts))):
        return ()
    others = progress.cuts[: cropped.place] + progress.cuts[cropped.place + 1 :]
    attempt = attempt_from(task, stocks, others)
    inner = Bench(task, bench.chance, type(bench.pool)(), bench.effort)
    effort = bench.effort
    work = min(MOST_WORK, 0.1 * (effort.allowed - effort.spent))
    refill(inner, attempt, Share(effort, effort.spent + work), BREADTH)
    if not attempt.done:
        return ()
    back = progress.cuts[cropped.place].stock
    found = tuple(
        _onto(progress.task, task, pattern, back) if pattern.stock == last else pattern
        for pattern in attempt.patterns
    )
    plan = trimmed(progress.task, found)
    return () if uncut(progress.task, plan).any() else plan


def _fits_one(task: Task, sort: int, stocks: set[int]) -> bool:
    """Whether a sort goes on one of these stocks at all."""
    return any(
        lie.sort == sort and lie.along <= along and lie.across <= across
        for stock in stocks
        for lying in task.ways_of(stock)
        for along, across in [task.span(stock, lying=lying)]
        for lie in task.lies[lying]
    )


def _onto(task: Task, cropped: Task, pattern: Pattern, stock: int) -> Pattern:
    """A pattern of the cropped sheet laid on the whole one."""
    return pattern_from_segments(task, stock, pattern.lying, segments(cropped, pattern))
