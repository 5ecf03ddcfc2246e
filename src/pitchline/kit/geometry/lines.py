"""Straight lines in an elevation: u along the edge, z up."""

import math
from dataclasses import dataclass

from pitchline.kit.tolerances import SAME_POINT

Point2 = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Line:
    """The line z = z0 + slope * u (never plumb). Lengths in mm, slope as rise over going."""

    z0: float
    slope: float

    @staticmethod
    def through(a: Point2, b: Point2) -> "Line":
        """The line through two points that are not plumb above each other (ValueError otherwise)."""
        if abs(b[0] - a[0]) < SAME_POINT:
            raise ValueError("a line through two points that stand plumb above each other has no slope")
        slope = (b[1] - a[1]) / (b[0] - a[0])
        return Line(a[1] - slope * a[0], slope)

    @property
    def angle(self) -> float:
        """Angle from the horizontal in radians, positive rising with u."""
        return math.atan(self.slope)

    @property
    def direction(self) -> Point2:
        """Unit vector along the line towards growing u."""
        return (math.cos(self.angle), math.sin(self.angle))

    @property
    def normal(self) -> Point2:
        """Unit vector square to the line, upwards."""
        return (-math.sin(self.angle), math.cos(self.angle))

    def at(self, u: float) -> float:
        """Height of the line at ``u``."""
        return self.z0 + self.slope * u

    def point(self, u: float) -> Point2:
        """The point of the line at ``u``."""
        return (u, self.at(u))

    def raised(self, plumb: float) -> "Line":
        """The parallel line a plumb distance higher."""
        return Line(self.z0 + plumb, self.slope)

    def offset(self, square: float) -> "Line":
        """The parallel line a distance higher measured square to the line."""
        return self.raised(square / math.cos(self.angle))

    def meet(self, start: Point2, direction: Point2) -> Point2:
        """Where the line through ``start`` along ``direction`` meets this one (ValueError if parallel)."""
        rate = direction[1] - self.slope * direction[0]
        if abs(rate) < SAME_POINT:
            raise ValueError("parallel lines do not meet")
        t = (self.at(start[0]) - start[1]) / rate
        return (start[0] + t * direction[0], start[1] + t * direction[1])
