"""A piece as a router makes it: square through its board, everything slanting or rounded left for other tools."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from pitchline.kit.geometry.frames import Frame, Plane, Vec3
from pitchline.kit.tolerances import ENDS_ALIKE_DEG, SAME_LAYER, SQUARE_AXES
from pitchline.making.layers_regions import removals
from pitchline.making.routing import Routing
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
    Taper,
    Tenon,
    Turning,
)

STEEP = 0.35
"""Sine of the bevel from which an edge is sawn, not planed off after routing (about 20 degrees)."""


@dataclass(frozen=True, slots=True)
class Target:
    """What the router makes of a piece, and in words what is left to do.

    ``trimmed`` are the planes that a piece left long is trimmed to when it is fitted.
    """

    part: Part
    left: tuple[str, ...]
    trimmed: tuple[Plane, ...] = ()


class NotForRouterError(Exception):
    """A piece that no router cuts from a board; its text says why."""


def flat(part: Part) -> Part:
    """The piece rolled a quarter turn about its length, so that its width lies through the board."""

    def turned(v: Vec3) -> Vec3:
        return (v[0], v[2], -v[1])

    frame = part.frame
    rolled = Frame(frame.origin, frame.x, frame.z, (-frame.y[0], -frame.y[1], -frame.y[2]))
    faces = {Face.PLUS_Z: Face.PLUS_Y, Face.PLUS_Y: Face.MINUS_Z, Face.MINUS_Z: Face.MINUS_Y}
    faces[Face.MINUS_Y] = Face.PLUS_Z

    def plane(p: Plane) -> Plane:
        return Plane(turned(p.point), turned(p.normal))

    def feature(one: Feature) -> Feature:
        match one:
            case Groove(face, centre, _, _):
                sense = -1.0 if face in (Face.PLUS_Z, Face.MINUS_Z) else 1.0
                return replace(one, face=faces[face], centre=sense * centre)
            case Hole(at, axis, _, _):
                return replace(one, at=turned(at), axis=turned(axis))
            case Mortise(at, axis, _, _, _):
                return replace(one, at=turned(at), axis=turned(axis))
            case Notch(low, high):
                a, b = turned(low), turned(high)
                return Notch(
                    (min(a[0], b[0]), min(a[1], b[1]), min(a[2], b[2])),
                    (max(a[0], b[0]), max(a[1], b[1]), max(a[2], b[2])),
                )
            case Taper(cut):
                return Taper(plane(cut))
            case RoundOver(edges, radius):
                return RoundOver(tuple((z, -y) for y, z in edges), radius)
        raise NotForRouterError("it is shaped in its width")

    return replace(
        part,
        width=part.thickness,
        thickness=part.width,
        start_cuts=tuple(map(plane, part.start_cuts)),
        finish_cuts=tuple(map(plane, part.finish_cuts)),
        features=tuple(map(feature, part.features)),
        frame=rolled,
        face_names=tuple((faces[face], words) for face, words in part.face_names),
    )


def target_of(part: Part, routing: Routing, boards: int = 1) -> Target:
    """The piece as the router makes it of so many boards. NotForRouterError with the reason where it cannot."""
    left: list[str] = []
    half = part.thickness / 2.0
    sawn = any(isinstance(feature, Sawn) for feature in part.features)
    trim = 0.0 if sawn else part.trim
    starts = tuple(_squared(cut, half, "the start", left) for cut in part.start_cuts)
    ends = tuple(_squared(cut, half, "the far end", left) for cut in part.finish_cuts)
    levels = [half * (2.0 * k / boards - 1.0) for k in range(boards + 1)]
    features = tuple(
        made
        for feature in part.features
        for kept in _kept(part, feature, routing, left)
        for made in _reachable(part, feature, kept, levels, left)
    )
    made = replace(
        part,
        length=part.length + trim,
        trim=0.0,
        start_cuts=starts,
        finish_cuts=tuple(_moved(cut, trim) for cut in ends),
        features=features,
    )
    return Target(made, tuple(dict.fromkeys(left)), ends if trim else ())


def _squared(cut: Plane, half: float, where: str, left: list[str]) -> Plane:
    """The plane square to the board that takes in all of a bevelled one."""
    nx, ny, nz = cut.normal
    if abs(nz) <= SQUARE_AXES:
        return cut
    if abs(nz) > STEEP:
        angle = math.degrees(math.asin(abs(nz)))
        raise NotForRouterError(f"{where} is bevelled by {angle:.1f} degrees through the board")
    flat_size = math.hypot(nx, ny)
    out = abs(nz) * half / flat_size
    point = (cut.point[0] + out * nx / flat_size, cut.point[1] + out * ny / flat_size, 0.0)
    shift = cut.distance((cut.point[0], cut.point[1], 0.0)) / flat_size
    point = (point[0] - shift * nx / flat_size, point[1] - shift * ny / flat_size, 0.0)
    angle = math.degrees(math.asin(abs(nz)))
    if angle > ENDS_ALIKE_DEG:
        left.append(f"plane a bevel of {angle:.1f} degrees from square on {where}")
    return Plane(point, (nx, ny, 0.0))


def _moved(cut: Plane, by: float) -> Plane:
    return Plane((cut.point[0] + by, cut.point[1], cut.point[2]), cut.normal) if by else cut


def _kept(part: Part, feature: Feature, routing: Routing, left: list[str]) -> Iterator[Feature]:
    """What of a feature the router makes."""
    room = routing.clearance
    match feature:
        case Sawn() | Groove():
            yield feature
        case Taper(plane):
            yield Taper(_squared(plane, part.thickness / 2.0, "a long edge", left))
        case RoundOver():
            left.append("round the edges over")
        case Notch():
            yield _roomier(part, feature, room)
        case Hole():
            yield from _bored(part, feature, room, left)
        case Mortise(_, axis, _, _, _):
            across = abs(axis[2]) <= SQUARE_AXES
            through = max(abs(axis[0]), abs(axis[1])) <= SQUARE_AXES
            if across or through:
                yield feature
            else:
                left.append("chop the mortise that slants through the board")
        case Tenon(shoulder, _, _, flare):
            if abs(shoulder.normal[2]) <= SQUARE_AXES and flare[1] == 0.0:
                yield feature
            else:
                left.append("cut the tenon")
        case Turning() | RoundBar():
            raise NotForRouterError("it is turned")


def _reachable(
    part: Part, feature: Feature, kept: Feature, levels: Sequence[float], left: list[str]
) -> Iterator[Feature]:
    """What a cutter gets at from a face of some board; a rod's channel inside one is opened to its upper face."""
    alone = replace(part, features=(kept,))
    for taken in removals(alone):
        for low, high in pairwise(levels):
            a, b = max(taken.low, low), min(taken.high, high)
            if not (b - a > SAME_LAYER and a - low > SAME_LAYER and high - b > SAME_LAYER):
                continue
            if isinstance(feature, Hole) and isinstance(kept, Notch | Mortise) and len(levels) > 2:
                yield _opened(kept, taken.low, high)
            else:
                left.append(_BURIED.get(type(feature), "work what lies inside the board by hand"))
            return
    yield kept


