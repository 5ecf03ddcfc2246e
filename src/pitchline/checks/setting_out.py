"""How surely a rail stands over the nosings when it is set out on site from its two ends.

The rail's top is marked plumb over the first and the last nosing and drawn straight between. Its height over a
nosing between them then carries what the survey knows of that nosing against the line of the two ends, and what
the hand adds in setting out.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass

from pitchline.design.model import Design
from pitchline.kit.geometry.lines import Line
from pitchline.kit.tolerances import SETTING_OUT
from pitchline.survey.readings import Coordinate


@dataclass(frozen=True, slots=True)
class HeightWeights:
    """Weights of surveyed places in the height of a line over a nosing: ``along`` of u, ``height`` of z."""

    along: Mapping[str, float]
    height: Mapping[str, float]

    def wanted(self) -> dict[Coordinate, float]:
        """The weights by coordinate, as the survey asks for them."""
        weights: dict[Coordinate, float] = {("x", name): weight for name, weight in self.along.items()}
        weights.update({("z", name): weight for name, weight in self.height.items()})
        return weights


def height_weights(design: Design, line: Line, nosing: int) -> HeightWeights:
    """Weights for the height of a line, set out from the end nosings, over a nosing counted from 1.

    A mark that lies further along by du raises the line there by -slope du; the nosing itself, further along by
    du, meets the line slope du higher.
    """
    names, nosings = design.flight.nosing_names, design.flight.nosings
    first, last = nosings[0][0], nosings[-1][0]
    share = (nosings[nosing - 1][0] - first) / (last - first)
    height = dict.fromkeys(names[:1], 1.0 - share)
    height[names[-1]] = height.get(names[-1], 0.0) + share
    here = names[nosing - 1]
    height[here] = height.get(here, 0.0) - 1.0
    along = {name: -line.slope * weight for name, weight in height.items()}
    return HeightWeights(along, height)


def rail_height_expanded(design: Design, line: Line, nosing: int) -> float:
    """Expanded uncertainty (k = 2) of the height of a line over a nosing counted from 1, mm."""
    weights = height_weights(design, line, nosing)
    return math.hypot(design.flight.expanded(weights.along, weights.height), SETTING_OUT)
