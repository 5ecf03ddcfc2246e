"""Plans of bars: small orders whose best plan is known by counting, shortages, rests, repeats and interruptions."""

import math
from collections.abc import Sequence
from dataclasses import replace

import pytest

from pitchline.kit.cutting import bars
from pitchline.kit.cutting.bars import plan_bars
from pitchline.kit.cutting.bars_layout import settings
from pitchline.kit.cutting.checker import check_bars
from pitchline.kit.cutting.need import BarOrder, BarStock, End, Keep, Piece, Saw

KERF = 3.0


def order_of(parts: Sequence[Piece], *stocks: BarStock, trim: float = 0.0, keep: float = 300.0) -> BarOrder:
    return BarOrder(tuple(parts), stocks, Saw(KERF, trim), Keep(bar=keep))


def bar(length: float, price: float, count: int | None = None, offcut: bool = False) -> BarStock:
    return BarStock(f"B{length:g}", length, 40.0, 20.0, price, count, offcut)


def part(name: str, length: float, quantity: int = 1, *mitres: float, over: bool = False) -> Piece:
    ends = (End(mitres[0]), End(mitres[1])) if mitres else (End(), End())
    return Piece(name, length, 40.0, 20.0, quantity, ends=ends, turn_over=over)


@pytest.mark.parametrize("length", [200.0, 333.3, 797.0, 1197.0])
def test_equal_square_pieces_fill_bars_as_arithmetic_says(length: float) -> None:
    """A bar of L holds floor((L + k) / (l + k)) pieces of l: n pieces and n - 1 kerfs."""
    order = order_of([part("a", length, 50)], bar(2400.0, 7.0))
    plan = plan_bars(order, 1.0)
    per_bar = math.floor((2400.0 + KERF) / (length + KERF) + 1e-9)
    assert len(plan.bars) == math.ceil(50 / per_bar)
    assert plan.lower_bound == pytest.approx(plan.cost)
    assert check_bars(order, plan) == ()


def test_nesting_gets_one_more_rhomboid_out_of_a_bar() -> None:
    """Four in 2400 when nested, where their longest points alone would allow but three."""
    slant = 40.0 * math.tan(math.radians(45.0))
    length = (2400.0 - slant - 3 * KERF * math.sqrt(2.0)) / 4.0 + slant - 0.01
    assert math.floor((2400.0 + KERF) / (length + KERF)) == 3
    order = order_of([part("a", length, 8, 45.0, 45.0)], bar(2400.0, 7.0))
    plan = plan_bars(order, 1.0)
    assert len(plan.bars) == 2
    assert check_bars(order, plan) == ()


def test_the_cheaper_of_two_lengths_is_bought() -> None:
    """Six pieces of 1000: two bars of 3600 (3 each, 9.90) against three of 2400 (2 each, 9.60)."""
    order = order_of([part("a", 1000.0, 6)], bar(2400.0, 3.2), bar(3600.0, 4.95))
    plan = plan_bars(order, 1.0)
    assert plan.cost == pytest.approx(9.6)
    assert plan.lower_bound == pytest.approx(9.6)


def test_a_counted_offcut_is_used_once_and_not_trimmed() -> None:
    order = order_of([part("a", 800.0, 3)], bar(800.0, 0.5, 1, offcut=True), bar(2400.0, 7.0), trim=10.0)
    plan = plan_bars(order, 1.0)
    assert sorted(one.stock for one in plan.bars) == ["B2400", "B800"]
    assert check_bars(order, plan) == ()


def test_a_part_longer_than_every_bar_is_told_with_what_is_lacking() -> None:
    order = order_of([part("rail", 2390.0), part("a", 500.0)], bar(2400.0, 7.0), trim=10.0)
    plan = plan_bars(order, 1.0)
    assert [(one.part, one.quantity) for one in plan.unplaced] == [("rail", 1)]
    assert "10.0 mm are lacking" in plan.unplaced[0].why
    assert [piece.part for one in plan.bars for piece in one.pieces] == ["a"]
    assert plan.lower_bound == 0.0


