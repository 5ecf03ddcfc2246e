"""Ways round a change of direction: what each would be, in numbers, so that a person can be offered the choice.

A moulded section runs on through a mitre only where its roll is nothing. Where it is not, a round section, a
rolled rail, level pieces between, a plumb piece between or a post can do it, and rails of unequal depth can be
made to look alike on both sides of a plumb cut. Lengths in mm, angles in degrees. See docs/method/turning-rails.md.
"""

import math
from dataclasses import dataclass

from pitchline.kit.geometry.bevels import (
    Joint,
    SawReading,
    direction_of,
    joint_between,
    rail_frame,
    saw_reading,
)
from pitchline.kit.geometry.frames import Vec3
from pitchline.kit.geometry.meetings_space import (
    Symmetry,
    arris_step,
    chain,
    corner_miss,
    depth_to_agree,
    roll_left,
    roll_through,
    unequal_mitre,
)
from pitchline.kit.tolerances import ENDS_ALIKE_DEG, ROLL_SHOWS


@dataclass(frozen=True, slots=True)
class Turn:
    """A rail of ``width`` by ``depth`` that arrives at one pitch and leaves at another, turned in plan.

    ``plan_deg`` is positive to the left. Raises ValueError for pitches that are plumb, a turn straight back and
    sizes not above zero.
    """

    first_pitch_deg: float
    second_pitch_deg: float
    plan_deg: float
    width: float
    depth: float
    symmetry: Symmetry = Symmetry.MOULDED

    def __post_init__(self) -> None:
        if not max(abs(self.first_pitch_deg), abs(self.second_pitch_deg)) < 90.0:
            raise ValueError("rails that turn have pitches of less than 90 degrees")
        if not abs(self.plan_deg) < 180.0:
            raise ValueError("a rail that turns straight back needs two corners")
        if not min(self.width, self.depth) > 0.0:
            raise ValueError("a rail has a width and a depth above zero")

    @property
    def arrives(self) -> Vec3:
        """Unit direction of the first rail; it runs along x in plan."""
        return direction_of(0.0, self.first_pitch_deg)

    @property
    def leaves(self) -> Vec3:
        """Unit direction of the second rail."""
        return direction_of(self.plan_deg, self.second_pitch_deg)

    @property
    def joint(self) -> Joint:
        """The mitre in the bisecting plane, both rails base down."""
        return joint_between(self.arrives, self.leaves)

    @property
    def roll_left_deg(self) -> float:
        """The roll that stops this section, 0 where it runs on."""
        return roll_left(self.joint.roll_deg, self.symmetry)

    @property
    def runs_on(self) -> bool:
        """Whether the section runs on through a plain mitre."""
        return abs(self.roll_left_deg) <= ROLL_SHOWS


@dataclass(frozen=True, slots=True)
class MitreWay:
    """One mitre. ``misses`` is how far corner and corner of the two sections part there (0: it runs on)."""

    joint: Joint
    misses: float


@dataclass(frozen=True, slots=True)
class RoundWay:
    """A round rail, mitred: the largest diameter that the wood of the section yields."""

    joint: Joint
    diameter: float


@dataclass(frozen=True, slots=True)
class RolledWay:
    """The first rail rolled about its length by ``roll_deg``; the section then runs on into the second."""

    joint: Joint
    roll_deg: float


@dataclass(frozen=True, slots=True)
class LevelWay:
    """Level pieces put between: rake to level, the turn on the level, level to rake. Nothing rolls.

    ``before`` and ``behind`` are the least lengths of the two level pieces, from the corner of their middle
    lines to that of the next joint; at these the shortest long edge comes to nothing.
    """

    joints: tuple[Joint, ...]
    before: float
    behind: float


@dataclass(frozen=True, slots=True)
class PlumbWay:
    """A plumb piece put between, mitred to both rails. ``height`` is the least, between the middle lines' corners.

    ``roll_deg`` is what the section still has to turn about the plumb piece: 0 for a change of height in one
    plumb plane, the turn in plan (less what the section's symmetry takes up) round a corner. ``upwards`` tells
    a piece that climbs from one that drops.
    """

    joints: tuple[Joint, ...]
    height: float
    roll_deg: float
    upwards: bool


@dataclass(frozen=True, slots=True)
class PostWay:
    """A square post between: the cuts of the two ends against its faces, read base down.

    ``twist_deg`` is how far the post is turned in plan from standing square to the first rail.
    """

    twist_deg: float
    first: SawReading
    second: SawReading


@dataclass(frozen=True, slots=True)
class DepthWay:
    """The second rail made of another depth so that plumb cuts agree: both rails stand equally deep, plumb.

    ``edges_part`` is how far the long edges still miss each other round a plan corner; 0 without one.
    """

    second_depth: float
    first: SawReading
    second: SawReading
    edges_part: float


Way = MitreWay | RoundWay | RolledWay | LevelWay | PlumbWay | PostWay | DepthWay


