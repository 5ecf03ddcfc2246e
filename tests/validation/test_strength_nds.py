"""Clauses of the NDS 2018 against worked examples.

1. American Wood Council, Structural Wood Design Examples: E1.2a, E1.7, E2.1a, E2.3 (T11, T12, T15, T17).
2. NDS tables 12A, 12K and 12N, single values from memory; formulas of table 12.3.1A.
3. Closed forms of the clauses. Pounds, inches and psi.
"""

import json
import math
from pathlib import Path
from typing import Any

import pytest

from pitchline.catalogue.strength import assumed_grade, lumber_grade
from pitchline.strength.nds import joints, members

DATA = json.loads((Path(__file__).parent / "data" / "strength_cases.json").read_text("utf-8"))
CASES: dict[str, Any] = {case["id"]: case for case in DATA["tests"]}


def test_nail_pulled_out() -> None:
    """E2.1a (T11): .131 in nail in spruce-pine-fir, 2.395 in deep: 49.5 lb."""
    given, expected = CASES["T11"]["inputs"], CASES["T11"]["expected"]
    per_inch = joints.nail_withdrawal(given["G"], given["D"])
    assert per_inch == pytest.approx(expected["W"], rel=1e-4)
    assert per_inch * given["p"] == pytest.approx(expected["total_lb"], rel=1e-3)


def test_lag_pulled_out() -> None:
    """E2.3 (T12): 1/2 in lag in southern pine: 955 lb."""
    given, expected = CASES["T12"]["inputs"], CASES["T12"]["expected"]
    per_inch = joints.lag_withdrawal(given["G"], given["D"])
    assert per_inch == pytest.approx(expected["W"], rel=1e-4)
    assert per_inch * given["pt"] == pytest.approx(expected["total_lb"], rel=1e-3)


def test_wood_screw_pulled_out() -> None:
    """T14: No.10 (0.19 in), G 0.45: 109 lb per inch, as printed in an engineer's table."""
    assert joints.screw_withdrawal(0.45, 0.19) == pytest.approx(109.0, rel=6e-3)


def test_nail_in_single_shear() -> None:
    """T13: 10d nail through 3/4 in: 105 lb (table 12N from memory); modes IIIs and IV."""
    given, expected = CASES["T13"]["inputs"], CASES["T13"]["expected"]
    bearing = joints.bearing(given["G"], given["D"], 0.0)
    assert bearing == pytest.approx(4637.0, rel=1e-3)
    modes = joints.single_shear(given["D"], given["lm"], given["ls"], bearing, bearing, given["Fyb"])
    by_name = {mode.name: mode.value for mode in modes}
    assert by_name["IIIs"] == pytest.approx(expected["IIIs"], rel=1e-4)
    assert by_name["IV"] == pytest.approx(expected["IV"], rel=1e-4)
    assert joints.weakest(modes).name == "IIIs"


def test_lag_in_single_shear() -> None:
    """T29: 1/2 in lag (root .371), 45 ksi, Douglas fir, 1.5 and 4 in: IIIs 400, IV 394 (390 printed)."""
    modes = joints.single_shear(0.371, 4.0, 1.5, 5600.0, 5600.0, 45000.0)
    by_name = {mode.name: mode.value for mode in modes}
    assert by_name["IIIs"] == pytest.approx(400.0, rel=5e-3)
    assert by_name["IV"] == pytest.approx(394.2, rel=1e-3)
    assert joints.weakest(modes).name == "IV"
    assert round(by_name["IV"], -1) == 390


def test_bolt_in_single_shear() -> None:
    """T30: 1/2 in bolt through twice 1.5 in Douglas fir along the grain: mode II 483 lb (480 printed)."""
    bearing = joints.bearing_along(0.50)
    assert bearing == 5600.0
    modes = joints.single_shear(0.5, 1.5, 1.5, bearing, bearing, joints.bending_yield(0.5, False))
    assert joints.weakest(modes).name == "II"
    assert joints.weakest(modes).value == pytest.approx(483.2, rel=1e-3)
    assert round(joints.weakest(modes).value, -1) == 480


