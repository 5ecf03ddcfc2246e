"""How infill gets in, glue-ups in stages, minutes spread over acts, gates and readings, what finishing takes."""

import math
from dataclasses import replace
from functools import cache

import pytest

from pitchline.catalogue.finishes import load_finishes
from pitchline.job.load import load_text
from pitchline.job.new import starting_text
from pitchline.kit.units import Unit
from pitchline.making.consumables import items_of, tape_length
from pitchline.making.finishing import TIN_REST, amounts_of, hours_by_act
from pitchline.making.finishing_brief import FinishBrief
from pitchline.making.order import STAIR, Act, bodies_after
from pitchline.making.order_entry import Way, lean_needed
from pitchline.making.order_parts import SHARES, Family
from pitchline.making.order_plan import Planned
from pitchline.making.order_stages import clamps_needed, lots_of
from pitchline.making.shop import Clamps, Glue, Shop, usual_shop
from pitchline.parts.wood import surface_area
from pitchline.story import solve
from pitchline.story_making import planned_orders
from pitchline.strength.settings import StrengthSettings


@cache
def planned(name: str = "mm", extra: str = "") -> Planned:
    text = starting_text(name, Unit.MM).replace("[[flights]]", f"{extra}\n[[flights]]", 1)
    return next(iter(planned_orders(solve(load_text(text))).values()))


def test_shares_of_each_family_make_one() -> None:
    for shares in SHARES.values():
        assert sum(shares.values()) == pytest.approx(1.0)


def test_the_hours_of_pieces_are_the_figures_of_the_shop() -> None:
    """A handrail's minutes, spread over what is done to it, add up to its figure again."""
    work = planned().work
    rails = sum(work.times.of(Family.HANDRAIL, act) for act in Act)
    assert rails == pytest.approx(work.shop.minutes("rail"))
    uprights = sum(work.times.of(Family.UPRIGHT, act) for act in Act)
    assert uprights == pytest.approx(len(work.of(Family.UPRIGHT)) * work.shop.minutes("upright-grooved"))


def test_a_leaning_upright_passes_the_lower_cheek_where_geometry_lets_it() -> None:
    """Between parallel lines d apart, square to them, a lean b gains d / cos b - d, less w sin b for its width."""
    design = planned().work.legs[0]
    upright = design.uprights[0]
    own = abs(upright.lean + design.handrail.face.angle)
    ends = [z for _, z in upright.outline.points]
    length = (max(ends) - min(ends)) / math.cos(upright.lean)
    lift = 4.0
    lean = lean_needed(design, upright, lift)
    assert lean is not None
    b = math.radians(lean)
    room = length * math.cos(own) / math.cos(own + b) - length
    assert room - upright.width * math.sin(b) / math.cos(own) >= lift
    assert lean_needed(design, upright, 1000.0) is None


@pytest.mark.parametrize(
    ("name", "way"),
    [
        ("mm", Way.SINGLY),
        ("leaning", Way.NEWEL_LAST),
        ("panels", Way.RAIL_LAST),
        ("cables", Way.AFTER),
        ("knee-wall", Way.RAIL_LAST),
    ],
)
def test_how_the_infill_of_the_examples_gets_in(name: str, way: Way) -> None:
    """A joiner's answer: leant into grooves, dowels and panels from above, closed slots with a newel, cables last."""
    assert {entry.way for entry in planned(name).work.entries.values()} == {way}


def shop(**changes: object) -> Shop:
    return replace(usual_shop(), **changes)  # type: ignore[arg-type]


def test_lots_keep_to_the_open_time_and_the_clamps() -> None:
    """Half a minute each: ten in five minutes; four clamps hold four at a time."""
    places = [f"R{k:02d}" for k in range(1, 25)]
    many = lots_of(places, shop(clamps=(Clamps(40, 600.0),), glue=Glue(5.0, 60.0)))
    assert [len(lot) for lot in many] == [8, 8, 8]
    few = lots_of(places, shop(clamps=(Clamps(4, 600.0),), glue=Glue(5.0, 60.0)))
    assert [len(lot) for lot in few] == [4] * 6
    assert [place for lot in few for place in lot] == places


