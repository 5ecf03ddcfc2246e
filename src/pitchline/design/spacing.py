"""Spreading uprights over a run: pure one-dimensional arithmetic, all lengths in mm, square to the uprights.

With n uprights of width w, gaps g between them and ``ends`` gaps' worth at the ends, the run is
L = n w + (n - 1 + ends) g. Equal gaps count 1 a closed end; half gaps at the ends, and an end where another leg
goes on, count 1/2; a free end, where the last upright stands flush, counts 0. The limit is tested at the
narrowest place of the upright (the neck of a turned one), where the opening is wider than the gap by the
difference in width.
"""

import math
from dataclasses import dataclass, replace

from pitchline.design.brief import Centred, SpacingBrief, Spread

_WHOLE = 1e-9
"""A count within this of a whole number is that number: rounding in the division, not a longer run."""


@dataclass(frozen=True, slots=True)
class Run:
    """What is to be filled: clear length, the uprights' full and narrowest width, and which ends are closed.

    At a joined end another leg goes on; ``lead`` is the place of the first upright where a module runs on from
    the leg before.
    """

    length: float
    width: float
    narrowest: float
    closed_start: bool = True
    closed_finish: bool = True
    joined_start: bool = False
    joined_finish: bool = False
    lead: float | None = None

    def shares(self, spread: Spread) -> tuple[float, float]:
        """What of a gap belongs to each end: none where it is free, half where it is shared with the next leg."""
        half = spread is Spread.HALF_ENDS
        ends = ((self.closed_start, self.joined_start), (self.closed_finish, self.joined_finish))
        start, finish = ((0.5 if half or joined else 1.0) if closed else 0.0 for closed, joined in ends)
        return start, finish

    @property
    def closed_ends(self) -> int:
        """How many ends have a gap between the last upright and a face."""
        return int(self.closed_start) + int(self.closed_finish)


@dataclass(frozen=True, slots=True)
class Layout:
    """Centres measured from the start of the run, the gap between neighbours, the gaps at the two ends.

    In groups ``gap`` lies between the groups and ``inner_gap`` inside them; where gaps differ from tread to tread
    it is the widest. ``fits`` is False when the uprights asked for are together wider than the run.
    """

    centres: tuple[float, ...]
    gap: float
    start_gap: float
    finish_gap: float
    note: str
    fits: bool = True
    inner_gap: float | None = None

    @property
    def widest(self) -> float:
        """The widest gap between two neighbours."""
        return self.gap if self.inner_gap is None else max(self.gap, self.inner_gap)

    def moved(self, by: float) -> "Layout":
        """The same layout with its centres measured from elsewhere."""
        return replace(self, centres=tuple(centre + by for centre in self.centres))


def widest_gap(run: Run, limit: float, wish: SpacingBrief) -> float:
    """The widest gap at full width that keeps both the limit (at the narrowest place) and the user's wish."""
    allowed = limit if wish.max_gap is None else min(limit, wish.max_gap)
    return allowed - (run.width - run.narrowest)


def least_count(run: Run, gap: float, shares: float) -> int:
    """The smallest number of uprights whose gaps do not pass ``gap``; ``shares`` gaps belong to the two ends.

    One upright alone has no gap but those at the ends, so there the share of an end does not count.
    """
    joined = run.joined_start or run.joined_finish
    if run.closed_ends and not joined and (run.length - run.width) / run.closed_ends <= gap * (1.0 + _WHOLE):
        return 1
    exact = (run.length - (shares - 1.0) * gap) / (run.width + gap)
    return max(1, math.ceil(exact - _WHOLE))


def lay_out(run: Run, limit: float, wish: SpacingBrief) -> Layout:
    """Spread uprights over a run.

    ``limit`` is the opening not to be passed (the rule's limit less the build tolerance). A count asked for is
    kept even where its gaps come out wider: the checks say so. ValueError for a run or width not above zero.
    """
    if run.length <= 0 or run.width <= 0:
        raise ValueError("a run and its uprights need sizes above zero")
    if wish.spread is Spread.MODULE and wish.module is not None:
        return _by_module(run, wish, wish.module)
    if wish.spread is Spread.GROUPS:
        return _by_groups(run, limit, wish)
    return _by_gaps(run, limit, wish)


