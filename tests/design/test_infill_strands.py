"""Bars, rods and cables laid out: gaps by plain sums, ends by planes. No source is needed but where one is named."""

import math
from dataclasses import replace
from itertools import pairwise

import pytest
from tests.strategies_stairs import HEAD_WALL, LIMITS, newel, plain_brief, regular_flight

from pitchline.catalogue.moisture import Season
from pitchline.design.brief import (
    AtWall,
    BaseBrief,
    BaseSeat,
    Brief,
    FreeEnd,
    Grooved,
    SpacingBrief,
    Spread,
    Station,
    StrandKind,
    StrandsBrief,
)
from pitchline.design.compose import compose
from pitchline.design.makings import BetweenPosts
from pitchline.design.model import Design
from pitchline.kit.errors import ImpossibleDesignError
from pitchline.kit.geometry.frames import dot
from pitchline.kit.tolerances import CABLES_AT_REST
from pitchline.stair.facts import WallFacts

FLIGHT = regular_flight()
BARS = StrandsBrief(StrandKind.BAR, 20.0, 25.0)
CABLES = StrandsBrief(StrandKind.CABLE, 5.0, 5.0, pull=1000.0, material="steel")


def brief_of(infill: StrandsBrief, depth: float = 0.0, **changes: object) -> Brief:
    return plain_brief(FLIGHT, infill=infill, making=BetweenPosts(depth), **changes)


def design_of(infill: StrandsBrief, depth: float = 0.0, **changes: object) -> Design:
    return compose(FLIGHT, brief_of(infill, depth, **changes), LIMITS)


def between_rails(design: Design) -> float:
    """The clear distance between two parallel rails, square to them."""
    return (design.handrail.bottom.z0 - design.base_rail.top.z0) * math.cos(design.handrail.top.angle)


def test_bars_and_gaps_tile_the_space_between_the_rails() -> None:
    design = design_of(BARS)
    gaps = [*(s.gap_below for s in design.strands), design.strands[-1].gap_above]
    assert sum(gaps) + 20.0 * len(design.strands) == pytest.approx(between_rails(design))
    assert max(gaps) - min(gaps) < 1e-9
    assert max(gaps) <= LIMITS.gap - 1.0
    fewer = (between_rails(design) - 20.0 * (len(design.strands) - 1)) / len(design.strands)
    assert fewer > LIMITS.gap - 1.0


def test_bars_are_parallel_to_the_handrail_and_numbered_upwards() -> None:
    design = design_of(BARS)
    assert [s.mark for s in design.strands] == ["T01", "T02", "T03", "T04"]
    assert all(s.line.slope == design.handrail.top.slope for s in design.strands)
    heights = [s.line.z0 for s in design.strands]
    assert heights == sorted(heights)


@pytest.mark.parametrize("depth", [0.0, 15.0])
def test_bars_end_on_the_faces_or_so_deep_behind_them(depth: float) -> None:
    design = design_of(BARS, depth)
    for strand in design.strands:
        assert strand.start.point[0] == pytest.approx(45.0 - depth)
        assert dot(strand.start.normal, (-1.0, 0.0, 0.0)) == pytest.approx(1.0)
        us = [u for u, _ in strand.outline.points]
        assert (min(us), max(us)) == pytest.approx((45.0 - depth, design.bay.finish.point[0] + depth))


def test_rods_end_square_in_their_holes() -> None:
    design = design_of(replace(BARS, kind=StrandKind.ROD, thickness=20.0), 30.0)
    strand = design.strands[0]
    along = strand.line.direction
    assert strand.start.normal == pytest.approx((-along[0], 0.0, -along[1]))
    assert strand.start.point[0] == pytest.approx(45.0 - 30.0 * along[0])


def test_a_rod_never_ends_beyond_the_newel_it_runs_through() -> None:
    strand = design_of(CABLES, 500.0).strands[0]
    assert strand.start.point[0] == pytest.approx(-45.0)


