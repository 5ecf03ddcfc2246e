"""Parts of panels: the blank, the edges that cut it, and what is sawn through it. Lengths in mm."""

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from pitchline.design.model import Design, Panel
from pitchline.kit.geometry.frames import Frame, Plane, Vec3
from pitchline.kit.geometry.lines import Point2
from pitchline.kit.geometry.outlines import Points, anticlockwise, signed_area, without_repeats
from pitchline.kit.tolerances import SAME_PART, SAME_POINT
from pitchline.parts.part import Part, Role, Sawn, Taper
from pitchline.parts.shaping import face_names

_END = math.sin(math.radians(30.0))
"""Of an edge's normal, the share along the piece from which the edge is an end and not a long side: no saw cuts a
mitre flatter than that."""


def panel_parts(design: Design) -> Iterator[Part]:
    """One part a panel, from the foot."""
    for panel in design.panels:
        yield _panel(design, panel)


def _panel(design: Design, panel: Panel) -> Part:
    outline = without_repeats(panel.outline.points)
    frame, length, width = panel_frame(panel, outline)
    local = _from_lowest(_local(frame, outline))
    holes = sorted((_from_lowest(_local(frame, hole)) for hole in panel.holes), key=_key)
    starts, finishes, tapers = _edges(local, length, width)
    return Part(
        place=panel.mark,
        mark=panel.mark,
        role=Role.PANEL,
        material=panel.material,
        length=length,
        width=width,
        thickness=panel.thickness,
        start_cuts=starts,
        finish_cuts=finishes,
        features=(*tapers, Sawn(local, tuple(holes))),
        frame=frame,
        face_names=face_names(frame, design.side),
    )


def panel_frame(panel: Panel, outline: Points) -> tuple[Frame, float, float]:
    """The panel's own frame, X along its longest edge, with the length and width of its blank."""
    a, b = max(pairwise((*outline, outline[0])), key=lambda edge: math.dist(*edge))
    size = math.dist(a, b)
    d = ((b[0] - a[0]) / size, (b[1] - a[1]) / size)
    if d[0] < -SAME_POINT or (abs(d[0]) <= SAME_POINT and d[1] < 0.0):
        d = (-d[0], -d[1])
    n = (-d[1], d[0])
    along = [p[0] * d[0] + p[1] * d[1] for p in outline]
    up = [p[0] * n[0] + p[1] * n[1] for p in outline]
    low, middle = min(along), (min(up) + max(up)) / 2.0
    origin: Vec3 = (low * d[0] + middle * n[0], panel.y, low * d[1] + middle * n[1])
    frame = Frame.from_xy(origin, (d[0], 0.0, d[1]), (n[0], 0.0, n[1]))
    return frame, max(along) - low, max(up) - min(up)


def _local(frame: Frame, points: Sequence[Point2]) -> Points:
    local = (frame.to_local((u, frame.origin[1], z)) for u, z in points)
    return tuple((x, y) for x, y, _ in local)


def _from_lowest(points: Points) -> Points:
    """The same ring anticlockwise from the corner nearest to the start of the piece: like pieces read alike."""
    ring = anticlockwise(points)
    first = min(range(len(ring)), key=lambda k: _rounded(ring[k]))
    return (*ring[first:], *ring[:first])


def _key(ring: Points) -> Point2:
    return _rounded(ring[0])


def _rounded(point: Point2) -> Point2:
    return (round(point[0] / SAME_PART), round(point[1] / SAME_PART))


def _edges(
    local: Points, length: float, width: float
) -> tuple[tuple[Plane, ...], tuple[Plane, ...], tuple[Taper, ...]]:
    """The planes of the edges: at the two ends, and along the sides where these do not lie on the blank's own."""
    starts, finishes, tapers = [], [], []
    for (ax, ay), (bx, by) in pairwise((*local, local[0])):
        plane = Plane((ax, ay, 0.0), (by - ay, ax - bx, 0.0))
        if plane.normal[0] <= -_END:
            starts.append(plane)
        elif plane.normal[0] >= _END:
            finishes.append(plane)
        elif abs(ay - by) > SAME_POINT or abs(abs(ay) - width / 2.0) > SAME_POINT:
            tapers.append(Taper(plane))
    square = (Plane((0.0, 0.0, 0.0), (-1.0, 0.0, 0.0)), Plane((length, 0.0, 0.0), (1.0, 0.0, 0.0)))
    return tuple(starts) or (square[0],), tuple(finishes) or (square[1],), tuple(tapers)


def corner_angles(ring: Points) -> tuple[float, ...]:
    """The angles inside the corners of an outline, in degrees, in its order."""
    angles = []
    sense = 1.0 if signed_area(ring) > 0.0 else -1.0
    for before, at, after in zip((ring[-1], *ring[:-1]), ring, (*ring[1:], ring[0]), strict=True):
        a, b = (before[0] - at[0], before[1] - at[1]), (after[0] - at[0], after[1] - at[1])
        turned = math.atan2(sense * (b[0] * a[1] - b[1] * a[0]), b[0] * a[0] + b[1] * a[1])
        angles.append(math.degrees(turned) % 360.0)
    return tuple(angles)
