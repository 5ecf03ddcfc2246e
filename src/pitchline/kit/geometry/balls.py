"""The largest ball that passes an opening: the largest circle inside its outline.

Convex outlines (the gap between two balusters, the triangle over a step) are solved exactly. Any other
outline is climbed and the answer is then *certified*: the outline is covered with triangles, each with a bound
that no ball centred in it can beat, and those that promise more than the ball found are searched and split.
So a ball is never read too small by more than `BALL`, and never too large. Lengths in mm. See
docs/method/openings.md.

This is a test in the plane of the opening.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Polygon

from pitchline.kit.geometry.lines import Point2
from pitchline.kit.tolerances import BALL, SAME_DIRECTION, SAME_POINT

Array = NDArray[np.float64]

_MOST_CONVEX_CORNERS = 12
"""Convex outlines with more corners are climbed: trying every three edges would be slower."""

_NEAR_SITES = 5
"""How many of the nearest edges a climbing step looks at."""

_MOST_STEPS = 60
"""A climb ends after this many steps; it needs fewer than ten where it has been watched."""

_CERTAIN = 0.4 * BALL
"""Triangles that promise a radius no more than this above the best are done with."""

_SURELY_INSIDE = 0.97
"""The outline shrunk by this share of a radius holds every centre of a ball of that radius: shapely leaves
out bays shallower than 0.01 of the distance when it shrinks, and would miss some centres at 1."""

_FIRST_STEPS = 2
"""Steps of the first climb, which only has to say roughly how large the ball is."""

_ENOUGH = BALL / 100.0
"""A climb ends when its next step promises less than this."""


_BOX = np.array([(1.0, 0.0, 0.0), (-1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, -1.0, 0.0)])
"""The directions in which a climbing step is held back."""


class _Edges(NamedTuple):
    """The m edges of an outline: where they start, the ways along them, the squares of their lengths."""

    start: Array
    along: Array
    square: Array


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
    seeds = shapely.get_coordinates(shapely.point_on_surface(start))
    best, centre = _highest_climb(seeds, outline, edges, bounds, _FIRST_STEPS)
    left = shapely.buffer(outline, -_SURELY_INSIDE * best, quad_segs=8)
    cells = _triangles(left if region is None else shapely.intersection(left, region))
    while len(cells):
        promised, points = _promises(cells, edges)
        open_ = promised > best + _CERTAIN
        cells, points = cells[open_], points[open_]
        if len(cells) == 0:
            break
        reached = _nearest(points, edges)[0].min(axis=1)
        top = int(np.argmax(reached))
        if reached[top] > best:
            best, centre = _highest_climb(points[top : top + 1], outline, edges, bounds, _MOST_STEPS)
            cells = cells[promised[open_] > best + _CERTAIN]
        cells = _quartered(cells)
    return Ball(2.0 * best, centre)


def _triangles(shape: shapely.Geometry) -> Array:
    """Triangles (p, 3, 2) that cover the polygons of a shape."""
    parts = shapely.get_parts(shapely.get_parts(shape))
    polygons = parts[shapely.area(parts) > 0.0]
    triangles = shapely.get_parts(shapely.constrained_delaunay_triangles(polygons))
    corners: Array = shapely.get_coordinates(triangles).reshape(-1, 4, 2)[:, :3]
    return corners


def _quartered(cells: Array) -> Array:
    """Each triangle as four, split at the middles of its sides."""
    a, b, c = cells[:, 0], cells[:, 1], cells[:, 2]
    ab, bc, ca = (a + b) / 2.0, (b + c) / 2.0, (c + a) / 2.0
    quarters = [(a, ab, ca), (ab, b, bc), (ca, bc, c), (ab, bc, ca)]
    return np.concatenate([np.stack(corners, axis=1) for corners in quarters])


def _promises(cells: Array, edges: _Edges) -> tuple[Array, Array]:
    """For each triangle (p, 3, 2) a radius (p,) that no ball centred in it exceeds, and where it is promised.

    The distance to an edge is convex, so inside a triangle it lies below the plane through its values at the
    corners. The highest point under those planes is a linear programme; leaving out the further edges only
    raises it. Where only straight edges bind the bound is exact, so a long even gap needs no splitting.
    """
    p = len(cells)
    distances = _nearest(cells.reshape(-1, 2), edges)[0].reshape(p, 3, len(edges.start))
    count = min(_NEAR_SITES, len(edges.start))
    near = np.argpartition(distances.max(axis=1), count - 1, axis=1)[:, :count]
    d = np.take_along_axis(distances, near[:, None], axis=2)
    u, v = cells[:, 1] - cells[:, 0], cells[:, 2] - cells[:, 0]
    size = np.maximum(np.abs(u).max(axis=1), np.abs(v).max(axis=1))[:, None]
    slopes = np.dstack(((d[:, 0] - d[:, 1]) / size, (d[:, 0] - d[:, 2]) / size, np.ones((p, count))))
    inside = np.array([(-1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (1.0, 1.0, 0.0)])
    rows = np.concatenate((slopes, np.broadcast_to(inside, (p, 3, 3))), axis=1)
    limits = np.concatenate((d[:, 0], np.zeros((p, 2)), size), axis=1)
    shares, height = _highest(rows, limits)
    points = cells[:, 0] + (shares[:, :1] * u + shares[:, 1:] * v) / size
    return np.where(np.isfinite(height), height, d.max(axis=1).min(axis=1)), points


def _highest_climb(
    seeds: Array, outline: Polygon, edges: _Edges, bounds: Array, steps: int
) -> tuple[float, Point2]:
    radii, points = _climb(seeds, outline, edges, bounds, steps)
    top = int(np.argmax(radii))
    return float(radii[top]), (float(points[top, 0]), float(points[top, 1]))


def _climb(seeds: Array, outline: Polygon, edges: _Edges, bounds: Array, steps: int) -> tuple[Array, Array]:
    """Push each seed (p, 2) to where its ball cannot grow; radii (p,) and points (p, 2).

    The distance to an edge is convex, so its tangent at the present centre is never more than the distance
    itself: the best centre for the tangents (a linear programme in u, z and r) is no worse than the present
    one. Steps that run past an edge outside the near ones are halved.
    """
    points = np.array(seeds)
    distances, ways = _nearest(points, edges)
    radii = distances.min(axis=1)
    reach = np.full(len(points), float(np.max(np.ptp(edges.start, axis=0))))
    alive = radii > 0.0
    for _ in range(steps):
        at = np.flatnonzero(alive)
        if len(at) == 0:
            break
        move, promised = _best_move(points[at], distances[at], ways[at], bounds, reach[at])
        moved = points[at] + move
        new_distances, new_ways = _nearest(moved, edges)
        grown = new_distances.min(axis=1)
        better = (grown > radii[at]) & shapely.contains_xy(outline, moved[:, 0], moved[:, 1])
        alive[at] = promised > radii[at] + _ENOUGH
        reach[at[~better]] /= 4.0
        at = at[better]
        points[at], radii[at] = moved[better], grown[better]
        distances[at], ways[at] = new_distances[better], new_ways[better]
    return radii, points


def _best_move(
    points: Array, distances: Array, ways: Array, bounds: Array, reach: Array
) -> tuple[Array, Array]:
    """The move (p, 2) that lifts the tangents of the near edges' distances highest, and how high (p,).

    ``distances`` and ``ways`` are as `_nearest` gives them. No move goes further than ``reach`` (p,) in u or z.
    """
    p, count = len(points), min(_NEAR_SITES, distances.shape[1])
    near = np.argpartition(distances, count - 1, axis=1)[:, :count]
    d = np.take_along_axis(distances, near, axis=1)
    away = np.take_along_axis(ways, near[..., None], axis=1)
    rows = np.zeros((p, count + 4 + len(bounds), 3))
    rows[:, :count, :2] = away / -np.maximum(d, SAME_POINT)[..., None]
    rows[:, :count, 2] = 1.0
    rows[:, count : count + 4] = _BOX
    rows[:, count + 4 :, :2] = bounds[:, :2]
    room = bounds[:, 2] - points @ bounds[:, :2].T
    return _highest(rows, np.concatenate((d, np.repeat(reach[:, None], 4, axis=1), room), axis=1))


def _highest(rows: Array, limits: Array) -> tuple[Array, Array]:
    """The (u, z) and r of the largest r under ``rows`` . (u, z, r) <= ``limits``, for each of p programmes.

    Every three rows are tried: their meeting point by Cramer's rule, the cofactors all at once.
    """
    p, n = rows.shape[:2]
    three, signs = _triples(n), _cofactor_places(n)
    flat = rows.reshape(p, 3 * n)
    cofactors = flat[:, signs[0]] * flat[:, signs[1]] - flat[:, signs[2]] * flat[:, signs[3]]
    det = np.einsum("pti,pti->pt", rows[:, three[:, 0]], cofactors[:, :, 0])
    solid = np.abs(det) > SAME_DIRECTION
    x = np.einsum("ptk,ptki->pti", limits[:, three], cofactors)
    x /= np.where(solid, det, 1.0)[..., None]
    over = np.max(x @ rows.transpose(0, 2, 1) - limits[:, None], axis=2)
    height = np.where(solid & (over <= SAME_POINT), x[..., 2], -np.inf)
    top = np.argmax(height, axis=1)
    each = np.arange(p)
    highest = height[each, top]
    return np.where(np.isfinite(highest)[:, None], x[each, top, :2], 0.0), highest


@lru_cache(maxsize=64)
def _cofactor_places(n: int) -> NDArray[np.intp]:
    """Places (4, T, 3, 3) in rows laid end to end, for the cofactors of every three of ``n`` rows.

    Cofactor k is the vector product of the two rows after k: first times second less third times fourth.
    """
    after, last = _triples(n)[:, [1, 2, 0], None] * 3, _triples(n)[:, [2, 0, 1], None] * 3
    one, two = np.array([1, 2, 0]), np.array([2, 0, 1])
    return np.stack((after + one, last + two, after + two, last + one))


def _edges(outline: Polygon) -> _Edges:
    """All edges of an outline and its holes, those without length left out."""
    coordinates, ring = shapely.get_coordinates(shapely.get_rings(outline), return_index=True)
    start, along = coordinates[:-1], np.diff(coordinates, axis=0)
    square = np.einsum("mi,mi->m", along, along)
    real = (ring[1:] == ring[:-1]) & (square > 0.0)
    return _Edges(start[real], along[real], square[real])


def _half_planes(region: Polygon | None) -> Array:
    """Rows (nu, nz, limit) that hold n . point <= limit inside a convex region; none without a region."""
    if region is None:
        return np.empty((0, 3))
    edges = _edges(shapely.orient_polygons(region))
    outward = np.stack((edges.along[:, 1], -edges.along[:, 0]), axis=1) / np.sqrt(edges.square)[:, None]
    return np.column_stack((outward, np.sum(outward * edges.start, axis=1)))


def _nearest(points: Array, edges: _Edges) -> tuple[Array, Array]:
    """Distances (p, m) from edges to points, and the ways (p, m, 2) from the nearest points of the edges."""
    reach = points[:, None] - edges.start
    share = np.einsum("pmi,mi->pm", reach, edges.along) / edges.square
    away = reach - np.minimum(np.maximum(share, 0.0), 1.0)[..., None] * edges.along
    return np.sqrt(np.einsum("pmi,pmi->pm", away, away)), away


@lru_cache(maxsize=64)
def _triples(n: int) -> NDArray[np.intp]:
    return np.array(list(combinations(range(n), 3)), dtype=np.intp)
