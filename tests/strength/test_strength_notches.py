"""Notched newels and the spacing of their fixings, by hand."""

from dataclasses import replace

import pytest
from tests.builders import ENGLAND, US_2021, HandBuilt, even, hand_built, without

from pitchline.catalogue.strength import fixing_type
from pitchline.kit.finding import Verdict
from pitchline.strength.bases import supports
from pitchline.strength.bases.joints import FaceFixed, OnPlate, PostEnd
from pitchline.strength.ec5.members import k_notch
from pitchline.strength.report import StrengthReport
from pitchline.strength.run import strength_of
from pitchline.strength.settings import PostBase, StrengthSettings
from pitchline.strength.spacings import too_near
from pitchline.strength.woods import wood_of

PINE = wood_of("pine-european")
POST = PostEnd(PINE, 90.0, 90.0)
SOLID = supports.solid(PINE)
AT_TOP = without(ENGLAND, "load.line.height")


def report_with(base: FaceFixed, us: bool = False) -> StrengthReport:
    design = hand_built(HandBuilt(even(20, 90.0)))
    bases = {post.id: PostBase(base, SOLID) for post in design.posts}
    found = strength_of(design, (), US_2021 if us else AT_TOP, StrengthSettings(bases=bases))
    assert isinstance(found, StrengthReport)
    return found


def test_a_notch_by_hand() -> None:
    """EN 1995-1-1 6.5.2: V against k_v f_v,d k_cr b h_ef / 1.5; 45 of 90 mm left, 40 mm from the corner."""
    base = FaceFixed(fixing_type("bolt-m10"), notch=45.0)
    notch = next(use for use in report_with(base).utilisations if use.what == "notch")
    shear = 3.2 * 0.9 / 1.3
    assert notch.bears == pytest.approx(k_notch(90.0, 45.0, 40.0) * shear * 0.67 * 90 * 45 / 1.5)
    assert "45 of 90 mm left" in notch.worked
    by_nds = next(use for use in report_with(base, us=True).utilisations if use.what == "notch")
    shear = 135 * 4.4482216152605 / 25.4**2
    assert by_nds.bears == pytest.approx(2 / 3 * shear * 90 * 45 * 0.25)


def test_no_notch_no_check() -> None:
    uses = report_with(FaceFixed(fixing_type("bolt-m10"))).utilisations
    assert not any(use.what == "notch" for use in uses)


def test_bolts_that_stand_well_are_passed_over() -> None:
    """Table 8.4: 5 d apart along the grain, 4 d to a loaded edge."""
    assert too_near(FaceFixed(fixing_type("bolt-m10")), POST, SOLID) == ()
    assert too_near(OnPlate(fixing_type("screw-6")), POST, SOLID) == ()


def test_distances_that_are_too_small() -> None:
    """Bolts of 12 mm: rows 5 d = 60, columns 4 d = 48 in the newel, 60 along the string, edges 48."""
    base = FaceFixed(fixing_type("bolt-m12"), columns=2, pitch=50.0, spread=30.0, edge=30.0)
    found = {near.what: (near.have, near.need) for near in too_near(base, POST, SOLID)}
    assert found["rows apart along the newel's grain"] == pytest.approx((50.0, 60.0))
    assert found["columns apart across the newel's grain"] == pytest.approx((30.0, 48.0))
    assert found["fixings from the newel's edge"] == pytest.approx((30.0, 48.0))
    assert found["columns apart along the grain of the solid"] == pytest.approx((30.0, 60.0))
    assert found["lowest row from the edge of the solid"] == pytest.approx((30.0, 48.0))
    masonry = replace(SOLID, wood=None)
    assert not any("solid" in near.what for near in too_near(base, POST, masonry))


def test_they_are_told_as_findings() -> None:
    report = report_with(FaceFixed(fixing_type("bolt-m12"), edge=20.0))
    told = [finding for finding in report.findings if finding.code == "strength.spacing"]
    assert {finding.where for finding in told} == {"A: P1", "A: P2"}
    assert all(finding.verdict is Verdict.FAIL for finding in told)
    texts = [finding.text for finding in told]
    assert "Base: lowest row from the edge of the solid 20 mm; 48 mm are needed." in texts
