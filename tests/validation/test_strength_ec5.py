"""Clauses of EN 1995-1-1 against worked examples of handbooks and lectures, and against closed forms.

1. H. Stamatopoulos, lectures TKT4211, NTNU: examples C1, C2, C5 (T1, T2, T4).
2. Limtreboka (Norwegian glulam handbook), examples 1, 2, 2.3.2, 16 and 19 (T5 to T10).
3. Wood handbook table of EN 338:2016 and of birch plywood, as copied into the data of these tests.
Printed values are rounded; tolerances are those of the printing.
"""

import json
import math
from pathlib import Path
from typing import Any

import pytest

from pitchline.catalogue.strength import list_strength_classes, plies_of, strength_class
from pitchline.strength.ec5 import axial, edition_2025, factors, groups, lateral, members, slip
from pitchline.strength.plies import board_strength, lay_up

DATA = json.loads((Path(__file__).parent / "data" / "strength_cases.json").read_text("utf-8"))
CASES: dict[str, Any] = {case["id"]: case for case in DATA["tests"]}


def embedded(d: float, density: float, degrees: float) -> float:
    along = lateral.embedment_along(d, density)
    return lateral.embedment(along, d, math.radians(degrees), lateral.Wood.SOFTWOOD)


@pytest.mark.parametrize("name", ["T1", "T2", "T4"])
def test_double_shear_of_dowels_and_bolts(name: str) -> None:
    """NTNU C1, C2, C5: all four modes, embedment and yield moment."""
    given, expected, tol = CASES[name]["inputs"], CASES[name]["expected"], CASES[name]["rel_tol"]
    fh1 = embedded(given["d"], given["rho1"], given["alpha1"])
    fh2 = embedded(given["d"], given["rho2"], given["alpha2"])
    my = lateral.yield_moment(given["d"], given["fu"])
    assert my == pytest.approx(expected["My"], rel=tol)
    found = lateral.double_shear(given["t1"], given["t2"], given["d"], fh1, fh2, my)
    for mode in found:
        assert mode.johansen == pytest.approx(expected[mode.letter], rel=tol)
    for key, value in (("fh", fh1), ("fh1", fh1), ("fh2", fh2)):
        if key in expected:
            assert value == pytest.approx(expected[key], rel=tol)


def test_dowels_in_a_row_and_their_design_value() -> None:
    """NTNU C1: k_mod 0.9, gamma 1.3 give 4609 N; three at 60 mm count as 2.11."""
    given, expected = CASES["T1"]["inputs"], CASES["T1"]["expected"]
    assert groups.bolts_in_row(given["n"], given["a1"], given["d"]) == pytest.approx(
        expected["n_ef"], rel=5e-3
    )
    k_mod = factors.k_mod("solid", 1, factors.Duration.SHORT)
    assert k_mod == given["kmod"]
    design = factors.design_strength(expected["Fv_Rk"], k_mod, factors.JOINT_FACTOR)
    assert design == pytest.approx(expected["Fv_Rd"], rel=1e-3)
    assert factors.k_h("solid", 108.0, 350.0) == pytest.approx(1.067, abs=1e-3)


def test_splitting() -> None:
    """NTNU C2: b 160, h_e 120, h 180: 42 501 N; Limtreboka 19: b 190, h_e 608, h 1215: 92 760 N."""
    assert axial.splitting(160, 120, 180) == pytest.approx(42501, rel=1e-4)
    assert axial.splitting(190, 608, 1215) == pytest.approx(92760, rel=1e-3)


def test_steel_plates_outside() -> None:
    """Limtreboka 19: M16 8.8 in glulam square to the grain, thin and thick plates, rope 25 per cent."""
    given, expected = CASES["T5"]["inputs"], CASES["T5"]["expected"]
    d, fh = given["d"], embedded(given["d"], given["rho"], given["alpha"])
    my = lateral.yield_moment(d, given["fu"])
    assert my == pytest.approx(expected["My"], rel=1e-3)
    thin = lateral.steel_outside(given["t2"], d, fh, my, 0.5 * d)
    thick = lateral.steel_outside(given["t2"], d, fh, my, d)
    assert [mode.letter for mode in (*thin, *thick)] == ["j", "k", "l", "m"]
    for mode, value in zip((*thin, *thick), ("j_l", "k", "j_l", "m"), strict=True):
        assert mode.johansen == pytest.approx(expected[value], rel=0.01)
    roped = lateral.weakest(lateral.with_rope(thin, lateral.Fastener.BOLT, 1e9, "j"))
    assert roped.resistance == pytest.approx(expected["k_with_rope"], rel=0.01)


