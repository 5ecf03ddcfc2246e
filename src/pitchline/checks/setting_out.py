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


def triangle_place(design: Design, step: int) -> tuple[int, str]:
    """Where the triangle over a tread is as high as it gets: the nosing beyond it, and the tread's own level.

    Step 0 is the lower floor; beyond the last nosing nothing rises, so the last one stands for itself.
    """
    names = design.flight.nosing_names
    level = "floor" if step == 0 else names[step - 1]
    return min(step + 1, len(names)), level


def height_weights(design: Design, line: Line, nosing: int, level: str | None = None) -> HeightWeights:
    """Weights for the height of a line, set out from the end nosings, plumb at a nosing counted from 1.

    The height is that over the nosing itself, or over the level of another point (the tread before it, say). A
    mark that lies further along by du raises the line there by -slope du; the nosing itself, further along by
    du, meets the line slope du higher.
    """
    names, nosings = design.flight.nosing_names, design.flight.nosings
    first, last = nosings[0][0], nosings[-1][0]
    share = (nosings[nosing - 1][0] - first) / (last - first)
    height = dict.fromkeys(names[:1], 1.0 - share)
    height[names[-1]] = height.get(names[-1], 0.0) + share
    here = names[nosing - 1]
    along = {name: -line.slope * weight for name, weight in height.items()}
    along[here] = along.get(here, 0.0) + line.slope
    height[level or here] = height.get(level or here, 0.0) - 1.0
    return HeightWeights(along, height)


def rail_height_expanded(design: Design, line: Line, nosing: int, level: str | None = None) -> float:
    """Expanded uncertainty (k = 2) of the height that ``height_weights`` speaks of, mm."""
    weights = height_weights(design, line, nosing, level)
    return math.hypot(design.flight.expanded(weights.along, weights.height), SETTING_OUT)
