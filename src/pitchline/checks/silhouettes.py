"""Everything solid in the elevation (u, z), taken from the finished design: rails, posts, infill, string, steps.

Silhouettes lie in the plane through the middle of the infill (y = const): an opening is narrowest there for
the ball that a rule speaks of, or no wider than shown. Lengths in mm.
"""

import math
from dataclasses import dataclass, replace

import shapely

from pitchline.design.brief import AtTurn, AtWall, End, FreeEnd, HalfNewel, NewelBetween
from pitchline.design.model import Bar, Design, Panel, Post, Strand, Upright
from pitchline.kit.geometry.frames import Plane
from pitchline.kit.geometry.lines import Point2
from pitchline.kit.geometry.outlines import Outline, Points, from_shapely, to_shapely, without_slivers
from pitchline.kit.tolerances import CHORD_OFF_ARC, SEAM, TREAD_EDGE
from pitchline.stair.model import Flight


@dataclass(frozen=True, slots=True)
class Solid:
    """A named silhouette, with what is open inside it."""

    name: str
    points: Points
    holes: tuple[Points, ...] = ()


@dataclass(frozen=True, slots=True)
class EndFacts:
    """What stands at one end.

    ``name`` is short (P1, wall W1, free end); ``post`` the newel there; ``station`` the surveyed point it hangs
    on; ``outer`` how far along u it closes the side of the stair: its far face, or without end for a wall and at a
    turn, where another leg goes on. ``is_between``: a newel between two bays of one leg; ``passes_over``: and the
    handrail runs on over it.
    """

    name: str
    post: Post | None
    station: str
    outer: float
    at_head: bool
    is_wall: bool
    is_free: bool
    is_turn: bool = False
    is_between: bool = False
    passes_over: bool = False

    @property
    def is_joint(self) -> bool:
        """Whether the next leg begins there with nothing standing between."""
        return self.is_turn and self.post is None


def middle_y(design: Design) -> float:
    """Where the middle of the infill lies across the edge."""
    members: tuple[Upright | Strand | Panel, ...] = (*design.uprights, *design.strands, *design.panels)
    return members[0].y if members else 0.0


def place_at(plane: Plane, y: float, z: float) -> float:
    """The u of a standing plane at a height, in the elevation through ``y``."""
    nu, ny, nz = plane.normal
    pu, py, pz = plane.point
    return pu - (ny * (y - py) + nz * (z - pz)) / nu


def bar_points(bar: Bar, y: float) -> Points:
    """A bar's outline in the elevation through ``y``, anticlockwise from its lower foot end."""
    corners = (
        (bar.start, bar.bottom),
        (bar.finish, bar.bottom),
        (bar.finish, bar.top),
        (bar.start, bar.top),
    )
    met = [plane.meet_line((0.0, y, line.z0), (1.0, 0.0, line.slope)) for plane, line in corners]
    return tuple((u, z) for u, _, z in met)


def post_points(post: Post, y: float) -> Points:
    """A post's outline in the elevation through ``y``: the traces of its two faces from foot to top."""
    low, high = post.foot[2], post.top_z
    near, far = post.face(towards_head=False), post.face(towards_head=True)
    return (
        (place_at(near, y, low), low),
        (place_at(far, y, low), low),
        (place_at(far, y, high), high),
        (place_at(near, y, high), high),
    )


def upright_points(upright: Upright) -> Points:
    """An upright's silhouette; a turned one with its true diameters between its square blocks."""
    if not upright.profile:
        return upright.outline.points
    body = _Body.of(upright)
    corners = [body.height(corner) for corner in upright.outline.points]
    heights = [height for _, height in body.edge]
    whole = body.points(min(*corners, *heights) - 1.0, max(*corners, *heights) + 1.0)
    cut = shapely.intersection(to_shapely(whole), to_shapely(upright.outline.points))
    return from_shapely(without_slivers(cut)[0])


@dataclass(frozen=True, slots=True)
class _Body:
    """A turned upright before its ends are cut: its foot, its axis and its half widths up the axis."""

    foot: Point2
    up: Point2
    edge: tuple[tuple[float, float], ...]
    half: float

    @staticmethod
    def of(upright: Upright) -> "_Body":
        half = upright.width / 2
        turned = [(diameter / 2, height) for height, diameter in upright.profile]
        edge = ((half, turned[0][1]), *turned, (half, turned[-1][1]))
        return _Body(upright.foot, (math.sin(upright.lean), math.cos(upright.lean)), edge, half)

    def height(self, point: Point2) -> float:
        """How far a point lies above the foot along the axis."""
        return (point[0] - self.foot[0]) * self.up[0] + (point[1] - self.foot[1]) * self.up[1]

    def points(self, low: float, high: float) -> Points:
        """The silhouette from one height to another, anticlockwise."""
        right = ((self.half, low), *self.edge, (self.half, high))
        return tuple(self._place(across, height) for across, height in right) + tuple(
            self._place(-across, height) for across, height in reversed(right)
        )

    def _place(self, across: float, height: float) -> Point2:
        u, z = self.up
        return (self.foot[0] + across * z + height * u, self.foot[1] - across * u + height * z)


