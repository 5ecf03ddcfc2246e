"""What stands around a piece, as plain convex bodies: pieces of a balustrade, old posts, strings, steps.

Lengths in mm. A piece with a groove is split beside and below the groove, so that what lies in it is seen to lie
there. A round or turned piece is taken by the square stick around it: rooms come out too small, never too large.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from pitchline.design.balustrade import Balustrade
from pitchline.design.model import Design, Post, PostRole
from pitchline.kit.geometry.cutbox import CutBox
from pitchline.kit.geometry.frames import Frame, Plane, Vec3, unit
from pitchline.kit.geometry.lines import Point2
from pitchline.parts.part import Face, Groove, Part

Corners = NDArray[np.float64]
Loop = tuple[int, ...]


@dataclass(frozen=True, eq=False)
class Convex:
    """A convex body: corners (N, 3) in the world, and its faces as loops of corner numbers."""

    corners: Corners
    loops: tuple[Loop, ...]

    @cached_property
    def edges(self) -> NDArray[np.intp]:
        """Each edge once, as two corner numbers (M, 2)."""
        pairs = {tuple(sorted(pair)) for loop in self.loops for pair in pairwise((*loop, loop[0]))}
        return np.array(sorted(pairs), dtype=np.intp)


@dataclass(frozen=True, eq=False)
class Body:
    """A piece by its place mark, or what stands already by its name, with the box around it."""

    name: str
    blocks: tuple[Convex, ...]
    part: Part | None = None

    @cached_property
    def low(self) -> Corners:
        """Lower corner of the box around it."""
        low: Corners = np.min([block.corners.min(axis=0) for block in self.blocks], axis=0)
        return low

    @cached_property
    def high(self) -> Corners:
        """Upper corner of the box around it."""
        high: Corners = np.max([block.corners.max(axis=0) for block in self.blocks], axis=0)
        return high


def part_body(part: Part) -> Body:
    """A piece (its frame in the world) where it goes, its grooves left open."""
    return Body(part.place, tuple(_placed(box, part.frame) for box in _split(part)), part)


def _split(part: Part) -> Iterator[CutBox]:
    """The blank cut by its planes; where it is grooved, what is left below and beside the groove."""
    groove = next((feature for feature in part.features if isinstance(feature, Groove)), None)
    body = part.body
    if groove is None:
        yield body
        return
    floor, left, right = groove_planes(part, groove)
    for cuts in ((floor,), (floor.flipped(), left), (floor.flipped(), right)):
        try:
            box = CutBox(part.length, part.width, part.thickness, (*body.planes, *cuts))
        except ValueError:
            continue
        yield box


def groove_planes(part: Part, groove: Groove) -> tuple[Plane, Plane, Plane]:
    """The bottom of a groove and its two walls, their normals pointing into the open groove."""
    across = groove.face in (Face.PLUS_Y, Face.MINUS_Y)
    outer = (part.width if across else part.thickness) / 2
    sense = 1.0 if groove.face in (Face.PLUS_Y, Face.PLUS_Z) else -1.0
    depth = sense * (outer - groove.depth)
    if across:
        floor = Plane((0.0, depth, 0.0), (0.0, sense, 0.0))
        walls = [Plane((0.0, 0.0, groove.centre + s * groove.width / 2), (0.0, 0.0, -s)) for s in (-1.0, 1.0)]
    else:
        floor = Plane((0.0, 0.0, depth), (0.0, 0.0, sense))
        walls = [Plane((0.0, groove.centre + s * groove.width / 2, 0.0), (0.0, -s, 0.0)) for s in (-1.0, 1.0)]
    return floor, walls[0], walls[1]


def _placed(box: CutBox, frame: Frame) -> Convex:
    return Convex(frame.array_to_world(box.vertices), tuple(face.loop for face in box.faces))


def standing_bodies(whole: Sequence[Balustrade]) -> tuple[Body, ...]:
    """What stands already along the edges, in the world: old posts, walls, strings, and the steps or floors."""
    found: dict[str, Body] = {}
    for edge in whole:
        for design, place in zip(edge.legs, edge.places, strict=True):
            for body in _around(design):
                name = f"{design.leg}: {body.name}"
                found.setdefault(name, Body(name, _moved(body, place.frame)))
    return tuple(found.values())


def _moved(body: Body, frame: Frame) -> tuple[Convex, ...]:
    return tuple(Convex(frame.array_to_world(one.corners), one.loops) for one in body.blocks)


def _around(design: Design) -> Iterator[Body]:
    for post in design.posts:
        if post.role is PostRole.EXISTING and not post.shared:
            yield Body(f"old newel {post.id}", (_post(post),))
    yield from _walls(design)
    yield from _string(design)
    yield from _ground(design)


def _walls(design: Design) -> Iterator[Body]:
    """A slab of wall behind each end of the handrail that dies into one, and behind each half newel."""
    rail, walls = design.handrail, {wall.station: wall for wall in design.flight.walls}
    for plane, name in ((rail.start, rail.start_at), (rail.finish, rail.finish_at)):
        if name.startswith("wall "):
            yield Body(name, (_behind(plane.point, plane.normal),))
    for post in design.posts:
        wall = walls.get(post.station)
        if post.role is PostRole.HALF and wall is not None and not post.shared:
            away = -1.0 if wall.face_u < post.foot[0] else 1.0
            at = (wall.face_u, 0.0, wall.face_z)
            normal = (away * math.cos(wall.skew), away * math.sin(wall.skew), -away * wall.lean_along)
            yield Body(f"wall {wall.id}", (_behind(at, unit(normal)),))


def _behind(point: Vec3, normal: Vec3) -> Convex:
    """A thick slab whose face goes through a point, behind it as seen against ``normal``."""
    plumb = (0.0, 0.0, 1.0) if abs(normal[2]) < _STEEP else (0.0, 1.0, 0.0)
    return _placed(CutBox(_WALL, _HIGH, _HIGH), Frame.from_xz(point, normal, plumb))


_WALL, _HIGH, _STEEP = 80.0, 3000.0, 0.7
"""mm drawn for the thickness of walls and how far they reach; a steeper face is no wall's."""


