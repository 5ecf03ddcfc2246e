"""The best filling of one sheet that a beam search finds: many half-filled sheets grow side by side, piece by piece.

A half-filled sheet is kept in arrays, one row each, so that thousands of ways to go on are weighed at once. Pieces
are laid strip by strip; the widest piece opens a strip and the longest strip opens a segment, which loses no
pattern. The least sheet used up per value laid decides who goes on (the thought of `guides` for tree searches in
L. Libralesso and F. Fontan, An anytime tree search algorithm for the 2018 ROADEF/EURO challenge, 2021).
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pitchline.kit.cutting.patterns import NEXT_SEGMENT, NEXT_STRIP, SAME_STRIP, Pattern, Recipe, Task

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

GUIDES = 3
"""Ways to say how much of the sheet is used up: to the last piece, to the strip's end, or half way between."""

WORK_OF_A_LAYER = 800
"""Work of laying one more piece, beside the ways weighed: calls take their time however little they do."""


@dataclass(frozen=True, slots=True)
class Lies:
    """Those lies of a task that are of use on one sheet, as arrays."""

    index: Ints
    sort: Ints
    along: Floats
    across: Floats
    value: Floats


@dataclass(slots=True)
class Front:
    """Half-filled sheets, one row each: where segment, strip and last piece begin and end, and what is laid.

    ``past`` is the area of the sheets before this one in the row's chain.
    """

    past: Floats
    start: Floats
    end: Floats
    base: Floats
    top: Floats
    at: Floats
    last: Ints
    strips: Ints
    value: Floats
    mark: Ints
    used: Ints


@dataclass(frozen=True, slots=True)
class Fill:
    """A filling that was found: its worth and its pattern."""

    value: float
    pattern: Pattern


@dataclass(frozen=True, slots=True)
class Beam:
    """How a search is run: its breadth, how many fillings are kept, its guide and how much chance is let in."""

    breadth: int
    keep: int = 1
    guide: int = 0
    noise: float = 0.0


@dataclass(frozen=True, slots=True)
class _Sheet:
    along: int
    across: int
    stages: int
    exact: bool


@dataclass(frozen=True, slots=True)
class _Ways:
    """Ways to go on: from which row, with which lie, laid where, and what becomes of the row."""

    row: Ints
    lie: Ints
    where: Ints
    start: Floats
    end: Floats
    base: Floats
    top: Floats
    at: Floats
    value: Floats


@dataclass(frozen=True, slots=True)
class Chain:
    """Fillings of several sheets, one after the other, that share the pieces; ``value`` is that of all together."""

    value: float
    patterns: tuple[Pattern, ...]
    used: Ints
    area: float


def fill_sheet(
    task: Task,
    stock: int,
    lying: bool,
    left: Sequence[int] | Ints,
    values: Floats,
    beam: Beam,
    chance: np.random.Generator,
) -> tuple[list[Fill], int]:
    """The most valuable fillings of one sheet, best first, and the number of ways that were weighed.

    ``left`` are the pieces of each sort that may be laid and ``values`` what one of them is worth.
    """
    chains, work = fill_next(task, stock, lying, left, values, beam, chance, [no_chain(task)])
    return [Fill(chain.value, chain.patterns[0]) for chain in chains], work


def no_chain(task: Task) -> Chain:
    """The chain to start from: no sheet, no piece."""
    return Chain(0.0, (), np.zeros(len(task.sorts), dtype=np.int64), 0.0)


