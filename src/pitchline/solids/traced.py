"""A piece as triangles that know which true surface each of them stands for, and the faces that they make up.

Every solid that a piece is worked with is given facet numbers before the modeller joins it to the others; the
modeller carries them through. So planes and cylinders come back from the finished mesh exactly, not guessed. Lengths
in mm, in the piece's own axes.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from pitchline.kit.geometry.frames import Plane, Vec3, cross
from pitchline.parts.part import Part
from pitchline.solids.cutters import Cutter
from pitchline.solids.solid import shaped
from pitchline.solids.surfaces import Round, Surface

if TYPE_CHECKING:
    from manifold3d import Manifold

Key = tuple[Surface, int]
"""A surface, and which share of its turn for a round one (0 for a plane)."""

_SAME_FACET, _ON_SURFACE, _CAP = 1e-6, 1e-5, 0.995
_COARSE = 1e-5


@dataclass(frozen=True, eq=False)
class Traced:
    """Corners (N, 3), triangles (M, 3), the facet of each triangle (M), and of each facet its plane and its surface.

    ``keys[k]`` is what facet k lies on; facets of one plane or of one sector of a round surface have the same number
    in ``surface``. ``normals`` (K, 3) point out of the wood.
    """

    corners: NDArray[np.float64]
    triangles: NDArray[np.int64]
    facet: NDArray[np.int64]
    normals: NDArray[np.float64]
    surface: NDArray[np.int64]
    keys: tuple[Key, ...]


class _Tags:
    """Facet numbers as they are given out."""

    def __init__(self) -> None:
        self.planes: list[NDArray[np.float64]] = []
        self.owners: list[Key | None] = []

    def mark(self, cutter: Cutter) -> "Manifold":
        """The same solid with a number for each of its flat facets."""
        from manifold3d import Manifold, Mesh64  # loaded only when a solid is made

        mesh = cutter.solid.to_mesh64()
        corners = np.asarray(mesh.vert_properties)[:, :3].copy()
        triangles = np.asarray(mesh.tri_verts).astype(np.int64)
        planes, facet = _facets(corners, triangles)
        first = len(self.owners)
        self.planes += list(planes)
        self.owners += [None] * len(planes)
        if cutter.rounds:
            for k, (plane, used) in enumerate(zip(planes, _corners_of(facet, triangles), strict=True)):
                self.owners[first + k] = _owner(plane, corners[used], cutter.rounds)
        numbers = (first + facet).astype(np.uint64)
        return Manifold(Mesh64(corners, triangles.astype(np.uint64), face_id=numbers))


def _corners_of(facet: NDArray[np.int64], triangles: NDArray[np.int64]) -> list[list[int]]:
    """The corners of each facet."""
    found: list[set[int]] = [set() for _ in range(int(facet.max()) + 1)]
    for number, triangle in zip(facet.tolist(), triangles.tolist(), strict=True):
        found[number].update(triangle)
    return [sorted(some) for some in found]


def _facets(
    corners: NDArray[np.float64], triangles: NDArray[np.int64]
) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """The planes (K, 4) that the triangles lie on, normal and offset, and the number of each triangle's plane."""
    a, b, c = (corners[triangles[:, k]] for k in range(3))
    normals = np.cross(b - a, c - a)
    sizes = np.linalg.norm(normals, axis=1)
    sound = sizes > _SAME_FACET
    normals[sound] /= sizes[sound, None]
    planes = np.concatenate((normals, (normals * a).sum(axis=1)[:, None]), axis=1)
    keys = np.round(planes / _SAME_FACET)
    keys[~sound] = np.inf
    _, first, facet = np.unique(keys, axis=0, return_index=True, return_inverse=True)
    facet = facet.reshape(-1).astype(np.int64)
    if not sound.all():
        _lend(triangles, facet, sound)
    return planes[first], facet


def _lend(triangles: NDArray[np.int64], facet: NDArray[np.int64], sound: NDArray[np.bool_]) -> None:
    """Triangles without area take the facet of a neighbour that has some."""
    owners = {edge: t for t, triangle in enumerate(triangles.tolist()) for edge in _edges(triangle)}
    for _ in range(3):
        for t in np.flatnonzero(~sound).tolist():
            for a, b in _edges(triangles[t].tolist()):
                other = owners.get((b, a), t)
                if sound[other]:
                    facet[t], sound[t] = facet[other], True
                    break


