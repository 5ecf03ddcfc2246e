"""A leg as planned, thin, under the leg as built, thick: what moved is drawn moved many times as far, and so said."""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import chain

from pitchline.design.model import Design, Upright
from pitchline.kit.drawing.marks import Area, Drawing, Fill, Mark, Pen, Stroke
from pitchline.kit.geometry.lines import Point2
from pitchline.kit.geometry.outlines import centroid
from pitchline.making.fitting_differences import Difference, Pair, fitted_uprights
from pitchline.sheets.as_built_notes import Points, Shown, callouts
from pitchline.sheets.elevation import Reach, upright_outline
from pitchline.sheets.looking import Looker, Show, bar_outline, post_outline, steps, view_words

TIMES = (1, 2, 5, 10, 20, 50)
"""How many times as far something may be drawn moved."""

FARTHEST = 6.0
"""Paper mm that what moved most is drawn away from where it was planned."""


@dataclass(frozen=True, slots=True)
class Moved:
    """An outline as planned and as built, corner by corner."""

    planned: Points
    built: Points

    @property
    def most(self) -> float:
        """How far its farthest corner moved, mm."""
        return max(math.dist(a, b) for a, b in zip(self.planned, self.built, strict=True))

    def drawn(self, times: float) -> Points:
        """The outline as built with each corner moved so many times as far from where it was planned."""
        return tuple(
            (a[0] + times * (b[0] - a[0]), a[1] + times * (b[1] - a[1]))
            for a, b in zip(self.planned, self.built, strict=True)
        )


def moved_posts(pair: Pair) -> dict[str, Moved]:
    """The posts of both plans by their ids."""
    before = {post.id: post for post in pair[0].posts}
    return {
        post.id: Moved(post_outline(before[post.id]), post_outline(post))
        for post in pair[1].posts
        if post.id in before
    }


def moved_bars(pair: Pair) -> dict[str, Moved]:
    """The rails of both plans by their ids."""
    before = {bar.id: bar for bar in pair[0].bars}
    return {
        bar.id: Moved(bar_outline(before[bar.id]), bar_outline(bar))
        for bar in pair[1].bars
        if bar.id in before
    }


def exaggeration(pair: Pair, scale: float) -> int:
    """How many times what moved can be drawn moved at 1:``scale``."""
    fitted = _fitted(pair)
    moves = [
        one.most for one in chain(moved_posts(pair).values(), moved_bars(pair).values(), fitted.values())
    ]
    most = max(moves, default=0.0)
    room = [times for times in TIMES if times * most <= FARTHEST * scale]
    return max(room, default=1)


def _fitted(pair: Pair) -> dict[str, Moved]:
    """Uprights that stand, by their marks in the new plan."""
    before = {upright.mark: upright for upright in pair[0].uprights}
    found = fitted_uprights(pair)
    return {new.mark: _moved_upright(before[old], new) for old, new in found.items()}


def _moved_upright(before: Upright, after: Upright) -> Moved:
    """An upright as it moved: corner by corner, or shifted as a whole where its ends have other shapes."""
    was, now = before.sight, after.sight
    if len(was) == len(now):
        return Moved(was, now)
    (u, z), (u_now, z_now) = centroid(was), centroid(now)
    return Moved(tuple((a - u_now + u, b - z_now + z) for a, b in now), now)


def as_built_drawing(pair: Pair, told: Sequence[Difference], show: Show, scale: float) -> Drawing:
    """One leg as planned and as built at 1:``scale``; ``told`` are the differences that are called out."""
    planned, built = pair
    look = Looker(built.side)
    times = exaggeration(pair, scale)
    reach = Reach.of(built, scale)
    first, last = built.flight.nosings[0], built.flight.nosings[-1]
    profile = steps(built.flight, first[0] - reach.floor_low, reach.floor_high - last[0])
    marks: list[Mark] = [Stroke(look.all(profile), Pen.THIN)]
    marks += _built(pair, look, times)
    marks += _planned(planned, look)
    marks += callouts(told, _shown(pair, times), look, show, scale)
    words = "drawn true" if times == 1 else f"what moved is drawn moved {times} times as far"
    title = f"Planned (thin) and as built (thick); {words}"
    return Drawing(f"{built.id}-as-built", title, scale, tuple(marks), view_words(built))


def _shown(pair: Pair, times: int) -> Shown:
    """The outlines that are called out, as they are drawn."""
    names = {new.mark: old for old, new in fitted_uprights(pair).items()}
    fixed = {names[mark]: one for mark, one in _fitted(pair).items()}
    kinds = (moved_posts(pair), moved_bars(pair), fixed)
    posts, bars, fitted = ({name: one.drawn(times) for name, one in kind.items()} for kind in kinds)
    return Shown(posts, bars, fitted, pair[1].handrail.id)


def _built(pair: Pair, look: Looker, times: int) -> Iterator[Mark]:
    """The leg as built: uprights, rails and posts, what was measured in the colour of attention."""
    posts = {post.id: post for post in pair[1].posts}
    fixed = _fitted(pair)
    for mark, moved in _uprights(pair).items():
        pen = Pen.ACCENT if mark in fixed else Pen.OUTLINE
        yield Area(look.all(moved.drawn(times)), Fill.WOOD, pen=pen)
    for name, moved in moved_bars(pair).items():
        held = pair[1].flight.fitted_rail(pair[1].brief.balustrade, name) is not None
        yield Area(look.all(moved.drawn(times)), Fill.WOOD, pen=Pen.ACCENT if held else Pen.CUT)
    for name, moved in moved_posts(pair).items():
        pen = Pen.ACCENT if posts[name].measured else Pen.CUT
        yield Area(look.all(moved.drawn(times)), Fill.WOOD, pen=pen)


def _uprights(pair: Pair) -> Mapping[str, Moved]:
    """The uprights of the new plan: each as it moved; where there are more or fewer, as the ends of the bay do."""
    planned, built = pair
    fixed = _fitted(pair)
    before = {upright.mark: upright for upright in planned.uprights}
    alike = set(before) == {upright.mark for upright in built.uprights}
    bars = moved_bars(pair)
    bar = bars[(built.base or built.handrail).id]
    found: dict[str, Moved] = {}
    for upright in built.uprights:
        if upright.mark in fixed:
            found[upright.mark] = fixed[upright.mark]
        elif alike:
            found[upright.mark] = _moved_upright(before[upright.mark], upright)
        else:
            by = _carried(bar, upright.u)
            sight = upright_outline(upright)
            found[upright.mark] = Moved(tuple((u - by[0], z - by[1]) for u, z in sight), sight)
    return found


def _carried(bar: Moved, u: float) -> Point2:
    """How far a place along a rail is carried by what its two ends moved."""
    (a, a_now), (b, b_now) = (bar.planned[0], bar.built[0]), (bar.planned[1], bar.built[1])
    share = (u - a_now[0]) / (b_now[0] - a_now[0])
    ends = [(now[0] - was[0], now[1] - was[1]) for was, now in ((a, a_now), (b, b_now))]
    return (
        ends[0][0] + share * (ends[1][0] - ends[0][0]),
        ends[0][1] + share * (ends[1][1] - ends[0][1]),
    )


def _planned(planned: Design, look: Looker) -> Iterator[Mark]:
    outlines = [
        *(upright_outline(upright) for upright in planned.uprights),
        *(bar_outline(bar) for bar in planned.bars),
        *(post_outline(post) for post in planned.posts),
    ]
    for outline in outlines:
        yield Stroke(look.all(outline), Pen.THIN, closed=True)
