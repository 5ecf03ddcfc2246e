"""Drawings and lists of uprights on treads and of every way of making: their figures, their size, both units."""

from dataclasses import replace

import pytest
from tests.strategies_stairs import LIMITS, plain_brief, regular_flight
from tests.strategies_treads import GROOVED_HEAD, HEADS, METAL, cut_flight, per_tread, tread_brief

from pitchline.design.brief import BaseBrief, BaseSeat, Dowelled, Making, Mortised, TreadFoot
from pitchline.design.choices import choices_of
from pitchline.design.compose import compose
from pitchline.design.model import Design
from pitchline.kit.drawing.marks import Dimension, Drawing, Label, Leader
from pitchline.kit.drawing.svg import write_svg
from pitchline.kit.units import Unit
from pitchline.kit.words import show_in
from pitchline.parts.explode import explode, fixings_of, grouped
from pitchline.parts.marks import tread_places
from pitchline.sheets.choicetable import choices_list
from pitchline.sheets.families import families
from pitchline.sheets.gapview import neighbours
from pitchline.sheets.partviews import part_drawing
from pitchline.sheets.schedule import schedule_rows
from pitchline.sheets.sections import base_section, lower_section, rail_section
from pitchline.sheets.stepview import step_drawing, tread_to_show
from pitchline.sheets.tables import Quantity, fixings_list, tread_marks_list
from pitchline.sheets.treadsection import tread_section
from pitchline.stair.model import LegKind, Seat
from pitchline.stair.treads import treads_of

SHOWS = {unit: show_in(unit) for unit in Unit}
UNITS = pytest.mark.parametrize("unit", list(Unit))


def on_treads(making: Making = GROOVED_HEAD) -> Design:
    flight = cut_flight()
    width = 14.0 if making is METAL else 32.0
    return compose(flight, tread_brief(flight, making=making, infill=per_tread(width=width)), LIMITS)


def texts(drawing: Drawing) -> str:
    return "\n".join(mark.text for mark in drawing.marks if isinstance(mark, Dimension | Label | Leader))


@UNITS
def test_a_step_is_drawn_with_its_gaps_and_its_going(unit: Unit) -> None:
    design, show = on_treads(), SHOWS[unit]
    held = tread_to_show(design)
    assert held is not None
    tread, uprights = held
    drawing = step_drawing(design, tread, uprights, show, 5.0)
    words = texts(drawing)
    first, second = uprights
    assert f"gap {show(second.u - first.u - 32.0)}" in words
    assert f"going {show(tread.going)}, riser face to riser face" in words
    assert f"{second.mark} {show(tread.going / 2)}" in words
    assert "<svg" in write_svg(drawing).svg


def test_no_step_is_drawn_where_a_base_rail_carries_the_uprights() -> None:
    flight = regular_flight()
    assert tread_to_show(compose(flight, plain_brief(flight), LIMITS)) is None
    assert neighbours(on_treads()) is None


@UNITS
@pytest.mark.parametrize("foot", list(TreadFoot))
def test_a_foot_is_drawn_with_what_holds_it(unit: Unit, foot: TreadFoot) -> None:
    design, show = on_treads(replace(GROOVED_HEAD, foot=foot, inset=6.0)), SHOWS[unit]
    words = texts(tread_section(design, show, 2.0))
    assert foot.value in words
    assert f"string {show(32.0)}" in words
    assert f"return nosing {show(22.0)}" in words
    assert show(6.0) in words


def test_the_string_lies_under_the_outer_faces_of_the_uprights() -> None:
    """Uprights 32 mm thick, nothing inset: string and upright end at the same place, 16 mm outside the middle."""
    drawing = tread_section(on_treads(), str, 1.0)
    strings = [
        mark for mark in drawing.marks if isinstance(mark, Dimension) and mark.text.startswith("string")
    ]
    uprights = [
        mark for mark in drawing.marks if isinstance(mark, Dimension) and mark.text.startswith("upright")
    ]
    outer = [max(abs(mark.a[0]), abs(mark.b[0])) for mark in (*strings, *uprights)]
    assert outer == pytest.approx([16.0, 16.0])


