"""From a shape in the elevation to a part in its own frame: placing axes, lengths from long point to long point.

A piece runs along a direction of the elevation, is so deep in the elevation and so thick across it. Its wide
face is the larger of the two; X always runs towards the head of the stair or upwards.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pitchline.kit.geometry.cutbox import CutBox
from pitchline.kit.geometry.frames import Frame, Plane, Vec3, along, dot
from pitchline.kit.geometry.lines import Line, Point2
from pitchline.kit.geometry.outlines import Outline
from pitchline.kit.tolerances import SAME_DIRECTION, SAME_POINT
from pitchline.parts.part import Face
from pitchline.stair.model import Side

_SPARE = 2000.0
"""mm added to both ends of a blank before its end planes cut it to length; more than any lean can need."""


@dataclass(frozen=True, slots=True)
class Stick:
    """A straight piece before its ends are cut.

    ``centre`` is a point of its centre line in the edge's axes, ``direction`` its direction in the elevation;
    ``depth`` its size in the elevation, ``across`` its size in y.
    """

    centre: Vec3
    direction: Point2
    depth: float
    across: float

    @property
    def frame(self) -> Frame:
        """Axes with the wide face as Y; the origin is on the centre line at ``centre``."""
        x = (self.direction[0], 0.0, self.direction[1])
        if self.depth > self.across - SAME_POINT:
            return Frame.from_xy(self.centre, x, (-self.direction[1], 0.0, self.direction[0]))
        return Frame.from_xy(self.centre, x, (0.0, 1.0, 0.0))

    @property
    def width(self) -> float:
        """Size across the wide face."""
        return max(self.depth, self.across)

    @property
    def thickness(self) -> float:
        """Size through the wide face."""
        return min(self.depth, self.across)


class NothingLeftError(ValueError):
    """The planes that cut a piece to length leave nothing of it."""


@dataclass(frozen=True, slots=True)
class Cut:
    """A stick cut to length: blank length, end planes in its own axes, frame with X = 0 at the long point."""

    length: float
    start: tuple[Plane, ...]
    finish: tuple[Plane, ...]
    frame: Frame


def cut_to_length(stick: Stick, ends: Sequence[Plane], others: Sequence[Plane] = ()) -> Cut:
    """Cut a stick by end planes given in the edge's axes (outward normals).

    End planes that run along the piece are no end cuts and are left out: an upright stuck into a newel by a
    layout without room is drawn whole. ``others`` are planes along the piece (tapers) that may shorten it but
    are not end cuts. NothingLeftError when the planes leave nothing, ValueError when they do not bound both
    ends.
    """
    frame = stick.frame
    planes = [frame.plane_to_local(plane) for plane in ends]
    starts = [plane for plane in planes if plane.normal[0] < -SAME_DIRECTION]
    finishes = [plane for plane in planes if plane.normal[0] > SAME_DIRECTION]
    if not starts or not finishes:
        raise ValueError("a piece needs an end plane at both ends")
    if len(starts) == 1 and len(finishes) == 1 and not others and _apart(starts[0], finishes[0], stick):
        low = min(_reach(starts[0], stick))
        high = max(_reach(finishes[0], stick))
    else:
        low, high = _reach_of_many(
            stick, [*starts, *finishes, *(frame.plane_to_local(plane) for plane in others)]
        )
    origin = along(frame.origin, frame.x, low)
    moved = Frame(origin, frame.x, frame.y, frame.z)
    shift = (-low, 0.0, 0.0)
    return Cut(
        high - low,
        tuple(Plane(_shifted(plane.point, shift), plane.normal) for plane in starts),
        tuple(Plane(_shifted(plane.point, shift), plane.normal) for plane in finishes),
        moved,
    )


def _shifted(point: Vec3, by: Vec3) -> Vec3:
    return (point[0] + by[0], point[1] + by[1], point[2] + by[2])


def _apart(start: Plane, finish: Plane, stick: Stick) -> bool:
    """Whether two end planes leave something of all four long edges: else the piece ends in a point or wedge."""
    pairs = zip(_reach(start, stick), _reach(finish, stick), strict=True)
    return all(low < high for low, high in pairs)


def _reach(plane: Plane, stick: Stick) -> list[float]:
    """Where a local plane crosses the four long edges."""
    y, z = stick.width / 2, stick.thickness / 2
    return [-plane.distance((0.0, a, b)) / plane.normal[0] for a in (-y, y) for b in (-z, z)]


def _reach_of_many(stick: Stick, planes: Sequence[Plane]) -> tuple[float, float]:
    """Long point to long point under several planes, found on the cut solid."""
    far = max(abs(x) for plane in planes if abs(plane.normal[0]) > 1e-6 for x in _reach(plane, stick))
    spare = min(far, 50_000.0) + _SPARE
    moved = tuple(Plane(_shifted(plane.point, (spare, 0.0, 0.0)), plane.normal) for plane in planes)
    try:
        body = CutBox(2 * spare, stick.width, stick.thickness, moved)
    except ValueError as nothing:
        raise NothingLeftError("the end planes cross before the piece begins") from nothing
    xs = [corner[0] for corner in body.corners]
    return min(xs) - spare, max(xs) - spare


def edge_planes(outline: Outline, skip: tuple[str, ...], given: dict[str, Plane]) -> tuple[Plane, ...]:
    """End planes of a piece from its outline's edges, square to the elevation unless ``given`` by label.

    ``skip`` are the labels of its long sides.
    """
    planes = []
    points = outline.points
    for index, label in enumerate(outline.labels):
        if label in skip:
            continue
        (au, az), (bu, bz) = points[index], points[(index + 1) % len(points)]
        if math.hypot(bu - au, bz - az) < 1e-6:
            continue
        known = given.get(str(label))
        planes.append(known or Plane((au, 0.0, az), (bz - az, 0.0, au - bu)))
    return tuple(planes)


def stick_between(low: Line, high: Line, y: float, across: float, near: float) -> Stick:
    """The stick between two lines of the elevation, along the upper one, about ``near`` (a place u).

    For a taper it is as deep as it must be from ``near`` on either side: pass the deep end.
    """
    depth = (high.at(near) - low.at(near)) * math.cos(high.angle)
    middle = high.offset(-depth / 2)
    return Stick((near, y, middle.at(near)), high.direction, depth, across)


def face_names(frame: Frame, side: Side) -> tuple[tuple[Face, str], ...]:
    """In words, where each long face looks."""
    axes = (
        (Face.PLUS_Y, frame.y),
        (Face.MINUS_Y, (-frame.y[0], -frame.y[1], -frame.y[2])),
        (Face.PLUS_Z, frame.z),
        (Face.MINUS_Z, (-frame.z[0], -frame.z[1], -frame.z[2])),
    )
    return tuple((face, _looks(axis, side)) for face, axis in axes)


def _looks(axis: Vec3, side: Side) -> str:
    if abs(axis[1]) > 0.7:
        return "stair side" if axis[1] * side.towards_stair > 0 else "open side"
    if abs(axis[2]) > abs(axis[0]):
        return "top" if axis[2] > 0 else "underside"
    return "towards the head" if axis[0] > 0 else "towards the foot"


def face_towards(frame: Frame, direction: Vec3) -> Face:
    """The long face whose normal is nearest to a direction of the edge's axes."""
    scores = {
        Face.PLUS_Y: dot(frame.y, direction),
        Face.MINUS_Y: -dot(frame.y, direction),
        Face.PLUS_Z: dot(frame.z, direction),
        Face.MINUS_Z: -dot(frame.z, direction),
    }
    return max(scores, key=lambda face: scores[face])