def fill_next(
    task: Task,
    stock: int,
    lying: bool,
    left: Sequence[int] | Ints,
    values: Floats,
    beam: Beam,
    chance: np.random.Generator,
    chains: Sequence[Chain],
) -> tuple[list[Chain], int]:
    """The chains that go on best with one more sheet, and the number of ways that were weighed.

    ``left`` are the pieces of each sort that all sheets of a chain may share.
    """
    along, across = task.span(stock, lying=lying)
    sheet = _Sheet(along, across, task.stages, task.exact)
    remaining = np.asarray(left, dtype=np.int64)
    lies = _useful(task, lying, sheet, remaining, values)
    if not len(lies.index):
        return [], 1
    marks = chance.integers(1, 2**40, size=len(remaining))
    front = _begun(chains, marks, sheet)
    history: list[tuple[Ints, Ints, Ints]] = []
    best: list[tuple[float, int, int, int, Ints]] = []
    work = 0
    while True:
        ways = _ways(front, lies, remaining, sheet, first=not history)
        work += len(ways.row) + WORK_OF_A_LAYER
        if not len(ways.row):
            break
        chosen = _choose(ways, front, lies, marks, sheet, beam, chance)
        front = _grown(front, ways, lies, marks, chosen)
        history.append((ways.row[chosen], ways.where[chosen], lies.index[ways.lie[chosen]]))
        best += [
            (float(front.value[row]), len(history), int(row), int(front.mark[row]), front.used[row])
            for row in np.argsort(-front.value, kind="stable")[: beam.keep]
        ]
    return _longer(stock, lying, best, history, beam.keep, chains, float(along * across)), work


def _useful(task: Task, lying: bool, sheet: _Sheet, left: Ints, values: Floats) -> Lies:
    kept = [
        (index, lie)
        for index, lie in enumerate(task.lies[lying])
        if lie.along <= sheet.along
        and lie.across <= sheet.across
        and left[lie.sort] > 0
        and values[lie.sort] > 0
    ]
    sorts = np.array([lie.sort for _, lie in kept], dtype=np.int64)
    return Lies(
        np.array([index for index, _ in kept], dtype=np.int64),
        sorts,
        np.array([lie.along for _, lie in kept], dtype=np.float64),
        np.array([lie.across for _, lie in kept], dtype=np.float64),
        values[sorts] if kept else np.zeros(0),
    )


def _begun(chains: Sequence[Chain], marks: Ints, sheet: _Sheet) -> Front:
    """An empty sheet for every chain."""
    none, zero = np.zeros(len(chains)), np.zeros(len(chains), dtype=np.int64)
    end = np.full(len(chains), float(sheet.along)) if sheet.stages == 2 else none
    used = np.array([chain.used for chain in chains])
    value = np.array([chain.value for chain in chains])
    past = np.array([chain.area for chain in chains])
    return Front(past, none, end, none, none, none, zero, zero, value, used @ marks, used)


def _ways(front: Front, lies: Lies, remaining: Ints, sheet: _Sheet, *, first: bool) -> _Ways:
    left = (remaining - front.used)[:, lies.sort] > 0
    if first:
        opens = NEXT_STRIP if sheet.stages == 2 else NEXT_SEGMENT
        rows, choice = np.nonzero(left)
        where = np.full(len(rows), opens, dtype=np.int64)
        return _laid(front, lies, rows, choice, where)
    closed = (front.strips > 1) | (sheet.stages == 2)
    limit = np.where(closed, front.end, float(sheet.along))
    goes_on = left & (front.at[:, None] + lies.along <= limit[:, None])
    goes_on &= np.arange(len(lies.index)) >= front.last[:, None]
    if sheet.exact:
        goes_on &= lies.across == (front.top - front.base)[:, None]
    opens_strip = left & (front.start[:, None] + lies.along <= front.end[:, None])
    opens_strip &= front.top[:, None] + lies.across <= sheet.across
    allowed = [goes_on, opens_strip]
    if sheet.stages == 3:
        allowed.append(left & (front.end[:, None] + lies.along <= sheet.along))
    found = [np.nonzero(way) for way in allowed]
    rows = np.concatenate([row for row, _ in found])
    choice = np.concatenate([lie for _, lie in found])
    where = np.repeat(np.arange(len(found)), [len(row) for row, _ in found])
    return _laid(front, lies, rows, choice, where)