def test_double_shear_doubles_the_side_modes() -> None:
    """Table 12.3.1A: Is, IIIs and IV twice their value in single shear, no II and IIIm."""
    single = {m.name: m.value for m in joints.single_shear(0.5, 3.0, 1.5, 5600, 4000, 45000)}
    double = {m.name: m.value for m in joints.double_shear(0.5, 3.0, 1.5, 5600, 4000, 45000)}
    assert double == {"Im": single["Im"], **{name: 2 * single[name] for name in ("Is", "IIIs", "IV")}}


def test_the_modes_change_over_with_the_members() -> None:
    """By symmetry: Im and Is, IIIm and IIIs change over; II and IV stay."""
    one = {m.name: m.value for m in joints.single_shear(0.375, 3.5, 1.5, 5600, 3000, 45000)}
    two = {m.name: m.value for m in joints.single_shear(0.375, 1.5, 3.5, 3000, 5600, 45000)}
    for left, right in (("Im", "Is"), ("IIIm", "IIIs"), ("II", "II"), ("IV", "IV")):
        assert one[left] == pytest.approx(two[right], rel=1e-12)


def test_bearing_at_an_angle() -> None:
    """12.3.3, 12.3.4: along at 0, square at 90 degrees; small fasteners have no angle; 1.25 at 90 in R_d."""
    assert joints.bearing(0.5, 0.5, 0.0) == pytest.approx(5600.0)
    assert joints.bearing(0.5, 0.5, 90.0) == pytest.approx(6100 * 0.5**1.45 / math.sqrt(0.5))
    assert joints.bearing(0.5, 0.2, 90.0) == pytest.approx(16600 * 0.5**1.84)
    flat, square = (
        joints.single_shear(0.5, 4, 2, 5600, 5600, 45000, angle)[0].value for angle in (0.0, 90.0)
    )
    assert flat / square == pytest.approx(1.25)
    assert [joints.bending_yield(d, True) for d in (0.138, 0.162, 0.19, 0.25, 0.3)] == [
        1e5,
        9e4,
        8e4,
        7e4,
        6e4,
    ]


def test_beam_stability() -> None:
    """E1.2a (T15): R_B 21.6, F_bE 1774 psi, C_L 0.8756 printed, 0.87528 from the rounded inputs."""
    given, expected = CASES["T15"]["inputs"], CASES["T15"]["expected"]
    ratio = members.slenderness(given["le"], given["d"], given["b"])
    critical = members.critical_bending(given["Emin"], ratio)
    assert ratio == pytest.approx(expected["RB"], rel=1e-4)
    assert critical == pytest.approx(expected["FbE"], rel=1e-4)
    assert members.beam_stability(critical, given["Fb"]) == pytest.approx(expected["CL"], rel=1e-3)


def test_stud_in_bending_and_compression() -> None:
    """E1.7 (T17): utilisation 0.88754 printed through rounded MPa; C_F of the printed F_b is in it."""
    given, expected = CASES["T17"]["inputs"], CASES["T17"]["expected"]
    c_d = members.C_D[members.LoadDuration.TEN_MINUTES]
    assert c_d == given["CD"]
    length = 12 * given["L_ft"]
    critical = members.critical_column(given["Emin"], length, given["d_in"])
    stability = members.column_stability(critical, given["Fc"] * c_d, given["c"])
    assert critical == pytest.approx(expected["FcE"], rel=1e-3)
    assert stability == pytest.approx(expected["CP"], rel=2e-3)
    area, modulus = given["b_in"] * given["d_in"], given["b_in"] * given["d_in"] ** 2 / 6
    moment = given["w_plf"] / 12 * length**2 / 8
    used = members.bending_with_compression(
        given["P_lb"] / area, given["Fc"] * c_d * stability, critical, moment / modulus, given["Fb"] * c_d
    )
    assert used == pytest.approx(expected["utilisation"], rel=1e-3)


