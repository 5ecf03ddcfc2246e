"""Pictures of the strength of an edge: its model with supports, loads and deflected shape; a mode; a split as a bar.

The frame is seen from the eye that shows the balustrade in space. Movements are drawn many times as large; a mode of
a frame that does not stand has a shape and no size.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from pitchline.kit.drawing.marks import (
    Anchor,
    Area,
    Disc,
    Drawing,
    Fill,
    Label,
    Leader,
    Mark,
    Pen,
    Point,
    Stroke,
)
from pitchline.kit.force_words import ForceWords
from pitchline.kit.frame.loads import Case
from pitchline.kit.frame.model import Frame
from pitchline.kit.geometry.frames import Vec3, add, cross, dot, magnitude, scale, subtract, unit
from pitchline.sheets.looking import Show
from pitchline.story_strength import EdgeStrength
from pitchline.strength.report import Movement, StrengthReport, Unstable

DRAWN_MOVED = 0.12
"""Share of the frame's size that its largest movement is drawn as, at most."""

TIMES = (1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0)
"""How many times as large movements are drawn."""

ARROW = 11.0
"""Length of a load's arrow, paper mm."""

HEAD = 1.8
"""Length of its head, paper mm."""

MOST_ARROWS = 24
"""So many arrows of a load along the top are drawn; they stand for all of it."""


@dataclass(frozen=True, slots=True)
class Eye:
    """The picture plane seen from a direction: right and up in it."""

    right: Vec3
    up: Vec3

    @staticmethod
    def along(direction: Vec3) -> "Eye":
        """From a direction towards the eye that is not plumb."""
        eye = unit(direction)
        right = unit(cross((0.0, 0.0, 1.0), eye))
        return Eye(right, cross(eye, right))

    def flat(self, at: Vec3) -> Point:
        """A point of the world in the picture."""
        return dot(at, self.right), dot(at, self.up)


@dataclass(frozen=True, slots=True)
class _Picture:
    """A frame in the picture: where its nodes are at rest and where they have moved to."""

    frame: Frame
    eye: Eye
    places: Mapping[str, Vec3]
    moved: Mapping[str, Vec3]

    @staticmethod
    def of(frame: Frame, eye: Eye, shape: Mapping[str, Vec3], times: float) -> "_Picture":
        places = {node.id: node.at for node in frame.nodes}
        none = (0.0, 0.0, 0.0)
        moved = {name: add(at, scale(shape.get(name, none), times)) for name, at in places.items()}
        return _Picture(frame, eye, places, moved)

    def rest(self, node: str) -> Point:
        return self.eye.flat(self.places[node])

    def went(self, node: str) -> Point:
        return self.eye.flat(self.moved[node])


def times_drawn(frame: Frame, most: float) -> float:
    """How many times as large a largest movement of ``most`` mm is drawn, a round number."""
    low = [min(node.at[k] for node in frame.nodes) for k in range(3)]
    high = [max(node.at[k] for node in frame.nodes) for k in range(3)]
    reach = math.dist(low, high)
    fitting = [times for times in TIMES if times * most <= DRAWN_MOVED * reach]
    return max(fitting, default=TIMES[0])


def model_drawing(
    strength: EdgeStrength, report: StrengthReport, direction: Vec3, show: Show, at: float
) -> Drawing:
    """The model at rest, its supports, the load that moves it most and where it then goes, at 1:``at``."""
    model = report.model
    shape = {name: (six[0], six[1], six[2]) for name, six in report.shape}
    times = times_drawn(model.frame, max(map(magnitude, shape.values()), default=1.0))
    picture = _Picture.of(model.frame, Eye.along(direction), shape, times)
    case = next(case for case in report.cases if case.id == report.movement.case)
    forces = ForceWords(strength.words.unit)
    uprights = {member for piece in model.pieces if piece.kind == "upright" for member in piece.members}
    marks = (
        *_at_rest(picture, uprights),
        *_moved(picture, uprights),
        *_grounds(picture, at),
        *_arrows(picture, case.case, at),
        *_bases(picture, report, forces, at),
        *_names(picture, report, at),
        *_worst(picture, report.movement, show, at),
    )
    name = f"{strength.name}-strength-model"
    title = f"The model under {case.title}; movements drawn {times:g} times as large"
    return Drawing(name, title, at, marks, "seen from above, from the open side")