def _laid(front: Front, lies: Lies, rows: Ints, choice: Ints, where: Ints) -> _Ways:
    same, new = where == SAME_STRIP, where == NEXT_SEGMENT
    start = np.where(new, front.end[rows], front.start[rows])
    at = np.where(same, front.at[rows], start) + lies.along[choice]
    base = np.where(same, front.base[rows], np.where(new, 0.0, front.top[rows]))
    return _Ways(
        rows,
        choice,
        where,
        start,
        np.maximum(front.end[rows], at),
        base,
        np.where(same, front.top[rows], base + lies.across[choice]),
        at,
        front.value[rows] + lies.value[choice],
    )


def _choose(
    ways: _Ways,
    front: Front,
    lies: Lies,
    marks: Ints,
    sheet: _Sheet,
    beam: Beam,
    chance: np.random.Generator,
) -> Ints:
    """Indices of the ways that go on: least sheet used per value, no two alike."""
    past = front.past[ways.row] + ways.start * sheet.across
    tight = past + (ways.end - ways.start) * ways.base + (ways.at - ways.start) * (ways.top - ways.base)
    wide = past + (ways.end - ways.start) * ways.top
    used = (tight, wide, 0.5 * (tight + wide))[beam.guide]
    merit = used / ways.value
    if beam.noise:
        merit = merit * (1.0 + beam.noise * chance.random(len(merit)))
    pool = 4 * beam.breadth
    some = np.argpartition(merit, pool)[:pool] if len(merit) > pool else np.arange(len(merit))
    some = some[np.lexsort((some, merit[some]))]
    alike = (front.mark[ways.row[some]] + marks[lies.sort[ways.lie[some]]]) * 31
    alike += (3 * ways.end[some] + 5 * ways.top[some] + 7 * ways.at[some] + 11 * ways.start[some]).astype(
        np.int64
    )
    _, firsts = np.unique(alike, return_index=True)
    firsts.sort()
    chosen: Ints = some[firsts[: beam.breadth]]
    return chosen


def _grown(front: Front, ways: _Ways, lies: Lies, marks: Ints, chosen: Ints) -> Front:
    rows, lie, where = ways.row[chosen], ways.lie[chosen], ways.where[chosen]
    sorts = lies.sort[lie]
    used = front.used[rows]
    used[np.arange(len(chosen)), sorts] += 1
    strips = np.where(where == SAME_STRIP, front.strips[rows], front.strips[rows] + 1)
    return Front(
        front.past[rows],
        ways.start[chosen],
        ways.end[chosen],
        ways.base[chosen],
        ways.top[chosen],
        ways.at[chosen],
        lie,
        np.where(where == NEXT_SEGMENT, 1, strips),
        ways.value[chosen],
        front.mark[rows] + marks[sorts],
        used,
    )


def _longer(
    stock: int,
    lying: bool,
    best: list[tuple[float, int, int, int, Ints]],
    history: list[tuple[Ints, Ints, Ints]],
    keep: int,
    chains: Sequence[Chain],
    area: float,
) -> list[Chain]:
    best.sort(key=lambda found: (-found[0], found[1], found[2]))
    longer: list[Chain] = []
    seen: set[int] = set()
    for value, depth, row, mark, used in best:
        if mark in seen:
            continue
        seen.add(mark)
        recipe, origin = _recipe(history, depth, row)
        chain = chains[origin]
        counts = tuple(int(count) for count in used - chain.used)
        pattern = Pattern(stock, lying, recipe, counts)
        longer.append(Chain(value, (*chain.patterns, pattern), used, chain.area + area))
        if len(longer) == keep:
            break
    return longer


def _recipe(history: list[tuple[Ints, Ints, Ints]], depth: int, row: int) -> tuple[Recipe, int]:
    """How a row was laid, and from which chain it began."""
    steps = []
    for rows, where, lie in reversed(history[:depth]):
        steps.append((int(where[row]), int(lie[row])))
        row = int(rows[row])
    return tuple(reversed(steps)), row
