"""Starting values for the adjustment, taken from the readings themselves.

Heights, goings, levels and plumb lines are chained from what is known; straights, pitches and margins then
give the one thing each still lacks. Only where no chain leads on is a step of a usual stair assumed.
"""

import math
from collections.abc import Callable, Iterator, Sequence

import numpy as np

from pitchline.survey.equations import Equations, FloatArray, Unknown, unknowns_of
from pitchline.survey.readings import Fixed, Kind, Prior, Reading, nosing_number

Known = dict[Unknown, float]

USUAL_RISE = 190.0
USUAL_GOING = 240.0
"""A step to start from where the readings alone give no chain, mm; the adjustment replaces it."""

_FLAT = 1e-3
_FAR_OFF = 30.0


def starting_values(
    equations: Equations, readings: Sequence[Reading], fixed: Sequence[Fixed], prior: Sequence[Prior]
) -> FloatArray:
    """First values of the unknowns, in the order of ``equations.unknowns``; mm."""
    told: tuple[Prior | Fixed, ...] = (*prior, *fixed)
    known: Known = {entry.coordinate: entry.value for entry in told}
    linear = [(reading, unknowns_of(reading)) for reading in readings if reading.kind not in _CURVED]
    curved = [reading for reading in readings if reading.kind in _CURVED]
    missing = [unknown for unknown in equations.unknowns if unknown not in known]
    while missing:
        _chain(known, linear)
        missing = [unknown for unknown in missing if unknown not in known]
        if missing and not _bend(known, curved, readings):
            unknown = min(missing, key=_first_to_assume)
            known[unknown] = _assume(known, unknown, readings)
    return np.array([known[unknown] for unknown in equations.unknowns])


_CURVED = frozenset({Kind.STRAIGHT, Kind.PITCH, Kind.MARGIN, Kind.SLOPE})


def _chain(known: Known, linear: Sequence[tuple[Reading, tuple[Unknown, ...]]]) -> None:
    """Carry values along every height, going, level and plumb line until none leads on."""
    waiting = list(linear)
    moved = True
    while moved:
        moved = False
        rest: list[tuple[Reading, tuple[Unknown, ...]]] = []
        for reading, (first, second) in waiting:
            if first in known and second in known:
                continue
            if first in known:
                known[second] = known[first] + reading.value
                moved = True
            elif second in known:
                known[first] = known[second] - reading.value
                moved = True
            else:
                rest.append((reading, (first, second)))
        waiting = rest


def _bend(known: Known, curved: Sequence[Reading], readings: Sequence[Reading]) -> bool:
    """Take one step along a reading that is not a plain difference; False where none serves."""
    return any(rule(known, curved, readings) for rule in _RULES)


def _by_last_coordinate(known: Known, curved: Sequence[Reading], readings: Sequence[Reading]) -> bool:
    """A straight or a pitch that lacks one coordinate gives it."""
    for reading in curved:
        if reading.kind in (Kind.MARGIN, Kind.SLOPE):
            continue
        names = unknowns_of(reading)
        lacking = [place for place, name in enumerate(names) if name not in known]
        if len(lacking) == 1 and (step := _leg(known, reading, lacking[0] % 2)) is not None:
            place = lacking[0]
            base = known[names[(place + 2) % 4]]
            ways = [{names[place]: base + sign * step} for sign in (1.0, -1.0)]
            if reading.kind is Kind.PITCH:
                ways = ways[:1] if place >= 2 else ways[1:]
            elif place < 2:
                ways.reverse()
            known.update(_best(known, ways, readings, _prefers_second(reading)))
            return True
    return False


def _leg(known: Known, reading: Reading, axis: int) -> float | None:
    """The lacking leg (0: along, 1: up) of a straight, unsigned, or of a pitch, from start to end."""
    if reading.kind is Kind.STRAIGHT:
        other = _gap(known, reading, 1 - axis)
        return math.sqrt(max(reading.value**2 - other**2, 0.0))
    tangent = math.tan(reading.value)
    if axis == 1:
        return _gap(known, reading, 0) * tangent
    return _gap(known, reading, 1) / tangent if abs(tangent) > _FLAT else None


