"""The walls that a rail runs along, laid out: steps beside them, corners, studs, all in one world. Lengths in mm."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from pitchline.design.wall_brief import WallFace, WallRailBrief, WallTurn
from pitchline.design.wall_model import FoundStud, WallLeg, WallNosing
from pitchline.kit.geometry.frames import Frame, rotate
from pitchline.kit.geometry.lines import Point2
from pitchline.stair.edge import UP, spot_u
from pitchline.stair.model import Flight, Soffit
from pitchline.stair.winders import Winders


@dataclass(frozen=True, slots=True)
class WallCorner:
    """A corner of the wall: change of direction (+ left going up), its place on the leg before and after."""

    angle: float
    leaves: float
    joins: float


@dataclass(frozen=True, slots=True)
class Surroundings:
    """The stair that stands: its flights and levels by id, and its winders."""

    flights: Mapping[str, Flight]
    winders: Mapping[str, Winders]

    def base_of(self, winders: Winders) -> tuple[float, float]:
        """World height of the winders' first nosing and its place along the lower flight. KeyError if not there."""
        lower = self.flights[winders.facts.lower]
        u, z = lower.nosings[winders.facts.leaves - 1]
        return lower.base_z + z, u


def wall_legs(
    brief: WallRailBrief, around: Surroundings
) -> tuple[tuple[WallLeg, ...], tuple[WallCorner, ...]]:
    """The legs of the wall and the corners between them. KeyError for a leg, winders or a point that is not there."""
    corners = tuple(_corner(brief, number, around) for number in range(len(brief.turns)))
    legs: list[WallLeg] = []
    frame = Frame()
    for number, face in enumerate(brief.walls):
        if number > 0:
            frame = _next_frame(frame, corners[number - 1])
        leg = _leg(brief, number, around, frame)
        start = corners[number - 1].joins if number > 0 else leg.start
        finish = corners[number].leaves if number < len(corners) else leg.finish
        known = _places(brief, number, around, start, finish)
        legs.append(
            replace(
                leg,
                start=start,
                finish=finish,
                face_places=tuple(sorted((known[r.at.point] + r.at.offset, r.proud) for r in face.readings)),
                studs=_studs(face, known),
            )
        )
    return tuple(legs), corners


def _studs(face: WallFace, known: Mapping[str, float]) -> tuple[FoundStud, ...]:
    found = sorted((known[stud.at.point] + stud.at.offset, stud.half_width) for stud in face.studs)
    return tuple(FoundStud(f"stud {k}", u, half) for k, (u, half) in enumerate(found, start=1))


class _Points(dict[str, float]):
    """Places along one wall by name; a surveyed point of its flight is looked up there."""

    def __init__(self, named: Mapping[str, float], flight: Flight | None) -> None:
        super().__init__(named)
        self.flight = flight

    def __missing__(self, point: str) -> float:
        if self.flight is None:
            raise KeyError(f"the wall has no point {point}")
        return self.flight.u_of(point)


def _places(brief: WallRailBrief, number: int, around: Surroundings, start: float, finish: float) -> _Points:
    """Points along a wall: surveyed ones of its flight, and the corners C1, C2, ... in the order of the turns."""
    named = {}
    if number > 0:
        named[f"C{number}"] = start
    if number < len(brief.turns):
        named[f"C{number + 1}"] = finish
    return _Points(named, around.flights.get(brief.walls[number].leg))


def _next_frame(frame: Frame, corner: WallCorner) -> Frame:
    at = frame.to_world((corner.leaves, 0.0, 0.0))
    x = rotate(frame.x, UP, corner.angle)
    return Frame.from_xz((at[0] - x[0] * corner.joins, at[1] - x[1] * corner.joins, 0.0), x, UP)


def _corner(brief: WallRailBrief, number: int, around: Surroundings) -> WallCorner:
    turn = brief.turns[number]
    before, after = brief.walls[number].leg, brief.walls[number + 1].leg
    if turn.winders:
        return _winders_corner(around.winders[turn.winders], before, around)
    flights = around.flights
    leaves = flights[before].nosings[-1][0] if turn.leaves is None else spot_u(flights[before], turn.leaves)
    joins = flights[after].nosings[0][0] if turn.joins is None else spot_u(flights[after], turn.joins)
    return WallCorner(turn.angle, leaves, joins)


def _winders_corner(winders: Winders, before: str, around: Surroundings) -> WallCorner:
    """An outer corner of winders: the first if the leg before is the flight below, else the one after it."""
    index = 0 if before == winders.facts.lower else 1
    sense = 1.0 if winders.facts.side.value == "left" else -1.0
    places = winders.corner_places
    lower_u = around.base_of(winders)[1]
    upper_u = around.flights[winders.facts.upper].nosings[0][0]
    leaves = lower_u - winders.outer_places[0] if index == 0 else places[1]
    last = index == len(places) - 1
    joins = upper_u - (winders.outer_places[-1] - places[-1]) if last else 0.0
    return WallCorner(sense * winders.facts.turns[index], leaves, joins)