def string_points(flight: Flight, left: float, right: float) -> Points | None:
    """The string board between two places: its top edge down by its depth (square to it); None without one."""
    if flight.string is None:
        return None
    top = flight.string.top
    bottom = top.offset(-flight.string.depth)
    top = top.raised(SEAM)
    return (bottom.point(left), bottom.point(right), top.point(right), top.point(left))


def steps_line(flight: Flight, left: float, right: float) -> Points:
    """The steps from below: lower floor, risers set back by the overhang, treads, upper floor.

    ``left`` lies before the first nosing and ``right`` beyond the last riser.
    """
    if flight.is_level:
        return nosing_line(flight, left, right)
    back = flight.nosing_overhang
    points: list[Point2] = [(left, 0.0)]
    level = 0.0
    for u, z in flight.nosings:
        under = max(z - TREAD_EDGE, (level + z) / 2)
        points.append((u + back, level))
        if back > 0.0:
            points += [(u + back, under), (u, under)]
        points.append((u, z))
        level = z
    points.append((right, level))
    return tuple(points)


def nosing_line(flight: Flight, left: float, right: float) -> Points:
    """The line of the nosings from below: lower floor, up the first two nosings' line, nosing to nosing, floor."""
    (u1, z1), last = flight.nosings[0], flight.nosings[-1]
    if flight.is_level:
        return ((left, z1), *flight.nosings, (right, last[1]))
    start: list[Point2] = [(left, 0.0)]
    if len(flight.nosings) > 1:
        u2, z2 = flight.nosings[1]
        foot = u1 - z1 * (u2 - u1) / (z2 - z1)
        start = (
            [(left, 0.0), (foot, 0.0)] if foot > left else [(left, z1 - (u1 - left) * (z2 - z1) / (u2 - u1))]
        )
    else:
        start.append((u1, 0.0))
    return (*start, *flight.nosings, (right, last[1]))


def tread_level(flight: Flight, u: float) -> float:
    """Height of the walking surface at a place, seen from above: nosings count as far as they reach."""
    if flight.is_level:
        return max(z for _, z in flight.nosings)
    levels = [z for place, z in flight.nosings if place <= u]
    return levels[-1] if levels else 0.0


def ends_of(design: Design) -> tuple[EndFacts, EndFacts]:
    """What stands at the foot and at the head."""
    return (_end(design, design.brief.bottom, at_head=False), _end(design, design.brief.top, at_head=True))


def _end(design: Design, end: End, *, at_head: bool) -> EndFacts:
    bay_face = design.bay.finish if at_head else design.bay.start
    met = design.handrail.finish_at if at_head else design.handrail.start_at
    y = middle_y(design)
    if isinstance(end, AtWall):
        station = _wall_station(design.flight, end.wall)
        beyond = math.inf if at_head else -math.inf
        return EndFacts(f"wall {end.wall}", None, station, beyond, at_head, True, False)
    if isinstance(end, FreeEnd):
        ground = bay_face.point[2]
        outer = place_at(bay_face, y, ground)
        return EndFacts("the free end", None, end.at.point, outer, at_head, False, True)
    if isinstance(end, AtTurn):
        return _turn(design, end, at_head=at_head)
    post = next(post for post in design.posts if met == f"{post.role.value} {post.id}")
    far = post.face(towards_head=at_head)
    heights = (tread_level(design.flight, post.foot[0]), design.handrail.top.at(post.foot[0]))
    outers = [place_at(far, y, z) for z in heights]
    outer = min(outers) if at_head else max(outers)
    if isinstance(end, HalfNewel):
        outer = math.inf if at_head else -math.inf
    return EndFacts(post.id, post, post.station, outer, at_head, isinstance(end, HalfNewel), False)


