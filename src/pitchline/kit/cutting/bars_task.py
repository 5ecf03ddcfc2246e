"""Bars as a planner sees them: kinds of cut, the room between neighbours, and sequences of pieces on a bar.

A cut is a plane x = c + a y + b z through the bar; a *slope* is its (a, b). A piece is reckoned from centre to
centre: from where its start cut meets the bar's middle line to where its end cut does. Two neighbours then need the
*room*

    |a - a'| width/2 + |b - b'| thickness/2 + kerf x stretch,

the stretch being that of the flatter cut; equal slopes need the kerf alone and one cut serves both pieces. Between
a piece and the bar's own end no kerf is needed: a saw may run off the wood. See docs/method/cutting-bars.md.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from pitchline.kit.cutting.need import BarOrder, BarStock, End, Piece
from pitchline.kit.tolerances import CUT_FITS

FREE = 1e-4
"""A bar without a price costs the planner this share of the dearest one."""

Floats = NDArray[np.float64]
Slope = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Sort:
    """Pieces that are cut alike: the parts they stand for in the order's list, and how many are wanted in all."""

    parts: tuple[int, ...]
    demand: int
    length: float


@dataclass(frozen=True, slots=True)
class Lie:
    """A sort as it may lie on the bar; ``left`` and ``right`` are indices of slopes, ``core`` is centre to centre."""

    sort: int
    left: int
    right: int
    core: float
    turned: bool
    over: bool


@dataclass(frozen=True, slots=True)
class Stock:
    """A kind of bar: its length between trimmed ends, price and count (None: as many as are wanted)."""

    length: float
    cost: float
    count: int | None


@dataclass(frozen=True, slots=True)
class Pattern:
    """One way to cut one bar: lies from its start to its end, and how many of each sort that gives."""

    stock: int
    lies: tuple[int, ...]
    counts: tuple[int, ...]


@dataclass(frozen=True)
class BarTask:
    """An order in the planner's terms. ``room[i, j]``: room from a cut of slope i to one of slope j; ``edge``: from a
    cut to its own longest point.
    """

    sorts: tuple[Sort, ...]
    stocks: tuple[Stock, ...]
    lies: tuple[Lie, ...]
    room: Floats
    edge: Floats

    @cached_property
    def demand(self) -> tuple[int, ...]:
        """Pieces wanted of each sort."""
        return tuple(sort.demand for sort in self.sorts)

    @cached_property
    def weights(self) -> Floats:
        """What a piece of each sort takes of a bar at least: its core and the narrowest room beside it."""
        least = np.full(len(self.sorts), np.inf)
        for lie in self.lies:
            beside = 0.5 * float(self.room[lie.right, :].min() + self.room[:, lie.left].min())
            least[lie.sort] = min(least[lie.sort], lie.core + beside)
        return least

    def used(self, lies: Sequence[int]) -> float:
        """Length from the first piece's longest point to the last one's."""
        if not lies:
            return 0.0
        chain = [self.lies[index] for index in lies]
        length = float(self.edge[chain[0].left] + self.edge[chain[-1].right])
        length += sum(lie.core for lie in chain)
        return length + sum(float(self.room[a.right, b.left]) for a, b in pairwise(chain))

    def fits(self, stock: int, lies: Sequence[int]) -> bool:
        """Whether the sequence goes on a bar of this stock."""
        return self.used(lies) <= self.stocks[stock].length + CUT_FITS

    def pattern(self, stock: int, lies: Sequence[int]) -> Pattern:
        """The sequence as a pattern."""
        counts = [0] * len(self.sorts)
        for index in lies:
            counts[self.lies[index].sort] += 1
        return Pattern(stock, tuple(lies), tuple(counts))

    def places(self, pattern: Pattern) -> Iterator[tuple[Lie, float, float]]:
        """Each lie with its longest points, from the bar's trimmed start."""
        centre = 0.0
        last: Lie | None = None
        for index in pattern.lies:
            lie = self.lies[index]
            centre += float(self.edge[lie.left] if last is None else self.room[last.right, lie.left])
            yield lie, centre - float(self.edge[lie.left]), centre + lie.core + float(self.edge[lie.right])
            centre += lie.core
            last = lie


def task_of(order: BarOrder) -> BarTask:
    """The order in the planner's terms. Parts that fit no bar must have been taken out before."""
    width, thickness = order.section
    kerf = order.saw.kerf_in_bars
    groups: dict[object, list[int]] = {}
    for index, part in enumerate(order.parts):
        groups.setdefault((part.length, part.ends, part.turn_over, part.turn_round), []).append(index)
    ends: list[End] = []
    lies: list[Lie] = []
    for sort, members in enumerate(groups.values()):
        lies += _lies(order.parts[members[0]], sort, ends, (width, thickness))
    sorts = tuple(
        Sort(tuple(members), sum(order.parts[i].quantity for i in members), order.parts[members[0]].length)
        for members in groups.values()
    )
    slopes = np.array([end.slopes for end in ends])
    stretch = np.array([end.stretch for end in ends])
    half = np.array([width / 2.0, thickness / 2.0])
    room = np.abs(slopes[:, None, :] - slopes[None, :, :]) @ half
    room += kerf * np.maximum(stretch[:, None], stretch[None, :])
    stocks = tuple(Stock(order.usable(s), planning_cost(order, s), s.count) for s in order.stocks)
    return BarTask(sorts, stocks, tuple(lies), room, np.abs(slopes) @ half)


def planning_cost(order: BarOrder, stock: BarStock) -> float:
    """What a bar costs the planner: its price; a little where it is free, so that it is not taken for nothing.

    Where every bar is free they cost their length in metres, and the least length is planned for.
    """
    dearest = max(one.price for one in order.stocks)
    if dearest <= 0.0:
        return stock.length / 1000.0
    return stock.price if stock.price > 0.0 else FREE * dearest


def _lies(part: Piece, sort: int, ends: list[End], section: tuple[float, float]) -> Iterator[Lie]:
    seen: set[tuple[End, End]] = set()
    ways = [
        (turned, over)
        for over in ((False, True) if part.turn_over else (False,))
        for turned in ((False, True) if part.turn_round else (False,))
    ]
    for turned, over in ways:
        pair = ends_as_laid(part.ends, turned=turned, over=over)
        if pair in seen:
            continue
        seen.add(pair)
        for end in pair:
            if end not in ends:
                ends.append(end)
        core = part.length - sum(reach(end, section) for end in pair)
        yield Lie(sort, ends.index(pair[0]), ends.index(pair[1]), core, turned, over)


def reach(end: End, section: tuple[float, float]) -> float:
    """From where a cut meets the middle line to its longest point."""
    a, b = end.slopes
    return abs(a) * section[0] / 2.0 + abs(b) * section[1] / 2.0


def ends_as_laid(ends: tuple[End, End], *, turned: bool, over: bool) -> tuple[End, End]:
    """The start and end cuts of a piece that lies end for end, or other face up, or both.

    Half a turn on the wide face keeps the mitre's slope and reverses the bevel's; a turn about the piece's own length
    reverses both.
    """
    start, end = ends
    if turned:
        start, end = (End(cut.mitre_deg, _less(cut.bevel_deg)) for cut in (end, start))
    if over:
        start, end = (End(_less(cut.mitre_deg), _less(cut.bevel_deg)) for cut in (start, end))
    return start, end


def _less(angle: float) -> float:
    return 0.0 - angle
