"""Convex blocks with flat faces, and closed triangle meshes, in plain arrays. Lengths in mm."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from pitchline.kit.geometry.cutbox import CutBox
from pitchline.kit.geometry.frames import Frame
from pitchline.kit.geometry.lines import Point2

Loop = tuple[int, ...]


@dataclass(frozen=True, eq=False)
class Block:
    """A convex solid: corners (N, 3) and faces as loops of corner numbers, anticlockwise seen from outside.

    ``smooth`` holds pairs of face numbers that meet in an edge which only stands for a curve.
    """

    corners: NDArray[np.float64]
    loops: tuple[Loop, ...]
    smooth: frozenset[tuple[int, int]] = frozenset()

    @staticmethod
    def of_box(body: CutBox) -> "Block":
        """A cut box."""
        return Block(body.vertices, tuple(face.loop for face in body.faces))

    @staticmethod
    def of_prism(outline: Sequence[Point2], low: float, high: float) -> "Block":
        """A convex outline (u, z), anticlockwise, drawn out in y from ``low`` to ``high``."""
        n = len(outline)
        near, far = min(low, high), max(low, high)
        corners = np.array([(u, y, z) for y in (near, far) for u, z in outline], dtype=np.float64)
        sides = tuple((k, n + k, n + (k + 1) % n, (k + 1) % n) for k in range(n))
        return Block(corners, (tuple(range(n)), tuple(reversed(range(n, 2 * n))), *sides))

    def placed(self, frame: Frame) -> "Block":
        """The block moved from a piece's own axes to where the frame stands."""
        return Block(frame.array_to_world(self.corners), self.loops, self.smooth)


@dataclass(frozen=True, eq=False)
class Mesh:
    """Corners (N, 3) and triangles (M, 3) of corner numbers, anticlockwise seen from outside."""

    corners: NDArray[np.float64]
    triangles: NDArray[np.uint32]

    @staticmethod
    def of_blocks(blocks: Iterable[Block]) -> "Mesh":
        """The faces of blocks, each fanned from its first corner."""
        corners, triangles, start = [], [], 0
        for block in blocks:
            corners.append(block.corners)
            for loop in block.loops:
                triangles += [(start + loop[0], start + b, start + c) for b, c in pairwise(loop[1:])]
            start += len(block.corners)
        return Mesh(np.concatenate(corners), np.array(triangles, dtype=np.uint32))

    @cached_property
    def volume(self) -> float:
        """Volume in mm3: the tetrahedra from the first corner to every triangle."""
        a, b, c = (self.corners[self.triangles[:, k]] - self.corners[0] for k in range(3))
        return float(np.einsum("ij,ij->", a, np.cross(b, c)) / 6.0)
