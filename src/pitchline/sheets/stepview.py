"""Uprights that stand on treads, enlarged over one tread: from which face they are set out, and their gaps, level."""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from pitchline.design.model import Design, Upright
from pitchline.kit.drawing.marks import Anchor, Area, Drawing, Fill, Label, Mark, Pen, Stroke
from pitchline.kit.geometry.lines import Point2
from pitchline.sheets.looking import Looker, Show, steps
from pitchline.stair.treads import Tread, treads_of

ABOVE, BESIDE = 110.0, 40.0
"""mm drawn of the uprights above the tread, and of the steps before and beyond it."""


def tread_to_show(design: Design) -> tuple[Tread, tuple[Upright, ...]] | None:
    """A tread near the middle of the flight with the most uprights on it; None where none stands on a tread."""
    if design.base is not None or design.flight.is_level:
        return None
    held = [(tread, standing_on(design, tread)) for tread in treads_of(design.flight)[1:-1]]
    most = max((len(uprights) for _, uprights in held), default=0)
    full = [entry for entry in held if len(entry[1]) == most]
    return full[len(full) // 2] if most else None


def standing_on(design: Design, tread: Tread) -> tuple[Upright, ...]:
    """The uprights whose middle stands on a tread."""
    return tuple(upright for upright in design.uprights if tread.front <= upright.u < tread.back)


def step_drawing(
    design: Design, tread: Tread, uprights: Sequence[Upright], show: Show, scale: float
) -> Drawing:
    """One tread at 1:``scale`` with its uprights and the first of the next."""
    look = Looker(design.side)
    level = tread.surface.at(tread.front)
    shown = [*uprights, *standing_on(design, _next(design, tread))[:1]]
    marks = (
        *_stair(design, tread, level, look),
        *_wood(shown, level, look),
        *_sizes(design, tread, shown, level, look, show),
    )
    title = f"Tread {tread.number}: how the uprights stand"
    return Drawing(f"{design.id}-tread", title, scale, marks, "seen from the open side")


def _next(design: Design, tread: Tread) -> Tread:
    return treads_of(design.flight)[tread.number + 1]


def _stair(design: Design, tread: Tread, level: float, look: Looker) -> Iterator[Mark]:
    """The steps around the tread, cut off square."""
    low, high = tread.front - BESIDE, tread.back + 2.0 * BESIDE
    bottom = level - 70.0
    inside = [
        (min(max(u, low), high), max(z, bottom))
        for u, z in steps(design.flight, 500.0, 500.0)
        if low - 400.0 <= u <= high + 400.0
    ]
    profile = [point for point in _kept(inside, low, high) if point[1] <= level + ABOVE]
    yield Area(look.all((*profile, (profile[-1][0], bottom), (profile[0][0], bottom))), Fill.GREY)
    yield Stroke(look.all(profile), Pen.OUTLINE)
    name = (tread.front + (tread.back - tread.front) / 2, level - 35.0)
    yield Label(look.at(name), f"tread {tread.number}", 2.5, Anchor.MIDDLE)


def _kept(points: Sequence[Point2], low: float, high: float) -> list[Point2]:
    """The points between two places, each kept once, with those at the edges."""
    kept: list[Point2] = []
    for point in points:
        outside = point[0] in (low, high) and kept and kept[-1][0] == point[0]
        if outside and point[0] == low:
            kept[-1] = point
        elif not outside:
            kept.append(point)
    return kept


def _wood(uprights: Sequence[Upright], level: float, look: Looker) -> Iterator[Mark]:
    for upright in uprights:
        half = upright.width / 2
        low = min(z for _, z in upright.sight)
        top = max(level, low) + ABOVE
        box = (
            (upright.u - half, low),
            (upright.u + half, low),
            (upright.u + half, top),
            (upright.u - half, top),
        )
        yield Area(look.all(box), Fill.WOOD, pen=Pen.OUTLINE)
        yield Label(look.at((upright.u, (low + top) / 2)), upright.mark, 2.5, Anchor.MIDDLE, 90.0)


def _sizes(
    design: Design, tread: Tread, uprights: Sequence[Upright], level: float, look: Looker, show: Show
) -> Iterator[Mark]:
    """Above: the gaps; below: faces from the riser's face, and the going."""
    above = level + ABOVE
    for first, second in pairwise(uprights):
        a, b = first.u + first.width / 2, second.u - second.width / 2
        yield look.level((a, above), (b, above), 8.0, f"gap {show(b - a)}")
    low = level - 70.0
    for number, upright in enumerate(uprights):
        face = upright.u - upright.width / 2
        if face - tread.riser > 0.5:
            yield look.level((tread.riser, low), (face, low), -7.0 * (number + 1), show(face - tread.riser))
    row = -7.0 * (len(uprights) + 1)
    words = f"{show(tread.going)} from riser face to riser face"
    yield look.level((tread.riser, low), (tread.next_riser, low), row, words)
