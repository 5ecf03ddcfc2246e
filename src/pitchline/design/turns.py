"""What is built where two legs of an edge meet: turn newels seen from both legs, rails joined in one plane.

Each end is built twice, in the co-ordinates (u, y, z) of the leg before and of the leg after, so that every leg can
be laid out, taken apart and checked by itself. Lengths in mm, angles in radians.
"""

import math
from dataclasses import dataclass, replace

from pitchline.design.brief import (
    Eased,
    Foot,
    Mitred,
    NewelBetween,
    TurnBrief,
    TurnNewel,
    TurnStanding,
)
from pitchline.design.model import Easement, Post, PostRole
from pitchline.design.posts import BuiltEnd, Place, set_newel, standing_newel
from pitchline.kit.errors import ImpossibleDesignError
from pitchline.kit.geometry.bevels import Joint, joint_between
from pitchline.kit.geometry.easings import easing_between
from pitchline.kit.geometry.frames import Plane, Vec3, along, rotate, scale, unit
from pitchline.kit.geometry.lines import Line
from pitchline.kit.tolerances import RAILS_MEET, STRAIGHT_ON
from pitchline.stair.edge import UP, EdgeTurn, LegPlace, spot_u
from pitchline.stair.model import Flight, Side


@dataclass(frozen=True, slots=True)
class LegEnd:
    """One leg where it comes to a turn: where it lies, its handrail's top line, and the turn's corner on it.

    ``owner`` is the design that the turn belongs to.
    """

    flight: Flight
    place: LegPlace
    rail: Line
    corner: float
    width: float
    depth: float
    round_over: float = 0.0
    material: str = ""
    owner: str = ""

    @property
    def direction(self) -> Vec3:
        """Direction of its handrail in the world, up the stair."""
        slope = self.rail.slope
        return unit(self.place.frame.direction_to_world((1.0, 0.0, slope)))

    @property
    def top_z(self) -> float:
        """Height of its handrail's top over the corner, in the world."""
        return self.rail.at(self.corner) + self.place.dz


@dataclass(frozen=True, slots=True)
class BuiltTurn:
    """A turn as built.

    ``before`` and ``after`` are the two legs' ends; ``joint`` tells the mitre where the handrails are joined, and
    ``meets`` the place on the leg before where they do; ``step`` is how far the handrail of the leg after stands
    above that of the leg before on the corner; ``easement`` is the bent piece, as the leg before sees it.
    """

    number: int
    angle: float
    brief: TurnBrief
    before: BuiltEnd
    after: BuiltEnd
    step: float
    joint: Joint | None = None
    meets: float | None = None
    easement: Easement | None = None

    @property
    def post(self) -> Post | None:
        """The newel that stands there, as the leg before sees it."""
        return self.before.post


def corners(turn: EdgeTurn, before: Flight, after: Flight) -> tuple[float, float]:
    """The corner on the leg before and on the leg after."""
    return spot_u(before, turn.leaves), spot_u(after, turn.joins)


def joins_rails(brief: TurnBrief) -> bool:
    """Whether the handrails of the two legs run into each other there."""
    return isinstance(brief, Mitred | Eased) or _passes_over(brief)


def _passes_over(brief: TurnBrief) -> bool:
    """Whether the handrails pass over a newel there."""
    return isinstance(brief, TurnNewel | NewelBetween) and brief.under_rail


def is_straight_on(turn: EdgeTurn) -> bool:
    """Whether the second leg goes on in line with the first."""
    return abs(math.degrees(turn.angle)) <= STRAIGHT_ON


