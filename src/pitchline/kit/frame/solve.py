"""Solving a frame: one banded Cholesky factorisation, any number of cases.

``factor`` refuses an unstable frame (MechanismError); what it returns is sound for every case.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pitchline.kit.frame.elements import Elements, elements, held_end_forces, on_other_joints
from pitchline.kit.frame.loads import (
    Case,
    check_cases,
    ground_movements,
    nodal_forces,
    on_members,
)
from pitchline.kit.frame.mechanism import Mechanism, MechanismError, describe
from pitchline.kit.frame.model import FloatArray, Frame, IntArray
from pitchline.kit.frame.order import band_order
from pitchline.kit.frame.results import Solution
from pitchline.kit.tolerances import MECHANISM_PIVOT, MODES_TOLD


@dataclass(frozen=True, eq=False)
class Factored:
    """A stable frame, factored: ``number`` of each of the nodes' six movements among the free ones, -1 if fixed."""

    frame: Frame
    elems: Elements
    number: IntArray
    band: FloatArray

    def solve(self, cases: Sequence[Case]) -> Solution:
        """Movements and forces of every case; InputError for a load that acts on nothing."""
        check_cases(self.frame, cases)
        frame, elems = self.frame, self.elems
        applied = nodal_forces(frame, cases)
        moved = ground_movements(frame, cases)
        loads = on_members(frame, cases)
        held = held_end_forces(elems, loads)
        forces = applied.copy()
        _spread(frame, elems, forces, loads.case, loads.member, -held)
        springs = np.where(np.isfinite(frame.ground), frame.ground, 0.0)
        forces += springs * moved
        fixed = np.where(np.isinf(frame.ground), moved, 0.0)
        if fixed.any():
            at_ends = _member_ends(frame, elems, fixed)
            push = np.einsum("mij,cmj->cmi", elems.stiffness, at_ends)
            case, member = np.nonzero(push.any(axis=2))
            _spread(frame, elems, forces, case, member, -push[case, member])
        movements = fixed + self._free_movements(forces)
        return Solution(frame, elems, tuple(cases), movements, applied, moved, loads, held)

    def _free_movements(self, forces: FloatArray) -> FloatArray:
        from scipy.linalg.lapack import dpbtrs  # slow to load, and not every command solves a frame

        flat = forces.reshape(len(forces), -1)
        free = self.number >= 0
        right = np.zeros((self.band.shape[1], len(forces)))
        right[self.number[free]] = flat[:, free].T
        answer = np.zeros_like(flat)
        if right.size:
            solved, _ = dpbtrs(self.band, right, lower=1)
            answer[:, free] = solved[self.number[free]].T
        return answer.reshape(forces.shape)


def solve(frame: Frame, cases: Sequence[Case]) -> Solution:
    """Factor a frame and solve its cases."""
    return factor(frame).solve(cases)


def factor(frame: Frame) -> Factored:
    """Factor a frame; MechanismError naming node and direction where it is not stable."""
    return _factored(frame, elements(frame), _numbering(frame))


def factor_again(known: Factored, frame: Frame) -> Factored:
    """Factor the frame of ``known`` on other springs (:meth:`Frame.with_springs`); MechanismError as above."""
    same_ground = bool((np.isinf(frame.ground) == np.isinf(known.frame.ground)).all())
    number = known.number if same_ground else _numbering(frame)
    return _factored(frame, on_other_joints(known.elems, frame), number)


def _factored(frame: Frame, elems: Elements, number: IntArray) -> Factored:
    band = _assemble(frame, elems, number)
    if band.shape[1] == 0:
        return Factored(frame, elems, number, band)
    factored, sound = _cholesky(band)
    if not sound:
        raise MechanismError(_mechanisms(frame, number, band))
    return Factored(frame, elems, number, factored)


def _numbering(frame: Frame) -> IntArray:
    order = np.array(band_order(len(frame.xyz), frame.ends), dtype=np.intp)
    free = ~np.isinf(frame.ground[order])
    count = np.cumsum(free.ravel()) - 1
    number = np.empty((len(order), 6), dtype=np.intp)
    number[order] = np.where(free, count.reshape(-1, 6), -1)
    return number.ravel()


def _assemble(frame: Frame, elems: Elements, number: IntArray) -> FloatArray:
    """The free part of the stiffness as a lower band, (width, free)."""
    places = number.reshape(-1, 6)[frame.ends].reshape(-1, 12)
    world = _to_world(elems.turn, _to_world(elems.turn, elems.stiffness).swapaxes(1, 2))
    row, column = np.broadcast_arrays(places[:, :, None], places[:, None, :])
    use = (row >= column) & (column >= 0)
    below, column, values = row[use] - column[use], column[use], world[use]
    size = int(number.max(initial=-1)) + 1
    width = int(below.max(initial=0)) + 1
    filled = np.bincount(below * size + column, weights=values, minlength=width * size)
    band = np.zeros((width, size))
    band += filled.reshape(width, size)
    free = number >= 0
    band[0, number[free]] += frame.ground.ravel()[free]
    return band


