"""A balustrade of several legs in the world: every part and what stands around it, where it really is."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from pitchline.design.balustrade import Balustrade
from pitchline.kit.geometry.frames import Vec3, add, unit
from pitchline.parts.part import Part
from pitchline.solids.context import Kind, Surrounding, surroundings
from pitchline.stair.edge import LegPlace
from pitchline.stair.model import Side


@dataclass(frozen=True, eq=False)
class Scene:
    """Parts and surroundings in the world's frame."""

    parts: tuple[Part, ...]
    around: tuple[Surrounding, ...]


def scene_of(edges: Sequence[Balustrade], parts: Sequence[Sequence[Part]]) -> Scene:
    """Every leg's parts (``parts`` by leg, edge after edge) and surroundings, moved to where the leg lies."""
    places = [place for whole in edges for place in whole.places]
    alone = len(places) == 1
    placed = [
        part if alone else in_world(part, place)
        for pieces, place in zip(parts, places, strict=True)
        for part in pieces
    ]
    around = list(surroundings(edges[0].legs[0])) if alone else _around(edges)
    return Scene(tuple(placed), tuple(around))


def in_world(part: Part, place: LegPlace) -> Part:
    """A part moved from its leg's co-ordinates into the world's."""
    return replace(part, frame=place.frame.frame_to_world(part.frame))


def _around(edges: Sequence[Balustrade]) -> list[Surrounding]:
    """What stands around every leg; a flight guarded on both sides is drawn once."""
    found: list[Surrounding] = []
    drawn: set[str] = set()
    for whole in edges:
        for number, (design, place) in enumerate(zip(whole.legs, whole.places, strict=True)):
            for thing in surroundings(design):
                known = design.leg in drawn and thing.kind in (Kind.FLOOR, Kind.STEP)
                if known or (thing.kind is Kind.FLOOR and not _is_shown(whole, number, thing.name)):
                    continue
                blocks = tuple(block.placed(place.frame) for block in thing.blocks)
                found.append(replace(thing, name=f"{design.leg}: {thing.name}", blocks=blocks))
            drawn.add(design.leg)
    return found


def _is_shown(whole: Balustrade, number: int, name: str) -> bool:
    """Floors at the outer ends are drawn, and level legs; those where another leg begins would hide it."""
    if name == "lower floor":
        return number == 0
    return name != "upper floor" or number == len(whole.legs) - 1


def eye_for(edges: Sequence[Balustrade]) -> Vec3:
    """From the open side of the legs taken together, from above and somewhat from the foot."""
    first = edges[0].places[0].frame
    outward: Vec3 = (0.0, 0.0, 0.0)
    for whole in edges:
        for place in whole.places:
            outward = add(outward, _open_side(place, whole.side))
    if abs(outward[0]) + abs(outward[1]) < _NOWHERE:
        outward = _open_side(edges[0].places[0], edges[0].side)
    back = first.x
    return unit((0.9 * outward[0] - 0.45 * back[0], 0.9 * outward[1] - 0.45 * back[1], 0.8))


_NOWHERE = 0.1
"""Legs whose open sides look at each other have no side in common; they are seen from that of the first."""


def _open_side(place: LegPlace, side: Side) -> Vec3:
    sense = -side.towards_stair
    return (sense * place.frame.y[0], sense * place.frame.y[1], 0.0)
