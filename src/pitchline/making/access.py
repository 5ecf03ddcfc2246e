"""What lies against each face of a piece once it is fitted, and where on it a tool still gets at it. Lengths in mm.

Seen square to a face, what stands over it within a tool's height is a shadow on it. A round pad of the tool's width
sweeps every place it can be put without meeting a shadow; what it sweeps of the face it reaches. What a neighbour
touches is no longer a face: it is a joint, and takes glue instead of a finish.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any, TypeAlias

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon

from pitchline.kit.geometry.cutbox import Side
from pitchline.kit.geometry.frames import Frame, Vec3
from pitchline.kit.tolerances import LAID_GRID, REACHED, SHADOW_TURNS, TOUCHING
from pitchline.making.access_bodies import Body, Convex, groove_planes
from pitchline.parts.part import Face, Groove, Hole, Mortise, Part, Sawn

Shape: TypeAlias = Any
"""A shapely geometry in the axes of a face."""


def minus(a: Shape, b: Shape) -> Shape:
    """What of a shape another leaves. On a fine grid, on which shapes that all but coincide make no trouble."""
    return a if b.is_empty else _areas(shapely.difference(a, b, grid_size=LAID_GRID))


def both(a: Shape, b: Shape) -> Shape:
    """What two shapes share, on the grid of `minus`."""
    if a.is_empty or b.is_empty or not shapely.box(*a.bounds).intersects(b):
        return Polygon()
    return _areas(shapely.intersection(a, b, grid_size=LAID_GRID))


def together(shapes: Iterable[Shape]) -> Shape:
    """All of some shapes, on the grid of `minus`."""
    listed = [shape for shape in shapes if not shape.is_empty]
    if not listed:
        return Polygon()
    return _areas(shapely.union_all(listed, grid_size=LAID_GRID)) if listed[1:] else listed[0]


def _areas(shape: Shape) -> Shape:
    """Of what comes out of an operation only areas are kept: lines and points where shapes just touch are nothing."""
    if shape.geom_type in ("Polygon", "MultiPolygon"):
        return shape
    areas = [part for part in shapely.get_parts(shape) if part.geom_type == "Polygon"]
    return shapely.multipolygons(areas) if areas else Polygon()


@dataclass(frozen=True, slots=True)
class Tool:
    """What must get at a face: a round pad ``width`` across with ``height`` of tool and hand behind it."""

    name: str
    width: float
    height: float


@dataclass(frozen=True, eq=False)
class PieceFace:
    """A flat face of a piece: its name in words, its own axes in the world (Z out of the wood), its outline there."""

    place: str
    name: str
    frame: Frame
    outline: Shape
    is_end: bool = False

    @property
    def area(self) -> float:
        """mm2."""
        return float(self.outline.area)

    @cached_property
    def _corners(self) -> NDArray[np.float64]:
        flat = shapely.get_coordinates(self.outline)
        corners: NDArray[np.float64] = flat @ self.axes[:2] + np.array(self.frame.origin)
        return corners

    @cached_property
    def low(self) -> NDArray[np.float64]:
        """Lower corner of the box around it."""
        low: NDArray[np.float64] = self._corners.min(axis=0)
        return low

    @cached_property
    def high(self) -> NDArray[np.float64]:
        """Upper corner of the box around it."""
        high: NDArray[np.float64] = self._corners.max(axis=0)
        return high

    @cached_property
    def axes(self) -> NDArray[np.float64]:
        """Its three axes as rows."""
        return np.array((self.frame.x, self.frame.y, self.frame.z))


SIDES = {
    Side.LOW_EDGE: Face.MINUS_Y,
    Side.HIGH_EDGE: Face.PLUS_Y,
    Side.BACK: Face.MINUS_Z,
    Side.FRONT: Face.PLUS_Z,
}


def faces_of(part: Part) -> tuple[PieceFace, ...]:
    """The flat faces of a piece (its frame in the world), mouths of grooves, holes, mortises and openings taken out.

    Round and turned pieces are taken by the square stick around them.
    """
    names = dict(part.face_names)
    found = []
    for face in part.body.faces:
        is_end, name = _named(part, face.source, face.normal, names)
        towards = (1.0, 0.0, 0.0) if abs(face.normal[0]) < _ALONG else (0.0, 1.0, 0.0)
        local = Frame.from_xz(part.body.corners[face.loop[0]], _across(face.normal, towards), face.normal)
        outline = Polygon([local.to_local(part.body.corners[corner])[:2] for corner in face.loop])
        left = minus(outline, together(_mouths(part, local)))
        if left.area > REACHED:
            frame = part.frame.frame_to_world(local)
            found.append(PieceFace(part.place, name, frame, left, is_end))
    return tuple(found)


_ALONG = 0.9
"""A face whose normal has more than this share along the piece is an end."""


def _across(normal: Vec3, towards: Vec3) -> Vec3:
    """``towards`` laid into the plane of a face."""
    share = sum(a * b for a, b in zip(normal, towards, strict=True))
    return (
        towards[0] - share * normal[0],
        towards[1] - share * normal[1],
        towards[2] - share * normal[2],
    )


def _named(part: Part, source: Side | int, normal: Vec3, names: Mapping[Face, str]) -> tuple[bool, str]:
    """Whether a face is an end, and how it is called."""
    if isinstance(source, Side) and source in SIDES:
        side = SIDES[source]
        return False, names.get(side, side.value)
    cuts = len(part.start_cuts) + len(part.finish_cuts)
    if isinstance(source, int) and source >= cuts:
        return False, "tapered face"
    return True, "start end" if normal[0] < 0.0 else "far end"


def _mouths(part: Part, local: Frame) -> Iterable[Shape]:
    """What features leave open in a face: its own axes are ``local`` in the piece's."""
    for feature in part.features:
        if isinstance(feature, Groove):
            yield _mouth_of_groove(part, feature, local)
        elif isinstance(feature, Hole | Mortise):
            at = local.to_local(feature.at)
            if abs(at[2]) <= TOUCHING:
                yield _mouth(feature, at)
        elif isinstance(feature, Sawn) and abs(local.z[2]) > _ALONG:
            for ring in feature.holes:
                yield Polygon([local.to_local((x, y, local.origin[2]))[:2] for x, y in ring])


