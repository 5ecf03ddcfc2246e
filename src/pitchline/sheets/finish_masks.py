"""Mask maps: the faces of a piece rolled out below each other, hatched where they are kept bare for joints."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from shapely.affinity import translate
from shapely.geometry import Polygon

from pitchline.kit.drawing.marks import Area, Drawing, Fill, Hatch, Label, Mark, Pen, Points
from pitchline.making.order_plan import Planned
from pitchline.making.order_rooms import FaceRoom
from pitchline.parts.part import Part, Role
from pitchline.sheets.looking import Show
from pitchline.sheets.order_words import listed

ROW_GAP = 9.0
"""Paper mm between two faces."""

FEW = 4
"""So many bare stretches of a face are given from its start; of more it is said that they repeat."""


@dataclass(frozen=True, eq=False)
class Mask:
    """A piece whose faces are drawn, and the places of all pieces that are masked alike."""

    part: Part
    places: tuple[str, ...]
    rooms: tuple[FaceRoom, ...]


def masks_of(planned: Planned) -> tuple[Mask, ...]:
    """The pieces to draw: of each role on a leg the one with the most faces that are bare in part."""
    found: dict[tuple[str, Role], list[Part]] = {}
    for part in planned.work.parts:
        found.setdefault((planned.work.leg_of[part.place], part.role), []).append(part)
    masks = []
    for alike in found.values():
        rooms = {part.place: _part_bare(planned, part) for part in alike}
        chosen = max(alike, key=lambda part: len(rooms[part.place]))
        if rooms[chosen.place]:
            places = tuple(part.place for part in alike if rooms[part.place])
            masks.append(Mask(chosen, places, rooms[chosen.place]))
    return tuple(masks)


def _part_bare(planned: Planned, part: Part) -> tuple[FaceRoom, ...]:
    if part.place not in planned.work.wooden((part.place,)):
        return ()
    rooms = planned.work.rooms.of_place[part.place]
    return tuple(room for room in rooms if room.is_part_bare and not room.face.is_end)


def mask_drawing(mask: Mask, design: str, show: Show, scale: float) -> Drawing:
    """The part-bare faces of a piece at 1:``scale``, start end at the left."""
    marks: list[Mark] = []
    y = 0.0
    for room in mask.rooms:
        shape, bare = _laid(mask.part, room, room.face.outline), _laid(mask.part, room, room.bare)
        low, high = shape.bounds[1], shape.bounds[3]
        y -= high - low
        down = y - low
        marks += _face(translate(shape, 0.0, down), translate(bare, 0.0, down))
        marks.append(Label((shape.bounds[0], y - 3.4 * scale), _words(room, bare, show)))
        y -= ROW_GAP * scale
    title = f"{listed(mask.places, most=4)}: {mask.part.role.value}"
    return Drawing(f"{design}-mask-{mask.part.place}", title, scale, tuple(marks))


def _laid(part: Part, room: FaceRoom, shape: Any) -> Any:
    """A shape of a face moved so that its x is the piece's own."""
    origin = part.frame.to_local(room.face.frame.origin)
    return translate(shape, origin[0], 0.0)


def _face(shape: Any, bare: Any) -> Iterator[Mark]:
    for outline, holes in _rings(shape):
        yield Area(outline, Fill.WOOD, holes, Pen.OUTLINE)
    for outline, holes in _rings(bare):
        yield Area(outline, Fill.WHITE, holes, Pen.THIN)
        yield Hatch(outline, 15.0, 1.0, Pen.THIN, holes)


def _rings(shape: Any) -> Iterator[tuple[Points, tuple[Points, ...]]]:
    for polygon in _polygons(shape):
        outline = tuple(polygon.exterior.coords)[:-1]
        yield outline, tuple(tuple(ring.coords)[:-1] for ring in polygon.interiors)


def _polygons(shape: Any) -> Iterable[Polygon]:
    if isinstance(shape, Polygon):
        return (shape,) if shape.area > _SLIVER else ()
    return tuple(one for one in shape.geoms if isinstance(one, Polygon) and one.area > _SLIVER)


_SLIVER = 1.0
"""mm2 below which a bare patch is not drawn."""


def _words(room: FaceRoom, bare: Any, show: Show) -> str:
    stretches = _stretches([(one.bounds[0], one.bounds[2]) for one in _polygons(bare)])
    said = ", ".join(f"{show(low)} to {show(high)}" for low, high in stretches[:FEW])
    more = f" and {len(stretches) - FEW} more" if len(stretches) > FEW else ""
    return f"{room.face.name}: bare {said}{more}, from the start end"


def _stretches(spans: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """Stretches along the piece, those that touch joined."""
    joined: list[tuple[float, float]] = []
    for low, high in sorted(spans):
        if joined and low <= joined[-1][1] + _TOUCH:
            joined[-1] = (joined[-1][0], max(high, joined[-1][1]))
        else:
            joined.append((low, high))
    return joined


_TOUCH = 0.5
"""mm apart at which two bare stretches are masked as one."""