def test_plates_between_thin_and_thick() -> None:
    """8.2.3(1): straight between both, so the middle of 0.5 d and d gives the mean."""
    ends = [lateral.weakest(lateral.steel_single(60, 8, 20.0, 2e4, plate)).johansen for plate in (4.0, 8.0)]
    middle = lateral.weakest(lateral.steel_single(60, 8, 20.0, 2e4, 6.0))
    assert middle.johansen == pytest.approx(sum(ends) / 2)
    assert lateral.steel_inside(60, 8, 20.0, 2e4)[0].johansen == pytest.approx(20.0 * 60 * 8)


def test_notched_beam_and_screws() -> None:
    """Limtreboka 16: k_v 0.45; screw 10 x 140 in 390 kg/m3: f_ax 12 MPa, 17 kN, two count as 1.87."""
    given, expected = CASES["T6"]["inputs"], CASES["T6"]["expected"]
    notch = members.k_notch(given["h"], given["hef"], given["x"], given["kn"])
    assert notch == pytest.approx(expected["kv"], abs=5e-3)
    screw = given["screw"]
    strength = axial.withdrawal_strength(screw["d"], screw["lef"], screw["rho"])
    assert strength == pytest.approx(expected["fax"], rel=0.02)
    pull = axial.withdrawal(screw["d"], screw["lef"], screw["rho"])
    assert pull == pytest.approx(1e3 * expected["Fax_kN"], rel=0.03)
    assert axial.effective_count(2) == pytest.approx(1.87, abs=5e-3)


def test_glulam_beam() -> None:
    """Limtreboka 1: GL30c 140 x 585 over 7.5 m: stresses, bearing and sideways buckling."""
    given, expected = CASES["T7"]["inputs"], CASES["T7"]["expected"]
    b, h, p, span = given["b"], given["h"], given["p"], given["L"]
    moment, shear = p * span**2 / 8, p * span / 2
    assert moment == pytest.approx(1e6 * expected["M"], rel=1e-3)
    assert moment / (b * h**2 / 6) == pytest.approx(expected["sigma"], rel=0.03)
    assert members.shear_stress(shear, b, h, given["kcr"]) == pytest.approx(expected["tau"], rel=0.03)
    critical = members.critical_bending(b, h, 7920.0, given["E005"])
    assert critical == pytest.approx(expected["sigma_crit"], rel=0.02)
    assert members.k_crit(given["fm"], critical) == pytest.approx(0.88, abs=0.01)
    kc90 = members.k_c90(softwood=True, glulam=True, continuous=False, contact=140, apart=7000, depth=h)
    assert kc90 == 1.75
    assert shear / (140 * 255) == pytest.approx(2.1, rel=0.02)
    creep = factors.k_def("glulam", 1)
    assert creep == 0.6


def test_glulam_purlin() -> None:
    """Limtreboka 2: 48 x 270 over 3.86 m: k_h 1.08, stresses and deflection with and without shear."""
    given, expected = CASES["T8"]["inputs"], CASES["T8"]["expected"]
    b, h, span = given["b"], given["h"], given["L"]
    assert factors.k_h("glulam", h, 390.0) == pytest.approx(expected["kh"], rel=2e-3)
    moment, shear = given["p_d"] * span**2 / 8, given["p_d"] * span / 2
    assert moment / (b * h**2 / 6) == pytest.approx(expected["sigma"], rel=2e-3)
    assert members.shear_stress(shear, b, h, given["kcr"]) == pytest.approx(expected["tau"], rel=2e-3)


def test_sideways_buckling_stress() -> None:
    """Limtreboka 2.3.2: C24 50 x 200, l_ef 4900: 14.72 MPa."""
    given, expected = CASES["T10"]["inputs"], CASES["T10"]["expected"]
    found = members.critical_bending(given["b"], given["h"], given["lef"], given["E005"])
    assert found == pytest.approx(expected["sigma_crit"], rel=1e-5)


