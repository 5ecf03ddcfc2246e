"""Bars against published instances and against another library's solver.

Sources
- Chvatal: V. Chvatal, Linear Programming, Freeman 1983, chapter 13: raws of 100 in; 97 finals of 45, 610 of 36,
  395 of 31, 211 of 14 in; the linear programme's optimum is 452.25 raws and 453 raws suffice (figures from memory;
  the orders are repeated in GAMS' library model of the cutting stock problem).
- Paper: the example of a paper machine in the encyclopaedia article "Cutting stock problem": rolls of 5600 mm, 13
  widths, 219 rolls in all; the optimum is 73 rolls with 0.401 % waste.
- Workshop: two invented orders (mitre_M1.json, mitre_M2.json, free to use), with the best cost and the bound that
  another, general solver and its own bound found for them.
"""

import json
import math
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp

from pitchline.kit.cutting.bars import plan_bars
from pitchline.kit.cutting.bars_task import task_of
from pitchline.kit.cutting.checker import check_bars
from pitchline.kit.cutting.need import BarOrder, BarStock, End, Piece, Saw

DATA = Path(__file__).parents[1] / "data" / "cutting"

PAPER = {
    1380: 22, 1520: 25, 1560: 12, 1710: 14, 1820: 18, 1880: 18, 1930: 20, 2000: 10, 2050: 12, 2100: 14, 2140: 16,
    2150: 18, 2200: 20,
}  # fmt: skip


def plain_order(length: float, pieces: dict[int, int]) -> BarOrder:
    parts = tuple(Piece(str(size), float(size), 50.0, 10.0, number) for size, number in pieces.items())
    return BarOrder(parts, (BarStock("roll", length, 50.0, 10.0, 1.0),), Saw())


def test_chvatal_s_raws() -> None:
    order = plain_order(100.0, {45: 97, 36: 610, 31: 395, 14: 211})
    plan = plan_bars(order, 3.0)
    assert plan.cost == pytest.approx(453.0)
    assert plan.lower_bound == pytest.approx(math.ceil(452.25))
    assert check_bars(order, plan) == ()


def test_the_paper_machine() -> None:
    order = plain_order(5600.0, PAPER)
    plan = plan_bars(order, 3.0)
    assert plan.cost == pytest.approx(73.0)
    used = sum(size * number for size, number in PAPER.items())
    assert 1.0 - used / (73 * 5600.0) == pytest.approx(0.00401, abs=5e-6)
    assert plan.lower_bound == pytest.approx(73.0)
    assert check_bars(order, plan) == ()


def workshop(name: str) -> tuple[BarOrder, float, float]:
    """An invented order, the best cost that the other solver found, and its bound."""
    data = json.loads((DATA / f"mitre_{name}.json").read_text(encoding="utf-8"))
    width = data["board_width_mm"]

    def part(row: dict[str, object]) -> Piece:
        angles = [float(str(row[f"{side}_angle_deg"])) for side in ("left", "right")]
        length = float(str(row["centre_length"])) + width / 2.0 * sum(
            abs(math.tan(math.radians(a))) for a in angles
        )
        ends = (End(angles[0]), End(angles[1]))
        return Piece(
            str(row["name"]),
            length,
            width,
            20.0,
            int(str(row["copies"])),
            ends=ends,
            turn_over=row["moves"] == "any",
        )

    stocks = tuple(
        BarStock(f"S{i}", s["length"], width, 20.0, s["price"], s["copies"], offcut=s["copies"] is not None)
        for i, s in enumerate(data["stock"])
    )
    order = BarOrder(
        tuple(part(row) for row in data["parts"]), stocks, Saw(data["kerf_mm"], data["end_trim_mm"])
    )
    return order, data["results"]["best_cost"], data["results"]["proven_lower_bound"]


@pytest.mark.slow
@pytest.mark.parametrize("name", ["M1", "M2"])
def test_a_workshop_order_is_within_a_hundredth_of_its_bound(name: str) -> None:
    order, best, bound = workshop(name)
    plan = plan_bars(order, 20.0)  # it ends as soon as the bound is reached
    assert check_bars(order, plan) == ()
    assert plan.lower_bound >= bound - 1e-6
    assert plan.lower_bound <= best + 1e-6
    assert plan.cost <= 1.01 * plan.lower_bound


def patterns_of(length: float, sizes: list[float], kerf: float) -> list[list[int]]:
    """Every way to fill a bar with square pieces, written out."""
    if not sizes:
        return [[]]
    rows = []
    for number in range(int((length + kerf) // (sizes[0] + kerf)) + 1):
        rest = length - number * (sizes[0] + kerf)
        rows += [[number, *row] for row in patterns_of(rest, sizes[1:], kerf)]
    return rows


@pytest.mark.parametrize("seed", range(6))
def test_small_orders_against_a_programme_over_every_pattern(seed: int) -> None:
    """Square pieces, two bars: the whole-number programme over all patterns, solved by SciPy's milp."""
    chance = np.random.default_rng(seed)
    sizes = [float(size) for size in chance.choice(np.arange(400, 1500), 4, replace=False)]
    demand = [int(number) for number in chance.integers(1, 8, 4)]
    lengths, prices = (2400.0, 3600.0), (7.0, 10.0)
    columns, costs = [], []
    for length, price in zip(lengths, prices, strict=True):
        for row in patterns_of(length, sizes, 3.0):
            columns.append(row)
            costs.append(price)
    found = milp(
        costs,
        constraints=LinearConstraint(np.array(columns).T, lb=demand),
        integrality=np.ones(len(costs), dtype=np.int64),
        bounds=Bounds(0, np.inf),
    )
    assert found.fun is not None
    parts = tuple(Piece(f"p{i}", size, 50.0, 10.0, demand[i]) for i, size in enumerate(sizes))
    stocks = tuple(
        BarStock(f"{length:g}", length, 50.0, 10.0, price)
        for length, price in zip(lengths, prices, strict=True)
    )
    plan = plan_bars(BarOrder(parts, stocks, Saw(3.0)), 2.0)
    assert plan.cost == pytest.approx(found.fun)
    assert plan.lower_bound <= found.fun + 1e-6


def test_the_planner_s_terms_keep_every_part() -> None:
    order, _, _ = workshop("M2")
    task = task_of(order)
    assert sum(task.demand) == sum(part.quantity for part in order.parts)