def ways_round(turn: Turn) -> tuple[Way, ...]:
    """Every way round a turn that can be made, the plain mitre first where the section runs on.

    Without a turn there is nothing to go round and the only way is a plain butt joint, given as a mitre.
    """
    ways: list[Way] = []
    if turn.runs_on:
        ways.append(mitre_way(turn))
    else:
        ways += [round_way(turn), rolled_way(turn), level_way(turn)]
    if turn.joint.turn_deg > ENDS_ALIKE_DEG:
        if turn.first_pitch_deg * turn.second_pitch_deg >= 0.0:
            ways.append(plumb_way(turn, upwards=turn.first_pitch_deg + turn.second_pitch_deg >= 0.0))
        ways += post_ways(turn)
        if abs(abs(turn.first_pitch_deg) - abs(turn.second_pitch_deg)) > ENDS_ALIKE_DEG:
            ways.append(depth_way(turn))
    return tuple(ways)


def mitre_way(turn: Turn) -> MitreWay:
    """One mitre in the bisecting plane, whatever the section does there."""
    return MitreWay(turn.joint, corner_miss(turn.width, turn.depth, turn.roll_left_deg))


def round_way(turn: Turn) -> RoundWay:
    """The mitre of a round rail."""
    return RoundWay(turn.joint, min(turn.width, turn.depth))


def rolled_way(turn: Turn) -> RolledWay:
    """The mitre with the first rail rolled by as little as the section's symmetry asks."""
    roll = -turn.roll_left_deg
    return RolledWay(joint_between(turn.arrives, turn.leaves, roll), roll)


def level_way(turn: Turn) -> LevelWay:
    """Level pieces before and behind the corner; a rail that is level already has none put to it."""
    first_level = abs(turn.first_pitch_deg) <= ENDS_ALIKE_DEG
    second_level = abs(turn.second_pitch_deg) <= ENDS_ALIKE_DEG
    path = [] if first_level else [turn.arrives]
    path += [direction_of(0.0, 0.0), direction_of(turn.plan_deg, 0.0)]
    path += [] if second_level else [turn.leaves]
    corner = _set_back(turn.width, turn.plan_deg)
    return LevelWay(
        joints=chain(path),
        before=0.0 if first_level else corner + _set_back(turn.depth, turn.first_pitch_deg),
        behind=0.0 if second_level else corner + _set_back(turn.depth, turn.second_pitch_deg),
    )


def plumb_way(turn: Turn, *, upwards: bool) -> PlumbWay:
    """A plumb piece between the two rails, climbing or dropping."""
    sense = 1.0 if upwards else -1.0
    path = [turn.arrives, (0.0, 0.0, sense), turn.leaves]
    bends = (90.0 - sense * turn.first_pitch_deg, 90.0 - sense * turn.second_pitch_deg)
    return PlumbWay(
        joints=chain(path),
        height=sum(_set_back(turn.depth, bend) for bend in bends),
        roll_deg=roll_left(roll_through(path), turn.symmetry),
        upwards=upwards,
    )


def post_ways(turn: Turn) -> tuple[PostWay, ...]:
    """A post square to the first rail and, where the plan turn is no quarter, one that halves the rest of it."""
    rest = math.remainder(turn.plan_deg, 90.0)
    twists = (0.0,) if abs(rest) <= ENDS_ALIKE_DEG else (0.0, rest / 2.0)
    return tuple(
        PostWay(
            twist,
            face_reading(turn.first_pitch_deg, twist),
            face_reading(turn.second_pitch_deg, twist - rest),
        )
        for twist in twists
    )


def depth_way(turn: Turn) -> DepthWay:
    """The second rail's depth, and both plumb cuts in the plane that bisects the turn in plan."""
    half = turn.plan_deg / 2.0
    return DepthWay(
        second_depth=depth_to_agree(turn.depth, turn.first_pitch_deg, turn.second_pitch_deg),
        first=face_reading(turn.first_pitch_deg, half),
        second=face_reading(turn.second_pitch_deg, -half),
        edges_part=arris_step(turn.width, turn.plan_deg, turn.first_pitch_deg, turn.second_pitch_deg),
    )


def two_depths(turn: Turn, second_depth: float) -> tuple[float, float]:
    """The cuts of two rails of unequal depth mitred in one plumb plane, in degrees off square, unsigned.

    Raises ValueError when the rails turn in plan or do not change pitch.
    """
    if abs(turn.plan_deg) > ENDS_ALIKE_DEG:
        raise ValueError("rails of unequal depth are mitred edge to edge only without a turn in plan")
    change = turn.second_pitch_deg - turn.first_pitch_deg
    one, other = unequal_mitre(abs(change), turn.depth, second_depth)
    return one, other


def face_reading(pitch_deg: float, face_deg: float) -> SawReading:
    """The cut of a rail at a pitch against a plumb face that is turned ``face_deg`` in plan from square to it."""
    return saw_reading(
        rail_frame(direction_of(0.0, pitch_deg)).direction_to_local(direction_of(face_deg, 0.0))
    )


def _set_back(size: float, turn_deg: float) -> float:
    """How much of a rail's middle line a mitre takes up on the inside of the turn."""
    return size / 2.0 * abs(math.tan(math.radians(turn_deg) / 2.0))
