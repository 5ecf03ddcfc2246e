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
    faults = [fault for case in cases for fault in _faults(frame, case)]
    if faults:
        raise InputError(faults, "the loads")


def _faults(frame: Frame, case: Case) -> Iterator[Fault]:
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
        i, j = frame.ends[place]
        length = float(np.linalg.norm(frame.xyz[j] - frame.xyz[i]))
        ends = (load.at,) if isinstance(load, PointLoad) else (load.start, load.finish)
        if not all(-SAME_POINT <= a <= length + SAME_POINT for a in ends) or list(ends) != sorted(ends):
            yield Fault(where, f"the load lies off member {load.member}", str(ends), f"0 to {length:g} mm")
    for name, moved in case.displacements.items():
        place = frame.node_index.get(name)
        if place is not None and any(d and not k for d, k in zip(moved, frame.ground[place], strict=True)):
            yield Fault(where, f"the ground under node {name} moves where it holds nothing", str(moved))


def nodal_forces(frame: Frame, cases: Sequence[Case]) -> FloatArray:
    """Forces at the nodes, (cases, nodes, 6)."""
    forces = np.zeros((len(cases), len(frame.nodes), 6))
    index = frame.node_index
    for row, case in enumerate(cases):
        for load in case.nodal:
            forces[row, index[load.node]] += load.force
    return forces


def ground_movements(frame: Frame, cases: Sequence[Case]) -> FloatArray:
    """How the ground moves under the nodes, (cases, nodes, 6)."""
    moved = np.zeros((len(cases), len(frame.nodes), 6))
    for row, case in enumerate(cases):
        for name, six in case.displacements.items():
            moved[row, frame.node_index[name]] = six
    return moved


def on_members(frame: Frame, cases: Sequence[Case]) -> OnMembers:
    """Every load on a member as single forces that cause the same forces at its held ends."""
    rows: list[tuple[int, int]] = []
    ats: list[float] = []
    forces: list[tuple[float, float, float]] = []
    index = frame.member_index
    for row, case in enumerate(cases):
        for load in case.point:
            rows.append((row, index[load.member]))
            ats.append(load.at)
            forces.append(load.force)
        for line in case.line:
            for at, force in _spots(line):
                rows.append((row, index[line.member]))
                ats.append(at)
                forces.append(force)
    pairs = np.array(rows, dtype=np.intp).reshape(-1, 2)
    return OnMembers(pairs[:, 0], pairs[:, 1], np.array(ats), np.array(forces).reshape(-1, 3))


def _spots(line: LineLoad) -> Iterator[tuple[float, Vec3]]:
    """The three forces that stand for a line of load in every polynomial up to the fourth degree."""
    length = line.finish - line.start
    for place, weight in _GAUSS:
        share = (1.0 + place) / 2.0
        q = [a + (b - a) * share for a, b in zip(line.q0, line.q1, strict=True)]
        part = length * weight
        yield line.start + length * share, (q[0] * part, q[1] * part, q[2] * part)
