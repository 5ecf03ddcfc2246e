"""What the steps of one design are made from, worked out once: pieces in the world, faces, entries, minutes."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from pitchline.design.balustrade import Balustrade
from pitchline.design.model import Design
from pitchline.kit.words import Show, Words
from pitchline.making.cautions import is_wood
from pitchline.making.finishing_brief import FinishPlan
from pitchline.making.order import Act
from pitchline.making.order_entry import Entry, entry_of
from pitchline.making.order_parts import (
    BLOCKS,
    BOUGHT,
    Family,
    Times,
    Unit,
    joints,
    rounded,
    times_of,
    units_of,
)
from pitchline.making.order_rooms import FaceRoom, Rooms, When, rooms_of
from pitchline.making.shop import Shop
from pitchline.parts.part import Groove, Hole, Mortise, Notch, Part, Role, Taper, Turning

FRAME = (Family.NEWEL, Family.HANDRAIL, Family.BASE, Family.PACKER, Family.EASING)
"""What the infill goes into."""

INFILL = (Family.UPRIGHT, Family.STRAND, Family.PANEL, Family.FILLET)

IN_HAND = (Family.UPRIGHT, Family.PANEL, Family.FILLET, Family.STRAND)
"""Pieces that are sanded all over at the bench, while they are in the hand."""


@dataclass(frozen=True, eq=False)
class Work:
    """All that the steps of one design follow from. ``parts`` stand in the world; ``leg_of``: the leg of each."""

    design: str
    legs: tuple[Design, ...]
    parts: tuple[Part, ...]
    leg_of: Mapping[str, str]
    units: tuple[Unit, ...]
    rooms: Rooms
    entries: Mapping[str, Entry]
    shop: Shop
    finish: FinishPlan | None
    words: Words

    @cached_property
    def part(self) -> Mapping[str, Part]:
        """Pieces by their place marks."""
        return {part.place: part for part in self.parts}

    def of(self, *families: Family, leg: str | None = None) -> tuple[Unit, ...]:
        """The units of some families, of one leg or of all."""
        return tuple(
            unit
            for unit in self.units
            if unit.family in families and (leg is None or self.leg_of[unit.parts[0].place] == leg)
        )

    def places(self, *families: Family, leg: str | None = None) -> tuple[str, ...]:
        """Their places."""
        return tuple(place for unit in self.of(*families, leg=leg) for place in unit.places)

    def wooden(self, places: Iterable[str]) -> tuple[str, ...]:
        """Those of some places that are of wood."""
        return tuple(place for place in places if is_wood(self.part[place].material))

    @cached_property
    def families(self) -> tuple[Family, ...]:
        """The families of the design."""
        return tuple(dict.fromkeys(unit.family for unit in self.units))

    @cached_property
    def acts(self) -> Mapping[Family, frozenset[Act]]:
        """What has to be done to each family."""
        return {family: frozenset(_acts(family, self.of(family))) for family in self.families}

    @cached_property
    def times(self) -> Times:
        """Minutes of every family and act."""
        return times_of(self.units, self.acts, self.shop)

    def share(self, family: Family, act: Act, leg: str) -> float:
        """Minutes of an act for the units of one leg."""
        all_of, here = self.of(family), self.of(family, leg=leg)
        return self.times.of(family, act) * len(here) / len(all_of) if all_of else 0.0

    def open_faces(self, places: Iterable[str], *whens: When) -> tuple[FaceRoom, ...]:
        """Faces of wooden pieces that stay faces, those to be sanded at one of these times."""
        faces = self.rooms.open_faces(self.wooden(places))
        return tuple(room for room in faces if not whens or room.sand in whens)


def work_of(
    edges: Sequence[Balustrade],
    parts_of_legs: Sequence[Sequence[Part]],
    shop: Shop,
    finish: FinishPlan | None,
    show: Show,
) -> Work:
    """The work of one design; ``parts_of_legs`` are in the legs' own co-ordinates, edge after edge."""
    legs = [(leg, place) for edge in edges for leg, place in zip(edge.legs, edge.places, strict=True)]
    parts: list[Part] = []
    leg_of: dict[str, str] = {}
    rails: dict[str, str] = {}
    for (design, place), pieces in zip(legs, parts_of_legs, strict=True):
        for piece in pieces:
            parts.append(replace(piece, frame=place.frame.frame_to_world(piece.frame)))
            leg_of[piece.place] = design.id
            rails[piece.place] = _bar_of(design, piece)
    units = units_of(parts, rails)
    return Work(
        design=edges[0].id,
        legs=tuple(design for design, _ in legs),
        parts=tuple(parts),
        leg_of=leg_of,
        units=units,
        rooms=rooms_of(edges, parts, units, shop),
        entries={design.id: entry_of(design) for design, _ in legs},
        shop=shop,
        finish=finish,
        words=Words(show),
    )


def _bar_of(design: Design, part: Part) -> str:
    """The rail that a layer or block belongs to; its own place for all other pieces."""
    if part.role in (Role.RAIL_STRIP, Role.RAIL_CHEEK, Role.RAIL_BLOCK):
        return design.handrail.id
    if part.role in (Role.BASE_STRIP, Role.BASE_CHEEK, Role.BASE_BLOCK) and design.base is not None:
        return design.base.id
    return part.place


def _acts(family: Family, units: Sequence[Unit]) -> Iterable[Act]:
    parts = [part for unit in units for part in unit.parts]
    wood = [part for part in parts if is_wood(part.material)]
    if any(part.role not in BOUGHT and not _is_board(part) for part in wood):
        yield Act.MILL
    yield Act.CUT
    if any(joints(part) for part in parts):
        yield Act.WORK
    if any(unit.is_glued for unit in units):
        yield Act.GLUE
    if any(rounded(part) for part in parts):
        yield Act.ROUND
    if wood:
        yield Act.SAND
    yield from {
        Family.NEWEL: (Act.SET,),
        Family.HANDRAIL: (Act.TRIAL, Act.FIX),
        Family.BASE: (Act.FIX,),
        Family.EASING: (Act.FIX,),
        Family.PACKER: (),
    }.get(family, (Act.FIT,))


def _is_board(part: Part) -> bool:
    return "plywood" in part.material or "mdf" in part.material


def bench_joints(part: Part) -> bool:
    """Whether joints of a rail are worked at the bench: grooves, notches and tapers, which no place hangs on."""
    return any(isinstance(feature, Groove | Notch | Taper | Turning) for feature in part.features)


def stair_joints(part: Part) -> bool:
    """Whether joints of a rail wait until it is fitted: holes and mortises at marked places."""
    return any(isinstance(feature, Hole | Mortise) for feature in part.features)


def blocks_in(units: Iterable[Unit]) -> int:
    """How many blocks lie in some rails."""
    return sum(part.role in BLOCKS for unit in units for part in unit.parts)
