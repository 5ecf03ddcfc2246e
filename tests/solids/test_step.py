"""Solids for other programs, read back with a general kernel (OpenCascade): sound, of the right size, named, placed.

Volumes are held against closed forms and against `parts.measure`, which has its own outside check.
"""

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from OCP.GeomAbs import GeomAbs_Cone, GeomAbs_Cylinder, GeomAbs_Plane
from tests.packs import solved
from tests.solids.step_read import (
    area_of,
    box_of,
    is_valid,
    leaves,
    solids,
    surface_kinds,
    volume_of,
)

from pitchline.job.load import load_text
from pitchline.job.new import starting_text
from pitchline.kit.geometry.bevels import SawReading, end_plane, start_plane
from pitchline.kit.geometry.frames import Frame, Plane
from pitchline.kit.units import Unit
from pitchline.parts.measure import volume
from pitchline.parts.part import (
    Face,
    Feature,
    Groove,
    Hole,
    Notch,
    Part,
    Role,
    RoundBar,
    RoundOver,
    Sawn,
    Turning,
)
from pitchline.sheets.step_chapter import balustrade_tree, step_chapter
from pitchline.solids import step_occ
from pitchline.solids.solid import local_solid, part_body
from pitchline.solids.step import Branch, assembly_step, part_step
from pitchline.story import solve

CLOSED_FORM = 1e-9
"""Relative agreement of volumes between closed forms and the kernel's integral over exact surfaces."""


def piece(*features: Feature, length: float = 400.0, width: float = 90.0, thickness: float = 40.0) -> Part:
    """An invented piece with square ends, in its own axes."""
    return Part(
        place="X1",
        mark="X1",
        role=Role.UPRIGHT,
        material="oak-european",
        length=length,
        width=width,
        thickness=thickness,
        start_cuts=(Plane((0.0, 0.0, 0.0), (-1.0, 0.0, 0.0)),),
        finish_cuts=(Plane((length, 0.0, 0.0), (1.0, 0.0, 0.0)),),
        features=features,
        frame=Frame(),
    )


BLANK = 400.0 * 90.0 * 40.0

WORKED: dict[str, tuple[Part, float]] = {
    "plain": (piece(), BLANK),
    "groove": (piece(Groove(Face.PLUS_Z, 10.0, 20.0, 8.0)), BLANK - 400.0 * 20.0 * 8.0),
    "blind hole": (
        piece(Hole((100.0, 5.0, 20.0), (0.0, 0.0, -1.0), 16.0, 25.0)),
        BLANK - math.pi * 64.0 * 25.0,
    ),
    "hole right through": (
        piece(Hole((100.0, 5.0, 20.0), (0.0, 0.0, -1.0), 16.0, 60.0)),
        BLANK - math.pi * 64.0 * 40.0,
    ),
    "notch": (piece(Notch((0.0, -45.0, 0.0), (120.0, 45.0, 20.0))), BLANK - 120.0 * 90.0 * 20.0),
    "rounded edges": (
        piece(RoundOver(((1, 1), (-1, 1)), 8.0)),
        BLANK - 2.0 * (1.0 - math.pi / 4.0) * 64.0 * 400.0,
    ),
    "round bar": (piece(RoundBar(40.0), width=40.0), math.pi * 400.0 * 400.0),
    "turned": (
        piece(Turning(((100.0, 30.0), (200.0, 36.0), (300.0, 24.0))), width=40.0),
        2 * 100.0 * 1600.0 + math.pi * 100.0 / 12.0 * (30**2 + 30 * 36 + 36**2 + 36**2 + 36 * 24 + 24**2),
    ),
    "sawn with an opening": (
        piece(
            Sawn(
                ((0.0, -45.0), (400.0, -45.0), (400.0, 45.0), (0.0, 45.0)),
                (((100.0, -20.0), (100.0, 20.0), (160.0, 20.0)),),
            )
        ),
        BLANK - 0.5 * 40.0 * 60.0 * 40.0,
    ),
}


@pytest.mark.parametrize("name", list(WORKED))
def test_a_piece_is_a_sound_solid_of_its_exact_volume(name: str, tmp_path: Path) -> None:
    part, expected = WORKED[name]
    (leaf,) = leaves(part_step(part), tmp_path)
    assert len(solids(leaf.shape)) == 1
    assert is_valid(leaf.shape)
    assert volume_of(leaf.shape) == pytest.approx(expected, rel=CLOSED_FORM)
    low, high = box_of(leaf.shape)
    assert low == pytest.approx((0.0, -part.width / 2, -part.thickness / 2), abs=1e-6)
    assert high == pytest.approx((part.length, part.width / 2, part.thickness / 2), abs=1e-6)