def test_slip_moduli() -> None:
    """Table 7.1; a forest laboratory's paper prints 2723.8 to 3273.8 N/mm for 6.35 mm in 460 to 520 kg/m3."""
    for density, printed in ((460, 2723.8), (480, 2903.4), (500, 3086.7), (520, 3273.8)):
        assert slip.k_ser(density, 6.35) == pytest.approx(printed, rel=1e-4)
    assert slip.k_ser(400, 10, to_steel=True) == pytest.approx(2 * 400**1.5 * 10 / 23)
    assert slip.k_u(300.0) == pytest.approx(200.0)
    assert slip.joint_density(400.0, 900.0) == pytest.approx(600.0)
    assert slip.k_ser_nail(400.0, 3.0) == pytest.approx(400**1.5 * 3**0.8 / 30)


def test_single_shear_is_the_same_from_both_sides() -> None:
    """8.2.2 by symmetry: with the members changed over a and b, c and c, d and e, f and f change over."""
    one = lateral.single_shear(22, 58, 4.29, 27.47, 22.0, 11906)
    two = lateral.single_shear(58, 22, 4.29, 22.0, 27.47, 11906)
    by_one, by_two = ({m.letter: m.johansen for m in modes} for modes in (one, two))
    for left, right in zip("abcdef", "baceDf".replace("D", "d"), strict=True):
        assert by_one[left] == pytest.approx(by_two[right], rel=1e-12)


def test_single_shear_of_a_screw_written_out() -> None:
    """8.2.2 (8.6) written out for screw 6.0 (root 3.9), fu 900, t 22 / 58, 350 kg/m3, predrilled, M_y 11 906."""
    d, t1, t2 = 1.1 * 3.9, 22.0, 58.0
    assert lateral.screw_diameter(6.0, 3.9, shank_in_point=False) == pytest.approx(d)
    fh, my = 0.082 * (1 - 0.01 * d) * 350, 0.3 * 900 * d**2.6
    found = {m.letter: m.johansen for m in lateral.single_shear(t1, t2, d, fh, fh, my)}
    assert found["a"] == pytest.approx(fh * t1 * d)
    assert found["b"] == pytest.approx(fh * t2 * d)
    r = t2 / t1
    assert found["c"] == pytest.approx(fh * t1 * d / 2 * (math.sqrt(3 + 2 * r + 3 * r**2) - 1 - r))
    for letter, t in (("d", t1), ("e", t2)):
        root = math.sqrt(4 + 12 * my / (fh * d * t**2)) - 1
        assert found[letter] == pytest.approx(1.05 * fh * t * d / 3 * root)
    assert found["f"] == pytest.approx(1.15 * math.sqrt(2 * my * fh * d))
    withdrawal = 4004.0
    roped = lateral.with_rope(
        lateral.single_shear(t1, t2, d, fh, fh, my), lateral.Fastener.SCREW, withdrawal, "ab"
    )
    best = lateral.weakest(roped)
    assert best.rope == pytest.approx(withdrawal / 4)
    assert lateral.weakest(lateral.with_rope(roped, lateral.Fastener.DOWEL, withdrawal, "ab")).rope == 0.0


def test_screws_pulled_out_by_both_editions() -> None:
    """(8.39) and table 11.2 of 2025 written out for d 8, l 80, 350 kg/m3; 8.23 and 8.30 kN."""
    old = 0.52 * 8**-0.5 * 80**-0.1 * 350**0.8 * 8 * 80
    assert axial.withdrawal(8, 80, 350) == pytest.approx(old)
    assert old == pytest.approx(8230, rel=1e-3)
    new = math.pi * 8 * 80 * 8.2 * 8**-0.33
    assert edition_2025.withdrawal(8, 80, 350) == pytest.approx(new)
    assert new == pytest.approx(8300, rel=1e-3)
    assert edition_2025.withdrawal(8, 80, 530, hardwood=True) == pytest.approx(new * (530 / 350) ** 1.6)
    flat = edition_2025.withdrawal_strength(8, 350, angle=0.0)
    assert flat == pytest.approx(0.3 * 8.2 * 8**-0.33)
    assert edition_2025.k_v(4.0, 90.0) == pytest.approx(0.637, abs=1e-3)
    with pytest.raises(ValueError, match="30 degrees"):
        axial.withdrawal(8, 80, 350, angle=0.2)
    slanted = axial.withdrawal(8, 80, 350, angle=math.radians(45))
    assert slanted == pytest.approx(old / 1.1)
    assert axial.withdrawal_declared(12.0, 5, 40, 350, 350) == pytest.approx(12 * 5 * 40)
    assert axial.head_pull(10.0, 12.0, 350) == pytest.approx(1440.0)
    assert axial.pulled_both_ways(3.0, 5.0, 4.0, 5.0) == pytest.approx(1.0)