def group_width(width: float, wish: SpacingBrief) -> tuple[float, float]:
    """What a group takes of the run, and the clear gap inside it: as asked, else an upright's width (common practice,
    no source)."""
    inner = width if wish.inner_gap is None else wish.inner_gap
    return wish.group * width + (wish.group - 1) * inner, inner


def _by_groups(run: Run, limit: float, wish: SpacingBrief) -> Layout:
    """Groups spread with equal gaps, each taken for one broad upright; ``count`` is then that of the groups."""
    broad, inner = group_width(run.width, wish)
    whole = replace(run, width=broad, narrowest=broad - (run.width - run.narrowest))
    spread = _by_gaps(whole, limit, replace(wish, spread=Spread.EQUAL))
    half = (broad - run.width) / 2
    centres = tuple(
        middle - half + k * (run.width + inner) for middle in spread.centres for k in range(wish.group)
    )
    count = len(spread.centres)
    how = "as asked" if wish.count else "the fewest that keep the limit"
    name = _GROUPS.get(wish.group, f"groups of {wish.group}")
    note = f"{count} {name}, {how}, {len(centres)} uprights in all; equal gaps between the groups"
    return replace(spread, centres=centres, note=note, inner_gap=inner)


_GROUPS = {2: "pairs", 3: "triplets"}


def _by_gaps(run: Run, limit: float, wish: SpacingBrief) -> Layout:
    at_start, at_finish = run.shares(wish.spread)
    gap = max(widest_gap(run, limit, wish), run.width * 1e-3)
    count = wish.count or least_count(run, gap, at_start + at_finish)
    gaps = count - 1 + at_start + at_finish
    clear = run.length - count * run.width
    if gaps == 0:
        centre = run.length / 2
        return Layout((centre,), 0.0, clear / 2, clear / 2, "one upright between free ends", clear >= 0)
    each = clear / gaps
    start, finish = at_start * each, at_finish * each
    centres = tuple(start + run.width / 2 + k * (run.width + each) for k in range(count))
    how = "as asked" if wish.count else "the fewest that keep the limit"
    return Layout(centres, each, start, finish, f"{count} uprights, {how}; {wish.spread.value}", clear >= 0)


def _by_module(run: Run, wish: SpacingBrief, module: float) -> Layout:
    if run.lead is not None:
        return _run_on(run, module, run.lead)
    count = wish.count or _module_count(run, wish.centred, module)
    reach = (count - 1) * module + run.width
    left = run.length - reach
    if run.closed_start == run.closed_finish:
        start = finish = left / 2
    elif run.closed_start:
        start, finish = left, 0.0
    else:
        start, finish = 0.0, left
    centres = tuple(start + run.width / 2 + k * module for k in range(count))
    middle = "an upright" if count % 2 else "a gap"
    note = f"{count} uprights at a fixed module with {middle} on the middle; the odd ends take the rest"
    if run.closed_ends == 1:
        note = f"{count} uprights at a fixed module from the free end; the closed end takes the rest"
    return Layout(centres, module - run.width, start, finish, note, left >= 0)


def _run_on(run: Run, module: float, lead: float) -> Layout:
    """A module that goes on from the leg before, its first upright ``lead`` from the start of the run."""
    half = run.width / 2
    count = max(1, math.floor((run.length - half - lead) / module + _WHOLE) + 1)
    centres = tuple(lead + k * module for k in range(count))
    note = f"{count} uprights at the module of the leg before; the far end takes the rest"
    start, finish = lead - half, run.length - centres[-1] - half
    return Layout(centres, module - run.width, start, finish, note, start >= 0 and finish >= 0)


def _module_count(run: Run, centred: Centred, module: float) -> int:
    """The most uprights at a module that fit, odd or even as the middle of the bay asks."""
    most = max(1, math.floor((run.length - run.width) / module + 1 + _WHOLE))
    if run.closed_ends == 1:
        return most
    wanted_odd = centred is Centred.MEMBER
    if bool(most % 2) != wanted_odd:
        most -= 1
    return max(most, 1 if wanted_odd else 2)
