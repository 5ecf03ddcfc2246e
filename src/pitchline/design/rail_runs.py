"""Handrail lines of legs that hang together: where rails are joined they must meet. Lengths in mm.

A leg alone takes its own best line. Where the rails of legs are mitred at a turn of the plan their tops must be
at one height on the corner; the lines are then chosen together by a linear programme in every leg's (a, b) of
z = a + b u and one margin, the smallest that any leg keeps to its window: the largest such margin is taken, and
among those that share it the largest sum of the legs' own margins. The rail of a level edge is level.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pitchline.design.brief import RailBrief
from pitchline.design.limits import Limits
from pitchline.design.rails import OPEN_WINDOW, handrail_line
from pitchline.kit.errors import ImpossibleDesignError
from pitchline.kit.geometry.lines import Line
from pitchline.stair.model import Flight


@dataclass(frozen=True, slots=True)
class RailLeg:
    """One leg whose handrail is sought: its window and the wish for it. ``fitted`` is the line of a
    rail that is fitted already and keeps it."""

    flight: Flight
    wish: RailBrief
    limits: Limits
    fitted: Line | None = None

    @property
    def window(self) -> tuple[float, float]:
        """Lower and upper edge of the window for the rail's top, plumb."""
        if self.wish.height is not None:
            return self.wish.height, self.wish.height
        low, high = self.limits.low, self.limits.high
        return low, low + OPEN_WINDOW if high is None else high


@dataclass(frozen=True, slots=True)
class Meeting:
    """The rails of leg ``index`` and the next meet: at ``leaves`` on the first, at ``joins`` on the second.

    ``in_line``: they are one rail, so that they agree everywhere.
    """

    index: int
    leaves: float
    joins: float
    in_line: bool = False


def lines_of(legs: Sequence[RailLeg], meetings: Sequence[Meeting]) -> tuple[Line, ...]:
    """The top lines of every leg's handrail, each in its leg's own (u, z).

    ImpossibleDesignError where the rails that are to meet cannot.
    """
    own = [leg.fitted or handrail_line(leg.flight, leg.wish, leg.limits)[0] for leg in legs]
    for run in _runs(len(legs), meetings):
        if run:
            first, last = run[0].index, run[-1].index + 1
            if any(leg.fitted is None for leg in legs[first : last + 1]):
                own[first : last + 1] = _together(legs[first : last + 1], run, first)
    return tuple(own)


def _runs(count: int, meetings: Sequence[Meeting]) -> list[list[Meeting]]:
    """Meetings of legs that hang together without a break."""
    runs: list[list[Meeting]] = [[]]
    held = {meeting.index: meeting for meeting in meetings}
    for index in range(count - 1):
        if index in held:
            runs[-1].append(held[index])
        elif runs[-1]:
            runs.append([])
    return runs


def _together(legs: Sequence[RailLeg], run: Sequence[Meeting], first: int) -> list[Line]:
    """The lines of one run of legs, in two steps of one linear programme."""
    rows, bounds = _windows(legs)
    equal, held = _held(legs, run, first)
    count = 2 * len(legs)
    shared = np.zeros((len(rows), 1))
    shared[:, 0] = 1.0
    best = _solve(
        np.hstack((rows[:, :count], shared)),
        bounds,
        np.hstack((equal, np.zeros((len(equal), 1)))),
        held,
        np.array([*np.zeros(count), -1.0]),
    )
    margin = best[-1]
    own = np.zeros((len(rows), len(legs)))
    own[np.arange(len(rows)), rows[:, count].astype(int)] = 1.0
    floor = np.zeros((len(legs), count + len(legs)))
    floor[:, count:] = -np.eye(len(legs))
    final = _solve(
        np.vstack((np.hstack((rows[:, :count], own)), floor)),
        np.concatenate((bounds, np.full(len(legs), -margin + _LOOSE))),
        np.hstack((equal, np.zeros((len(equal), len(legs))))),
        held,
        np.array([*np.zeros(count), *(0.0 if leg.fitted else -1.0 for leg in legs)]),
    )
    return [Line(float(final[2 * k]), float(final[2 * k + 1]) / _SCALE) for k in range(len(legs))]


_SCALE = 1000.0
"""Slopes are sought per metre, so that the programme's numbers are of one size."""

_LOOSE = 1e-7
"""mm by which the shared margin may fall short in the second step: the solver's own tolerance."""


def _windows(legs: Sequence[RailLeg]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Rows of 'line plus margin stays inside the window' over (a, b) of every leg; the last column is the leg."""
    rows, bounds = [], []
    for index, leg in enumerate(legs):
        low, high = leg.window
        for u, z in () if leg.fitted else leg.flight.nosings:
            for sense, limit in ((-1.0, -(low + z)), (1.0, high + z)):
                row = np.zeros(2 * len(legs) + 1)
                row[2 * index], row[2 * index + 1], row[-1] = sense, sense * u / _SCALE, index
                rows.append(row)
                bounds.append(limit)
    return np.array(rows), np.array(bounds)


def _held(
    legs: Sequence[RailLeg], run: Sequence[Meeting], first: int
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Rows of 'the two rails are at one height on the corner' and 'the rail of a level edge is level'.

    A fitted rail keeps its own line; two fitted ones meet as they may.
    """
    rows, values = [], []
    for meeting in run:
        k = meeting.index - first
        if legs[k].fitted and legs[k + 1].fitted:
            continue
        row = np.zeros(2 * len(legs))
        row[2 * k : 2 * k + 4] = (1.0, meeting.leaves / _SCALE, -1.0, -meeting.joins / _SCALE)
        rows.append(row)
        values.append(legs[k + 1].flight.base_z - legs[k].flight.base_z)
        if meeting.in_line and not legs[k].flight.is_level:
            slopes = np.zeros(2 * len(legs))
            slopes[2 * k + 1], slopes[2 * k + 3] = 1.0, -1.0
            rows.append(slopes)
            values.append(0.0)
    for k, leg in enumerate(legs):
        if leg.fitted is not None:
            for place, value in ((2 * k, leg.fitted.z0), (2 * k + 1, leg.fitted.slope * _SCALE)):
                row = np.zeros(2 * len(legs))
                row[place] = 1.0
                rows.append(row)
                values.append(value)
        elif leg.flight.is_level:
            row = np.zeros(2 * len(legs))
            row[2 * k + 1] = 1.0
            rows.append(row)
            values.append(0.0)
    return np.array(rows), np.array(values)


def _solve(
    rows: NDArray[np.float64],
    bounds: NDArray[np.float64],
    equal: NDArray[np.float64],
    held: NDArray[np.float64],
    cost: NDArray[np.float64],
) -> NDArray[np.float64]:
    from scipy.optimize import linprog  # slow to load, and only joined rails need it

    found = linprog(cost, A_ub=rows, b_ub=bounds, A_eq=equal, b_eq=held, bounds=(None, None), method="highs")
    if found.status != 0 or found.x is None:
        raise ImpossibleDesignError(
            "the rails of these legs cannot meet: let a newel stand at the turn, or leave the heights open"
        )
    answer: NDArray[np.float64] = found.x
    return answer