def _to_world(turn: FloatArray, matrix: FloatArray) -> FloatArray:
    """Turn the rows of each member's matrix (m, 12, n) from its own axes into the world's."""
    count, _, width = matrix.shape
    blocks = matrix.reshape(count, 4, 3, width)
    back = turn.swapaxes(1, 2)[:, None]
    turned: FloatArray = np.matmul(back, blocks)
    return turned.reshape(count, 12, width)


def _member_ends(frame: Frame, elems: Elements, movements: FloatArray) -> FloatArray:
    """Movements of the nodes at both ends of each member in its own axes, (cases, members, 12)."""
    count, members = len(movements), len(frame.ends)
    at_nodes = movements.transpose(1, 2, 0)[frame.ends].reshape(members, 4, 3, count)
    turned: FloatArray = np.matmul(elems.turn[:, None], at_nodes)
    return turned.reshape(members, 12, count).transpose(2, 0, 1)


def _spread(
    frame: Frame, elems: Elements, forces: FloatArray, case: IntArray, member: IntArray, ends: FloatArray
) -> None:
    """Add forces at members' ends, own axes (n, 12), to those at the nodes."""
    world = _to_world(elems.turn[member], ends[:, :, None]).reshape(-1, 2, 6)
    np.add.at(forces, (case[:, None], frame.ends[member]), world)


def _cholesky(band: FloatArray) -> tuple[FloatArray, bool]:
    """The factor, and whether every pivot keeps its share of the diagonal."""
    from scipy.linalg.lapack import dpbtrf  # slow to load, and not every command solves a frame

    factored, info = dpbtrf(band, lower=1)
    if info != 0 or not np.isfinite(factored[0]).all():
        return factored, False
    return factored, bool((factored[0] ** 2 > MECHANISM_PIVOT * band[0]).all())


def _mechanisms(frame: Frame, number: IntArray, band: FloatArray) -> list[Mechanism]:
    """The ways in which the frame moves, by inverse iteration on a few shapes at once."""
    from scipy.linalg.lapack import dpbtrs  # slow to load, and only an unstable frame comes here

    diagonal = np.where(band[0] > 0.0, band[0], _usual(band[0]))
    shifted = band.copy()
    shifted[0] += 10.0 * MECHANISM_PIVOT * diagonal
    factored, sound = _cholesky(shifted)
    if not sound:
        return []
    root = np.sqrt(diagonal)
    count = min(MODES_TOLD, band.shape[1])
    shapes = np.random.default_rng(1).standard_normal((band.shape[1], count))
    for _ in range(6):
        shapes, _ = dpbtrs(factored, shapes * root[:, None], lower=1)
        shapes, _ = np.linalg.qr(shapes * root[:, None])
    movements = shapes / root[:, None]
    small, turn = np.linalg.eigh(movements.T @ _times(band, movements))
    loose = [place for place in range(count) if small[place] < 10.0 * MECHANISM_PIVOT] or [0]
    turned = movements @ turn[:, loose]
    free = number >= 0
    told = []
    for column in _apart(turned, root):
        whole = np.zeros(number.shape)
        whole[free] = column[number[free]]
        told.append(describe(frame, whole.reshape(-1, 6)))
    return told


def _usual(diagonal: FloatArray) -> float:
    some = diagonal[diagonal > 0.0]
    return float(np.median(some)) if len(some) else 1.0


def _times(band: FloatArray, columns: FloatArray) -> FloatArray:
    """The banded matrix times columns."""
    answer: FloatArray = band[0][:, None] * columns
    for below in range(1, len(band)):
        part = band[below, : columns.shape[0] - below, None]
        answer[below:] += part * columns[:-below]
        answer[:-below] += part * columns[below:]
    return answer


def _apart(shapes: FloatArray, root: FloatArray) -> list[FloatArray]:
    """Shapes of one space, each as large as can be where the others are nothing, so that each tells one thing."""
    rest = shapes.copy()
    chosen: list[FloatArray] = []
    for _ in range(shapes.shape[1]):
        sizes = np.abs(rest * root[:, None]).max(axis=1)
        row = int(sizes.argmax())
        combination = rest @ rest[row]
        size = rest[row] @ rest[row]
        if size == 0.0:
            break
        shape = combination / size
        chosen.append(shape)
        rest -= np.outer(shape, rest[row])
    return chosen
