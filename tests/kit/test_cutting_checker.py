"""The checker finds every slip that is put into a sound plan; sound plans pass."""

from dataclasses import replace

import pytest

from pitchline.kit.cutting.bars import plan_bars
from pitchline.kit.cutting.checker import check_bars, check_sheets
from pitchline.kit.cutting.need import BarOrder, BarStock, End, Piece, Saw, SheetOrder, SheetStock
from pitchline.kit.cutting.plan import (
    BarPiece,
    BarPlan,
    CutBar,
    CutSheet,
    Rest,
    SheetPiece,
    SheetPlan,
    Shortage,
)
from pitchline.kit.cutting.saw_cuts import saw_cuts

BARS = BarOrder(
    (
        Piece("a", 600.0, 40.0, 20.0, 4, ends=(End(40.0), End(40.0))),
        Piece("b", 500.0, 40.0, 20.0, 2, ends=(End(), End(40.0)), turn_over=True),
    ),
    (BarStock("S", 2400.0, 40.0, 20.0, 7.0),),
    Saw(3.0, 10.0),
)


def sound_bars() -> BarPlan:
    plan = plan_bars(BARS, 0.5)
    assert check_bars(BARS, plan) == ()
    return plan


def moved(bar: CutBar, index: int, by: float) -> CutBar:
    pieces = list(bar.pieces)
    pieces[index] = replace(pieces[index], start=pieces[index].start + by, end=pieces[index].end + by)
    return replace(bar, pieces=tuple(pieces))


def with_first(plan: BarPlan, bar: CutBar) -> BarPlan:
    return replace(plan, bars=(bar, *plan.bars[1:]))


def altered(piece: BarPiece, bar: CutBar) -> CutBar:
    return replace(bar, pieces=(piece, *bar.pieces[1:]))


def test_a_piece_moved_into_its_neighbour_s_kerf_is_found() -> None:
    plan = sound_bars()
    assert any(
        "the saw has" in fault for fault in check_bars(BARS, with_first(plan, moved(plan.bars[0], 1, -0.01)))
    )


def test_a_piece_off_the_trimmed_bar_is_found() -> None:
    plan = sound_bars()
    assert any(
        "leaves" in fault for fault in check_bars(BARS, with_first(plan, moved(plan.bars[0], 0, -0.01)))
    )


def test_wrong_lengths_cuts_and_turns_are_found() -> None:
    plan = sound_bars()
    bar = plan.bars[0]
    first = bar.pieces[0]
    for piece, word in (
        (replace(first, end=first.end + 0.5), "length"),
        (replace(first, ends=(End(39.0), first.ends[1])), "end cuts"),
        (replace(first, part="nobody"), "no part"),
    ):
        assert any(word in fault for fault in check_bars(BARS, with_first(plan, altered(piece, bar))))
    fixed = replace(
        BARS, parts=tuple(replace(part, turn_over=False, turn_round=False) for part in BARS.parts)
    )
    turned = altered(replace(first, over=True, ends=(End(-40.0), End(-40.0))), bar)
    assert any("may not lie so" in fault for fault in check_bars(fixed, with_first(plan, turned)))


def test_counts_money_and_stock_are_looked_at() -> None:
    plan = sound_bars()
    lost = with_first(plan, replace(plan.bars[0], pieces=plan.bars[0].pieces[1:]))
    assert any("accounted for" in fault for fault in check_bars(BARS, lost))
    assert any("costs" in fault for fault in check_bars(BARS, replace(plan, cost=plan.cost + 1.0)))
    assert any("bound" in fault for fault in check_bars(BARS, replace(plan, lower_bound=plan.cost + 1.0)))
    scarce = replace(BARS, stocks=(replace(BARS.stocks[0], count=1),))
    assert any("there are 1" in fault for fault in check_bars(scarce, plan))
    told = replace(plan, unplaced=(Shortage("a", 1, ""),))
    assert any("accounted for" in fault for fault in check_bars(BARS, told))
    other = with_first(plan, replace(plan.bars[0], stock="X"))
    assert any("no bar of the order" in fault for fault in check_bars(BARS, other))
    assert any(
        "nothing is cut" in fault for fault in check_bars(BARS, with_first(plan, CutBar("S", 2400.0, ())))
    )


SHEETS = SheetOrder(
    (
        Piece("p", 600.0, 300.0, 18.0, 2, keep_grain=True),
        Piece("q", 400.0, 250.0, 18.0, 2),
    ),
    (SheetStock("S", 1220.0, 620.0, 18.0, 30.0),),
    Saw(3.0, 5.0, 2, "rip"),
)
ROWS = (
    SheetPiece("p", 5.0, 5.0, 600.0, 300.0),
    SheetPiece("p", 608.0, 5.0, 600.0, 300.0),
    SheetPiece("q", 5.0, 308.0, 400.0, 250.0),
    SheetPiece("q", 408.0, 308.0, 400.0, 250.0),
)
SOUND = SheetPlan((CutSheet("S", 1220.0, 620.0, ROWS, (Rest(811.0, 308.0, 404.0, 307.0),)),), 30.0, 30.0)


