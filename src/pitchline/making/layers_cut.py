"""One layer of a piece as the router gets it: face up, cuts, tabs, trim lines, scarfs. Lengths in mm."""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from shapely.geometry import LineString, Polygon

from pitchline.kit.geometry.contours import Arc, Contour, Piece, Straight
from pitchline.kit.geometry.lines import Point2
from pitchline.kit.geometry.outlines import from_shapely, without_slivers
from pitchline.kit.tolerances import SAME_LAYER, SAME_PART
from pitchline.kit.words import Words
from pitchline.making.layers_dowels import dowel_holes
from pitchline.making.layers_regions import base_area, removals
from pitchline.making.layers_scarf import off_scarf, parted, scarf_places
from pitchline.making.layers_slice import (
    Slice,
    cuts_of,
    pocket_cut,
    reversed_contour,
    slice_of,
    widest_cutter,
)
from pitchline.making.layers_tabs import tabs_of
from pitchline.making.router import Cut, Layer, Score, Stack, Way
from pitchline.making.router_target import NotForRouterError, Target
from pitchline.making.routing import Holding, Routing
from pitchline.making.shop import Router

REACH = 0.05
"""mm by which a relief is wider than the cutter, so that the cutter passes it; a pocket that is open to an edge runs
past it by that radius, which is less than what is left between nested pieces."""

DOWEL_CLEAR = 1.5
"""Diameters from the middle of a dowel to a scarf below which the layer has no hole for it."""


PLAIN_WORDS = Words()
"""Lengths in mm."""


@dataclass(frozen=True)
class Taking:
    """A layer to be taken from a target between two heights, with its dowels and between which heights they go."""

    name: str
    target: Target
    heights: tuple[float, float]
    dowels: tuple[Point2, ...]
    dowel_reach: tuple[float, float]
    number: int | None
    words: Words = PLAIN_WORDS


def layers_of_target(
    taking: Taking, router: Router, routing: Routing, drills: Sequence[float]
) -> tuple[Layer, ...]:
    """The pieces of one layer: one where it hangs together and fits the bed. NotForRouterError where none does."""
    part, (low, high) = taking.target.part, taking.heights
    base, mm = base_area(part), taking.words.mm
    left, below, right, above = base.bounds
    if above - below > router.bed_width:
        raise NotForRouterError(
            f"it is {mm(above - below)} wide, and the router's bed with its margins off {mm(router.bed_width)}"
        )
    scarf = routing.scarf * (above - below)
    try:
        places = scarf_places(right - left, router.bed_length, scarf, high - low, taking.number)
    except ValueError as short:
        raise NotForRouterError(f"it is {mm(right - left)} long, and {short}") from short
    dowels = tuple(
        at for at in taking.dowels if off_scarf(at, places, scarf, base) > DOWEL_CLEAR * routing.dowel
    )
    a, b = taking.dowel_reach
    taken = [*removals(part), *dowel_holes(dowels, routing.dowel, a, b)]
    found = slice_of(base, taken, low, high)
    woods = [piece for wood in found.wood for piece in (parted(wood, places, scarf) if places else (wood,))]
    pieces = []
    for number, wood in enumerate(woods, start=1):
        name = taking.name if len(woods) == 1 else f"{taking.name}.{number}"
        pieces.append(_piece(name, taking, (found, wood, places, dowels), router, routing, drills))
    return tuple(pieces)


def _piece(
    name: str,
    taking: Taking,
    cut: tuple[Slice, Polygon, tuple[float, ...], tuple[Point2, ...]],
    router: Router,
    routing: Routing,
    drills: Sequence[float],
) -> Layer:
    found, wood, places, dowels = cut
    low, high = taking.heights
    above, below = (
        tuple((area, depth) for area, depth in pockets if area.intersects(wood))
        for pockets in (found.above, found.below)
    )
    own = replace(found, wood=(wood,), above=above, below=below)
    cutter, enters = widest_cutter(own, router.cutters, high - low, drills)
    radius = cutter / 2.0 + REACH
    near = wood.buffer(radius, join_style="mitre")
    through, rounded = cuts_of(wood, found.pattern, high - low, radius, routing.corners, drills)
    from_above, from_below = (
        tuple(
            _pocket(piece, depth, radius, routing, wood, drills)
            for area, depth in pockets
            for piece in without_slivers(area if near.covers(area) else area.intersection(near))
        )
        for pockets in (above, below)
    )
    up = -1 if from_below and not from_above else 1
    first, second = (from_above, from_below) if up == 1 else (from_below, from_above)
    cuts = tuple(_seen(one, up) for one in (*first, *through))
    tabs = (
        tuple(tab for one in cuts for tab in tabs_of(one, routing.tab + cutter))
        if routing.holding is Holding.TABS
        else ()
    )
    remarks = [
        *taking.target.left,
        *_remarks(found, router, high - low, taking.words, enters=enters, rounded=len(rounded)),
    ]
    if places:
        remarks.append(f"scarf to its neighbour at 1 to {routing.scarf:g}")
    return Layer(
        name=name,
        target=taking.target.part,
        low=low,
        high=high,
        up=up,
        outline=(from_shapely(wood),),
        cuts=cuts,
        under=tuple(_seen(one, -up) for one in second),
        tabs=tabs,
        scores=tuple(_scores(taking.target, wood, up)),
        cutter=cutter,
        dowels=tuple((at, routing.dowel) for at in dowels),
        places=(taking.target.part.place,),
        remarks=tuple(remarks),
        scarfed=places,
        number=taking.number or 0,
    )


