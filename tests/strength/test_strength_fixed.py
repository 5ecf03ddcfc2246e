"""What fixings bear, by hand: bases under moments, rails' ends under shear, each code its own way."""

import math

import pytest

from pitchline.catalogue.strength import fixing_type
from pitchline.strength.bases import supports
from pitchline.strength.bases.joints import AsFound, Dowelled, FaceFixed, InSocket, OnPlate, PostEnd
from pitchline.strength.fixed import (
    Actions,
    Between,
    FixingStrength,
    base_strength,
    both,
    fixing_strength,
    rail_end_ratio,
)
from pitchline.strength.settings import Code, RailFixing, StrengthSettings
from pitchline.strength.woods import Graded, wood_of

C24 = wood_of("pine-european", Graded({"pine-european": "C24"}, {"pine-european": "df-l-2"}))
POST = PostEnd(C24, 90.0, 90.0)
SOLID = supports.solid(C24)
SETTINGS = StrengthSettings()
NOTHING = Actions(0.0, 0.0, 0.0, 0.0, 0.0)


def judged(base: FaceFixed | OnPlate | InSocket, code: Code, actions: Actions) -> float:
    found = base_strength(base, POST, SOLID, SETTINGS, code)
    assert found.judge is not None
    return found.judge(actions)


def test_plate_in_pure_bending_by_hand() -> None:
    """M / (2^0.9 screws x lever) (8.41) against f_ax,k d l k_mod / 1.3 (8.38), screws of 8 x 60 in 350 kg/m3."""
    base = OnPlate(fixing_type("screw-8"), 4, 90.0, 90.0, 60.0)
    pull = 0.52 * 8**-0.5 * 60**-0.1 * 350**0.8 * 8 * 60 * 0.9 / 1.3
    steel = 0.9 * 900 * math.pi * 5.2**2 / 4 / 1.25
    moment = 400e3
    ratio = judged(base, Code.EC5_2004, Actions(moment, 0.0, 0.0, 0.0, 0.0))
    assert ratio == pytest.approx(moment / (2**0.9 * 90) / min(pull, steel))


def test_bolts_to_a_face_by_hand() -> None:
    """Tension in the upper bolt M z / sum z2 against 3 f_c,90,k on its washer (8.5.2)."""
    base = FaceFixed(fixing_type("bolt-m10"))
    washer = math.pi * (30**2 - 11**2) / 4
    bears = min(3 * 2.5 * washer, 400 * math.pi * 8.2**2 / 4) * 0.9 / 1.3
    moment = 500e3
    tension = moment * 160 / (40**2 + 160**2)
    assert judged(base, Code.EC5_2004, Actions(moment, 0, 0, 0, 0)) == pytest.approx(tension / bears)


def test_a_group_turned_in_its_plane_by_hand() -> None:
    """M r / sum r2 per fixing against its Johansen resistance."""
    base = FaceFixed(fixing_type("bolt-m12"))
    strength = fixing_strength(base.fixing, Between(C24, 90.0, C24, 1e3), 50.0, SETTINGS, Code.EC5_2004)
    ratio = judged(base, Code.EC5_2004, Actions(0, 300e3, 0, 0, 0))
    assert ratio == pytest.approx(300e3 / 120 / strength.lateral)


def test_fixings_in_a_group_by_hand() -> None:
    """(8.41): screws pulled together count n^0.9; (8.34): bolts in a row along the grain n^0.9 (a1 / 13 d)^0.25."""
    screws = FaceFixed(fixing_type("screw-8"), columns=2, spread=40.0)
    strength = fixing_strength(screws.fixing, Between(C24, 90.0, C24, 1e3), 50.0, SETTINGS, Code.EC5_2004)
    ratio = judged(screws, Code.EC5_2004, Actions(0, 0, 800.0, 0, 0))
    assert ratio == pytest.approx(800.0 / 4**0.9 / strength.axial)
    bolts = FaceFixed(fixing_type("bolt-m12"), rows=3, pitch=60.0)
    strength = fixing_strength(bolts.fixing, Between(C24, 90.0, C24, 1e3), 50.0, SETTINGS, Code.EC5_2004)
    ratio = judged(bolts, Code.EC5_2004, Actions(0, 0, 0, 0, 900.0))
    in_row = 3**0.9 * (60 / (13 * 12)) ** 0.25
    assert in_row < 3
    assert ratio == pytest.approx(900.0 / in_row / strength.lateral)


def test_socket_by_hand() -> None:
    """6 M / (w d2) + 4 V / (w d) over f_c,90,d."""
    ratio = judged(InSocket(150.0), Code.EC5_2004, Actions(500e3, 0, 600.0, 0, 0))
    pressed = (6 * 500e3 / 150 + 4 * 600) / (90 * 150)
    assert ratio == pytest.approx(pressed / (2.5 * 0.9 / 1.3))
    by_nds = judged(InSocket(150.0), Code.NDS_2018, Actions(500e3, 0, 600.0, 0, 0))
    assert by_nds == pytest.approx(pressed / (625 * 4.4482216152605 / 25.4**2))


def test_glue_alone_bears_nothing_and_a_found_base_is_not_judged() -> None:
    glued = base_strength(Dowelled(38, 100), POST, SOLID, SETTINGS, Code.EC5_2004)
    assert glued.judge is not None
    assert math.isinf(glued.judge(NOTHING))
    assert "glue is not counted" in glued.worked
    assert base_strength(AsFound(), POST, SOLID, SETTINGS, Code.EC5_2004).judge is None


def test_pushed_and_pulled_together() -> None:
    """EN 1995-1-1 8.7.3 adds squares, NDS 12.4 is put on the safe side by adding ratios."""
    squares = FixingStrength(1000.0, 1000.0, True, "", "")
    sums = FixingStrength(1000.0, 1000.0, False, "", "")
    assert both(squares, 300.0, 400.0) == pytest.approx(0.5)
    assert both(sums, 300.0, 400.0) == pytest.approx(0.7)
    assert both(squares, 300.0, -400.0) == pytest.approx(0.3)
    rail = RailFixing()
    assert rail_end_ratio(squares, rail, 600.0, 800.0) == pytest.approx(0.5)


def test_codes_differ_in_one_fixing() -> None:
    """The 2025 text pulls otherwise (table 11.2); the NDS reckons in allowable loads and so lower."""
    between = Between(C24, 40.0, C24, 60.0)
    old, new, nds = (fixing_strength(fixing_type("screw-6"), between, 50.0, SETTINGS, code) for code in Code)
    assert new.axial == pytest.approx(math.pi * 6 * 50 * 8.2 * 6**-0.33 * 0.9 / 1.3)
    assert old.axial != new.axial
    assert nds.lateral < old.lateral
    assert "mode" in nds.worked
    hard = wood_of("oak-european")
    dense = fixing_strength(
        fixing_type("screw-5"), Between(hard, 30.0, hard, 60.0), 40.0, SETTINGS, Code.EC5_2004
    )
    assert dense.axial == pytest.approx(12.0 * 5 * 40 * (530 / 350) ** 0.8 * 0.9 / 1.3)
    ply = wood_of("birch-plywood")
    assert (
        fixing_strength(
            fixing_type("bolt-m8"), Between(ply, 18.0, C24, 60.0), 0.0, SETTINGS, Code.EC5_2004
        ).lateral
        > 0
    )
