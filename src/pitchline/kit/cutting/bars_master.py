"""Which patterns to cut and how often: linear and whole-number programmes over patterns of bars."""

from collections.abc import Sequence
from dataclasses import dataclass

import highspy
import numpy as np
from numpy.typing import NDArray

from pitchline.kit.cutting.bars_task import BarTask, Pattern
from pitchline.kit.cutting.solver import quiet_solver, run_stoppable

Floats = NDArray[np.float64]
Column = tuple[int, tuple[int, ...]]
"""Stock and counts: what a programme sees of a pattern."""

SHORTAGE_PRICE = 10.0
"""A missing piece costs this many times the dearest bar: no plan leaves one out to save money."""

WHOLE_NODES = 3000
"""Nodes of the tree of a programme over every pattern of a small order."""


@dataclass(frozen=True, slots=True)
class Duals:
    """The value of a linear programme, a price for each sort and one (0 or less) for each stock."""

    value: float
    prices: Floats
    limits: Floats


class Master:
    """The linear programme over patterns, to which columns are added.

    Without ``numbers`` it asks for the least cost; with them (bars of each stock) for the least length of pieces, as
    a share of all, that these bars leave uncut, at no cost.
    """

    def __init__(self, task: BarTask, numbers: Sequence[int] | None = None) -> None:
        self.task = task
        self.numbers = numbers
        self.columns: set[Column] = set()
        self._solver = quiet_solver()
        for sort in task.sorts:
            self._solver.addRow(float(sort.demand), highspy.kHighsInf, 0, [], [])
        for index, stock in enumerate(task.stocks):
            count = stock.count if numbers is None else numbers[index]
            limit = highspy.kHighsInf if count is None else float(count)
            self._solver.addRow(-highspy.kHighsInf, limit, 0, [], [])
        dearest = max(stock.cost for stock in task.stocks)
        whole = float(task.weights @ np.array(task.demand))
        for index in range(len(task.sorts)):
            missing = (
                SHORTAGE_PRICE * max(dearest, 1.0) if numbers is None else float(task.weights[index]) / whole
            )
            self._solver.addCol(missing, 0.0, highspy.kHighsInf, 1, [index], [1.0])

    def add(self, pattern: Pattern) -> bool:
        """Let a pattern in; False when one like it is known."""
        column = (pattern.stock, pattern.counts)
        if column in self.columns:
            return False
        self.columns.add(column)
        rows = [sort for sort, count in enumerate(pattern.counts) if count]
        values = [float(pattern.counts[sort]) for sort in rows] + [1.0]
        cost = self.task.stocks[pattern.stock].cost if self.numbers is None else 0.0
        rows.append(len(self.task.sorts) + pattern.stock)
        self._solver.addCol(cost, 0.0, highspy.kHighsInf, len(rows), rows, values)
        return True

    def solve(self) -> Duals:
        """The optimum over the columns that are in."""
        self._solver.run()
        duals = np.array(self._solver.getSolution().row_dual)
        sorts = len(self.task.sorts)
        value = self._solver.getInfo().objective_function_value
        return Duals(value, np.maximum(duals[:sorts], 0.0), np.minimum(duals[sorts:], 0.0))


def cheapest_numbers(task: BarTask, cuts: Sequence[tuple[Floats, float]]) -> tuple[float, tuple[int, ...]]:
    """The cheapest numbers of bars n with ``values . n >= need`` for every cut; the cost is inf when none is."""
    solver = quiet_solver()
    kinds = range(len(task.stocks))
    for stock in task.stocks:
        limit = float(stock.count) if stock.count is not None else highspy.kHighsInf
        solver.addCol(stock.cost, 0.0, limit, 0, [], [])
    whole = np.array([highspy.HighsVarType.kInteger] * len(task.stocks))
    solver.changeColsIntegrality(len(task.stocks), list(kinds), whole)
    for values, need in cuts:
        solver.addRow(need * (1.0 - 1e-9), highspy.kHighsInf, len(values), list(kinds), list(values))
    solver.setOptionValue("mip_rel_gap", 0.0)
    solver.setOptionValue("mip_abs_gap", 1e-6)
    solver.setOptionValue("time_limit", 5.0)
    run_stoppable(solver)
    status = solver.getModelStatus()
    if status == highspy.HighsModelStatus.kInfeasible:
        return float("inf"), tuple(0 for _ in kinds)
    if status != highspy.HighsModelStatus.kOptimal:
        return 0.0, tuple(0 for _ in kinds)
    numbers = tuple(round(value) for value in solver.getSolution().col_value)
    return sum(count * stock.cost for count, stock in zip(numbers, task.stocks, strict=True)), numbers