def _edges(triangle: Sequence[int]) -> tuple[tuple[int, int], ...]:
    a, b, c = triangle
    return ((a, b), (b, c), (c, a))


def _owner(plane: NDArray[np.float64], corners: NDArray[np.float64], rounds: Sequence[Round]) -> Key | None:
    """The round surface that a facet is a chord of, if any: all its corners lie on it, and it is no cap."""
    points = [(float(x), float(y), float(z)) for x, y, z in corners]
    for one in rounds:
        if abs(sum(n * d for n, d in zip(plane[:3], one.axis, strict=True))) > _CAP:
            continue
        if all(abs(one.distance(p)) <= _ON_SURFACE for p in points):
            middle = corners.mean(axis=0)
            return one, one.sector_of((float(middle[0]), float(middle[1]), float(middle[2])))
    return None


def traced(part: Part, segments: int) -> Traced:
    """A part's mesh with its surfaces, in its own axes."""
    tags = _Tags()
    mesh = shaped(part, segments, tags.mark, outside=False).to_mesh64()
    corners = np.asarray(mesh.vert_properties)[:, :3].copy()
    used, facet = np.unique(np.asarray(mesh.face_id).astype(np.int64), return_inverse=True)
    triangles = np.asarray(mesh.tri_verts).astype(np.int64)
    normals = _outward(corners, triangles, facet.reshape(-1), len(used))
    planes = np.array([tags.planes[k] for k in used])
    keys: list[Key] = []
    numbers: dict[object, int] = {}
    surface = []
    for k, (tag, normal) in enumerate(zip(used.tolist(), normals, strict=True)):
        owner = tags.owners[tag]
        key = owner if owner is not None else (_plane(planes[k], normal), 0)
        told = _rounded(planes[k], normal) if owner is None else owner
        surface.append(numbers.setdefault(told, len(numbers)))
        keys.append(key)
    return Traced(
        corners, triangles, facet.reshape(-1), normals, np.array(surface, dtype=np.int64), tuple(keys)
    )


def _outward(
    corners: NDArray[np.float64], triangles: NDArray[np.int64], facet: NDArray[np.int64], count: int
) -> NDArray[np.float64]:
    """The normal of each facet on the finished piece: what a cutter leaves looks into the cutter."""
    a, b, c = (corners[triangles[:, k]] for k in range(3))
    total = np.zeros((count, 3))
    np.add.at(total, facet, np.cross(b - a, c - a))
    sizes = np.linalg.norm(total, axis=1)
    sizes[sizes == 0.0] = 1.0
    return np.asarray(total / sizes[:, None], dtype=np.float64)


def _plane(plane: NDArray[np.float64], normal: NDArray[np.float64]) -> Plane:
    exact = plane[:3] if float(plane[:3] @ normal) > 0.0 else -plane[:3]
    point = plane[:3] * plane[3]
    return Plane(_vec(point), _vec(exact))


def _rounded(plane: NDArray[np.float64], normal: NDArray[np.float64]) -> tuple[float, ...]:
    """What tells planes apart; both sides of one are two."""
    sense = 1.0 if float(plane[:3] @ normal) > 0.0 else -1.0
    return tuple(float(value) for value in np.round(sense * plane / _COARSE) + 0.0)


def _vec(values: NDArray[np.float64]) -> Vec3:
    return (float(values[0]), float(values[1]), float(values[2]))


@dataclass(frozen=True, slots=True)
class Patch:
    """A connected face: loops of corner numbers, the outer one first, wood to the left seen from outside.

    ``beyond`` has for every edge of every loop the number of the patch across it; ``label`` is what its triangles
    have in common.
    """

    label: int
    loops: tuple[tuple[int, ...], ...]
    beyond: tuple[tuple[int, ...], ...]
    triangles: tuple[int, ...]


