"""Judges a plan by geometry alone; shares no code with what makes plans.

Looked at: nothing overlaps or leaves its stock, every kerf has its room, each cut can be made in the stages of the
saw, sizes, grain and turns are those of the parts, no more stock is used than there is, every piece is there or
told to be missing, the cost is that of the stock, and the bound is not above it.
"""

import math
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import combinations, pairwise

from pitchline.kit.cutting.need import BarOrder, BarStock, End, Piece, SheetOrder, SheetStock
from pitchline.kit.cutting.plan import BarPiece, BarPlan, CutBar, CutSheet, SheetPiece, SheetPlan, Shortage
from pitchline.kit.cutting.saw_cuts import saw_cuts
from pitchline.kit.tolerances import CUT_FITS

SAME_MONEY = 1e-6
"""Sums of prices agree within this share: rounding of sums in doubles."""

SAME_END_DEG = 1e-9
"""Angles that were only turned about agree within this."""


def check_bars(order: BarOrder, plan: BarPlan) -> tuple[str, ...]:
    """What is wrong with a plan of bars, one sentence each; empty when it can be cut."""
    stocks = {stock.id: stock for stock in order.stocks}
    parts = {part.id: part for part in order.parts}
    wrong: list[str] = []
    for number, bar in enumerate(plan.bars, start=1):
        where = f"bar {number} ({bar.stock})"
        if bar.stock not in stocks or abs(stocks[bar.stock].length - bar.length) > CUT_FITS:
            wrong.append(f"{where} is no bar of the order")
            continue
        wrong += [f"{where}: {fault}" for fault in _bar_faults(order, parts, stocks[bar.stock], bar)]
    placed = Counter(piece.part for bar in plan.bars for piece in bar.pieces)
    wrong += _count_faults(order.parts, placed, plan.unplaced)
    wrong += _money_faults(stocks, [bar.stock for bar in plan.bars], plan.cost, plan.lower_bound)
    return tuple(wrong)


def _bar_faults(order: BarOrder, parts: Mapping[str, Piece], stock: BarStock, bar: CutBar) -> Iterator[str]:
    trim = 0.0 if stock.offcut else order.saw.trim_of_bars
    if not bar.pieces:
        yield "nothing is cut from it"
    for piece in bar.pieces:
        if piece.part not in parts:
            yield f"there is no part {piece.part}"
            return
        yield from _piece_faults(parts[piece.part], piece, order.section)
        if piece.start < trim - CUT_FITS or piece.end > stock.length - trim + CUT_FITS:
            yield f"{piece.part} leaves the trimmed bar"
    for before, after in pairwise(bar.pieces):
        kerf = order.saw.kerf_in_bars * max(_stretch(before.ends[1]), _stretch(after.ends[0]))
        room = min(
            _start_at(after, corner, order.section) - _end_at(before, corner, order.section)
            for corner in _corners(order.section)
        )
        if room < kerf - CUT_FITS:
            yield f"between {before.part} and {after.part} the saw has {room:.4f} mm and needs {kerf:.4f} mm"
    if bar.rest is not None and bar.pieces:
        last = max(piece.end for piece in bar.pieces)
        kerf = order.saw.kerf_in_bars * _stretch(bar.pieces[-1].ends[1])
        if bar.rest[0] < last + kerf - CUT_FITS or bar.rest[1] > stock.length - trim + CUT_FITS:
            yield "the rest is not free"


def _piece_faults(part: Piece, piece: BarPiece, section: tuple[float, float]) -> Iterator[str]:
    if abs(piece.end - piece.start - part.length) > CUT_FITS:
        yield f"{part.id} has not its length"
    if (piece.turned and not part.turn_round) or (piece.over and not part.turn_over):
        yield f"{part.id} may not lie so"
    start, end = part.ends
    if piece.turned:
        start, end = _spun(end), _spun(start)
    if piece.over:
        start, end = _flipped(start), _flipped(end)
    if not (_same(start, piece.ends[0]) and _same(end, piece.ends[1])):
        yield f"{part.id} has not its end cuts"
    if any(
        _end_at(piece, corner, section) < _start_at(piece, corner, section) - CUT_FITS
        for corner in _corners(section)
    ):
        yield f"{part.id}: its end cuts cross each other"


def _spun(end: End) -> End:
    """A cut after half a turn on the wide face."""
    return End(end.mitre_deg, -end.bevel_deg)


def _flipped(end: End) -> End:
    """A cut after half a turn about the piece's own length."""
    return End(-end.mitre_deg, -end.bevel_deg)


def _same(a: End, b: End) -> bool:
    return max(abs(a.mitre_deg - b.mitre_deg), abs(a.bevel_deg - b.bevel_deg)) <= SAME_END_DEG


def _stretch(end: End) -> float:
    return 1.0 / abs(_normal(end)[0])


def _normal(end: End) -> tuple[float, float, float]:
    m, b = math.radians(end.mitre_deg), math.radians(end.bevel_deg)
    return (math.cos(b) * math.cos(m), math.cos(b) * math.sin(m), math.sin(b))


def _corners(section: tuple[float, float]) -> tuple[tuple[float, float], ...]:
    return tuple((sy * section[0] / 2.0, sz * section[1] / 2.0) for sy in (-1, 1) for sz in (-1, 1))


def _along(end: End, corner: tuple[float, float]) -> float:
    """Where the cut through the origin meets the edge at this corner of the section."""
    n = _normal(end)
    return -(n[1] * corner[0] + n[2] * corner[1]) / n[0]


