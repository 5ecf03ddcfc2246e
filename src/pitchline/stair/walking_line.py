"""The line that people walk round a turn: always equally far from the inner side, so an arc about its corner.

Before the corner and after it the line runs straight along the two flights. A nosing's place on it is where the
straight nosing crosses it, found in closed form on the line or the circle. Lengths in mm, plan co-ordinates as in
``winders``.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TypeVar

from pitchline.kit.geometry.lines import Point2
from pitchline.kit.tolerances import COVERAGE_FACTOR, SAME_POINT
from pitchline.stair.winder_facts import WinderFacts
from pitchline.stair.winders import Winders, lay_winders


@dataclass(frozen=True, slots=True)
class Crossing:
    """Where a nosing crosses the walking line: the point, and its place along the line (0 where the arc begins)."""

    point: Point2
    place: float


@dataclass(frozen=True, slots=True)
class Walk:
    """One walking line over winders, ``distance`` from the inner side.

    ``goings`` run along the line from nosing to nosing, ``chords`` straight; ``going_sigmas`` are the goings'
    standard uncertainties from every reading.
    """

    distance: float
    crossings: tuple[Crossing, ...]
    goings: tuple[float, ...]
    chords: tuple[float, ...]
    going_sigmas: tuple[float, ...]

    @property
    def expanded(self) -> tuple[float, ...]:
        """Expanded uncertainties of the goings (k = 2)."""
        return tuple(COVERAGE_FACTOR * sigma for sigma in self.going_sigmas)


def walk(winders: Winders, distance: float) -> Walk:
    """The walking line at a distance from the inner side. ValueError where a nosing does not reach it."""
    crossings = _crossings(winders, distance)

    def goings(told: WinderFacts) -> tuple[float, ...]:
        return _goings(_crossings(lay_winders(told), distance))

    return Walk(
        distance,
        crossings,
        _goings(crossings),
        tuple(math.dist(a.point, b.point) for a, b in pairwise(crossings)),
        sigmas_of(winders.facts, goings),
    )


def walk_points(winders: Winders, distance: float, beyond: float) -> tuple[Point2, float, Point2]:
    """The line for a drawing: its start ``beyond`` before the corner, the arc's angle in radians, its end."""
    turn = winders.turn
    end = _on_upper(beyond, distance, turn)
    return (-beyond, -distance), turn, end


def _on_upper(along: float, distance: float, turn: float) -> Point2:
    c, s = math.cos(turn), math.sin(turn)
    return (along * c + distance * s, along * s - distance * c)


def _crossings(winders: Winders, distance: float) -> tuple[Crossing, ...]:
    found = []
    for name, inner, outer in zip(winders.names, winders.inner, winders.outer, strict=True):
        crossing = crossing_of(inner, outer, distance, winders.turn)
        if crossing is None:
            raise ValueError(
                f"nosing {name} does not reach a walking line {distance:.0f} mm from the inner side"
            )
        found.append(crossing)
    return tuple(found)


def _goings(crossings: Sequence[Crossing]) -> tuple[float, ...]:
    return tuple(b.place - a.place for a, b in pairwise(crossings))


def crossing_of(inner: Point2, outer: Point2, distance: float, turn: float) -> Crossing | None:
    """Where the nosing from ``inner`` to ``outer`` first crosses the line, or None where it does not."""
    found = [
        *_straight(inner, outer, distance, 0.0),
        *_round(inner, outer, distance, turn),
        *_straight(inner, outer, distance, turn),
    ]
    if not found:
        return None
    return min(found, key=lambda crossing: math.dist(inner, crossing.point))


def _straight(inner: Point2, outer: Point2, distance: float, bearing: float) -> list[Crossing]:
    """On the straight piece before the arc (bearing 0) or after it."""
    c, s = math.cos(bearing), math.sin(bearing)
    near, far = (p[0] * s - p[1] * c for p in (inner, outer))
    if abs(far - near) < SAME_POINT:
        return []
    share = (distance - near) / (far - near)
    point = _between(inner, outer, share)
    along = point[0] * c + point[1] * s
    outside = along > SAME_POINT if bearing == 0.0 else along < -SAME_POINT
    if not 0.0 <= share <= 1.0 or outside:
        return []
    return [Crossing(point, along + (0.0 if bearing == 0.0 else distance * bearing))]


def _round(inner: Point2, outer: Point2, distance: float, turn: float) -> list[Crossing]:
    """On the arc: the roots of the quadratic for the share of the way at which the distance is reached."""
    du, dv = outer[0] - inner[0], outer[1] - inner[1]
    a = du * du + dv * dv
    b = inner[0] * du + inner[1] * dv
    c = inner[0] ** 2 + inner[1] ** 2 - distance**2
    under = b * b - a * c
    if under < 0.0 or a == 0.0:
        return []
    crossings = []
    for share in ((-b - math.sqrt(under)) / a, (-b + math.sqrt(under)) / a):
        point = _between(inner, outer, share)
        angle = math.atan2(point[0], -point[1])
        if angle < -SAME_POINT:
            angle += math.tau
        if 0.0 <= share <= 1.0 and -SAME_POINT <= angle <= turn + SAME_POINT:
            crossings.append(Crossing(point, distance * angle))
    return crossings


def _between(a: Point2, b: Point2, share: float) -> Point2:
    return (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]))


_Sizes = Callable[[WinderFacts], tuple[float, ...]]

_STEP = 0.01
"""mm (or thousandths of a radian) by which a reading is moved to find what hangs on it."""


def sigmas_of(facts: WinderFacts, sizes: _Sizes) -> tuple[float, ...]:
    """Standard uncertainties of sizes that follow from the readings, to first order, the readings independent."""
    totals = [0.0] * len(sizes(facts))
    for low, high, sigma, step in _moved(facts):
        for k, (a, b) in enumerate(zip(sizes(low), sizes(high), strict=True)):
            totals[k] += ((b - a) / (2.0 * step) * sigma) ** 2
    return tuple(math.sqrt(total) for total in totals)


def _moved(facts: WinderFacts) -> list[tuple[WinderFacts, WinderFacts, float, float]]:
    """The readings with each in turn a little less and a little more: both, its sigma, and the step."""
    found = []
    for k, nosing in enumerate(facts.nosings):
        for ends in (
            (replace(nosing, inner=nosing.inner - _STEP), replace(nosing, inner=nosing.inner + _STEP)),
            (replace(nosing, outer=nosing.outer - _STEP), replace(nosing, outer=nosing.outer + _STEP)),
        ):
            low, high = (replace(facts, nosings=_put(facts.nosings, k, end)) for end in ends)
            found.append((low, high, facts.place_sigma, _STEP))
    for k, width in enumerate(facts.widths):
        low, high = (replace(facts, widths=_put(facts.widths, k, width + step)) for step in (-_STEP, _STEP))
        found.append((low, high, facts.width_sigma, _STEP))
    small = _STEP / 1000.0
    for k, turn in enumerate(facts.turns):
        low, high = (replace(facts, turns=_put(facts.turns, k, turn + step)) for step in (-small, small))
        found.append((low, high, facts.turn_sigma, small))
    return found


_T = TypeVar("_T")


def _put(values: tuple[_T, ...], place: int, value: _T) -> tuple[_T, ...]:
    return (*values[:place], value, *values[place + 1 :])
