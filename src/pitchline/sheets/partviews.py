"""Each part drawn with its angles: the wide face and the edge, true sizes written, long pieces broken in the middle.

Pieces that differ only in length share one drawing; their lengths stand in the cut list.
"""

import math
from collections.abc import Iterable, Iterator
from itertools import pairwise

from pitchline.kit.drawing.marks import (
    Anchor,
    Area,
    Dimension,
    Drawing,
    Fill,
    Label,
    Mark,
    Pen,
    Points,
    Stroke,
)
from pitchline.kit.drawing.scales import fit_scale
from pitchline.kit.geometry.lines import Point2
from pitchline.kit.geometry.outlines import clip_half_plane
from pitchline.kit.geometry.views import Look, view
from pitchline.kit.tolerances import SAME_POINT
from pitchline.parts.part import Feature, Hole, Mortise, Notch, Part, RoundBar, Sawn, Tenon, Turning
from pitchline.sheets.broken import Broken, clipped_stroke, zigzag
from pitchline.sheets.families import Family
from pitchline.sheets.featurestrokes import feature_strokes
from pitchline.sheets.looking import Show
from pitchline.sheets.partnotes import EndWords, end_words, goes_in_at_an_end, part_notes
from pitchline.sheets.sawnviews import sawn_marks, sawn_of
from pitchline.sheets.tenonviews import parted_at_shoulders, strokes_of

NARROW = 62.0
"""Paper mm below which the words of the two ends do not fit side by side."""

LENGTH_ON_PAPER = 98.0
"""Paper mm that a part may be long before its middle is left out: three stand side by side on A3."""

WIDTH_ON_PAPER = 70.0
"""Paper mm that a sheet sawn to an outline may be wide."""

DIMENSION_ROW = 7.0
"""Paper mm from one row of dimensions to the next."""


def part_drawing(family: Family, show: Show, identity: str, *, inches: bool, first_angle: bool) -> Drawing:
    """One family drawn: wide face and edge, placed as first or third angle asks, notes below."""
    part = family.part
    scale = _scale(part, inches=inches)
    broken = _broken(part, scale)
    narrow = broken.drawn < NARROW * scale
    words = (end_words(part, "mitre", narrow=narrow), end_words(part, "bevel", narrow=narrow))
    places = tuple(_places(part, broken, show))
    row = DIMENSION_ROW if places else 0.0
    between = (part.width + part.thickness) / 2 + (words[0 if first_angle else 1].room + 4.5) * scale
    edge_at = -between if first_angle else between + row * scale
    below = 0.0 if first_angle else words[0].room
    lowest = (edge_at - part.thickness / 2, words[1].room) if first_angle else (-part.width / 2, below + 9.0)
    marks = (
        *_face(part, Look.FRONT, broken, 0.0),
        *_face(part, Look.HIGH_EDGE, broken, edge_at),
        *places,
        *_sizes(family, broken, show, edge_at, below, row),
        *_written(words[0], broken, -part.width / 2, scale),
        *_written(words[1], broken, edge_at - part.thickness / 2, scale),
        Label(
            (0.0, lowest[0] - (lowest[1] + 1.0) * scale),
            "\n".join(part_notes(part, show)),
            1.8,
            Anchor.TOP_LEFT,
        ),
    )
    title = f"{family.name}, {family.quantity} off"
    return Drawing(identity, title, scale, marks, "first angle" if first_angle else "third angle")


def _scale(part: Part, *, inches: bool) -> float:
    """The largest scale at which the section and a stretch of the length find room.

    Turned pieces and those sawn to an outline are drawn whole.
    """
    room = (20.0, 20.0) if sawn_of(part) is None else (WIDTH_ON_PAPER, WIDTH_ON_PAPER)
    section = fit_scale(part.width, part.thickness, room, inches=inches)
    if any(isinstance(feature, Turning | Sawn) for feature in part.features):
        return max(section, fit_scale(part.length, 1.0, (LENGTH_ON_PAPER, 20.0), inches=inches))
    stretch = fit_scale(min(part.length, 3.2 * part.width), 1.0, (LENGTH_ON_PAPER, 20.0), inches=inches)
    return max(section, stretch)


def _broken(part: Part, scale: float) -> Broken:
    budget = LENGTH_ON_PAPER * scale
    if part.length <= budget:
        return Broken(part.length, part.length, part.length, 0.0)
    gap = 4.0 * scale
    shown = (budget - gap) / 2
    return Broken(part.length, shown, part.length - shown, gap)


def _face(part: Part, look: Look, broken: Broken, lift: float) -> Iterator[Mark]:
    """One view of a part, lifted to its place."""
    sawn = sawn_of(part)
    if sawn is not None and look is Look.FRONT:
        yield from sawn_marks(sawn, lift)
        return
    seen = view(part.body, look)

    def up(points: Iterable[Point2]) -> Points:
        return tuple((x, y + lift) for x, y in points)

    turning = next((f for f in part.features if isinstance(f, Turning)), None)
    shapes: Iterable[Points] = [seen.outline]
    visible: Iterable[tuple[Point2, Point2]] = [(stroke.start, stroke.end) for stroke in seen.visible]
    if turning is not None:
        ends, turned = _turned_shapes(seen.outline, turning)
        shapes = [*ends, *turned]
        visible = [*_outside(visible, turning), *(edge for shape in turned for edge in _edges(shape))]
    tenons = [feature for feature in part.features if isinstance(feature, Tenon)]
    if tenons and turning is None:
        shapes = parted_at_shoulders(seen.outline, tenons, look.value.y)
        visible = list(strokes_of(shapes))
    within = (_stroke_inside(*stroke, seen.outline) for stroke in feature_strokes(part, look))
    hidden = [*((stroke.start, stroke.end) for stroke in seen.hidden), *filter(None, within)]
    round_about = any(isinstance(feature, RoundBar | Turning) for feature in part.features)
    centre = [((0.0, 0.0), (part.length, 0.0))] if round_about else []
    for shape in shapes:
        for piece in broken.pieces(shape):
            yield Area(up(piece), Fill.WOOD)
    for strokes, pen in ((visible, Pen.OUTLINE), (hidden, Pen.HIDDEN), (centre, Pen.CENTRE)):
        for start, end in strokes:
            for seen_part in broken.strokes(start, end):
                yield Stroke(up(seen_part), pen)
    if not broken.whole:
        half = (part.width if look is Look.FRONT else part.thickness) / 2
        for x in (broken.a, broken.a + broken.gap):
            yield Stroke(up(zigzag(x, half)), Pen.THIN)


