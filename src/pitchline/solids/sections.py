"""Sections of pieces square to their thickness, by the solid modeller: what a board looks like at a height."""

from collections.abc import Iterator, Sequence

from shapely.geometry import MultiPolygon, Polygon
from shapely.ops import unary_union

from pitchline.parts.part import Part
from pitchline.solids.solid import shaped

SEGMENTS = 512
"""Chords to a circle: of a 60 mm one they leave the true one by 0.0006 mm."""


def sections(part: Part, heights: Sequence[float]) -> Iterator[Polygon | MultiPolygon]:
    """The piece at each height (z in its own axes, mm), as areas in its x and y."""
    solid = shaped(part, SEGMENTS, lambda cutter: cutter.solid)
    for height in heights:
        rings = solid.slice(height).to_polygons()
        outer = [Polygon(ring) for ring in rings if _area(ring) > 0.0]
        holes = [Polygon(ring) for ring in rings if _area(ring) < 0.0]
        yield unary_union(outer).difference(unary_union(holes))


def _area(ring: Sequence[Sequence[float]]) -> float:
    pairs = zip(ring, [*ring[1:], ring[0]], strict=True)
    return float(sum(a[0] * b[1] - b[0] * a[1] for a, b in pairs))
