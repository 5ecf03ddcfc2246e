"""Saw settings on pieces of a few plain designs."""

from dataclasses import replace

import pytest

from pitchline.job.load import load_text
from pitchline.job.new import starting_text
from pitchline.kit.geometry.bevels import SawReading, end_plane, start_plane
from pitchline.kit.geometry.frames import Frame
from pitchline.kit.units import Unit
from pitchline.making.saws import Lay, lays, stop_line
from pitchline.making.settings import CutKind, Holding, WhyNot
from pitchline.making.settings_report import sawing_chapter
from pitchline.making.settings_ways import bearing
from pitchline.making.settings_work import saw_work
from pitchline.making.shop import SawKind, Shop, usual_saw, usual_shop
from pitchline.parts.explode import Group, grouped
from pitchline.parts.part import Face, Groove, Part, Role, RoundBar, RoundOver, Tenon
from pitchline.story import Solved, solve
from pitchline.story_making import making_chapter, work_out

SQUARE = SawReading(0.0, 0.0)


def piece(
    mark: str,
    length: float,
    start: SawReading = SQUARE,
    finish: SawReading = SQUARE,
    size: tuple[float, float] = (40.0, 20.0),
    quantity: int = 1,
) -> Group:
    """A strip whose two ends meet its middle line ``length`` apart."""
    part = Part(
        mark, mark, Role.UPRIGHT, "oak-european", length + 400.0, size[0], size[1],
        (start_plane((200.0, 0.0, 0.0), start),), (end_plane((200.0 + length, 0.0, 0.0), finish),), (), Frame(),
    )  # fmt: skip
    return Group(mark, part, tuple(f"{mark}{k}" for k in range(quantity)))


def shop_of(*kinds: SawKind) -> Shop:
    return replace(usual_shop(), saws=tuple(usual_saw(kind) for kind in kinds))


@pytest.fixture(scope="module", params=["mm", "leaning", "panels"])
def solved(request: pytest.FixtureRequest) -> Solved:
    return solve(load_text(starting_text(request.param, Unit.MM)))


def test_there_are_eight_ways_to_lie() -> None:
    assert len(set(lays())) == 8
    assert sum(lay.points_right(SawKind.MITRE) for lay in lays()) == 4
    assert all(lay.points_right(SawKind.MITRE) != lay.points_right(SawKind.TABLE) for lay in lays())


def test_a_handle_to_the_right_cuts_away_the_far_corner_of_what_lies_left() -> None:
    """Blade line turned anticlockwise from above: on the left piece's end the point is on your side."""
    lay = Lay(Face.MINUS_Z, Face.PLUS_Y)
    assert lay.points_right(SawKind.MITRE)
    x, y, z = lay.plane_normal(SawReading(30.0, 0.0), SawKind.MITRE)
    assert x > 0.0 and y > 0.0 and z == 0.0
    x, y, z = lay.plane_normal(SawReading(0.0, 20.0), SawKind.MITRE)
    assert x > 0.0 and z > 0.0, "the top of the blade leans left, over the piece"


def test_parallel_ends_take_one_setting_and_mirrored_ends_too() -> None:
    slant = SawReading(38.0, 0.0)
    for finish in (slant, slant.mirrored):
        work = saw_work([piece("U1", 800.0, slant, finish)], shop_of(SawKind.MITRE))
        assert (work.settings, work.moves, work.cuts) == (1, 1, 2)


def test_two_designs_can_be_compared_by_their_settings() -> None:
    plain = saw_work([piece("A", 500.0), piece("B", 700.0)], shop_of(SawKind.MITRE))
    bevelled = saw_work(
        [piece("A", 500.0, SawReading(12.0, 0.0)), piece("B", 700.0, SawReading(20.0, 10.0))],
        shop_of(SawKind.MITRE),
    )
    assert (plain.settings, plain.moves) == (1, 0)
    assert (bevelled.settings, bevelled.moves) == (3, 3)
    assert sawing_chapter(bevelled, usual_shop())["setting_minutes"] == 3 * usual_shop().minutes("setting")


def test_angles_that_differ_by_a_hair_share_a_setting() -> None:
    near = [piece(f"U{k}", 800.0, SawReading(40.0 + 0.05 * k, 0.0)) for k in range(3)]
    work = saw_work(near, shop_of(SawKind.MITRE))
    assert work.settings == 2, "one for the slants, one for the square ends"
    assert max(one.opens for batch in work.batches for one in batch.cuts) > 0.0


def test_beyond_the_scale_a_taper_block_turns_the_piece() -> None:
    """A mitre of 76 degrees at a scale that ends at 50 wants 26 more: a block of 30, and the scale at 46."""
    work = saw_work([piece("U1", 800.0, SQUARE, SawReading(76.0, 0.0))], shop_of(SawKind.MITRE))
    assert work.blocks_deg == (30.0,)
    setting = work.batches[-1].setting
    assert abs(setting.mitre_deg) == pytest.approx(46.0)
    assert abs(setting.made.mitre_deg) == pytest.approx(76.0)


def test_what_no_saw_reaches_is_told() -> None:
    work = saw_work([piece("U1", 800.0, size=(400.0, 300.0))], shop_of(SawKind.MITRE))
    assert [one.why for one in work.unset] == [WhyNot.BEYOND, WhyNot.BEYOND]
    assert work.settings == 0


