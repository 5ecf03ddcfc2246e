"""A wall rail drawn: the walls unrolled side by side with rail, brackets, studs and nosings; the plan; its tables.

The elevation is seen from the stair, so that a wall on the right climbs to the left. Heights count from the lowest
finished floor.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import shapely

from pitchline.design.wall_model import Bracket, PieceKind, WallLeg, WallRail
from pitchline.kit.drawing.marks import (
    Anchor,
    Area,
    Dimension,
    Drawing,
    Fill,
    Label,
    Mark,
    Pen,
    Point,
    RunningMarks,
    Stroke,
)
from pitchline.kit.geometry.lines import Point2
from pitchline.kit.geometry.outlines import Points, from_shapely
from pitchline.parts.part import Part
from pitchline.sheets.looking import Looker, Show
from pitchline.stair.edge import turn_words
from pitchline.stair.model import Side

WALL_ABOVE = 260.0
"""mm of wall and studs drawn over the rail."""

FLOOR_SHOWN = 300.0
"""mm of floor drawn past the outer nosings."""


@dataclass(frozen=True, slots=True)
class LegView:
    """One leg in the unrolled elevation: the eye, and from where to where it is drawn in its own u."""

    number: int
    leg: WallLeg
    look: Looker
    low: float
    high: float


def leg_views(rail: WallRail) -> tuple[LegView, ...]:
    """The legs side by side, corner against corner."""
    side = Side.LEFT if rail.side is Side.RIGHT else Side.RIGHT
    views: list[LegView] = []
    shift = 0.0
    for number, leg in enumerate(rail.legs):
        last = number == len(rail.legs) - 1
        ends = (rail.paths[number][0][0], rail.paths[number][-1][0])
        low = min(leg.nosings[0].u, ends[0]) - FLOOR_SHOWN if number == 0 else leg.start
        high = max(leg.nosings[-1].u, ends[1]) + FLOOR_SHOWN if last else leg.finish
        if number > 0:
            shift += rail.legs[number - 1].finish - leg.start
        views.append(LegView(number, leg, Looker(side, shift), low, high))
    return tuple(views)


def wall_elevation(rail: WallRail, parts: Sequence[Part], show: Show, scale: float) -> Drawing:
    """The walls unrolled: what stands, the rail before them, its brackets and their marks."""
    views = leg_views(rail)
    marks: list[Mark] = []
    for view in views:
        marks += _ground(rail, view)
        marks += _studs(rail, view)
    for view in views:
        marks += _wood(rail, view, parts)
        marks += _brackets(rail, view, scale)
    for view in views:
        marks += _words(rail, view, show, scale)
        marks += _running(rail, view, show)
    for before, after in pairwise(views):
        marks += _corner(rail, before, after, scale)
    words = f"seen from the stair; the wall is on the {rail.side.value} going up"
    title = "Elevation of the wall" if len(views) == 1 else "Elevation of the walls, unrolled"
    return Drawing(f"{rail.id}-wall-elevation", title, scale, tuple(marks), words)


def profile(rail: WallRail, view: LegView) -> tuple[Point2, ...]:
    """Steps and floors beside a wall, from end to end of its view."""
    leg = view.leg
    nosings = [n for n in leg.nosings if view.low <= n.u <= view.high]
    z = nosings[0].z if leg.is_level and nosings else leg.floor
    if view.number > 0 and rail.brief.turns[view.number - 1].winders:
        z = rail.legs[view.number - 1].nosings[-1].z
    points = [(view.low, z)]
    for nosing in nosings:
        points += [(nosing.u, z), (nosing.u, nosing.z)]
        z = nosing.z
    points.append((view.high, z))
    return tuple(points)


def _lowest(rail: WallRail, view: LegView) -> float:
    return min(z for _, z in profile(rail, view))


def _ground(rail: WallRail, view: LegView) -> Iterator[Mark]:
    """The steps beside the wall."""
    points = profile(rail, view)
    under = [(u, z - UNDER) for u, z in reversed(_lower_edge(points))]
    yield Area(view.look.all((*points, *under)), Fill.GREY)
    yield Stroke(view.look.all(points), Pen.CUT)


UNDER = 90.0
"""mm of ground drawn below the inner corners of the steps."""


def _lower_edge(points: Sequence[Point2]) -> list[Point2]:
    """The corners of a profile that a straightedge laid under it would touch, from left to right."""
    edge: list[Point2] = []
    for point in sorted(set(points)):
        while len(edge) > 1 and _bends_down(edge[-2], edge[-1], point):
            edge.pop()
        edge.append(point)
    return edge


def _bends_down(a: Point2, b: Point2, c: Point2) -> bool:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]) <= 0.0


def _studs(rail: WallRail, view: LegView) -> Iterator[Mark]:
    """What was found behind the lining, from the steps to over the rail."""
    for stud in view.leg.studs:
        if not view.low <= stud.u <= view.high:
            continue
        low = _ground_at(rail, view, stud.u)
        high = _rail_near(rail, view, stud.u) + WALL_ABOVE
        for u in (stud.u - stud.half_width, stud.u + stud.half_width):
            yield Stroke(view.look.all(((u, low), (u, high))), Pen.HIDDEN)


def _ground_at(rail: WallRail, view: LegView, u: float) -> float:
    found = _lowest(rail, view)
    for (a, _), (b, z) in pairwise(profile(rail, view)):
        if a <= u <= b:
            found = z
    return found


def _rail_near(rail: WallRail, view: LegView, u: float) -> float:
    """Height of the rail's top, or of its end beyond which it does not reach."""
    path = rail.paths[view.number]
    return rail.top_at(view.number, min(max(u, path[0][0]), path[-1][0]))


