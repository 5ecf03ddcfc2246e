"""The openings of whole balustrades against closed forms and the limits that codes put on the ball.

The circle in a right triangle with legs a, b has the diameter a + b - hypot(a, b) (Euclid, Elements IV.4, with
the two tangents from each corner). With the base rail's underside a plumb v above the nosings its triangle has
legs R + v and (R + v) G / R. Step sizes are the limits of Approved Document K 2013 Table 1.1 (220, 150 mm rise; 220,
300 mm going; 42 degrees), 7 3/4 x 10 in of IRC 2021 R311.7.5, 7 x 11 in of IBC 2021 1011.5.2, and usual ones between.
Balls: Approved Document K 1.39 (100 mm), IRC 2021 R312.1.3 (4, 4 3/8 and 6 in).
"""

import math
from dataclasses import replace

import pytest
import shapely
from tests.builders import ENGLAND, US_2021, HandBuilt, even, full_length, hand_built
from tests.strategies_stairs import LIMITS, plain_brief, regular_flight

from pitchline.catalogue.rules import RuleSet, load_rule_set
from pitchline.checks.cubes import fits_square, largest_square
from pitchline.checks.openings import Opening, OpeningKind, find_openings
from pitchline.design.brief import BaseBrief, BaseSeat, Leaning, UprightsBrief
from pitchline.design.compose import compose
from pitchline.kit.finding import Verdict
from pitchline.kit.geometry.outlines import to_shapely
from pitchline.kit.tolerances import BALL
from pitchline.stair.model import Flight

STEPS = [
    (220.0, 220.0),
    (220.0, 220.0 / math.tan(math.radians(42.0))),
    (200.0, 225.0),
    (190.0, 250.0),
    (170.0, 250.0),
    (150.0, 300.0),
    (7.75 * 25.4, 10.0 * 25.4),
    (7.0 * 25.4, 11.0 * 25.4),
    (190.0, 280.0),
    (200.0, 250.0),
]


def triangle(rise: float, going: float, lift: float) -> float:
    """In-circle of the triangle of tread, riser and a rail ``lift`` above the nosings, by its three sides."""
    a = rise + lift
    b = a * going / rise
    return a + b - math.hypot(a, b)


def by_pitch(rise: float, going: float, lift: float) -> float:
    """The same by the pitch, as builders' handbooks write it: (R + v)(1 + 1/tan p - 1/sin p)."""
    pitch = math.atan2(rise, going)
    return (rise + lift) * (1.0 + 1.0 / math.tan(pitch) - 1.0 / math.sin(pitch))


def under(flight: Flight, lift: float) -> list[Opening]:
    sizes = HandBuilt(full_length(80.0, 32.0, flight), lift=lift)
    found = find_openings(hand_built(sizes, flight), US_2021)
    return [opening for opening in found if opening.kind is OpeningKind.UNDER and opening.step in (2, 3)]


@pytest.mark.parametrize(("rise", "going"), STEPS)
@pytest.mark.parametrize("lift", [0.5, 25.0, 50.0])
def test_the_triangle_over_a_step_holds_the_in_circle(rise: float, going: float, lift: float) -> None:
    found = under(regular_flight(5, rise, going, None), lift)
    assert [opening.step for opening in found] == [2, 3]
    for opening in found:
        assert opening.ball.diameter == pytest.approx(triangle(rise, going, lift), abs=BALL)
        assert opening.ball.diameter == pytest.approx(by_pitch(rise, going, lift), abs=BALL)


@pytest.mark.parametrize(("rise", "going"), STEPS)
@pytest.mark.parametrize("limit", [6.0 * 25.4, 150.0])
def test_a_rail_at_its_largest_lift_lets_the_limit_just_through(
    rise: float, going: float, limit: float
) -> None:
    """v = R (D / d0 - 1), from d0 (1 + v / R) = D."""
    lift = rise * (limit / triangle(rise, going, 0.0) - 1.0)
    found = under(regular_flight(5, rise, going, None), lift)
    assert max(opening.ball.diameter for opening in found) == pytest.approx(limit, abs=BALL)


