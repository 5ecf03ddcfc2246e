"""The line of a wall rail's top: straight pieces that bend as seldom as they can. Lengths in mm, heights plumb.

Along its wall the rail is a chain of straight pieces. Their heights at the points where they meet are found by a
linear programme: every nosing's window is kept with the largest common margin, and among the chains that share it
the one whose legs keep most by themselves. Level pieces are held level. Only where no straight rail keeps the window
is it bent above a nosing: at the one that serves best, and again until the window is kept or bending helps no more.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from pitchline.kit.errors import ImpossibleDesignError
from pitchline.kit.geometry.lines import Point2
from pitchline.kit.tolerances import SAME_POINT

_Row = NDArray[np.float64]

LEAST_PIECE_LENGTH = 150.0
"""A piece of rail is not made shorter than this between two bends: two mitres in one hand's breadth gape."""

MOST_BENDS = 4
"""Bends beyond this are not tried: a rail that needs more wants a wreath."""

BEND_PAYS = 1.0
"""mm of margin that a further bend must win to be worth its mitre."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """What one leg asks of the rail beside it.

    ``points`` are the nosings; the rail runs from ``start`` to ``finish``, level over the first ``level_before`` and
    the last ``level_after`` mm, and where ``is_level`` all of it but the last ``rising`` mm, in which it climbs
    to the flight that follows; with ``goes_on`` the first piece lies in line with the last of the stretch before. The
    window runs from ``low`` to ``high`` above
    every point. ``bends`` are the places where it may bend.
    """

    points: tuple[Point2, ...]
    start: float
    finish: float
    low: float
    high: float
    level_before: float = 0.0
    level_after: float = 0.0
    is_level: bool = False
    rising: float = 0.0
    goes_on: bool = False
    bends: tuple[float, ...] = ()

    @property
    def knots(self) -> tuple[float, ...]:
        """The places where pieces meet, ends included."""
        inner = {self.start + self.level_before, self._level_end, *self.bends}
        return tuple(sorted({self.start, self.finish, *inner}))

    @property
    def levels(self) -> tuple[bool, ...]:
        """Whether each piece between two knots is held level."""
        if self.is_level:
            return tuple(b <= self._level_end + SAME_POINT for b in self.knots[1:])
        low, high = self.start + self.level_before, self.finish - self.level_after
        return tuple(b <= low + SAME_POINT or a >= high - SAME_POINT for a, b in pairwise(self.knots))

    @property
    def _level_end(self) -> float:
        """Where the last level piece of a flight begins, or that of a level edge ends."""
        return self.finish - (self.rising if self.is_level else self.level_after)

    @property
    def may_bend(self) -> tuple[float, ...]:
        """The nosings above which it could bend once more."""
        if self.is_level:
            return ()
        low, high = self.start + self.level_before, self.finish - self.level_after
        held = (low, high, *self.bends)
        places = (u for u, _ in self.points if low < u < high)
        return tuple(u for u in places if min(abs(u - k) for k in held) >= LEAST_PIECE_LENGTH)


@dataclass(frozen=True, slots=True)
class Chain:
    """The line found: (u, z) of every stretch's knots, and the smallest margin to the windows."""

    paths: tuple[tuple[Point2, ...], ...]
    margin: float


def chain_of(stretches: Sequence[Stretch], enough: float = 0.0) -> Chain:
    """The rail's line along stretches that meet end to end; it bends no more once its margin is ``enough``.

    ImpossibleDesignError where the level pieces leave no room.
    """
    for stretch in stretches:
        if stretch.finish - stretch.start < stretch.level_before + stretch.level_after + SAME_POINT:
            raise ImpossibleDesignError(
                "a leg of the wall rail is too short for its level pieces: shorten them, or end the rail sooner"
            )
    kept = list(stretches)
    best = _solved(kept)
    for _ in range(MOST_BENDS):
        if best.margin >= enough - _LOOSE:
            break
        tried = [
            (_solved(changed), changed)
            for number, stretch in enumerate(kept)
            for place in stretch.may_bend
            for changed in [_bent(kept, number, place)]
        ]
        better = max(tried, key=lambda pair: pair[0].margin, default=None)
        if better is None or better[0].margin < best.margin + BEND_PAYS:
            break
        best, kept = better
    return best


