"""Outlines in a plane: convex clipping that remembers where each edge came from, strips, and clean unions.

Lengths in mm, points as (u, z) pairs without a repeated last point, anticlockwise. A `HalfPlane` bounds
material like a `Plane` does: its normal points out of what is kept.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Polygon
from shapely.geometry.base import BaseMultipartGeometry

from pitchline.kit.geometry.lines import Point2
from pitchline.kit.tolerances import SAME_POINT, SLIVER

Points = tuple[Point2, ...]
Label = str | int


@dataclass(frozen=True, slots=True)
class HalfPlane:
    """What lies on the side of ``point`` opposite ``normal`` (made one long)."""

    point: Point2
    normal: Point2

    def __post_init__(self) -> None:
        size = math.hypot(*self.normal)
        if size == 0.0 or not math.isfinite(size):
            raise ValueError(f"{self.normal} has no direction")
        object.__setattr__(self, "normal", (self.normal[0] / size, self.normal[1] / size))

    def distance(self, p: Point2) -> float:
        """How far ``p`` stands outside (negative: inside), mm."""
        n, q = self.normal, self.point
        return (p[0] - q[0]) * n[0] + (p[1] - q[1]) * n[1]


@dataclass(frozen=True, slots=True)
class Outline:
    """A convex outline; ``labels[i]`` names the edge that runs from ``points[i]`` to the next point."""

    points: Points
    labels: tuple[Label, ...]

    def __post_init__(self) -> None:
        if len(self.points) != len(self.labels):
            raise ValueError("an outline needs one label for each edge")

    @staticmethod
    def of(points: Iterable[Point2]) -> "Outline":
        """The outline through convex points in either sense; its edges are numbered 0, 1, 2, ..."""
        corners = anticlockwise(tuple(points))
        return Outline(corners, tuple(range(len(corners))))

    @property
    def area(self) -> float:
        """Area in mm2 (0 when nothing is left)."""
        return area(self.points)

    def edge(self, label: Label) -> tuple[Point2, Point2] | None:
        """The edge with this label, or None when nothing of it is left."""
        if label not in self.labels:
            return None
        i = self.labels.index(label)
        return (self.points[i], self.points[(i + 1) % len(self.points)])

    def clipped(self, cut: HalfPlane, label: Label) -> "Outline":
        """What is left inside the half-plane; the edge that the cut makes bears ``label``.

        Corners that are kept stay exactly as they were. An edge that already lies on the cut keeps its
        label. An outline with no points says that nothing is left.
        """
        gaps = [_snapped(cut.distance(p)) for p in self.points]
        if not any(g < 0.0 for g in gaps):
            return Outline((), ())
        points: list[Point2] = []
        labels: list[Label] = []
        for i, (p, own) in enumerate(zip(self.points, self.labels, strict=True)):
            j = (i + 1) % len(gaps)
            here, there = gaps[i], gaps[j]
            if here <= 0.0:
                points.append(p)
                labels.append(label if here == 0.0 < there else own)
            if here * there < 0.0:
                t = here / (here - there)
                q = self.points[j]
                points.append((p[0] + t * (q[0] - p[0]), p[1] + t * (q[1] - p[1])))
                labels.append(label if here < 0.0 else own)
        return Outline(tuple(points), tuple(labels))


def clip_half_plane(points: Sequence[Point2], a: Point2, n: Point2) -> Points:
    """The part of a convex polygon on the side of ``a`` opposite ``n`` (empty when nothing is left)."""
    return Outline.of(points).clipped(HalfPlane(a, n), "cut").points


def strip(centre: Point2, direction: Point2, width: float) -> tuple[HalfPlane, HalfPlane]:
    """The endless band of ``width`` about the line through ``centre``: its left and its right side."""
    if not width > 0.0:
        raise ValueError("a strip must have some width")
    size = math.hypot(*direction)
    if size == 0.0:
        raise ValueError("a strip needs a direction")
    nx, ny = -direction[1] / size, direction[0] / size
    h = width / 2.0
    left = HalfPlane((centre[0] + nx * h, centre[1] + ny * h), (nx, ny))
    right = HalfPlane((centre[0] - nx * h, centre[1] - ny * h), (-nx, -ny))
    return left, right


def strip_within(outline: Outline, centre: Point2, direction: Point2, width: float) -> Outline:
    """The part of a convex outline inside a strip; the strip's sides are labelled "left" and "right"."""
    left, right = strip(centre, direction, width)
    return outline.clipped(left, "left").clipped(right, "right")