def patches(
    corners: NDArray[np.float64], triangles: NDArray[np.int64], labels: NDArray[np.int64]
) -> tuple[Patch, ...]:
    """Triangles with the same label that hang together, as faces with their loops."""
    rows = triangles.tolist()
    owners = {edge: t for t, triangle in enumerate(rows) for edge in _edges(triangle)}
    parts = _connected(rows, owners, labels.tolist())
    members: list[list[int]] = [[] for _ in range(max(parts) + 1)]
    for t, part in enumerate(parts):
        members[part].append(t)
    return tuple(
        _patch(number, int(labels[some[0]]), some, (rows, owners, parts, corners))
        for number, some in enumerate(members)
    )


_Net = tuple[list[list[int]], dict[tuple[int, int], int], list[int], NDArray[np.float64]]


def _patch(number: int, label: int, some: list[int], net: _Net) -> Patch:
    rows, owners, parts, corners = net
    border = [(t, a, b) for t in some for a, b in _edges(rows[t]) if parts[owners[b, a]] != number]
    left = {(a, b): t for t, a, b in border}
    loops, beyond = [], []
    while left:
        (a, b), t = next(iter(left.items()))
        loop, across = [], []
        while (a, b) in left:
            del left[a, b]
            loop.append(a)
            across.append(parts[owners[b, a]])
            (a, b), t = _following(a, b, t, (rows, owners, parts, corners))
        loops.append(tuple(loop))
        beyond.append(tuple(across))
    order = sorted(range(len(loops)), key=lambda k: -_reach(corners, loops[k]))
    return Patch(label, tuple(loops[k] for k in order), tuple(beyond[k] for k in order), tuple(some))


def _following(a: int, b: int, t: int, net: _Net) -> tuple[tuple[int, int], int]:
    """The border edge that follows a-b round the patch: the triangles about b are gone through."""
    rows, owners, parts, _ = net
    own = parts[t]
    while True:
        row = rows[t]
        c = row[(row.index(b) + 1) % 3]
        other = owners[c, b]
        if parts[other] != own:
            return (b, c), t
        t = other


def _reach(corners: NDArray[np.float64], loop: tuple[int, ...]) -> float:
    """A measure of how large a loop is: twice the area that it spans, as a vector's length."""
    (ox, oy, oz), *rest = (corners[k].tolist() for k in loop)
    total = [0.0, 0.0, 0.0]
    for (ax, ay, az), (bx, by, bz) in pairwise(rest):
        a, b = (ax - ox, ay - oy, az - oz), (bx - ox, by - oy, bz - oz)
        for k, part in enumerate(cross(a, b)):
            total[k] += part
    return math.hypot(*total)


def _connected(rows: list[list[int]], owners: dict[tuple[int, int], int], labels: list[int]) -> list[int]:
    """A number for each triangle: neighbours with the same label have the same."""
    found = [-1] * len(rows)
    count = 0
    for start in range(len(rows)):
        if found[start] >= 0:
            continue
        found[start] = count
        stack = [start]
        while stack:
            t = stack.pop()
            for a, b in _edges(rows[t]):
                other = owners[b, a]
                if found[other] < 0 and labels[other] == labels[t]:
                    found[other] = count
                    stack.append(other)
        count += 1
    return found


def sharp_edges(piece: Traced) -> Iterator[tuple[int, int]]:
    """Every mesh edge that is an edge of the piece: between two surfaces that do not run on into one another."""
    rows = piece.triangles.tolist()
    owners = {edge: t for t, triangle in enumerate(rows) for edge in _edges(triangle)}
    facet, surface = piece.facet.tolist(), piece.surface.tolist()
    for (a, b), t in owners.items():
        if a < b:
            one, other = facet[t], facet[owners[b, a]]
            if surface[one] != surface[other] and not runs_on(piece, one, other):
                yield a, b


def runs_on(piece: Traced, one: int, other: int) -> bool:
    """Whether two facets belong to one round surface, or touch as a rounded edge runs into its flat faces."""
    (a, _), (b, _) = piece.keys[one], piece.keys[other]
    if isinstance(a, Round) and a == b:
        return True
    return isinstance(a, Round) is not isinstance(b, Round) and bool(
        piece.normals[one] @ piece.normals[other] > _TANGENT
    )


_TANGENT = 0.92
"""The cosine between the last chord of a rounded edge and the face that it runs into, with 16 chords to the turn or
more: a quarter of a chord's turn is left."""