def _gap(known: Known, reading: Reading, axis: int) -> float:
    names = unknowns_of(reading)
    return known[names[2 + axis]] - known[names[axis]]


def _prefers_second(reading: Reading) -> bool:
    """Between nosings the higher number lies further up; else a reading is taken to lead up the stair."""
    start, end = nosing_number(reading.start), nosing_number(reading.end)
    return start is not None and end is not None and start > end


def _by_pitch_and_length(known: Known, curved: Sequence[Reading], readings: Sequence[Reading]) -> bool:
    """A straight and a pitch between the same two points give the far one."""
    pitches = {(r.start, r.end): r.value for r in curved if r.kind is Kind.PITCH}
    for reading in curved:
        if reading.kind is not Kind.STRAIGHT:
            continue
        start, end = reading.start, reading.end
        pitch = pitches.get((start, end))
        if pitch is None and (end, start) in pitches:
            pitch = pitches[end, start] + math.pi
        if pitch is None:
            continue
        dx, dz = reading.value * math.cos(pitch), reading.value * math.sin(pitch)
        for near, far, sense in ((start, end, 1.0), (end, start, -1.0)):
            if _stands(known, near) and not _stands(known, far):
                known.setdefault(("x", far), known["x", near] + sense * dx)
                known.setdefault(("z", far), known["z", near] + sense * dz)
                return True
    return False


def _stands(known: Known, point: str) -> bool:
    return ("x", point) in known and ("z", point) in known


def _by_string(known: Known, curved: Sequence[Reading], readings: Sequence[Reading]) -> bool:
    """Two margins at known nosings give a string; a known string gives a height."""
    margins = [reading for reading in curved if reading.kind is Kind.MARGIN]
    if _by_slope(known, curved, margins):
        return True
    for reading in margins:
        height, slope, x, z = unknowns_of(reading)
        if height in known and slope in known:
            if x in known and z not in known:
                known[z] = known[height] + known[slope] * known[x] - reading.value
                return True
            continue
        feet = [m for m in margins if m.start == reading.start and _stands(known, m.end)]
        feet.sort(key=lambda m: known["x", m.end])
        if feet and known["x", feet[-1].end] > known["x", feet[0].end]:
            low, high = feet[0], feet[-1]
            run = known["x", high.end] - known["x", low.end]
            rise = known["z", high.end] + high.value - known["z", low.end] - low.value
            known[slope] = rise / run
            known[height] = known["z", low.end] + low.value - known[slope] * known["x", low.end]
            return True
    return False


def _by_slope(known: Known, curved: Sequence[Reading], margins: Sequence[Reading]) -> bool:
    """A slope that was read, and with it one margin at a known nosing, give a string."""
    for reading in curved:
        (slope,) = unknowns_of(reading) if reading.kind is Kind.SLOPE else (("", ""),)
        if slope[0] and slope not in known:
            known[slope] = math.tan(reading.value)
            return True
    for margin in margins:
        height, slope, x, z = unknowns_of(margin)
        if slope in known and height not in known and x in known and z in known:
            known[height] = known[z] + margin.value - known[slope] * known[x]
            return True
    return False


def _by_two_straights(known: Known, curved: Sequence[Reading], readings: Sequence[Reading]) -> bool:
    """Two straights from known points meet in the third."""
    arms: dict[str, list[tuple[str, float]]] = {}
    for reading in curved:
        if reading.kind is Kind.STRAIGHT:
            for near, far in ((reading.start, reading.end), (reading.end, reading.start)):
                if _stands(known, near) and not _stands(known, far):
                    arms.setdefault(far, []).append((near, reading.value))
    for far, reached in arms.items():
        for one in reached[:-1]:
            for other in reached[1:]:
                if one[0] != other[0]:
                    ways = [{("x", far): x, ("z", far): z} for x, z in _meet(known, one, other)]
                    ways.sort(key=lambda way: way["x", far])
                    down = (nosing_number(far) or 0) < (nosing_number(one[0]) or 0)
                    known.update(_best(known, ways, readings, second=not down))
                    return True
    return False


