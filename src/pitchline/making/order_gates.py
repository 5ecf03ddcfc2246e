"""Gates: which lengths hang on what is not measured yet, by how much, and on which readings most.

Nothing is cut to length while its expanded uncertainty is larger than what its joint forgives. Lengths in mm.
"""

import math
from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from pitchline.design.brief import BaseSeat
from pitchline.design.model import Design
from pitchline.kit.tolerances import COVERAGE_FACTOR, JOINT_CLOSES, RAIL_SET
from pitchline.making.order import Hangs
from pitchline.stair.model import Flight
from pitchline.survey.adjust import Adjusted
from pitchline.survey.readings import Coordinate

TOLD = 3
"""So many readings are named for a length."""


def rails_hang(legs: Sequence[Design]) -> Iterator[Hangs]:
    """The lengths of the rails: they hang on the run between the two ends of each leg."""
    for design in legs:
        bay = design.bay
        expanded = COVERAGE_FACTOR * bay.run_sigma / math.cos(design.handrail.top.angle)
        weights: dict[Coordinate, float] = {}
        if bay.start_station != bay.finish_station:
            weights = {("x", bay.finish_station): 1.0, ("x", bay.start_station): -1.0}
        yield Hangs(
            f"length of rail {design.handrail.id}",
            expanded,
            JOINT_CLOSES,
            blame(design.flight.survey, weights),
        )


def members_hang(legs: Sequence[Design]) -> Iterator[Hangs]:
    """The lengths of what goes between the rails: they hang on how far apart the rails come to stand."""
    for design in legs:
        if design.uprights or design.panels:
            weights = _over_foot(design)
            surveyed = _sigma(design.flight, weights)
            what = "uprights" if design.uprights else "panels"
            yield Hangs(
                f"lengths of the {what} under rail {design.handrail.id}",
                COVERAGE_FACTOR * math.hypot(surveyed, RAIL_SET),
                JOINT_CLOSES,
                blame(design.flight.survey, weights),
            )
        if design.strands:
            yield Hangs(
                f"lengths of the {design.strands[0].kind.value}s under rail {design.handrail.id}",
                COVERAGE_FACTOR * math.hypot(design.bay.run_sigma, RAIL_SET),
                JOINT_CLOSES,
                (),
            )


def _over_foot(design: Design) -> dict[Coordinate, float]:
    """The nosing that is least sure beside the line between the outer nosings, as weights of heights.

    Where the base rail is parallel to the handrail, both are set to each other and the survey has no say; where the
    infill stands on the treads or on the string, its length hangs on their heights too.
    """
    base = design.brief.base
    nosings = design.flight.nosings
    if design.flight.is_level or len(nosings) < 3:
        return {}
    if base is not None and base.seat is not BaseSeat.STRING:
        return {}
    (u0, _), (u1, _) = nosings[0], nosings[-1]
    last = f"N{len(nosings)}"
    worst: dict[Coordinate, float] = {}
    for number, (u, _) in enumerate(nosings[1:-1], start=2):
        t = (u - u0) / (u1 - u0)
        weights: dict[Coordinate, float] = {("z", f"N{number}"): 1.0, ("z", "N1"): t - 1.0, ("z", last): -t}
        if not worst or _sigma(design.flight, weights) > _sigma(design.flight, worst):
            worst = weights
    return worst


def _sigma(flight: Flight, weights: Mapping[Coordinate, float]) -> float:
    along = {name: weight for (axis, name), weight in weights.items() if axis == "x"}
    heights = {name: weight for (axis, name), weight in weights.items() if axis == "z"}
    return flight.sigma(along, heights) if weights else 0.0


def blame(adjusted: Adjusted, wanted: Mapping[Coordinate, float]) -> tuple[tuple[str, float], ...]:
    """The readings on which a weighted sum of coordinates hangs most, with their shares of its variance.

    With the adjusted sum s = g y of the readings y, the share of reading i is (g_i sigma_i)^2 / var(s), and the
    shares of all readings add up to one (propagation of uncertainty through a least-squares estimate).
    """
    vector = np.zeros(len(adjusted.unknowns))
    for coordinate, weight in wanted.items():
        place = adjusted.places.get(coordinate, len(vector))
        if place < len(vector):
            vector[place] += weight
    variance = float(vector @ adjusted.covariance @ vector)
    if variance <= 0.0:
        return ()
    gains = vector @ adjusted.covariance @ adjusted.design.T / adjusted.sigmas
    shares = gains[: len(adjusted.readings)] ** 2 / variance
    order = np.argsort(-shares, kind="stable")[:TOLD]
    return tuple((adjusted.readings[k].id, float(shares[k])) for k in order if shares[k] > 0.01)
