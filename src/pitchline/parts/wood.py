"""How much wood a piece has and how much of its outside takes a finish, from its exact description.

A cut box is a sum of tetrahedra; what features take out of it are sums of straight fibres (see `fibres`): all in
closed form, without a mesh. One case has no elementary form, an oblique cut that runs into a turned length;
there the sections are summed numerically, to about a part in a million. Lengths in mm, areas in mm2, volumes in mm3.
"""

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

import numpy as np

from pitchline.kit.geometry.cutbox import CutBox
from pitchline.kit.geometry.frames import Frame, Plane, Vec3, add, cross, dot, magnitude, scale, subtract
from pitchline.kit.geometry.lines import Point2
from pitchline.kit.geometry.outlines import area
from pitchline.kit.tolerances import SAME_POINT
from pitchline.parts.fibres import (
    Circle,
    Even,
    Fibres,
    Patch,
    Polygon,
    clip,
    moments_in_circle,
    polygon_moments,
)
from pitchline.parts.part import (
    Face,
    Feature,
    Groove,
    Hole,
    Mortise,
    Notch,
    Part,
    RoundBar,
    RoundOver,
    Sawn,
    Tenon,
    Turning,
)

MM3_PER_M3 = 1e9

_NODES, _WEIGHTS = (tuple(float(v) for v in values) for values in np.polynomial.legendre.leggauss(16))

Stretch = tuple[float, float]
_WHOLE: Stretch = (-math.inf, math.inf)


def volume(part: Part) -> float:
    """Volume of the finished piece in mm3, without what is left on it for fitting.

    Holes and notches are taken to miss grooves, rounded edges and each other; a hole that breaks out of the
    piece, a groove that meets a rounded edge and ends under several planes are counted exactly. What is sawn to an
    outline is that outline through its thickness, arcs taken by their chords.
    """
    bar, sawn = _round_bar(part), _sawn(part)
    if bar is not None:
        return _fibres(part).over(Patch.disc(bar.diameter / 2)).volume
    if sawn is not None:
        return _wide_face(sawn) * part.thickness
    taken = sum(sign * _fibres(part, stretch).over(patch).volume for stretch, patch, sign in _section(part))
    taken += sum(_bored(part, feature) for feature in part.features if isinstance(feature, Hole))
    taken += sum(_notched(part.body, feature)[0] for feature in part.features if isinstance(feature, Notch))
    taken += sum(f.length * f.width * f.depth for f in part.features if isinstance(f, Mortise))
    taken += sum(_beyond_shoulder(part, feature) for feature in part.features if isinstance(feature, Tenon))
    taken += sum(_turned_away(part, feature) for feature in part.features if isinstance(feature, Turning))
    return part.body.volume - taken


def _beyond_shoulder(part: Part, tenon: Tenon) -> float:
    """What is cut away around a tenon, mm3; a dovetail is taken by its mean section."""
    beyond = _past(part, tenon)
    half = (part.width / 2, part.thickness / 2)
    whole = beyond.over(Patch.rectangle((-half[0], -half[1]), half)).volume
    low, high = tenon.low, tenon.high
    deep = whole / (part.width * part.thickness)
    back = (tenon.flare[0] * deep / 2, tenon.flare[1] * deep / 2)
    inner = Patch.rectangle((low[0] + back[0], low[1] + back[1]), (high[0] - back[0], high[1] - back[1]))
    return whole - beyond.over(inner).volume


def _past(part: Part, tenon: Tenon) -> Fibres:
    """The fibres of the cut blank beyond a shoulder."""
    return Fibres.between((tenon.shoulder.flipped(), *_blank_planes(part), *part.body.planes))


def _hidden_at(part: Part, tenon: Tenon) -> float:
    """What of the long faces lies beyond a shoulder and goes into the joint with its tenon, mm2."""
    beyond = _past(part, tenon)
    (y, z) = (part.width / 2, part.thickness / 2)
    corners = ((-y, -z), (y, -z), (y, z), (-y, z), (-y, -z))
    return sum(_over_line(beyond, a, b) for a, b in pairwise(corners))


def mass(part: Part, density: float) -> float:
    """Mass in kg at a density in kg/m3."""
    return volume(part) / MM3_PER_M3 * density