def sheet_with(*pieces: SheetPiece, rests: tuple[Rest, ...] = ()) -> SheetPlan:
    return replace(SOUND, sheets=(replace(SOUND.sheets[0], pieces=pieces, rests=rests),))


def test_a_sheet_of_two_rows_passes() -> None:
    assert check_sheets(SHEETS, SOUND) == ()


@pytest.mark.parametrize(
    ("index", "piece", "word"),
    [
        (1, replace(ROWS[1], x=607.9), "no room"),
        (1, replace(ROWS[1], x=616.0), "leaves"),
        (0, replace(ROWS[0], x=4.0), "leaves"),
        (2, replace(ROWS[2], width=249.0), "size"),
        (0, SheetPiece("p", 5.0, 5.0, 300.0, 600.0, turned=True), "grain"),
        (0, replace(ROWS[0], part="nobody"), "no part"),
    ],
)
def test_a_slip_on_a_sheet_is_found(index: int, piece: SheetPiece, word: str) -> None:
    pieces = [*ROWS]
    pieces[index] = piece
    assert any(word in fault for fault in check_sheets(SHEETS, sheet_with(*pieces)))


def test_a_rest_on_a_piece_is_found() -> None:
    plan = sheet_with(*ROWS, rests=(Rest(700.0, 308.0, 404.0, 307.0),))
    assert any("rest" in fault for fault in check_sheets(SHEETS, plan))


def pinwheel(kerf: float) -> tuple[SheetPiece, ...]:
    """Five pieces round each other: the least pattern that no saw takes apart with cuts from edge to edge."""
    a, b = 200.0, 100.0
    return (
        SheetPiece("w", 0.0, 0.0, a, b),
        SheetPiece("w", a + kerf, 0.0, b, a, turned=True),
        SheetPiece("w", b + kerf, a + kerf, a, b),
        SheetPiece("w", 0.0, b + kerf, b, a, turned=True),
    )


def test_no_saw_takes_a_pinwheel_apart() -> None:
    """Common knowledge of guillotine cutting: the pinwheel of four is the least arrangement without a first cut."""
    size = 300.0 + 3.0
    sheet = CutSheet("S", size, size, pinwheel(3.0))
    assert saw_cuts(sheet, 0.0, Saw(3.0)) is None


def test_three_stages_are_needed_for_rows_within_a_column() -> None:
    """A column with two rows of two beside a tall piece: cross-cut, rip, cross-cut; two stages do not do."""
    pieces = (
        SheetPiece("x", 0.0, 0.0, 100.0, 100.0),
        SheetPiece("x", 103.0, 0.0, 50.0, 100.0),
        SheetPiece("x", 0.0, 103.0, 70.0, 60.0),
        SheetPiece("x", 73.0, 103.0, 80.0, 60.0),
        SheetPiece("y", 156.0, 0.0, 90.0, 163.0),
    )
    sheet = CutSheet("S", 246.0, 163.0, pieces)
    assert saw_cuts(sheet, 0.0, Saw(3.0, stages=2)) is None
    cuts = saw_cuts(sheet, 0.0, Saw(3.0))
    assert cuts is not None
    assert [cut.along for cut in cuts] == [False, True, False, False]
    assert saw_cuts(sheet, 0.0, Saw(3.0, first="rip")) is None


def test_the_cuts_of_two_rows_come_in_working_order() -> None:
    cuts = saw_cuts(SOUND.sheets[0], 5.0, SHEETS.saw)
    assert cuts is not None
    assert [(cut.stage, cut.along) for cut in cuts] == [(1, True)] * 2 + [(2, False)] * 4
    assert [cut.at for cut in cuts[:2]] == [305.0, 558.0]


def test_a_narrower_piece_in_a_strip_is_trimmed_last() -> None:
    pieces = (SheetPiece("x", 0.0, 0.0, 100.0, 100.0), SheetPiece("y", 103.0, 0.0, 90.0, 80.0))
    cuts = saw_cuts(CutSheet("S", 193.0, 100.0, pieces), 0.0, Saw(3.0, stages=2, first="rip"))
    assert cuts is not None
    assert [(cut.stage, cut.along, cut.at) for cut in cuts] == [(2, False, 100.0), (3, True, 80.0)]


def test_two_saws_have_two_kerfs() -> None:
    """Rips of 4, cross-cuts of 2: between neighbours in a strip 2 is enough, between strips 3.9 is not."""
    saw = Saw(4.0, 0.0, 2, "rip", cross_kerf=2.0)
    order = SheetOrder((Piece("x", 100.0, 100.0, 18.0, 3),), (SheetStock("S", 300.0, 300.0, 18.0, 1.0),), saw)

    def plan(gap: float) -> SheetPlan:
        spots = ((0.0, 0.0), (102.0, 0.0), (0.0, 100.0 + gap))
        pieces = tuple(SheetPiece("x", x, y, 100.0, 100.0) for x, y in spots)
        return SheetPlan((CutSheet("S", 300.0, 300.0, pieces),), 1.0, 1.0)

    assert check_sheets(order, plan(4.0)) == ()
    assert any("no room" in fault for fault in check_sheets(order, plan(3.9)))
