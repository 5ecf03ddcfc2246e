"""The elevation of a balustrade with what a joiner needs on it: heights, pitch, runs, running marks, ends."""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

from pitchline.design.brief import Shape
from pitchline.design.model import Bar, BarRole, Design, PostRole, Upright
from pitchline.kit.drawing.lettering import open_face
from pitchline.kit.drawing.marks import (
    LETTER_HEIGHT,
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
from pitchline.kit.tolerances import CHORD_OFF_ARC
from pitchline.sheets.infillview import infill_marks, infill_notes
from pitchline.sheets.looking import (
    Looker,
    Show,
    bar_outline,
    end_point,
    post_outline,
    steps,
    view_words,
)

POST_OUT, HEIGHT_OUT, LEVEL_OUT = 11.0, 20.0, 34.0
"""Paper mm beyond the ends: the sizes of posts, the heights of the rail, the marks of the floors."""

RAIL_OUT, NAME_OUT = 9.0, 20.0
"""Paper mm above the handrail: its length, its name."""

FLOOR_DEEP = 200.0
"""mm of a floor drawn below its surface."""

STAIR_BELOW = 150.0
"""mm of an open stair drawn below its steps."""


@dataclass(frozen=True, slots=True)
class Reach:
    """From where to where the elevation runs, u in mm: the balustrade itself, and the floors beside it."""

    low: float
    high: float
    floor_low: float
    floor_high: float

    @staticmethod
    def of(design: Design, scale: float, beyond: float = LEVEL_OUT + 10.0) -> "Reach":
        """What a design takes, and floors ``beyond`` paper mm past its ends at 1:``scale``."""
        outlines = [*map(bar_outline, design.bars), *map(post_outline, design.posts)]
        us = [u for outline in outlines for u, _ in outline] + [u for u, _ in design.flight.nosings]
        room = beyond * scale
        return Reach(min(us), max(us), min(us) - room, max(us) + room)


def elevation(design: Design, show: Show, scale: float) -> Drawing:
    """The balustrade in elevation at 1:``scale``."""
    look = Looker(design.side)
    reach = Reach.of(design, scale)
    marks = (
        *stair_marks(design, look, reach),
        *infill_marks(design, look, scale),
        *wood_marks(design, look),
        *_names(design, look, scale, reach),
        *_rail_marks(design, look, show, scale),
        *_heights(design, look, show, scale, reach),
        *_running(design, look, show, scale),
        *infill_notes(design, look, show, scale, _lowest(design)),
        *_ends(design, look, show, scale, reach),
    )
    return Drawing(
        f"{design.id}-elevation", f"Elevation, {view_words(design)}", scale, marks, view_words(design)
    )


def _lowest(design: Design) -> float:
    """Height below which nothing of the leg is drawn."""
    return min(underside(design, u) for u, _ in design.flight.nosings)


def underside(design: Design, u: float) -> float:
    """Height of the lower edge of what is drawn of the stair, the floor's where that is higher."""
    flight = design.flight
    if flight.is_level:
        return min(z for _, z in flight.nosings) - FLOOR_DEEP
    if flight.string is not None:
        return max(flight.string.top.at(u) - flight.string.depth / math.cos(flight.string.top.angle), 0.0)
    (first, _), (last, top) = flight.nosings[0], flight.nosings[-1]
    share = (u - first - STAIR_BELOW) / max(last - first, 1.0)
    return min(max(share * (top - STAIR_BELOW), 0.0), top)


def stair_marks(design: Design, look: Looker, reach: Reach) -> Iterator[Mark]:
    """The stair that stands: its string in front of the steps, or the steps by themselves."""
    flight = design.flight
    first, last = flight.nosings[0], flight.nosings[-1]
    profile = steps(flight, first[0] - reach.floor_low, reach.floor_high - last[0])
    if flight.is_level:
        below = [(profile[-1][0], underside(design, last[0])), (profile[0][0], underside(design, first[0]))]
        yield Area(look.all((*profile, *below)), Fill.GREY)
        yield Stroke(look.all(profile), Pen.OUTLINE)
        return
    floors = [(profile[0], profile[1]), (last, profile[-1])]
    if flight.string is None:
        below = [(u, underside(design, u)) for u in (last[0], first[0] + STAIR_BELOW)]
        head = [(last[0], last[1] - STAIR_BELOW)] if below[0][1] > last[1] - STAIR_BELOW else []
        yield Area(look.all((*profile[1:-1], *head, *below)), Fill.GREY)
        yield Stroke(look.all(profile), Pen.OUTLINE)
        return
    ends = (first[0] - 60.0, last[0] + 40.0)
    top = flight.string.top
    board = [top.point(ends[0]), top.point(ends[1])]
    board += [(ends[1], underside(design, ends[1])), (ends[0], underside(design, ends[0]))]
    kink = (flight.string.depth / math.cos(top.angle) - top.z0) / top.slope
    if ends[0] < kink < ends[1]:
        board.insert(3, (kink, 0.0))
    yield Area(look.all(board), Fill.GREY, pen=Pen.THIN)
    yield Stroke(look.all(profile[1:-1]), Pen.HIDDEN)
    for floor in floors:
        yield Stroke(look.all(floor), Pen.OUTLINE)


def wood_marks(design: Design, look: Looker) -> Iterator[Mark]:
    """Uprights, rails, posts, and the walls they meet."""
    for upright in design.uprights:
        yield Area(look.all(upright_outline(upright)), Fill.WOOD, pen=Pen.OUTLINE)
    for bar in design.bars:
        yield Area(look.all(bar_outline(bar)), Fill.WOOD, pen=Pen.OUTLINE)
        if bar.seat is not None:
            seat = [end_point(bar.start, bar.seat), end_point(bar.finish, bar.seat)]
            yield Stroke(look.all(seat), Pen.HIDDEN)
    for piece in design.easements:
        yield Area(look.all(piece.outline.points(CHORD_OFF_ARC)), Fill.WOOD, pen=Pen.OUTLINE)
    for post in design.posts:
        fill = Fill.GREY if post.role is PostRole.EXISTING else Fill.WOOD
        yield Area(look.all(post_outline(post)), fill, pen=Pen.OUTLINE)
    yield from _walls(design, look)


def _walls(design: Design, look: Looker) -> Iterator[Mark]:
    """The faces of the walls from the floor they stand on to well above the rail."""
    last_u, last_z = design.flight.nosings[-1]
    for wall in design.flight.walls:
        foot = 0.0 if wall.face_u < last_u / 2 else last_z
        low, high = (
            (wall.face_u + wall.lean_along * (z - wall.face_z), z) for z in (foot, foot + WALL_SHOWN)
        )
        away = -1.0 if wall.face_u < last_u / 2 else 1.0
        face = look.all(
            (low, high, (high[0] + away * WALL_DEEP, high[1]), (low[0] + away * WALL_DEEP, low[1]))
        )
        yield Area(face, Fill.GREY)
        yield Stroke(face[:2], Pen.CUT)


WALL_SHOWN, WALL_DEEP = 1250.0, 60.0
"""mm of a wall drawn above the floor and behind its face."""


def upright_outline(upright: Upright) -> tuple[Point2, ...]:
    """What is seen of an upright; a turned one with its profile."""
    if upright.shape is not Shape.TURNED or not upright.profile:
        return upright.sight
    up = (math.sin(upright.lean), math.cos(upright.lean))
    out = (up[1], -up[0])

    def at(t: float, s: float) -> Point2:
        foot = upright.foot
        return (foot[0] + t * up[0] + s * out[0], foot[1] + t * up[1] + s * out[1])

    places = [(p[0] - upright.foot[0]) * up[0] + (p[1] - upright.foot[1]) * up[1] for p in upright.sight]
    right = _sides(upright, min(places), max(places))
    return (*(at(t, s) for t, s in right), *(at(t, -s) for t, s in reversed(right)))


def _sides(upright: Upright, low: float, high: float) -> list[Point2]:
    """Half widths of a turned upright from ``low`` to ``high`` along it: as wide as its blank outside its profile."""
    half = upright.width / 2
    (first, _), (last, _) = upright.profile[0], upright.profile[-1]
    blank = [(min(low, first), half), (first, half)]
    whole = [*blank, *((t, d / 2) for t, d in upright.profile), (last, half), (max(high, last), half)]
    seen: list[Point2] = []
    for (t0, s0), (t1, s1) in pairwise(whole):
        if t1 <= low or t0 >= high:
            continue
        growth = (s1 - s0) / (t1 - t0) if t1 > t0 else 0.0
        seen += [(t, s0 + growth * (t - t0)) for t in (max(t0, low), min(t1, high))]
    return seen


def _names(design: Design, look: Looker, scale: float, reach: Reach) -> Iterator[Mark]:
    yield from _lower_names(design, look, scale)
    middle = (reach.low + reach.high) / 2
    for post in design.posts:
        outline = post_outline(post)
        head = post.foot[0] > middle
        edge = (
            max(outline[2][0], outline[3][0]) + 1.2 * scale
            if head
            else min(outline[2][0], outline[3][0]) - 1.2 * scale
        )
        anchor = Anchor.MIDDLE_LEFT if head == (look.sign > 0) else Anchor.MIDDLE_RIGHT
        yield Label(look.at((edge, post.top_z - 4.0 * scale)), post.id, 3.5, anchor)
    for upright in design.uprights[:: _every(design, scale)]:
        angle = 90.0 - look.sign * math.degrees(upright.lean)
        yield Label(look.at(_near_foot(upright)), upright.mark, 1.8, Anchor.MIDDLE, angle)
    for number, (u, z) in enumerate(design.flight.nosings, start=1):
        yield Label(look.at(_beside_nosing(design, u, z, scale)), f"N{number}", 1.8, Anchor.MIDDLE)


def _every(design: Design, scale: float) -> int:
    """Every how manieth upright bears its mark: all, or each fifth where they stand too close to read."""
    places = [upright.u for upright in design.uprights]
    return 1 if all(b - a >= CLOSE * scale for a, b in pairwise(places)) else 5


CLOSE = 3.0
"""Paper mm between uprights below which their marks would run into each other."""


def _beside_nosing(design: Design, u: float, z: float, scale: float) -> Point2:
    """A place under a nosing for its name that no newel hides."""
    boxes = [post_outline(post) for post in design.posts]
    spans = [(min(p[0] for p in box), max(p[0] for p in box), min(p[1] for p in box)) for box in boxes]
    half = 2.6 * scale
    for along, down in ((3.5, 5.0), (8.0, 5.0), (12.0, 5.0), (-4.0, 5.0), (3.5, 12.0)):
        at = (u + along * scale, z - down * scale)
        if all(
            at[0] + half < low or at[0] - half > high or at[1] + scale < foot for low, high, foot in spans
        ):
            return at
    return (u + 3.5 * scale, z - 5.0 * scale)


def _bar_words(design: Design, bar: Bar) -> str:
    rake = f"{math.degrees(bar.top.angle):.2f}"
    return f"{bar.id} {design.name_of(bar)}, {'level' if rake == '0.00' else f'{rake}° from level'}"


def _lower_names(design: Design, look: Looker, scale: float) -> Iterator[Mark]:
    """Base rail and packer, named in the free corner below the upper floor."""
    last_u, last_z = design.flight.nosings[-1]
    for number, bar in enumerate(bar for bar in design.bars if bar.role is not BarRole.HANDRAIL):
        outline = bar_outline(bar)
        near = 0.985 - 0.02 * number
        tip = tuple(
            (near * (b + c) + (1 - near) * (a + d)) / 2
            for a, b, c, d in zip(outline[0], outline[1], outline[2], outline[3], strict=True)
        )
        at = (max(last_u, tip[0]) + 5.0 * scale, min(last_z, tip[1]) - (18.0 + 7.0 * number) * scale)
        yield Leader(look.at((tip[0], tip[1])), look.at(at), _bar_words(design, bar), dot=True)


def _near_foot(upright: Upright) -> Point2:
    """A place on an upright in its lower third, where its mark is out of the way of the heights."""
    low = min(upright.sight, key=lambda point: point[1])[1]
    middle = centroid(upright.sight)
    drop = 0.45 * (middle[1] - low)
    return (middle[0] - drop * math.tan(upright.lean), middle[1] - drop)


def _rail_marks(design: Design, look: Looker, show: Show, scale: float) -> Iterator[Mark]:
    """Above the handrail: its length along the rake, its name, its height at the tightest nosing, apart from
    each other."""
    rail = design.handrail
    a, b = end_point(rail.start, rail.top), end_point(rail.finish, rail.top)
    length = math.dist(a, b)
    leaders: list[tuple[float, str]] = []
    number = design.rail_line.tightest
    if 1 < number < len(design.flight.nosings) and a[0] <= design.flight.nosings[number - 1][0] <= b[0]:
        u, z = design.flight.nosings[number - 1]
        height = f"{show(rail.top.at(u) - z)} plumb above N{number}, the tightest"
        leaders.append(((u - a[0]) / (b[0] - a[0]), height))
    named = 0.8 if not leaders or leaders[0][0] < 0.5 else 0.22
    words = f"{show(length)} along the top of {rail.id}"
    reach = (open_face().width(words, LETTER_HEIGHT) / 2 + 3.0) * scale / length
    if reach > ROOM_FOR_WORDS:
        yield from _named_short(
            rail, (a, b), f"{_bar_words(design, rail)}, {show(length)} along its top", look, scale
        )
        return
    leaders.append((named, _bar_words(design, rail)))
    place = max(
        (k / 20 for k in range(4, 17)),
        key=lambda x: (min(*(abs(x - at) for at, _ in leaders), reach), -abs(x - 0.5)),
    )
    dimension = look.along(a, b, RAIL_OUT, words)
    yield replace(dimension, text_at=place if look.sign > 0 else 1.0 - place)
    up = rail.top.normal
    for at, text in leaders:
        tip = (a[0] + at * (b[0] - a[0]), a[1] + at * (b[1] - a[1]))
        elbow = (tip[0] + NAME_OUT * scale * up[0], tip[1] + NAME_OUT * scale * up[1])
        yield Leader(look.at(tip), look.at(elbow), text)


ROOM_FOR_WORDS = 0.6
"""Half the width of a dimension's words over the rail's length beyond which they run into the newels."""


def _named_short(
    rail: Bar, ends: tuple[Point2, Point2], words: str, look: Looker, scale: float
) -> Iterator[Mark]:
    """Of a rail between newels close together, name and length at one leader."""
    (au, az), (bu, bz) = ends
    tip = ((au + bu) / 2, (az + bz) / 2)
    up = rail.top.normal
    elbow = (tip[0] + 2 * NAME_OUT * scale * up[0], tip[1] + 2 * NAME_OUT * scale * up[1])
    yield Leader(look.at(tip), look.at(elbow), words)


def _heights(design: Design, look: Looker, show: Show, scale: float, reach: Reach) -> Iterator[Mark]:
    """Plumb heights to the top of the rail at the first and the last nosing, beyond the ends."""
    nosings, rail = design.flight.nosings, design.handrail
    for number, between in zip((1, len(nosings)), design.between, strict=True):
        if between:
            continue
        u, z = nosings[number - 1]
        out = u - reach.low if number == 1 else reach.high - u
        offset = out / scale + HEIGHT_OUT
        tight = ", the tightest" if number == design.rail_line.tightest else ""
        height = rail.top.at(u)
        yield look.plumb(
            (u, z), (u, height), -offset if number == 1 else offset, f"{show(height - z)} at N{number}{tight}"
        )


def _running(design: Design, look: Looker, show: Show, scale: float) -> Iterator[Mark]:
    """Centres of the uprights on the base rail, level, from the face of the lower end: one datum for all.

    The lines start below the stair, so that nothing is written over it.
    """
    bar = design.base or design.handrail
    label = "rail" if design.base is None else "base"
    standing = [upright for upright in design.uprights if upright.outline.edge(label) is not None]
    if not standing:
        return
    datum, finish = end_point(bar.start, bar.face), end_point(bar.finish, bar.face)
    us = [*(upright.u for upright in standing), finish[0]]
    names = [*(f"{upright.mark} " for upright in standing), ""]
    yield RunningMarks(
        look.at((datum[0], min(0.0, datum[1]))),
        look.all((u, underside(design, u)) for u in us),
        direction_deg=0.0 if look.sign > 0 else 180.0,
        offset=-look.sign * 7.0,
        texts=tuple(f"{name}{show(u - datum[0])}" for name, u in zip(names, us, strict=True)),
    )


def _ends(design: Design, look: Looker, show: Show, scale: float, reach: Reach) -> Iterator[Mark]:
    middle = (reach.low + reach.high) / 2
    for post in design.posts:
        outline = post_outline(post)
        head = post.foot[0] > middle
        low, high = (outline[1], outline[2]) if head else (outline[0], outline[3])
        yield look.plumb(low, high, POST_OUT if head else -POST_OUT, show(post.length))
    last = design.flight.nosings[-1]
    if design.flight.is_level:
        edge = (reach.high + LEVEL_OUT * scale, last[1])
        yield HeightMark(look.at(edge), f"{show(last[1])} {design.leg}", to_left=look.sign < 0)
        return
    foot, top = (reach.low - LEVEL_OUT * scale, 0.0), (reach.high + LEVEL_OUT * scale, last[1])
    yield HeightMark(look.at(foot), "0 lower floor", to_left=look.sign > 0)
    yield HeightMark(look.at(top), f"{show(last[1])} upper floor", to_left=look.sign < 0)
