"""The stair reported: sizes by hand, figures of Approved Document K 2013 Table 1.1 and IRC 2021 R311.7.5."""

import math
from dataclasses import replace

import pytest
from tests.builders import ENGLAND, US_2021, HandBuilt, full_length, hand_built
from tests.strategies_stairs import TAPE, Sizes, flight_of

from pitchline.catalogue.rules import RuleSet
from pitchline.checks.case import Case
from pitchline.checks.existing import (
    beside,
    check_existing,
    goings_of,
    rises_of,
    two_rise_going_of,
)
from pitchline.kit.finding import Finding, Verdict
from pitchline.stair.model import Flight

UNEVEN = flight_of(Sizes((180.0, 190.0, 200.0, 190.0), (250.0, 240.0, 230.0)))


def found(flight: Flight, rules: RuleSet = ENGLAND) -> dict[str, Finding]:
    design = hand_built(HandBuilt(full_length(90.0, 32.0, flight)), flight)
    return {f.code: f for f in check_existing(Case(design, rules))}


def test_rises_and_goings_with_their_uncertainty() -> None:
    """Heights were read one by one from the floor: a rise between two of them carries both, the first only one."""
    rises = rises_of(UNEVEN)
    assert [step.size for step in rises] == pytest.approx([180.0, 190.0, 200.0, 190.0])
    assert [step.expanded for step in rises] == pytest.approx([2 * TAPE] + [2 * TAPE * math.sqrt(2)] * 3)
    goings = goings_of(UNEVEN)
    assert [step.size for step in goings] == pytest.approx([250.0, 240.0, 230.0])
    assert goings[0].expanded == pytest.approx(2 * TAPE)


def test_twice_the_rise_plus_the_going() -> None:
    sums = two_rise_going_of(UNEVEN)
    assert [step.size for step in sums] == pytest.approx([630.0, 640.0, 610.0])
    assert sums[1].expanded == pytest.approx(2 * TAPE * math.sqrt(2 * 4 + 2 * 1))


def test_nothing_of_the_stair_that_stands_is_judged() -> None:
    steep = flight_of(Sizes((240.0,) * 5, (180.0,) * 4))
    assert {f.verdict for f in found(steep).values()} == {Verdict.REPORT}
    assert {f.verdict for f in found(steep, US_2021).values()} == {Verdict.REPORT}


def test_a_steep_stair_is_said_to_be_outside_the_figures() -> None:
    """220 mm rise, 220 mm going and 42 degrees at most and least: 240 by 180 is outside each."""
    said = found(flight_of(Sizes((240.0,) * 5, (180.0,) * 4)))
    for code in ("stair.rise.max", "stair.going.min", "stair.pitch"):
        assert "outside the figure for a new stair" in said[code].text
    assert said["stair.pitch"].measured == pytest.approx(math.degrees(math.atan2(240.0, 180.0)))
    assert said["stair.pitch"].unit == "deg"


def test_too_near_a_figure_to_tell() -> None:
    said = found(flight_of(Sizes((219.5,) * 4, (260.0,) * 3)))
    assert "too near the figure" in said["stair.rise.max"].text


def test_the_spread_of_the_rises() -> None:
    """IRC R311.7.5.1 allows 3/8 in between the largest and the smallest; England states no figure."""
    england, us = found(UNEVEN)["stair.rise.variation"], found(UNEVEN, US_2021)["stair.rise.variation"]
    assert england.measured == us.measured == pytest.approx(20.0)
    assert england.limit is None
    assert us.limit == pytest.approx(9.525)
    assert "outside" in us.text


def test_headroom_and_width() -> None:
    given = replace(UNEVEN, headroom=1990.0, width=900.0)
    said = found(given)
    assert (said["stair.headroom"].measured, said["stair.headroom"].limit) == (1990.0, 2000.0)
    assert "outside" in said["stair.headroom"].text
    assert said["stair.width"].limit is None
    missing = found(replace(UNEVEN, headroom=None, width=None))
    assert "was not given" in missing["stair.headroom"].text
    assert "stair.width" not in missing


def test_the_overhang_is_asked_for_on_narrow_treads_only() -> None:
    """IRC R311.7.5.3: 3/4 in where the tread is under 11 in."""
    wide = flight_of(Sizes((180.0,) * 4, (290.0,) * 3))
    assert "stair.nosing.min" in found(UNEVEN, US_2021)
    assert "stair.nosing.min" not in found(wide, US_2021)
    assert "stair.nosing.max" in found(wide, US_2021)


def test_words_beside_a_figure() -> None:
    figure = ENGLAND.require("stair.rise.max")
    assert beside(200.0, 1.0, figure, "220 mm") == "within the figure for a new stair (at most 220 mm)"
    assert beside(230.0, 1.0, figure, "220 mm").startswith("outside")
    assert beside(220.0, 1.0, figure, "220 mm").startswith("too near")
