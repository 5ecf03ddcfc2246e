"""Ends and continuity of the handrail. Rules: NHBC 6.6.10; IRC 2021 R311.7.8.4; IRC 2024 R320.5."""

from dataclasses import replace

import pytest
from tests.builders import ENGLAND, US_2021, US_2024, HandBuilt, hand_built, with_word
from tests.strategies_stairs import LIMITS, plain_brief, regular_flight

from pitchline.catalogue.rules import RuleSet
from pitchline.checks.case import Case
from pitchline.checks.rail_ends import check_continuity, check_ends, newel_is_excepted
from pitchline.checks.silhouettes import ends_of
from pitchline.design.brief import AtWall, FreeEnd, Station
from pitchline.design.compose import compose
from pitchline.design.model import Design
from pitchline.kit.finding import Verdict
from pitchline.stair.facts import WallFacts

WALLS = (WallFacts("foot", "wall-foot", 700.0), WallFacts("head", "wall-head", 1500.0))
FLIGHT = regular_flight(7, 200.0, 250.0, 60.0, walls=WALLS)


def begun(start: float, finish: float = 1500.0) -> Design:
    gaps = (90.0,) * max(1, round((finish - start + 32.0) / 122.0))
    return hand_built(HandBuilt(gaps, start=start), FLIGHT)


def at_ends(design: Design, rules: RuleSet) -> list[Verdict]:
    return [f.verdict for f in check_ends(Case(design, rules))]


def continuity(design: Design, rules: RuleSet) -> list[Verdict]:
    return [f.verdict for f in check_continuity(Case(design, rules))]


@pytest.mark.parametrize(
    ("rules", "newels", "free", "walls"),
    [
        (ENGLAND, Verdict.PASS, Verdict.ADVICE, Verdict.PASS),
        (US_2021, Verdict.PASS, Verdict.FAIL, Verdict.PASS),
        (US_2024, Verdict.ADVICE, Verdict.FAIL, Verdict.PASS),
    ],
    ids=["England", "IRC 2021", "IRC 2024"],
)
def test_newels_free_ends_and_walls(rules: RuleSet, newels: Verdict, free: Verdict, walls: Verdict) -> None:
    free_ends = plain_brief(FLIGHT, bottom=FreeEnd(Station("N1")), top=FreeEnd(Station("N7")))
    at_walls = plain_brief(FLIGHT, bottom=AtWall("foot"), top=AtWall("head"))
    assert at_ends(begun(-10.0), rules) == [newels] * 2
    assert at_ends(compose(FLIGHT, free_ends, LIMITS), rules) == [free] * 2
    assert at_ends(compose(FLIGHT, at_walls, LIMITS), rules) == [walls] * 2


def test_a_newel_in_the_middle_of_the_flight_is_no_end_in_2024() -> None:
    design = begun(600.0)
    assert not newel_is_excepted(design, ends_of(design)[0])
    assert at_ends(design, US_2024)[0] is Verdict.FAIL
    assert newel_is_excepted(begun(200.0), ends_of(begun(200.0))[0])


def test_places_that_ask_nothing_of_ends() -> None:
    asked = with_word(with_word(ENGLAND, "handrail.ends", "any"), "handrail.continuity", "any")
    assert at_ends(begun(-10.0), asked) == []
    assert continuity(begun(-10.0), asked) == []


def test_a_rail_along_the_whole_flight() -> None:
    for rules in (ENGLAND, US_2021, US_2024):
        assert continuity(begun(-10.0), rules) == [Verdict.PASS] * 2


def test_a_rail_that_begins_late() -> None:
    """The newel's far face at 200 mm: past the first nosing, at the second step of 250 mm."""
    late = begun(290.0)
    assert continuity(late, US_2021)[0] is Verdict.FAIL
    assert continuity(late, ENGLAND)[0] is Verdict.ADVICE
    later = begun(690.0)
    assert continuity(later, ENGLAND)[0] is Verdict.FAIL


def test_the_riser_lies_back_by_the_overhang() -> None:
    """IRC 2021 counts from riser to riser, 2024 from nosing to nosing; the far face stands 10 mm past the nosing."""
    design = begun(100.0)
    overhanging = replace(design, flight=replace(design.flight, nosing_overhang=25.0))
    assert continuity(overhanging, US_2021)[0] is Verdict.PASS
    assert continuity(overhanging, US_2024)[0] is Verdict.FAIL


def test_too_close_to_tell_names_a_reading() -> None:
    design = begun(90.5)
    hung = replace(design, posts=(replace(design.posts[0], station="N2"), design.posts[1]))
    finding = next(check_continuity(Case(hung, ENGLAND)))
    assert finding.verdict is Verdict.UNSURE
    assert finding.remedy is not None


def test_a_wall_is_past_everything() -> None:
    brief = plain_brief(FLIGHT, bottom=AtWall("foot"), top=AtWall("head"))
    found = list(check_continuity(Case(compose(FLIGHT, brief, LIMITS), US_2021)))
    assert [(f.verdict, f.measured) for f in found] == [(Verdict.PASS, None)] * 2
