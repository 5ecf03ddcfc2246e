"""Plans of sheets: orders whose best plan is known by counting, and what must hold for any order."""

import tracemalloc
from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pitchline.kit.cutting.checker import check_sheets
from pitchline.kit.cutting.need import First, Keep, Piece, Saw, SheetOrder, SheetStock, Stages
from pitchline.kit.cutting.patterns import UNITS_PER_MM
from pitchline.kit.cutting.plan import SheetPlan
from pitchline.kit.cutting.sheets import Kerfs, plan_sheets, sheet_task
from pitchline.kit.cutting.sheets_improve import search
from pitchline.kit.cutting.sheets_rests import Smallest, largest_rest
from pitchline.kit.cutting.sheets_strips import StripPlan, plan_strips


def sheet(
    length: float, width: float, price: float = 10.0, count: int | None = None, offcut: bool = False
) -> SheetStock:
    return SheetStock(f"S{length:g}x{width:g}", length, width, 18.0, price, count, offcut)


def part(name: str, length: float, width: float, quantity: int = 1, grain: bool = False) -> Piece:
    return Piece(name, length, width, 18.0, quantity, keep_grain=grain)


def order_of(
    parts: list[Piece],
    *stocks: SheetStock,
    kerf: float = 3.0,
    trim: float = 0.0,
    stages: Stages = 3,
    first: First = "any",
) -> SheetOrder:
    return SheetOrder(tuple(parts), stocks, Saw(kerf, trim, stages, first))


def sound(order: SheetOrder, plan: SheetPlan) -> None:
    assert check_sheets(order, plan) == ()


@pytest.mark.parametrize(("second", "sheets"), [(497.0, 1), (497.01, 2)])
def test_a_kerf_lies_between_pieces_and_may_run_off_the_edge(second: float, sheets: int) -> None:
    """500 + 3 + 497 = 1000, and not a hundredth more; one piece may be as long as the sheet."""
    order = order_of([part("a", 500.0, 100.0), part("b", second, 100.0)], sheet(1000.0, 100.0))
    plan = plan_sheets(order, 0.3)
    sound(order, plan)
    assert len(plan.sheets) == sheets


def test_a_piece_as_large_as_the_trimmed_sheet_fits() -> None:
    order = order_of([part("a", 980.0, 580.0)], sheet(1000.0, 600.0), trim=10.0)
    plan = plan_sheets(order, 0.2)
    sound(order, plan)
    assert plan.sheets[0].pieces[0].x == pytest.approx(10.0)
    assert plan.unplaced == ()


def test_inches_add_up_exactly() -> None:
    """Four of 24 in on 96 in without a kerf; eight of 11 7/8 in with seven kerfs of 1/8 in: 95 7/8 in."""
    inch = 25.4
    whole = order_of([part("a", 24.0 * inch, 48.0 * inch, 4)], sheet(96.0 * inch, 48.0 * inch), kerf=0.0)
    assert len(plan_sheets(whole, 0.2).sheets) == 1
    kerfed = order_of(
        [part("a", 11.875 * inch, 48.0 * inch, 8, grain=True)],
        sheet(95.875 * inch, 48.0 * inch),
        kerf=inch / 8.0,
    )
    assert len(plan_sheets(kerfed, 0.2).sheets) == 1


def test_grain_keeps_a_piece_from_being_turned() -> None:
    """600 x 300 along the grain goes on a sheet of 700 x 400, on one of 400 x 700 only when it may be turned."""
    lengthwise = order_of([part("a", 600.0, 300.0, 1, grain=True)], sheet(400.0, 700.0))
    plan = plan_sheets(lengthwise, 0.2)
    assert [shortage.part for shortage in plan.unplaced] == ["a"]
    free = order_of([part("a", 600.0, 300.0, 1)], sheet(400.0, 700.0))
    turned = plan_sheets(free, 0.2)
    assert turned.sheets[0].pieces[0].turned
    sound(free, turned)


