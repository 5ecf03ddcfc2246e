"""Parts as flat faces for pictures: planes whole, with their openings; rounded ones as a few facets between which no
edge is drawn. Everything that is worked into a piece is there: grooves, holes, notches, patterns.
"""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import LinearRing

from pitchline.kit.geometry.cutbox import CutBox
from pitchline.kit.geometry.frames import Frame, Plane, Vec3
from pitchline.parts.part import (
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
from pitchline.solids.mesh import Block
from pitchline.solids.surfaces import Round
from pitchline.solids.traced import Traced, patches, runs_on, traced

BAR_SIDES = 16
"""Facets round a bar or a turning in a picture."""

_ROUNDING_FACETS = 3
"""Facets for a rounded edge."""


HOLE_SIDES = 16
"""Facets round a hole in a picture."""


@dataclass(frozen=True, eq=False)
class Facet:
    """One flat face: loops of corners (N, 3), the outer one first, anticlockwise seen from outside, unit normal.

    ``beyond[j][i]`` is the number, within the piece, of the face across the edge from corner i of loop j to the next
    one (-1 where there is none), ``sharp`` likewise whether that edge is one of the piece and not part of a curve.
    Nothing of its own piece ever stands before an ``outer`` face: the whole piece lies behind its plane. An
    ``unseen`` face bounds its neighbours and is not drawn itself.
    """

    loops: tuple[NDArray[np.float64], ...]
    normal: NDArray[np.float64]
    beyond: tuple[tuple[int, ...], ...]
    sharp: tuple[tuple[bool, ...], ...]
    outer: bool = True
    unseen: bool = False


@dataclass(frozen=True, eq=False)
class Piece:
    """Faces that belong together."""

    facets: tuple[Facet, ...]


def part_pieces(part: Part, *, fitted: bool = False) -> tuple[Piece, ...]:
    """A part where it goes: convex blocks while nothing is taken out of it, else one piece with everything.

    Of a ``fitted`` part the joints that its neighbours fill are left out: holes, mortises and tenons.
    """
    if fitted:
        shown = tuple(feature for feature in part.features if not isinstance(feature, _FILLED))
        part = replace(part, features=shown)
    part = replace(part, features=tuple(map(sketched, part.features)))
    if any(isinstance(feature, _TAKEN_OUT) for feature in part.features):
        placed = part.frame.array_to_world
        return (Piece(tuple(_moved(facet, part.frame, placed) for facet in _worked(part))),)
    return tuple(Piece(block_facets(block)) for block in part_blocks(part))


SKETCH = 0.4
"""mm by which an opening in a picture or a viewer may leave its true line."""

MOST_WALLS = 150
"""Of a piece with more walls in its openings these are left out of the picture: one looks straight through."""


def sketched(feature: Feature) -> Feature:
    """A sawn outline whose openings have as few corners as a picture needs."""
    if not isinstance(feature, Sawn):
        return feature
    holes = (LinearRing(hole).simplify(SKETCH) for hole in feature.holes)
    return replace(
        feature, holes=tuple(tuple((float(x), float(y)) for x, y in ring.coords[:-1]) for ring in holes)
    )


def _has_many_walls(part: Part) -> bool:
    sawn = (feature for feature in part.features if isinstance(feature, Sawn))
    return sum(len(hole) for feature in sawn for hole in feature.holes) > MOST_WALLS


_FILLED = (Hole, Mortise, Tenon)
_TAKEN_OUT = (Groove, Hole, Mortise, Notch, Sawn, Tenon)


def _moved(facet: Facet, frame: Frame, placed: Callable[[NDArray[np.float64]], NDArray[np.float64]]) -> Facet:
    normal = np.array(frame.direction_to_world(_vec(facet.normal)))
    return replace(facet, loops=tuple(placed(loop) for loop in facet.loops), normal=normal)


def _vec(values: NDArray[np.float64]) -> Vec3:
    return (float(values[0]), float(values[1]), float(values[2]))


def _worked(part: Part) -> tuple[Facet, ...]:
    """The faces of a part in its own axes; pieces of one description are worked once."""
    bare = replace(part, place="", mark="", frame=Frame(), trim=0.0, length_sigma=0.0, face_names=())
    return _worked_once(bare)


@lru_cache(maxsize=512)
def _worked_once(part: Part) -> tuple[Facet, ...]:
    piece, many = traced(part, HOLE_SIDES), _has_many_walls(part)
    labels = _labels(piece)
    found = patches(piece.corners, piece.triangles, labels)
    facet_of = [int(piece.facet[patch.triangles[0]]) for patch in found]
    facets = []
    for own, patch in enumerate(found):
        sharp = tuple(
            tuple(not runs_on(piece, facet_of[own], facet_of[other]) for other in row) for row in patch.beyond
        )
        loops = tuple(piece.corners[list(loop)] for loop in patch.loops)
        normal = piece.normals[facet_of[own]]
        outer = bool(((piece.corners - loops[0][0]) @ normal).max() <= _BEHIND)
        facets.append(Facet(loops, normal, patch.beyond, sharp, outer, many and not outer))
    return tuple(facets)


_BEHIND = 1e-3
"""mm by which a corner may stand before an outer face's plane: rounding."""


def _labels(piece: Traced) -> NDArray[np.int64]:
    """Planes whole, round surfaces facet by facet."""
    is_round = np.array([isinstance(surface, Round) for surface, _ in piece.keys])
    facet = piece.facet
    labels: NDArray[np.int64] = np.where(is_round[facet], len(piece.keys) + facet, piece.surface[facet])
    return labels


def block_facets(block: Block) -> tuple[Facet, ...]:
    """The faces of a block, each knowing its neighbours. Faces without area are left out of the drawing later."""
    owners = {edge: number for number, loop in enumerate(block.loops) for edge in _around(loop)}
    normals = [_normal(block.corners[list(loop)]) for loop in block.loops]
    facets = []
    for number, loop in enumerate(block.loops):
        beyond = tuple(owners.get((b, a), -1) for a, b in _around(loop))
        sharp = tuple(_pair(number, other) not in block.smooth for other in beyond)
        facets.append(Facet((block.corners[list(loop)],), normals[number], (beyond,), (sharp,)))
    return tuple(facets)


def _pair(a: int, b: int) -> tuple[int, int]:
    return (a, b) if a < b else (b, a)


def _around(loop: tuple[int, ...]) -> Iterator[tuple[int, int]]:
    return zip(loop, loop[1:] + loop[:1], strict=True)


def _normal(corners: NDArray[np.float64]) -> NDArray[np.float64]:
    """Newell's normal: steady for faces with short edges; zero for a face without area."""
    total: NDArray[np.float64] = np.cross(corners, np.roll(corners, -1, axis=0)).sum(axis=0)
    size = float(np.linalg.norm(total))
    if size > 0.0:
        total /= size
    return total


def part_blocks(part: Part) -> tuple[Block, ...]:
    """A part as convex blocks where it goes."""
    return tuple(block.placed(part.frame) for block in _blocks(part))


def _blocks(part: Part) -> Iterator[Block]:
    turning = next((f for f in part.features if isinstance(f, Turning)), None)
    if turning is None:
        yield _rounded(part, ())
        return
    low, high = turning.profile[0][0], turning.profile[-1][0]
    if low > 1.0:
        yield _rounded(part, (Plane((low, 0.0, 0.0), (1.0, 0.0, 0.0)),))
    yield from (_frustum(a, b) for a, b in pairwise(_within(turning, part.length)) if b[0] > a[0])
    if high < part.length - 1.0:
        yield _rounded(part, (Plane((high, 0.0, 0.0), (-1.0, 0.0, 0.0)),))


def _within(turning: Turning, length: float) -> list[tuple[float, float]]:
    """The profile between the ends of the piece."""
    xs, diameters = zip(*turning.profile, strict=True)
    low, high = max(0.0, xs[0]), min(length, xs[-1])
    inner = [(x, d) for x, d in turning.profile if low < x < high]
    return [
        (low, float(np.interp(low, xs, diameters))),
        *inner,
        (high, float(np.interp(high, xs, diameters))),
    ]


def _rounded(part: Part, more: tuple[Plane, ...]) -> Block:
    """The cut blank with facets for its rounded edges, or for the whole of a round bar."""
    rounds = tuple(_rounding_planes(part))
    body = CutBox(part.length, part.width, part.thickness, (*part.body.planes, *more, *rounds))
    first = len(part.body.planes) + len(more)
    curved = {n for n, face in enumerate(body.faces) if isinstance(face.source, int) and face.source >= first}
    ends = {n for n, face in enumerate(body.faces) if abs(face.normal[0]) > 0.1}
    block = Block.of_box(body)
    smooth = {_pair(m, n) for _, _, m, n in body.edges if (m in curved or n in curved) and not {m, n} & ends}
    return replace(block, smooth=frozenset(smooth))


def _rounding_planes(part: Part) -> Iterator[Plane]:
    """Planes that touch the rounded edges from outside."""
    for feature in part.features:
        if isinstance(feature, RoundBar):
            radius = feature.diameter / 2
            for k in range(BAR_SIDES):
                turn = (k + 0.5) * math.tau / BAR_SIDES
                y, z = math.cos(turn), math.sin(turn)
                yield Plane((0.0, radius * y, radius * z), (0.0, y, z))
        elif isinstance(feature, RoundOver):
            for sy, sz in feature.edges:
                cy, cz = sy * (part.width / 2 - feature.radius), sz * (part.thickness / 2 - feature.radius)
                for k in range(_ROUNDING_FACETS):
                    turn = (k + 1) * math.pi / 2 / (_ROUNDING_FACETS + 1)
                    y, z = sy * math.cos(turn), sz * math.sin(turn)
                    yield Plane((0.0, cy + feature.radius * y, cz + feature.radius * z), (0.0, y, z))


def _frustum(a: tuple[float, float], b: tuple[float, float]) -> Block:
    """A turned length between two places (x, diameter), closed by its two ends."""
    turns = [(k + 0.5) * math.tau / BAR_SIDES for k in range(BAR_SIDES)]
    corners = [(x, d / 2 * math.cos(t), d / 2 * math.sin(t)) for x, d in (a, b) for t in turns]
    n = BAR_SIDES
    sides = tuple((k, (k + 1) % n, n + (k + 1) % n, n + k) for k in range(n))
    loops = (*sides, tuple(reversed(range(n))), tuple(range(n, 2 * n)))
    smooth = frozenset(_pair(k, (k + 1) % n) for k in range(n))
    return Block(np.array(corners, dtype=np.float64), loops, smooth)
