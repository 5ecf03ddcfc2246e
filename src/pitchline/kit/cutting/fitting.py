"""Which parts go on which stock at all, and one sentence about each that goes on none."""

from collections.abc import Callable, Iterable
from dataclasses import replace

from pitchline.kit.cutting.need import BarOrder, BarStock, Piece, SheetOrder, SheetStock
from pitchline.kit.cutting.plan import Shortage
from pitchline.kit.tolerances import CUT_FITS

Show = Callable[[float], str]
"""How a length is written for a person."""

in_mm: Show = "{:.1f} mm".format


def fits_bar(order: BarOrder, part: Piece, stock: BarStock) -> bool:
    """Whether a part goes on an empty bar."""
    return part.length <= order.usable(stock) + CUT_FITS


def fits_sheet(order: SheetOrder, part: Piece, stock: SheetStock) -> bool:
    """Whether a part goes on an empty sheet, turned by a quarter if its grain allows it."""
    trim = order.trim_of(stock)
    length, width = stock.length - 2.0 * trim + CUT_FITS, stock.width - 2.0 * trim + CUT_FITS
    if part.length <= length and part.width <= width:
        return True
    return not part.keep_grain and part.width <= length and part.length <= width


def without_unfit_bars(order: BarOrder, show: Show = in_mm) -> tuple[BarOrder, tuple[Shortage, ...]]:
    """The order without parts that are longer than every bar, and what is to be said of those."""
    unfit = [part for part in order.parts if not any(fits_bar(order, part, s) for s in order.stocks)]
    return replace(order, parts=_others(order.parts, unfit)), tuple(
        Shortage(part.id, part.quantity, _too_long(order, part, show)) for part in unfit
    )


def without_unfit_sheets(order: SheetOrder, show: Show = in_mm) -> tuple[SheetOrder, tuple[Shortage, ...]]:
    """The order without parts that are larger than every sheet, and what is to be said of those."""
    unfit = [part for part in order.parts if not any(fits_sheet(order, part, s) for s in order.stocks)]
    return replace(order, parts=_others(order.parts, unfit)), tuple(
        Shortage(part.id, part.quantity, _too_large(order, part, show)) for part in unfit
    )


def _others(parts: Iterable[Piece], unfit: list[Piece]) -> tuple[Piece, ...]:
    return tuple(part for part in parts if part not in unfit)


def _too_long(order: BarOrder, part: Piece, show: Show) -> str:
    longest = max(order.stocks, key=order.usable)
    usable = max(0.0, order.usable(longest))
    return (
        f"{part.id} is {show(part.length)} long and the longest bar of its section, {longest.id}, gives "
        f"{show(usable)} between its trimmed ends: {show(part.length - usable)} are lacking; add a longer bar, or "
        "joint the part"
    )


def _too_large(order: SheetOrder, part: Piece, show: Show) -> str:
    largest = max(
        order.stocks, key=lambda s: (s.length - 2.0 * order.trim_of(s)) * (s.width - 2.0 * order.trim_of(s))
    )
    trim = 2.0 * order.trim_of(largest)
    size = f"{show(part.length)} x {show(part.width)}" + (
        ", grain along its length," if part.keep_grain else ""
    )
    usable = f"{show(largest.length - trim)} x {show(largest.width - trim)}"
    return (
        f"{part.id} is {size} and goes on no sheet: the largest, {largest.id}, gives {usable} when it is trimmed; "
        "add a larger sheet, or joint the part"
    )
