"""What is written beside the drawing of a leg as built: how far each thing is off its plan."""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from pitchline.kit.drawing.marks import Anchor, Label, Leader, Mark, Pen
from pitchline.kit.geometry.lines import Point2
from pitchline.kit.geometry.outlines import centroid
from pitchline.making.fitting_differences import Difference
from pitchline.sheets.looking import Looker, Show

Points = tuple[Point2, ...]

OUT, UP, DOWN = 8.0, 12.0, 16.0
"""Paper mm from what is spoken of to the words: beside a post, above the handrail, below the base rail."""


WORTH_SAYING = 0.5
"""mm from which the place of a fitted upright is written beside it: less is not seen on a tape."""


@dataclass(frozen=True, slots=True)
class Shown:
    """The outlines as they are drawn, by the marks of posts, rails and fitted uprights."""

    posts: Mapping[str, Points]
    bars: Mapping[str, Points]
    fitted: Mapping[str, Points]
    handrail: str


def callouts(
    told: Sequence[Difference], shown: Shown, look: Looker, show: Show, scale: float
) -> Iterator[Mark]:
    """Every difference of a leg beside what it speaks of."""
    said = {
        name: [_words(one, show) for one in run]
        for name, run in groupby(sorted(told, key=lambda one: one.where), key=lambda one: one.where)
    }
    yield from _posts(said, shown, look, scale)
    yield from _bars(said, shown, look, scale)
    for name, outline in shown.fitted.items():
        if any(one.where == name and abs(one.difference) >= WORTH_SAYING for one in told):
            yield _at_foot(f"{name} {said[name][0]}", outline, look)


def _posts(said: Mapping[str, list[str]], shown: Shown, look: Looker, scale: float) -> Iterator[Mark]:
    middle = _middle([point for outline in shown.posts.values() for point in outline])
    for name, outline in shown.posts.items():
        if name not in said:
            continue
        head = outline[0][0] > middle
        tip = outline[2] if head else outline[3]
        away = OUT * scale if head else -OUT * scale
        at = (tip[0] + away, tip[1] + OUT * scale / 2)
        text = "\n".join([f"{name} as built", *said[name]])
        yield Leader(look.at(tip), look.at(at), text, pen=Pen.ACCENT_NOTE)


def _middle(points: Sequence[Point2]) -> float:
    return (min(u for u, _ in points) + max(u for u, _ in points)) / 2 if points else math.inf


def _bars(said: Mapping[str, list[str]], shown: Shown, look: Looker, scale: float) -> Iterator[Mark]:
    below = 0
    for name, outline in shown.bars.items():
        if name not in said:
            continue
        text = "\n".join([name, *said[name]])
        low, high = outline[0], outline[1]
        if name == shown.handrail:
            low, high = outline[3], outline[2]
            tip = _between(low, high, 0.35)
            at = (tip[0] - UP * scale, tip[1] + 1.5 * UP * scale)
        else:
            tip = _between(low, high, 0.72 - 0.12 * below)
            at = (tip[0] + DOWN * scale, tip[1] - (1.5 + below) * DOWN * scale)
            below += 1
        yield Leader(look.at(tip), look.at(at), text, pen=Pen.ACCENT_NOTE)


def _between(low: Point2, high: Point2, share: float) -> Point2:
    return (low[0] + share * (high[0] - low[0]), low[1] + share * (high[1] - low[1]))


def _at_foot(text: str, outline: Points, look: Looker) -> Label:
    """Words along an upright, in its lower half."""
    top, foot = max(outline, key=lambda p: p[1]), min(outline, key=lambda p: p[1])
    middle = centroid(outline)
    share = 0.25
    at = _between(foot, top, 0.5 - share)
    lean = math.degrees(math.atan2(top[0] - foot[0], top[1] - foot[1]))
    place = (middle[0] + (at[1] - middle[1]) * math.tan(math.radians(lean)), at[1])
    return Label(look.at(place), text, 1.8, Anchor.MIDDLE, 90.0 - look.sign * lean, Pen.ACCENT_NOTE)


def _words(one: Difference, show: Show) -> str:
    """A difference in a few words."""
    quantity = one.what.partition(", ")[0]
    if one.unit == "deg":
        name = one.what.partition(" from ")[0]
        return f"{name} {one.measured:+.2f}°, planned {one.planned:+.2f}°"
    if quantity.endswith("face"):
        return f"{quantity} {show(abs(one.difference))} {'up' if one.difference > 0 else 'down'} the stair"
    if quantity.startswith("longest"):
        return f"{show(one.measured)} long, {_more(one, show, 'longer', 'shorter')}"
    if quantity.startswith("lower edge"):
        return signed(one.difference, show)
    return f"{quantity} {_more(one, show, 'higher', 'lower')}"


def _more(one: Difference, show: Show, more: str, less: str) -> str:
    return f"{show(abs(one.difference))} {more if one.difference > 0 else less}"


def signed(length: float, show: Show) -> str:
    """A length with its sign."""
    return f"{'+' if length >= 0 else '-'}{show(abs(length))}"
