"""An edge of several legs drawn whole: unrolled in elevation, and in plan as it turns."""

import math
from collections.abc import Iterator

from pitchline.design.balustrade import Balustrade
from pitchline.design.brief import NewelBetween
from pitchline.design.model import Design, Post
from pitchline.design.turns import BuiltTurn
from pitchline.kit.drawing.marks import (
    Anchor,
    Area,
    Dimension,
    Drawing,
    Fill,
    Label,
    Leader,
    Mark,
    Pen,
    Point,
    Points,
    Stroke,
)
from pitchline.kit.geometry.frames import Vec3, along
from pitchline.sheets.elevation import Reach, stair_marks, wood_marks
from pitchline.sheets.infillview import infill_marks
from pitchline.sheets.looking import Looker, Show, post_outline
from pitchline.stair.edge import LegPlace, turn_words

SHOWN_WIDTH = 1000.0
"""mm of a flight's or landing's width drawn in plan at the most."""

FLOOR_SHOWN = 350.0
"""mm of floor drawn past the outer ends of the edge."""


def named(whole: Balustrade) -> str:
    """The balustrade's id, with its edge's where the edge has one."""
    return f"{whole.id} {whole.edge}" if whole.edge else whole.id


def leg_name(design: Design) -> str:
    """What a leg is called beside it: its flight or level, and its bay where a newel between divides it."""
    return design.id.removeprefix(f"{design.brief.balustrade} ") if any(design.between) else design.leg


def _is_between(turn: BuiltTurn) -> bool:
    return isinstance(turn.brief, NewelBetween)


def unrolled(whole: Balustrade, show: Show, scale: float) -> Drawing:
    """Every leg side by side in one plane, with the turns between them and the heights of the rail."""
    looks = [Looker(whole.side, place.du, place.dz) for place in whole.places]
    legs = list(zip(whole.legs, looks, strict=True))
    spans = _spans(whole)
    marks: list[Mark] = []
    for (design, look), span in zip(legs, spans, strict=True):
        nosings = design.flight.nosings
        low, high = min(span[0], nosings[0][0]), max(span[1], nosings[-1][0])
        marks += stair_marks(design, look, Reach(low, high, low, high))
    for design, look in legs:
        marks += infill_marks(design, look, scale)
        marks += wood_marks(design, look)
    for number, ((design, look), span) in enumerate(zip(legs, spans, strict=True)):
        marks += _leg_words(design, look, span, show, scale, number % 2)
    for turn, (design, look) in zip(whole.turns, legs, strict=False):
        if not _is_between(turn):
            marks += _turn(turn, design, look, scale)
    words = f"seen from the open side, unrolled; the guarded edge is on the {whole.side.value} going up"
    return Drawing(
        f"{named(whole)}-unrolled", "Elevation of the whole edge, unrolled", scale, tuple(marks), words
    )


def _spans(whole: Balustrade) -> list[tuple[float, float]]:
    """From where to where each leg is drawn, in its own u: from turn to turn, and floors at the outer ends."""
    spans = []
    for number, design in enumerate(whole.legs):
        first, last = design.flight.nosings[0][0], design.flight.nosings[-1][0]
        low = first - FLOOR_SHOWN if number == 0 else _corner(whole.turns[number - 1], after=True)
        high = (
            last + FLOOR_SHOWN if number == len(whole.legs) - 1 else _corner(whole.turns[number], after=False)
        )
        if number == 0 or not _is_between(whole.turns[number - 1]):
            low = min(low, first)
        if number == len(whole.legs) - 1 or not _is_between(whole.turns[number]):
            high = max(high, last)
        spans.append((low, high))
    return spans


def _corner(turn: BuiltTurn, *, after: bool) -> float:
    """The place of a turn along one of its legs: the axis of its newel, or where the rails meet."""
    end = turn.after if after else turn.before
    return end.bay_face.point[0] if end.post is None else end.post.foot[0]


