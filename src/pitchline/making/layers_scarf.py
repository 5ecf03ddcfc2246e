"""Layers longer than the router's bed, parted by scarfs that lie staggered from layer to layer. Lengths in mm.

A scarf runs straight across the piece at one to so many of its width; neighbouring layers are parted so far from one
another that ten thicknesses of sound board lie between (common practice for laps in laminated work: 8 to 10).
"""

import math
from collections.abc import Sequence
from itertools import pairwise

from shapely.geometry import LineString, Point, Polygon

from pitchline.kit.geometry.lines import Point2
from pitchline.kit.geometry.outlines import without_slivers

LAP = 10.0
"""Thicknesses of board between the scarfs of neighbouring layers."""


def scarf_places(
    length: float, bed: float, scarf: float, thickness: float, number: int | None
) -> tuple[float, ...]:
    """Where the middles of scarfs lie along a layer; none where it fits the bed.

    ``scarf`` is their length along the piece, ``number`` the layer's place in its stack, None for a piece by itself.
    ValueError where the bed is too short for any.
    """
    if length <= bed:
        return ()
    sense = 0.0 if number is None else 1.0 if number % 2 else -1.0
    shift = sense * (scarf + LAP * thickness) / 2.0
    for parts in range(2, math.ceil(4.0 * length / bed) + 2):
        places = tuple(length * k / parts + shift for k in range(1, parts))
        ends = (scarf / 2.0, *places, length - scarf / 2.0)
        if all(b - a + scarf <= bed for a, b in pairwise(ends)) and places[0] - scarf / 2.0 > 0.0:
            return places
    raise ValueError("the bed is too short for a scarf")


def parted(wood: Polygon, places: Sequence[float], scarf: float) -> tuple[Polygon, ...]:
    """The pieces that a layer is parted into, from its start."""
    _, low, _, high = wood.bounds
    rest, pieces = wood, []
    for place in places:
        over = scarf / (high - low)
        cut = LineString(((place - scarf / 2.0 - over, low - 1.0), (place + scarf / 2.0 + over, high + 1.0)))
        before = _before(rest, cut)
        pieces.append(without_slivers(rest.intersection(before))[0])
        rest = without_slivers(rest.difference(before))[0]
    return (*pieces, rest)


def _before(wood: Polygon, cut: LineString) -> Polygon:
    (ax, ay), (bx, by) = cut.coords
    left = wood.bounds[0] - abs(bx - ax) - 1.0
    return Polygon(((left, ay), (ax, ay), (bx, by), (left, by)))


def off_scarf(at: Point2, places: Sequence[float], scarf: float, wood: Polygon) -> float:
    """How far a point lies from the nearest scarf of a layer; endless where there is none."""
    _, low, _, high = wood.bounds
    ends = (((x - scarf / 2.0, low), (x + scarf / 2.0, high)) for x in places)
    return min((float(LineString(line).distance(Point(at))) for line in ends), default=math.inf)
