"""Openings between strands and around panels: balls by closed forms, names, remedies that hold, rungs to climb.

The largest circle between two pairs of parallel lines is as wide as the narrower pair (elementary geometry).
"""

import math
from dataclasses import replace

import pytest
from tests.builders import ENGLAND, with_figure
from tests.strategies_stairs import LIMITS, newel, plain_brief, regular_flight

from pitchline.catalogue.rules import load_rule_set
from pitchline.checks.case import Case
from pitchline.checks.climbing import check_climbing
from pitchline.checks.infill_remedies import member_name
from pitchline.checks.ledges import ledges_of
from pitchline.checks.openings import Opening, find_openings
from pitchline.checks.panels import check_panels, thinnest_bridge
from pitchline.checks.run import check
from pitchline.design.brief import (
    CutPattern,
    Grooved,
    InfillBrief,
    PanelKind,
    PanelsBrief,
    SpacingBrief,
    StrandKind,
    StrandsBrief,
)
from pitchline.design.compose import compose
from pitchline.design.makings import BetweenPosts, Clamped, Making
from pitchline.design.model import Design
from pitchline.kit.finding import Finding, Verdict

FLIGHT = regular_flight()
PITCH = math.atan2(200.0, 225.0)
BARS = StrandsBrief(StrandKind.BAR, 20.0, 20.0)
PANELS = PanelsBrief(PanelKind.SOLID, 12.0, edge_gap=4.0, widest=900.0, joint=6.0)
GROOVES = Grooved(12.0, 10.0, 6.0, 0.5)


def design_of(infill: InfillBrief, making: Making | None = None, **changes: object) -> Design:
    usual: Making = GROOVES if isinstance(infill, PanelsBrief) else BetweenPosts()
    return compose(FLIGHT, plain_brief(FLIGHT, infill=infill, making=making or usual, **changes), LIMITS)


def named(openings: tuple[Opening, ...], where: str) -> Opening:
    return next(opening for opening in openings if opening.where == where)


def test_between_strands_a_ball_is_as_large_as_the_gap_square_to_them() -> None:
    design = design_of(BARS)
    openings = find_openings(design, ENGLAND)
    assert [o.where for o in openings][:3] == [
        "between the base rail and T01",
        "between T01 and T02",
        "between T02 and T03",
    ]
    for opening, strand in zip(openings, design.strands, strict=False):
        assert opening.ball.diameter == pytest.approx(strand.gap_below, abs=0.01)
        assert opening.expanded == 0.0


def test_a_short_bay_is_narrower_than_its_gaps() -> None:
    """Between two newels 60 mm apart a ball of 60 mm passes, however wide the gaps are."""
    flight = regular_flight(3)
    brief = plain_brief(
        flight,
        infill=replace(BARS, spacing=SpacingBrief(count=2)),
        making=BetweenPosts(),
        top=newel("N1", offset=150.0),
    )
    design = compose(flight, brief, LIMITS)
    wide = [o.ball.diameter for o in find_openings(design, ENGLAND) if o.where.startswith("between T")]
    assert max(wide) == pytest.approx(60.0, abs=0.01)


def test_slots_and_joints_are_balled() -> None:
    """A plumb slot 60 mm wide with raking ends far apart: 60 mm. A joint of 6 mm: 6 mm."""
    design = design_of(replace(PANELS, kind=PanelKind.SLATTED, slat=40.0, slot=60.0))
    openings = find_openings(design, ENGLAND)
    assert named(openings, "through PN02").ball.diameter == pytest.approx(60.0, abs=0.01)
    assert named(openings, "between PN01 and PN02").ball.diameter == pytest.approx(6.0, abs=0.01)
    assert named(openings, "between P1 and PN01").ball.diameter == pytest.approx(4.0, abs=0.01)
    assert named(openings, "between PN03 and P2").ball.diameter == pytest.approx(4.0, abs=0.01)


def test_a_sheared_square_lets_a_smaller_ball_through() -> None:
    """A square of 50 mm sheared along a rake p has one pair of sides 50 mm apart, the other 50 cos p."""
    outline = ((10.0, 10.0), (60.0, 10.0), (60.0, 60.0), (10.0, 60.0))
    pattern = CutPattern((outline,), 70.0, 70.0, margin=30.0)
    openings = find_openings(design_of(replace(PANELS, kind=PanelKind.CUT, pattern=pattern)), ENGLAND)
    through = [o.ball.diameter for o in openings if o.where.startswith("through")]
    assert through == pytest.approx([50.0 * math.cos(PITCH)] * len(through), abs=0.01)


def test_around_clamped_panels_everything_is_one_opening() -> None:
    design = design_of(replace(PANELS, kind=PanelKind.GLASS, edge_gap=20.0), Clamped(400.0, 100.0, 30.0))
    around = named(find_openings(design, ENGLAND), "around PN01 to PN03")
    assert len(around.islands) == 3
    assert around.ball.diameter >= 20.0


def worst(design: Design, code: str = "opening.stair", limit: float = 100.0) -> Finding:
    rules = with_figure(ENGLAND, "opening.general", limit)
    return next(f for f in check(design, rules).findings if f.code == code)


