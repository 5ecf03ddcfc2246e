"""Layers as drawing files for a router: every depth and side of the path a layer of its own, arrow and name beside.

Names of layers say what is done: ``Cut outside, 17.60 deep``; numbers are mm from the upper face. A piece that is
worked from both faces has a second file for the face that lies up after it was turned over about its length.
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from pitchline.kit.cutting.nests import NestedSheet
from pitchline.kit.drawing.router_dxf import (
    Bore,
    ClosedPath,
    OpenPath,
    RouterLayer,
    RouterMark,
    Words,
    write_router,
)
from pitchline.kit.geometry.arcs_found import as_circle
from pitchline.kit.geometry.contours import Arc, Contour, Piece, Straight
from pitchline.kit.geometry.lines import Point2
from pitchline.making.layers_nest import seen_outline
from pitchline.making.router import Cut, Layer, Way
from pitchline.making.routing import Holding, Routing

SCORE_DEPTH = 0.5
"""mm deep a trim line is scored."""

NAMES, ARROW, TABS, EDGE = "Names", "Arrow to the head or top", "Tabs", "Edge of the sheet"

_WAYS = {
    Way.OUTSIDE: "Cut outside",
    Way.INSIDE: "Cut inside",
    Way.ON: "Score on the line",
    Way.POCKET: "Pocket",
    Way.BORE: "Bore",
}
_COLOURS = {Way.OUTSIDE: 1, Way.INSIDE: 5, Way.ON: 30, Way.POCKET: 3, Way.BORE: 6}
_DEEP = re.compile(r"^(?P<way>.+), (?P<depth>\d+\.\d\d) deep$")


def layer_name(way: Way, depth: float) -> str:
    """What a layer is called on which paths of one kind and depth lie."""
    return f"{_WAYS[way]}, {depth:.2f} deep"


def read_name(name: str) -> tuple[Way, float] | None:
    """What a layer's name says; None for one that nothing is cut on."""
    found = _DEEP.match(name)
    if found is None:
        return None
    ways = {words: way for way, words in _WAYS.items()}
    return ways[found["way"]], float(found["depth"])


def layer_marks(layer: Layer, routing: Routing, *, under: bool = False) -> tuple[RouterMark, ...]:
    """Everything that is drawn of a layer's upper face, or of its under face as it lies when that is up."""
    cuts = layer.under if under else layer.cuts
    marks: list[RouterMark] = [_cut_mark(cut, layer, routing) for cut in cuts]
    if not under:
        scored = layer_name(Way.ON, SCORE_DEPTH)
        marks += [OpenPath(scored, (Straight(one.start, one.end),)) for one in layer.scores]
        marks += [OpenPath(_tabs(routing), (Straight(tab.start, tab.end),)) for tab in layer.tabs]
    return (*marks, *_name_marks(layer, mirrored=under))


def _tabs(routing: Routing) -> str:
    return f"{TABS}, leave {routing.tab_height:.2f}"


def _cut_mark(cut: Cut, layer: Layer, routing: Routing) -> RouterMark:
    through = cut.way in (Way.OUTSIDE, Way.INSIDE)
    skin = routing.skin if through and routing.holding is Holding.SKIN else 0.0
    name = layer_name(cut.way, cut.depth - skin)
    round_one = as_circle(cut.contour)
    if cut.way is Way.BORE and round_one is not None:
        centre, radius = round_one
        return Bore(name, centre, 2.0 * radius)
    return ClosedPath(name, cut.contour)


def _name_marks(layer: Layer, *, mirrored: bool) -> Iterator[RouterMark]:
    """The arrow along the piece and its name: towards the head of the stair, or up."""
    ring = seen_outline(layer)
    xs, ys = [x for x, _ in ring], [y for _, y in ring]
    middle = ((min(xs) + max(xs)) / 2.0, (min(ys) + max(ys)) / 2.0)
    if mirrored:
        middle = (middle[0], -middle[1])
    room = min(max(xs) - min(xs), max(ys) - min(ys))
    height = min(8.0, max(2.5, room / 4.0))
    length = min(60.0, (max(xs) - min(xs)) / 3.0)
    down = height * 1.1
    tip, tail = (middle[0] + length / 2.0, middle[1] - down), (middle[0] - length / 2.0, middle[1] - down)
    yield OpenPath(ARROW, (Straight(tail, tip),))
    barb = height / 2.0
    wings = ((tip[0] - barb, tip[1] + barb / 2.0), tip, (tip[0] - barb, tip[1] - barb / 2.0))
    yield OpenPath(ARROW, (Straight(wings[0], wings[1]), Straight(wings[1], wings[2])))
    words = f"{layer.name}{', under face' if mirrored else ''}"
    yield Words(NAMES, (middle[0], middle[1] + height * 0.4), words, height)


