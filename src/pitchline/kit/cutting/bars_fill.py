"""The best filling of one bar that a beam search finds, no sort being laid more often than it is left.

Half-filled bars grow side by side, piece by piece; the least length used per value laid decides who goes on. They
are kept in arrays, one row each, so that all ways to go on are weighed at once.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pitchline.kit.cutting.bars_task import BarTask, Pattern
from pitchline.kit.tolerances import CUT_FITS

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Fill:
    """A filling that was found and its worth."""

    value: float
    pattern: Pattern


@dataclass(frozen=True)
class Bench:
    """Lies of a task as arrays, made once for all fillings; ``index`` is their place among the task's."""

    task: BarTask
    index: Ints
    sort: Ints
    left: Ints
    right: Ints
    core: Floats
    edge: Floats
    room: Floats

    @staticmethod
    def of(task: BarTask, lies: Sequence[int] | None = None) -> "Bench":
        """The bench of a task, with all of its lies or only these."""
        some = range(len(task.lies)) if lies is None else lies
        kept = [task.lies[index] for index in some]
        left = np.array([lie.left for lie in kept], dtype=np.int64)
        right = np.array([lie.right for lie in kept], dtype=np.int64)
        return Bench(
            task,
            np.array(some, dtype=np.int64),
            np.array([lie.sort for lie in kept], dtype=np.int64),
            left,
            right,
            np.array([lie.core for lie in kept]),
            task.edge[right],
            task.room[:, left],
        )


def fill_bar(
    bench: Bench,
    stock: int,
    left: Ints,
    values: Floats,
    chance: np.random.Generator,
    *,
    breadth: int = 24,
    keep: int = 1,
) -> tuple[list[Fill], int]:
    """The most valuable fillings of one bar, best first, and the number of ways that were weighed.

    ``left`` are the pieces of each sort that may be laid and ``values`` what one of them is worth.
    """
    task = bench.task
    room = task.stocks[stock].length + CUT_FITS
    some = np.nonzero((left[bench.sort] > 0) & (values[bench.sort] > 0.0))[0]
    sorts, cores, edges = bench.sort[some], bench.core[some], bench.edge[some]
    rights, worth = bench.right[some], values[sorts]
    marks = chance.integers(1, 2**40, size=(2, max(len(left), len(task.edge))))
    at = task.edge[bench.left[some]] + cores
    rows = np.nonzero(at + edges <= room)[0]
    value = worth[rows]
    at, lie = at[rows], rows
    parent = np.zeros(len(rows), dtype=np.int64)
    used = np.zeros((1, len(left)), dtype=np.int64)
    history: list[tuple[Ints, Ints]] = []
    best: list[tuple[float, int, int]] = []
    work = len(some)
    mark = np.zeros(1, dtype=np.int64)
    while len(lie):
        chosen = _chosen(at, value, mark[parent] + marks[0][sorts[lie]], marks[1][rights[lie]], breadth)
        at, value, lie, parent = at[chosen], value[chosen], lie[chosen], parent[chosen]
        mark = mark[parent] + marks[0][sorts[lie]]
        used = used[parent]
        used[np.arange(len(lie)), sorts[lie]] += 1
        history.append((parent, bench.index[some[lie]]))
        best += [(float(value[i]), len(history), int(i)) for i in np.argsort(-value, kind="stable")[:keep]]
        ends = at[:, None] + bench.room[rights[lie]][:, some] + cores
        open_ways = (ends + edges <= room) & (left[sorts] > used[:, sorts])
        work += open_ways.size + 100
        parent, lie = np.nonzero(open_ways)
        at, value = ends[parent, lie], value[parent] + worth[lie]
    return _fills(task, stock, best, history, keep), work


def _chosen(at: Floats, value: Floats, pieces: Ints, slopes: Ints, breadth: int) -> Ints:
    """Indices of the ways that go on: least length used per value, no two alike in pieces and last cut."""
    merit = at / value
    order = np.argsort(merit, kind="stable")[: 6 * breadth]
    _, firsts = np.unique((pieces + 31 * slopes)[order], return_index=True)
    firsts.sort()
    kept: Ints = order[firsts[:breadth]]
    return kept


def _fills(
    task: BarTask, stock: int, best: list[tuple[float, int, int]], history: list[tuple[Ints, Ints]], keep: int
) -> list[Fill]:
    best.sort(key=lambda found: (-found[0], found[1], found[2]))
    fills: list[Fill] = []
    seen: set[tuple[int, ...]] = set()
    for value, depth, row in best:
        lies = []
        at = row
        for parents, laid in reversed(history[:depth]):
            lies.append(int(laid[at]))
            at = int(parents[at])
        pattern = task.pattern(stock, tuple(reversed(lies)))
        if pattern.counts not in seen:
            seen.add(pattern.counts)
            fills.append(Fill(value, pattern))
        if len(fills) == keep:
            break
    return fills
