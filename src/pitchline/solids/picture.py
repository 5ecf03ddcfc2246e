"""A balustrade seen in space, by parallel projection: what is seen of every face as a plain polygon, and lines.

Each face is flat, so its depth changes evenly over the picture, and where one face lies before another is
bounded by a straight line. From every face the parts of others that lie before it are taken away; what is left
is seen. Nothing is sorted, so pieces that pierce each other come out right too. Picture co-ordinates in mm,
x to the right, y up.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import LineString, MultiLineString, Polygon

from pitchline.kit.geometry.frames import Vec3, cross, unit
from pitchline.kit.geometry.lines import Point2
from pitchline.kit.geometry.outlines import from_shapely, to_shapely, without_slivers
from pitchline.parts.fibres import Even, clip
from pitchline.parts.part import Part
from pitchline.solids.colours import around_colour, rgb, wood_colour
from pitchline.solids.context import Surrounding
from pitchline.solids.facets import Facet, block_facets, part_blocks
from pitchline.solids.mesh import Block
from pitchline.stair.model import Side

BEFORE = 0.05
"""mm by which a face must lie nearer to the eye to hide another: touching faces do not hide each other."""

EDGE_ON = 1e-4
"""Faces seen at a flatter angle than this (sine) have no width in the picture."""

SHORTEST_LINE = 0.2
"""Shorter pieces of line (mm at full size) are leavings of the arithmetic."""

_DARKEST = 0.66
"""Brightness of a face that no light falls on."""

Points2 = tuple[Point2, ...]


@dataclass(frozen=True, slots=True)
class ShadedFace:
    """What is seen of one face: an outline with holes, how bright it is (0 to 1), its colour so lit.

    ``name`` is the place mark of a part or the name of what stands around; ``around`` tells them apart.
    """

    name: str
    outline: Points2
    holes: tuple[Points2, ...]
    shade: float
    colour: str
    around: bool


@dataclass(frozen=True, slots=True)
class SeenLine:
    """A visible edge, or where two pieces meet; thin where both sides of it belong to what stands around."""

    points: Points2
    around: bool


@dataclass(frozen=True, slots=True)
class Picture:
    """Faces that do not overlap, and the lines over them."""

    faces: tuple[ShadedFace, ...]
    lines: tuple[SeenLine, ...]

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """Left, bottom, right and top, mm; ValueError for an empty picture."""
        points = [point for face in self.faces for point in face.outline]
        if not points:
            raise ValueError("a picture of nothing has no bounds")
        xs, ys = zip(*points, strict=True)
        return min(xs), min(ys), max(xs), max(ys)


def eye_direction(side: Side) -> Vec3:
    """From the open side, from above and somewhat from the foot of the stair."""
    return unit((-0.45, -side.towards_stair, 0.55))


@dataclass(frozen=True, slots=True)
class _View:
    """The picture plane: right and up in it, and the direction towards the eye."""

    right: Vec3
    up: Vec3
    eye: Vec3

    @staticmethod
    def along(direction: Vec3) -> "_View":
        eye = unit(direction)
        right = unit(cross((0.0, 0.0, 1.0), eye)) if abs(eye[2]) < 1 - 1e-9 else (1.0, 0.0, 0.0)
        return _View(right, cross(eye, right), eye)

    @property
    def matrix(self) -> NDArray[np.float64]:
        return np.array((self.right, self.up, self.eye))


@dataclass(frozen=True, eq=False)
class _Look:
    """How a piece is named and coloured, and its number, so that it does not hide itself."""

    name: str
    colour: str
    around: bool
    piece: int


@dataclass(frozen=True, eq=False)
class _Seen:
    """A face turned to the eye: its outline in the picture, its depth there, which edges are drawn."""

    look: _Look
    outline: Points2
    depth: Even
    drawn: tuple[bool, ...]
    shade: float


def axonometric(
    parts: Iterable[Part], around: Iterable[Surrounding] = (), direction: Vec3 = (-0.45, -1.0, 0.55)
) -> Picture:
    """The picture of parts and what stands around them, seen from far away in ``direction``."""
    view = _View.along(direction)
    faces = [face for look, block in _pieces(parts, around) for face in _turned_to_eye(block, look, view)]
    polygons = np.array([to_shapely(face.outline) for face in faces], dtype=np.object_)
    seen: list[ShadedFace] = []
    lines: list[SeenLine] = []
    for number, hiders in enumerate(_hiders(faces, polygons)):
        face, polygon = faces[number], polygons[number]
        hidden = shapely.union_all([hider.polygon for hider in hiders])
        left = without_slivers(shapely.difference(polygon, hidden))
        seen += (_shaded(face, piece) for piece in left)
        if left:
            lines += _lines(face, polygon, hiders, hidden)
    return Picture(tuple(seen), tuple(lines))


def _pieces(parts: Iterable[Part], around: Iterable[Surrounding]) -> Iterator[tuple[_Look, Block]]:
    number = 0
    for thing in around:
        for block in thing.blocks:
            yield _Look(thing.name, around_colour(thing.kind), True, number), block
            number += 1
    for part in parts:
        for block in part_blocks(part):
            yield _Look(part.place, wood_colour(part.material), False, number), block
            number += 1


def _turned_to_eye(block: Block, look: _Look, view: _View) -> Iterator[_Seen]:
    facets = block_facets(block)
    towards = [float(facet.normal @ np.array(view.eye)) for facet in facets]
    for facet, facing in zip(facets, towards, strict=True):
        if facing <= EDGE_ON:
            continue
        drawn = tuple(
            sharp or other < 0 or towards[other] <= EDGE_ON
            for sharp, other in zip(facet.sharp, facet.beyond, strict=True)
        )
        flat = facet.corners @ view.matrix.T
        outline = tuple((float(x), float(y)) for x, y, _ in flat)
        yield _Seen(look, outline, _depth(facet, view), drawn, _shade(facet.normal, view))


def _depth(facet: Facet, view: _View) -> Even:
    """How near to the eye a face's plane lies, over the picture."""
    a, b, c = (float(facet.normal @ np.array(axis)) for axis in (view.right, view.up, view.eye))
    at = float(facet.normal @ facet.corners[0])
    return Even(at / c, -a / c, -b / c)


