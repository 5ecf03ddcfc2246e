"""Sections of rails as cut: grooves by plain sums, stacked layers against annex B of EN 1995-1-1 in closed form."""

import math

import pytest

from pitchline.strength.sections import (
    continuous_parts,
    grooved,
    joined_stiffness,
    round_cut,
    solid,
    stacked,
)
from pitchline.strength.woods import Graded, wood_of

PLY = wood_of("birch-plywood", thickness=17.6)
TWO = continuous_parts(3, 17.6, [2])


def test_a_groove_by_sums_of_rectangles() -> None:
    """Area, and second moments by Steiner, of 70 x 59 with a groove 41 x 10 in its underside."""
    cut = grooved(70.0, 59.0, 41.0, 10.0)
    area = 70 * 59 - 41 * 10
    middle = (70 * 59 * 29.5 - 41 * 10 * 5.0) / area
    i_y = 70 * 59**3 / 12 + 70 * 59 * (29.5 - middle) ** 2 - 41 * 10**3 / 12 - 410 * (5 - middle) ** 2
    assert cut.section.area == pytest.approx(area)
    assert cut.section.iy == pytest.approx(i_y)
    assert cut.section.iz == pytest.approx((59 * 70**3 - 10 * 41**3) / 12)
    assert cut.w_z == pytest.approx(cut.section.iz / 35)
    assert cut.section.torsion < solid(70.0, 59.0).section.torsion
    assert grooved(70.0, 59.0, 0.0, 10.0) == solid(70.0, 59.0)


def test_round_bars() -> None:
    """Closed forms: pi d3 / 32."""
    assert round_cut(20.0).w_y == pytest.approx(math.pi * 20**3 / 32)


def test_layers_that_run_through() -> None:
    """Of three layers with members in the second two run through; neighbours are one part."""
    assert [(part.middle, part.thickness) for part in TWO] == [(17.6, 17.6), (-17.6, 17.6)]
    four = continuous_parts(5, 10.0, [3])
    assert [(part.middle, part.thickness) for part in four] == [(15.0, 20.0), (-15.0, 20.0)]
    assert continuous_parts(1, 10.0, [1]) == ()


@pytest.mark.parametrize("slip", [0.01, 1.0, 50.0, 5000.0])
@pytest.mark.parametrize("span", [800.0, 3000.0])
def test_two_layers_are_those_of_annex_b(slip: float, span: float) -> None:
    """EN 1995-1-1 annex B for two equal parts: gamma = 1/(1 + pi2 E A / 2 (K/s) L2), E I + gamma E A a2."""
    height = 60.0
    ea = PLY.e * height * 17.6
    gamma = 1.0 / (1.0 + math.pi**2 * ea / 2.0 / (slip * span**2))
    own = 2 * PLY.e_flat * height * 17.6**3 / 12
    closed = own + gamma * 2 * ea * 17.6**2
    assert joined_stiffness(PLY, TWO, height, span, slip) == pytest.approx(closed, rel=1e-9)


def test_glue_from_none_to_full() -> None:
    """Without glue the layers' own second moments; with all of it Steiner's; the real lies between."""
    height = 60.0
    none, real, full = (stacked(PLY, TWO, height, 3000.0, 0.6, glue) for glue in (0.0, None, 1.0))
    assert none.section.iz * PLY.e == pytest.approx(2 * PLY.e_flat * height * 17.6**3 / 12)
    steiner = 2 * PLY.e_flat * height * 17.6**3 / 12 + 2 * PLY.e * height * 17.6 * 17.6**2
    assert full.section.iz * PLY.e == pytest.approx(steiner)
    assert none.section.iz < real.section.iz < full.section.iz
    assert none.w_z == pytest.approx(none.section.iz / 8.8)
    assert (none.glue, full.glue) == (0.0, 1.0)


def test_three_parts_with_endless_slip_stiffness_are_one() -> None:
    parts = continuous_parts(5, 12.0, [2, 4])
    whole = joined_stiffness(PLY, parts, 50.0, 2000.0, math.inf)
    assert joined_stiffness(PLY, parts, 50.0, 2000.0, 1e7) == pytest.approx(whole, rel=1e-4)


def test_what_woods_are_taken_as() -> None:
    assert wood_of("pine-european").values.name == "C16"
    assert "not graded" in wood_of("pine-european").assumed
    stated = wood_of("pine-european", Graded({"pine-european": "C24"}, {"pine-european": "df-l-ss"}))
    assert (stated.values.name, stated.e) == ("C24", 11000.0)
    assert stated.grade is not None
    assert stated.grade.id == "df-l-ss"
    assert wood_of("as found").values.name == "C16"
    assert wood_of("walnut-black").values.name == "D18"
    assert wood_of("steel").e == 210000.0
    assert PLY.board is not None
    assert PLY.board.count == 13
