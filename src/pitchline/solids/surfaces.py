"""The true surfaces of a piece: planes, cylinders and cones, in the piece's own axes. Lengths in mm."""

import math
from dataclasses import dataclass

from pitchline.kit.geometry.frames import Plane, Vec3, along, cross, dot, magnitude, scale, subtract, unit

_SAME_PLACE, _SAME_WAY = 1e-6, 1e-9


@dataclass(frozen=True, slots=True)
class Round:
    """A cylinder, or a cone: ``radius`` at the point ``at`` of its axis, and ``growth`` of the radius along it.

    Its faces are told apart by ``sectors`` equal shares of the turn, so that none closes on itself.
    """

    at: Vec3
    axis: Vec3
    radius: float
    growth: float = 0.0
    sectors: int = 2

    def along(self, p: Vec3) -> float:
        """How far along the axis a point lies."""
        return dot(subtract(p, self.at), self.axis)

    def distance(self, p: Vec3) -> float:
        """How far outside the surface a point lies (negative: inside)."""
        s = self.along(p)
        out = magnitude(subtract(subtract(p, self.at), scale(self.axis, s)))
        return (out - self.radius - self.growth * s) / math.hypot(1.0, self.growth)

    def gradient(self, p: Vec3) -> Vec3:
        """The outward direction at a point."""
        s = self.along(p)
        out = unit(subtract(subtract(p, self.at), scale(self.axis, s)))
        return unit(along(out, self.axis, -self.growth))

    @property
    def across(self) -> tuple[Vec3, Vec3]:
        """Two unit vectors square to the axis and to each other, right-handed with it."""
        other = (1.0, 0.0, 0.0) if abs(self.axis[0]) < 0.9 else (0.0, 1.0, 0.0)
        first = unit(cross(self.axis, other))
        return first, cross(self.axis, first)

    def turn_of(self, p: Vec3) -> float:
        """The angle about the axis at which a point lies, 0 to one turn."""
        (first, second), off = self.across, subtract(p, self.at)
        return math.atan2(dot(off, second), dot(off, first)) % math.tau

    def sector_of(self, p: Vec3) -> int:
        """Which share of the turn a point lies in."""
        return min(int(self.turn_of(p) / math.tau * self.sectors), self.sectors - 1)

    def is_coaxial(self, other: "Round") -> bool:
        """Whether both turn about one line."""
        off = subtract(other.at, self.at)
        return (
            magnitude(cross(self.axis, other.axis)) <= _SAME_WAY
            and magnitude(cross(off, self.axis)) <= _SAME_PLACE
        )


Surface = Plane | Round


def distance(surface: Surface, p: Vec3) -> float:
    """How far off a surface a point lies, mm, signed."""
    return surface.distance(p)


def gradient(surface: Surface, p: Vec3) -> Vec3:
    """The direction in which that distance grows."""
    return surface.gradient(p) if isinstance(surface, Round) else surface.normal
