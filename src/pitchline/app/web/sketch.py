"""The drawing of the stair page: the user's own stair, with every reading where it is taken.

It is written as SVG of the page itself, in the page's colours, so that a reading lights up while it is typed.
Model mm; x to the right, y down.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from markupsafe import Markup, escape

from pitchline.app.web.guess import Guess
from pitchline.app.web.sketch_readings import LETTERS, Measure, Point, Taken, measures

__all__ = ["Sketch", "Taken", "settled_guess"]

EDGE = 70.0
"""mm of the model kept free round everything drawn."""


@dataclass(frozen=True, slots=True)
class Sketch:
    """A leg drawn: ``sign`` is +1 where it climbs to the right."""

    guess: Guess
    sign: float
    overhang: float = 20.0
    posts: tuple[tuple[str, Point, float, float], ...] = ()

    def at(self, point: Point) -> Point:
        """A model point on the drawing."""
        return (self.sign * point[0], -point[1])

    def svg(self, taken: Sequence[Taken], label: str, *, settled: bool) -> Markup:
        """The drawing as an SVG element; ``settled`` says that the points are adjusted, not guessed."""
        drawn = measures(self.guess, taken)
        inner = [*self._stair(settled), *self._things(), *map(self._measure, drawn), *self._names()]
        left, top, width, height = self._box(drawn)
        box = f"{left:.0f} {top:.0f} {width:.0f} {height:.0f}"
        return Markup('<svg class="sketch" viewBox="{}" role="img" aria-label="{}">{}</svg>').format(
            box, label, Markup("".join(inner))
        )

    def _box(self, drawn: Sequence[Measure]) -> tuple[float, float, float, float]:
        points = [*self._ground(), *self.guess.points.values()]
        points += [point for measure in drawn for line in measure.lines for point in line]
        points += [corner for measure in drawn for corner in measure.text_box]
        points += [(u - 120.0, z + LETTERS) for u, z in self.guess.nosings]
        placed = [self.at(point) for point in points]
        left, right = min(x for x, _ in placed) - EDGE, max(x for x, _ in placed) + EDGE
        top, foot = min(y for _, y in placed) - EDGE, max(y for _, y in placed) + EDGE
        return left, top, right - left, foot - top

    def _ground(self) -> list[Point]:
        """The profile of the treads, or the edge of the floor."""
        nosings = self.guess.nosings
        if self.guess.level:
            (first, low), (last, high) = nosings[0], nosings[-1]
            return [(first - 300.0, low), *nosings, (last + 300.0, high)]
        return list(_profile(nosings, self.overhang))

    def _stair(self, settled: bool) -> Iterator[str]:
        profile = self._ground()
        (first, low), (last, high) = profile[0], profile[-1]
        if self.guess.level:
            solid = [*profile, (last, high - 120.0), (first, low - 120.0)]
        else:
            foot = self.guess.nosings[0][0]
            solid = [*profile, (last, high - 150.0), (foot + 350.0, -40.0), (first, -40.0)]
        state = "" if settled else " unsure"
        yield f'<path class="solid{state}" d="{self._path(solid)}Z"/>'
        yield f'<path class="profile{state}" d="{self._path(profile)}"/>'

    def _things(self) -> Iterator[str]:
        for name, (u, z), wide, tall in self.posts:
            corners = [(u, z - 260.0), (u, z + tall), (u + wide, z + tall), (u + wide, z - 260.0)]
            yield f'<path class="post" d="{self._path(corners)}Z"><title>{escape(name)}</title></path>'

    def _names(self) -> Iterator[str]:
        for number, (u, z) in enumerate(self.guess.nosings, start=1):
            place = (u, z - 1.1 * LETTERS) if self.guess.level else (u - 42.0, z + 12.0)
            anchor = "middle" if self.guess.level else "end"
            yield self._text(place, f"N{number}", "name", anchor)
        for name, point in self.guess.points.items():
            if name == "floor" or (name[:1] == "N" and name[1:].isdecimal()):
                continue
            x, y = self.at(point)
            yield f'<circle class="point" cx="{x:.1f}" cy="{y:.1f}" r="14"/>'
            yield self._text((point[0] - 26.0, point[1] + 10.0), name, "name", "end")

    def _measure(self, measure: Measure) -> str:
        reading = measure.reading
        path = "".join(map(self._path, measure.lines))
        state = f"{reading.kind}{' unread' if reading.unread else ''}{' doubt' if reading.doubt else ''}"
        words = "?" if reading.unread else reading.text
        turn = -measure.turn_deg * self.sign
        return (
            f'<g class="taken {state}" data-key="s-{escape(reading.where)}" data-shape="{escape(reading.where)}">'
            f'<path class="hit" d="{path}"/><path class="line" d="{path}"/>'
            f"{self._text(measure.text, words, 'figure', measure.anchor, turn)}</g>"
        )

    def _path(self, points: Sequence[Point]) -> str:
        placed = (self.at(point) for point in points)
        return "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in placed)

    def _text(self, point: Point, words: str, kind: str, anchor: str, turn: float = 0.0) -> str:
        """Words at a model point; ``anchor`` is as for a stair that climbs to the right."""
        x, y = self.at(point)
        if self.sign < 0:
            anchor = {"start": "end", "end": "start"}.get(anchor, anchor)
        place = f"translate({x:.1f} {y:.1f})" + (f" rotate({turn:.2f})" if turn else "")
        return (
            f'<text class="{kind}" transform="{place}" text-anchor="{anchor}" '
            f'font-size="{LETTERS:.0f}">{escape(words)}</text>'
        )


def _profile(nosings: Sequence[Point], back: float) -> Iterator[Point]:
    yield (nosings[0][0] - 330.0, 0.0)
    yield (nosings[0][0] + back, 0.0)
    for here, beyond in pairwise([*nosings, None]):
        if here is None:
            continue
        u, z = here
        thick = min(24.0, max(z, 2.0) / 2)
        yield from ((u + back, z - thick), (u, z - thick), (u, z))
        if beyond is not None:
            yield (beyond[0] + back, z)
    yield (nosings[-1][0] + 330.0, nosings[-1][1])


def settled_guess(before: Guess, nosings: Sequence[Point], others: Mapping[str, Point]) -> Guess:
    """A guess with its points replaced by adjusted ones."""
    points = dict(before.points) | {f"N{k}": point for k, point in enumerate(nosings, start=1)} | dict(others)
    return Guess(tuple(nosings), points, before.lines, before.level)