def test_too_few_bars_leave_pieces_over_and_say_so() -> None:
    order = order_of([part("a", 1000.0, 7)], bar(2400.0, 7.0, 2))
    plan = plan_bars(order, 1.0)
    assert [(one.part, one.quantity) for one in plan.unplaced] == [("a", 3)]
    assert len(plan.bars) == 2
    assert check_bars(order, plan) == ()


def test_what_is_left_is_gathered_on_one_bar() -> None:
    """The fullest bar of 2400 holds 2 x 700 and 2 x 400 (2209 with its kerfs), so that 700 and 400 take the other."""
    order = order_of([part("a", 700.0, 3), part("b", 400.0, 3)], bar(2400.0, 7.0))
    plan = plan_bars(order, 2.0)
    assert plan.cost == pytest.approx(14.0)
    left = max(one.rest[1] - one.rest[0] for one in plan.bars if one.rest)
    assert left == pytest.approx(2400.0 - (700.0 + KERF) - (400.0 + KERF))


def test_the_same_seed_gives_the_same_plan() -> None:
    parts = [part(f"p{i}", 300.0 + 37.7 * i, 3, 41.2, (41.2, 0.0, -22.5)[i % 3]) for i in range(8)]
    order = order_of(parts, bar(2400.0, 7.0), bar(3000.0, 8.5))
    assert plan_bars(order, 3.0, seed=4) == plan_bars(order, 3.0, seed=4)


def test_settings_are_counted_along_the_bars() -> None:
    """Two bars of four slanting pieces and one of five square ones: the saw is set twice."""
    order = order_of([part("a", 500.0, 8, 30.0, 30.0), part("b", 400.0, 5)], bar(2030.0, 7.0))
    plan = plan_bars(order, 1.0)
    assert len(plan.bars) == 3
    assert settings(plan.bars) == 2


def test_no_time_still_gives_a_plan() -> None:
    order = order_of([part("a", 700.0, 9), part("b", 411.0, 7)], bar(2400.0, 7.0))
    plan = plan_bars(order, 0.0)
    assert plan.unplaced == ()
    assert check_bars(order, plan) == ()


def test_an_interrupt_keeps_the_best_plan_so_far(monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupted(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(bars, "length_bound", interrupted)
    order = order_of([part("a", 700.0, 9), part("b", 411.0, 7)], bar(2400.0, 7.0))
    plan = plan_bars(order, 5.0)
    assert plan.stopped
    assert plan.unplaced == ()
    assert check_bars(order, replace(plan, lower_bound=0.0)) == ()


def test_a_free_offcut_is_used_and_its_bound_is_no_more_than_the_cost() -> None:
    order = order_of([part("a", 800.0, 3)], bar(800.0, 0.0, 1, offcut=True), bar(2400.0, 7.0))
    plan = plan_bars(order, 0.5)
    assert plan.cost == pytest.approx(7.0)
    assert plan.lower_bound <= 7.0
    assert check_bars(order, plan) == ()


def test_where_all_is_free_the_least_length_is_taken() -> None:
    order = order_of([part("a", 700.0, 3)], bar(2400.0, 0.0), bar(5400.0, 0.0))
    plan = plan_bars(order, 0.5)
    assert [one.length for one in plan.bars] == [2400.0]
    assert (plan.cost, plan.lower_bound) == (0.0, 0.0)


def test_a_bar_that_is_all_trim_is_not_used() -> None:
    order = order_of([part("a", 700.0, 3)], bar(15.0, 0.1), bar(2400.0, 7.0), trim=10.0)
    plan = plan_bars(order, 0.5)
    assert {one.length for one in plan.bars} == {2400.0}
    assert check_bars(order, plan) == ()


def test_stock_of_which_there_is_none_is_not_used() -> None:
    order = order_of([part("a", 700.0, 3)], bar(2200.0, 0.1, 0), bar(2400.0, 7.0))
    plan = plan_bars(order, 0.5)
    assert plan.cost == pytest.approx(7.0)
