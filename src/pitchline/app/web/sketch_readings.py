"""Where each reading is drawn on the stair: its lines and its figure, beside each other so that all can be read."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from pitchline.app.web.guess import Guess

Point = tuple[float, float]
Line = tuple[Point, ...]

LETTERS = 84.0
"""mm of the model: height of the letters when a usual flight fills the drawing."""
LANE = 88.0
"""mm between readings laid over each other."""
LETTER_WIDE = 0.44
"""Width of a narrow letter to its height, roughly."""
TICK = 22.0
"""mm: half the short stroke at the end of a dimension."""


@dataclass(frozen=True, slots=True)
class Taken:
    """A reading to be drawn: where it stands in the job, its kind and ends, its words, and how it stands."""

    where: str
    kind: str
    start: str
    end: str
    text: str
    unread: bool = False
    doubt: bool = False


@dataclass(frozen=True, slots=True)
class Measure:
    """A reading drawn, in model mm: its lines; where its figure stands, turned so far anticlockwise."""

    reading: Taken
    lines: tuple[Line, ...]
    text: Point
    anchor: str = "middle"
    turn_deg: float = 0.0

    @property
    def text_box(self) -> tuple[Point, Point]:
        """Corners of the room of its figure, roughly."""
        wide = LETTER_WIDE * LETTERS * len(self.reading.text)
        if abs(self.turn_deg) > 20.0:
            wide = LETTERS
        left = {"start": 0.0, "end": -wide}.get(self.anchor, -wide / 2)
        u, z = self.text
        return (u + left, z), (u + left + wide, z + LETTERS)


Placed = Callable[[Taken, Point, Point, int], Measure]


def measures(guess: Guess, taken: Sequence[Taken]) -> tuple[Measure, ...]:
    """Every reading whose ends are known, drawn."""
    found: list[Measure] = []
    lanes = _Lanes()
    for reading in taken:
        end = guess.point(reading.end)
        if reading.kind in ("level", "plumb"):
            line = guess.lines.get(reading.start)
            if line is not None and end is not None:
                found.append(_from_line(guess, reading, line, end, lanes))
            continue
        start = end if reading.kind == "margin" else guess.point(reading.start)
        if start is not None and end is not None:
            found.append(
                _sag(reading, end) if _is_sag(guess, reading) else _between(reading, start, end, lanes)
            )
    return tuple(found)


def _is_sag(guess: Guess, reading: Taken) -> bool:
    return guess.level and reading.kind == "height" and reading.start == "floor"


def _sag(reading: Taken, end: Point) -> Measure:
    """How far a point of a floor's edge lies above its level: too little to be drawn, so its figure stands below."""
    lines = ((end, (end[0], end[1] - 1.3 * LETTERS)),)
    return Measure(reading, lines, (end[0], end[1] - 2.2 * LETTERS))


class _Lanes:
    """Which lanes are taken: what would lie over each other gets a lane of its own."""

    def __init__(self) -> None:
        self.taken: dict[str, list[tuple[int, float, float]]] = {}

    def free(self, group: str, low: float, high: float) -> int:
        """The first lane of a group that is free between two places; takes it."""
        held = self.taken.setdefault(group, [])
        lane = 0
        while any(k == lane and a < high and low < b for k, a, b in held):
            lane += 1
        held.append((lane, low, high))
        return lane