def build_turn(
    number: int,
    turn: EdgeTurn,
    brief: TurnBrief,
    ends: tuple[LegEnd, LegEnd],
    side: Side,
    post_id: str,
) -> BuiltTurn:
    """Build turn ``number`` (from 1) between the ends of two legs.

    KeyError if it names a newel that does not stand there; ImpossibleDesignError where the rails cannot be joined
    as asked.
    """
    first, second = ends
    step = second.top_z - first.top_z
    if isinstance(brief, TurnNewel | TurnStanding | NewelBetween):
        post = (
            newel_between(brief, first, post_id)
            if isinstance(brief, NewelBetween)
            else _post(turn, brief, ends, side, post_id)
        )
        post, seen = _set(post, turn, ends, side)
        before, after = _at_post(post, at_head=True), _at_post(seen, at_head=False)
        built = BuiltTurn(number, turn.angle, brief, before, after, step)
        return _over_post(built, ends) if _passes_over(brief) else built
    if isinstance(brief, Eased) and not is_straight_on(turn):
        raise ImpossibleDesignError(
            f"turn {number} cannot be eased: an easing bends in one upright plane, and here the rail turns in plan. "
            "Let the rails be mitred there, or run into a newel"
        )
    if isinstance(brief, Eased):
        return _eased(number, turn, brief, ends)
    return _joined(number, turn, brief, ends)


def _eased(number: int, turn: EdgeTurn, brief: Eased, ends: tuple[LegEnd, LegEnd]) -> BuiltTurn:
    """An arc tangent to both handrails, which end square where it begins and ends."""
    joined = _joined(number, turn, brief, ends)
    first, second = ends
    du, dz = second.corner - first.corner, second.place.dz - first.place.dz
    other = Line(second.rail.at(du) + dz, second.rail.slope)
    try:
        easing = easing_between(first.rail, other, brief.radius)
    except ValueError as straight:
        raise ImpossibleDesignError(
            f"turn {number} cannot be eased: both handrails rise at one pitch there, so there is nothing to bend"
        ) from straight
    if easing.start[0] < first.flight.nosings[0][0] or easing.end[0] > second.flight.nosings[-1][0] - du:
        raise ImpossibleDesignError(
            f"the easing at turn {number} is longer than its legs: ask for a radius under {brief.radius:.0f} mm"
        )
    if first.depth >= brief.radius:
        raise ImpossibleDesignError(
            f"the easing at turn {number} is tighter than the handrail is deep: ask for a radius over "
            f"{first.depth:.0f} mm"
        )
    piece = Easement(f"E{number}", easing, first.width, first.depth, first.round_over, first.material)
    square = [
        Plane((u, 0.0, z), (sense * math.cos(angle), 0.0, sense * math.sin(angle)))
        for (u, z), angle, sense in ((easing.start, easing.arrives, -1.0), (easing.end, easing.leaves, 1.0))
    ]
    after = Plane((easing.end[0] + du, 0.0, easing.end[1] - dz), square[1].normal)
    return replace(
        joined,
        before=replace(joined.before, rail_face=square[0], name="eased into the rail of the next leg"),
        after=replace(joined.after, rail_face=after, name="eased out of the rail of the leg before"),
        joint=None,
        easement=piece,
    )


def _joined(number: int, turn: EdgeTurn, brief: TurnBrief, ends: tuple[LegEnd, LegEnd]) -> BuiltTurn:
    """Rails joined with nothing standing there: in line where their lines cross, round a corner on the corner."""
    first, second = ends
    at = crossing(first, second) if is_straight_on(turn) and crosses(first, second) else first.corner
    moved = (at, at - first.corner + second.corner)
    joint, planes = _mitre(ends, moved)
    tail = "mitred with the rail of the next leg", "mitred with the rail of the leg before"
    stations = turn.leaves.point, turn.joins.point
    built = [
        BuiltEnd(
            post=None,
            rail_face=plane,
            bay_face=_plumb(place, u, turn.angle, sense),
            closed=True,
            station=station,
            name=words,
            is_joint=True,
            base_face=_plumb(place, u, turn.angle, sense),
        )
        for plane, place, u, sense, words, station in zip(
            planes, ends, moved, (-1.0, 1.0), tail, stations, strict=True
        )
    ]
    step = second.top_z - first.top_z if at == first.corner else 0.0
    return BuiltTurn(number, turn.angle, brief, built[0], built[1], step, joint, at)


_PARALLEL = 1e-9
"""Slopes nearer than this are one: the rails run on in one line and meet anywhere."""


def crossing(first: LegEnd, second: LegEnd) -> float:
    """Where the top lines of two legs in line cross, on the leg before."""
    shift = second.corner - first.corner
    raised = second.place.dz - first.place.dz
    other = second.rail.at(shift) + raised
    return (other - first.rail.z0) / (first.rail.slope - second.rail.slope)


