"""Sections against the grip sizes of IRC 2021 R311.7.8.5: way round 4 to 6 1/4 in, 2 1/4 in across; AD K D1.13."""

import math
import re

import pytest
from tests.builders import ENGLAND, US_2021, HandBuilt, full_length, hand_built, with_word, without
from tests.strategies_stairs import regular_flight

from pitchline.catalogue.rules import RuleSet, load_rule_set
from pitchline.checks.case import Case
from pitchline.checks.grip import check_grip
from pitchline.checks.hand_sections import rounded_rectangle
from pitchline.design.model import Design
from pitchline.kit.finding import Finding, Verdict
from pitchline.kit.geometry.outlines import Points

FLIGHT = regular_flight(5, 200.0, 250.0, None)
OTHER = load_rule_set("england-other")
INCH = 25.4


def railed(width: float, depth: float, round_over: float = 0.0) -> Design:
    """A design with a rail ``depth`` deep square to a pitch of 200 in 250."""
    plumb = depth * math.hypot(200.0, 250.0) / 250.0
    gaps = full_length(90.0, 32.0, FLIGHT)
    return hand_built(HandBuilt(gaps, rail_width=width, rail_depth=plumb, round_over=round_over), FLIGHT)


def found(design: Design, rules: RuleSet, section: Points | None = None) -> dict[str, Finding]:
    return {f.code: f for f in check_grip(Case(design, rules), section)}


def test_a_slim_section_fits_the_hand() -> None:
    fits = found(railed(38.0, 42.0, 10.0), US_2021)
    assert fits["handrail.grip.perimeter.max"].verdict is Verdict.PASS
    assert fits["handrail.grip.across"].verdict is Verdict.PASS
    assert fits["handrail.grip.perimeter.max"].remedy is None


def test_a_square_of_45_rounded_by_8_is_too_much_to_hold() -> None:
    """Two square edges add to the 166.3 mm of four rounded ones, above 6 1/4 in."""
    wide = found(railed(45.0, 45.0, 8.0), US_2021)["handrail.grip.perimeter.max"]
    assert wide.verdict is Verdict.FAIL
    assert wide.measured == pytest.approx(4 * 45.0 - (4.0 - math.pi) * 8.0, abs=0.01)
    assert wide.limit == pytest.approx(6.25 * INCH)


@pytest.mark.parametrize(("width", "depth"), [(60.0, 44.0), (48.0, 40.0), (70.0, 30.0)])
def test_the_narrower_rail_of_the_remedy_fits_and_one_less_narrow_does_not(
    width: float, depth: float
) -> None:
    wide = found(railed(width, depth, 10.0), US_2021)
    remedy = wide["handrail.grip.perimeter.max"].remedy
    assert remedy is not None
    match = re.search(r"make the rail (\d+)\.0 mm narrower", remedy)
    assert match is not None
    less = float(match[1])
    judged = ("handrail.grip.perimeter.max", "handrail.grip.across")
    fits = found(railed(width - less, depth, 10.0), US_2021)
    assert {fits[code].verdict for code in judged} == {Verdict.PASS}
    still = found(railed(width - less + 1.5, depth, 10.0), US_2021)
    assert Verdict.FAIL in {still[code].verdict for code in judged}


def test_a_rail_that_no_narrowing_saves_wants_another_section() -> None:
    remedy = found(railed(60.0, 75.0), US_2021)["handrail.grip.perimeter.max"].remedy
    assert remedy is not None
    assert "choose a smaller section" in remedy


def test_a_lath_is_too_little() -> None:
    thin = found(railed(20.0, 25.0), US_2021)
    assert list(thin) == ["handrail.grip.perimeter.min"]
    assert thin["handrail.grip.perimeter.min"].verdict is Verdict.FAIL


@pytest.mark.parametrize(
    ("diameter", "verdict"),
    [(1.2, Verdict.FAIL), (1.26, Verdict.PASS), (1.99, Verdict.PASS), (2.05, Verdict.FAIL)],
)
def test_a_round_rail_is_judged_by_its_diameter(diameter: float, verdict: Verdict) -> None:
    """1 1/4 to 2 in."""
    r = diameter * INCH / 2
    rail = rounded_rectangle(2 * r, 2 * r, r, r)
    judged = found(railed(40.0, 40.0), US_2021, rail)
    assert set(judged) == {"handrail.grip.round.min", "handrail.grip.round.max"}
    assert Verdict.FAIL in {f.verdict for f in judged.values()} or verdict is Verdict.PASS
    assert ({f.verdict for f in judged.values()} == {Verdict.PASS}) is (verdict is Verdict.PASS)


def test_an_oval_is_judged_by_width_depth_and_edges() -> None:
    """Approved Document K 2013 Diagram 1.13, outside houses: 50 x 39 mm, edges 15 mm (from memory)."""
    good = found(railed(50.0, 39.0, 15.0), OTHER)
    assert good["handrail.grip.oval.width"].verdict is Verdict.PASS
    assert good["handrail.grip.oval.depth"].verdict is Verdict.PASS
    assert good["handrail.grip.edge_radius"].verdict is Verdict.PASS
    bad = found(railed(52.0, 41.0, 14.0), OTHER)
    assert {f.verdict for f in bad.values() if f.code != "handrail.grip.edges"} == {Verdict.FAIL}
    assert bad["handrail.grip.oval.width"].remedy == "take 3.0 mm off the rail's width"


def test_sharp_lower_edges_are_to_be_eased() -> None:
    """IRC 2021 R311.7.8.5: edges of at least 0.01 in."""
    assert found(railed(38.0, 42.0, 10.0), US_2021)["handrail.grip.edges"].verdict is Verdict.ADVICE
    eased = rounded_rectangle(38.0, 42.0, 10.0, 2.0)
    assert "handrail.grip.edges" not in found(railed(38.0, 42.0), US_2021, eased)


def test_where_grip_is_advice_nothing_fails() -> None:
    advised = found(railed(90.0, 60.0), with_word(US_2021, "handrail.grip.duty", "advice"))
    assert {f.verdict for f in advised.values()} == {Verdict.ADVICE}


def test_england_only_advises() -> None:
    assert found(railed(90.0, 50.0), ENGLAND)["handrail.grip"].verdict is Verdict.ADVICE
    assert "wider" in found(railed(90.0, 50.0), ENGLAND)["handrail.grip"].text
    assert "within" in found(railed(45.0, 50.0), ENGLAND)["handrail.grip"].text
    assert "narrower" in found(railed(20.0, 50.0), ENGLAND)["handrail.grip"].text


def test_no_figures_no_findings() -> None:
    assert found(railed(90.0, 50.0), without(ENGLAND, "handrail.grip.round.max")) == {}