def _mouth(feature: Hole | Mortise, at: Vec3) -> Shape:
    if isinstance(feature, Hole):
        return shapely.Point(at[:2]).buffer(feature.diameter / 2)
    half = (feature.length / 2, feature.width / 2)
    return shapely.box(at[0] - half[0], at[1] - half[1], at[0] + half[0], at[1] + half[1])


def _mouth_of_groove(part: Part, groove: Groove, local: Frame) -> Shape:
    """The open groove's section or mouth as it lies in a face; empty where it does not."""
    planes = [local.plane_to_local(plane) for plane in groove_planes(part, groove)]
    big = part.length + part.width + part.thickness
    shape: Shape = shapely.box(-big, -big, big, big)
    for plane in planes:
        a, b, c = plane.normal
        at = sum(n * p for n, p in zip(plane.normal, plane.point, strict=True))
        if abs(c) > 1.0 - REACHED:
            if at > -TOUCHING:
                return Polygon()
            continue
        size = (a * a + b * b) ** 0.5
        n = (a / size, b / size)
        p = (n[0] * at / size, n[1] * at / size)
        t = (-n[1], n[0])
        near = [(p[0] + s * big * t[0], p[1] + s * big * t[1]) for s in (-1.0, 1.0)]
        far = [(q[0] + big * n[0], q[1] + big * n[1]) for q in reversed(near)]
        shape = both(shape, Polygon([*near, *far]))
    return shape


def shadow(face: PieceFace, body: Body, low: float, high: float) -> Shape:
    """What of a body stands between ``low`` and ``high`` above a face, seen square to it."""
    shapes = [_slab(face, block, low, high) for block in body.blocks]
    return together([shape for shape in shapes if shape is not None])


