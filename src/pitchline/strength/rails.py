"""Where rails and posts lie in the strength model: axes, places of nodes, sections, and how rails end.

Places are u along a leg, mm, in the leg's own elevation. Springs in N/mm and Nmm/rad.
"""

import math
from bisect import bisect_left
from collections.abc import Sequence
from itertools import pairwise

from pitchline.design.makings import Grooved, Stacked
from pitchline.design.model import Bar, BarRole, Design, Post
from pitchline.kit.geometry.frames import Plane, Vec3, along
from pitchline.kit.geometry.lines import Line
from pitchline.kit.tolerances import RAIL_STEP, SAME_NODE
from pitchline.strength.bases.springs import Range
from pitchline.strength.sections import Cut, continuous_parts, grooved, solid, stacked
from pitchline.strength.settings import RailFixing, StrengthSettings
from pitchline.strength.woods import Wood, wood_of

INF = math.inf

RAIL_END = Range(0.0, 0.0, 10e6)
"""Turning stiffness of a rail's end at a newel, Nmm/rad: a hinge unless a joint is shown to be stiff (high)."""

RAIL_SLIP = Range(2500.0, 5000.0, 10000.0)
"""The same against slipping each way: two screws of 6 mm (table 7.1 of EN 1995-1-1), half to twice, N/mm.

Other fixings in proportion to number and diameter, as the slip modulus is.
"""

USUAL_COUNT, USUAL_SCREW = 2, 6.0

RAIL_JOINT = Range(1e6, 5e6, 50e6)
"""Turning stiffness where two rails are joined, Nmm/rad: a rail bolt alone as low, glued all round as high (estimate
without source; a bolt of 8 mm on 10 kN/mm over half of a rail 60 mm wide gives 9e6)."""

WALL_FIXING = Range(2500.0, 5000.0, 10000.0)
"""A rail's end on a wall, or a half newel at each height: two screws, N/mm each way (common practice, no source)."""

WALL_APART = 300.0
"""mm: a half newel is screwed to its wall at such heights (common practice, no source)."""

NEXT_RAIL = "rail of the"
"""Words in the name of a rail's end that runs into the rail of another leg."""


class PostPlace:
    """A post as one leg sees it, and where its axis meets that leg's rails."""

    def __init__(self, post: Post, settings: StrengthSettings) -> None:
        self.post = post
        self.wood = wood_of(post.material, settings.graded)

    def crossing(self, line: Line) -> tuple[float, Vec3]:
        """How far up the post its axis meets a rail's axis, and where."""
        (u, _, z), (du, _, dz) = self.post.foot, self.post.axis
        reach = (line.z0 + line.slope * u - z) / (dz - line.slope * du)
        return reach, along(self.post.foot, self.post.axis, reach)

    @property
    def reach(self) -> float:
        """Three quarters of its section: a rail's end so near to its axis is its own, turned in plan or not."""
        return 0.75 * max(self.post.along, self.post.across)


class RailPlace:
    """A rail's axis between its ends, with the places where nodes stand on it."""

    def __init__(self, bar: Bar, cut: Cut, wood: Wood) -> None:
        self.bar, self.cut, self.wood = bar, cut, wood
        top, bottom = bar.top, bar.bottom
        self.line = Line((top.z0 + bottom.z0) / 2, (top.slope + bottom.slope) / 2)
        self.start, self.finish = self._end(bar.start), self._end(bar.finish)
        self.places: list[float] = []
        self.numbers: dict[float, int] = {}
        self.at_posts: dict[float, PostPlace] = {}
        self.on_wall: list[float] = []
        self.running_on: dict[bool, tuple[float, str]] = {}

    def _end(self, plane: Plane) -> float:
        """Where the axis leaves the bar through one of its end planes."""
        (pu, py, pz), (nu, ny, nz) = plane.point, plane.normal
        level = nu * pu + nz * (pz - self.line.z0) - ny * (self.bar.y - py)
        return level / (nu + nz * self.line.slope)

    def add(self, u: float) -> float:
        """The place of a node at u: one that is there already if it is near enough."""
        at = bisect_left(self.places, u)
        for known in self.places[max(0, at - 1) : at + 1]:
            if abs(known - u) < SAME_NODE:
                return known
        self.places.insert(at, u)
        return u

    def subdivide(self) -> None:
        """Put more places between those that stand far apart, and number them all."""
        more = []
        for near, far in pairwise(self.places):
            parts = math.ceil((far - near) / RAIL_STEP)
            more += [near + (far - near) * n / parts for n in range(1, parts)]
        self.places = sorted(self.places + more)
        self.numbers = {u: number for number, u in enumerate(self.places, start=1)}

    def node_at(self, u: float) -> str:
        """The name of the node there."""
        post = self.at_posts.get(u)
        if post is not None:
            return f"{post.post.id} {self.bar.id}"
        return f"{self.bar.id} {self.numbers[u]}"

    def point(self, u: float) -> Vec3:
        """Where the axis is."""
        return (u, self.bar.y, self.line.at(u))


def rail_slip(fixing: RailFixing) -> Range:
    """How far a rail's end gives on its fixings, N/mm."""
    return RAIL_SLIP.times(fixing.count / USUAL_COUNT * fixing.fixing.d / USUAL_SCREW)


def rail_place(
    bar: Bar, posts: Sequence[PostPlace], design: Design, settings: StrengthSettings, glue: float | None
) -> RailPlace:
    """A rail's axis with the posts it meets, its ends on walls, and those that run into the rail of another leg."""
    wood, cut = rail_cut(bar, design, settings, glue)
    rail = RailPlace(bar, cut, wood)
    for post in posts:
        u = post.crossing(rail.line)[1][0]
        if rail.start - post.reach <= u <= rail.finish + post.reach:
            rail.at_posts[rail.add(u)] = post
    for at_finish, end, name in ((False, rail.start, bar.start_at), (True, rail.finish, bar.finish_at)):
        if any(abs(u - end) <= post.reach for u, post in rail.at_posts.items()):
            continue
        place = rail.add(end)
        if "wall" in name:
            rail.on_wall.append(place)
        elif NEXT_RAIL in name:
            rail.running_on[at_finish] = (place, name)
    return rail


def rail_cut(bar: Bar, design: Design, settings: StrengthSettings, glue: float | None) -> tuple[Wood, Cut]:
    """A rail's wood and section: grooved, stacked of layers (``glue`` of :func:`stacked`), or solid."""
    making = design.making
    handrail = bar.role is BarRole.HANDRAIL
    if isinstance(making, Stacked):
        wood = wood_of(making.material, settings.graded, making.layer_thickness)
        parts = continuous_parts(making.layers, making.layer_thickness, making.member_layers)
        if parts:
            span = bar.finish.point[0] - bar.start.point[0]
            long = span / math.cos(bar.top.angle)
            taken = sum(u.width for u in design.uprights) / span
            return wood, stacked(wood, parts, bar.depth, long, max(0.1, 1.0 - taken), glue)
    wood = wood_of(bar.material, settings.graded, bar.depth)
    if isinstance(making, Grooved) and bar.role is not BarRole.PACKER:
        deep = making.rail_groove if handrail else making.base_groove
        wide = max((u.thickness for u in design.uprights), default=0.0) + making.clearance
        if wide < bar.width and deep < bar.depth:
            return wood, grooved(bar.width, bar.depth, wide, deep)
    return wood, solid(bar.width, bar.depth)
