"""A balustrade seen in space, by parallel projection: what is seen of every face as a plain polygon, and lines.

Each face is flat, so its depth changes evenly over the picture, and where one face lies before another is
bounded by a straight line. From every face the parts of others that lie before it are taken away; what is left
is seen. Nothing is sorted, so pieces that pierce each other come out right too. Picture co-ordinates in mm,
x to the right, y up.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import LineString, MultiLineString, Polygon

from pitchline.kit.geometry.frames import Vec3, cross, unit
from pitchline.kit.geometry.lines import Point2
from pitchline.kit.geometry.outlines import from_shapely, to_shapely, without_slivers
from pitchline.kit.tolerances import SAME_POINT
from pitchline.parts.fibres import Even, clip
from pitchline.parts.part import Part
from pitchline.solids.colours import Look, Surface, around_colour, look_of, rgb
from pitchline.solids.context import Surrounding
from pitchline.solids.facets import Facet, Piece, block_facets, part_pieces
from pitchline.stair.model import Side

BEFORE = 0.05
"""mm by which a face must lie nearer to the eye to hide another: touching faces do not hide each other."""

EDGE_ON = 1e-4
"""Faces seen at a flatter angle than this (sine) have no width in the picture."""

SHORTEST_LINE = 0.2
"""Shorter pieces of line (mm at full size) are leavings of the arithmetic."""

_GRID = 1e-6
"""mm between the points of the grid on which a union is made that came out wrong without one."""

_DARKEST = 0.66
"""Brightness of a face that no light falls on."""

Points2 = tuple[Point2, ...]


@dataclass(frozen=True, slots=True)
class ShadedFace:
    """What is seen of one face: an outline with holes, how bright it is (0 to 1), its colour so lit.

    ``name`` is the place mark of a part or the name of what stands around; ``around`` tells them apart. One sees
    through a face whose ``opacity`` is below 1: it hides nothing.
    """

    name: str
    outline: Points2
    holes: tuple[Points2, ...]
    shade: float
    colour: str
    around: bool
    opacity: float = 1.0

    @property
    def is_clear(self) -> bool:
        """Whether one sees through it."""
        return self.opacity < 1.0


@dataclass(frozen=True, slots=True)
class SeenLine:
    """A visible edge, or where two pieces meet; thin where both sides of it belong to what stands around."""

    points: Points2
    around: bool


@dataclass(frozen=True)
class Picture:
    """Faces that do not overlap, and the lines over them."""

    faces: tuple[ShadedFace, ...]
    lines: tuple[SeenLine, ...]

    @cached_property
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
    """How a piece is named and looks, and its number."""

    name: str
    look: Look
    around: bool
    piece: int


@dataclass(frozen=True, eq=False)
class _Seen:
    """A face turned to the eye: its loops in the picture, its depth there, which edges are drawn."""

    look: _Look
    loops: tuple[Points2, ...]
    depth: Even
    drawn: tuple[tuple[bool, ...], ...]
    shade: float
    outer: bool

    @property
    def outline(self) -> Points2:
        return self.loops[0]

    @cached_property
    def is_convex(self) -> bool:
        """Whether it is one ring that never turns right."""
        points = self.loops[0]
        turns = zip(points, (*points[1:], points[0]), (*points[2:], *points[:2]), strict=True)
        left = ((b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0]) for a, b, c in turns)
        return len(self.loops) == 1 and min(left) >= -SAME_POINT


def axonometric(
    parts: Iterable[Part],
    around: Iterable[Surrounding] = (),
    direction: Vec3 = (-0.45, -1.0, 0.55),
    *,
    fitted: bool = True,
) -> Picture:
    """The picture of parts and what stands around them, seen from far away in ``direction``.

    Of ``fitted`` parts the joints that their neighbours fill are left out; pieces taken apart show them.
    """
    view = _View.along(direction)
    faces = [
        face
        for look, piece in _pieces(parts, around, fitted=fitted)
        for face in _turned_to_eye(piece, look, view)
    ]
    faces, polygons = _not_covered(
        faces, np.array([_polygon(face.loops) for face in faces], dtype=np.object_)
    )
    seen: list[ShadedFace] = []
    lines: list[SeenLine] = []
    for number, hiders in enumerate(_hiders(faces, polygons)):
        face, polygon = faces[number], polygons[number]
        hidden = _together(hiders)
        left = without_slivers(shapely.difference(polygon, hidden))
        seen += (_shaded(face, piece) for piece in left)
        if left:
            lines += _lines(face, polygon, hiders, hidden)
    return Picture(tuple(seen), tuple(lines))


def _together(hiders: "Sequence[_Hider]") -> shapely.Geometry:
    """Everything that hides a face as one shape.

    Now and then the geometry library loses whole polygons whose edges nearly coincide with others'; where a point of
    one is missing, the union is made again on a fine grid, which is slower.
    """
    shapes = [hider.polygon for hider in hiders]
    whole = shapely.union_all(shapes)
    if len(shapes) > 1 and not shapely.intersects(whole, shapely.point_on_surface(shapes)).all():
        whole = shapely.union_all(shapes, grid_size=_GRID)
    return whole


def _not_covered(
    faces: list[_Seen], polygons: NDArray[np.object_]
) -> tuple[list[_Seen], NDArray[np.object_]]:
    """The faces of which something may be seen: not those that lie wholly behind a single other one.

    What a covered face would hide, the one before it hides too, so it need not be asked for anything more.
    """
    if not faces:
        return faces, polygons
    tree = shapely.STRtree(list(polygons))
    ours, others = tree.query(polygons, predicate="covered_by")
    covered: set[int] = set()
    for mine, other in zip(ours.tolist(), others.tolist(), strict=True):
        if mine == other or mine in covered or other in covered or not _may_hide(faces[mine], faces[other]):
            continue
        nearer = faces[other].depth.minus(faces[mine].depth)
        if min(nearer.at(point) for point in faces[mine].outline) >= BEFORE:
            covered.add(mine)
    kept = [k for k in range(len(faces)) if k not in covered]
    return [faces[k] for k in kept], polygons[kept]


def _may_hide(mine: _Seen, other: _Seen) -> bool:
    """Whether a face is asked what it hides of another: glass hides nothing, nor a piece its own outer faces."""
    one, two = mine.look, other.look
    return not (two.look.is_clear or (one.piece == two.piece and (mine.outer or mine is other)))


def _polygon(loops: Sequence[Points2]) -> Polygon:
    """A face in the picture; one that crosses itself by rounding, seen nearly edge on, is put right."""
    polygon = Polygon(loops[0], loops[1:])
    if len(loops) == 1 or polygon.is_valid:
        return polygon
    sound = without_slivers(shapely.make_valid(polygon))
    return sound[0] if sound else Polygon(loops[0])


def _pieces(
    parts: Iterable[Part], around: Iterable[Surrounding], *, fitted: bool
) -> Iterator[tuple[_Look, Piece]]:
    number = 0
    for thing in around:
        look = Look(around_colour(thing.kind), Surface.BOARD)
        for block in thing.blocks:
            yield _Look(thing.name, look, True, number), Piece(block_facets(block))
            number += 1
    for part in parts:
        look = look_of(part.material)
        for piece in part_pieces(part, fitted=fitted):
            yield _Look(part.place, look, False, number), piece
            number += 1


def _turned_to_eye(piece: Piece, look: _Look, view: _View) -> Iterator[_Seen]:
    towards = [float(facet.normal @ np.array(view.eye)) for facet in piece.facets]
    for facet, facing in zip(piece.facets, towards, strict=True):
        if facing <= EDGE_ON or facet.unseen:
            continue
        drawn = tuple(
            tuple(
                sharp or other < 0 or towards[other] <= EDGE_ON
                for sharp, other in zip(sharps, beyond, strict=True)
            )
            for sharps, beyond in zip(facet.sharp, facet.beyond, strict=True)
        )
        loops = tuple(_flat(loop, view) for loop in facet.loops)
        yield _Seen(look, loops, _depth(facet, view), drawn, _shade(facet.normal, view), facet.outer)


def _flat(loop: NDArray[np.float64], view: _View) -> Points2:
    return tuple((float(x), float(y)) for x, y, _ in loop @ view.matrix.T)


def _depth(facet: Facet, view: _View) -> Even:
    """How near to the eye a face's plane lies, over the picture."""
    a, b, c = (float(facet.normal @ np.array(axis)) for axis in (view.right, view.up, view.eye))
    at = float(facet.normal @ facet.loops[0][0])
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
        if _may_hide(faces[mine], faces[other]):
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
    if other.is_convex and mine.look.piece != other.look.piece:
        if len(kept) < 3:
            return None
        ends = [point for point in kept if abs(keep.at(point)) <= 1e-6]
        far = len(ends) >= 2 and math.dist(ends[0], ends[-1]) > SHORTEST_LINE
        return _Hider(to_shapely(kept), (ends[0], ends[-1]) if own and far else None)
    nearer_side = clip(_frame_round(other.outline), keep)
    if len(nearer_side) < 3:
        return None
    part = shapely.intersection(polygon, to_shapely(nearer_side))
    return None if part.is_empty else _Hider(part, None)


def _frame_round(outline: Points2) -> Points2:
    """A rectangle about an outline, with some room."""
    xs, ys = zip(*outline, strict=True)
    left, right, low, high = min(xs) - 1.0, max(xs) + 1.0, min(ys) - 1.0, max(ys) + 1.0
    return ((left, low), (right, low), (right, high), (left, high))


def _shaded(face: _Seen, left: Polygon) -> ShadedFace:
    holes = tuple(from_shapely(Polygon(ring)) for ring in left.interiors)
    look = face.look.look
    colour, around = lit(look.colour, face.shade), face.look.around
    return ShadedFace(face.look.name, from_shapely(left), holes, face.shade, colour, around, look.opacity)


def _lines(
    face: _Seen, polygon: Polygon, hiders: Sequence[_Hider], hidden: shapely.Geometry
) -> Iterator[SeenLine]:
    """The visible edges of a face, and where others pierce it."""
    edges = [
        (loop[i], loop[(i + 1) % len(loop)])
        for loop, drawn in zip(face.loops, face.drawn, strict=True)
        for i in range(len(loop))
        if drawn[i]
    ]
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
