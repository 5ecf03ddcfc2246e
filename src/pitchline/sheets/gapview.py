"""Two neighbouring uprights on the base rail, enlarged: the one place where level sizes and sizes along the rake
stand side by side, each by its name."""

import math
from collections.abc import Iterator

from pitchline.design.model import Design, Upright
from pitchline.kit.drawing.marks import Anchor, Area, Drawing, Fill, Label, Leader, Mark, Pen
from pitchline.kit.geometry.lines import Line, Point2
from pitchline.sheets.looking import Looker, Show

BESIDE, ABOVE = 26.0, 60.0
"""mm of rail drawn beside the two uprights, and of the uprights above the higher foot."""


def neighbours(design: Design) -> tuple[Upright, Upright] | None:
    """Two uprights next to each other near the middle that both stand on the base rail; None without one."""
    standing = [upright for upright in design.uprights if upright.outline.edge("base") is not None]
    if len(standing) < 2:
        return None
    middle = (len(standing) - 1) // 2
    return standing[middle], standing[middle + 1]


def gap_drawing(design: Design, pair: tuple[Upright, Upright], show: Show, scale: float) -> Drawing:
    """Two uprights at 1:``scale`` with the gap and the pitch of their centres, level and along the rake."""
    look = Looker(design.side)
    first, second = pair
    marks = (
        *_wood(design, pair, look, scale),
        *_level(design, pair, look, show, scale),
        *_raking(design, pair, look, show, scale),
    )
    title = f"Gaps, {first.mark} and {second.mark} on {design.base_rail.id}"
    return Drawing(f"{design.id}-gaps", title, scale, marks, "seen from the open side")


def on_rail(upright: Upright, across: float, rail: Line) -> Point2:
    """Where a side of an upright meets a rail's edge."""
    return rail.meet(_start(upright, across), _up(upright))


def at_level(upright: Upright, across: float, z: float) -> Point2:
    """Where a side of an upright passes a level."""
    u0, z0 = _start(upright, across)
    return (u0 + (z - z0) * math.tan(upright.lean), z)


def _start(upright: Upright, across: float) -> Point2:
    lean = upright.lean
    return (upright.foot[0] + across * math.cos(lean), upright.foot[1] - across * math.sin(lean))


def _up(upright: Upright) -> Point2:
    return (math.sin(upright.lean), math.cos(upright.lean))


def _top(design: Design, pair: tuple[Upright, Upright]) -> float:
    """The level at which both uprights are broken off."""
    return on_rail(pair[1], pair[1].width / 2, design.base_rail.top)[1] + ABOVE


def _wood(design: Design, pair: tuple[Upright, Upright], look: Looker, scale: float) -> Iterator[Mark]:
    top, bar = _top(design, pair), design.base_rail
    for upright in pair:
        half = upright.width / 2
        low = [on_rail(upright, across, bar.top) for across in (-half, half)]
        high = [at_level(upright, across, top) for across in (half, -half)]
        yield Area(look.all((*low, *high)), Fill.WOOD, pen=Pen.OUTLINE)
        name = at_level(upright, 0.0, (low[1][1] + top) / 2)
        yield Label(look.at(name), upright.mark, 2.5, Anchor.MIDDLE, 90.0)
    ends = (
        on_rail(pair[0], -pair[0].width / 2, bar.top)[0] - BESIDE,
        on_rail(pair[1], pair[1].width / 2, bar.top)[0] + BESIDE,
    )
    corners = (*(bar.bottom.point(u) for u in ends), *(bar.top.point(u) for u in reversed(ends)))
    yield Area(look.all(corners), Fill.WOOD, pen=Pen.OUTLINE)
    at = bar.bottom.offset(bar.depth / 2).point(ends[0] + 14.0)
    angle = look.sign * math.degrees(bar.top.angle)
    yield Label(look.at(at), bar.id, 2.5, Anchor.MIDDLE, angle)


def _level(
    design: Design, pair: tuple[Upright, Upright], look: Looker, show: Show, scale: float
) -> Iterator[Mark]:
    """Above: the level gap and the level pitch of the centres."""
    top = _top(design, pair)
    first, second = pair
    gap = [at_level(first, first.width / 2, top), at_level(second, -second.width / 2, top)]
    centres = [at_level(first, 0.0, top), at_level(second, 0.0, top)]
    yield look.level(gap[0], gap[1], 6.0, f"gap {show(gap[1][0] - gap[0][0])} level")
    yield look.level(centres[0], centres[1], 13.0, f"centres {show(centres[1][0] - centres[0][0])} level")
    if abs(first.lean) > 0.0:
        yield from _square(design, pair, look, show, scale)


def _square(
    design: Design, pair: tuple[Upright, Upright], look: Looker, show: Show, scale: float
) -> Iterator[Mark]:
    """Between leaning uprights: the gap square to them, its words beside them towards the foot."""
    first, second = pair
    square = gap_square(first, second)
    level = on_rail(second, -second.width / 2, design.base_rail.top)[1] + ABOVE * 0.3
    a = at_level(first, first.width / 2, level)
    b = (a[0] + square * math.cos(first.lean), a[1] - square * math.sin(first.lean))
    yield look.along(a, b, 0.0, "")
    outer = at_level(first, -first.width / 2, level)
    tip = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
    at = (outer[0] - 8.0 * scale, outer[1] + 4.0 * scale)
    yield Leader(look.at(tip), look.at(at), f"gap {show(square)} square", dot=True)


def gap_square(first: Upright, second: Upright) -> float:
    """Clear distance between two parallel uprights, square to them, mm."""
    out = (math.cos(first.lean), -math.sin(first.lean))
    apart = sum((b - a) * o for a, b, o in zip(first.foot, second.foot, out, strict=True))
    return apart - (first.width + second.width) / 2


def _raking(
    design: Design, pair: tuple[Upright, Upright], look: Looker, show: Show, scale: float
) -> Iterator[Mark]:
    """Below: the same along the rake, measured on the rail's upper face."""
    first, second = pair
    rail, depth = design.base_rail.top, design.base_rail.depth
    gap = [on_rail(first, first.width / 2, rail), on_rail(second, -second.width / 2, rail)]
    centres = [on_rail(first, 0.0, rail), on_rail(second, 0.0, rail)]
    for (a, b), out, name in ((gap, 7.0, "gap"), (centres, 14.0, "centres")):
        text = f"{name} {show(math.dist(a, b))} along the rake"
        down = [_lowered(point, rail, depth) for point in (a, b)]
        yield look.along(down[0], down[1], -out, text)


def _lowered(point: Point2, rail: Line, depth: float) -> Point2:
    """A point of the rail's upper face moved square through the rail to its underside."""
    nu, nz = rail.normal
    return (point[0] - depth * nu, point[1] - depth * nz)