def _leg_words(
    design: Design, look: Looker, span: tuple[float, float], show: Show, scale: float, row: int
) -> Iterator[Mark]:
    """Under the leg, every second in a lower row, its name, the rail's pitch and heights; its posts' names."""
    middle = (span[0] + span[1]) / 2
    level = design.flight.is_level
    low = (min(z for _, z in design.flight.nosings) if level else 0.0) - 11.0 * row * scale
    pitch = math.degrees(design.handrail.top.angle)
    name = leg_name(design)
    words = f"{name}: level" if level else f"{name}: rail {pitch:.2f}° from level"
    yield Label(look.at((middle, low - 12.0 * scale)), words, 2.5, Anchor.MIDDLE)
    yield Label(look.at((middle, low - 16.5 * scale)), _heights(design, show), 1.8, Anchor.MIDDLE)
    for post in design.posts:
        if not post.shared:
            outline = post_outline(post)
            tip = ((outline[2][0] + outline[3][0]) / 2, max(outline[2][1], outline[3][1]))
            yield Label(look.at((tip[0], tip[1] + 3.0 * scale)), post.id, 3.5, Anchor.MIDDLE)


def _heights(design: Design, show: Show) -> str:
    """How high the rail's top stands above the nosings, or above the floor."""
    heights = design.rail_line.heights
    low, high = show(min(heights)), show(max(heights))
    over = "the floor" if design.flight.is_level else "the nosings"
    return f"top {low if low == high else f'{low} to {high}'} plumb above {over}"


def _turn(turn: BuiltTurn, design: Design, look: Looker, scale: float) -> Iterator[Mark]:
    """A chain line on the corner and, over the lower leg, what happens there."""
    u = _corner(turn, after=False)
    rail = design.handrail.top.at(u)
    floor = design.flight.nosings[-1][1]
    highest = rail + 12.0 * scale if turn.post is None else max(rail + 12.0 * scale, turn.post.top_z)
    above = highest + (10.0 + 9.0 * (turn.number % 2)) * scale
    yield Stroke(look.all(((u, floor - 20.0 * scale), (u, above))), Pen.CENTRE)
    words = f"turn {turn.number}: {turn_words(turn.angle)}"
    beside = Anchor.MIDDLE_LEFT if look.sign < 0 else Anchor.MIDDLE_RIGHT
    yield Label(look.at((u - 1.5 * scale, above - 2.0 * scale)), words, 2.5, beside)
    if turn.joint is not None:
        text = f"rails mitred, {turn.joint.turn_deg:.2f}° in all"
        yield Label(look.at((u - 1.5 * scale, above - 6.0 * scale)), text, 1.8, beside)


def edge_plan(whole: Balustrade, show: Show, scale: float) -> Drawing:
    """The whole edge from above, as it lies; the first leg runs up to the right."""
    marks: list[Mark] = []
    spans = _spans(whole)
    for (design, place), span in zip(zip(whole.legs, whole.places, strict=True), spans, strict=True):
        marks += _plan_leg(design, place, span, scale)
    for design, place in zip(whole.legs, whole.places, strict=True):
        marks += _plan_wood(design, place, scale)
    for (design, place), span in zip(zip(whole.legs, whole.places, strict=True), spans, strict=True):
        marks += _plan_size(design, place, span, show, scale)
    for turn, place in zip(whole.turns, whole.places, strict=False):
        if _is_between(turn):
            continue
        corner = _flat(place, (_corner(turn, after=False), 0.0))
        away = _flat(
            place, (_corner(turn, after=False) + 9.0 * scale, -design.side.towards_stair * 9.0 * scale)
        )
        marks.append(Leader(corner, away, f"turn {turn.number}"))
    return Drawing(
        f"{named(whole)}-edge-plan", "Plan of the whole edge", scale, tuple(marks), "seen from above"
    )


def _flat(place: LegPlace, point: tuple[float, float]) -> Point:
    x, y, _ = place.frame.to_world((point[0], point[1], 0.0))
    return (x, y)


