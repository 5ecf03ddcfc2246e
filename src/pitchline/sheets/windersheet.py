"""Winders in plan: nosings numbered, walking line with its goings, places along both sides; a table of all sizes."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pitchline.catalogue.rules import RuleSet
from pitchline.checks.winders import LineToWalk, lines_to_walk
from pitchline.kit.drawing.marks import (
    Anchor,
    ArcMark,
    Area,
    Dimension,
    Disc,
    Drawing,
    Fill,
    Label,
    Mark,
    Pen,
    Point,
    RunningMarks,
    Stroke,
)
from pitchline.kit.drawing.sheet import CAPTION_HEIGHT, DrawingPage, drawing_field
from pitchline.kit.geometry.lines import Point2
from pitchline.sheets.arrange import View, in_rows
from pitchline.sheets.drawings import Sheet, Style, fitted
from pitchline.sheets.listview import list_picture
from pitchline.sheets.looking import Show
from pitchline.stair.model import Side
from pitchline.stair.walking_line import Walk, walk, walk_points
from pitchline.stair.winders import Winders

WINDER_NOTES = (
    "Places along the sides run from the corners as they were read; below zero: before the corner as one walks up.",
    "Goings on the walking line are told along it. Sizes of the stair that stands: reported, not judged.",
)

BEYOND = 350.0
"""mm of the straight flights drawn before and after the winders' outer nosings."""

FOLDED = math.radians(150.0)
"""A turn beyond this folds the flights back on the newel, whose middle then stands on their common side."""


@dataclass(frozen=True, slots=True)
class _Look:
    """From the winders' plan, which always turns anticlockwise, to the drawing; ``turned`` mirrors it."""

    turned: bool

    def at(self, point: Point2) -> Point:
        return (point[0], -point[1] if self.turned else point[1])

    def arc(self, centre: Point2, radius: float, start: float, sweep: float, pen: Pen) -> ArcMark:
        """An arc that begins at bearing ``start`` and runs on by ``sweep`` (radians, anticlockwise in the plan)."""
        low, high = math.degrees(start), math.degrees(start + sweep)
        if self.turned:
            low, high = -high, -low
        return ArcMark(self.at(centre), radius, low, high, pen)


@dataclass(frozen=True, slots=True)
class Walked:
    """A walking line with what was found on it."""

    line: LineToWalk
    walk: Walk


def walked_lines(winders: Winders, rules: RuleSet) -> tuple[Walked, ...]:
    """The walking lines of a place that every nosing reaches."""
    found = []
    for line in lines_to_walk(rules, winders.facts.widths):
        try:
            found.append(Walked(line, walk(winders, line.distance)))
        except ValueError:
            continue
    return tuple(found)


def winder_plan(winders: Winders, walks: Sequence[Walked], show: Show, scale: float) -> Drawing:
    """The winders from above, the flight below running to the right."""
    look = _Look(winders.facts.side is Side.RIGHT)
    marks = (
        *_ground(winders, look),
        *_nosings(winders, look, scale),
        *(mark for walked in walks for mark in _walk(winders, walked, look, show, scale)),
        *_sizes(winders, look, show),
    )
    turn = math.degrees(winders.turn)
    words = f"seen from above; {turn:.1f}° to the {winders.facts.side.value} going up"
    return Drawing(f"{winders.id}-winders", f"{_title(winders)} in plan", scale, marks, words)


def _ends(winders: Winders) -> tuple[Point2, Point2, Point2, Point2]:
    """How far the sides are drawn: inner before, outer before, inner after, outer after."""
    before = min(winders.inner[0][0], winders.outer[0][0]) - BEYOND
    c, s = math.cos(winders.turn), math.sin(winders.turn)
    after = max(p[0] * c + p[1] * s for p in (winders.inner[-1], winders.outer[-1])) + BEYOND
    first, last = winders.facts.widths[0], winders.facts.widths[-1]
    return (
        (before, 0.0),
        (before, -first),
        (after * c, after * s),
        (after * c + last * s, after * s - last * c),
    )


