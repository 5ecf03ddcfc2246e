"""For every face of a design: when it must be sanded and coated, before what closes it.

Three states are looked at with the tool's room: the piece alone, the rail it is glued into, everything fitted. A face
that a state closes is done before it; one that nothing closes may wait until the end.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property

import shapely

from pitchline.design.balustrade import Balustrade
from pitchline.kit.tolerances import BRUSH_ROOM, MASKED, SHUT_SHARE
from pitchline.making.access import (
    Field,
    PieceFace,
    Shape,
    Tool,
    both,
    closed,
    closers,
    exposed,
    faces_of,
    joints_of,
    minus,
)
from pitchline.making.access_bodies import Body, part_body, standing_bodies
from pitchline.making.order_parts import Unit
from pitchline.making.shop import Shop
from pitchline.parts.part import Part


class When(StrEnum):
    """When a face is done at the latest."""

    PIECE = "before its rail is glued up"
    UNIT = "before it is fitted"
    LAST = "when all is fitted"


SANDER, HAND, BRUSH = "sander", "hand", "brush"

BRUSH_PAD = 20.0
"""mm across the brush that gets at a face (common practice, no source)."""

HARDLY = 0.01
"""A face of which less than this share stays open is a joint: the rest is the play of the pieces in it."""


def tools_of(shop: Shop) -> dict[str, Tool]:
    """The tools that faces are got at with: the room that each needs over a face is as high as it is wide."""
    return {
        SANDER: Tool(SANDER, shop.sander, shop.sander),
        HAND: Tool(HAND, shop.hand_sander, shop.hand_sander),
        BRUSH: Tool(BRUSH, BRUSH_PAD, BRUSH_ROOM),
    }


@dataclass(frozen=True, eq=False)
class FaceRoom:
    """One face once all is fitted: what ``stays`` of it, what of that each tool is kept off, by whom, when to do it.

    ``shut`` are shares of what stays; ``glued`` is what lies against it, mm2 by name.
    """

    face: PieceFace
    stays: Shape
    glued: Mapping[str, float]
    shut: Mapping[str, float]
    by: tuple[str, ...]
    sand: When
    coat: When

    @property
    def is_joint(self) -> bool:
        """Whether hardly anything of it stays a face."""
        return self.open_area <= HARDLY * self.face.area

    @property
    def is_part_bare(self) -> bool:
        """Whether a joint covers some of it that can be masked, and some stays a face."""
        return bool(self.glued) and not self.is_joint and not self.bare.is_empty

    @cached_property
    def bare(self) -> Shape:
        """What of it is kept bare for joints, strips left out that are too narrow to mask."""
        covered = minus(self.face.outline, self.stays)
        core = shapely.buffer(covered, -MASKED / 2, join_style="mitre")
        return both(shapely.buffer(core, MASKED / 2, join_style="mitre"), self.face.outline)

    @property
    def open_area(self) -> float:
        """What stays of it, mm2."""
        return float(self.stays.area)


@dataclass(frozen=True, eq=False)
class Rooms:
    """Every face of a design, and all the bodies it was looked at among."""

    faces: tuple[FaceRoom, ...]
    bodies: Mapping[str, Body]
    standing: tuple[Body, ...]
    tools: Mapping[str, Tool]

    @cached_property
    def of_place(self) -> Mapping[str, tuple[FaceRoom, ...]]:
        """The faces of each piece."""
        found: dict[str, list[FaceRoom]] = {place: [] for place in self.bodies}
        for room in self.faces:
            found[room.face.place].append(room)
        return {place: tuple(rooms) for place, rooms in found.items()}

    def open_faces(self, places: Iterable[str]) -> tuple[FaceRoom, ...]:
        """The faces of some pieces that stay faces."""
        return tuple(room for place in places for room in self.of_place[place] if not room.is_joint)


def rooms_of(edges: Sequence[Balustrade], parts: Sequence[Part], units: Sequence[Unit], shop: Shop) -> Rooms:
    """All faces of a design; ``parts`` stand in the world."""
    tools = tools_of(shop)
    bodies = {part.place: part_body(part) for part in parts}
    standing = standing_bodies(edges)
    fitted = Field((*bodies.values(), *standing))
    mates: dict[str, Field] = {}
    for unit in units:
        field = Field(tuple(bodies[place] for place in unit.places))
        mates.update(dict.fromkeys(unit.places, field))
    rooms = tuple(_room(face, mates[part.place], fitted, tools) for part in parts for face in faces_of(part))
    return Rooms(rooms, bodies, standing, tools)


def _room(face: PieceFace, mates: Field, fitted: Field, tools: Mapping[str, Tool]) -> FaceRoom:
    joints = joints_of(face, fitted)
    glued = {name: float(shape.area) for name, shape in joints.items()}
    stays = exposed(face, joints.values())
    if stays.area <= HARDLY * face.area:
        return FaceRoom(face, stays, glued, {}, (), When.LAST, When.LAST)
    shut = closed(face, stays, fitted, tools[SANDER])
    shares = {SANDER: share(shut, stays)}
    if shares[SANDER] <= SHUT_SHARE:
        return FaceRoom(face, stays, glued, shares, (), When.LAST, When.LAST)
    for name in (HAND, BRUSH):
        shares[name] = share(closed(face, stays, fitted, tools[name]), stays)
    coat = _when(face, stays, mates, tools[BRUSH]) if shares[BRUSH] > SHUT_SHARE else When.LAST
    sand = _when(face, stays, mates, tools[SANDER])
    return FaceRoom(face, stays, glued, shares, closers(face, shut, fitted, tools[SANDER]), sand, coat)


def _when(face: PieceFace, stays: Shape, mates: Field, tool: Tool) -> When:
    if len(mates.bodies) > 1 and share(closed(face, stays, mates, tool), stays) > SHUT_SHARE:
        return When.PIECE
    return When.UNIT


def share(part: Shape, whole: Shape) -> float:
    """The share of an area in another."""
    return float(part.area / whole.area) if whole.area > 0.0 else 0.0
