"""Jigs on pieces and designs of the examples: which are made, for what, and that their sizes are the design's."""

import math
from dataclasses import replace

import pytest
from tests.making.test_settings import piece

from pitchline.job.load import load_text
from pitchline.job.new import starting_text
from pitchline.kit.geometry.bevels import SawReading
from pitchline.kit.tolerances import BOX_PLAY
from pitchline.kit.units import Unit
from pitchline.kit.words import Words, show_in
from pitchline.making.jigs import BOARD, Jig, JigKind, fine, numbered, some
from pitchline.making.jigs_boxes import mitre_box
from pitchline.making.jigs_rails import BEHIND_NOSING, STAND_WIDE, stand_places
from pitchline.making.jigs_saw import AS_MANY, carrier, stop_block
from pitchline.making.jigs_work import jigs_chapter, jigs_of
from pitchline.making.settings import SawWork
from pitchline.making.settings_work import saw_work
from pitchline.making.shop import SawKind, Shop, usual_saw, usual_shop
from pitchline.parts.explode import grouped
from pitchline.parts.marks import running_marks
from pitchline.story import Solved, solve

NOTHING = SawWork((), (), 0)


def example(name: str, unit: Unit = Unit.MM) -> Solved:
    return solve(load_text(starting_text(name, unit)))


@pytest.fixture(scope="module")
def demo() -> Solved:
    return example("mm")


@pytest.fixture(scope="module")
def dog_leg() -> Solved:
    return example("dog-leg")


def jigs(job: Solved, number: int = 0, shop: Shop | None = None) -> tuple[Jig, ...]:
    whole = job.balustrades[number]
    alike = grouped(whole.parts)
    used = usual_shop() if shop is None else shop
    return jigs_of(whole.designs, alike, saw_work(alike, used), used)


def of(found: tuple[Jig, ...], kind: JigKind) -> list[Jig]:
    return [jig for jig in found if jig.kind is kind]


def test_jigs_are_numbered_in_the_order_of_their_kinds(demo: Solved) -> None:
    found = jigs(demo)
    assert [jig.id for jig in found] == [f"J{k}" for k in range(1, len(found) + 1)]
    order = list(JigKind)
    assert [order.index(jig.kind) for jig in found] == sorted(order.index(jig.kind) for jig in found)
    assert numbered([]) == ()


def test_fillets_get_a_box_only_where_there_is_a_hand_saw(demo: Solved) -> None:
    assert of(jigs(demo), JigKind.MITRE_BOX)
    powered = replace(usual_shop(), saws=(usual_saw(SawKind.MITRE),))
    assert not of(jigs(demo, shop=powered), JigKind.MITRE_BOX)


def test_everything_sawn_by_hand_has_a_box() -> None:
    shop = replace(usual_shop(), saws=(usual_saw(SawKind.HAND),))
    slant = SawReading(33.0, 0.0)
    alike = [piece("A", 500.0, slant, slant), piece("B", 400.0, slant, slant, size=(60.0, 20.0))]
    found = of(jigs_of((), alike, saw_work(alike, shop), shop), JigKind.MITRE_BOX)
    assert {mark for jig in found for mark in jig.for_marks} == {"A", "B"}
    assert len(found) == 2


def test_boxes_that_differ_by_less_than_a_joint_may_gape_are_one() -> None:
    shop = replace(usual_shop(), saws=(usual_saw(SawKind.HAND),))
    alike = [
        piece("A", 500.0, SawReading(33.0, 0.0), SawReading(33.0, 0.0)),
        piece("B", 400.0, SawReading(33.05, 0.0), SawReading(33.05, 0.0)),
        piece("C", 400.0, SawReading(35.0, 0.0), SawReading(35.0, 0.0)),
    ]
    found = of(jigs_of((), alike, saw_work(alike, shop), shop), JigKind.MITRE_BOX)
    assert sorted(jig.for_marks for jig in found) == [("A", "B"), ("C",)]


@pytest.mark.parametrize(("quantity", "stops"), [(AS_MANY - 1, 0), (AS_MANY, 1)])
def test_a_stop_is_made_for_several_pieces(quantity: int, stops: int) -> None:
    shop = usual_shop()
    slant = SawReading(33.0, 0.0)
    alike = [piece("A", 500.0, slant, slant, quantity=quantity)]
    assert len(of(jigs_of((), alike, saw_work(alike, shop), shop), JigKind.STOP)) == stops


def test_long_pieces_are_marked_not_stopped() -> None:
    shop = usual_shop()
    alike = [piece("A", 3000.0, quantity=5)]
    assert not of(jigs_of((), alike, saw_work(alike, shop), shop), JigKind.STOP)


