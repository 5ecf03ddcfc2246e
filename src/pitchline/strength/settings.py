"""What the strength of a design is judged by and with: code, service class, bases, stock, fixings of rails."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Literal

from pitchline.catalogue.strength import FixingType, fixing_type
from pitchline.strength.bases.joints import Base
from pitchline.strength.bases.pull import PullTest
from pitchline.strength.bases.supports import OnString, Support
from pitchline.strength.ec5.factors import ServiceClass
from pitchline.strength.nds.members import LoadDuration
from pitchline.strength.woods import UNGRADED, Graded


class Code(StrEnum):
    """Editions of design codes that can be chosen."""

    EC5_2004 = "EN 1995-1-1:2004"
    EC5_2025 = "EN 1995-1-1:2025"
    NDS_2018 = "NDS 2018"


@dataclass(frozen=True, slots=True)
class RailFixing:
    """How a rail's end is fixed to a newel or wall: ``count`` fixings, ``thread`` mm of each in the newel."""

    fixing: FixingType = field(default_factory=lambda: fixing_type("screw-6"))
    count: int = 2
    thread: float = 50.0


@dataclass(frozen=True, slots=True)
class SeatFixing:
    """How a base rail is fixed down: one fixing every ``apart`` mm, ``thread`` mm of each in what it lies on."""

    fixing: FixingType = field(default_factory=lambda: fixing_type("screw-5"))
    apart: float = 300.0
    thread: float = 40.0


@dataclass(frozen=True, slots=True)
class JointFixing:
    """What holds two rails together where they are joined: ``count`` rail bolts along them (glue is not counted)."""

    fixing: FixingType = field(default_factory=lambda: fixing_type("bolt-m8"))
    count: int = 1


@dataclass(frozen=True, slots=True)
class WallHold:
    """What ``count`` fixings bear in a wall, each ``pull`` N out of it and ``shear`` N along it.

    Design values of the fixing in that wall (allowable ones under the NDS), from its maker or a test.
    """

    pull: float
    shear: float
    count: int = 2


@dataclass(frozen=True, slots=True)
class PostBase:
    """What is known of how one post stands; what is None is taken as usual for such a post."""

    base: Base | None = None
    support: Support | OnString | None = None
    pulls: tuple[PullTest, ...] = ()


@dataclass(frozen=True, slots=True)
class StrengthSettings:
    """All that may be stated about strength; the defaults are assumptions that the report names.

    ``code`` None: NDS in the USA, else EN 1995-1-1:2004. ``doubtful_fixings``: the rules' further factor on fixings
    whose strength is in doubt is used. ``bases`` by post id. ``walls`` by the rail or half newel that hangs there, ""
    for all others: without one, what the wall must bear is told and not judged.
    """

    code: Code | None = None
    service: ServiceClass = 1
    duration: LoadDuration = LoadDuration.TEN_YEARS
    bases: Mapping[str, PostBase] = field(default_factory=dict)
    graded: Graded = UNGRADED
    rail_fixing: RailFixing = field(default_factory=RailFixing)
    seat_fixing: SeatFixing = field(default_factory=SeatFixing)
    rail_joint: JointFixing = field(default_factory=JointFixing)
    walls: Mapping[str, WallHold] = field(default_factory=dict)
    doubtful_fixings: bool = False


Way = Literal["low", "mean", "high"]


@dataclass(frozen=True, slots=True)
class Scenario:
    """Which values of the uncertain stiffnesses are taken.

    ``bases`` multiplies the stiffness of all bases; ``glue`` of stacked rails: None for the slip of their blocks, 0
    for layers that only lie together. ``helped``: base rails on their seats and stiff uprights help newels
    against a push across; without, the newels' own bases take it all.
    """

    way: Way = "mean"
    bases: float = 1.0
    glue: float | None = None
    helped: bool = True


LIKELY = Scenario()
"""The values to be expected."""
