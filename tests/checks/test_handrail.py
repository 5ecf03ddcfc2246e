"""Whether a handrail is needed, and what it takes of the stair. Figures: AD K 1.34, IRC 2021 R311.7.1, R311.7.8."""

from dataclasses import replace

import pytest
from tests.builders import ENGLAND, US_2021, HandBuilt, full_length, hand_built, without
from tests.strategies_stairs import LIMITS, flight_of, plain_brief, regular, regular_flight

from pitchline.catalogue.rules import RuleSet
from pitchline.checks.case import Case
from pitchline.checks.handrail import check_handrail
from pitchline.checks.widths import reach_into_stair
from pitchline.design.brief import FreeEnd, Station
from pitchline.design.compose import compose
from pitchline.design.model import Design
from pitchline.kit.finding import Finding, Verdict
from pitchline.stair.facts import WallFacts
from pitchline.stair.model import Side

FLIGHT = regular_flight(7, 200.0, 250.0, 60.0)
BARE = regular_flight(7, 200.0, 250.0, None)


def found(design: Design, rules: RuleSet = ENGLAND) -> dict[str, Finding]:
    return {f.code: f for f in check_handrail(Case(design, rules))}


def plain(width: float | None = 850.0) -> Design:
    flight = replace(BARE, width=width)
    return hand_built(HandBuilt(full_length(90.0, 32.0, flight)), flight)


def test_three_risers_need_no_handrail_in_the_us_and_four_do() -> None:
    """IRC R311.7.8: four or more risers."""
    verdicts = []
    for risers in (3, 4):
        flight = regular_flight(risers, 180.0, 280.0, None)
        built = hand_built(HandBuilt(full_length(90.0, 32.0, flight)), flight)
        verdicts.append(found(built, US_2021)["handrail.needed"].verdict)
    assert verdicts == [Verdict.REPORT, Verdict.PASS]


@pytest.mark.parametrize(
    ("width", "verdict"), [(999.0, Verdict.PASS), (1000.0, Verdict.ADVICE), (None, Verdict.ADVICE)]
)
def test_a_wide_stair_needs_a_handrail_on_both_sides(width: float | None, verdict: Verdict) -> None:
    """Approved Document K: both sides from 1000 mm."""
    assert found(plain(width))["handrail.sides"].verdict is verdict


@pytest.mark.parametrize("side", list(Side))
def test_the_reach_into_the_stair_counts_from_the_string_s_inner_face(side: Side) -> None:
    """A rail 70 wide centred on a string 32 thick reaches 19 mm past it; one moved 5 mm inwards 24 mm."""
    design = compose(FLIGHT, plain_brief(FLIGHT, side=side), LIMITS)
    assert reach_into_stair(design) == pytest.approx(19.0)
    inwards = replace(design, handrail=replace(design.handrail, y=5.0 * side.towards_stair))
    assert reach_into_stair(inwards) == pytest.approx(24.0)


def test_what_is_left_of_the_width() -> None:
    """IRC R311.7.1: 31 1/2 in beside one handrail."""
    for width, words in (
        (31.5 * 25.4 + 30.5, "within the figure"),
        (31.5 * 25.4 + 29.5, "outside the figure"),
    ):
        left = found(plain(width), US_2021)["handrail.width"]
        assert left.verdict is Verdict.REPORT
        assert words in left.text
        assert left.measured == pytest.approx(width - 30.0)
    assert found(plain(), ENGLAND)["handrail.width"].verdict is Verdict.REPORT
    assert "handrail.width" not in found(plain(None))


def test_a_rail_may_reach_four_and_a_half_inches_into_the_stair() -> None:
    wide = hand_built(HandBuilt(full_length(90.0, 32.0, BARE), rail_width=2 * 115.0), BARE)
    assert found(wide, US_2021)["handrail.projection"].verdict is Verdict.FAIL
    assert found(plain(), US_2021)["handrail.projection"].verdict is Verdict.PASS


@pytest.mark.parametrize(("clear", "verdict"), [(20.0, Verdict.FAIL), (30.0, Verdict.PASS), (200.0, None)])
def test_a_wall_close_to_a_free_end(clear: float, verdict: Verdict | None) -> None:
    """25 mm clear of any surface (NHBC 6.6.10)."""
    walls = (WallFacts("head", "wall-head", 1500.0),)
    flight = flight_of(regular(7, 200.0, 250.0, 60.0), walls=walls)
    end = FreeEnd(Station("wall-head", -clear))
    asked = found(compose(flight, plain_brief(flight, top=end), LIMITS))
    if verdict is None:
        assert "handrail.clear.wall" not in asked
    else:
        assert asked["handrail.clear.wall"].verdict is verdict
        assert asked["handrail.clear.wall"].measured == pytest.approx(clear)


def test_without_figures_nothing_is_asked() -> None:
    bare = ENGLAND
    for figure in ("handrail.needed.risers", "handrail.both_sides.width", "handrail.clear.wall"):
        bare = without(bare, figure)
    asked = found(plain(), bare)
    assert not {"handrail.needed", "handrail.sides", "handrail.clear.wall"} & set(asked)