def _winders_beside(brief: WallRailBrief, number: int, around: Surroundings) -> tuple[Winders | None, ...]:
    """The winders before and after a leg."""

    def named(turn: WallTurn | None) -> Winders | None:
        return around.winders[turn.winders] if turn is not None and turn.winders else None

    before = brief.turns[number - 1] if number > 0 else None
    after = brief.turns[number] if number < len(brief.turns) else None
    return named(before), named(after)


def _leg(brief: WallRailBrief, number: int, around: Surroundings, frame: Frame) -> WallLeg:
    face = brief.walls[number]
    before, after = _winders_beside(brief, number, around)
    flight = around.flights.get(face.leg)
    if flight is None:
        return _back_wall(around.winders[face.leg], face, around, frame)
    nosings = list(_own_nosings(flight))
    if after is not None and after.facts.lower == flight.id:
        nosings = nosings[: after.facts.leaves]
        nosings += _turned(after, 0, nosings[-1].u - after.outer_places[0], around)[1:]
    if before is not None and before.facts.upper == flight.id:
        last = len(before.corners)
        reach = before.outer_places[-1] - before.corner_places[-1]
        nosings = [*_turned(before, last, nosings[0].u - reach, around)[:-1], *nosings]
    return WallLeg(
        id=flight.id,
        face=face,
        frame=frame,
        nosings=tuple(nosings),
        start=nosings[0].u,
        finish=nosings[-1].u,
        is_level=flight.is_level,
        overhang=flight.nosing_overhang,
        width=flight.width,
        headroom=flight.headroom,
        soffits=tuple(_raised(soffit, flight.base_z) for soffit in flight.soffits),
        floor=flight.base_z,
    )


def _raised(soffit: Soffit, lift: float) -> Soffit:
    (a, low), (b, high) = soffit.start, soffit.finish
    return Soffit(soffit.id, (a, low + lift), (b, high + lift))


def _own_nosings(flight: Flight) -> Sequence[WallNosing]:
    return [
        WallNosing(name, u, flight.base_z + z, flight.sigma({name: 1.0}), flight.sigma({}, {name: 1.0}))
        for name, (u, z) in zip(flight.nosing_names, flight.nosings, strict=True)
    ]


def _turned(winders: Winders, wall: int, corner: float, around: Surroundings) -> list[WallNosing]:
    """The winders' nosings along one outer wall, the corner that it is measured from at ``corner``."""
    lower = around.flights[winders.facts.lower]
    base, _ = around.base_of(winders)
    first = lower.nosing_names[winders.facts.leaves - 1]
    own = lower.sigma({}, {first: 1.0})
    found = []
    for name, (place, height) in winders.outer_wall(wall):
        steps = winders.names.index(name)
        sigma = math.hypot(own, math.sqrt(steps) * winders.facts.rise_sigma)
        found.append(
            WallNosing(
                f"{winders.id} {name}", corner + place, base + height, winders.facts.place_sigma, sigma
            )
        )
    return found


def _back_wall(winders: Winders, face: WallFace, around: Surroundings, frame: Frame) -> WallLeg:
    """The wall across the back of a half turn, from its first corner."""
    nosings = tuple(_turned(winders, 1, 0.0, around))
    lower = around.flights[winders.facts.lower]
    return WallLeg(
        id=winders.id,
        face=face,
        frame=frame,
        nosings=nosings,
        start=0.0,
        finish=winders.corner_places[1],
        is_level=False,
        overhang=lower.nosing_overhang,
        width=winders.facts.widths[1],
        headroom=None,
        soffits=(),
        floor=nosings[0].z if nosings else around.base_of(winders)[0],
    )


def rail_corner(corner: WallCorner, centres: tuple[float, float], sense: float) -> tuple[float, float]:
    """Where the middle lines of two rails meet, on the leg before and on the leg after.

    ``centres`` are their distances from the walls' faces, ``sense`` +1 where the stair lies to the left of the wall.
    """
    near, far = centres
    sine, cosine = math.sin(corner.angle), math.cos(corner.angle)
    if abs(sine) < _STRAIGHT:
        return corner.leaves, corner.joins
    after = sense * (near - far * cosine) / sine
    before = after * cosine - sense * far * sine
    return corner.leaves + before, corner.joins + after


_STRAIGHT = 1e-6
"""Sine of a turn below which two walls lie in one line."""


def world_soffits(leg: WallLeg) -> tuple[tuple[Point2, Point2], ...]:
    """The undersides over a leg, each from one (u, z) to another, the lower u first."""
    return tuple(
        (soffit.start, soffit.finish) if soffit.start <= soffit.finish else (soffit.finish, soffit.start)
        for soffit in leg.soffits
    )
