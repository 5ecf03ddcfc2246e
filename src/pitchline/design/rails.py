"""The handrail's line and the base rail's line. Heights are plumb, to the TOP of the rail, in mm.

The handrail is straight, so choosing it is choosing z = a + b u. The margin of a line is the smallest distance
of its height at any nosing to the edges of the window; the best line has the largest margin. That is a linear
programme in (a, b, margin). For a given slope the best a lies half-way between the tightest lower and the
tightest upper bound, and the margin is concave and piecewise linear in the slope with its corners at slopes
shared by two bounds of the same kind: trying those slopes solves the programme exactly.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from pitchline.design.bay import Trace
from pitchline.design.brief import BaseBrief, BaseSeat, RailBrief
from pitchline.design.limits import Limits
from pitchline.design.model import RailLine
from pitchline.kit.errors import ImpossibleDesignError
from pitchline.kit.geometry.lines import Line, Point2
from pitchline.kit.tolerances import SAME_POINT
from pitchline.stair.model import Flight
from pitchline.stair.pitch import support_line

OPEN_WINDOW = 100.0
"""Where a place sets no upper limit the rail is sought up to this far (mm) above the lower limit: the width
of the window most places allow (900-1000 mm; common practice, no source for places without one)."""


def line_of_most_margin(points: NDArray[np.float64], low: float, high: float) -> tuple[Line, float]:
    """The line whose plumb height above every point lies in [low, high] with the largest margin.

    ``points``: (n, 2) of u, z in mm, n >= 2. The margin is negative when no straight line can hold, and then
    says how far the best line falls short.
    """
    u, z = points[:, 0], points[:, 1]
    i, j = np.triu_indices(len(u), k=1)
    apart = np.abs(u[j] - u[i]) > SAME_POINT
    slopes = (z[j] - z[i])[apart] / (u[j] - u[i])[apart]
    rests = z[None, :] - slopes[:, None] * u[None, :]
    proudest, deepest = rests.max(axis=1), rests.min(axis=1)
    margins = ((high + deepest) - (low + proudest)) / 2
    best = int(np.argmax(margins))
    a = ((low + proudest[best]) + (high + deepest[best])) / 2
    return Line(float(a), float(slopes[best])), float(margins[best])


def handrail_line(flight: Flight, wish: RailBrief, limits: Limits) -> tuple[Line, RailLine]:
    """The handrail's top line, and how well it keeps the window.

    Without a wished height the margin is made as large as it can be; where there is no upper limit the line is
    raised until it clears the lower one everywhere. With a wish, the heights at the nosings depart from it as
    little as a straight rail allows, and the margin follows.
    """
    points = np.array(flight.nosings)
    high = limits.high if limits.high is not None else limits.low + OPEN_WINDOW
    if flight.is_level:
        line = _level_line(flight, wish, limits, high)
        return line, kept(flight, line, wish, limits)
    if wish.height is None:
        line, _ = line_of_most_margin(points, limits.low, high)
        if limits.high is None:
            line = line.raised(max(0.0, limits.low - min(line.at(u) - z for u, z in flight.nosings)))
    else:
        line, _ = line_of_most_margin(points, wish.height, wish.height)
    return line, kept(flight, line, wish, limits)


def _level_line(flight: Flight, wish: RailBrief, limits: Limits, high: float) -> Line:
    """The level line with the most margin above the points of a level edge; at a wished height, the nearest."""
    heights = [z for _, z in flight.nosings]
    low, high = (limits.low, high) if wish.height is None else (wish.height, wish.height)
    middle = (low + max(heights) + high + min(heights)) / 2
    open_above = limits.high is None and wish.height is None
    return Line(max(middle, low + max(heights)) if open_above else middle, 0.0)


def kept(flight: Flight, line: Line, wish: RailBrief, limits: Limits) -> RailLine:
    """How well a handrail's top line keeps the window."""
    heights = tuple(line.at(u) - z for u, z in flight.nosings)
    margins = [_margin(height, limits) for height in heights]
    tightest = int(np.argmin(margins))
    return RailLine(
        low=limits.low,
        high=limits.high,
        margin=margins[tightest],
        heights=heights,
        tightest=tightest + 1,
        wished=wish.height,
    )


def _margin(height: float, limits: Limits) -> float:
    above = height - limits.low
    return above if limits.high is None else min(above, limits.high - height)


@dataclass(frozen=True, slots=True)
class Break:
    """Breaking the rail in two at a nosing: the margin each straight piece would then have."""

    nosing: int
    margin: float


def best_break(nosings: tuple[Point2, ...], limits: Limits) -> Break | None:
    """Where a rail of two straight pieces would hold best; None when the flight is too short to break."""
    high = limits.high if limits.high is not None else limits.low + OPEN_WINDOW
    points = np.array(nosings)
    breaks = [
        Break(
            k + 1,
            min(
                line_of_most_margin(points[: k + 1], limits.low, high)[1],
                line_of_most_margin(points[k:], limits.low, high)[1],
            ),
        )
        for k in range(1, len(nosings) - 1)
    ]
    return max(breaks, key=lambda b: b.margin, default=None)


@dataclass(frozen=True, slots=True)
class BaseLines:
    """Edges of the base rail and, where it is packed, the string's edge below the packer."""

    top: Line
    bottom: Line
    packer_bottom: Line | None


def base_lines(
    flight: Flight,
    brief: BaseBrief,
    handrail: Line,
    faces: tuple[Trace, Trace],
    fitted: Line | None = None,
) -> BaseLines:
    """The base rail's edges between two end faces; ``fitted`` is its upper edge where it was measured in its place.

    ImpossibleDesignError when it needs a string that is not there.
    """
    planned = _base_lines(flight, brief, handrail, faces)
    return planned if fitted is None else replace(planned, top=fitted, bottom=fitted.offset(-brief.depth))


def _base_lines(flight: Flight, brief: BaseBrief, handrail: Line, faces: tuple[Trace, Trace]) -> BaseLines:
    if brief.seat is BaseSeat.CLEAR:
        proudest = max(z - handrail.at(u) for u, z in flight.nosings)
        bottom = handrail.raised(proudest + brief.clearance)
        return BaseLines(bottom.offset(brief.depth), bottom, None)
    if brief.seat is BaseSeat.FLOOR:
        if not flight.is_level:
            raise ImpossibleDesignError("a base rail on the floor needs a level edge under it")
        bottom = floor_line(flight)
        return BaseLines(bottom.offset(brief.depth), bottom, None)
    if flight.string is None:
        raise ImpossibleDesignError("a base rail seated on the string needs a closed string in the survey")
    string = flight.string.top
    if brief.seat is BaseSeat.STRING:
        return BaseLines(string.offset(brief.depth), string, None)
    lift = max(string.at(u) - handrail.at(u) for u in (face.meets(string)[0] for face in faces))
    bottom = handrail.raised(lift + brief.least_packing)
    return BaseLines(bottom.offset(brief.depth), bottom, string)


def floor_line(flight: Flight) -> Line:
    """The straight line laid on the proudest points of a level edge: what a base rail on the floor rests on."""
    return support_line(flight.nosings)
