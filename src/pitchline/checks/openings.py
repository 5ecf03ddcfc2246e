"""Openings of the finished balustrade: everything that is not solid between the steps and the handrail.

Each opening gets its largest ball, the limit that applies there and a verdict of its own. Openings of the infill
are judged by the rule for the open side of a stair, those under the base rail by the rule for the triangle
between riser, tread and bottom rail. Lengths in mm.
"""

import math
from bisect import bisect
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

import numpy as np
import shapely
from shapely.geometry import MultiPolygon, Polygon, box

from pitchline.catalogue.rules import Figure, RuleSet
from pitchline.checks.setting_out import rail_height_expanded, triangle_place
from pitchline.checks.silhouettes import EndFacts, ends_of, solids_of, span_of, steps_line
from pitchline.design.brief import Spread
from pitchline.design.model import Design
from pitchline.kit.finding import Verdict, judge
from pitchline.kit.geometry.balls import Ball, largest_ball_centred_in, largest_balls
from pitchline.kit.geometry.outlines import Points, difference, from_shapely, to_shapely
from pitchline.kit.tolerances import COVERAGE_FACTOR, SEAM, SLIVER
from pitchline.stair.pitch import support_line


class OpeningKind(StrEnum):
    """Which rule an opening falls under."""

    INFILL = "infill"
    LANDING = "infill beside a landing"
    UNDER = "under the base rail"
    UNGUARDED = "past an end"


@dataclass(frozen=True, slots=True)
class Opening:
    """One opening: where it is, its outline, the largest ball that passes, and how that compares.

    ``expanded`` is the expanded uncertainty (k = 2) of the ball's diameter; ``limit`` is None where the rules
    leave the opening free. ``step`` numbers the tread of an opening under the base rail (0: the lower floor).
    """

    where: str
    kind: OpeningKind
    outline: Points
    ball: Ball
    expanded: float
    limit: float | None
    verdict: Verdict
    step: int | None = None


def limit_figure(rules: RuleSet, kind: OpeningKind) -> Figure:
    """The figure that limits openings of a kind. InputError where the rules state none."""
    general = rules.require("opening.general")
    if kind is OpeningKind.LANDING:
        return general
    stair = rules.figure("opening.stair") or general
    if kind is OpeningKind.UNDER and rules.word("opening.triangle.mode", "same") == "sphere":
        return rules.figure("opening.triangle") or stair
    return stair


def find_openings(design: Design, rules: RuleSet) -> tuple[Opening, ...]:
    """Every opening from the foot to the head, those of the infill first."""
    infill: list[Polygon] = []
    under: list[Polygon] = []
    for outline in _free_field(design, rules):
        centre = outline.representative_point()
        above = centre.y > design.base.top.at(centre.x)
        (infill if above else under).append(outline)
    return (*_infill_openings(design, rules, infill), *_under_openings(design, rules, under))


def _free_field(design: Design, rules: RuleSet) -> list[Polygon]:
    """The guarded field less everything solid in it."""
    left, right = span_of(design)
    steps = steps_line(design.flight, left, right)
    underside = design.handrail.bottom
    inside = underside.raised(_INTO_RAIL)
    field = _sound((*steps, inside.point(right), inside.point(left)))
    solids = [_sound(solid.points) for solid in solids_of(design, left, right)]
    free = _parted(difference(field, solids))
    if rules.word("opening.applies", "all") != "required":
        return free
    required = support_line(design.flight.nosings).raised(rules.require("guard.flight.height").value_mm)
    if all(required.at(u) >= underside.at(u) for u in (left, right)):
        return free
    floor = steps[0][1] - 1000.0
    judged = to_shapely(((left, floor), (right, floor), required.point(right), required.point(left)))
    return [piece for outline in free for piece in _pieces(shapely.intersection(outline, judged))]


_INTO_RAIL = 1.0
"""mm by which the field reaches into the handrail, so that no two edges of the overlay lie on one another."""


def _sound(points: Points) -> Polygon | MultiPolygon:
    """A silhouette whose edges do not cross, as those of a packer that runs out to a feather edge may by rounding."""
    shape = to_shapely(points)
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
    names = _Neighbours.of(design)
    last = design.flight.nosings[-1][0]
    placed = sorted(((names.place(outline), outline) for outline in outlines), key=lambda pair: pair[0])
    balls = _balls([outline for _, outline in placed])
    for (place, outline), ball in zip(placed, balls, strict=True):
        index = names.index(place)
        kind = OpeningKind.LANDING if outline.centroid.x >= last else OpeningKind.INFILL
        figure = limit_figure(rules, kind)
        expanded = COVERAGE_FACTOR * _gap_sigma(design, index)
        yield Opening(
            where=names.words(index),
            kind=kind,
            outline=from_shapely(outline),
            ball=ball,
            expanded=expanded,
            limit=figure.value_mm,
            verdict=judge(ball.diameter, expanded, figure.value_mm, figure.compare),
        )


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


@dataclass(frozen=True, slots=True)
class _Neighbours:
    """The uprights in order, and what stands before the first and after the last."""

    out: tuple[float, float]
    places: tuple[float, ...]
    names: tuple[str, ...]

    @staticmethod
    def of(design: Design) -> "_Neighbours":
        lean = design.uprights[0].lean if design.uprights else 0.0
        out = (math.cos(lean), -math.sin(lean))
        places = tuple(u.foot[0] * out[0] + u.foot[1] * out[1] for u in design.uprights)
        start, finish = (end.name for end in ends_of(design))
        return _Neighbours(out, places, (start, *(u.mark for u in design.uprights), finish))

    def place(self, outline: Polygon) -> float:
        """Place of an opening square to the uprights."""
        point = outline.representative_point()
        return float(point.x * self.out[0] + point.y * self.out[1])

    def index(self, place: float) -> int:
        """How many uprights stand before a place."""
        return bisect(self.places, place)

    def words(self, index: int) -> str:
        """The two neighbours of an opening."""
        return f"between {self.names[index]} and {self.names[index + 1]}"