def test_the_cheaper_of_two_formats_is_bought_and_proved() -> None:
    """Eight of 500 x 500: two sheets of 4 at 9 against one of 8 at 20 and eight of 1 at 3."""
    order = order_of(
        [part("a", 500.0, 500.0, 8)],
        sheet(1000.0, 1000.0, 9.0),
        sheet(2000.0, 1000.0, 20.0),
        sheet(500.0, 500.0, 3.0),
        kerf=0.0,
    )
    plan = plan_sheets(order, 0.5)
    sound(order, plan)
    assert plan.cost == pytest.approx(18.0)
    assert plan.lower_bound == pytest.approx(18.0)


def test_a_counted_offcut_is_used_before_a_sheet_is_bought() -> None:
    order = order_of(
        [part("a", 400.0, 300.0, 2)],
        sheet(1000.0, 1000.0, 9.0),
        sheet(900.0, 320.0, 0.0, 1, offcut=True),
        trim=5.0,
    )
    plan = plan_sheets(order, 0.3)
    sound(order, plan)
    assert plan.cost == 0.0
    assert plan.lower_bound == 0.0
    assert [cut.stock for cut in plan.sheets] == ["S900x320"]


def test_sheets_that_do_not_suffice_are_told_with_the_shortage() -> None:
    """Two sheets hold four quarters each; ten are wanted, so two are short."""
    order = order_of([part("a", 500.0, 500.0, 10)], sheet(1000.0, 1000.0, 9.0, count=2), kerf=0.0)
    plan = plan_sheets(order, 0.5)
    sound(order, plan)
    assert [(shortage.part, shortage.quantity) for shortage in plan.unplaced] == [("a", 2)]
    assert "2 of 10" in plan.unplaced[0].why


def test_no_parts_need_no_sheets() -> None:
    plan = plan_sheets(order_of([], sheet(1000.0, 1000.0)), 0.2)
    assert plan.sheets == ()
    assert plan.cost == 0.0


@st.composite
def orders(draw: st.DrawFn) -> SheetOrder:
    tenths = st.integers(300, 6000).map(lambda size: size / 10.0)
    sixteenths = st.integers(32, 380).map(lambda size: size * 25.4 / 16.0)
    size = tenths | sixteenths
    parts = [
        part(f"p{i}", draw(size), draw(size), draw(st.integers(1, 6)), draw(st.booleans()))
        for i in range(draw(st.integers(1, 6)))
    ]
    stocks = [
        sheet(1250.0, 625.0, 20.0),
        sheet(2440.0, 1220.0, 62.0),
        sheet(700.0, 640.0, 1.0, 2, offcut=True),
    ]
    kept = draw(st.lists(st.sampled_from(stocks), min_size=1, max_size=3, unique=True))
    return order_of(
        parts,
        *kept,
        kerf=draw(st.sampled_from([0.0, 2.8, 3.175, 3.2])),
        trim=draw(st.sampled_from([0.0, 8.0])),
        stages=draw(st.sampled_from([2, 3])),
        first=draw(st.sampled_from(["any", "rip", "cross"])),
    )


@settings(deadline=None, max_examples=25)
@given(orders())
def test_every_plan_passes_the_independent_check(order: SheetOrder) -> None:
    plan = plan_sheets(order, 0.25)
    sound(order, plan)
    area = sum(piece.length * piece.width for cut in plan.sheets for piece in cut.pieces)
    assert area <= sum(cut.length * cut.width for cut in plan.sheets)


def busy_order(stages: Stages = 3) -> SheetOrder:
    """An invented order of a workshop."""
    parts = [
        part("side", 720.0, 560.0, 6, grain=True),
        part("top", 880.0, 110.0, 9),
        part("shelf", 860.0, 310.0, 8),
        part("door", 714.0, 397.0, 6, grain=True),
        part("rail", 402.0, 64.0, 14),
    ]
    return order_of(
        parts, sheet(2440.0, 1220.0, 62.0), sheet(1220.0, 1220.0, 36.0), kerf=3.2, trim=10.0, stages=stages
    )


def test_the_same_seed_gives_the_same_plan() -> None:
    def steady() -> Callable[[], float]:
        return lambda: 0.0

    first, second = (plan_sheets(busy_order(), 0.6, 7, clock=steady()) for _ in range(2))
    assert first == second
    assert not first.late


