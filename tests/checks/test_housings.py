"""Strands housed in newels, and panels of solid wood that move, by plain sums on the catalogue's figures."""

from dataclasses import replace

import pytest
from tests.builders import ENGLAND
from tests.strategies_stairs import LIMITS, newel, plain_brief, regular_flight

from pitchline.catalogue.moisture import Season
from pitchline.catalogue.rules import load_rule_set
from pitchline.catalogue.timber import load_timber
from pitchline.checks.case import Case
from pitchline.checks.housings import check_housings
from pitchline.checks.openings import find_openings
from pitchline.checks.panel_movement import across, check_panel_movement
from pitchline.design.brief import (
    Brief,
    ExistingNewel,
    Grooved,
    PanelKind,
    PanelsBrief,
    SpacingBrief,
    StrandKind,
    StrandsBrief,
)
from pitchline.design.compose import compose
from pitchline.design.limits import Limits
from pitchline.design.makings import BetweenPosts
from pitchline.kit.finding import Finding, Verdict
from pitchline.stair.facts import PostFacts

FLIGHT = regular_flight()
BARS = StrandsBrief(StrandKind.BAR, 20.0, 20.0)
PINE = PanelsBrief(PanelKind.SOLID, 18.0, edge_gap=2.0, material="pine-european")
GROOVES = Grooved(12.0, 10.0, 6.0, 0.5)


def housed(depth: float, kind: StrandKind = StrandKind.BAR) -> dict[str, Finding]:
    infill = replace(BARS, kind=kind, pull=1000.0 if kind is StrandKind.CABLE else None)
    brief = plain_brief(FLIGHT, infill=infill, making=BetweenPosts(depth), bottom=newel("N1", side=80.0))
    return {f.code: f for f in check_housings(Case(compose(FLIGHT, brief, LIMITS), ENGLAND))}


@pytest.mark.parametrize(
    ("depth", "kind", "verdict"),
    [
        (15.0, StrandKind.BAR, None),
        (77.0, StrandKind.BAR, Verdict.ADVICE),
        (80.0, StrandKind.BAR, Verdict.FAIL),
        (77.0, StrandKind.ROD, Verdict.ADVICE),
        (120.0, StrandKind.ROD, None),
    ],
)
def test_wood_is_left_behind_a_blind_housing(depth: float, kind: StrandKind, verdict: Verdict | None) -> None:
    found = housed(depth, kind).get("strand.housing")
    assert (None if found is None else found.verdict) is verdict


def test_bars_housed_at_both_ends_go_in_with_a_newel() -> None:
    assert "still loose" in housed(15.0)["strand.fitting"].text
    assert "strand.fitting" not in housed(0.0)
    assert "strand.fitting" not in housed(15.0, StrandKind.CABLE)
    assert "strand.fitting" not in housed(200.0, StrandKind.ROD)


def test_between_two_standing_newels_one_is_bored_deeper() -> None:
    posts = (
        PostFacts("foot", "post-foot", 700.0, 90.0, 90.0),
        PostFacts("head", "post-head", 3000.0, 90.0, 90.0),
    )
    flight = regular_flight(posts=posts)
    brief = plain_brief(
        flight,
        infill=BARS,
        making=BetweenPosts(15.0),
        bottom=ExistingNewel("foot"),
        top=ExistingNewel("head"),
    )
    found = {f.code: f for f in check_housings(Case(compose(flight, brief, LIMITS), ENGLAND))}
    assert "twice as deep" in found["strand.fitting"].text


def moves(brief: Brief) -> list[Finding]:
    return list(check_panel_movement(Case(compose(FLIGHT, brief, LIMITS), ENGLAND)))


def test_a_wide_panel_of_pine_swells_out_of_its_clearance() -> None:
    """Width times the tangential coefficient times the change of moisture, against twice the edge gap."""
    brief = plain_brief(FLIGHT, infill=PINE, making=GROOVES, season=Season(made=8.0))
    panel = compose(FLIGHT, brief, LIMITS).panels[0]
    assert brief.season is not None
    rate = load_timber("pine-european").movement_tangential
    assert rate is not None
    swollen = across(panel) * rate.value * (brief.season.damp.moisture - 8.0)
    (finding,) = moves(brief)
    assert finding.measured == pytest.approx(swollen)
    assert finding.limit == 4.0
    assert finding.verdict is not Verdict.PASS
    (roomy,) = moves(replace(brief, infill=replace(PINE, edge_gap=9.0)))
    assert roomy.limit == 18.0


def test_without_a_season_solid_panels_are_to_be_left_free() -> None:
    (finding,) = moves(plain_brief(FLIGHT, infill=PINE, making=GROOVES))
    assert finding.verdict is Verdict.ADVICE
    assert "never glued" in finding.text


def test_plywood_and_glass_stand_still() -> None:
    for infill in (replace(PINE, material="birch-plywood"), replace(PINE, kind=PanelKind.GLASS)):
        assert moves(plain_brief(FLIGHT, infill=infill, making=GROOVES)) == []


def test_level_rails_may_stand_further_apart_above_what_is_filled_in() -> None:
    """NF P01-012 (1988), second hand: 180 mm clear between level rails above 450 mm, 110 mm below."""
    rules = load_rule_set("france-nf-p01-012-1988")
    wide = replace(BARS, spacing=SpacingBrief(count=2))
    design = compose(FLIGHT, plain_brief(FLIGHT, infill=wide, making=BetweenPosts()), Limits.of(rules))
    limits = {o.where: o.limit for o in find_openings(design, rules) if o.where.startswith("between")}
    assert limits["between T02 and the handrail"] == 180.0
    assert limits["between the base rail and T01"] == 110.0
