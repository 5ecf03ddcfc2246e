"""Layers laid out on sheets for the router: every one as often as it is wanted, room for the cutter between them."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from pitchline.catalogue.timber import list_timbers, load_timber
from pitchline.kit.cutting.need import SheetStock
from pitchline.kit.cutting.nests import NestOrder, NestPlan, Shape, check_nest
from pitchline.kit.cutting.nests_search import nest_shapes
from pitchline.kit.geometry.outlines import Points, anticlockwise
from pitchline.kit.tolerances import SHEET_TAKEN_FOR
from pitchline.making.router import Layer
from pitchline.making.routing import Routing
from pitchline.making.shop import Router


@dataclass(frozen=True)
class LayerNest:
    """The sheets of one material and thickness with the layers on them; ``cutter`` is the one for all of them."""

    material: str
    thickness: float
    order: NestOrder
    plan: NestPlan
    cutter: float


LIES, TURNED = (0.0,), (0.0, 90.0)
"""Along the grain as they are drawn, so that every arrow on a sheet points the same way; of boards without grain also
across."""

CELLS = 200
"""Across the narrowest sheet: a nest for the pack is there at once; a saw's width of waste between pieces pays it."""


def nest_layers(
    layers: Sequence[Layer],
    sheets: Sequence[SheetStock],
    router: Router,
    routing: Routing,
    seconds: float,
) -> tuple[LayerNest, ...]:
    """A nest for every material and thickness that sheets are there for. RuntimeError if one fails its check."""
    groups = _by_board(layers, sheets)
    made = []
    for (material, thickness), (some, stocks) in groups.items():
        cutter = min(layer.cutter for layer in some)
        angles = LIES if _has_grain(material) else TURNED
        shapes = tuple(
            Shape(layer.name, seen_outline(layer), quantity=layer.quantity, angles_deg=angles)
            for layer in some
        )
        order = NestOrder(
            shapes,
            tuple(on_bed(stock, router) for stock in stocks),
            clearance=cutter + routing.room,
            margin=routing.margin + cutter,
        )
        plan = nest_shapes(order, seconds / len(groups), cells_across=CELLS)
        faults = check_nest(order, plan)
        if faults:
            raise RuntimeError("a nest failed its own check: " + "; ".join(faults))
        made.append(LayerNest(material, thickness, order, plan, cutter))
    return tuple(made)


def seen_outline(layer: Layer) -> Points:
    """A layer's outline as it lies on the router, anticlockwise."""
    (ring,) = layer.outline
    return anticlockwise(tuple((x, layer.up * y) for x, y in ring))


def on_bed(stock: SheetStock, router: Router) -> SheetStock:
    """As much of a sheet as the router reaches in one setting up."""
    return replace(
        stock, length=min(stock.length, router.bed_length), width=min(stock.width, router.bed_width)
    )


def longest(sheets: Iterable[SheetStock]) -> Mapping[str, float]:
    """The length of the longest sheet of each material."""
    found: dict[str, float] = {}
    for sheet in sheets:
        found[sheet.material] = max(sheet.length, found.get(sheet.material, 0.0))
    return found


def fits(sheet: SheetStock, layer: Layer) -> bool:
    """Whether a layer may be cut from a sheet: its material, and its thickness within what sheets differ by."""
    alike = sheet.material == layer.material
    return alike and abs(sheet.thickness - layer.thickness) <= SHEET_TAKEN_FOR


def _by_board(
    layers: Sequence[Layer], sheets: Sequence[SheetStock]
) -> dict[tuple[str, float], tuple[list[Layer], list[SheetStock]]]:
    groups: dict[tuple[str, float], tuple[list[Layer], list[SheetStock]]] = {}
    for layer in layers:
        fitting = [sheet for sheet in sheets if fits(sheet, layer)]
        if fitting:
            key = (layer.material, round(layer.thickness, 1))
            groups.setdefault(key, ([], fitting))[0].append(layer)
    return groups


def _has_grain(material: str) -> bool:
    return material not in list_timbers() or load_timber(material).kind != "fibreboard"
