"""Uprights under a bent piece of handrail: each side ends on the arc, and between the two the end is cut straight.

Lengths in mm, angles in radians.
"""

import math
from dataclasses import dataclass, replace

from pitchline.design.model import EASED, Bar, Easement, Upright
from pitchline.kit.geometry.contours import Arc
from pitchline.kit.geometry.lines import Line, Point2
from pitchline.kit.geometry.outlines import Outline
from pitchline.kit.tolerances import SAME_POINT


@dataclass(frozen=True, slots=True)
class Bend:
    """Where the handrail bends: the straight line its members would reach, and the arc they reach instead."""

    line: Line
    arc: Arc

    def carried(self, point: Point2, up: Point2) -> Point2:
        """A point on the straight line carried along ``up`` onto the arc; as it is where the rail is straight."""
        cu, cz = point[0] - self.arc.centre[0], point[1] - self.arc.centre[1]
        half = cu * up[0] + cz * up[1]
        rest = half * half - (cu * cu + cz * cz - self.arc.radius**2)
        if rest < 0.0:
            return point
        root = math.sqrt(rest)
        for t in sorted((-half - root, -half + root), key=abs):
            met = (point[0] + t * up[0], point[1] + t * up[1])
            bearing = math.atan2(met[1] - self.arc.centre[1], met[0] - self.arc.centre[0])
            if self.arc.reaches(bearing):
                return met
        return point

    def lies_on(self, point: Point2) -> bool:
        """Whether a point lies on the straight line."""
        return abs(point[1] - self.line.at(point[0])) <= SAME_POINT


def under_easement(upright: Upright, handrail: Bar, piece: Easement) -> Upright:
    """An upright with its upper end where the bent piece has it."""
    up = (math.sin(upright.lean), math.cos(upright.lean))
    seen = Bend(handrail.bottom, piece.under(piece.depth))
    sight = tuple(seen.carried(p, up) if seen.lies_on(p) else p for p in upright.sight)
    if sight == upright.sight:
        return upright
    seat = handrail.seat or handrail.bottom
    reach = (handrail.top.z0 - seat.z0) * math.cos(handrail.top.angle)
    held = Bend(seat, piece.under(reach))
    return replace(upright, sight=sight, outline=_outline(upright.outline, up, seen, held))


def _outline(outline: Outline, up: Point2, seen: Bend, held: Bend) -> Outline:
    """The whole piece with the corners of its upper end carried onto the arc.

    An end that lies along the rail takes the arc at its housing's depth, corner by corner; one that is square to
    the upright (in a bore) keeps its depth beyond the arc where that is deepest.
    """
    edge = outline.edge("rail")
    if edge is None:
        return outline
    square = abs((edge[1][0] - edge[0][0]) * up[0] + (edge[1][1] - edge[0][1]) * up[1]) <= SAME_POINT
    if square:
        straight = [_along(seen.line.meet(corner, up), up) for corner in edge]
        bent = [_along(seen.carried(seen.line.meet(corner, up), up), up) for corner in edge]
        shift = max(bent) - max(straight)
        moved = [(u + shift * up[0], z + shift * up[1]) for u, z in edge]
    else:
        moved = [held.carried(corner, up) for corner in edge]
    index = outline.labels.index("rail")
    points, labels = list(outline.points), list(outline.labels)
    points[index], points[(index + 1) % len(points)] = moved
    labels[index] = EASED
    return Outline(tuple(points), tuple(labels))


def _along(point: Point2, up: Point2) -> float:
    return point[0] * up[0] + point[1] * up[1]