def crosses(first: LegEnd, second: LegEnd) -> bool:
    """Whether the handrails of two legs in line cross between the far ends of the two."""
    if abs(first.rail.slope - second.rail.slope) <= _PARALLEL:
        return False
    finish = second.flight.nosings[-1][0] - second.corner + first.corner
    return first.flight.nosings[0][0] < crossing(first, second) < finish


def _mitre(ends: tuple[LegEnd, LegEnd], at: tuple[float, float]) -> tuple[Joint, tuple[Plane, Plane]]:
    """The plane that bisects two handrails, with its normal into each leg's bay."""
    first, second = ends
    joint = joint_between(first.direction, second.direction)
    planes = []
    for end, u, sense in zip(ends, at, (-1.0, 1.0), strict=True):
        normal = end.place.frame.direction_to_local(joint.normal)
        planes.append(Plane((u, 0.0, end.rail.at(u)), scale(normal, sense)))
    return joint, (planes[0], planes[1])


def _plumb(end: LegEnd, u: float, angle: float, sense: float) -> Plane:
    """The plumb plane that bisects the turn in plan, through the corner; its normal into the leg's bay."""
    turned = rotate((sense, 0.0, 0.0), UP, -sense * angle / 2)
    return Plane((u, 0.0, end.rail.at(u)), turned)


def meet(ends: tuple[LegEnd, LegEnd]) -> bool:
    """Whether the two handrails are at one height on the corner."""
    return abs(ends[1].top_z - ends[0].top_z) <= RAILS_MEET


def _over_post(built: BuiltTurn, ends: tuple[LegEnd, LegEnd]) -> BuiltTurn:
    """Rails that run over the newel: mitred on the corner, while infill and base rails end at its faces."""
    joint, planes = _mitre(ends, (ends[0].corner, ends[1].corner))
    before = replace(built.before, rail_face=planes[0], base_face=built.before.bay_face)
    after = replace(built.after, rail_face=planes[1], base_face=built.after.bay_face)
    return replace(built, before=before, after=after, joint=joint, meets=ends[0].corner)


def _at_post(post: Post, *, at_head: bool) -> BuiltEnd:
    face = post.face(towards_head=not at_head)
    return BuiltEnd(post, face, face, True, post.station, f"{post.role.value} {post.id}")


def _post(
    turn: EdgeTurn, brief: TurnNewel | TurnStanding, ends: tuple[LegEnd, LegEnd], side: Side, post_id: str
) -> Post:
    """The newel as the leg before sees it."""
    first, second = ends
    if isinstance(brief, TurnStanding):
        standing = {post.id: post for post in first.flight.posts}[brief.post]
        return standing_newel(
            standing, Place(first.flight, side, at_head=True, rail_top=first.rail, post_id=post_id)
        )
    floor = second.place.dz - first.place.dz
    stands = "on the floor at the turn"
    if brief.foot is Foot.TREAD and turn.leaves.point in first.flight.nosing_names:
        floor = first.flight.nosings[first.flight.nosing_names.index(turn.leaves.point)][1]
        stands = f"on the tread of {turn.leaves.point}"
    foot = floor - brief.drop
    if brief.drop > 0:
        stands = f"{stands}, hanging below it"
    twist = turn_of_section(turn.angle)
    top = newel_top(brief, ends)
    return Post(
        id=post_id,
        role=PostRole.TURN,
        foot=(first.corner, 0.0, foot),
        axis=UP,
        along_axis=(math.cos(twist), math.sin(twist), 0.0),
        along=brief.along,
        across=brief.across,
        length=top - foot,
        station=turn.leaves.point,
        material=brief.material,
        stands=stands,
    )


def newel_between(brief: NewelBetween, end: LegEnd, post_id: str) -> Post:
    """A newel between the ends of a leg, as both its bays see it.

    ImpossibleDesignError where it is to lap a string that is not there.
    """
    flight, u = end.flight, end.corner
    foot, stands = _foot_between(brief, flight, u)
    return Post(
        id=post_id,
        role=PostRole.BETWEEN,
        foot=(u, 0.0, foot),
        axis=UP,
        along_axis=(1.0, 0.0, 0.0),
        along=brief.along,
        across=brief.across,
        length=newel_top(brief, (end, end)) - foot,
        station=brief.at.point,
        material=brief.material,
        stands=stands,
        laps_string=brief.foot is Foot.STRING,
    )


