"""A piece by its boundary: corners, edges on true curves and faces on true surfaces, in its own axes. Lengths in mm.

Planes, cylinders and cones are kept; where two faces meet in a curve that is no line, circle or ellipse (a hole
through a rounded edge), the round ones among them are told as the flat facets that stand for them, and
`Brep.facetted` says so. Every corner is moved onto all the surfaces that meet there, so that what the modeller's
chords have left off is put right.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from pitchline.kit.geometry.frames import Plane, Vec3, along, cross, dot, subtract, unit
from pitchline.parts.part import Part
from pitchline.solids.surfaces import Round, Surface, distance, gradient
from pitchline.solids.traced import Key, Patch, Traced, patches, traced

SEGMENTS = 32
"""Chords to a circle while the solid is worked; none of them is left in the end."""

_SETTLED, _ROUNDS = 1e-10, 12
_SQUARE = 1e-7


@dataclass(frozen=True, slots=True)
class Line:
    """A straight edge."""


@dataclass(frozen=True, slots=True)
class Ellipse:
    """An edge on an ellipse or circle: half axes along ``major`` and across it, about ``normal``."""

    centre: Vec3
    normal: Vec3
    major: Vec3
    half_major: float
    half_minor: float

    @property
    def is_circle(self) -> bool:
        """Whether both half axes are one."""
        return self.half_major - self.half_minor <= _SQUARE * self.half_major


Curve = Line | Ellipse


@dataclass(frozen=True, slots=True)
class BrepEdge:
    """An edge from corner ``start`` to corner ``finish``; ``forward``: anticlockwise about its curve's normal."""

    start: int
    finish: int
    curve: Curve
    forward: bool = True


@dataclass(frozen=True, slots=True)
class BrepFace:
    """A face: its surface, whether the surface's own normal points out of the wood, and its loops.

    A loop is a row of (edge number, whether it is run from start to finish); the outer loop comes first.
    """

    surface: Surface
    outward: bool
    loops: tuple[tuple[tuple[int, bool], ...], ...]


@dataclass(frozen=True, eq=False)
class Brep:
    """A closed solid. ``facetted``: round faces are told in flat facets."""

    corners: tuple[Vec3, ...]
    edges: tuple[BrepEdge, ...]
    faces: tuple[BrepFace, ...]
    facetted: bool = False


class _NoCurveError(Exception):
    """Two surfaces meet in a curve that is not told; ``numbers`` are the surfaces' own."""

    def __init__(self, numbers: set[int]) -> None:
        super().__init__(f"no plain curve between the surfaces {sorted(numbers)}")
        self.numbers = numbers


def part_brep(part: Part, segments: int = SEGMENTS) -> Brep:
    """A part by its boundary. RuntimeError when its faces do not close: a fault of the program."""
    piece = traced(part, segments)
    labels = piece.surface[piece.facet]
    flat: set[int] = set()
    while True:
        try:
            return _brep(piece, labels, flat)
        except _NoCurveError as missing:
            if missing.numbers <= flat:
                raise RuntimeError(f"{part.place}: its faces do not close") from missing
            flat |= missing.numbers
            told_flat = np.isin(piece.surface, list(flat))[piece.facet]
            labels = np.where(told_flat, len(piece.keys) + piece.facet, piece.surface[piece.facet])


def _brep(piece: Traced, labels: NDArray[np.int64], flat: set[int]) -> Brep:
    found = patches(piece.corners, piece.triangles, labels)
    keys = [_key(piece, patch, flat) for patch in found]
    where = _corners(piece, found, keys)
    numbers = {mesh: number for number, mesh in enumerate(where)}
    edges: dict[tuple[int, int, int, int], int] = {}
    made: list[BrepEdge] = []
    faces = []
    for own, patch in enumerate(found):
        loops = []
        for loop, beyond in zip(patch.loops, patch.beyond, strict=True):
            run = []
            for chain, other in _chains(loop, beyond, numbers):
                start, finish = numbers[chain[0]], numbers[chain[-1]]
                back = edges.get((finish, start, other, own))
                if back is not None:
                    run.append((back, False))
                    continue
                edge = _edge(
                    piece,
                    [where[k] if k in where else _vec(piece.corners[k]) for k in chain],
                    (start, finish),
                    (keys[own], keys[other]),
                    (own, other),
                    found,
                )
                edges[start, finish, own, other] = len(made)
                run.append((len(made), True))
                made.append(edge)
            loops.append(tuple(run))
        surface, outward = _facing(piece, patch, keys[own])
        faces.append(BrepFace(surface, outward, tuple(loops)))
    return Brep(tuple(where.values()), tuple(made), tuple(faces), bool(flat))


def _key(piece: Traced, patch: Patch, flat: set[int]) -> Key:
    """What a patch lies on: its surface, or the plane of its one facet."""
    facet = int(piece.facet[patch.triangles[0]])
    if int(piece.surface[facet]) not in flat:
        return piece.keys[facet]
    surface, sector = piece.keys[facet]
    if isinstance(surface, Plane):
        return surface, sector
    corner = _vec(piece.corners[piece.triangles[patch.triangles[0]][0]])
    return Plane(corner, _vec(piece.normals[facet])), 0