def _wood(rail: WallRail, view: LegView, parts: Sequence[Part]) -> Iterator[Mark]:
    """The pieces that run along this wall, as their finished bodies show."""
    frames = {part.place: part for part in parts}
    for piece in rail.pieces:
        along = abs(sum(a * b for a, b in zip(piece.direction, view.leg.frame.y, strict=True))) < 1e-6
        if piece.kind is PieceKind.RETURN or not along or not _in_front(rail, view, piece.start):
            continue
        part = frames[piece.id]
        corners = [view.leg.frame.to_local(part.frame.to_world(corner)) for corner in part.body.corners]
        outline = _hull([(u, z) for u, _, z in corners])
        yield Area(view.look.all(outline), Fill.WOOD, pen=Pen.OUTLINE)


def _hull(points: Sequence[Point2]) -> Points:
    """The outline round points: what is seen of a piece whose faces are flat."""
    return from_shapely(shapely.Polygon(shapely.convex_hull(shapely.MultiPoint(points))))


def _in_front(rail: WallRail, view: LegView, point: tuple[float, float, float]) -> bool:
    """Whether a point lies as far from this wall as its rail does."""
    y = view.leg.frame.to_local(point)[1] * rail.side.towards_stair
    return abs(y - rail.centres[view.number]) < 1.0


def _brackets(rail: WallRail, view: LegView, scale: float) -> Iterator[Mark]:
    brief = rail.brief.brackets
    for bracket in _own(rail, view):
        half, tall = brief.rose / 2, brief.rose_height / 2
        u, z = bracket.u, bracket.plate_z
        box = ((u - half, z - tall), (u + half, z - tall), (u + half, z + tall), (u - half, z + tall))
        yield Area(view.look.all(box), Fill.WHITE, pen=Pen.OUTLINE)
        yield Stroke(view.look.all(((u, z), (u, bracket.rail_z))), Pen.OUTLINE)
        below = view.look.at((u, z - tall))
        yield Label((below[0], below[1] - 2.8 * scale), bracket.id, 2.5, Anchor.MIDDLE)


def _own(rail: WallRail, view: LegView) -> tuple[Bracket, ...]:
    return tuple(bracket for bracket in rail.brackets if bracket.leg == view.number)