def _bent(stretches: list[Stretch], number: int, place: float) -> list[Stretch]:
    changed = replace(stretches[number], bends=(*stretches[number].bends, place))
    return [*stretches[:number], changed, *stretches[number + 1 :]]


def _solved(stretches: Sequence[Stretch]) -> Chain:
    """The best heights for these knots, in two steps of one linear programme."""
    firsts, count = _numbered(stretches)
    rows, bounds, owners = _windows(stretches, firsts, count)
    equal = _level_rows(stretches, firsts, count)
    common = np.hstack((rows, np.ones((len(rows), 1))))
    best = _programme(common, bounds, _wider(equal, 1), np.array([*np.zeros(count), -1.0]))
    margin = float(best[-1])
    legs = len(stretches)
    own = np.zeros((len(rows), legs))
    own[np.arange(len(rows)), owners] = 1.0
    floor = np.hstack((np.zeros((legs, count)), -np.eye(legs)))
    final = _programme(
        np.vstack((np.hstack((rows, own)), floor)),
        np.concatenate((bounds, np.full(legs, _LOOSE - margin))),
        _wider(equal, legs),
        np.array([*np.zeros(count), *np.full(legs, -1.0)]),
    )
    paths = tuple(
        tuple((u, float(final[first + k])) for k, u in enumerate(stretch.knots))
        for stretch, first in zip(stretches, firsts, strict=True)
    )
    return Chain(paths, margin)


_LOOSE = 1e-6
"""mm by which the common margin may fall short in the second step: the solver's own tolerance."""


def _numbered(stretches: Sequence[Stretch]) -> tuple[list[int], int]:
    """Number of each stretch's first knot; neighbours share the knot where they meet."""
    firsts, count = [0], 1
    for stretch in stretches:
        count += len(stretch.knots) - 1
        firsts.append(count - 1)
    return firsts[:-1], count


def _windows(
    stretches: Sequence[Stretch], firsts: Sequence[int], count: int
) -> tuple[_Row, _Row, NDArray[np.int64]]:
    rows, bounds, owners = [], [], []
    for number, (stretch, first) in enumerate(zip(stretches, firsts, strict=True)):
        for u, z in stretch.points:
            weights = _weights(stretch, first, count, u)
            rows += [-weights, weights]
            bounds += [-(stretch.low + z), stretch.high + z]
            owners += [number, number]
    return np.array(rows), np.array(bounds), np.array(owners)


def _weights(stretch: Stretch, first: int, count: int, u: float) -> _Row:
    """The height at ``u`` as a sum of the knots' heights; beyond the ends, that of the end."""
    knots = stretch.knots
    row = np.zeros(count)
    place = min(max(u, knots[0]), knots[-1])
    for k, (a, b) in enumerate(pairwise(knots)):
        if place <= b:
            share = (place - a) / (b - a)
            row[first + k], row[first + k + 1] = 1.0 - share, share
            break
    return row


def _level_rows(stretches: Sequence[Stretch], firsts: Sequence[int], count: int) -> _Row:
    rows = []
    for stretch, first in zip(stretches, firsts, strict=True):
        for k, level in enumerate(stretch.levels):
            if level:
                row = np.zeros(count)
                row[first + k], row[first + k + 1] = 1.0, -1.0
                rows.append(row)
    for before, stretch, first in zip(stretches, stretches[1:], firsts[1:], strict=False):
        if stretch.goes_on:
            low, high = before.knots[-1] - before.knots[-2], stretch.knots[1] - stretch.knots[0]
            row = np.zeros(count)
            row[first - 1 : first + 2] = (high, -low - high, low)
            rows.append(row / (low + high))
    return np.array(rows).reshape(len(rows), count)


def _wider(rows: _Row, by: int) -> _Row:
    return np.hstack((rows, np.zeros((len(rows), by))))


def _programme(rows: _Row, bounds: _Row, equal: _Row, cost: _Row) -> _Row:
    from scipy.optimize import linprog  # slow to load, and only wall rails and joined rails need it

    held, level = (equal, np.zeros(len(equal))) if len(equal) else (None, None)
    found = linprog(cost, A_ub=rows, b_ub=bounds, A_eq=held, b_eq=level, bounds=(None, None), method="highs")
    if found.status != 0 or found.x is None:
        raise ImpossibleDesignError(
            "no line can be found for the rail along the wall: let it end at the corners, or shorten its level pieces"
        )
    answer: _Row = found.x
    return answer
