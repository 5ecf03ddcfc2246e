"""The largest cube that passes an opening, read in the plane of the elevation: a square turned as it likes.

A cube held straight across the plane passes where its square fits the opening; one held askew needs more room.
Lengths in mm. In the right triangle of a step with legs a and b the largest square stands in the right angle and
has the side a b / (a + b).
"""

import math
from functools import lru_cache

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon

from pitchline.kit.geometry.outlines import Points
from pitchline.kit.tolerances import BALL, CUBE_TURNS


def largest_square(outline: Polygon, slope: float = 0.0) -> float:
    """Side of the largest square inside an outline without holes, found to within ``BALL``, mm.

    ``slope`` is that of a rail along which the square may lie too (its angle is tried exactly). Outlines that are
    one another moved are measured once.
    """
    left, floor, _, _ = outline.bounds
    corners = tuple((round(u - left, 4), round(z - floor, 4)) for u, z in outline.exterior.coords[:-1])
    return _largest_square(corners, round(slope, 9))


@lru_cache(maxsize=256)
def _largest_square(corners: Points, slope: float) -> float:
    outline, best = Polygon(corners), 0.0
    turns = [math.pi / 2 * k / CUBE_TURNS for k in range(1, CUBE_TURNS)]
    for turn in (0.0, math.atan(slope), *turns):
        if fits_square(outline, best + BALL, turn):
            best = _largest_turned(outline, turn, best + BALL)
    return best


def _largest_turned(outline: Polygon, turn: float, low: float) -> float:
    left, floor, right, top = outline.bounds
    high = max(right - left, top - floor)
    while high - low > BALL:
        middle = (low + high) / 2
        low, high = (middle, high) if fits_square(outline, middle, turn) else (low, middle)
    return low


def fits_square(outline: Polygon, side: float, turn: float) -> bool:
    """Whether a square turned by ``turn`` radians fits: whether any centre keeps clear of the whole outline.

    The centres that do not are those of the square swept along each edge, a hexagon or less.
    """
    ring = np.array(outline.exterior.coords)
    cos, sin = math.cos(turn), math.sin(turn)
    turned = ring @ np.array([[cos, -sin], [sin, cos]])
    swept = _swept(turned, side / 2.0)
    left = shapely.difference(Polygon(turned), shapely.union_all(shapely.convex_hull(swept)))
    return not shapely.is_empty(left)


def _swept(ring: NDArray[np.float64], half: float) -> NDArray[np.object_]:
    """Points whose hulls are the square swept along each edge of a ring."""
    corners = half * np.array([(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)])
    ends = np.stack((ring[:-1], ring[1:]), axis=1)
    clouds = (ends[:, :, None] + corners[None, None]).reshape(len(ends), 8, 2)
    points: NDArray[np.object_] = shapely.multipoints(shapely.points(clouds))
    return points
