"""The schedule as bars over working hours: nights are left out, glue and coats that go on are thin lines."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from pitchline.kit.drawing.lettering import open_face
from pitchline.kit.drawing.marks import (
    Anchor,
    Area,
    Drawing,
    Fill,
    Label,
    Mark,
    Pen,
    Stroke,
)
from pitchline.making.order import Place, Step
from pitchline.making.order_plan import Planned
from pitchline.making.order_schedule import DAY, LUNCH, NOON, START, Slot
from pitchline.sheets.order_words import lasting

ROW, LEAST_ROW = 6.2, 3.4
"""Paper mm from row to row: as wide as that where there is room, no closer than that."""

NAMES = 92.0
"""Paper mm for numbers and titles."""

HEAD = 9.0
"""Paper mm above the first row for the days and hours."""

FOOT = 17.0
"""Paper mm below the last row for the clamps."""


@dataclass(frozen=True, slots=True)
class _Axis:
    """Where a minute of the clock lies: day beside day, each from morning to evening."""

    left: float
    width: float
    days: int
    day_minutes: float

    @property
    def whole(self) -> float:
        """Minutes of the clock from morning to evening, with the break."""
        return self.day_minutes + (LUNCH if self.day_minutes > NOON - START else 0.0)

    @property
    def day_width(self) -> float:
        return self.width / self.days

    def at(self, minute: float) -> float:
        """x of a minute; at night the edge of the day."""
        day = min(int(minute // DAY), self.days - 1)
        within = min(max(minute - day * DAY - START, 0.0), self.whole)
        return self.left + self.day_width * (day + within / self.whole)


def bars(planned: Planned, width: float, height: float) -> Drawing:
    """The schedule at full size on paper, ``width`` x ``height`` mm at most; its first row at the top."""
    steps, schedule = planned.order.by_key, planned.schedule
    slots = schedule.slots
    row = max(LEAST_ROW, min(ROW, (height - HEAD - FOOT) / max(1, len(slots))))
    axis = _Axis(NAMES, width - NAMES, schedule.days, schedule.day_minutes)
    foot = -HEAD - row * len(slots)
    marks: list[Mark] = [*_grid(axis, foot)]
    for number, slot in enumerate(slots, start=1):
        marks += _row(axis, steps[slot.step], slot, number, (-HEAD - row * number, row))
    marks += _clamps(axis, slots, planned, foot - 4.0)
    return Drawing(f"{planned.work.design}-schedule", "Schedule of one person", 1.0, tuple(marks))


def _grid(axis: _Axis, foot: float) -> Iterator[Mark]:
    """Days with their hours, the break shaded."""
    for day in range(axis.days):
        base = day * DAY
        left, right = axis.at(base + START), axis.at(base + START) + axis.day_width
        if axis.whole > axis.day_minutes:
            noon, after = axis.at(base + NOON), axis.at(base + NOON + LUNCH)
            yield Area(((noon, foot), (after, foot), (after, -HEAD), (noon, -HEAD)), Fill.GREY)
        yield Stroke(((left, foot), (left, 0.0)), Pen.THIN)
        yield Label(((left + right) / 2, -3.4), f"day {day + 1}", anchor=Anchor.BASE_CENTRE)
        step = 2 if axis.day_width > 30.0 else 4
        for hour in range(int(START // 60), int((START + axis.whole) // 60) + 1, step):
            x = axis.at(base + hour * 60.0)
            yield Stroke(((x, -HEAD), (x, -HEAD + 1.2)), Pen.THIN)
            if x < right - 3.0:
                yield Label((x + 0.6, -HEAD + 1.6), str(hour), 1.6)
    end = axis.left + axis.width
    yield Stroke(((end, foot), (end, 0.0)), Pen.THIN)
    yield Stroke(((0.0, -HEAD), (end, -HEAD)), Pen.OUTLINE)
    yield Stroke(((0.0, foot), (end, foot)), Pen.OUTLINE)


def _row(axis: _Axis, step: Step, slot: Slot, number: int, place: tuple[float, float]) -> Iterator[Mark]:
    """One step: number, title, minutes, its bars, and the line of what goes on after it."""
    y, row = place
    size = min(2.5, 0.5 * row)
    feet = y + (row - size) / 2
    yield Stroke(((0.0, y), (axis.left + axis.width, y)), Pen.GHOST)
    pen = Pen.ACCENT_NOTE if step.gate is not None else Pen.NOTE
    yield Label((5.5, feet), str(number), size, Anchor.BASE_RIGHT, pen=pen)
    yield Label((7.5, feet), _cut(step.title, NAMES - 24.0, size), size, pen=pen)
    yield Label((NAMES - 2.0, feet), lasting(step.minutes), size, Anchor.BASE_RIGHT)
    low, high = y + 0.22 * row, y + 0.78 * row
    if slot.free > slot.end:
        middle = (low + high) / 2
        yield Stroke(((axis.at(slot.end), middle), (axis.at(slot.free), middle)), Pen.THIN)
        end = axis.at(slot.free)
        yield Stroke(((end, low), (end, high)), Pen.THIN)
    fill = Fill.WARNING if step.gate is not None else _FILLS[step.at]
    for span in slot.spans:
        a, b = axis.at(span.start), max(axis.at(span.end), axis.at(span.start) + 0.4)
        yield Area(((a, low), (b, low), (b, high), (a, high)), fill, pen=Pen.THIN)


_FILLS: Mapping[Place, Fill] = {Place.BENCH: Fill.WOOD, Place.STAIR: Fill.END_GRAIN}


def _cut(text: str, room: float, size: float) -> str:
    """A text that fits a width, its end left out where it does not."""
    face = open_face()
    if face.width(text, size) <= room:
        return text
    while text and face.width(f"{text} ...", size) > room:
        text = text[:-1].rstrip()
    return f"{text} ..."


def _clamps(axis: _Axis, slots: Sequence[Slot], planned: Planned, top: float) -> Iterator[Mark]:
    """How many clamps are in use over time."""
    have = sum(one.count for one in planned.work.shop.clamps)
    if not have or not any(slot.clamps for slot in slots):
        return
    high = FOOT - 6.0
    base = top - high
    yield Label((7.5, base + 1.0), f"Clamps in use, of {have}", 2.2)
    yield Stroke(((axis.left, base), (axis.left + axis.width, base)), Pen.THIN)
    yield Stroke(((axis.left, top), (axis.left + axis.width, top)), Pen.GHOST)
    moments = sorted({minute for slot in slots if slot.clamps for minute in (slot.start, slot.free)})
    for start, end in pairwise(moments):
        used = sum(slot.clamps for slot in slots if slot.start <= start and slot.free >= end)
        if used:
            level = base + high * min(1.0, used / have)
            a, b = axis.at(start), axis.at(end)
            yield Area(((a, base), (b, base), (b, level), (a, level)), Fill.GREY, pen=Pen.THIN)
