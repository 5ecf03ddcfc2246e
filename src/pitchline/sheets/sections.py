"""Sections through the rails, cut square to the rake and seen looking up the stair: the true shapes to be made."""

import math
from collections.abc import Callable, Iterator
from functools import partial

from pitchline.design.brief import BaseSeat
from pitchline.design.makings import Stacked
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
from pitchline.sheets.sectionjoints import Entry, cavity_marks, entry_of, member_marks, middle_of
from pitchline.sheets.sectionwork import SHOWN, Box, break_line, rounded, seat_of, seen_at
from pitchline.sheets.treadsection import tread_section
from pitchline.stair.model import Seat, StringBoard


def rail_section(design: Design, show: Show, scale: float) -> Drawing:
    """The handrail with an upright entering it."""
    bar = design.handrail
    marks = (
        *_bar(design, bar),
        *_member(design, bar),
        *_sizes(design, bar, show, scale),
        *_sides(design, bar, scale),
        *_round_over_note(design, bar, show, scale),
    )
    return Drawing(
        f"{design.id}-section-rail",
        f"{bar.id} {design.name_of(bar)}, cut square to it",
        scale,
        marks,
        _VIEW,
    )


def base_section(design: Design, show: Show, scale: float) -> Drawing:
    """The base rail with an upright, its packer and the string below it."""
    bar = design.base_rail
    marks = (
        *_bar(design, bar),
        *_member(design, bar),
        *_below(design, bar, show, scale),
        *_sizes(design, bar, show, scale),
        *_sides(design, bar, scale),
        *_round_over_note(design, bar, show, scale),
    )
    return Drawing(
        f"{design.id}-section-base",
        f"{bar.id} {design.name_of(bar)}, cut square to it",
        scale,
        marks,
        _VIEW,
    )


def lower_section(design: Design) -> Callable[[Show, float], Drawing] | None:
    """What draws the lower end of the infill: the base rail, or a foot on its tread; None where there is neither."""
    if design.base is not None:
        return partial(base_section, design)
    return partial(tread_section, design) if design.uprights else None


_VIEW = "looking up the stair"


def _bar(design: Design, bar: Bar) -> Iterator[Mark]:
    """The cut faces of a rail: one piece with its groove, or strips, cheeks and blocks."""
    making = design.making
    if isinstance(making, Stacked):
        yield from _stack(design, bar, making)
        return
    outline = rounded(Box(-bar.width / 2, bar.width / 2, 0.0, bar.depth), _round_over(design, bar))
    entry = entry_of(design, bar)
    holes: tuple[Points, ...] = ()
    beside: tuple[Mark, ...] = ()
    if entry is not None:
        corners, beside = cavity_marks(bar, entry)
        holes = (corners,)
    yield Area(outline, Fill.END_GRAIN, pen=Pen.CUT)
    yield Hatch(outline, 45.0, 2.5, holes=holes)
    yield from beside


def _member(design: Design, bar: Bar) -> Iterator[Mark]:
    entry = entry_of(design, bar)
    if entry is not None:
        yield from member_marks(design, bar, entry)


def _stack(design: Design, bar: Bar, making: Stacked) -> Iterator[Mark]:
    """The layers with their letters: cheeks, strips and blocks."""
    left = making.layers * making.layer_thickness / 2
    whole = rounded(Box(-bar.width / 2, bar.width / 2, 0.0, bar.depth), _round_over(design, bar))
    for layer in range(1, making.layers + 1):
        y1 = design.side.towards_stair * (left - (layer - 1) * making.layer_thickness)
        y2 = design.side.towards_stair * (left - layer * making.layer_thickness)
        x1, x2 = sorted((seen_at(y1), seen_at(y2)))
        for number, (low, high, kind) in enumerate(_layer_pieces(bar, making, layer)):
            outline = _within(whole, Box(x1, x2, low, high))
            fill = Fill.WOOD if kind == "block" else Fill.END_GRAIN
            yield Area(outline, fill, pen=Pen.CUT)
            if kind != "block":
                yield Hatch(outline, 45.0 if (layer + number) % 2 else -45.0, 2.5)
            name = f"{layer_letter(layer)} {kind}"
            yield Label(((x1 + x2) / 2, (low + high) / 2), name, 1.8, Anchor.MIDDLE, 90.0)


def _layer_pieces(bar: Bar, making: Stacked, layer: int) -> list[tuple[float, float, str]]:
    """From where to where up the section, and what it is; a layer with uprights has a strip and blocks."""
    depth, seat = bar.depth, seat_of(bar)
    if layer not in making.member_layers:
        return [(0.0, depth, "cheek")]
    if bar.role is BarRole.HANDRAIL:
        return [(seat, depth, "strip"), (0.0, seat, "block")]
    return [(0.0, depth - seat, "strip"), (depth - seat, depth, "block")]


