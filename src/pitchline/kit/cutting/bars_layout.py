"""From patterns to bars as they are cut: pieces in the order that changes the saw's angle least, bars likewise.

A *setting* is a change of the saw's angle on the way through all bars in the order of the plan. Within a bar pieces
are rearranged only where that keeps every rest that is worth keeping.
"""

from collections import Counter
from collections.abc import Iterable, Sequence
from itertools import pairwise

from pitchline.kit.cutting.bars_task import BarTask, Lie, Pattern, ends_as_laid
from pitchline.kit.cutting.need import BarOrder, End
from pitchline.kit.cutting.plan import BarPiece, BarPlan, CutBar
from pitchline.kit.tolerances import CUT_FITS

MOST_STATES = 1000
"""Sets of pieces that are looked at when a bar is rearranged; bars of more variety stay as they are."""


def laid_out(order: BarOrder, task: BarTask, cuts: Iterable[Pattern]) -> BarPlan:
    """The patterns as bars with part marks; cost is theirs, the bound is left at 0."""
    arranged = {pattern: _arranged(order, task, pattern) for pattern in dict.fromkeys(cuts)}
    patterns = _in_line(task, [arranged[pattern] for pattern in cuts])
    names = {
        index: [order.parts[i].id for i in sort.parts for _ in range(order.parts[i].quantity)]
        for index, sort in enumerate(task.sorts)
    }
    bars = tuple(_bar(order, task, pattern, names) for pattern in patterns)
    cost = sum(order.stocks[pattern.stock].price for pattern in patterns)
    return BarPlan(bars, cost, 0.0)


def _bar(order: BarOrder, task: BarTask, pattern: Pattern, names: dict[int, list[str]]) -> CutBar:
    stock = order.stocks[pattern.stock]
    trim = order.trim_of(stock)
    pieces = []
    for lie, start, end in task.places(pattern):
        part = order.parts[task.sorts[lie.sort].parts[0]]
        ends = ends_as_laid(part.ends, turned=lie.turned, over=lie.over)
        pieces.append(BarPiece(names[lie.sort].pop(0), trim + start, trim + end, lie.turned, lie.over, ends))
    return CutBar(stock.id, stock.length, tuple(pieces), _rest(order, stock.length - trim, pieces))


def _rest(order: BarOrder, end: float, pieces: Sequence[BarPiece]) -> tuple[float, float] | None:
    last = pieces[-1]
    start = max(piece.end for piece in pieces) + order.saw.kerf_in_bars * last.ends[1].stretch
    return (start, end) if end - start >= order.keep.bar else None


def settings(bars: Iterable[CutBar]) -> int:
    """How often the saw's angle is set on the way through these bars; the first setting counts."""
    angles: list[End] = []
    for bar in bars:
        for piece in bar.pieces:
            angles += piece.ends
    return sum(1 for a, b in pairwise(angles) if a != b) + (1 if angles else 0)


def _changes(first: int, chain: Sequence[Lie]) -> int:
    """Changes of slope along lies, coming from the slope ``first``."""
    last, count = first, 0
    for lie in chain:
        count += (lie.left != last) + (lie.right != lie.left)
        last = lie.right
    return count


def _arranged(order: BarOrder, task: BarTask, pattern: Pattern) -> Pattern:
    """The same pieces on the same bar with the fewest changes of slope, then the least length used."""
    size = 1
    for count in pattern.counts:
        size *= count + 1
    if size * len(task.edge) > MOST_STATES:
        return pattern
    before = task.used(pattern.lies)
    room = task.stocks[pattern.stock].length
    if room - before - order.saw.kerf_in_bars >= order.keep.bar:
        room = before
    best = _fewest(task, pattern.counts, room)
    if best is None:
        return pattern
    return task.pattern(pattern.stock, best)


State = tuple[tuple[int, ...], int]
"""How many of each of a pattern's sorts are still to be laid, and the slope of the last cut."""

Way = tuple[int, float, tuple[int, ...]]
"""Changes of slope, where the last cut meets the middle line, lies."""


def _fewest(task: BarTask, counts: tuple[int, ...], room: float) -> tuple[int, ...] | None:
    """Lies of these pieces within ``room``: fewest changes, then least length; all sets of pieces in turn."""
    own = [sort for sort, count in enumerate(counts) if count]
    lies = [(index, own.index(lie.sort), lie) for index, lie in enumerate(task.lies) if counts[lie.sort]]
    wanted = tuple(counts[sort] for sort in own)
    front: dict[State, list[Way]] = {}
    for index, place, lie in lies:
        ways = front.setdefault((_less(wanted, place), lie.right), [])
        ways.append((int(lie.left != lie.right), float(task.edge[lie.left]) + lie.core, (index,)))
    for _ in range(sum(counts) - 1):
        grown: dict[State, list[Way]] = {}
        for (left, last), ways in front.items():
            for index, place, lie in lies:
                if left[place]:
                    more = (lie.left != last) + (lie.right != lie.left)
                    step = float(task.room[last, lie.left]) + lie.core
                    grown.setdefault((_less(left, place), lie.right), []).extend(
                        (changes + more, at + step, (*laid, index))
                        for changes, at, laid in ways
                        if at + step <= room + CUT_FITS
                    )
        front = {key: _undominated(ways) for key, ways in grown.items() if ways}
    ends = [
        (changes, at + float(task.edge[last]), laid)
        for (_, last), ways in front.items()
        for changes, at, laid in ways
        if at + float(task.edge[last]) <= room + CUT_FITS
    ]
    return min(ends)[2] if ends else None


def _less(left: tuple[int, ...], place: int) -> tuple[int, ...]:
    return (*left[:place], left[place] - 1, *left[place + 1 :])


def _undominated(ways: list[Way]) -> list[Way]:
    """Those for which no other has both fewer changes and less length."""
    kept: list[Way] = []
    for way in sorted(ways):
        if not kept or way[1] < kept[-1][1] - CUT_FITS:
            kept.append(way)
    return kept


def _in_line(task: BarTask, patterns: Sequence[Pattern]) -> list[Pattern]:
    """Bars in such a line that the next begins with the slope the last one ended with, alike ones together."""
    left = Counter(sorted(patterns, key=lambda p: (p.stock, p.lies)))
    line: list[Pattern] = []
    slope = -1
    while left:
        best = min(left, key=lambda pattern: _changes(slope, [task.lies[pattern.lies[0]]]))
        line += [best] * left.pop(best)
        slope = task.lies[best.lies[-1]].right
    return line
