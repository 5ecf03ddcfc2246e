"""What each way of making works into rails and uprights, and the hardware it needs, worked by hand."""

import math
from dataclasses import replace

import pytest
from tests.strategies_stairs import LIMITS, PLAIN_BASE, PLAIN_RAIL, plain_brief, regular_flight
from tests.strategies_treads import GROOVED_HEAD, METAL, cut_flight, per_tread, tread_brief

from pitchline.design.brief import (
    BarFixing,
    BoredMetal,
    Clamped,
    Dowelled,
    Making,
    Mortised,
    PanelKind,
    Shape,
    TreadFoot,
    UprightsBrief,
)
from pitchline.design.compose import compose
from pitchline.design.model import Design, Panel
from pitchline.kit.geometry.outlines import Outline
from pitchline.parts.explode import explode, fixings_of, fixings_of_legs
from pitchline.parts.joints.clamped import ClampedJoint, clamps_along, held_edges
from pitchline.parts.joints.registry import joint_of
from pitchline.parts.measure import feature_words, volume
from pitchline.parts.part import Feature, Hole, Mortise, Part, Role, Tenon
from pitchline.solids.solid import local_solid, overlaps

MORTISED = Mortised(
    rail_depth=25.0, base_depth=12.0, tenon_thickness=20.0, shoulder=5.0, clearance=0.2, end_room=2.0
)
DOWELLED = Dowelled(diameter=10.0, rail_depth=25.0, base_depth=12.0, end_depth=35.0, glue_room=1.0)
STEEP = math.atan2(200.0, 225.0)
"""Pitch of the handbook flight: rise 200, going 225."""


def made(making: Making, infill: UprightsBrief | None = None) -> Design:
    flight = regular_flight()
    brief = plain_brief(flight, making=making)
    return compose(flight, brief if infill is None else replace(brief, infill=infill), LIMITS)


def part_of(design: Design, role: Role, number: int = 0) -> Part:
    return [part for part in explode(design) if part.role is role][number]


def of_kind(part: Part, kind: type[Feature]) -> list[Feature]:
    return [feature for feature in part.features if isinstance(feature, kind)]


def test_a_mortise_for_each_upright_its_walls_along_the_upright() -> None:
    """A tenon 31 mm wide under a rail at the pitch enters through 31.2 / cos(pitch) along the rail."""
    design = made(MORTISED)
    rail = part_of(design, Role.HANDRAIL)
    mortises = of_kind(rail, Mortise)
    assert len(mortises) == len(design.uprights)
    for mortise in mortises:
        assert isinstance(mortise, Mortise)
        assert mortise.length == pytest.approx(31.2 / math.cos(STEEP))
        assert (mortise.width, mortise.depth) == pytest.approx((20.2, 27.0))
        upwards = rail.frame.direction_to_world(mortise.axis)
        assert upwards == pytest.approx((0.0, 0.0, 1.0))


def test_tenons_at_both_ends_with_shoulders_on_the_rails() -> None:
    design = made(MORTISED)
    upright = part_of(design, Role.UPRIGHT, 3)
    tenons = of_kind(upright, Tenon)
    assert len(tenons) == 2
    for tenon in tenons:
        assert isinstance(tenon, Tenon)
        sizes = sorted(high - low for low, high in zip(tenon.low, tenon.high, strict=True))
        assert sizes == pytest.approx([20.0, 31.0])
    reaches = sorted(-t.shoulder.distance((0, 0, 0)) / t.shoulder.normal[0] for t in tenons)  # type: ignore[union-attr]
    plumb = 12.0 / math.cos(STEEP)
    half = 41.0 / 2 * math.tan(STEEP)
    assert reaches[0] == pytest.approx(plumb + half)


def test_a_tenon_as_large_as_the_upright_has_no_shoulders() -> None:
    design = made(replace(MORTISED, tenon_thickness=None, shoulder=0.0))
    assert of_kind(part_of(design, Role.UPRIGHT), Tenon) == []


def test_dowels_go_along_the_upright_into_both() -> None:
    design = made(DOWELLED)
    rail, upright = part_of(design, Role.HANDRAIL), part_of(design, Role.UPRIGHT, 2)
    holes = of_kind(rail, Hole)
    assert len(holes) == len(design.uprights)
    assert {(h.diameter, h.depth) for h in holes if isinstance(h, Hole)} == {(10.0, 26.0)}
    ends = of_kind(upright, Hole)
    assert [h.depth for h in ends if isinstance(h, Hole)] == [36.0, 36.0]
    met = [upright.frame.to_world(h.at) for h in ends if isinstance(h, Hole)]
    mouths = [rail.frame.to_world(h.at) for h in holes if isinstance(h, Hole)]
    top = max(met, key=lambda point: point[2])
    assert min(math.dist(top, mouth) for mouth in mouths) == pytest.approx(0.0, abs=1e-9)