def test_a_square_cut_deeper_than_the_blade_is_made_from_two_sides() -> None:
    work = saw_work([piece("P1", 1100.0, size=(90.0, 90.0))], shop_of(SawKind.MITRE))
    assert all(one.from_two_sides for batch in work.batches for one in batch.cuts)
    mitred = saw_work([piece("P1", 1100.0, SawReading(20.0, 0.0), size=(90.0, 90.0))], shop_of(SawKind.MITRE))
    assert [one.why for one in mitred.unset] == [WhyNot.BEYOND]


def test_the_first_saw_that_can_is_taken() -> None:
    wide = piece("PN1", 1500.0, SawReading(40.0, 0.0), SawReading(40.0, 0.0), (600.0, 12.0))
    narrow = piece("U1", 800.0, SawReading(40.0, 0.0))
    work = saw_work([wide, narrow], shop_of(SawKind.MITRE, SawKind.RAIL))
    used = {one.cut.mark: batch.setting.saw.kind for batch in work.batches for one in batch.cuts}
    assert used == {"PN1": SawKind.RAIL, "U1": SawKind.MITRE}


@pytest.mark.parametrize(
    ("finish", "quantity", "held"),
    [
        (SawReading(40.0, 0.0), 9, Holding.STICK),
        (SawReading(-40.0, 0.0), 9, Holding.STICK),
        (SawReading(15.0, 0.0), 1, Holding.STICK),
        (SawReading(15.0, 0.0), 9, Holding.CARRIER),
    ],
)
def test_short_pieces_are_never_held_by_hand(finish: SawReading, quantity: int, held: Holding) -> None:
    """They come off a long stick where that goes without changing the setting for every one."""
    short = piece("F", 120.0, SawReading(40.0, 0.0), finish, (32.0, 12.0), quantity)
    cuts = ((start_plane((20.0, 0.0, 0.0), SawReading(40.0, 0.0)),), (end_plane((140.0, 0.0, 0.0), finish),))
    part = replace(short.part, length=160.0, start_cuts=cuts[0], finish_cuts=cuts[1])
    work = saw_work([replace(short, part=part)], shop_of(SawKind.MITRE))
    assert {one.holding for batch in work.batches for one in batch.cuts} == {held}


def test_the_longer_pieces_are_cut_first() -> None:
    work = saw_work([piece("A", 300.0), piece("B", 900.0), piece("C", 600.0)], shop_of(SawKind.MITRE))
    order = list(dict.fromkeys(one.cut.mark for one in work.batches[0].cuts))
    assert order == ["B", "C", "A"]


def test_a_stop_is_set_along_the_arris_on_table_and_fence() -> None:
    """A parallelogram is as long along any arris; a trapezium is longer along one than along the other."""
    slant = SawReading(45.0, 0.0)
    parallel = saw_work([piece("A", 500.0, slant, slant)], shop_of(SawKind.MITRE))
    assert {round(one.stop, 6) for one in parallel.batches[0].cuts} == {500.0}
    trapezium = saw_work([piece("A", 500.0, slant, slant.mirrored)], shop_of(SawKind.MITRE))
    assert {round(one.stop, 6) for one in trapezium.batches[0].cuts} <= {460.0, 540.0}


def test_nothing_lies_on_what_is_rounded_away() -> None:
    part = piece("H1", 1000.0, size=(60.0, 50.0)).part
    rounded = replace(
        part, features=(RoundOver(((1, 1), (-1, 1)), 22.0), Groove(Face.MINUS_Z, 0.0, 32.0, 8.0))
    )
    assert bearing(rounded, Face.PLUS_Z) == pytest.approx(16 / 60)
    assert bearing(rounded, Face.MINUS_Z) == pytest.approx(28 / 60)
    assert bearing(rounded, Face.PLUS_Y) == pytest.approx(28 / 50)
    assert bearing(replace(part, features=(RoundBar(45.0),)), Face.PLUS_Y) == 1.0
    line = stop_line(rounded, Lay(Face.PLUS_Y, Face.PLUS_Z))
    assert (line.y, line.z, line.low) == (0.0, 25.0, False)
    assert stop_line(part, Lay(Face.PLUS_Y, Face.PLUS_Z)).low


def test_shoulders_are_sawn_too() -> None:
    group = piece("U1", 800.0)
    shoulder = end_plane((900.0, 0.0, 0.0), SawReading(38.0, 0.0))
    part = replace(group.part, features=(Tenon(shoulder, (-10.0, -5.0), (10.0, 5.0)),))
    work = saw_work([replace(group, part=part)], shop_of(SawKind.MITRE))
    kinds = sorted(one.cut.kind for batch in work.batches for one in batch.cuts)
    assert kinds == [CutKind.END, CutKind.END, CutKind.SHOULDER]


def test_every_cut_of_whole_designs_is_told_of(solved: Solved) -> None:
    workshop = work_out(solved)
    for whole in solved.balustrades:
        told = making_chapter(workshop, whole.id)
        groups = grouped(whole.parts)
        cuts = sum(len(g.part.start_cuts) + len(g.part.finish_cuts) for g in groups)
        assert sum(len(one["cuts"]) for one in told["sawing"]) + len(told["otherwise"]) == cuts
        assert told["settings"] == len(told["sawing"])
        assert told["scales_moved"] >= told["settings"] - 1


def test_glass_and_cables_are_not_sawn() -> None:
    panels = solve(load_text(starting_text("panels", Unit.MM)))
    glass = work_out(panels).sawing["B"]
    assert {one.why for one in glass.unset} == {WhyNot.GLASS}