def test_holes_and_round_overs_are_true_cylinders_and_turnings_true_cones(tmp_path: Path) -> None:
    for name, kind in (
        ("blind hole", GeomAbs_Cylinder),
        ("round bar", GeomAbs_Cylinder),
        ("turned", GeomAbs_Cone),
    ):
        (leaf,) = leaves(part_step(WORKED[name][0]), tmp_path)
        assert kind in surface_kinds(leaf.shape)
    (leaf,) = leaves(part_step(WORKED["rounded edges"][0]), tmp_path)
    kinds = surface_kinds(leaf.shape)
    assert kinds.count(GeomAbs_Cylinder) == 2
    assert kinds.count(GeomAbs_Plane) == 6
    # Three faces stay whole, two lose a radius, each end loses two corners; two quarter cylinders come in.
    shown = 400.0 * (90.0 + 2 * 40.0 + 90.0) - 400.0 * 4 * 8.0 + 2 * 400.0 * math.pi / 2 * 8.0
    ends = 2 * (90.0 * 40.0 - 2 * (1.0 - math.pi / 4.0) * 64.0)
    assert area_of(leaf.shape) == pytest.approx(shown + ends, rel=CLOSED_FORM)


def test_bevelled_ends_with_a_slanting_hole(tmp_path: Path) -> None:
    """A cylinder cut by slanting planes: its volume is that of its axis' length between them."""
    reading = SawReading(mitre_deg=38.0, bevel_deg=12.0)
    start, finish = start_plane((60.0, 0.0, 0.0), reading), end_plane((340.0, 0.0, 0.0), reading)
    part = replace(
        piece(Hole((200.0, 0.0, 20.0), (math.sin(0.5), 0.0, -math.cos(0.5)), 14.0, 200.0)),
        start_cuts=(start,),
        finish_cuts=(finish,),
    )
    (leaf,) = leaves(part_step(part), tmp_path)
    assert is_valid(leaf.shape)
    assert volume_of(leaf.shape) == pytest.approx(
        280.0 * 90.0 * 40.0 - math.pi * 49.0 * 40.0 / math.cos(0.5), rel=CLOSED_FORM
    )


@pytest.mark.parametrize("units", ["mm", "in"])
def test_every_piece_of_the_examples_has_the_volume_it_is_said_to_have(units: str, tmp_path: Path) -> None:
    for whole in solved(units).balustrades:
        (*found,) = leaves(assembly_step(balustrade_tree(whole)), tmp_path)
        told = {leaf.path[-1]: leaf for leaf in found}
        assert sorted(told) == sorted(part.place for part in whole.parts)
        for part in whole.parts:
            shape = told[part.place].shape
            assert len(solids(shape)) == 1
            assert is_valid(shape), part.place
            assert volume_of(shape) == pytest.approx(volume(part), rel=1e-6), part.place


def test_pieces_stand_where_they_go(tmp_path: Path) -> None:
    """The boxes around them, by the kernel, are those of the facetted solids that fits are checked with."""
    (whole, *_) = solved("mm").balustrades
    told = {leaf.path[-1]: leaf.shape for leaf in leaves(assembly_step(balustrade_tree(whole)), tmp_path)}
    for part in whole.parts:
        body, (low, high) = part_body(part, 128), box_of(told[part.place])
        assert np.array(low) == pytest.approx(body.low, abs=0.02)
        assert np.array(high) == pytest.approx(body.high, abs=0.02)


def test_the_tree_of_several_legs_is_kept(tmp_path: Path) -> None:
    whole = solve(load_text(starting_text("dog-leg", Unit.MM))).balustrades[0]
    assert len(whole.legs) > 1
    found = leaves(assembly_step(balustrade_tree(whole)), tmp_path)
    branches = {leaf.path[1] for leaf in found}
    assert branches == {f"balustrade {whole.id}: {leg.design.id}" for leg in whole.legs}
    assert len(found) == len(whole.parts)


def test_like_pieces_are_one_product_in_several_places(tmp_path: Path) -> None:
    one = replace(piece(), mark="X", place="X1")
    other = replace(one, place="X2", frame=Frame((0.0, 500.0, 0.0)))
    found = leaves(assembly_step(Branch("two", (one, other))), tmp_path)
    assert {leaf.product for leaf in found} == {"X"}
    assert [leaf.path for leaf in found] == [("two", "X1"), ("two", "X2")]
    assert box_of(found[1].shape)[0][1] == pytest.approx(500.0 - 45.0, abs=1e-6)


