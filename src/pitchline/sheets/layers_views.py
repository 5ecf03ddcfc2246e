"""Layers for the router as pictures: each as it lies on the bed, stacks drawn apart, nests on their sheets."""

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import pairwise

from pitchline.kit.cutting.nests import NestedSheet
from pitchline.kit.drawing.marks import (
    Anchor,
    Area,
    Dimension,
    Disc,
    Drawing,
    Fill,
    Label,
    Mark,
    Pen,
    Point,
    Stroke,
    bounds,
)
from pitchline.kit.geometry.arcs_found import as_circle
from pitchline.kit.geometry.contours import Contour
from pitchline.kit.geometry.frames import Frame
from pitchline.making.layers_nest import seen_outline
from pitchline.making.router import Cut, Layer, Stack, Way
from pitchline.sheets.layers_files import PlacedLayer, moved_point
from pitchline.sheets.looking import Show

CHORD = 0.05
"""mm by which chords of a picture leave an arc."""

SMALL = 1.8
"""Height of small capitals, paper mm."""


def layer_drawing(layer: Layer, design: str, show: Show, scale: float) -> Drawing:
    """A layer as one looks down on it: outline, openings, pockets, bores, tabs, trim line, arrow."""
    ring = seen_outline(layer)
    xs, ys = [x for x, _ in ring], [y for _, y in ring]
    low, high = (min(xs), min(ys)), (max(xs), max(ys))
    marks: list[Mark] = list(_wood(layer))
    for cut in layer.cuts:
        marks += _cut(cut)
    for cut in layer.under:
        marks += [Stroke(points, Pen.HIDDEN, closed=True) for points in (_flipped(_points(cut.contour)),)]
    marks += [Stroke((tab.start, tab.end), Pen.ACCENT) for tab in layer.tabs]
    marks += [Stroke((one.start, one.end), Pen.CENTRE) for one in layer.scores]
    marks += _arrow(low, high, scale)
    marks.append(Dimension((low[0], low[1]), (high[0], low[1]), -7.0, show(high[0] - low[0]), 0.0))
    marks.append(Dimension((high[0], low[1]), (high[0], high[1]), -5.0, show(high[1] - low[1]), 90.0))
    return Drawing(f"{design}-layer-{layer.name}", _title(layer, show), scale, tuple(marks))


def _title(layer: Layer, show: Show) -> str:
    times = f"{layer.quantity} off, " if layer.quantity > 1 else ""
    return f"{layer.name}: {times}{show(layer.thickness)} thick"


def _wood(layer: Layer) -> Iterator[Mark]:
    """The wood, openings left free."""
    outside = next(cut for cut in layer.cuts if cut.way is Way.OUTSIDE)
    holes = tuple(
        _points(cut.contour)
        for cut in layer.cuts
        if cut.way in (Way.INSIDE, Way.BORE) and cut.depth >= layer.thickness - 0.01
    )
    yield Area(_points(outside.contour), Fill.WOOD, holes, Pen.OUTLINE)


def _cut(cut: Cut) -> Iterator[Mark]:
    if cut.way is Way.OUTSIDE:
        return
    round_one = as_circle(cut.contour)
    if round_one is not None:
        centre, radius = round_one
        yield Disc(centre, radius, Pen.THIN if cut.way is Way.BORE else Pen.OUTLINE)
    elif cut.way is Way.POCKET:
        yield Area(_points(cut.contour), Fill.GREY, pen=Pen.THIN)
    else:
        yield Stroke(_points(cut.contour), Pen.OUTLINE, closed=True)


def _points(contour: Contour) -> tuple[Point, ...]:
    return contour.points(CHORD)


def _flipped(points: Iterable[Point]) -> tuple[Point, ...]:
    return tuple((x, -y) for x, y in points)


