"""Laws that every laid-out balustrade obeys, on irregular stairs with leaning newels and walls."""

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog
from tests.strategies_stairs import (
    LIMITS,
    PLAIN_BASE,
    Sizes,
    cases,
    flight_of,
    flights,
    plain_brief,
    stair_sizes,
)

from pitchline.design.bay import Trace
from pitchline.design.brief import (
    BaseSeat,
    Bored,
    Brief,
    Centred,
    Grooved,
    SpacingBrief,
    Spread,
    Stacked,
)
from pitchline.design.compose import compose
from pitchline.design.infill.uprights import Axes
from pitchline.design.model import Design
from pitchline.design.rails import line_of_most_margin
from pitchline.design.spacing import Run, lay_out
from pitchline.kit.errors import ImpossibleDesignError
from pitchline.kit.geometry.frames import Plane
from pitchline.kit.geometry.lines import Line
from pitchline.kit.tolerances import TILING
from pitchline.parts.bands import band_outlines, bands
from pitchline.parts.explode import explode
from pitchline.parts.part import Part, Role
from pitchline.stair.model import Flight, Side
from pitchline.stair.pitch import fitted_line, support_line, upper_hull

few = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
RAIL_ROLES = (Role.HANDRAIL, Role.BASE, Role.RAIL_STRIP, Role.BASE_STRIP, Role.RAIL_CHEEK, Role.BASE_CHEEK)


def composed(case: tuple[Flight, Brief]) -> Design:
    flight, brief = case
    try:
        return compose(flight, brief, LIMITS)
    except ImpossibleDesignError:
        assume(False)
        raise


def exploded(case: tuple[Flight, Brief]) -> tuple[Design, tuple[Part, ...]]:
    design = composed(case)
    return design, explode(design)


def fits(design: Design) -> bool:
    return all(finding.code != "design.spacing.room" for finding in design.findings)


def inside(points: tuple[tuple[float, float], ...], outline: tuple[tuple[float, float], ...]) -> float:
    """How far the worst point stands outside a convex anticlockwise outline, mm."""
    worst = -math.inf
    for (au, az), (bu, bz) in pairwise((*outline, outline[0])):
        size = math.hypot(bu - au, bz - az)
        if size == 0.0:
            continue
        worst = max(worst, *(((u - au) * (bz - az) - (z - az) * (bu - au)) / size for u, z in points))
    return worst


@few
@given(cases())
def test_uprights_and_gaps_tile_the_run(case: tuple[Flight, Brief]) -> None:
    design = composed(case)
    assume(design.uprights)
    pieces = design.uprights
    total = sum(piece.width + piece.gap_after for piece in pieces) + pieces[0].gap_before
    assert abs(total - design.bay.run) <= TILING
    axes = Axes.of(pieces[0].lean)
    for a, b in pairwise(pieces):
        assert abs(a.gap_after - b.gap_before) <= TILING
        assert abs(axes.s(b.foot) - axes.s(a.foot) - a.gap_after - (a.width + b.width) / 2) <= TILING


@few
@given(cases(count=False, module=False))
def test_no_gap_passes_the_limit_and_one_upright_fewer_would(case: tuple[Flight, Brief]) -> None:
    design = composed(case)
    brief = design.brief
    wish = brief.uprights.spacing
    limit = min(LIMITS.gap - brief.build_tolerance, wish.max_gap or math.inf)
    neck = brief.uprights.width - brief.uprights.narrowest
    pieces = design.uprights
    assume(pieces)
    for a, b in pairwise(pieces):
        assert a.gap_after + neck <= limit + TILING
        assert b.gap_before + neck <= limit + TILING
    ends = [pieces[0].gap_before, pieces[-1].gap_after]
    assert max(ends) + neck / 2 <= limit + TILING
    closed = int(design.bay.closed_start) + int(design.bay.closed_finish)
    share = 0.5 if wish.spread is Spread.HALF_ENDS else 1.0
    run = Run(
        design.bay.run,
        brief.uprights.width,
        brief.uprights.narrowest,
        design.bay.closed_start,
        design.bay.closed_finish,
    )
    fewer = len(lay_out(run, LIMITS.gap - brief.build_tolerance, wish).centres) - 1
    gaps = fewer - 1 + share * closed
    if fewer >= 2 and gaps > 0:
        assert (design.bay.run - fewer * brief.uprights.width) / gaps + neck > limit
    elif fewer == 1 and closed:
        assert (design.bay.run - brief.uprights.width) / closed + neck > limit


