"""From adjusted readings and told facts to the stair with its finishes laid; figures worked by hand."""

import math
from dataclasses import replace

import pytest
from tests.strategies_stairs import FOOT_POST, HEAD_WALL, TAPE, Sizes, flight_of, regular

from pitchline.stair.facts import PostFacts, WallFacts
from pitchline.stair.model import FinishLayers, Side

SIZES = Sizes((190.0, 200.0, 195.0), (250.0, 240.0), (250.0, 0.8), foot=-60.0, head=50.0)
POST = PostFacts("foot", FOOT_POST, 700.0, 90.0, 90.0, top_height=1400.0)
WALL = WallFacts("head", HEAD_WALL, 1200.0)


def test_nosings_rises_and_goings_come_back() -> None:
    flight = flight_of(SIZES)
    assert flight.rises == pytest.approx((190.0, 200.0, 195.0), abs=1e-9)
    assert flight.goings == pytest.approx((250.0, 240.0), abs=1e-9)
    assert flight.nosing_names == ("N1", "N2", "N3")


def test_the_string_keeps_its_line() -> None:
    string = flight_of(SIZES).string
    assert string is not None
    assert (string.top.z0, string.top.slope) == pytest.approx((250.0, 0.8), abs=1e-9)


def test_coverings_raise_the_treads_and_the_floors() -> None:
    """15 on the lower floor, 10 on the treads, 20 above: the first rise loses 5, the last gains 10."""
    flight = flight_of(SIZES, (POST,), (WALL,), FinishLayers(15.0, 10.0, 20.0))
    assert flight.rises == pytest.approx((190 + 10 - 15, 200.0, 195 + 20 - 10), abs=1e-9)
    assert flight.goings == pytest.approx((250.0, 240.0), abs=1e-9)
    assert flight.string is not None
    assert flight.string.top.at(0.0) == pytest.approx(250.0 - 15.0, abs=1e-9)
    assert (flight.posts[0].face_z, flight.posts[0].top_z) == (685.0, 1385.0)
    assert flight.walls[0].face_z == 1185.0


def test_a_covering_that_wraps_the_nosings_brings_them_forward() -> None:
    """The first nosing stays the datum: all that does not move in the world lies 10 further up the stair."""
    flight = flight_of(SIZES, (POST,), (WALL,), FinishLayers(treads=10.0, wraps_nosings=True))
    assert flight.goings == pytest.approx((250.0, 250.0), abs=1e-9)
    assert flight.posts[0].face_u == pytest.approx(-60.0 + 10.0, abs=1e-9)
    assert flight.walls[0].face_u == pytest.approx(490.0 + 50.0 + 10.0, abs=1e-9)
    assert flight.u_of(FOOT_POST) == pytest.approx(-50.0, abs=1e-9)
    assert flight.u_of("N3") == pytest.approx(500.0, abs=1e-9)
    assert flight.nosing_overhang == 10.0
    string = flight.string
    assert string is not None
    assert string.top.at(10.0) == pytest.approx(250.0, abs=1e-9)


def test_a_point_that_was_not_surveyed_is_refused() -> None:
    with pytest.raises(KeyError):
        flight_of(SIZES).u_of("N4")


def test_uncertainty_of_a_going_and_of_a_span() -> None:
    """Every run was read once from N1: two of them add in squares (JCGM 100:2008, 5.1.2); the datum is exact."""
    flight = flight_of(SIZES)
    assert flight.sigma({"N2": 1.0, "N1": -1.0}) == pytest.approx(TAPE, rel=1e-9)
    assert flight.sigma({"N3": 1.0, "N2": -1.0}) == pytest.approx(TAPE * math.sqrt(2), rel=1e-9)
    assert flight.sigma({"N1": 1.0}) == 0.0
    assert flight.expanded({"N2": 1.0}, {"N2": 1.0}) == pytest.approx(2 * TAPE * math.sqrt(2), rel=1e-9)
    assert flight.sigma({"nowhere": 1.0}) == 0.0


def test_a_flight_without_a_string() -> None:
    assert flight_of(regular(4, 180.0, 250.0, None)).string is None


def test_a_side_sees_only_its_own_string() -> None:
    flight = replace(flight_of(SIZES), string_side=Side.LEFT)
    assert flight.guarded(Side.LEFT) is flight
    assert flight.guarded(Side.LEFT.other).string is None
    assert flight_of(SIZES).guarded(Side.RIGHT).string is not None


def test_the_walking_side() -> None:
    """y grows to the left of someone walking up, so the stair lies on + of a right-hand balustrade."""
    assert (Side.RIGHT.towards_stair, Side.LEFT.towards_stair) == (1.0, -1.0)