def surface_area(part: Part) -> float:
    """Area in mm2 of the faces that take a finish: outside and end faces, not the insides of housings.

    Grooves, holes and notches are glued or filled, so their mouths are taken off and their insides not added.
    Exact where one plane closes each end; where two do it holds to about a part in a thousand.
    """
    fibres = _fibres(part)
    bar, sawn = _round_bar(part), _sawn(part)
    if sawn is not None:
        edges = sum(math.dist(a, b) for ring in (sawn.outline, *sawn.holes) for a, b in _around(ring))
        return 2.0 * _wide_face(sawn) + edges * part.thickness
    if bar is not None:
        radius = bar.diameter / 2
        return fibres.over(Patch.disc(radius)).end_faces + _over_arc(
            fibres, (0.0, 0.0), radius, 0.0, math.tau
        )
    total = sum(_face_area(part.body, face.loop) for face in part.body.faces)
    for _, patch, sign in _section(part, turned=False):
        total -= sign * fibres.over(patch).end_faces
    return total + sum(_change_of_area(part, fibres, feature) for feature in part.features)


def _round_bar(part: Part) -> RoundBar | None:
    return next((feature for feature in part.features if isinstance(feature, RoundBar)), None)


def _sawn(part: Part) -> Sawn | None:
    return next((feature for feature in part.features if isinstance(feature, Sawn)), None)


def _wide_face(sawn: Sawn) -> float:
    """What the outline and its openings leave of the wide face, mm2."""
    return area(sawn.outline) - sum(map(area, sawn.holes))


def _around(ring: Sequence[Point2]) -> Iterator[tuple[Point2, Point2]]:
    return pairwise((*ring, ring[0]))


def _fibres(part: Part, stretch: Stretch = _WHOLE) -> Fibres:
    """The fibres of the cut blank, within a stretch of its length."""
    low, high = max(0.0, stretch[0]), min(part.length, stretch[1])
    ends = (Plane((low, 0.0, 0.0), (-1.0, 0.0, 0.0)), Plane((high, 0.0, 0.0), (1.0, 0.0, 0.0)))
    return Fibres.between((*ends, *part.body.planes))


def _section(part: Part, *, turned: bool = True) -> Iterator[tuple[Stretch, Patch, int]]:
    """What grooves and rounded edges take from the section: over which length, the patch, -1 where taken twice.

    The rounded edges of a ``turned`` piece stop at its turning.
    """
    grooves = [_groove_patch(part, feature) for feature in part.features if isinstance(feature, Groove)]
    for patch in grooves:
        yield _WHOLE, patch, 1
    turning = next((f for f in part.features if isinstance(f, Turning)), None) if turned else None
    stretches = [_WHOLE]
    if turning is not None:
        low, high = _turned_stretch(turning)
        stretches = [(-math.inf, low), (high, math.inf)]
    for feature in part.features:
        if not isinstance(feature, RoundOver):
            continue
        for edge in feature.edges:
            spandrel = _spandrel(part, edge, feature.radius)
            for stretch in stretches:
                yield stretch, spandrel, 1
            for groove in grooves:
                yield _WHOLE, _overlap(spandrel, groove), -1


def _groove_patch(part: Part, groove: Groove) -> Patch:
    low, high = groove.centre - groove.width / 2, groove.centre + groove.width / 2
    across = groove.face in (Face.PLUS_Y, Face.MINUS_Y)
    outer = (part.width if across else part.thickness) / 2
    plus = groove.face in (Face.PLUS_Y, Face.PLUS_Z)
    floor, mouth = (outer - groove.depth, outer) if plus else (-outer, groove.depth - outer)
    return (
        Patch.rectangle((floor, low), (mouth, high))
        if across
        else Patch.rectangle((low, floor), (high, mouth))
    )


def _spandrel(part: Part, edge: tuple[int, int], radius: float) -> Patch:
    """What a rounded edge loses: a corner square without its quarter disc; (1 - pi/4) r2 in area."""
    y, z = edge[0] * part.width / 2, edge[1] * part.thickness / 2
    centre = (y - edge[0] * radius, z - edge[1] * radius)
    low, high = (min(y, centre[0]), min(z, centre[1])), (max(y, centre[0]), max(z, centre[1]))
    return Patch(Patch.rectangle(low, high).polygon, Circle(centre, radius), within=False)


def _overlap(spandrel: Patch, rectangle: Patch) -> Patch:
    """What of a spandrel lies in a rectangle."""
    (y0, z0), _, (y1, z1), _ = rectangle.polygon
    for keep in (Even(-y0, 1.0, 0.0), Even(y1, -1.0, 0.0), Even(-z0, 0.0, 1.0), Even(z1, 0.0, -1.0)):
        spandrel = spandrel.clipped(keep)
    return spandrel


