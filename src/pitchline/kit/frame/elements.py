"""All members of a frame at once: stiffness with shear, and joints that give taken into it by condensation.

A joint's stiffness k enters as its flexibility 1/k: with the member's own stiffness K and F = diag(1/k) the member's
ends move by v = (I + F K)^-1 u under node movements u, so that its end forces are K v. Each row is scaled by
1 / (1 + K_rr / k), which keeps it finite for a release (1/k infinite) and needs no penalty stiffness.

Sources: J. S. Przemieniecki, Theory of Matrix Structural Analysis (1968), stiffness with shear; G. R. Monforton and
T. S. Wu, Matrix analysis of semi-rigidly connected frames, ASCE J. Struct. Div. 89 ST6 (1963), joints. The formulae
are written here from the mechanics.
"""

from dataclasses import dataclass, replace

import numpy as np

from pitchline.kit.frame.loads import OnMembers
from pitchline.kit.frame.model import FloatArray, Frame


@dataclass(frozen=True, eq=False)
class Elements:
    """Arrays over all members.

    ``turn`` (m, 3, 3) takes world vectors to member axes; ``own`` (m, 12, 12) is the stiffness of the member without
    its joints, ``ends`` (m, 12, 12) takes node movements to the movements of the member's ends inside its joints,
    ``loose`` (m, 12, 12) takes forces at held ends to the movements they cause there, ``stiffness`` = own . ends.
    ``shear_y`` and ``shear_z`` are 12 E I / (kappa G A L^2) for bending that moves the member along y and z.
    """

    length: FloatArray
    turn: FloatArray
    own: FloatArray
    ends: FloatArray
    loose: FloatArray
    stiffness: FloatArray
    shear_y: FloatArray
    shear_z: FloatArray
    give: FloatArray


def elements(frame: Frame) -> Elements:
    """The members' stiffnesses in their own axes."""
    ends = frame.xyz[frame.ends]
    axis = ends[:, 1] - ends[:, 0]
    length = np.sqrt(np.einsum("mi,mi->m", axis, axis))
    turn = _turns(axis / length[:, None], np.array([m.z_axis for m in frame.members]))
    rows = [
        (m.e, m.g, s.area, s.iy, s.iz, s.torsion, s.kappa_y, s.kappa_z)
        for m in frame.members
        for s in (m.section,)
    ]
    e, g, area, iy, iz, torsion, kappa_y, kappa_z = np.array(rows).T
    shear_y = 12.0 * e * iz / (kappa_y * g * area * length**2)
    shear_z = 12.0 * e * iy / (kappa_z * g * area * length**2)
    own = _stiffness(length, e * area / length, g * torsion / length, (e * iz, shear_y), (e * iy, shear_z))
    with np.errstate(divide="ignore"):
        give = 1.0 / frame.joints
    inside, loose = _condense(own, give)
    return Elements(length, turn, own, inside, loose, own @ inside, shear_y, shear_z, give)


def on_other_joints(known: Elements, frame: Frame) -> Elements:
    """The stiffnesses of the same members where only their joints are others."""
    with np.errstate(divide="ignore"):
        give = 1.0 / frame.joints
    inside, loose = _condense(known.own, give)
    return replace(known, ends=inside, loose=loose, stiffness=known.own @ inside, give=give)


def _turns(x: FloatArray, reference: FloatArray) -> FloatArray:
    """Rows are the members' own axes in the world."""
    z = reference - np.einsum("mi,mi->m", reference, x)[:, None] * x
    z /= np.sqrt(np.einsum("mi,mi->m", z, z))[:, None]
    return np.stack([x, np.cross(z, x), z], axis=1)


def _stiffness(
    length: FloatArray,
    axial: FloatArray,
    twist: FloatArray,
    along_y: tuple[FloatArray, FloatArray],
    along_z: tuple[FloatArray, FloatArray],
) -> FloatArray:
    own = np.zeros((len(length), 12, 12))
    for spring, first in ((axial, 0), (twist, 3)):
        own[:, first, first] = own[:, first + 6, first + 6] = spring
        own[:, first, first + 6] = own[:, first + 6, first] = -spring
    for (ei, shear), across, turn, sign in ((along_y, 1, 5, 1.0), (along_z, 2, 4, -1.0)):
        k = ei / (length**3 * (1.0 + shear))
        move, mixed = 12.0 * k, 6.0 * k * length * sign
        near, far = (4.0 + shear) * k * length**2, (2.0 - shear) * k * length**2
        v1, t1, v2, t2 = across, turn, across + 6, turn + 6
        own[:, v1, v1] = own[:, v2, v2] = move
        own[:, v1, v2] = own[:, v2, v1] = -move
        own[:, t1, t1] = own[:, t2, t2] = near
        own[:, t1, t2] = own[:, t2, t1] = far
        for row in (t1, t2):
            own[:, v1, row] = own[:, row, v1] = mixed
            own[:, v2, row] = own[:, row, v2] = -mixed
    return own


def _condense(own: FloatArray, give: FloatArray) -> tuple[FloatArray, FloatArray]:
    """(ends, loose) of :class:`Elements`; only members with a joint that gives are worked on."""
    count = len(own)
    inside = np.broadcast_to(np.eye(12), (count, 12, 12)).copy()
    loose = np.zeros((count, 12, 12))
    some = np.flatnonzero((give > 0.0).any(axis=1))
    if len(some) == 0:
        return inside, loose
    k, c = own[some], give[some]
    diagonal = np.einsum("mrr->mr", k)
    kept = 1.0 / (1.0 + c * diagonal)
    lost = (1.0 - kept) / diagonal
    rows = kept[:, :, None] * np.eye(12) + lost[:, :, None] * k
    right = np.concatenate([kept[:, :, None] * np.eye(12), lost[:, :, None] * np.eye(12)], axis=2)
    solved = np.linalg.solve(rows, right)
    inside[some], loose[some] = solved[:, :, :12], solved[:, :, 12:]
    return inside, loose


def held_end_forces(elems: Elements, loads: OnMembers) -> FloatArray:
    """Forces on both ends of a member held there, joints and all, under each single force; (loads, 12), own axes."""
    f = raw_end_forces(elems, loads)
    released = np.einsum("lij,lj->li", elems.loose[loads.member], f)
    held: FloatArray = f - np.einsum("lij,lj->li", elems.own[loads.member], released)
    return held


def raw_end_forces(elems: Elements, loads: OnMembers) -> FloatArray:
    """The same for a member whose joints do not give: end moments P a b (b + Phi L/2) / (L^2 (1 + Phi))."""
    force = np.einsum("lij,lj->li", elems.turn[loads.member], loads.force)
    length, a = elems.length[loads.member], loads.at
    b = length - a
    out = np.zeros((len(a), 12))
    out[:, 0], out[:, 6] = -force[:, 0] * b / length, -force[:, 0] * a / length
    bendings = ((elems.shear_y, 1, 5, 1.0), (elems.shear_z, 2, 4, -1.0))
    for shears, across, turn, sign in bendings:
        p, shear = force[:, across], shears[loads.member]
        scale = p * a * b / (length**2 * (1.0 + shear))
        start, finish = scale * (b + shear * length / 2.0), scale * (a + shear * length / 2.0)
        out[:, turn], out[:, turn + 6] = -sign * start, sign * finish
        out[:, across] = -(p * b + start - finish) / length
        out[:, across + 6] = -(p * a - start + finish) / length
    return out