def test_names_in_any_letters_come_back(tmp_path: Path) -> None:
    name = "Treppe 'Süd' \\ 1/2, лестница, 楼梯 🙂"
    (leaf,) = leaves(assembly_step(Branch(name, (replace(piece(), mark="é1"),))), tmp_path)
    assert leaf.path[0] == name
    assert leaf.product == "é1"


def test_pieces_bear_the_colour_of_their_material(tmp_path: Path) -> None:
    oak = leaves(part_step(piece()), tmp_path)[0].colour
    steel = leaves(part_step(replace(piece(), material="steel")), tmp_path)[0].colour
    assert oak is not None
    assert steel is not None
    assert oak != steel


def test_the_same_piece_gives_the_same_bytes_in_plain_ascii() -> None:
    data = part_step(WORKED["turned"][0], "2026-05-04")
    assert data == part_step(WORKED["turned"][0], "2026-05-04")
    assert data.isascii()
    assert data.startswith(b"ISO-10303-21;\n")
    assert b"2026-05-04T00:00:00" in data


def test_a_pack_has_a_file_of_each_design_and_of_each_mark() -> None:
    whole = solved("mm")
    names = [file.name for file, _ in step_chapter(whole).files]
    assert len({name.lower() for name in names}) == len(names)
    for one in whole.balustrades:
        assert f"{one.id}.step" in names
        assert {f"parts/{one.id}/{part.mark}.step" for part in one.parts} <= set(names)


THROUGH_EDGE = piece(
    RoundOver(((1, 1), (-1, 1)), 10.0), Hole((200.0, 42.0, 20.0), (0.0, 0.0, -1.0), 12.0, 25.0)
)
"""A hole that runs into a rounded edge: two cylinders meet in a curve that is no circle or ellipse."""


def test_faces_that_meet_in_other_curves_are_true_with_the_extra(tmp_path: Path) -> None:
    data = part_step(THROUGH_EDGE, "2026-05-04")
    assert data == part_step(THROUGH_EDGE, "2026-05-04")
    assert b"2026-05-04T00:00:00" in data
    (leaf,) = leaves(data, tmp_path)
    assert leaf.product == THROUGH_EDGE.mark
    assert is_valid(leaf.shape)
    assert surface_kinds(leaf.shape).count(GeomAbs_Cylinder) >= 3
    # The solid modeller, on 1024 chords to a circle, comes to the same.
    assert volume_of(leaf.shape) == pytest.approx(local_solid(THROUGH_EDGE, 1024).volume(), rel=1e-6)


def test_without_the_extra_they_are_flat_facets(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(step_occ, "is_installed", lambda: False)
    (leaf,) = leaves(part_step(THROUGH_EDGE), tmp_path)
    assert is_valid(leaf.shape)
    exact = local_solid(THROUGH_EDGE, 1024).volume()
    # Eight chords to a quarter of 10 mm leave 100 (pi/4 - 4 sin(pi/16)) mm2 of each rounded edge out.
    chords = 2 * 400.0 * 100.0 * (math.pi / 4.0 - 4.0 * math.sin(math.pi / 16.0))
    assert exact - chords <= volume_of(leaf.shape) <= exact


@pytest.mark.parametrize("name", list(WORKED))
def test_the_extra_makes_the_same_pieces(name: str, tmp_path: Path) -> None:
    part, expected = WORKED[name]
    (leaf,) = leaves(step_occ.exact_step(part), tmp_path)
    assert len(solids(leaf.shape)) == 1
    assert volume_of(leaf.shape) == pytest.approx(expected, rel=CLOSED_FORM)


def test_the_extra_makes_the_worked_pieces_of_an_example(tmp_path: Path) -> None:
    """Tenons, mortises, notches and end cuts too, against the other solid modeller and `parts.measure`."""
    whole = solve(load_text(starting_text("dog-leg", Unit.MM))).balustrades[0]
    kinds: set[frozenset[str]] = set()
    for part in whole.parts:
        own = frozenset(type(feature).__name__ for feature in part.features)
        if own in kinds:
            continue
        kinds.add(own)
        (leaf,) = leaves(step_occ.exact_step(part), tmp_path)
        assert volume_of(leaf.shape) == pytest.approx(volume(part), rel=1e-6), part.place
    assert len(kinds) >= 3
