"""Upright infill at any lean from plumb to square to the rake, laid out square to itself.

In the elevation an upright is the strip of its width about its centre line, cut off by the rails and, near the
ends of a leaning infill, by the newels. Places along the infill are measured as s, square to the uprights:
s = u cos(lean) - z sin(lean).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from pitchline.design.brief import Leaning, Shape, UprightsBrief
from pitchline.design.model import Bar, Upright
from pitchline.design.spacing import Layout
from pitchline.kit.errors import ImpossibleDesignError
from pitchline.kit.geometry.lines import Line, Point2
from pitchline.kit.geometry.outlines import HalfPlane, Outline
from pitchline.kit.tolerances import LEAST_CROSSING_DEG, LEAST_PIECE


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


def crossing_lean(infill: UprightsBrief, *bars: Bar) -> float:
    """The lean asked for; ImpossibleDesignError where the uprights would lie along the rails."""
    lean = lean_of(infill.lean, bars[0].top.angle)
    crossing = min(math.cos(lean + bar.top.angle) for bar in bars)
    if crossing < math.sin(math.radians(LEAST_CROSSING_DEG)):
        raise ImpossibleDesignError(
            f"uprights that lean {math.degrees(lean):.0f} degrees from plumb lie along the rails: lean them less"
        )
    return lean


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


@dataclass(frozen=True, slots=True)
class Piece:
    """One upright cut: its place ``s``, the whole of it, what is seen of it, and where it meets what it stands on."""

    s: float
    whole: Outline
    seen: Outline
    u: float


def is_worth_making(piece: Piece, axes: Axes) -> bool:
    """Whether a strip that was cut off by the field leaves a piece to be made."""
    return (
        len(piece.seen.points) >= 3
        and len(piece.whole.points) >= 3
        and _height(piece.seen, axes) >= LEAST_PIECE
    )


def numbered(
    pieces: Sequence[Piece], layout: Layout, lean: float, brief: UprightsBrief, y: float, first: int = 1
) -> tuple[Upright, ...]:
    """The uprights of a bay, numbered up the stair from ``first``, with the gaps beside each.

    Gaps run on over a strip of the layout that left no piece to the next upright or to the end.
    """
    axes = Axes.of(lean)
    gaps = _gaps([piece.s for piece in pieces], layout, brief.width)
    return tuple(
        Upright(
            mark=f"U{number:02d}",
            u=piece.u,
            lean=lean,
            width=brief.width,
            thickness=brief.thickness,
            y=y,
            shape=brief.shape,
            outline=piece.whole,
            sight=piece.seen.points,
            foot=axes.at(piece.s, min(axes.t(point) for point in piece.whole.points)),
            gap_before=before,
            gap_after=after,
            profile=_profile(brief),
            narrowest=brief.narrowest,
            arris=brief.arris,
            material=brief.material,
        )
        for number, (piece, (before, after)) in enumerate(zip(pieces, pairwise(gaps), strict=True), first)
    )


def _gaps(kept: list[float], layout: Layout, width: float) -> list[float]:
    """Clear gaps before, between and after the uprights that were kept."""
    if not kept:
        return []
    first = layout.centres[0] - width / 2 - layout.start_gap
    last = layout.centres[-1] + width / 2 + layout.finish_gap
    inner = [after - before - width for before, after in pairwise(kept)]
    return [kept[0] - width / 2 - first, *inner, last - kept[-1] - width / 2]


def _height(outline: Outline, axes: Axes) -> float:
    places = [axes.t(point) for point in outline.points]
    return max(places) - min(places)


def _profile(brief: UprightsBrief) -> tuple[tuple[float, float], ...]:
    """Turned profile with distances counted from the foot of the upright along its centre line."""
    if brief.shape is not Shape.TURNED:
        return ()
    return tuple((brief.turned_from + rise, diameter) for rise, diameter in brief.profile)


def bored_end(face: Line, s: float, width: float, axes: Axes, depth: float, *, at_head: bool) -> float:
    """How far along the upright (t) a square end lies that is ``depth`` past a face at its shallow side."""
    sides = [axes.at(s + sign * width / 2, 0.0) for sign in (-1.0, 1.0)]
    places = [axes.t(face.meet(side, axes.up)) for side in sides]
    return max(places) + depth if at_head else min(places) - depth


def square_piece(s: float, width: float, axes: Axes, low: float, high: float) -> Outline:
    """An upright cut square to itself at both ends."""
    corners = ((s - width / 2, low), (s + width / 2, low), (s + width / 2, high), (s - width / 2, high))
    return Outline(tuple(axes.at(*corner) for corner in corners), ("base", "right", "rail", "left"))


def clip_to_edge(outline: Outline, field: Outline, label: str) -> Outline:
    """An outline cut off by one edge of a field."""
    edge = field.edge(label)
    if edge is None:
        return outline
    (au, az), (bu, bz) = edge
    return outline.clipped(HalfPlane((au, az), (bz - az, au - bu)), label)
