"""Strands and panels in the elevation: their shapes, their marks, and the figures to set them out by."""

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from pitchline.design.brief import PanelKind, StrandKind
from pitchline.design.model import Design, Panel, Strand
from pitchline.kit.drawing.marks import Anchor, Area, Fill, Label, Leader, Mark, Pen, RunningMarks, Stroke
from pitchline.kit.geometry.lines import Point2
from pitchline.parts.strands import spacer_places
from pitchline.sheets.looking import Looker, Show

THINNEST = 0.5
"""Paper mm below which a strand is drawn as one line: two would run together."""

LETTERS = 1.8
"""Paper mm of the letters of a mark."""


def infill_marks(design: Design, look: Looker, scale: float) -> Iterator[Mark]:
    """What is seen of strands and panels, to be drawn before the rails and posts that they go into."""
    for panel in design.panels:
        holes = tuple(look.all(hole) for hole in panel.holes)
        fill = Fill.GLASS if panel.kind is PanelKind.GLASS else Fill.WOOD
        yield Area(look.all(panel.sight), fill, holes, Pen.OUTLINE)
        yield from (Stroke(hole, Pen.THIN, closed=True) for hole in holes)
    for strand in design.strands:
        if strand.depth < THINNEST * scale:
            yield Stroke(look.all(_centre(strand)), Pen.OUTLINE)
        else:
            metal = strand.kind is not StrandKind.BAR
            yield Area(look.all(strand.sight), Fill.GREY if metal else Fill.WOOD, pen=Pen.OUTLINE)
    for low, high in spacer_lines(design):
        yield Stroke(look.all((low, high)), Pen.CUT)


def _centre(strand: Strand) -> tuple[Point2, Point2]:
    """The centre line of what is seen of a strand."""
    (a, b, c, d) = strand.sight
    return ((a[0] + d[0]) / 2, (a[1] + d[1]) / 2), ((b[0] + c[0]) / 2, (b[1] + c[1]) / 2)


def spacer_lines(design: Design) -> Iterator[tuple[Point2, Point2]]:
    """Where spacers hold the cables between the posts, plumb from the lowest edge of the bay to the handrail."""
    if not design.strands:
        return
    base_start, base_finish, _, _ = design.bay.sight
    slope = (base_finish[1] - base_start[1]) / (base_finish[0] - base_start[0])
    for u in spacer_places(design):
        yield (u, base_start[1] + slope * (u - base_start[0])), (u, design.handrail.bottom.at(u))


def infill_notes(design: Design, look: Looker, show: Show, scale: float, floor: float) -> Iterator[Mark]:
    """Marks of strands and panels, and their figures under the stair, below the height ``floor``."""
    yield from _strand_notes(design, look, show, scale, floor)
    yield from _panel_notes(design, look, show, scale, floor)


