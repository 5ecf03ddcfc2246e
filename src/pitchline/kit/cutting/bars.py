"""Plans for bars: lengths with angled ends, nested so that one cut serves two pieces where their angles allow it.

First plans bar after bar; a proven bound by column generation; then the whole-number programme over all fillings
seen, and one cheaper combination of bars after the other. At the least cost found the saw's settings are made few
and the largest rest long.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from time import monotonic

import numpy as np

from pitchline.kit.cutting.bars_bound import Bounds, Generator, length_bound
from pitchline.kit.cutting.bars_fill import Bench
from pitchline.kit.cutting.bars_layout import laid_out
from pitchline.kit.cutting.bars_master import choose_patterns
from pitchline.kit.cutting.bars_merged import Merged, merged, unmerged
from pitchline.kit.cutting.bars_numbers import Numbers, cheaper_numbers
from pitchline.kit.cutting.bars_search import (
    Attempt,
    Cuts,
    Search,
    attempt_from,
    bar_after_bar,
    plan_cost,
    refill,
    trimmed,
    uncut,
)
from pitchline.kit.cutting.bars_small import solved_whole
from pitchline.kit.cutting.bars_task import BarTask, Pattern, task_of
from pitchline.kit.cutting.bars_ties import at_equal_cost
from pitchline.kit.cutting.fitting import without_unfit_bars
from pitchline.kit.cutting.need import BarOrder
from pitchline.kit.cutting.plan import BarPlan, Shortage
from pitchline.kit.cutting.sheets_effort import Effort, Share, effort_of

FIRST_ROUNDS = 20
"""Plans made bar after bar before the bound is looked for."""

GRID_STEPS = (16_000, 80_000)
"""Steps of the longest bar on the grids of the bound, coarse to fine: 0.25 mm and 0.05 mm on a bar of 4 m."""

SIDE_BY_SIDE = 4
"""Combinations that are tried in turn."""

SLICE = 400_000.0
"""Work on one combination before the next has its turn: about an eighth of a second."""

NODES = 250
"""Nodes of a whole-number programme's tree: about two seconds of work."""

CHOICE_COLUMNS = 600
"""Fillings that a whole-number programme chooses from: with more it seldom ends in time."""

MANY_SORTS = 80
"""Orders of more kinds of piece are left to the search: a programme of so many rows seldom ends in time."""


@dataclass(slots=True)
class Progress:
    """The best plan so far and what is proved; it is there to be read when a search is interrupted."""

    task: BarTask
    bounds: Bounds
    effort: Effort
    cuts: Cuts = ()
    cost: float = float("inf")

    def offer(self, cuts: Iterable[Pattern]) -> bool:
        """Keep a plan that cuts every piece for less."""
        plan = trimmed(self.task, tuple(cuts))
        cost = plan_cost(self.task, plan)
        if uncut(self.task, plan).any() or cost >= self.cost - 1e-9 * (1.0 + abs(cost)):
            return False
        self.cuts, self.cost = plan, cost
        return True

    def settled(self) -> bool:
        """Whether no plan can be cheaper."""
        return self.cost <= self.bounds.cost * (1.0 + 1e-9) + 1e-9


def plan_bars(
    order: BarOrder,
    seconds: float = 5.0,
    seed: int = 0,
    offers: Iterable[Sequence[Pattern]] = (),
    clock: Callable[[], float] = monotonic,
) -> BarPlan:
    """The cheapest plan that is found and the bound that is proved within ``seconds``.

    What fits no bar, or finds no place on the bars there are, is told in ``unplaced``; the bound is 0 then. An
    interrupt from the keyboard ends the search with the best plan so far. ``offers`` are plans found elsewhere;
    ``clock`` is read in seconds.
    """
    fitting, shortages = without_unfit_bars(order)
    if not fitting.parts:
        return BarPlan((), 0.0, 0.0, shortages, engine="own")
    task = task_of(fitting)
    progress = Progress(task, Bounds(task), effort_of(seconds, clock))
    search = Search(task, Bench.of(task), np.random.default_rng(seed), progress.effort)
    stopped = False
    try:
        _steps(search, progress, offers)
        if progress.cost < float("inf"):
            progress.cuts = at_equal_cost(search, fitting, progress.cuts)
    except KeyboardInterrupt:
        stopped = True
    plan = laid_out(fitting, task, progress.cuts)
    shortages += _left_out(fitting, task, progress.cuts)
    bound = 0.0 if shortages else min(_bound(fitting, task, progress.bounds.cost), plan.cost)
    return replace(
        plan, lower_bound=bound, unplaced=shortages, late=progress.effort.late, stopped=stopped, engine="own"
    )


