"""Small pictures of pieces lying at a saw, and of a saw's scales. Not to scale, all angles true."""

import math
from collections.abc import Iterator
from dataclasses import replace

from pitchline.kit.drawing.marks import (
    Anchor,
    AngleMark,
    Area,
    Drawing,
    Fill,
    Hatch,
    Label,
    Mark,
    Pen,
    Point,
    Points,
    Stroke,
)
from pitchline.kit.drawing.svg import Picture, write_svg
from pitchline.kit.geometry.bevels import SawReading
from pitchline.kit.tolerances import ENDS_ALIKE_DEG
from pitchline.making.settings import Holding, SetCut, Setting
from pitchline.making.shop import SawKind

PIECE = 22.0
"""Least length of a piece in a picture, paper mm; one with a long slant is longer by that."""
LEAST_WIDE, MOST_WIDE = 5.0, 8.0
"""Its width, however wide it is."""
STEEP_DEG, SLANTING_WIDE = 55.0, 3.6
"""A piece with a longer slant than this mitre's is drawn as narrow as this."""
BEYOND = 3.0
"""How far the blade's line runs on past the piece."""
SCALE_ARM = 21.0
"""Length of the blade's line in the picture of a saw's scales."""
ARM_ROOM = 27.0
"""Half the length of the fence and of the table there."""


def without_scale(drawing: Drawing) -> Picture:
    """A picture that stands in a table or beside text."""
    return replace(write_svg(drawing), scale=None, extents=None)


def lying_picture(one: SetCut, made: SawReading, kind: SawKind, number: int) -> Picture:
    """A piece as it lies at its saw, from above: fence, blade, the end that stays, the stop, and the waste."""
    marks = tuple(_lying(one, made, kind))
    return without_scale(Drawing(f"lying-{number}", "As it lies", 1.0, marks))


def _lying(one: SetCut, made: SawReading, kind: SawKind) -> Iterator[Mark]:
    wide, _ = one.lay.section(one.cut.part)
    slanting = abs(made.mitre_deg) > STEEP_DEG
    w = SLANTING_WIDE if slanting else min(MOST_WIDE, max(LEAST_WIDE, 0.1 * wide))
    near, far = (0.0, w) if kind is SawKind.TABLE else (-w, 0.0)
    side = 1.0 if one.on_right else -1.0
    long = 0.7 * PIECE + w * _tan(made.mitre_deg) if slanting else PIECE
    other = _other_end(one, kind)

    def cut_at(y: float) -> float:
        return -math.tan(math.radians(made.mitre_deg)) * y

    def end_at(y: float) -> float:
        return side * long - math.tan(math.radians(other)) * y

    stays: Points = ((cut_at(near), near), (end_at(near), near), (end_at(far), far), (cut_at(far), far))
    yield from _fence(kind, long)
    yield Area(stays, Fill.WOOD)
    if one.first:
        yield Stroke((stays[1], stays[0], stays[3], stays[2]), Pen.OUTLINE)
        yield Stroke(_break(side * long, near, far), Pen.THIN)
    else:
        yield Stroke(stays, Pen.OUTLINE, closed=True)
    reach = PIECE * 0.6 if one.holding is Holding.STICK and not one.first else 9.0
    waste: Points = ((cut_at(near) - side * reach, near), (cut_at(near) - side * 0.8, near))
    yield Stroke(waste, Pen.HIDDEN)
    yield Stroke(((cut_at(far) - side * reach, far), (cut_at(far) - side * 0.8, far)), Pen.HIDDEN)
    if one.holding is Holding.STICK and not one.first:
        yield Label((-side * reach * 0.72, (near + far) / 2), "stick", 1.8, Anchor.MIDDLE)
    beyond = 0.4 * BEYOND if slanting else BEYOND
    low, high = near - beyond, far + beyond
    yield Stroke(((cut_at(low), low), (cut_at(high), high)), Pen.ACCENT)
    if not one.first:
        yield from _stop(end_at(0.0), side, kind)
    middle = (side * long * 0.58, (near + far) / 2)
    yield Label(middle, one.cut.mark, 2.0, Anchor.MIDDLE)


def _tan(angle_deg: float) -> float:
    return abs(math.tan(math.radians(angle_deg)))


def _other_end(one: SetCut, kind: SawKind) -> float:
    """Mitre of the piece's other end as it lies, degrees; square where that is not one plane."""
    part = one.cut.part
    planes = part.finish_cuts if one.cut.at_start else part.start_cuts
    if one.first or len(planes) != 1:
        return 0.0
    return one.lay.reading(planes[0].normal, kind).mitre_deg