_BURIED: dict[type, str] = {
    Hole: "bore the hole in its edge or end",
    Groove: "plough the groove in its edge",
    Mortise: "chop the mortise in its edge",
}


def _opened(channel: Notch | Mortise, low: float, high: float) -> Feature:
    """A channel that reaches up to a height."""
    if isinstance(channel, Notch):
        return Notch((*channel.low[:2], low), (*channel.high[:2], high))
    x, y, _ = channel.at
    return replace(channel, at=(x, y, (low + high) / 2.0), width=high - low)


def _roomier(part: Part, notch: Notch, room: float) -> Notch:
    """A notch with room on every side that lies within the wood."""
    limits = (
        (0.0, part.length),
        (-part.width / 2, part.width / 2),
        (-part.thickness / 2, part.thickness / 2),
    )
    low, high = list(notch.low), list(notch.high)
    for axis, (least, most) in enumerate(limits):
        low[axis] -= room if low[axis] > least else 0.0
        high[axis] += room if high[axis] < most else 0.0
    return Notch((low[0], low[1], low[2]), (high[0], high[1], high[2]))


def _bored(part: Part, hole: Hole, room: float, left: list[str]) -> Iterator[Feature]:
    """Square through the board a hole stays round; within the board it becomes a square channel for the same rod."""
    x, y, z = hole.axis
    wide = hole.diameter + 2.0 * room
    if max(abs(x), abs(y)) <= SQUARE_AXES:
        yield hole
    elif abs(z) <= SQUARE_AXES and abs(y) > STEEP:
        at = (hole.at[0], math.copysign(part.width / 2.0, -y), hole.at[2])
        yield Mortise(at, hole.axis, wide / abs(y), wide, hole.depth * abs(y))
    elif abs(z) <= SQUARE_AXES and abs(y) <= SQUARE_AXES:
        a, b = sorted((hole.at[0], hole.at[0] + x * hole.depth))
        half = wide / 2.0
        yield Notch((a, hole.at[1] - half, hole.at[2] - half), (b, hole.at[1] + half, hole.at[2] + half))
    else:
        left.append("bore the slanting hole")