def _bound(order: BarOrder, task: BarTask, proved: float) -> float:
    """What is proved of the prices when so much is proved of what bars cost the planner."""
    pieces = sum(task.demand)
    if all(stock.price <= 0.0 for stock in order.stocks):
        return 0.0
    free = [own for own, stock in zip(task.stocks, order.stocks, strict=True) if stock.price <= 0.0]
    return max(0.0, proved - sum(own.cost * min(pieces, own.count or pieces) for own in free))


def _left_out(order: BarOrder, task: BarTask, cuts: Cuts) -> tuple[Shortage, ...]:
    """Pieces for which no bar was left, the last parts of a sort first."""
    missing = []
    for sort, left in zip(task.sorts, uncut(task, cuts), strict=True):
        lacking = int(left)
        for index in reversed(sort.parts):
            part = order.parts[index]
            number = min(lacking, part.quantity)
            if number:
                lacking -= number
                missing.append(
                    Shortage(part.id, number, f"no bar is left for {number} x {part.id}; add bars")
                )
    return tuple(reversed(missing))


def _steps(search: Search, progress: Progress, offers: Iterable[Sequence[Pattern]]) -> None:
    task, effort = search.task, progress.effort
    many = len(task.sorts) > MANY_SORTS
    cuts = bar_after_bar(search, FIRST_ROUNDS, effort.share(0.4 if many else 0.1))
    if uncut(task, cuts).any():
        cuts = _with_every_bar(search, cuts)
    progress.cuts = trimmed(task, cuts)
    progress.offer(cuts)
    for offer in offers:
        progress.offer(offer)
    if progress.cost == float("inf"):
        return
    progress.bounds = length_bound(task)
    told = merged(task)
    if told is not None and not progress.settled():
        _merged_steps(search, progress, told)
    if not progress.settled():
        _solve_whole(search, progress)
    if not progress.settled():
        _raise_bound(search, progress, effort.share(0.4))
    if not progress.settled():
        _try_numbers(search, progress, effort.share(0.75))


def _merged_steps(search: Search, progress: Progress, told: Merged) -> None:
    """A plan from the order with like pieces told longer, a bound from the one with like pieces told shorter."""
    for task, part in ((told.longer, 0.25), (told.shorter, 0.35)):
        effort = _smaller(progress.effort, part)
        inner = Search(task, Bench.of(task), search.chance, effort)
        found = Progress(task, Bounds(task), effort)
        try:
            if task is told.longer:
                _steps(inner, found, ())
            else:
                found.bounds = length_bound(task)
                found.offer(bar_after_bar(inner, FIRST_ROUNDS, effort.share(0.3)))
                _solve_whole(inner, found)
                if not found.settled():
                    _raise_bound(inner, found, effort.share(1.0), progress.cost)
        finally:
            progress.effort.spend(effort.spent)
            if task is told.longer:
                progress.offer(unmerged(search.task, told, found.cuts))
            else:
                progress.bounds.cost = max(progress.bounds.cost, found.bounds.cost)
        if progress.settled():
            return


def _smaller(effort: Effort, part: float) -> Effort:
    """An effort of its own with a part of what is left."""
    allowed = part * max(0.0, effort.allowed - effort.spent)
    return Effort(allowed, effort.clock() + part * effort.seconds_left, effort.clock)


def _solve_whole(search: Search, progress: Progress) -> None:
    """Small orders: every filling written out."""
    whole = solved_whole(search.task, 0.3 * progress.effort.seconds_left)
    if whole is None:
        return
    progress.effort.spend(0.1 * progress.effort.allowed)
    progress.offer(whole.cuts)
    progress.bounds.cost = max(progress.bounds.cost, whole.bound)
    for pattern in whole.cuts:
        search.remember(pattern)


def _raise_bound(search: Search, progress: Progress, share: Share, enough: float | None = None) -> None:
    """Column generation, its patterns remembered; it need not prove more than ``enough``."""
    longest = max(stock.length for stock in search.task.stocks)
    for steps in GRID_STEPS:
        generator = Generator(progress.bounds, longest / steps, share)
        generator.solve([*progress.cuts, *progress.bounds.patterns.values(), *search.pool.values()])
        generator.disprove(progress.cost if enough is None else enough)
    for pattern in progress.bounds.patterns.values():
        search.remember(pattern)


def _with_every_bar(search: Search, cuts: Cuts) -> Cuts:
    """A last try to lay every piece where the stock is counted: all bars taken, refilled for a while."""
    task = search.task
    if any(stock.count is None for stock in task.stocks):
        return cuts
    stocks = [index for index, stock in enumerate(task.stocks) for _ in range(stock.count or 0)]
    attempt = attempt_from(task, stocks, cuts)
    refill(search, attempt, search.effort.share(0.1 if _too_little(task, stocks) else 0.5))
    left, before = uncut(task, attempt.patterns), uncut(task, cuts)
    return tuple(attempt.patterns) if left @ task.weights <= before @ task.weights else cuts