def _plan_leg(design: Design, place: LegPlace, span: tuple[float, float], scale: float) -> Iterator[Mark]:
    """Nosings or the floor's edge, the way up, the leg's line."""
    flight = design.flight
    shown = design.side.towards_stair * min(flight.width or 800.0, SHOWN_WIDTH)
    yield Stroke((_flat(place, (span[0], 0.0)), _flat(place, (span[1], 0.0))), Pen.CENTRE)
    if flight.is_level:
        box = ((span[0], 0.0), (span[1], 0.0), (span[1], shown), (span[0], shown))
        yield Area(tuple(_flat(place, corner) for corner in box), Fill.GREY)
    else:
        within = [(n, u) for n, (u, _) in enumerate(flight.nosings, start=1) if span[0] <= u <= span[1]]
        for number, u in within:
            yield Stroke((_flat(place, (u, 0.0)), _flat(place, (u, shown))), Pen.THIN)
            yield Label(_flat(place, (u, shown * 0.93)), f"N{number}", 1.8, Anchor.MIDDLE)
        first, last = max(flight.nosings[0][0], span[0]), min(flight.nosings[-1][0], span[1])
        yield from _arrow(place, first - 100.0, last - 60.0, shown / 2, scale)
    middle = (span[0] + span[1]) / 2
    angle = math.degrees(math.atan2(place.frame.x[1], place.frame.x[0]))
    upright = (angle + 90.0) % 180.0 - 90.0
    yield Label(_flat(place, (middle, shown * 0.68)), leg_name(design), 2.5, Anchor.MIDDLE, upright)


def _arrow(place: LegPlace, start: float, tip: float, y: float, scale: float) -> Iterator[Mark]:
    head = 5.0 * scale
    yield Stroke((_flat(place, (start, y)), _flat(place, (tip, y))), Pen.THIN)
    barbs = ((tip - head, y - head / 3), (tip, y), (tip - head, y + head / 3))
    yield Stroke(tuple(_flat(place, point) for point in barbs), Pen.OUTLINE)


def _plan_wood(design: Design, place: LegPlace, scale: float) -> Iterator[Mark]:
    rail = design.handrail
    half = rail.width / 2
    corners = []
    for plane, sign in ((rail.start, -1.0), (rail.finish, -1.0), (rail.finish, 1.0), (rail.start, 1.0)):
        y = rail.y + sign * half
        u, _, _ = plane.meet_line((0.0, y, rail.top.z0), (1.0, 0.0, rail.top.slope))
        corners.append(_flat(place, (u, y)))
    yield Area(tuple(corners), Fill.WOOD, pen=Pen.OUTLINE)
    for post in design.posts:
        if not post.shared:
            yield Area(_section(post, place), Fill.END_GRAIN, pen=Pen.CUT)
            u, y = post.foot[0], design.side.towards_stair * (post.across / 2 + 4.0 * scale)
            yield Label(_flat(place, (u + post.along / 2 + 2.5 * scale, y)), post.id, 2.5, Anchor.MIDDLE)


def _section(post: Post, place: LegPlace) -> Points:
    middle: Vec3 = along(post.foot, post.axis, post.length)
    corners = []
    for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1)):
        at = along(along(middle, post.along_axis, a * post.along / 2), post.across_axis, b * post.across / 2)
        corners.append(_flat(place, (at[0], at[1])))
    return tuple(corners)


def _plan_size(
    design: Design, place: LegPlace, span: tuple[float, float], show: Show, scale: float
) -> Iterator[Mark]:
    """The plan length of a leg on the open side: from corner to corner, at the outer ends from or to its newel."""
    start, finish = _outer(design, span)
    a, b = _flat(place, (start, 0.0)), _flat(place, (finish, 0.0))
    flip = b < a
    left, right = (b, a) if flip else (a, b)
    out = -design.side.towards_stair * (-1.0 if flip else 1.0)
    yield Dimension(left, right, out * 16.0, show(finish - start))


def _outer(design: Design, span: tuple[float, float]) -> tuple[float, float]:
    """The two places a leg is measured between: where floor is drawn past its rail, the axis of its end instead."""
    ends = []
    for at, plane, drawn in ((0, design.bay.start, span[0]), (-1, design.bay.finish, span[1])):
        face = plane.point[0]
        near = [p.foot[0] for p in design.posts if abs(p.foot[0] - face) <= max(p.along, p.across)]
        ends.append(near[at] if near else (face if abs(face - drawn) >= FLOOR_SHOWN / 2 else drawn))
    return ends[0], ends[1]