def _between(reading: Taken, start: Point, end: Point, lanes: _Lanes) -> Measure:
    low, high = sorted((start[0], end[0]))
    match reading.kind:
        case "rise":
            return _plumb(reading, (end[0] - 34.0, start[1]), end[1])
        case "going":
            return _level(reading, (start[0], start[1] - 62.0), end[0], below=True)
        case "margin":
            lines = _dimension((end[0] + 12.0, end[1]), (end[0] + 12.0, end[1] + 70.0), (TICK, 0.0))
            return Measure(reading, lines, (end[0] + 40.0, end[1] + 8.0), "start")
        case "height":
            lane = lanes.free("height", min(start[1], end[1]), max(start[1], end[1]))
            return _plumb(reading, (low - 130.0 - 2 * LANE * lane, start[1]), end[1])
        case "run":
            lane = lanes.free("over", low - 150.0, high + 150.0)
            return _level(reading, (start[0], max(start[1], end[1]) + 70.0 + 1.2 * LANE * lane), end[0])
    lane = lanes.free("chord", low, high)
    return _chord(reading, start, end, lane)


def _plumb(reading: Taken, foot: Point, top: float) -> Measure:
    lines = _dimension(foot, (foot[0], top), (TICK, 0.0))
    return Measure(reading, lines, (foot[0] - 24.0, (foot[1] + top) / 2 - 0.36 * LETTERS), "end")


def _level(reading: Taken, start: Point, end: float, *, below: bool = False) -> Measure:
    lines = _dimension(start, (end, start[1]), (0.0, TICK))
    low, high = sorted((start[0], end))
    if high - low < LETTER_WIDE * LETTERS * len(reading.text):
        return Measure(reading, lines, (high + 24.0, start[1] - 0.36 * LETTERS), "start")
    drop = -1.02 * LETTERS if below else 0.25 * LETTERS
    return Measure(reading, lines, ((low + high) / 2, start[1] + drop))


def _chord(reading: Taken, start: Point, end: Point, lane: int) -> Measure:
    """A straight reading or a pitch, lifted square off the nosings."""
    du, dz = end[0] - start[0], end[1] - start[1]
    length = math.hypot(du, dz) or 1.0
    out = 1.7 * LANE + LANE * lane
    nu, nz = -dz / length * out, du / length * out
    a, b = (start[0] + nu, start[1] + nz), (end[0] + nu, end[1] + nz)
    text = ((a[0] + b[0]) / 2 + nu / out * 20.0, (a[1] + b[1]) / 2 + nz / out * 20.0)
    turn = math.degrees(math.atan2(dz, du))
    return Measure(
        reading, ((start, a), (a, b), (b, end)), text, "middle", turn - 180.0 * round(turn / 180.0)
    )


def _from_line(guess: Guess, reading: Taken, line: float, end: Point, lanes: _Lanes) -> Measure:
    if reading.kind == "level":
        return _from_level(guess, reading, line, end)
    zs = [z for _, z in guess.nosings]
    along = ((line, min(0.0, *zs) - 60.0), (line, max(zs) + 260.0))
    lane = lanes.free("over", min(line, end[0]) - 150.0, max(line, end[0]) + 150.0)
    far = abs(line - end[0]) > 1000.0
    height = end[1] + (44.0 if far else 70.0 + 1.2 * LANE * lane)
    measure = _level(reading, (end[0], height), line)
    return Measure(reading, (along, *measure.lines), measure.text, measure.anchor)


def _from_level(guess: Guess, reading: Taken, line: float, end: Point) -> Measure:
    us = [u for u, _ in guess.nosings]
    across = ((min(us) - 300.0, line), (max(us) + 300.0, line))
    u = end[0] + (-190.0 if reading.end == "floor" else 120.0)
    lines = (across, *_dimension((u, end[1]), (u, line), (TICK, 0.0)))
    if abs(line - end[1]) < 3.0 * LETTERS:
        return Measure(reading, lines, (u + 30.0, (end[1] + line) / 2 - 0.36 * LETTERS), "start")
    return Measure(reading, lines, (u - 20.0, (end[1] + line) / 2), "middle", 90.0)


def _dimension(a: Point, b: Point, tick: Point) -> tuple[Line, ...]:
    """A line with a short tick across each end."""
    du, dz = tick
    ticks = (((u - du, z - dz), (u + du, z + dz)) for u, z in (a, b))
    return ((a, b), *ticks)