def _arrow(low: Point, high: Point, scale: float) -> Iterator[Mark]:
    """Above the piece, pointing to the head of the stair or up."""
    length = min(18.0 * scale, (high[0] - low[0]) * 0.6)
    y = high[1] + 3.0 * scale
    tip, tail = (low[0] + length, y), (low[0], y)
    barb = min(2.0 * scale, length / 3.0)
    yield Stroke((tail, tip), Pen.NOTE)
    yield Stroke(((tip[0] - barb, y + barb / 3.0), tip, (tip[0] - barb, y - barb / 3.0)), Pen.NOTE)


def stack_drawing(stack: Stack, design: str, show: Show, scale: float) -> Drawing:
    """The layers of a stack drawn apart, each at its place along the whole; dowels run through them."""
    frame = stack.layers[0].target.frame
    rows = sorted({layer.number for layer in stack.layers})
    none = dict.fromkeys(rows, 0.0)
    deep = {row: _depth(stack.layers, row, frame, none) for row in rows}
    marks: list[Mark] = []
    base = 0.0
    offsets: dict[int, float] = {}
    for row in rows:
        low, high = deep[row]
        offsets[row] = base - high
        base += (low - high) - APART * scale
    pegs: dict[int, list[Point]] = {row: [] for row in rows}
    for layer in stack.layers:
        (ring,) = layer.outline
        marks.append(Area(_apart(layer, frame, offsets, ring), Fill.WOOD, pen=Pen.OUTLINE))
        marks += _worked(layer, frame, offsets)
        at = _apart(layer, frame, offsets, [point for point, _ in layer.dowels])
        marks += [
            Disc(point, size / 2.0, Pen.THIN) for point, (_, size) in zip(at, layer.dowels, strict=True)
        ]
        pegs[layer.number] += at
    marks += _pegs(pegs, rows)
    left = bounds(marks).left
    for row in rows:
        low, high = deep[row]
        words = _row_words([layer for layer in stack.layers if layer.number == row])
        foot = (left, offsets[row] + high + 1.6 * scale)
        marks.append(_patch(foot, words, scale))
        marks.append(Label(foot, words, SMALL, Anchor.BASE_LEFT))
    title = f"{stack.what[0].upper()}{stack.what[1:]} drawn apart: {len(rows)} layers"
    return Drawing(f"{design}-stack-{stack.name}", title, scale, tuple(marks), "layer 1 on top")


def _apart(
    layer: Layer, frame: Frame, offsets: Mapping[int, float], points: Iterable[Point]
) -> tuple[Point, ...]:
    """Points of a layer where they lie along the whole stack, in the row of their layer."""
    found = (frame.to_local(layer.target.frame.to_world((x, y, 0.0))) for x, y in points)
    return tuple((x, y + offsets[layer.number]) for x, y, _ in found)


def _worked(layer: Layer, frame: Frame, offsets: Mapping[int, float]) -> Iterator[Mark]:
    """Openings and pockets of a layer, in its place; dowel holes are told by themselves."""
    for sense, cuts, pen in ((layer.up, layer.cuts, Pen.THIN), (-layer.up, layer.under, Pen.HIDDEN)):
        for cut in cuts:
            if cut.way in (Way.INSIDE, Way.POCKET):
                own = ((x, sense * y) for x, y in _points(cut.contour))
                yield Stroke(_apart(layer, frame, offsets, own), pen, closed=True)


def _patch(foot: Point, words: str, scale: float) -> Mark:
    """Paper left white behind words, so that no line runs through them."""
    wide, high = LETTER * len(words) * scale, SMALL * 1.5 * scale
    x, y = foot[0], foot[1] - 0.4 * scale
    return Area(((x, y), (x + wide, y), (x + wide, y + high), (x, y + high)), Fill.WHITE)


LETTER = 1.05
"""Paper mm that a small letter takes on the average."""

APART = 9.0
"""Paper mm between the layers of a stack."""


def _depth(layers: Iterable[Layer], row: int, frame: Frame, none: Mapping[int, float]) -> tuple[float, float]:
    """How far the layers of one row reach across the stack."""
    mine = (layer for layer in layers if layer.number == row)
    ys = [y for layer in mine for ring in layer.outline for _, y in _apart(layer, frame, none, ring)]
    return min(ys), max(ys)


