"""What stands at the two ends of a balustrade: new and existing newels, half newels, walls, free ends."""

import math
from dataclasses import dataclass, replace

from pitchline.design.brief import AtTurn, AtWall, End, ExistingNewel, Foot, FreeEnd, HalfNewel, NewNewel
from pitchline.design.model import Post, PostRole
from pitchline.kit.geometry.frames import Plane, Vec3, along, dot, scale, unit
from pitchline.kit.geometry.lines import Line
from pitchline.stair.model import Flight, Side, StandingPost, Wall

UNKNOWN_TOP = 60.0
"""An existing newel whose top was not read is drawn this far (mm) above the rail; nothing is computed from it."""


@dataclass(frozen=True, slots=True)
class BuiltEnd:
    """One end as built: its post if there is one, the plane the rails stop at, the plane the infill stops at.

    Both planes have their normals pointing INTO the bay. ``closed`` is False at a free end.
    ``station`` names the surveyed point that places it, ``name`` says in words what stands there. ``is_joint``: the
    rails of the next leg begin there, so half of a gap belongs to each leg. ``base_face`` is
    where the base rail stops, None: where the handrail does.
    """

    post: Post | None
    rail_face: Plane
    bay_face: Plane
    closed: bool
    station: str
    name: str
    is_joint: bool = False
    base_face: Plane | None = None

    @property
    def base_end(self) -> Plane:
        """The plane the base rail stops at."""
        return self.base_face or self.rail_face


@dataclass(frozen=True, slots=True)
class Place:
    """Where an end is built: the flight, its guarded side, which end, and the handrail's top line."""

    flight: Flight
    side: Side
    at_head: bool
    rail_top: Line
    post_id: str

    @property
    def inwards(self) -> float:
        """Sense of u that points from this end into the bay."""
        return -1.0 if self.at_head else 1.0


def build_end(end: End, place: Place) -> BuiltEnd:
    """Build one end. KeyError if it names a post or wall that the flight does not have."""
    if isinstance(end, NewNewel):
        return _with_post(_new_newel(end, place), place)
    if isinstance(end, ExistingNewel):
        standing = {post.id: post for post in place.flight.posts}[end.post]
        return _with_post(standing_newel(standing, place), place)
    if isinstance(end, HalfNewel):
        return _with_post(_half_newel(end, _wall(end.wall, place), place), place)
    if isinstance(end, AtWall):
        wall = _wall(end.wall, place)
        face = _wall_face(wall, place)
        return BuiltEnd(None, face, face, True, wall.station, f"wall {wall.id}")
    if isinstance(end, AtTurn):
        raise TypeError(f"turn {end.number} is built with both its legs")
    return _free(end, place)


def _with_post(post: Post, place: Place) -> BuiltEnd:
    face = post.face(towards_head=not place.at_head)
    return BuiltEnd(post, face, face, True, post.station, f"{post.role.value} {post.id}")


def _wall(name: str, place: Place) -> Wall:
    return {wall.id: wall for wall in place.flight.walls}[name]


def _axis(lean_along: float, lean_y: float) -> Vec3:
    return unit((lean_along, lean_y, 1.0))


def _square_to(axis: Vec3, plan_turn: float) -> Vec3:
    """The horizontal direction turned by ``plan_turn`` from u, made square to a leaning axis."""
    level = (math.cos(plan_turn), math.sin(plan_turn), 0.0)
    return unit(along(level, axis, -dot(level, axis)))


def twist_of(post: Post) -> float:
    """How far a newel is turned in plan, radians anticlockwise seen from above: `_square_to` undone."""
    lift = -post.along_axis[2] / post.axis[2]
    return math.atan2(post.along_axis[1] + lift * post.axis[1], post.along_axis[0] + lift * post.axis[0])


def _stands_at(foot: Foot, u: float, lap: float, point: str, place: Place) -> tuple[float, str]:
    """Height of a newel's foot and, in words, what it stands on."""
    nosings = place.flight.nosings
    string = place.flight.string
    if foot is Foot.STRING and string is not None:
        return string.top.at(u) - lap, "lapped on the string"
    if foot is Foot.TREAD and point in place.flight.nosing_names:
        return nosings[place.flight.nosing_names.index(point)][1], f"on the tread of {point}"
    if place.at_head:
        return nosings[-1][1], "on the upper floor"
    return 0.0, "on the lower floor"


def _new_newel(end: NewNewel, place: Place) -> Post:
    u = place.flight.u_of(end.at.point) + end.at.offset
    foot, stands = _stands_at(end.foot, u, end.lap, end.at.point, place)
    top = place.rail_top.at(u) + end.above_rail
    return Post(
        id=place.post_id,
        role=PostRole.NEW,
        foot=(u, 0.0, foot),
        axis=(0.0, 0.0, 1.0),
        along_axis=(1.0, 0.0, 0.0),
        along=end.along,
        across=end.across,
        length=top - foot,
        station=end.at.point,
        material=end.material,
        stands=stands,
        laps_string=end.foot is Foot.STRING and place.flight.string is not None,
    )