def _slab(face: PieceFace, block: Convex, low: float, high: float) -> Shape | None:
    """The shadow of one convex body: the hull of its corners within the slab and of its edges' crossings."""
    local = (block.corners - np.array(face.frame.origin)) @ face.axes.T
    heights = local[:, 2]
    if heights.max() <= low or heights.min() >= high:
        return None
    points = [local[(heights >= low) & (heights <= high), :2]]
    a, b = local[block.edges[:, 0]], local[block.edges[:, 1]]
    for level in (low, high):
        crossing = (a[:, 2] - level) * (b[:, 2] - level) < 0.0
        start, rise = a[crossing], b[crossing] - a[crossing]
        share = (level - start[:, 2]) / rise[:, 2]
        points.append(start[:, :2] + share[:, None] * rise[:, :2])
    hull = shapely.convex_hull(shapely.multipoints(np.concatenate(points)))
    return hull if isinstance(hull, Polygon) else None


def touched(face: PieceFace, body: Body) -> Shape:
    """What of a face a body lies against or goes into."""
    return both(face.outline, shadow(face, body, TOUCHING / 4, TOUCHING))


@dataclass(frozen=True, eq=False)
class Field:
    """Bodies among which faces are looked at, with the boxes around them for finding the near ones fast."""

    bodies: tuple[Body, ...]

    @cached_property
    def lows(self) -> NDArray[np.float64]:
        """Lower corners of the boxes, one row a body."""
        return np.array([body.low for body in self.bodies]).reshape(-1, 3)

    @cached_property
    def highs(self) -> NDArray[np.float64]:
        """Upper corners of the boxes, one row a body."""
        return np.array([body.high for body in self.bodies]).reshape(-1, 3)

    def near(self, face: PieceFace, room: float) -> tuple[Body, ...]:
        """The bodies whose boxes come within ``room`` of a face, itself left out."""
        low, high = face.low - room, face.high + room
        meets = ((self.lows < high) & (self.highs > low)).all(axis=1)
        return tuple(body for k in np.flatnonzero(meets) if (body := self.bodies[int(k)]).name != face.place)


def joints_of(face: PieceFace, fitted: Field) -> dict[str, Shape]:
    """What lies against a face once everything is fitted, by name."""
    found = {body.name: touched(face, body) for body in fitted.near(face, TOUCHING)}
    return {name: shape for name, shape in found.items() if shape.area > REACHED}


def exposed(face: PieceFace, joints: Iterable[Shape]) -> Shape:
    """What of a face stays a face beside its joints."""
    lying = list(joints)
    return minus(face.outline, together(lying)) if lying else face.outline


def closed(face: PieceFace, wanted: Shape, field: Field, tool: Tool) -> Shape:
    """What of the ``wanted`` part of a face the tool does not reach while these bodies are there."""
    over = [shadow(face, body, TOUCHING, tool.height) for body in field.near(face, tool.height)]
    shadows = [shape for shape in over if not shape.is_empty]
    if not shadows or wanted.is_empty:
        return Polygon()
    radius = tool.width / 2
    room = shapely.envelope(wanted).buffer(2.0 * tool.width, join_style="mitre")
    free = minus(room, shapely.buffer(together(shadows), radius, quad_segs=SHADOW_TURNS))
    swept = shapely.buffer(free, radius + REACHED, quad_segs=SHADOW_TURNS)
    return minus(wanted, swept)


def closers(face: PieceFace, shut: Shape, field: Field, tool: Tool) -> tuple[str, ...]:
    """Which of the bodies keep the tool off what is ``shut`` of a face, the nearest first."""
    found = []
    for body in field.near(face, tool.height):
        over = shadow(face, body, TOUCHING, tool.height)
        if not over.is_empty and (apart := shapely.distance(over, shut)) < tool.width / 2:
            found.append((round(float(apart), 1), -round(float(over.area)), body.name))
    return tuple(name for _, _, name in sorted(found))
