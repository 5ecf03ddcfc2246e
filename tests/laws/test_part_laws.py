"""Laws that all parts of all balustrades keep, over invented irregular stairs and briefs.

They hold whatever the making, the lean, the ends and the spacing: no two pieces claim the same wood, what belongs
together touches, fillets and uprights fill their strip to the last bit, nothing stands out of its rail, and a
mirrored stair has the mirrored parts.
"""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import HealthCheck, assume, given, reject, settings
from hypothesis import strategies as st
from manifold3d import Manifold
from tests.strategies_stairs import LIMITS, cases, plain_brief, regular_flight

from pitchline.design.brief import Bored, Brief, Grooved, Making, Shape, Stacked
from pitchline.design.compose import compose
from pitchline.design.model import Bar, BarRole, Design, PostRole, Upright
from pitchline.kit.errors import ImpossibleDesignError
from pitchline.kit.geometry.bevels import saw_reading
from pitchline.kit.geometry.frames import dot
from pitchline.kit.tolerances import TOUCH_OVERLAP_VOLUME
from pitchline.parts.bands import bands
from pitchline.parts.explode import explode
from pitchline.parts.measure import lengths, running_marks, surface_area, volume
from pitchline.parts.part import Part, Role
from pitchline.solids.mesh import Block, Mesh
from pitchline.solids.solid import Body, gap, overlaps, part_body, part_solid, post_body, solid_of
from pitchline.stair.model import Flight, Side

FEW = settings(max_examples=20, deadline=None, suppress_health_check=list(HealthCheck))
Case = tuple[Flight, Brief]


def composed(case: Case) -> Design:
    """The design of a case; cases that leave nothing to build are passed over."""
    try:
        return compose(*case, LIMITS)
    except ImpossibleDesignError:
        reject()


def rails_are_not_bored_through(design: Design) -> bool:
    """A raking hole is deeper on one side than its brief says; the program warns where it comes out."""
    making = design.making
    if not isinstance(making, Bored):
        return True
    return all(
        min(_clear_of_far_edge(bar, upright) for bar in (design.handrail, design.base_rail)) > -1e-6
        for upright in design.uprights
    )


def has_room(design: Design) -> bool:
    """More uprights than fit may be asked for; the program says so."""
    return all(min(upright.gap_before, upright.gap_after) >= 0.0 for upright in design.uprights)


def stands_beside(body: Body, bar: Bar) -> bool:
    """Whether a post is there over the whole depth of a rail's end; a newel on a tread may begin above it."""
    us = (body.low[0], body.high[0])
    lowest, highest = min(bar.bottom.at(u) for u in us), max(bar.top.at(u) for u in us)
    return bool(body.low[2] < lowest and highest < body.high[2])


def _clear_of_far_edge(bar: Bar, upright: Upright) -> float:
    far = bar.top if bar.role is BarRole.HANDRAIL else bar.bottom
    sense = 1.0 if bar.role is BarRole.HANDRAIL else -1.0
    return min(sense * (far.at(u) - z) for u, z in upright.outline.points)


def envelope(bar: Bar, low: float | None = None, high: float | None = None) -> Manifold:
    """The wood of a whole bar between its end planes, as wide as it is."""
    half = bar.width / 2
    y0, y1 = bar.y - half if low is None else low, bar.y + half if high is None else high
    return _between(bar, (bar.bottom.point, bar.top.point), y0, y1)


def _between(bar: Bar, lines: tuple[object, object], y0: float, y1: float) -> Manifold:
    u0, u1 = bar.start.point[0] - 800.0, bar.finish.point[0] + 800.0
    below, above = lines
    assert callable(below)
    assert callable(above)
    prism = solid_of(Mesh.of_blocks([Block.of_prism((below(u0), below(u1), above(u1), above(u0)), y0, y1)]))
    for plane in (bar.start, bar.finish):
        inwards = tuple(-n for n in plane.normal)
        prism = prism.trim_by_plane(inwards, dot(plane.point, (inwards[0], inwards[1], inwards[2])))
    return prism


@FEW
@given(cases(largest=7))
def test_no_two_pieces_claim_the_same_wood(case: Case) -> None:
    design = composed(case)
    assume(rails_are_not_bored_through(design) and has_room(design))
    standing = [post for post in design.posts if post.role is PostRole.EXISTING]
    assert overlaps(explode(design), standing, TOUCH_OVERLAP_VOLUME) == ()


@FEW
@given(cases(largest=7))
def test_rails_touch_what_ends_them_and_uprights_touch_their_rails(case: Case) -> None:
    design = composed(case)
    bodies = {part.place: part_body(part) for part in explode(design) if part.role is not Role.BASE_BLOCK}
    posts = [post_body(post) for post in design.posts]
    for bar in (design.handrail, design.base_rail):
        pieces = [body for place, body in bodies.items() if place.startswith(bar.id)]
        for post in posts:
            if stands_beside(post, bar):
                assert min(gap(piece, post) for piece in pieces) <= 1e-5
        label = "rail" if bar.role is BarRole.HANDRAIL else "base"
        for upright in design.uprights:
            if upright.outline.edge(label) is not None:
                assert min(gap(piece, bodies[upright.mark]) for piece in pieces) <= 1e-5