def test_joist_strength() -> None:
    """A textbook's example 5.1 (T18): F_b' 975 x 1.15 x 1.2 = 1345 psi with C_F of a 2 x 8."""
    assert 975 * 1.15 * members.size_factor(7.25) == pytest.approx(1345.5)
    assert [members.size_factor(d) for d in (3.5, 5.0, 5.5, 9.25, 11.25, 13.25)] == [
        1.5,
        1.4,
        1.3,
        1.1,
        1.0,
        0.9,
    ]


def test_clauses_written_out() -> None:
    """3.4, 3.9, 3.10, 11.3, 12.1, 12.4, 12.5 in their own words (formulas partly from memory)."""
    assert members.shear_stress(1000.0, 1.5, 5.5) == pytest.approx(1500 / 8.25)
    assert members.notched_shear(180, 1.5, 3.5, 5.5) == pytest.approx(120 * 5.25 * (3.5 / 5.5) ** 2)
    assert members.connection_shear(180, 1.5, 3.5, 5.5) == members.notched_shear(180, 1.5, 3.5, 5.5)
    assert members.bearing_area_factor(1.0) == pytest.approx(1.375)
    assert members.bearing_area_factor(6.0) == 1.0
    assert members.bearing_at_angle(1350, 625, math.pi / 2) == pytest.approx(625)
    assert members.bending_with_tension(100, 400, 300, 1200) == pytest.approx(0.5)
    assert members.bending_two_ways(500, 1000, 200, 1000, 1e9) == pytest.approx(0.7)
    assert members.torsion_strength(180.0) == pytest.approx(120.0)
    assert joints.penetration_factor(3.0, 0.25) == 1.0
    assert joints.penetration_factor(2.0, 0.25) == pytest.approx(0.8)
    assert joints.penetration_factor(1.0, 0.25) == 0.0
    assert joints.penetration_factor(3.0, 0.5, lag=True) == pytest.approx(0.75)
    assert joints.geometry_factor(1.0, 3.5, 2.0, 0.5, square=False) == 1.0
    assert joints.geometry_factor(1.0, 2.625, 2.0, 0.5, square=False) == pytest.approx(0.75)
    assert joints.geometry_factor(1.0, 3.5, 2.0, 0.5, square=True) == 0.0
    assert joints.pulled_both_ways(200.0, 100.0, 50.0, 90.0) == pytest.approx(0.5)
    assert joints.pulled_both_ways(200.0, 100.0, 50.0, 0.0) == pytest.approx(0.25)
    assert joints.load_slip(1.0, steel=True) == pytest.approx(1.5 * joints.load_slip(1.0, steel=False))


def test_group_action() -> None:
    """11.3.6: one fastener counts whole; endlessly stiff members share alike; more in a row count less each."""
    slip = joints.load_slip(0.5, steel=False)
    assert joints.group_action(1, 2.0, slip, 1e7, 1e7) == 1.0
    assert joints.group_action(5, 2.0, slip, 1e12, 1e12) == pytest.approx(1.0, abs=1e-3)
    shares = [joints.group_action(n, 4.0, slip, 8e6, 8e6) for n in (2, 3, 5, 8)]
    assert shares == sorted(shares, reverse=True)
    assert all(0.3 < share <= 1.0 for share in shares)


def test_grades() -> None:
    """NDS supplement: Douglas fir-larch Select Structural as in example E1.2a; every assumption has a grade."""
    grade = lumber_grade("df-l-ss")
    assert (grade.f_b, grade.e_min, grade.gravity) == (1500, 690000, 0.50)
    assumed = assumed_grade("pine-european")
    assert assumed is not None
    assert assumed.id == "spf-2"
    assert assumed_grade("glass") is None
