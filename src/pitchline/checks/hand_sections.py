"""The section of a handrail as a hand meets it: any outline drawn as a polygon, measured. Lengths in mm.

Sections are polygons of (across, up) points, anticlockwise, square to the rail. How the words of the codes are read:
the *way round* is the length of the outline; the *largest measure across* is the greatest distance between any
two of its points; the *least measure across* is the narrowest gap between two parallel lines that hold it.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from pitchline.design.model import Bar
from pitchline.kit.geometry.lines import Point2
from pitchline.kit.geometry.outlines import Points, anticlockwise, to_shapely, without_repeats
from pitchline.kit.tolerances import ROUND_ENOUGH, SECTION_LEVELS, SHARP_TURN_DEG
from pitchline.kit.units import MM_PER_INCH

RECESS_DEPTH = 5.0 / 16.0 * MM_PER_INCH
"""Depth at which a finger recess counts (IRC 2021 R311.7.8.5, type II: 5/16 in)."""

_ARC = 64
"""Straight pieces that stand for a quarter of a circle: the way round is short by 0.0025 % of the arc."""


@dataclass(frozen=True, slots=True)
class TypeOne:
    """What a section that one hand closes round measures; ``edge_radius`` is 0 where an edge is sharp."""

    perimeter: float
    across: float
    least_across: float
    edge_radius: float

    @property
    def is_round(self) -> bool:
        """Whether the section is a circle for the hand: as wide one way as any other."""
        return self.across - self.least_across <= ROUND_ENOUGH


@dataclass(frozen=True, slots=True)
class TypeTwo:
    """A wide section with a finger recess on both sides; the worse side of each measure.

    ``begins``: level below the top where the side starts to go in; ``within``: how far below that it is deep
    enough (infinite: never); ``run``: how far on it stays so; ``level``: level below the top where that ends;
    ``above``: width of the section over the recess.
    """

    perimeter: float
    begins: float
    within: float
    run: float
    level: float
    above: float


def rounded_rectangle(width: float, depth: float, upper: float, lower: float = 0.0) -> Points:
    """A rectangle with its upper edges rounded to one radius and its lower ones to another; its top at 0."""
    most = min(width / 2, depth)
    top, bottom = min(upper, most), min(lower, most, depth - min(upper, most))
    half, points = width / 2, list[Point2]()
    for sx, sz, r in ((1.0, -1.0, bottom), (1.0, 1.0, top), (-1.0, 1.0, top), (-1.0, -1.0, bottom)):
        centre = (sx * (half - r), -r if sz > 0.0 else -depth + r)
        begin = {(1.0, -1.0): -0.5, (1.0, 1.0): 0.0, (-1.0, 1.0): 0.5, (-1.0, -1.0): 1.0}[(sx, sz)]
        for k in range(_ARC + 1 if r > 0.0 else 1):
            angle = math.pi * (begin + 0.5 * k / _ARC)
            points.append((centre[0] + r * math.cos(angle), centre[1] + r * math.sin(angle)))
    return without_repeats(points)


def section_of(bar: Bar) -> Points:
    """The section of a bar: a rectangle with its two upper edges rounded, no more than the wood allows."""
    return rounded_rectangle(bar.width, bar.depth, bar.round_over)


def round_grip(diameter: float) -> TypeOne:
    """The measures of a round rail, in closed form."""
    return TypeOne(math.pi * diameter, diameter, diameter, diameter / 2)


def type_one(section: Sequence[Point2]) -> TypeOne:
    """The measures of any section. ValueError where the outline crosses itself or has no area."""
    polygon = to_shapely(section)
    if not polygon.is_valid or polygon.area <= 0.0:
        raise ValueError("a handrail's section must be an outline that does not cross itself")
    corners = np.array(anticlockwise(without_repeats(tuple(section))))
    hull = np.array(shapely.convex_hull(polygon).exterior.coords)
    return TypeOne(float(polygon.length), _diameter(hull), _least_width(hull), _edge_radius(corners))


def _diameter(hull: NDArray[np.float64]) -> float:
    return float(np.max(np.hypot(*(hull[:, None] - hull[None]).transpose(2, 0, 1))))


def _least_width(hull: NDArray[np.float64]) -> float:
    """The narrowest strip that holds a convex outline lies along one of its edges."""
    edges = np.diff(hull, axis=0)
    normals = np.stack((-edges[:, 1], edges[:, 0]), axis=1) / np.hypot(*edges.T)[:, None]
    reach = hull @ normals.T
    return float(np.min(reach.max(axis=0) - reach.min(axis=0)))


def _edge_radius(corners: NDArray[np.float64]) -> float:
    """The smallest radius of the outline's convex edges; a turn of much at one point is a sharp edge."""
    after = np.roll(corners, -1, axis=0) - corners
    before = np.roll(after, 1, axis=0)
    sizes = np.minimum(np.hypot(*after.T), np.hypot(*before.T))
    cross = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    turns = np.arctan2(cross, np.einsum("ij,ij->i", before, after))
    if np.any(turns > math.radians(SHARP_TURN_DEG)):
        return 0.0
    convex = turns > 1e-6
    return float(np.min(sizes[convex] / (2.0 * np.tan(turns[convex] / 2.0)), initial=math.inf))