def test_dowels_are_counted_by_the_rail_they_go_into() -> None:
    design = made(DOWELLED)
    count = len(design.uprights)
    rail, base = fixings_of(design)
    assert (rail.quantity, rail.sizes) == (count, (10.0, 60.0))
    assert (base.quantity, base.sizes) == (count, (10.0, 47.0))
    twice = fixings_of_legs((design, design))
    assert [fixing.quantity for fixing in twice] == [2 * count, 2 * count]


def test_metal_bars_end_short_in_the_handrail_and_their_holes_take_resin() -> None:
    """Round bars of 16 mm in holes of 20: the ring takes pi / 4 (400 - 256) mm2 of resin for each mm of bar in it."""
    bars = UprightsBrief(Shape.ROUND, 16.0, 16.0, material="steel")
    making = BoredMetal(rail_depth=30.0, base_depth=12.0, hole=20.0, end_room=8.0)
    design = made(making, bars)
    rail = part_of(design, Role.HANDRAIL)
    slant = 16.0 / 2 * math.tan(STEEP)
    (depth,) = {round(hole.depth, 6) for hole in of_kind(rail, Hole) if isinstance(hole, Hole)}
    assert depth == pytest.approx(30.0 + slant, abs=1e-6)
    (resin,) = fixings_of(design)
    ring = math.pi / 4 * (20.0**2 - 16.0**2)
    deep = (30.0 - 8.0 + slant) + (12.0 + slant)
    assert resin.size == f"{math.ceil(len(design.uprights) * ring * deep / 1000.0)} ml"


def test_shoes_are_two_to_a_bar() -> None:
    bars = UprightsBrief(Shape.RECTANGULAR, 12.0, 12.0, material="steel")
    design = made(BoredMetal(30.0, 12.0, 19.0, 0.0, BarFixing.SHOES, 30.0), bars)
    (shoes,) = fixings_of(design)
    assert (shoes.quantity, shoes.sizes) == (2 * len(design.uprights), (30.0,))


def test_a_bar_wider_across_its_corners_than_its_hole_is_told() -> None:
    """A 16 mm square is 22.6 mm across its corners."""
    bars = UprightsBrief(Shape.RECTANGULAR, 16.0, 16.0, material="steel")
    design = made(BoredMetal(30.0, 12.0, 22.0), bars)
    (told,) = [finding for finding in design.findings if finding.code == "design.bar.hole"]
    assert told.measured == pytest.approx(16.0 * math.sqrt(2.0))


def test_a_dowel_in_each_foot_and_none_in_a_dovetail() -> None:
    flight = cut_flight()
    design = compose(flight, tread_brief(flight), LIMITS)
    foot = part_of(design, Role.UPRIGHT)
    (hole,) = of_kind(foot, Hole)
    assert isinstance(hole, Hole)
    assert hole.at == pytest.approx((0.0, 0.0, 0.0))
    assert hole.axis == pytest.approx((1.0, 0.0, 0.0))
    assert hole.depth == 35.0
    (dowels,) = fixings_of(design)
    assert (dowels.what, dowels.quantity, dowels.sizes) == ("dowel", len(design.uprights), (10.0, 60.0))
    tail = replace(GROOVED_HEAD, foot=TreadFoot.DOVETAIL, depth=18.0, cover=20.0)
    tailed = compose(flight, tread_brief(flight, making=tail), LIMITS)
    (tenon,) = of_kind(part_of(tailed, Role.UPRIGHT), Tenon)
    assert isinstance(tenon, Tenon)
    assert max(tenon.flare) == pytest.approx(1.0 / 6.0)
    assert "dovetail" in " ".join(feature_words(part_of(tailed, Role.UPRIGHT), "{:.0f}".format))
    (nosings,) = fixings_of(tailed)
    assert (nosings.what, nosings.quantity) == ("return nosing", 6)


