"""Openings under the base rail, one for each step, judged as the place judges that triangle.

Modes: *same* (as every opening beside the stair); *sphere* (a ball of its own); *exempt_if_rail_within* (free where
the rail runs near enough to the nosings, else as every opening); *not_below_nosing_line* (only what lies above the
line of the nosings is an opening); *cube* (the largest square in the plane of the elevation). Lengths in mm.
"""

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

import shapely
from shapely.geometry import Polygon, box

from pitchline.catalogue.rules import RuleSet
from pitchline.checks.cubes import largest_square
from pitchline.checks.opening_limits import (
    Opening,
    OpeningKind,
    judged_against,
    limit_figure,
    triangle_mode,
)
from pitchline.checks.setting_out import rail_height_expanded, triangle_place
from pitchline.design.model import Design
from pitchline.kit.finding import Verdict
from pitchline.kit.geometry.balls import Ball, largest_ball_centred_in
from pitchline.kit.geometry.outlines import Points, from_shapely, to_shapely


def under_openings(design: Design, rules: RuleSet, outlines: Sequence[Polygon]) -> Iterator[Opening]:
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
    over_floor = design.flight.is_level or step == len(design.flight.nosings)
    figure = limit_figure(rules, OpeningKind.UNDER, over_floor=over_floor)
    mode = triangle_mode(rules)
    expanded = _under_expanded(design, step, mode)
    cube = None
    if mode == "cube" and figure is not None and not over_floor and ball.diameter >= figure.value_mm:
        cube = largest_square(to_shapely(outline), design.base_rail.bottom.slope)
    measured = ball.diameter if cube is None else cube
    limit, verdict = None if figure is None else figure.value_mm, judged_against(measured, expanded, figure)
    if mode == "exempt_if_rail_within" and verdict is not Verdict.PASS:
        near = _near_the_nosings(design, rules, step)
        if near is Verdict.PASS:
            limit, verdict = None, Verdict.PASS
        elif near is Verdict.UNSURE:
            verdict = Verdict.UNSURE
    return Opening(
        where=f"under the base rail {_step_words(design, step)}",
        kind=OpeningKind.UNDER,
        outline=outline,
        ball=ball,
        expanded=expanded,
        limit=limit,
        verdict=verdict,
        step=step,
        rule="opening.general" if figure is None else figure.id,
        cube=cube,
    )


def _step_words(design: Design, step: int) -> str:
    if design.flight.is_level:
        return "over the floor"
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


def cube_share(slope: float) -> float:
    """How much the largest square in a right angle grows for each mm that the rail rises: 1/(1 + tan p)."""
    return 1.0 / (1.0 + max(slope, 0.0))


def opening_share(slope: float, mode: str) -> float:
    """How much what is measured under the rail grows for each mm that the rail rises, by the mode of the place."""
    if mode == "not_below_nosing_line":
        return 1.0 / math.hypot(1.0, slope)
    return cube_share(slope) if mode == "cube" else triangle_share(slope)


def _under_expanded(design: Design, step: int, mode: str) -> float:
    """Expanded uncertainty of what is measured over a step: that of the rail's height, in proportion."""
    underside = design.base_rail.bottom
    share = triangle_share(underside.slope) if mode == "cube" else opening_share(underside.slope, mode)
    return share * rail_height_expanded(design, underside, *triangle_place(design, step))


def rail_above_nosings(design: Design, step: int) -> tuple[float, float]:
    """The greatest plumb height of the rail's underside over the nosings beside a step, with its uncertainty."""
    underside = (design.packer or design.base_rail).bottom
    numbers = range(max(step - 1, 0) + 1, min(step + 1, len(design.flight.nosings)) + 1)
    heights = [(underside.at(u) - z, k) for k in numbers for u, z in (design.flight.nosings[k - 1],)]
    height, number = max(heights)
    return height, rail_height_expanded(design, underside, number)


def _near_the_nosings(design: Design, rules: RuleSet, step: int) -> Verdict:
    """Whether the rail runs near enough to the nosings beside a step for the triangle to be free."""
    return judged_against(*rail_above_nosings(design, step), rules.figure("opening.triangle.rail_within"))
