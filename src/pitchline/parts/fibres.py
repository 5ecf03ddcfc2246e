"""How much wood lies over a patch of a piece's section, in closed form: the sum of its straight fibres.

A piece cut by planes has, over every point (y, z) of its section, one straight run of wood along x. Its length
is the difference of two planes there, so it changes evenly over a patch closed by one plane at each end, and
the patch's area and centre of area give the volume exactly. Patches may be straight-sided or bounded by a
circle (a rounded edge, a hole, a round bar). Lengths in mm.

The area and first moments of a polygon are sums over its edges by Green's theorem; where an edge runs outside
a circle its triangle is replaced by the sector under it.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from pitchline.kit.geometry.frames import Plane, dot
from pitchline.kit.geometry.lines import Point2
from pitchline.kit.tolerances import SAME_DIRECTION

Polygon = tuple[Point2, ...]


@dataclass(frozen=True, slots=True)
class Even:
    """A quantity that changes evenly over the section: ``a + b y + c z``."""

    a: float
    b: float
    c: float

    def at(self, point: Point2) -> float:
        """Its value at (y, z)."""
        return self.a + self.b * point[0] + self.c * point[1]

    def minus(self, other: "Even") -> "Even":
        """The difference of two such quantities."""
        return Even(self.a - other.a, self.b - other.b, self.c - other.c)

    @property
    def stretch(self) -> float:
        """How much larger the slanting face x = a + b y + c z is than its patch of the section."""
        return math.sqrt(1.0 + self.b * self.b + self.c * self.c)


@dataclass(frozen=True, slots=True)
class Moments:
    """Area of a patch (mm2) and its first moments about the axes (mm3)."""

    area: float = 0.0
    y: float = 0.0
    z: float = 0.0

    def plus(self, other: "Moments") -> "Moments":
        """The moments of two patches together."""
        return Moments(self.area + other.area, self.y + other.y, self.z + other.z)

    def minus(self, other: "Moments") -> "Moments":
        """The moments of a patch without another that lies in it."""
        return Moments(self.area - other.area, self.y - other.y, self.z - other.z)

    def total(self, quantity: Even) -> float:
        """The quantity summed over the patch."""
        return quantity.a * self.area + quantity.b * self.y + quantity.c * self.z


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle of the section."""

    centre: Point2
    radius: float


@dataclass(frozen=True, slots=True)
class Patch:
    """A convex polygon of the section, or what of it lies ``within`` (else outside) a circle."""

    polygon: Polygon
    circle: Circle | None = None
    within: bool = True

    @staticmethod
    def rectangle(low: Point2, high: Point2) -> "Patch":
        """The rectangle between two opposite corners."""
        return Patch((low, (high[0], low[1]), high, (low[0], high[1])))

    @staticmethod
    def disc(radius: float) -> "Patch":
        """A full circle about the axis."""
        square = Patch.rectangle((-radius, -radius), (radius, radius)).polygon
        return Patch(square, Circle((0.0, 0.0), radius))

    def moments(self) -> Moments:
        """Area and first moments."""
        if self.circle is None:
            return polygon_moments(self.polygon)
        inside = moments_in_circle(self.polygon, self.circle)
        return inside if self.within else polygon_moments(self.polygon).minus(inside)

    def clipped(self, keep: Even, *, ties: bool = True) -> "Patch":
        """The patch where ``keep`` is not below zero; ``ties`` says whether all stays where it is zero throughout."""
        return Patch(clip(self.polygon, keep, ties=ties), self.circle, self.within)


@dataclass(frozen=True, slots=True)
class Wood:
    """The wood over a patch: volume in mm3, and the area in mm2 of the end faces that close it."""

    volume: float
    end_faces: float


