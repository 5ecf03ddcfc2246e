"""Glue-ups in stages: what one person spreads within the open time, and what the shop's clamps hold at once.

Lengths in mm, areas in mm2, times in minutes.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from pitchline.catalogue.shop import load_shop
from pitchline.making.order_parts import BLOCKS, Unit
from pitchline.making.shop import Shop

SPREAD_MINUTES = 2.5
"""Minutes to spread glue on a square metre with a roller or comb (common practice, no source)."""

PLACE_MINUTES = 0.5
"""Minutes to glue one small piece or joint and bring it to its place (common practice, no source)."""

CLOSE_MINUTES = 0.15
"""Minutes to set one clamp (common practice, no source)."""

CAULS = 40.0
"""mm that two cauls add to what a clamp must open (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class GlueUp:
    """One setting of glue and clamps: which pieces, how long its glue is open while working, clamps, remarks."""

    unit: str
    title: str
    places: tuple[str, ...]
    minutes: float
    clamps: int
    remarks: tuple[str, ...] = ()


def stages_of(unit: Unit, glued: Mapping[str, float], shop: Shop) -> tuple[GlueUp, ...]:
    """The glue-ups of a rail of layers: strips with their blocks in lots, then each further layer by itself.

    ``glued`` is the area of glue on each piece. What does not fit into the open time or the clamps is said.
    """
    blocks = [part for part in unit.parts if part.role in BLOCKS]
    layers = [part for part in unit.parts if part.role not in BLOCKS]
    lots = lots_of([part.place for part in blocks], shop)
    made = [
        GlueUp(
            unit.id,
            f"glue blocks {lot[0]} to {lot[-1]} to the strip of rail {unit.id}"
            if len(lot) > 1
            else f"glue block {lot[0]} to the strip of rail {unit.id}",
            tuple(lot),
            PLACE_MINUTES * len(lot),
            min(len(lot), count_of(shop, 0.0)),
        )
        for lot in lots
    ]
    first, *others = layers
    held = [first.place, *(part.place for part in blocks)]
    across = first.thickness
    for layer in others:
        across += layer.thickness
        needed = clamps_needed(layer.length)
        have = count_of(shop, across + CAULS)
        spread = SPREAD_MINUTES * glued.get(layer.place, layer.length * layer.width) * 1e-6
        minutes = spread + CLOSE_MINUTES * min(needed, have)
        made.append(
            GlueUp(
                unit.id,
                f"glue {layer.place} onto rail {unit.id}",
                (*held, layer.place),
                minutes,
                min(needed, have),
                tuple(_short(layer.length, needed, have, minutes, shop)),
            )
        )
        held.append(layer.place)
    return tuple(made)


def lots_of(places: Sequence[str], shop: Shop) -> list[list[str]]:
    """Small pieces in lots that one person glues within the open time, and that the clamps hold."""
    size = max(1, min(int(shop.glue.open_minutes / PLACE_MINUTES), count_of(shop, 0.0)))
    count = math.ceil(len(places) / size)
    return [list(places[k * len(places) // count : (k + 1) * len(places) // count]) for k in range(count)]


def clamps_needed(length: float) -> int:
    """Clamps along a rail, no further apart than the trade asks: one at each end of every space."""
    return math.ceil(length / load_shop().working["clamp-spacing"].high) + 1


def count_of(shop: Shop, opening: float) -> int:
    """How many of the shop's clamps open so far."""
    return sum(one.count for one in shop.clamps if one.reach >= opening)


def _short(length: float, needed: int, have: int, minutes: float, shop: Shop) -> list[str]:
    """What is lacking for a glue-up, in words."""
    said = []
    if have < needed:
        apart = "none" if have < 2 else f"one every {length / (have - 1):.0f} mm"
        said.append(
            f"It wants {needed} clamps and the shop has {have} that open so far ({apart}): borrow the rest, or press "
            "with screws through scrap blocks in what is cut off."
        )
    if minutes > shop.glue.open_minutes:
        said.append(
            f"Spreading and clamping takes about {minutes:.0f} minutes and the glue stays open "
            f"{shop.glue.open_minutes:.0f}: work with two, or take a glue that stays open longer."
        )
    return said
