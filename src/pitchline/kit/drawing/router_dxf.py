"""What a router is told: closed paths with true arcs, bores and words on named layers, as DXF, and read back.

Polylines hold their arcs as bulges (DXF reference, LWPOLYLINE, group 42: the tangent of a quarter of the sweep, from
memory); bores are circles. 1 unit = 1 mm.
"""

import io
import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from pitchline.kit.drawing.dxf import dxf_bytes, dxf_text
from pitchline.kit.geometry.contours import Arc, Contour, Path, Piece, Straight
from pitchline.kit.geometry.lines import Point2
from pitchline.kit.tolerances import SAME_POINT


@dataclass(frozen=True, slots=True)
class ClosedPath:
    """A closed path on a layer."""

    layer: str
    contour: Contour


@dataclass(frozen=True, slots=True)
class OpenPath:
    """A path from end to end on a layer."""

    layer: str
    pieces: Path


@dataclass(frozen=True, slots=True)
class Bore:
    """A round hole made by a drill or by a cutter of its own size."""

    layer: str
    centre: Point2
    diameter: float


@dataclass(frozen=True, slots=True)
class Words:
    """A name beside the paths; its middle lies at ``at``, ``height`` of its capitals in mm."""

    layer: str
    at: Point2
    text: str
    height: float
    angle_deg: float = 0.0


RouterMark = ClosedPath | OpenPath | Bore | Words


@dataclass(frozen=True, slots=True)
class RouterLayer:
    """A layer's name and its colour, a number of the AutoCAD colour index (1 red, 2 yellow, ... 7 black)."""

    name: str
    colour: int


def write_router(layers: Sequence[RouterLayer], marks: Iterable[RouterMark]) -> bytes:
    """Marks as a DXF file; ValueError for a mark on a layer that is not listed."""
    known = {layer.name for layer in layers}

    def fill(document: Any) -> None:
        for layer in layers:
            document.layers.add(layer.name, color=layer.colour)
        space = document.modelspace()
        for mark in marks:
            if mark.layer not in known:
                raise ValueError(f"there is no layer {mark.layer!r}")
            _add(space, mark)

    return dxf_bytes(fill)


def _add(space: Any, mark: RouterMark) -> None:
    attributes = {"layer": mark.layer}
    match mark:
        case ClosedPath(_, contour):
            rows = [(*piece.start, _bulge(piece)) for piece in contour.pieces]
            space.add_lwpolyline(rows, format="xyb", close=True, dxfattribs=attributes)
        case OpenPath(_, pieces):
            rows = [*((*piece.start, _bulge(piece)) for piece in pieces), (*pieces[-1].end, 0.0)]
            space.add_lwpolyline(rows, format="xyb", dxfattribs=attributes)
        case Bore(_, centre, diameter):
            space.add_circle(centre, diameter / 2.0, dxfattribs=attributes)
        case Words():
            _add_words(space, mark)


def _add_words(space: Any, words: Words) -> None:
    from ezdxf.enums import TextEntityAlignment  # a heavy library that `check` must not load

    attributes = {"layer": words.layer, "rotation": words.angle_deg}
    entity = space.add_text(dxf_text(words.text), height=words.height, dxfattribs=attributes)
    entity.set_placement(words.at, align=TextEntityAlignment.MIDDLE_CENTER)


def _bulge(piece: Piece) -> float:
    return piece.bulge if isinstance(piece, Arc) else 0.0


def read_router(data: bytes) -> tuple[RouterMark, ...]:
    """The marks of a file as they stand in it. ValueError for what no router file of ours holds."""
    import ezdxf  # a heavy library that `check` must not load

    library: Any = ezdxf
    document = library.read(io.StringIO(data.decode("utf-8"), newline=None))
    return tuple(_read(entity) for entity in document.modelspace())


def _read(entity: Any) -> RouterMark:
    layer = str(entity.dxf.layer)
    match entity.dxftype():
        case "LWPOLYLINE":
            rows = [(float(x), float(y), float(b)) for x, y, b in entity.get_points("xyb")]
            if entity.closed:
                return ClosedPath(layer, Contour(tuple(_pieces([*rows, rows[0]]))))
            return OpenPath(layer, tuple(_pieces(rows)))
        case "CIRCLE":
            centre = entity.dxf.center
            return Bore(layer, (float(centre.x), float(centre.y)), 2.0 * float(entity.dxf.radius))
        case "TEXT":
            at = entity.dxf.align_point
            place = (float(at.x), float(at.y))
            return Words(
                layer, place, entity.plain_text(), float(entity.dxf.height), float(entity.dxf.rotation)
            )
        case other:
            raise ValueError(f"a router file holds no {other}")


def _pieces(rows: Sequence[tuple[float, float, float]]) -> Iterator[Piece]:
    for (ax, ay, bulge), (bx, by, _) in pairwise(rows):
        if math.dist((ax, ay), (bx, by)) <= SAME_POINT:
            continue
        yield Straight((ax, ay), (bx, by)) if bulge == 0.0 else arc_of_bulge((ax, ay), (bx, by), bulge)


def arc_of_bulge(start: Point2, end: Point2, bulge: float) -> Arc:
    """The arc between two points whose bulge is the tangent of a quarter of its sweep."""
    sweep = 4.0 * math.atan(bulge)
    chord = math.dist(start, end)
    radius = chord / (2.0 * abs(math.sin(sweep / 2.0)))
    off = radius * math.cos(sweep / 2.0) * math.copysign(1.0, bulge)
    ux, uy = (end[0] - start[0]) / chord, (end[1] - start[1]) / chord
    centre = ((start[0] + end[0]) / 2.0 - off * uy, (start[1] + end[1]) / 2.0 + off * ux)
    begins = math.atan2(start[1] - centre[1], start[0] - centre[0])
    return Arc(centre, radius, begins, sweep)