def test_a_story_stick_has_every_centre_from_one_datum(demo: Solved) -> None:
    """Its long lines are the running marks themselves."""
    (design,) = demo.balustrades[0].designs
    sticks = of(jigs(demo), JigKind.STORY)
    for stick, bar in zip(sticks, running_marks(design).bars, strict=True):
        (view,) = stick.views
        named = [(mark.words, mark.a[0]) for mark in view.marks if mark.words]
        assert named[0] == ("datum", 0.0)
        assert [name for name, _ in named[1:]] == [mark.upright for mark in bar.marks]
        assert [x for _, x in named[1:]] == pytest.approx([mark.centre for mark in bar.marks])
        assert view.extent[0] == pytest.approx(bar.length)


def test_feet_on_treads_have_a_level_stick(dog_leg: Solved) -> None:
    titles = [stick.title for stick in of(jigs(dog_leg), JigKind.STORY)]
    assert any("feet" in title for title in titles)


def test_a_spacer_is_as_long_as_the_gaps_it_serves(demo: Solved) -> None:
    (design,) = demo.balustrades[0].designs
    for jig, bar in zip(of(jigs(demo), JigKind.SPACER), running_marks(design).bars, strict=True):
        (ax, _), (bx, _) = jig.views[0].outlines[0][:2]
        clear = [mark.clear_before for mark in bar.marks[1:]]
        assert bx - ax == pytest.approx(sum(clear) / len(clear), abs=1e-6)


def test_stands_reach_from_the_base_rail_to_the_handrail(demo: Solved) -> None:
    (design,) = demo.balustrades[0].designs
    (stand,) = of(jigs(demo), JigKind.STAND)
    heights = [design.handrail.face.at(u) - design.base_rail.face.at(u) for u in stand_places(design)]
    assert stand.quantity == len(heights)
    (size, _) = stand.views[0].sizes
    assert size.b[1] - size.a[1] == pytest.approx(max(heights))
    assert all(f"{height:.1f} mm" in stand.words[0] for height in heights)


def test_stands_without_a_base_rail_stand_on_treads(dog_leg: Solved) -> None:
    legs = dog_leg.balustrades[0].designs
    stand = of(jigs(dog_leg), JigKind.STAND)[0]
    design = legs[0]
    heights = []
    for u in stand_places(design):
        front, tread = min(design.flight.nosings, key=lambda nosing: abs(nosing[0] - u))
        heights.append(design.handrail.face.at(front + BEHIND_NOSING + STAND_WIDE / 2.0) - tread)
    assert all(f"{height:.1f} mm" in stand.words[0] for height in heights)
    assert "tread N" in stand.words[0]


def test_a_height_gauge_shows_the_window(demo: Solved) -> None:
    (design,) = demo.balustrades[0].designs
    (gauge,) = of(jigs(demo), JigKind.GAUGE)
    assert [mark.a[1] for mark in gauge.views[0].marks] == [design.rail_line.low, design.rail_line.high]


def test_one_pair_of_cauls_serves_joints_that_are_nearly_alike(demo: Solved) -> None:
    (pair,) = of(jigs(demo), JigKind.CAUL)
    assert pair.quantity == 2
    assert set(pair.for_marks) == {"H1", "B1"}


def test_nothing_is_made_for_nothing() -> None:
    assert jigs_of((), (), NOTHING, usual_shop()) == ()
    assert jigs_chapter(()) == []


def test_a_carrier_keeps_both_hands_away() -> None:
    (view,) = carrier(20.0, 90.0, ("A",)).views
    board, _, held = view.outlines
    assert held[0][0] - board[0][0] >= 100.0
    assert board[1][0] - held[1][0] >= 100.0


def test_titles_and_words_are_in_the_users_unit() -> None:
    inches = Words(show_in(Unit.INCH))
    box = mitre_box(SawReading(36.0, 0.0), 25.4, 50.8, ("A",), 0.6, inches)
    assert '1" x 2"' in box.title
    assert " mm" not in " ".join(box.words)
    assert fine(BOX_PLAY, inches) == '1/64"'
    assert " mm" not in " ".join(stop_block(SawReading(36.0, 0.0), 25.4, 50.8, ("A",), inches).words)


def test_a_box_is_made_of_its_board() -> None:
    plan, wall = mitre_box(SawReading(45.0, 0.0), 40.0, 30.0, ("A",), 0.6).views
    # by hand: 40 and two plays and two walls wide; slots run 45 degrees across all of it
    outer = 40.0 + 2 * BOX_PLAY + 2 * BOARD
    assert plan.extent[1] == pytest.approx(outer)
    slot = plan.marks[0]
    assert math.dist(slot.a, slot.b) == pytest.approx(math.sqrt(2.0) * outer)
    assert wall.extent[1] == pytest.approx(BOARD + 34.0)


def test_marks_in_words() -> None:
    assert some(("A", "B", "C")) == "A, B, C"
    assert some(("A", "B", "C", "D")) == "A to D"


def test_a_square_box_has_one_slot() -> None:
    plan, wall = mitre_box(SawReading(0.0, 0.0), 85.0, 85.0, ("P1",), 0.6).views
    assert (len(plan.marks), len(wall.marks)) == (1, 1)
    assert plan.angles == ()
    assert plan.marks[0].a[0] == pytest.approx(plan.extent[0] / 2.0)
