"""The largest ball that passes an opening: the largest circle inside its outline.

Convex outlines (the gap between two balusters, the triangle over a step) are solved exactly. Any other
outline is climbed from many starts and the answer is then *certified*: the outline shrunk by a little more
than the ball's radius must be empty, otherwise the search goes on in what is left. So a ball is never read
too small by more than `BALL`, and never too large. Lengths in mm. See docs/method/openings.md.

This is a test in the plane of the opening.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Polygon

from pitchline.kit.geometry.lines import Point2
from pitchline.kit.tolerances import BALL, SAME_DIRECTION, SAME_POINT

Array = NDArray[np.float64]

_MOST_CONVEX_CORNERS = 12
"""Convex outlines with more corners are climbed: trying every three edges would be slower."""

_NEAR_SITES = 9
"""How many of the nearest edges a climbing step looks at."""

_MOST_STEPS = 60
"""A climb ends after this many steps; it needs fewer than ten where it has been watched."""


@dataclass(frozen=True, slots=True)
class Ball:
    """The largest ball through an opening, and where its centre is when it passes."""

    diameter: float
    centre: Point2


def largest_ball(outline: Polygon) -> Ball:
    """The largest ball through one opening (with holes, if it has any). Raises ValueError as `largest_balls`."""
    return largest_balls([outline])[0]


def largest_balls(outlines: Sequence[Polygon]) -> list[Ball]:
    """The largest ball through each opening, in their order; the whole list costs little more than one.

    Raises ValueError for an outline that is empty or crosses itself.
    """
    shapes = np.array(outlines, dtype=np.object_)
    bad = ~shapely.is_valid(shapes) | (shapely.area(shapes) <= 0.0)
    if np.any(bad):
        raise ValueError(f"opening {int(np.argmax(bad))} has no area or crosses itself")
    found: dict[int, Ball] = {}
    for numbers, corners in _convex_groups(shapes):
        found.update(zip(numbers, _convex_balls(corners), strict=True))
    for number, shape in enumerate(outlines):
        if number not in found:
            found[number] = _climbed(shape, shape, None)
    return [found[number] for number in range(len(outlines))]


def largest_ball_centred_in(outline: Polygon, region: Polygon | MultiPolygon) -> Ball | None:
    """The largest ball through an opening whose centre lies in ``region``; None where they do not overlap.

    For speaking of one part of a long connected opening, such as the triangle over one step. The ball may
    reach beyond the region, not beyond the outline.
    """
    best: Ball | None = None
    for piece in _convex_pieces(region):
        start = shapely.intersection(outline, piece)
        if shapely.area(start) <= 0.0:
            continue
        ball = _climbed(outline, start, piece)
        if best is None or ball.diameter > best.diameter:
            best = ball
    return best


def _convex_pieces(region: Polygon | MultiPolygon) -> list[Polygon]:
    parts = [p for p in shapely.get_parts(region) if isinstance(p, Polygon) and p.area > 0.0]
    pieces: list[Polygon] = []
    for part in parts:
        hull = shapely.convex_hull(part)
        flat = not part.interiors and hull.area - part.area <= SAME_POINT * part.length
        pieces.extend([part] if flat else shapely.get_parts(shapely.constrained_delaunay_triangles(part)))
    return pieces


def _convex_groups(shapes: NDArray[np.object_]) -> list[tuple[list[int], Array]]:
    """The convex outlines by number of corners: their places in the list, their corners (k, n, 2) anticlockwise."""
    counts = shapely.get_num_points(shapely.get_exterior_ring(shapes)) - 1
    plain = (shapely.get_num_interior_rings(shapes) == 0) & (counts <= _MOST_CONVEX_CORNERS)
    groups: list[tuple[list[int], Array]] = []
    for n in np.unique(counts[plain]):
        places = np.flatnonzero(plain & (counts == n))
        rings = shapely.orient_polygons(shapes[places])
        corners = shapely.get_coordinates(rings).reshape(len(places), n + 1, 2)[:, :-1]
        edges = np.roll(corners, -1, axis=1) - corners
        sizes = np.hypot(edges[..., 0], edges[..., 1])
        following = np.roll(edges, -1, axis=1)
        turns = edges[..., 0] * following[..., 1] - edges[..., 1] * following[..., 0]
        flat = SAME_DIRECTION * sizes * np.roll(sizes, -1, axis=1)
        convex = np.all((turns >= -flat) & (sizes > SAME_POINT), axis=1)
        if np.any(convex):
            groups.append((places[convex].tolist(), corners[convex]))
    return groups


def _convex_balls(corners: Array) -> list[Ball]:
    """Largest balls in convex outlines (k, n, 2): the best of the points as far from any three edges.

    The linear programme 'largest r with every edge at least r away' has its optimum where three edges bind,
    so trying every three is exact. Each candidate is judged by its true distance to all edges, so one that
    rounding has spoilt cannot win; where a whole segment of centres is best its middle is given.
    """
    base = corners[:, :1]
    local = corners - base
    edges = np.roll(local, -1, axis=1) - local
    inward = np.stack((-edges[..., 1], edges[..., 0]), axis=-1)
    inward /= np.hypot(edges[..., 0], edges[..., 1])[..., None]
    offset = np.einsum("kni,kni->kn", inward, local)
    i, j, m = _triples(corners.shape[1]).T
    a, c = inward[:, i] - inward[:, j], offset[:, i] - offset[:, j]
    b, d = inward[:, i] - inward[:, m], offset[:, i] - offset[:, m]
    det = a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0]
    det = np.where(np.abs(det) > SAME_DIRECTION, det, np.inf)
    x = (c * b[..., 1] - d * a[..., 1]) / det
    y = (a[..., 0] * d - b[..., 0] * c) / det
    points = np.stack((x, y), axis=-1)
    radius = np.min(points @ inward.transpose(0, 2, 1) - offset[:, None], axis=2)
    best = np.max(radius, axis=1)
    tied = radius >= best[:, None] - SAME_POINT
    centre = base[:, 0] + np.sum(points * tied[..., None], axis=1) / np.sum(tied, axis=1)[:, None]
    return [Ball(2.0 * r, (u, z)) for r, (u, z) in zip(best.tolist(), centre.tolist(), strict=True)]


def _climbed(outline: Polygon, start: shapely.Geometry, region: Polygon | None) -> Ball:
    """The largest ball in any outline, by climbing and certifying; ``region`` (convex) bounds its centre."""
    edges = _edges(outline)
    bounds = _half_planes(region)
    step = BALL / 4.0
    left = start
    best, centre = 0.0, (math.nan, math.nan)
    while not left.is_empty:
        seeds = shapely.get_coordinates(shapely.point_on_surface(shapely.get_parts(left)))
        radii, points = _climb(seeds, outline, edges, bounds)
        top = int(np.argmax(radii))
        if radii[top] <= best:
            break
        best, centre = float(radii[top]), (float(points[top, 0]), float(points[top, 1]))
        left = _shrunk(outline, best + step, step / 2.0)
        if region is not None:
            left = shapely.intersection(left, region)
    return Ball(2.0 * best, centre)


def _shrunk(outline: Polygon, radius: float, sagitta: float) -> shapely.Geometry:
    """Where a ball of this radius could have its centre; too large by no more than ``sagitta``.

    Round corners are chords of the true arcs, so enough of them are asked for.
    """
    half = math.acos(max(0.0, 1.0 - sagitta / radius))
    return shapely.buffer(outline, -radius, quad_segs=math.ceil(math.pi / (4.0 * half)))


def _climb(seeds: Array, outline: Polygon, edges: Array, bounds: Array) -> tuple[Array, Array]:
    """Push each seed (p, 2) to where its ball cannot grow; radii (p,) and points (p, 2).

    The distance to an edge is convex, so its tangent at the present centre is never more than the distance
    itself: the best centre for the tangents (a linear programme in u, z and r) is no worse than the present
    one. Steps that run past an edge outside the near ones are halved.
    """
    points = np.array(seeds)
    radii = _nearest(points, edges)[0].min(axis=1)
    low, high = edges[:, 0].min(axis=0), edges[:, 0].max(axis=0)
    reach = np.full(len(points), float(np.max(high - low)))
    alive = radii > 0.0
    for _ in range(_MOST_STEPS):
        if not np.any(alive):
            break
        moved = points[alive] + _best_move(points[alive], edges, bounds, reach[alive])
        grown = _nearest(moved, edges)[0].min(axis=1)
        better = (grown > radii[alive]) & shapely.contains_xy(outline, moved[:, 0], moved[:, 1])
        gain = np.where(better, grown - radii[alive], 0.0)
        places = np.flatnonzero(alive)
        points[places[better]], radii[places[better]] = moved[better], grown[better]
        reach[places[~better]] /= 4.0
        alive[places] = np.where(better, gain > SAME_POINT, reach[places] > SAME_POINT)
    return radii, points


def _best_move(points: Array, edges: Array, bounds: Array, reach: Array) -> Array:
    """The move (p, 2) that lifts the tangents of the near edges' distances highest, within ``reach``."""
    distances, feet = _nearest(points, edges)
    count = min(_NEAR_SITES, len(edges))
    near = np.argpartition(distances, count - 1, axis=1)[:, :count]
    d = np.take_along_axis(distances, near, axis=1)
    away = points[:, None] - np.take_along_axis(feet, near[..., None], axis=1)
    away /= np.maximum(d, SAME_POINT)[..., None]
    p = len(points)
    box = np.array([(1.0, 0.0, 0.0), (-1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, -1.0, 0.0)])
    walls = np.hstack((bounds[:, :2], np.zeros((len(bounds), 1))))
    fixed = np.broadcast_to(np.vstack((box, walls)), (p, 4 + len(walls), 3))
    rows = np.concatenate((np.dstack((-away, np.ones((p, count)))), fixed), axis=1)
    room = bounds[:, 2] - points @ bounds[:, :2].T
    limits = np.concatenate((d, np.repeat(reach[:, None], 4, axis=1), room), axis=1)
    return _highest(rows, limits)


