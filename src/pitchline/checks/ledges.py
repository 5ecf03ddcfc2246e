"""Every nearly level ledge of the finished balustrade on which a foot could stand. Lengths in mm.

A ledge is looked for on whatever is there: the base rail beside the uprights, a string that stands clear of the
rail or proud of it, the shoulders of turned uprights, uprights that lie down, strands, openings through panels and
any bar between the two rails. Its height is counted plumb from where one stands: the lower floor, each tread, the
upper floor.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from pitchline.checks.silhouettes import ends_of
from pitchline.design.brief import PanelKind
from pitchline.design.model import Bar, BarRole, Design, Panel, Upright
from pitchline.kit.geometry.lines import Line
from pitchline.kit.tolerances import FOOT_ROOM, FOOTHOLD_DEPTH, FOOTHOLD_SLOPE_DEG


@dataclass(frozen=True, slots=True)
class Ledge:
    """A ledge along the edge: its name, its upper face from ``start`` to ``finish``, how deep it is for a foot.

    A ``rung`` is open on both sides, so that a foot goes through and rests on it however thin it is.
    """

    name: str
    top: Line
    start: float
    finish: float
    depth: float
    rung: bool = False


@dataclass(frozen=True, slots=True)
class Foothold:
    """A ledge over one standing level: its lowest and highest height above that level, mm."""

    ledge: Ledge
    standing: str
    low: float
    high: float


def ledges_of(design: Design) -> tuple[Ledge, ...]:
    """Every ledge that is level enough to stand on, however deep; deepest first."""
    found = (
        *_bars(design),
        *_string(design),
        *_shoulders(design),
        *_lying(design),
        *_strands(design),
        *_holes(design),
    )
    level = (ledge for ledge in found if abs(math.degrees(ledge.top.angle)) <= FOOTHOLD_SLOPE_DEG)
    return tuple(sorted(level, key=lambda ledge: -ledge.depth))


def ledge_depth(design: Design, bar: Bar) -> float:
    """How far a bar's upper face stands out beyond the uprights on the wider side, mm."""
    members: tuple[Upright | Panel, ...] = (*design.uprights, *design.panels)
    if not members:
        return bar.width
    first = members[0]
    return abs(first.y - bar.y) + (bar.width - first.thickness) / 2


def _bars(design: Design) -> Iterator[Ledge]:
    """All bars but the handrail and what lies hidden under the base rail."""
    for bar in design.bars:
        if bar.role not in (BarRole.HANDRAIL, BarRole.PACKER):
            depth = ledge_depth(design, bar)
            yield Ledge(f"the {design.name_of(bar)}", bar.top, bar.start.point[0], bar.finish.point[0], depth)


def _string(design: Design) -> Iterator[Ledge]:
    """The string's top edge: whole where a foot fits under the rail, else what stands proud of the rail."""
    string = design.flight.string
    if string is None:
        return
    start, finish = design.flight.nosings[0][0], design.flight.nosings[-1][0]
    depth = string.thickness
    if design.base is not None:
        under = (design.packer or design.base).bottom
        clear = min(under.at(u) - string.top.at(u) for u in (start, finish))
        proud = (string.thickness - design.base.width) / 2 + abs(design.base.y)
        depth = string.thickness if clear >= FOOT_ROOM else proud
    if depth > 0.0:
        yield Ledge("the string", string.top, start, finish, depth)


def _shoulders(design: Design) -> Iterator[Ledge]:
    """Where a turned upright narrows going up, its shoulder: as deep as the step in its radius."""
    if not design.uprights or not design.uprights[0].profile:
        return
    first, last = design.uprights[0], design.uprights[-1]
    seen = {round(height, 1): depth for height, depth in shoulders_of(first) if depth > FOOTHOLD_DEPTH}
    for height, depth in seen.items():
        start, finish = ((piece.foot[0], piece.foot[1] + height) for piece in (first, last))
        line = Line.through(start, finish) if finish[0] > start[0] else Line(start[1], 0.0)
        yield Ledge("the shoulders of the uprights", line, start[0], max(finish[0], start[0] + 1.0), depth)


def shoulders_of(upright: Upright) -> Iterator[tuple[float, float]]:
    """Height above the foot and depth of each shoulder of a turned upright that is level enough for a foot."""
    turned = ((upright.profile[0][0], upright.width), *upright.profile)
    for (low, below), (high, above) in pairwise(turned):
        depth = (below - above) / 2
        if depth > 0.0 and high - low <= depth * math.tan(math.radians(FOOTHOLD_SLOPE_DEG)):
            yield low, depth


def _lying(design: Design) -> Iterator[Ledge]:
    """Uprights that lie down so far that a foot stands on them."""
    for upright in design.uprights:
        if abs(upright.lean) > math.radians(90.0 - FOOTHOLD_SLOPE_DEG):
            slope = 1.0 / math.tan(upright.lean)
            us = [u for u, _ in upright.sight]
            z0 = upright.foot[1] - slope * upright.foot[0]
            edge = Line(z0, slope).offset(upright.width / 2)
            yield Ledge(f"upright {upright.mark}", edge, min(us), max(us), upright.thickness)


def _strands(design: Design) -> Iterator[Ledge]:
    """Strands are rungs where a foot goes in above them: through a gap, or through the mouth it makes of one."""
    many = "strands" if len(design.strands) > 1 else "strand"
    for strand in design.strands:
        if strand.gap_above >= FOOT_ROOM:
            us = [u for u, _ in strand.sight]
            top = strand.line.offset(strand.depth / 2)
            name = f"the {len(design.strands)} {many}" if len(design.strands) > 1 else f"the {many}"
            yield Ledge(name, top, min(us), max(us), strand.thickness, rung=True)


def _holes(design: Design) -> Iterator[Ledge]:
    """The lower edges of openings through a panel into which a foot goes; slots between plumb slats hold none."""
    for panel in design.panels:
        for hole in panel.holes:
            us, zs = zip(*hole, strict=True)
            if panel.kind is not PanelKind.SLATTED and min(max(us) - min(us), max(zs) - min(zs)) >= FOOT_ROOM:
                name = f"the openings of {panel.mark}"
                yield Ledge(name, Line(min(zs), 0.0), min(us), max(us), panel.thickness, rung=True)


def footholds_of(design: Design) -> tuple[Foothold, ...]:
    """Every ledge over every place from which one would step on it, from the foot to the head."""
    return tuple(
        Foothold(ledge, name, min(heights), max(heights))
        for ledge in ledges_of(design)
        for name, level, low, high in _standing(design)
        if max(low, ledge.start) < min(high, ledge.finish)
        for heights in ([ledge.top.at(u) - level for u in (max(low, ledge.start), min(high, ledge.finish))],)
    )


def _standing(design: Design) -> Iterator[tuple[str, float, float, float]]:
    """Each standing level with its height and where it lies along the edge."""
    foot, head = ends_of(design)
    nosings = design.flight.nosings
    yield "the lower floor", 0.0, foot.outer, nosings[0][0]
    for number, ((low, level), (high, _)) in enumerate(pairwise(nosings), start=1):
        yield f"step {number}", level, low, high
    yield "the upper floor", nosings[-1][1], nosings[-1][0], head.outer