def _turn(design: Design, end: AtTurn, *, at_head: bool) -> EndFacts:
    """The end of a leg at a turn: its newel, if one stands there, is the last post at the head or the first."""
    joined = end.number + 1 if at_head else end.number
    station = design.bay.finish_station if at_head else design.bay.start_station
    face = (design.bay.finish if at_head else design.bay.start).point
    near = [p for p in design.posts if abs(p.foot[0] - face[0]) <= max(p.along, p.across)]
    post = near[-1 if at_head else 0] if near else None
    name = f"the mitre with leg {joined}" if post is None else post.id
    between = isinstance(end.turn, NewelBetween)
    return EndFacts(
        name,
        post,
        station,
        math.inf if at_head else -math.inf,
        at_head,
        False,
        False,
        is_turn=True,
        is_between=between,
        passes_over=isinstance(end.turn, NewelBetween) and end.turn.under_rail,
    )


def _wall_station(flight: Flight, wall_id: str) -> str:
    return next(wall.station for wall in flight.walls if wall.id == wall_id)


def solids_of(design: Design, left: float, right: float) -> tuple[Solid, ...]:
    """Every silhouette of the balustrade and the string between two places far outside it, ends included.

    What lies beyond the end faces of the bay counts as solid: posts and walls stand there, and a free end is
    spoken of on its own.
    """
    y = middle_y(design)
    solids = [Solid(bar.role.value, bar_points(bar, y)) for bar in design.bars]
    solids += [Solid(post.id, post_points(post, y)) for post in design.posts]
    solids += [Solid(piece.id, piece.outline.points(CHORD_OFF_ARC)) for piece in design.easements]
    solids += _upright_solids(design.uprights)
    solids += [Solid(strand.mark, strand.outline.points) for strand in design.strands]
    solids += [Solid(panel.mark, panel.outline.points, panel.holes) for panel in design.panels]
    string = string_points(design.flight, left, right)
    if string is not None:
        solids.append(Solid("string", string))
    low, high = -_FAR, design.handrail.top.at(right) + _FAR
    faces = (design.bay.start, design.bay.finish)
    for end, plane, far in zip(ends_of(design), faces, (left, right), strict=True):
        seam = -SEAM if end.at_head else SEAM
        face = (place_at(plane, y, low) + seam, place_at(plane, y, high) + seam)
        solids.append(Solid(end.name, ((face[0], low), (face[1], high), (far, high), (far, low))))
    return tuple(solids)


def _upright_solids(uprights: tuple[Upright, ...]) -> list[Solid]:
    """The uprights' silhouettes; turned ones that are one another moved are worked out once."""
    known: dict[tuple[object, ...], Points] = {}
    solids = []
    for upright in map(_let_in, uprights):
        if not upright.profile:
            solids.append(Solid(upright.mark, upright.outline.points))
            continue
        u, z = upright.foot
        local = tuple((round(p - u, 6), round(q - z, 6)) for p, q in upright.outline.points)
        key = (local, upright.profile, upright.width, upright.lean)
        if key not in known:
            known[key] = tuple((p - u, q - z) for p, q in upright_points(upright))
        solids.append(Solid(upright.mark, tuple((p + u, q + z) for p, q in known[key])))
    return solids


_ENDS = {"rail": 1.0, "easing": 1.0, "base": -1.0, "tread": -1.0}
"""Which way along an upright the ends lie that stand on something: +1 upwards."""


def _let_in(upright: Upright) -> Upright:
    """An upright with its ends let into what they stand on by a seam, so that none opens where they only touch."""
    outline, up = upright.outline, (math.sin(upright.lean), math.cos(upright.lean))
    points = list(outline.points)
    for index, label in enumerate(outline.labels):
        by = SEAM * _ENDS.get(str(label), 0.0)
        for at in (index, (index + 1) % len(points)) if by else ():
            points[at] = (points[at][0] + by * up[0], points[at][1] + by * up[1])
    return replace(upright, outline=Outline(tuple(points), outline.labels))


_FAR = 1000.0
"""mm below the lower floor and above the rail to which end faces are drawn."""


def span_of(design: Design) -> tuple[float, float]:
    """Two places outside everything: before the first nosing and both ends, beyond the last and both.

    A mitre at a turn may lean far out; what lies beyond it belongs to the next leg.
    """
    y = middle_y(design)
    places = [u for u, _ in design.flight.nosings]
    low, high = -_FAR, design.handrail.top.at(places[-1]) + _FAR
    foot, head = ends_of(design)
    rails = ((design.handrail.start, foot), (design.handrail.finish, head))
    planes = [design.bay.start, design.bay.finish, *(plane for plane, end in rails if not end.is_turn)]
    for plane in planes:
        places += [place_at(plane, y, low), place_at(plane, y, high)]
    reach = 100.0 + design.flight.nosing_overhang
    return min(places) - reach, max(places) + reach
