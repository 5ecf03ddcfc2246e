"""A checker of orders of work that shares no code with what makes them: it puts pads on faces and looks for wood.

Pieces are half-spaces (their cuts, grooves taken out as pockets); round pads of the tool's width and height are put
over spots of a face, square to it. A spot that no pad covers without meeting something is out of reach.
Lengths in mm.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray

from pitchline.making.order import STAIR, Order, Step
from pitchline.making.order_plan import Planned
from pitchline.making.order_rooms import FaceRoom
from pitchline.parts.part import Face, Groove, Part

Array = NDArray[np.float64]

CLEARS = 0.8
"""mm above a face from which a pad is taken to begin: what lies closer lies against it."""

MARGIN = 1.0
"""mm from the edge of a face within which no spot is asked for: slivers beside a joint are nobody's face."""

SPOTS = 16
"""So many spots of a face are asked for at most."""

MISSED = 0.20
"""Share of the spots of a face that a few places for a pad may miss: three of sixteen."""


@dataclass(frozen=True)
class Hull:
    """A convex solid: x is inside where ``normals @ x <= offsets``; pockets are cut out of it."""

    normals: Array
    offsets: Array
    low: Array
    high: Array
    pocket: "Hull | None" = None

    def holds(self, points: Array) -> NDArray[np.bool_]:
        inside: NDArray[np.bool_] = np.all(points @ self.normals.T < self.offsets - 1e-6, axis=1)
        if self.pocket is not None and inside.any():
            inside[inside] = np.logical_not(self.pocket.holds(points[inside]))
        return inside


def hull_of_part(part: Part) -> Hull:
    """A piece's blank between its six faces and its cuts, its groove a pocket."""
    w, t = part.width / 2, part.thickness / 2
    rows: list[tuple[Sequence[float], float]] = [
        ((0, 1, 0), w),
        ((0, -1, 0), w),
        ((0, 0, 1), t),
        ((0, 0, -1), t),
        ((1, 0, 0), part.length),
        ((-1, 0, 0), 0.0),
    ]
    rows += [(plane.normal, float(np.dot(plane.normal, plane.point))) for plane in part.body.planes]
    groove = next((f for f in part.features if isinstance(f, Groove)), None)
    pocket = None if groove is None else _world(_pocket(part, groove), part)
    return _world(rows, part, pocket)


def _pocket(part: Part, groove: Groove) -> list[tuple[Sequence[float], float]]:
    across = groove.face in (Face.PLUS_Y, Face.MINUS_Y)
    sign = 1.0 if groove.face in (Face.PLUS_Y, Face.PLUS_Z) else -1.0
    size = part.width if across else part.thickness
    into: Sequence[float] = (0, -sign, 0) if across else (0, 0, -sign)
    side: Sequence[float] = (0, 0, 1) if across else (0, 1, 0)
    other: Sequence[float] = (0, 0, -1) if across else (0, -1, 0)
    return [
        (into, groove.depth - size / 2),
        (side, groove.centre + groove.width / 2),
        (other, groove.width / 2 - groove.centre),
    ]


def _world(rows: Sequence[tuple[Sequence[float], float]], part: Part, pocket: Hull | None = None) -> Hull:
    frame = part.frame
    axes = np.array((frame.x, frame.y, frame.z), dtype=float)
    local = np.array([normal for normal, _ in rows], dtype=float)
    normals = local @ axes
    offsets = np.array([offset for _, offset in rows]) + normals @ np.array(frame.origin)
    corners = np.array(part.body.vertices) @ axes + np.array(frame.origin)
    return Hull(normals, offsets, corners.min(axis=0), corners.max(axis=0), pocket)


def hulls_of_standing(planned: Planned) -> Iterator[Hull]:
    """What stands already, from the corners and faces of its blocks."""
    for body in planned.work.rooms.standing:
        for block in body.blocks:
            centre = block.corners.mean(axis=0)
            normals, offsets = [], []
            for loop in block.loops:
                a, b, c = (block.corners[k] for k in (loop[0], loop[1], loop[2]))
                normal = np.cross(b - a, c - a)
                normal /= np.linalg.norm(normal)
                offset = float(normal @ a)
                if normal @ centre > offset:
                    normal, offset = -normal, -offset
                normals.append(normal)
                offsets.append(offset)
            yield Hull(
                np.array(normals), np.array(offsets), block.corners.min(axis=0), block.corners.max(axis=0)
            )