def test_a_rail_on_the_nosings_of_a_200_by_225_stair_fails_in_england_and_passes_in_the_us() -> None:
    """The in-circle of 200 x 225 is 124 mm: above the 100 mm of Approved Document K, under the 6 in of the IRC."""
    flight = regular_flight(5, 200.0, 225.0, None)
    design = hand_built(HandBuilt(full_length(80.0, 32.0, flight), lift=0.5), flight)
    at_step_2 = [
        next(o for o in find_openings(design, rules) if o.step == 2).verdict for rules in (ENGLAND, US_2021)
    ]
    assert at_step_2 == [Verdict.FAIL, Verdict.PASS]


@pytest.mark.parametrize("gap", [60.0, 99.0, 111.0, 300.0, 900.0])
def test_plumb_uprights_let_the_gap_through_or_the_height_square_to_the_rails(gap: float) -> None:
    flight = regular_flight(13, 200.0, 225.0, None)
    sizes = HandBuilt(even(2, gap), height=700.0, lift=30.0, rail_depth=60.0, base_depth=40.0)
    middle = find_openings(hand_built(sizes, flight), ENGLAND)[1]
    clear = (700.0 - 60.0 - 30.0 - 40.0) * math.cos(math.atan2(200.0, 225.0))
    assert middle.where == "between U01 and U02"
    assert middle.ball.diameter == pytest.approx(min(gap, clear), abs=BALL)


@pytest.mark.parametrize("above", [10.0, 40.0, 95.0])
def test_between_raking_edges_the_plumb_gap_counts_times_the_cosine_of_the_pitch(above: float) -> None:
    """A base rail clear of a string parallel to it: the ball is the gap square to both."""
    flight = regular_flight(7, 200.0, 225.0, margin=60.0)
    design = hand_built(HandBuilt(full_length(80.0, 32.0, flight), lift=60.0 + above), flight)
    steps = [o for o in find_openings(design, ENGLAND) if o.kind is OpeningKind.UNDER]
    assert {o.step for o in steps} >= {1, 2, 3, 4, 5, 6}
    for opening in steps:
        if opening.step in (2, 3, 4):
            expected = above * math.cos(math.atan2(200.0, 225.0))
            assert opening.ball.diameter == pytest.approx(expected, abs=BALL)


def test_leaning_uprights_let_their_square_gap_through() -> None:
    """Square to the rake, uprights and rails bound rectangles: the ball is the smaller side."""
    flight = regular_flight(13, 200.0, 225.0, margin=60.0)
    infill = UprightsBrief(replace(plain_brief(flight).uprights).shape, 41.0, 41.0, Leaning.SQUARE)
    design = compose(flight, plain_brief(flight, infill=infill), LIMITS)
    inner = find_openings(design, ENGLAND)[3:-3]
    assert len(inner) > 10
    for opening in inner:
        assert opening.ball.diameter == pytest.approx(design.uprights[6].gap_before, abs=BALL)


def test_long_turned_necks_open_the_gap_by_what_they_are_thinner() -> None:
    """Two plumb necks longer than the ball: clear distance = gap + width - neck."""
    neck = ((150.0, 32.0), (170.0, 20.0), (600.0, 20.0), (620.0, 32.0))
    flight = regular_flight(13, 200.0, 225.0, None)
    sizes = HandBuilt(even(3, 90.0), width=32.0, profile=neck)
    found = {o.where: o for o in find_openings(hand_built(sizes, flight), ENGLAND)}
    assert found["between U01 and U02"].ball.diameter == pytest.approx(90.0 + 32.0 - 20.0, abs=BALL)
    assert found["between P1 and U01"].ball.diameter == pytest.approx(90.0 + (32.0 - 20.0) / 2, abs=BALL)


def test_a_string_that_reaches_the_base_rail_leaves_nothing_open_below_it() -> None:
    flight = regular_flight(7, 200.0, 225.0, margin=60.0)
    brief = plain_brief(flight, base=BaseBrief(70.0, 30.0, BaseSeat.STRING))
    found = find_openings(compose(flight, brief, LIMITS), ENGLAND)
    assert not [o for o in found if o.kind is OpeningKind.UNDER]


GERMANY, AUSTRALIA, SPAIN = (
    load_rule_set(name) for name in ("germany-din-18065", "australia-ncc-2022", "spain-db-sua")
)


