"""Silhouettes measured against hand sums."""

import math
from dataclasses import replace

import pytest
from tests.builders import HandBuilt, corners, even, hand_built
from tests.strategies_stairs import LIMITS, plain_brief, regular_flight

from pitchline.checks.silhouettes import (
    bar_points,
    ends_of,
    place_at,
    post_points,
    solids_of,
    span_of,
    steps_line,
    string_points,
    tread_level,
    upright_points,
)
from pitchline.design.brief import AtWall, FreeEnd, HalfNewel, Station
from pitchline.design.compose import compose
from pitchline.kit.geometry.frames import Plane
from pitchline.kit.geometry.outlines import area
from pitchline.stair.facts import WallFacts

FLIGHT = regular_flight(5, 200.0, 250.0, margin=60.0)
BARE = regular_flight(5, 200.0, 250.0, None)
DESIGN = hand_built(HandBuilt(even(3, 90.0)), BARE)
WALLS = (WallFacts("foot", "wall-foot", 700.0), WallFacts("head", "wall-head", 1500.0))


def test_a_leaning_face_moves_along_with_height() -> None:
    """A face leaning 5 mm in 900 up the stair stands 5 mm further on 900 mm higher."""
    leaning = Plane((100.0, 0.0, 0.0), (900.0, 0.0, -5.0))
    assert place_at(leaning, 0.0, 900.0) == pytest.approx(105.0)


def test_a_face_turned_in_plan_moves_along_across_the_edge() -> None:
    skew = math.radians(2.0)
    turned = Plane((100.0, 0.0, 0.0), (math.cos(skew), math.sin(skew), 0.0))
    assert place_at(turned, 10.0, 0.0) == pytest.approx(100.0 - 10.0 * math.tan(skew))


def test_a_bar_is_as_deep_as_built() -> None:
    points = bar_points(DESIGN.handrail, 0.0)
    run = 4 * 90.0 + 3 * 32.0
    assert area(points) == pytest.approx(60.0 * run)


def test_a_post_leans_in_the_elevation() -> None:
    post = DESIGN.posts[0]
    lean = 5.0 / 900.0
    axis = (math.sin(math.atan(lean)), 0.0, math.cos(math.atan(lean)))
    along = (axis[2], 0.0, -axis[0])
    points = post_points(replace(post, axis=axis, along_axis=along), 0.0)
    assert points[3][0] - points[0][0] == pytest.approx((points[3][1] - points[0][1]) * lean)
    assert points[1][0] - points[0][0] == pytest.approx(90.0 / axis[2])


def test_a_turned_upright_has_its_blocks_and_its_neck() -> None:
    profile = ((100.0, 32.0), (120.0, 20.0), (400.0, 20.0), (420.0, 32.0))
    turned = hand_built(HandBuilt(even(3, 90.0), profile=profile), BARE).uprights[0]
    plain = hand_built(HandBuilt(even(3, 90.0)), BARE).uprights[0]
    taken = (32.0 - 20.0) * 280.0 + 2 * (32.0 - 20.0) / 2 * 20.0
    assert area(upright_points(turned)) == pytest.approx(area(plain.outline.points) - taken)
    assert upright_points(plain) == plain.outline.points


def test_a_profile_longer_than_the_piece_is_cut_with_it() -> None:
    profile = ((-50.0, 30.0), (5000.0, 30.0))
    turned = hand_built(HandBuilt(even(3, 90.0), profile=profile), BARE).uprights[0]
    low, high, _, _ = corners(upright_points(turned))
    assert high - low == pytest.approx(30.0)


def test_the_string_lies_between_its_edges() -> None:
    points = string_points(FLIGHT, 0.0, 1000.0)
    assert points is not None
    pitch = math.atan2(200.0, 250.0)
    assert points[3][1] - points[0][1] == pytest.approx(240.0 / math.cos(pitch), abs=1e-3)
    assert points[3][1] == pytest.approx(260.0, abs=1e-3)
    assert string_points(BARE, 0.0, 1000.0) is None


def test_steps_rise_at_the_riser_faces() -> None:
    plain = steps_line(BARE, -100.0, 1300.0)
    assert plain[:5] == ((-100.0, 0.0), (0.0, 0.0), (0.0, 200.0), (250.0, 200.0), (250.0, 400.0))
    assert plain[-1] == (1300.0, 1000.0)
    set_back = steps_line(replace(BARE, nosing_overhang=20.0), -100.0, 1300.0)
    assert set_back[1:5] == ((20.0, 0.0), (20.0, 175.0), (0.0, 175.0), (0.0, 200.0))


@pytest.mark.parametrize(("u", "level"), [(-1.0, 0.0), (0.0, 200.0), (249.0, 200.0), (5000.0, 1000.0)])
def test_the_walking_surface(u: float, level: float) -> None:
    assert tread_level(BARE, u) == level


def test_newels_close_the_side_to_their_far_faces() -> None:
    foot, head = ends_of(DESIGN)
    finish = -10.0 + 4 * 90.0 + 3 * 32.0
    assert (foot.name, foot.station, head.name, head.station) == ("P1", "N1", "P2", "N5")
    assert (foot.outer, head.outer) == pytest.approx((-100.0, finish + 90.0))


def test_walls_and_half_newels_close_the_side_for_good() -> None:
    flight = regular_flight(5, 200.0, 250.0, 60.0, walls=WALLS)
    half = HalfNewel("head", 40.0, 90.0, 60.0)
    foot, head = ends_of(compose(flight, plain_brief(flight, bottom=AtWall("foot"), top=half), LIMITS))
    assert (foot.name, foot.outer, foot.is_wall, foot.station) == ("wall foot", -math.inf, True, "wall-foot")
    assert (head.name, head.outer, head.is_wall) == ("P2", math.inf, True)


def test_a_free_end_closes_the_side_to_its_last_upright() -> None:
    end = FreeEnd(Station("N1", 30.0), overhang=20.0)
    design = compose(FLIGHT, plain_brief(FLIGHT, bottom=end), LIMITS)
    foot, _ = ends_of(design)
    assert foot.is_free
    assert foot.outer == pytest.approx(50.0)


def test_every_piece_has_its_silhouette() -> None:
    names = [solid.name for solid in solids_of(DESIGN, *span_of(DESIGN))]
    assert names == ["handrail", "base rail", "P1", "P2", "U01", "U02", "U03", "P1", "P2"]
    left, right = span_of(DESIGN)
    assert left < -100.0
    assert right > 1000.0