def test_bolt_in_tension() -> None:
    """NTNU C3: three times the strength square to the grain on the washer, or the bolt."""
    assert lateral.bolt_withdrawal(2.5, 1000.0, 9000.0) == pytest.approx(7500.0)
    assert lateral.bolt_withdrawal(2.5, 1000.0, 5000.0) == pytest.approx(5000.0)


def test_notch_limits() -> None:
    """(6.62): no notch, no loss; a taper helps; k_v of a half-deep square notch with x = 0 is 2 k_n / sqrt(h)."""
    assert members.k_notch(90, 90, 50) == 1.0
    assert members.k_notch(200, 100, 0.0) == pytest.approx(2 * 5.0 / math.sqrt(200))
    assert members.k_notch(200, 100, 40.0, slope=10) > members.k_notch(200, 100, 40.0)


def test_members_written_out() -> None:
    """6.1.5 to 6.3.2 in their own words (formulas of the clauses, from memory)."""
    assert members.bending(6.0, 4.0, 12.0, 16.0) == pytest.approx(0.5 + 0.7 * 0.25)
    assert members.bending_with_axial(0.5, 2.0, 8.0, 10.0) == pytest.approx(0.75)
    assert members.bending_with_axial(0.5, -2.0, 8.0, 10.0) == pytest.approx(0.54)
    assert members.shear(0.3, 0.4, 1.0) == pytest.approx(0.5)
    assert members.k_shape(100, 50) == pytest.approx(1.3)
    assert members.k_shape(500, 50) == 2.0
    assert members.torsion(1.2, 2.0, 1.2) == pytest.approx(0.5)
    assert members.torsion_stress(1e6, 100, 100) == pytest.approx(4.8)
    assert members.effective_bearing_length(50, 100, 200) == pytest.approx(110)
    assert members.effective_bearing_length(20, 0, 200) == pytest.approx(40)
    assert members.k_c90(True, False, False, 50, 400, 100) == 1.5
    assert members.k_c90(True, False, True, 50, 400, 100) == 1.25
    assert members.k_c90(True, True, False, 500, 400, 100) == 1.0
    assert members.k_c90(False, False, False, 50, 400, 100) == 1.0
    assert members.compression_square(5000, 50, 100, 1.0, 1.5) == pytest.approx(2 / 3)
    assert members.compression_at_angle(20.0, 2.0, math.pi / 2, 1.5) == pytest.approx(3.0)
    assert members.compression_at_angle(20.0, 2.0, 0.0) == pytest.approx(20.0)
    assert members.k_c(100.0, 26.0, 21.0, 7400.0) == 1.0
    slender = 3000 / 26 / math.pi * math.sqrt(21 / 7400)
    k = 0.5 * (1 + 0.2 * (slender - 0.3) + slender**2)
    assert members.k_c(3000, 26, 21, 7400) == pytest.approx(1 / (k + math.sqrt(k**2 - slender**2)))
    assert members.k_crit(24.0, 24.0 / 0.75**2) == 1.0
    assert members.k_crit(24.0, 24.0) == pytest.approx(0.81)
    assert members.k_crit(24.0, 6.0) == pytest.approx(0.25)


def test_factors_by_table() -> None:
    """Tables 2.3, 3.1, 3.2 (through open programs)."""
    short = factors.Duration.SHORT
    assert [factors.k_mod("solid", service, short) for service in (1, 2, 3)] == [0.9, 0.9, 0.7]
    assert factors.k_mod("fibreboard", 1, short) == 0.8
    assert [factors.gamma_m(family) for family in ("solid", "glulam", "plywood")] == [1.3, 1.25, 1.2]
    assert factors.final_movement(10.0, factors.k_def("solid", 2), 0.3) == pytest.approx(12.4)
    assert factors.k_h("solid", 90.0, 800.0) == 1.0
    assert factors.k_h("solid", 30.0, 350.0) == 1.3
    assert factors.k_h("plywood", 30.0, 350.0) == 1.0
    with pytest.raises(ValueError, match="service class 1"):
        factors.k_mod("fibreboard", 2, short)
    with pytest.raises(ValueError, match="service class 1"):
        factors.k_def("fibreboard", 3)