def _bored(part: Part, hole: Hole) -> float:
    """What a hole takes: the fibres along its axis, from wherever it enters down to its flat bottom."""
    across = (0.0, 1.0, 0.0) if abs(hole.axis[1]) < 0.9 else (1.0, 0.0, 0.0)
    frame = Frame.from_xy(hole.at, hole.axis, across)
    planes = [frame.plane_to_local(plane) for plane in (*_blank_planes(part), *part.body.planes)]
    bottom = Plane((hole.depth, 0.0, 0.0), (1.0, 0.0, 0.0))
    return Fibres.between([*planes, bottom]).over(Patch.disc(hole.diameter / 2)).volume


def _blank_planes(part: Part) -> tuple[Plane, ...]:
    return _box_planes(
        (0.0, -part.width / 2, -part.thickness / 2), (part.length, part.width / 2, part.thickness / 2)
    )


def _box_planes(low: Vec3, high: Vec3) -> tuple[Plane, ...]:
    """The six faces of a box between two opposite corners."""
    axes: tuple[Vec3, ...] = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
    return (*(Plane(low, scale(axis, -1.0)) for axis in axes), *(Plane(high, axis) for axis in axes))


def _notched(body: CutBox, notch: Notch) -> tuple[float, float]:
    """Volume that a notch takes, and the area of the outside faces that goes with it."""
    walls = _box_planes(notch.low, notch.high)
    if any(all(wall.distance(corner) >= 0.0 for corner in body.corners) for wall in walls):
        return 0.0, 0.0
    taken = CutBox(body.length, body.width, body.thickness, (*body.planes, *walls))
    outside = {face.source for face in body.faces}
    return taken.volume, sum(_face_area(taken, face.loop) for face in taken.faces if face.source in outside)


def _turned_stretch(turning: Turning) -> Stretch:
    return turning.profile[0][0], turning.profile[-1][0]


def _turned_away(part: Part, turning: Turning) -> float:
    """What turning takes from the squared length: a prism less frustums where it is whole, else summed slices."""
    low, high = _turned_stretch(turning)
    if _squared_throughout(part, turning):
        left = sum(_frustum(a, b) for a, b in pairwise(turning.profile))
        return part.width * part.thickness * (high - low) - left
    places = {corner[0] for corner in part.body.corners} | {x for x, _ in turning.profile}
    stops = sorted(x for x in places if low <= x <= high)
    return sum(_slices(part, turning, a, b) for a, b in pairwise(stops))


def _squared_throughout(part: Part, turning: Turning) -> bool:
    """Whether the turned length has its full section all along, with the turning inside it."""
    low, high = _turned_stretch(turning)
    y, z = part.width / 2, part.thickness / 2
    spans = [part.body.span_along_x(a, b) for a in (-y, y) for b in (-z, z)]
    widest = max(diameter for _, diameter in turning.profile)
    whole = all(
        span is not None and span[0] <= low + SAME_POINT and high <= span[1] + SAME_POINT for span in spans
    )
    return whole and widest <= part.thickness


def _frustum(a: tuple[float, float], b: tuple[float, float]) -> float:
    (x0, d0), (x1, d1) = a, b
    return math.pi / 12.0 * (x1 - x0) * (d0 * d0 + d0 * d1 + d1 * d1)


def _slices(part: Part, turning: Turning, low: float, high: float) -> float:
    """The sections without their discs, summed over a stretch between two stops (Gauss-Legendre, in quarters)."""
    total = 0.0
    step = (high - low) / 4
    for start in (low + k * step for k in range(4)):
        for node, weight in zip(_NODES, _WEIGHTS, strict=True):
            x = start + (node + 1) / 2 * step
            section = _slice(part, x)
            disc = moments_in_circle(section, Circle((0.0, 0.0), _diameter(turning, x) / 2)).area
            total += weight / 2 * step * (polygon_moments(section).area - disc)
    return total


def _diameter(turning: Turning, x: float) -> float:
    xs, diameters = zip(*turning.profile, strict=True)
    return float(np.interp(x, xs, diameters))


def _slice(part: Part, x: float) -> Polygon:
    """The cut blank's section at x."""
    y, z = part.width / 2, part.thickness / 2
    if not 0.0 <= x <= part.length:
        return ()
    section = Patch.rectangle((-y, -z), (y, z)).polygon
    for plane in part.body.planes:
        n = plane.normal
        section = clip(section, Even(dot(plane.point, n) - n[0] * x, -n[1], -n[2]))
    return section


