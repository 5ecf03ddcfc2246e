"""What carrying out a plan does to the rack: counted stock that goes, rests that come."""

import hashlib
import json
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from pitchline.kit.cutting.need import BarStock, Need, SheetStock
from pitchline.kit.cutting.plan import CuttingPlan
from pitchline.stock.rack import Rack, RackBar, RackSheet

LEAST_PRICE = 0.01
"""A rest is never free, so that plans do not take it for nothing."""


@dataclass(frozen=True, slots=True)
class Taking:
    """Stock by id that a plan uses up, of counted and uncounted kinds alike, and rests that go on the rack."""

    plan: str
    sheets: dict[str, int]
    bars: dict[str, int]
    new_sheets: tuple[RackSheet, ...]
    new_bars: tuple[RackBar, ...]


def taking_of(plan: CuttingPlan, rack: Rack, name: str) -> Taking:
    """What carrying out this plan does; stock that is not the rack's own is left out. ``name``: see `name_of`."""
    sheets = {one.stock.id: one for one in rack.sheets}
    bars = {one.stock.id: one for one in rack.bars}
    used_sheets = Counter(sheet.stock for sheet in plan.sheets if sheet.stock in sheets)
    used_bars = Counter(bar.stock for bar in plan.bars if bar.stock in bars)
    return Taking(
        name,
        dict(used_sheets),
        dict(used_bars),
        tuple(_sheet_rests(plan, sheets, rack.habits.rest_value)),
        tuple(_bar_rests(plan, bars, rack.habits.rest_value)),
    )


def name_of(need: Need, purpose: str) -> str:
    """What cutting these parts for this purpose is known by on a rack: always the same, whatever plan is made.

    So parts that were cut are not cut a second time by somebody who asks again.
    """
    parts = [
        [part.id, part.quantity, part.length, part.width, part.thickness, part.material]
        for part in need.parts
    ]
    text = json.dumps([purpose, parts], ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def rest_value(stock: SheetStock | BarStock, area: float, share: float) -> float:
    """What a rest of this area (mm2) of a sheet or bar is reckoned at."""
    return max(LEAST_PRICE, share * stock.price * area / (stock.length * stock.width))


def _sheet_rests(plan: CuttingPlan, sheets: dict[str, RackSheet], share: float) -> Iterator[RackSheet]:
    for sheet in plan.sheets:
        known = sheets.get(sheet.stock)
        if known is None:
            continue
        stock = known.stock
        for rest in sheet.rests:
            price = rest_value(stock, rest.area, share)
            yield RackSheet(
                SheetStock(
                    _name(stock.id), rest.length, rest.width, stock.thickness, price, 1, True, stock.material
                ),
                known.nominal,
            )


def _bar_rests(plan: CuttingPlan, bars: dict[str, RackBar], share: float) -> Iterator[RackBar]:
    for bar in plan.bars:
        known = bars.get(bar.stock)
        if known is None or bar.rest is None:
            continue
        stock = known.stock
        length = bar.rest[1] - bar.rest[0]
        price = rest_value(stock, length * stock.width, share)
        yield RackBar(
            BarStock(_name(stock.id), length, stock.width, stock.thickness, price, 1, True, stock.material),
            known.moulded,
        )


def _name(stock: str) -> str:
    """What a rest is called after the stock it is of; rests of rests keep the first name."""
    return stock.split(" rest ", maxsplit=1)[0] + " rest"
