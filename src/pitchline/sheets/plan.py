"""The plan of an edge: nosings, string, newels, rails, and the uprights where they stand."""

from collections.abc import Iterator

from pitchline.design.model import Bar, Design, Post
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
    Points,
    RunningMarks,
    Stroke,
)
from pitchline.kit.geometry.frames import Vec3, along
from pitchline.sheets.looking import Looker, Show


def plan(design: Design, show: Show, scale: float) -> Drawing:
    """The edge from above, the stair climbing the same way as in the elevation."""
    look = Looker(design.side)
    marks = (
        *_stair(design, look, scale),
        *_bars(design, look),
        *_posts(design, look, scale),
        *_sizes(design, look, show),
    )
    return Drawing(f"{design.id}-plan", "Plan", scale, marks, "seen from above")


def _at(look: Looker, u: float, y: float) -> Point:
    """Seen from above with the open side at the foot of the drawing, as in the elevation."""
    return (look.sign * u, look.sign * y)


def _into_stair(look: Looker, reach: float) -> float:
    return look.side.towards_stair * reach


def _stair(design: Design, look: Looker, scale: float) -> Iterator[Mark]:
    flight = design.flight
    reach = _into_stair(look, flight.width or 800.0)
    shown = reach if abs(reach) <= 1000 else _into_stair(look, 1000.0)
    first, last = flight.nosings[0][0], flight.nosings[-1][0]
    edge = [_at(look, first - 200.0, 0.0), _at(look, last + 200.0, 0.0)]
    yield Stroke((edge[0], edge[1]), Pen.CENTRE)
    for number, (u, _) in enumerate(flight.nosings, start=1):
        yield Stroke((_at(look, u, 0.0), _at(look, u, shown)), Pen.THIN)
        yield Label(_at(look, u, shown * 0.93), f"N{number}", 1.8, Anchor.MIDDLE)
    middle = shown * 0.5
    yield Stroke((_at(look, first - 120.0, middle), _at(look, last - 120.0, middle)), Pen.THIN)
    tip = last - 120.0
    head = 6.0 * scale
    yield Stroke(
        (
            _at(look, tip - head, middle - head / 3),
            _at(look, tip, middle),
            _at(look, tip - head, middle + head / 3),
        ),
        Pen.OUTLINE,
    )
    yield Label(
        _at(look, first - 160.0, middle),
        "up",
        2.5,
        Anchor.MIDDLE_RIGHT if look.sign > 0 else Anchor.MIDDLE_LEFT,
    )
    if flight.string is not None:
        half = flight.string.thickness / 2
        yield Stroke((_at(look, first, -half), _at(look, last, -half)), Pen.HIDDEN)
        yield Stroke((_at(look, first, half), _at(look, last, half)), Pen.HIDDEN)


def _bar_corners(bar: Bar, look: Looker) -> Points:
    """The four corners of a bar's top edge seen from above, its end planes included."""
    half = bar.width / 2
    corners = []
    for plane, sign in ((bar.start, -1.0), (bar.finish, -1.0), (bar.finish, 1.0), (bar.start, 1.0)):
        y = bar.y + sign * half
        u, _, _ = plane.meet_line((0.0, y, bar.top.z0), (1.0, 0.0, bar.top.slope))
        corners.append(_at(look, u, y))
    return tuple(corners)


def _bars(design: Design, look: Looker) -> Iterator[Mark]:
    yield Area(_bar_corners(design.handrail, look), Fill.WOOD, pen=Pen.OUTLINE)
    for upright in design.uprights:
        half, across = upright.width / 2, upright.thickness / 2
        box = tuple(
            _at(look, upright.u + a * half, upright.y + b * across)
            for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))
        )
        if upright.outline.edge("base") is not None:
            yield Stroke(box, Pen.HIDDEN, closed=True)


def _post_corners(post: Post, look: Looker, at: float) -> Points:
    """A post's section at a distance along its axis, seen from above."""
    middle: Vec3 = along(post.foot, post.axis, at)
    corners = []
    for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1)):
        point = along(
            along(middle, post.along_axis, a * post.along / 2), post.across_axis, b * post.across / 2
        )
        corners.append(_at(look, point[0], point[1]))
    return tuple(corners)


def _posts(design: Design, look: Looker, scale: float) -> Iterator[Mark]:
    middle = design.flight.nosings[-1][0] / 2
    for post in design.posts:
        yield Area(_post_corners(post, look, post.length), Fill.END_GRAIN, pen=Pen.CUT)
        yield Stroke(_post_corners(post, look, 0.0), Pen.HIDDEN, closed=True)
        away = 1.0 if post.foot[0] > middle else -1.0
        u = post.foot[0] + away * (post.along / 2 + 4.0 * scale)
        y = _into_stair(look, 3.5 * scale)
        yield Label(_at(look, u, y), post.id, 2.5, Anchor.MIDDLE)


def _sizes(design: Design, look: Looker, show: Show) -> Iterator[Mark]:
    flight = design.flight
    first = flight.nosings[0]
    points = tuple(_at(look, u, 0.0) for u, _ in flight.nosings[1:])
    yield RunningMarks(
        _at(look, first[0], 0.0),
        points,
        direction_deg=0.0 if look.sign > 0 else 180.0,
        offset=-look.sign * 14.0,
        texts=tuple(show(u - first[0]) for u, _ in flight.nosings[1:]),
    )
    if flight.width is not None and flight.width <= 1000.0:
        top = flight.nosings[-1][0]
        a, b = _at(look, top, 0.0), _at(look, top, _into_stair(look, flight.width))
        low, high = sorted((a, b), key=lambda point: point[1])
        yield Dimension(low, high, -look.sign * 12.0, f"{show(flight.width)} wide", direction_deg=90.0)