def _meet(known: Known, one: tuple[str, float], other: tuple[str, float]) -> Iterator[tuple[float, float]]:
    """The two points at the given distances from two known points (one point where they do not reach)."""
    x1, z1 = known["x", one[0]], known["z", one[0]]
    dx, dz = known["x", other[0]] - x1, known["z", other[0]] - z1
    apart = max(math.hypot(dx, dz), _FLAT)
    along = (one[1] ** 2 - other[1] ** 2 + apart**2) / (2 * apart)
    square = math.sqrt(max(one[1] ** 2 - along**2, 0.0))
    for side in (1.0, -1.0):
        yield (
            x1 + (along * dx - side * square * dz) / apart,
            z1 + (along * dz + side * square * dx) / apart,
        )


def _best(known: Known, ways: list[Known], readings: Sequence[Reading], second: bool) -> Known:
    """The way that the other readings bear out; where they are silent, the first or the second as told."""
    ways = list(reversed(ways)) if second else ways
    return min(ways, key=lambda way: round(_disagreement({**known, **way}, set(way), readings), 3))


def _disagreement(known: Known, news: set[Unknown], readings: Sequence[Reading]) -> float:
    total = 0.0
    for reading in readings:
        names = unknowns_of(reading)
        if not news.isdisjoint(names) and all(name in known for name in names):
            off = (computed(reading.kind, [known[name] for name in names]) - reading.value) / reading.sigma
            total += min(abs(off), _FAR_OFF)
    return total


def computed(kind: Kind, values: Sequence[float]) -> float:
    """What a reading would be, from what it speaks of (in the order of ``unknowns_of``); mm, angles in radians."""
    match kind:
        case Kind.STRAIGHT:
            return math.hypot(values[2] - values[0], values[3] - values[1])
        case Kind.PITCH:
            return math.atan2(values[3] - values[1], values[2] - values[0])
        case Kind.MARGIN:
            return values[0] + values[1] * values[2] - values[3]
        case Kind.SLOPE:
            return math.atan(values[0])
        case _:
            return values[1] - values[0]


Rule = Callable[[Known, Sequence[Reading], Sequence[Reading]], bool]
_RULES: tuple[Rule, ...] = (_by_last_coordinate, _by_pitch_and_length, _by_string, _by_two_straights)


def _first_to_assume(unknown: Unknown) -> tuple[int, int]:
    """Nosings from the foot up, then other points, then slopes, set-ups and strings."""
    axis, name = unknown
    number = nosing_number(name) if axis in _STEP else None
    if number is not None:
        return (0, number)
    return (("x", "z", "slope").index(axis) + 1 if axis in {"x", "z", "slope"} else 4, 0)


_STEP = {"x": USUAL_GOING, "z": USUAL_RISE}


def _assume(known: Known, unknown: Unknown, readings: Sequence[Reading]) -> float:
    """A usual step away from the nearest known nosing; a usual slope; else where a reading touches it."""
    axis, name = unknown
    if axis == "slope":
        return USUAL_RISE / USUAL_GOING
    number = nosing_number(name)
    step = _STEP.get(axis)
    if number is not None and step is not None:
        near = [
            (abs(number - k), k, n) for a, n in known if a == axis and (k := nosing_number(n)) is not None
        ]
        if near:
            _, k, neighbour = min(near)
            return known[axis, neighbour] + (number - k) * step
        return number * step
    touching = [other for r in readings if unknown in unknowns_of(r) for other in unknowns_of(r)]
    heights = [known[other] for other in touching if other[0] == axis and other in known]
    if heights:
        return heights[0] + 1.0
    return 0.0
