"""A second proposal for sheets, from a process of its own, judged like any other.

It comes from a second engine where that has a build, else from our own search with another seed.

A crash, a hang or nonsense costs nothing but that proposal. The process sees grown pieces and sheets in hundredths of
a millimetre; of its answer only the order of the pieces is used, and laid out again by `patterns`.
"""

import json
import subprocess
import sys
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from importlib.util import find_spec
from typing import Any

from pitchline.kit.cutting.patterns import (
    UNITS_PER_MM,
    Lie,
    Pattern,
    Segment,
    Strip,
    Task,
    fits,
    pattern_from_segments,
)
from pitchline.kit.cutting.sheets_search import Cuts

LIBRARY = "packingsolver"
CHILD = "pitchline.kit.cutting.sheets_second_child"
OWN_CHILD = "pitchline.kit.cutting.sheets_own_child"
UNITS = UNITS_PER_MM // 100

Laid = tuple[int, int, int, bool]
"""Sort, place along and across the upright sheet, turned."""


@dataclass(frozen=True, slots=True)
class Second:
    """A second search that is under way."""

    task: Task
    process: "subprocess.Popen[str]"

    def proposal(self, wait: float) -> tuple[Cuts, bool]:
        """The plan it proposes within so many seconds more, or no sheets at all, and whether the clock ended it."""
        try:
            text, _ = self.process.communicate(timeout=max(wait, 0.01))
        except subprocess.TimeoutExpired:
            self.stop()
            return (), True
        try:
            answer = json.loads(text.splitlines()[-1])
            return proposed_cuts(self.task, answer["sheets"]), bool(answer["late"])
        except (ValueError, IndexError, KeyError, TypeError):
            return (), False

    def stop(self) -> None:
        """End the process, if it still runs, and wait for its end."""
        if self.process.poll() is None:
            self.process.kill()
        self.process.communicate()


def has_second() -> bool:
    """Whether the second engine has a build here."""
    return find_spec(LIBRARY) is not None


def start_second(task: Task, seconds: float, seed: int = 0) -> Second:
    """Start the second engine for so many seconds; where it has no build, our own search from another seed."""
    asked = json.dumps(question(task, seconds, seed))
    process = subprocess.Popen(
        [sys.executable, "-m", CHILD if has_second() else OWN_CHILD],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
        start_new_session=True,
    )
    if process.stdin is not None:
        try:
            process.stdin.write(asked + "\n")
            process.stdin.flush()
        except BrokenPipeError:
            process.kill()
    return Second(task, process)


def question(task: Task, seconds: float, seed: int = 0) -> dict[str, Any]:
    """What the child process is asked; pieces rounded up and sheets down to hundredths of a millimetre."""
    sorts = [
        [-(-sort.flat[0] // UNITS), -(-sort.flat[1] // UNITS), sort.demand, sort.turned is None]
        for sort in task.sorts
    ]
    turned = [[-(-side // UNITS) for side in sort.turned or ()] for sort in task.sorts]
    stocks = [
        [
            stock.length // UNITS,
            stock.width // UNITS,
            stock.cost,
            stock.count if stock.count is not None else -1,
        ]
        for stock in task.stocks
    ]
    return {
        "seconds": seconds,
        "seed": seed,
        "stages": task.stages,
        "first": task.first,
        "exact": task.exact,
        "sorts": sorts,
        "turned": turned,
        "stocks": stocks,
    }


def proposed_cuts(task: Task, answer: Iterable[dict[str, Any]]) -> Cuts:
    """The plan that an answer describes; no sheets when one of them cannot be cut so."""
    cuts: list[Pattern] = []
    for sheet in answer:
        laid = [(int(s), int(x), int(y), bool(turned)) for s, x, y, turned in sheet["pieces"]]
        pattern = _pattern(task, int(sheet["stock"]), laid)
        if pattern is None:
            return ()
        cuts += [pattern] * int(sheet["copies"])
    return tuple(cuts)


def _pattern(task: Task, stock: int, laid: Sequence[Laid]) -> Pattern | None:
    for lying in task.ways_of(stock):
        parts = _segments(task, lying, laid)
        if not parts:
            continue
        pattern = pattern_from_segments(task, stock, lying, parts)
        if sum(pattern.counts) == len(laid) and fits(task, pattern):
            return pattern
    return None


@dataclass(frozen=True, slots=True)
class _Box:
    lie: Lie
    x: int
    y: int


def _segments(task: Task, lying: bool, laid: Sequence[Laid]) -> tuple[Segment, ...]:
    """The pieces as segments of strips, as far as they can be seen so; nothing when they cannot."""
    by_lie = {(lie.sort, lie.turned): lie for lie in task.lies[lying]}
    boxes = [
        _Box(by_lie[sort, turned], *((y, x) if lying else (x, y)))
        for sort, x, y, turned in laid
        if (sort, turned) in by_lie
    ]
    columns = [boxes] if task.stages == 2 else _split(boxes, along=True)
    parts: list[Segment] = []
    for column in columns:
        strips: list[Strip] = []
        for row in _split(column, along=False):
            if len(_split(row, along=True)) != len(row):
                return ()
            strips.append(tuple(box.lie for box in sorted(row, key=lambda box: box.x)))
        parts.append(tuple(strips))
    return tuple(parts)


def _split(boxes: Sequence[_Box], *, along: bool) -> list[list[_Box]]:
    """The boxes in groups between which a cut can pass; places are in hundredths, as the engine gave them."""
    groups: list[list[_Box]] = []
    reached = 0
    for box in sorted(boxes, key=lambda box: (box.x, box.y) if along else (box.y, box.x)):
        low = box.x if along else box.y
        size = -(-(box.lie.along if along else box.lie.across) // UNITS)
        if not groups or low >= reached:
            groups.append([box])
            reached = low + size
        else:
            groups[-1].append(box)
            reached = max(reached, low + size)
    return groups