@few
@given(cases(plumb=True, count=False, module=False))
def test_the_limit_holds_at_the_widest_place_of_a_wedge(case: tuple[Flight, Brief]) -> None:
    """Between a leaning newel and a plumb upright the gap is a wedge: every corner of the bay is tried."""
    design = composed(case)
    assume(design.uprights and fits(design))
    first, last = design.uprights[0], design.uprights[-1]
    base_start, base_finish, rail_finish, rail_start = design.bay.sight
    brief = design.brief
    allowed = min(LIMITS.gap - brief.build_tolerance, brief.uprights.spacing.max_gap or math.inf)
    share = 0.5 if brief.uprights.spacing.spread is Spread.HALF_ENDS else 1.0
    for u, _ in (base_start, rail_start):
        reach = first.foot[0] - first.width / 2 - u
        assert reach <= max(allowed * share, allowed if len(design.uprights) == 1 else 0.0) + TILING
    for u, _ in (base_finish, rail_finish):
        reach = u - last.foot[0] - last.width / 2
        assert reach <= max(allowed * share, allowed if len(design.uprights) == 1 else 0.0) + TILING


@few
@given(cases(count=False), st.sampled_from(list(Centred)), st.integers(60, 139))
def test_a_fixed_module_is_kept_and_its_ends_are_equal(
    case: tuple[Flight, Brief], centred: Centred, module: int
) -> None:
    flight, brief = case
    spacing = SpacingBrief(Spread.MODULE, module=float(module), centred=centred)
    design = composed((flight, replace(brief, infill=replace(brief.uprights, spacing=spacing))))
    assume(fits(design) and len(design.uprights) > 1)
    axes = Axes.of(design.uprights[0].lean)
    for a, b in pairwise(design.uprights):
        steps = (axes.s(b.foot) - axes.s(a.foot)) / module
        assert abs(steps - 1.0) * module <= TILING
    ends = (design.uprights[0].gap_before, design.uprights[-1].gap_after)
    if design.bay.closed_start == design.bay.closed_finish:
        assert abs(ends[0] - ends[1]) <= TILING or any(
            piece.outline.edge("start") or piece.outline.edge("finish") for piece in design.uprights
        )
    told = [finding for finding in design.findings if finding.code == "design.spacing.end"]
    neck = (brief.uprights.width - brief.uprights.narrowest) / 2
    if max(ends) + neck > LIMITS.gap - brief.build_tolerance + TILING and not design.uprights[0].lean:
        assert told


@few
@given(cases(count=False, module=False))
def test_half_gaps_are_half(case: tuple[Flight, Brief]) -> None:
    flight, brief = case
    spacing = SpacingBrief(Spread.HALF_ENDS)
    design = composed((flight, replace(brief, infill=replace(brief.uprights, spacing=spacing))))
    pieces = design.uprights
    assume(len(pieces) > 2)
    inner = pieces[1].gap_after
    for closed, end in (
        (design.bay.closed_start, pieces[0].gap_before),
        (design.bay.closed_finish, pieces[-1].gap_after),
    ):
        assert abs(end - (inner / 2 if closed else 0.0)) <= TILING


@few
@given(flights(), st.floats(880, 920), st.floats(5, 120))
def test_the_rail_has_the_most_margin_a_line_can_have(flight: Flight, low: float, window: float) -> None:
    """The same linear programme by a general solver: variables a, b and the margin."""
    points = np.array(flight.nosings)
    high = low + window
    line, margin = line_of_most_margin(points, low, high)
    u, z = points.T
    ones = np.ones_like(u)
    metres = u / 1000.0
    above = np.column_stack((-ones, -metres, ones))
    below = np.column_stack((ones, metres, ones))
    solved = linprog(
        [0.0, 0.0, -1.0],
        A_ub=np.vstack((above, below)),
        b_ub=np.concatenate((-(z + low), z + high)),
        bounds=[(None, None)] * 3,
        method="highs",
    )
    assert solved.x is not None
    assert margin == pytest.approx(float(solved.x[2]), abs=1e-6)
    heights = line.z0 + line.slope * u - z
    assert min(*(heights - low), *(high - heights)) == pytest.approx(margin, abs=1e-6)


