"""An open edge: legs of one stair in the order in which one walks up along it, and how they lie in plan.

Plan co-ordinates (x, y) start at the first leg: x along it, y to the left of someone walking up; z from the lowest
finished floor. The line of a leg is the middle of its rails. Lengths in mm, angles in radians.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from pitchline.kit.geometry.frames import Frame, Plane, Vec3, rotate
from pitchline.stair.model import Flight, Side

UP: Vec3 = (0.0, 0.0, 1.0)


@dataclass(frozen=True, slots=True)
class Spot:
    """A place along a leg: ``offset`` mm up the stair from a surveyed point."""

    point: str
    offset: float = 0.0


@dataclass(frozen=True, slots=True)
class EdgeTurn:
    """Where the lines of two legs meet: ``leaves`` on the leg before, ``joins`` on the leg after.

    ``angle`` is the change of direction in plan, positive to the left of someone walking up.
    """

    angle: float
    leaves: Spot
    joins: Spot


@dataclass(frozen=True, slots=True)
class Edge:
    """An open edge: ``turns`` are one fewer than ``legs``; ``side`` is the guarded side all along."""

    id: str
    side: Side
    legs: tuple[str, ...]
    turns: tuple[EdgeTurn, ...]


@dataclass(frozen=True, slots=True)
class LegPlace:
    """One leg in the world and in the unrolled elevation.

    ``frame`` carries the leg's own (u, y, z) into the world; in the unrolled elevation of the whole edge a point
    (u, z) of the leg lies at (u + ``du``, z + ``dz``).
    """

    leg: str
    frame: Frame
    du: float
    dz: float

    def plane_to(self, other: "LegPlace", plane: Plane) -> Plane:
        """A plane given in this leg's co-ordinates, in those of another."""
        return other.frame.plane_to_local(self.frame.plane_to_world(plane))

    def point_to(self, other: "LegPlace", point: Vec3) -> Vec3:
        """A point given in this leg's co-ordinates, in those of another."""
        return other.frame.to_local(self.frame.to_world(point))

    def direction_to(self, other: "LegPlace", direction: Vec3) -> Vec3:
        """A direction given in this leg's co-ordinates, in those of another."""
        return other.frame.direction_to_local(self.frame.direction_to_world(direction))


def alone(flight: Flight) -> LegPlace:
    """The place of a leg that is an edge by itself."""
    return LegPlace(flight.id, Frame(origin=(0.0, 0.0, flight.base_z)), 0.0, flight.base_z)


def places_of(
    edge: Edge, flights: Mapping[str, Flight], known: LegPlace | None = None
) -> tuple[LegPlace, ...]:
    """Where every leg of an edge lies: from its first leg on, or such that one leg lies where it is ``known`` to.

    KeyError for a leg or a surveyed point that is not there.
    """
    places = [alone(flights[edge.legs[0]])]
    for turn, leg in zip(edge.turns, edge.legs[1:], strict=True):
        places.append(_next(places[-1], turn, flights[places[-1].leg], flights[leg]))
    if known is None:
        return tuple(places)
    own = next(place for place in places if place.leg == known.leg).frame
    return tuple(replace(place, frame=_carried(own, known.frame, place.frame)) for place in places)


def _carried(own: Frame, known: Frame, frame: Frame) -> Frame:
    """A frame moved as a whole by what carries ``own`` onto ``known``."""
    inner = Frame.from_xy(
        own.to_local(frame.origin), own.direction_to_local(frame.x), own.direction_to_local(frame.y)
    )
    return known.frame_to_world(inner)


def _next(before: LegPlace, turn: EdgeTurn, left: Flight, flight: Flight) -> LegPlace:
    leaves, joins = spot_u(left, turn.leaves), spot_u(flight, turn.joins)
    corner = before.frame.to_world((leaves, 0.0, 0.0))
    x = rotate(before.frame.x, UP, turn.angle)
    origin = (corner[0] - x[0] * joins, corner[1] - x[1] * joins, flight.base_z)
    return LegPlace(flight.id, Frame.from_xz(origin, x, UP), before.du + leaves - joins, flight.base_z)


def spot_u(flight: Flight, spot: Spot) -> float:
    """The place of a spot along its leg. KeyError if its point was not surveyed."""
    return flight.u_of(spot.point) + spot.offset


def plan_length(edge: Edge, flights: Mapping[str, Flight]) -> Sequence[float]:
    """Plan length of every leg between the turns at its ends; at the ends of the edge, to the outer nosing."""
    lengths = []
    for number, leg in enumerate(edge.legs):
        flight = flights[leg]
        start = flight.nosings[0][0] if number == 0 else spot_u(flight, edge.turns[number - 1].joins)
        last = number == len(edge.legs) - 1
        finish = flight.nosings[-1][0] if last else spot_u(flight, edge.turns[number].leaves)
        lengths.append(finish - start)
    return tuple(lengths)


def turn_words(angle: float) -> str:
    """A change of direction in words: 'quarter turn to the left', 'straight on', or its degrees."""
    degrees = math.degrees(angle)
    side = "left" if degrees > 0 else "right"
    for value, name in ((0.0, "straight on"), (90.0, "quarter turn"), (180.0, "half turn")):
        if abs(abs(degrees) - value) < 0.05:
            return name if value == 0.0 else f"{name} to the {side}"
    return f"turn of {abs(degrees):.1f} degrees to the {side}"