def test_spacing_by_table() -> None:
    """Tables 8.2, 8.4 and 8.5 in diameters, as an open program has them."""
    along, square = 0.0, math.pi / 2
    nail = groups.spacing(lateral.Fastener.SCREW, 4.0, along, 350, predrilled=False)
    assert (nail.a1, nail.a2, nail.a3_t, nail.a3_c) == pytest.approx((40, 20, 60, 40))
    bored = groups.spacing(lateral.Fastener.SCREW, 6.0, square, 350, predrilled=True)
    assert (bored.a1, bored.a2, bored.a4_t, bored.a4_c) == pytest.approx((24, 24, 42, 18))
    dense = groups.spacing(lateral.Fastener.NAIL, 5.0, along, 450, predrilled=False)
    assert (dense.a1, dense.a3_t, dense.a4_t) == pytest.approx((75, 100, 35))
    bolt = groups.spacing(lateral.Fastener.BOLT, 12.0, square, 350, predrilled=True)
    assert (bolt.a1, bolt.a2, bolt.a3_t, bolt.a3_c, bolt.a4_t, bolt.a4_c) == pytest.approx(
        (48, 48, 84, 84, 48, 36)
    )
    thick = groups.spacing(lateral.Fastener.SCREW, 8.0, along, 350, predrilled=True)
    assert thick.a3_t == pytest.approx(80.0)
    dowel = groups.spacing(lateral.Fastener.DOWEL, 10.0, along, 350, predrilled=True)
    assert (dowel.a1, dowel.a2, dowel.a3_c) == pytest.approx((50, 30, 30))
    pulled = groups.axial_spacing(6.0)
    assert (pulled.a1, pulled.a2, pulled.a3_t, pulled.a4_c) == pytest.approx((42, 30, 60, 24))
    assert groups.least_penetration(6.0) == 36.0
    assert groups.needs_hole(lateral.Fastener.SCREW, 5.0, 530.0)
    assert not groups.needs_hole(lateral.Fastener.SCREW, 5.0, 350.0)


def test_nails_in_a_row() -> None:
    """Table 8.1: k_ef 0.5 at 4 d, 0.7 at 7 d, 0.85 at 10 d, 1 at 14 d, straight between."""
    for ratio, power in ((4, 0.5), (7, 0.7), (10, 0.85), (14, 1.0), (20, 1.0), (12, 0.925), (3, 0.5)):
        assert groups.nails_in_row(3, ratio * 4.0, 4.0) == pytest.approx(3**power)
    assert groups.bolts_in_row(1, 10.0, 10.0) == 1.0


@pytest.mark.parametrize("name", list(DATA["EN338_2016"]))
def test_the_catalogue_has_the_table_of_classes(name: str) -> None:
    """EN 338:2016, tables 1 and 3; the same data stand in three independent open programs."""
    row, found = DATA["EN338_2016"][name], strength_class(name)
    pairs = (
        (found.f_m, "f_mk"),
        (found.f_t0, "f_t0k"),
        (found.f_c0, "f_c0k"),
        (found.f_c90, "f_c90k"),
        (found.f_v, "f_vk"),
        (found.e_mean, "E_m0mean"),
        (found.e_05, "E_m0k"),
        (found.g_mean, "G_mean"),
        (found.rho_k, "rho_k"),
        (found.rho_mean, "rho_mean"),
    )
    assert all(value == row[key] for value, key in pairs)
    assert list_strength_classes() == tuple(DATA["EN338_2016"])


@pytest.mark.parametrize("nominal", list(DATA["birch_plywood"]))
def test_birch_plywood_from_its_plies(nominal: str) -> None:
    """The handbook table of sanded birch plywood (from memory), all figures to the printed digit."""
    row = DATA["birch_plywood"][nominal]
    board = lay_up(plies_of("birch-plywood"), row["plies"])
    assert board.thickness == pytest.approx(row["T"])
    for along, suffix in ((True, "par"), (False, "perp")):
        found = board_strength(board, along)
        assert found.f_m_flat == pytest.approx(row[f"fm_{suffix}"], abs=0.051)
        assert found.e_flat == pytest.approx(row[f"Em_{suffix}"], abs=0.51)
        assert found.e_edge == pytest.approx(row[f"Etc_{suffix}"], abs=0.51)
        assert found.f_t == pytest.approx(row[f"ft_{suffix}"], abs=0.051)
        assert found.f_c == pytest.approx(row[f"fc_{suffix}"], abs=0.051)
