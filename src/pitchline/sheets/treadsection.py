"""The foot of an upright on its tread, cut across the edge and seen looking up the stair. Lengths in mm."""

from collections.abc import Iterator

from pitchline.design.makings import BoredMetal, OnTreads, TreadFoot
from pitchline.design.model import Design
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
    Stroke,
)
from pitchline.sheets.looking import Show
from pitchline.sheets.sectionwork import Box, break_line, seen_at

TREAD_SHOWN, BESIDE, ABOVE, BELOW = 30.0, 60.0, 45.0, 45.0
"""mm drawn: of a tread, which is not measured, in thickness and beside the upright; of the upright; of the string."""


def tread_section(design: Design, show: Show, scale: float) -> Drawing:
    """An upright on its tread over the string, with what holds its foot."""
    marks = (
        *_stair(design, show, scale),
        *_upright(design, show, scale),
        *_foot(design, show, scale),
        *_sides(design, scale),
    )
    title = "Foot of an upright on its tread, cut across the edge"
    return Drawing(f"{design.id}-section-foot", title, scale, marks, "looking up the stair")


def _outer(design: Design) -> tuple[float, float]:
    """Which way the open side lies in the view (+1 or -1), and where the outer face of the string is."""
    out = seen_at(-design.side.towards_stair)
    return out, out * (design.uprights[0].thickness / 2 + _inset(design))


def _across(ends: tuple[float, float], low: float, high: float) -> Box:
    return Box(min(ends), max(ends), low, high)


def _inset(design: Design) -> float:
    making = design.making
    return making.inset if isinstance(making, OnTreads) else 0.0


def _stair(design: Design, show: Show, scale: float) -> Iterator[Mark]:
    """The tread with its return nosing, and the string below it where there is a cut one."""
    out, face = _outer(design)
    string = design.flight.cut_string
    nosing = 0.0 if string is None else string.return_nosing
    inner = -out * (design.uprights[0].thickness / 2 + BESIDE)
    box = _across((inner, face), -TREAD_SHOWN, 0.0)
    yield Area(box.corners, Fill.GREY, pen=Pen.OUTLINE)
    yield Hatch(box.corners, 45.0, 3.0)
    if nosing > 0.0:
        cover = _across((face, face + out * nosing), -TREAD_SHOWN, 0.0)
        yield Area(cover.corners, Fill.GREY, pen=Pen.OUTLINE)
        tip = (face + out * nosing / 2, -TREAD_SHOWN / 2)
        at = (face + out * (nosing + 8.0 * scale), -TREAD_SHOWN - 6.0 * scale)
        yield Leader(tip, at, f"return nosing {show(nosing)}", dot=True)
    if string is not None:
        board = _across((face - out * string.thickness, face), -TREAD_SHOWN - BELOW, -TREAD_SHOWN)
        yield Area(board.corners, Fill.GREY)
        yield Stroke((board.corners[0], board.corners[3], board.corners[2], board.corners[1]), Pen.OUTLINE)
        yield break_line(board.left, board.right, board.low)
        yield Dimension(
            (board.left, board.low), (board.right, board.low), -7.0, f"string {show(string.thickness)}"
        )
    if _inset(design) > 0.0:
        side = out * design.uprights[0].thickness / 2
        ends = sorted((side, face))
        yield Dimension((ends[0], 0.0), (ends[1], 0.0), 8.0, show(_inset(design)))


def _upright(design: Design, show: Show, scale: float) -> Iterator[Mark]:
    thick = design.uprights[0].thickness
    box = Box(-thick / 2, thick / 2, 0.0, ABOVE)
    yield Area(box.corners, Fill.WOOD)
    yield Stroke((box.corners[3], box.corners[0], box.corners[1], box.corners[2]), Pen.OUTLINE)
    yield break_line(box.left, box.right, ABOVE)
    yield Dimension((box.left, ABOVE), (box.right, ABOVE), 7.0, f"upright {show(thick)}")


def _foot(design: Design, show: Show, scale: float) -> Iterator[Mark]:
    """The dowel, screw or dovetail, or the hole for a metal bar."""
    making = design.making
    out, _ = _outer(design)
    half = design.uprights[0].thickness / 2
    if isinstance(making, OnTreads) and making.foot is TreadFoot.DOVETAIL:
        box = _across((0.0, out * half), -making.depth, 0.0)
        words = f"dovetail {show(making.depth)} deep"
    elif isinstance(making, OnTreads):
        box = Box(
            -making.diameter / 2, making.diameter / 2, -making.depth, min(making.end_depth, ABOVE - 8.0)
        )
        words = (
            f"{making.foot.value} {show(making.diameter)},\n{show(making.depth)} into the tread,\n"
            f"{show(making.end_depth)} into the upright"
        )
    elif isinstance(making, BoredMetal):
        box = Box(-making.hole / 2, making.hole / 2, -making.base_depth, 0.0)
        words = f"hole {show(making.hole)}, {show(making.base_depth)} deep"
    else:
        return
    yield Area(box.corners, Fill.END_GRAIN, pen=Pen.HIDDEN)
    tip = ((box.left + box.right) / 2, (box.low + box.high) / 2)
    yield Leader(tip, (-out * (half + 12.0 * scale), ABOVE * 0.7), words, dot=True)


def _sides(design: Design, scale: float) -> Iterator[Mark]:
    """Which side is which."""
    out, face = _outer(design)
    reach = max(abs(face), design.uprights[0].thickness / 2) + BESIDE * 0.6
    yield Label((out * reach, ABOVE / 2), "open side", 2.5, Anchor.MIDDLE, 90.0)
    yield Label((-out * (reach + 6.0 * scale), -TREAD_SHOWN - 5.0 * scale), "stair side", 2.5, Anchor.MIDDLE)
