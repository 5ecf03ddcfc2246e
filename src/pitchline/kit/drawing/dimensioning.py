"""How dimensions, running marks, angles, leaders and levels are laid out, after ISO 129-1 (from memory).

Numbers stand above their dimension line and are read from the bottom or the right of the sheet. Arrowheads
stand inside and point outwards; where there is no room they stand outside and point inwards.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pitchline.kit.drawing.ink import Arc, Blot, Dot, Ink, Line, Nib, Writing
from pitchline.kit.drawing.lettering import text_lines
from pitchline.kit.drawing.marks import (
    LETTER_HEIGHT,
    Anchor,
    AngleMark,
    Dimension,
    HeightMark,
    Label,
    Leader,
    Pen,
    Point,
    RunningMarks,
)
from pitchline.kit.tolerances import SAME_POINT

ARROW = 2.5
"""Length of an arrowhead in paper mm."""
ARROW_HALF = 0.42
"""Half its width: a slim head of about 19 degrees."""
DATUM_CIRCLE = 1.2
"""Radius of the circle at the datum of running marks, paper mm."""
TEXT_GAP = 0.8
"""Clear space between a dimension line and the feet of its number, paper mm."""
EXTENSION_GAP = 0.9
"""Clear space between the thing drawn and an extension line, paper mm."""
OVERSHOOT = 1.8
"""How far an extension line runs past its dimension line, paper mm."""
LINE_PITCH = 1.65
"""Distance of successive lines of a text, as a multiple of its height."""
READING_SLACK_DEG = 0.5
"""A text within this of plumb is read from the right, whichever way rounding turned it."""


@dataclass(frozen=True, slots=True)
class _Axes:
    """A measuring direction and its left normal."""

    deg: float

    @property
    def along(self) -> Point:
        return (math.cos(math.radians(self.deg)), math.sin(math.radians(self.deg)))

    def coordinates(self, point: Point) -> Point:
        c, s = self.along
        return (point[0] * c + point[1] * s, -point[0] * s + point[1] * c)

    def point(self, along: float, across: float) -> Point:
        c, s = self.along
        return (along * c - across * s, along * s + across * c)


def readable(angle_deg: float) -> float:
    """The angle or its reverse, whichever is read from the bottom or the right: in (-90, 90] degrees."""
    angle = (angle_deg + 180.0) % 360.0 - 180.0
    if angle > 90.0 + READING_SLACK_DEG:
        return angle - 180.0
    if angle <= -90.0 + READING_SLACK_DEG:
        return angle + 180.0
    return angle


def arrow(tip: Point, pointing_deg: float, size: float, pen: Pen) -> Blot:
    """A filled arrowhead with its point at ``tip``; ``size`` is the model length of one paper mm."""
    axes = _Axes(pointing_deg)
    u, v = axes.coordinates(tip)
    back, half = u - ARROW * size, ARROW_HALF * size
    return Blot((tip, axes.point(back, v + half), axes.point(back, v - half)), pen)


def dimension_axes(mark: Dimension) -> float:
    """The measuring direction of a dimension in degrees."""
    if mark.direction_deg is not None:
        return mark.direction_deg
    dx, dy = mark.b[0] - mark.a[0], mark.b[1] - mark.a[1]
    return math.degrees(math.atan2(dy, dx)) if math.hypot(dx, dy) > SAME_POINT else 0.0


def dimension_feet(mark: Dimension, nib: Nib) -> tuple[Point, Point]:
    """Where the dimension line meets the extension lines from ``a`` and from ``b``."""
    axes = _Axes(dimension_axes(mark))
    (ua, va), (ub, vb) = axes.coordinates(mark.a), axes.coordinates(mark.b)
    level = (max(va, vb) if mark.offset >= 0 else min(va, vb)) + nib.model(mark.offset)
    return axes.point(ua, level), axes.point(ub, level)


def lay_dimension(mark: Dimension, nib: Nib) -> tuple[Ink, ...]:
    """Ink of a linear dimension."""
    axes = _Axes(dimension_axes(mark))
    foot_a, foot_b = dimension_feet(mark, nib)
    ink: list[Ink] = []
    for point, foot in ((mark.a, foot_a), (mark.b, foot_b)):
        ink += _extension(axes, point, foot, nib, mark.pen)
    (low, level), (high, _) = sorted((axes.coordinates(foot_a), axes.coordinates(foot_b)))
    room = (high - low) / nib.scale
    text = " ".join(text_lines(mark.text))
    writing = nib.writing(foot_a, text, Anchor.BASE_CENTRE, readable(axes.deg), mark.pen, LETTER_HEIGHT)
    inside = room >= 2 * ARROW + 1.0
    tail = nib.model(0.0 if inside else ARROW + 2.0)
    reach = high + tail
    spare = (high - low - writing.width) / 2
    middle = (low + high) / 2 + max(-spare, min(spare, (mark.text_at - 0.5) * (high - low)))
    if writing.width > high - low - nib.model(0.6):
        start = high + nib.model(OVERSHOOT if inside else ARROW)
        middle = start + writing.width / 2
        reach = start + writing.width
    ink.append(Line((axes.point(low - tail, level), axes.point(reach, level)), mark.pen))
    turn = 180.0 if inside else 0.0
    ink.append(arrow(axes.point(low, level), axes.deg + turn, nib.scale, mark.pen))
    ink.append(arrow(axes.point(high, level), axes.deg + 180.0 - turn, nib.scale, mark.pen))
    ink.append(_standing_on(writing, axes.point(middle, level), nib))
    return tuple(ink)


def _standing_on(writing: Writing, place: Point, nib: Nib) -> Writing:
    """The writing moved to stand above a place of a dimension line."""
    up = math.radians(writing.angle_deg + 90.0)
    lift = nib.model(TEXT_GAP)
    at = (place[0] + lift * math.cos(up), place[1] + lift * math.sin(up))
    return Writing(
        at, writing.text, writing.height, writing.width, writing.anchor, writing.angle_deg, writing.pen
    )


def _extension(
    axes: _Axes, point: Point, foot: Point, nib: Nib, pen: Pen, overshoot: float = OVERSHOOT
) -> list[Ink]:
    """The extension line from near a point to just past its foot; none where they nearly meet."""
    u, start = axes.coordinates(point)
    _, end = axes.coordinates(foot)
    if abs(end - start) < nib.model(EXTENSION_GAP):
        return []
    sign = math.copysign(1.0, end - start)
    first, last = start + sign * nib.model(EXTENSION_GAP), end + sign * nib.model(overshoot)
    return [Line((axes.point(u, first), axes.point(u, last)), pen)]


def lay_running(mark: RunningMarks, nib: Nib) -> tuple[Ink, ...]:
    """Ink of running marks: one dimension line, an arrowhead and a number at each mark, a circle at the datum."""
    axes = _Axes(mark.direction_deg)
    side = 1.0 if mark.offset >= 0 else -1.0
    measured = [axes.coordinates(point) for point in (mark.datum, *mark.points)]
    level = side * max(side * v for _, v in measured) + nib.model(mark.offset)
    datum = measured[0][0]
    named = zip(measured, (mark.datum_text, *mark.texts), strict=True)
    stops = sorted((u, v, " ".join(text_lines(text))) for (u, v), text in named)
    ink: list[Ink] = [Line((axes.point(stops[0][0], level), axes.point(stops[-1][0], level)), mark.pen)]
    ink.append(Arc(axes.point(datum, level), nib.model(DATUM_CIRCLE), 0.0, 360.0, mark.pen))
    for index, (u, v, _) in enumerate(stops):
        foot = axes.point(u, level)
        ink += _extension(axes, axes.point(u, v), foot, nib, mark.pen)
        if abs(u - datum) > SAME_POINT:
            before = stops[index - 1 if u > datum else index + 1][0]
            ink.append(
                _stop(foot, axes.deg if u > datum else axes.deg + 180.0, abs(u - before), mark.pen, nib)
            )
    outer = level + side * nib.model(OVERSHOOT)
    ink += _running_numbers(axes, [(u, text) for u, _, text in stops], outer, side, mark.pen, nib)
    return tuple(ink)


def _running_numbers(
    axes: _Axes, numbers: Sequence[tuple[float, str]], outer: float, side: float, pen: Pen, nib: Nib
) -> list[Ink]:
    """The numbers at the ends of their extension lines; where they would touch, spread with a kink in each line."""
    places = spread([u for u, _ in numbers], nib.model(1.5 * LETTER_HEIGHT))
    kinked = any(abs(place - u) > nib.model(0.1) for place, (u, _) in zip(places, numbers, strict=True))
    far = outer + side * nib.model(3.0) if kinked else outer
    outward = axes.deg + 90.0 * side
    angle = readable(outward)
    anchor = Anchor.MIDDLE_LEFT if math.cos(math.radians(angle - outward)) > 0 else Anchor.MIDDLE_RIGHT
    ink: list[Ink] = []
    for place, (u, text) in zip(places, numbers, strict=True):
        if kinked:
            ink.append(Line((axes.point(u, outer), axes.point(place, far)), pen))
        at = axes.point(place, far + side * nib.model(TEXT_GAP))
        ink.append(nib.writing(at, text, anchor, angle, pen, LETTER_HEIGHT))
    return ink


def _stop(at: Point, pointing_deg: float, room: float, pen: Pen, nib: Nib) -> Ink:
    """The end of one running mark: an arrowhead, or a dot where the last mark is too near."""
    if room < nib.model(ARROW + 0.3):
        return Dot(at, nib.model(0.5), pen)
    return arrow(at, pointing_deg, nib.scale, pen)


def spread(wanted: Sequence[float], pitch: float) -> list[float]:
    """Places at least ``pitch`` apart in the given rising order, moved as little as possible (least squares).

    Isotonic regression by pooling neighbours: after taking ``pitch`` off for each predecessor the places need
    only rise.
    """
    pools: list[tuple[float, int]] = []
    for index, place in enumerate(wanted):
        pools.append((place - index * pitch, 1))
        while len(pools) > 1 and pools[-2][0] > pools[-1][0]:
            (mean_b, count_b), (mean_a, count_a) = pools.pop(), pools.pop()
            pools.append(((mean_a * count_a + mean_b * count_b) / (count_a + count_b), count_a + count_b))
    flat = [mean for mean, count in pools for _ in range(count)]
    return [place + index * pitch for index, place in enumerate(flat)]


def lay_angle(mark: AngleMark, nib: Nib) -> tuple[Ink, ...]:
    """Ink of an angle."""
    radius = nib.model(mark.radius)
    sweep = (mark.to_deg - mark.from_deg) % 360.0
    head = math.degrees(ARROW / mark.radius)
    inside = sweep >= 2 * head + math.degrees(1.0 / mark.radius)
    extra = 0.0 if inside else head + math.degrees(2.0 / mark.radius)
    arc = Arc(mark.centre, radius, mark.from_deg - extra, sweep + 2 * extra, mark.pen)
    ink: list[Ink] = [arc]
    for deg, turn in ((mark.from_deg, -1.0), (mark.to_deg, 1.0)):
        outward = turn if inside else -turn
        tip, back = arc.at(deg), arc.at(deg - outward * head)
        ink.append(
            arrow(tip, math.degrees(math.atan2(tip[1] - back[1], tip[0] - back[0])), nib.scale, mark.pen)
        )
        if mark.arms:
            reach = radius + nib.model(OVERSHOOT)
            ink.append(Line((mark.centre, Arc(mark.centre, reach, 0.0, 0.0, mark.pen).at(deg)), mark.pen))
    middle = mark.from_deg + sweep / 2
    place = Arc(mark.centre, radius + nib.model(1.2), 0.0, 0.0, mark.pen).at(middle)
    text = " ".join(text_lines(mark.text))
    ink.append(nib.writing(place, text, anchor_facing(middle), 0.0, mark.pen, LETTER_HEIGHT))
    return tuple(ink)


def anchor_facing(deg: float) -> Anchor:
    """The anchor that puts a level text wholly on the far side of a point, seen in a direction."""
    c, s = math.cos(math.radians(deg)), math.sin(math.radians(deg))
    across = "left" if c > 0.38 else "right" if c < -0.38 else "centre"
    upright = "base" if s > 0.38 else "top" if s < -0.38 else "middle"
    return Anchor(f"{upright} {across}")


def lay_leader(mark: Leader, nib: Nib) -> tuple[Ink, ...]:
    """Ink of a leader: the line, a short landing, the text beside it."""
    right = mark.at[0] >= mark.tip[0]
    landing = nib.model(2.5 if right else -2.5)
    elbow = mark.at
    end = (elbow[0] + landing, elbow[1])
    ink: list[Ink] = [Line((mark.tip, elbow, end), mark.pen)]
    if mark.dot:
        ink.append(Dot(mark.tip, nib.model(0.55), mark.pen))
    elif math.dist(mark.tip, elbow) > SAME_POINT:
        pointing = math.degrees(math.atan2(mark.tip[1] - elbow[1], mark.tip[0] - elbow[0]))
        ink.append(arrow(mark.tip, pointing, nib.scale, mark.pen))
    at = (end[0] + math.copysign(nib.model(0.9), landing), end[1])
    anchor = Anchor.MIDDLE_LEFT if right else Anchor.MIDDLE_RIGHT
    ink += lay_label(Label(at, mark.text, LETTER_HEIGHT, anchor, 0.0, mark.pen), nib)
    return tuple(ink)


def lay_level(mark: HeightMark, nib: Nib) -> tuple[Ink, ...]:
    """Ink of a level mark."""
    x, y = mark.at
    size = nib.model(2.2)
    side = -1.0 if mark.to_left else 1.0
    text = " ".join(text_lines(mark.text))
    anchor = Anchor.BASE_RIGHT if mark.to_left else Anchor.BASE_LEFT
    start = x + side * nib.model(0.6)
    writing = nib.writing((start, y + size + nib.model(TEXT_GAP)), text, anchor, 0.0, mark.pen, LETTER_HEIGHT)
    end = start + side * (writing.width + nib.model(0.6))
    triangle = Line(((x, y), (x - size, y + size), (x + size, y + size)), mark.pen, closed=True)
    foot = Line(((x - size, y), (x + size, y)), mark.pen)
    return (triangle, foot, Line(((x, y + size), (end, y + size)), mark.pen), writing)


def lay_label(mark: Label, nib: Nib) -> tuple[Ink, ...]:
    """Ink of a label, one writing a line; lines of a middle label stand about its point, others run downwards."""
    lines = text_lines(mark.text)
    step = nib.model(LINE_PITCH * mark.height)
    first = step * (len(lines) - 1) / 2 if mark.anchor.upright == "middle" else 0.0
    turn = math.radians(mark.angle_deg)
    ink = []
    for index, text in enumerate(lines):
        up = first - step * index
        at = (mark.at[0] - up * math.sin(turn), mark.at[1] + up * math.cos(turn))
        ink.append(nib.writing(at, text, mark.anchor, mark.angle_deg, mark.pen, mark.height))
    return tuple(ink)
