"""Heights above the nosings. Limits: Approved Document K 1.34 and Diagram 3.1; IRC 2021 R312.1.2, R311.7.8.1."""

from dataclasses import replace

import pytest
from tests.builders import ENGLAND, US_2021, HandBuilt, full_length, hand_built, without
from tests.strategies_stairs import Sizes, flight_of, regular_flight

from pitchline.catalogue.rules import RuleSet
from pitchline.checks.case import Case
from pitchline.checks.floors import check_upper_floor
from pitchline.checks.heights import beside_the_rail, check_heights, heights_of, spare
from pitchline.design.model import Design
from pitchline.kit.finding import Finding, Verdict
from pitchline.stair.model import Flight

FLIGHT = regular_flight(7, 200.0, 250.0, None)


def design(height: float, flight: Flight = FLIGHT) -> Design:
    return hand_built(HandBuilt((*full_length(90.0, 32.0, flight), 90.0), height=height), flight)


def found(built: Design, rules: RuleSet = ENGLAND) -> dict[str, Finding]:
    case, heights = Case(built, rules), heights_of(built)
    return {f.code: f for f in (*check_heights(case, heights), *check_upper_floor(case, heights))}


def test_heights_are_plumb_above_each_nosing() -> None:
    measured = heights_of(design(950.0))
    assert [h.nosing for h in measured] == [f"N{k}" for k in range(1, 8)]
    assert [h.height for h in measured] == pytest.approx([950.0] * 7)


def test_the_lowest_place_is_over_the_proud_nosing() -> None:
    """One step 12 mm high and the next 12 mm low: its nosing stands 12 mm nearer to the rail."""
    uneven = flight_of(Sizes((200.0, 200.0, 212.0, 188.0, 200.0, 200.0, 200.0), (250.0,) * 6))
    lows = found(design(950.0, uneven))
    assert lows["height.guard"].measured == pytest.approx(938.0)
    assert lows["height.guard"].where == "A: guarding at N3"


@pytest.mark.parametrize(
    ("height", "verdicts"),
    [
        (950.0, (Verdict.PASS, Verdict.PASS, Verdict.PASS)),
        (890.0, (Verdict.FAIL, Verdict.FAIL, Verdict.PASS)),
        (901.0, (Verdict.UNSURE, Verdict.UNSURE, Verdict.PASS)),
        (1010.0, (Verdict.PASS, Verdict.PASS, Verdict.FAIL)),
    ],
)
def test_the_window_of_england(height: float, verdicts: tuple[Verdict, ...]) -> None:
    asked = found(design(height))
    codes = ("height.guard", "height.handrail.least", "height.handrail.most")
    assert tuple(asked[code].verdict for code in codes) == verdicts


def test_the_window_of_the_us_is_held_in_inches() -> None:
    asked = found(design(38.0 * 25.4 + 10.0), US_2021)
    assert asked["height.handrail.most"].verdict is Verdict.FAIL
    assert asked["height.handrail.most"].limit == pytest.approx(965.2)
    assert asked["height.guard"].limit == pytest.approx(863.6)


def test_raising_by_the_remedy_is_enough() -> None:
    low = found(design(880.0))["height.guard"]
    assert low.remedy is not None
    by = float(low.remedy.removeprefix("raise the whole rail by ").removesuffix(" mm"))
    assert found(design(880.0 + by))["height.guard"].verdict is Verdict.PASS
    assert found(design(880.0 + by - 1.5))["height.guard"].verdict is not Verdict.PASS


def test_a_rail_that_cannot_be_raised_says_so() -> None:
    uneven = flight_of(Sizes((200.0, 260.0, 200.0, 140.0, 200.0, 140.0, 260.0), (250.0,) * 6))
    remedy = found(design(940.0, uneven))["height.guard"].remedy
    assert remedy is not None
    assert "even out the treads or break the rail in two" in remedy


def test_an_unsure_height_names_the_reading_to_take() -> None:
    remedy = found(design(901.0))["height.guard"].remedy
    assert remedy is not None
    assert "one more reading" in remedy


def test_only_nosings_beside_the_balustrade_count() -> None:
    built = design(950.0)
    later = replace(built.posts[0], foot=(300.0, 0.0, 200.0))
    short = replace(built, posts=(later, built.posts[1]))
    assert [h.nosing for h in beside_the_rail(short, heights_of(short))] == ["N3", "N4", "N5", "N6", "N7"]


def test_a_rail_over_the_upper_floor_is_compared_with_the_floor_s_figure() -> None:
    over = found(design(880.0), US_2021)["height.landing"]
    assert over.verdict is Verdict.ADVICE
    assert over.limit == pytest.approx(36.0 * 25.4)
    assert found(design(950.0), US_2021)["height.landing"].verdict is Verdict.PASS


def test_figures_that_a_place_lacks_are_not_asked() -> None:
    asked = found(design(2000.0), without(ENGLAND, "handrail.height.max"))
    assert "height.handrail.most" not in asked


def test_spare_counts_the_uncertainty() -> None:
    height = heights_of(design(950.0))[3]
    least, most = ENGLAND.require("handrail.height.min"), ENGLAND.require("handrail.height.max")
    assert spare(height, least) == pytest.approx(50.0 - height.expanded)
    assert spare(height, most) == pytest.approx(50.0 - height.expanded)
