"""The three lines laid over a flight's nosings, kept apart on purpose.

The *nosing polyline* is what is there; the *support line* is a straightedge laid on the nosings, which touches
only the proud ones; the *fitted line* is the least-squares line through all of them.
"""

import math
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from pitchline.kit.geometry.lines import Line, Point2
from pitchline.stair.model import Flight


def fitted_line(nosings: tuple[Point2, ...]) -> Line:
    """Least-squares line through the nosings, plumb residuals (closed form of linear regression)."""
    u, z = np.array(nosings, dtype=float).T
    weights = _slope_weights(u)
    slope = float(weights @ z)
    return Line(float(z.mean()) - slope * float(u.mean()), slope)


def _slope_weights(u: NDArray[np.float64]) -> NDArray[np.float64]:
    centred = u - u.mean()
    weights: NDArray[np.float64] = centred / float(centred @ centred)
    return weights


def fitted_pitch_sigma(flight: Flight) -> float:
    """Standard uncertainty of the fitted line's angle in radians, from the survey's covariance.

    First order: the slope is a sum of heights with weights w_k = (u_k - mean)/sum of squares, and a nosing
    that lies further along by du counts as one lower by slope * du.
    """
    u = np.array([point[0] for point in flight.nosings])
    weights = _slope_weights(u)
    slope = fitted_line(flight.nosings).slope
    names = nosing_names(len(flight.nosings))
    along = {name: -slope * float(w) for name, w in zip(names, weights, strict=True)}
    height = {name: float(w) for name, w in zip(names, weights, strict=True)}
    return flight.sigma(along, height) / (1.0 + slope * slope)


def nosing_names(count: int) -> tuple[str, ...]:
    """N1 to Nn, as the survey names the nosings."""
    return tuple(f"N{k}" for k in range(1, count + 1))


def upper_hull(nosings: tuple[Point2, ...]) -> tuple[Point2, ...]:
    """The proud nosings: upper convex hull, from the foot of the flight to its head (monotone chain)."""
    hull: list[Point2] = []
    for point in sorted(nosings):
        while len(hull) > 1 and _turns_left_or_straight(hull[-2], hull[-1], point):
            hull.pop()
        hull.append(point)
    return tuple(hull)


def _turns_left_or_straight(a: Point2, b: Point2, c: Point2) -> bool:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]) >= 0.0


def support_line(nosings: tuple[Point2, ...]) -> Line:
    """The straightedge at rest on the nosings: the hull edge below the middle of the flight carries it."""
    hull = upper_hull(nosings)
    middle = (nosings[0][0] + nosings[-1][0]) / 2
    for a, b in pairwise(hull):
        if a[0] <= middle <= b[0]:
            return Line.through(a, b)
    raise ValueError("a flight needs at least two nosings to carry a straightedge")


def pitch_deg(line: Line) -> float:
    """Angle of a line from the horizontal in degrees."""
    return math.degrees(line.angle)
