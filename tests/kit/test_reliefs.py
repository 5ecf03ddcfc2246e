"""Corners relieved for a round cutter: what they cost, that the corner is reached, that nothing else changes.

Areas are closed forms of circles and segments (any table of mensuration): a segment of the angle t in a circle r has
r2 (t - sin t) / 2.
"""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Point, Polygon

from pitchline.kit.geometry.arcs_found import with_arcs
from pitchline.kit.geometry.contours import Contour
from pitchline.kit.geometry.outlines import Points
from pitchline.kit.geometry.relief_kinds import Relief
from pitchline.kit.geometry.reliefs import relieved

NOTCHED: Points = (
    (0.0, 0.0), (200.0, 0.0), (200.0, 100.0), (130.0, 100.0),
    (130.0, 60.0), (70.0, 60.0), (70.0, 100.0), (0.0, 100.0),
)  # fmt: skip
"""A board with a notch of 60 x 40 in its far edge: two inside corners."""


def segment(radius: float, angle: float) -> float:
    return radius**2 * (angle - math.sin(angle)) / 2.0


def reaches(contour: Contour, radius: float, corner: tuple[float, float]) -> bool:
    """Whether a cutter of this radius can stand in the void with its edge at the corner."""
    wood = Polygon(contour.points(0.0005))
    void = wood.envelope.buffer(50.0).difference(wood)
    stands = void.buffer(-(radius - 0.002))
    return bool(stands.distance(Point(corner)) <= radius)


def test_a_dog_bone_takes_two_segments_at_each_corner() -> None:
    found = relieved(with_arcs(NOTCHED), 3.0, Relief.DOG_BONE)
    assert len(found.discs) == 2
    assert found.left_round == ()
    lost = with_arcs(NOTCHED).area - found.contour.area
    assert lost == pytest.approx(2 * 2 * segment(3.0, math.pi / 2.0), rel=1e-9)


def test_a_relief_along_a_side_takes_half_a_circle() -> None:
    found = relieved(with_arcs(NOTCHED), 3.0, Relief.ALONG)
    lost = with_arcs(NOTCHED).area - found.contour.area
    assert lost == pytest.approx(2 * math.pi * 9.0 / 2.0, rel=1e-9)
    # The notch is 60 long and 40 deep: the middles lie on the longer side, its floor.
    (left, right) = sorted(centre for centre, _ in found.discs)
    assert left == pytest.approx((73.0, 60.0))
    assert right == pytest.approx((127.0, 60.0))


@pytest.mark.parametrize("style", [Relief.DOG_BONE, Relief.ALONG])
def test_a_cutter_reaches_a_relieved_corner_and_not_one_left_round(style: Relief) -> None:
    found = relieved(with_arcs(NOTCHED), 3.0, style)
    for corner in ((70.0, 60.0), (130.0, 60.0)):
        assert reaches(found.contour, 3.0, corner)
        assert not reaches(with_arcs(NOTCHED), 3.0, corner)


def test_left_round_changes_nothing_and_says_which_corners_stay() -> None:
    found = relieved(with_arcs(NOTCHED), 3.0, Relief.ROUND)
    assert found.contour == with_arcs(NOTCHED)
    assert set(found.left_round) == {(70.0, 60.0), (130.0, 60.0)}


def test_corners_that_are_not_wanted_and_outside_corners_stay() -> None:
    found = relieved(with_arcs(NOTCHED), 3.0, Relief.DOG_BONE, lambda corner: corner[0] < 100.0)
    assert len(found.discs) == 1
    whole = relieved(with_arcs(((0.0, 0.0), (50.0, 0.0), (50.0, 50.0))), 3.0, Relief.DOG_BONE)
    assert whole.discs == ()


def test_an_opening_travelled_clockwise_is_relieved_into_the_wood() -> None:
    opening = with_arcs(((0.0, 0.0), (0.0, 40.0), (60.0, 40.0), (60.0, 0.0)))
    found = relieved(opening, 4.0, Relief.DOG_BONE)
    assert len(found.discs) == 4
    assert -found.contour.area == pytest.approx(2400.0 + 8 * segment(4.0, math.pi / 2.0), rel=1e-9)


def test_sides_too_short_for_the_arc_leave_the_corner_round() -> None:
    narrow = with_arcs(((0.0, 0.0), (0.0, 40.0), (5.0, 40.0), (5.0, 0.0)))
    found = relieved(narrow, 4.0, Relief.DOG_BONE)
    assert len(found.left_round) == 4
    assert found.contour == narrow


@given(angle_deg=st.floats(25.0, 150.0), radius=st.floats(1.0, 8.0))
def test_a_dog_bone_in_any_corner_takes_two_segments(angle_deg: float, radius: float) -> None:
    """The corner of a triangular opening, its sides far longer than the arc."""
    angle = math.radians(angle_deg)
    triangle = ((0.0, 0.0), (400.0 * math.cos(angle), 400.0 * math.sin(angle)), (400.0, 0.0))
    found = relieved(with_arcs(triangle), radius, Relief.DOG_BONE, lambda corner: corner == (0.0, 0.0))
    if found.discs:
        expected = radius**2 * (math.pi - angle - math.sin(angle))
        assert with_arcs(triangle).area - found.contour.area == pytest.approx(expected, rel=1e-6)
        ((centre, _),) = found.discs
        assert math.hypot(*centre) == pytest.approx(radius, rel=1e-9)
    else:
        assert radius * (1.0 / math.sin(angle / 2.0) - 1.0) <= 0.0501
