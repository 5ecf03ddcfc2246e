"""Uprights laid out around those that are fitted already: what is between the fixed ones is spread anew.

All places are s, square to the uprights (see `infill.uprights`). Lengths in mm.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from pitchline.design.as_built import BuiltUprights
from pitchline.design.brief import Spread, UprightsBrief
from pitchline.design.infill.uprights import Axes
from pitchline.design.model import Bar
from pitchline.design.spacing import Layout, Run, lay_out, widest_gap
from pitchline.kit.tolerances import SAME_PART

EVEN = (Spread.EQUAL, Spread.HALF_ENDS)
"""Spreads that share out what room there is; the others keep a pattern."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """A run between two fixed things: what of a gap belongs to its ends, how many uprights were planned in it."""

    start: float
    finish: float
    shares: tuple[float, float]
    planned: int

    @property
    def length(self) -> float:
        """Clear length."""
        return self.finish - self.start

    def gap(self, count: int, width: float) -> float:
        """The gaps between ``count`` uprights spread evenly over it."""
        gaps = count - 1 + sum(self.shares)
        clear = self.length - count * width
        return clear / gaps if gaps > 0 else clear

    def spread(self, width: float, widest: float) -> tuple[float, ...]:
        """The middles of its uprights: as many as planned, more where a gap would be wider than ``widest``, fewer
        where they find no room."""
        count = self.planned
        while 0 < count < MOST and self.gap(count, width) > widest * (1.0 + _ROUNDING):
            count += 1
        while count > 0 and self.gap(count, width) < 0.0:
            count -= 1
        each = self.gap(count, width) if count else 0.0
        first = self.start + self.shares[0] * each + width / 2
        if count - 1 + sum(self.shares) <= 0.0:
            first = (self.start + self.finish) / 2
        return tuple(first + k * (width + each) for k in range(count))


_ROUNDING = 1e-9

MOST = 400
"""More uprights than any leg has: where a limit cannot be kept by more of them, the search ends here."""


def foot_edge(upright_s: float, lean: float, width: float, bar: Bar) -> float:
    """Where the foot-side edge of an upright crosses a bar's face, along the rake from the datum of its marks."""
    axes = Axes.of(lean)
    face = bar.face
    crossing = face.meet(axes.at(upright_s - width / 2, 0.0), axes.up)
    return (crossing[0] - datum(bar)) / face.direction[0]


def place_of_edge(edge: float, lean: float, width: float, bar: Bar) -> float:
    """The place s of an upright whose foot-side edge lies so far along the rake from the datum (`foot_edge`)."""
    face = bar.face
    u = datum(bar) + edge * face.direction[0]
    return Axes.of(lean).s((u, face.at(u))) + width / 2


def datum(bar: Bar) -> float:
    """Place u of the datum of a bar's running marks: its lower end, on the middle of its face."""
    face, plane = bar.face, bar.start
    return plane.meet_line((0.0, bar.y, face.z0), (1.0, 0.0, face.slope))[0]


@dataclass(frozen=True, slots=True)
class Fixed:
    """What uprights are laid out around: those that are at hand and the rail on which their marks were set out."""

    built: BuiltUprights
    bar: Bar
    wish: UprightsBrief
    lean: float

    def places(self) -> tuple[tuple[int, float], ...]:
        """Number and place s of each fitted upright, in the order of their places."""
        width = self.wish.width
        found = [
            (one.number, place_of_edge(one.edge, self.lean, width, self.bar)) for one in self.built.fitted
        ]
        return tuple(sorted(found, key=lambda one: one[1]))


def around_fitted(layout: Layout, fixed: Fixed | None, run: Run, start: float, limit: float) -> Layout:
    """A layout with the fitted uprights where they stand; ``start`` is where the run begins, ``limit`` the opening.

    With equal gaps each stretch between fixed things keeps the number of uprights that were planned in it, has more
    where a gap would pass the limit and fewer where they find no room. Other spreads keep their pattern for the rest
    and are spread evenly only where that passes the limit. Uprights that are cut but not fitted keep their number.
    Where a count or module asked for leaves wider gaps, these are the limit: the checks say so.
    """
    if fixed is None:
        return layout
    wish, built = fixed.wish.spacing, fixed.built
    if not built.fitted:
        short = wish.spread in EVEN and built.keep and len(layout.centres) < built.count
        kept = lay_out(run, limit, replace(wish, count=built.count)).moved(start) if short else layout
        return kept if kept.fits else layout
    asked = max(layout.widest, layout.start_gap, layout.finish_gap)
    widest = max(widest_gap(run, limit, wish), asked)
    centres: list[float] = []
    standing = [place for _, place in fixed.places()]
    for number, stretch in enumerate(_stretches(fixed, run, start)):
        pattern = () if wish.spread in EVEN else _pattern(layout, stretch, run.width, widest)
        centres += pattern or stretch.spread(run.width, widest)
        centres += standing[number : number + 1]
    return _layout(centres, len(standing), run, start)


def _stretches(fixed: Fixed, run: Run, start: float) -> Iterator[Stretch]:
    """The stretches between fixed things, from the foot up."""
    at_start, at_finish = run.shares(fixed.wish.spacing.spread)
    half = run.width / 2
    ends = [(0, start - half), *fixed.places(), (fixed.built.count + 1, start + run.length + half)]
    last = len(ends) - 2
    for k, ((one, low), (other, high)) in enumerate(pairwise(ends)):
        shares = (at_start if k == 0 else 1.0, at_finish if k == last else 1.0)
        yield Stretch(low + half, high - half, shares, max(0, other - one - 1))


def _pattern(layout: Layout, stretch: Stretch, width: float, widest: float) -> tuple[float, ...]:
    """What of a pattern falls into a stretch; nothing where a gap would pass the limit."""
    low, high = stretch.start + width / 2 - SAME_PART, stretch.finish - width / 2 + SAME_PART
    inside = [s for s in layout.centres if low <= s <= high]
    inside = inside[: stretch.planned] if len(inside) > stretch.planned else inside
    edges = [stretch.start - width / 2, *inside, stretch.finish + width / 2]
    gaps = [after - before - width for before, after in pairwise(edges)]
    return tuple(inside) if max(gaps) <= widest * (1.0 + _ROUNDING) else ()


def _layout(centres: Sequence[float], standing: int, run: Run, start: float) -> Layout:
    half = run.width / 2
    inner = [after - before - run.width for before, after in pairwise(centres)]
    at_start, at_finish = centres[0] - half - start, start + run.length - centres[-1] - half
    note = (
        f"{len(centres)} uprights, {standing} of them fitted already; the rest spread between what is fixed"
    )
    widest = max(inner, default=max(at_start, at_finish))
    fits = min(inner, default=0.0) >= 0.0
    return Layout(tuple(centres), widest, at_start, at_finish, note, fits)