def _words(rail: WallRail, view: LegView, show: Show, scale: float) -> Iterator[Mark]:
    """Nosings by name, the rail's pitches, and how high it stands."""
    row = (view.number % 2) * 9.0 * scale
    for nosing in view.leg.nosings:
        if view.low <= nosing.u <= view.high:
            at = view.look.at((nosing.u + 5.0 * scale, nosing.z - 3.0 * scale))
            yield Label(at, nosing.name, 1.8, Anchor.MIDDLE)
    path = rail.paths[view.number]
    for (a, low), (b, high) in pairwise(path):
        pitch = math.degrees(math.atan2(high - low, b - a))
        if math.hypot(b - a, high - low) < 30.0 * scale:
            continue
        middle = ((a + b) / 2, (low + high) / 2 + 5.0 * scale)
        tilt = pitch * view.look.sign
        words = "level" if abs(pitch) < 0.005 else f"{pitch:.2f}° from level"
        yield Label(view.look.at(middle), words, 2.5, Anchor.BASE_CENTRE, tilt)
    passed = [
        height
        for height, nosing in zip(rail.heights[view.number].heights, view.leg.nosings, strict=True)
        if path[0][0] - 1.0 <= nosing.u <= path[-1][0] + 1.0
        and not (view.leg.is_level and rail.slope_at(view.number, nosing.u) > 0.0)
    ]
    if passed:
        low_text, high_text = show(min(passed)), show(max(passed))
        over = "the floor" if view.leg.is_level else "the nosings"
        text = low_text if low_text == high_text else f"{low_text} to {high_text}"
        middle_u = (path[0][0] + path[-1][0]) / 2
        at = view.look.at((middle_u, _foot(rail)))
        yield Label((at[0], at[1] - 27.0 * scale - row), view.leg.id, 2.5, Anchor.MIDDLE)
        words = f"top {text} plumb above {over}"
        yield Label((at[0], at[1] - 30.8 * scale - row), words, 1.8, Anchor.MIDDLE)


def _foot(rail: WallRail) -> float:
    """Height under which the marks of all legs stand."""
    return min(_lowest(rail, view) for view in leg_views(rail)) - 60.0


def datum_of(rail: WallRail, number: int) -> tuple[float, str]:
    """From where the brackets of a leg are marked along its wall: its corner, on the first leg its first nosing."""
    leg = rail.legs[number]
    if number > 0:
        return leg.start, "the corner"
    return leg.nosings[0].u, f"nosing {leg.nosings[0].name}"


def _running(rail: WallRail, view: LegView, show: Show) -> Iterator[Mark]:
    """Level marks of the brackets along the wall, all from one datum."""
    held = _own(rail, view)
    if not held:
        return
    origin, _ = datum_of(rail, view.number)
    foot = _foot(rail)
    yield RunningMarks(
        view.look.at((origin, foot)),
        view.look.all((bracket.u, foot) for bracket in held),
        direction_deg=0.0 if view.look.sign > 0 else 180.0,
        offset=-view.look.sign * 7.0,
        texts=tuple(show(abs(bracket.u - origin)) for bracket in held),
    )


def _corner(rail: WallRail, before: LegView, after: LegView, scale: float) -> Iterator[Mark]:
    """The corner of the walls, and how the rail goes round it."""
    u = before.high
    low = _lowest(rail, before) - 60.0
    high = rail.paths[before.number][-1][1] + WALL_ABOVE + 10.0 * scale
    yield Stroke(before.look.all(((u, low), (u, high))), Pen.CENTRE)
    angle = math.atan2(after.leg.frame.x[1], after.leg.frame.x[0])
    angle -= math.atan2(before.leg.frame.x[1], before.leg.frame.x[0])
    turn = math.remainder(angle, math.tau)
    at = before.look.at((u, high))
    yield Label((at[0], at[1] + 5.0 * scale), turn_words(turn), 2.5, Anchor.MIDDLE)
    yield Label((at[0], at[1] + 1.5 * scale), f"rail {rail.corners[before.number].value}", 1.8, Anchor.MIDDLE)


