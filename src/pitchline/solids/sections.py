"""Sections of pieces square to their thickness, by the solid modeller: what a board looks like at a height."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from shapely.geometry import MultiPolygon, Polygon
from shapely.ops import unary_union

from pitchline.parts.part import Part
from pitchline.solids.solid import shaped

if TYPE_CHECKING:
    from manifold3d import Manifold

SEGMENTS = 512
"""Chords to a circle: of a 60 mm one they leave the true one by 0.0006 mm."""


@dataclass(frozen=True, eq=False)
class Sections:
    """A piece to be cut level (z in its own axes, mm); ``levels`` are the heights at which its section may change."""

    solid: "Manifold"
    levels: tuple[float, ...]

    @staticmethod
    def of(part: Part) -> "Sections":
        """The sections of a part."""
        solid = shaped(part, SEGMENTS, lambda cutter: cutter.solid)
        heights = np.asarray(solid.to_mesh64().vert_properties)[:, 2]
        return Sections(solid, tuple(float(z) for z in np.unique(np.round(heights, 6))))

    def at(self, height: float) -> Polygon | MultiPolygon:
        """The piece at a height, as areas in its x and y."""
        rings = self.solid.slice(height).to_polygons()
        outer = [Polygon(ring) for ring in rings if _area(ring) > 0.0]
        holes = [Polygon(ring) for ring in rings if _area(ring) < 0.0]
        return unary_union(outer).difference(unary_union(holes))


def _area(ring: Sequence[Sequence[float]]) -> float:
    pairs = zip(ring, [*ring[1:], ring[0]], strict=True)
    return float(sum(a[0] * b[1] - b[0] * a[1] for a, b in pairs))