def _break(x: float, near: float, far: float) -> Points:
    step = (far - near) / 4
    return tuple((x + (0.9 if k % 2 else -0.9), near + k * step) for k in range(5))


def _fence(kind: SawKind, long: float) -> Iterator[Mark]:
    if kind is SawKind.RAIL:
        return
    thick = -2.4 if kind is SawKind.TABLE else 2.4
    for a, b in ((-long - 6.0, -3.0), (3.0, long + 6.0)):
        box: Points = ((a, 0.0), (b, 0.0), (b, thick), (a, thick))
        yield Area(box, Fill.GREY)
        yield Stroke(((a, 0.0), (b, 0.0)), Pen.CUT)


def _stop(x: float, side: float, kind: SawKind) -> Iterator[Mark]:
    down = 3.0 if kind is SawKind.TABLE else -3.0
    box: Points = ((x, 0.0), (x + side * 4.0, 0.0), (x + side * 4.0, down), (x, down))
    yield Area(box, Fill.WHITE, pen=Pen.OUTLINE)
    yield Hatch(box, 45.0, 1.0)


def scales_picture(setting: Setting, number: int) -> Picture:
    """What a saw is set to: from above with its fence, and from the front with its table."""
    marks = [*_from_above(setting), *_from_front(setting)]
    return without_scale(Drawing(f"scales-{number}", "The saw's scales", 1.0, tuple(marks)))


def _from_above(setting: Setting) -> Iterator[Mark]:
    down = setting.saw.kind is not SawKind.TABLE
    sense = -1.0 if down else 1.0
    yield from _edge(0.0, 0.0, -sense)
    if setting.block_deg:
        yield from _wedge(setting, sense)
    yield from _angle(setting.mitre_deg, (0.0, 0.0), down=down)
    name = {SawKind.TABLE: "gauge, from above", SawKind.RAIL: "edge of the piece, from above"}
    words = name.get(setting.saw.kind, "fence, from above")
    yield Label((-ARM_ROOM, -sense * 4.4), words, 1.8, Anchor.BASE_LEFT if down else Anchor.TOP_LEFT)


def _edge(x: float, y: float, outward: float) -> Iterator[Mark]:
    """A fence or a table seen from its edge."""
    left, right = x - ARM_ROOM, x + ARM_ROOM
    thick = y + outward * 3.0
    yield Area(((left, y), (right, y), (right, thick), (left, thick)), Fill.GREY)
    yield Stroke(((left, y), (right, y)), Pen.CUT)


def _angle(angle_deg: float, at: Point, *, down: bool) -> Iterator[Mark]:
    """A blade's line, the square beside it and the angle between them."""
    turned = math.radians(angle_deg)
    sense = -1.0 if down else 1.0
    tip = (at[0] - sense * SCALE_ARM * math.sin(turned), at[1] + sense * SCALE_ARM * math.cos(turned))
    yield Stroke((at, tip), Pen.ACCENT)
    if abs(angle_deg) > ENDS_ALIKE_DEG:
        yield Stroke((at, (at[0], at[1] + sense * SCALE_ARM)), Pen.CENTRE)
        base = 270.0 if down else 90.0
        low, high = sorted((base, base + angle_deg))
        yield AngleMark(at, low, high, 15.0, f"{abs(angle_deg):.2f}°")


def _wedge(setting: Setting, side: float) -> Iterator[Mark]:
    """The taper block between fence and piece, thin at the blade; ``side`` +1 where the piece is beyond the "
    "fence."""
    away = -1.0 if setting.mitre_deg > 0.0 else 1.0
    thin = 3.0
    reach = 22.0
    thick = thin + reach * math.tan(math.radians(setting.block_deg))
    start = 3.0 * away
    far = start + away * reach
    shape: Points = ((start, 0.0), (far, 0.0), (far, side * thick), (start, side * thin))
    yield Area(shape, Fill.END_GRAIN, pen=Pen.OUTLINE)
    yield Label(
        (start + away * 14.0, side * (thick * 0.25)), f"{setting.block_deg:g}° block", 1.8, Anchor.MIDDLE
    )


def _from_front(setting: Setting) -> Iterator[Mark]:
    x, y = 2.0 * ARM_ROOM + 4.0, 0.0 if setting.saw.kind is SawKind.TABLE else -SCALE_ARM
    yield from _edge(x, y, -1.0)
    yield from _angle(setting.tilt_deg, (x, y), down=False)
    yield Label((x - ARM_ROOM, y - 4.4), "table, from the front", 1.8, Anchor.TOP_LEFT)
