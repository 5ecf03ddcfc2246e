"""The straight pieces of a wall rail, the planes in which they are mitred, and the returns at its ends.

Each mitre lies in the plane that bisects the two pieces. A return is square to the wall in plan and lies in the plane
of the rail's top, so that its mitre is a plain one of 45 degrees whatever the rake.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from pitchline.design.wall_brief import EndWay, WallRailBrief
from pitchline.design.wall_model import PieceKind, RailPiece, WallJoint, WallLeg
from pitchline.kit.geometry.bevels import joint_between, rail_frame, saw_reading
from pitchline.kit.geometry.frames import Frame, Plane, Vec3, add, along, angle_between, scale, subtract, unit
from pitchline.kit.geometry.lines import Point2
from pitchline.kit.tolerances import ENDS_ALIKE_DEG


@dataclass(frozen=True, slots=True)
class RunLine:
    """The legs along which the rail goes on without a break, and its top line (u, z) beside each."""

    legs: tuple[int, ...]
    paths: tuple[tuple[Point2, ...], ...]


@dataclass(frozen=True, slots=True)
class _Straight:
    """A piece before its ends are cut: its leg and the ends of its top's middle line."""

    leg: int
    start: Vec3
    finish: Vec3

    @property
    def direction(self) -> Vec3:
        return unit(subtract(self.finish, self.start))

    @property
    def up(self) -> Vec3:
        return rail_frame(self.direction).z

    @property
    def kind(self) -> PieceKind:
        return PieceKind.LEVEL if abs(self.direction[2]) < 1e-9 else PieceKind.RAKING


def wall_pieces(
    brief: WallRailBrief, legs: Sequence[WallLeg], centres: Sequence[float], runs: Sequence[RunLine]
) -> tuple[tuple[RailPiece, ...], tuple[WallJoint, ...]]:
    """Every piece of the rail, from the foot up, the returns after them; and every mitre."""
    pieces: list[RailPiece] = []
    returns: list[RailPiece] = []
    joints: list[WallJoint] = []
    sense = brief.side.towards_stair
    for number, run in enumerate(runs):
        straights = list(_straights(run, legs, centres, sense))
        first_end = brief.bottom.way if number == 0 else EndWay.RETURN
        last_end = brief.top.way if number == len(runs) - 1 else EndWay.RETURN
        planes = _planes(straights)
        names = [f"R{len(pieces) + k}" for k in range(1, len(straights) + 1)]
        joints += _mitres(straights, names, legs)
        for at_head, way in ((False, first_end), (True, last_end)):
            end = -1 if at_head else 0
            if way is EndWay.RETURN:
                turned = _Returned(run.legs[end], f"E{len(returns) + 1}", names[end], at_head)
                plane, piece, joint = _return(straights[end], turned, legs[run.legs[end]], sense)
                returns.append(piece)
                joints.append(joint)
                planes[(len(straights) - 1, True) if at_head else (0, False)] = plane
        pieces += [
            RailPiece(
                name,
                straight.leg,
                straight.kind,
                straight.start,
                straight.finish,
                straight.up,
                planes[(k, False)],
                planes[(k, True)],
            )
            for k, (straight, name) in enumerate(zip(straights, names, strict=True))
        ]
    return (*pieces, *returns), tuple(joints)


def _straights(
    run: RunLine, legs: Sequence[WallLeg], centres: Sequence[float], sense: float
) -> Iterator[_Straight]:
    """The pieces of a run; neighbours that lie in one line are one piece, of one leg or of two."""
    found: list[_Straight] = []
    for number, path in zip(run.legs, run.paths, strict=True):
        frame = legs[number].frame
        points = [frame.to_world((u, sense * centres[number], z)) for u, z in path]
        for a, b in pairwise(points):
            piece = _Straight(number, a, b)
            if found and angle_between(found[-1].direction, piece.direction) <= _IN_LINE:
                found[-1] = _Straight(found[-1].leg, found[-1].start, b)
            else:
                found.append(piece)
    yield from found


_IN_LINE = math.radians(ENDS_ALIKE_DEG)
"""Pieces that turn by less than this are one."""


def _planes(straights: Sequence[_Straight]) -> dict[tuple[int, bool], Plane]:
    """End planes by piece and end (True: its upper end), square where nothing follows."""
    planes: dict[tuple[int, bool], Plane] = {}
    last = len(straights) - 1
    planes[(0, False)] = Plane(straights[0].start, scale(straights[0].direction, -1.0))
    planes[(last, True)] = Plane(straights[last].finish, straights[last].direction)
    for k in range(last):
        normal = joint_between(straights[k].direction, straights[k + 1].direction).normal
        planes[(k, True)] = Plane(straights[k].finish, normal)
        planes[(k + 1, False)] = Plane(straights[k].finish, scale(normal, -1.0))
    return planes


def _mitres(
    straights: Sequence[_Straight], names: Sequence[str], legs: Sequence[WallLeg]
) -> Iterator[WallJoint]:
    for k in range(len(straights) - 1):
        first, second = straights[k], straights[k + 1]
        joint = joint_between(first.direction, second.direction)
        if first.leg == second.leg:
            words = f"bend beside {legs[first.leg].id}"
        else:
            words = f"corner from {legs[first.leg].id} to {legs[second.leg].id}"
        yield WallJoint(
            names[k], names[k + 1], joint.turn_deg, joint.first, joint.second, joint.roll_deg, words
        )


def _to_wall(leg: WallLeg, sense: float) -> Vec3:
    """Unit direction from the rail square to the wall."""
    return leg.frame.direction_to_world((0.0, -sense, 0.0))


@dataclass(frozen=True, slots=True)
class _Returned:
    """What a return is called, on which leg and end it is, and the piece that it belongs to."""

    leg: int
    id: str
    of: str
    at_head: bool


def _return(
    straight: _Straight, turned: _Returned, leg: WallLeg, sense: float
) -> tuple[Plane, RailPiece, WallJoint]:
    """The return at one end: the rail's own end plane, the piece, and their mitre."""
    corner = straight.finish if turned.at_head else straight.start
    to_wall = _to_wall(leg, sense)
    normal = unit(add(scale(straight.direction, 1.0 if turned.at_head else -1.0), to_wall))
    u, y, _ = leg.frame.to_local(corner)
    finish = along(corner, to_wall, abs(y) - leg.proud(u))
    place = "head" if turned.at_head else "foot"
    piece = RailPiece(
        turned.id,
        turned.leg,
        PieceKind.RETURN,
        corner,
        finish,
        straight.up,
        Plane(corner, scale(normal, -1.0)),
        Plane(finish, to_wall),
    )
    rail = Frame.from_xz(corner, straight.direction, straight.up)
    joint = WallJoint(
        turned.of,
        piece.id,
        90.0,
        saw_reading(rail.direction_to_local(normal)),
        saw_reading(Frame.from_xz(corner, to_wall, straight.up).direction_to_local(normal)),
        0.0,
        f"return to the wall at the {place} beside {leg.id}",
    )
    return Plane(corner, normal), piece, joint