def _gap_sigma(design: Design, index: int) -> float:
    """Standard uncertainty of one gap: its share of the run's, as the spread divides it."""
    sigma, count = design.bay.run_sigma, len(design.uprights)
    at_end = index in (0, count)
    spread = design.brief.infill.spacing.spread
    if spread is Spread.MODULE:
        return sigma / 2 if at_end else 0.0
    if spread is Spread.HALF_ENDS and count:
        return sigma / (2 * count if at_end else count)
    return sigma / (count + 1)


def _under_openings(design: Design, rules: RuleSet, outlines: Sequence[Polygon]) -> Iterator[Opening]:
    """Openings under the base rail, cut into one for each step by plumb lines through the nosings."""
    if not outlines:
        return
    edges = [-math.inf, *(u for u, _ in design.flight.nosings), math.inf]
    for step, (low, high) in enumerate(pairwise(edges)):
        found = [(ball, o) for o in outlines if (ball := _ball_over_step(o, low, high)) is not None]
        if found:
            ball, outline = max(found, key=lambda pair: pair[0].diameter)
            yield _under_opening(design, rules, step, ball, _over_step(outline, low, high))


def _over_step(outline: Polygon, low: float, high: float) -> Points:
    """The largest piece of an outline between two plumb lines."""
    left, floor, right, top = outline.bounds
    cut = shapely.clip_by_rect(outline, max(low, left), floor - 1.0, min(high, right), top + 1.0)
    pieces = [part for part in shapely.get_parts(cut) if part.area > 0.0]
    return from_shapely(max(pieces, key=lambda part: part.area))


def _ball_over_step(outline: Polygon, low: float, high: float) -> Ball | None:
    """The largest ball centred over one step; the outline is first cut down to that step and its neighbours."""
    left, floor, right, top = outline.bounds
    low, high = max(low, left), min(high, right)
    if low >= high:
        return None
    near = shapely.clip_by_rect(outline, low - _NEAR, floor - 1.0, high + _NEAR, top + 1.0)
    parts = [part for part in shapely.get_parts(near) if part.area > 0.0]
    region = box(low, floor - 1.0, high, top + 1.0)
    found = [largest_ball_centred_in(part, region) for part in parts]
    return max((ball for ball in found if ball is not None), key=lambda ball: ball.diameter, default=None)


_NEAR = 400.0
"""mm on either side of a step beyond which nothing can touch a ball centred over it: more than a tread."""


def _under_opening(design: Design, rules: RuleSet, step: int, ball: Ball, outline: Points) -> Opening:
    figure = limit_figure(rules, OpeningKind.UNDER)
    expanded = _under_expanded(design, step)
    limit: float | None = figure.value_mm
    verdict = judge(ball.diameter, expanded, figure.value_mm, figure.compare)
    if _exempt(design, rules, step):
        limit, verdict = None, Verdict.PASS
    return Opening(
        where=f"under the base rail {_step_words(design, step)}",
        kind=OpeningKind.UNDER,
        outline=outline,
        ball=ball,
        expanded=expanded,
        limit=limit,
        verdict=verdict,
        step=step,
    )


def _step_words(design: Design, step: int) -> str:
    if step == 0:
        return "before step 1"
    return "at the upper floor" if step == len(design.flight.nosings) else f"at step {step}"


def triangle_share(slope: float) -> float:
    """How much a ball grows for each mm that the rail rises above the tread of its triangle.

    A rail at pitch p crosses the plumb line of the next nosing a height h above the tread; riser, tread and
    rail then hold a ball of h (1 + 1/tan p - 1/sin p). ``slope`` is tan p; the share is 1 for a level rail.
    """
    if slope <= 0.0:
        return 1.0
    return 1.0 + (1.0 - math.hypot(1.0, slope)) / slope


def _under_expanded(design: Design, step: int) -> float:
    """Expanded uncertainty of the ball over a step: that of the rail's height over its tread, in proportion."""
    underside = design.base.bottom
    return triangle_share(underside.slope) * rail_height_expanded(
        design, underside, *triangle_place(design, step)
    )


def _exempt(design: Design, rules: RuleSet, step: int) -> bool:
    """Whether the rules leave the triangle free because the rail runs near enough to the nosings beside it."""
    if rules.word("opening.triangle.mode", "same") != "exempt_if_rail_within":
        return False
    within = rules.require("opening.triangle.rail_within").value_mm
    underside = (design.packer or design.base).bottom
    beside = design.flight.nosings[max(step - 1, 0) : step + 1]
    return all(underside.at(u) - z <= within for u, z in beside)


def unguarded(end: EndFacts, design: Design, figure: Figure, edge: float, expanded: float) -> Opening | None:
    """The stretch of the flight's side beyond an end, from its face to ``edge``; None where nothing is left."""
    length = end.outer - edge if not end.at_head else edge - end.outer
    if length <= 0.0:
        return None
    low, high = sorted((edge, end.outer))
    rail, base = design.handrail.top, design.base.bottom
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
        limit=figure.value_mm,
        verdict=judge(length, expanded, figure.value_mm, figure.compare),
    )
