"""Edges in plan and unrolled, against hand-made closed forms."""

import math

import pytest
from tests.strategies_edges import QUARTER, Leg, built, edge_of
from tests.strategies_stairs import regular

from pitchline.kit.geometry.frames import Plane
from pitchline.stair.edge import Edge, EdgeTurn, Spot, alone, places_of, plan_length, spot_u, turn_words
from pitchline.stair.model import Flight, Side

LEGS = (
    Leg("lower", regular(6, 190.0, 230.0)),
    Leg("landing", None, 900.0),
    Leg("upper", regular(5, 188.0, 228.0)),
)
FLIGHTS = built(LEGS)
BY_ID = {flight.id: flight for flight in FLIGHTS}
EDGE = edge_of(LEGS, (QUARTER, QUARTER), inset=45.0)


def test_each_leg_stands_on_the_head_of_the_one_before() -> None:
    """6 rises of 190 mm, then 5 of 188 mm: 1140 mm to the landing, 2080 mm to the upper floor."""
    lower, landing, upper = FLIGHTS
    assert [lower.base_z, landing.base_z, upper.base_z] == pytest.approx([0.0, 1140.0, 1140.0])
    assert upper.drop_beside(5) == pytest.approx(2080.0)
    assert landing.drop_beside(1) == pytest.approx(1140.0)
    assert landing.is_level and not lower.is_level


def test_a_half_turn_in_two_quarters_brings_the_upper_flight_back_beside_the_lower() -> None:
    """Corners stand 45 mm past the nosings: the well is 900 + 2 x 45 = 990 mm wide, and the flights lie parallel."""
    lower, landing, upper = places_of(EDGE, BY_ID)
    corner = 5 * 230.0 + 45.0
    assert landing.frame.origin == pytest.approx((corner, 45.0, 1140.0))
    assert landing.frame.x == pytest.approx((0.0, 1.0, 0.0), abs=1e-12)
    assert upper.frame.x == pytest.approx((-1.0, 0.0, 0.0), abs=1e-12)
    assert upper.frame.origin == pytest.approx((corner - 45.0, 990.0, 1140.0))
    assert lower == alone(FLIGHTS[0])


def test_the_unrolled_elevation_lays_the_corners_on_one_another() -> None:
    _, landing, upper = places_of(EDGE, BY_ID)
    assert (landing.du, landing.dz) == pytest.approx((5 * 230.0 + 90.0, 1140.0))
    assert upper.du == pytest.approx(landing.du + 900.0 + 90.0)


def test_a_turn_to_the_right_mirrors_a_turn_to_the_left() -> None:
    left = places_of(edge_of(LEGS, (QUARTER, QUARTER)), BY_ID)
    right = places_of(edge_of(LEGS, (-QUARTER, -QUARTER), side=Side.RIGHT), BY_ID)
    for a, b in zip(left, right, strict=True):
        x, y, z = a.frame.origin
        assert b.frame.origin == pytest.approx((x, -y, z))


def test_planes_and_points_are_the_same_whoever_tells_them() -> None:
    lower, landing, _ = places_of(EDGE, BY_ID)
    plane = Plane((100.0, 20.0, 3.0), (0.3, -0.8, 0.2))
    seen = lower.plane_to(landing, plane)
    for point in ((0.0, 0.0, 0.0), (512.0, -33.0, 900.0)):
        assert seen.distance(lower.point_to(landing, point)) == pytest.approx(plane.distance(point), abs=1e-9)


def test_plan_lengths_run_from_corner_to_corner() -> None:
    assert plan_length(EDGE, BY_ID) == pytest.approx([5 * 230.0 + 45.0, 990.0, 45.0 + 4 * 228.0])
    assert spot_u(FLIGHTS[0], Spot("N6", 45.0)) == pytest.approx(1195.0)


@pytest.mark.parametrize(
    ("degrees", "words"),
    [
        (0.0, "straight on"),
        (90.0, "quarter turn to the left"),
        (-90.0, "quarter turn to the right"),
        (180.0, "half turn to the left"),
        (-37.5, "turn of 37.5 degrees to the right"),
    ],
)
def test_turns_in_words(degrees: float, words: str) -> None:
    assert turn_words(math.radians(degrees)) == words


def test_an_unknown_leg_is_a_key_error() -> None:
    edge = Edge("well", Side.LEFT, ("lower", "attic"), (EdgeTurn(0.0, Spot("N6"), Spot("N1")),))
    with pytest.raises(KeyError):
        places_of(edge, BY_ID)


def test_a_sagging_gallery_keeps_its_readings() -> None:
    """A level edge's points may have heights of their own; its drop is measured at each."""
    flight: Flight = FLIGHTS[1]
    assert [z for _, z in flight.nosings] == pytest.approx([0.0, 0.0])
    assert flight.goings == pytest.approx((900.0,))
