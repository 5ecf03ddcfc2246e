"""Cutting pictures to scale: bars with their nested pieces, sheets with their strips, cuts in working order."""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from pitchline.kit.cutting.bars_task import reach
from pitchline.kit.cutting.need import Need
from pitchline.kit.cutting.plan import BarPiece, CutBar, CutSheet, SheetPiece
from pitchline.kit.cutting.saw_cuts import SawCut, saw_cuts
from pitchline.kit.drawing.marks import (
    Anchor,
    Area,
    Disc,
    Drawing,
    Fill,
    Label,
    Mark,
    Pen,
    Point,
    RunningMarks,
    Stroke,
)
from pitchline.sheets.looking import Show

ROW = 26.0
"""Paper mm from the upper edge of one bar to that of the next, its own width not counted."""

SMALL = 1.8
"""Height of capitals inside pieces, paper mm."""


@dataclass(frozen=True, slots=True)
class Batch:
    """Bars cut alike: which numbers they have in the plan."""

    bar: CutBar
    numbers: tuple[int, ...]


def batches(bars: Sequence[CutBar]) -> tuple[Batch, ...]:
    """Bars cut alike put together, in the order of the plan."""
    found: dict[CutBar, list[int]] = {}
    for number, bar in enumerate(bars, start=1):
        found.setdefault(bar, []).append(number)
    return tuple(Batch(bar, tuple(numbers)) for bar, numbers in found.items())


def bars_drawing(name: str, need: Need, rows: Sequence[Batch], show: Show, scale: float) -> Drawing:
    """Bars below each other at 1:``scale``; marks run from each bar's left end along its lower edge."""
    sections = {stock.id: (stock.width, stock.thickness) for stock in need.bars}
    marks: list[Mark] = []
    y = 0.0
    for batch in rows:
        section = sections[batch.bar.stock]
        y -= section[0]
        marks += _bar(need, batch, section, y, show, scale)
        y -= ROW * scale
    first = min(number for batch in rows for number in batch.numbers)
    return Drawing(f"{name}-bars-{first:02d}", "Bars, cut alike ones drawn once", scale, tuple(marks))


def _bar(
    need: Need, batch: Batch, section: tuple[float, float], y: float, show: Show, scale: float
) -> Iterator[Mark]:
    bar = batch.bar
    width = section[0]
    yield Area(_box(0.0, y, bar.length, width), Fill.WHITE, pen=Pen.THIN)
    if bar.rest is not None:
        left, right = bar.rest
        yield Area(_box(left, y, right - left, width), Fill.GREY, pen=Pen.THIN)
        middle = ((left + right) / 2.0, y + width / 2.0)
        yield Label(middle, f"keep {show(right - left)}", SMALL, Anchor.MIDDLE)
    for piece in bar.pieces:
        corners = outline(piece, section)
        yield Area(tuple((x, y + width / 2.0 + v) for x, v in corners), Fill.WOOD, pen=Pen.OUTLINE)
        middle = ((corners[0][0] + corners[2][0]) / 2.0, y + width / 2.0)
        yield Label(middle, _piece_words(piece), SMALL, Anchor.MIDDLE)
    number = ", ".join(map(str, batch.numbers))
    times = f"{len(batch.numbers)} off, " if len(batch.numbers) > 1 else ""
    words = f"Bar {number}: {times}{bar.stock}, {show(bar.length)}"
    yield Label((0.0, y + width + 1.4 * scale), words, 2.5, Anchor.BASE_LEFT)
    places = list(edge_marks(bar, section, need.saw.kerf_in_bars))
    points = tuple((x, y) for x in places)
    yield RunningMarks((0.0, y), points, 0.0, -4.0, tuple(show(x) for x in places))


def _piece_words(piece: BarPiece) -> str:
    """Its mark, with (e) where it lies end for end and (o) where it is turned over."""
    return piece.part + (" (e)" if piece.turned else "") + (" (o)" if piece.over else "")


def outline(piece: BarPiece, section: tuple[float, float]) -> tuple[Point, Point, Point, Point]:
    """Corners of a piece's upper wide face, from start low round to start high; y from the bar's middle."""
    half = section[0] / 2.0
    return (
        (_start(piece, section, -half), -half),
        (_end(piece, section, -half), -half),
        (_end(piece, section, half), half),
        (_start(piece, section, half), half),
    )


def _start(piece: BarPiece, section: tuple[float, float], y: float) -> float:
    a, b = piece.ends[0].slopes
    return piece.start + reach(piece.ends[0], section) + a * y + b * section[1] / 2.0


def _end(piece: BarPiece, section: tuple[float, float], y: float) -> float:
    a, b = piece.ends[1].slopes
    return piece.end - reach(piece.ends[1], section) + a * y + b * section[1] / 2.0


def edge_marks(bar: CutBar, section: tuple[float, float], kerf: float) -> Iterator[float]:
    """Where the cuts meet the lower edge of the upper face, from the bar's left end.

    The kerf lies beyond each mark; a start is told apart only where it does not follow the last end by one kerf.
    """
    low = -section[0] / 2.0
    reached: float | None = None
    for piece in bar.pieces:
        start, end = _start(piece, section, low), _end(piece, section, low)
        one_cut = reached is not None and abs(start - reached - kerf * piece.ends[0].stretch) < 0.01
        if not one_cut and start > 0.01:
            yield start
        yield end
        reached = end


