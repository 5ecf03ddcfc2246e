"""True arcs found again in outlines whose arcs were drawn as chords: what a router wants to know. Lengths in mm."""

import math
from collections.abc import Sequence
from itertools import pairwise

from pitchline.kit.geometry.contours import Arc, Contour, Piece, Straight
from pitchline.kit.geometry.lines import Point2
from pitchline.kit.geometry.outlines import without_repeats
from pitchline.kit.tolerances import ON_ONE_ARC

LEAST_CHORDS = 4
"""A run of fewer chords is taken for corners that were meant."""

MOST_TURN = math.radians(25.0)
"""From chord to chord: an outline that turns by more has a corner there. A regular polygon of 14 sides is one."""


def with_arcs(ring: Sequence[Point2]) -> Contour:
    """A closed ring, in its own sense, as straights and true arcs.

    Every run of four chords or more whose corners lie on one circle becomes an arc through its first and last.
    ValueError for a ring of fewer than three corners.
    """
    points = without_repeats(ring)
    if len(points) < 3:
        raise ValueError("a ring needs three corners")
    start = None if _is_circle(points) else _first_corner(points)
    if start is None:
        return _circle(points)
    turned = (*points[start:], *points[: start + 1])
    pieces: list[Piece] = []
    at = 0
    while at < len(turned) - 1:
        end = _run(turned, at)
        if end - at >= LEAST_CHORDS:
            arc = _arc_through(turned[at : end + 1])
            pieces.append(arc)
            at = end
        else:
            pieces.append(Straight(turned[at], turned[at + 1]))
            at += 1
    return Contour(tuple(pieces))


def circle(centre: Point2, radius: float, *, clockwise: bool = False) -> Contour:
    """A whole circle as two half turns."""
    sweep = -math.pi if clockwise else math.pi
    return Contour((Arc(centre, radius, 0.0, sweep), Arc(centre, radius, sweep, sweep)))


def as_circle(contour: Contour) -> tuple[Point2, float] | None:
    """Centre and radius where a contour is one whole circle, else None."""
    arcs = contour.arcs
    if len(arcs) != len(contour.pieces):
        return None
    first = arcs[0]
    alike = all(
        math.dist(arc.centre, first.centre) <= ON_ONE_ARC and abs(arc.radius - first.radius) <= ON_ONE_ARC
        for arc in arcs
    )
    whole = abs(abs(sum(arc.sweep for arc in arcs)) - math.tau) <= ON_ONE_ARC
    return (first.centre, first.radius) if alike and whole else None


def _is_circle(points: Sequence[Point2]) -> bool:
    """Whether all corners lie on one circle, each a short turn from the last."""
    if len(points) * MOST_TURN < math.tau:
        return False
    found = _through(points[0], points[len(points) // 3], points[2 * len(points) // 3])
    if found is None:
        return False
    centre, radius, _ = found
    longest = 2.0 * radius * math.sin(MOST_TURN / 2.0)
    on = all(abs(math.dist(p, centre) - radius) <= ON_ONE_ARC for p in points)
    return on and all(math.dist(p, q) <= longest for p, q in pairwise((*points, points[0])))


def _first_corner(points: Sequence[Point2]) -> int | None:
    """A corner that no arc runs across, None where the whole ring is one circle."""
    count = len(points)
    for k in range(count):
        if not _goes_on(points[k - 2], points[k - 1], points[k], points[(k + 1) % count]):
            return k - 1 if k else count - 1
    return None


def _goes_on(a: Point2, b: Point2, c: Point2, d: Point2) -> bool:
    """Whether four corners in a row lie on one circle, turning the same way by little."""
    found = _through(a, b, c)
    return found is not None and _follows(found, b, c, d) and abs(_turn(a, b, c)) <= MOST_TURN


def _run(points: Sequence[Point2], at: int) -> int:
    """The last corner of the arc that begins at one; the one after it where there is no arc."""
    if at + LEAST_CHORDS >= len(points) or abs(_turn(*points[at : at + 3])) > MOST_TURN:
        return at + 1
    found = _through(*points[at : at + 3])
    end = at + 2
    while found is not None and end + 1 < len(points):
        if not _follows(found, points[end - 1], points[end], points[end + 1]):
            break
        end += 1
        found = _through(points[at], points[(at + end) // 2], points[end]) or found
    return end if found is not None else at + 1


def _follows(known: tuple[Point2, float, float], b: Point2, c: Point2, d: Point2) -> bool:
    """Whether ``d`` lies on a known circle and the way from ``b`` by ``c`` to it turns as the circle does."""
    centre, radius, sense = known
    turn = _turn(b, c, d)
    on = abs(math.dist(d, centre) - radius) <= ON_ONE_ARC
    return on and turn * sense > 0.0 and abs(turn) <= MOST_TURN


def _turn(a: Point2, b: Point2, c: Point2) -> float:
    """By how much the way from ``a`` to ``c`` turns at ``b``, left positive, radians."""
    first = math.atan2(b[1] - a[1], b[0] - a[0])
    second = math.atan2(c[1] - b[1], c[0] - b[0])
    return math.remainder(second - first, math.tau)


def _through(a: Point2, b: Point2, c: Point2) -> tuple[Point2, float, float] | None:
    """Centre, radius and sense of the circle through three points, None where they lie in line."""
    bx, by, cx, cy = b[0] - a[0], b[1] - a[1], c[0] - a[0], c[1] - a[1]
    double = 2.0 * (bx * cy - by * cx)
    size = math.dist(a, b) * math.dist(a, c)
    if abs(double) <= 1e-6 * size:
        return None
    b2, c2 = bx * bx + by * by, cx * cx + cy * cy
    x, y = (cy * b2 - by * c2) / double, (bx * c2 - cx * b2) / double
    return (a[0] + x, a[1] + y), math.hypot(x, y), math.copysign(1.0, double)


def _arc_through(points: Sequence[Point2]) -> Arc:
    """The arc from the first to the last of points on one circle."""
    found = _through(points[0], points[len(points) // 2], points[-1])
    if found is None or math.dist(points[0], points[-1]) <= ON_ONE_ARC:
        found = _through(points[0], points[len(points) // 3], points[2 * len(points) // 3])
    assert found is not None
    centre, radius, sense = found
    begins = math.atan2(points[0][1] - centre[1], points[0][0] - centre[0])
    ends = math.atan2(points[-1][1] - centre[1], points[-1][0] - centre[0])
    sweep = (sense * (ends - begins)) % math.tau
    return Arc(centre, radius, begins, sense * (sweep or math.tau))


def _circle(points: Sequence[Point2]) -> Contour:
    found = _through(points[0], points[len(points) // 3], points[2 * len(points) // 3])
    assert found is not None
    centre, radius, sense = found
    return circle(centre, radius, clockwise=sense < 0.0)
