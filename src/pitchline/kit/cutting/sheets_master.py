"""Which patterns to cut and how often: linear and whole-number programmes over patterns, solved by HiGHS."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import cast

import highspy
import numpy as np
from numpy.typing import NDArray

from pitchline.kit.cutting.patterns import Pattern, Task
from pitchline.kit.cutting.sheets_effort import Effort
from pitchline.kit.cutting.solver import quiet_solver, run_stoppable

Floats = NDArray[np.float64]
Column = tuple[int, tuple[int, ...]]
"""Stock and counts: what a linear programme sees of a pattern."""

SHORTAGE_PRICE = 10.0
"""A missing piece costs this many times the dearest sheet: no plan leaves one out to save money."""


@dataclass(frozen=True, slots=True)
class Duals:
    """The value of a linear programme, a price for each sort and one (0 or less) for each stock."""

    value: float
    prices: Floats
    limits: Floats


class Master:
    """The linear programme over patterns, to which columns are added.

    Without ``combination`` it asks for the least cost; with one (sheets of each stock) for the least share of the
    demand, by area, that these sheets leave uncut, at no cost.
    """

    def __init__(self, task: Task, combination: Sequence[int] | None = None) -> None:
        self.task = task
        self.combination = combination
        self.columns: set[Column] = set()
        self._solver = quiet_solver()
        for sort in task.sorts:
            self._solver.addRow(float(sort.demand), highspy.kHighsInf, 0, [], [])
        for index, stock in enumerate(task.stocks):
            count = stock.count if combination is None else combination[index]
            limit = highspy.kHighsInf if count is None else float(count)
            self._solver.addRow(-highspy.kHighsInf, limit, 0, [], [])
        for index, sort in enumerate(task.sorts):
            missing = SHORTAGE_PRICE * max(stock.cost for stock in task.stocks)
            if combination is not None:
                missing = sort.area / task.area
            self._solver.addCol(missing, 0.0, highspy.kHighsInf, 1, [index], [1.0])

    def add(self, stock: int, counts: Sequence[int]) -> bool:
        """Let a pattern in; False when it is known."""
        column = (stock, tuple(counts))
        if column in self.columns:
            return False
        self.columns.add(column)
        rows = [sort for sort, count in enumerate(counts) if count]
        values = [float(counts[sort]) for sort in rows] + [1.0]
        cost = self.task.stocks[stock].cost if self.combination is None else 0.0
        rows.append(len(self.task.sorts) + stock)
        self._solver.addCol(cost, 0.0, highspy.kHighsInf, len(rows), rows, values)
        return True

    def solve(self) -> Duals:
        """The optimum over the columns that are in."""
        self._solver.run()
        duals = np.array(self._solver.getSolution().row_dual)
        sorts = len(self.task.sorts)
        value = self._solver.getInfo().objective_function_value
        return Duals(value, np.maximum(duals[:sorts], 0.0), np.minimum(duals[sorts:], 0.0))


def reduced_costs(task: Task, patterns: Sequence[Pattern], duals: Duals, costs: Floats) -> Floats:
    """What each pattern costs beyond what its pieces are worth at these prices."""
    counts = np.array([pattern.counts for pattern in patterns], dtype=np.float64)
    stocks = np.array([pattern.stock for pattern in patterns])
    return cast("Floats", costs[stocks] - counts @ duals.prices - duals.limits[stocks])


def cheapest_combination(task: Task, cuts: Sequence[tuple[Floats, float]]) -> tuple[float, tuple[int, ...]]:
    """The cheapest numbers of sheets n with ``values . n >= need`` for every cut; its cost is inf when none is."""
    solver = quiet_solver()
    kinds = range(len(task.stocks))
    for stock in task.stocks:
        limit = float(stock.count) if stock.count is not None else highspy.kHighsInf
        solver.addCol(stock.cost, 0.0, limit, 0, [], [])
    solver.changeColsIntegrality(
        len(task.stocks), list(kinds), np.array([highspy.HighsVarType.kInteger] * len(task.stocks))
    )
    for values, need in cuts:
        solver.addRow(need * (1.0 - 1e-9), highspy.kHighsInf, len(values), list(kinds), list(values))
    solver.setOptionValue("mip_rel_gap", 0.0)
    solver.setOptionValue("mip_abs_gap", 1e-6)
    solver.run()
    if solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        return float("inf"), tuple(0 for _ in kinds)
    numbers = tuple(round(value) for value in solver.getSolution().col_value)
    return sum(count * stock.cost for count, stock in zip(numbers, task.stocks, strict=True)), numbers


@dataclass(frozen=True, slots=True)
class Choice:
    """How often each pattern is cut, and the value of that choice."""

    value: float
    times: tuple[int, ...]


def choose_patterns(
    task: Task,
    patterns: Sequence[Pattern],
    effort: Effort,
    *,
    seconds: float,
    nodes: int,
    combination: Sequence[int] | None = None,
    below: float | None = None,
    start: Sequence[int] = (),
) -> Choice | None:
    """The best whole numbers of patterns that are found within the limits, or None.

    Without ``combination`` the cost is least and every piece is cut; with one its sheets are used and the area of
    what they leave uncut is least. ``below`` rules out what is not better than that; ``start`` are
    the values of all columns, spare ones included, to begin with.
    """
    solver = quiet_solver()
    limit = min(seconds, effort.seconds_left)
    if limit <= 0.0 or not patterns:
        return None
    solver.passModel(_whole_model(task, patterns, combination))
    solver.setOptionValue("time_limit", limit)
    solver.setOptionValue("mip_max_nodes", nodes)
    solver.setOptionValue("mip_rel_gap", 1e-6)
    if below is not None:
        solver.setOptionValue("objective_bound", below)
    if start:
        known = highspy.HighsSolution()
        known.col_value = [float(value) for value in start]
        solver.setSolution(known)
    run_stoppable(solver)
    if solver.getModelStatus() == highspy.HighsModelStatus.kTimeLimit:
        effort.late = True
    info = solver.getInfo()
    if info.primal_solution_status != highspy.SolutionStatus.kSolutionStatusFeasible:
        return None
    times = tuple(round(value) for value in solver.getSolution().col_value[: len(patterns)])
    return Choice(float(info.objective_function_value), times)


def _whole_model(
    task: Task, patterns: Sequence[Pattern], combination: Sequence[int] | None
) -> highspy.HighsLp:
    sorts, count = len(task.sorts), len(patterns)
    spare = sorts if combination is not None else 0
    table = np.zeros((count + spare, sorts + len(task.stocks)))
    table[:count, :sorts] = [pattern.counts for pattern in patterns]
    stocks = np.array([pattern.stock for pattern in patterns])
    table[np.arange(count), sorts + stocks] = 1.0
    table[count:, :sorts] = np.eye(spare, sorts)
    numbers = [stock.count for stock in task.stocks] if combination is None else list(combination)
    limits = np.array([highspy.kHighsInf if number is None else float(number) for number in numbers])
    demand = np.array(task.demand, dtype=np.float64)
    areas = np.array([sort.area / task.area for sort in task.sorts])
    costs = np.array([stock.cost for stock in task.stocks])[stocks]
    model = highspy.HighsLp()
    model.num_col_, model.num_row_ = table.shape
    model.col_cost_ = costs if combination is None else np.concatenate([np.zeros(count), areas])
    model.col_lower_ = np.zeros(count + spare)
    model.col_upper_ = np.concatenate([limits[stocks], demand[:spare]])
    model.row_lower_ = np.concatenate([demand, np.full(len(limits), -highspy.kHighsInf)])
    model.row_upper_ = np.concatenate([np.full(sorts, highspy.kHighsInf), limits])
    rows, places = np.nonzero(table)
    model.a_matrix_.format_ = highspy.MatrixFormat.kColwise
    model.a_matrix_.start_ = np.concatenate([[0], np.cumsum((table != 0).sum(axis=1))])
    model.a_matrix_.index_ = places
    model.a_matrix_.value_ = table[rows, places]
    model.integrality_ = [highspy.HighsVarType.kInteger] * count + [highspy.HighsVarType.kContinuous] * spare
    return model
