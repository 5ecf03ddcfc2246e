"""Saw readings, relations of ends, and the signs they bear."""

import math

import pytest

from pitchline.kit.geometry.bevels import (
    EndsRelation,
    SawReading,
    angle_of_slope,
    direction_of,
    end_plane,
    ends_relation,
    joint_between,
    rail_frame,
    saw_reading,
    slope_per,
    start_plane,
)
from pitchline.kit.geometry.cutbox import CutBox
from pitchline.kit.geometry.frames import X_AXIS, Y_AXIS, Z_AXIS


def test_a_square_cut_reads_nothing() -> None:
    reading = saw_reading((-1.0, 0.0, 0.0))
    assert (reading.mitre_deg, reading.bevel_deg) == (0.0, 0.0)
    assert math.copysign(1.0, reading.mitre_deg) == 1.0
    assert reading.from_edge_deg == 90.0


def test_a_plain_mitre_and_a_plain_bevel() -> None:
    mitre, bevel = saw_reading((1.0, 1.0, 0.0)), saw_reading((-1.0, 0.0, -1.0))
    assert (mitre.mitre_deg, mitre.bevel_deg) == pytest.approx((45.0, 0.0))
    assert (bevel.mitre_deg, bevel.bevel_deg) == pytest.approx((0.0, 45.0))


def test_equal_readings_at_both_ends_are_a_rhomboid_opposite_ones_a_trapezium() -> None:
    here = SawReading(30.0, 10.0)
    start, far = start_plane((50.0, 0.0, 0.0), here), (450.0, 0.0, 0.0)
    rhomboid = CutBox(500.0, 40.0, 30.0, (start, end_plane(far, here)))
    assert rhomboid.long_edge_lengths == pytest.approx((400.0,) * 4)
    trapezium = CutBox(500.0, 40.0, 30.0, (start, end_plane(far, here.mirrored)))
    low, _, high, _ = trapezium.long_edge_lengths
    assert high - low == pytest.approx(2.0 * 40.0 * math.tan(math.radians(30.0)))


@pytest.mark.parametrize(
    ("start", "end", "relation"),
    [
        ((0.0, 0.0), (0.01, -0.01), EndsRelation.SQUARE),
        ((41.6, 0.0), (41.62, 0.0), EndsRelation.PARALLEL),
        ((41.6, 5.0), (-41.6, -5.0), EndsRelation.MIRRORED),
        ((41.6, 5.0), (-41.6, 5.0), EndsRelation.DIFFERENT),
        ((41.6, 0.0), (0.0, 0.0), EndsRelation.DIFFERENT),
    ],
)
def test_ends_stand_to_each_other(
    start: tuple[float, float], end: tuple[float, float], relation: EndsRelation
) -> None:
    assert ends_relation(SawReading(*start), SawReading(*end)) is relation


def test_a_rip_is_no_end_cut() -> None:
    with pytest.raises(ValueError, match="no end cut"):
        saw_reading(Y_AXIS)
    with pytest.raises(ValueError, match="less than 90"):
        SawReading(90.0, 0.0)


def test_slopes_and_angles_are_one_thing() -> None:
    assert slope_per(45.0, 100.0) == pytest.approx(100.0)
    assert angle_of_slope(12.0, 12.0) == pytest.approx(45.0)
    assert SawReading(-45.0, 30.0).rise_per_100 == pytest.approx(-100.0)
    assert SawReading(45.0, 30.0).rise_per_12 == pytest.approx(12.0)
    assert SawReading(0.0, 30.0).bevel_per_100 == pytest.approx(100.0 / math.sqrt(3.0))


def test_a_raked_rail_lies_base_down() -> None:
    frame = rail_frame(direction_of(0.0, 30.0))
    assert frame.y == pytest.approx(Y_AXIS)
    assert frame.z[2] > 0.0
    assert rail_frame(X_AXIS, 90.0).z == pytest.approx((0.0, -1.0, 0.0))
    assert rail_frame(Z_AXIS).x == Z_AXIS


def test_rails_in_line_need_no_mitre() -> None:
    joint = joint_between(direction_of(20.0, 30.0), direction_of(20.0, 30.0))
    assert joint.turn_deg == pytest.approx(0.0, abs=1e-9)
    assert joint.first.bevel_deg == pytest.approx(0.0, abs=1e-9)


def test_a_rail_that_runs_straight_back_is_refused() -> None:
    with pytest.raises(ValueError, match="straight back"):
        joint_between(X_AXIS, (-1.0, 0.0, 0.0))


@pytest.mark.parametrize(("first", "second"), [(37.5, -90.0), (-90.0, 37.5), (90.0, 0.0), (0.0, 90.0)])
def test_a_section_runs_on_into_a_plumb_piece(first: float, second: float) -> None:
    """In one plumb plane each piece takes half of the turn and nothing rolls."""
    joint = joint_between(direction_of(0.0, first), direction_of(0.0, second))
    assert abs(joint.first.bevel_deg) == pytest.approx(abs(first - second) / 2.0)
    assert abs(joint.second.bevel_deg) == pytest.approx(abs(first - second) / 2.0)
    assert joint.first.mitre_deg == pytest.approx(0.0, abs=1e-9)
    assert joint.roll_deg == pytest.approx(0.0, abs=1e-9)


def test_rolling_the_first_rail_the_other_way_lets_the_moulding_run_on() -> None:
    one, other = direction_of(0.0, 37.0), direction_of(90.0, 0.0)
    roll = joint_between(one, other).roll_deg
    assert joint_between(one, other, -roll).roll_deg == pytest.approx(0.0, abs=1e-9)