def test_the_bars_that_are_missing_are_counted() -> None:
    design = design_of(replace(BARS, spacing=SpacingBrief(count=2)))
    finding = worst(design)
    assert finding.verdict is Verdict.FAIL
    assert finding.remedy == "add 2 bars (4 in all)"
    assert worst(design_of(replace(BARS, spacing=SpacingBrief(count=4)))).verdict is Verdict.PASS
    assert worst(design_of(replace(BARS, spacing=SpacingBrief(count=3)))).verdict is Verdict.FAIL


@pytest.mark.parametrize(
    ("infill", "making", "words"),
    [
        (replace(PANELS, kind=PanelKind.SLATTED, slat=40.0, slot=120.0), None, "make the slots narrower"),
        (replace(PANELS, joint=130.0, widest=500.0), None, "make the gap there smaller"),
    ],
)
def test_wide_slots_and_joints_have_their_remedy(
    infill: PanelsBrief, making: Making | None, words: str
) -> None:
    finding = worst(design_of(infill, making))
    assert finding.verdict is Verdict.FAIL
    assert finding.remedy is not None
    assert words in finding.remedy


def test_a_large_pattern_has_its_remedy() -> None:
    outline = ((10.0, 10.0), (260.0, 10.0), (260.0, 160.0), (10.0, 160.0))
    pattern = CutPattern((outline,), 270.0, 170.0, margin=30.0)
    finding = worst(design_of(replace(PANELS, kind=PanelKind.CUT, pattern=pattern)))
    assert finding.remedy is not None
    assert "draw the openings of the pattern smaller" in finding.remedy


def test_under_the_lowest_strand_of_an_open_stair_only_a_rail_helps() -> None:
    open_stair = replace(FLIGHT, string=None)
    brief = plain_brief(open_stair, infill=BARS, making=BetweenPosts(), base=None)
    finding = next(
        f for f in check(compose(open_stair, brief, LIMITS), ENGLAND).findings if f.code == "opening.stair"
    )
    assert finding.verdict is Verdict.FAIL
    assert finding.remedy is not None
    assert "string or a base rail" in finding.remedy


@pytest.mark.parametrize(
    ("infill", "name"), [(BARS, "bar"), (PANELS, "panel"), (StrandsBrief(StrandKind.ROD, 9.0, 9.0), "rod")]
)
def test_what_the_infill_is_made_of(infill: InfillBrief, name: str) -> None:
    assert member_name(design_of(infill)) == name


def test_strands_are_rungs_however_thin() -> None:
    cables = StrandsBrief(StrandKind.CABLE, 5.0, 5.0, pull=1000.0, material="steel")
    rungs = [ledge for ledge in ledges_of(design_of(cables)) if ledge.rung]
    assert len(rungs) == len(design_of(cables).strands)
    zone = load_rule_set("canada-nbc-2020")
    deep = replace(FLIGHT, below=6000.0)
    brief = plain_brief(deep, infill=cables, making=BetweenPosts())
    found = next(
        f for f in check_climbing(Case(compose(deep, brief, LIMITS), zone)) if f.code == "climb.zone"
    )
    assert found.verdict is Verdict.FAIL
    assert found.remedy is not None
    assert "stand upright" in found.remedy


def test_strands_too_close_for_a_foot_are_no_rungs() -> None:
    close = replace(BARS, spacing=SpacingBrief(max_gap=40.0))
    assert not [ledge for ledge in ledges_of(design_of(close)) if ledge.rung]


def test_openings_of_a_panel_hold_a_foot_where_it_goes_in() -> None:
    small = CutPattern((((10.0, 10.0), (50.0, 10.0), (50.0, 50.0), (10.0, 50.0)),), 60.0, 60.0, margin=30.0)
    large = replace(
        small, outlines=(((5.0, 5.0), (95.0, 5.0), (95.0, 85.0), (5.0, 85.0)),), width=110.0, height=110.0
    )
    for pattern, climbed in ((small, False), (large, True)):
        design = design_of(replace(PANELS, kind=PanelKind.CUT, pattern=pattern))
        assert any(ledge.rung for ledge in ledges_of(design)) is climbed
    slots = design_of(replace(PANELS, kind=PanelKind.SLATTED, slat=40.0, slot=60.0))
    assert not any(ledge.rung for ledge in ledges_of(slots))


def test_thin_bridges_are_told() -> None:
    """Squares of 50 mm in a repeat of 56, sheared: 6 mm of wood between them level, 6 cos p along the rake."""
    outline = ((3.0, 3.0), (53.0, 3.0), (53.0, 53.0), (3.0, 53.0))
    pattern = CutPattern((outline,), 56.0, 56.0, margin=30.0)
    design = design_of(replace(PANELS, kind=PanelKind.CUT, pattern=pattern))
    bridge = 6.0 * math.cos(PITCH)
    assert thinnest_bridge(design.panels[0]) == pytest.approx(bridge)
    found = {f.code: f for f in check_panels(Case(design, ENGLAND))}
    assert found["panel.bridge"].measured == pytest.approx(bridge)
    assert found["panel.pattern"].verdict is Verdict.REPORT
    assert thinnest_bridge(design_of(PANELS).panels[0]) is None


def test_glass_is_left_to_the_glazier() -> None:
    design = design_of(replace(PANELS, kind=PanelKind.GLASS, edge_gap=20.0), Clamped(400.0, 100.0, 30.0))
    (finding,) = check_panels(Case(design, ENGLAND))
    assert finding.verdict is Verdict.ADVICE
    assert "template" in finding.text
    assert "BS 6180" in finding.text