def _within(outline: Points, box: Box) -> Points:
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


def _below(design: Design, bar: Bar, show: Show, scale: float) -> Iterator[Mark]:
    string = design.flight.string
    if design.brief.base_rail.seat is BaseSeat.FLOOR:
        yield from _floor(bar)
    if string is None or design.brief.base_rail.seat in (BaseSeat.CLEAR, BaseSeat.FLOOR):
        return
    top = 0.0
    if design.packer is not None:
        packer = design.packer
        ends = [plane.point[0] for plane in (packer.start, packer.finish)]
        thick = [(packer.top.at(u) - packer.bottom.at(u)) * math.cos(packer.top.angle) for u in ends]
        deep = max(thick)
        box = Box(-packer.width / 2, packer.width / 2, -deep, 0.0)
        yield Area(box.corners, Fill.END_GRAIN, pen=Pen.CUT)
        yield Hatch(box.corners, -45.0, 2.0)
        text = f"{packer.id} packer, {show(thick[0])} thick at the foot\nto {show(thick[1])} at the head"
        tip = (packer.width / 2 - 2.0, -deep / 2)
        yield Leader(tip, (packer.width / 2 + 6.0 * scale, -deep - 8.0 * scale), text, dot=True)
        top = -deep
    box = Box(-string.thickness / 2, string.thickness / 2, top - SHOWN, top)
    yield Area(box.corners, Fill.GREY)
    yield Stroke((box.corners[0], box.corners[3], box.corners[2], box.corners[1]), Pen.OUTLINE)
    yield break_line(box.left, box.right, box.low)
    yield Dimension(
        (box.left, box.low), (box.right, box.low), -7.0, f"{_under_words(string)} {show(string.thickness)}"
    )


def _floor(bar: Bar) -> Iterator[Mark]:
    """The floor that a base rail lies on, broken off all round."""
    reach = bar.width / 2 + SHOWN
    box = Box(-reach, reach, -SHOWN, 0.0)
    yield Area(box.corners, Fill.GREY)
    yield Stroke(((-reach, 0.0), (reach, 0.0)), Pen.OUTLINE)
    yield Label((0.0, -SHOWN / 2), "floor", 2.5, Anchor.MIDDLE)


def _under_words(string: StringBoard) -> str:
    return "knee wall" if string.kind is Seat.KNEE_WALL else "string"


def _lowest(design: Design) -> float:
    """How far below the base rail the section is drawn, mm."""
    seat = design.brief.base_rail.seat
    if seat is BaseSeat.FLOOR:
        return SHOWN
    if design.flight.string is None or seat is BaseSeat.CLEAR:
        return 0.0
    packer = design.packer
    if packer is None:
        return SHOWN
    ends = [plane.point[0] for plane in (packer.start, packer.finish)]
    return SHOWN + max((packer.top.at(u) - packer.bottom.at(u)) * math.cos(packer.top.angle) for u in ends)


def _sizes(design: Design, bar: Bar, show: Show, scale: float) -> Iterator[Mark]:
    half, depth = bar.width / 2, bar.depth
    handrail = bar.role is BarRole.HANDRAIL
    if handrail:
        yield Dimension((-half, depth), (half, depth), 9.0, show(bar.width))
    else:
        below = _lowest(design)
        room = below / scale + (14.0 if below else 9.0)
        yield Dimension((-half, 0.0), (half, 0.0), -room, show(bar.width))
    yield Dimension((-half, 0.0), (-half, depth), 10.0, show(depth))
    entry = entry_of(design, bar)
    if entry is not None:
        yield from _entry_sizes(design, bar, entry, show, scale)


def _entry_sizes(design: Design, bar: Bar, entry: Entry, show: Show, scale: float) -> Iterator[Mark]:
    """How deep, how thick, and the size of the groove, hole or mortise."""
    half, depth = bar.width / 2, bar.depth
    handrail = bar.role is BarRole.HANDRAIL
    low, high = (0.0, entry.depth) if handrail else (depth - entry.depth, depth)
    yield Dimension((half, low), (half, high), -10.0, f"{show(entry.depth)} deep")
    end, sign = (-SHOWN, -1.0) if handrail else (depth + SHOWN, 1.0)
    x, thick = middle_of(design), entry.thick / 2
    yield Dimension((x - thick, end), (x + thick, end), sign * 7.0, f"{entry.member} {show(entry.thick)}")
    if entry.cavity > 0.0:
        tip = (-entry.cavity / 2, (low + high) / 2)
        at = (-half - 14.0 * scale, (low if handrail else high) + sign * 12.0 * scale)
        yield Leader(tip, at, entry.words(show))


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