def _ground(winders: Winders, look: _Look) -> Iterator[Mark]:
    inner_in, outer_in, inner_out, outer_out = _ends(winders)
    outer = (outer_in, *winders.corners, outer_out)
    floor = (*outer, inner_out, (0.0, 0.0), inner_in)
    yield Area(tuple(look.at(point) for point in floor), Fill.GREY)
    yield Stroke(tuple(look.at(point) for point in outer), Pen.CUT)
    yield Stroke(tuple(look.at(point) for point in (inner_in, (0.0, 0.0), inner_out)), Pen.OUTLINE)
    size = winders.facts.newel
    if size > 0.0:
        low = -size / 2 if winders.turn > FOLDED else 0.0
        box = ((-size, low), (0.0, low), (0.0, low + size), (-size, low + size))
        yield Area(tuple(look.at(point) for point in box), Fill.END_GRAIN, pen=Pen.CUT)


def _nosings(winders: Winders, look: _Look, scale: float) -> Iterator[Mark]:
    for name, inner, outer in zip(winders.names, winders.inner, winders.outer, strict=True):
        yield Stroke((look.at(inner), look.at(outer)), Pen.OUTLINE)
        share = 1.0 - 7.0 * scale / max(math.dist(inner, outer), 1.0)
        place = (inner[0] + share * (outer[0] - inner[0]), inner[1] + share * (outer[1] - inner[1]))
        bearing = math.atan2(outer[1] - inner[1], outer[0] - inner[0])
        off = 3.0 * scale
        beside = (place[0] - off * math.sin(bearing), place[1] + off * math.cos(bearing))
        yield Label(look.at(beside), name, 2.5, Anchor.MIDDLE)


def _walk(winders: Winders, walked: Walked, look: _Look, show: Show, scale: float) -> Iterator[Mark]:
    """The line, a ring where each nosing crosses it, and every going beside its middle."""
    distance, turn = walked.walk.distance, winders.turn
    reach = max(-walked.walk.crossings[0].place, 0.0) + BEYOND
    past = max(walked.walk.crossings[-1].place - distance * turn, 0.0) + BEYOND
    start, _, _ = walk_points(winders, distance, reach)
    _, _, finish = walk_points(winders, distance, past)
    after = walk_points(winders, distance, 0.0)[2]
    yield Stroke((look.at(start), look.at((0.0, -distance))), Pen.CENTRE)
    yield look.arc((0.0, 0.0), distance, -math.pi / 2, turn, Pen.CENTRE)
    yield Stroke((look.at(after), look.at(finish)), Pen.CENTRE)
    yield from _arrow(look, after, finish, scale)
    for crossing in walked.walk.crossings:
        yield Disc(look.at(crossing.point), 0.8 * scale, Pen.ACCENT_NOTE, Fill.WHITE)
    places = [crossing.place for crossing in walked.walk.crossings]
    for k, going in enumerate(walked.walk.goings):
        point, bearing = _on_line((places[k] + places[k + 1]) / 2, distance, turn)
        off = 3.2 * scale
        beside = (point[0] + off * math.sin(bearing), point[1] - off * math.cos(bearing))
        yield Label(look.at(beside), show(going), 2.5, Anchor.MIDDLE, pen=Pen.ACCENT_NOTE)
    x, y = look.at(start)
    words = f"walking line\n{show(distance)} from the inner side"
    yield Label((x + 1.0 * scale, y - 1.5 * scale), words, 1.8, Anchor.TOP_LEFT)


def _arrow(look: _Look, tail: Point2, tip: Point2, scale: float) -> Iterator[Mark]:
    bearing = math.atan2(tip[1] - tail[1], tip[0] - tail[0])
    barbs = []
    for side in (-1.0, 1.0):
        angle = bearing + math.pi + side * 0.35
        barbs.append((tip[0] + 4.0 * scale * math.cos(angle), tip[1] + 4.0 * scale * math.sin(angle)))
    yield Stroke((look.at(barbs[0]), look.at(tip), look.at(barbs[1])), Pen.OUTLINE)


def _on_line(place: float, distance: float, turn: float) -> tuple[Point2, float]:
    """A point of the walking line by its place, and the bearing of the line there."""
    if place <= 0.0:
        return (place, -distance), 0.0
    angle = min(place / distance, turn)
    past = max(place - distance * turn, 0.0)
    c, s = math.cos(angle), math.sin(angle)
    return (distance * s + past * c, -distance * c + past * s), angle


