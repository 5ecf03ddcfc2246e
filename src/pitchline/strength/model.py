"""The frame of an edge, and what its nodes and members stand for. N, mm, MPa, radians; world axes.

Nothing is worked out here: ``framing`` builds it, ``loads``, ``moves`` and ``uses`` read it.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from pitchline.design.model import Post, Upright
from pitchline.kit.frame.model import FloatArray, Frame
from pitchline.kit.geometry.frames import Vec3
from pitchline.kit.geometry.lines import Line
from pitchline.strength.bases.joints import BaseStiffness
from pitchline.strength.legs import StandingLeg
from pitchline.strength.sections import Cut
from pitchline.strength.settings import Scenario, Way
from pitchline.strength.woods import Wood

SLIDES, TURNS = 1.0, 1e3
"""N/mm and Nmm/rad at a joint that is not counted on: next to nothing, yet no release that leaves a piece loose."""


@dataclass(frozen=True, slots=True)
class Piece:
    """A part of the balustrade as the model has it: name, what it is, section, wood, and its members in order."""

    name: str
    kind: str
    cut: Cut
    wood: Wood
    members: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Standing:
    """A post of the model: its design and base, its leg, foot node, the node at its handrail and that one's height.

    ``along`` and ``across`` are the world directions that its base's stiffness is stated for. ``sprung``: the
    lowest member whose end holds the base's springs where they lie on no axis of the world; None: the ground does.
    """

    post: Post
    leg: int
    base: BaseStiffness
    foot: str
    head: str
    height: float
    along: Vec3
    across: Vec3
    sprung: str | None = None


@dataclass(frozen=True, slots=True)
class Head:
    """Where a leg's handrail meets a post: the post's id, the node, its place along the leg."""

    post: str
    node: str
    u: float


@dataclass(frozen=True, slots=True)
class Held:
    """An upright of the model with its member; ``width`` is the breadth of infill whose load it takes, mm."""

    upright: Upright
    member: str
    width: float
    length: float


@dataclass(frozen=True, slots=True)
class RailEnd:
    """A rail's end on a newel: the member whose end it is, at its start or finish."""

    piece: str
    post: str
    member: str
    at_start: bool


@dataclass(frozen=True, slots=True)
class RailJoint:
    """Two handrails (or base rails) joined to each other: the member whose end is the joint, and how in words."""

    piece: str
    other: str
    member: str
    at_start: bool
    how: str


@dataclass(frozen=True, slots=True)
class WallEnd:
    """What hangs on a wall: a rail's end or a half newel, by the nodes held there, and the rail's direction."""

    piece: str
    kind: str
    nodes: tuple[str, ...]
    into: Vec3


@dataclass(frozen=True, slots=True)
class Seated:
    """A base rail on its string or floor: the nodes held, the length of rail of each, across and width, mm."""

    piece: str
    leg: int
    nodes: tuple[tuple[str, float], ...]
    width: float


@dataclass(frozen=True, eq=False)
class LegModel:
    """One leg in the model.

    ``rail_nodes`` run along its handrail with their u in the leg's own elevation; ``rail_line`` is the line of the
    handrail's axis there.
    """

    leg: StandingLeg
    handrail: str
    rail_nodes: tuple[tuple[str, float], ...]
    rail_line: Line
    base_nodes: tuple[tuple[str, float], ...]
    uprights: tuple[Held, ...]
    heads: tuple[Head, ...]
    leaning: tuple[str, ...]
    easing: tuple[str, ...] = ()

    @property
    def slope(self) -> Vec3:
        """Direction of its handrail in the world, up the stair."""
        du, dz = self.rail_line.direction
        return self.leg.direction((du, 0.0, dz))


@dataclass(frozen=True, eq=False)
class Model:
    """The frame and what its nodes and members stand for, leg by leg."""

    frame: Frame
    pieces: tuple[Piece, ...]
    posts: tuple[Standing, ...]
    legs: tuple[LegModel, ...]
    rail_ends: tuple[RailEnd, ...]
    rail_joints: tuple[RailJoint, ...]
    wall_ends: tuple[WallEnd, ...]
    seats: tuple[Seated, ...]
    left_out: tuple[str, ...]

    @cached_property
    def by_name(self) -> dict[str, Piece]:
        """Every piece by its name."""
        return {piece.name: piece for piece in self.pieces}

    @cached_property
    def by_post(self) -> dict[str, Standing]:
        """Every post by its id."""
        return {standing.post.id: standing for standing in self.posts}

    @cached_property
    def rail_nodes(self) -> tuple[tuple[str, float], ...]:
        """Nodes along all handrails with their u in the unrolled elevation of the edge; each once."""
        found: dict[str, float] = {}
        for leg in self.legs:
            for name, u in leg.rail_nodes:
                found.setdefault(name, u + leg.leg.place.du)
        return tuple(found.items())

    @property
    def uprights(self) -> tuple[Held, ...]:
        """Uprights of all legs."""
        return tuple(held for leg in self.legs for held in leg.uprights)

    @property
    def base_nodes(self) -> tuple[tuple[str, float], ...]:
        """Nodes along all base rails with their u in the leg's own elevation."""
        return tuple(pair for leg in self.legs for pair in leg.base_nodes)

    @property
    def leaning(self) -> tuple[str, ...]:
        """Ends of handrails that lean on a leg which is not in the model."""
        return tuple(name for leg in self.legs for name in leg.leaning)

    def leg_of(self, node: str) -> LegModel:
        """The first leg whose handrail a node is on. KeyError for a node elsewhere."""
        for leg in self.legs:
            if any(name == node for name, _ in leg.rail_nodes):
                return leg
        raise KeyError(node)

    def length_of(self, member: str) -> float:
        """Length of one member, mm."""
        return self.lengths[self.frame.member_index[member]]

    @cached_property
    def lengths(self) -> tuple[float, ...]:
        """Length of every member, mm."""
        apart = self.frame.xyz[self.frame.ends[:, 1]] - self.frame.xyz[self.frame.ends[:, 0]]
        return tuple(np.sqrt((apart**2).sum(axis=1)).tolist())


@dataclass(frozen=True, eq=False)
class Structure:
    """A model with the low, likely and high stiffness of every spring; ``model`` has the likely ones.

    ``springs`` gives ground (nodes, 6) and joints (members, 12) by way; ``base_ground`` and ``base_joints`` mark
    those that are bases of posts. ``helping`` are the joints that help newels against a push across, with what is
    left of each where it is not counted on: seated base rails at newels, uprights that stand stiff in their rails.
    """

    model: Model
    springs: Callable[[Way], tuple[FloatArray, FloatArray]]
    base_ground: tuple[tuple[int, int], ...]
    base_joints: tuple[tuple[int, int], ...]
    helping: tuple[tuple[int, int, float], ...]

    def frame(self, scenario: Scenario) -> Frame:
        """The frame with the springs of a scenario (its ``glue`` is in the sections already)."""
        helped = scenario.helped or not self.helping
        if scenario.way == "mean" and scenario.bases == 1.0 and helped:
            return self.model.frame
        ground, joints = (table.copy() for table in self.springs(scenario.way))
        if scenario.bases != 1.0:
            for table, places in ((ground, self.base_ground), (joints, self.base_joints)):
                for place in places:
                    table[place] *= scenario.bases
        if not helped:
            for row, column, left in self.helping:
                joints[row, column] = min(left, joints[row, column])
        return self.model.frame.with_springs(ground, joints)
