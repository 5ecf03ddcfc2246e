"""From a design's parts and a rack to a plan: blanks, spares, which stock serves which part, costs, rests."""

from collections import Counter
from dataclasses import replace
from functools import cache

import pytest

from pitchline.job.load import load_text
from pitchline.job.new import starting_text
from pitchline.kit.cutting.need import SQUARE, BarStock, Keep, Saw, SheetStock
from pitchline.kit.cutting.orders import plan_need
from pitchline.kit.finding import Verdict
from pitchline.kit.geometry.bevels import SawReading, end_plane, start_plane
from pitchline.kit.geometry.frames import Frame
from pitchline.kit.units import Unit
from pitchline.parts.explode import Group, grouped
from pitchline.parts.part import Part, Role
from pitchline.stock.chapter import cutting_chapter, cutting_findings, kept_value
from pitchline.stock.plan import Cutting, alternatives, plan_parts
from pitchline.stock.rack import Habits, Rack, RackBar, RackSheet
from pitchline.stock.taking import name_of, taking_of
from pitchline.stock.wanted import need_of, spares
from pitchline.story import solve

OAK, PLY = "oak-european", "birch-plywood"


def part(
    mark: str,
    length: float,
    width: float,
    thickness: float,
    material: str = OAK,
    mitre: float = 0.0,
    trim: float = 0.0,
) -> Part:
    reading = SawReading(mitre, 0.0)
    return Part(
        place=mark,
        mark=mark,
        role=Role.UPRIGHT,
        material=material,
        length=length,
        width=width,
        thickness=thickness,
        start_cuts=(start_plane((0.0, 0.0, 0.0), reading),),
        finish_cuts=(end_plane((length, 0.0, 0.0), reading),),
        features=(),
        frame=Frame.from_xz((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0)),
        trim=trim,
    )


def group(
    mark: str, number: int, *sizes: float, material: str = OAK, mitre: float = 0.0, trim: float = 0.0
) -> Group:
    places = tuple(f"{mark}.{n}" for n in range(number))
    return Group(mark, part(mark, sizes[0], sizes[1], sizes[2], material, mitre, trim), places)


def bar(
    name: str,
    length: float,
    width: float,
    thickness: float,
    price: float = 10.0,
    *,
    count: int | None = None,
    offcut: bool = False,
    moulded: bool = False,
) -> RackBar:
    return RackBar(BarStock(name, length, width, thickness, price, count, offcut, OAK), moulded)


def sheet(
    name: str, length: float, width: float, thickness: float, nominal: float | None = None
) -> RackSheet:
    return RackSheet(SheetStock(name, length, width, thickness, 60.0, material=PLY), nominal)


def test_blanks_are_longer_by_what_is_left_for_fitting_and_keep_their_angles() -> None:
    need = need_of(
        [group("U", 3, 800.0, 32.0, 32.0, mitre=41.2, trim=3.0)], Rack(bars=(bar("b", 2400, 32, 32),))
    )
    piece = need.parts[0]
    assert piece.length == 803.0
    assert [end.mitre_deg for end in piece.ends] == [41.2, 41.2]
    assert piece.turn_over


def test_an_end_cut_twice_is_left_square() -> None:
    one = group("U", 1, 800.0, 32.0, 32.0, mitre=30.0)
    twice = replace(one.part, finish_cuts=(*one.part.finish_cuts, *one.part.finish_cuts))
    need = need_of([replace(one, part=twice)], Rack(bars=(bar("b", 2400, 32, 32),)))
    assert need.parts[0].ends[1] == SQUARE


@pytest.mark.parametrize(
    ("number", "every", "more"), [(1, 20, 0), (2, 20, 1), (20, 20, 1), (21, 20, 2), (30, 0, 0)]
)
def test_spares(number: int, every: int, more: int) -> None:
    assert spares(number, every) == more


def test_a_bar_serves_the_section_it_loses_least_on() -> None:
    groups = [group("H", 1, 800.0, 62.0, 52.0), group("B", 1, 800.0, 62.0, 50.0)]
    need = need_of(groups, Rack(bars=(bar("65x55", 2400, 65, 55),)))
    assert [(stock.width, stock.thickness) for stock in need.bars] == [(62.0, 52.0)]


def test_a_moulding_is_neither_planed_nor_turned_over() -> None:
    rack = Rack(bars=(bar("m", 2400, 62, 52, moulded=True), bar("n", 2400, 65, 55)))
    need = need_of([group("H", 1, 800.0, 62.0, 52.0)], rack)
    assert not need.parts[0].turn_over
    thin = need_of([group("H", 1, 800.0, 60.0, 50.0)], Rack(bars=(bar("m", 2400, 62, 52, moulded=True),)))
    assert thin.bars == ()


def test_stock_of_another_material_is_left_out() -> None:
    ash = replace(bar("b", 2400, 32, 32).stock, material="ash-european")
    assert need_of([group("U", 1, 800.0, 32.0, 32.0)], Rack(bars=(RackBar(ash),))).bars == ()


def test_a_sheet_serves_by_its_measured_or_its_nominal_thickness() -> None:
    for thickness in (17.6, 17.9, 18.0):
        groups = [group("P", 1, 800.0, 300.0, thickness, material=PLY)]
        need = need_of(groups, Rack(sheets=(sheet("ply 18", 2440, 1220, 17.6, 18.0),)))
        assert need.sheets[0].thickness == thickness
        assert need.parts[0].keep_grain


