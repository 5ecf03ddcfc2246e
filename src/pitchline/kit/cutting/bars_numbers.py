"""How many bars of each stock to buy: the numbers that cost less than a plan and are not yet disproved."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from pitchline.kit.cutting.bars_bound import Bounds

MOST_LOOKED_AT = 12_000
"""Numbers looked at; with more stocks than that allows the dearest ones are varied most."""


@dataclass(frozen=True, slots=True)
class Numbers:
    """Bars of each stock, their price, and the least slack that the cuts leave them, as a share of the need."""

    each: tuple[int, ...]
    cost: float
    slack: float

    @property
    def stocks(self) -> tuple[int, ...]:
        """The stock of every single bar."""
        return tuple(stock for stock, number in enumerate(self.each) for _ in range(number))


def cheaper_numbers(bounds: Bounds, cost: float) -> list[Numbers]:
    """Numbers of bars below ``cost`` that no cut rules out and to which no bar can be added; most slack first."""
    table = np.array([values for values, _ in bounds.cuts])
    needs = np.array([need for _, need in bounds.cuts])
    found = []
    for looked, each in enumerate(_below(bounds, cost)):
        if looked > MOST_LOOKED_AT:
            break
        slack = float((table @ np.array(each, dtype=np.float64) / needs).min()) - 1.0
        if slack >= -1e-9:
            found.append(Numbers(each, _price(bounds, each), slack))
    return sorted(found, key=lambda one: (-one.slack, one.cost, one.each))


def _price(bounds: Bounds, each: tuple[int, ...]) -> float:
    return sum(count * stock.cost for count, stock in zip(each, bounds.task.stocks, strict=True))


def _most(bounds: Bounds, stock: int, money: float) -> int:
    """Bars of a stock that money buys, short of all of it."""
    kind = bounds.task.stocks[stock]
    wanted = sum(bounds.task.demand) if kind.count is None else min(kind.count, sum(bounds.task.demand))
    if kind.cost <= 0.0:
        return wanted
    return max(0, min(wanted, int((money - 1e-9 * (1.0 + money)) / kind.cost)))


def _below(bounds: Bounds, cost: float) -> Iterator[tuple[int, ...]]:
    """Numbers that cost less than ``cost`` and cannot be added to; as many of the counted and cheap ones first."""
    stocks = bounds.task.stocks
    order = sorted(range(len(stocks)), key=lambda k: (stocks[k].count is None, stocks[k].cost))
    each = [0] * len(stocks)

    def deeper(depth: int, spent: float) -> Iterator[tuple[int, ...]]:
        if depth == len(order):
            if all(_most(bounds, k, cost - spent) == 0 or each[k] == stocks[k].count for k in order):
                yield tuple(each)
            return
        stock = order[depth]
        most = _most(bounds, stock, cost - spent)
        least = most if depth == len(order) - 1 else 0
        for number in range(most, least - 1, -1):
            each[stock] = number
            yield from deeper(depth + 1, spent + number * stocks[stock].cost)
        each[stock] = 0

    yield from deeper(0, 0.0)
