"""Router files read back and put together again: what they cut must be the piece, height by height.

The piece's sections come from the solid modeller, the cuts from the files alone. Reliefs of corners and holes for
dowels, which the piece itself does not have, are left out of the comparison.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

import shapely
from shapely.geometry import Point, Polygon

from pitchline.kit.drawing.router_dxf import Bore, ClosedPath, RouterMark, read_router
from pitchline.kit.tolerances import ROUTED_TRUE, SAME_LAYER
from pitchline.making.router import Layer, Way
from pitchline.sheets.layers_files import read_name
from pitchline.solids.sections import Sections

CHORD = 0.0005
"""mm by which the chords taken for arcs leave them here."""

BESIDE = 0.05
"""mm round a relief or dowel that is not compared."""


@dataclass(frozen=True)
class Taken:
    """What a file cuts from a face: the outline, and areas with the depth they are cut to."""

    outline: shapely.Geometry
    areas: tuple[tuple[Polygon, float], ...]


def taken_by(marks: Iterable[RouterMark]) -> Taken:
    """The cuts among the marks of a file."""
    outlines: list[Polygon] = []
    areas: list[tuple[Polygon, float]] = []
    for mark in marks:
        told = read_name(mark.layer)
        if told is None or told[0] is Way.ON:
            continue
        area = _area(mark)
        if told[0] is Way.OUTSIDE:
            outlines.append(area)
        else:
            areas.append((area, told[1]))
    return Taken(shapely.union_all(outlines), tuple(areas))


def _area(mark: RouterMark) -> Polygon:
    if isinstance(mark, Bore):
        return Point(mark.centre).buffer(mark.diameter / 2.0, quad_segs=32)
    if isinstance(mark, ClosedPath):
        return Polygon(mark.contour.points(CHORD))
    raise ValueError(f"{mark.layer}: only closed paths and bores are cut")


def layer_faults(layers: Sequence[Layer], files: Mapping[tuple[str, bool], bytes]) -> tuple[str, ...]:
    """What of the layers' files is off their pieces by more than `ROUTED_TRUE`, in words; empty when all are true.

    ``files`` are by the layer's name and whether they are of its under face. The pieces of one layer (parted by a
    scarf or a channel) are judged together.
    """
    together: dict[tuple[str, float], list[Layer]] = {}
    for layer in layers:
        together.setdefault((layer.target.place, layer.low), []).append(layer)
    return tuple(fault for some in together.values() for fault in _faults(some, files))


def _faults(layers: Sequence[Layer], files: Mapping[tuple[str, bool], bytes]) -> Iterator[str]:
    first = layers[0]
    read = [_read(layer, files) for layer in layers]
    wanted = Sections.of(first.target)
    levels = {_depth(first, z) for z in wanted.levels if first.low < z < first.high}
    levels |= {0.0, first.thickness}
    for upper, under in read:
        levels |= {min(depth, first.thickness) for _, depth in upper.areas}
        levels |= {max(first.thickness - depth, 0.0) for _, depth in under.areas}
    edges = sorted(levels)
    depths = [(a + b) / 2.0 for a, b in pairwise(edges) if b - a > SAME_LAYER]
    whole = {layer.name: layer for layer in layers}
    spared = _spared(layers)
    for depth in depths:
        section = wanted.at(first.high - depth if first.up == 1 else first.low + depth)
        built = shapely.union_all(
            [_at(layer, *one, depth) for layer, one in zip(layers, read, strict=True)]
        ).buffer(1e-6)
        off = max(_off(section, built, spared), _off(built, section, spared))
        if off > ROUTED_TRUE:
            yield f"{', '.join(whole)}: {off:.3f} mm off the piece, {depth:.2f} mm below its upper face"


def _depth(layer: Layer, z: float) -> float:
    """How deep below a layer's upper face a height of its piece lies."""
    return layer.high - z if layer.up == 1 else z - layer.low


def _read(layer: Layer, files: Mapping[tuple[str, bool], bytes]) -> tuple[Taken, Taken]:
    upper = taken_by(read_router(files[layer.name, False]))
    under = taken_by(read_router(files[layer.name, True])) if layer.under else Taken(Polygon(), ())
    return upper, under


def _at(layer: Layer, upper: Taken, under: Taken, depth: float) -> shapely.Geometry:
    """What is left of a layer at a depth below its upper face, in the piece's own x and y."""
    gone = [area for area, deep in upper.areas if deep > depth]
    left = upper.outline.difference(shapely.union_all(gone)) if gone else upper.outline
    below = [_flipped(area) for area, deep in under.areas if layer.thickness - deep < depth]
    left = left.difference(shapely.union_all(below)) if below else left
    return left if layer.up == 1 else _flipped(left)


def _flipped(area: shapely.Geometry) -> shapely.Geometry:
    return shapely.transform(area, lambda xy: xy * (1.0, -1.0))


def _spared(layers: Sequence[Layer]) -> shapely.Geometry:
    """Discs that are cut beside the piece's own shape."""
    discs = []
    for layer in layers:
        discs += [(at, size / 2.0) for at, size in layer.dowels]
        for sense, cuts in ((layer.up, layer.cuts), (-layer.up, layer.under)):
            discs += [((x, sense * y), r) for cut in cuts for (x, y), r in cut.relieved]
    return shapely.union_all([Point(at).buffer(radius + BESIDE) for at, radius in discs])


def _off(one: shapely.Geometry, other: shapely.Geometry, spared: shapely.Geometry) -> float:
    """How thick at most what the one has and the other lacks is, found by shrinking it away."""
    lacking = one.difference(other)
    if lacking.buffer(-ROUTED_TRUE / 2.0).is_empty:
        return 0.0
    lacking = lacking.difference(spared)
    if lacking.is_empty or lacking.buffer(-ROUTED_TRUE / 2.0).is_empty:
        return 0.0
    low, high = ROUTED_TRUE, 1000.0
    while high - low > ROUTED_TRUE / 10.0 and high > 1.01 * low:
        middle = (low * high) ** 0.5
        low, high = (low, middle) if lacking.buffer(-middle / 2.0).is_empty else (middle, high)
    return high