@dataclass(frozen=True)
class Checker:
    """Follows the steps of an order, with what is one body at any time, and says what cannot be got at."""

    planned: Planned

    @cached_property
    def hulls(self) -> Mapping[str, Hull]:
        return {part.place: hull_of_part(part) for part in self.planned.work.parts}

    @cached_property
    def standing(self) -> tuple[Hull, ...]:
        return tuple(hulls_of_standing(self.planned))

    @cached_property
    def rooms(self) -> Mapping[tuple[str, str], list[FaceRoom]]:
        found: dict[tuple[str, str], list[FaceRoom]] = {}
        for room in self.planned.work.rooms.faces:
            found.setdefault((room.face.place, room.face.name), []).append(room)
        return found

    def unreachable(self, order: Order) -> list[tuple[str, str, str, float]]:
        """Step, piece, face and the share of it that its tool does not reach when the step is done."""
        together: list[set[str]] = []
        found = []
        for step in order.steps:
            found += list(self._missed(step, order, together))
            for join in step.joins:
                merged = set(join).union(*(group for group in together if group & set(join)))
                together = [group for group in together if not group & merged] + [merged]
        return found

    def _missed(
        self, step: Step, order: Order, together: Sequence[set[str]]
    ) -> Iterator[tuple[str, str, str, float]]:
        for touch in step.touches:
            group = next((group for group in together if touch.place in group), {touch.place})
            if len(group) == 1:
                continue
            around = [self.hulls[place] for place in group if place not in (STAIR, touch.place)]
            around += self.standing if STAIR in group else ()
            tool = order.tools[touch.tool]
            for room in self.rooms[touch.place, touch.face]:
                if room.is_joint:
                    continue
                share = missed(room, around, tool.width, tool.height)
                if share > MISSED:
                    yield step.key, touch.place, touch.face, share


def missed(room: FaceRoom, around: Sequence[Hull], width: float, height: float) -> float:
    """The share of some spots of a face, joints left out, that no pad over them covers without meeting something."""
    frame = room.face.frame
    axes = np.array((frame.x, frame.y, frame.z))
    origin = np.array(frame.origin)
    spots = spots_in(shapely.buffer(room.stays, -MARGIN))
    if not len(spots):
        return 0.0
    centres = spots[:, None, :] + _about(width / 2)[None, :, :]
    pads = np.concatenate((centres, np.zeros((*centres.shape[:2], 1))), axis=2)
    points = (pads[:, :, None, :] + _pad(width, height)[None, None, :, :]) @ axes + origin
    flat = points.reshape(-1, 3)
    met = np.zeros(len(flat), dtype=bool)
    low, high = flat.min(axis=0), flat.max(axis=0)
    for hull in around:
        if (hull.low < high).all() and (hull.high > low).all():
            there = ((flat > hull.low) & (flat < hull.high)).all(axis=1) & ~met
            met[there] = hull.holds(flat[there])
    blocked = np.any(met.reshape(points.shape[:3]), axis=2)
    return float(np.mean(np.all(blocked, axis=1)))


def _about(radius: float) -> Array:
    """Places for the middle of a pad that still covers a spot."""
    turns = np.linspace(0.0, 2.0 * np.pi, 16, endpoint=False)
    rings = [np.column_stack((np.cos(turns), np.sin(turns))) * radius * share for share in (0.5, 0.97)]
    return np.vstack((np.zeros((1, 2)), *rings))


def _pad(width: float, height: float) -> Array:
    """Points of a pad about its middle: rings of its disc at several heights."""
    turns = np.linspace(0.0, 2.0 * np.pi, 8, endpoint=False)
    rings = [np.column_stack((np.cos(turns), np.sin(turns))) * width / 2 * share for share in (0.5, 0.97)]
    flat = np.vstack((np.zeros((1, 2)), *rings))
    levels = np.linspace(CLEARS, height, 2)
    return np.vstack([np.column_stack((flat, np.full(len(flat), level))) for level in levels])


def spots_in(shape: shapely.Geometry) -> Array:
    """Some spots spread over a shape."""
    if shape.is_empty:
        return np.zeros((0, 2))
    left, bottom, right, top = shape.bounds
    columns, rows = (24, 9) if right - left > top - bottom else (9, 24)
    xs = left + (np.arange(columns) + 0.5) * (right - left) / columns
    ys = bottom + (np.arange(rows) + 0.5) * (top - bottom) / rows
    points = np.array([(x, y) for x in xs for y in ys])
    inside = points[shapely.contains_xy(shape, points[:, 0], points[:, 1])]
    every = max(1, -(-len(inside) // SPOTS))
    return inside[::every] if len(inside) else np.array([shape.representative_point().coords[0]])