def _strand_notes(design: Design, look: Looker, show: Show, scale: float, floor: float) -> Iterator[Mark]:
    if not design.strands:
        return
    for strand in design.strands:
        start, finish = _centre(strand)
        at = (start[0] + _MARKED * (finish[0] - start[0]), start[1] + _MARKED * (finish[1] - start[1]))
        up = strand.line.normal
        off = 0.0 if strand.depth > 1.4 * LETTERS * scale else strand.depth / 2 + 0.7 * LETTERS * scale
        place = look.at((at[0] + off * up[0], at[1] + off * up[1]))
        angle = look.sign * math.degrees(strand.line.angle)
        yield Label(place, strand.mark, LETTERS, Anchor.MIDDLE, angle)
    strand = design.strands[len(design.strands) // 2]
    start, finish = _centre(strand)
    at = (start[0] + _TOLD * (finish[0] - start[0]), start[1] + _TOLD * (finish[1] - start[1]))
    up, gap = strand.line.normal, (strand.depth + strand.gap_below) / 2
    tip = (at[0] - gap * up[0], at[1] - gap * up[1])
    elbow = (tip[0] + 8.0 * scale, floor - 8.0 * scale)
    yield Leader(look.at(tip), look.at(elbow), strand_words(design, show), dot=True)


_MARKED, _TOLD = 0.06, 0.55
"""Shares of a strand's length from its foot at which its mark stands, and at which the gaps are told."""


def strand_words(design: Design, show: Show) -> str:
    """How strands are spread, square to them and plumb on the posts, and how they are held."""
    strands, first, last = design.strands, design.strands[0], design.strands[-1]
    cosine = first.line.direction[0]
    name = first.kind.value + ("s" if len(strands) > 1 else "")
    lines = [f"{len(strands)} {name}, lowest {first.mark}"]
    if len(strands) > 1:
        gaps = [strand.gap_below for strand in strands[1:]]
        pitch = [b.line.z0 - a.line.z0 for a, b in pairwise(strands)]
        lines[0] += f": clear {_range(gaps, show)} square to them, centres {_range(pitch, show)} plumb"
    ends = f"under the lowest clear {show(first.gap_below)} square, {show(first.gap_below / cosine)} plumb"
    lines.append(f"{ends}; over the highest {show(last.gap_above)} square")
    spacers = len(spacer_places(design))
    if spacers:
        lines.append(f"{spacers} spacer{'s' if spacers > 1 else ''}, at equal distances along them")
    if first.pull:
        lines.append(
            f"pulled with {first.pull:.0f} N each, {first.pull * len(strands):.0f} N in all on each end"
        )
    return "\n".join(lines)


def _range(values: Sequence[float], show: Show) -> str:
    low, high = show(min(values)), show(max(values))
    return low if low == high else f"{low} to {high}"


def _panel_notes(design: Design, look: Looker, show: Show, scale: float, floor: float) -> Iterator[Mark]:
    """The marks of panels, and level running marks of their plumb edges half way up, from the face at the foot."""
    for panel in design.panels:
        centre = panel_middle(panel)
        if panel.holes:
            elbow = (centre[0] + 6.0 * scale, floor - 4.0 * scale)
            yield Leader(look.at(_on_edge(panel, centre[0])), look.at(elbow), panel.mark, dot=True)
        else:
            yield Label(look.at(centre), panel.mark, LETTERS, Anchor.MIDDLE)
    if not design.panels:
        return
    base_start, base_finish, rail_finish, rail_start = design.bay.sight
    start, finish = (base_start[0] + rail_start[0]) / 2, (base_finish[0] + rail_finish[0]) / 2
    edges = [(edge, panel.mark) for panel in design.panels for edge in panel_edges(panel)]
    us = [edge for edge, _ in edges] + [finish]
    texts = [f"{mark} {show(edge - start)}" for edge, mark in edges] + [show(finish - start)]
    yield RunningMarks(
        look.at((start, floor)),
        look.all((u, floor) for u in us),
        direction_deg=0.0 if look.sign > 0 else 180.0,
        offset=-look.sign * 7.0,
        texts=tuple(texts),
    )


def panel_middle(panel: Panel) -> Point2:
    """The middle of what is seen of a panel."""
    us, zs = zip(*panel.sight, strict=True)
    return (sum(us) / len(us), sum(zs) / len(zs))


def panel_edges(panel: Panel) -> tuple[float, float]:
    """Where the two standing edges of a panel pass half way up, u in mm."""
    us = sorted(u for u, _ in panel.sight)
    half = len(us) // 2
    return sum(us[:half]) / half, sum(us[-half:]) / half


def _on_edge(panel: Panel, u: float) -> Point2:
    """A place on a panel's lower edge."""
    below = min(
        (
            a[1] + (b[1] - a[1]) * (u - a[0]) / (b[0] - a[0])
            for a, b in zip(panel.sight, (*panel.sight[1:], panel.sight[0]), strict=True)
            if min(a[0], b[0]) < u < max(a[0], b[0])
        ),
        default=panel_middle(panel)[1],
    )
    return (u, below)