@pytest.mark.parametrize(("a", "b"), [(200.0, 225.0), (150.0, 300.0), (220.0, 220.0), (90.0, 400.0)])
def test_the_largest_square_in_a_right_triangle_stands_in_the_right_angle(a: float, b: float) -> None:
    """Side a b/(a + b); that on the hypotenuse, a b c/(c c + a b), is smaller (Wells, Penguin Dictionary of Curious
    and Interesting Geometry, from memory; by similar triangles)."""
    triangle = to_shapely(((0.0, 0.0), (b, 0.0), (b, a)))
    c = math.hypot(a, b)
    side = a * b / (a + b)
    assert side > a * b * c / (c * c + a * b)
    assert largest_square(triangle) == pytest.approx(side, abs=BALL)
    hypotenuse = a * b * c / (c * c + a * b)
    assert fits_square(triangle, hypotenuse - 0.01, math.atan2(a, b))
    assert not fits_square(triangle, hypotenuse + 0.01, math.atan2(a, b))


@pytest.mark.parametrize("turn_deg", [0.0, 7.5, 30.0])
def test_the_largest_square_in_a_rectangle_is_its_short_side_however_it_lies(turn_deg: float) -> None:
    rectangle = shapely.affinity.rotate(
        to_shapely(((0.0, 0.0), (300.0, 0.0), (300.0, 80.0), (0.0, 80.0))), turn_deg
    )
    assert largest_square(rectangle, math.tan(math.radians(turn_deg))) == pytest.approx(80.0, abs=BALL)


@pytest.mark.parametrize(("rise", "going"), STEPS[2:6])
@pytest.mark.parametrize("lift", [60.0, 100.0])
def test_the_cube_over_a_step_by_its_right_angle(rise: float, going: float, lift: float) -> None:
    """DIN 18065 (from memory): a cube of 150 mm. Its square in the corner of tread and riser is h/(1 + tan p) with
    h = R + lift, as long as it is no taller than the riser; turned with the rail it could only be thinner."""
    sizes = HandBuilt(full_length(80.0, 32.0, regular_flight(5, rise, going, None)), lift=lift)
    found = find_openings(hand_built(sizes, regular_flight(5, rise, going, None)), GERMANY)
    for opening in (o for o in found if o.step in (2, 3)):
        side = (rise + lift) / (1.0 + rise / going)
        if opening.cube is not None and side <= rise:
            assert opening.cube == pytest.approx(side, abs=2 * BALL)
        assert opening.measured <= opening.ball.diameter
        assert opening.measured >= opening.ball.diameter / math.sqrt(2.0) - BALL


@pytest.mark.parametrize("lift", [20.0, 60.0, 120.0])
def test_above_the_line_of_the_nosings_only_the_strip_is_open(lift: float) -> None:
    """ABCB Housing Provisions 11.3.4: the ball is tried above the nosings; a strip ``lift`` high holds lift cos p."""
    flight = regular_flight(6, 200.0, 225.0, None)
    sizes = HandBuilt(full_length(80.0, 32.0, flight), lift=lift)
    found = find_openings(hand_built(sizes, flight), AUSTRALIA)
    for opening in (o for o in found if o.step in (2, 3, 4)):
        assert opening.ball.diameter == pytest.approx(lift * math.cos(math.atan2(200.0, 225.0)), abs=BALL)


@pytest.mark.parametrize(("lift", "verdict"), [(40.0, Verdict.PASS), (60.0, Verdict.FAIL)])
def test_a_rail_near_the_nosings_frees_the_triangle_in_spain(lift: float, verdict: Verdict) -> None:
    """DB-SUA 1 3.2.3: free where the rail's underside is at most 50 mm above the line of the steps."""

    def at_steps(rules: RuleSet) -> set[Verdict]:
        flight = regular_flight(5, 175.0, 280.0, None)
        sizes = HandBuilt(full_length(80.0, 32.0, flight), lift=lift)
        return {o.verdict for o in find_openings(hand_built(sizes, flight), rules) if o.step in (2, 3)}

    assert at_steps(SPAIN) == {verdict}
