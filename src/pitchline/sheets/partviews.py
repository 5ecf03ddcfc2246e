"""Each part drawn with its angles: the wide face and the edge, true sizes written, long pieces broken in the middle.

Pieces that differ only in length share one drawing; their lengths stand in the cut list.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from pitchline.kit.drawing.marks import (
    Anchor,
    AngleMark,
    Area,
    Dimension,
    Drawing,
    Fill,
    Label,
    Mark,
    Pen,
    Points,
    Stroke,
)
from pitchline.kit.drawing.scales import fit_scale
from pitchline.kit.geometry.bevels import SawReading, saw_reading
from pitchline.kit.geometry.lines import Point2
from pitchline.kit.geometry.outlines import clip_half_plane
from pitchline.kit.geometry.views import Look, view
from pitchline.kit.tolerances import ENDS_ALIKE_DEG, SAME_PART_DEG
from pitchline.parts.explode import Group
from pitchline.parts.part import Face, Groove, Hole, Notch, Part, RoundBar, Turning
from pitchline.sheets.looking import Show

LEAST_CARD_DEG = 1.5
"""Smaller angles are set by measuring their slope: no sliding bevel shows them."""


@dataclass(frozen=True, slots=True)
class Family:
    """Groups of pieces that differ in length only."""

    groups: tuple[Group, ...]

    @property
    def part(self) -> Part:
        """The one that is drawn."""
        return self.groups[0].part

    @property
    def quantity(self) -> int:
        """Pieces in all."""
        return sum(group.quantity for group in self.groups)

    @property
    def marks(self) -> str:
        """First and last mark."""
        first, last = self.groups[0].mark, self.groups[-1].mark
        return first if first == last else f"{first} to {last}"

    @property
    def name(self) -> str:
        """First and last mark, and what it is."""
        return f"{self.marks}  {self.part.role.value}"

    def lengths(self, show: Show) -> str:
        """The long-point length, or from which to which."""
        found = sorted(group.part.length for group in self.groups)
        low, high = show(found[0]), show(found[-1])
        return low if low == high else f"{low} to {high}, see the list"


def families(groups: Iterable[Group]) -> tuple[Family, ...]:
    """Groups gathered by what they are and how their ends are cut."""
    found: list[list[Group]] = []
    for group in groups:
        for known in found:
            if _same_but_length(known[0].part, group.part):
                known.append(group)
                break
        else:
            found.append([group])
    return tuple(Family(tuple(known)) for known in found)


def _same_but_length(a: Part, b: Part) -> bool:
    if (a.role, a.material, len(a.start_cuts), len(a.finish_cuts)) != (
        b.role,
        b.material,
        len(b.start_cuts),
        len(b.finish_cuts),
    ):
        return False
    pairs = zip((*a.start_cuts, *a.finish_cuts), (*b.start_cuts, *b.finish_cuts), strict=True)
    return all(_near(saw_reading(x.normal), saw_reading(y.normal)) for x, y in pairs)


def _near(a: SawReading, b: SawReading) -> bool:
    return max(abs(a.mitre_deg - b.mitre_deg), abs(a.bevel_deg - b.bevel_deg)) <= SAME_PART_DEG


@dataclass(frozen=True, slots=True)
class _Broken:
    """A long piece drawn with its middle left out: what lies between ``a`` and ``b`` is not shown."""

    length: float
    a: float
    b: float
    gap: float

    @property
    def whole(self) -> bool:
        return self.b <= self.a

    @property
    def drawn(self) -> float:
        return self.length if self.whole else self.a + self.gap + (self.length - self.b)

    @property
    def _shift(self) -> float:
        """How far the far half is drawn nearer than it is."""
        return self.a + self.gap - self.b

    def pieces(self, points: Sequence[Point2]) -> Iterator[Points]:
        """A convex outline as drawn: one piece, or two."""
        if self.whole:
            yield tuple(points)
            return
        yield clip_half_plane(points, (self.a, 0.0), (1.0, 0.0))
        far = clip_half_plane(points, (self.b, 0.0), (-1.0, 0.0))
        yield tuple((x + self._shift, y) for x, y in far)

    def strokes(self, start: Point2, end: Point2) -> Iterator[tuple[Point2, Point2]]:
        """A straight stroke as drawn."""
        if self.whole:
            yield start, end
            return
        near = _clip(start, end, -math.inf, self.a)
        if near is not None:
            yield near
        far = _clip(start, end, self.b, math.inf)
        if far is not None:
            (ax, ay), (bx, by) = far
            yield (ax + self._shift, ay), (bx + self._shift, by)


def _clip(start: Point2, end: Point2, low: float, high: float) -> tuple[Point2, Point2] | None:
    """The stretch of a stroke with x from low to high."""
    (ax, ay), (bx, by) = (start, end) if start[0] <= end[0] else (end, start)
    if bx < low or ax > high:
        return None
    span = bx - ax

    def at(x: float) -> Point2:
        return (x, ay + (by - ay) * (x - ax) / span) if span > 0 else (ax, ay)

    first = (ax, ay) if ax >= low else at(low)
    last = (bx, by) if bx <= high else at(high)
    return first, last


NARROW = 62.0
"""Paper mm below which the words of the two ends do not fit side by side."""

LENGTH_ON_PAPER = 118.0
"""Paper mm that a part may be long before its middle is left out."""


def part_drawing(family: Family, show: Show, identity: str, *, inches: bool, first_angle: bool) -> Drawing:
    """One family drawn: wide face and edge, placed as first or third angle asks."""
    part = family.part
    scale = fit_scale(part.width, part.thickness, (20.0, 20.0), inches=inches)
    scale = max(
        scale, fit_scale(min(part.length, 3.2 * part.width), 1.0, (LENGTH_ON_PAPER, 20.0), inches=inches)
    )
    broken = _broken(part, scale)
    narrow = broken.drawn < NARROW * scale
    words = (_end_words(part, "mitre", narrow=narrow), _end_words(part, "bevel", narrow=narrow))
    edge_words = words[0] if first_angle else words[1]
    between = (part.width + part.thickness) / 2 + (_room(edge_words) + 6.0) * scale
    edge_at = -between if first_angle else between
    below = 0.0 if first_angle else _room(words[0])
    marks = (
        *_face(part, Look.FRONT, broken, 0.0),
        *_face(part, Look.HIGH_EDGE, broken, edge_at),
        *_sizes(family, broken, show, edge_at, below),
        *_written(words[0], broken, -part.width / 2, scale),
        *_written(words[1], broken, edge_at - part.thickness / 2, scale),
    )
    title = f"{family.name}, {family.quantity} off"
    return Drawing(identity, title, scale, marks, "first angle" if first_angle else "third angle")


def _broken(part: Part, scale: float) -> _Broken:
    budget = LENGTH_ON_PAPER * scale
    if part.length <= budget:
        return _Broken(part.length, part.length, part.length, 0.0)
    gap = 4.0 * scale
    shown = (budget - gap) / 2
    return _Broken(part.length, shown, part.length - shown, gap)


def _face(part: Part, look: Look, broken: _Broken, lift: float) -> Iterator[Mark]:
    """One view of a part, lifted to its place."""
    seen = view(part.body, look)

    def up(points: Iterable[Point2]) -> Points:
        return tuple((x, y + lift) for x, y in points)

    for piece in broken.pieces(seen.outline):
        yield Area(up(piece), Fill.WOOD)
    for stroke in seen.visible:
        for start, end in broken.strokes(stroke.start, stroke.end):
            yield Stroke(up((start, end)), Pen.OUTLINE)
    hidden = [(stroke.start, stroke.end) for stroke in seen.hidden]
    for start, end in (*hidden, *_feature_strokes(part, look)):
        for a, b in broken.strokes(start, end):
            yield Stroke(up((a, b)), Pen.HIDDEN)
    if not broken.whole:
        half = (part.width if look is Look.FRONT else part.thickness) / 2
        for x in (broken.a, broken.a + broken.gap):
            yield Stroke(up(_zigzag(x, half)), Pen.THIN)


def _zigzag(x: float, half: float) -> Points:
    kick = max(half / 6, 1.0)
    return (
        (x, -half - kick),
        (x, -kick),
        (x + kick, -kick / 3),
        (x - kick, kick / 3),
        (x, kick),
        (x, half + kick),
    )


def _feature_strokes(part: Part, look: Look) -> Iterator[tuple[Point2, Point2]]:
    """Grooves, holes and notches as hidden lines in one view (x along the piece, y up in the view)."""
    up = look.value.y
    for feature in part.features:
        if isinstance(feature, Groove):
            yield from _groove_strokes(part, feature, up)
        elif isinstance(feature, Hole):
            yield from _hole_strokes(feature, up)
        elif isinstance(feature, Notch):
            low, high = sorted(
                corner[1] * up[1] + corner[2] * up[2] for corner in (feature.low, feature.high)
            )
            yield from _box_strokes(feature.low[0], feature.high[0], low, high)
        elif isinstance(feature, Turning):
            for sign in (-0.5, 0.5):
                points = [(x, sign * diameter) for x, diameter in feature.profile]
                yield from pairwise(points)
        elif isinstance(feature, RoundBar):
            yield (0.0, 0.0), (part.length, 0.0)


def _box_strokes(x0: float, x1: float, low: float, high: float) -> Iterator[tuple[Point2, Point2]]:
    corners = ((x0, low), (x1, low), (x1, high), (x0, high))
    yield from zip(corners, (*corners[1:], corners[0]), strict=True)


_NORMALS = {
    Face.PLUS_Y: (0.0, 1.0, 0.0),
    Face.MINUS_Y: (0.0, -1.0, 0.0),
    Face.PLUS_Z: (0.0, 0.0, 1.0),
    Face.MINUS_Z: (0.0, 0.0, -1.0),
}


def _groove_strokes(
    part: Part, groove: Groove, up: tuple[float, float, float]
) -> Iterator[tuple[Point2, Point2]]:
    normal = _NORMALS[groove.face]
    along_up = normal[1] * up[1] + normal[2] * up[2]
    if abs(along_up) > 0.5:
        size = part.width if abs(normal[1]) > 0.5 else part.thickness
        y = along_up * (size / 2 - groove.depth)
        yield (0.0, y), (part.length, y)
        return
    for sign in (-0.5, 0.5):
        y = groove.centre + sign * groove.width
        yield (0.0, y), (part.length, y)


def _hole_strokes(hole: Hole, up: tuple[float, float, float]) -> Iterator[tuple[Point2, Point2]]:
    """The sides and the bottom of a hole whose axis lies in the view."""
    at = (hole.at[0], hole.at[1] * up[1] + hole.at[2] * up[2])
    axis = (hole.axis[0], hole.axis[1] * up[1] + hole.axis[2] * up[2])
    size = math.hypot(*axis)
    if size < 0.5:
        return
    d = (axis[0] / size, axis[1] / size)
    n = (-d[1] * hole.diameter / 2, d[0] * hole.diameter / 2)
    end = (at[0] + d[0] * hole.depth, at[1] + d[1] * hole.depth)
    sides = [((at[0] + s * n[0], at[1] + s * n[1]), (end[0] + s * n[0], end[1] + s * n[1])) for s in (-1, 1)]
    yield from sides
    yield sides[0][1], sides[1][1]


def _sizes(family: Family, broken: _Broken, show: Show, edge_at: float, below: float) -> Iterator[Mark]:
    """Length, width and thickness; the length stands above, or ``below`` the words under the wide face."""
    part = family.part
    half_w, half_t = part.width / 2, part.thickness / 2
    right = broken.drawn
    y, offset = (-half_w, -(below + 7.0)) if below else (half_w, 8.0)
    yield Dimension((0.0, y), (right, y), offset, family.lengths(show), direction_deg=0.0)
    for middle, half, size in ((0.0, half_w, part.width), (edge_at, half_t, part.thickness)):
        yield Dimension((right, middle - half), (right, middle + half), -9.0, show(size), direction_deg=90.0)


@dataclass(frozen=True, slots=True)
class _EndWords:
    """What is written under a view: at the start, at the finish, or once in the middle for both."""

    start: str
    finish: str
    both: str


def _end_words(part: Part, name: str, *, narrow: bool) -> _EndWords:
    """What the saw and the protractor read at the ends: mitres in the wide face, bevels at the edge."""
    ends = []
    for cuts in (part.start_cuts, part.finish_cuts):
        readings = [saw_reading(cut.normal) for cut in cuts]
        ends.append([reading.mitre_deg if name == "mitre" else reading.bevel_deg for reading in readings])
    start, finish = ends
    if len(start) == len(finish) == 1 and abs(abs(start[0]) - abs(finish[0])) <= SAME_PART_DEG:
        plain = abs(start[0]) < ENDS_ALIKE_DEG
        how = "" if plain else (", parallel" if start[0] * finish[0] > 0 else ", mirrored")
        return _EndWords("", "", f"both ends{how}: {angle_words(name, start[0], ' = ')}")
    if narrow:
        named = zip(("start", "far end"), ends, strict=True)
        lines = [f"{at}: {angle_words(name, angle)}" for at, end in named for angle in end]
        return _EndWords("", "", "\n".join(lines))
    words = ["\n".join(angle_words(name, angle, "\n") for angle in end) for end in ends]
    return _EndWords(words[0], words[1], "")


def _room(words: _EndWords) -> float:
    """Paper mm that the words take below a view."""
    lines = max(text.count("\n") + 1 for text in (words.start, words.finish, words.both))
    return 3.0 + 3.2 * lines


def _written(words: _EndWords, broken: _Broken, y: float, scale: float) -> Iterator[Mark]:
    low = y - 3.0 * scale
    if words.both:
        yield Label((broken.drawn / 2, low), words.both, 1.8, Anchor.TOP_CENTRE)
        return
    yield Label((0.0, low), words.start, 1.8, Anchor.TOP_LEFT)
    yield Label((broken.drawn, low), words.finish, 1.8, Anchor.TOP_RIGHT)


def angle_words(name: str, angle_deg: float, between: str = ", ") -> str:
    """An angle from square (the saw's scale) and from the edge (the protractor), with its slope."""
    size = abs(angle_deg)
    if size < ENDS_ALIKE_DEG:
        return f"{name} 0, square"
    slope = math.tan(math.radians(size))
    words = (f"{name} {size:.2f}° from square", f"{90 - size:.2f}° from edge", f"{100 * slope:.1f} in 100")
    return between.join(words)


def bevel_card(angles: Sequence[tuple[float, str]], identity: str) -> Drawing:
    """Full-size angles to set a sliding bevel by: a base line, a square line and the cut, each named."""
    marks: list[Mark] = []
    for index, (angle, name) in enumerate(angles):
        left = (index % 2) * 86.0
        low = -(index // 2) * 80.0
        arm = 62.0
        base = (left, low)
        top = (left + arm * math.sin(math.radians(angle)), low + arm * math.cos(math.radians(angle)))
        words = f"{angle:.2f}° from square (saw scale)\n{90 - angle:.2f}° from the edge (protractor)\n{name}"
        marks += [
            Stroke(((left - 4.0, low), (left + 68.0, low)), Pen.OUTLINE),
            Stroke((base, (left, low + arm)), Pen.CENTRE),
            Stroke((base, top), Pen.CUT),
            AngleMark(base, 90.0 - angle, 90.0, 44.0, f"{angle:.2f}°"),
            AngleMark(base, 0.0, 90.0 - angle, 28.0, f"{90 - angle:.2f}°"),
            Label((left, low - 3.0), words, 2.5, Anchor.TOP_LEFT),
        ]
    return Drawing(identity, "Full-size angles for the sliding bevel", 1.0, tuple(marks), "print at 100 %")


def distinct_angles(groups: Iterable[Group]) -> tuple[tuple[float, str], ...]:
    """The different end angles of all parts with the marks they are for, largest first."""
    found: list[tuple[float, list[str]]] = []
    for group in groups:
        for cut in (*group.part.start_cuts, *group.part.finish_cuts):
            reading = saw_reading(cut.normal)
            for angle in (abs(reading.mitre_deg), abs(reading.bevel_deg)):
                if angle < LEAST_CARD_DEG:
                    continue
                for known, marks in found:
                    if abs(known - angle) <= ENDS_ALIKE_DEG:
                        if group.mark not in marks:
                            marks.append(group.mark)
                        break
                else:
                    found.append((angle, [group.mark]))
    found.sort(key=lambda pair: -pair[0])
    return tuple((angle, _few(marks)) for angle, marks in found)


def _few(marks: Sequence[str]) -> str:
    return (
        ", ".join(marks)
        if len(marks) <= 6
        else f"{', '.join(marks[:3])} ... {marks[-1]} ({len(marks)} marks)"
    )