def standing_newel(standing: StandingPost, place: Place) -> Post:
    """An existing newel: its axis runs half its section behind the face that was read, at that height."""
    axis = _axis(standing.lean_along, standing.lean_across * place.side.towards_stair)
    along_axis = _square_to(axis, standing.twist)
    half = -place.inwards * standing.along / 2
    middle = (
        standing.face_u + half * along_axis[0],
        half * along_axis[1],
        standing.face_z + half * along_axis[2],
    )
    floor = place.flight.nosings[-1][1] if place.at_head else 0.0
    top = standing.top_z if standing.top_z is not None else place.rail_top.at(middle[0]) + UNKNOWN_TOP
    foot = along(middle, axis, (floor - middle[2]) / axis[2])
    return Post(
        id=place.post_id,
        role=PostRole.EXISTING,
        foot=foot,
        axis=axis,
        along_axis=along_axis,
        along=standing.along,
        across=standing.across,
        length=(top - floor) / axis[2],
        station=standing.station,
        material="as found",
        stands=f"existing newel {standing.id}",
    )


def set_newel(planned: Post, standing: StandingPost, place: Place) -> Post:
    """A newel of the work where it was measured, by the face that looks at the leg.

    It is as long as it was cut, unless the height of its top was read. Across the stair nothing was read: at the
    height of the reading it stands as planned.
    """
    found = standing_newel(standing, place)
    foot = along(found.foot, found.axis, (planned.foot[2] - found.foot[2]) / found.axis[2])
    foot = _slid_across(replace(found, foot=foot), planned, standing.face_z)
    length = planned.length if standing.top_z is None else (standing.top_z - foot[2]) / found.axis[2]
    return replace(
        planned,
        foot=foot,
        axis=found.axis,
        along_axis=found.along_axis,
        along=found.along,
        across=found.across,
        length=length,
        station=standing.station,
        measured=True,
    )


def _slid_across(found: Post, planned: Post, height: float) -> Vec3:
    """The foot of a newel slid in the plane of its measured face to where it was planned across, at a height."""
    n = found.along_axis
    if abs(n[0]) < LOOKS_ALONG:
        return found.foot
    across = [along(one.foot, one.axis, (height - one.foot[2]) / one.axis[2])[1] for one in (planned, found)]
    step = (across[0] - across[1]) / n[0]
    return along(found.foot, (-n[1], n[0], 0.0), step)


LOOKS_ALONG = 0.5
"""Least part along the stair of the way a measured face looks, for its newel to be slid across in its plane."""


def as_set(end: BuiltEnd, place: Place, owner: str) -> BuiltEnd:
    """An end as built, its newel where it was measured if it has been set."""
    standing = None if end.post is None else place.flight.set_post(owner, place.post_id)
    if end.post is None or standing is None:
        return end
    return _with_post(set_newel(end.post, standing, place), place)


def _half_newel(end: HalfNewel, wall: Wall, place: Place) -> Post:
    """A half newel stands off the wall by half its thickness and follows the wall's lean."""
    axis = _axis(wall.lean_along, 0.0)
    along_axis = _square_to(axis, wall.skew)
    half = place.inwards * end.along / 2
    middle = (wall.face_u + half * along_axis[0], half * along_axis[1], wall.face_z + half * along_axis[2])
    foot_z, stands = _stands_at(end.foot, middle[0], end.lap, "", place)
    foot = along(middle, axis, (foot_z - middle[2]) / axis[2])
    top = place.rail_top.at(middle[0]) + end.above_rail
    return Post(
        id=place.post_id,
        role=PostRole.HALF,
        foot=foot,
        axis=axis,
        along_axis=along_axis,
        along=end.along,
        across=end.across,
        length=(top - foot[2]) / axis[2],
        station=wall.station,
        material=end.material,
        stands=stands,
        laps_string=end.foot is Foot.STRING and place.flight.string is not None,
    )


def _wall_face(wall: Wall, place: Place) -> Plane:
    normal = _square_to(_axis(wall.lean_along, 0.0), wall.skew)
    return Plane((wall.face_u, 0.0, wall.face_z), scale(normal, place.inwards))


def _free(end: FreeEnd, place: Place) -> BuiltEnd:
    """A free end: the rails are cut plumb at the station, the last upright stands flush ``overhang`` inside."""
    u = place.flight.u_of(end.at.point) + end.at.offset
    normal = (place.inwards, 0.0, 0.0)
    inside = u + place.inwards * end.overhang
    return BuiltEnd(
        None, Plane((u, 0.0, 0.0), normal), Plane((inside, 0.0, 0.0), normal), False, end.at.point, "free end"
    )
