"""Openings of the finished balustrade: everything that is not solid between the steps and the handrail.

Each opening gets its largest ball, the limit that applies there and a verdict of its own. Openings of the infill
are judged by the rule for the open side of a stair, those under the base rail by the rule for the triangle
between riser, tread and bottom rail. Lengths in mm.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import MultiPolygon, Polygon, box

from pitchline.catalogue.rules import Figure, RuleSet
from pitchline.checks.case import severity
from pitchline.checks.opening_limits import (
    Opening,
    OpeningKind,
    Zone,
    judged_against,
    limit_figure,
    standing_line,
    triangle_mode,
    zones_of,
)
from pitchline.checks.opening_names import names_of
from pitchline.checks.silhouettes import (
    EndFacts,
    ends_of,
    middle_y,
    nosing_line,
    place_at,
    solids_of,
    span_of,
    steps_line,
)
from pitchline.checks.triangles import under_openings
from pitchline.design.model import Design
from pitchline.kit.finding import Verdict
from pitchline.kit.geometry.balls import Ball, largest_ball_centred_in, largest_balls
from pitchline.kit.geometry.lines import Line
from pitchline.kit.geometry.outlines import Points, difference, from_shapely, to_shapely
from pitchline.kit.tolerances import COVERAGE_FACTOR, SEAM, SLIVER
from pitchline.stair.pitch import support_line

__all__ = ["Opening", "OpeningKind", "find_openings", "limit_figure", "unguarded"]


def find_openings(design: Design, rules: RuleSet) -> tuple[Opening, ...]:
    """Every opening from the foot to the head, those of the infill first.

    Those that go on into another leg, with nothing standing at the turn, are left to :mod:`joints`.
    """
    infill: list[Polygon] = []
    under: list[Polygon] = []
    for outline in _free_field(design, rules):
        if any(at_joint(design, end, outline) for end in ends_of(design)):
            continue
        centre = outline.representative_point()
        below = design.base is not None and centre.y <= design.base.top.at(centre.x)
        (under if below else infill).append(outline)
    return (*_infill_openings(design, rules, infill), *under_openings(design, rules, under))


def at_joint(design: Design, end: EndFacts, outline: Polygon) -> bool:
    """Whether an opening goes on into the next leg at an end: it is then found with both legs together."""
    if not end.is_joint:
        return False
    plane = design.bay.finish if end.at_head else design.bay.start
    face = place_at(plane, middle_y(design), plane.point[2])
    left, _, right, _ = outline.bounds
    return bool(right > face - SEAM * 2 if end.at_head else left < face + SEAM * 2)


def joint_pieces(design: Design, rules: RuleSet, *, at_head: bool) -> list[Polygon]:
    """The openings of a leg that go on into the next at its head, or into the one before at its foot."""
    end = ends_of(design)[1 if at_head else 0]
    return [outline for outline in _free_field(design, rules) if at_joint(design, end, outline)]


def _free_field(design: Design, rules: RuleSet) -> list[Polygon]:
    """The guarded field less everything solid in it."""
    left, right = span_of(design)
    above_nosings = triangle_mode(rules) == "not_below_nosing_line"
    steps = (nosing_line if above_nosings else steps_line)(design.flight, left, right)
    underside = design.handrail.bottom
    inside = underside.raised(_INTO_RAIL + _hollow(design))
    field = _sound((*steps, inside.point(right), inside.point(left)))
    solids = [_sound(solid.points, solid.holes) for solid in solids_of(design, left, right)]
    free = _parted(difference(field, solids))
    height = rules.figure("guard.flight.height")
    if height is None or rules.word("opening.applies", "all") != "required":
        return free
    required = support_line(design.flight.nosings).raised(height.value_mm)
    if all(required.at(u) >= underside.at(u) for u in (left, right)):
        return free
    floor = steps[0][1] - 1000.0
    judged = to_shapely(((left, floor), (right, floor), required.point(right), required.point(left)))
    return [piece for outline in free for piece in _pieces(shapely.intersection(outline, judged))]


_INTO_RAIL = 1.0
"""mm by which the field reaches into the handrail, so that no two edges of the overlay lie on one another."""


def _hollow(design: Design) -> float:
    """How far a bent piece that is hollow above stands over the straight rails it joins, mm."""
    return max((p.easing.off_corner for p in design.easements if p.easing.turn > 0.0), default=0.0)


def _sound(points: Points, holes: Sequence[Points] = ()) -> Polygon | MultiPolygon:
    """A silhouette whose edges do not cross, as those of a packer that runs out to a feather edge may by rounding."""
    shape = to_shapely(points, holes)
    return shape if shape.is_valid else shapely.make_valid(shape)


def _parted(outlines: list[Polygon]) -> list[Polygon]:
    """Outlines that hang together by less than a `SLIVER` taken apart there."""
    shapes = np.array(outlines, dtype=np.object_)
    cores = shapely.buffer(shapes, -SLIVER / 2.0, quad_segs=2, join_style="mitre")
    parted: list[Polygon] = []
    for outline, core in zip(outlines, cores, strict=True):
        if core.geom_type == "Polygon":
            parted.append(outline)
            continue
        for part in core.geoms:
            grown = shapely.buffer(part, SLIVER / 2.0 + SEAM, quad_segs=2, join_style="mitre")
            parted += _pieces(shapely.intersection(outline, grown))
    return parted


def _pieces(shape: shapely.Geometry) -> list[Polygon]:
    return difference(shape, []) if shape.area > 0.0 else []


def _infill_openings(design: Design, rules: RuleSet, outlines: Sequence[Polygon]) -> Iterator[Opening]:
    names = names_of(design)
    last = design.flight.nosings[-1][0]
    placed = sorted(((names.named(outline), outline) for outline in outlines), key=lambda pair: pair[0].order)
    balls = _balls([outline for _, outline in placed])
    for (name, outline), ball in zip(placed, balls, strict=True):
        over_floor = design.flight.is_level or outline.centroid.x >= last
        kind = OpeningKind.LANDING if over_floor else OpeningKind.INFILL
        found = _Found(kind, outline, ball, COVERAGE_FACTOR * name.sigma)
        yield _infill_opening(design, rules, found, name.where)


@dataclass(frozen=True, slots=True)
class _Found:
    """An opening of the infill before it is judged."""

    kind: OpeningKind
    outline: Polygon
    ball: Ball
    expanded: float


def _figure(design: Design, rules: RuleSet, found: _Found) -> Figure | None:
    """The figure for an opening; some places let level rails stand further apart above a height that is filled in."""
    wider, filled = (rules.figure(f"opening.level_rails{end}") for end in ("", ".filled"))
    if design.strands and wider is not None and filled is not None:
        line = standing_line(design, found.kind)
        if min(z - line.at(u) for u, z in from_shapely(found.outline)) >= filled.value_mm:
            return wider
    return limit_figure(rules, found.kind)


def _infill_opening(design: Design, rules: RuleSet, found: _Found, where: str) -> Opening:
    """One opening with its verdict; where bands of the guarding differ, that of the worst of them."""
    figure, ball = _figure(design, rules, found), found.ball
    verdict = judged_against(ball.diameter, found.expanded, figure)
    if figure is not None and verdict is not Verdict.PASS:
        zones = zones_of(rules, figure)
        if zones:
            line = standing_line(design, found.kind)
            ball, figure, verdict = _worst_zone(found, zones, line)
    return Opening(
        where=where,
        kind=found.kind,
        outline=from_shapely(found.outline),
        ball=ball,
        expanded=found.expanded,
        limit=None if figure is None else figure.value_mm,
        verdict=verdict,
        rule="opening.general" if figure is None else figure.id,
        islands=tuple(from_shapely(Polygon(ring)) for ring in found.outline.interiors),
    )


_ANYWHERE = 1e5
"""mm above or below the steps beyond which nothing of a balustrade lies."""


def _worst_zone(found: _Found, zones: Sequence[Zone], line: Line) -> tuple[Ball, Figure | None, Verdict]:
    """A ball counts in the band in which its centre lies."""
    judged = []
    left, floor, right, top = found.outline.bounds
    for zone in zones:
        low, high = (line.raised(min(max(end, -_ANYWHERE), _ANYWHERE)) for end in (zone.low, zone.high))
        if high.z0 - low.z0 <= SLIVER:
            continue
        region = to_shapely((low.point(left), low.point(right), high.point(right), high.point(left)))
        region = shapely.intersection(region, box(left, floor - 1.0, right, top + 1.0))
        centred = largest_ball_centred_in(found.outline, region) if region.area > 0.0 else None
        if centred is not None:
            free = zone.figure is None
            verdict = Verdict.PASS if free else judged_against(centred.diameter, found.expanded, zone.figure)
            judged.append((centred, zone.figure, verdict))
    return min(judged, key=lambda entry: (severity(entry[2]), -entry[0].diameter))


def _balls(outlines: Sequence[Polygon]) -> list[Ball]:
    """The largest ball of each outline; outlines that are one another moved are measured once."""
    known: dict[bytes, int] = {}
    firsts: list[Polygon] = []
    keys = []
    for outline in outlines:
        ring = shapely.get_coordinates(shapely.normalize(outline))
        key = ((ring - ring[0]).round(5) + 0.0).tobytes()  # adding zero makes -0.0 and 0.0 one
        if key not in known:
            known[key] = len(firsts)
            firsts.append(outline)
        keys.append(key)
    found = largest_balls(firsts) if firsts else []
    return [_moved(found[known[key]], firsts[known[key]], o) for key, o in zip(keys, outlines, strict=True)]


def _moved(ball: Ball, first: Polygon, outline: Polygon) -> Ball:
    du, dz = outline.bounds[0] - first.bounds[0], outline.bounds[1] - first.bounds[1]
    return Ball(ball.diameter, (ball.centre[0] + du, ball.centre[1] + dz))


def unguarded(
    end: EndFacts, design: Design, figure: Figure | None, edge: float, expanded: float
) -> Opening | None:
    """The stretch of the flight's side beyond an end, from its face to ``edge``; None where nothing is left."""
    length = end.outer - edge if not end.at_head else edge - end.outer
    if length <= 0.0:
        return None
    low, high = sorted((edge, end.outer))
    rail = design.handrail.top
    base = support_line(design.flight.nosings) if design.base is None else design.base.bottom
    outline = (base.point(low), base.point(high), rail.point(high), rail.point(low))
    middle = (low + high) / 2
    centre = (middle, (base.at(middle) + rail.at(middle)) / 2)
    place = "at the head" if end.at_head else "at the foot"
    return Opening(
        where=f"past {end.name} {place}",
        kind=OpeningKind.UNGUARDED,
        outline=outline,
        ball=Ball(length, centre),
        expanded=expanded,
        limit=None if figure is None else figure.value_mm,
        verdict=judged_against(length, expanded, figure),
        rule="opening.general" if figure is None else figure.id,
    )