def _foot_between(brief: NewelBetween, flight: Flight, u: float) -> tuple[float, str]:
    """Height of its foot and, in words, what it stands on."""
    if brief.foot is Foot.STRING:
        if flight.string is None:
            raise ImpossibleDesignError(
                f"the newel at {brief.at.point} is to lap a string, and there is none"
            )
        return flight.string.top.at(u) - brief.lap, "lapped on the string"
    below = [
        (z, name) for (place, z), name in zip(flight.nosings, flight.nosing_names, strict=True) if place <= u
    ]
    z, name = below[-1] if below else (flight.nosings[0][1] if flight.is_level else 0.0, "")
    if flight.is_level:
        return z, "on the floor"
    return z, f"on the tread of {name}" if name else "on the lower floor"


def newel_top(brief: TurnNewel | NewelBetween, ends: tuple[LegEnd, LegEnd]) -> float:
    """Height of a turn newel's top, in the leg before: over the higher handrail, or below both where they pass over.

    Rails that pass over it rest on the newel at the lower of their undersides over its section.
    """
    first, second = ends
    own = second.place.dz - first.place.dz
    if not brief.under_rail:
        return max(first.rail.at(first.corner), second.rail.at(second.corner) + own) + brief.above_rail
    half = max(brief.along, brief.across) / 2
    under = [
        end.rail.offset(-end.depth).at(end.corner + shift) + lift
        for end, lift, shifts in ((first, 0.0, (-half, 0.0)), (second, own, (0.0, half)))
        for shift in shifts
    ]
    return min(under)


def turn_of_section(angle: float) -> float:
    """How far a newel's section is turned in plan: square to both legs at a right angle, else half way between."""
    quarters = round(angle / (math.pi / 2))
    return (angle - quarters * math.pi / 2) / 2


def _set(post: Post, turn: EdgeTurn, ends: tuple[LegEnd, LegEnd], side: Side) -> tuple[Post, Post]:
    """The newel as both legs see it: where it was measured if it has been set, from one leg or from both."""
    first, second = ends
    standing = [end.flight.set_post(end.owner, post.id) for end in ends]
    if first.flight is second.flight:
        standing[1] = None
    if standing[0] is not None:
        place = Place(first.flight, side, at_head=True, rail_top=first.rail, post_id=post.id)
        post = set_newel(post, standing[0], place)
    seen = seen_from(post, first.place, second.place, turn.joins.point)
    if standing[1] is None:
        return post, seen
    place = Place(second.flight, side, at_head=False, rail_top=second.rail, post_id=post.id)
    found = replace(set_newel(seen, standing[1], place), shared=True)
    if standing[0] is None:
        return replace(seen_from(found, second.place, first.place, turn.leaves.point), shared=False), found
    return _brought_together(post, seen, found, ends)


def _brought_together(post: Post, seen: Post, found: Post, ends: tuple[LegEnd, LegEnd]) -> tuple[Post, Post]:
    """A newel whose faces were read from both legs: moved across the leg before until the other face fits too.

    Where the legs run side by side neither reading tells of the other direction, and each leg keeps its own.
    """
    first, second = ends
    across = first.place.direction_to(second.place, (0.0, 1.0, 0.0))
    if abs(across[0]) < LEAST_ACROSS:
        return post, found
    by = (found.foot[0] - seen.foot[0]) / across[0]
    moved = replace(seen, foot=along(seen.foot, across, by), station=found.station)
    return replace(post, foot=along(post.foot, (0.0, 1.0, 0.0), by)), moved


LEAST_ACROSS = 0.5
"""Sine of the turn below which two legs run too nearly side by side to place a newel across each other."""


def seen_from(post: Post, before: LegPlace, after: LegPlace, station: str) -> Post:
    """A newel of the leg before in the co-ordinates of the leg after."""
    return replace(
        post,
        foot=before.point_to(after, post.foot),
        axis=before.direction_to(after, post.axis),
        along_axis=before.direction_to(after, post.along_axis),
        station=station,
        stands=post.stands,
        shared=True,
    )