@few
@given(stair_sizes(string=False), st.floats(-2000, 2000))
def test_lifting_the_whole_stair_changes_nothing_but_heights(sizes: Sizes, lift: float) -> None:
    points = np.array(sizes.nosings)
    line, margin = line_of_most_margin(points, 900.0, 1000.0)
    lifted, same = line_of_most_margin(points + np.array((0.0, lift)), 900.0, 1000.0)
    assert same == pytest.approx(margin, abs=1e-6)
    for u, _ in sizes.nosings:
        assert lifted.at(u) - line.at(u) == pytest.approx(lift, abs=1e-6)


def _lifted(flight: Flight, lift: float) -> Flight:
    """The flight, everything on it higher by ``lift``: its first rise has grown."""
    string = flight.string
    return replace(
        flight,
        nosings=tuple((u, z + lift) for u, z in flight.nosings),
        string=None if string is None else replace(string, top=string.top.raised(lift)),
        posts=tuple(replace(post, face_z=post.face_z + lift) for post in flight.posts),
        walls=tuple(replace(wall, face_z=wall.face_z + lift) for wall in flight.walls),
    )


@few
@given(cases(), st.floats(-60, 60))
def test_a_higher_stair_gets_the_same_balustrade_higher_up(case: tuple[Flight, Brief], lift: float) -> None:
    flight, brief = case
    low = composed(case)
    high = composed((_lifted(flight, lift), brief))
    assert len(low.uprights) == len(high.uprights)
    for a, b in zip(low.uprights, high.uprights, strict=True):
        for (au, az), (bu, bz) in zip(a.outline.points, b.outline.points, strict=True):
            assert bu == pytest.approx(au, abs=1e-6)
            assert bz - az == pytest.approx(lift, abs=1e-6)


def _mirrored(flight: Flight, brief: Brief) -> tuple[Flight, Brief]:
    """The stair in a mirror along the edge: the other side is guarded, twists and skews turn the other way."""
    other = Side.LEFT if brief.side is Side.RIGHT else Side.RIGHT
    turned = replace(
        flight,
        posts=tuple(replace(post, twist=-post.twist) for post in flight.posts),
        walls=tuple(replace(wall, skew=-wall.skew) for wall in flight.walls),
    )
    return turned, replace(brief, side=other)


@few
@given(cases())
def test_a_mirrored_stair_gets_the_mirrored_balustrade(case: tuple[Flight, Brief]) -> None:
    design = composed(case)
    mirror = composed(_mirrored(*case))
    assert [f.code for f in mirror.findings] == [f.code for f in design.findings]
    for a, b in zip(design.uprights, mirror.uprights, strict=True):
        assert b.y == pytest.approx(-a.y, abs=1e-9)
        np.testing.assert_allclose(b.outline.points, a.outline.points, atol=1e-6)
        assert a.outline.labels == b.outline.labels
    for bar, twin in zip(design.bars, mirror.bars, strict=True):
        assert (bar.top, bar.bottom) == (twin.top, twin.bottom)
        for plane, image in ((bar.start, twin.start), (bar.finish, twin.finish)):
            nu, ny, nz = plane.normal
            np.testing.assert_allclose(image.normal, (nu, -ny, nz), atol=1e-9)
    lengths = sorted(part.length for part in explode(design))
    np.testing.assert_allclose(sorted(part.length for part in explode(mirror)), lengths, atol=1e-6)


@few
@given(cases())
def test_outlines_lie_in_the_full_field_and_say_truly_what_they_meet(case: tuple[Flight, Brief]) -> None:
    design = composed(case)
    full = design.bay.full
    base, rail = design.base_rail.seat, design.handrail.seat
    assert base is not None
    assert rail is not None
    ends = {
        "start": Trace.of(design.bay.start, _y(design)),
        "finish": Trace.of(design.bay.finish, _y(design)),
    }
    for piece in design.uprights:
        axes = Axes.of(piece.lean)
        sides = {"left": -piece.width / 2, "right": piece.width / 2}
        if not isinstance(design.making, Bored):
            assert inside(piece.outline.points, full.points) <= 1e-6
        assert inside(piece.sight, _run_on(design)) <= 1e-6
        for label in piece.outline.labels:
            edge = piece.outline.edge(label)
            assert edge is not None
            if label in sides:
                for point in edge:
                    assert axes.s(point) - axes.s(piece.foot) == pytest.approx(sides[str(label)], abs=1e-6)
            elif label in ends:
                trace = ends[str(label)]
                for u, z in edge:
                    du, dz = u - trace.point[0], z - trace.point[1]
                    assert abs(du * trace.direction[1] - dz * trace.direction[0]) <= 1e-6
            elif not isinstance(design.making, Bored):
                line = base if label == "base" else rail
                assert all(abs(z - line.at(u)) <= 1e-6 for u, z in edge)


