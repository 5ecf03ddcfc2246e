"""The largest ball through an opening."""

import math
import time

import pytest
import shapely
from shapely import affinity
from shapely.geometry import Point, Polygon

from pitchline.kit.geometry.balls import largest_ball, largest_ball_centred_in, largest_balls
from pitchline.kit.tolerances import BALL


def gap(width: float, height: float, pitch_deg: float, at: float = 0.0) -> Polygon:
    """The opening between two plumb members and two raking rails."""
    rise = width * math.tan(math.radians(pitch_deg))
    return Polygon([(at, 0.0), (at + width, rise), (at + width, rise + height), (at, height)])


def under_rail(steps: int, rise: float, going: float, lift: float) -> Polygon:
    """The one connected opening between a flight of steps and a raking rail ``lift`` above its nosings."""
    corners = [(0.0, rise)]
    for step in range(1, steps + 1):
        corners += [(going * step, rise * step), (going * step, rise * (step + 1))]
    top = going * steps
    return Polygon([*corners, (top, rise * (steps + 1) + lift), (0.0, rise + lift)])


def turned_gap(depths: list[tuple[float, float]], clear: float, height: float) -> Polygon:
    """The opening between two turned members whose profiles bulge into it by so much, left and right."""
    step = height / (len(depths) - 1)
    left = [(a, i * step) for i, (a, _) in enumerate(depths)]
    right = [(clear - b, i * step) for i, (_, b) in enumerate(depths)]
    return Polygon(left + right[::-1])


def test_a_rectangle_lets_its_narrow_side_through_in_the_middle() -> None:
    ball = largest_ball(shapely.box(0, 0, 99, 800))
    assert ball.diameter == pytest.approx(99.0)
    assert ball.centre == pytest.approx((49.5, 400.0))


@pytest.mark.parametrize("corners", [3, 4, 5, 6, 8, 12, 13, 40])
def test_a_regular_polygon_lets_its_inscribed_circle_through(corners: int) -> None:
    """Apothem of a regular polygon: R cos(pi / n)."""
    turns = [2.0 * math.pi * i / corners for i in range(corners)]
    shape = Polygon([(100.0 * math.cos(t) + 7.0, 100.0 * math.sin(t) - 3.0) for t in turns])
    ball = largest_ball(shape)
    assert ball.diameter == pytest.approx(200.0 * math.cos(math.pi / corners), abs=BALL)
    assert ball.centre == pytest.approx((7.0, -3.0), abs=0.1)


def test_a_hole_is_no_way_through() -> None:
    """A disc in the middle of a square: the ball sits in a corner, touching two sides and the disc.

    On the diagonal: r sqrt 2 + r + R = half side x sqrt 2.
    """
    disc = Point(0, 0).buffer(30.0, quad_segs=256)
    shape = shapely.box(-50, -50, 50, 50).difference(disc)
    expected = 2.0 * (50.0 * math.sqrt(2.0) - 30.0) / (1.0 + math.sqrt(2.0))
    assert largest_ball(shape).diameter == pytest.approx(expected, abs=0.01)


def test_the_ball_between_two_turned_members_is_found_in_the_widest_place() -> None:
    shape = turned_gap([(0, 0), (15, 15), (2, 1), (15, 14), (0, 3), (15, 15), (1, 1)], 100.0, 600.0)
    ball = largest_ball(shape)
    assert shape.contains(Point(ball.centre))
    assert 2.0 * shape.exterior.distance(Point(ball.centre)) == pytest.approx(ball.diameter)


def test_shallow_bays_are_not_overlooked() -> None:
    """A gap of 100 with a bay 0.4 deep on each side, opposite each other: an inscribed circle of a kite.

    The sides of the bay slope by atan(0.4 / 20); at its deepest the circle touches all four of them, so the
    half gap is (50 + 0.4) cos(slope). A shrinking that smooths shallow bays away finds less.
    """
    deep, half = 0.4, 20.0
    left = [(0.0, 0.0), (0.0, 300.0 - half), (-deep, 300.0), (0.0, 300.0 + half), (0.0, 600.0)]
    right = [(100.0 - u, z) for u, z in left]
    notch = [(60.0, 0.0), (60.0, 5.0), (40.0, 5.0), (40.0, 0.0)]
    shape = Polygon([*left[::-1], *notch[::-1], *right])
    slope = math.atan2(deep, half)
    assert largest_ball(shape).diameter == pytest.approx(2.0 * (50.0 + deep) * math.cos(slope), abs=BALL)


