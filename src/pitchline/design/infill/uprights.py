"""Upright infill at any lean from plumb to square to the rake, laid out square to itself.

In the elevation an upright is the strip of its width about its centre line, cut off by the rails and, near the
ends of a leaning infill, by the newels. Places along the infill are measured as s, square to the uprights:
s = u cos(lean) - z sin(lean).
"""

import math
from dataclasses import dataclass

from pitchline.design.brief import Bored, Leaning, Making, Shape, UprightsBrief
from pitchline.design.model import Bay, Upright
from pitchline.design.spacing import Layout, Run, lay_out
from pitchline.kit.geometry.lines import Line, Point2
from pitchline.kit.geometry.outlines import HalfPlane, Outline, strip_within
from pitchline.kit.tolerances import LEAST_PIECE


@dataclass(frozen=True, slots=True)
class Rails:
    """The faces of the rails that look at the infill."""

    base_face: Line
    rail_face: Line
    rake: float


@dataclass(frozen=True, slots=True)
class Axes:
    """The uprights' own axes in the elevation: ``up`` along them, ``out`` square to them, up the stair."""

    up: Point2
    out: Point2

    @staticmethod
    def of(lean: float) -> "Axes":
        """Axes for a lean from plumb (radians, positive when the top leans up the stair)."""
        return Axes((math.sin(lean), math.cos(lean)), (math.cos(lean), -math.sin(lean)))

    def s(self, point: Point2) -> float:
        """Place of a point square to the uprights."""
        return point[0] * self.out[0] + point[1] * self.out[1]

    def t(self, point: Point2) -> float:
        """Place of a point along the uprights."""
        return point[0] * self.up[0] + point[1] * self.up[1]

    def at(self, s: float, t: float) -> Point2:
        """The point at (s, t)."""
        return (s * self.out[0] + t * self.up[0], s * self.out[1] + t * self.up[1])


def lean_of(wish: Leaning | float, rake: float) -> float:
    """The lean asked for, as an angle from plumb; square to a rising rake leans back towards the foot."""
    if isinstance(wish, Leaning):
        return 0.0 if wish is Leaning.PLUMB else -rake
    return wish


def run_of(sight: Outline, lean: float) -> tuple[float, float]:
    """First and last place s of the field: corner to corner where the uprights lean, face to face where plumb."""
    axes = Axes.of(lean)
    places = [axes.s(point) for point in sight.points]
    return min(places), max(places)


def spread_uprights(bay_sight: Outline, lean: float, brief: UprightsBrief, run: Run, limit: float) -> Layout:
    """Spread the uprights over the run, centres as places s."""
    first, _ = run_of(bay_sight, lean)
    layout = lay_out(run, limit, brief.spacing)
    return Layout(
        tuple(first + centre for centre in layout.centres),
        layout.gap,
        layout.start_gap,
        layout.finish_gap,
        layout.note,
        layout.fits,
    )


def make_uprights(
    layout: Layout, bay: Bay, rails: Rails, lean: float, brief: UprightsBrief, making: Making
) -> tuple[Upright, ...]:
    """Every upright of a bay, numbered from the foot of the stair; strips that miss the field are left out."""
    axes = Axes.of(lean)
    sight = Outline(bay.sight, bay.full.labels)
    pieces = []
    for index, s in enumerate(layout.centres):
        centre = axes.at(s, axes.t(bay.full.points[0]))
        seen = strip_within(sight, centre, axes.up, brief.width)
        if not seen.points or _height(seen, axes) < LEAST_PIECE:
            continue
        whole = _outline(bay, rails, centre, axes, brief.width, making)
        before = layout.start_gap if index == 0 else layout.gap
        after = layout.finish_gap if index == len(layout.centres) - 1 else layout.gap
        pieces.append((s, whole, seen, before, after))
    return tuple(
        Upright(
            mark=f"U{number:02d}",
            u=rails.base_face.meet(axes.at(s, 0.0), axes.up)[0],
            lean=lean,
            width=brief.width,
            thickness=brief.thickness,
            y=0.0,
            shape=brief.shape,
            outline=whole,
            sight=seen.points,
            foot=axes.at(s, min(axes.t(point) for point in whole.points)),
            gap_before=before,
            gap_after=after,
            profile=_profile(brief),
            narrowest=brief.narrowest,
            arris=brief.arris,
            material=brief.material,
        )
        for number, (s, whole, seen, before, after) in enumerate(pieces, start=1)
    )


def _height(outline: Outline, axes: Axes) -> float:
    places = [axes.t(point) for point in outline.points]
    return max(places) - min(places)


def _profile(brief: UprightsBrief) -> tuple[tuple[float, float], ...]:
    """Turned profile with distances counted from the foot of the upright along its centre line."""
    if brief.shape is not Shape.TURNED:
        return ()
    return tuple((brief.turned_from + rise, diameter) for rise, diameter in brief.profile)


def _outline(bay: Bay, rails: Rails, centre: Point2, axes: Axes, width: float, making: Making) -> Outline:
    if not isinstance(making, Bored):
        return strip_within(bay.full, centre, axes.up, width)
    sides = [axes.at(axes.s(centre) + sign * width / 2, 0.0) for sign in (-1.0, 1.0)]
    low = min(axes.t(rails.base_face.meet(side, axes.up)) for side in sides) - making.base_depth
    high = max(axes.t(rails.rail_face.meet(side, axes.up)) for side in sides) + making.rail_depth
    s = axes.s(centre)
    corners = ((s - width / 2, low), (s + width / 2, low), (s + width / 2, high), (s - width / 2, high))
    square = Outline(tuple(axes.at(*corner) for corner in corners), ("base", "right", "rail", "left"))
    for label in ("start", "finish"):
        square = _clip_to_edge(square, bay.full, label)
    return square


def _clip_to_edge(outline: Outline, field: Outline, label: str) -> Outline:
    edge = field.edge(label)
    if edge is None:
        return outline
    (au, az), (bu, bz) = edge
    return outline.clipped(HalfPlane((au, az), (bz - az, au - bu)), label)