def test_a_clamp_at_every_space_and_one_more() -> None:
    apart = 2000.0 / (clamps_needed(2000.0) - 1)
    assert apart <= 300.0 and clamps_needed(1.0) == 2


def test_a_shop_without_clamps_is_told_so() -> None:
    poor = planned("leaning", "[[shop.clamps]]\ncount = 2\nreach = 300")
    assert any("wants" in remark.text for remark in poor.order.remarks)
    assert not any("wants" in remark.text for remark in planned("panels").order.remarks)


def test_a_wider_gap_or_a_smaller_sander_leaves_faces_for_later() -> None:
    """With a folded strip for a sander nothing between uprights is closed."""
    usual = planned().work.rooms
    small = planned("mm", "[shop]\nsander = 12\nhand_sander = 5").work.rooms
    closed = [
        sum(room.sand.value != "when all is fitted" for room in rooms.faces) for rooms in (usual, small)
    ]
    assert closed[0] > 2 * closed[1]


def test_gates_name_the_readings_a_rail_hangs_on() -> None:
    gate = planned().order.by_key["measure newels"].gate
    assert gate is not None
    hang = gate.hangs[0]
    assert hang.stops == (hang.expanded > hang.allowed)
    assert hang.readings and all(0.0 < share <= 1.0 for _, share in hang.readings)
    assert [share for _, share in hang.readings] == sorted((s for _, s in hang.readings), reverse=True)


def test_everything_is_one_body_at_the_end() -> None:
    order = planned().order
    groups = bodies_after(order.steps)
    assert len(groups) == 1
    assert set(groups[0]) == {STAIR, *(part.place for part in planned().work.parts)}


def test_areas_and_litres() -> None:
    """Outside less joints; area times coats over coverage, and a tenth that stays in tin and brush."""
    amounts = amounts_of(planned())
    parts = planned().work.parts
    assert sum(mark.outside for mark in amounts.marks) == pytest.approx(sum(map(surface_area, parts)) * 1e-6)
    assert amounts.area == pytest.approx(sum(mark.outside for mark in amounts.marks) - amounts.bare)
    coverage = load_finishes().finish("varnish").coverage
    assert amounts.litres is not None
    assert amounts.litres.low == pytest.approx(amounts.area * 3 * (1 + TIN_REST) / coverage.high)
    assert amounts.litres.high == pytest.approx(amounts.area * 3 * (1 + TIN_REST) / coverage.low)
    assert [coat.dry > coat.end >= coat.start for coat in amounts.coats] == [True] * len(amounts.coats)


def test_bare_wood_takes_no_finish() -> None:
    bare = planned("mm", '[finish]\nkind = "none"')
    amounts = amounts_of(bare)
    assert bare.work.finish is None and amounts.litres is None and not amounts.coats
    assert not any(step.act is Act.COAT for step in bare.order.steps)
    assert FinishBrief(None).kind is None


def test_all_coats_in_place() -> None:
    late = planned("mm", "[finish]\ncoats = 2\ncoats_before_fitting = 0")
    coats = [step.key for step in late.order.steps if step.act is Act.COAT]
    assert coats == ["last coat 1", "last coat 2"]


def test_hours_by_act_are_the_hours_of_the_steps() -> None:
    assert sum(hours_by_act(planned()).values()) == pytest.approx(planned().hours)


def test_what_is_used_up() -> None:
    """Two screws at each end of one rail; one every 300 mm along the base; fillets hide the base's heads."""
    items = {item.what: item for item in items_of(planned(), amounts_of(planned()), StrengthSettings())}
    base = next(part for part in planned().work.parts if part.place == "B1")
    (seats,) = (item for what, item in items.items() if what.endswith("base rails"))
    assert seats.low == pytest.approx(math.ceil(base.length / 300.0) + 1, abs=1)
    assert items["plugs, of the rail's wood, along its grain"].low == 4
    assert items["pins"].low == 2 * len(planned().work.of(Family.FILLET))
    assert 0.0 < tape_length(planned()) < 200_000.0
