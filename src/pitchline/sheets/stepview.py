"""Uprights that stand on treads, enlarged over one tread: from which face they are set out, and their gaps, level."""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from pitchline.design.model import Design, Upright
from pitchline.kit.drawing.marks import Anchor, Area, Drawing, Fill, Label, Mark, Pen, Stroke
from pitchline.kit.tolerances import WISH_MET
from pitchline.sheets.looking import Looker, Show
from pitchline.stair.treads import Tread, treads_of

ABOVE, BEYOND, BELOW, THICK = 90.0, 90.0, 70.0, 25.0
"""mm drawn: of the uprights above the next nosing, of the step beyond the next riser, of the step below the tread; of
the tread's thickness, which is not measured."""


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
    above = treads_of(design.flight)[tread.number + 1]
    levels = (tread.surface.at(tread.front), above.surface.at(above.front))
    shown = [*uprights, *standing_on(design, above)[:1]]
    marks = (
        *_stair(tread, levels, look),
        *_wood(shown, levels[1] + ABOVE, look),
        *_sizes(tread, uprights, shown, levels, look, show),
    )
    title = f"Tread {tread.number}: how the uprights stand"
    return Drawing(f"{design.id}-tread", title, scale, marks, "seen from the open side")


def _stair(tread: Tread, levels: tuple[float, float], look: Looker) -> Iterator[Mark]:
    """The tread and the one above with their risers, cut off plumb and level."""
    level, higher = levels
    bottom, end = level - BELOW, max(tread.next_riser, tread.back) + BEYOND
    profile = [(tread.riser, bottom)]
    for front, riser, z in ((tread.front, tread.riser, level), (tread.back, tread.next_riser, higher)):
        profile += [(riser, z - THICK), (front, z - THICK), (front, z)]
        if z == level:
            profile.append((tread.next_riser, z))
    profile.append((end, higher))
    yield Area(look.all((*profile, (end, bottom))), Fill.GREY)
    yield Stroke(look.all(profile), Pen.OUTLINE)
    name = (tread.riser + tread.going / 2, level - BELOW / 2)
    yield Label(look.at(name), f"tread {tread.number}", 2.5, Anchor.MIDDLE)


def _wood(uprights: Sequence[Upright], top: float, look: Looker) -> Iterator[Mark]:
    for upright in uprights:
        half, low = upright.width / 2, min(z for _, z in upright.sight)
        left, right = upright.u - half, upright.u + half
        yield Area(look.all(((left, low), (right, low), (right, top), (left, top))), Fill.WOOD)
        for side in (left, right):
            yield Stroke(look.all(((side, low), (side, top))), Pen.OUTLINE)
        yield Label(look.at((upright.u, (low + top) / 2)), upright.mark, 2.5, Anchor.MIDDLE, 90.0)


def _sizes(
    tread: Tread,
    uprights: Sequence[Upright],
    shown: Sequence[Upright],
    levels: tuple[float, float],
    look: Looker,
    show: Show,
) -> Iterator[Mark]:
    """Above: the gaps; below: lower faces from the riser's face, and the going."""
    top, low = levels[1] + ABOVE, levels[0] - BELOW
    for first, second in pairwise(shown):
        a, b = first.u + first.width / 2, second.u - second.width / 2
        yield look.level((a, top), (b, top), 6.0, f"gap {show(b - a)}")
    row = 0.0
    for upright in uprights:
        face = upright.u - upright.width / 2
        if abs(face - tread.riser) > WISH_MET:
            row -= 7.0
            yield look.level(
                (tread.riser, low), (face, low), row, f"{upright.mark} {show(face - tread.riser)}"
            )
    words = f"going {show(tread.going)}, riser face to riser face"
    yield look.level((tread.riser, low), (tread.next_riser, low), row - 7.0, words)
