"""Views of a cut box for drawings: what is seen from each side, with visible and hidden edges.

A view is a parallel projection on to a plane; lengths stay in mm at full size. Which view stands where on a
sheet is the sheet's business.
"""

import math
from dataclasses import dataclass
from enum import Enum

from pitchline.kit.geometry.cutbox import CutBox
from pitchline.kit.geometry.frames import ORIGIN, Frame, dot
from pitchline.kit.geometry.lines import Point2
from pitchline.kit.geometry.outlines import without_repeats
from pitchline.kit.tolerances import SAME_DIRECTION, SAME_POINT


class Look(Enum):
    """Where the eye is; the frame's z points at the eye, its x and y are right and up in the view."""

    FRONT = Frame(ORIGIN, (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
    """On the wide face z+, the piece's start at the left, y up."""
    BACK = Frame(ORIGIN, (1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, -1.0))
    """On the wide face z-, as when the piece is rolled over with its start still at the left."""
    HIGH_EDGE = Frame(ORIGIN, (1.0, 0.0, 0.0), (0.0, 0.0, -1.0), (0.0, 1.0, 0.0))
    """On the edge y+, the start at the left, the front face below: the plan that goes with FRONT."""
    LOW_EDGE = Frame(ORIGIN, (1.0, 0.0, 0.0), (0.0, 0.0, 1.0), (0.0, -1.0, 0.0))
    """On the edge y-, the start at the left, the front face above."""
    START = Frame(ORIGIN, (0.0, 0.0, 1.0), (0.0, 1.0, 0.0), (-1.0, 0.0, 0.0))
    """On the end x = 0, y up, the front face at the right."""
    END = Frame(ORIGIN, (0.0, 0.0, -1.0), (0.0, 1.0, 0.0), (1.0, 0.0, 0.0))
    """On the end x = length, y up, the front face at the left."""


@dataclass(frozen=True, slots=True)
class Stroke:
    """A straight stroke of a view, from one point to another."""

    start: Point2
    end: Point2

    @property
    def length(self) -> float:
        """Length in mm."""
        return math.dist(self.start, self.end)


@dataclass(frozen=True, slots=True)
class View:
    """A piece seen from one side: its outline (anticlockwise), visible and hidden strokes."""

    outline: tuple[Point2, ...]
    visible: tuple[Stroke, ...]
    hidden: tuple[Stroke, ...]


def view(box: CutBox, look: Look | Frame) -> View:
    """The piece as seen from a named side or along any frame's z.

    Visible strokes include the outline. Hidden strokes leave out what visible ones already cover.
    """
    frame = look.value if isinstance(look, Look) else look
    flat = [_projected(frame, corner) for corner in box.corners]
    facing = [dot(face.normal, frame.z) > SAME_DIRECTION for face in box.faces]
    visible: list[Stroke] = []
    behind: list[Stroke] = []
    for a, b, one, other in box.edges:
        stroke = Stroke(flat[a], flat[b])
        if stroke.length > SAME_POINT:
            (visible if facing[one] or facing[other] else behind).append(stroke)
    hidden: list[Stroke] = []
    for stroke in behind:
        hidden.extend(_uncovered(stroke, visible + hidden))
    return View(_hull(flat), tuple(visible), tuple(hidden))


def _projected(frame: Frame, p: tuple[float, float, float]) -> Point2:
    local = frame.to_local(p)
    return (local[0], local[1])


def _uncovered(stroke: Stroke, covers: list[Stroke]) -> list[Stroke]:
    """The stretches of a stroke that no other stroke lies on."""
    (ax, ay), size = stroke.start, stroke.length
    dx, dy = (stroke.end[0] - ax) / size, (stroke.end[1] - ay) / size
    taken: list[tuple[float, float]] = []
    for cover in covers:
        ends = (cover.start, cover.end)
        if all(abs((y - ay) * dx - (x - ax) * dy) <= SAME_POINT for x, y in ends):
            low, high = sorted((x - ax) * dx + (y - ay) * dy for x, y in ends)
            taken.append((low, high))
    left: list[Stroke] = []
    at = 0.0
    for low, high in sorted([*taken, (size, size)]):
        if min(low, size) - at > SAME_POINT:
            stop = min(low, size)
            left.append(Stroke((ax + at * dx, ay + at * dy), (ax + stop * dx, ay + stop * dy)))
        at = max(at, high)
    return left


def _hull(points: list[Point2]) -> tuple[Point2, ...]:
    """The convex hull, anticlockwise (Andrew's monotone chain); points on its edges are left out."""
    ordered = sorted(set(points))

    def chain(run: list[Point2]) -> list[Point2]:
        kept: list[Point2] = []
        for p in run:
            while len(kept) > 1 and _side(kept[-2], kept[-1], p) <= 0.0:
                kept.pop()
            kept.append(p)
        return kept[:-1]

    ring = without_repeats(chain(ordered) + chain(ordered[::-1]))
    around = zip(ring[-1:] + ring[:-1], ring, ring[1:] + ring[:1], strict=True)
    return tuple(b for a, b, c in around if _side(a, b, c) > SAME_POINT * math.dist(a, c))


def _side(a: Point2, b: Point2, c: Point2) -> float:
    """Above zero when ``b`` is to the right of the line from ``a`` to ``c``: its distance times their own."""
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