def type_two(section: Sequence[Point2], depth: float = RECESS_DEPTH) -> TypeTwo | None:
    """The finger recesses of a wide section, each at least ``depth`` deep; None where a side never goes in.

    Read level by level from the top: a recess begins where the side falls back from the widest it has been.
    """
    polygon = to_shapely(section)
    _, low, _, high = polygon.bounds
    count = max(2, math.ceil((high - low) / SECTION_LEVELS))
    levels = np.linspace(0.0, high - low, count + 1)[1:-1]
    left, right = _sides(np.array(polygon.exterior.coords), high - levels)
    found = [_recess(levels, side, depth) for side in (right, -left)]
    sides = [side for side in found if side is not None]
    if len(sides) < 2:
        return None
    begins, within, run, level, widest = zip(*sides, strict=True)
    return TypeTwo(float(polygon.length), max(begins), max(within), min(run), min(level), sum(widest))


def _sides(ring: NDArray[np.float64], heights: NDArray[np.float64]) -> tuple[NDArray[np.float64], ...]:
    """The outline's least and greatest place across at each height."""
    (x0, z0), (x1, z1) = ring[:-1].T, ring[1:].T
    spans = (np.minimum(z0, z1) <= heights[:, None]) & (heights[:, None] <= np.maximum(z0, z1)) & (z0 != z1)
    share = (heights[:, None] - z0) / np.where(z0 == z1, 1.0, z1 - z0)
    places = x0 + share * (x1 - x0)
    low = np.min(np.where(spans, places, math.inf), axis=1)
    high = np.max(np.where(spans, places, -math.inf), axis=1)
    return low, high


_Recess = tuple[float, float, float, float, float]


def _recess(levels: NDArray[np.float64], side: NDArray[np.float64], depth: float) -> _Recess | None:
    """Where one side goes in: level, way to the depth, run at the depth, its end, and the widest above."""
    widest = np.maximum.accumulate(side)
    back = np.flatnonzero(side < widest - ROUND_ENOUGH / 10.0)
    if len(back) == 0:
        return None
    first = int(back[0])
    over, begins = float(widest[first]), float(levels[max(first - 1, 0)])
    deep = np.flatnonzero((over - side >= depth) & (np.arange(len(side)) >= first))
    if len(deep) == 0:
        return begins, math.inf, 0.0, begins, over
    start = int(deep[0])
    still = deep[deep - np.arange(len(deep)) == start]
    end = float(levels[int(still[-1])])
    return begins, float(levels[start]) - begins, end - float(levels[start]), end, over