def _facing(piece: Traced, patch: Patch, key: Key) -> tuple[Surface, bool]:
    surface = key[0]
    if isinstance(surface, Plane):
        return surface, True
    t = patch.triangles[0]
    middle = _vec(piece.corners[piece.triangles[t]].mean(axis=0))
    return surface, dot(_vec(piece.normals[piece.facet[t]]), surface.gradient(middle)) > 0.0


def _corners(piece: Traced, found: Sequence[Patch], keys: Sequence[Key]) -> dict[int, Vec3]:
    """The mesh corners where three patches or more meet, moved onto all of their surfaces."""
    meeting: dict[int, set[int]] = {}
    for own, patch in enumerate(found):
        for loop, beyond in zip(patch.loops, patch.beyond, strict=True):
            for k, mesh in enumerate(loop):
                meeting.setdefault(mesh, set()).update((own, beyond[k], beyond[k - 1]))
    return {
        mesh: _settled(_vec(piece.corners[mesh]), [keys[p][0] for p in sorted(patches_)])
        for mesh, patches_ in meeting.items()
        if len(patches_) > 2
    }


def _settled(point: Vec3, surfaces: Sequence[Surface]) -> Vec3:
    """The point of all the surfaces next to this one (Newton's method, the shortest step each time)."""
    for _ in range(_ROUNDS):
        off = np.array([distance(surface, point) for surface in surfaces])
        if float(np.abs(off).max()) <= _SETTLED:
            break
        slopes = np.array([gradient(surface, point) for surface in surfaces])
        step = np.linalg.lstsq(slopes, -off, rcond=1e-6)[0]
        point = (point[0] + float(step[0]), point[1] + float(step[1]), point[2] + float(step[2]))
    return point


def _chains(
    loop: tuple[int, ...], beyond: tuple[int, ...], numbers: dict[int, int]
) -> Iterator[tuple[list[int], int]]:
    """A loop parted at its corners: the mesh corners of each stretch, and the patch across it."""
    starts = [k for k, mesh in enumerate(loop) if mesh in numbers]
    for first, following in zip(starts, [*starts[1:], *(s + len(loop) for s in starts[:1])], strict=True):
        yield [loop[k % len(loop)] for k in range(first, following + 1)], beyond[first]


def _edge(
    piece: Traced,
    chain: list[Vec3],
    ends: tuple[int, int],
    keys: tuple[Key, Key],
    patch_numbers: tuple[int, int],
    found: Sequence[Patch],
) -> BrepEdge:
    """The edge along a chain of mesh corners between two patches."""
    curve = _curve(keys[0][0], keys[1][0], chain)
    if curve is None:
        labels = {
            int(piece.surface[piece.facet[found[p].triangles[0]]])
            for p, key in zip(patch_numbers, keys, strict=True)
            if isinstance(key[0], Round)
        }
        raise _NoCurveError(labels)
    if isinstance(curve, Line):
        return BrepEdge(*ends, curve)
    second = cross(curve.normal, curve.major)
    turns = [
        math.atan2(
            dot(subtract(p, curve.centre), second) / curve.half_minor,
            dot(subtract(p, curve.centre), curve.major) / curve.half_major,
        )
        for p in chain
    ]
    turned = sum(math.remainder(b - a, math.tau) for a, b in pairwise(turns))
    return BrepEdge(*ends, curve, turned > 0.0)


def _curve(one: Surface, other: Surface, chain: Sequence[Vec3]) -> Curve | None:
    """The curve in which two surfaces meet along a chain of points; None where it is none of the plain ones."""
    if isinstance(one, Plane) and isinstance(other, Plane):
        return Line()
    if isinstance(one, Plane) and isinstance(other, Round):
        return _plane_and_round(one, other, chain)
    if isinstance(one, Round) and isinstance(other, Plane):
        return _plane_and_round(other, one, chain)
    assert isinstance(one, Round)
    assert isinstance(other, Round)
    if not one.is_coaxial(other):
        return None
    places = [one.along(p) for p in chain]
    if max(places) - min(places) <= _SQUARE:
        return _circle(one, places[0])
    return Line() if one == other else None


def _plane_and_round(plane: Plane, turned: Round, chain: Sequence[Vec3]) -> Curve | None:
    steep = abs(dot(plane.normal, turned.axis))
    if steep >= 1.0 - _SQUARE**2:
        return _circle(turned, turned.along(chain[0]))
    if turned.growth != 0.0:
        return None
    if steep <= _SQUARE:
        return Line()
    centre = plane.meet_line(turned.at, turned.axis)
    major = unit(along(turned.axis, plane.normal, -dot(turned.axis, plane.normal)))
    return Ellipse(centre, plane.normal, major, turned.radius / steep, turned.radius)


def _circle(turned: Round, at: float) -> Ellipse:
    radius = turned.radius + turned.growth * at
    return Ellipse(along(turned.at, turned.axis, at), turned.axis, turned.across[0], radius, radius)


def edge_gap(brep: Brep) -> float:
    """How far corners lie off the curves and surfaces of their edges and faces at most, mm: rounding alone."""
    worst = 0.0
    for face in brep.faces:
        for loop in face.loops:
            for number, _ in loop:
                edge = brep.edges[number]
                for corner in (brep.corners[edge.start], brep.corners[edge.finish]):
                    worst = max(worst, abs(distance(face.surface, corner)))
    return worst


def _vec(values: NDArray[np.float64]) -> Vec3:
    return (float(values[0]), float(values[1]), float(values[2]))