def area(points: Sequence[Point2]) -> float:
    """Area of a simple polygon in mm2, whichever way it runs."""
    return abs(signed_area(points))


def signed_area(points: Sequence[Point2]) -> float:
    """Area in mm2, positive when the polygon runs anticlockwise."""
    if len(points) < 3:
        return 0.0
    ox, oy = points[0]
    total = 0.0
    for (ax, ay), (bx, by) in pairwise(points):
        total += (ax - ox) * (by - oy) - (bx - ox) * (ay - oy)
    return total / 2.0


def centroid(points: Sequence[Point2]) -> Point2:
    """Centre of area of a simple polygon (ValueError when it has no area)."""
    if len(points) < 3:
        raise ValueError("fewer than three points have no area")
    ox, oy = points[0]
    total = sx = sy = 0.0
    for (ax, ay), (bx, by) in pairwise(points):
        part = (ax - ox) * (by - oy) - (bx - ox) * (ay - oy)
        total += part
        sx += part * (ax + bx - 2.0 * ox)
        sy += part * (ay + by - 2.0 * oy)
    if total == 0.0:
        raise ValueError("a polygon without area has no centre of area")
    return (ox + sx / (3.0 * total), oy + sy / (3.0 * total))


def anticlockwise(points: Sequence[Point2]) -> Points:
    """The same corners running anticlockwise, starting at the same one."""
    if signed_area(points) >= 0.0:
        return tuple(points)
    return (points[0], *reversed(points[1:]))


def without_repeats(points: Sequence[Point2]) -> Points:
    """The points without those that lie on the one before (the last and the first are neighbours too)."""
    kept: list[Point2] = []
    for p in points:
        if not kept or math.dist(p, kept[-1]) > SAME_POINT:
            kept.append(p)
    while len(kept) > 1 and math.dist(kept[0], kept[-1]) <= SAME_POINT:
        kept.pop()
    return tuple(kept)


def to_shapely(points: Sequence[Point2], holes: Sequence[Sequence[Point2]] = ()) -> Polygon:
    """A shapely polygon with these corners and holes."""
    return Polygon(points, holes)


def from_shapely(polygon: Polygon) -> Points:
    """The outer corners of a shapely polygon, anticlockwise, without a repeated last point."""
    ring = [(float(u), float(z)) for u, z in polygon.exterior.coords[:-1]]
    return anticlockwise(without_repeats(ring))


def union(shapes: Iterable[Polygon | MultiPolygon]) -> list[Polygon]:
    """The separate outlines of all shapes together, without slivers; hair-thin holes are filled."""
    return without_slivers(shapely.union_all(list(shapes)))


def difference(shape: Polygon | MultiPolygon, cut_away: Iterable[Polygon | MultiPolygon]) -> list[Polygon]:
    """The separate outlines of what is left of a shape, without slivers; hair-thin holes are filled."""
    return without_slivers(shapely.difference(shape, shapely.union_all(list(cut_away))))


def without_slivers(shape: shapely.Geometry) -> list[Polygon]:
    """The polygons of a shape, largest first, without pieces and holes thinner than `SLIVER`.

    Lines and points that an overlay leaves behind are dropped too.
    """
    parts = _objects(_polygons(shape))
    if len(parts) == 0:
        return []
    thick = parts[~_thin(parts)]
    return sorted((_without_thin_holes(p) for p in thick), key=lambda p: -float(p.area))


def _polygons(shape: shapely.Geometry) -> Iterator[Polygon]:
    if isinstance(shape, Polygon):
        if not shape.is_empty:
            yield shape
    elif isinstance(shape, BaseMultipartGeometry):
        for part in shape.geoms:
            yield from _polygons(part)


def _objects(shapes: Iterable[Polygon]) -> NDArray[np.object_]:
    return np.array(list(shapes), dtype=np.object_)


def _thin(shapes: NDArray[np.object_]) -> NDArray[np.bool_]:
    eroded = shapely.buffer(shapes, -SLIVER / 2.0, quad_segs=2, join_style="mitre")
    return np.asarray(shapely.is_empty(eroded), dtype=np.bool_)


def _without_thin_holes(polygon: Polygon) -> Polygon:
    if not polygon.interiors:
        return polygon
    holes = _objects(Polygon(ring) for ring in polygon.interiors)
    kept = holes[~_thin(holes)]
    return Polygon(polygon.exterior, [h.exterior for h in kept])


def _snapped(gap: float) -> float:
    return 0.0 if abs(gap) <= SAME_POINT else gap
