"""Strips ripped by the merchant and cross-cut at home: two stages, with two saws and a list for each.

The merchant's saw rips the whole sheet along its length; at home nothing but cross-cuts is left to do, and ripping
a piece narrower where the home workshop can.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import pairwise
from time import monotonic

from pitchline.kit.cutting.need import SheetOrder
from pitchline.kit.cutting.plan import CutSheet, SheetPiece, SheetPlan
from pitchline.kit.cutting.sheets import Kerfs, plan_with_kerfs
from pitchline.kit.tolerances import CUT_FITS


@dataclass(frozen=True, slots=True)
class HomeStrip:
    """A strip as it comes home: its width, and what is cut from it from the datum end on.

    ``marks`` are the running marks of the far ends of the pieces, from the strip's trimmed end, mm.
    ``to_rip`` are the pieces that are narrower than the strip.
    """

    width: float
    pieces: tuple[SheetPiece, ...]
    marks: tuple[float, ...]
    to_rip: tuple[SheetPiece, ...]


@dataclass(frozen=True, slots=True)
class RippedSheet:
    """What the merchant is asked for: ``count`` sheets of a stock ripped alike.

    ``widths`` from the datum edge, which is trimmed first; ``marks`` are running marks of the strips' far edges from
    the trimmed edge, mm. ``usable`` is the width between the trimmed edges, ``rest`` what is left of it after the
    last rip, 0 when there is nothing.
    """

    stock: str
    length: float
    width: float
    count: int
    widths: tuple[float, ...]
    marks: tuple[float, ...]
    usable: float
    rest: float

    @property
    def cuts(self) -> int:
        """Rips on one sheet after trimming: one for each strip, none for one that ends at the trimmed edge."""
        return len(self.widths) - (self.usable - self.marks[-1] <= CUT_FITS)


@dataclass(frozen=True, slots=True)
class StripPlan:
    """The plan, the merchant's list, and the strips of every sheet of the plan in its order."""

    plan: SheetPlan
    merchant: tuple[RippedSheet, ...]
    home: tuple[tuple[HomeStrip, ...], ...]


def plan_strips(
    order: SheetOrder,
    home_kerf: float,
    seconds: float,
    seed: int = 0,
    *,
    home_rips: bool = True,
    clock: Callable[[], float] = monotonic,
) -> StripPlan:
    """The cheapest plan in which the merchant rips (``order.saw.kerf``) and cross-cuts are made with ``home_kerf``.

    Without ``home_rips`` all pieces of a strip are as wide as the strip. The plan's bound is for this way of cutting.
    """
    ripped = replace(order, saw=replace(order.saw, stages=2, first="rip"))
    kerfs = Kerfs.from_mm(home_kerf, order.saw.kerf)
    plan = plan_with_kerfs(ripped, kerfs, seconds, seed, exact=not home_rips, clock=clock)
    trims = {stock.id: order.trim_of(stock) for stock in order.stocks}
    home = tuple(_strips(sheet, trims[sheet.stock]) for sheet in plan.sheets)
    lists: dict[tuple[str, tuple[float, ...]], list[int]] = {}
    for place, strips in enumerate(home):
        key = (plan.sheets[place].stock, tuple(strip.width for strip in strips))
        lists.setdefault(key, []).append(place)
    merchant = tuple(
        _ripped(plan.sheets[places[0]], home[places[0]], len(places), trims[stock], order.saw.kerf)
        for (stock, _), places in lists.items()
    )
    return StripPlan(plan, merchant, home)


def _strips(sheet: CutSheet, trim: float) -> tuple[HomeStrip, ...]:
    """The strips of a sheet, from the datum edge on: pieces of a strip begin at the same edge."""
    found: dict[float, list[SheetPiece]] = {}
    for piece in sheet.pieces:
        near = [y for y in found if abs(y - piece.y) <= CUT_FITS]
        found.setdefault(near[0] if near else piece.y, []).append(piece)
    strips = []
    for _, pieces in sorted(found.items()):
        pieces.sort(key=lambda piece: piece.x)
        width = max(piece.width for piece in pieces)
        strips.append(
            HomeStrip(
                width,
                tuple(pieces),
                tuple(piece.x + piece.length - trim for piece in pieces),
                tuple(piece for piece in pieces if piece.width < width - CUT_FITS),
            )
        )
    return tuple(strips)


def _ripped(
    sheet: CutSheet, strips: tuple[HomeStrip, ...], count: int, trim: float, kerf: float
) -> RippedSheet:
    widths = tuple(strip.width for strip in strips)
    ends = [0.0]
    for width in widths:
        ends.append(ends[-1] + width + kerf)
    marks = tuple(start + width for (start, _), width in zip(pairwise(ends), widths, strict=True))
    usable = sheet.width - 2.0 * trim
    rest = max(0.0, usable - ends[-1])
    return RippedSheet(sheet.stock, sheet.length, sheet.width, count, widths, marks, usable, rest)