def mode_drawing(strength: EdgeStrength, answer: Unstable, direction: Vec3, at: float) -> Drawing:
    """How a frame that does not stand moves: a shape without a size."""
    frame = answer.frame
    shape: dict[str, Vec3] = {}
    if answer.mechanisms:
        shape = {name: (six[0], six[1], six[2]) for name, six in answer.mechanisms[0].shape}
    low = [min(node.at[k] for node in frame.nodes) for k in range(3)]
    high = [max(node.at[k] for node in frame.nodes) for k in range(3)]
    most = max(map(magnitude, shape.values()), default=0.0) or 1.0
    picture = _Picture.of(frame, Eye.along(direction), shape, DRAWN_MOVED * math.dist(low, high) / most)
    marks: list[Mark] = [*_at_rest(picture, set()), *_moved(picture, set()), *_grounds(picture, at)]
    for mechanism in answer.mechanisms[:1]:
        tip = picture.went(mechanism.node)
        marks.append(Leader(tip, (tip[0] + 6.0 * at, tip[1] + 22.0 * at), f"node {mechanism.node}", dot=True))
    title = "How it moves with nothing to stop it: a shape, no size"
    return Drawing(
        f"{strength.name}-strength-model", title, at, tuple(marks), "seen from above, from the open side"
    )


def _at_rest(picture: _Picture, slight: set[str]) -> Iterator[Mark]:
    for member in picture.frame.members:
        pen = Pen.GHOST if member.id in slight else Pen.THIN
        yield Stroke((picture.rest(member.i), picture.rest(member.j)), pen)


def _moved(picture: _Picture, slight: set[str]) -> Iterator[Mark]:
    for member in picture.frame.members:
        pen = Pen.ACCENT_NOTE if member.id in slight else Pen.ACCENT
        yield Stroke((picture.went(member.i), picture.went(member.j)), pen)


def _grounds(picture: _Picture, at: float) -> Iterator[Mark]:
    """A small triangle under every node that something holds."""
    for node in picture.frame.nodes:
        if node.ground is not None and any(k > 0.0 for k in node.ground):
            x, y = picture.rest(node.id)
            half, down = 0.9 * at, 1.6 * at
            yield Stroke(((x, y), (x - half, y - down), (x + half, y - down)), Pen.THIN, closed=True)


def _arrows(picture: _Picture, case: Case, at: float) -> Iterator[Mark]:
    """The load of a case as arrows of one length that end where it acts."""
    acting = list(_acting(picture, case))
    step = max(1, math.ceil(len(acting) / MOST_ARROWS))
    for tip, way in acting[::step]:
        flat = picture.eye.flat(way)
        size = math.hypot(*flat)
        if size < 1e-9:
            continue
        along = (flat[0] / size, flat[1] / size)
        tail = (tip[0] - ARROW * at * along[0], tip[1] - ARROW * at * along[1])
        yield Stroke((tail, tip), Pen.DIMENSION)
        barbs = []
        for sign in (-1.0, 1.0):
            back = (tip[0] - HEAD * at * along[0], tip[1] - HEAD * at * along[1])
            barbs.append(
                (back[0] - sign * 0.35 * HEAD * at * along[1], back[1] + sign * 0.35 * HEAD * at * along[0])
            )
        yield Stroke((barbs[0], tip, barbs[1]), Pen.DIMENSION)