def test_into_a_wall_nothing_is_housed() -> None:
    wall = WallFacts("head", HEAD_WALL, face_height=3000.0, lean_along=0.0, skew=0.0)
    flight = regular_flight(walls=(wall,))
    strand = compose(flight, brief_of(BARS, 15.0, top=AtWall("head")), LIMITS).strands[0]
    assert strand.finish.point[0] == pytest.approx(flight.walls[0].face_u)


def test_gaps_are_kept_where_the_rails_are_furthest_apart() -> None:
    """A string 0.01 flatter than the nosings: the base rail on it leaves most room at the head."""
    string = FLIGHT.string
    assert string is not None
    flatter = replace(string, top=replace(string.top, slope=string.top.slope - 0.01))
    brief = brief_of(BARS, base=BaseBrief(70.0, 30.0, BaseSeat.STRING))
    design = compose(replace(FLIGHT, string=flatter), brief, LIMITS)
    low, lower = design.strands[0], design.base_rail.top
    us = [u for u, _ in design.bay.sight]
    clear = [
        (low.line.offset(-low.depth / 2).at(u) - lower.at(u)) * low.line.direction[0]
        for u in (min(us), max(us))
    ]
    assert max(clear) == pytest.approx(low.gap_below)
    assert min(clear) < low.gap_below - 1.0


def test_wooden_bars_leave_room_for_what_they_shrink() -> None:
    bone_dry = Season(made=18.0)
    gap = design_of(replace(BARS, depth=60.0), season=bone_dry).strands[0].gap_below
    wet = design_of(replace(BARS, depth=60.0)).strands[0].gap_below
    assert gap <= wet


def test_cables_keep_the_gap_of_the_trade_where_no_push_is_named() -> None:
    """About 3 in at rest (common practice, no source)."""
    design = design_of(CABLES)
    assert max(s.gap_below for s in design.strands) <= CABLES_AT_REST
    wider = design_of(replace(CABLES, spacing=SpacingBrief(max_gap=95.0)))
    assert len(wider.strands) < len(design.strands)


def test_cables_leave_room_for_being_pushed_apart() -> None:
    """w = F L / (4 T) each, a little more at such an angle: L 873 mm, F 50 N, T 1000 N give 10.9 mm."""
    design = design_of(replace(CABLES, push=50.0, apart=900.0))
    aside = 50.0 * 873.0 / (4 * 1000.0)
    assert max(s.gap_below for s in design.strands) + 2 * aside <= LIMITS.gap - 1.0
    loose = replace(CABLES, push=200.0)
    with pytest.raises(ImpossibleDesignError, match="pull them harder"):
        design_of(loose)


@pytest.mark.parametrize(
    ("infill", "changes", "words"),
    [
        (BARS, {"top": FreeEnd(Station("N13"))}, "one end is free"),
        (BARS, {"making": Grooved(10.0, 10.0, 6.0)}, "between posts"),
        (replace(BARS, spacing=SpacingBrief(Spread.GROUPS)), {}, "fixed module"),
        (replace(BARS, spacing=SpacingBrief(count=60)), {}, "thicker than"),
    ],
)
def test_what_cannot_be_is_said_in_a_sentence(
    infill: StrandsBrief, changes: dict[str, object], words: str
) -> None:
    brief = replace(brief_of(infill), **changes)  # type: ignore[arg-type]  # the names are the brief's own fields
    with pytest.raises(ImpossibleDesignError, match=words):
        compose(FLIGHT, brief, LIMITS)


def test_without_a_base_rail_the_string_bounds_the_lowest() -> None:
    design = design_of(BARS, base=None)
    assert FLIGHT.string is not None
    low = design.strands[0]
    clear = (low.line.offset(-10.0).z0 - FLIGHT.string.top.z0) * low.line.direction[0]
    assert clear == pytest.approx(low.gap_below)


def test_a_fixed_module_keeps_its_centres() -> None:
    design = design_of(replace(BARS, spacing=SpacingBrief(Spread.MODULE, module=110.0)), bottom=newel("N1"))
    cosine = design.handrail.top.direction[0]
    apart = {round((b.line.z0 - a.line.z0) * cosine, 6) for a, b in pairwise(design.strands)}
    assert apart == {110.0}
