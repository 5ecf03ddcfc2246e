"""Points, directions, planes and placements in space, in plain floats (fast for single vectors).

Lengths in mm. A `Plane` bounds material: its normal points out of the wood. A `Frame` says where a piece
stands: its own axes, seen from the world.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pitchline.kit.tolerances import SQUARE_AXES

Vec3 = tuple[float, float, float]

ORIGIN: Vec3 = (0.0, 0.0, 0.0)
X_AXIS: Vec3 = (1.0, 0.0, 0.0)
Y_AXIS: Vec3 = (0.0, 1.0, 0.0)
Z_AXIS: Vec3 = (0.0, 0.0, 1.0)


def dot(a: Vec3, b: Vec3) -> float:
    """Scalar product."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def cross(a: Vec3, b: Vec3) -> Vec3:
    """Vector product, right-handed."""
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])


def add(a: Vec3, b: Vec3) -> Vec3:
    """Sum of two vectors."""
    return (a[0] + b[0], a[1] + b[1], a[2] + b[2])


def subtract(a: Vec3, b: Vec3) -> Vec3:
    """The vector from ``b`` to ``a``."""
    return (a[0] - b[0], a[1] - b[1], a[2] - b[2])


def scale(a: Vec3, factor: float) -> Vec3:
    """The vector made ``factor`` times as long."""
    return (a[0] * factor, a[1] * factor, a[2] * factor)


def along(start: Vec3, direction: Vec3, distance: float) -> Vec3:
    """The point ``distance`` from ``start`` along ``direction`` (in lengths of it)."""
    return (
        start[0] + direction[0] * distance,
        start[1] + direction[1] * distance,
        start[2] + direction[2] * distance,
    )


def magnitude(a: Vec3) -> float:
    """Length of a vector."""
    return math.sqrt(a[0] * a[0] + a[1] * a[1] + a[2] * a[2])


def unit(a: Vec3) -> Vec3:
    """The vector made one long (ValueError for a vector without direction)."""
    size = magnitude(a)
    if size == 0.0 or not math.isfinite(size):
        raise ValueError(f"{a} has no direction")
    return (a[0] / size, a[1] / size, a[2] / size)


def rotate(a: Vec3, axis: Vec3, angle: float) -> Vec3:
    """The vector turned about an axis through the origin, ``angle`` in radians by the right-hand rule.

    Rodrigues' formula; the axis need not be one long.
    """
    k = unit(axis)
    c, s = math.cos(angle), math.sin(angle)
    kxa = cross(k, a)
    lift = dot(k, a) * (1.0 - c)
    return (
        a[0] * c + kxa[0] * s + k[0] * lift,
        a[1] * c + kxa[1] * s + k[1] * lift,
        a[2] * c + kxa[2] * s + k[2] * lift,
    )


def angle_between(a: Vec3, b: Vec3) -> float:
    """Angle between two directions in radians, 0 to pi; exact near 0 and pi too."""
    return math.atan2(magnitude(cross(a, b)), dot(a, b))


@dataclass(frozen=True, slots=True)
class Plane:
    """A plane through ``point``; the material lies on the side opposite ``normal`` (made one long)."""

    point: Vec3
    normal: Vec3

    def __post_init__(self) -> None:
        object.__setattr__(self, "normal", unit(self.normal))

    @property
    def offset(self) -> float:
        """Distance of the plane from the origin along its normal."""
        return dot(self.point, self.normal)

    def distance(self, p: Vec3) -> float:
        """How far ``p`` stands outside the material (negative: inside), mm."""
        n, q = self.normal, self.point
        return (p[0] - q[0]) * n[0] + (p[1] - q[1]) * n[1] + (p[2] - q[2]) * n[2]

    def flipped(self) -> "Plane":
        """The same plane with the material on the other side."""
        return Plane(self.point, scale(self.normal, -1.0))

    def moved(self, distance: float) -> "Plane":
        """The parallel plane a distance further out (negative: into the material)."""
        return Plane(along(self.point, self.normal, distance), self.normal)

    def mirrored(self, p: Vec3) -> Vec3:
        """The mirror image of the point ``p``."""
        return along(p, self.normal, -2.0 * self.distance(p))

    def meet_line(self, start: Vec3, direction: Vec3) -> Vec3:
        """Where the line through ``start`` along ``direction`` meets the plane (ValueError if parallel)."""
        rate = dot(direction, self.normal)
        if abs(rate) <= SQUARE_AXES * magnitude(direction):
            raise ValueError("a line parallel to a plane does not meet it")
        return along(start, direction, -self.distance(start) / rate)