def _face_area(body: CutBox, loop: Sequence[int]) -> float:
    """Area of a flat face from its corners."""
    first = body.corners[loop[0]]
    total: Vec3 = (0.0, 0.0, 0.0)
    for i, j in pairwise(loop[1:]):
        total = add(total, cross(subtract(body.corners[i], first), subtract(body.corners[j], first)))
    return magnitude(total) / 2


def _change_of_area(part: Part, fibres: Fibres, feature: Feature) -> float:
    """What a feature adds to the long faces of the blank (mostly takes away)."""
    if isinstance(feature, Groove):
        patch = _groove_patch(part, feature).polygon
        (y0, z0), _, (y1, z1), _ = patch
        mouth = {
            Face.PLUS_Y: ((y1, z0), (y1, z1)),
            Face.MINUS_Y: ((y0, z0), (y0, z1)),
            Face.PLUS_Z: ((y0, z1), (y1, z1)),
            Face.MINUS_Z: ((y0, z0), (y1, z0)),
        }[feature.face]
        return -_over_line(fibres, *mouth)
    if isinstance(feature, RoundOver):
        turned = next((f for f in part.features if isinstance(f, Turning)), None)
        return sum(_rounded_edge(part, fibres, edge, feature.radius, turned) for edge in feature.edges)
    if isinstance(feature, Turning):
        return _turned_area(part, feature)
    return -_mouth(part, feature)


def _mouth(part: Part, feature: Feature) -> float:
    """What of the outside a joint takes up: the mouths of holes, mortises and notches, and tenons."""
    match feature:
        case Hole(axis=axis, diameter=diameter):
            return math.pi * diameter**2 / 4 / max(abs(way) for way in axis)
        case Mortise(length=length, width=width):
            return length * width
        case Tenon():
            return _hidden_at(part, feature)
        case Notch():
            return _notched(part.body, feature)[1]
        case _:
            return 0.0


def _rounded_edge(
    part: Part, fibres: Fibres, edge: tuple[int, int], radius: float, turned: Turning | None
) -> float:
    """The quarter cylinder in place of the two strips beside the edge, except along a turning."""
    y, z = edge[0] * part.width / 2, edge[1] * part.thickness / 2
    centre = (y - edge[0] * radius, z - edge[1] * radius)
    middle = math.atan2(edge[1], edge[0])
    arc = _over_arc(fibres, centre, radius, middle - math.pi / 4, middle + math.pi / 4)
    strips = _over_line(fibres, (y, z), (centre[0], z)) + _over_line(fibres, (y, z), (y, centre[1]))
    change = arc - strips
    if turned is not None:
        change -= (math.pi / 2 - 2.0) * radius * _length_of(part, turned)
    return change


def _turned_area(part: Part, turning: Turning) -> float:
    """The frustums in place of the four flat faces, and shoulders, or round end faces where turned to the end."""
    flat = 2 * (part.width + part.thickness) * _length_of(part, turning)
    round_faces = sum(
        math.pi / 2 * (d0 + d1) * math.hypot(x1 - x0, (d1 - d0) / 2)
        for (x0, d0), (x1, d1) in pairwise(turning.profile)
    )
    arrises = sum(
        len(f.edges) * (1 - math.pi / 4) * f.radius**2 for f in part.features if isinstance(f, RoundOver)
    )
    shoulders = 0.0
    for x, diameter in (turning.profile[0], turning.profile[-1]):
        beside = part.width * part.thickness - math.pi / 4 * diameter * diameter
        shoulders += beside - arrises if SAME_POINT < x < part.length - SAME_POINT else arrises - beside
    return round_faces + shoulders - flat


def _length_of(part: Part, turning: Turning) -> float:
    low, high = _turned_stretch(turning)
    return max(0.0, min(high, part.length) - max(low, 0.0))


def _over_line(fibres: Fibres, a: Point2, b: Point2) -> float:
    """Area of a long face over a straight stretch of the section's edge."""
    half = math.dist(a, b) / 2
    shares = [(1 + node) / 2 for node in _NODES]
    places = [(a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])) for t in shares]
    return half * sum(w * fibres.length_at(place) for w, place in zip(_WEIGHTS, places, strict=True))


def _over_arc(fibres: Fibres, centre: Point2, radius: float, start: float, stop: float) -> float:
    """Area of a rounded face over an arc of the section's edge."""
    half = (stop - start) / 2
    angles = [start + half * (1 + node) for node in _NODES]
    places = [(centre[0] + radius * math.cos(a), centre[1] + radius * math.sin(a)) for a in angles]
    return radius * half * sum(w * fibres.length_at(p) for w, p in zip(_WEIGHTS, places, strict=True))
