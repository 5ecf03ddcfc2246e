"""A wreath by the tangent method: a rail that climbs round a circle in plan, cut from one plank.

The middle line of the rail lies over an arc in plan. At its two ends it runs on from straight rails, along the
*tangents*, which meet over the corner of the plan tangents. These two lines span the plane of the plank; where
it cuts the plumb cylinder over the arc lies the middle line, part of an ellipse. Every joint is square to its
tangent. Lengths in mm, angles in degrees. See docs/method/turning-rails.md, with its sources.
"""

import math
from dataclasses import dataclass

import numpy as np

from pitchline.kit.geometry.frames import (
    X_AXIS,
    Z_AXIS,
    Frame,
    Vec3,
    angle_between,
    cross,
    dot,
    magnitude,
    scale,
    subtract,
    unit,
)
from pitchline.kit.geometry.lines import Point2
from pitchline.kit.geometry.outlines import Points
from pitchline.kit.tolerances import SAME_DIRECTION

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(16)
_PANELS = 16


@dataclass(frozen=True, slots=True)
class WreathEnd:
    """One end of a wreath.

    ``tangent`` is the length of the tangent from the joint to the corner, ``pitch_deg`` its pitch, and
    ``twist_deg`` how far the plank's face stands, on the joint, from the square base of the rail: positive
    anticlockwise looking against the direction of travel.
    """

    tangent: float
    pitch_deg: float
    twist_deg: float

    @property
    def bevel_deg(self) -> float:
        """The bevel of the trade: between the face of the plank and plumb, seen on the joint (90: no twist)."""
        return 90.0 - abs(self.twist_deg)

    def mould_width(self, width: float) -> float:
        """How wide the face mould is on the joint for a rail of this width: width over the sine of the bevel."""
        return width / math.cos(math.radians(self.twist_deg))

    def plank_thickness(self, width: float, depth: float) -> float:
        """The plank that holds a section of width and depth on this joint, standing at the bevel in it."""
        twist = math.radians(abs(self.twist_deg))
        return width * math.sin(twist) + depth * math.cos(twist)


