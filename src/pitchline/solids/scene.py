"""A balustrade of several legs in the world: every part and what stands around it, where it really is."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from pitchline.design.balustrade import Balustrade
from pitchline.kit.geometry.frames import Vec3, unit
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
    """Floors at the outer ends are drawn, and level legs, and the landing that a flight after a turn rises from."""
    if name == "lower floor":
        return number == 0 or not whole.legs[number - 1].flight.is_level
    return name != "upper floor" or number == len(whole.legs) - 1


def eye_for(edges: Sequence[Balustrade]) -> Vec3:
    """From where most of the edges is seen broadside, rather from their open sides and from the foot; from above.

    Round the compass in steps the direction is taken that scores best: each leg counts by its length for how broad
    it is seen, and a share of that for being seen from its open side.
    """
    first = edges[0].places[0].frame

    def score(x: float, y: float) -> float:
        seen = -_FROM_FOOT * (x * first.x[0] + y * first.x[1])
        total = 0.0
        for whole in edges:
            for design, place in zip(whole.legs, whole.places, strict=True):
                outward = _open_side(place, whole.side)
                facing = x * outward[0] + y * outward[1]
                length = design.bay.run
                seen_broad = min(abs(facing), _BROAD) + _FROM_OPEN * facing
                total += length
                seen += length * seen_broad
        return seen / total

    bearings = [math.radians(_STEP_DEG * k) for k in range(round(360.0 / _STEP_DEG))]
    best = max(((math.cos(b), math.sin(b)) for b in bearings), key=lambda eye: round(score(*eye), 9))
    return unit((best[0], best[1], _ABOVE))


_STEP_DEG, _ABOVE = 15.0, 0.55
"""The compass is tried in these steps; how high the eye stands for one across."""

_BROAD = 0.9
"""Beyond this (the cosine of 26 degrees) a leg is seen no broader: a view square to it hides its depth."""

_FROM_OPEN, _FROM_FOOT = 0.4, 300.0
"""What being seen from the open side is worth beside being seen broadside, and mm of leg from the foot."""


def _open_side(place: LegPlace, side: Side) -> Vec3:
    sense = -side.towards_stair
    return (sense * place.frame.y[0], sense * place.frame.y[1], 0.0)