def test_a_region_asks_for_one_step_of_a_long_opening() -> None:
    rise, going = 200.0, 225.0
    shape = under_rail(6, rise, going, 0.5)
    for step in range(1, 6):
        u, z = going * step, rise * step
        triangle = Polygon([(u - going, z), (u, z), (u, z + rise)])
        ball = largest_ball_centred_in(shape, triangle)
        assert ball is not None
        assert triangle.buffer(1e-6).contains(Point(ball.centre))
        inscribed = (rise + going - math.hypot(rise, going)) * (1.0 + 0.5 / rise)
        assert ball.diameter == pytest.approx(inscribed, abs=BALL)


def test_a_region_holds_the_centre_back_not_the_ball() -> None:
    shape = shapely.box(0, 0, 100, 100)
    ball = largest_ball_centred_in(shape, shapely.box(0, 0, 20, 100))
    assert ball is not None
    assert ball.diameter == pytest.approx(40.0)
    assert ball.centre[0] == pytest.approx(20.0)


def test_a_region_may_have_any_shape() -> None:
    shape = shapely.box(0, 0, 100, 100)
    corner = Polygon([(0, 0), (90, 0), (90, 10), (10, 10), (10, 90), (0, 90)])
    apart = shapely.MultiPolygon(
        [shapely.box(0, 0, 5, 5), shapely.box(200, 0, 205, 5), shapely.box(60, 0, 70, 30)]
    )
    for region, diameter in [(corner, 20.0), (apart, 60.0)]:
        ball = largest_ball_centred_in(shape, region)
        assert ball is not None
        assert ball.diameter == pytest.approx(diameter, abs=BALL)


def test_a_region_outside_has_no_ball() -> None:
    assert largest_ball_centred_in(shapely.box(0, 0, 100, 100), shapely.box(100, 0, 120, 100)) is None


@pytest.mark.parametrize(
    "shape", [Polygon(), Polygon([(0, 0), (10, 10), (10, 0), (0, 10)]), Polygon([(0, 0), (5, 0), (10, 0)])]
)
def test_an_outline_without_area_is_refused(shape: Polygon) -> None:
    with pytest.raises(ValueError, match="opening 1"):
        largest_balls([shapely.box(0, 0, 1, 1), shape])


def test_no_openings_no_balls() -> None:
    assert largest_balls([]) == []


def test_doubled_corners_and_split_sides_change_nothing() -> None:
    plain = largest_ball(gap(92.0, 700.0, 41.6))
    corners = list(gap(92.0, 700.0, 41.6).exterior.coords)[:-1]
    middle = ((corners[0][0] + corners[1][0]) / 2.0, (corners[0][1] + corners[1][1]) / 2.0)
    for odd in ([corners[0], corners[0], *corners[1:]], [corners[0], middle, *corners[1:]]):
        assert largest_ball(Polygon(odd)).diameter == pytest.approx(plain.diameter, abs=BALL)


def job_openings() -> list[Polygon]:
    """The openings of a long flight: 36 plain gaps, two between turned members, two over steps."""
    bulges = [(3.0 * (i * 7 % 5), 3.0 * (i * 5 % 4)) for i in range(15)]
    plain = [gap(92.0, 700.0, 41.6, 133.0 * i) for i in range(36)]
    turned = [turned_gap(bulges, 100.0, 800.0), turned_gap(bulges[::-1], 95.0, 800.0)]
    return [*plain, *turned, under_rail(13, 200.0, 225.0, 60.0), under_rail(13, 180.0, 250.0, 40.0)]


def test_the_openings_of_a_whole_job_are_found_fast() -> None:
    """Forty openings take about 5 ms on the machine of the bench; the limit here only guards the order."""
    shapes = job_openings()
    largest_balls(shapes)
    times = []
    for _ in range(5):
        begin = time.perf_counter()
        largest_balls(shapes)
        times.append(time.perf_counter() - begin)
    assert min(times) < 0.03


def test_a_list_gives_what_each_gives_alone() -> None:
    shapes = job_openings()
    assert largest_balls(shapes) == [largest_ball(s) for s in shapes]


def test_a_turned_list_gives_turned_answers() -> None:
    shapes = job_openings()
    turned = [affinity.rotate(s, 33.0, origin=(0, 0)) for s in shapes]
    for one, other in zip(largest_balls(shapes), largest_balls(turned), strict=True):
        assert one.diameter == pytest.approx(other.diameter, abs=BALL)