@dataclass(frozen=True, slots=True)
class Wreath:
    """A wreath over an arc of ``radius`` (to the middle of the rail) that turns by ``plan_deg`` in plan.

    ``first_rise`` and ``second_rise`` are the heights gained along the first and the second tangent; one may be
    nothing (a level tangent) or negative. The plan turns to the left; a right-hand wreath is its mirror image,
    with all twists turned about. Raises ValueError for a radius or turn not above zero, or a half turn and more.
    """

    radius: float
    plan_deg: float
    first_rise: float
    second_rise: float

    def __post_init__(self) -> None:
        if not (self.radius > 0.0 and 0.0 < self.plan_deg < 180.0):
            raise ValueError("a wreath has a radius above zero and turns by less than a half turn in plan")

    @property
    def plan_tangent(self) -> float:
        """Length of both tangents in plan: r tan(plan / 2)."""
        return self.radius * math.tan(math.radians(self.plan_deg) / 2.0)

    @property
    def tangents(self) -> tuple[Vec3, Vec3]:
        """The two tangents as vectors of travel; the first along x in plan, both meeting at the origin."""
        plan, t = math.radians(self.plan_deg), self.plan_tangent
        return (t, 0.0, self.first_rise), (t * math.cos(plan), t * math.sin(plan), self.second_rise)

    @property
    def first(self) -> WreathEnd:
        """The end at which the rail arrives."""
        return self._end(self.tangents[0])

    @property
    def second(self) -> WreathEnd:
        """The end at which it leaves."""
        return self._end(self.tangents[1])

    def _end(self, tangent: Vec3) -> WreathEnd:
        along = unit(tangent)
        left = unit(cross(Z_AXIS, along))
        base = cross(along, left)
        normal = self.plank.z
        return WreathEnd(
            tangent=magnitude(tangent),
            pitch_deg=math.degrees(math.asin(along[2])),
            twist_deg=math.degrees(math.atan2(-dot(normal, left), dot(normal, base))),
        )

    @property
    def plank(self) -> Frame:
        """The plank: x level on its face (the ordinates run along it), y up its face, z out of it upwards.

        Its origin is where the tangents meet. A level plank takes its x from the first tangent.
        """
        one, other = self.tangents
        normal = unit(cross(one, other))
        level = cross(Z_AXIS, normal)
        x = X_AXIS if magnitude(level) <= SAME_DIRECTION else unit(level)
        return Frame.from_xz((0.0, 0.0, 0.0), x, normal)

    @property
    def plank_pitch_deg(self) -> float:
        """How far the plank is tipped from level."""
        return math.degrees(angle_between(self.plank.z, Z_AXIS))

    @property
    def angle_deg(self) -> float:
        """The angle between the two tangents on the face mould."""
        one, other = self.tangents
        return math.degrees(angle_between(scale(one, -1.0), other))

    @property
    def chord(self) -> float:
        """Straight from joint to joint, in space."""
        one, other = self.tangents
        return magnitude(subtract(other, scale(one, -1.0)))

    @property
    def semi_axes(self) -> tuple[float, float]:
        """Half of the small and of the large axis of the ellipse: the radius, and it over the cosine of the pitch."""
        return self.radius, self.radius / math.cos(math.radians(self.plank_pitch_deg))

    def plank_thickness(self, width: float, depth: float) -> float:
        """The least plank for a rail of this section, joints and all between: the thicker of what the ends need."""
        return max(end.plank_thickness(width, depth) for end in (self.first, self.second))

    def over(self, x: float, y: float) -> Vec3:
        """The point of the plank's middle plane plumb over a point in plan (the corner of the tangents at 0, 0)."""
        n = self.plank.z
        return (x, y, -(n[0] * x + n[1] * y) / n[2])

    def on_plank(self, x: float, y: float) -> Point2:
        """The same point measured on the plank: along its level line and up its face."""
        u, v, _ = self.plank.to_local(self.over(x, y))
        return u, v

    def plan_point(self, share: float, radius: float | None = None) -> Point2:
        """A point in plan a share of the way round, 0 at the first joint, on the middle line or at another radius."""
        r = self.radius if radius is None else radius
        angle = math.radians(self.plan_deg) * share
        return (-self.plan_tangent + r * math.sin(angle), self.radius - r * math.cos(angle))

    def mould_edge(self, radius: float, count: int) -> Points:
        """``count`` points of an edge of the face mould: where the cylinder of this radius cuts the plank.

        With the radius to the middle of the rail plus and minus half of its width these are the two edges.
        Raises ValueError for fewer than two points.
        """
        if count < 2:
            raise ValueError("an edge has at least two points")
        return tuple(self.on_plank(*self.plan_point(k / (count - 1), radius)) for k in range(count))

    def face_mould(self, width: float, shank: float, count: int = 65) -> Points:
        """The face mould of a rail of ``width`` on the plank as a closed outline, joints square to the tangents.

        At both ends the rail runs on straight along its tangent, ``shank`` long on its middle line; ``count`` points
        lie on each curved edge. The first joint lies between the last and the first point. Raises ValueError for a
        shank shorter than `least_shank`.
        """
        if shank < self.least_shank(width):
            raise ValueError(f"the joints need straight shanks of {self.least_shank(width):.1f} mm or more")
        half = width / 2.0
        outer = self.mould_edge(self.radius + half, count)
        inner = self.mould_edge(self.radius - half, count)
        (first_out, first_in), (second_out, second_in) = (self._joint(at, half, shank) for at in (0, 1))
        return (first_out, *outer, second_out, second_in, *reversed(inner), first_in)

    def least_shank(self, width: float) -> float:
        """The straight length at each end below which the line of a joint would run into the curve."""
        n = self.plank.z
        leans = (abs(dot(n, unit(cross(Z_AXIS, t)))) * abs(unit(t)[2]) for t in self.tangents)
        return width / 2.0 * max(leans) / n[2]

    def _joint(self, at: int, half: float, shank: float) -> tuple[Point2, Point2]:
        """Outer and inner end of the line of the first (0) or second (1) joint on the plank."""
        end = (self.first, self.second)[at]
        u, v, _ = self.plank.direction_to_local(unit(self.tangents[at]))
        middle = self.on_plank(*self.plan_point(at))
        off = shank if at else -shank
        x, y = middle[0] + off * u, middle[1] + off * v
        reach = end.mould_width(2.0 * half) / 2.0
        return (x + reach * v, y - reach * u), (x - reach * v, y + reach * u)

    @property
    def length(self) -> float:
        """Developed length of the middle line, an arc of an ellipse, by Gauss-Legendre quadrature in panels."""
        n = self.plank.z
        panel = math.radians(self.plan_deg) / _PANELS
        angles = panel * (np.arange(_PANELS)[:, np.newaxis] + (np.asarray(_NODES) + 1.0) / 2.0)
        slope = -(n[0] * np.cos(angles) + n[1] * np.sin(angles)) / n[2]
        return float(self.radius * panel / 2.0 * np.sum(np.sqrt(1.0 + slope * slope) @ _WEIGHTS))


def enclosing_plank(width: float, depth: float) -> float:
    """A plank for any wreath of this section whatever its bevels: the circle round the section's corners.

    Hodgson, *ABC of the Steel Square*, p. 41.
    """
    return math.hypot(width, depth)


def cross_slope(rise: float, slope: float, radius: float) -> float:
    """Slope of the tangents that cross a half turn of two quarter wreaths between two flights of one slope.

    The flights' own slope runs on over both outer tangents, each one radius long in plan; what is left of the
    ``rise`` between the two springings falls to the two tangents across. 0 means a level crossing, ``slope`` that
    the pitch is kept all round.
    """
    if not radius > 0.0:
        raise ValueError("a half turn has a radius above zero")
    return rise / (2.0 * radius) - slope


def radius_of_straight_fall(going: float, plan_deg: float = 90.0) -> float:
    """The radius whose arc of ``plan_deg`` unrolls to one going: over it the line keeps the pitch of the flight."""
    if not (going > 0.0 and plan_deg > 0.0):
        raise ValueError("a going and a turn above zero are needed")
    return going / math.radians(plan_deg)
