"""Panels held by clamps or brackets along their edges."""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from pitchline.design.makings import Clamped
from pitchline.design.model import Design, Panel
from pitchline.parts.joints.joint import Joint
from pitchline.parts.part import Fixing


@dataclass(frozen=True)
class ClampedJoint(Joint):
    """Clamps so close along the edges of every panel as was asked."""

    making: Clamped

    def fixings(self, design: Design) -> Iterator[Fixing]:
        """All the clamps of a leg, at least two to an edge."""
        making = self.making
        count = sum(
            clamps_along(length, making)
            for panel in design.panels
            for length in held_edges(panel, plumb=making.on_posts)
        )
        if count:
            where = "panels to posts" if making.on_posts else "panels to rails"
            note = "the first and last on an edge no further from its ends than asked"
            yield Fixing(making.what, making.size, count, where, note)


def clamps_along(length: float, making: Clamped) -> int:
    """How many clamps hold an edge: two at ``from_end`` from its ends, and as many between as ``apart`` asks for."""
    between = length - 2.0 * making.from_end
    return 2 if between <= making.apart else 1 + math.ceil(between / making.apart - _WHOLE)


_WHOLE = 1e-9
"""A count within this of a whole number is that number."""


def held_edges(panel: Panel, *, plumb: bool) -> Iterator[float]:
    """Lengths of the edges along the posts (``plumb``), or along the rails."""
    points = panel.outline.points
    for a, b in pairwise((*points, points[0])):
        stands = abs(b[1] - a[1]) > _STEEP * abs(b[0] - a[0])
        if stands == plumb:
            yield math.dist(a, b)


_STEEP = 3.0
"""An edge steeper than this runs along a post: a rail is never so steep."""
