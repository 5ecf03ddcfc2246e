"""The elevation of a balustrade with what a joiner needs on it: heights, pitch, runs, running marks, ends."""

import math
from collections.abc import Iterator
from itertools import pairwise

from pitchline.design.brief import Shape
from pitchline.design.model import BarRole, Design, PostRole, Upright
from pitchline.kit.drawing.marks import (
    Anchor,
    Area,
    Drawing,
    Fill,
    HeightMark,
    Label,
    Leader,
    Mark,
    Pen,
    RunningMarks,
    Stroke,
)
from pitchline.kit.geometry.lines import Point2
from pitchline.kit.geometry.outlines import centroid
from pitchline.sheets.looking import (
    Looker,
    Show,
    bar_outline,
    end_point,
    post_outline,
    steps,
    view_words,
)

FLOOR_SHOWN = 650.0
"""mm of floor drawn before the foot and beyond the head of a flight."""


def elevation(design: Design, show: Show, scale: float) -> Drawing:
    """The balustrade in elevation at 1:``scale``."""
    look = Looker(design.side)
    marks = (
        *_stair(design, look),
        *_wood(design, look),
        *_names(design, look, scale),
        *_rail_dimensions(design, look, show),
        *_heights(design, look, show, scale),
        *_running(design, look, show),
        *_ends(design, look, show),
    )
    return Drawing(
        f"{design.id}-elevation", f"Elevation, {view_words(design)}", scale, marks, view_words(design)
    )


def _stair(design: Design, look: Looker) -> Iterator[Mark]:
    flight = design.flight
    profile = steps(flight, FLOOR_SHOWN, FLOOR_SHOWN)
    if flight.string is None:
        yield Area(
            look.all((*profile, (profile[-1][0], profile[-1][1] - 120.0), (profile[0][0], -120.0))), Fill.GREY
        )
        yield Stroke(look.all(profile), Pen.OUTLINE)
        return
    string = flight.string
    reach = (flight.nosings[0][0] - 60.0, flight.nosings[-1][0] + 40.0)
    depth = string.depth / math.cos(string.top.angle)
    corners = [string.top.point(reach[0]), string.top.point(reach[1])]
    below = [(reach[1], corners[1][1] - depth), (reach[0], corners[0][1] - depth)]
    board = [*corners, *((u, max(z, 0.0)) for u, z in below)]
    yield Area(look.all(board), Fill.GREY, pen=Pen.THIN)
    yield Stroke(look.all(profile), Pen.HIDDEN)
    yield Stroke(look.all([profile[0], profile[1]]), Pen.OUTLINE)
    yield Stroke(look.all([flight.nosings[-1], profile[-1]]), Pen.OUTLINE)


def _wood(design: Design, look: Looker) -> Iterator[Mark]:
    for upright in design.uprights:
        yield Area(look.all(_upright_outline(upright)), Fill.WOOD, pen=Pen.OUTLINE)
    for bar in design.bars:
        yield Area(look.all(bar_outline(bar)), Fill.WOOD, pen=Pen.OUTLINE)
        if bar.seat is not None:
            seat = [end_point(bar.start, bar.seat), end_point(bar.finish, bar.seat)]
            yield Stroke(look.all(seat), Pen.HIDDEN)
    for post in design.posts:
        fill = Fill.GREY if post.role is PostRole.EXISTING else Fill.WOOD
        yield Area(look.all(post_outline(post)), fill, pen=Pen.OUTLINE)
    for wall in design.flight.walls:
        top = design.flight.nosings[-1][1] + 1000.0
        line = [
            (wall.face_u + wall.lean_along * (z - wall.face_z), z)
            for z in (
                0.0 if wall.face_u < design.flight.nosings[-1][0] / 2 else design.flight.nosings[-1][1],
                top,
            )
        ]
        yield Stroke(look.all(line), Pen.CUT)


def _upright_outline(upright: Upright) -> tuple[Point2, ...]:
    """What is seen of an upright; a turned one with its profile."""
    if upright.shape is not Shape.TURNED or not upright.profile:
        return upright.sight
    up = (math.sin(upright.lean), math.cos(upright.lean))
    out = (up[1], -up[0])

    def at(t: float, s: float) -> Point2:
        foot = upright.foot
        return (foot[0] + t * up[0] + s * out[0], foot[1] + t * up[1] + s * out[1])

    places = [(p[0] - upright.foot[0]) * up[0] + (p[1] - upright.foot[1]) * up[1] for p in upright.sight]
    low, high = min(places), max(places)
    half = upright.width / 2
    profile = [(t, d / 2) for t, d in upright.profile if low < t < high]
    right = [(low, half), (profile[0][0], half), *profile, (profile[-1][0], half), (high, half)]
    return (*(at(t, s) for t, s in right), *(at(t, -s) for t, s in reversed(right)))


