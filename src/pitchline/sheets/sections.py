"""Sections through the rails, cut square to the rake and seen looking up the stair: the true shapes to be made."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from pitchline.design.brief import Bored, Grooved, Stacked
from pitchline.design.model import Bar, BarRole, Design
from pitchline.kit.drawing.marks import (
    Anchor,
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
from pitchline.kit.geometry.outlines import clip_half_plane
from pitchline.parts.joints.stacked import layer_letter, layer_round_over
from pitchline.sheets.looking import Show

SHOWN = 20.0
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
        *_sizes(design, bar, show, scale),
        *_sides(design, bar, scale),
        *_round_over_note(design, bar, show, scale),
    )
    return Drawing(
        f"{design.id}-section-rail", f"{bar.id} {bar.role.value}, cut square to it", scale, marks, _VIEW
    )


def base_section(design: Design, show: Show, scale: float) -> Drawing:
    """The base rail with an upright, its packer and the string below it."""
    bar = design.base_rail
    marks = (
        *_bar(design, bar),
        *_upright(design, bar),
        *_below(design, bar, show, scale),
        *_sizes(design, bar, show, scale),
        *_sides(design, bar, scale),
        *_round_over_note(design, bar, show, scale),
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
    outline = _rounded(_Box(-half, half, 0.0, depth), _round_over(design, bar))
    cavity = (design.brief.uprights.thickness + making.clearance) / 2
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
    """The layers with their letters: cheeks, strips and blocks."""
    left = making.layers * making.layer_thickness / 2
    whole = _rounded(_Box(-bar.width / 2, bar.width / 2, 0.0, bar.depth), _round_over(design, bar))
    for layer in range(1, making.layers + 1):
        y1 = design.side.towards_stair * (left - (layer - 1) * making.layer_thickness)
        y2 = design.side.towards_stair * (left - layer * making.layer_thickness)
        x1, x2 = sorted((_x(y1), _x(y2)))
        for number, (low, high, kind) in enumerate(_layer_pieces(bar, making, layer)):
            outline = _within(whole, _Box(x1, x2, low, high))
            fill = Fill.WOOD if kind == "block" else Fill.END_GRAIN
            yield Area(outline, fill, pen=Pen.CUT)
            if kind != "block":
                yield Hatch(outline, 45.0 if (layer + number) % 2 else -45.0, 2.5)
            name = f"{layer_letter(layer)} {kind}"
            yield Label(((x1 + x2) / 2, (low + high) / 2), name, 1.8, Anchor.MIDDLE, 90.0)


def _layer_pieces(bar: Bar, making: Stacked, layer: int) -> list[tuple[float, float, str]]:
    """From where to where up the section, and what it is; a layer with uprights has a strip and blocks."""
    depth, seat = bar.depth, _seat(bar)
    if layer not in making.member_layers:
        return [(0.0, depth, "cheek")]
    if bar.role is BarRole.HANDRAIL:
        return [(seat, depth, "strip"), (0.0, seat, "block")]
    return [(0.0, depth - seat, "strip"), (depth - seat, depth, "block")]


def _within(outline: Points, box: _Box) -> Points:
    """The part of a convex outline inside a box."""
    left = clip_half_plane(outline, (box.left, 0.0), (-1.0, 0.0))
    right = clip_half_plane(left, (box.right, 0.0), (1.0, 0.0))
    above = clip_half_plane(right, (0.0, box.low), (0.0, -1.0))
    return clip_half_plane(above, (0.0, box.high), (0.0, 1.0))


def _round_over(design: Design, bar: Bar) -> float:
    """The radius on the upper edges as the parts have it."""
    making = design.making
    if isinstance(making, Stacked):
        edge_is_block = bar.role is BarRole.BASE and {1, making.layers} & set(making.member_layers)
        return 0.0 if edge_is_block else layer_round_over(bar, making)
    return min(bar.round_over, bar.width / 2, bar.depth)


def _rounded(box: _Box, radius: float) -> Points:
    """The outline with the upper corners rounded, as closely as a drawing can show."""
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
    thickness = design.brief.uprights.thickness
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


def _below(design: Design, bar: Bar, show: Show, scale: float) -> Iterator[Mark]:
    string = design.flight.string
    if string is None or design.brief.base_rail.seat.value == "clear":
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
        text = f"{packer.id} packer, {show(thick[0])} thick at the foot\nto {show(thick[1])} at the head"
        tip = (packer.width / 2 - 2.0, -deep / 2)
        yield Leader(tip, (packer.width / 2 + 6.0 * scale, -deep - 8.0 * scale), text, dot=True)
        top = -deep
    box = _Box(-string.thickness / 2, string.thickness / 2, top - SHOWN, top)
    yield Area(box.corners, Fill.GREY)
    yield Stroke((box.corners[0], box.corners[3], box.corners[2], box.corners[1]), Pen.OUTLINE)
    yield _break(box.left, box.right, box.low)
    yield Dimension((box.left, box.low), (box.right, box.low), -7.0, f"string {show(string.thickness)}")


def _lowest(design: Design) -> float:
    """How far below the base rail the section is drawn, mm."""
    if design.flight.string is None or design.brief.base_rail.seat.value == "clear":
        return 0.0
    packer = design.packer
    if packer is None:
        return SHOWN
    ends = [plane.point[0] for plane in (packer.start, packer.finish)]
    return SHOWN + max((packer.top.at(u) - packer.bottom.at(u)) * math.cos(packer.top.angle) for u in ends)


def _sizes(design: Design, bar: Bar, show: Show, scale: float) -> Iterator[Mark]:
    half, depth, seat = bar.width / 2, bar.depth, _seat(bar)
    thickness, making = design.brief.uprights.thickness, design.making
    handrail = bar.role is BarRole.HANDRAIL
    if handrail:
        yield Dimension((-half, depth), (half, depth), 9.0, show(bar.width))
    else:
        below = _lowest(design)
        room = below / scale + (14.0 if below else 9.0)
        yield Dimension((-half, 0.0), (half, 0.0), -room, show(bar.width))
    yield Dimension((-half, 0.0), (-half, depth), 10.0, show(depth))
    low, high = (0.0, seat) if handrail else (depth - seat, depth)
    yield Dimension((half, low), (half, high), -10.0, f"{show(seat)} deep")
    end = -SHOWN if handrail else depth + SHOWN
    y = design.uprights[0].y if design.uprights else 0.0
    sign = -1.0 if handrail else 1.0
    left, right = _x(y) - thickness / 2, _x(y) + thickness / 2
    yield Dimension((left, end), (right, end), sign * 7.0, f"upright {show(thickness)}")
    if isinstance(making, Grooved | Bored):
        name = "groove" if isinstance(making, Grooved) else "hole"
        wall = (thickness + making.clearance) / 2
        tip = (-wall, low + seat / 2)
        words = f"{name} {show(2 * wall)}" + (" wide" if name == "groove" else " diameter")
        yield Leader(tip, (-half - 14.0 * scale, (low if handrail else high) + sign * 12.0 * scale), words)


def _sides(design: Design, bar: Bar, scale: float) -> Iterator[Mark]:
    """Which side is which."""
    stair = -design.side.towards_stair
    height = bar.depth / 2
    reach = bar.width / 2 + 22.0 * scale
    for sign, name in ((stair, "stair side"), (-stair, "open side")):
        yield Label((sign * reach, height), name, 2.5, Anchor.MIDDLE, 90.0)


def _round_over_note(design: Design, bar: Bar, show: Show, scale: float) -> Iterator[Mark]:
    """The radius: on the right of a handrail, on the left of a base rail, clear of the depth of the housing."""
    radius = _round_over(design, bar)
    if radius <= 0:
        return
    sign = 1.0 if bar.role is BarRole.HANDRAIL else -1.0
    corner = radius * (1.0 - math.cos(math.pi / 4))
    tip = (sign * (bar.width / 2 - corner), bar.depth - corner)
    at = (sign * (bar.width / 2 + 13.0 * scale), bar.depth + 5.0 * scale)
    yield Leader(tip, at, f"R{show(radius)} both edges")
