"""Everything of a design that goes to the router: its layers and their nests, from what is measured and at hand."""

from collections.abc import Sequence
from dataclasses import dataclass

from pitchline.catalogue.boards import list_boards, load_board
from pitchline.design.makings import Stacked
from pitchline.design.model import Design
from pitchline.kit.cutting.need import SheetStock
from pitchline.kit.words import Words
from pitchline.making.layers import Machine, router_work
from pitchline.making.layers_nest import LayerNest, fits, longest, nest_layers
from pitchline.making.router import Layer, RouterWork
from pitchline.making.routing import Routing
from pitchline.making.shop import Shop
from pitchline.parts.part import Part

PLAIN_WORDS = Words()
"""Lengths in mm."""

NEST_SECONDS = 0.1
"""How long a better nest is looked for in a pack."""


@dataclass(frozen=True, eq=False)
class Routed:
    """The layers of a design, and the sheets they are nested on: none where no sheets are told."""

    work: RouterWork
    nests: tuple[LayerNest, ...]
    routing: Routing


def routed(
    designs: Sequence[Design],
    legs: Sequence[Sequence[Part]],
    shop: Shop,
    routing: Routing,
    sheets: Sequence[SheetStock],
    seconds: float = NEST_SECONDS,
    words: Words = PLAIN_WORDS,
) -> Routed | None:
    """What a router cuts of a design; None where there is no router or nothing for it."""
    if shop.router is None:
        return None
    machine = Machine(shop.router, routing, measured(designs, sheets), shop.drills, longest(sheets), words)
    work = router_work(legs, machine)
    if not work.layers and not work.left_out:
        return None
    stocks = [*sheets, *usual_sheets(work.layers, sheets)]
    return Routed(work, nest_layers(work.layers, stocks, shop.router, routing, seconds), routing)


def usual_sheets(layers: Sequence[Layer], sheets: Sequence[SheetStock]) -> tuple[SheetStock, ...]:
    """Sheets of the catalogue for layers that the rack has none for: as many as are wanted, each counted as one."""
    found: dict[str, SheetStock] = {}
    for layer in layers:
        if any(fits(sheet, layer) for sheet in sheets):
            continue
        for name in list_boards():
            board = load_board(name)
            size = (board.length.value, board.width.value, layer.thickness)
            if board.material == layer.material and board.real.low <= layer.thickness <= board.real.high:
                found.setdefault(name, SheetStock(board.name, *size, price=1.0, material=board.material))
    return tuple(found.values())


def measured(designs: Sequence[Design], sheets: Sequence[SheetStock]) -> dict[str, tuple[float, ...]]:
    """Thicknesses of board by material, as measured: those that the designs are made for, then the rack's."""
    found: dict[str, list[float]] = {}
    for design in designs:
        if isinstance(design.making, Stacked):
            found.setdefault(design.making.material, []).append(design.making.layer_thickness)
    for sheet in sheets:
        found.setdefault(sheet.material, []).append(sheet.thickness)
    return {material: tuple(dict.fromkeys(some)) for material, some in found.items()}