def sheet_drawing(name: str, need: Need, number: int, sheet: CutSheet, show: Show, scale: float) -> Drawing:
    """One sheet at 1:``scale``: pieces, rests, cuts numbered in working order, marks from the lower left corner."""
    stock = next(one for one in need.sheets if one.id == sheet.stock)
    trim = 0.0 if stock.offcut else need.saw.trim
    saw = need.saw
    cuts = saw_cuts(sheet, trim, saw) or ()
    marks: list[Mark] = [Area(_box(0.0, 0.0, sheet.length, sheet.width), Fill.WHITE, pen=Pen.THIN)]
    if trim:
        inner = _box(trim, trim, sheet.length - 2 * trim, sheet.width - 2 * trim)
        marks.append(Stroke(inner, Pen.HIDDEN, closed=True))
    for rest in sheet.rests:
        marks.append(Area(_box(rest.x, rest.y, rest.length, rest.width), Fill.GREY))
        middle = (rest.x + rest.length / 2.0, rest.y + rest.width / 2.0)
        marks.append(Label(middle, f"keep {show(rest.length)} x {show(rest.width)}", SMALL, Anchor.MIDDLE))
    for piece in sheet.pieces:
        marks += _sheet_piece(piece, show, scale)
    marks += _cut_marks(cuts, show, scale)
    title = f"Sheet {number}: {sheet.stock}, {show(sheet.length)} x {show(sheet.width)}"
    return Drawing(f"{name}-sheet-{number:02d}", title, scale, tuple(marks), "grain along the sheet")


def _sheet_piece(piece: SheetPiece, show: Show, scale: float) -> Iterator[Mark]:
    yield Area(_box(piece.x, piece.y, piece.length, piece.width), Fill.WOOD, pen=Pen.OUTLINE)
    middle = (piece.x + piece.length / 2.0, piece.y + piece.width / 2.0)
    upright = piece.width > 1.5 * piece.length
    along, across = (piece.width, piece.length) if upright else (piece.length, piece.width)
    words = _fitting(piece.part, f"{show(piece.length)} x {show(piece.width)}", along / scale, across / scale)
    if words:
        height = SMALL if across > 2.6 * scale else SMALLEST
        yield Label(middle, words, height, Anchor.MIDDLE, 90.0 if upright else 0.0)


def _fitting(mark: str, size: str, along: float, across: float) -> str:
    """As much of a piece's mark and size as finds room on it; ``along`` and ``across`` in paper mm."""
    if across > 9.0 and along > LETTER * max(len(mark), len(size)):
        return f"{mark}\n{size}"
    if across > 3.5 and along > LETTER * (len(mark) + len(size) + 2):
        return f"{mark}  {size}"
    return mark if along > LETTER * len(mark) else ""


LETTER = 1.35
"""Paper mm that a letter inside a piece takes, on the average."""

SMALLEST = 1.4
"""Height of capitals in narrow strips, paper mm."""


def _cut_marks(cuts: Iterable[SawCut], show: Show, scale: float) -> Iterator[Mark]:
    """Every cut as a line with its number in the order of working; first cuts run on the datum's marks."""
    listed = list(cuts)
    written: list[Point] = []
    for order, cut in enumerate(listed, start=1):
        a, b = (
            ((cut.start, cut.at), (cut.end, cut.at))
            if cut.along
            else ((cut.at, cut.start), (cut.at, cut.end))
        )
        yield Stroke((a, b), Pen.ACCENT_NOTE)
        at = _number_place(cut, scale)
        if cut.stage > 1 and cut.end - cut.start < SHORT_CUT * scale:
            continue
        if any(math.dist(at, other) < NUMBER_ROOM * scale for other in written):
            continue
        written.append(at)
        yield Disc(at, 1.7 * scale, Pen.ACCENT_NOTE, Fill.WHITE)
        yield Label(at, str(order), 1.4, Anchor.MIDDLE, pen=Pen.ACCENT_NOTE)
    first = [cut for cut in listed if cut.stage == 1]
    places = sorted({round(cut.at, 6) for cut in first})
    if places and first[0].along:
        yield RunningMarks((0.0, 0.0), tuple((0.0, p) for p in places), 90.0, 5.0, tuple(map(show, places)))
    elif places:
        yield RunningMarks((0.0, 0.0), tuple((p, 0.0) for p in places), 0.0, -5.0, tuple(map(show, places)))


SHORT_CUT = 6.0
"""Paper mm of a later cut below which its number stands in the list of cuts alone."""

NUMBER_ROOM = 3.6
"""Paper mm from one cut's number to the next; where there is less the number stands in the list of cuts alone."""


def _number_place(cut: SawCut, scale: float) -> Point:
    """Beside the far end of the cut, on the line, where little else stands."""
    back = min(3.0 * scale, (cut.end - cut.start) / 2.0)
    return (cut.end - back, cut.at) if cut.along else (cut.at, cut.end - back)


def _box(x: float, y: float, length: float, width: float) -> tuple[Point, Point, Point, Point]:
    return ((x, y), (x + length, y), (x + length, y + width), (x, y + width))


def alike_sheets(sheets: Sequence[CutSheet]) -> tuple[tuple[CutSheet, tuple[int, ...]], ...]:
    """Sheets cut alike put together with their numbers in the plan."""
    found: dict[CutSheet, list[int]] = {}
    for number, sheet in enumerate(sheets, start=1):
        found.setdefault(sheet, []).append(number)
    return tuple((sheet, tuple(numbers)) for sheet, numbers in found.items())
