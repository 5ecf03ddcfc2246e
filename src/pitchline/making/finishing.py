"""What a design takes to finish: areas face by face, coats and litres, abrasive, glue, and when each coat dries.

The area of a piece that is finished is its outside (exact, rounded edges counted) less what its neighbours lie
against. Areas in m2, volumes in litres, masses in g, times in minutes of the clock from the first midnight.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from pitchline.catalogue.finishes import GlueKind, load_finishes
from pitchline.making.cautions import is_wood
from pitchline.making.finishing_brief import FinishPlan
from pitchline.making.order import Act
from pitchline.making.order_plan import Planned
from pitchline.making.order_rooms import FaceRoom
from pitchline.parts.part import Part
from pitchline.parts.wood import surface_area

MM2_PER_M2 = 1e6
TIN_REST = 0.10
"""Share of a finish that stays in the brush, the tin and the rag (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class FaceArea:
    """One face of all pieces of a mark: its area and what is kept bare for joints, m2, over ``quantity`` pieces."""

    mark: str
    face: str
    quantity: int
    area: float
    bare: float


@dataclass(frozen=True, slots=True)
class MarkArea:
    """All pieces of a mark: their outside, what is kept bare and what is finished, m2."""

    mark: str
    what: str
    places: tuple[str, ...]
    outside: float
    bare: float
    faces: tuple[FaceArea, ...]

    @property
    def finished(self) -> float:
        """m2 that a finish goes on."""
        return max(0.0, self.outside - self.bare)


@dataclass(frozen=True, slots=True)
class Reach:
    """From the least to the most."""

    low: float
    high: float


@dataclass(frozen=True, slots=True)
class CoatTime:
    """One coat in the calendar: when it is put on, and when it is dry, minutes of the clock."""

    title: str
    start: float
    end: float
    dry: float


@dataclass(frozen=True, eq=False)
class Amounts:
    """What a design takes. ``litres``: of all coats, None where bare; ``sheets`` by grit; ``glue`` in g."""

    marks: tuple[MarkArea, ...]
    plan: FinishPlan | None
    litres: Reach | None
    sheets: Mapping[int, Reach]
    glue_area: float
    glue: Reach
    glue_kind: GlueKind
    coats: tuple[CoatTime, ...]

    @property
    def area(self) -> float:
        """m2 that a finish goes on, once."""
        return sum(mark.finished for mark in self.marks)

    @property
    def bare(self) -> float:
        """m2 of joint faces, kept bare."""
        return sum(mark.bare for mark in self.marks)


def amounts_of(planned: Planned) -> Amounts:
    """What a planned design takes."""
    work, known = planned.work, load_finishes()
    marks = tuple(_marks(planned))
    area = sum(mark.finished for mark in marks)
    plan = work.finish
    litres = None
    if plan is not None:
        spread = area * plan.coats * (1.0 + TIN_REST)
        litres = Reach(spread / plan.finish.coverage.high, spread / plan.finish.coverage.low)
    grits = [round(grit) for grit in known.grits.values]
    sheets = {grit: _sheets(area) for grit in grits}
    if plan is not None and plan.coats > 1:
        between = _sheets(area * (plan.coats - 1))
        old = sheets.get(plan.finish.between, Reach(0.0, 0.0))
        sheets[plan.finish.between] = Reach(old.low + between.low, old.high + between.high)
    kind = known.glues["pva"]
    glued = glue_area(planned)
    glue = Reach(glued * kind.spread.low, glued * kind.spread.high)
    return Amounts(marks, plan, litres, sheets, glued, glue, kind, tuple(_coats(planned)))


def _sheets(area: float) -> Reach:
    one = load_finishes().sheet_area
    return Reach(area / one.high, area / one.low)


def _marks(planned: Planned) -> Iterator[MarkArea]:
    work = planned.work
    alike: dict[str, list[Part]] = {}
    for part in work.parts:
        if is_wood(part.material):
            alike.setdefault(part.mark, []).append(part)
    for mark, parts in alike.items():
        rooms = [room for part in parts for room in work.rooms.of_place[part.place]]
        faces = tuple(_faces(mark, rooms))
        yield MarkArea(
            mark,
            parts[0].role.value,
            tuple(part.place for part in parts),
            sum(surface_area(part) for part in parts) / MM2_PER_M2,
            sum(face.bare for face in faces),
            faces,
        )


def _faces(mark: str, rooms: Sequence[FaceRoom]) -> Iterator[FaceArea]:
    named: dict[str, list[FaceRoom]] = {}
    for room in rooms:
        named.setdefault(room.face.name, []).append(room)
    for name, same in named.items():
        area = sum(room.face.area for room in same) / MM2_PER_M2
        left = sum(room.open_area for room in same) / MM2_PER_M2
        yield FaceArea(mark, name, len(same), area, area - left)


def glue_area(planned: Planned) -> float:
    """m2 of joint that takes glue: faces of wooden pieces that lie against each other, each joint counted once."""
    rooms = planned.work.rooms
    wood = {part.place for part in planned.work.parts if is_wood(part.material)}
    pairs: dict[tuple[str, str], dict[str, float]] = {}
    for place in wood:
        for room in rooms.of_place[place]:
            for other, area in room.glued.items():
                if other in wood:
                    low, high = sorted((place, other))
                    side = pairs.setdefault((low, high), {})
                    side[place] = side.get(place, 0.0) + area
    return sum(max(sides.values()) for sides in pairs.values()) / MM2_PER_M2


def _coats(planned: Planned) -> Iterator[CoatTime]:
    steps = planned.order.by_key
    for slot in planned.schedule.slots:
        step = steps[slot.step]
        if step.act is Act.COAT:
            yield CoatTime(step.title, slot.start, slot.end, slot.free)


def hours_by_act(planned: Planned) -> dict[str, float]:
    """Hours of one person by what is done, in the order it is first done."""
    found: dict[str, float] = {}
    for step in planned.order.steps:
        found[step.act.value] = found.get(step.act.value, 0.0) + step.minutes / 60.0
    return found
