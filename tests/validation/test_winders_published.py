"""Winders against published texts.

1. R. Chudley and R. Greeno, Building Construction Handbook, 8th edition, Tapered Treads and Winder Flights, 2: the
   going at the middle of the stair as the chord 2 R sin(angle / 2) with R from the point the nosings radiate from
   (W 770 mm, 150 mm from there to the string, 16 mm offset); the book halves the sine in its arithmetic where the
   formula halves the angle, so its formula is checked, and not its last line.
2. Approved Document K (1998), 1.18 and Diagram 8: a stair narrower than 1 m is measured in its middle, a wider one
   270 mm from each side; the narrow end is at least 50 mm.
3. International Residential Code 2021, R311.7.4: the line runs 12 in from the inside of the turn, concentric with
   it (second hand, from code summaries); R311.7.5.2: 10 in on it, 6 in at the narrow end.
4. National Building Code of Canada 2020, 9.8.4.6: winders that converge to a point turn by 30 or 45 degrees each.
5. International Correspondence Schools, Treatise on Architecture and Building Construction, vol. 3, 30: the line of
   travel is laid out about 14 in from the string and divided equally.
"""

import math

import pytest
from tests.strategies_winders import radiating

from pitchline.catalogue.rules import load_rule_set
from pitchline.checks.winders import lines_to_walk
from pitchline.stair.walking_line import walk
from pitchline.stair.winders import build_winders

INCH = 25.4


def test_centre_going_of_the_building_construction_handbook() -> None:
    """Measured from the point of convergence the stair is W + E wide there and its middle W / 2 + E away."""
    width, beyond, offset = 770.0, 150.0, 16.0
    radius = math.hypot(width / 2 + beyond, offset)
    assert radius == pytest.approx(535.0, abs=0.5)
    expected = 2.0 * radius * math.sin(math.radians(30.0) / 2.0)
    angles = [math.radians(30.0 * k) for k in range(4)]
    winders = build_winders(radiating(angles, (width + beyond, width + beyond)))
    assert walk(winders, radius).chords == pytest.approx([expected] * 3)


def test_where_the_approved_document_measures() -> None:
    rules = load_rule_set("england-dwelling")
    assert [line.distance for line in lines_to_walk(rules, (860.0, 860.0))] == [430.0]
    assert [line.distance for line in lines_to_walk(rules, (1000.0, 1000.0))] == [270.0, 730.0]


def test_where_the_residential_code_measures() -> None:
    rules = load_rule_set("us-irc-2021")
    assert [line.distance for line in lines_to_walk(rules, (914.4, 914.4))] == pytest.approx([12.0 * INCH])


def test_winders_just_within_the_residential_code() -> None:
    """Three winders of 30 degrees are 10 in deep on a line of radius 10 / (pi / 6) in, so they radiate from a point
    7.1 in inside the narrow side, where they are 3.7 in deep round the arc: less than 6 in."""
    reach = 10.0 / (math.pi / 6) - 12.0
    angles = [math.radians(30.0 * k) for k in range(4)]
    winders = build_winders(radiating(angles, (36.0 * INCH + reach * INCH,) * 2))
    assert walk(winders, (12.0 + reach) * INCH).goings == pytest.approx([254.0] * 3)
    assert walk(winders, reach * INCH).goings == pytest.approx([reach * INCH * math.pi / 6] * 3)
    assert reach * math.pi / 6 < 6.0


@pytest.mark.parametrize(("each", "count"), [(30.0, 3), (45.0, 2)])
def test_winders_of_the_canadian_code(each: float, count: int) -> None:
    winders = build_winders(radiating([math.radians(each * k) for k in range(count + 1)]))
    assert [math.degrees(winders.tread_angle(k)) for k in range(count)] == pytest.approx([each] * count)
    assert math.degrees(winders.turn) == pytest.approx(90.0)


def test_line_of_travel_of_the_treatise_divided_equally() -> None:
    """14 in from the string of a quarter turn divided among three: 14 pi / 6 in each."""
    winders = build_winders(radiating([math.radians(30.0 * k) for k in range(4)], (34.0 * INCH,) * 2))
    assert walk(winders, 14.0 * INCH).goings == pytest.approx([14.0 * INCH * math.pi / 6] * 3)
