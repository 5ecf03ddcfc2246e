"""Sections through the rails, cut square to the rake and seen looking up the stair: the true shapes to be made."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from pitchline.design.brief import Grooved, Stacked
from pitchline.design.model import Bar, BarRole, Design
from pitchline.kit.drawing.marks import (
    Anchor,
    ArcMark,
    Area,
    Dimension,
    Drawing,
    Fill,
    Hatch,
    Label,
    Leader,
    Mark,
    Pen,
    Points,
    Stroke,
)
from pitchline.sheets.looking import Show

SHOWN = 30.0
"""mm of upright and string drawn beyond a rail before they are broken off."""


@dataclass(frozen=True, slots=True)
class _Box:
    """A rectangle of the section: left, right, low, high."""

    left: float
    right: float
    low: float
    high: float

    @property
    def corners(self) -> Points:
        return (
            (self.left, self.low),
            (self.right, self.low),
            (self.right, self.high),
            (self.left, self.high),
        )


def rail_section(design: Design, show: Show, scale: float) -> Drawing:
    """The handrail with an upright entering it."""
    bar = design.handrail
    marks = (
        *_bar(design, bar),
        *_upright(design, bar),
        *_sizes(design, bar, show),
        *_sides(design, bar, scale),
        *_round_over_note(bar, show, scale),
    )
    return Drawing(
        f"{design.id}-section-rail", f"{bar.id} {bar.role.value}, cut square to it", scale, marks, _VIEW
    )


def base_section(design: Design, show: Show, scale: float) -> Drawing:
    """The base rail with an upright, its packer and the string below it."""
    bar = design.base
    marks = (
        *_bar(design, bar),
        *_upright(design, bar),
        *_below(design, bar, show),
        *_sizes(design, bar, show),
        *_sides(design, bar, scale),
    )
    return Drawing(
        f"{design.id}-section-base", f"{bar.id} {bar.role.value}, cut square to it", scale, marks, _VIEW
    )


_VIEW = "looking up the stair"


def _x(y: float) -> float:
    """Looking up the stair, what is to the left (+y) is on the left."""
    return -y


def _seat(bar: Bar) -> float:
    return 0.0 if bar.seat is None else abs(bar.seat.z0 - bar.face.z0) * math.cos(bar.top.angle)


def _bar(design: Design, bar: Bar) -> Iterator[Mark]:
    """The cut faces of a rail: one piece with its groove, or strips, cheeks and blocks."""
    making = design.making
    if isinstance(making, Stacked):
        yield from _stack(design, bar, making)
        return
    half, depth, seat = bar.width / 2, bar.depth, _seat(bar)
    outline = _rounded(_Box(-half, half, 0.0, depth), bar)
    cavity = (design.brief.infill.thickness + making.clearance) / 2
    low, high = (0.0, seat) if bar.role is BarRole.HANDRAIL else (depth - seat, depth)
    groove = _Box(-cavity, cavity, low, high)
    yield Area(outline, Fill.END_GRAIN, pen=Pen.CUT)
    yield Hatch(outline, 45.0, 2.5, holes=(groove.corners,))
    yield Area(groove.corners, Fill.WHITE, pen=Pen.OUTLINE)
    if isinstance(making, Grooved):
        yield from _fillet(bar, making, groove)


def _fillet(bar: Bar, making: Grooved, groove: _Box) -> Iterator[Mark]:
    """The fillet that shows beside the upright, at the bottom of the groove."""
    thick = making.fillet_thickness
    if bar.role is BarRole.HANDRAIL:
        low, high = groove.high - thick, groove.high
    else:
        low, high = groove.low, groove.low + thick
    half = groove.right - making.clearance / 2
    box = _Box(-half, half, low, high)
    yield Area(box.corners, Fill.WOOD, pen=Pen.THIN)


def _stack(design: Design, bar: Bar, making: Stacked) -> Iterator[Mark]:
    depth, seat = bar.depth, _seat(bar)
    handrail = bar.role is BarRole.HANDRAIL
    left = making.layers * making.layer_thickness / 2
    for layer in range(1, making.layers + 1):
        y1 = design.side.towards_stair * (left - (layer - 1) * making.layer_thickness)
        y2 = design.side.towards_stair * (left - layer * making.layer_thickness)
        x1, x2 = sorted((_x(y1), _x(y2)))
        parts = [(0.0, depth, "cheek")]
        if layer in making.member_layers:
            split = seat if handrail else depth - seat
            parts = [(split, depth, "strip"), (0.0, split, "block")]
            if not handrail:
                parts = [(0.0, split, "strip"), (split, depth, "block")]
        for number, (low, high, kind) in enumerate(parts):
            box = _Box(x1, x2, low, high)
            fill = Fill.WOOD if kind == "block" else Fill.END_GRAIN
            yield Area(box.corners, fill, pen=Pen.CUT)
            if kind != "block":
                yield Hatch(box.corners, 45.0 if (layer + number) % 2 else -45.0, 2.5)


def _rounded(box: _Box, bar: Bar) -> Points:
    """The outline with the upper corners rounded, as closely as a drawing can show."""
    radius = min(bar.round_over, (box.right - box.left) / 2)
    if radius <= 0:
        return box.corners
    right = [
        (box.right - radius + radius * math.cos(a), box.high - radius + radius * math.sin(a))
        for a in (math.pi / 2 * k / 8 for k in range(9))
    ]
    left = [(-x, z) for x, z in reversed(right)]
    return ((box.left, box.low), (box.right, box.low), *right, *left)


def _upright(design: Design, bar: Bar) -> Iterator[Mark]:
    """The upright that enters the rail, broken off."""
    thickness = design.brief.infill.thickness
    y = design.uprights[0].y if design.uprights else 0.0
    left, right = _x(y) - thickness / 2, _x(y) + thickness / 2
    seat = _seat(bar)
    if bar.role is BarRole.HANDRAIL:
        low, high = -SHOWN, seat
        broken = low
    else:
        low, high = bar.depth - seat, bar.depth + SHOWN
        broken = high
    box = _Box(left, right, low, high)
    yield Area(box.corners, Fill.WOOD)
    for x in (left, right):
        yield Stroke(((x, low), (x, high)), Pen.OUTLINE)
    inner = high if bar.role is BarRole.HANDRAIL else low
    yield Stroke(((left, inner), (right, inner)), Pen.OUTLINE)
    yield _break(left, right, broken)


def _break(left: float, right: float, at: float) -> Mark:
    """The zigzag of a piece broken off."""
    span, kick = right - left, 3.0
    middle = (left + right) / 2
    return Stroke(
        (
            (left - kick, at),
            (middle - span / 8, at),
            (middle - span / 16, at + kick),
            (middle + span / 16, at - kick),
            (middle + span / 8, at),
            (right + kick, at),
        ),
        Pen.THIN,
    )


def _below(design: Design, bar: Bar, show: Show) -> Iterator[Mark]:
    string = design.flight.string
    if string is None or design.brief.base.seat.value == "clear":
        return
    top = 0.0
    if design.packer is not None:
        packer = design.packer
        ends = [plane.point[0] for plane in (packer.start, packer.finish)]
        thick = [(packer.top.at(u) - packer.bottom.at(u)) * math.cos(packer.top.angle) for u in ends]
        deep = max(thick)
        box = _Box(-packer.width / 2, packer.width / 2, -deep, 0.0)
        yield Area(box.corners, Fill.END_GRAIN, pen=Pen.CUT)
        yield Hatch(box.corners, -45.0, 2.0)
        text = f"{packer.id} packer, {show(thick[0])} thick at the foot to {show(thick[1])} at the head"
        yield Leader(
            (-packer.width / 2 + 2.0, -deep / 2), (-packer.width / 2 - 8.0, -deep - 26.0), text, dot=True
        )
        top = -deep
    box = _Box(-string.thickness / 2, string.thickness / 2, top - SHOWN, top)
    yield Area(box.corners, Fill.GREY)
    yield Stroke((box.corners[0], box.corners[3], box.corners[2], box.corners[1]), Pen.OUTLINE)
    yield _break(box.left, box.right, box.low)
    yield Dimension(
        (box.left, box.low + 8.0), (box.right, box.low + 8.0), -16.0, f"string {show(string.thickness)}"
    )


def _sizes(design: Design, bar: Bar, show: Show) -> Iterator[Mark]:
    half, depth, seat = bar.width / 2, bar.depth, _seat(bar)
    infill, making = design.brief.infill, design.making
    handrail = bar.role is BarRole.HANDRAIL
    if handrail:
        yield Dimension((-half, depth), (half, depth), 9.0, show(bar.width))
    else:
        yield Dimension((-half, 0.0), (half, 0.0), -9.0, show(bar.width))
    yield Dimension((-half, 0.0), (-half, depth), 10.0, show(depth))
    low, high = (0.0, seat) if handrail else (depth - seat, depth)
    yield Dimension((half, low), (half, high), -10.0, f"{show(seat)} deep")
    thickness = infill.thickness
    end = -SHOWN + 8.0 if handrail else depth + SHOWN - 8.0
    y = design.uprights[0].y if design.uprights else 0.0
    sign = -1.0 if handrail else 1.0
    yield Dimension(
        (_x(y) - thickness / 2, end), (_x(y) + thickness / 2, end), sign * 14.0, f"upright {show(thickness)}"
    )
    if isinstance(making, Grooved) and making.clearance > 0:
        width = thickness + making.clearance
        inner = 0.0 if handrail else depth
        yield Dimension((-width / 2, inner), (width / 2, inner), sign * 9.0, f"groove {show(width)}")


def _sides(design: Design, bar: Bar, scale: float) -> Iterator[Mark]:
    """Which side is which."""
    stair = -design.side.towards_stair
    height = bar.depth / 2
    reach = bar.width / 2 + 22.0 * scale
    for sign, name in ((stair, "stair side"), (-stair, "open side")):
        yield Label((sign * reach, height), name, 2.5, Anchor.MIDDLE, 90.0)


def _round_over_note(bar: Bar, show: Show, scale: float) -> Iterator[Mark]:
    if bar.round_over <= 0:
        return
    radius = bar.round_over
    centre = (bar.width / 2 - radius, bar.depth - radius)
    yield ArcMark(centre, radius, 0.0, 90.0, Pen.CUT)
    tip = (centre[0] + radius * math.cos(math.pi / 4), centre[1] + radius * math.sin(math.pi / 4))
    yield Leader(tip, (tip[0] + 8.0 * scale, tip[1] + 10.0 * scale), f"R{show(radius)} both edges")
