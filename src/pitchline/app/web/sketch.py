"""The drawing of the stair page: the user's own stair, with every reading where it is taken.

It is written as SVG of the page itself, in the page's colours, so that a reading lights up while it is typed.
Model mm; x to the right, y down.
"""

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from markupsafe import Markup, escape

from pitchline.app.web.guess import Guess

Point = tuple[float, float]
Drawn = tuple[str, Point, float, str]
"""Path, place and turn of the text, and its anchor."""
LETTERS = 68.0
"""mm of the model: height of the letters when a usual flight fills the drawing."""
LANE = 74.0
"""mm between readings laid over each other."""


@dataclass(frozen=True, slots=True)
class Taken:
    """A reading to be drawn: where it stands in the job, its kind and ends, its words, and how it stands."""

    where: str
    kind: str
    start: str
    end: str
    text: str
    unread: bool = False
    doubt: bool = False


@dataclass(frozen=True, slots=True)
class Sketch:
    """A leg drawn: ``sign`` is +1 where it climbs to the right."""

    guess: Guess
    sign: float
    overhang: float = 20.0
    string: tuple[Point, Point] | None = None
    posts: tuple[tuple[str, Point, float, float], ...] = ()
    size: float = LETTERS

    def at(self, point: Point) -> Point:
        """A model point on the drawing."""
        return (self.sign * point[0], -point[1])

    def svg(self, taken: Sequence[Taken], label: str, *, settled: bool) -> Markup:
        """The drawing as an SVG element; ``settled`` says that the points are adjusted, not guessed."""
        inner = [*self._stair(settled), *self._things(), *self._readings(taken), *self._names()]
        left, top, width, height = self._box(taken)
        box = f"{left:.0f} {top:.0f} {width:.0f} {height:.0f}"
        return Markup('<svg class="sketch" viewBox="{}" role="img" aria-label="{}">{}</svg>').format(
            box, label, Markup("".join(inner))
        )

    def _box(self, taken: Sequence[Taken]) -> tuple[float, float, float, float]:
        us = [u for u, _ in self.guess.points.values()]
        zs = [z for _, z in self.guess.points.values()]
        over = _lanes(taken)
        tall = 1.2 * LANE * (over + 1) + 140.0
        level = [line for name, line in self.guess.lines.items() if name in _set_ups(taken, "level")]
        plumb = [line for name, line in self.guess.lines.items() if name in _set_ups(taken, "plumb")]
        low_u, high_u = min([*us, *plumb]) - 420.0, max([*us, *plumb]) + 420.0
        low_z, high_z = min(*zs, 0.0) - 170.0, max([*zs, *level]) + (tall if not level else 130.0)
        xs = sorted((self.sign * low_u, self.sign * high_u))
        return xs[0], -high_z, xs[1] - xs[0], high_z - low_z

    def _stair(self, settled: bool) -> Iterator[str]:
        nosings = self.guess.nosings
        if self.guess.level:
            profile = [
                (nosings[0][0] - 300.0, nosings[0][1]),
                *nosings,
                (nosings[-1][0] + 300.0, nosings[-1][1]),
            ]
            solid = [
                *profile,
                (profile[-1][0], profile[-1][1] - 120.0),
                (profile[0][0], profile[0][1] - 120.0),
            ]
        else:
            profile = list(_profile(nosings, self.overhang))
            solid = [*profile, (profile[-1][0], profile[-1][1] - 150.0), (nosings[0][0] + 350.0, -40.0)]
            solid.append((profile[0][0], -40.0))
        state = "" if settled else " unsure"
        yield f'<path class="solid{state}" d="{self._path(solid)}Z"/>'
        yield f'<path class="profile{state}" d="{self._path(profile)}"/>'

    def _things(self) -> Iterator[str]:
        if self.string is not None:
            yield f'<path class="string" d="{self._path(self.string)}"/>'
        for name, (u, z), wide, tall in self.posts:
            corners = [(u, z - 260.0), (u, z + tall), (u + wide, z + tall), (u + wide, z - 260.0)]
            yield f'<path class="post" d="{self._path(corners)}Z"><title>{escape(name)}</title></path>'

    def _names(self) -> Iterator[str]:
        for number, (u, z) in enumerate(self.guess.nosings, start=1):
            x, y = self.at((u + 24.0, z - 0.62 * self.size))
            yield self._text((x, y), f"N{number}", "name", "start" if self.sign > 0 else "end")
        for name, point in self.guess.points.items():
            if name == "floor" or (name[:1] == "N" and name[1:].isdecimal()):
                continue
            x, y = self.at(point)
            yield f'<circle class="point" cx="{x:.1f}" cy="{y:.1f}" r="14"/>'
            yield self._text(
                (x + 24.0 * self.sign, y - 22.0), name, "name", "start" if self.sign > 0 else "end"
            )

    def _readings(self, taken: Sequence[Taken]) -> Iterator[str]:
        lanes: dict[str, int] = {}
        for reading in taken:
            group = "chord" if reading.kind in ("straight", "pitch") else reading.kind
            lane = lanes.get(group, 0)
            lanes[group] = lane + 1
            drawn = self._reading(reading, lane)
            if drawn is None:
                continue
            path, text, turn, anchor = drawn
            state = " unread" if reading.unread else ""
            state += " doubt" if reading.doubt else ""
            words = "?" if reading.unread else reading.text
            yield (
                f'<g class="taken {reading.kind}{state}" data-key="s-{escape(reading.where)}" '
                f'data-shape="{escape(reading.where)}">'
                f'<path class="hit" d="{path}"/><path class="line" d="{path}"/>'
                f"{self._text(text, words, 'figure', anchor, turn)}</g>"
            )

    def _reading(self, reading: Taken, lane: int) -> Drawn | None:
        """Path, place and turn of the text, and its anchor; None where an end is not known yet."""
        end = self.guess.point(reading.end)
        if reading.kind in ("level", "plumb"):
            return self._from_line(reading, end, lane)
        start = self.guess.point(reading.start)
        if start is None or end is None:
            return None
        beside = min(start[0], end[0]) - 110.0 - LANE * lane
        over = max(start[1], end[1]) + 60.0 + LANE * lane
        ways: dict[str, Callable[[], Drawn]] = {
            "rise": lambda: self._plumb((end[0] - 34.0, start[1]), end[1], "end"),
            "height": lambda: self._plumb((beside, start[1]), end[1], "end"),
            "going": lambda: self._level_run((start[0], start[1] - 62.0), end[0], below=True),
            "run": lambda: self._level_run((start[0], over), end[0], below=False),
            "margin": lambda: self._margin(end),
        }
        return ways.get(reading.kind, lambda: self._chord(start, end, lane))()

    def _plumb(self, foot: Point, top: float, anchor: str) -> Drawn:
        path = self._dimension(foot, (foot[0], top), (22.0, 0.0))
        x, y = self.at((foot[0] - 26.0, (foot[1] + top) / 2 - 0.36 * self.size))
        return path, (x, y), 0.0, anchor if self.sign > 0 else "start"

    def _level_run(self, start: Point, end: float, *, below: bool) -> Drawn:
        path = self._dimension(start, (end, start[1]), (0.0, 22.0))
        drop = -1.05 * self.size if below else 0.3 * self.size
        return path, self.at(((start[0] + end) / 2, start[1] + drop)), 0.0, "middle"

    def _margin(self, nosing: Point) -> Drawn:
        top = (nosing[0], nosing[1] + 70.0)
        path = self._dimension(nosing, top, (16.0, 0.0))
        x, y = self.at((top[0] - 26.0, top[1] - 0.1 * self.size))
        return path, (x, y), 0.0, "end" if self.sign > 0 else "start"

    def _chord(self, start: Point, end: Point, lane: int) -> Drawn:
        """A straight reading or a pitch, lifted square off the nosings."""
        du, dz = end[0] - start[0], end[1] - start[1]
        length = math.hypot(du, dz) or 1.0
        out = 1.5 * LANE + 1.15 * LANE * lane
        nu, nz = -dz / length * out, du / length * out
        a, b = (start[0] + nu, start[1] + nz), (end[0] + nu, end[1] + nz)
        path = f"{self._path((start, a))}{self._path((a, b))}{self._path((b, end))}"
        text = ((a[0] + b[0]) / 2 + nu / out * 20.0, (a[1] + b[1]) / 2 + nz / out * 20.0)
        turn = -math.degrees(math.atan2(dz, self.sign * du))
        turn -= 180.0 * round(turn / 180.0)
        return path, self.at(text), turn, "middle"

    def _from_line(self, reading: Taken, end: Point | None, lane: int) -> Drawn | None:
        line = self.guess.lines.get(reading.start)
        if line is None or end is None:
            return None
        if reading.kind == "level":
            us = [u for u, _ in self.guess.nosings]
            across = self._path(((min(us) - 300.0, line), (max(us) + 300.0, line)))
            u = end[0] + (-190.0 if reading.end == "floor" else 120.0)
            path = f"{across}{self._dimension((u, end[1]), (u, line), (22.0, 0.0))}"
            return path, self.at((u - 24.0 * self.sign, (end[1] + line) / 2)), -90.0, "middle"
        zs = [z for _, z in self.guess.nosings]
        along = self._path(((line, min(0.0, *zs) - 60.0), (line, max(zs) + 260.0)))
        z = end[1] + 44.0
        path = f"{along}{self._dimension((end[0], z), (line, z), (0.0, 22.0))}"
        return path, self.at(((end[0] + line) / 2, z + 18.0 + 0.0 * lane)), 0.0, "middle"

    def _dimension(self, a: Point, b: Point, tick: Point) -> str:
        """A line with a short tick across each end."""
        du, dz = tick
        ticks = (((u - du, z - dz), (u + du, z + dz)) for u, z in (a, b))
        return "".join(self._path(pair) for pair in ((a, b), *ticks))

    def _path(self, points: Sequence[Point]) -> str:
        placed = (self.at(point) for point in points)
        return "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in placed)

    def _text(self, at: Point, words: str, kind: str, anchor: str, turn: float = 0.0) -> str:
        place = f"translate({at[0]:.1f} {at[1]:.1f})" + (f" rotate({turn:.2f})" if turn else "")
        return (
            f'<text class="{kind}" transform="{place}" text-anchor="{anchor}" '
            f'font-size="{self.size:.0f}">{escape(words)}</text>'
        )


def _profile(nosings: Sequence[Point], back: float) -> Iterator[Point]:
    yield (nosings[0][0] - 330.0, 0.0)
    yield (nosings[0][0] + back, 0.0)
    for index, (u, z) in enumerate(nosings):
        thick = min(24.0, max(z, 2.0) / 2)
        yield from ((u + back, z - thick), (u, z - thick), (u, z))
        if index + 1 < len(nosings):
            yield (nosings[index + 1][0] + back, z)
    yield (nosings[-1][0] + 330.0, nosings[-1][1])


def _lanes(taken: Sequence[Taken]) -> int:
    return sum(1 for reading in taken if reading.kind in ("straight", "pitch"))


def _set_ups(taken: Sequence[Taken], kind: str) -> set[str]:
    return {reading.start for reading in taken if reading.kind == kind}


def settled_guess(before: Guess, nosings: Sequence[Point], others: Mapping[str, Point]) -> Guess:
    """A guess with its points replaced by adjusted ones."""
    points = dict(before.points) | {f"N{k}": point for k, point in enumerate(nosings, start=1)} | dict(others)
    return Guess(tuple(nosings), points, before.lines, before.level)