@FEW
@given(cases(largest=7))
def test_uprights_and_fillets_fill_their_strip(case: Case) -> None:
    flight, brief = case
    assume(isinstance(brief.making, Grooved | Stacked))
    assert isinstance(brief.making, Grooved | Stacked)
    making: Making = replace(brief.making, end_play=0.0)
    square = replace(brief.uprights, shape=Shape.RECTANGULAR, profile=())
    if isinstance(making, Stacked):
        square = replace(square, thickness=making.layer_thickness * len(making.member_layers))
    design = composed((flight, replace(brief, making=making, infill=square)))
    parts = explode(design)
    assume(has_room(design))
    for band in bands(design):
        roles = (Role.UPRIGHT, band.role)
        pieces = [part_solid(part) for part in parts if part.role in roles]
        ys = [y + sign * band.across / 2 for _, y in band.layers for sign in (-1.0, 1.0)]
        strip = _between(band.bar, (band.low.point, band.high.point), min(ys), max(ys))
        left = strip
        for piece in pieces:
            left -= piece
            # Asked for each time: worked out in one go, faces in one plane leave crumbs behind.
            assert left.volume() > -1e-6
        # What is too thin to make, under 1 mm along the plan beside each end, stays open.
        depth = (band.high.z0 - band.low.z0) * math.cos(band.high.angle)
        spare = 2.0 * 1.0 / math.cos(band.high.angle) * depth * (max(ys) - min(ys))
        assert left.volume() <= spare + TOUCH_OVERLAP_VOLUME
        fillets = sum(part_solid(part).volume() for part in parts if part.role is band.role)
        taken = sum((strip ^ part_solid(part)).volume() for part in parts if part.role is Role.UPRIGHT)
        assert fillets + taken + left.volume() == pytest.approx(strip.volume(), abs=TOUCH_OVERLAP_VOLUME)


@FEW
@given(cases(largest=7))
def test_what_a_rail_is_made_of_lies_inside_it(case: Case) -> None:
    design = composed(case)
    for bar in (design.handrail, design.base_rail):
        whole = envelope(bar)
        letters = "FR" if bar.role is BarRole.HANDRAIL else "GS"
        for part in explode(design):
            if part.place.startswith(bar.id) or part.place[0] in letters:
                assert (part_solid(part) - whole).volume() <= TOUCH_OVERLAP_VOLUME, part.place


@FEW
@given(cases(largest=7))
def test_marks_lie_on_the_rail_and_keep_the_gaps(case: Case) -> None:
    design = composed(case)
    assume(has_room(design))
    for rail in running_marks(design).bars:
        for before, after in zip(rail.marks, rail.marks[1:], strict=False):
            step = before.edge + rail.upright_width + after.clear_before
            assert after.edge == pytest.approx(step, abs=1e-6)
        if rail.marks:
            assert rail.marks[0].centre + rail.upright_width > 0.0
            assert rail.marks[-1].centre - rail.upright_width < rail.length
        for mark in rail.marks:
            assert mark.edge_level == pytest.approx(mark.edge * math.cos(math.radians(rail.slope_deg)))
            assert mark.fillet_before <= mark.clear_before + 1e-6 or mark is rail.marks[0]


def mirrored(case: Case) -> Case:
    """The stair seen in a mirror: other side guarded, twists and skews the other way.

    Leans across are told towards the walking side, so they change with the side by themselves.
    """
    flight, brief = case
    posts = tuple(replace(post, twist=-post.twist) for post in flight.posts)
    walls = tuple(replace(wall, skew=-wall.skew) for wall in flight.walls)
    side = Side.LEFT if brief.side is Side.RIGHT else Side.RIGHT
    return replace(flight, posts=posts, walls=walls), replace(brief, side=side)


@FEW
@given(cases(largest=7))
def test_a_mirrored_stair_has_the_mirrored_parts(case: Case) -> None:
    ours, theirs = explode(composed(case)), explode(composed(mirrored(case)))
    assert [part.place for part in ours] == [part.place for part in theirs]
    for one, other in zip(ours, theirs, strict=True):
        assert lengths(one).long_point == pytest.approx(lengths(other).long_point, abs=1e-6)
        assert (one.width, one.thickness) == pytest.approx((other.width, other.thickness))
        assert volume(one) == pytest.approx(volume(other), rel=1e-7)
        assert surface_area(one) == pytest.approx(surface_area(other), rel=1e-6)
        assert _far_from(one, other) <= 1e-5
        for mine, yours in zip(
            (*one.start_cuts, *one.finish_cuts), (*other.start_cuts, *other.finish_cuts), strict=True
        ):
            a, b = saw_reading(mine.normal), saw_reading(yours.normal)
            assert abs(a.mitre_deg) == pytest.approx(abs(b.mitre_deg), abs=1e-6)
            assert abs(a.bevel_deg) == pytest.approx(abs(b.bevel_deg), abs=1e-6)


def _far_from(ours: Part, theirs: Part) -> float:
    """The largest distance of a corner of one part from the nearest mirrored corner of the other."""
    one = ours.frame.array_to_world(ours.body.vertices)
    other = theirs.frame.array_to_world(theirs.body.vertices) * np.array((1.0, -1.0, 1.0))
    apart = np.linalg.norm(one[:, None, :] - other[None, :, :], axis=2)
    return float(max(apart.min(axis=0).max(), apart.min(axis=1).max()))


@FEW
@given(st.integers(2, 40), st.floats(0.05, 5.0))
def test_marks_rounded_by_themselves_never_add_up(count: int, step: float) -> None:
    flight = regular_flight()
    brief = plain_brief(flight)
    spacing = replace(brief.uprights.spacing, count=count)
    making = Grooved(rail_groove=10.0, base_groove=10.0, fillet_thickness=6.0)
    design = compose(
        flight, replace(brief, making=making, infill=replace(brief.uprights, spacing=spacing)), LIMITS
    )
    for rail in running_marks(design).bars:
        assert rail.rounding(step) <= step / 2 * (1 + 1e-9)
        assert abs(rail.stepped_off(step)) <= len(rail.marks) * step / 2 * (1 + 1e-9)
