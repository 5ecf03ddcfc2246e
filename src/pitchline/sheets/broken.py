"""Long pieces drawn with their middle left out."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pitchline.kit.drawing.marks import Points
from pitchline.kit.geometry.lines import Point2
from pitchline.kit.geometry.outlines import clip_half_plane


@dataclass(frozen=True, slots=True)
class Broken:
    """A long piece drawn with its middle left out: what lies between ``a`` and ``b`` is not shown."""

    length: float
    a: float
    b: float
    gap: float

    @property
    def whole(self) -> bool:
        """Whether nothing is left out."""
        return self.b <= self.a

    @property
    def drawn(self) -> float:
        """The length it takes in the drawing."""
        return self.length if self.whole else self.a + self.gap + (self.length - self.b)

    @property
    def _shift(self) -> float:
        """How far the far half is drawn nearer than it is."""
        return self.a + self.gap - self.b

    def pieces(self, points: Sequence[Point2]) -> Iterator[Points]:
        """A convex outline as drawn: whole, or what each half shows of it."""
        if self.whole:
            yield tuple(points)
            return
        near = clip_half_plane(points, (self.a, 0.0), (1.0, 0.0))
        far = clip_half_plane(points, (self.b, 0.0), (-1.0, 0.0))
        if len(near) > 2:
            yield near
        if len(far) > 2:
            yield tuple((x + self._shift, y) for x, y in far)

    def strokes(self, start: Point2, end: Point2) -> Iterator[tuple[Point2, Point2]]:
        """A straight stroke as drawn."""
        if self.whole:
            yield start, end
            return
        near = clipped_stroke(start, end, -math.inf, self.a)
        if near is not None:
            yield near
        far = clipped_stroke(start, end, self.b, math.inf)
        if far is not None:
            (ax, ay), (bx, by) = far
            yield (ax + self._shift, ay), (bx + self._shift, by)


def clipped_stroke(start: Point2, end: Point2, low: float, high: float) -> tuple[Point2, Point2] | None:
    """The stretch of a stroke with x from low to high; None where there is none."""
    (ax, ay), (bx, by) = (start, end) if start[0] <= end[0] else (end, start)
    if bx < low or ax > high:
        return None
    span = bx - ax

    def at(x: float) -> Point2:
        return (x, ay + (by - ay) * (x - ax) / span) if span > 0 else (ax, ay)

    first = (ax, ay) if ax >= low else at(low)
    last = (bx, by) if bx <= high else at(high)
    return first, last


def zigzag(x: float, half: float) -> Points:
    """The upright line of a break, a little longer than twice ``half``."""
    kick = max(half / 6, 1.0)
    return (
        (x, -half - kick),
        (x, -kick),
        (x + kick, -kick / 3),
        (x - kick, kick / 3),
        (x, kick),
        (x, half + kick),
    )
