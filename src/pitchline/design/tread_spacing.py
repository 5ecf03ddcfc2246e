"""Spreading uprights tread by tread: the going of each is shared out equally among those that stand on it.

The first of a tread stands with its face flush with the face of the riser below, or each stands in the middle of its
share. Where two goings differ, so do the gaps: going / count less the width of an upright. Lengths in mm, level.
"""

import math
from dataclasses import dataclass
from itertools import pairwise

from pitchline.design.brief import TreadPlace, UprightsBrief
from pitchline.design.spacing import Layout, Run, lay_out, widest_gap
from pitchline.kit.errors import ImpossibleDesignError
from pitchline.kit.tolerances import BRUSH_ROOM, SAME_POINT
from pitchline.stair.model import Flight
from pitchline.stair.treads import treads_of

MOST_PER_TREAD = 6
"""So many uprights on a tread are tried before the program gives up finding a count that keeps the limit."""

NEAR = 1.0 / 3.0
"""An upright nearer to a newel than this share of a gap looks like a mistake and is left out where it may be."""


@dataclass(frozen=True, slots=True)
class Shared:
    """A tread's going shared out: its own ``count`` shares of ``module`` each, counted from its riser's face."""

    riser: float
    module: float
    count: int

    def centres(self, width: float, where: TreadPlace) -> list[float]:
        """The middles of its uprights."""
        first = width / 2 if where is TreadPlace.FLUSH else self.module / 2
        return [self.riser + first + k * self.module for k in range(self.count)]


def per_tread(
    flight: Flight,
    infill: UprightsBrief,
    ends: tuple[float, float],
    run: Run,
    limit: float,
    *,
    on_treads: bool,
) -> Layout:
    """So many uprights on every tread between the places ``ends``; along a level edge, equal gaps.

    ``limit`` is the opening not to be passed; ``on_treads``: there is no base rail, so a foot is moved off a nosing
    that it would stand across. The pattern goes on over the floors at both ends where a gap there would pass the
    limit. ImpossibleDesignError for uprights that lean, or where none stands between the ends.
    """
    wish = infill.spacing
    if flight.is_level:
        return lay_out(run, limit, wish).moved(ends[0])
    if infill.lean not in (0.0, "plumb"):
        raise ImpossibleDesignError("uprights spread tread by tread stand plumb: take the lean away")
    gap = widest_gap(run, limit, wish)
    count = wish.per_tread or _count_that_holds(flight, infill.width, gap)
    kept = _kept(_pattern(flight, infill, count, ends), infill.width, ends, gap)
    if not kept:
        raise ImpossibleDesignError("no upright stands on a tread between the ends: choose another spread")
    kept = _made_up(kept, infill.width, ends, gap)
    if on_treads:
        kept = _on_one_tread(flight, kept, infill.width, ends, gap)
    half = infill.width / 2
    inner = [after - before - infill.width for before, after in pairwise(kept)]
    start, finish = kept[0] - half - ends[0], ends[1] - kept[-1] - half
    how = "as asked" if wish.per_tread else "the fewest that keep the limit"
    note = (
        f"{len(kept)} uprights, {_NUMBERS.get(count, str(count))} to a tread, {how}; {wish.tread_place.value}"
    )
    widest = max(inner, default=max(start, finish))
    return Layout(tuple(kept), widest, start, finish, note, min(inner, default=0.0) >= 0.0)


_NUMBERS = {1: "one", 2: "two", 3: "three", 4: "four"}


def _count_that_holds(flight: Flight, width: float, gap: float) -> int:
    """The fewest to a tread that leave no gap over ``gap``."""
    going = max(flight.goings)
    return min(max(1, math.ceil(going / (width + gap) - 1e-9)), MOST_PER_TREAD)


