"""What is taken from a board, as areas of its face with the heights between which they go. Lengths in mm."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from shapely.geometry import Polygon, box

from pitchline.kit.geometry.frames import Plane
from pitchline.kit.geometry.outlines import HalfPlane, Outline
from pitchline.kit.tolerances import SAME_POINT
from pitchline.parts.part import Face, Groove, Hole, Mortise, Notch, Part, Sawn, Taper, Tenon

OVERRUN = 15.0
"""How far an area runs past an edge that it is open to: more than the radius of any cutter."""

TURN_CHORDS = 16
"""Chords to a quarter turn of a round hole; true arcs are found again from them."""


@dataclass(frozen=True)
class Removal:
    """An area that is cut away between two heights (z of the piece); ``mates`` where something square goes in."""

    area: Polygon
    low: float
    high: float
    mates: bool = True


def base_area(part: Part) -> Polygon:
    """The piece's outline looking through its board, openings sawn into it left out."""
    sawn = next((feature for feature in part.features if isinstance(feature, Sawn)), None)
    if sawn is not None:
        return Polygon(sawn.outline)
    half = part.width / 2.0
    outline = Outline.of(((0.0, -half), (part.length, -half), (part.length, half), (0.0, half)))
    tapers = (feature.plane for feature in part.features if isinstance(feature, Taper))
    for plane in (*part.start_cuts, *part.finish_cuts, *tapers):
        outline = outline.clipped(_half(plane), "cut")
    return Polygon(outline.points)


def _half(plane: Plane) -> HalfPlane:
    return HalfPlane((plane.point[0], plane.point[1]), (plane.normal[0], plane.normal[1]))


def removals(part: Part) -> Iterator[Removal]:
    """What the features of a piece take out of it; the piece is one that a router makes."""
    y, z = part.width / 2.0, part.thickness / 2.0
    for feature in part.features:
        match feature:
            case Sawn(_, holes, _):
                for hole in holes:
                    yield Removal(Polygon(hole), -z, z, mates=False)
            case Groove():
                yield _groove(part, feature)
            case Notch(low, high):
                area = box(
                    low[0] - OVERRUN * (low[0] <= 0.0),
                    low[1] - OVERRUN * (low[1] <= -y),
                    high[0] + OVERRUN * (high[0] >= part.length),
                    high[1] + OVERRUN * (high[1] >= y),
                )
                yield Removal(area, low[2], high[2])
            case Hole():
                yield _hole(feature)
            case Mortise():
                yield _mortise(feature, z)
            case Tenon():
                yield from _tenon(part, feature)
            case _:
                continue


def _groove(part: Part, groove: Groove) -> Removal:
    y, z = part.width / 2.0, part.thickness / 2.0
    a, b = groove.centre - groove.width / 2.0, groove.centre + groove.width / 2.0
    ends = (-OVERRUN, part.length + OVERRUN)
    match groove.face:
        case Face.PLUS_Z:
            return Removal(box(ends[0], a, ends[1], b), z - groove.depth, z)
        case Face.MINUS_Z:
            return Removal(box(ends[0], a, ends[1], b), -z, groove.depth - z)
        case Face.PLUS_Y:
            return Removal(box(ends[0], y - groove.depth, ends[1], y + OVERRUN), a, b)
        case Face.MINUS_Y:
            return Removal(box(ends[0], -y - OVERRUN, ends[1], groove.depth - y), a, b)


def _hole(hole: Hole) -> Removal:
    """Square through the board."""
    far = hole.at[2] + math.copysign(hole.depth, hole.axis[2])
    entry = hole.at[2] - math.copysign(OVERRUN, hole.axis[2])
    return Removal(disc(hole.at[0], hole.at[1], hole.diameter / 2.0), min(far, entry), max(far, entry))


def disc(x: float, y: float, radius: float) -> Polygon:
    """A round area; its corners lie on the true circle."""
    count = 4 * TURN_CHORDS
    turns = (math.tau * k / count for k in range(count))
    return Polygon([(x + radius * math.cos(t), y + radius * math.sin(t)) for t in turns])


def _mortise(mortise: Mortise, z: float) -> Removal:
    (ax, ay, az), (at_x, at_y, at_z) = mortise.axis, mortise.at
    half, across = mortise.length / 2.0, mortise.width / 2.0
    if abs(az) > SAME_POINT:
        inner = at_z + math.copysign(mortise.depth, az)
        outer = math.copysign(z, -az)
        area = box(at_x - half, at_y - across, at_x + half, at_y + across)
        return Removal(area, min(inner, outer), max(inner, outer))
    lean = ax / abs(ay)
    sense = math.copysign(1.0, ay)
    mouth, floor = at_y - sense * OVERRUN, at_y + sense * mortise.depth
    back, ahead = at_x - lean * OVERRUN, at_x + lean * mortise.depth
    corners = ((back - half, mouth), (back + half, mouth), (ahead + half, floor), (ahead - half, floor))
    return Removal(Polygon(corners), at_z - across, at_z + across)


def _tenon(part: Part, tenon: Tenon) -> Iterator[Removal]:
    """What is cut away beyond the shoulder: beside the tenon all through, above and below it between its sides."""
    at_start = tenon.shoulder.normal[0] < 0.0
    y, z = part.width / 2.0 + OVERRUN, part.thickness / 2.0
    shoulder = _half(tenon.shoulder)
    beyond = HalfPlane(shoulder.point, (-shoulder.normal[0], -shoulder.normal[1]))
    far = Outline.of(
        ((-OVERRUN, -y), (part.length + OVERRUN, -y), (part.length + OVERRUN, y), (-OVERRUN, y))
    ).clipped(beyond, "shoulder")
    whole = Polygon(far.points)
    tip = 0.0 if at_start else part.length
    back = 1.0 if at_start else -1.0
    deep = abs(-tenon.shoulder.distance((0.0, 0.0, 0.0)) / tenon.shoulder.normal[0] - tip) + part.width
    flare = tenon.flare[0]
    tongue = Polygon(
        (
            (tip - back * OVERRUN, tenon.low[0]),
            (tip, tenon.low[0]),
            (tip + back * deep, tenon.low[0] + flare * deep),
            (tip + back * deep, tenon.high[0] - flare * deep),
            (tip, tenon.high[0]),
            (tip - back * OVERRUN, tenon.high[0]),
        )
    )
    for piece in getattr(whole.difference(tongue), "geoms", [whole.difference(tongue)]):
        yield Removal(piece, -z, z)
    over = whole.intersection(tongue)
    if tenon.low[1] > -z:
        yield Removal(over, -z, tenon.low[1])
    if tenon.high[1] < z:
        yield Removal(over, tenon.high[1], z)