def _row_words(layers: Sequence[Layer]) -> str:
    names = list(dict.fromkeys(layer.name for layer in layers))
    shown = ", ".join(names[:6]) + (" ..." if len(names) > 6 else "")
    return f"Layer {layers[0].number + 1}: {shown}"


def _pegs(pegs: dict[int, list[Point]], rows: Sequence[int]) -> Iterator[Mark]:
    """Chain lines along dowels that stand in two layers next to one another."""
    for one, other in pairwise(rows):
        for x, y in pegs[one]:
            met = [p for p in pegs[other] if abs(p[0] - x) < SAME_PEG]
            if met:
                yield Stroke(((x, y), min(met, key=lambda p: math.dist(p, (x, y)))), Pen.CENTRE)


SAME_PEG = 0.5
"""mm between the places of one dowel in two layers."""


def nest_drawing(
    design: str, number: int, sheet: NestedSheet, pieces: Sequence[PlacedLayer], show: Show, scale: float
) -> Drawing:
    """One sheet with the layers on it; the rest beyond them is told by its length."""
    corners = ((0.0, 0.0), (sheet.length, 0.0), (sheet.length, sheet.width), (0.0, sheet.width))
    marks: list[Mark] = [Area(corners, Fill.WHITE, pen=Pen.THIN)]
    for piece in pieces:
        ring = tuple(moved_point(p, piece) for p in seen_outline(piece.layer))
        holes = tuple(
            tuple(moved_point(p, piece) for p in _points(cut.contour))
            for cut in piece.layer.cuts
            if cut.way is Way.INSIDE
        )
        marks.append(Area(ring, Fill.WOOD, holes, Pen.OUTLINE))
        marks += _nest_name(piece.layer.name, ring, scale)
    marks.append(Dimension((0.0, 0.0), (sheet.used, 0.0), -6.0, show(sheet.used), 0.0))
    marks.append(Dimension((sheet.length, 0.0), (sheet.length, sheet.width), -6.0, show(sheet.width), 90.0))
    title = f"Nest {number}: {sheet.stock}"
    return Drawing(f"{design}-nest-{number:02d}", title, scale, tuple(marks), "grain along the sheet")


def _nest_name(name: str, ring: Sequence[Point], scale: float) -> Iterator[Mark]:
    """The name inside a piece where it finds room, along its longer way."""
    xs, ys = [x for x, _ in ring], [y for _, y in ring]
    long, high = max(xs) - min(xs), max(ys) - min(ys)
    middle = ((max(xs) + min(xs)) / 2.0, (max(ys) + min(ys)) / 2.0)
    along, across = max(long, high) / scale, min(long, high) / scale
    if across >= LEAST_NAMED and along >= 1.3 * len(name):
        yield Label(middle, name, min(SMALL, across * 0.55), Anchor.MIDDLE, 90.0 if high > long else 0.0)


LEAST_NAMED = 1.9
"""Paper mm across a nested piece from which its name stands on it; the nest's file names every one."""


def cut_words(layer: Layer, show: Show) -> str:
    """The cuts of a layer in words, like ones together."""
    told: dict[str, int] = {}
    for cut in (*layer.cuts, *layer.under):
        if cut.way is Way.OUTSIDE:
            continue
        round_one = as_circle(cut.contour)
        size = f" {show(2.0 * round_one[1])}" if round_one is not None else ""
        through = cut.depth >= layer.thickness - 0.01
        what = {Way.BORE: "bore", Way.POCKET: "pocket", Way.INSIDE: "opening"}[cut.way]
        words = f"{what}{size} {'through' if through else show(cut.depth) + ' deep'}"
        told[words] = told.get(words, 0) + 1
    return "; ".join(f"{count} x {words}" if count > 1 else words for words, count in told.items())
