"""What a viewer needs of a piece: triangles and sharp edges in its own axes, remembered from call to call."""

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from pitchline.kit.geometry.frames import Frame
from pitchline.parts.part import Part, Taper
from pitchline.solids.facets import sketched
from pitchline.solids.mesh import Block, Mesh
from pitchline.solids.traced import sharp_edges, traced


@dataclass(frozen=True, eq=False)
class Shape:
    """Corners (N, 3), triangles (M, 3) anticlockwise seen from outside, sharp edges (E, 2), all by corner number."""

    corners: NDArray[np.float64]
    triangles: NDArray[np.uint32]
    edges: NDArray[np.uint32]


def part_shape(part: Part, segments: int) -> Shape:
    """The shape of a part with everything that is worked into it; pieces of one description are made once."""
    shown = tuple(map(sketched, part.features))
    bare = replace(
        part, place="", mark="", frame=Frame(), trim=0.0, length_sigma=0.0, face_names=(), features=shown
    )
    return _shape(bare, segments)


@lru_cache(maxsize=4096)
def _shape(part: Part, segments: int) -> Shape:
    if all(isinstance(feature, Taper) for feature in part.features):
        mesh = Mesh.of_blocks([Block.of_box(part.body)])
        return Shape(mesh.corners, mesh.triangles, _pairs([(a, b) for a, b, _, _ in part.body.edges]))
    piece = traced(part, segments)
    triangles = _with_area(piece.corners, piece.triangles.astype(np.uint32))
    return Shape(piece.corners, triangles, _pairs(list(sharp_edges(piece))))


def blocks_shape(blocks: tuple[Block, ...]) -> Shape:
    """Plain blocks with all their edges."""
    mesh = Mesh.of_blocks(blocks)
    edges: list[tuple[int, int]] = []
    first = 0
    for block in blocks:
        pairs = (pair for loop in block.loops for pair in zip(loop, (*loop[1:], loop[0]), strict=True))
        edges += [(first + a, first + b) for a, b in pairs if a < b]
        first += len(block.corners)
    return Shape(mesh.corners, mesh.triangles, _pairs(edges))


def _pairs(edges: list[tuple[int, int]]) -> NDArray[np.uint32]:
    return np.array(edges, dtype=np.uint32).reshape(-1, 2)


def _with_area(corners: NDArray[np.float64], triangles: NDArray[np.uint32]) -> NDArray[np.uint32]:
    a, b, c = (corners[triangles[:, k]] for k in range(3))
    kept: NDArray[np.uint32] = triangles[np.linalg.norm(np.cross(b - a, c - a), axis=1) > 0.0]
    return kept
