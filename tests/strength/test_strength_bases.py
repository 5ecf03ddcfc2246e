"""Bases: the stiffness of fixings, joints and supports by hand from clauses, and the pull test that replaces it."""

import math

import pytest

from pitchline.catalogue.strength import fixing_type
from pitchline.kit.errors import InputError
from pitchline.strength.bases import supports
from pitchline.strength.bases.joints import (
    AsFound,
    Dowelled,
    FaceFixed,
    InSocket,
    OnPlate,
    PostEnd,
    base_stiffness,
)
from pitchline.strength.bases.pull import PullTest, measured, post_movement, stiffness_from_pull
from pitchline.strength.bases.springs import RIGID, Range, about, bolt_pull, in_series
from pitchline.strength.woods import Graded, wood_of

C24 = wood_of("pine-european", Graded({"pine-european": "C24"}, {}))
POST = PostEnd(C24, 90.0, 90.0)
SOLID = supports.solid(C24)


def test_bolts_and_screws_in_the_plane_of_a_string() -> None:
    """Sum of K_ser r2 (table 7.1): two M12 120 apart, four 8 mm screws 60 x 120 (rho_m 420)."""
    k12, k8 = 420**1.5 * 12 / 23, 420**1.5 * 8 / 23
    bolts = base_stiffness(FaceFixed(fixing_type("bolt-m12")), POST, SOLID)
    assert bolts.along.mean == pytest.approx(2 * k12 * 60**2)
    assert bolts.along.mean == pytest.approx(32e6, rel=0.02)
    screws = base_stiffness(FaceFixed(fixing_type("screw-8"), columns=2, spread=60.0), POST, SOLID)
    assert screws.along.mean == pytest.approx(4 * k8 * (30**2 + 60**2))
    assert screws.along.mean == pytest.approx(54e6, rel=0.02)


def test_play_of_bolt_holes_as_a_turn() -> None:
    """1 mm over 120 mm is 1/120 rad, 7.5 mm at 900 mm; none in tight holes, none of screws."""
    bolts = base_stiffness(FaceFixed(fixing_type("bolt-m12")), POST, SOLID)
    assert bolts.play_along == pytest.approx(1 / 120)
    assert bolts.play_along * 900 == pytest.approx(7.5)
    tight = base_stiffness(FaceFixed(fixing_type("bolt-m12"), tight_holes=True), POST, SOLID)
    assert tight.play_along == 0.0
    assert base_stiffness(FaceFixed(fixing_type("screw-8")), POST, SOLID).play_along == 0.0


def test_bolt_in_tension_by_hand() -> None:
    """1/K = L/(E A_s) + sum (h/2) / (E_90 A_washer)."""
    bolt = fixing_type("bolt-m10")
    washer = math.pi * (30**2 - 11**2) / 4
    give = 135 / (210000 * math.pi * 8.2**2 / 4) + (45 + 22.5) / (370 * washer)
    assert bolt_pull(bolt, ((C24, 90.0), (C24, 45.0))) == pytest.approx(1 / give)


def test_plate_on_screws() -> None:
    """Half of four screws 6 x 60 (780 d^0.2 l^0.4 each) over 100 mm: 57 to 115 kNm/rad, the lower as mean."""
    plate = base_stiffness(OnPlate(fixing_type("screw-6")), POST, SOLID)
    whole = 2 * 780 * 6**0.2 * 60**0.4 * 100**2
    assert (plate.across.low, plate.across.mean, plate.across.high) == pytest.approx(
        (whole / 4, whole / 2, whole)
    )
    assert plate.across.mean == pytest.approx(57e6, rel=0.02)


def test_socket_and_dowel() -> None:
    """(E_90 / h) w d3 / 12 of a socket; a dowel as a screw of its size at half the section."""
    found = base_stiffness(InSocket(200.0), POST, SOLID)
    assert found.across.mean == pytest.approx(370 / 45 * 90 * 200**3 / 12)
    dowel = base_stiffness(Dowelled(38.0, 100.0), POST, SOLID)
    assert dowel.along.mean == pytest.approx(780 * 38**0.2 * 100**0.4 * 45**2)


def test_twist_of_a_joist() -> None:
    """G J (1/a + 1/b): 45 x 195 over 1.2 m 11.6, blocked at 400 mm 35 kNm/rad (G 690)."""
    plain = supports.beam(C24, 45.0, 195.0, 1200.0)
    assert plain.across.mean == pytest.approx(11.6e6, rel=0.01)
    blocked = supports.beam(C24, 45.0, 195.0, 1200.0, blocked=400.0)
    assert blocked.across.mean == pytest.approx(35e6, rel=0.01)
    assert (blocked.across.low, blocked.across.high) == (plain.across.mean, math.inf)
    assert (
        supports.string(C24, 32.0, 230.0, 220.0).across.low
        < supports.string(C24, 32.0, 230.0, 220.0).across.mean
    )


def test_joint_and_support_in_series() -> None:
    """1/k = sum 1/k_i; a support that does not turn changes nothing."""
    assert in_series([about(60e6), about(30e6)]) == Range(10e6, 20e6, 40e6)
    assert in_series([about(60e6), RIGID]) == about(60e6)
    on_floor = base_stiffness(OnPlate(fixing_type("screw-6")), POST, supports.floor(C24))
    assert on_floor.across.mean < 35e6
    assert any("floor" in text for text in on_floor.assumed)
    assert base_stiffness(AsFound(), POST, SOLID).across == Range(15e6, 40e6, 120e6)
    assert on_floor.scaled(2.0).across.mean == pytest.approx(2 * on_floor.across.mean)


def test_head_of_a_post_by_hand() -> None:
    """648 N at 900 mm on 90 x 90 C24: 2.62 bending, 0.13 shear, 10.50 base at 50 kNm/rad; 23.74 mm at 25."""
    assert post_movement(648, 900, 50e6, POST, across=True) == pytest.approx(13.24, abs=0.01)
    assert post_movement(648, 900, 25e6, POST, across=True) == pytest.approx(23.74, abs=0.01)


def test_a_pull_test_finds_the_base_it_was_made_with() -> None:
    """What is read off a known base gives that base back, and its uncertainty brackets it."""
    moved = post_movement(200.0, 900.0, 33e6, POST, across=True)
    found = stiffness_from_pull(PullTest(200.0, 900.0, moved), POST)
    assert found.mean == pytest.approx(33e6)
    assert found.low < 33e6 < found.high
    estimate = base_stiffness(AsFound(), POST, SOLID)
    pulled = measured(estimate, PullTest(200.0, 900.0, moved), POST)
    assert pulled.across.mean == pytest.approx(33e6)
    assert pulled.along == estimate.along
    along = measured(estimate, PullTest(200.0, 900.0, moved, across=False), POST)
    assert along.across == estimate.across
    assert along.along.mean == pytest.approx(33e6)
    assert "pull test: 200 N at 900 mm" in pulled.assumed[0]


def test_a_reading_smaller_than_the_post_alone_bends_is_refused() -> None:
    with pytest.raises(InputError, match="bends"):
        stiffness_from_pull(PullTest(200.0, 900.0, 0.1), POST)
