"""What is worked into a part, as strokes in a view of it. Lengths in mm."""

import math
from collections.abc import Iterator
from itertools import pairwise

from pitchline.kit.geometry.frames import Vec3
from pitchline.kit.geometry.lines import Point2
from pitchline.kit.geometry.views import Look
from pitchline.parts.part import Groove, Hole, Mortise, Notch, Part
from pitchline.sheets.partnotes import NORMALS


def feature_strokes(part: Part, look: Look) -> Iterator[tuple[Point2, Point2]]:
    """Grooves, holes, mortises and notches as hidden lines in one view (x along the piece, y up in the view)."""
    up = look.value.y
    for feature in part.features:
        if isinstance(feature, Groove):
            yield from _groove_strokes(part, feature, up)
        elif isinstance(feature, Hole):
            yield from _hole_strokes(feature, up)
        elif isinstance(feature, Mortise):
            yield from _mortise_strokes(feature, up)
        elif isinstance(feature, Notch):
            low, high = sorted(
                corner[1] * up[1] + corner[2] * up[2] for corner in (feature.low, feature.high)
            )
            yield from _box_strokes(feature.low[0], feature.high[0], low, high)


def _box_strokes(x0: float, x1: float, low: float, high: float) -> Iterator[tuple[Point2, Point2]]:
    corners = ((x0, low), (x1, low), (x1, high), (x0, high))
    yield from zip(corners, (*corners[1:], corners[0]), strict=True)


def _groove_strokes(
    part: Part, groove: Groove, up: tuple[float, float, float]
) -> Iterator[tuple[Point2, Point2]]:
    normal = NORMALS[groove.face]
    along_up = normal[1] * up[1] + normal[2] * up[2]
    if abs(along_up) > 0.5:
        size = part.width if abs(normal[1]) > 0.5 else part.thickness
        y = along_up * (size / 2 - groove.depth)
        yield (0.0, y), (part.length, y)
        return
    for sign in (-0.5, 0.5):
        y = groove.centre + sign * groove.width
        yield (0.0, y), (part.length, y)


def _hole_strokes(hole: Hole, up: tuple[float, float, float]) -> Iterator[tuple[Point2, Point2]]:
    """The sides and the bottom of a hole whose axis lies in the view."""
    at = (hole.at[0], hole.at[1] * up[1] + hole.at[2] * up[2])
    axis = (hole.axis[0], hole.axis[1] * up[1] + hole.axis[2] * up[2])
    size = math.hypot(*axis)
    if size < 0.5:
        yield from _mouth(hole, at, axis)
        return
    d = (axis[0] / size, axis[1] / size)
    n = (-d[1] * hole.diameter / 2, d[0] * hole.diameter / 2)
    end = (at[0] + d[0] * hole.depth, at[1] + d[1] * hole.depth)
    sides = [((at[0] + s * n[0], at[1] + s * n[1]), (end[0] + s * n[0], end[1] + s * n[1])) for s in (-1, 1)]
    yield from sides
    yield sides[0][1], sides[1][1]


def _mouth(hole: Hole, at: Point2, axis: Point2) -> Iterator[tuple[Point2, Point2]]:
    """The rim of a hole seen along its axis: a circle square to the axis, foreshortened where the hole leans."""
    lean = math.hypot(*axis)
    along = (axis[0] / lean, axis[1] / lean) if lean > 0 else (1.0, 0.0)
    rim = []
    for step in range(25):
        turn = 2 * math.pi * step / 24
        a = hole.diameter / 2 * math.cos(turn) / math.sqrt(1 - lean**2)
        b = hole.diameter / 2 * math.sin(turn)
        rim.append((at[0] + a * along[0] - b * along[1], at[1] + a * along[1] + b * along[0]))
    yield from pairwise(rim)


def _mortise_strokes(mortise: Mortise, up: Vec3) -> Iterator[tuple[Point2, Point2]]:
    """Its mouth seen on the face, or its end walls and bottom seen from the edge."""
    x, y = mortise.at[0], mortise.at[1] * up[1] + mortise.at[2] * up[2]
    inwards = mortise.axis[1] * up[1] + mortise.axis[2] * up[2]
    if abs(inwards) < 0.5:
        half = mortise.width / 2
        yield from _box_strokes(x - mortise.length / 2, x + mortise.length / 2, y - half, y + half)
        return
    run = mortise.axis[0] / abs(inwards) * mortise.depth
    bottom = y + math.copysign(mortise.depth, inwards)
    mouth = [(x - mortise.length / 2, y), (x + mortise.length / 2, y)]
    floor = [(at + run, bottom) for at, _ in mouth]
    yield from zip(mouth, floor, strict=True)
    yield floor[0], floor[1]
