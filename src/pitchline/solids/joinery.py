"""What mortises and tenons cut away, as solids in the piece's own axes. Lengths in mm."""

from collections.abc import Sequence
from itertools import product
from typing import TYPE_CHECKING

import numpy as np

from pitchline.kit.geometry.frames import Vec3, along
from pitchline.parts.part import Mortise, Part, Tenon

if TYPE_CHECKING:
    from manifold3d import Manifold

BEYOND = 1.0
"""mm by which a cutter runs past the wood, so that no face of it lies on a face of the piece."""


def mortise_cutter(mortise: Mortise) -> "Manifold":
    """The wood that a mortise takes out: a prism whose walls run along its axis, bottom parallel to its mouth."""
    face = 1 if abs(mortise.axis[1]) > abs(mortise.axis[2]) else 2
    steep = abs(mortise.axis[face])
    corners: list[Vec3] = []
    for x, across in product(
        (-mortise.length / 2, mortise.length / 2), (-mortise.width / 2, mortise.width / 2)
    ):
        mouth = (
            mortise.at[0] + x,
            mortise.at[1] + (across if face == 2 else 0.0),
            mortise.at[2] + (across if face == 1 else 0.0),
        )
        corners += [
            along(mouth, mortise.axis, -BEYOND / steep),
            along(mouth, mortise.axis, mortise.depth / steep),
        ]
    return _hull(corners)


def tenon_cutter(part: Part, tenon: Tenon) -> "Manifold":
    """The wood that is cut away around a tenon, beyond its shoulder."""
    from manifold3d import Manifold  # loaded only when a solid is made

    size = (part.length + 2 * BEYOND, part.width + 2 * BEYOND, part.thickness + 2 * BEYOND)
    blank = Manifold.cube(size).translate((-BEYOND, -part.width / 2 - BEYOND, -part.thickness / 2 - BEYOND))
    normal, point = tenon.shoulder.normal, tenon.shoulder.point
    offset = sum(n * p for n, p in zip(normal, point, strict=True))
    return blank.trim_by_plane(normal, offset) - _tongue(part, tenon)


def _tongue(part: Part, tenon: Tenon) -> "Manifold":
    """The tenon run on to well behind its shoulder and past its tip."""
    at_start = tenon.shoulder.normal[0] < 0.0
    tip, back = (0.0, 1.0) if at_start else (part.length, -1.0)
    middle = -tenon.shoulder.distance((0.0, 0.0, 0.0)) / tenon.shoulder.normal[0]
    reach = abs(middle - tip) + (part.width + part.thickness if tenon.flare == (0.0, 0.0) else BEYOND)
    corners: list[Vec3] = []
    for distance in (-BEYOND, reach):
        y, z = (flare * max(distance, 0.0) for flare in tenon.flare)
        x = tip + back * distance
        ys, zs = (tenon.low[0] + y, tenon.high[0] - y), (tenon.low[1] + z, tenon.high[1] - z)
        corners += [(x, across, through) for across, through in product(ys, zs)]
    return _hull(corners)


def _hull(corners: Sequence[Vec3]) -> "Manifold":
    from manifold3d import Manifold  # loaded only when a solid is made

    return Manifold.hull_points(np.array(corners, dtype=np.float64))
