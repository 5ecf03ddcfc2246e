"""Shapes that sections through rails and feet have in common. Lengths in mm."""

import math
from dataclasses import dataclass

from pitchline.design.model import Bar
from pitchline.kit.drawing.marks import Mark, Pen, Points, Stroke

SHOWN = 20.0
"""mm of upright and string drawn beyond a rail before they are broken off."""


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle of the section: left, right, low, high."""

    left: float
    right: float
    low: float
    high: float

    @property
    def corners(self) -> Points:
        """Its corners, anticlockwise."""
        return (
            (self.left, self.low),
            (self.right, self.low),
            (self.right, self.high),
            (self.left, self.high),
        )


def seen_at(y: float) -> float:
    """Looking up the stair, what is to the left (+y) is on the left."""
    return -y


def seat_of(bar: Bar) -> float:
    """How deep the infill reaches into a rail, square to it."""
    return 0.0 if bar.seat is None else abs(bar.seat.z0 - bar.face.z0) * math.cos(bar.top.angle)


def rounded(box: Box, radius: float) -> Points:
    """The outline with the upper corners rounded, as closely as a drawing can show."""
    if radius <= 0:
        return box.corners
    right = [
        (box.right - radius + radius * math.cos(a), box.high - radius + radius * math.sin(a))
        for a in (math.pi / 2 * k / 8 for k in range(9))
    ]
    left = [(-x, z) for x, z in reversed(right)]
    return ((box.left, box.low), (box.right, box.low), *right, *left)


def break_line(left: float, right: float, at: float) -> Mark:
    """The zigzag of a piece broken off."""
    span, kick = right - left, 3.0
    middle = (left + right) / 2
    return Stroke(
        (
            (left - kick, at),
            (middle - span / 8, at),
            (middle - span / 16, at + kick),
            (middle + span / 16, at - kick),
            (middle + span / 8, at),
            (right + kick, at),
        ),
        Pen.THIN,
    )