def _acting(picture: _Picture, case: Case) -> Iterator[tuple[Point, Vec3]]:
    """Where forces of a case act and in which direction."""
    members = {member.id: member for member in picture.frame.members}
    for load in case.nodal:
        force = (load.force[0], load.force[1], load.force[2])
        if magnitude(force) > 0.0:
            yield picture.rest(load.node), force
    for point in case.point:
        yield _on(picture, members[point.member].i, members[point.member].j, point.at), point.force
    for line in case.line:
        member = members[line.member]
        if magnitude(line.q0) > 0.0:
            yield _on(picture, member.i, member.j, (line.start + line.finish) / 2.0), line.q0


def _on(picture: _Picture, start: str, end: str, along: float) -> Point:
    """A place on a member, so many mm from its first end."""
    a, b = picture.places[start], picture.places[end]
    share = along / math.dist(a, b)
    return picture.eye.flat(add(a, scale(subtract(b, a), share)))


def _bases(picture: _Picture, report: StrengthReport, forces: ForceWords, at: float) -> Iterator[Mark]:
    """Each post's name and, under its foot, how stiff its base is taken to be across."""
    for standing in report.model.posts:
        foot, head = picture.rest(standing.foot), picture.rest(standing.head)
        yield Disc(foot, 1.1 * at, Pen.OUTLINE, Fill.WHITE)
        words = f"{standing.post.id}: {forces.turning(standing.base.across.mean)}"
        yield Label((foot[0], foot[1] - 3.2 * at), words, 1.8, Anchor.TOP_CENTRE)
        yield Label((head[0] + 1.5 * at, head[1] + 2.0 * at), standing.post.id, 2.5, Anchor.BASE_LEFT)


def _names(picture: _Picture, report: StrengthReport, at: float) -> Iterator[Mark]:
    """The rails' names beside their middles."""
    members = {member.id: member for member in picture.frame.members}
    for piece in report.model.pieces:
        if piece.kind in ("handrail", "base rail") and piece.members:
            middle = members[piece.members[len(piece.members) // 2]]
            x, y = picture.rest(middle.i)
            side = 1.0 if piece.kind == "handrail" else -1.0
            anchor = Anchor.BASE_CENTRE if side > 0.0 else Anchor.TOP_CENTRE
            yield Label((x, y + side * 2.0 * at), piece.name, 2.5, anchor)


def _worst(picture: _Picture, movement: Movement, show: Show, at: float) -> Iterator[Mark]:
    """The node that moves most, and how far."""
    if movement.node:
        tip = picture.went(movement.node)
        words = f"{movement.node} moves {show(movement.value)}"
        yield Disc(tip, 1.0 * at, Pen.ACCENT_NOTE, Fill.WARNING)
        yield Leader(tip, (tip[0] + 10.0 * at, tip[1] + 16.0 * at), words, pen=Pen.ACCENT)


BAR = (160.0, 9.0)
"""Length and height of the bar of a split, paper mm."""

_FILLS = (Fill.END_GRAIN, Fill.GREY, Fill.WOOD, Fill.GLASS, Fill.WARNING)

LEAST_NAMED = 0.08
"""Share of the bar from which a part bears its number; the table below names them all."""


def split_bar(name: str, shares: Sequence[tuple[str, float]], show: Show) -> Drawing:
    """The parts of a movement side by side, widest first, each as wide as its share; numbered as in the table."""
    positive = [(number, value) for number, (_, value) in enumerate(shares, start=1) if value > 0.0]
    total = sum(value for _, value in positive) or 1.0
    x, marks = 0.0, list[Mark]()
    for place, (number, value) in enumerate(positive):
        width = BAR[0] * value / total
        box = ((x, 0.0), (x + width, 0.0), (x + width, BAR[1]), (x, BAR[1]))
        marks.append(Area(box, _FILLS[place % len(_FILLS)], pen=Pen.OUTLINE))
        if value / total >= LEAST_NAMED:
            marks.append(Label((x + width / 2, BAR[1] / 2), f"{number}: {show(value)}", 2.5, Anchor.MIDDLE))
        x += width
    return Drawing(f"{name}-movement", "What the movement is made of", 1.0, tuple(marks))
