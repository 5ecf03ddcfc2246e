"""Handrail sections against closed forms and against the sizes of IRC 2021 R311.7.8.5 (types I and II).

A rectangle b x d with all edges rounded to r has the way round 2 (b + d) - (8 - 2 pi) r and reaches
hypot(b - 2 r, d - 2 r) + 2 r across (a stadium's formulas with straight sides added: plain geometry, no source).
Limits: way round 4 to 6 1/4 in, 2 1/4 in across; a wide rail with finger recesses that begin no more than 3/4 in
below the top, are 5/16 in deep within 7/8 in, run for 3/8 in to 1 3/4 in below the top; 1 1/4 to 2 3/4 in wide above.
"""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pitchline.catalogue.rules import load_rule_set
from pitchline.checks.hand_sections import round_grip, rounded_rectangle, type_one, type_two
from pitchline.kit.finding import judge
from pitchline.kit.geometry.outlines import Points

INCH = 25.4
IRC = load_rule_set("us-irc-2021")


def fits_type_one(section: Points) -> bool:
    measures = type_one(section)
    asks = (
        ("perimeter.min", measures.perimeter),
        ("perimeter.max", measures.perimeter),
        ("across", measures.across),
    )
    figures = [(IRC.require(f"handrail.grip.{name}"), size) for name, size in asks]
    return all(judge(size, 0.0, figure.value_mm, figure.compare).value == "pass" for figure, size in figures)


def round_off(width: float, depth: float, r: float) -> Points:
    return rounded_rectangle(width, depth, r, r)


@pytest.mark.parametrize(
    ("width", "depth", "r"), [(45.0, 45.0, 8.0), (50.0, 39.0, 15.0), (57.0, 38.0, 10.0), (60.0, 55.0, 12.0)]
)
def test_the_measures_of_a_rounded_rectangle(width: float, depth: float, r: float) -> None:
    measures = type_one(round_off(width, depth, r))
    assert measures.perimeter == pytest.approx(2 * (width + depth) - (8.0 - 2.0 * math.pi) * r, abs=0.01)
    assert measures.across == pytest.approx(
        max(width, math.hypot(width - 2 * r, depth - 2 * r) + 2 * r), abs=0.01
    )
    assert measures.least_across == pytest.approx(min(width, depth), abs=0.01)
    assert measures.edge_radius == pytest.approx(r, rel=0.01)


def test_a_round_rail_of_50_mm_has_the_way_round_pi_times_50() -> None:
    """157.1 mm, within 158.75."""
    drawn = type_one(round_off(50.0, 50.0, 25.0))
    assert drawn.perimeter == pytest.approx(50.0 * math.pi, abs=0.01)
    assert drawn.is_round
    assert round_grip(50.0).perimeter == pytest.approx(157.08, abs=0.01)
    assert round_grip(50.0).perimeter <= 6.25 * INCH


@pytest.mark.parametrize(
    ("width", "depth", "r", "around", "fits"),
    [
        (45.0, 45.0, 8.0, 166.3, False),
        (50.0, 39.0, 15.0, 152.2, True),
        (57.0, 38.0, 10.0, 172.8, False),
    ],
)
def test_usual_sections_by_type_one(width: float, depth: float, r: float, around: float, fits: bool) -> None:
    section = round_off(width, depth, r)
    assert type_one(section).perimeter == pytest.approx(around, abs=0.1)
    assert fits_type_one(section) is fits


def test_the_oval_reaches_51_9_across() -> None:
    """hypot(20, 9) + 30."""
    across = type_one(round_off(50.0, 39.0, 15.0)).across
    assert across == pytest.approx(math.hypot(20.0, 9.0) + 30.0, abs=0.01)
    assert across <= 2.25 * INCH


def test_60_by_55_is_too_much_for_one_hand_and_has_no_recess() -> None:
    section = round_off(60.0, 55.0, 8.0)
    assert not fits_type_one(section)
    recess = type_two(section)
    assert recess is None or recess.run == 0.0


def recessed(begins: float, depth: float, run: float, tall: float = 75.0, wide: float = 60.0) -> Points:
    """A rail with square grooves: full width down to ``begins``, in by ``depth`` for ``run``, then full again."""
    half, inner = wide / 2, wide / 2 - depth
    foot = (half, -begins - run)
    right = [(half, 0.0), (half, -begins), (inner, -begins), (inner, -begins - run), foot, (half, -tall)]
    return (*((-x, z) for x, z in right), *reversed(right))


def test_square_recesses_are_measured_as_drawn() -> None:
    """75 x 60 with recesses 9 deep from 18 to 50 below the top: all of type II holds."""
    recess = type_two(recessed(18.0, 9.0, 32.0))
    assert recess is not None
    assert recess.begins == pytest.approx(18.0, abs=0.1)
    assert recess.within == pytest.approx(0.0, abs=0.11)
    assert recess.run == pytest.approx(32.0, abs=0.11)
    assert recess.level == pytest.approx(50.0, abs=0.1)
    assert recess.above == pytest.approx(60.0)
    assert recess.begins <= 0.75 * INCH
    assert recess.level >= 1.75 * INCH


@pytest.mark.parametrize("depth", [5.0, 7.9])
def test_a_shallow_recess_never_reaches_its_depth(depth: float) -> None:
    recess = type_two(recessed(18.0, depth, 32.0))
    assert recess is not None
    assert recess.run == 0.0
    assert math.isinf(recess.within)


def test_a_sloping_recess_reaches_its_depth_lower_down() -> None:
    """Sides that go in 1 in 2 from 12 mm down are 5/16 in deep after 5/8 in."""
    right = [(30.0, 0.0), (30.0, -12.0), (15.0, -42.0), (15.0, -70.0)]
    recess = type_two((*((-x, z) for x, z in right), *reversed(right)))
    assert recess is not None
    assert recess.begins == pytest.approx(12.0, abs=0.2)
    assert recess.within == pytest.approx(5.0 / 8.0 * INCH, abs=0.2)


def test_one_sided_recesses_do_not_count() -> None:
    left = ((-30.0, 0.0), (-30.0, -70.0))
    right = ((30.0, -70.0), (30.0, -50.0), (20.0, -50.0), (20.0, -18.0), (30.0, -18.0), (30.0, 0.0))
    assert type_two((*left, *right)) is None


def test_a_sharp_edge_has_no_radius() -> None:
    assert type_one(rounded_rectangle(40.0, 30.0, 0.0)).edge_radius == 0.0
    assert type_one(rounded_rectangle(40.0, 30.0, 8.0)).edge_radius == 0.0


def test_an_outline_that_crosses_itself_is_no_section() -> None:
    with pytest.raises(ValueError, match="does not cross itself"):
        type_one(((0.0, 0.0), (40.0, 30.0), (40.0, 0.0), (0.0, 30.0)))


@settings(max_examples=40, deadline=None)
@given(st.integers(20, 90), st.integers(20, 90), st.integers(0, 10), st.floats(0.0, 6.28))
def test_turning_a_section_changes_nothing(width: int, depth: int, r: int, turn: float) -> None:
    section = round_off(float(width), float(depth), float(r))
    cos, sin = math.cos(turn), math.sin(turn)
    turned = tuple((x * cos - z * sin, x * sin + z * cos) for x, z in section)
    one, two = type_one(section), type_one(turned)
    assert two.perimeter == pytest.approx(one.perimeter)
    assert two.across == pytest.approx(one.across)
    assert two.least_across == pytest.approx(one.least_across, abs=1e-6)