def _sizes(winders: Winders, look: _Look, show: Show) -> Iterator[Mark]:
    """The places along each outer wall from its corner, and the widths."""
    facts = winders.facts
    for wall in range(len(facts.widths)):
        yield from _along_wall(winders, wall, look, show)
    inner_in, outer_in, inner_out, outer_out = _ends(winders)
    for a, b, width in ((inner_in, outer_in, facts.widths[0]), (inner_out, outer_out, facts.widths[-1])):
        low, high = sorted((look.at(a), look.at(b)))
        centre = look.at(winders.corners[0])
        left = (high[0] - low[0]) * (centre[1] - low[1]) - (high[1] - low[1]) * (centre[0] - low[0]) > 0.0
        yield Dimension(low, high, -8.0 if left else 8.0, f"{show(width)} wide")


def _along_wall(winders: Winders, wall: int, look: _Look, show: Show) -> Iterator[Mark]:
    """Running marks from the corner at which a wall begins, outside it; for the first wall from where it ends."""
    corner = winders.corners[max(wall - 1, 0)]
    origin = winders.corner_places[max(wall - 1, 0)]
    named = {name for name, _ in winders.outer_wall(wall)}
    found = [
        (point, abs(place - origin))
        for name, point, place in zip(winders.names, winders.outer, winders.outer_places, strict=True)
        if name in named and abs(place - origin) > 1.0
    ]
    if not found:
        return
    bearing = sum(winders.facts.turns[:wall])
    along = bearing + (math.pi if wall == 0 else 0.0)
    direction = math.degrees(-along if look.turned else along)
    outside = (1.0 if wall == 0 else -1.0) * (-1.0 if look.turned else 1.0)
    ordered = sorted(found, key=lambda pair: pair[1])
    yield RunningMarks(
        look.at(corner),
        tuple(look.at(point) for point, _ in ordered),
        direction_deg=direction,
        offset=outside * 9.0,
        texts=tuple(show(place) for _, place in ordered),
    )


def winder_table(winders: Winders, walks: Sequence[Walked], style: Style) -> View:
    """Every nosing with its places and height, and the goings of the tread that begins at it."""
    show = style.list_show
    lines = [f"going {number}" for number in range(1, len(walks) + 1)] if len(walks) > 1 else ["going"]
    headings = ("nosing", "inner", "outer", "height", *lines[: len(walks)], "narrow", "wide", "tread")
    rows = []
    for k, name in enumerate(winders.names):
        nosing = winders.facts.nosings[k]
        row = [name, show(nosing.inner), show(nosing.outer), show(winders.heights[k])]
        if k + 1 < len(winders.names):
            row += [show(walked.walk.goings[k]) for walked in walks]
            row += [show(winders.narrow_goings[k]), show(winders.wide_goings[k])]
            row.append(f"{math.degrees(winders.tread_angle(k)):.1f}°{' kite' if k in winders.kites else ''}")
        rows.append([*row, *[""] * (len(headings) - len(row))])
    return list_picture(f"{winders.id}-winder-sizes", headings, rows), "Winders, size by size", ""


def _title(winders: Winders) -> str:
    return "Winders" if winders.id.casefold() == "winders" else f"Winders {winders.id}"


def winder_sheet(winders: Winders, rules: RuleSet, style: Style) -> Sheet:
    """Winders in plan with the table of their sizes."""
    field = drawing_field(style.paper, landscape=True, notes=WINDER_NOTES)
    walks = walked_lines(winders, rules)
    drawn = fitted(
        lambda scale: winder_plan(winders, walks, style.show, scale),
        field.width * PLAN_SHARE,
        field.height - CAPTION_HEIGHT,
        style.scales,
    )
    table = winder_table(winders, walks, style)
    try:
        placed = in_rows((drawn.view, table), field)
    except ValueError:
        placed = in_rows((drawn.view,), field)
    return Sheet(DrawingPage(_title(winders), placed, WINDER_NOTES, style.paper), (drawn,))


PLAN_SHARE = 0.66
"""Share of the sheet's width that the plan may take beside its table."""