def _names(design: Design, look: Looker, scale: float) -> Iterator[Mark]:
    lift = 13.0 * scale
    for bar, place in zip(design.bars, (0.72, 0.42, 0.3), strict=False):
        outline = bar_outline(bar)
        tip = tuple(
            (a + b) / 2 + (place - 0.5) * (c - a)
            for a, b, c in zip(outline[0], outline[2], outline[1], strict=True)
        )
        sign = 1.0 if bar.role is BarRole.HANDRAIL else -1.0
        at = (tip[0] - sign * lift * math.sin(bar.top.angle), tip[1] + sign * lift * math.cos(bar.top.angle))
        text = f"{bar.id} {bar.role.value}, {math.degrees(bar.top.angle):.2f}° from level"
        yield Leader(look.at((tip[0], tip[1])), look.at(at), text, dot=True)
    for post in design.posts:
        top = (post.foot[0] + post.axis[0] * post.length, post.top_z)
        yield Label(look.at((top[0], top[1] + 2.0 * scale)), post.id, 3.5, Anchor.BASE_CENTRE)
    for upright in design.uprights:
        middle = _near_foot(upright)
        angle = 90.0 - look.sign * math.degrees(upright.lean)
        yield Label(look.at(middle), upright.mark, 1.8, Anchor.MIDDLE, angle)
    for number, (u, z) in enumerate(design.flight.nosings, start=1):
        yield Label(look.at((u + 3.0 * scale, z - 5.0 * scale)), f"N{number}", 1.8, Anchor.MIDDLE)


def _near_foot(upright: Upright) -> Point2:
    """A place on an upright in its lower third, where its mark is out of the way of the heights."""
    low = min(upright.sight, key=lambda point: point[1])[1]
    middle = centroid(upright.sight)
    drop = 0.45 * (middle[1] - low)
    return (middle[0] - drop * math.tan(upright.lean), middle[1] - drop)


def _rail_dimensions(design: Design, look: Looker, show: Show) -> Iterator[Mark]:
    rail = design.handrail
    a, b = end_point(rail.start, rail.top), end_point(rail.finish, rail.top)
    yield look.along(a, b, 9.0, f"{show(math.dist(a, b))} along the top of {rail.id}")


def _heights(design: Design, look: Looker, show: Show, scale: float) -> Iterator[Mark]:
    """Plumb heights to the top of the rail at the first, the tightest and the last nosing."""
    nosings, top = design.flight.nosings, design.handrail.top
    for number in sorted({1, design.rail_line.tightest, len(nosings)}):
        u, z = nosings[number - 1]
        if number in (1, len(nosings)):
            offset = -24.0 if number == 1 else 24.0
        else:
            offset = (_clear_of_uprights(design, u) - u) / scale
        yield look.plumb((u, z), (u, top.at(u)), offset, f"{show(top.at(u) - z)} at N{number}")


def _clear_of_uprights(design: Design, u: float) -> float:
    """The middle of the gap between plumb uprights that lies nearest to ``u``; ``u`` itself where they lean."""
    places = [upright.u for upright in design.uprights if upright.lean == 0.0]
    middles = [(a + b) / 2 for a, b in pairwise(places)]
    return min(middles, key=lambda middle: abs(middle - u), default=u)


def _running(design: Design, look: Looker, show: Show) -> Iterator[Mark]:
    """Centres of the uprights on the base rail, level, from the face of the lower end: one datum for all."""
    standing = [upright for upright in design.uprights if upright.outline.edge("base") is not None]
    if not standing:
        return
    base = design.base.top
    datum = end_point(design.base.start, base)
    finish = end_point(design.base.finish, base)
    points = (*(base.point(upright.u) for upright in standing), finish)
    yield RunningMarks(
        look.at((datum[0], min(0.0, datum[1]))),
        look.all(points),
        direction_deg=0.0 if look.sign > 0 else 180.0,
        offset=-look.sign * 10.0,
        texts=tuple(show(point[0] - datum[0]) for point in points),
    )


def _ends(design: Design, look: Looker, show: Show) -> Iterator[Mark]:
    for post in design.posts:
        outline = post_outline(post)
        outwards = 12.0 if post.id == "P2" else -12.0
        side = (outline[1], outline[2]) if post.id == "P2" else (outline[0], outline[3])
        yield look.plumb(side[0], side[1], outwards, show(post.length))
    foot = (design.flight.nosings[0][0] - FLOOR_SHOWN * 0.85, 0.0)
    last = design.flight.nosings[-1]
    head = (last[0] + FLOOR_SHOWN * 0.85, last[1])
    yield HeightMark(look.at(foot), "0 lower floor", to_left=look.sign > 0)
    yield HeightMark(look.at(head), f"{show(last[1])} upper floor", to_left=look.sign < 0)