def test_a_strip_may_stand_on_edge_in_a_sheet() -> None:
    need = need_of(
        [group("K", 4, 96.0, 17.6, 16.0, material=PLY)],
        Rack(sheets=(sheet("ply 18", 2440, 1220, 17.6, 18.0),)),
    )
    assert (need.parts[0].width, need.parts[0].thickness) == (16.0, 17.6)


def test_fibreboard_has_no_grain() -> None:
    mdf = replace(sheet("mdf", 2440, 1220, 18.0).stock, material="mdf")
    need = need_of([group("P", 1, 800.0, 300.0, 18.0, material="mdf")], Rack(sheets=(RackSheet(mdf),)))
    assert not need.parts[0].keep_grain


def test_what_the_rack_lacks_is_told_with_what_it_has() -> None:
    cutting = plan_parts([group("N", 1, 1000.0, 90.0, 90.0)], Rack(bars=(bar("b", 2400, 32, 32),)), 0.5)
    assert (
        "the rack has nothing it can be cut from; of oak-european it has 32.0 mm x 32.0 mm"
        in cutting.plan.unplaced[0].why
    )
    report, advice = cutting_findings("A", cutting)
    assert (report.verdict, advice.verdict) == (Verdict.REPORT, Verdict.ADVICE)


def simple() -> Cutting:
    """Six pieces of 700 from bars of 2400 x 35 x 35 at 10: two bars."""
    rack = Rack(
        bars=(bar("b", 2400, 35, 35), bar("rest", 720, 35, 35, 0.5, count=1, offcut=True)),
        saw=Saw(3.0),
        keep=Keep(bar=250.0),
        habits=Habits(0, 6.0, 0.1, 3.0, 1.0, 0.5, 4.0),
        currency="GBP",
    )
    return plan_parts([group("U", 7, 700.0, 32.0, 32.0)], rack, 0.5)


def test_costs_times_and_shares_of_a_simple_plan() -> None:
    """Two bars of three and one offcut of one: 10 + 10 + 0.50; two cuts a piece, less the four that are shared."""
    cutting = simple()
    assert cutting.plan.cost == pytest.approx(20.5)
    assert cutting.plan.lower_bound == pytest.approx(20.5)
    work = cutting.work
    assert (work.settings, work.stops, work.pieces_of_stock) == (1, 1, 3)
    assert work.cuts == 2 * 7 - 4  # on each bar of three two cuts serve two pieces
    assert work.minutes == pytest.approx(3.0 + 1.0 + 10 * 0.5 + 3 * 4.0)
    whole = (2 * 2400.0 + 720.0) * 35.0 * 35.0
    share = cutting.balance
    assert share.parts == pytest.approx(7 * 700.0 * 32.0 * 32.0 / whole)
    left = 2400.0 - 3 * 703.0
    assert share.kept == pytest.approx(2 * left * 35.0 * 35.0 / whole)
    assert kept_value(cutting) == pytest.approx(2 * 0.1 * 10.0 * left / 2400.0)


def test_the_chapter_tells_the_same_and_nothing_of_the_clock() -> None:
    cutting = simple()
    chapter = cutting_chapter(cutting)
    assert chapter["cost"] == cutting.plan.cost
    assert chapter["currency"] == "GBP"
    assert {one["stock"]: one["quantity"] for one in chapter["bought"]} == {"b": 2, "rest": 1}
    assert not {"seconds", "late"} & chapter.keys()
    assert cutting_chapter(simple()) == chapter


def test_other_ways_are_told_where_they_are_cheaper_or_quicker() -> None:
    others = alternatives(simple(), lambda need: plan_need(need, 0.3))
    assert all(one.cost < 20.5 or one.minutes < simple().work.minutes for one in others)


def test_taking_counts_stock_and_names_rests() -> None:
    cutting = simple()
    taking = taking_of(cutting.plan, cutting.rack, name_of(cutting.need, "stair"))
    assert taking.bars == {"b": 2, "rest": 1}
    assert [one.stock.id for one in taking.new_bars] == ["b rest", "b rest"]
    assert all(one.stock.width == 35.0 and one.stock.offcut for one in taking.new_bars)
    assert name_of(cutting.need, "stair") != name_of(cutting.need, "landing")


@cache
def demo_rack() -> Rack:
    from importlib.resources import files

    from pitchline.job.rack import rack_of

    return rack_of(
        files("pitchline.job").joinpath("templates", "rack-mm.toml").read_text(encoding="utf-8"), "rack"
    )


@pytest.mark.slow
@pytest.mark.parametrize("number", [0, 1])
def test_the_invented_rack_serves_the_invented_example(number: int) -> None:
    whole = solve(load_text(starting_text("mm", Unit.MM))).balustrades[number]
    cutting = plan_parts(grouped(whole.parts), demo_rack(), 2.0)
    assert cutting.plan.unplaced == ()
    placed = Counter(piece.part for one in cutting.plan.bars for piece in one.pieces)
    placed.update(piece.part for one in cutting.plan.sheets for piece in one.pieces)
    assert placed == {piece.id: piece.quantity for piece in cutting.need.parts}
    assert 0.0 < cutting.plan.lower_bound <= cutting.plan.cost
