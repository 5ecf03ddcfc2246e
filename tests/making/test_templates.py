"""Templates of the examples' parts: which are made, and that notches and mortises stand where the part has them."""

import pytest
from tests.making.test_settings import piece

from pitchline.job.load import load_text
from pitchline.job.new import starting_text
from pitchline.kit.geometry.bevels import SawReading
from pitchline.kit.geometry.frames import Frame, Plane
from pitchline.kit.units import Unit
from pitchline.making.templates import Template, diagonals, templates_of
from pitchline.parts.explode import Group, grouped
from pitchline.parts.part import Feature, Mortise, Notch, Part, Role, RoundBar, Sawn
from pitchline.story import solve

SLANT = SawReading(40.0, 0.0)


def newel(*features: Feature) -> Group:
    ends = (Plane((0.0, 0.0, 0.0), (-1.0, 0.0, 0.0)),), (Plane((1100.0, 0.0, 0.0), (1.0, 0.0, 0.0)),)
    part = Part("P1", "P1", Role.NEWEL, "oak-european", 1100.0, 90.0, 90.0, *ends, features, Frame())
    return Group("P1", part, ("P1",))


def only(found: tuple[Template, ...]) -> Template:
    (one,) = found
    return one


def test_ends_alike_share_a_template_and_square_ones_need_none() -> None:
    alike = [piece("A", 500.0, SLANT, SLANT), piece("B", 700.0, SLANT, SLANT), piece("C", 300.0)]
    found = templates_of(alike, ())
    assert [one.for_marks for one in found] == [("A start", "B start"), ("A far end", "B far end")]
    assert [one.id for one in found] == ["T1", "T2"]


def test_round_bars_are_not_folded_round() -> None:
    from dataclasses import replace

    group = piece("A", 500.0, SLANT, SLANT)
    assert templates_of([replace(group, part=replace(group.part, features=(RoundBar(20.0),)))], ()) == ()


def test_a_notch_stands_where_the_newel_has_it() -> None:
    """60 long from the start, 30 deep of the width, right through the thickness."""
    one = only(templates_of([newel(Notch((0.0, -45.0, -45.0), (60.0, -15.0, 45.0)))], ()))
    blank, notch = one.view.outlines
    assert notch[0] == (0.0, -45.0)
    assert notch[2] == (60.0, -15.0)
    assert min(y for _, y in blank) == -45.0


def test_a_mortise_stands_where_the_newel_has_it() -> None:
    mortise = Mortise((900.0, 0.0, 45.0), (0.0, 0.0, -1.0), 70.0, 22.0, 35.0)
    one = only(templates_of([newel(mortise)], ()))
    mouth = one.view.outlines[1]
    assert (mouth[0], mouth[2]) == ((865.0, -11.0), (935.0, 11.0))
    assert "900.0 mm from the start end" in one.view.marks[0].words


def test_two_mortises_of_a_face_are_told_apart() -> None:
    mortises = [Mortise((x, 0.0, 45.0), (0.0, 0.0, -1.0), 70.0, 22.0, 35.0) for x in (200.0, 900.0)]
    titles = [one.title for one in templates_of([newel(*mortises)], ())]
    assert titles == ["Mortise 1 of P1, face +Z", "Mortise 2 of P1, face +Z"]


def test_an_outline_is_the_pieces_own_with_what_to_check_by_tape() -> None:
    outline = ((0.0, 0.0), (300.0, 0.0), (300.0, 400.0), (0.0, 400.0))
    part = newel(Sawn(outline)).part
    one = only(templates_of([Group("G1", part, ("G1",))], ()))
    assert one.view.outlines[0] == outline
    assert len(one.corners) == 4
    # a rectangle of 3 : 4 has diagonals of 5
    assert diagonals(outline) == pytest.approx((500.0, 500.0))
    assert "Diagonals: 500.0, 500.0." in one.words


def test_outlines_with_true_arcs_are_never_cut_into_corners() -> None:
    outline = ((0.0, 0.0), (300.0, 0.0), (300.0, 400.0), (0.0, 400.0))
    bent = newel(Sawn(outline, arcs=((0, 1, 150.0, -200.0, 250.0),))).part
    assert only(templates_of([Group("E1", bent, ("E1",))], ())).corners == ()


@pytest.mark.parametrize("example", ["mm", "quarter-turn", "panels", "knee-wall"])
def test_every_slanting_end_of_an_example_has_its_template(example: str) -> None:
    job = solve(load_text(starting_text(example, Unit.MM)))
    for whole in job.balustrades:
        groups = grouped(whole.parts)
        told = {mark for one in templates_of(groups, ()) for mark in one.for_marks}
        for group in groups:
            if group.part.role is not Role.UPRIGHT:
                continue
            for cuts, name in ((group.part.start_cuts, "start"), (group.part.finish_cuts, "far end")):
                slanting = len(cuts) == 1 and abs(cuts[0].normal[0]) < 0.999
                round_bar = any(isinstance(feature, RoundBar) for feature in group.part.features)
                assert (f"{group.mark} {name}" in told) == (slanting and not round_bar)
