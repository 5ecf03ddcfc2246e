"""Balls through openings against closed forms; what must be stopped is said by the rule named in each case.

Approved Document K (England, 2013) 1.39 and 3.3: no ball of 100 mm. International Residential Code R312.1.3: no
ball of 4 in, 4 3/8 in on the open side of a stair, 6 in in the triangle of riser, tread and bottom rail.
NHBC Technical Guidance 6.6/04 (2006): the triangle counts with the underside of the guarding at most 50 mm
above the pitch line.
"""

import json
import math
from pathlib import Path
from typing import Any

import pytest
from shapely.geometry import Polygon

from pitchline.kit.geometry.balls import largest_ball, largest_ball_centred_in
from pitchline.kit.tolerances import BALL

CASES = json.loads((Path(__file__).parent / "data" / "trade_checks.json").read_text(encoding="utf-8"))


def named(start: str) -> list[Any]:
    return [pytest.param(case, id=case["id"]) for case in CASES if case["id"].startswith(start)]


def triangle(rise: float, going: float, lift: float) -> Polygon:
    """Under a rail whose underside stands ``lift`` plumb above the nosings, over one step.

    The rail's line, the tread and the riser bound it; raised, the tread and riser are taken on to the rail.
    """
    high = rise + lift
    return Polygon([(0.0, 0.0), (0.0, high), (-going * high / rise, 0.0)])


def expected(rise: float, going: float, lift: float) -> float:
    pitch = math.atan2(rise, going)
    return (rise + lift) * (1.0 + 1.0 / math.tan(pitch) - 1.0 / math.sin(pitch))


@pytest.mark.parametrize("case", named("sphere-"))
def test_the_triangle_over_a_step(case: dict[str, Any]) -> None:
    given = case["inputs"]
    ball = largest_ball(triangle(given["rise"], given["going"], given["v"]))
    assert ball.diameter == pytest.approx(case["expected"]["d"], abs=case["tol"])
    assert ball.diameter == pytest.approx(expected(given["rise"], given["going"], given["v"]), abs=BALL)


@pytest.mark.parametrize("case", named("triangle-"))
def test_the_table_of_triangles(case: dict[str, Any]) -> None:
    rise, going = case["inputs"]["rise"], case["inputs"]["going"]
    assert largest_ball(triangle(rise, going, 0.0)).diameter == pytest.approx(
        case["expected"]["d0"], abs=case["tol"]
    )
    if case["expected"]["d50"] is not None:
        raised = largest_ball(triangle(rise, going, 50.0)).diameter
        assert raised == pytest.approx(case["expected"]["d50"], abs=case["tol"])


@pytest.mark.parametrize("case", named("lift-"))
def test_how_far_a_rail_may_stand_above_the_nosings(case: dict[str, Any]) -> None:
    rise, going, ball = (case["inputs"][key] for key in ("rise", "going", "ball"))
    limit = rise * (ball / (rise + going - math.hypot(rise, going)) - 1.0)
    assert limit == pytest.approx(case["expected"]["plumb"], abs=case["tol"])
    assert limit * math.cos(math.atan2(rise, going)) == pytest.approx(
        case["expected"]["square"], abs=case["tol"]
    )
    assert largest_ball(triangle(rise, going, limit)).diameter == pytest.approx(ball, abs=BALL)


@pytest.mark.parametrize("lift", [0.0, 20.0, 50.0])
def test_the_real_step_profile_gives_the_same_ball(lift: float) -> None:
    """In the true outline, where the openings over all steps hang together above the nosings, the ball over
    one step is that of the triangle as long as it touches tread and riser, not a nosing."""
    rise, going, steps = 200.0, 225.0, 5
    corners = [(0.0, rise)]
    for step in range(1, steps + 1):
        corners += [(going * step, rise * step), (going * step, rise * (step + 1))]
    top = (going * steps, rise * (steps + 1))
    outline = Polygon([*corners, (top[0], top[1] + lift + 0.01), (0.0, rise + lift + 0.01)])
    u, z = 3 * going, 3 * rise
    ball = largest_ball_centred_in(outline, Polygon([(u - going, z), (u, z), (u, z + rise)]))
    assert ball is not None
    assert ball.diameter == pytest.approx(expected(rise, going, lift + 0.01), abs=BALL)


@pytest.mark.parametrize(
    ("pitch", "along"), [(30, 115.5), (35, 122.1), (37, 125.2), (40, 130.5), (42, 134.6)]
)
def test_a_gap_is_clear_in_plan_not_along_the_rake(pitch: float, along: float) -> None:
    """A gap of 100 in plan measures 100 / cos(pitch) along the rake; the ball that passes is 100."""
    assert 100.0 / math.cos(math.radians(pitch)) == pytest.approx(along, abs=0.06)
    rise = 100.0 * math.tan(math.radians(pitch))
    gap = Polygon([(0.0, 0.0), (100.0, rise), (100.0, rise + 700.0), (0.0, 700.0)])
    assert largest_ball(gap).diameter == pytest.approx(100.0)


@pytest.mark.parametrize(
    ("pitch", "square"), [(30, 779), (35, 737), (37, 719), (40, 689), (42, 669), (45, 636)]
)
def test_between_raking_rails_the_gap_is_clear_square_to_them(pitch: float, square: float) -> None:
    """900 plumb between raking rails is 900 cos(pitch) square to them (printed to the mm)."""
    rise = 3000.0 * math.tan(math.radians(pitch))
    gap = Polygon([(0.0, 0.0), (3000.0, rise), (3000.0, rise + 900.0), (0.0, 900.0)])
    assert largest_ball(gap).diameter == pytest.approx(square, abs=0.6)


def test_slats_square_in_a_frame() -> None:
    """Two slats crossing at right angles leave squares: the ball is the clear distance, whatever the turn."""
    for turn in range(0, 90, 15):
        t = math.radians(turn)
        side = 95.0
        corners = [(0.0, 0.0), (side, 0.0), (side, side), (0.0, side)]
        turned = [(u * math.cos(t) - z * math.sin(t), u * math.sin(t) + z * math.cos(t)) for u, z in corners]
        assert largest_ball(Polygon(turned)).diameter == pytest.approx(side)
