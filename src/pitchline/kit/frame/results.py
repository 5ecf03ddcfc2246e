"""What a solved frame tells: movements, forces at ends and inside members, reactions, and what makes it move.

Forces at ends act on the member, in its own axes. Forces inside a member act on the cut whose material lies towards
``i``: N positive in tension.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from pitchline.kit.frame.elements import Elements, raw_end_forces
from pitchline.kit.frame.loads import Case, LineLoad, OnMembers, PointLoad
from pitchline.kit.frame.model import FloatArray, Frame, IntArray


@dataclass(frozen=True, slots=True)
class Inside:
    """Forces along one member at ``at`` mm from end ``i``: N, N and Nmm, arrays of one length."""

    at: FloatArray
    normal: FloatArray
    shear_y: FloatArray
    shear_z: FloatArray
    torsion: FloatArray
    moment_y: FloatArray
    moment_z: FloatArray


@dataclass(frozen=True, eq=False)
class Solution:
    """The answers of every case: ``movements`` (cases, nodes, 6) in mm and radians, world axes."""

    frame: Frame
    elems: Elements
    cases: tuple[Case, ...]
    movements: FloatArray
    applied: FloatArray
    ground_moved: FloatArray
    loads: OnMembers
    held: FloatArray

    @cached_property
    def case_index(self) -> dict[str, int]:
        """Place of each case by id."""
        return {case.id: place for place, case in enumerate(self.cases)}

    @cached_property
    def at_ends(self) -> FloatArray:
        """Node movements in each member's axes, (members, 12, cases)."""
        count, members = len(self.cases), len(self.frame.ends)
        at_nodes = self.movements.transpose(1, 2, 0)[self.frame.ends].reshape(members, 4, 3, count)
        turned: FloatArray = np.matmul(self.elems.turn[:, None], at_nodes).reshape(members, 12, count)
        return turned

    @cached_property
    def end_forces(self) -> FloatArray:
        """Forces at both ends of every member, own axes, (cases, members, 12)."""
        forces = np.ascontiguousarray(np.matmul(self.elems.stiffness, self.at_ends).transpose(2, 0, 1))
        np.add.at(forces, (self.loads.case, self.loads.member), self.held)
        return forces

    @cached_property
    def reactions(self) -> FloatArray:
        """What the ground does to the nodes, world axes, (cases, nodes, 6); nothing where nothing holds."""
        world = self._world_end_forces
        total = np.zeros(self.movements.shape).transpose(1, 0, 2).copy()
        np.add.at(total, self.frame.ends[:, 0], world[:, :, :6].transpose(1, 0, 2))
        np.add.at(total, self.frame.ends[:, 1], world[:, :, 6:].transpose(1, 0, 2))
        held: FloatArray = np.where(self.frame.ground > 0.0, total.transpose(1, 0, 2) - self.applied, 0.0)
        return held

    def reactions_at(self, node: int) -> FloatArray:
        """What the ground does to one node (by place) in every case, world axes, (cases, 6)."""
        total = -self.applied[:, node]
        for member, side in zip(*np.nonzero(self.frame.ends == node), strict=True):
            blocks = self.end_forces[:, member, 6 * side : 6 * side + 6].reshape(-1, 2, 3)
            total = total + (blocks @ self.elems.turn[member]).reshape(-1, 6)
        held: FloatArray = np.where(self.frame.ground[node] > 0.0, total, 0.0)
        return held

    def reactions_of(self, nodes: IntArray) -> FloatArray:
        """The same for some nodes, (cases, nodes, 6): springs push back as they give, fixed nodes are balanced."""
        springs = self.frame.ground[nodes]
        fixed = np.isinf(springs) @ np.ones(6) > 0.0
        moved = self.movements[:, nodes] - self.ground_moved[:, nodes]
        back: FloatArray = -np.where(fixed[:, None], 0.0, springs) * moved
        for place in np.nonzero(fixed)[0].tolist():
            back[:, place] = self.reactions_at(int(nodes[place]))
        return back

    @cached_property
    def _world_end_forces(self) -> FloatArray:
        blocks = self.end_forces.reshape(len(self.cases), len(self.frame.ends), 4, 3)
        world: FloatArray = np.matmul(blocks, self.elems.turn[None])
        return world.reshape(self.end_forces.shape)

    def moved(self, case: str, node: str) -> FloatArray:
        """Movement of one node in one case, six numbers."""
        found: FloatArray = self.movements[self.case_index[case], self.frame.node_index[node]]
        return found

    def reaction(self, case: str, node: str) -> FloatArray:
        """What the ground does to one node in one case, six numbers."""
        found: FloatArray = self.reactions[self.case_index[case], self.frame.node_index[node]]
        return found

    def member_end_forces(self, case: str, member: str) -> FloatArray:
        """Forces at both ends of one member in one case, own axes, twelve numbers."""
        found: FloatArray = self.end_forces[self.case_index[case], self.frame.member_index[member]]
        return found

    def inside(self, case: str, member: str, at: FloatArray) -> Inside:
        """Forces inside one member at places along it, by statics from its end ``i``."""
        place = self.frame.member_index[member]
        f = self.member_end_forces(case, member)
        force, turn = np.zeros((3, len(at))), np.zeros((2, len(at)))
        for load in self.cases[self.case_index[case]].point:
            if load.member == member:
                _add_point(self.elems.turn[place], load, at, force, turn)
        for line in self.cases[self.case_index[case]].line:
            if line.member == member:
                _add_line(self.elems.turn[place], line, at, force, turn)
        return Inside(
            at,
            -(f[0] + force[0]),
            -(f[1] + force[1]),
            -(f[2] + force[2]),
            np.full(len(at), -f[3]),
            -(f[4] + at * f[2] + turn[1]),
            -(f[5] - at * f[1] - turn[0]),
        )