def test_a_dovetail_lies_in_the_outer_half() -> None:
    flight = cut_flight()
    tail = replace(GROOVED_HEAD, foot=TreadFoot.DOVETAIL, depth=18.0)
    design = compose(flight, tread_brief(flight, making=tail), LIMITS)
    part = part_of(design, Role.UPRIGHT)
    (tenon,) = of_kind(part, Tenon)
    assert isinstance(tenon, Tenon)
    middle = [(low + high) / 2 for low, high in zip(tenon.low, tenon.high, strict=True)]
    world = part.frame.direction_to_world((0.0, middle[0], middle[1]))
    assert world[1] * design.side.towards_stair < 0.0


def test_clamps_along_an_edge() -> None:
    """Over 1000 mm, 100 from the ends and at most 300 apart: 800 / 300 rounded up is 3 spaces, 4 clamps."""
    making = Clamped(apart=300.0, from_end=100.0, bite=12.0)
    assert clamps_along(1000.0, making) == 4
    assert clamps_along(500.0, making) == 2
    assert clamps_along(501.0, making) == 3


def test_clamps_are_counted_on_the_edges_they_hold() -> None:
    corners = ((0.0, 0.0), (600.0, 480.0), (600.0, 1280.0), (0.0, 800.0))
    panel = Panel(
        "G1",
        PanelKind.GLASS,
        Outline(corners, ("base", "finish", "rail", "start")),
        corners,
        (),
        10.0,
        0.0,
        5.0,
        "glass",
    )
    assert list(held_edges(panel, plumb=True)) == pytest.approx([800.0, 800.0])
    assert list(held_edges(panel, plumb=False)) == pytest.approx([math.hypot(600.0, 480.0)] * 2)
    design = replace(made(MORTISED), panels=(panel, panel))
    (clamps,) = ClampedJoint(Clamped(400.0, 100.0, 12.0)).fixings(design)
    assert clamps.quantity == 2 * 2 * 3


@pytest.mark.parametrize("making", [MORTISED, DOWELLED])
def test_pieces_are_as_heavy_as_their_solids_and_share_no_wood(making: Making) -> None:
    """The solid modeller is the oracle for what mortises, tenons and dowel holes take away."""
    parts = explode(made(making))
    for part in parts:
        solid = local_solid(part, segments=512).volume()
        assert volume(part) == pytest.approx(solid, rel=2e-4), part.place
    assert overlaps(parts) == ()


def test_dovetails_are_as_heavy_as_their_solids() -> None:
    flight = cut_flight()
    tail = replace(GROOVED_HEAD, foot=TreadFoot.DOVETAIL, depth=18.0)
    design = compose(flight, tread_brief(flight, making=tail), LIMITS)
    for part in explode(design):
        assert volume(part) == pytest.approx(local_solid(part).volume(), rel=2e-4), part.place


def test_each_way_of_making_has_its_joint() -> None:
    for making in (MORTISED, DOWELLED, METAL, GROOVED_HEAD, Clamped(300.0, 100.0, 12.0)):
        assert joint_of(making).making == making  # type: ignore[attr-defined]  # every joint keeps its making


def test_thin_ends_are_told() -> None:
    thin = UprightsBrief(Shape.RECTANGULAR, 20.0, 20.0)
    codes = {finding.code for finding in made(replace(DOWELLED, diameter=12.0), thin).findings}
    assert "design.upright.thin" in codes
    codes = {finding.code for finding in made(replace(MORTISED, shoulder=8.0), thin).findings}
    assert "design.upright.thin" in codes


def test_a_mortise_too_deep_for_its_rail_is_told() -> None:
    """A base rail 30 mm deep, a mortise of 12 + 2: 16 left; with 28 + 2, none."""
    assert PLAIN_BASE.depth == 30.0
    assert PLAIN_RAIL.depth == 59.0
    fine = {finding.where for finding in made(MORTISED).findings if finding.code == "design.section.thin"}
    assert fine == set()
    deep = [f for f in made(replace(MORTISED, base_depth=28.0)).findings if f.code == "design.section.thin"]
    assert [finding.where for finding in deep] == ["A: base rail"]
    assert deep[0].measured == pytest.approx(0.0)


def test_per_tread_uprights_are_spread_whatever_their_making() -> None:
    flight = cut_flight()
    for making, infill in ((METAL, per_tread(width=14.0)), (GROOVED_HEAD, per_tread())):
        design = compose(flight, tread_brief(flight, making=making, infill=infill), LIMITS)
        assert overlaps(explode(design)) == ()
