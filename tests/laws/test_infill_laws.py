"""The contract that every kind of infill keeps, on irregular stairs with leaning and twisted ends.

No ball over the limit where the program chose the count; pieces inside the bay; a mirrored stair gets the mirrored
infill; parts that share no wood; members and openings add up to the bay. Elementary geometry; no source is needed.
"""

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from shapely.geometry import MultiPolygon, Polygon
from tests.builders import ENGLAND
from tests.strategies_infill import KINDS
from tests.strategies_stairs import LIMITS, flights

from pitchline.checks.openings import OpeningKind, find_openings
from pitchline.checks.silhouettes import span_of, steps_line, string_points, upright_points
from pitchline.design.brief import Brief, FreeEnd, StrandsBrief
from pitchline.design.compose import compose
from pitchline.design.makings import BetweenPosts
from pitchline.design.model import Design, PostRole
from pitchline.kit.errors import ImpossibleDesignError
from pitchline.kit.geometry.outlines import to_shapely
from pitchline.kit.taut import pushed_aside, spans_of
from pitchline.kit.tolerances import BALL, SEAM, TILING
from pitchline.parts.explode import explode
from pitchline.parts.strands import clear_length
from pitchline.solids.solid import overlaps
from pitchline.stair.model import Flight, Side

tries = settings(
    max_examples=12, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much]
)
slow = settings(tries, max_examples=4)
every_kind = pytest.mark.parametrize("name", KINDS)

BALANCE = 1e-6
"""Share of the bay by which members and openings may miss it: seams of a ten-thousandth of a millimetre."""

GRID = 1e-6
"""mm to which overlays of outlines are rounded."""

HAIR = 1e-5
"""mm by which overlays of outlines may be out."""


def drawn(data: st.DataObject, name: str) -> tuple[Flight, Brief, Design]:
    """A flight, a brief of one kind for it, and the design; briefs that nothing can be built to are left out."""
    flight = data.draw(flights(smallest=4, largest=12))
    brief = data.draw(KINDS[name].briefs(flight))
    try:
        design = compose(flight, brief, LIMITS)
    except ImpossibleDesignError:
        assume(False)
        raise
    assume(all(finding.code != "design.spacing.room" for finding in design.findings))
    return flight, brief, design


def members(design: Design) -> Iterator[tuple[str, Polygon]]:
    """What is solid of each member in the elevation, openings through it left out."""
    for upright in design.uprights:
        yield upright.mark, to_shapely(upright_points(upright))
    for strand in design.strands:
        yield strand.mark, to_shapely(strand.outline.points)
    for panel in design.panels:
        yield panel.mark, to_shapely(panel.outline.points, panel.holes)


@every_kind
@tries
@given(data=st.data())
def test_no_ball_over_the_limit_passes(name: str, data: st.DataObject) -> None:
    """Where an end is free, what lies beyond the last member is spoken of on its own."""
    if not KINDS[name].chosen:
        return
    _, brief, design = drawn(data, name)
    assume(not any(isinstance(end, FreeEnd) for end in (brief.bottom, brief.top)))
    for opening in find_openings(design, ENGLAND):
        if opening.kind in (OpeningKind.INFILL, OpeningKind.LANDING):
            assert opening.ball.diameter <= LIMITS.gap + BALL


@every_kind
@tries
@given(data=st.data())
def test_pieces_lie_inside_the_bay(name: str, data: st.DataObject) -> None:
    _, _, design = drawn(data, name)
    sight = to_shapely(design.bay.sight).buffer(HAIR)
    full = to_shapely(design.bay.full.points).buffer(HAIR)
    for upright in design.uprights:
        assert sight.contains(to_shapely(upright.sight))
    for strand in design.strands:
        assert sight.contains(to_shapely(strand.sight))
    for panel in design.panels:
        seen = to_shapely(panel.sight)
        assert sight.contains(seen)
        assert full.contains(to_shapely(panel.outline.points))
        assert all(seen.buffer(HAIR).contains(to_shapely(hole)) for hole in panel.holes)


