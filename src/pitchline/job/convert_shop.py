"""From the table of a sound workshop to the shop that the making steps take: the usual one with what was told."""

from dataclasses import replace
from typing import Any

from pitchline.job.model_shop import PrinterTable, RouterTable, SawTable, ShopTable
from pitchline.job.model_table import Table
from pitchline.kit.units import Unit
from pitchline.making.shop import (
    BAR_INCHES,
    BAR_MM,
    Clamps,
    Printer,
    Rate,
    Router,
    Saw,
    Shop,
    usual_saw,
    usual_shop,
)


def shop_of(table: ShopTable | None, unit: Unit) -> Shop:
    """The shop of a job; the usual one where nothing is said."""
    shop = usual_shop(inches=unit is Unit.INCH)
    if table is None:
        return shop
    own: dict[str, Any] = _told(table, "sander", "hand_sander", "day_hours")
    if table.saws is not None:
        own["saws"] = tuple(_saw(saw) for saw in table.saws)
    if table.clamps is not None:
        own["clamps"] = tuple(Clamps(one.count, one.reach) for one in table.clamps)
    if table.drills is not None:
        own["drills"] = tuple(sorted(table.drills))
    if table.glue is not None:
        own["glue"] = replace(shop.glue, **_told(table.glue))
    if table.printer is not None:
        own["printer"] = _printer(shop.printer, table.printer, BAR_INCHES if unit is Unit.INCH else BAR_MM)
    own["router"] = None if table.no_router else _router(shop.router, table.router)
    if table.minutes is not None:
        own["rates"] = _rates(shop.rates, _told(table.minutes))
    return replace(shop, **own)


def _told(table: Table, *names: str) -> dict[str, Any]:
    """What a table says something of; of these keys only, if any are named."""
    keys = names or tuple(type(table).model_fields)
    return {key: value for key in keys if (value := getattr(table, key)) is not None}


def _saw(table: SawTable) -> Saw:
    told = _told(table)
    del told["kind"]
    return replace(usual_saw(table.kind), **{"id": table.kind.value, **told})


def _router(usual: Router | None, table: RouterTable | None) -> Router | None:
    """A bed that was told is also the largest board, unless that was told too."""
    if usual is None or table is None:
        return usual
    told = _told(table)
    if table.cutters is not None:
        told["cutters"] = tuple(sorted(table.cutters))
    for side in ("length", "width"):
        if f"bed_{side}" in told:
            told.setdefault(f"board_{side}", told[f"bed_{side}"])
    return replace(usual, **told)


def _printer(usual: Printer, table: PrinterTable, bar: float) -> Printer:
    paper = usual.paper if table.paper is None else table.paper.value
    return Printer(paper, (table.bar_across or bar) / bar, (table.bar_along or bar) / bar)


def _rates(usual: tuple[Rate, ...], told: dict[str, Any]) -> tuple[Rate, ...]:
    return tuple(replace(rate, minutes=told.get(rate.id.replace("-", "_"), rate.minutes)) for rate in usual)
