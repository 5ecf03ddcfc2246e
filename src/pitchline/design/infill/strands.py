"""Bars, rods and cables along the rails from end to end of a bay, parallel to the handrail. Lengths in mm.

They are spread square to the rails by the same arithmetic as uprights along them: the run is the clear distance
between the lower edge of the bay and the handrail where it is widest.
"""

import math
from dataclasses import dataclass
from itertools import pairwise

from pitchline.catalogue.moisture import across_face, movement_between
from pitchline.catalogue.timber import load_timber
from pitchline.design.bay import field, half_plane
from pitchline.design.brief import Brief, Spread, StrandKind, StrandsBrief
from pitchline.design.infill.lower import lower_edge, widest_below
from pitchline.design.infill.place import Field, Laid
from pitchline.design.limits import Limits
from pitchline.design.makings import BetweenPosts, Clamped
from pitchline.design.model import JOINED, Strand
from pitchline.design.posts import BuiltEnd
from pitchline.design.spacing import Layout, Run, lay_out
from pitchline.kit.errors import ImpossibleDesignError
from pitchline.kit.geometry.frames import Plane, Vec3
from pitchline.kit.geometry.frames import along as along_ray
from pitchline.kit.geometry.lines import Line
from pitchline.kit.geometry.outlines import Outline
from pitchline.kit.taut import pushed_aside, spans_of
from pitchline.kit.tolerances import CABLES_AT_REST, SAME_POINT

_BEYOND = 1000.0
"""mm by which a strand is drawn past the bay before its ends are cut."""

_MANY = {StrandKind.BAR: "bars", StrandKind.ROD: "rods", StrandKind.CABLE: "cables"}


def lay_strands(place: Field, infill: StrandsBrief, limits: Limits) -> Laid:
    """Strands laid out between the ends of a leg.

    ImpossibleDesignError where nothing holds them, where they are too many, or where the base rail runs into them.
    """
    _must_be_held(place, infill)
    handrail, lower, y = place.handrail, lower_edge(place), 0.0
    sight = field(place.start.bay_face, place.finish.bay_face, lower, handrail.bottom, y)
    us = [u for u, _ in sight.points]
    below = widest_below(handrail, lower, (min(us), max(us)))
    cosine = handrail.bottom.direction[0]
    height = (handrail.bottom.z0 - below.z0) * cosine
    limit = limits.gap_beside(place.flight, sight.points)
    opening = opening_allowed(place.brief, infill, (limit, limits.push), (max(us) - min(us)) / cosine)
    layout = lay_out(Run(height, infill.depth, infill.depth), opening, infill.spacing)
    if not layout.fits:
        raise ImpossibleDesignError(
            f"the {_MANY[infill.kind]} asked for are together thicker than the {height:.0f} mm, square to them, "
            "between the rails: ask for fewer or thinner ones"
        )
    note = layout.note.replace("uprights", _MANY[infill.kind]).replace("upright", infill.kind.value)
    strands = _strands(place, infill, layout, below, sight)
    _clear_of(lower, strands[0], us)
    return Laid(place.bay(sight.points, sight, height, note), strands=strands)


def _must_be_held(place: Field, infill: StrandsBrief) -> None:
    """Whether something at both ends holds the strands, and their spread and making are ones for strands."""
    many = _MANY[infill.kind]
    for end in (place.start, place.finish):
        if not end.closed:
            raise ImpossibleDesignError(f"{many} need a newel or a wall at both ends, and one end is free")
        if end.is_joint and end.post is None and infill.kind is StrandKind.CABLE:
            raise ImpossibleDesignError(
                "cables pull on what stands where two legs meet, and nothing does: put a newel there"
            )
    if infill.spacing.spread in (Spread.GROUPS, Spread.PER_TREAD):
        raise ImpossibleDesignError(
            f"{many} are spread with equal gaps, half gaps at the ends or a fixed module, not "
            f'"{infill.spacing.spread.value}"'
        )
    if not isinstance(place.brief.making, BetweenPosts | Clamped):
        raise ImpossibleDesignError(f"{many} run from post to post: choose a way of making between posts")


def opening_allowed(
    brief: Brief, infill: StrandsBrief, limit: tuple[float, float | None], length: float
) -> float:
    """The widest gap to lay strands out with, mm: the rule's limit less the build tolerance, what wooden bars shrink
    by, and what neighbouring cables give way when they are pushed apart.

    ``limit`` is the opening not to be passed and the push in N that a rule names; where none is named at all, cables
    keep the gap at rest that the trade leaves for it. ``length`` is that of the bay along the strands.
    ImpossibleDesignError where cables give way by the whole opening.
    """
    opening, push = limit
    allowed = opening - brief.build_tolerance - _shrinkage(brief, infill)
    if infill.kind is not StrandKind.CABLE:
        return allowed
    push = push if infill.push is None else infill.push
    if push is None:
        asked = infill.spacing.max_gap is not None
        return allowed if asked else min(allowed, CABLES_AT_REST - brief.build_tolerance)
    span = length / spans_of(length, infill.apart)
    aside = pushed_aside(push, span, infill.pull or 0.0, infill.stretch)
    if 2.0 * aside >= allowed:
        raise ImpossibleDesignError(
            f"pushed apart with {push:.0f} N, two cables pulled with {infill.pull or 0.0:.0f} N give way by more "
            f"than the whole opening over {span:.0f} mm: hold them at shorter distances or pull them harder"
        )
    return allowed - 2.0 * aside


