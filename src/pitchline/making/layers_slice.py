"""A layer of a piece: its outline, what is cut right through, what is pocketed from either face. Lengths in mm."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import shapely
from shapely.geometry import Point, Polygon

from pitchline.kit.geometry.arcs_found import as_circle, with_arcs
from pitchline.kit.geometry.contours import Contour
from pitchline.kit.geometry.lines import Point2
from pitchline.kit.geometry.outlines import Points, anticlockwise, without_slivers
from pitchline.kit.geometry.relief_kinds import Relief
from pitchline.kit.geometry.reliefs import relieved
from pitchline.kit.tolerances import SAME_LAYER, SLIVER
from pitchline.making.layers_regions import Removal
from pitchline.making.router import Cut, Way


@dataclass(frozen=True)
class Slice:
    """What is left of a board and what is cut into it, areas in the piece's x and y.

    ``wood`` is one area for each piece that hangs together; ``pattern`` are openings that nothing mates with.
    ``above`` and ``below`` are pockets with their depth from the face towards +Z and the one towards -Z; ``buried``
    is how many areas no cutter can reach from either face.
    """

    wood: tuple[Polygon, ...]
    pattern: tuple[Polygon, ...]
    above: tuple[tuple[Polygon, float], ...]
    below: tuple[tuple[Polygon, float], ...]
    buried: int


def slice_of(base: Polygon, taken: Sequence[Removal], low: float, high: float) -> Slice:
    """The layer between two heights of a piece."""
    through, above, below = [], [], []
    pattern = []
    buried = 0
    for removal in taken:
        a, b = max(removal.low, low), min(removal.high, high)
        if b - a <= SAME_LAYER:
            continue
        at_top, at_bottom = high - b <= SAME_LAYER, a - low <= SAME_LAYER
        if at_top and at_bottom:
            through.append(removal.area)
            if not removal.mates:
                pattern.append(removal.area)
        elif at_top:
            above.append((removal.area, high - a))
        elif at_bottom:
            below.append((removal.area, b - low))
        elif removal.area.intersects(base):
            buried += 1
    wood = base if not through else shapely.difference(base, shapely.union_all(through))
    return Slice(
        tuple(without_slivers(wood)),
        tuple(pattern),
        tuple(_merged(above, base)),
        tuple(_merged(below, base)),
        buried,
    )


def _merged(pockets: Sequence[tuple[Polygon, float]], base: Polygon) -> Iterator[tuple[Polygon, float]]:
    """Pockets of one depth together; those that miss the piece are left out."""
    depths: dict[float, list[Polygon]] = {}
    for area, depth in pockets:
        if shapely.intersection(area, base).area > SLIVER:
            depths.setdefault(round(depth, 4), []).append(area)
    for depth, areas in sorted(depths.items()):
        for one in without_slivers(shapely.union_all(areas)):
            yield one, depth


def widest_cutter(
    cuts: Slice, cutters: Sequence[float], thickness: float, drills: Sequence[float]
) -> tuple[float, bool]:
    """The largest cutter that gets into every opening, pocket and recess, and whether one does at all.

    None is wider than half the board where a smaller one is at hand, so that reliefs stay small; what is bored asks
    for no cutter.
    """
    voids = [Polygon(ring) for wood in cuts.wood for ring in wood.interiors]
    voids += [area for area, _ in (*cuts.above, *cuts.below)]
    voids = [one for one in voids if not _drilled(one, drills)]
    for wood in cuts.wood:
        recesses = shapely.difference(Polygon(wood.exterior).convex_hull, Polygon(wood.exterior))
        voids += [one for one in without_slivers(recesses) if one.area > 1.0]
    small = [cutter for cutter in cutters if cutter <= thickness / 2.0] or [min(cutters)]
    for cutter in sorted(small, reverse=True):
        if all(_enters(void, cutter) for void in voids):
            return cutter, True
    return min(cutters), False


def _drilled(void: Polygon, drills: Sequence[float]) -> bool:
    found = as_circle(with_arcs(_ring(void.exterior.coords)))
    return found is not None and any(abs(2.0 * found[1] - drill) <= SLIVER for drill in drills)


def _enters(void: Polygon, cutter: float) -> bool:
    inner = void.buffer(-cutter / 2.0 + SLIVER)
    return not inner.is_empty and inner.geom_type == "Polygon"


def cuts_of(
    wood: Polygon,
    pattern: Sequence[Polygon],
    depth: float,
    radius: float,
    style: Relief,
    drills: Sequence[float],
) -> tuple[tuple[Cut, ...], tuple[Point2, ...]]:
    """The openings of a piece, then its outline, and the corners that stay round.

    ``radius`` is what corners are relieved by. Round openings that a drill fits or that are smaller than the cutter
    are bored.
    """
    made: list[Cut] = []
    left: list[Point2] = []
    for ring in sorted(wood.interiors, key=lambda one: tuple(round(v, 1) for v in one.bounds)):
        contour = with_arcs(_clockwise(_ring(ring.coords)))
        round_one = as_circle(contour)
        if round_one is not None and _is_bored(2.0 * round_one[1], radius, drills):
            made.append(Cut(Way.BORE, contour, depth))
            continue
        free = Relief.ROUND if _is_pattern(ring, pattern) else style
        done = relieved(contour, radius, free)
        made.append(Cut(Way.INSIDE, done.contour, depth, done.discs))
        left += done.left_round if free is not Relief.ROUND else ()
    outside = relieved(with_arcs(anticlockwise(_ring(wood.exterior.coords))), radius, style)
    made.append(Cut(Way.OUTSIDE, outside.contour, depth, outside.discs))
    return tuple(made), (*left, *outside.left_round)


def pocket_cut(area: Polygon, depth: float, radius: float, style: Relief, wood: Sequence[Polygon]) -> Cut:
    """A pocket; its corners inside the wood are relieved. An island in it is left standing by the maker."""
    ring = anticlockwise(_ring(area.exterior.coords))
    contour = with_arcs(ring)
    if as_circle(contour) is not None:
        return Cut(Way.POCKET, contour, depth)

    def inside(corner: Point2) -> bool:
        return any(one.distance(Point(corner)) <= SLIVER for one in wood)

    backwards = relieved(reversed_contour(contour), radius, style, inside)
    return Cut(Way.POCKET, reversed_contour(backwards.contour), depth, backwards.discs)


def reversed_contour(contour: Contour) -> Contour:
    """The same contour travelled the other way."""
    return Contour(tuple(piece.reversed() for piece in reversed(contour.pieces)))


def _is_bored(diameter: float, radius: float, drills: Sequence[float]) -> bool:
    return diameter <= 2.0 * radius or any(abs(diameter - drill) <= SLIVER for drill in drills)


def _is_pattern(ring: shapely.LinearRing, pattern: Sequence[Polygon]) -> bool:
    own = Polygon(ring)
    return any(shapely.symmetric_difference(own, one).area <= SLIVER * own.length for one in pattern)


def _ring(coords: Sequence[tuple[float, ...]]) -> Points:
    """A ring's corners from the one furthest back, so that like pieces are drawn alike."""
    points = tuple((float(x), float(y)) for x, y in coords[:-1])
    first = min(range(len(points)), key=lambda k: points[k][0] + FIRST * points[k][1])
    return (*points[first:], *points[:first])


FIRST = 0.37
"""How much y counts beside x for which corner is the first: no edge of a piece is likely to run that way."""


def _clockwise(points: Points) -> Points:
    return tuple(reversed(anticlockwise(points)))