def layer_file(layer: Layer, routing: Routing, *, under: bool = False) -> bytes:
    """The DXF file of one layer's face."""
    marks = layer_marks(layer, routing, under=under)
    return write_router(layers_of(marks), marks)


def layers_of(marks: Iterable[RouterMark]) -> tuple[RouterLayer, ...]:
    """The layers that marks lie on, in the order of working: bores and pockets, openings, then outlines."""
    names = sorted({mark.layer for mark in marks}, key=_order)
    return tuple(RouterLayer(name, _colour(name)) for name in names)


_ORDER = (Way.ON, Way.BORE, Way.POCKET, Way.INSIDE, Way.OUTSIDE)


def _order(name: str) -> tuple[int, str]:
    told = read_name(name)
    return (len(_ORDER), name) if told is None else (_ORDER.index(told[0]), name)


def _colour(name: str) -> int:
    told = read_name(name)
    if told is not None:
        return _COLOURS[told[0]]
    return {NAMES: 7, ARROW: 7, EDGE: 8}.get(name, 2)


@dataclass(frozen=True)
class PlacedLayer:
    """A layer where it lies on a sheet: turned by quarter turns, then moved."""

    layer: Layer
    angle_deg: float
    by: Point2


def placed(layers: Sequence[Layer], sheet: NestedSheet) -> tuple[PlacedLayer, ...]:
    """The layers of a nested sheet where they lie."""
    known = {layer.name: layer for layer in layers}
    found = []
    for nested in sheet.shapes:
        layer = known[nested.shape]
        turned = [_turned(p, nested.angle_deg) for p in seen_outline(layer)]
        low = (min(x for x, _ in turned), min(y for _, y in turned))
        found.append(PlacedLayer(layer, nested.angle_deg, (nested.x - low[0], nested.y - low[1])))
    return tuple(found)


def sheet_file(sheet: NestedSheet, pieces: Sequence[PlacedLayer], routing: Routing) -> bytes:
    """The DXF file of a whole sheet: its lower left corner is the origin, x runs along its grain."""
    corners = ((0.0, 0.0), (sheet.length, 0.0), (sheet.length, sheet.width), (0.0, sheet.width))
    edge = tuple(Straight(corners[k], corners[(k + 1) % 4]) for k in range(4))
    marks: list[RouterMark] = [ClosedPath(EDGE, Contour(edge))]
    for piece in pieces:
        marks += [_moved(mark, piece) for mark in layer_marks(piece.layer, routing)]
    return write_router(layers_of(marks), marks)


def _turned(point: Point2, angle_deg: float) -> Point2:
    """By whole quarter turns, exactly."""
    x, y = point
    for _ in range(round(angle_deg / 90.0) % 4):
        x, y = -y, x
    return (x, y)


def _moved(mark: RouterMark, piece: PlacedLayer) -> RouterMark:
    match mark:
        case ClosedPath():
            return replace(mark, contour=Contour(tuple(moved_piece(p, piece) for p in mark.contour.pieces)))
        case OpenPath():
            return replace(mark, pieces=tuple(moved_piece(p, piece) for p in mark.pieces))
        case Bore():
            return replace(mark, centre=moved_point(mark.centre, piece))
        case Words():
            angle = (mark.angle_deg + piece.angle_deg) % 360.0
            return replace(mark, at=moved_point(mark.at, piece), angle_deg=angle)


def moved_point(point: Point2, piece: PlacedLayer) -> Point2:
    """A point of a layer where it lies on its sheet."""
    x, y = _turned(point, piece.angle_deg)
    return (x + piece.by[0], y + piece.by[1])


def moved_piece(one: Piece, piece: PlacedLayer) -> Piece:
    """A piece of a path where it lies on its sheet."""
    if isinstance(one, Straight):
        return Straight(moved_point(one.start, piece), moved_point(one.end, piece))
    turn = round(piece.angle_deg / 90.0) * 1.5707963267948966
    return Arc(moved_point(one.centre, piece), one.radius, one.begins + turn, one.sweep)