def _y(design: Design) -> float:
    return design.uprights[0].y if design.uprights else 0.0


def _run_on(design: Design) -> tuple[tuple[float, float], ...]:
    """The field seen, run on past free ends by ten metres."""
    a, b, c, d = design.bay.sight
    start = (-1e4, -1e4) if not design.bay.closed_start else (a[0], d[0])
    finish = (1e4, 1e4) if not design.bay.closed_finish else (b[0], c[0])
    base, rail = design.base_rail.face, design.handrail.face
    return (base.point(start[0]), base.point(finish[0]), rail.point(finish[1]), rail.point(start[1]))


@few
@given(cases())
def test_a_free_end_cuts_no_upright(case: tuple[Flight, Brief]) -> None:
    design = composed(case)
    for closed, label in ((design.bay.closed_start, "start"), (design.bay.closed_finish, "finish")):
        if not closed:
            assert all(piece.outline.edge(label) is None for piece in design.uprights)


@few
@given(cases(plumb=True))
def test_plumb_uprights_on_a_packed_base_rail_have_one_length(case: tuple[Flight, Brief]) -> None:
    flight, brief = case
    assume(flight.string is not None)
    packed = replace(brief, base=replace(brief.base_rail, seat=BaseSeat.PACKED))
    design, parts = exploded((flight, packed))
    assert design.handrail.top.slope == design.base_rail.top.slope
    whole = {
        piece.mark
        for piece in design.uprights
        if set(piece.outline.labels) == {"base", "right", "rail", "left"}
    }
    lengths = [part.length for part in parts if part.place in whole]
    assume(lengths)
    assert max(lengths) - min(lengths) <= 1e-6


@few
@given(cases())
def test_a_packer_is_as_thin_as_asked_at_its_thin_end_and_never_thinner(case: tuple[Flight, Brief]) -> None:
    flight, brief = case
    assume(flight.string is not None)
    design = composed(
        (flight, replace(brief, base=replace(brief.base_rail, seat=BaseSeat.PACKED, least_packing=4.0)))
    )
    assert design.packer is not None
    assert flight.string is not None
    ends = [
        Trace.of(plane, 0.0).meets(flight.string.top)[0]
        for plane in (design.packer.start, design.packer.finish)
    ]
    thicknesses = [design.packer.top.at(u) - design.packer.bottom.at(u) for u in ends]
    assert min(thicknesses) == pytest.approx(4.0, abs=1e-9)


@few
@given(cases())
def test_a_clear_base_rail_keeps_its_clearance_at_the_proudest_nosing(case: tuple[Flight, Brief]) -> None:
    flight, brief = case
    clear = replace(brief, base=replace(brief.base_rail, seat=BaseSeat.CLEAR, clearance=37.0))
    design = composed((flight, clear))
    clearances = [design.base_rail.bottom.at(u) - z for u, z in flight.nosings]
    assert min(clearances) == pytest.approx(37.0, abs=1e-9)


@few
@given(cases())
def test_rails_touch_what_stands_at_their_ends(case: tuple[Flight, Brief]) -> None:
    """In space: the end faces of every raking part lie in the true planes of the posts, walls and free ends."""
    design, parts = exploded(case)
    planes = (design.handrail.start, design.handrail.finish)
    by_role = [part for part in parts if part.role in RAIL_ROLES]
    assert by_role
    for part in by_role:
        for cuts, plane in ((part.start_cuts, planes[0]), (part.finish_cuts, planes[1])):
            assert len(cuts) == 1
            face = part.frame.plane_to_world(cuts[0])
            np.testing.assert_allclose(face.normal, plane.normal, atol=1e-9)
            assert abs(plane.distance(face.point)) <= 1e-6
        corners = [part.frame.to_world(corner) for corner in part.body.corners]
        for plane in planes:
            distances = [plane.distance(corner) for corner in corners]
            assert sum(abs(d) <= 1e-6 for d in distances) == 4
            assert max(distances) <= 1e-6
    for post, plane in zip(_faces(design), planes, strict=True):
        if post is not None:
            assert abs(abs(np.dot(post.normal, plane.normal)) - 1.0) <= 1e-12


