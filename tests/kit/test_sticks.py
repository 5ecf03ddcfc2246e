"""How a stick's fit hangs on the readings of its two faces."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitchline.kit.geometry.bevels import direction_of, rail_frame
from pitchline.kit.geometry.cutbox import CutBox
from pitchline.kit.geometry.frames import X_AXIS, Z_AXIS, Plane, Vec3, along, cross, rotate, unit
from pitchline.kit.geometry.sticks import FittedEnd, WhyFirst, end_fit, fit_plan
from pitchline.kit.tolerances import COVERAGE_FACTOR, TRIAL_SHAVING

WIDTH, DEPTH = 70.0, 60.0


def raking(pitch: float, turn: float = 0.0) -> tuple[Vec3, Vec3]:
    """Normal of a plumb face turned in plan, and plumb, in the axes of a rail at a pitch."""
    rail = rail_frame(direction_of(0.0, pitch))
    return rail.direction_to_local(direction_of(turn, 0.0)), rail.direction_to_local(Z_AXIS)


USUAL = FittedEnd(X_AXIS, Z_AXIS, place_sigma=0.5, lean_sigma_deg=0.1, twist_sigma_deg=0.2)


def end(pitch: float, turn: float = 0.0, **known: float) -> FittedEnd:
    normal, up = raking(pitch, turn)
    return replace(USUAL, normal=normal, up=up, **known)


@given(st.floats(-50.0, 50.0), st.floats(-20.0, 20.0), st.floats(-800.0, 800.0))
def test_sensitivities_are_what_moving_the_face_does(pitch: float, turn: float, arm: float) -> None:
    """Against the cut piece: the face is moved, leant and twisted by a little and the edges measured again."""
    known = end(pitch, turn, arm=arm)
    fit = end_fit(known, WIDTH, DEPTH)
    normal = known.normal
    level = unit(cross(known.up, normal))

    def edges(face: Plane) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
        return np.array(CutBox(3000.0, WIDTH, DEPTH, (face,)).long_edge_lengths)

    middle = (1500.0, 0.0, 0.0)
    before = edges(Plane(middle, normal))
    moved = edges(Plane(middle, normal).moved(0.01)) - before
    assert moved == pytest.approx([fit.length_per_mm * 0.01] * 4)
    small = 1e-3
    for axis, gape in ((level, fit.gape_per_lean_deg), (known.up, fit.gape_per_twist_deg)):
        turned = edges(Plane(middle, rotate(normal, axis, math.radians(small)))) - before
        assert np.ptp(turned) * known.square / small == pytest.approx(gape, rel=1e-3, abs=1e-6)
    read_at = along(middle, cross(level, normal), arm)
    turned_about = edges(Plane(read_at, rotate(normal, level, math.radians(small)))) - before
    assert abs(np.mean(turned_about)) / small == pytest.approx(fit.length_per_lean_deg, rel=1e-3, abs=1e-6)


def test_a_square_end_opens_by_its_depth_times_the_angle() -> None:
    """A level rail 60 deep, 0.2 degrees out: 0.2 mm, which nobody sees (trade figure); twist works on the width."""
    fit = end_fit(end(0.0), WIDTH, DEPTH)
    assert 0.2 * fit.gape_per_lean_deg == pytest.approx(DEPTH * math.radians(0.2))
    assert fit.gape_per_twist_deg == pytest.approx(WIDTH * math.radians(1.0))
    assert (fit.length_per_mm, fit.length_per_lean_deg) == (1.0, 0.0)


def test_a_raking_end_opens_over_the_length_of_its_plumb_cut() -> None:
    fit = end_fit(end(41.6), WIDTH, DEPTH)
    cosine = math.cos(math.radians(41.6))
    assert fit.gape_per_lean_deg == pytest.approx(DEPTH / cosine * math.radians(1.0))
    assert fit.gape_per_twist_deg == pytest.approx(WIDTH * math.radians(1.0))
    assert fit.length_per_mm == pytest.approx(1.0 / cosine)
    assert fit.trim == pytest.approx(fit.gape / cosine)


def test_a_face_read_at_the_floor_moves_the_rail_by_its_lean() -> None:
    """900 mm above the place that was read, 0.29 degrees (5 mm in a metre) shift the face by 4.5 mm."""
    fit = end_fit(end(0.0, arm=900.0), WIDTH, DEPTH)
    assert fit.length_per_lean_deg * math.degrees(math.atan(0.005)) == pytest.approx(4.5, rel=1e-4)
    sigma = math.hypot(0.5, 900.0 * math.radians(0.1))
    assert fit.length_sigma == pytest.approx(sigma)


def test_the_wall_comes_before_the_newel_that_can_still_be_moved() -> None:
    wall, newel = end(41.6), end(41.6, moves=5.0)
    assert fit_plan(wall, newel, WIDTH, DEPTH).start_first
    plan = fit_plan(newel, wall, WIDTH, DEPTH)
    assert not plan.start_first
    assert plan.why is WhyFirst.FORGIVES_LESS


def test_the_compound_cut_comes_before_the_plain_one() -> None:
    plain, compound = end(41.6, lean_sigma_deg=0.05), end(41.6, 5.0, twist_sigma_deg=0.5)
    plan = fit_plan(plain, compound, WIDTH, DEPTH)
    assert (plan.start_first, plan.why) == (False, WhyFirst.GAPES_MORE)
    assert fit_plan(plain, plain, WIDTH, DEPTH).why is WhyFirst.EITHER


def test_the_first_end_keeps_its_trim_the_second_the_length_too() -> None:
    known = end(41.6)
    fit = end_fit(known, WIDTH, DEPTH)
    plan = fit_plan(known, known, WIDTH, DEPTH, trials=3)
    sigma = math.sqrt(2.0) * fit.length_sigma
    assert plan.length_sigma == pytest.approx(sigma)
    assert plan.leave_at_start == pytest.approx(fit.trim + 3 * TRIAL_SHAVING)
    assert plan.leave_at_finish == pytest.approx(COVERAGE_FACTOR * sigma + fit.trim + 3 * TRIAL_SHAVING)
    assert plan.leave == plan.leave_at_start + plan.leave_at_finish


def test_two_trials_at_ordinary_readings_leave_about_what_a_fitter_leaves() -> None:
    """Half an inch on a rail for the third cut is a fitter's figure (a forum post on hanging a rail, printed).

    Readings: a tape to 1 mm, a gauge to 0.2 degrees, at 41.6 degrees (common practice, no source).
    """
    known = end(41.6, place_sigma=1.0, lean_sigma_deg=0.2, twist_sigma_deg=0.5)
    assert 12.7 / 2.0 < fit_plan(known, known, WIDTH, DEPTH).leave < 2.0 * 12.7


def test_a_deep_housing_wants_nothing_left_on() -> None:
    plan = fit_plan(end(41.6), end(41.6, hides=12.0), WIDTH, DEPTH)
    assert plan.start_first
    assert plan.leave_at_finish == 0.0


@given(st.floats(0.0, 2.0), st.floats(0.0, 2.0), st.floats(0.0, 1.0))
def test_better_readings_never_leave_more(one: float, other: float, share: float) -> None:
    worse = end(35.0, place_sigma=one, lean_sigma_deg=other)
    better = replace(worse, place_sigma=one * share, lean_sigma_deg=other * share)
    assert fit_plan(better, better, WIDTH, DEPTH).leave <= fit_plan(worse, worse, WIDTH, DEPTH).leave + 1e-9


@given(st.floats(0.0, 50.0), st.floats(-15.0, 15.0), st.floats(0.0, 9.0))
def test_turning_the_stick_round_turns_the_plan_round(pitch: float, turn: float, hides: float) -> None:
    one, other = end(pitch, turn), end(pitch, hides=hides)
    there, back = fit_plan(one, other, WIDTH, DEPTH), fit_plan(other, one, WIDTH, DEPTH)
    assert there.why is back.why
    assert there.length_sigma == pytest.approx(back.length_sigma)
    if there.why is not WhyFirst.EITHER:
        assert there.leave == pytest.approx(back.leave)
        assert there.start_first is not back.start_first


def test_ends_that_are_none() -> None:
    with pytest.raises(ValueError, match="along the stick"):
        FittedEnd((0.0, 0.0, 1.0), Z_AXIS, 0.5, 0.1, 0.1)
    with pytest.raises(ValueError, match="neither leans nor twists"):
        FittedEnd(X_AXIS, X_AXIS, 0.5, 0.1, 0.1)
    with pytest.raises(ValueError, match="not below zero"):
        end(0.0, place_sigma=-1.0)
    with pytest.raises(ValueError, match="trials"):
        fit_plan(end(0.0), end(0.0), WIDTH, DEPTH, trials=-1)
