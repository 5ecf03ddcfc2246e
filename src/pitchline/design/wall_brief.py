"""What the user asks of a handrail on brackets along a wall. Lengths in mm, angles in radians.

The rail runs along one leg, or along several that follow one another round corners of the wall. What is left
open (None) the program chooses from the rules of the place and the trade's practice.
"""

from dataclasses import dataclass, field
from enum import StrEnum

from pitchline.design.brief import RailBrief, Station
from pitchline.stair.edge import Spot
from pitchline.stair.model import Side


class Backing(StrEnum):
    """What the screws of the brackets go into."""

    STUDS = "studs"
    MASONRY = "masonry"
    BOARD = "backing board"


@dataclass(frozen=True, slots=True)
class Stud:
    """A stud behind the lining as it was found: its centre and half its width along the wall."""

    at: Station
    half_width: float = 19.0


@dataclass(frozen=True, slots=True)
class WallReading:
    """How far the wall's face stands proud of a straight line along it at a place (below zero: hollow)."""

    at: Station
    proud: float


@dataclass(frozen=True, slots=True)
class WallFace:
    """The wall beside one leg.

    ``leg`` is the id of a flight or level, or of the winders for a wall across the back of a half turn. ``backing``
    is what is behind the face, ``lining`` the thickness of plaster or board in front of studs. ``lean`` is mm per
    mm, positive when the top leans towards the stair; ``readings`` say where the face is proud or hollow.
    ``outside`` is how far the wall stands outside the walking width that was measured.
    """

    leg: str
    backing: Backing
    studs: tuple[Stud, ...] = ()
    lining: float = 12.5
    rough: bool = False
    lean: float = 0.0
    readings: tuple[WallReading, ...] = ()
    outside: float = 0.0


class CornerWay(StrEnum):
    """How the rail goes round a corner of the wall."""

    MITRED = "mitred"
    LEVELLED = "levelled"
    BROKEN = "broken"


@dataclass(frozen=True, slots=True)
class WallTurn:
    """A corner of the wall between two legs.

    ``angle`` is the change of direction in plan, positive to the left going up; ``leaves`` and ``joins`` tell where
    the two faces meet, on the leg before and on the leg after. With ``winders`` (their id) all three follow from
    the winders' own readings. *mitred*: one cut in the bisecting plane; *levelled*: a level piece ``level`` long
    (from the corner of the rail's middle lines) on either side, mitred flat; *broken*: each leg's rail ends by
    itself before the corner.
    """

    way: CornerWay = CornerWay.LEVELLED
    level: float = 100.0
    angle: float = 0.0
    leaves: Spot | None = None
    joins: Spot | None = None
    winders: str = ""


class EndWay(StrEnum):
    """How the rail ends."""

    RETURN = "returned to the wall"
    PLAIN = "plain"


@dataclass(frozen=True, slots=True)
class WallEnd:
    """An end of the rail: ``past`` is how far, level, it runs on beyond the outermost riser (below zero: short).

    None: as far as the rules ask, else as far as the nosing. ``level`` of that length is turned level (None: as the
    rules ask).
    """

    way: EndWay = EndWay.RETURN
    past: float | None = None
    level: float | None = None


@dataclass(frozen=True, slots=True)
class BracketBrief:
    """The brackets: ``apart`` the greatest level distance between two, ``first`` the greatest from an end.

    None: the rules, else the trade's practice. ``rose`` is the width of the plate on the wall and ``rose_height``
    its height, ``drop`` how far its middle lies under the rail's underside; ``screws`` to each, ``screw_length``
    and ``edge``, the least distance of a screw from a stud's edge.
    """

    apart: float | None = None
    first: float | None = None
    rose: float = 50.0
    rose_height: float = 70.0
    drop: float = 60.0
    screws: int = 3
    screw_length: float = 70.0
    edge: float = 10.0
    what: str = "handrail bracket"


@dataclass(frozen=True, slots=True)
class WallRailBrief:
    """A handrail on brackets along a wall.

    ``side`` is the side of the stair on which the wall stands, as one walks up. ``clear`` is the space between rail
    and wall, None for what the rules ask and a little more. ``is_round``: the rail is round, ``rail.width`` its
    diameter. ``bottom`` and ``top`` are its two ends.
    """

    id: str
    title: str
    side: Side
    walls: tuple[WallFace, ...]
    rail: RailBrief
    turns: tuple[WallTurn, ...] = ()
    clear: float | None = None
    is_round: bool = False
    bottom: WallEnd = field(default_factory=WallEnd)
    top: WallEnd = field(default_factory=WallEnd)
    brackets: BracketBrief = field(default_factory=BracketBrief)
    rail_trim: float = 12.0