def _highest(rows: Array, limits: Array) -> Array:
    """The (u, z) of the largest r under ``rows`` . (u, z, r) <= ``limits``, for each of p programmes."""
    i, j, k = _triples(rows.shape[1]).T
    a, b, c = rows[:, i], rows[:, j], rows[:, k]
    bc, ca, ab = np.cross(b, c), np.cross(c, a), np.cross(a, b)
    det = np.einsum("pti,pti->pt", a, bc)
    solid = np.abs(det) > SAME_DIRECTION
    det = np.where(solid, det, 1.0)
    x = limits[:, i, None] * bc + limits[:, j, None] * ca + limits[:, k, None] * ab
    x /= det[..., None]
    over = np.max(x @ rows.transpose(0, 2, 1) - limits[:, None], axis=2)
    height = np.where(solid & (over <= SAME_POINT), x[..., 2], -np.inf)
    top = np.argmax(height, axis=1)
    each = np.arange(len(rows))
    found = np.isfinite(height[each, top])
    return np.where(found[:, None], x[each, top, :2], 0.0)


def _edges(outline: Polygon) -> Array:
    """All edges (m, 2, 2) of an outline and its holes, those without length left out."""
    rings = shapely.get_rings(outline)
    pairs = [np.stack((c[:-1], c[1:]), axis=1) for c in map(shapely.get_coordinates, rings)]
    edges = np.concatenate(pairs)
    kept: Array = edges[np.any(edges[:, 0] != edges[:, 1], axis=1)]
    return kept


def _half_planes(region: Polygon | None) -> Array:
    """Rows (nu, nz, limit) that hold n . point <= limit inside a convex region; none without a region."""
    if region is None:
        return np.empty((0, 3))
    edges = _edges(shapely.orient_polygons(region))
    along = edges[:, 1] - edges[:, 0]
    outward = np.stack((along[:, 1], -along[:, 0]), axis=1)
    outward /= np.hypot(along[:, 0], along[:, 1])[:, None]
    return np.column_stack((outward, np.sum(outward * edges[:, 0], axis=1)))


def _nearest(points: Array, edges: Array) -> tuple[Array, Array]:
    """Distances (p, m) from points to edges and the nearest points (p, m, 2) on them."""
    start, along = edges[:, 0], edges[:, 1] - edges[:, 0]
    t = np.einsum("pmi,mi->pm", points[:, None] - start, along) / np.sum(along * along, axis=1)
    feet = start + np.clip(t, 0.0, 1.0)[..., None] * along
    gap = points[:, None] - feet
    return np.hypot(gap[..., 0], gap[..., 1]), feet


@lru_cache(maxsize=64)
def _triples(n: int) -> NDArray[np.intp]:
    return np.array(list(combinations(range(n), 3)), dtype=np.intp)