@pytest.mark.parametrize("stages", [2, 3])
def test_at_equal_cost_the_largest_rest_is_never_smaller_than_in_the_cheapest_plan(stages: Stages) -> None:
    order = busy_order(stages)
    kerfs = Kerfs.of(order)
    smallest = Smallest(300 * UNITS_PER_MM, 100 * UNITS_PER_MM)
    cheapest = search(sheet_task(order, order.parts, kerfs), 0.8, 3)
    plain = (
        largest_rest(cheapest.task, cheapest.cuts, smallest, (kerfs.across, kerfs.along)) / UNITS_PER_MM**2
    )
    plan = plan_sheets(order, 0.8, 3)
    sound(order, plan)
    best = max((rest.area for cut in plan.sheets for rest in cut.rests), default=0.0)
    assert plan.cost <= cheapest.cost + 1e-9
    assert plan.cost < cheapest.cost or best >= plain - 1e-3


def test_one_small_order_leaves_the_sheet_in_one_piece() -> None:
    """Six strips of 100 along 2400 of 2440 x 1220 without a kerf leave 620 mm of the width, whole."""
    order = SheetOrder(
        (part("a", 2400.0, 100.0, 6, grain=True),), (sheet(2440.0, 1220.0),), Saw(0.0), Keep(1000.0, 300.0)
    )
    plan = plan_sheets(order, 0.4)
    sound(order, plan)
    assert max(rest.area for rest in plan.sheets[0].rests) >= 2440.0 * 620.0 - 1.0


def test_ctrl_c_keeps_the_best_plan_so_far() -> None:
    calls = iter(range(10_000))

    def clock() -> float:
        if next(calls) == 12:
            raise KeyboardInterrupt
        return 0.0

    plan = plan_sheets(busy_order(), 5.0, clock=clock)
    assert plan.stopped
    assert plan.unplaced == ()
    sound(busy_order(), plan)


def test_time_that_is_up_at_once_still_gives_a_plan() -> None:
    plan = plan_sheets(busy_order(), 0.0)
    assert plan.unplaced == ()
    sound(busy_order(), plan)


def test_a_plan_of_a_workshop_order_takes_little_memory() -> None:
    tracemalloc.start()
    plan_sheets(busy_order(), 0.5)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert peak < 200e6


def strips_of(*, home_rips: bool) -> StripPlan:
    order = order_of(
        [part("a", 600.0, 200.0, 4, grain=True), part("b", 580.0, 180.0, 4, grain=True)],
        sheet(1250.0, 625.0, 20.0),
        kerf=4.0,
    )
    return plan_strips(order, 2.5, 0.3, home_rips=home_rips)


def test_the_merchant_rips_whole_strips_and_two_kerfs_are_kept() -> None:
    """200 + 4 + 200 + 4 + 180 = 588 of 625 with the merchant's kerf; 600 + 2.5 + 600 = 1202.5 with that at home."""
    found = strips_of(home_rips=False)
    assert found.plan.unplaced == ()
    assert len(found.plan.sheets) == 2
    for ripped in found.merchant:
        edge = 0.0
        for width, mark in zip(ripped.widths, ripped.marks, strict=True):
            assert mark == pytest.approx(edge + width)
            edge = mark + 4.0
        assert ripped.marks[-1] <= 625.0
        assert ripped.cuts == len(ripped.widths)
    for strips in found.home:
        for strip in strips:
            assert strip.to_rip == ()
            assert {piece.width for piece in strip.pieces} == {strip.width}
            for before, after in zip(strip.pieces, strip.pieces[1:], strict=False):
                assert after.x - before.x - before.length == pytest.approx(2.5)


def test_strips_as_wide_as_the_sheet_need_no_last_rip() -> None:
    order = order_of([part("a", 600.0, 310.0, 2, grain=True)], sheet(600.0, 624.0, 20.0), kerf=4.0)
    found = plan_strips(order, 2.5, 0.2)
    assert found.merchant[0].widths == (310.0, 310.0)
    assert found.merchant[0].cuts == 1
