"""Ways round a turn, each with numbers that can be built."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitchline.kit.geometry.bevels import Joint, end_plane, start_plane
from pitchline.kit.geometry.cutbox import CutBox
from pitchline.kit.geometry.meetings_space import Symmetry
from pitchline.kit.geometry.meetings_ways import (
    DepthWay,
    LevelWay,
    MitreWay,
    PlumbWay,
    PostWay,
    RolledWay,
    RoundWay,
    Turn,
    depth_way,
    level_way,
    mitre_way,
    plumb_way,
    post_ways,
    rolled_way,
    two_depths,
    ways_round,
)

PITCHES = st.floats(-48.0, 48.0)
PLANS = st.floats(-120.0, 120.0)
WAY_KINDS = (MitreWay, RoundWay, RolledWay, LevelWay, PlumbWay, PostWay, DepthWay)


def kinds(turn: Turn) -> set[type]:
    return {type(way) for way in ways_round(turn)}


def test_a_moulding_from_rake_to_level_is_mitred_without_more_ado() -> None:
    turn = Turn(37.3, 0.0, 0.0, 60.0, 60.0)
    assert turn.runs_on
    assert kinds(turn) == {MitreWay, PlumbWay, PostWay, DepthWay}
    assert mitre_way(turn).misses == pytest.approx(0.0, abs=1e-6)


def test_a_moulding_round_a_raking_corner_cannot_be_and_is_offered_the_rest() -> None:
    turn = Turn(41.63, 41.63, 90.0, 60.0, 60.0)
    assert not turn.runs_on
    assert kinds(turn) == {RoundWay, RolledWay, LevelWay, PlumbWay, PostWay}
    half_roll = math.radians(turn.joint.roll_deg) / 2.0
    assert mitre_way(turn).misses == pytest.approx(abs(60.0 * math.sqrt(2.0) * math.sin(half_roll)))
    assert kinds(Turn(41.63, 0.0, 90.0, 60.0, 60.0)) >= {DepthWay}


def test_a_round_rail_always_runs_on() -> None:
    assert Turn(41.63, 20.0, 77.0, 50.0, 50.0, Symmetry.ROUND).runs_on
    assert mitre_way(Turn(41.63, 20.0, 77.0, 50.0, 50.0, Symmetry.ROUND)).misses == 0.0


def test_no_turn_needs_no_way_round() -> None:
    assert kinds(Turn(30.0, 30.0, 0.0, 60.0, 60.0)) == {MitreWay}


def test_a_rail_that_falls_as_steeply_as_it_climbed_runs_on_round_a_corner() -> None:
    turn = Turn(35.0, -35.0, 90.0, 60.0, 45.0)
    assert turn.runs_on
    assert depth_way(turn).edges_part == pytest.approx(0.0, abs=1e-12)
    assert PlumbWay not in kinds(turn)


@given(PITCHES, PITCHES, PLANS, st.sampled_from(Symmetry))
def test_every_way_is_finite_and_rolling_lets_the_section_run_on(
    one: float, other: float, plan: float, symmetry: Symmetry
) -> None:
    turn = Turn(one, other, plan, 60.0, 60.0, symmetry)
    for way in ways_round(turn):
        assert isinstance(way, WAY_KINDS)
    after = Turn(one, other, plan, 60.0, 60.0, symmetry)
    rolled = rolled_way(after)
    repeat = {Symmetry.SQUARE: 90.0, Symmetry.OBLONG: 180.0, Symmetry.MOULDED: 360.0}.get(symmetry)
    if repeat is not None:
        assert math.remainder(rolled.joint.roll_deg, repeat) == pytest.approx(0.0, abs=1e-6)
        assert abs(rolled.roll_deg) <= repeat / 2.0 + 1e-9


def between(length: float, before: Joint, after: Joint) -> CutBox:
    """A piece whose middle line runs ``length`` from one joint to the next, on a blank that is long enough."""
    spare = 400.0
    cuts = (
        start_plane((spare, 0.0, 0.0), before.second),
        end_plane((spare + length, 0.0, 0.0), after.first),
    )
    return CutBox(length + 2.0 * spare, 70.0, 45.0, cuts)


@given(st.floats(15.0, 48.0), st.floats(15.0, 48.0), st.floats(20.0, 120.0))
def test_level_pieces_of_the_least_length_have_one_edge_that_comes_to_nothing(
    one: float, other: float, plan: float
) -> None:
    way = level_way(Turn(one, other, plan, 70.0, 45.0))
    into, round_, out = way.joints
    for length, before, after in ((way.before, into, round_), (way.behind, round_, out)):
        edges = between(length, before, after).long_edge_lengths
        assert min(edges) == pytest.approx(0.0, abs=1e-6)
        assert between(length + 20.0, before, after).short_length == pytest.approx(20.0)


@given(st.floats(0.0, 45.0), st.floats(0.0, 45.0), st.booleans())
def test_plumb_pieces_of_the_least_height_have_one_edge_that_comes_to_nothing(
    one: float, other: float, upwards: bool
) -> None:
    """In one plumb plane the two mitres of the piece turn opposite ways: their tips lie on opposite edges."""
    way = plumb_way(Turn(one, other, 0.0, 70.0, 45.0), upwards=upwards)
    lower, upper = way.joints
    piece = between(way.height, lower, upper)
    assert piece.short_length >= -1e-6
    sense = 1.0 if upwards else -1.0
    bends = [math.radians(90.0 - sense * pitch) / 2.0 for pitch in (one, other)]
    assert way.height == pytest.approx(22.5 * sum(map(math.tan, bends)))
    assert way.roll_deg == pytest.approx(0.0, abs=1e-7)


def test_a_plumb_piece_round_a_corner_suits_a_square_section_only_at_a_quarter_turn() -> None:
    quarter = Turn(40.0, 40.0, 90.0, 60.0, 60.0, Symmetry.SQUARE)
    assert plumb_way(quarter, upwards=True).roll_deg == pytest.approx(0.0, abs=1e-6)
    moulded = Turn(40.0, 40.0, 90.0, 60.0, 60.0)
    assert abs(plumb_way(moulded, upwards=True).roll_deg) == pytest.approx(90.0)


def test_a_post_takes_plain_plumb_cuts_at_a_quarter_turn() -> None:
    (way,) = post_ways(Turn(41.6, 20.0, -90.0, 60.0, 60.0))
    assert way.twist_deg == 0.0
    assert abs(way.first.bevel_deg) == pytest.approx(41.6)
    assert abs(way.second.bevel_deg) == pytest.approx(20.0)
    assert way.second.mitre_deg == pytest.approx(0.0, abs=1e-9)


def test_a_post_at_half_a_quarter_may_stand_square_to_one_rail_or_halve_the_rest() -> None:
    square, halved = post_ways(Turn(0.0, 0.0, 40.0, 60.0, 60.0))
    assert (square.first.mitre_deg, abs(square.second.mitre_deg)) == pytest.approx((0.0, 40.0))
    assert halved.twist_deg == pytest.approx(20.0)
    assert (halved.first.mitre_deg, halved.second.mitre_deg) == pytest.approx((20.0, -20.0))


def test_depths_that_agree_stand_equally_deep() -> None:
    way = depth_way(Turn(41.6, 0.0, 0.0, 60.0, 50.0))
    assert way.second_depth == pytest.approx(50.0 / math.cos(math.radians(41.6)))
    assert abs(way.first.bevel_deg) == pytest.approx(41.6)
    assert way.edges_part == 0.0


def test_two_depths_in_one_plumb_plane() -> None:
    turn = Turn(37.3, 0.0, 0.0, 60.0, 60.0)
    assert two_depths(turn, 60.0) == pytest.approx((18.65, 18.65))
    first, second = two_depths(turn, 60.0 / math.cos(math.radians(37.3)))
    assert (first, second) == pytest.approx((37.3, 0.0), abs=1e-9)
    with pytest.raises(ValueError, match="without a turn in plan"):
        two_depths(Turn(37.3, 0.0, 45.0, 60.0, 60.0), 50.0)


@pytest.mark.parametrize(
    ("turn", "says"),
    [((90.0, 0.0, 0.0), "less than 90"), ((0.0, 0.0, 180.0), "two corners")],
)
def test_turns_that_are_none(turn: tuple[float, float, float], says: str) -> None:
    with pytest.raises(ValueError, match=says):
        Turn(*turn, 60.0, 60.0)
    with pytest.raises(ValueError, match="above zero"):
        Turn(0.0, 0.0, 0.0, 60.0, 0.0)