def _too_little(task: BarTask, stocks: Sequence[int]) -> bool:
    """Whether these bars are too short together, so that something must be left out."""
    room = float(task.room.max(initial=0.0))
    whole = sum(task.stocks[stock].length + room for stock in stocks)
    return float(task.weights @ np.array(task.demand)) > whole


def _choose_for_all(search: Search, progress: Progress) -> None:
    """The whole-number programme over the patterns with the least reduced costs."""
    task, effort = search.task, progress.effort
    patterns = _promising(search, progress)
    seconds = 0.3 * effort.seconds_left
    times = choose_patterns(task, patterns, seconds=seconds, nodes=NODES, below=progress.cost)
    effort.spend(0.1 * effort.allowed)
    if times is not None:
        progress.offer(_repeated(patterns, times))


def _promising(search: Search, progress: Progress, numbers: Sequence[int] | None = None) -> list[Pattern]:
    """Fillings of these bars with the least reduced costs."""
    patterns = [one for one in search.pool.values() if numbers is None or numbers[one.stock]]
    prices = progress.bounds.prices
    if prices is None or len(patterns) <= CHOICE_COLUMNS:
        return patterns
    counts = np.array([pattern.counts for pattern in patterns], dtype=np.float64)
    costs = np.array([search.task.stocks[pattern.stock].cost for pattern in patterns])
    least = np.argsort(costs - counts @ prices, kind="stable")[:CHOICE_COLUMNS]
    return [patterns[place] for place in least]


def _repeated(patterns: Sequence[Pattern], times: Sequence[int]) -> list[Pattern]:
    return [pattern for pattern, time in zip(patterns, times, strict=True) for _ in range(time)]


def _try_numbers(search: Search, progress: Progress, share: Share) -> None:
    """Slice by slice on the most promising combinations; each success makes the list shorter."""
    attempts: dict[tuple[int, ...], Attempt] = {}
    rounds = 0
    candidates: list[Numbers] = []
    known = float("inf")
    while not share.over and not progress.settled():
        if progress.cost < known:
            known = progress.cost
            candidates = cheaper_numbers(progress.bounds, known)
        if not candidates:
            break
        for numbers in _whose_turn(candidates, rounds):
            if share.over or _tried(search, progress, numbers, attempts, rounds, share):
                break
        else:
            if rounds == 0 and not share.over and len(search.task.sorts) <= MANY_SORTS:
                _choose_for_all(search, progress)
        rounds += 1


def _whose_turn(candidates: Sequence[Numbers], rounds: int) -> list[Numbers]:
    """The cheapest combination, the roomiest ones, and another from the rest of the list."""
    cheapest = min(candidates, key=lambda one: (one.cost, -one.slack))
    some = [cheapest, *candidates[:SIDE_BY_SIDE]]
    later = candidates[SIDE_BY_SIDE:]
    if later:
        some.append(later[rounds % len(later)])
    return list(dict.fromkeys(some))


def _tried(
    search: Search,
    progress: Progress,
    numbers: Numbers,
    attempts: dict[tuple[int, ...], Attempt],
    rounds: int,
    share: Share,
) -> bool:
    """Whether a slice of work made these bars hold every piece."""
    task = search.task
    attempt = attempts.get(numbers.each)
    if attempt is None:
        attempt = attempts[numbers.each] = attempt_from(task, numbers.stocks, progress.cuts)
    until = min(share.until, progress.effort.spent + SLICE * (1 + rounds // 2))
    refill(search, attempt, Share(progress.effort, until))
    few = len(task.sorts) <= MANY_SORTS
    if not attempt.done and few and rounds % 2 == 0 and not share.over:
        _choose_for_attempt(search, progress, numbers, attempt)
    return attempt.done and progress.offer(attempt.patterns)


def _choose_for_attempt(search: Search, progress: Progress, numbers: Numbers, attempt: Attempt) -> None:
    """The whole-number programme that leaves least uncut of these bars; its answer replaces a worse attempt."""
    task, effort = search.task, progress.effort
    patterns = _promising(search, progress, numbers.each)
    seconds = min(2.5, 0.45 * effort.seconds_left)
    times = choose_patterns(task, patterns, seconds=seconds, nodes=NODES, numbers=numbers.each)
    effort.spend(SLICE)
    if times is None:
        return
    chosen = attempt_from(task, numbers.stocks, _repeated(patterns, times))
    if chosen.left @ task.weights < attempt.left @ task.weights:
        attempt.patterns, attempt.left = chosen.patterns, chosen.left