def _shrinkage(brief: Brief, infill: StrandsBrief) -> float:
    """How much narrower a wooden bar becomes at the dry end of the year, mm."""
    if brief.season is None or infill.kind is not StrandKind.BAR:
        return 0.0
    fact = across_face(load_timber(infill.material), in_plane=True)
    dry = brief.season.dry.moisture
    return max(0.0, -movement_between(infill.depth, fact, brief.season.made, dry).change)


@dataclass(frozen=True, slots=True)
class _Ends:
    """How the two ends of one strand are cut: planes with their normals outward."""

    start: Plane
    finish: Plane


def _strands(
    place: Field, infill: StrandsBrief, layout: Layout, below: Line, sight: Outline
) -> tuple[Strand, ...]:
    places = layout.centres
    inner = [after - before - infill.depth for before, after in pairwise(places)]
    gaps = [layout.start_gap, *inner, layout.finish_gap]
    made = []
    for number, (s, (gap_below, gap_above)) in enumerate(
        zip(places, pairwise(gaps), strict=True), place.first
    ):
        line = below.offset(s)
        ends = _ends(place, infill, line)
        made.append(
            Strand(
                mark=f"T{number:02d}",
                kind=infill.kind,
                line=line,
                depth=infill.depth,
                thickness=infill.thickness,
                y=0.0,
                start=ends.start,
                finish=ends.finish,
                outline=_outline(line, infill.depth, ends),
                sight=_seen(line, infill.depth, sight),
                gap_below=gap_below,
                gap_above=gap_above,
                arris=infill.arris,
                material=infill.material,
                is_round=infill.kind is not StrandKind.BAR,
                pull=infill.pull,
                apart=infill.apart,
                stretch=infill.stretch,
            )
        )
    return tuple(made)


def _ends(place: Field, infill: StrandsBrief, line: Line) -> _Ends:
    depth = place.brief.making.depth if isinstance(place.brief.making, BetweenPosts) else 0.0
    cut = _bar_end if infill.kind is StrandKind.BAR else _round_end
    return _Ends(cut(place.start, line, depth, -1.0), cut(place.finish, line, depth, 1.0))


def _is_housed(end: BuiltEnd) -> bool:
    """Into a newel that takes two bays nothing is housed: their strands would meet in it."""
    return end.post is not None and end.post.role not in JOINED and not end.is_joint


def _bar_end(end: BuiltEnd, _line: Line, depth: float, _sense: float) -> Plane:
    """A bar is cut by the face of what it meets, ``depth`` further where it is housed."""
    face = end.bay_face.flipped()
    return face.moved(depth) if _is_housed(end) else face


def _round_end(end: BuiltEnd, line: Line, depth: float, sense: float) -> Plane:
    """A rod or cable ends square in its hole, no further than the far face of the newel; elsewhere on the face."""
    face = end.bay_face.flipped()
    if not _is_housed(end) or end.post is None or depth <= 0.0:
        return face
    ray: Vec3 = (sense * line.direction[0], 0.0, sense * line.direction[1])
    entry = face.meet_line((0.0, 0.0, line.z0), ray)
    through = math.dist(entry, end.post.face(towards_head=sense > 0).meet_line(entry, ray))
    return Plane(along_ray(entry, ray, min(depth, through)), ray)


def _outline(line: Line, depth: float, ends: _Ends) -> Outline:
    """A strand's strip between its end planes, where the middle of it lies."""
    points = [
        plane.meet_line((0.0, 0.0, line.z0), (1.0, 0.0, line.slope))[0] for plane in (ends.start, ends.finish)
    ]
    low, high = line.offset(-depth / 2), line.offset(depth / 2)
    u0, u1 = points[0] - _BEYOND, points[1] + _BEYOND
    strip = Outline(
        (low.point(u0), low.point(u1), high.point(u1), high.point(u0)), ("low", "finish", "high", "start")
    )
    for label, plane in (("start", ends.start), ("finish", ends.finish)):
        strip = strip.clipped(half_plane(plane, 0.0), label)
    return strip


def _seen(line: Line, depth: float, sight: Outline) -> tuple[tuple[float, float], ...]:
    """What is seen of a strand between the faces of the ends."""
    (base_start, base_finish, rail_finish, rail_start) = sight.points
    low, high = line.offset(-depth / 2), line.offset(depth / 2)
    sides = [
        (b, (t[0] - b[0], t[1] - b[1])) for b, t in ((base_start, rail_start), (base_finish, rail_finish))
    ]
    (left, left_up), (right, right_up) = sides
    return (
        low.meet(left, left_up),
        low.meet(right, right_up),
        high.meet(right, right_up),
        high.meet(left, left_up),
    )


def _clear_of(lower: Line, lowest: Strand, us: list[float]) -> None:
    """A base rail or string at another pitch than the handrail must not run into the lowest strand."""
    edge = lowest.line.offset(-lowest.depth / 2)
    if any(edge.at(u) < lower.at(u) - SAME_POINT for u in (min(us), max(us))):
        raise ImpossibleDesignError(
            "what lies under the strands runs at another pitch than the handrail and into the lowest of them: lay "
            'the base rail parallel to the handrail (seat = "packed" or "clear")'
        )