def _shade(normal: NDArray[np.float64], view: _View) -> float:
    """Light from above, from the left and from behind the eye; faces turned away keep most of it."""
    light = 0.75 * np.array((0.0, 0.0, 1.0)) - 0.35 * np.array(view.right) + 0.55 * np.array(view.eye)
    lit = float(normal @ (light / np.linalg.norm(light)))
    return _DARKEST + (1.0 - _DARKEST) * max(0.0, lit)


@dataclass(frozen=True, eq=False)
class _Hider:
    """The part of another face that lies before this one, and the stroke where the two pierce each other."""

    polygon: Polygon
    pierce: tuple[Point2, Point2] | None


def _hiders(faces: Sequence[_Seen], polygons: NDArray[np.object_]) -> Iterator[list[_Hider]]:
    """For each face, what of others lies before it."""
    tree = shapely.STRtree(list(polygons))
    ours, others = tree.query(polygons, predicate="intersects")
    found: list[list[int]] = [[] for _ in faces]
    for mine, other in zip(ours.tolist(), others.tolist(), strict=True):
        if faces[mine].look.piece != faces[other].look.piece:
            found[mine].append(other)
    for mine, near in enumerate(found):
        hiders = (
            _hider(faces[mine], faces[other], polygons[other], own=mine < other) for other in sorted(near)
        )
        yield [hider for hider in hiders if hider is not None]


def _hider(mine: _Seen, other: _Seen, polygon: Polygon, *, own: bool) -> _Hider | None:
    nearer = other.depth.minus(mine.depth)
    gaps = [nearer.at(point) - BEFORE for point in other.outline]
    if max(gaps) <= 0.0:
        return None
    if min(gaps) >= 0.0:
        return _Hider(polygon, None)
    keep = Even(nearer.a - BEFORE, nearer.b, nearer.c)
    kept = clip(other.outline, keep)
    if len(kept) < 3:
        return None
    ends = [point for point in kept if abs(keep.at(point)) <= 1e-6]
    pierce = (
        (ends[0], ends[-1])
        if own and len(ends) >= 2 and math.dist(ends[0], ends[-1]) > SHORTEST_LINE
        else None
    )
    return _Hider(to_shapely(kept), pierce)


def _shaded(face: _Seen, left: Polygon) -> ShadedFace:
    holes = tuple(from_shapely(Polygon(ring)) for ring in left.interiors)
    colour = lit(face.look.colour, face.shade)
    return ShadedFace(face.look.name, from_shapely(left), holes, face.shade, colour, face.look.around)


def _lines(
    face: _Seen, polygon: Polygon, hiders: Sequence[_Hider], hidden: shapely.Geometry
) -> Iterator[SeenLine]:
    """The visible edges of a face, and where others pierce it."""
    count = len(face.outline)
    edges = [(face.outline[i], face.outline[(i + 1) % count]) for i in range(count) if face.drawn[i]]
    pierced = MultiLineString([hider.pierce for hider in hiders if hider.pierce is not None])
    strokes = [
        MultiLineString(edges),
        *([] if pierced.is_empty else [shapely.intersection(pierced, polygon)]),
    ]
    covered = shapely.buffer(hidden, -BEFORE / 2, quad_segs=2)
    for left in shapely.difference(strokes, covered):
        for line in _straight(left):
            if line.length > SHORTEST_LINE:
                points = tuple((float(x), float(y)) for x, y in line.coords)
                yield SeenLine(points, face.look.around)


def _straight(geometry: shapely.Geometry) -> Iterator[LineString]:
    if isinstance(geometry, LineString):
        if not geometry.is_empty:
            yield geometry
    elif isinstance(geometry, MultiLineString):
        yield from geometry.geoms


def lit(colour: str, shade: float) -> str:
    """A colour darkened to a share of its brightness."""
    return "#" + "".join(f"{round(255 * value * shade):02x}" for value in rgb(colour))