def _add_point(
    turn: FloatArray, load: PointLoad, at: FloatArray, force: FloatArray, moment: FloatArray
) -> None:
    """Add a single force before each cut, and its moment about the cut (along y and along z)."""
    own = turn @ np.array(load.force)
    before = np.where(at > load.at, 1.0, 0.0)
    force += own[:, None] * before
    moment += own[1:, None] * (before * (at - load.at))


def _add_line(
    turn: FloatArray, line: LineLoad, at: FloatArray, force: FloatArray, moment: FloatArray
) -> None:
    """Add what of a line of load lies before each cut, and its moment about the cut."""
    q0, q1 = turn @ np.array(line.q0), turn @ np.array(line.q1)
    length = line.finish - line.start
    if length <= 0.0:
        return
    covered = np.clip(at - line.start, 0.0, length)
    slope = (q1 - q0) / length
    part = q0[:, None] * covered + slope[:, None] * covered**2 / 2.0
    first = q0[:, None] * covered**2 / 2.0 + slope[:, None] * covered**3 / 3.0
    force += part
    moment += (part * (at - line.start) - first)[1:]


@dataclass(frozen=True, eq=False)
class Split:
    """What the movement of one node along one direction is made of, mm (or rad); the parts add up to ``total``.

    ``members`` (m,) from strain in each member, ``joints`` (m, 12) from each of its joints, ``ground`` (n, 6) from
    each ground spring, ``moved`` (n, 6) from ground that moves.
    """

    total: float
    members: FloatArray
    joints: FloatArray
    ground: FloatArray
    moved: FloatArray


def split_movement(real: Solution, case: int, unit: Solution, unit_case: int) -> Split:
    """Share out the movement of ``case`` at the place and direction of the single unit load in ``unit_case``.

    The unit-load method (virtual work): the unit case must hold one force or moment of size 1 and nothing else.
    """
    f_real, f_unit = real.end_forces[case], unit.end_forces[unit_case]
    give = real.elems.give
    joints = f_real * f_unit * np.where(np.isfinite(give), give, 0.0)
    strain_real, strain_unit = _inner(real, case), _inner(unit, unit_case)
    members = np.einsum("mi,mij,mj->m", strain_unit, real.elems.own, strain_real)
    r_real, r_unit = real.reactions[case], unit.reactions[unit_case]
    ground = real.frame.ground
    springs = (ground > 0.0) & np.isfinite(ground)
    sprung = np.where(springs, r_real * r_unit / np.where(springs, ground, 1.0), 0.0)
    moved = -r_unit * real.ground_moved[case]
    total = float(np.vdot(unit.applied[unit_case], real.movements[case]))
    return Split(total, members, joints, sprung, moved)


def _inner(solution: Solution, case: int) -> FloatArray:
    """Movements of the members' ends inside their joints, own axes, (m, 12)."""
    inner: FloatArray = np.einsum("mij,mj->mi", solution.elems.ends, solution.at_ends[:, :, case])
    mine = solution.loads.case == case
    member, loads = solution.loads.member[mine], raw_end_forces(solution.elems, solution.loads)[mine]
    np.add.at(inner, member, -np.einsum("lij,lj->li", solution.elems.loose[member], loads))
    return inner