def _turned_shapes(outline: Points, turning: Turning) -> tuple[list[Points], list[Points]]:
    """The square ends of a turned piece, and its turning from place to place, each as far as the piece goes."""
    low, high = turning.profile[0][0], turning.profile[-1][0]
    ends = [
        clip_half_plane(outline, (low, 0.0), (1.0, 0.0)),
        clip_half_plane(outline, (high, 0.0), (-1.0, 0.0)),
    ]
    turned = []
    for (x0, d0), (x1, d1) in pairwise(turning.profile):
        if x1 > x0:
            whole: Points = ((x0, -d0 / 2), (x1, -d1 / 2), (x1, d1 / 2), (x0, d0 / 2))
            turned.append(_inside(whole, outline))
    return [shape for shape in ends if len(shape) > 2], [shape for shape in turned if len(shape) > 2]


def _inside(points: Points, outline: Points) -> Points:
    """The part of one convex outline inside another that runs anticlockwise."""
    for a, b in _edges(outline):
        points = clip_half_plane(points, a, (b[1] - a[1], a[0] - b[0]))
    return points


def _stroke_inside(start: Point2, end: Point2, outline: Points) -> tuple[Point2, Point2] | None:
    """The stretch of a stroke inside a convex outline that runs anticlockwise; None where there is none."""
    low, high = 0.0, 1.0
    for a, b in _edges(outline):
        out = (b[1] - a[1], a[0] - b[0])
        beyond = (start[0] - a[0]) * out[0] + (start[1] - a[1]) * out[1]
        leaving = (end[0] - start[0]) * out[0] + (end[1] - start[1]) * out[1]
        if abs(leaving) < SAME_POINT:
            if beyond > SAME_POINT:
                return None
        elif leaving > 0:
            high = min(high, -beyond / leaving)
        else:
            low = max(low, -beyond / leaving)
    if high - low <= 0.0:
        return None
    span = (end[0] - start[0], end[1] - start[1])
    near, far = ((start[0] + t * span[0], start[1] + t * span[1]) for t in (low, high))
    return near, far


def _edges(points: Points) -> Iterator[tuple[Point2, Point2]]:
    """The edges of a closed outline in turn."""
    return zip(points, (*points[1:], *points[:1]), strict=True)


def _outside(strokes: Iterable[tuple[Point2, Point2]], turning: Turning) -> Iterator[tuple[Point2, Point2]]:
    """The edges of a square blank where they are left by its turning."""
    low, high = turning.profile[0][0], turning.profile[-1][0]
    for start, end in strokes:
        for reach in ((-math.inf, low), (high, math.inf)):
            left = clipped_stroke(start, end, *reach)
            if left is not None and left[0] != left[1]:
                yield left


def _places(part: Part, broken: Broken, show: Show) -> Iterator[Mark]:
    """Where holes and notches lie, from the start end, as far as the near half shows."""
    top = part.width / 2
    reach = math.inf if broken.whole else broken.a
    stops = [feature.high[0] for feature in part.features if isinstance(feature, Notch)]
    bored = [f for f in part.features if isinstance(f, Mortise) or _is_across(f)]
    stops += sorted(f.at[0] for f in bored if isinstance(f, Hole | Mortise))[:1]
    for x in stops:
        if 0.0 < x < min(reach, part.length):
            yield Dimension((0.0, top), (x, top), 5.0, show(x), direction_deg=0.0)


def _is_across(feature: Feature) -> bool:
    return isinstance(feature, Hole) and not goes_in_at_an_end(feature)


def _sizes(
    family: Family, broken: Broken, show: Show, edge_at: float, below: float, row: float
) -> Iterator[Mark]:
    """Length, width and thickness; the length stands above, or ``below`` the words under the wide face."""
    part = family.part
    half_w, half_t = part.width / 2, part.thickness / 2
    right = broken.drawn
    y, offset = (-half_w, -(below + 7.0)) if below else (half_w, 8.0 + row)
    yield Dimension((0.0, y), (right, y), offset, family.lengths(show), direction_deg=0.0)
    for middle, half, size in ((0.0, half_w, part.width), (edge_at, half_t, part.thickness)):
        yield Dimension((right, middle - half), (right, middle + half), -9.0, show(size), direction_deg=90.0)


def _written(words: EndWords, broken: Broken, y: float, scale: float) -> Iterator[Mark]:
    low = y - 3.0 * scale
    if words.both:
        short = broken.drawn < 1.5 * NARROW * scale
        at, anchor = (0.0, Anchor.TOP_LEFT) if short else (broken.drawn / 2, Anchor.TOP_CENTRE)
        yield Label((at, low), words.both, 1.8, anchor)
        return
    yield Label((0.0, low), words.start, 1.8, Anchor.TOP_LEFT)
    yield Label((broken.drawn, low), words.finish, 1.8, Anchor.TOP_RIGHT)
