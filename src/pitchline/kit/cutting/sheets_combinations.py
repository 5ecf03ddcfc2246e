"""How many sheets of each stock to buy: the combinations that are cheaper than a plan and not yet disproved."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import exp

from pitchline.kit.cutting.sheets_bound import Bounds

MOST_LOOKED_AT = 60_000
"""Combinations looked at before only the neighbours of the best plan are."""


@dataclass(frozen=True, slots=True)
class Combination:
    """Sheets of each stock, their price, and the slack that the cuts leave them."""

    numbers: tuple[int, ...]
    cost: float
    slack: float

    @property
    def stocks(self) -> tuple[int, ...]:
        """The stock of every single sheet."""
        return tuple(stock for stock, number in enumerate(self.numbers) for _ in range(number))


def cheaper_combinations(bounds: Bounds, best: tuple[int, ...], cost: float) -> list[Combination]:
    """Combinations cheaper than ``cost`` that no cut rules out, the one with the best prospects first.

    ``best`` are the numbers of the plan that costs ``cost``. Only combinations to which no sheet can be added
    without reaching ``cost`` are worth trying: the others are part of one of them.
    """
    found: dict[tuple[int, ...], Combination] = {}
    looked = 0
    for numbers in _cheaper(bounds, cost):
        looked += 1
        if looked > MOST_LOOKED_AT:
            break
        _consider(bounds, numbers, found)
    if looked > MOST_LOOKED_AT:
        for numbers in _neighbours(bounds, best, cost):
            _consider(bounds, numbers, found)
    return sorted(found.values(), key=lambda one: (-prospect(one, cost), one.numbers))


EVEN_SLACK = 0.04
"""Share of slack at which about every second combination turns out to hold the pieces (seen on invented orders)."""

SLACK_SCALE = 0.01
"""How fast that chance rises with slack."""


def prospect(one: Combination, cost: float) -> float:
    """What is to be saved times the chance of saving it."""
    chance = 1.0 / (1.0 + exp(-(min(one.slack, 1.0) - EVEN_SLACK) / SLACK_SCALE))
    return (cost - one.cost) * chance


def _consider(bounds: Bounds, numbers: tuple[int, ...], found: dict[tuple[int, ...], Combination]) -> None:
    slack = bounds.allows(numbers)
    if slack >= -1e-9:
        found[numbers] = Combination(numbers, _price(bounds, numbers), slack)


def _price(bounds: Bounds, numbers: tuple[int, ...]) -> float:
    return sum(count * stock.cost for count, stock in zip(numbers, bounds.task.stocks, strict=True))


def _most(bounds: Bounds, stock: int, money: float) -> int:
    """Sheets of a stock that money buys, short of all of it."""
    kind = bounds.task.stocks[stock]
    wanted = kind.count if kind.count is not None else 10_000
    if kind.cost <= 0.0:
        return wanted
    return max(0, min(wanted, int((money - 1e-9 * (1.0 + money)) / kind.cost)))


def _cheaper(bounds: Bounds, cost: float) -> Iterator[tuple[int, ...]]:
    """Maximal combinations that cost less than ``cost``, dear stocks first; empty ends are given up early."""
    stocks = bounds.task.stocks
    order = sorted(
        range(len(stocks)), key=lambda stock: (stocks[stock].count is not None, -stocks[stock].cost)
    )
    numbers = [0] * len(stocks)

    def deeper(depth: int, spent: float) -> Iterator[tuple[int, ...]]:
        stock = order[depth]
        most = _most(bounds, stock, cost - spent)
        if depth == len(order) - 1:
            numbers[stock] = most
            if _full(bounds, numbers, cost):
                yield tuple(numbers)
            numbers[stock] = 0
            return
        for number in range(most, -1, -1):
            numbers[stock] = number
            yield from deeper(depth + 1, spent + number * stocks[stock].cost)
        numbers[stock] = 0

    yield from deeper(0, 0.0)


def _full(bounds: Bounds, numbers: list[int], cost: float) -> bool:
    """Whether no sheet of any stock can be added below ``cost``."""
    rest = cost - _price(bounds, tuple(numbers))
    for kind, number in zip(bounds.task.stocks, numbers, strict=True):
        if (kind.count is None or number < kind.count) and kind.cost < rest - 1e-9 * (1.0 + cost):
            return False
    return True


def _neighbours(bounds: Bounds, best: tuple[int, ...], cost: float) -> Iterator[tuple[int, ...]]:
    """Combinations with one or two sheets of the plan exchanged for up to two others, cheaper than it."""
    kinds = range(len(best))
    outs = [(a,) for a in kinds if best[a]] + [(a, b) for a in kinds for b in range(a, len(best))]
    ins: list[tuple[int, ...]] = [
        (),
        *((a,) for a in kinds),
        *((a, b) for a in kinds for b in range(a, len(best))),
    ]
    for gone in outs:
        for come in ins:
            numbers = list(best)
            for stock in gone:
                numbers[stock] -= 1
            for stock in come:
                numbers[stock] += 1
            limits = [kind.count for kind in bounds.task.stocks]
            if any(
                n < 0 or (limit is not None and n > limit) for n, limit in zip(numbers, limits, strict=True)
            ):
                continue
            if _price(bounds, tuple(numbers)) < cost - 1e-9 * (1.0 + cost):
                yield tuple(numbers)