def wall_plan(rail: WallRail, parts: Sequence[Part], show: Show, scale: float) -> Drawing:
    """The rail from above, as the walls lie; the first leg runs up to the right."""
    marks: list[Mark] = []
    for view in leg_views(rail):
        marks += _plan_wall(rail, view, scale)
    for part in parts:
        corners = [part.frame.to_world(corner) for corner in part.body.corners]
        marks.append(Area(_hull([(x, y) for x, y, _ in corners]), Fill.WOOD, pen=Pen.OUTLINE))
    for bracket in rail.brackets:
        marks += _plan_bracket(rail, bracket, scale)
    for view in leg_views(rail):
        marks += _plan_sizes(rail, view, show)
    return Drawing(f"{rail.id}-wall-plan", "Plan of the rail", scale, tuple(marks), "seen from above")


def _flat(leg: WallLeg, u: float, y: float) -> Point:
    x, across, _ = leg.frame.to_world((u, y, 0.0))
    return (x, across)


def _plan_wall(rail: WallRail, view: LegView, scale: float) -> Iterator[Mark]:
    """The wall's face as it was read, hatched thickness behind it, studs, and the nosings in front."""
    leg, sense = view.leg, rail.side.towards_stair
    inner = [u for u, _ in leg.face_places if view.low < u < view.high]
    face = [(u, sense * leg.proud(u)) for u in (view.low, *inner, view.high)]
    back = -sense * 90.0
    yield Area(tuple(_flat(leg, u, y) for u, y in (*face, (view.high, back), (view.low, back))), Fill.GREY)
    yield Stroke(tuple(_flat(leg, u, y) for u, y in face), Pen.CUT)
    for stud in leg.studs:
        if view.low <= stud.u <= view.high:
            near, far = -sense * leg.face.lining, back
            edges = (stud.u - stud.half_width, stud.u + stud.half_width)
            box = ((edges[0], near), (edges[1], near), (edges[1], far), (edges[0], far))
            yield Stroke(tuple(_flat(leg, u, y) for u, y in box), Pen.THIN, closed=True)
    shown = sense * min(leg.width or 800.0, 420.0)
    for nosing in leg.nosings:
        if view.low <= nosing.u <= view.high and not leg.is_level:
            yield Stroke((_flat(leg, nosing.u, 0.0), _flat(leg, nosing.u, shown)), Pen.THIN)
            at = _flat(leg, nosing.u, shown + sense * 3.0 * scale)
            yield Label(at, nosing.name, 1.8, Anchor.MIDDLE)


def _plan_bracket(rail: WallRail, bracket: Bracket, scale: float) -> Iterator[Mark]:
    """The arm under the rail and its plate, drawn over the rail, and its name on the stair side."""
    leg, sense = rail.legs[bracket.leg], rail.side.towards_stair
    face, centre = sense * leg.proud(bracket.u), sense * rail.centres[bracket.leg]
    half = rail.brief.brackets.rose / 2
    yield Stroke((_flat(leg, bracket.u, face), _flat(leg, bracket.u, centre)), Pen.OUTLINE)
    yield Stroke((_flat(leg, bracket.u - half, face), _flat(leg, bracket.u + half, face)), Pen.ACCENT)
    beyond = centre + sense * (rail.width / 2 + 3.0 * scale)
    yield Label(_flat(leg, bracket.u, beyond), bracket.id, 2.5, Anchor.MIDDLE)


def _plan_sizes(rail: WallRail, view: LegView, show: Show) -> Iterator[Mark]:
    """How far the rail stands off the wall and reaches out, at the middle of each leg."""
    leg, sense = view.leg, rail.side.towards_stair
    u = _free_place(rail, view)
    out = sense * (rail.centres[view.number] + rail.width / 2)
    a, b = _flat(leg, u, 0.0), _flat(leg, u, out)
    bearing = math.degrees(math.atan2(b[1] - a[1], b[0] - a[0]))
    yield Dimension(a, b, 0.0, f"{show(abs(out))} out, {show(rail.clear)} clear", direction_deg=bearing)


def _free_place(rail: WallRail, view: LegView) -> float:
    """The place along a rail that is furthest from nosings and brackets."""
    path = rail.paths[view.number]
    taken = [n.u for n in view.leg.nosings] + [b.u for b in _own(rail, view)]
    places = [path[0][0] + k / 40 * (path[-1][0] - path[0][0]) for k in range(6, 35)]
    return max(places, key=lambda u: min((abs(u - t) for t in taken), default=0.0))
