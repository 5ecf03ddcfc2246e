"""One leg of an edge as it stands in the world, and the directions that strength speaks of.

*Outward* is level, square to the leg, away from the walking side; *along* is level, up the stair.
"""

import math
from dataclasses import dataclass

from pitchline.design.model import Design
from pitchline.kit.geometry.frames import Frame, Vec3
from pitchline.parts.part import Part
from pitchline.stair.edge import LegPlace

SQUARE_ON = 1e-9
"""A leg's direction this near to an axis of the world lies on it."""


@dataclass(frozen=True, eq=False)
class StandingLeg:
    """One leg of an edge as it stands: its design, its parts, and where it lies in plan and height."""

    design: Design
    parts: tuple[Part, ...]
    place: LegPlace

    @property
    def name(self) -> str:
        """Its id in the stair."""
        return self.design.leg

    @property
    def along(self) -> Vec3:
        """Up the stair, level."""
        return self.place.frame.x

    @property
    def across(self) -> Vec3:
        """To the left of someone walking up, level."""
        return self.place.frame.y

    @property
    def outward(self) -> Vec3:
        """Away from the walking side, level."""
        return self.place.frame.direction_to_world((0.0, -self.design.side.towards_stair, 0.0))

    @property
    def quarters(self) -> int | None:
        """How often it is turned by a right angle from the world's x; None for any other direction."""
        return quarters_of(self.along)

    def point(self, at: Vec3) -> Vec3:
        """A point of the leg's own elevation, in the world."""
        return self.place.frame.to_world(at)

    def direction(self, way: Vec3) -> Vec3:
        """A direction of the leg's own elevation, in the world."""
        return self.place.frame.direction_to_world(way)


def quarters_of(way: Vec3) -> int | None:
    """How often a level direction is turned by a right angle from the world's x; None for any other direction."""
    x, y, _ = way
    turns = round(math.atan2(y, x) / (math.pi / 2))
    off = math.atan2(y, x) - turns * math.pi / 2
    return turns % 4 if abs(off) < SQUARE_ON else None


def by_itself(design: Design) -> StandingLeg:
    """A leg that nothing stands beside, in its own elevation."""
    return StandingLeg(design, (), LegPlace(design.leg, Frame(), 0.0, 0.0))
