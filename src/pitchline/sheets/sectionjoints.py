"""What enters a rail in its section, by the way of making: cavity, member, tenon, dowel, fillet. Lengths in mm."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from pitchline.design.brief import PanelsBrief, StrandsBrief
from pitchline.design.makings import (
    BetweenPosts,
    Bored,
    BoredMetal,
    Clamped,
    Dowelled,
    Grooved,
    Mortised,
    Stacked,
)
from pitchline.design.model import Bar, BarRole, Design
from pitchline.design.seats import head_of
from pitchline.kit.drawing.marks import Area, Fill, Mark, Pen, Points, Stroke
from pitchline.sheets.looking import Show
from pitchline.sheets.sectionwork import SHOWN, Box, break_line, seat_of, seen_at


@dataclass(frozen=True, slots=True)
class Dowel:
    """A dowel across the face of a rail: so deep in the rail, so deep in the member."""

    diameter: float
    in_rail: float
    in_member: float


@dataclass(frozen=True, slots=True)
class Entry:
    """How the infill meets one rail in its section.

    ``cavity`` is the width of the groove, hole or mortise (0: none) and ``depth`` its depth; the member is ``thick``
    outside the rail and ``inner`` inside it, as deep as ``reach``.
    """

    name: str
    member: str
    cavity: float
    depth: float
    thick: float
    inner: float
    reach: float
    dowel: Dowel | None = None
    fillet: float = 0.0

    def words(self, show: Show) -> str:
        """The size of the cavity."""
        size = show(self.cavity)
        return (
            f"{self.name} {size} wide"
            if self.name in ("groove", "mortise")
            else f"{self.name} {size} diameter"
        )


def entry_of(design: Design, bar: Bar) -> Entry | None:
    """What enters a rail; None where nothing does."""
    infill, seat = design.brief.infill, seat_of(bar)
    if isinstance(infill, StrandsBrief):
        return None
    thick, member = infill.thickness, "panel" if isinstance(infill, PanelsBrief) else "upright"
    at_rail, making = bar.role is BarRole.HANDRAIL, head_of(design.making)
    plain = Entry("housing", member, 0.0, seat, thick, thick, seat)
    found: Entry | None = plain
    match making:
        case Grooved(clearance=play, fillet_thickness=fillet):
            found = replace(plain, name="groove", cavity=thick + play, fillet=fillet)
        case Bored(clearance=play):
            found = replace(plain, name="hole", cavity=thick + play)
        case BoredMetal(hole=hole, end_room=room):
            found = replace(plain, name="hole", cavity=hole, depth=seat + (room if at_rail else 0.0))
        case Mortised(tenon_thickness=told, clearance=play, end_room=room):
            tenon = thick if told is None else told
            found = replace(plain, name="mortise", cavity=tenon + play, depth=seat + room, inner=tenon)
        case Dowelled(diameter=size):
            deep = making.rail_depth if at_rail else making.base_depth
            dowel = Dowel(size, deep, making.end_depth)
            found = replace(
                plain, name="hole", cavity=size, depth=deep + making.glue_room, reach=0.0, dowel=dowel
            )
        case Clamped() | BetweenPosts():
            found = None
        case Stacked():
            pass
    return found


def cavity_marks(bar: Bar, entry: Entry) -> tuple[Points, tuple[Mark, ...]]:
    """The outline of the cavity, and what lies in it beside the member."""
    box = cavity_box(bar, entry)
    marks: list[Mark] = [Area(box.corners, Fill.WHITE, pen=Pen.OUTLINE)]
    if entry.fillet > 0.0:
        handrail = bar.role is BarRole.HANDRAIL
        low, high = (box.high - entry.fillet, box.high) if handrail else (box.low, box.low + entry.fillet)
        half = entry.thick / 2
        marks.append(Area(Box(-half, half, low, high).corners, Fill.WOOD, pen=Pen.THIN))
    return box.corners, tuple(marks)


def cavity_box(bar: Bar, entry: Entry) -> Box:
    """Where the cavity lies in the section."""
    half = entry.cavity / 2
    if bar.role is BarRole.HANDRAIL:
        return Box(-half, half, 0.0, entry.depth)
    return Box(-half, half, bar.depth - entry.depth, bar.depth)


def member_marks(design: Design, bar: Bar, entry: Entry) -> Iterator[Mark]:
    """The member that enters the rail, broken off, with its tenon or dowel."""
    x = middle_of(design)
    handrail = bar.role is BarRole.HANDRAIL
    face, out = (0.0, -1.0) if handrail else (bar.depth, 1.0)
    end = face + out * SHOWN
    inner = face - out * entry.reach
    yield from _piece(x, entry.thick, face, end)
    if entry.reach > 0.0:
        yield from _piece(x, entry.inner, inner, face)
        if entry.inner < entry.thick:
            yield Stroke(((x - entry.thick / 2, face), (x + entry.thick / 2, face)), Pen.OUTLINE)
        yield Stroke(((x - entry.inner / 2, inner), (x + entry.inner / 2, inner)), Pen.OUTLINE)
    if entry.dowel is not None:
        half = entry.dowel.diameter / 2
        low, high = sorted((face - out * entry.dowel.in_rail, face + out * min(entry.dowel.in_member, SHOWN)))
        yield Area(Box(x - half, x + half, low, high).corners, Fill.END_GRAIN, pen=Pen.OUTLINE)
    yield break_line(x - entry.thick / 2, x + entry.thick / 2, end)


def middle_of(design: Design) -> float:
    """Where the middle of the infill lies in the section."""
    return seen_at(design.uprights[0].y if design.uprights else 0.0)


def _piece(x: float, thick: float, a: float, b: float) -> Iterator[Mark]:
    low, high = sorted((a, b))
    box = Box(x - thick / 2, x + thick / 2, low, high)
    yield Area(box.corners, Fill.WOOD)
    for side in (box.left, box.right):
        yield Stroke(((side, low), (side, high)), Pen.OUTLINE)