def _post(post: Post) -> Convex:
    frame = Frame.from_xy(post.foot, post.axis, post.along_axis)
    return _placed(CutBox(post.length, post.along, post.across), frame)


def _string(design: Design) -> Iterator[Body]:
    string = design.flight.string
    if string is None:
        return
    foot = string.top.offset(-string.depth)
    us = [design.handrail.start.point[0] - 200.0, design.handrail.finish.point[0] + 200.0]
    outline = (foot.point(us[0]), foot.point(us[1]), string.top.point(us[1]), string.top.point(us[0]))
    yield Body(string_name(string.id), (_prism(outline, -string.thickness / 2, string.thickness / 2),))


def string_name(own: str) -> str:
    """A string by its id, which may say already that it is one."""
    return own if "string" in own else f"string {own}"


def _ground(design: Design) -> Iterator[Body]:
    """The tops of the steps, and the floors before and behind them, as slabs that reach inwards from the edge."""
    flight, towards = design.flight, design.side.towards_stair
    string = flight.string
    thick = 0.0 if string is None else string.thickness / 2
    outside = -max(bar.width for bar in design.bars) if string is None else thick
    ends = towards * outside, towards * (outside + _DEPTH)
    nosings = flight.nosings
    if flight.is_level:
        (first, low), (last, high) = nosings[0], nosings[-1]
        outline = ((first, low - _SLAB), (last, high - _SLAB), (last, high), (first, low))
        yield Body("floor", (_prism(outline, min(ends), max(ends)),))
        return
    for number, ((u, z), (further, _)) in enumerate(pairwise(nosings), start=1):
        yield Body(f"step {number}", (_prism(_slab(u, further, z), min(ends), max(ends)),))
    (first, _), (last, top) = nosings[0], nosings[-1]
    wide = (min(ends) - _DEPTH, max(ends))
    yield Body("lower floor", (_prism(_slab(first - _DEPTH, first, 0.0), *wide),))
    yield Body("upper floor", (_prism(_slab(last, last + _DEPTH, top), *wide),))


_SLAB, _DEPTH = 20.0, 600.0
"""mm drawn for the thickness of treads and floors, and how far they are taken to reach."""


def _slab(start: float, finish: float, top: float) -> tuple[Point2, ...]:
    return ((start, top - _SLAB), (finish, top - _SLAB), (finish, top), (start, top))


def _prism(outline: Sequence[Point2], low: float, high: float) -> Convex:
    """A convex outline of the elevation (u, z), anticlockwise, drawn out across it."""
    n = len(outline)
    corners = np.array([(u, y, z) for y in (low, high) for u, z in outline], dtype=np.float64)
    sides = tuple((k, n + k, n + (k + 1) % n, (k + 1) % n) for k in range(n))
    return Convex(corners, (tuple(range(n)), tuple(reversed(range(n, 2 * n))), *sides))