@dataclass(frozen=True, slots=True)
class Fibres:
    """The planes that close the fibres at their starts and finishes, and those that run along them."""

    starts: tuple[Even, ...]
    finishes: tuple[Even, ...]
    sides: tuple[Even, ...]

    @staticmethod
    def between(planes: Sequence[Plane]) -> "Fibres":
        """The fibres of the solid on the inner side of all planes, along x."""
        starts: list[Even] = []
        finishes: list[Even] = []
        sides: list[Even] = []
        for plane in planes:
            n = plane.normal
            offset = dot(plane.point, n)
            if abs(n[0]) <= SAME_DIRECTION:
                sides.append(Even(offset, -n[1], -n[2]))
                continue
            end = Even(offset / n[0], -n[1] / n[0], -n[2] / n[0])
            (finishes if n[0] > 0 else starts).append(end)
        return Fibres(tuple(starts), tuple(finishes), tuple(sides))

    def over(self, patch: Patch) -> Wood:
        """The wood over a patch."""
        volume = faces = 0.0
        for start, finish, cell in self._cells(patch):
            moments = cell.moments()
            volume += moments.total(finish.minus(start))
            faces += moments.area * (start.stretch + finish.stretch)
        return Wood(volume, faces)

    def length_at(self, point: Point2) -> float:
        """Length of the fibre at (y, z); 0 where there is none."""
        if any(side.at(point) < 0.0 for side in self.sides):
            return 0.0
        low = max(start.at(point) for start in self.starts)
        return max(0.0, min(finish.at(point) for finish in self.finishes) - low)

    def _cells(self, patch: Patch) -> Iterator[tuple[Even, Even, Patch]]:
        """The patch parted by which planes close the fibres."""
        for side in self.sides:
            patch = patch.clipped(side)
        for i, start in enumerate(self.starts):
            under = patch
            for k, other in enumerate(self.starts):
                if k != i:
                    under = under.clipped(start.minus(other), ties=i < k)
            for j, finish in enumerate(self.finishes):
                cell = under
                for k, other in enumerate(self.finishes):
                    if k != j:
                        cell = cell.clipped(other.minus(finish), ties=j < k)
                cell = cell.clipped(finish.minus(start))
                if cell.polygon:
                    yield start, finish, cell


def clip(polygon: Polygon, keep: Even, *, ties: bool = True) -> Polygon:
    """The part of a convex polygon where ``keep`` is not below zero; empty when it has no area."""
    values = [keep.at(point) for point in polygon]
    if all(value == 0.0 for value in values):
        return polygon if ties else ()
    if not any(value > 0.0 for value in values):
        return ()
    kept: list[Point2] = []
    for i, (p, here) in enumerate(zip(polygon, values, strict=True)):
        q, there = polygon[(i + 1) % len(polygon)], values[(i + 1) % len(values)]
        if here >= 0.0:
            kept.append(p)
        if here * there < 0.0:
            t = here / (here - there)
            kept.append((p[0] + t * (q[0] - p[0]), p[1] + t * (q[1] - p[1])))
    return tuple(kept)


def polygon_moments(polygon: Polygon) -> Moments:
    """Area and first moments of a polygon that runs anticlockwise."""
    total = Moments()
    for i, p in enumerate(polygon):
        total = total.plus(_triangle(p, polygon[(i + 1) % len(polygon)]))
    return total


def moments_in_circle(polygon: Polygon, circle: Circle) -> Moments:
    """Area and first moments of what of a polygon (anticlockwise) lies in a circle."""
    cy, cz = circle.centre
    local = [(y - cy, z - cz) for y, z in polygon]
    total = Moments()
    for i, p in enumerate(local):
        total = total.plus(_edge_in_circle(p, local[(i + 1) % len(local)], circle.radius))
    return Moments(total.area, total.y + cy * total.area, total.z + cz * total.area)


def _triangle(p: Point2, q: Point2) -> Moments:
    """The triangle from the origin to an edge."""
    area = (p[0] * q[1] - p[1] * q[0]) / 2.0
    return Moments(area, area * (p[0] + q[0]) / 3.0, area * (p[1] + q[1]) / 3.0)


def _edge_in_circle(p: Point2, q: Point2, radius: float) -> Moments:
    """What an edge adds: triangles where it runs inside the circle about the origin, sectors where outside."""
    dy, dz = q[0] - p[0], q[1] - p[1]
    square = dy * dy + dz * dz
    if square == 0.0:
        return Moments()
    middle = -(p[0] * dy + p[1] * dz) / square
    clear = radius * radius - (p[0] + middle * dy) ** 2 - (p[1] + middle * dz) ** 2
    if clear <= 0.0:
        return _sector(p, q, radius)
    half = math.sqrt(clear / square)
    stops = sorted([0.0, 1.0, *(t for t in (middle - half, middle + half) if 0.0 < t < 1.0)])
    total = Moments()
    for low, high in pairwise(stops):
        a = (p[0] + low * dy, p[1] + low * dz)
        b = (p[0] + high * dy, p[1] + high * dz)
        halfway = (low + high) / 2
        inside = math.hypot(p[0] + halfway * dy, p[1] + halfway * dz) <= radius
        total = total.plus(_triangle(a, b) if inside else _sector(a, b, radius))
    return total


def _sector(a: Point2, b: Point2, radius: float) -> Moments:
    """The sector of the circle about the origin between the directions of two points."""
    start = math.atan2(a[1], a[0])
    sweep = math.atan2(a[0] * b[1] - a[1] * b[0], a[0] * b[0] + a[1] * b[1])
    stop = start + sweep
    cube = radius**3 / 3.0
    return Moments(
        radius * radius * sweep / 2.0,
        cube * (math.sin(stop) - math.sin(start)),
        cube * (math.cos(start) - math.cos(stop)),
    )
