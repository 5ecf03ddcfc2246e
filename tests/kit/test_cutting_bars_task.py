"""Room between neighbours on a bar, turns of pieces, and the value of a bar: closed forms and every order tried."""

import itertools
import math

import numpy as np
import pytest

from pitchline.kit.cutting.bars_fill import Bench, fill_bar
from pitchline.kit.cutting.bars_prices import BarPricer
from pitchline.kit.cutting.bars_task import BarTask, ends_as_laid, reach, task_of
from pitchline.kit.cutting.need import SQUARE, BarOrder, BarStock, End, Piece, Saw

WIDTH, THICKNESS, KERF = 40.0, 20.0, 3.0


def order_of(*parts: Piece, lengths: tuple[float, ...] = (2400.0,), kerf: float = KERF) -> BarOrder:
    stocks = tuple(BarStock(f"bar {i}", length, WIDTH, THICKNESS, 1.0) for i, length in enumerate(lengths))
    return BarOrder(parts, stocks, Saw(kerf))


def piece(length: float, start: End = SQUARE, end: End = SQUARE, *, turn_round: bool = True) -> Piece:
    name = f"{length:g} {start.mitre_deg:g} {end.mitre_deg:g}"
    return Piece(name, length, WIDTH, THICKNESS, ends=(start, end), turn_round=turn_round)


def test_square_pieces_are_a_kerf_apart() -> None:
    task = task_of(order_of(piece(500.0)))
    assert task.used([0, 0, 0]) == pytest.approx(3 * 500.0 + 2 * KERF)


def test_parallel_ends_share_one_cut() -> None:
    """n rhomboids in a row: their middles add up, n - 1 slanting kerfs between, one slant at each end of the row."""
    angle = math.radians(41.2)
    task = task_of(order_of(piece(900.0, End(41.2), End(41.2))))
    slant = WIDTH * math.tan(angle)
    assert task.used([0, 0, 0, 0]) == pytest.approx(4 * (900.0 - slant) + 3 * KERF / math.cos(angle) + slant)


def test_mirrored_ends_are_nested_by_turning_every_other_piece() -> None:
    """Trapeziums laid long edge to short edge: the same sum, with the pieces turned end for end in turn."""
    angle = math.radians(30.0)
    task = task_of(order_of(piece(700.0, End(30.0), End(-30.0))))
    slant = WIDTH * math.tan(angle)
    turned = next(i for i, lie in enumerate(task.lies) if lie.turned)
    straight = next(i for i, lie in enumerate(task.lies) if not lie.turned)
    nested = task.used([straight, turned, straight])
    assert nested == pytest.approx(3 * (700.0 - slant) + 2 * KERF / math.cos(angle) + slant)
    assert nested < task.used([straight, straight, straight])


def test_unlike_cuts_leave_a_wedge() -> None:
    """Cuts of 45 and 0 degrees: half the width between the middles, and the slanting kerf beyond it."""
    task = task_of(order_of(piece(600.0, End(), End(45.0)), piece(500.0)))
    middles = (600.0 - WIDTH / 2.0) + 500.0
    assert task.used([0, 2]) == pytest.approx(middles + WIDTH / 2.0 + KERF / math.cos(math.pi / 4.0))


def test_a_bevel_runs_through_the_thickness() -> None:
    end = End(0.0, 45.0)
    assert reach(end, (WIDTH, THICKNESS)) == pytest.approx(THICKNESS / 2.0)
    task = task_of(order_of(piece(500.0, end, end)))
    assert task.used([0, 0]) == pytest.approx(2 * (500.0 - THICKNESS) + KERF * math.sqrt(2.0) + THICKNESS)


def test_a_compound_cut_stretches_the_kerf_by_the_slant_of_its_normal() -> None:
    """The saw's way along the bar is the kerf over the normal's share along it: 1/(cos mitre cos bevel)."""
    end = End(30.0, 20.0)
    normal = math.cos(math.radians(30.0)) * math.cos(math.radians(20.0))
    assert end.stretch == pytest.approx(1.0 / normal)


@pytest.mark.parametrize("turned", [False, True])
@pytest.mark.parametrize("over", [False, True])
def test_turning_twice_changes_nothing(turned: bool, over: bool) -> None:
    ends = (End(41.2, 5.0), End(-10.0, 7.0))
    once = ends_as_laid(ends, turned=turned, over=over)
    assert ends_as_laid(once, turned=turned, over=over) == ends


def test_end_for_end_keeps_a_mitre_and_reverses_a_bevel() -> None:
    """Half a turn on the wide face about an axis square to it, on the normal of the cut."""
    assert ends_as_laid((End(40.0, 5.0), End(10.0, 0.0)), turned=True, over=False) == (
        End(10.0, 0.0),
        End(40.0, -5.0),
    )


def test_a_part_that_may_not_be_turned_lies_one_way() -> None:
    task = task_of(order_of(piece(500.0, End(40.0), End(10.0), turn_round=False)))
    assert [(lie.turned, lie.over) for lie in task.lies] == [(False, False)]


def best_of_all_orders(task: BarTask, prices: list[float], longest: int) -> float:
    """The most valuable sequence of up to ``longest`` lies that fits the first bar, by trying every one."""
    best = 0.0
    for number in range(1, longest + 1):
        for lies in itertools.product(range(len(task.lies)), repeat=number):
            if task.fits(0, lies):
                best = max(best, sum(prices[task.lies[i].sort] for i in lies))
    return best


@pytest.mark.parametrize("length", [300.0, 437.0, 480.0, 520.0])
def test_the_value_of_a_bar_bounds_every_filling(length: float) -> None:
    parts = (
        piece(130.0, End(41.2), End(41.2)),
        piece(160.0, End(30.0), End(-30.0)),
        piece(201.5, End(), End(22.5)),
    )
    task = task_of(order_of(*parts, lengths=(length,)))
    prices = [1.0, 1.37, 1.61]
    best = best_of_all_orders(task, prices, 4)
    above = BarPricer(task, 0.05).worth(np.array(prices))[0]
    below = BarPricer(task, 0.05, upwards=True).worth(np.array(prices))[0]
    assert above.value >= best - 1e-9
    assert below.value <= best + 1e-9
    assert task.fits(0, below.lies)
    assert above.value == pytest.approx(best, rel=0.01)


def test_a_beam_fills_a_bar_with_what_is_left_only() -> None:
    task = task_of(order_of(piece(500.0), piece(333.0), lengths=(2000.0,)))
    left = np.array([2, 1])
    fills, _ = fill_bar(Bench.of(task), 0, left, np.array([1.0, 0.6]), np.random.default_rng(0), keep=3)
    assert fills[0].pattern.counts == (2, 1)
    assert all(count <= have for fill in fills for count, have in zip(fill.pattern.counts, left, strict=True))