@every_kind
@tries
@given(data=st.data())
def test_members_and_openings_add_up_to_the_bay(name: str, data: st.DataObject) -> None:
    """Without a base rail the stair takes its own part of the bay; bays it reaches into over one are left out."""
    _, _, design = drawn(data, name)
    sight = to_shapely(design.bay.sight)
    bay = polygons(shapely.difference(sight, shapely.union_all(list(stair(design))), grid_size=GRID))
    assume(design.base is None or bay.area >= sight.area * (1 - BALANCE / 10))
    wood = [common(shape, bay) for _, shape in members(design)]
    open_ = [
        common(Polygon(opening.outline, opening.islands), bay)
        for opening in find_openings(design, ENGLAND)
        if opening.kind in (OpeningKind.INFILL, OpeningKind.LANDING)
    ]
    total = sum(shape.area for shape in (*wood, *open_))
    assert total == pytest.approx(bay.area, rel=BALANCE)
    assert shared([*wood, *open_]) <= SEAM * sum(shape.length for shape in (*wood, *open_))


def stair(design: Design) -> Iterator[Polygon]:
    """The steps, and the string where there is one."""
    left, right = span_of(design)
    deep = -1e4
    yield Polygon((*steps_line(design.flight, left, right), (right, deep), (left, deep)))
    string = string_points(design.flight, left, right)
    if string is not None:
        yield to_shapely(string)


def shared(shapes: list[MultiPolygon]) -> float:
    """The area that any two shapes have in common, mm2."""
    first, second = shapely.STRtree(shapes).query(shapes, predicate="intersects")
    pairs = ((shapes[i], shapes[j]) for i, j in zip(first, second, strict=True) if i < j)
    return float(sum(common(a, b).area for a, b in pairs))


def common(a: Polygon | MultiPolygon, b: Polygon | MultiPolygon) -> MultiPolygon:
    """What two shapes share, on a grid: without one, edges that lie on one another but for rounding lose pieces."""
    return polygons(shapely.intersection(a, b, grid_size=GRID))


def polygons(shape: shapely.Geometry) -> MultiPolygon:
    """What has an area of a shape, without the lines and points that an overlay leaves."""
    return MultiPolygon([part for part in shapely.get_parts(shape) if isinstance(part, Polygon)])


def mirrored(flight: Flight, brief: Brief) -> tuple[Flight, Brief]:
    """The stair in a mirror along the edge: the other side is guarded, twists and skews turn the other way."""
    other = Side.LEFT if brief.side is Side.RIGHT else Side.RIGHT
    turned = replace(
        flight,
        posts=tuple(replace(post, twist=-post.twist) for post in flight.posts),
        walls=tuple(replace(wall, skew=-wall.skew) for wall in flight.walls),
    )
    return turned, replace(brief, side=other)


@every_kind
@tries
@given(data=st.data())
def test_a_mirrored_stair_gets_the_mirrored_infill(name: str, data: st.DataObject) -> None:
    flight, brief, design = drawn(data, name)
    turned, other = mirrored(flight, brief)
    mirror = compose(turned, other, LIMITS)
    for (mark, shape), (twin, image) in zip(members(design), members(mirror), strict=True):
        assert mark == twin
        np.testing.assert_allclose(
            shapely.get_coordinates(image), shapely.get_coordinates(shape), atol=TILING
        )
    for strand, reflected in zip(design.strands, mirror.strands, strict=True):
        for plane, image_plane in ((strand.start, reflected.start), (strand.finish, reflected.finish)):
            nu, ny, nz = plane.normal
            np.testing.assert_allclose(image_plane.normal, (nu, -ny, nz), atol=1e-9)
    lengths, others = ([part.length for part in explode(d)] for d in (design, mirror))
    np.testing.assert_allclose(sorted(others), sorted(lengths), atol=TILING)


@every_kind
@slow
@given(data=st.data())
def test_parts_share_no_wood(name: str, data: st.DataObject) -> None:
    """A newel that stands already has its housings bored on site; it is left out where strands go into it."""
    _, brief, design = drawn(data, name)
    bored_on_site = isinstance(brief.making, BetweenPosts) and brief.making.depth > 0.0
    standing = [] if bored_on_site else [p for p in design.posts if p.role is PostRole.EXISTING]
    assert overlaps(explode(design), standing) == ()


@tries
@given(data=st.data())
def test_cables_pushed_apart_keep_the_limit(data: st.DataObject) -> None:
    _, brief, design = drawn(data, "cables")
    infill = brief.infill
    assert isinstance(infill, StrandsBrief)
    assume(infill.push is not None)
    length = max(map(clear_length, design.strands))
    span = length / spans_of(length, infill.apart)
    aside = pushed_aside(infill.push or 0.0, span, infill.pull or 0.0, infill.stretch)
    for strand in design.strands:
        for gap in (strand.gap_below, strand.gap_above):
            assert gap + 2 * aside <= LIMITS.gap + TILING
