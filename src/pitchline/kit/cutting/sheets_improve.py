"""From a first plan to one that hardly any other can beat: bound, patterns, combinations, in turn.

The order of work: plans sheet after sheet; the bound by column generation, whose patterns join the others; for long
orders the whole-number programme over all patterns; for the rest one cheaper combination after the other, those
with the best prospects first, each for a slice at a time.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from math import exp
from time import monotonic

import numpy as np

from pitchline.kit.cutting.patterns import Pattern, Task
from pitchline.kit.cutting.sheets_bound import COARSE, FINE, Bounds, area_bound, improve_bound
from pitchline.kit.cutting.sheets_combinations import Combination, cheaper_combinations, prospect
from pitchline.kit.cutting.sheets_effort import Effort, Share, effort_of
from pitchline.kit.cutting.sheets_master import Duals, Master, choose_patterns, reduced_costs
from pitchline.kit.cutting.sheets_search import (
    Attempt,
    Bench,
    Cuts,
    Pool,
    attempt_from,
    plan_cost,
    refill,
    sheet_after_sheet,
    start_attempt,
    trimmed,
    uncut,
)

FIRST_ROUNDS = 12
"""Plans made sheet after sheet before the bound is looked for."""

MANY_SHEETS = 60
"""Plans of more sheets are left to the whole-number programme: taking a few sheets apart changes little there."""

SIDE_BY_SIDE = 8
"""Combinations that are tried in turn, the most promising ones."""

SLICE = 700_000.0
"""Work on one combination before the next has its turn: about a quarter of a second."""

MOST_KNOWN = 6000
"""Fillings that start the linear programme of the bound: more only slow it down."""

FAIR_TRIAL = 1.5e6
"""Work after which a combination that does not come out makes way for others."""

FEW_PIECES = 9
"""Pieces to a sheet up to which a whole-number programme over fillings is of use: with more, few fillings match."""

BREADTH = 100
"""Half-filled sheets that grow side by side: more fill a sheet better, fewer leave time for more sheets."""

CHOICE_COLUMNS = 2500
"""Fillings that a whole-number programme chooses from: more take it seconds to read."""


@dataclass(slots=True)
class Progress:
    """The best plan so far and what is proved; it is there to be read when a search is interrupted."""

    task: Task
    bounds: Bounds
    effort: Effort
    cuts: Cuts = ()
    cost: float = float("inf")
    stopped: bool = False
    attempts: dict[tuple[int, ...], Attempt] = field(default_factory=dict)

    def offer(self, cuts: Iterable[Pattern]) -> bool:
        """Keep a plan that cuts every piece for less."""
        plan = trimmed(self.task, tuple(cuts))
        cost = plan_cost(self.task, plan)
        if uncut(self.task, plan).any() or cost >= self.cost - 1e-9 * (1.0 + abs(cost)):
            return False
        self.cuts, self.cost = plan, cost
        return True

    @property
    def numbers(self) -> tuple[int, ...]:
        """Sheets of each stock that the best plan uses."""
        counts = [0] * len(self.task.stocks)
        for pattern in self.cuts:
            counts[pattern.stock] += 1
        return tuple(counts)

    @property
    def settled(self) -> bool:
        """Whether no plan can be cheaper."""
        return self.cost <= self.bounds.cost * (1.0 + 1e-9) + 1e-9


def search(
    task: Task,
    seconds: float,
    seed: int,
    offers: Iterable[Cuts] = (),
    clock: Callable[[], float] = monotonic,
    finish: Callable[[Bench, Progress], None] | None = None,
) -> Progress:
    """The best plan found and the bound proved; an interrupt from the keyboard ends the search early.

    ``offers`` are plans from elsewhere to start from; ``finish`` is called with what effort is left over.
    """
    effort = effort_of(seconds, clock)
    bench = Bench(task, np.random.default_rng(seed), Pool(), effort)
    progress = Progress(task, area_bound(task), effort)
    try:
        _steps(bench, progress, offers)
        if finish is not None:
            finish(bench, progress)
    except KeyboardInterrupt:
        progress.stopped = True
        if not progress.cuts:
            progress.cuts = trimmed(task, sheet_after_sheet(bench, 1, effort.share(0.0))[0])
            progress.cost = (
                progress.cost if uncut(task, progress.cuts).any() else plan_cost(task, progress.cuts)
            )
    return progress


def _steps(bench: Bench, progress: Progress, offers: Iterable[Cuts]) -> None:
    task, effort = bench.task, bench.effort
    cuts, _ = sheet_after_sheet(bench, FIRST_ROUNDS, effort.share(0.12))
    if uncut(task, cuts).any():
        cuts = _with_every_sheet(bench, cuts)
    if uncut(task, cuts).any():
        progress.cuts = trimmed(task, cuts)
    else:
        progress.offer(cuts)
    for offer in offers:
        progress.offer(offer)
    _raise_bound(bench, progress, COARSE, effort.share(0.3))
    if progress.cost == float("inf"):
        return
    if len(progress.cuts) > MANY_SHEETS or _long_order(task):
        _raise_bound(bench, progress, FINE, effort.share(0.4))
        _choose_for_all(bench, progress)
    if len(progress.cuts) <= MANY_SHEETS * 2:
        _try_combinations(bench, progress, effort.share(0.25))
        _raise_bound(bench, progress, FINE, effort.share(0.6))
        _try_combinations(bench, progress, effort.share(0.8))


def _raise_bound(bench: Bench, progress: Progress, cells: Sequence[int], share: Share) -> None:
    """Prove more, unless the plan is known to be best; the patterns of the proof join the others."""
    if progress.settled:
        return
    known = [*progress.cuts, *bench.pool.patterns.values()][:MOST_KNOWN]
    improve_bound(progress.bounds, known, share, progress.cost, cells)
    for pattern in progress.bounds.patterns.values():
        bench.pool.add(pattern)


def _long_order(task: Task) -> bool:
    return sum(task.demand) > 8 * len(task.sorts) and sum(task.demand) > 200


def _with_every_sheet(bench: Bench, cuts: Cuts) -> Cuts:
    """A last try to lay every piece where the stock is counted: all sheets taken, refilled for a while."""
    task = bench.task
    if any(stock.count is None for stock in task.stocks):
        return cuts
    stocks = [index for index, stock in enumerate(task.stocks) for _ in range(stock.count or 0)]
    attempt = attempt_from(task, stocks, cuts)
    refill(bench, attempt, bench.effort.share(0.5), BREADTH)
    plan = tuple(attempt.patterns)
    areas = np.array([sort.area for sort in task.sorts], dtype=np.float64)
    return plan if uncut(task, plan) @ areas <= uncut(task, cuts) @ areas else cuts


def _choose_for_all(bench: Bench, progress: Progress) -> None:
    """The whole-number programme over the patterns with the least reduced costs."""
    task, effort = bench.task, bench.effort
    patterns = list(bench.pool.patterns.values())
    master = Master(task)
    for pattern in patterns:
        master.add(pattern.stock, pattern.counts)
    costs = np.array([stock.cost for stock in task.stocks])
    chosen = _least(patterns, task, master.solve(), costs, 800)
    seconds = 0.6 * effort.seconds_left
    choice = choose_patterns(task, chosen, effort, seconds=seconds, nodes=200_000, below=progress.cost)
    effort.spend(0.5 * (effort.allowed - effort.spent))
    if choice is not None:
        progress.offer(_times(chosen, choice.times))


def _least(
    patterns: Sequence[Pattern], task: Task, duals: Duals, costs: np.ndarray, number: int
) -> list[Pattern]:
    reduced = reduced_costs(task, patterns, duals, costs)
    return [patterns[place] for place in np.argsort(reduced, kind="stable")[:number]]


def _times(patterns: Sequence[Pattern], times: Sequence[int]) -> list[Pattern]:
    return [pattern for pattern, time in zip(patterns, times, strict=True) for _ in range(time)]


def _try_combinations(bench: Bench, progress: Progress, share: Share) -> None:
    """Slice by slice on the most promising combinations; each success makes the list shorter."""
    attempts, effort = progress.attempts, bench.effort
    combinations = cheaper_combinations(progress.bounds, progress.numbers, progress.cost)
    while combinations and not share.over and not progress.settled:
        combination = _next_combination(combinations, attempts, progress.cost)
        attempt = _attempt(bench, progress, combination, attempts)
        before = effort.spent
        refill(bench, attempt, Share(effort, min(share.until, before + SLICE), share.end), BREADTH)
        attempt.work += effort.spent - before
        if not attempt.done and attempt.work - attempt.chosen_at > attempt.patience:
            _choose_for_attempt(bench, attempt, combination)
        if attempt.done:
            progress.offer(attempt.patterns)
            combinations = cheaper_combinations(progress.bounds, progress.numbers, progress.cost)


def _next_combination(
    combinations: Sequence[Combination], attempts: dict[tuple[int, ...], Attempt], cost: float
) -> Combination:
    """The one with the best prospects for the work already spent on it and for what it still leaves out."""

    def merit(one: Combination) -> float:
        attempt = attempts.get(one.numbers)
        if attempt is None:
            return prospect(one, cost) / FAIR_TRIAL
        return prospect(one, cost) * exp(-0.5 * attempt.least) / (FAIR_TRIAL + attempt.work)

    return max(combinations[:SIDE_BY_SIDE], key=merit)


def _attempt(
    bench: Bench, progress: Progress, combination: Combination, attempts: dict[tuple[int, ...], Attempt]
) -> Attempt:
    if combination.numbers not in attempts:
        fresh = start_attempt(bench, combination.stocks)
        near = attempt_from(bench.task, combination.stocks, progress.cuts)
        areas = np.array([sort.area for sort in bench.task.sorts], dtype=np.float64)
        attempts[combination.numbers] = fresh if fresh.left @ areas <= near.left @ areas else near
    return attempts[combination.numbers]


def _choose_for_attempt(bench: Bench, attempt: Attempt, combination: Combination) -> None:
    """The whole-number programme over all fillings of these sheets; the attempt goes on from what it chooses."""
    task = bench.task
    attempt.chosen_at, attempt.patience = attempt.work, 1.5 * attempt.patience
    if bench.effort.seconds_left < 4.0 or sum(task.demand) > FEW_PIECES * len(attempt.patterns):
        return
    patterns = [one for one in bench.pool.patterns.values() if combination.numbers[one.stock]]
    master = Master(task, combination.numbers)
    for pattern in patterns:
        master.add(pattern.stock, pattern.counts)
    chosen = _least(patterns, task, master.solve(), np.zeros(len(task.stocks)), CHOICE_COLUMNS)
    now = Counter((one.stock, one.counts) for one in attempt.patterns if one.recipe)
    known = {(one.stock, one.counts) for one in chosen}
    laid = {(one.stock, one.counts): one for one in attempt.patterns}
    chosen += [laid[key] for key in now if key not in known]
    start = [now[one.stock, one.counts] for one in chosen] + [int(count) for count in attempt.left]
    choice = choose_patterns(
        task,
        chosen,
        bench.effort,
        seconds=min(0.35 * bench.effort.seconds_left, 10.0),
        nodes=500,
        combination=combination.numbers,
        start=start,
    )
    bench.effort.spend(1_500_000.0)
    if choice is None:
        return
    better = attempt_from(task, combination.stocks, tuple(_times(chosen, choice.times)))
    attempt.patterns, attempt.left, attempt.weights = better.patterns, better.left, better.weights
