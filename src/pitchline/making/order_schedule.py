"""The order as a schedule: one person, so many clamps, working hours, glue and coats that go on by the clock.

Steps start as soon as what they need is done, those first from which the longest way leads to the end. A step that
must not be broken off waits for the next morning where the day has no room for it. Minutes from the first midnight.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from graphlib import CycleError, TopologicalSorter

from pitchline.making.order import Need, Order, Step

DAY = 24.0 * 60.0
START = 8.0 * 60.0
"""Work begins at 8 (common practice, no source)."""

NOON, LUNCH = 12.0 * 60.0, 30.0
"""Half an hour's break at noon (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Span:
    """Work without a break, from and to, in minutes of the clock since the first midnight."""

    start: float
    end: float


@dataclass(frozen=True, slots=True)
class Slot:
    """When a step is worked at (``spans``), and until when its glue or coat holds it up (``free``)
    and ``clamps``."""

    step: str
    spans: tuple[Span, ...]
    free: float
    clamps: int = 0

    @property
    def start(self) -> float:
        """Its first minute."""
        return self.spans[0].start

    @property
    def end(self) -> float:
        """The end of its work."""
        return self.spans[-1].end


@dataclass(frozen=True, eq=False)
class Schedule:
    """The slots in order of their start."""

    slots: tuple[Slot, ...]
    day_minutes: float

    @property
    def days(self) -> int:
        """Working days until the last step's work is done."""
        return 1 + int(max(slot.end for slot in self.slots) // DAY) if self.slots else 0

    @property
    def done(self) -> float:
        """When the last coat is hard, minutes of the clock."""
        return max((slot.free for slot in self.slots), default=0.0)

    @property
    def of(self) -> Mapping[str, Slot]:
        """Slots by step."""
        return {slot.step: slot for slot in self.slots}


def sorted_steps(steps: Sequence[Step]) -> tuple[Step, ...]:
    """The steps so that each comes after what it needs. ValueError where they wait for each other, or for none."""
    by_key = {step.key: step for step in steps}
    lacking = [need.step for step in steps for need in step.needs if need.step not in by_key]
    if lacking:
        raise ValueError(f"steps are needed that are not there: {', '.join(lacking)}")
    sorter: TopologicalSorter[str] = TopologicalSorter()
    for step in steps:
        sorter.add(step.key, *(need.step for need in step.needs))
    try:
        return tuple(by_key[key] for key in sorter.static_order())
    except CycleError as wrong:
        raise ValueError(f"steps wait for each other: {wrong.args[1]}") from wrong


def windows(day_minutes: float, since: float) -> Iterator[Span]:
    """The working stretches from a minute on: the morning to noon, then what is left of the day's hours."""
    day = int(since // DAY)
    while True:
        base = day * DAY
        morning = min(day_minutes, NOON - START)
        yield from _from(base + START, base + START + morning, since)
        if day_minutes > morning:
            after = base + NOON + LUNCH
            yield from _from(after, after + day_minutes - morning, since)
        day += 1


def _from(start: float, end: float, since: float) -> Iterator[Span]:
    if end > since:
        yield Span(max(start, since), end)


def scheduled(order: Order, day_minutes: float, clamps: int) -> Schedule:
    """When each step is done by one person with so many clamps. ValueError as for `sorted_steps`."""
    steps = sorted_steps(order.steps)
    weights = _ways(steps)
    done: dict[str, Slot] = {}
    now = START
    waiting = {step.key: step for step in steps}
    while waiting:
        ready = [step for step in waiting.values() if all(need.step in done for need in step.needs)]
        begins = {step.key: _begin(step, done, now, clamps) for step in ready}
        soonest = min(begins.values())
        best = max(
            (step for step in ready if begins[step.key] <= soonest + _SOON),
            key=lambda step: (weights[step.key], -steps.index(step)),
        )
        slot = _slot(best, begins[best.key], day_minutes)
        done[best.key] = slot
        now = slot.end
        del waiting[best.key]
    return Schedule(tuple(sorted(done.values(), key=lambda slot: (slot.start, slot.end))), day_minutes)


_SOON = 5.0
"""Minutes that one waits for the more pressing of two steps."""


def _ways(steps: Sequence[Step]) -> dict[str, float]:
    """The longest way from each step to the end, minutes with waits."""
    ways: dict[str, float] = {}
    after: dict[str, list[tuple[str, bool]]] = {step.key: [] for step in steps}
    for step in steps:
        for need in step.needs:
            after[need.step].append((step.key, need.waits))
    for step in reversed(steps):
        wait = 0.0 if step.wait is None else step.wait.minutes
        behind = [ways[key] + (wait if waits else 0.0) for key, waits in after[step.key]]
        ways[step.key] = step.minutes + max(behind, default=wait)
    return ways


def _begin(step: Step, done: Mapping[str, Slot], now: float, clamps: int) -> float:
    """The first minute at which what it needs is done and enough clamps are free."""
    begin = max([now, *(_over(done[need.step], need) for need in step.needs)])
    needed = 0 if step.wait is None else min(step.wait.clamps, clamps)
    while needed and clamps - sum(slot.clamps for slot in done.values() if slot.free > begin) < needed:
        begin = min(slot.free for slot in done.values() if slot.clamps and slot.free > begin)
    return begin


def _over(slot: Slot, need: Need) -> float:
    """When a needed step is over, with its glue or coat where that is asked for."""
    return slot.free if need.waits else slot.end


def _slot(step: Step, begin: float, day_minutes: float) -> Slot:
    left = step.minutes
    spans: list[Span] = []
    for window in windows(day_minutes, begin):
        room = window.end - window.start
        if step.whole and left > room and not spans and left <= day_minutes / 2:
            continue
        taken = min(left, room)
        spans.append(Span(window.start, window.start + taken))
        left -= taken
        if left <= _NOTHING:
            break
    end = spans[-1].end
    wait = step.wait
    return Slot(
        step.key,
        tuple(spans),
        end + (0.0 if wait is None else wait.minutes),
        0 if wait is None else wait.clamps,
    )


_NOTHING = 1e-9
"""Minutes left over by rounding of sums."""
