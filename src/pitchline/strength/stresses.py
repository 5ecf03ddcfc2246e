"""Stresses in every member under every case, and how far each piece is used. Arrays over (cases, members, places).

Places along a member: both ends, and its middle where a load acts on it.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from pitchline.kit.frame.loads import LineLoad, PointLoad
from pitchline.kit.frame.model import FloatArray
from pitchline.kit.frame.results import Solution
from pitchline.kit.geometry.frames import Vec3, dot
from pitchline.strength.ec5.members import torsion_stress
from pitchline.strength.framing import Model, Piece
from pitchline.strength.limits import Allowed, allowed
from pitchline.strength.report import Utilisation
from pitchline.strength.settings import Code, StrengthSettings


@dataclass(frozen=True, eq=False)
class Inner:
    """Inner forces, each (cases, members, 3): N in tension, shears, torsion, moments about the member's y and z."""

    normal: FloatArray
    shear_y: FloatArray
    shear_z: FloatArray
    torsion: FloatArray
    moment_y: FloatArray
    moment_z: FloatArray


def inner_forces(solution: Solution, factors: FloatArray, permanent: int, permanent_factor: float) -> Inner:
    """Inner forces of each case times its factor, with the permanent case added on.

    ``factors`` (cases,) is 0 for the permanent one, which then stands alone.
    """
    ends = solution.end_forces
    mids = middle_moments(solution)
    total = ends * factors[:, None, None] + ends[permanent] * permanent_factor
    middle = mids * factors[:, None] + mids[permanent] * permanent_factor
    start, finish = -total[:, :, :6], total[:, :, 6:]
    six = [np.stack([start[:, :, n], finish[:, :, n], np.zeros_like(middle)], axis=2) for n in range(6)]
    six[0][:, :, 2] = six[0][:, :, :2].mean(axis=2)
    six[4][:, :, 2] = six[4][:, :, :2].mean(axis=2)
    six[5][:, :, 2] = np.where(mids.any(axis=0), middle, 0.0)
    return Inner(*six)


def middle_moments(solution: Solution) -> FloatArray:
    """Moment about z in the middle of members on which a load acts, (cases, members); 0 elsewhere."""
    ends = solution.end_forces
    found = np.zeros(ends.shape[:2])
    loaded = np.zeros(found.shape, dtype=bool)
    index, elems = solution.frame.member_index, solution.elems
    for row, case in enumerate(solution.cases):
        loads: tuple[PointLoad | LineLoad, ...] = (*case.point, *case.line)
        for load in loads:
            place = index[load.member]
            y, middle = elems.turn[place, 1], float(elems.length[place]) / 2.0
            found[row, place] += _about(load, middle, (float(y[0]), float(y[1]), float(y[2])))
            loaded[row, place] = True
    simple = -(ends[:, :, 5] - elems.length / 2.0 * ends[:, :, 1])
    return np.where(loaded, simple + found, 0.0)


def _about(load: PointLoad | LineLoad, middle: float, y: Vec3) -> float:
    """Moment about the middle of a member of what acts on it before there, along its own y."""
    if isinstance(load, PointLoad):
        return dot(y, load.force) * max(0.0, middle - load.at)
    covered = max(0.0, min(middle, load.finish) - load.start)
    if covered <= 0.0:
        return 0.0
    q0, q1 = dot(y, load.q0), dot(y, load.q1)
    slope = (q1 - q0) / (load.finish - load.start)
    reach = middle - load.start
    part = q0 * covered + slope * covered**2 / 2.0
    return part * reach - (q0 * covered**2 / 2.0 + slope * covered**3 / 3.0)


def used(
    model: Model, inner: Inner, names: Sequence[str], settings: StrengthSettings, code: Code
) -> Iterator[Utilisation]:
    """Bending with axial force, shear and torsion of every piece at its worst place and case."""
    index = model.frame.member_index
    for piece in model.pieces:
        places = [index[name] for name in piece.members]
        if not places:
            continue
        may = allowed(piece, settings, code)
        yield _bending(piece, may, inner, places, names)
        yield _shear(piece, may, inner, places, names)
        yield _torsion(piece, may, inner, places, names)


def _worst(ratio: FloatArray) -> tuple[int, int, int]:
    case, member, place = np.unravel_index(int(np.argmax(ratio)), ratio.shape)
    return int(case), int(member), int(place)


def _bending(
    piece: Piece, may: Allowed, inner: Inner, places: list[int], names: Sequence[str]
) -> Utilisation:
    cut = piece.cut
    y = np.abs(inner.moment_y[:, places]) / cut.w_y
    z = np.abs(inner.moment_z[:, places]) / cut.w_z
    n = inner.normal[:, places] / cut.section.area
    ry, rz = y / may.bending_y, z / may.bending_z
    bending = np.maximum(ry + may.k_m * rz, may.k_m * ry + rz)
    axial = np.where(n >= 0.0, n / may.tension, (n / may.compression) ** 2)
    ratio = bending + axial
    at = _worst(ratio)
    worked = (
        f"M_z {inner.moment_z[:, places][at] / 1e3:.0f} Nm on {cut.w_z / 1e3:.1f} cm3 gives {z[at]:.2f} MPa of "
        f"{may.bending_z:.2f}; M_y {y[at]:.2f} MPa of {may.bending_y:.2f}; axial {n[at]:.2f} MPa; {may.worked}"
    )
    acts = float(z[at] + y[at])
    return Utilisation(
        piece.name,
        "bending",
        may.clause_bending,
        float(ratio[at]),
        acts,
        acts / max(float(ratio[at]), 1e-12),
        "MPa",
        names[at[0]],
        worked,
    )


def _shear(piece: Piece, may: Allowed, inner: Inner, places: list[int], names: Sequence[str]) -> Utilisation:
    cut = piece.cut
    area = cut.section.area * may.cracked
    factor = 4.0 / 3.0 if cut.round_shape else 1.5
    stress = factor * np.hypot(inner.shear_y[:, places], inner.shear_z[:, places]) / area
    at = _worst(stress)
    worked = f"{stress[at]:.2f} MPa on {may.cracked:.2f} of the width, of {may.shear:.2f} MPa"
    return Utilisation(
        piece.name,
        "shear",
        may.clause_shear,
        float(stress[at]) / may.shear,
        float(stress[at]),
        may.shear,
        "MPa",
        names[at[0]],
        worked,
    )


def _torsion(
    piece: Piece, may: Allowed, inner: Inner, places: list[int], names: Sequence[str]
) -> Utilisation:
    cut = piece.cut
    unit = torsion_stress(1.0, cut.side_y, cut.side_z)
    if cut.round_shape:
        unit = 1.0 / (2.0 * cut.w_y)
    stress = np.abs(inner.torsion[:, places]) * unit
    at = _worst(stress)
    bears = may.shear * may.turned
    worked = f"{stress[at]:.2f} MPa of {may.shear:.2f} x {may.turned:.2f}"
    return Utilisation(
        piece.name,
        "torsion",
        may.clause_torsion,
        float(stress[at]) / bears,
        float(stress[at]),
        bears,
        "MPa",
        names[at[0]],
        worked,
    )
