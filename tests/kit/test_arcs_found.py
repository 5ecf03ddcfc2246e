"""True arcs found again in rings of chords."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitchline.kit.geometry.arcs_found import as_circle, circle, with_arcs
from pitchline.kit.geometry.contours import Arc, Straight
from pitchline.kit.geometry.lines import Point2
from pitchline.kit.geometry.outlines import Points


def chords(centre: Point2, radius: float, start: float, sweep: float, count: int) -> Points:
    """Corners on an arc, its ends among them."""
    turns = (start + sweep * k / count for k in range(count + 1))
    return tuple((centre[0] + radius * math.cos(t), centre[1] + radius * math.sin(t)) for t in turns)


def test_a_slot_has_two_straights_and_two_half_turns() -> None:
    ring = (
        *chords((100.0, 0.0), 20.0, -math.pi / 2, math.pi, 24),
        *chords((0.0, 0.0), 20.0, math.pi / 2, math.pi, 24),
    )
    found = with_arcs(ring)
    assert sorted(type(piece).__name__ for piece in found.pieces) == ["Arc", "Arc", "Straight", "Straight"]
    # Area of a slot: its rectangle and a whole circle.
    assert found.area == pytest.approx(100.0 * 40.0 + math.pi * 400.0, rel=1e-12)


@given(
    radius=st.floats(0.8, 5000.0),
    sweep_deg=st.floats(20.0, 340.0),
    start_deg=st.floats(0.0, 360.0),
    count=st.integers(16, 200),
)
def test_any_arc_between_straights_is_found_whole(
    radius: float, sweep_deg: float, start_deg: float, count: int
) -> None:
    """A sector: two straights to the middle and one arc of the radius and sweep it was drawn with."""
    sweep = math.radians(sweep_deg)
    ring = ((7.0, -3.0), *chords((7.0, -3.0), radius, math.radians(start_deg), sweep, count))
    found = with_arcs(ring)
    (arc,) = found.arcs
    assert arc.radius == pytest.approx(radius, rel=1e-6)
    assert arc.sweep == pytest.approx(sweep, rel=1e-6)
    assert len(found.pieces) == 3
    assert found.area == pytest.approx(radius**2 * sweep / 2.0, rel=1e-6)


@given(radius=st.floats(0.5, 2000.0), count=st.integers(15, 256), turned=st.booleans())
def test_a_whole_circle_is_one(radius: float, count: int, turned: bool) -> None:
    ring = chords((3.0, 4.0), radius, 0.3, math.tau, count)[:-1]
    found = as_circle(with_arcs(tuple(reversed(ring)) if turned else ring))
    assert found is not None
    assert found[0] == pytest.approx((3.0, 4.0), abs=1e-5)
    assert found[1] == pytest.approx(radius, rel=1e-6)


@pytest.mark.parametrize("corners", [3, 4, 6, 8, 12, 14])
def test_a_regular_polygon_keeps_its_corners(corners: int) -> None:
    """What turns by more than 25 degrees at a corner was meant to have it."""
    found = with_arcs(chords((0.0, 0.0), 30.0, 0.0, math.tau, corners)[:-1])
    assert all(isinstance(piece, Straight) for piece in found.pieces)
    assert len(found.pieces) == corners


def test_three_chords_on_a_circle_are_corners() -> None:
    ring = ((0.0, 0.0), *chords((0.0, 0.0), 50.0, 0.0, math.radians(60.0), 3))
    assert not with_arcs(ring).arcs


def test_arcs_of_two_radii_that_run_on_stay_two() -> None:
    ring = (
        *chords((0.0, 0.0), 40.0, 0.0, math.pi / 2, 20),
        *chords((0.0, 20.0), 20.0, math.pi / 2, math.pi / 2, 20)[1:],
        (-20.0, 0.0),
    )
    assert sorted(round(arc.radius, 6) for arc in with_arcs(ring).arcs) == [20.0, 40.0]


def test_a_circle_runs_either_way() -> None:
    assert circle((0.0, 0.0), 5.0).area == pytest.approx(math.pi * 25.0)
    assert circle((0.0, 0.0), 5.0, clockwise=True).area == pytest.approx(-math.pi * 25.0)


def test_corners_alone_are_no_circle() -> None:
    assert as_circle(with_arcs(((0.0, 0.0), (10.0, 0.0), (10.0, 10.0)))) is None
    with pytest.raises(ValueError, match="three corners"):
        with_arcs(((0.0, 0.0), (1.0, 0.0)))
    sector = with_arcs(((0.0, 0.0), *chords((0.0, 0.0), 9.0, 0.0, 1.0, 20)))
    assert isinstance(sector.pieces[0], Arc | Straight)
    assert as_circle(sector) is None
