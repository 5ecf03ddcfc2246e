"""Upright infill at any lean from plumb to square to the rake, laid out square to itself.

In the elevation an upright is the strip of its width about its centre line, cut off by the rails and, near the
ends of a leaning infill, by the newels. Places along the infill are measured as s, square to the uprights:
s = u cos(lean) - z sin(lean).
"""

import math
from dataclasses import dataclass
from itertools import pairwise

from pitchline.design.brief import Bored, Leaning, Making, Shape, UprightsBrief
from pitchline.design.model import Bay, Upright
from pitchline.design.spacing import Layout, Run, lay_out
from pitchline.kit.errors import ImpossibleDesignError
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
class Stand:
    """How the uprights stand in the rails: the making, and their centre across the rail."""

    making: Making
    y: float = 0.0


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


@dataclass(frozen=True, slots=True)
class Ends:
    """Which ends of a bay have a face for the infill to die into; at a free end the last upright stands whole."""

    closed_start: bool = True
    closed_finish: bool = True


def run_of(sight: Outline, full: Outline, lean: float, ends: Ends) -> tuple[float, float]:
    """First and last place s that the uprights have between them.

    At a closed end it is the outermost corner of the field seen: leaning uprights die into the newel. At a free
    end it is the innermost corner of the field with its housings, so that the last upright stands whole.
    ImpossibleDesignError when nothing is left between them.
    """
    axes = Axes.of(lean)
    seen = [axes.s(point) for point in sight.points]
    first = min(seen) if ends.closed_start else max(_places(full, "start", axes))
    last = max(seen) if ends.closed_finish else min(_places(full, "finish", axes))
    if last <= first:
        raise ImpossibleDesignError(
            "the uprights lean so far that no whole one stands between the ends: lean them less, or put a newel "
            "where an end is free"
        )
    return first, last


def _places(outline: Outline, label: str, axes: Axes) -> list[float]:
    edge = outline.edge(label)
    return [axes.s(point) for point in edge or outline.points]


def spread_uprights(first: float, brief: UprightsBrief, run: Run, limit: float) -> Layout:
    """Spread the uprights over a run that begins at the place ``first``; centres as places s."""
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
    layout: Layout,
    bay: Bay,
    rails: Rails,
    lean: float,
    brief: UprightsBrief,
    stand: Stand,
    first: int = 1,
) -> tuple[Upright, ...]:
    """Every upright of a bay, numbered up the stair from ``first``.

    Strips that miss the field, or show less than a piece worth making, are left out; the gaps beside them run
    on to the next upright or to the end.
    """
    axes = Axes.of(lean)
    sight = _opened(Outline(bay.sight, bay.full.labels), bay)
    full = _opened(bay.full, bay)
    pieces = []
    for s in layout.centres:
        centre = axes.at(s, axes.t(bay.full.points[0]))
        seen = strip_within(sight, centre, axes.up, brief.width)
        if not seen.points or _height(seen, axes) < LEAST_PIECE:
            continue
        whole = _outline(full, bay, rails, centre, axes, brief.width, stand.making)
        if len(whole.points) >= 3:
            pieces.append((s, whole, seen))
    gaps = _gaps([s for s, _, _ in pieces], layout, brief.width)
    return tuple(
        Upright(
            mark=f"U{number:02d}",
            u=rails.base_face.meet(axes.at(s, 0.0), axes.up)[0],
            lean=lean,
            width=brief.width,
            thickness=brief.thickness,
            y=stand.y,
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
        for number, ((s, whole, seen), (before, after)) in enumerate(
            zip(pieces, pairwise(gaps), strict=True), first
        )
    )


def _gaps(kept: list[float], layout: Layout, width: float) -> list[float]:
    """Clear gaps before, between and after the uprights that were kept."""
    if not kept:
        return []
    first = layout.centres[0] - width / 2 - layout.start_gap
    last = layout.centres[-1] + width / 2 + layout.finish_gap
    inner = [after - before - width for before, after in pairwise(kept)]
    return [kept[0] - width / 2 - first, *inner, last - kept[-1] - width / 2]


def _opened(outline: Outline, bay: Bay) -> Outline:
    """A field run on past its free ends, where no face cuts the uprights."""
    base_start, base_finish, rail_finish, rail_start = outline.points
    start = (base_start, rail_start)
    finish = (base_finish, rail_finish)
    if not bay.closed_start:
        start = (_beyond(base_finish, base_start), _beyond(rail_finish, rail_start))
    if not bay.closed_finish:
        finish = (_beyond(base_start, base_finish), _beyond(rail_start, rail_finish))
    return Outline((start[0], finish[0], finish[1], start[1]), outline.labels)


def _beyond(a: Point2, b: Point2) -> Point2:
    """The point as far past ``b`` as ``b`` is from ``a``."""
    return (2 * b[0] - a[0], 2 * b[1] - a[1])


def _height(outline: Outline, axes: Axes) -> float:
    places = [axes.t(point) for point in outline.points]
    return max(places) - min(places)


def _profile(brief: UprightsBrief) -> tuple[tuple[float, float], ...]:
    """Turned profile with distances counted from the foot of the upright along its centre line."""
    if brief.shape is not Shape.TURNED:
        return ()
    return tuple((brief.turned_from + rise, diameter) for rise, diameter in brief.profile)


def _outline(
    full: Outline, bay: Bay, rails: Rails, centre: Point2, axes: Axes, width: float, making: Making
) -> Outline:
    if not isinstance(making, Bored):
        return strip_within(full, centre, axes.up, width)
    sides = [axes.at(axes.s(centre) + sign * width / 2, 0.0) for sign in (-1.0, 1.0)]
    low = min(axes.t(rails.base_face.meet(side, axes.up)) for side in sides) - making.base_depth
    high = max(axes.t(rails.rail_face.meet(side, axes.up)) for side in sides) + making.rail_depth
    s = axes.s(centre)
    corners = ((s - width / 2, low), (s + width / 2, low), (s + width / 2, high), (s - width / 2, high))
    square = Outline(tuple(axes.at(*corner) for corner in corners), ("base", "right", "rail", "left"))
    for label, closed in (("start", bay.closed_start), ("finish", bay.closed_finish)):
        if closed:
            square = _clip_to_edge(square, bay.full, label)
    return square


def _clip_to_edge(outline: Outline, field: Outline, label: str) -> Outline:
    edge = field.edge(label)
    if edge is None:
        return outline
    (au, az), (bu, bz) = edge
    return outline.clipped(HalfPlane((au, az), (bz - az, au - bu)), label)
