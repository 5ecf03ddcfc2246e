"""What acts on a frame: forces at nodes and on members, and ground that moves, gathered into cases.

Forces and lines of force are in world axes (N, N/mm), moments in Nmm; distances along a member are in mm from its
end ``i``.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from pitchline.kit.errors import Fault, InputError
from pitchline.kit.frame.model import FloatArray, Frame, IntArray, Six
from pitchline.kit.geometry.frames import Vec3
from pitchline.kit.tolerances import SAME_POINT

_GAUSS = ((-math.sqrt(0.6), 5.0 / 18.0), (0.0, 8.0 / 18.0), (math.sqrt(0.6), 5.0 / 18.0))
"""Gauss-Legendre with three points is exact to the fifth degree; end moments of a linear load are of the fourth."""


@dataclass(frozen=True, slots=True)
class NodalLoad:
    """Three forces and three moments at a node."""

    node: str
    force: Six


@dataclass(frozen=True, slots=True)
class PointLoad:
    """A force on a member at a distance from its end ``i``."""

    member: str
    at: float
    force: Vec3


@dataclass(frozen=True, slots=True)
class LineLoad:
    """A load per mm along a member, straight from ``q0`` at ``start`` to ``q1`` at ``finish``."""

    member: str
    start: float
    finish: float
    q0: Vec3
    q1: Vec3


@dataclass(frozen=True, slots=True)
class Case:
    """One load case. ``displacements`` move the ground under nodes (mm, rad): under springs as well as fixed."""

    id: str
    nodal: tuple[NodalLoad, ...] = ()
    point: tuple[PointLoad, ...] = ()
    line: tuple[LineLoad, ...] = ()
    displacements: Mapping[str, Six] = field(default_factory=dict)


@dataclass(frozen=True, eq=False)
class OnMembers:
    """All loads on members as single forces: case, member, distance and world force of each."""

    case: IntArray
    member: IntArray
    at: FloatArray
    force: FloatArray


def check_cases(frame: Frame, cases: Sequence[Case]) -> None:
    """InputError with every load that acts on nothing."""
    apart = frame.xyz[frame.ends[:, 1]] - frame.xyz[frame.ends[:, 0]]
    lengths: list[float] = np.sqrt((apart**2).sum(axis=1)).tolist()
    faults = [fault for case in cases for fault in _faults(frame, case, lengths)]
    if faults:
        raise InputError(faults, "the loads")


def _faults(frame: Frame, case: Case, lengths: Sequence[float]) -> Iterator[Fault]:
    where = f"case {case.id}"
    for name in [*(load.node for load in case.nodal), *case.displacements]:
        if name not in frame.node_index:
            yield Fault(where, "there is no such node", name)
    on_members: tuple[PointLoad | LineLoad, ...] = (*case.point, *case.line)
    for load in on_members:
        place = frame.member_index.get(load.member)
        if place is None:
            yield Fault(where, "there is no such member", load.member)
            continue
        length = lengths[place]
        ends = (load.at,) if isinstance(load, PointLoad) else (load.start, load.finish)
        if not -SAME_POINT <= ends[0] <= ends[-1] <= length + SAME_POINT:
            yield Fault(where, f"the load lies off member {load.member}", str(ends), f"0 to {length:g} mm")
    for name, moved in case.displacements.items():
        place = frame.node_index.get(name)
        if place is not None and any(d and not k for d, k in zip(moved, frame.ground[place], strict=True)):
            yield Fault(where, f"the ground under node {name} moves where it holds nothing", str(moved))


def nodal_forces(frame: Frame, cases: Sequence[Case]) -> FloatArray:
    """Forces at the nodes, (cases, nodes, 6)."""
    forces = np.zeros((len(cases), len(frame.xyz), 6))
    index = frame.node_index
    for row, case in enumerate(cases):
        for load in case.nodal:
            forces[row, index[load.node]] += load.force
    return forces


def ground_movements(frame: Frame, cases: Sequence[Case]) -> FloatArray:
    """How the ground moves under the nodes, (cases, nodes, 6)."""
    moved = np.zeros((len(cases), len(frame.xyz), 6))
    for row, case in enumerate(cases):
        for name, six in case.displacements.items():
            moved[row, frame.node_index[name]] = six
    return moved


def on_members(frame: Frame, cases: Sequence[Case]) -> OnMembers:
    """Every load on a member as single forces that cause the same forces at its held ends."""
    index = frame.member_index
    points = [(row, index[p.member], p.at, *p.force) for row, case in enumerate(cases) for p in case.point]
    lines = [
        (row, index[q.member], q.start, q.finish, *q.q0, *q.q1)
        for row, case in enumerate(cases)
        for q in case.line
    ]
    single = np.array(points, dtype=float).reshape(-1, 6)
    spread = np.array(lines, dtype=float).reshape(-1, 10)
    length = spread[:, 3] - spread[:, 2]
    tables = [single]
    for place, weight in _GAUSS:
        share = (1.0 + place) / 2.0
        q = spread[:, 4:7] + (spread[:, 7:] - spread[:, 4:7]) * share
        at = spread[:, 2] + length * share
        tables.append(np.column_stack([spread[:, :2], at, q * (length * weight)[:, None]]))
    whole = np.concatenate(tables)
    return OnMembers(whole[:, 0].astype(np.intp), whole[:, 1].astype(np.intp), whole[:, 2], whole[:, 3:])