@pytest.mark.parametrize("making", [METAL, *(replace(GROOVED_HEAD, head=head) for head in HEADS)])
def test_every_way_of_making_has_its_section(making: Making) -> None:
    design = on_treads(making)
    words = texts(rail_section(design, SHOWS[Unit.MM], 1.0))
    assert any(name in words for name in ("groove", "mortise", "hole"))
    draw = lower_section(design)
    assert draw is not None
    foot = texts(draw(SHOWS[Unit.MM], 1.0))
    assert ("hole 50.0, 15.0 deep" if making is METAL else "25.0 into the tread") in foot


def test_what_stands_on_treads_has_no_base_section() -> None:
    with pytest.raises(TypeError):
        base_section(on_treads(), str, 1.0)


@UNITS
def test_places_on_treads_are_listed_from_each_riser(unit: Unit) -> None:
    design = on_treads()
    (listing,) = tread_marks_list("A", design)
    places = list(tread_places(design))
    assert len(listing.rows) == len(design.uprights)
    for row, place, upright in zip(listing.rows, places, design.uprights, strict=True):
        tread = treads_of(design.flight)[place.number]
        assert row[2] == Quantity(upright.u - 16.0 - tread.riser)
        assert row[0] == upright.mark
    del unit


def test_fixings_are_listed_in_the_makers_unit() -> None:
    listing = fixings_list("A", fixings_of(on_treads()), SHOWS[Unit.INCH])
    (row,) = listing.rows
    assert row[0] == "dowel"
    assert row[2] == '13/32" x 2 3/8"'


def test_choices_are_listed_with_the_chosen_one_marked() -> None:
    flight = regular_flight()
    design = compose(flight, plain_brief(flight), LIMITS)
    listing = choices_list("A", choices_of(design.bay, design.brief))
    assert listing.accents == frozenset({0})
    assert str(listing.rows[0][-1]).startswith("laid out: ")


def test_parts_with_tenons_and_end_holes_say_so() -> None:
    flight = regular_flight()
    words = []
    makings: tuple[Making, ...] = (
        Mortised(rail_depth=25.0, base_depth=12.0, tenon_thickness=14.0, shoulder=4.0),
        Dowelled(diameter=10.0, rail_depth=25.0, base_depth=12.0, end_depth=35.0),
    )
    for making in makings:
        design = compose(flight, plain_brief(flight, making=making), LIMITS)
        for family in families(grouped(explode(design))):
            drawing = part_drawing(family, SHOWS[Unit.MM], "part", inches=False, first_angle=True)
            words.append(" ".join(texts(drawing).split()))
    said = " ".join(words)
    assert "tenon at the start end" in said
    assert "mortises" in said
    assert "in the start end on the centre line" in said
    assert "leaning 90.00" not in said


def test_the_schedule_says_how_they_stand_and_how_long_they_are() -> None:
    design, show = on_treads(), SHOWS[Unit.MM]
    rows = {row[1]: row[3] for row in schedule_rows(design, show)}
    lengths = sorted(place.seen for place in tread_places(design))
    assert rows["seen length, shortest to longest"] == f"{show(lengths[0])} to {show(lengths[-1])}"
    assert rows["how they are joined"] == "dowel 25.0 deep in the treads; handrail grooved 10.0 deep, fillets"


def test_a_base_rail_on_a_knee_wall_is_its_capping() -> None:
    flight = regular_flight()
    assert flight.string is not None
    wall = replace(flight, string=replace(flight.string, kind=Seat.KNEE_WALL, thickness=100.0))
    design = compose(wall, plain_brief(wall), LIMITS)
    assert "capping" in {row[1] for row in schedule_rows(design, str)}
    assert "knee wall" in texts(base_section(design, str, 1.0))
    clear = replace(plain_brief(wall), base=BaseBrief(70.0, 30.0, BaseSeat.CLEAR))
    assert compose(wall, clear, LIMITS).name_of(design.base_rail) == "base rail"


def test_a_base_rail_on_the_floor_lies_on_it() -> None:
    level = replace(cut_flight(), kind=LegKind.LEVEL, nosings=((0.0, 0.0), (1500.0, 0.0)), cut_string=None)
    brief = plain_brief(level, base=BaseBrief(70.0, 30.0, BaseSeat.FLOOR), rail=plain_brief(level).rail)
    design = compose(level, brief, LIMITS)
    assert design.base_rail.bottom.at(700.0) == pytest.approx(0.0)
    assert "floor" in texts(base_section(design, str, 1.0))
