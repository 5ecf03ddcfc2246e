"""What a plan comes to: what is to be bought or taken, how much becomes parts, what is left to keep."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from pitchline.kit.cutting.bars_layout import settings
from pitchline.kit.cutting.bars_task import reach
from pitchline.kit.cutting.need import BarStock, Need, Piece, SheetStock
from pitchline.kit.cutting.plan import CuttingPlan


@dataclass(frozen=True, slots=True)
class Purchase:
    """So many of one stock: to be bought, or (an offcut) taken from the rack."""

    stock: BarStock | SheetStock
    quantity: int

    @property
    def cost(self) -> float:
        """Of all of them."""
        return self.quantity * self.stock.price

    @property
    def volume(self) -> float:
        """Of all of them, in mm3."""
        stock = self.stock
        return self.quantity * stock.length * stock.width * stock.thickness


@dataclass(frozen=True, slots=True)
class Balance:
    """Shares of the stock: parts, rests worth keeping, waste."""

    parts: float
    kept: float

    @property
    def waste(self) -> float:
        """Offcuts too small to keep, trimmings and sawdust."""
        return max(0.0, 1.0 - self.parts - self.kept)


def purchases(need: Need, plan: CuttingPlan) -> tuple[Purchase, ...]:
    """What the plan uses, in the order of the need: sheets, then bars."""
    used = Counter(("sheet", sheet.stock) for sheet in plan.sheets)
    used.update(("bar", bar.stock) for bar in plan.bars)
    sheets = [Purchase(stock, used["sheet", stock.id]) for stock in need.sheets]
    bars = [Purchase(stock, used["bar", stock.id]) for stock in need.bars]
    return tuple(purchase for purchase in [*sheets, *bars] if purchase.quantity)


def balance(need: Need, plan: CuttingPlan) -> Balance:
    """How the stock is divided, by volume; where no thickness is told it counts as 1."""
    volumes = {part.id: _volume(part) for part in need.parts}
    pieces = [piece.part for sheet in plan.sheets for piece in sheet.pieces]
    pieces += [piece.part for bar in plan.bars for piece in bar.pieces]
    parts = sum(volumes[name] for name in pieces)
    sheets = {stock.id: stock for stock in need.sheets}
    bars = {stock.id: stock for stock in need.bars}
    kept, whole = 0.0, 0.0
    for sheet in plan.sheets:
        thick = sheets[sheet.stock].thickness or 1.0
        whole += sheet.length * sheet.width * thick
        kept += sum(rest.area for rest in sheet.rests) * thick
    for bar in plan.bars:
        section = bars[bar.stock].width * (bars[bar.stock].thickness or 1.0)
        whole += bar.length * section
        kept += (bar.rest[1] - bar.rest[0]) * section if bar.rest else 0.0
    return Balance(parts / whole, kept / whole) if whole else Balance(0.0, 0.0)


def _volume(part: Piece) -> float:
    """Of one piece with its end cuts: its section times its length along the middle."""
    section = (part.width, part.thickness)
    middle = part.length - sum(reach(end, section) for end in part.ends)
    return middle * part.width * (part.thickness or 1.0)


def answer(plan: CuttingPlan) -> dict[str, Any]:
    """The plan as the answer document: plain values, lengths in mm."""
    return {
        "schema": "pitchline-plan/1",
        "cost": plan.cost,
        "lower_bound": plan.lower_bound,
        "gap": plan.gap,
        "seconds": plan.seconds,
        "settings": settings(plan.bars),
        "late": plan.late,
        "stopped": plan.stopped,
        "sheets": list(_sheets(plan)),
        "bars": list(_bars(plan)),
        "merchant": [
            {
                "stock": one.stock,
                "count": one.count,
                "widths": list(one.widths),
                "marks": list(one.marks),
                "rest": one.rest,
            }
            for one in plan.ripped
        ],
        "unplaced": [{"part": one.part, "quantity": one.quantity, "why": one.why} for one in plan.unplaced],
    }


def _sheets(plan: CuttingPlan) -> Iterator[dict[str, Any]]:
    for sheet in plan.sheets:
        yield {
            "stock": sheet.stock,
            "length": sheet.length,
            "width": sheet.width,
            "pieces": [
                {
                    "part": piece.part,
                    "x": piece.x,
                    "y": piece.y,
                    "length": piece.length,
                    "width": piece.width,
                    "turned": piece.turned,
                }
                for piece in sheet.pieces
            ],
            "offcuts": [
                {"x": rest.x, "y": rest.y, "length": rest.length, "width": rest.width} for rest in sheet.rests
            ],
        }


def _bars(plan: CuttingPlan) -> Iterator[dict[str, Any]]:
    for bar in plan.bars:
        yield {
            "stock": bar.stock,
            "length": bar.length,
            "pieces": [
                {
                    "part": piece.part,
                    "start": piece.start,
                    "end": piece.end,
                    "turned": piece.turned,
                    "turned_over": piece.over,
                    "ends": [{"mitre_deg": end.mitre_deg, "bevel_deg": end.bevel_deg} for end in piece.ends],
                }
                for piece in bar.pieces
            ],
            "offcut": None if bar.rest is None else {"start": bar.rest[0], "end": bar.rest[1]},
        }
