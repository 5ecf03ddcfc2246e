"""A piece of wood as a box cut by planes: its corners, faces, lengths, volume and views.

The box is 0 <= x <= length, |y| <= width/2, |z| <= thickness/2 (x along the piece, y across its wide face,
z through it). Each cut takes away what lies on the side its normal points to, so what is left is convex.
All lengths in mm, volumes in mm3. How it looks from each side is in `views`.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property, lru_cache
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from pitchline.kit.geometry.frames import Plane, Vec3, add, cross, dot, scale, subtract, unit
from pitchline.kit.tolerances import SAME_POINT


class Side(StrEnum):
    """The six sides of the uncut box."""

    START = "start"
    """x = 0"""
    END = "end"
    """x = length"""
    LOW_EDGE = "low edge"
    """y = -width/2"""
    HIGH_EDGE = "high edge"
    """y = +width/2"""
    BACK = "back"
    """z = -thickness/2"""
    FRONT = "front"
    """z = +thickness/2"""


Source = Side | int
"""What a face lies on: a side of the box, or the number of the cut in ``CutBox.planes``."""

Loop = tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Face:
    """A flat face: corner numbers in order, anticlockwise seen from outside, and what it lies on."""

    loop: Loop
    source: Source
    normal: Vec3


@dataclass(frozen=True)
class CutBox:
    """A box of ``length`` x ``width`` x ``thickness`` cut by ``planes``.

    Raises ValueError for sizes that are not above zero and for cuts that leave nothing.
    """

    length: float
    width: float
    thickness: float
    planes: tuple[Plane, ...] = ()

    def __post_init__(self) -> None:
        sizes = (self.length, self.width, self.thickness)
        if not all(size > 0.0 and math.isfinite(size) for size in sizes):
            raise ValueError(f"a box needs a length, a width and a thickness above zero, not {sizes}")
        if not self._solid[1]:
            raise ValueError("the cuts leave nothing of the piece")

    @cached_property
    def _solid(self) -> tuple[tuple[Vec3, ...], tuple[Face, ...]]:
        return _cut(self.length, self.width, self.thickness, self.planes)

    @property
    def corners(self) -> tuple[Vec3, ...]:
        """The corners."""
        return self._solid[0]

    @property
    def faces(self) -> tuple[Face, ...]:
        """The faces, the six sides first, then the cuts in their order."""
        return self._solid[1]

    @cached_property
    def vertices(self) -> NDArray[np.float64]:
        """The corners as an array (N, 3)."""
        return np.array(self.corners, dtype=np.float64)

    @cached_property
    def edges(self) -> tuple[tuple[int, int, int, int], ...]:
        """Each edge once: the numbers of its two corners and of the two faces that meet there."""
        sides: dict[tuple[int, int], int] = {}
        for number, face in enumerate(self.faces):
            for a, b in _around(face.loop):
                sides[a, b] = number
        return tuple((a, b, number, sides[b, a]) for (a, b), number in sides.items() if a < b)

    @cached_property
    def volume(self) -> float:
        """Volume in mm3: the sum of the tetrahedra over every face (divergence theorem)."""
        return self._moments[0]

    @property
    def centroid(self) -> Vec3:
        """Centre of mass of the piece, taken as uniform."""
        return self._moments[1]

    @cached_property
    def _moments(self) -> tuple[float, Vec3]:
        corners = self.corners
        base = corners[0]
        total, moment = 0.0, (0.0, 0.0, 0.0)
        for face in self.faces:
            a = subtract(corners[face.loop[0]], base)
            for i, j in pairwise(face.loop[1:]):
                b, c = subtract(corners[i], base), subtract(corners[j], base)
                part = dot(a, cross(b, c)) / 6.0
                total += part
                moment = add(moment, scale(add(a, add(b, c)), part / 4.0))
        return total, add(base, scale(moment, 1.0 / total))

    def extent(self, axis: Vec3) -> tuple[float, float]:
        """Least and greatest position of the piece along a direction (made one long), mm."""
        direction = unit(axis)
        along = [dot(corner, direction) for corner in self.corners]
        return min(along), max(along)

    @property
    def long_length(self) -> float:
        """Longest point to longest point, along the piece."""
        along = [corner[0] for corner in self.corners]
        return max(along) - min(along)

    @property
    def short_length(self) -> float:
        """The shortest of the four long edges: what a rule shows from short point to short point.

        Meant for pieces with cuts at their ends only; zero when a cut takes a long edge away altogether.
        """
        return min(self.long_edge_lengths)

    @property
    def long_edge_lengths(self) -> tuple[float, float, float, float]:
        """What is left of the four long edges: low back, low front, high back, high front."""
        y, z = self.width / 2.0, self.thickness / 2.0
        lengths = [self.edge_length_along_x(a, b) for a in (-y, y) for b in (-z, z)]
        return lengths[0], lengths[1], lengths[2], lengths[3]

    def span_along_x(self, y: float, z: float) -> tuple[float, float] | None:
        """Where a line along the piece at (y, z) enters and leaves it, or None when it misses."""
        if abs(y) > self.width / 2.0 + SAME_POINT or abs(z) > self.thickness / 2.0 + SAME_POINT:
            return None
        low, high = 0.0, self.length
        for plane in self.planes:
            rate = plane.normal[0]
            gap = plane.distance((0.0, y, z))
            if abs(rate) * self.length <= SAME_POINT:
                if gap > SAME_POINT:
                    return None
            elif rate > 0.0:
                high = min(high, -gap / rate)
            else:
                low = max(low, -gap / rate)
        return (low, high) if high >= low - SAME_POINT else None

    def edge_length_along_x(self, y: float, z: float) -> float:
        """Length of wood along a line parallel to the piece at (y, z); 0 where the line misses."""
        span = self.span_along_x(y, z)
        return 0.0 if span is None else max(0.0, span[1] - span[0])

    def face_polygon(self, source: Source) -> tuple[Vec3, ...]:
        """The corners of the face on a side or cut, in order; empty when nothing of it is left."""
        loops = (face.loop for face in self.faces if face.source == source)
        return tuple(self.corners[i] for i in next(loops, ()))


Corners = Sequence[Vec3]


@lru_cache(maxsize=2048)
def _cut(
    length: float, width: float, thickness: float, planes: tuple[Plane, ...]
) -> tuple[tuple[Vec3, ...], tuple[Face, ...]]:
    """The cut solid; remembered because most pieces of a balustrade are alike."""
    corners, faces = _box(length, width, thickness)
    for number, plane in enumerate(planes):
        corners, faces = _clipped(corners, faces, plane, number)
    return _renumbered(corners, faces)


def _box(length: float, width: float, thickness: float) -> tuple[list[Vec3], list[Face]]:
    y, z = width / 2.0, thickness / 2.0
    corners = [(a, b, c) for a in (0.0, length) for b in (-y, y) for c in (-z, z)]
    faces = [
        Face((0, 1, 3, 2), Side.START, (-1.0, 0.0, 0.0)),
        Face((4, 6, 7, 5), Side.END, (1.0, 0.0, 0.0)),
        Face((0, 4, 5, 1), Side.LOW_EDGE, (0.0, -1.0, 0.0)),
        Face((2, 3, 7, 6), Side.HIGH_EDGE, (0.0, 1.0, 0.0)),
        Face((0, 2, 6, 4), Side.BACK, (0.0, 0.0, -1.0)),
        Face((1, 5, 7, 3), Side.FRONT, (0.0, 0.0, 1.0)),
    ]
    return corners, faces


def _clipped(
    corners: list[Vec3], faces: list[Face], plane: Plane, number: int
) -> tuple[list[Vec3], list[Face]]:
    """The solid without what lies outside the plane; no faces when nothing is left.

    Corners within `SAME_POINT` of the plane count as on it, so cuts through corners and edges make no
    crumbs. The new face is whatever closes the loops that have lost their neighbour.
    """
    gaps = [plane.distance(corner) for corner in corners]
    gaps = [0.0 if abs(gap) <= SAME_POINT else gap for gap in gaps]
    used = {i for face in faces for i in face.loop}
    if not any(gaps[i] > 0.0 for i in used):
        return corners, faces
    corners = list(corners)
    crossings: dict[tuple[int, int], int] = {}
    kept: list[Face] = []
    for face in faces:
        if not any(gaps[i] < 0.0 for i in face.loop):
            continue
        loop: list[int] = []
        for a, b in _around(face.loop):
            if gaps[a] <= 0.0:
                loop.append(a)
            if gaps[a] * gaps[b] < 0.0:
                loop.append(_crossing(corners, gaps, a, b, crossings))
        kept.append(Face(tuple(loop), face.source, face.normal))
    lid = _lid(kept)
    if lid:
        kept.append(Face(lid, number, plane.normal))
    return corners, kept


def _crossing(
    corners: list[Vec3], gaps: list[float], a: int, b: int, crossings: dict[tuple[int, int], int]
) -> int:
    """The corner where edge a-b meets the plane, made once for both faces that share the edge."""
    key = (a, b) if a < b else (b, a)
    if key not in crossings:
        i, j = key
        t = gaps[i] / (gaps[i] - gaps[j])
        crossings[key] = len(corners)
        corners.append(add(scale(corners[i], 1.0 - t), scale(corners[j], t)))
    return crossings[key]


def _lid(faces: list[Face]) -> Loop:
    """The loop that closes the gap in a set of faces: the edges without a twin, walked backwards."""
    directed = {edge for face in faces for edge in _around(face.loop)}
    following = {b: a for a, b in directed if (b, a) not in directed}
    if not following:
        return ()
    start = min(following)
    loop = [start]
    while (step := following[loop[-1]]) != start:
        loop.append(step)
    return tuple(loop)


def _around(loop: Loop) -> list[tuple[int, int]]:
    return list(zip(loop, loop[1:] + loop[:1], strict=True))


def _renumbered(corners: list[Vec3], faces: list[Face]) -> tuple[tuple[Vec3, ...], tuple[Face, ...]]:
    used = sorted({i for face in faces for i in face.loop})
    new = {old: i for i, old in enumerate(used)}
    renamed = tuple(Face(tuple(new[i] for i in f.loop), f.source, f.normal) for f in faces)
    return tuple(corners[i] for i in used), renamed