def _faces(design: Design) -> list[Plane | None]:
    return (
        [None, None]
        if len(design.posts) < 2
        else [
            design.posts[0].face(towards_head=True),
            design.posts[1].face(towards_head=False),
        ]
    )


@few
@given(cases())
def test_every_part_is_as_long_as_its_body_and_stays_in_the_bay(case: tuple[Flight, Brief]) -> None:
    _, parts = exploded(case)
    assert len({part.place for part in parts}) == len(parts)
    for part in parts:
        assert part.body.long_length == pytest.approx(part.length, abs=1e-6)
        assert part.width >= part.thickness > 0


@few
@given(cases())
def test_uprights_are_as_long_as_their_outlines(case: tuple[Flight, Brief]) -> None:
    """A part and its outline agree where both ends are square to the elevation."""
    design, parts = exploded(case)
    by_place = {part.place: part for part in parts}
    for piece in design.uprights:
        if {"start", "finish"} & set(piece.outline.labels):
            continue
        axes = Axes.of(piece.lean)
        reach = [axes.t(point) for point in piece.outline.points]
        assert by_place[piece.mark].length == pytest.approx(max(reach) - min(reach), abs=1e-6)
        centre = by_place[piece.mark].frame.origin
        assert centre[1] == pytest.approx(piece.y, abs=1e-9)


@few
@given(cases(count=False, module=False))
def test_fillets_and_uprights_fill_each_rail_from_end_to_end(case: tuple[Flight, Brief]) -> None:
    """Along the seat of a rail, what lies in it adds up to its length, the end play of each fillet apart."""
    design = composed(case)
    assume(isinstance(design.making, Grooved | Stacked) and design.uprights and fits(design))
    assert isinstance(design.making, Grooved | Stacked)
    for band in bands(design):
        line = Line(band.low.z0, band.low.slope).offset(
            (band.high.z0 - band.low.z0) * band.low.direction[0] / 2
        )
        covered = sum(_chord(outline.points, line) for outline in band_outlines(design, band))
        label = "rail" if band.bar is design.handrail else "base"
        housed = [piece for piece in design.uprights if piece.outline.edge(label)]
        if not housed or any({"start", "finish"} & set(piece.outline.labels) for piece in housed):
            continue
        wood = sum(piece.width / math.cos(piece.lean + line.angle) for piece in housed)
        play = band.end_play * len(housed) / math.cos(housed[0].lean + line.angle)
        y = sum(y for _, y in band.layers) / len(band.layers)
        ends = [Trace.of(plane, y).meets(line)[0] for plane in (band.bar.start, band.bar.finish)]
        length = (ends[1] - ends[0]) / math.cos(line.angle)
        assert covered + wood + play == pytest.approx(length, abs=2.5)
        assert covered + wood + play <= length + 1.0


def _chord(points: tuple[tuple[float, float], ...], line: Line) -> float:
    """How much of a line lies within an outline."""
    us = []
    for a, b in pairwise((*points, points[0])):
        da, db = a[1] - line.at(a[0]), b[1] - line.at(b[0])
        if da * db < 0.0:
            us.append(a[0] + (b[0] - a[0]) * da / (da - db))
        elif da == 0.0:
            us.append(a[0])
    return 0.0 if len(us) < 2 else (max(us) - min(us)) / math.cos(line.angle)


@few
@given(flights())
def test_the_three_lines_of_a_flight(flight: Flight) -> None:
    """The support line leaves no nosing above it; the fitted line is numpy's; hull corners are nosings."""
    nosings = flight.nosings
    support = support_line(nosings)
    assert max(z - support.at(u) for u, z in nosings) <= 1e-6
    assert set(upper_hull(nosings)) <= set(nosings)
    u, z = np.array(nosings).T
    slope, height = np.polyfit(u / 1000.0, z, 1)
    fitted = fitted_line(nosings)
    assert fitted.slope == pytest.approx(slope / 1000.0, abs=1e-9)
    assert fitted.z0 == pytest.approx(height, abs=1e-5)


@few
@given(stair_sizes(2, 2), st.sampled_from(list(Side)))
def test_the_smallest_flights_work(sizes: Sizes, side: Side) -> None:
    flight = flight_of(sizes)
    base = replace(PLAIN_BASE, seat=BaseSeat.CLEAR, clearance=30.0)
    design = compose(flight, plain_brief(flight, side=side, base=base), LIMITS)
    assert len(design.uprights) >= 1
    assert explode(design)