def shares_of(flight: Flight, count: int) -> list[Shared]:
    """Every tread's going shared out, from the first tread up."""
    treads = [tread for tread in treads_of(flight) if math.isfinite(tread.going)]
    return [Shared(tread.riser, tread.going / count, count) for tread in treads]


@dataclass(frozen=True, slots=True)
class _Pattern:
    """Middles of uprights on every tread and over the floors, and from which to which they stand on treads."""

    centres: tuple[float, ...]
    treads: tuple[float, float]


def _pattern(flight: Flight, infill: UprightsBrief, count: int, ends: tuple[float, float]) -> _Pattern:
    """Middles on every tread, and over the floors at the module of the tread beside them, past both ends."""
    shares = shares_of(flight, count)
    where, width = infill.spacing.tread_place, infill.width
    found = [centre for share in shares for centre in share.centres(width, where)]
    treads = (found[0], found[-1])
    first, last = shares[0].module, shares[-1].module
    while found[0] > ends[0]:
        found.insert(0, found[0] - first)
    while found[-1] < ends[1]:
        found.append(found[-1] + last)
    return _Pattern(tuple(found), treads)


def _kept(pattern: _Pattern, width: float, ends: tuple[float, float], gap: float) -> list[float]:
    """Those that stand whole between the ends, without such as the gap at an end does not need.

    Over a floor one stands only where the gap without it would be too wide; on a tread one is left out that is too
    near to an end, where the gap may be as wide as that leaves it.
    """
    half = width / 2
    kept = [centre for centre in pattern.centres if ends[0] <= centre - half and centre + half <= ends[1]]
    while len(kept) > 1 and kept[1] - half - ends[0] <= gap:
        if pattern.treads[0] <= kept[0] and kept[0] - half - ends[0] >= NEAR * gap:
            break
        del kept[0]
    while len(kept) > 1 and ends[1] - kept[-2] - half <= gap:
        if kept[-1] <= pattern.treads[1] and ends[1] - kept[-1] - half >= NEAR * gap:
            break
        del kept[-1]
    return kept


def _made_up(kept: list[float], width: float, ends: tuple[float, float], gap: float) -> list[float]:
    """An end where the gap is too wide, since what belongs there would clash with it, gets one more in its middle.

    One that no brush gets behind and that cannot be spared is moved there.
    """
    half = width / 2
    head = _mended([ends[1] - centre - half for centre in reversed(kept)], width, gap)
    kept = [ends[1] - out - half for out in reversed(head)]
    foot = _mended([centre - half - ends[0] for centre in kept], width, gap)
    return [ends[0] + out + half for out in foot]


def _mended(out: list[float], width: float, gap: float) -> list[float]:
    """Places of faces counted from an end, the first of them mended."""
    if out and out[0] > gap:
        return [(out[0] - width) / 2, *out]
    if len(out) > 1 and out[0] < BRUSH_ROOM:
        return [(out[1] - width) / 2, *out[1:]]
    return out


def _on_one_tread(
    flight: Flight, middles: list[float], width: float, ends: tuple[float, float], gap: float
) -> list[float]:
    """Middles moved off nosings that their feet would stand across, as far as the gaps beside them allow."""
    half = width / 2
    faces = [ends[0], *(middle + half for middle in middles[:-1])]
    beyond = [*(middle - half for middle in middles[1:]), ends[1]]
    moved = []
    for middle, low, high in zip(middles, faces, beyond, strict=True):
        asked = _off_nosing(flight, middle, half)
        fits = 0.0 <= asked - half - low <= gap and 0.0 <= high - asked - half <= gap
        moved.append(asked if fits else middle)
    return moved


def _off_nosing(flight: Flight, middle: float, half: float) -> float:
    """The nearest middle at which a foot does not stand across a nosing."""
    for tread in treads_of(flight)[1:]:
        before, behind = tread.front - middle + half, middle + half - tread.front
        if before > SAME_POINT and behind > SAME_POINT:
            return middle + before if before <= behind else middle - behind
    return middle