def _pocket(
    area: Polygon, depth: float, radius: float, routing: Routing, wood: Polygon, drills: Sequence[float]
) -> Cut:
    made = pocket_cut(area, depth, radius, routing.corners, (wood,))
    sizes = made.contour.extent(0.0)
    is_round = all(isinstance(piece, Arc) for piece in made.contour.pieces)
    if is_round and sizes[1] - sizes[0] <= max(2.0 * radius, *drills, 0.0):
        return replace(made, way=Way.BORE)
    return made


def _remarks(
    found: Slice, router: Router, thickness: float, words: Words, *, enters: bool, rounded: int
) -> Iterator[str]:
    if found.buried:
        yield "something inside the board cannot be reached from either face: bore or chop it before gluing"
    if thickness > router.depth:
        yield f"deeper than the cutters reach ({words.mm(router.depth)}): cut half from each face, or finish by saw"
    if not enters:
        yield "an opening is narrower than the smallest cutter: bore or saw it"
    if rounded:
        yield f"{rounded} inside corners stay round: pare them or round what goes in"


def _scores(target: Target, wood: Polygon, up: int) -> Iterator[Score]:
    """Where a piece left long is trimmed to: its far end as designed."""
    if not target.trimmed:
        return
    for plane in target.trimmed:
        (x, y, _), (nx, ny, _) = plane.point, plane.normal
        long = target.part.width * 4.0 + 100.0
        line = LineString(((x + ny * long, y - nx * long), (x - ny * long, y + nx * long)))
        seen = line.intersection(Polygon(wood.exterior))
        if seen.geom_type == "LineString" and seen.length > SAME_LAYER:
            (ax, ay), (bx, by) = seen.coords[0], seen.coords[-1]
            yield Score((ax, up * ay), (bx, up * by))


def _seen(cut: Cut, up: int) -> Cut:
    """A cut as one sees it from the face that lies up, its path running the same way round."""
    if up == 1:
        return cut
    relieved = tuple(((x, -y), r) for (x, y), r in cut.relieved)
    return replace(cut, contour=reversed_contour(mirrored(cut.contour)), relieved=relieved)


def mirrored(contour: Contour) -> Contour:
    """The contour seen from behind: y the other way."""
    return Contour(tuple(map(_mirrored, contour.pieces)))


def _mirrored(piece: Piece) -> Piece:
    if isinstance(piece, Straight):
        return Straight((piece.start[0], -piece.start[1]), (piece.end[0], -piece.end[1]))
    return Arc((piece.centre[0], -piece.centre[1]), piece.radius, -piece.begins, -piece.sweep)


def named(layers: Iterable[Layer], stacks: Iterable[Stack]) -> tuple[tuple[Layer, ...], tuple[Stack, ...]]:
    """Layers cut alike put together under one name, and the stacks with those names.

    The name is the mark of the pieces where that tells them apart, else that of the first place.
    """
    batches: list[list[Layer]] = []
    for layer in layers:
        same = next((batch for batch in batches if _alike(batch[0], layer)), None)
        if same is None:
            batches.append([layer])
        else:
            same.append(layer)
    names: dict[str, str] = {}
    made: list[Layer] = []
    used: set[str] = set()
    for same in batches:
        first = same[0]
        marks = {layer.target.mark for layer in same}
        name = first.name
        if len(same) > 1 and len(marks) == 1:
            (mark,) = marks
            name = first.name.replace(first.target.place, mark, 1)
        name = name if name not in used else first.name
        used.add(name)
        names.update({layer.name: name for layer in same})
        places = tuple(layer.name for layer in same) if len(same) > 1 else first.places
        made.append(replace(first, name=name, places=places))
    glued = tuple(
        replace(stack, layers=tuple(replace(one, name=names[one.name]) for one in stack.layers))
        for stack in stacks
    )
    return tuple(made), glued


def _alike(a: Layer, b: Layer) -> bool:
    """Whether two layers are cut alike: the same cuts of the same boards, every point within a hair."""
    told = [(one.material, one.cutter, one.remarks, len(one.cuts), len(one.under)) for one in (a, b)]
    if told[0] != told[1] or abs(a.thickness - b.thickness) > SAME_PART:
        return False
    pairs = zip((*a.cuts, *a.under), (*b.cuts, *b.under), strict=True)
    return all(_same_cut(one, other) for one, other in pairs)


def _same_cut(a: Cut, b: Cut) -> bool:
    ways = a.way is b.way and abs(a.depth - b.depth) <= SAME_PART
    if not ways or len(a.contour.pieces) != len(b.contour.pieces):
        return False
    return all(
        type(p) is type(q) and math.dist(p.start, q.start) <= SAME_PART
        for p, q in zip(a.contour.pieces, b.contour.pieces, strict=True)
    )
