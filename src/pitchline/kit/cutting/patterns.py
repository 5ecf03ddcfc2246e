"""How one sheet is cut with a saw that cuts from edge to edge: the words, and where each piece then lies.

A *sort* is a kind of piece, a *stock* a kind of sheet, both grown by the saw's kerf, so that pieces laid edge to
edge on a grown sheet have their kerfs between them. Lengths are whole numbers of `UNITS_PER_MM`.

A sheet is cut into *segments* by the first cuts, a segment into *strips* by the second, a strip into *pieces* by
the third; a piece narrower than its strip is trimmed. With two stages the whole sheet is one segment. A *pattern*
is upright when its segments follow each other along the sheet's length, and lying when they do across it: it is
worked out as upright on a sheet with length and width exchanged.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

UNITS_PER_MM = 3200
"""Hundredths of a millimetre and 128ths of an inch are both whole numbers of this unit."""

SAME_STRIP, NEXT_STRIP, NEXT_SEGMENT = 0, 1, 2
"""Where a recipe lays its next piece: after the last one, in a strip of its own, or in a new segment."""

First = Literal["any", "rip", "cross"]


@dataclass(frozen=True, slots=True)
class Sort:
    """A kind of piece: grown (along, across) as it lies, and turned by a quarter (None where grain forbids it)."""

    flat: tuple[int, int]
    turned: tuple[int, int] | None
    demand: int

    @property
    def area(self) -> int:
        """Grown area as it lies."""
        return self.flat[0] * self.flat[1]


@dataclass(frozen=True, slots=True)
class Stock:
    """A kind of sheet, trimmed and grown; ``count`` None means as many as are wanted.

    ``lying`` says that only lying (True) or only upright (False) patterns are wanted of it.
    """

    length: int
    width: int
    cost: float
    count: int | None = None
    lying: bool | None = None

    @property
    def area(self) -> int:
        """Grown area."""
        return self.length * self.width


@dataclass(frozen=True, slots=True)
class Lie:
    """A sort as it may lie on an upright sheet: ``along`` the strips, ``across`` them."""

    sort: int
    along: int
    across: int
    turned: bool


@dataclass(frozen=True)
class Task:
    """What is to be cut from what, in how many stages.

    ``first`` says which way the first cuts run: along the sheet ("rip"), across it ("cross") or either.
    ``exact`` asks for strips whose pieces are all as wide as the strip, so that none is trimmed.
    """

    sorts: tuple[Sort, ...]
    stocks: tuple[Stock, ...]
    stages: Literal[2, 3] = 3
    first: First = "any"
    exact: bool = False

    @cached_property
    def demand(self) -> tuple[int, ...]:
        """Pieces wanted of each sort."""
        return tuple(sort.demand for sort in self.sorts)

    @cached_property
    def area(self) -> int:
        """Grown area of all pieces."""
        return sum(sort.area * sort.demand for sort in self.sorts)

    @cached_property
    def ways(self) -> tuple[bool, ...]:
        """Upright (False) and lying (True) patterns, as far as ``first`` allows them."""
        if self.first == "any":
            return (False, True)
        rips_upright = self.stages == 2
        return ((self.first == "rip") != rips_upright,)

    def ways_of(self, stock: int) -> tuple[bool, ...]:
        """The ways that patterns of one stock may run."""
        only = self.stocks[stock].lying
        return self.ways if only is None else (only,)

    @cached_property
    def lies(self) -> tuple[tuple[Lie, ...], tuple[Lie, ...]]:
        """Every lie, widest first, for upright and for lying patterns."""
        return self._lies(lying=False), self._lies(lying=True)

    def _lies(self, *, lying: bool) -> tuple[Lie, ...]:
        found = []
        for index, sort in enumerate(self.sorts):
            sides = [(sort.flat, False)]
            if sort.turned is not None and sort.turned != sort.flat:
                sides.append((sort.turned, True))
            found += [
                Lie(index, side[1], side[0], turned) if lying else Lie(index, side[0], side[1], turned)
                for side, turned in sides
            ]
        return tuple(sorted(found, key=lambda lie: (-lie.across, -lie.along, lie.sort, lie.turned)))

    def span(self, stock: int, *, lying: bool) -> tuple[int, int]:
        """(along, across) of a stock as a pattern sees it."""
        sheet = self.stocks[stock]
        return (sheet.width, sheet.length) if lying else (sheet.length, sheet.width)


Recipe = tuple[tuple[int, int], ...]
"""(where, lie) of each piece in the order of laying."""


@dataclass(frozen=True, slots=True)
class Pattern:
    """One way to cut one sheet; ``counts`` are the pieces of each sort that it yields."""

    stock: int
    lying: bool
    recipe: Recipe
    counts: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Spot:
    """A piece (or, without a sort, what is left) on the sheet as stored: grown sizes from the trimmed corner."""

    x: int
    y: int
    length: int
    width: int
    sort: int | None = None
    turned: bool = False

    def exchanged(self) -> "Spot":
        """The same place with length and width of the sheet exchanged."""
        return Spot(self.y, self.x, self.width, self.length, self.sort, self.turned)


Strip = tuple[Lie, ...]
Segment = tuple[Strip, ...]


def segments(task: Task, pattern: Pattern) -> tuple[Segment, ...]:
    """The pattern as segments of strips of lies."""
    lies = task.lies[pattern.lying]
    built: list[list[list[Lie]]] = []
    for where, lie in pattern.recipe:
        if where == NEXT_SEGMENT or not built:
            built.append([])
        if where != SAME_STRIP or not built[-1]:
            built[-1].append([])
        built[-1][-1].append(lies[lie])
    return tuple(tuple(tuple(strip) for strip in segment) for segment in built)


def strip_length(strip: Strip) -> int:
    """Grown length that a strip's pieces take."""
    return sum(lie.along for lie in strip)


