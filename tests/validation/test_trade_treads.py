"""Uprights on treads against figures printed by the trade. Inches where the source has inches.

Sources: R. G. Hatfield, The American House-Carpenter, art. 258 and 296 (two balusters to a tread, the second half a
tread on, the long one longer by half the rise; on the rail their spacing is half the hypotenuse of rise and tread); a
trade page on turned balusters (going 10 1/2 in, neck 3/4 in, 4 in limit: three to a tread, 3 1/2 in centres); a
builders' forum case (going 9 7/8 in, foot 1 1/4 in square, top 5/8 in, two to a tread: 3.69 in between the feet and
4.31 in at the tops, which fails 4 in). Thirds of the rise for three to a tread are derived in the same way.
"""

import math
from itertools import pairwise

import pytest
from tests.strategies_stairs import newel, regular
from tests.strategies_treads import cut_flight, per_tread, tread_brief

from pitchline.catalogue.rules import load_rule_set
from pitchline.checks.run import check
from pitchline.design.brief import Foot, RailBrief, Shape
from pitchline.design.compose import compose
from pitchline.design.limits import Limits
from pitchline.design.model import Design, Upright
from pitchline.kit.finding import Verdict
from pitchline.parts.marks import running_marks
from pitchline.stair.model import Flight

INCH = 25.4
US = load_rule_set("us-irc-2021")
FOUR_INCHES = Limits(low=34 * INCH, high=38 * INCH, gap=4 * INCH)


def laid_out(flight: Flight, **changes: object) -> Design:
    """Uprights on the treads of a regular flight, rail parallel to the nosings."""
    ends = {
        "bottom": newel("N1", 70.0, 40.0, Foot.TREAD),
        "top": newel(f"N{len(flight.nosings)}", 70.0, 20.0),
        "rail": RailBrief(width=60.0, depth=57.0, height=36 * INCH),
        "build_tolerance": 0.0,
    }
    return compose(flight, tread_brief(flight, **{**ends, **changes}), FOUR_INCHES)


def seen_on_left(upright: Upright) -> float:
    """Length of an upright's lower side."""
    zs = [z for u, z in upright.sight if u < upright.u]
    return max(zs) - min(zs)


def test_two_to_a_tread_hatfield() -> None:
    """Rise 7 in, tread 10 in: half the rise between long and short, half the hypotenuse along the rail."""
    flight = cut_flight(regular(10, 7 * INCH, 10 * INCH, margin=None), overhang=25.4)
    made = laid_out(flight, infill=per_tread(2, width=1.25 * INCH))
    lengths = sorted({round(seen_on_left(upright), 6) for upright in made.uprights})
    assert lengths[-1] - lengths[0] == pytest.approx(3.5 * INCH, abs=1e-5)
    marks = running_marks(made).handrail.marks
    steps = [(b.centre - a.centre) / INCH for a, b in pairwise(marks)]
    assert steps == pytest.approx([math.hypot(7.0, 10.0) / 2] * len(steps), abs=1e-6)


def test_three_to_a_tread_take_thirds_of_the_rise() -> None:
    flight = cut_flight(regular(10, 7 * INCH, 10 * INCH, margin=None), overhang=25.4)
    made = laid_out(flight, infill=per_tread(3, width=0.75 * INCH))
    lengths = sorted({round(seen_on_left(upright) / INCH, 5) for upright in made.uprights})
    steps = [b - a for a, b in pairwise(lengths)]
    assert steps == pytest.approx([7.0 / 3.0, 7.0 / 3.0], abs=1e-4)


def test_three_to_a_tread_where_the_neck_asks_for_them() -> None:
    """10 1/2 in less a neck of 3/4 in: two leave 4 1/2 in, three 2 3/4 in, at centres of 3 1/2 in."""
    flight = cut_flight(regular(10, 7.5 * INCH, 10.5 * INCH, margin=None), overhang=25.4)
    foot = 1.25 * INCH
    turned = per_tread(
        width=foot,
        shape=Shape.TURNED,
        profile=((0.0, foot), (100.0, 0.75 * INCH), (400.0, 0.75 * INCH)),
        turned_from=200.0,
    )
    made = laid_out(flight, infill=turned)
    assert "three to a tread" in made.bay.spacing_note
    centres = [(b.u - a.u) / INCH for a, b in pairwise(made.uprights)]
    assert centres == pytest.approx([3.5] * len(centres))


def test_two_to_a_tread_that_fail_at_their_tops() -> None:
    """9 7/8 in: centres of 4 15/16 in, 3 11/16 in between feet of 1 1/4 in, 4 5/16 in between tops of 5/8 in."""
    flight = cut_flight(regular(10, 7.5 * INCH, 9.875 * INCH, margin=None), overhang=25.4)
    foot, top = 1.25 * INCH, 0.625 * INCH
    turned = per_tread(
        2,
        width=foot,
        shape=Shape.TURNED,
        profile=((0.0, foot), (300.0, top), (500.0, top)),
        turned_from=150.0,
    )
    made = laid_out(flight, infill=turned)
    gaps = {round(upright.gap_after / INCH, 4) for upright in made.uprights[:-1]}
    assert gaps == {3.6875}
    (told,) = [finding for finding in made.findings if finding.code == "design.spacing.tread"]
    assert told.measured == pytest.approx(4.3125 * INCH)
    assert told.verdict is Verdict.FAIL
    assert "3 to a tread would hold everywhere" in told.text
    (opening,) = [finding for finding in check(made, US).findings if finding.code == "opening.stair"]
    assert opening.measured == pytest.approx(4.3125 * INCH, abs=0.02)
    square = laid_out(flight, infill=per_tread(2, width=foot))
    assert not [finding for finding in square.findings if finding.code == "design.spacing.tread"]
