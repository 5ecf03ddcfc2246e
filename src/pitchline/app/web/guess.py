"""The stair as far as it is known while it is being read: points from readings, filled in where there are none yet.

For the drawing of the stair page only: nothing is made from it. Once the readings determine the stair, the adjusted
points take its place.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from statistics import median
from typing import Any

from pitchline.app.web.shown import at, items, read_mm
from pitchline.kit.units import Unit

USUAL_RISE, USUAL_GOING, USUAL_RUN = 190.0, 230.0, 900.0
"""mm, drawn where nothing is read yet: a common stair in Britain (common practice, no source)."""
MOST_RISERS = 40


@dataclass(frozen=True, slots=True)
class Guess:
    """Points of a leg in its own (u, z), mm; the nosings in order and everything else by name.

    ``lines`` are heights of level lines and places of plumb lines by their set-ups.
    """

    nosings: tuple[tuple[float, float], ...]
    points: Mapping[str, tuple[float, float]]
    lines: Mapping[str, float]
    level: bool

    def point(self, name: str) -> tuple[float, float] | None:
        """A point by its name."""
        return self.points.get(name)


def guessed(leg: Mapping[str, Any], unit: Unit, *, level: bool) -> Guess:
    """The points of a leg from what its table in the file holds."""
    nosings = _edge(leg, unit) if level else _flight(leg, unit)
    points = {"floor": (nosings[0][0] - 120.0, 0.0)}
    points |= {f"N{k}": point for k, point in enumerate(nosings, start=1)}
    readings = [entry for entry in items(leg, "readings") if isinstance(entry, dict)]
    lines: dict[str, float] = {}
    for _ in range(3):
        for entry in readings:
            _learn(entry, unit, points, lines, nosings)
    return Guess(nosings, points, lines, level)


def count_of(leg: Mapping[str, Any], *, level: bool) -> int:
    """How many nosings or points a leg has; a usual number where that cannot be read."""
    count = leg.get("points" if level else "risers")
    if isinstance(count, bool) or not isinstance(count, int):
        return 2 if level else 12
    return min(max(count, 2), MOST_RISERS)


def _lengths(values: Iterable[object], count: int, unit: Unit, usual: float) -> list[float]:
    read = [read_mm(value, unit) for value in values][:count]
    known = [value for value in read if value is not None and 5.0 <= value <= 5000.0]
    fill = median(known) if known else usual
    read += [None] * (count - len(read))
    return [value if value is not None and 5.0 <= value <= 5000.0 else fill for value in read]


def _flight(leg: Mapping[str, Any], unit: Unit) -> tuple[tuple[float, float], ...]:
    count = count_of(leg, level=False)
    rises = _lengths(items(leg, "rises", "values"), count, unit, USUAL_RISE)
    goings = _lengths(items(leg, "goings", "values"), count - 1, unit, USUAL_GOING)
    u, z = 0.0, rises[0]
    points = [(u, z)]
    for rise, going in zip(rises[1:], goings, strict=True):
        u, z = u + going, z + rise
        points.append((u, z))
    return tuple(points)


def _edge(leg: Mapping[str, Any], unit: Unit) -> tuple[tuple[float, float], ...]:
    count = count_of(leg, level=True)
    runs = _lengths(items(leg, "runs", "values"), count - 1, unit, USUAL_RUN)
    heights = [read_mm(value, unit) or 0.0 for value in items(leg, "heights", "values")][:count]
    heights += [0.0] * (count - len(heights))
    u, points = 0.0, [(0.0, heights[0])]
    for run, height in zip(runs, heights[1:], strict=True):
        u += run
        points.append((u, height))
    return tuple(points)


def _learn(
    entry: Mapping[str, Any],
    unit: Unit,
    points: dict[str, tuple[float, float]],
    lines: dict[str, float],
    nosings: tuple[tuple[float, float], ...],
) -> None:
    """What one further reading tells of points and lines that are not placed yet."""
    value = read_mm(entry.get("value"), unit)
    kind, start, end = entry.get("kind"), entry.get("from"), entry.get("to")
    set_up = entry.get("setup")
    if value is None or not isinstance(end, str):
        return
    if kind in ("run", "height") and isinstance(start, str):
        _step(str(kind), (start, end), value, points, nosings)
    elif kind == "level" and isinstance(set_up, str):
        if set_up in lines:
            if end not in points:
                points[end] = (_beside(nosings, lines[set_up] - value), lines[set_up] - value)
        elif end in points:
            lines[set_up] = points[end][1] + value
    elif kind == "plumb" and isinstance(set_up, str):
        if set_up in lines:
            if end not in points:
                points[end] = (lines[set_up] + value, _over(nosings, lines[set_up] + value))
        elif end in points:
            lines[set_up] = points[end][0] - value


def _step(
    kind: str,
    ends: tuple[str, str],
    value: float,
    points: dict[str, tuple[float, float]],
    nosings: tuple[tuple[float, float], ...],
) -> None:
    start, end = ends
    for known, new, sign in ((start, end, 1.0), (end, start, -1.0)):
        if known in points and new not in points:
            u, z = points[known]
            if kind == "run":
                points[new] = (u + sign * value, _over(nosings, u + sign * value))
            else:
                points[new] = (u, z + sign * value)


def _over(nosings: tuple[tuple[float, float], ...], u: float) -> float:
    """A height at which a point of unknown height is drawn: over the nosing beside it."""
    return min(nosings, key=lambda point: abs(point[0] - u))[1] + 110.0


def _beside(nosings: tuple[tuple[float, float], ...], z: float) -> float:
    return min(nosings, key=lambda point: abs(point[1] - z))[0]


def named_points(leg: Mapping[str, Any]) -> tuple[str, ...]:
    """Points that readings of a leg name besides floor and nosings."""
    found: dict[str, None] = {}
    for entry in items(leg, "readings"):
        for key in ("from", "to"):
            name = at((key,), entry)
            if isinstance(name, str):
                found[name] = None
    for kind in ("posts", "walls"):
        for entry in items(leg, kind):
            name = at(("station",), entry)
            if isinstance(name, str):
                found[name] = None
    return tuple(name for name in found if name != "floor" and not (name[:1] == "N" and name[1:].isdecimal()))