def strip_width(strip: Strip) -> int:
    """Grown width of a strip: that of its widest piece."""
    return max(lie.across for lie in strip)


def segment_length(task: Task, pattern: Pattern, segment: Segment) -> int:
    """Grown length of a segment: that of its longest strip, or the whole sheet where there is one stage less."""
    if task.stages == 2:
        return task.span(pattern.stock, lying=pattern.lying)[0]
    return max(strip_length(strip) for strip in segment)


def pattern_from_segments(task: Task, stock: int, lying: bool, parts: tuple[Segment, ...]) -> Pattern:
    """The pattern that lays these segments; empty strips and segments are left out."""
    index = {lie: place for place, lie in enumerate(task.lies[lying])}
    recipe: list[tuple[int, int]] = []
    counts = [0] * len(task.sorts)
    for segment in parts:
        where = NEXT_SEGMENT
        for strip in segment:
            for lie in strip:
                recipe.append((where, index[lie]))
                counts[lie.sort] += 1
                where = SAME_STRIP
            where = NEXT_STRIP if where != NEXT_SEGMENT else NEXT_SEGMENT
    return Pattern(stock, lying, tuple(recipe), tuple(counts))


def without(task: Task, pattern: Pattern, surplus: list[int]) -> Pattern:
    """The pattern with up to ``surplus[sort]`` pieces of each sort left out; ``surplus`` is counted down."""
    kept: list[Segment] = []
    for segment in segments(task, pattern):
        strips = []
        for strip in segment:
            lies = []
            for lie in strip:
                if surplus[lie.sort] > 0:
                    surplus[lie.sort] -= 1
                else:
                    lies.append(lie)
            strips.append(tuple(lies))
        kept.append(tuple(strip for strip in strips if strip))
    return pattern_from_segments(task, pattern.stock, pattern.lying, tuple(part for part in kept if part))


def tidied(task: Task, pattern: Pattern) -> Pattern:
    """The pattern with wide strips and long segments first: equal cuts follow each other, what is left is last."""
    parts = [
        tuple(sorted(segment, key=lambda strip: (-strip_width(strip), -strip_length(strip))))
        for segment in segments(task, pattern)
    ]
    parts.sort(key=lambda segment: -max(strip_length(strip) for strip in segment))
    return pattern_from_segments(task, pattern.stock, pattern.lying, tuple(parts))


def spots(task: Task, pattern: Pattern) -> Iterator[Spot]:
    """Pieces and what is left between them, as rectangles that tile the grown sheet."""
    for spot in _upright_spots(task, pattern):
        if spot.length > 0 and spot.width > 0:
            yield spot.exchanged() if pattern.lying else spot


def _upright_spots(task: Task, pattern: Pattern) -> Iterator[Spot]:
    along, across = task.span(pattern.stock, lying=pattern.lying)
    x = 0
    for segment in segments(task, pattern):
        length = segment_length(task, pattern, segment)
        y = 0
        for strip in segment:
            width, at = strip_width(strip), x
            for lie in strip:
                yield Spot(at, y, lie.along, lie.across, lie.sort, lie.turned)
                yield Spot(at, y + lie.across, lie.along, width - lie.across)
                at += lie.along
            yield Spot(at, y, x + length - at, width)
            y += width
        yield Spot(x, y, length, across - y)
        x += length
    yield Spot(x, 0, along - x, across)


def fits(task: Task, pattern: Pattern) -> bool:
    """Whether the pattern stays on its sheet and keeps to the rules of the task."""
    along, across = task.span(pattern.stock, lying=pattern.lying)
    parts = segments(task, pattern)
    if task.stages == 2 and len(parts) > 1:
        return False
    strips = [strip for segment in parts for strip in segment]
    if task.exact and any(lie.across != strip[0].across for strip in strips for lie in strip):
        return False
    return (
        sum(segment_length(task, pattern, segment) for segment in parts) <= along
        and all(sum(strip_width(strip) for strip in segment) <= across for segment in parts)
        and all(strip_length(strip) <= along for strip in strips)
    )
