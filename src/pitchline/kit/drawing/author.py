"""Marks -> ink: every mark laid out once for the drawing's scale, whatever it is written as afterwards."""

import math
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

from pitchline.kit.drawing.dimensioning import (
    lay_angle,
    lay_dimension,
    lay_label,
    lay_leader,
    lay_level,
    lay_running,
)
from pitchline.kit.drawing.ink import (
    Arc,
    Hatching,
    Ink,
    Inked,
    Line,
    Nib,
    Patch,
    RoundPatch,
    Writing,
    ink_bounds,
)
from pitchline.kit.drawing.lettering import FONT_FOLDER, open_face
from pitchline.kit.drawing.marks import (
    AngleMark,
    Annotation,
    ArcMark,
    Area,
    Bounds,
    Dimension,
    Disc,
    Drawing,
    Hatch,
    HeightMark,
    Label,
    Leader,
    Mark,
    Pen,
    Point,
    Points,
    RunningMarks,
    Stroke,
)


def lay_out(drawing: Drawing, fonts: Path = FONT_FOLDER) -> tuple[Inked, ...]:
    """The ink of every mark, things drawn first and annotations after them, each in the order given.

    OutputError if the letters are missing from ``fonts``.
    """
    nib = Nib(drawing.scale, open_face(fonts))
    inked = [Inked(mark, lay_mark(mark, nib)) for mark in drawing.marks]
    return tuple(sorted(inked, key=lambda one: isinstance(one.mark, Annotation)))


def lay_mark(mark: Mark, nib: Nib) -> tuple[Ink, ...]:
    """The ink of one mark."""
    if isinstance(mark, Annotation) and mark.pen is Pen.ACCENT:
        mark = replace(mark, pen=Pen.ACCENT_NOTE)
    match mark:
        case Dimension():
            ink = lay_dimension(mark, nib)
        case RunningMarks():
            ink = lay_running(mark, nib)
        case AngleMark():
            ink = lay_angle(mark, nib)
        case Leader():
            ink = lay_leader(mark, nib)
        case HeightMark():
            ink = lay_level(mark, nib)
        case Label():
            ink = lay_label(mark, nib)
        case _:
            ink = _lay_thing(mark, nib)
    return ink


def _lay_thing(mark: Stroke | Area | Hatch | ArcMark | Disc, nib: Nib) -> tuple[Ink, ...]:
    match mark:
        case Stroke():
            return (Line(mark.points, mark.pen, mark.closed),)
        case ArcMark():
            sweep = (mark.end_deg - mark.start_deg) % 360.0 or 360.0
            return (Arc(mark.centre, mark.radius, mark.start_deg, sweep, mark.pen),)
        case Disc():
            circle = Arc(mark.centre, mark.radius, 0.0, 360.0, mark.pen)
            return (
                (circle,) if mark.fill is None else (RoundPatch(mark.centre, mark.radius, mark.fill), circle)
            )
        case Area():
            rings = (mark.outline, *mark.holes)
            edges = () if mark.pen is None else tuple(Line(ring, mark.pen, closed=True) for ring in rings)
            return (Patch(rings, mark.fill), *edges)
        case Hatch():
            rings = (mark.outline, *mark.holes)
            spacing = nib.model(mark.spacing_mm)
            lines = hatch_lines(rings, mark.angle_deg, spacing)
            return (Hatching(lines, rings, mark.angle_deg, spacing, mark.pen),)


def hatch_lines(
    rings: tuple[Points, ...], angle_deg: float, spacing: float
) -> tuple[tuple[Point, Point], ...]:
    """Parallel lines at whole multiples of ``spacing`` from the origin, cut to the rings by the even-odd rule."""
    c, s = math.cos(math.radians(angle_deg)), math.sin(math.radians(angle_deg))
    turned = [[(x * c + y * s, -x * s + y * c) for x, y in ring] for ring in rings]
    edges = [edge for ring in turned for edge in pairwise((*ring, ring[0]))]
    crossings: dict[int, list[float]] = {}
    for (ua, va), (ub, vb) in edges:
        (low, u_low), (high, u_high) = sorted(((va, ua), (vb, ub)))
        for number in range(math.ceil(low / spacing), math.ceil(high / spacing)):
            share = (number * spacing - low) / (high - low)
            crossings.setdefault(number, []).append(u_low + share * (u_high - u_low))
    lines = []
    for number in sorted(crossings):
        v = number * spacing
        met = sorted(crossings[number])
        for start, end in zip(met[::2], met[1::2], strict=True):
            lines.append(((start * c - v * s, start * s + v * c), (end * c - v * s, end * s + v * c)))
    return tuple(lines)


def extents(inked: tuple[Inked, ...]) -> Bounds:
    """Box round all ink in model mm, dimensions and letters included; ValueError if there is none."""
    boxes = [ink_bounds(ink) for one in inked for ink in one.ink]
    if not boxes:
        raise ValueError("a drawing without marks has no extents")
    box = boxes[0]
    for other in boxes[1:]:
        box = box.joined(other)
    return box


def in_drawing_order(inked: tuple[Inked, ...]) -> tuple[Ink, ...]:
    """All ink in the order in which it is put on paper: things, then dimension lines, then letters."""
    ink = [one for laid in inked for one in laid.ink]
    return tuple(sorted(ink, key=lambda one: isinstance(one, Writing)))