def _start_at(piece: BarPiece, corner: tuple[float, float], section: tuple[float, float]) -> float:
    longest = min(_along(piece.ends[0], one) for one in _corners(section))
    return piece.start + _along(piece.ends[0], corner) - longest


def _end_at(piece: BarPiece, corner: tuple[float, float], section: tuple[float, float]) -> float:
    longest = max(_along(piece.ends[1], one) for one in _corners(section))
    return piece.end + _along(piece.ends[1], corner) - longest


def check_sheets(order: SheetOrder, plan: SheetPlan) -> tuple[str, ...]:
    """What is wrong with a plan of sheets, one sentence each; empty when it can be cut."""
    stocks = {stock.id: stock for stock in order.stocks}
    parts = {part.id: part for part in order.parts}
    wrong: list[str] = []
    for number, sheet in enumerate(plan.sheets, start=1):
        where = f"sheet {number} ({sheet.stock})"
        stock = stocks.get(sheet.stock)
        if stock is None or max(abs(stock.length - sheet.length), abs(stock.width - sheet.width)) > CUT_FITS:
            wrong.append(f"{where} is no sheet of the order")
            continue
        wrong += [f"{where}: {fault}" for fault in _sheet_faults(order, parts, stock, sheet)]
    placed = Counter(piece.part for sheet in plan.sheets for piece in sheet.pieces)
    wrong += _count_faults(order.parts, placed, plan.unplaced)
    wrong += _money_faults(stocks, [sheet.stock for sheet in plan.sheets], plan.cost, plan.lower_bound)
    return tuple(wrong)


def _sheet_faults(
    order: SheetOrder, parts: Mapping[str, Piece], stock: SheetStock, sheet: CutSheet
) -> Iterator[str]:
    saw = order.saw
    trim = 0.0 if stock.offcut else saw.trim
    if not sheet.pieces:
        yield "nothing is cut from it"
    for piece in sheet.pieces:
        if piece.part not in parts:
            yield f"there is no part {piece.part}"
            return
        yield from _lie_faults(parts[piece.part], piece)
        if not _inside(piece.x, piece.y, piece.length, piece.width, sheet, trim):
            yield f"{piece.part} leaves the trimmed sheet"
    apart = True
    for a, b in combinations(sheet.pieces, 2):
        if _gap(_box(a), _box(b), saw.kerf_across, saw.kerf) < -CUT_FITS:
            apart = False
            yield f"between {a.part} and {b.part} there is no room for the saw"
    for rest in sheet.rests:
        box = (rest.x, rest.y, rest.x + rest.length, rest.y + rest.width)
        free = all(_gap(box, _box(piece)) >= -CUT_FITS for piece in sheet.pieces)
        if not free or not _inside(rest.x, rest.y, rest.length, rest.width, sheet, 0.0):
            yield "a rest is not free"
    if apart and saw_cuts(sheet, trim, saw) is None:
        yield f"its pieces cannot be sawn apart in {saw.stages} stages"


def _lie_faults(part: Piece, piece: SheetPiece) -> Iterator[str]:
    size = (part.width, part.length) if piece.turned else (part.length, part.width)
    if max(abs(size[0] - piece.length), abs(size[1] - piece.width)) > CUT_FITS:
        yield f"{part.id} has not its size"
    if piece.turned and part.keep_grain:
        yield f"{part.id} lies across its grain"


Box = tuple[float, float, float, float]


def _box(piece: SheetPiece) -> Box:
    return (piece.x, piece.y, piece.x + piece.length, piece.y + piece.width)


def _gap(a: Box, b: Box, along: float = 0.0, across: float = 0.0) -> float:
    """How much room two boxes have beyond what is asked for along or across, whichever is more."""
    return max(max(a[0] - b[2], b[0] - a[2]) - along, max(a[1] - b[3], b[1] - a[3]) - across)


def _inside(x: float, y: float, length: float, width: float, sheet: CutSheet, trim: float) -> bool:
    return (
        min(x, y) >= trim - CUT_FITS
        and x + length <= sheet.length - trim + CUT_FITS
        and y + width <= sheet.width - trim + CUT_FITS
    )


def _count_faults(
    parts: Iterable[Piece], placed: Mapping[str, int], unplaced: Iterable[Shortage]
) -> Iterator[str]:
    wanted: Counter[str] = Counter()
    for part in parts:
        wanted[part.id] += part.quantity
    told = Counter(placed)
    for shortage in unplaced:
        told[shortage.part] += shortage.quantity
    for name in sorted(wanted.keys() | told.keys()):
        if wanted[name] != told[name]:
            yield f"{name} is wanted {wanted[name]} times and accounted for {told[name]} times"


def _money_faults(
    stocks: Mapping[str, BarStock] | Mapping[str, SheetStock], used: Sequence[str], cost: float, bound: float
) -> Iterator[str]:
    for name, number in sorted(Counter(used).items()):
        stock = stocks.get(name)
        if stock is not None and stock.count is not None and number > stock.count:
            yield f"{number} of {name} are used and there are {stock.count}"
    paid = sum(stocks[name].price for name in used if name in stocks)
    if abs(paid - cost) > SAME_MONEY * max(1.0, abs(paid)):
        yield f"the stock costs {paid:.4f}, not {cost:.4f}"
    if bound > cost + SAME_MONEY * max(1.0, abs(cost)):
        yield f"the bound {bound:.4f} is above the cost {cost:.4f}"