@dataclass(frozen=True, slots=True)
class Frame:
    """A right-handed placement: where a piece's own origin and axes stand in the world.

    Raises ValueError when the axes are not one long, not square to each other or left-handed.
    """

    origin: Vec3 = ORIGIN
    x: Vec3 = X_AXIS
    y: Vec3 = Y_AXIS
    z: Vec3 = Z_AXIS

    def __post_init__(self) -> None:
        third = cross(self.x, self.y)
        lengths = (dot(self.x, self.x) - 1.0, dot(self.y, self.y) - 1.0, dot(self.x, self.y))
        off = max(*map(abs, lengths), *(abs(a - b) for a, b in zip(third, self.z, strict=True)))
        if not off <= SQUARE_AXES:
            raise ValueError("the axes of a frame must be one long, square to each other and right-handed")

    @staticmethod
    def from_xy(origin: Vec3, x: Vec3, towards_y: Vec3) -> "Frame":
        """The frame with the given x direction whose y leans as near as it can to ``towards_y``."""
        ux = unit(x)
        uz = unit(cross(ux, towards_y))
        return Frame(origin, ux, cross(uz, ux), uz)

    @staticmethod
    def from_xz(origin: Vec3, x: Vec3, towards_z: Vec3) -> "Frame":
        """The frame with the given x direction whose z leans as near as it can to ``towards_z``."""
        ux = unit(x)
        uy = unit(cross(towards_z, ux))
        return Frame(origin, ux, uy, cross(ux, uy))

    def to_world(self, p: Vec3) -> Vec3:
        """A point given in the piece's own axes, in the world."""
        o = self.origin
        d = self.direction_to_world(p)
        return (o[0] + d[0], o[1] + d[1], o[2] + d[2])

    def to_local(self, p: Vec3) -> Vec3:
        """A point of the world, in the piece's own axes."""
        return self.direction_to_local(subtract(p, self.origin))

    def direction_to_world(self, d: Vec3) -> Vec3:
        """A direction given in the piece's own axes, in the world."""
        x, y, z = self.x, self.y, self.z
        return (
            x[0] * d[0] + y[0] * d[1] + z[0] * d[2],
            x[1] * d[0] + y[1] * d[1] + z[1] * d[2],
            x[2] * d[0] + y[2] * d[1] + z[2] * d[2],
        )

    def direction_to_local(self, d: Vec3) -> Vec3:
        """A direction of the world, in the piece's own axes."""
        return (dot(d, self.x), dot(d, self.y), dot(d, self.z))

    def plane_to_world(self, plane: Plane) -> Plane:
        """A plane given in the piece's own axes, in the world."""
        return Plane(self.to_world(plane.point), self.direction_to_world(plane.normal))

    def plane_to_local(self, plane: Plane) -> Plane:
        """A plane of the world, in the piece's own axes."""
        return Plane(self.to_local(plane.point), self.direction_to_local(plane.normal))

    def frame_to_world(self, inner: "Frame") -> "Frame":
        """A frame given in this one's axes, in the world."""
        x, y = self.direction_to_world(inner.x), self.direction_to_world(inner.y)
        return Frame.from_xy(self.to_world(inner.origin), x, y)

    def array_to_world(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        """Points (N, 3) given in the piece's own axes, in the world."""
        turned: NDArray[np.float64] = points @ np.array((self.x, self.y, self.z))
        turned += np.array(self.origin)
        return turned

    def array_to_local(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        """Points (N, 3) of the world, in the piece's own axes."""
        turned: NDArray[np.float64] = (points - np.array(self.origin)) @ np.array((self.x, self.y, self.z)).T
        return turned
