"""The finished handrail along a wall: its legs, pieces, joints and brackets. Lengths in mm, angles in radians.

Heights z count from the lowest finished floor of the stair everywhere. Each leg has a frame whose x runs along the
wall the way one walks up, y to the left of someone walking up, z up; the wall's straight face is y = 0 and u is x.
"""

import math
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

from pitchline.design.wall_brief import CornerWay, WallFace, WallRailBrief
from pitchline.kit.finding import Finding
from pitchline.kit.geometry.bevels import SawReading
from pitchline.kit.geometry.frames import Frame, Plane, Vec3
from pitchline.kit.geometry.lines import Point2
from pitchline.stair.model import Side, Soffit


@dataclass(frozen=True, slots=True)
class WallNosing:
    """A nosing (or a point of a level edge) beside the wall: its name, place and what is not known of it."""

    name: str
    u: float
    z: float
    u_sigma: float
    z_sigma: float


@dataclass(frozen=True, slots=True)
class FoundStud:
    """A stud beside a leg: its name, the place of its centre, half its width."""

    name: str
    u: float
    half_width: float


@dataclass(frozen=True, slots=True)
class WallLeg:
    """One straight piece of wall with the steps beside it.

    ``start`` and ``finish`` are how far the straight face reaches for this rail: its corners, or the outermost
    points. ``overhang`` is that of the nosings, ``width`` the walking width beside it; soffits have world heights.
    ``floor`` is the height of its own lower floor, ``face_places`` are (u, proud) of the face's readings, in order.
    """

    id: str
    face: WallFace
    frame: Frame
    nosings: tuple[WallNosing, ...]
    start: float
    finish: float
    is_level: bool
    overhang: float
    width: float | None
    headroom: float | None
    soffits: tuple[Soffit, ...]
    floor: float = 0.0
    face_places: tuple[Point2, ...] = ()
    studs: tuple[FoundStud, ...] = ()

    def proud(self, u: float) -> float:
        """How far the face stands proud of the straight line at a place, straight between the readings."""
        return _between(self.face_places, u)


def _between(places: tuple[Point2, ...], u: float) -> float:
    """A value told at some places, straight between them and level beyond; 0 where none is told."""
    if not places:
        return 0.0
    if u <= places[0][0]:
        return places[0][1]
    for (a, low), (b, high) in pairwise(places):
        if u <= b:
            return low + (high - low) * (u - a) / (b - a) if b > a else high
    return places[-1][1]


class PieceKind(StrEnum):
    """What a straight piece of the rail is."""

    RAKING = "raking"
    LEVEL = "level"
    RETURN = "return"


@dataclass(frozen=True, slots=True)
class RailPiece:
    """A straight piece between two planes (world, outward normals).

    ``start`` and ``finish`` are the ends of the middle line of its top, ``up`` the direction of its top face;
    ``leg`` the number of the leg (from 0) on which it begins. A return runs from the rail to the wall.
    """

    id: str
    leg: int
    kind: PieceKind
    start: Vec3
    finish: Vec3
    up: Vec3
    start_plane: Plane
    finish_plane: Plane

    @property
    def direction(self) -> Vec3:
        """Unit vector from start to finish."""
        size = math.dist(self.start, self.finish)
        a, b = self.start, self.finish
        return ((b[0] - a[0]) / size, (b[1] - a[1]) / size, (b[2] - a[2]) / size)


@dataclass(frozen=True, slots=True)
class WallJoint:
    """A mitre between two pieces, one after the other.

    ``roll_deg`` is how far the section of the second would have to roll for a moulded one to run on; ``words`` say
    where it is.
    """

    first: str
    second: str
    turn_deg: float
    first_reading: SawReading
    second_reading: SawReading
    roll_deg: float
    words: str


@dataclass(frozen=True, slots=True)
class Bracket:
    """One bracket: where its arm meets the rail's underside and where its plate sits on the wall.

    ``u`` is its place along the leg's wall, ``rail_z`` the height of the rail's underside there, ``plate_z`` that of
    the plate's middle; ``on`` names what it is screwed to, ``packing`` what goes behind the plate, ``wedge``
    how much more under one edge of it than under the other (wall out of plumb; above zero: at the foot). ``along`` is
    its mark along the underside of piece ``piece`` from the piece's lower end.
    """

    id: str
    leg: int
    u: float
    rail_z: float
    plate_z: float
    on: str
    packing: float
    wedge: float
    piece: str
    along: float


@dataclass(frozen=True, slots=True)
class LegHeights:
    """The window of a leg and how the rail's top keeps it: heights at every nosing, and the smallest margin.

    The margin is that of the nosings which the rail passes.
    """

    low: float
    high: float | None
    heights: tuple[float, ...]
    margin: float
    tightest: str


@dataclass(frozen=True, slots=True)
class BracketRun:
    """How the brackets of one leg were placed: greatest distances wanted, the rail's ends, and what was not kept.

    ``shortfalls`` are distances greater than wanted: from, to, and what was wanted.
    """

    apart: float
    first: float
    ends: tuple[float, float]
    places: tuple[float, ...]
    shortfalls: tuple[tuple[float, float, float], ...]


@dataclass(frozen=True, eq=False)
class WallRail:
    """A handrail on brackets along a wall, finished.

    ``path`` of each leg are the points (u, z) of the rail's top that its pieces run between, returns left out;
    ``clear`` is the space to the proudest place of the wall, ``centres`` how far the rail's middle lies from each
    leg's straight face. ``runs`` are lists of leg numbers along which the rail is in one piece.
    """

    id: str
    title: str
    side: Side
    brief: WallRailBrief
    legs: tuple[WallLeg, ...]
    paths: tuple[tuple[Point2, ...], ...]
    heights: tuple[LegHeights, ...]
    pieces: tuple[RailPiece, ...]
    joints: tuple[WallJoint, ...]
    brackets: tuple[Bracket, ...]
    bracket_runs: tuple[BracketRun, ...]
    runs: tuple[tuple[int, ...], ...]
    corners: tuple[CornerWay, ...]
    clear: float
    centres: tuple[float, ...]
    findings: tuple[Finding, ...]

    @property
    def width(self) -> float:
        """Size of the rail across."""
        return self.brief.rail.width

    @property
    def depth(self) -> float:
        """Size of the rail square to its top."""
        return self.brief.rail.width if self.brief.is_round else self.brief.rail.depth

    def top_at(self, leg: int, u: float) -> float:
        """Height of the rail's top at a place of a leg; beyond its ends the last piece goes on."""
        path = self.paths[leg]
        for (a, low), (b, high) in pairwise(path):
            if u <= b or (b, high) == path[-1]:
                return low + (high - low) * (u - a) / (b - a)
        return path[-1][1]

    def slope_at(self, leg: int, u: float) -> float:
        """Slope of the rail at a place of a leg."""
        path = self.paths[leg]
        for (a, low), (b, high) in pairwise(path):
            if u <= b or (b, high) == path[-1]:
                return (high - low) / (b - a)
        return 0.0
