"""Parts of strands and panels, and their housings in newels: plain trigonometry at a pitch of atan(200/225)."""

import math
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.strategies_stairs import LIMITS, plain_brief, regular_flight

from pitchline.design.brief import (
    CutPattern,
    ExistingNewel,
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
from pitchline.kit.geometry.bevels import saw_reading
from pitchline.parts.explode import explode, fixings_of
from pitchline.parts.measure import surface_area, volume
from pitchline.parts.panels import corner_angles
from pitchline.parts.part import Hole, Mortise, Part, Role, RoundBar, Sawn, Taper
from pitchline.solids.solid import part_solid
from pitchline.stair.facts import PostFacts

PITCH = math.atan2(200.0, 225.0)
FLIGHT = regular_flight()
BARS = StrandsBrief(StrandKind.BAR, 20.0, 25.0)
GROOVES = Grooved(12.0, 10.0, 6.0, 0.5)
PANELS = PanelsBrief(PanelKind.SOLID, 12.0, edge_gap=4.0, widest=900.0, joint=6.0)


def design_of(infill: InfillBrief, making: Making, **changes: object) -> Design:
    return compose(FLIGHT, plain_brief(FLIGHT, infill=infill, making=making, **changes), LIMITS)


def of_role(design: Design, role: Role) -> list[Part]:
    return [part for part in explode(design) if part.role is role]


def test_bars_are_parallelograms_cut_plumb_at_both_ends() -> None:
    design = design_of(BARS, BetweenPosts())
    run = design.bay.finish.point[0] - design.bay.start.point[0]
    for bar in of_role(design, Role.STRAND):
        assert (bar.width, bar.thickness) == (25.0, 20.0)
        assert bar.length == pytest.approx(run / math.cos(PITCH) + 20.0 * math.tan(PITCH))
        for cut in (*bar.start_cuts, *bar.finish_cuts):
            reading = saw_reading(cut.normal)
            assert abs(reading.bevel_deg) == pytest.approx(math.degrees(PITCH))
            assert reading.mitre_deg == pytest.approx(0.0, abs=1e-9)
    assert {bar.mark for bar in of_role(design, Role.STRAND)} == {"T-1"}


def test_mortises_for_bars_lie_where_the_bars_are() -> None:
    """A bar 20 mm deep makes a mouth 20/cos p long on a plumb face."""
    design = design_of(BARS, BetweenPosts(15.0, 0.5))
    foot, _ = of_role(design, Role.NEWEL)
    mortises = [feature for feature in foot.features if isinstance(feature, Mortise)]
    assert len(mortises) == len(design.strands)
    for mortise, strand in zip(mortises, design.strands, strict=True):
        assert mortise.at[0] == pytest.approx(strand.line.at(45.0))
        assert mortise.length == pytest.approx(20.0 / math.cos(PITCH) + 0.5)
        assert mortise.width == pytest.approx(25.5)
        assert mortise.depth == 15.0


@pytest.mark.parametrize("depth", [30.0, 500.0])
def test_holes_for_rods_run_along_them(depth: float) -> None:
    rods = StrandsBrief(StrandKind.ROD, 12.0, 12.0)
    design = design_of(rods, BetweenPosts(depth, 1.0))
    foot, head = of_role(design, Role.NEWEL)
    for post, sense in ((foot, -1.0), (head, 1.0)):
        holes = [feature for feature in post.features if isinstance(feature, Hole)]
        assert len(holes) == len(design.strands)
        for hole in holes:
            assert abs(hole.axis[0]) == pytest.approx(math.sin(PITCH))
            assert math.copysign(1.0, hole.axis[0]) == sense
            assert hole.diameter == 13.0
            assert hole.depth == pytest.approx(30.0 if depth == 30.0 else 90.0 / math.cos(PITCH) + 12.0)


def test_rods_are_round_and_square_at_their_ends() -> None:
    design = design_of(StrandsBrief(StrandKind.ROD, 12.0, 12.0), BetweenPosts(30.0))
    run = design.bay.finish.point[0] - design.bay.start.point[0]
    for rod in of_role(design, Role.ROD):
        assert RoundBar(12.0) in rod.features
        assert rod.length == pytest.approx(run / math.cos(PITCH) + 60.0)
        assert volume(rod) == pytest.approx(math.pi * 36.0 * rod.length)


def test_a_newel_that_stands_already_is_no_part() -> None:
    post = PostFacts("head", "post-head", 3000.0, 90.0, 90.0)
    flight = regular_flight(posts=(post,))
    brief = plain_brief(flight, infill=BARS, making=BetweenPosts(15.0), top=ExistingNewel("head"))
    design = compose(flight, brief, LIMITS)
    assert len(of_role(design, Role.NEWEL)) == 1


def test_fittings_and_spacers_are_counted() -> None:
    cables = StrandsBrief(
        StrandKind.CABLE, 5.0, 5.0, SpacingBrief(count=6), pull=1000.0, apart=900.0, material="steel"
    )
    making = BetweenPosts(0.0, 0.0, "swage stud", "M6", "cable spacer")
    fixings = {fixing.what: fixing.quantity for fixing in fixings_of(design_of(cables, making))}
    assert fixings == {"swage stud": 12, "cable spacer": 3}


def test_a_panel_is_the_parallelogram_that_was_drawn() -> None:
    """Its corners read p less and p more than a right angle; its end cuts p from square."""
    design = design_of(PANELS, GROOVES)
    (part, *_) = of_role(design, Role.PANEL)
    (sawn,) = [feature for feature in part.features if isinstance(feature, Sawn)]
    right = math.degrees(PITCH)
    assert sorted(corner_angles(sawn.outline)) == pytest.approx(
        [90 - right, 90 - right, 90 + right, 90 + right]
    )
    assert abs(saw_reading(part.start_cuts[0].normal).mitre_deg) == pytest.approx(right)
    width = max(u for u, _ in design.panels[0].outline.points) - min(
        u for u, _ in design.panels[0].outline.points
    )
    assert part.length == pytest.approx(width / math.cos(PITCH) + part.width * math.tan(PITCH))
    assert {part.mark for part in of_role(design, Role.PANEL)} == {"PN-1"}


def test_a_panel_over_a_string_of_another_pitch_is_tapered() -> None:
    string = FLIGHT.string
    assert string is not None
    flight = replace(FLIGHT, string=replace(string, top=replace(string.top, slope=string.top.slope - 0.02)))
    brief = plain_brief(flight, infill=PANELS, making=Clamped(400.0, 100.0, 30.0), base=None)
    part = next(p for p in explode(compose(flight, brief, LIMITS)) if p.role is Role.PANEL)
    assert any(isinstance(feature, Taper) for feature in part.features)
    (sawn,) = [feature for feature in part.features if isinstance(feature, Sawn)]
    assert part.body.volume == pytest.approx(volume(part))
    assert len(sawn.outline) == 4


@given(st.floats(30.0, 60.0), st.floats(12.0, 30.0))
def test_what_is_sawn_out_is_taken_off_the_wood(side: float, wood: float) -> None:
    """Area less openings times thickness; the faces twice the one, the edges' lengths times the thickness."""
    cell = side + wood
    low, high = wood / 2, wood / 2 + side
    pattern = CutPattern((((low, low), (high, low), (high, high), (low, high)),), cell, cell, margin=25.0)
    design = design_of(replace(PANELS, kind=PanelKind.CUT, pattern=pattern), GROOVES)
    panel, part = design.panels[0], of_role(design, Role.PANEL)[0]
    face = panel.outline.area - len(panel.holes) * side * side
    assert volume(part) == pytest.approx(face * 12.0)
    assert part_solid(part).volume() == pytest.approx(volume(part), rel=1e-6)
    ring = 2 * side + 2 * side / math.cos(PITCH)
    corners = panel.outline.points
    around = sum(math.dist(a, b) for a, b in pairwise((*corners, corners[0])))
    assert surface_area(part) == pytest.approx(2 * face + 12.0 * (around + len(panel.holes) * ring))