def choose_patterns(
    task: BarTask,
    patterns: Sequence[Pattern],
    *,
    seconds: float,
    nodes: int,
    below: float | None = None,
    numbers: Sequence[int] | None = None,
) -> tuple[int, ...] | None:
    """How often to cut each pattern: the best whole numbers found within the limits, or None.

    Without ``numbers`` the cost is least and every piece is cut; with them these bars are used and the length of
    pieces that they leave uncut is least. ``below`` rules out what is not better than that.
    """
    if seconds <= 0.0 or not patterns:
        return None
    solver = quiet_solver()
    solver.passModel(_whole_model(task, patterns, numbers))
    solver.setOptionValue("mip_rel_gap", 1e-6)
    return _found(solver, len(patterns), seconds, nodes, below)


def best_choice(
    task: BarTask, patterns: Sequence[Pattern], seconds: float
) -> tuple[tuple[int, ...], float] | None:
    """How often to cut each pattern at the least cost, and the cost below which no choice can be; None if none is."""
    solver = quiet_solver()
    solver.passModel(_whole_model(task, patterns, None))
    solver.setOptionValue("mip_rel_gap", 0.0)
    solver.setOptionValue("mip_abs_gap", 1e-7)
    times = _found(solver, len(patterns), seconds, WHOLE_NODES, None)
    return None if times is None else (times, float(solver.getInfo().mip_dual_bound))


def choose_easy_patterns(
    task: BarTask,
    patterns: Sequence[Pattern],
    efforts: Sequence[float],
    *,
    cost: float,
    seconds: float,
    nodes: int,
) -> tuple[int, ...] | None:
    """How often to cut each pattern so that the sum of ``efforts`` is least at no more than ``cost``, or None."""
    if seconds <= 0.0 or not patterns:
        return None
    model = _whole_model(task, patterns, None)
    prices = np.array(model.col_cost_)
    model.col_cost_ = np.array(efforts, dtype=np.float64)
    solver = quiet_solver()
    solver.passModel(model)
    places = list(range(len(patterns)))
    solver.setOptionValue("mip_rel_gap", 1e-6)
    solver.addRow(-highspy.kHighsInf, cost * (1.0 + 1e-9) + 1e-9, len(places), places, list(prices))
    return _found(solver, len(patterns), seconds, nodes, None)


def _found(
    solver: highspy.Highs, count: int, seconds: float, nodes: int, below: float | None
) -> tuple[int, ...] | None:
    solver.setOptionValue("time_limit", seconds)
    solver.setOptionValue("mip_max_nodes", nodes)
    if below is not None:
        solver.setOptionValue("objective_bound", below)
    run_stoppable(solver)
    if solver.getInfo().primal_solution_status != highspy.SolutionStatus.kSolutionStatusFeasible:
        return None
    return tuple(round(value) for value in solver.getSolution().col_value[:count])


def _whole_model(
    task: BarTask, patterns: Sequence[Pattern], numbers: Sequence[int] | None
) -> highspy.HighsLp:
    sorts, count = len(task.sorts), len(patterns)
    spare = sorts if numbers is not None else 0
    table = np.zeros((count + spare, sorts + len(task.stocks)))
    table[:count, :sorts] = [pattern.counts for pattern in patterns]
    stocks = np.array([pattern.stock for pattern in patterns])
    table[np.arange(count), sorts + stocks] = 1.0
    table[count:, :sorts] = np.eye(spare, sorts)
    counts = [stock.count for stock in task.stocks] if numbers is None else list(numbers)
    limits = np.array([highspy.kHighsInf if number is None else float(number) for number in counts])
    demand = np.array(task.demand, dtype=np.float64)
    costs = np.array([stock.cost for stock in task.stocks])[stocks]
    model = highspy.HighsLp()
    model.num_col_, model.num_row_ = table.shape
    model.col_cost_ = costs if numbers is None else np.concatenate([np.zeros(count), task.weights])
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
