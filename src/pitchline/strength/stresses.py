"""Stresses in every member under every case, and how far each piece is used. Arrays over (cases, members, places).

Places along a member: both ends, and its middle where a load acts on it.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from pitchline.kit.frame.loads import LineLoad, PointLoad
from pitchline.kit.frame.model import FloatArray, IntArray
from pitchline.kit.frame.results import Solution
from pitchline.kit.geometry.frames import Vec3, dot
from pitchline.strength.ec5.members import torsion_stress
from pitchline.strength.limits import Allowed, allowed
from pitchline.strength.model import Model, Piece
from pitchline.strength.report import Utilisation
from pitchline.strength.sections import Cut
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


@dataclass(frozen=True, eq=False)
class Stressed:
    """Stresses (MPa) and ratios of every member in every case, (cases, members, 3)."""

    about_y: FloatArray
    about_z: FloatArray
    axial: FloatArray
    bending: FloatArray
    shear_stress: FloatArray
    shear: FloatArray
    torsion_stress: FloatArray
    torsion: FloatArray

    @property
    def highest(self) -> float:
        """The largest ratio of all."""
        return max(float(ratio.max(initial=0.0)) for ratio in (self.bending, self.shear, self.torsion))


@dataclass(frozen=True, eq=False)
class Judged:
    """What every piece may bear, and the same spread over the members."""

    pieces: tuple[Allowed, ...]
    piece_of: IntArray


def judge_pieces(model: Model, settings: StrengthSettings, code: Code) -> Judged:
    """What every piece may bear; pieces of one section and wood are judged once."""
    known: dict[tuple[int, int], Allowed] = {}
    found = []
    piece_of = np.zeros(len(model.frame.members), dtype=np.intp)
    for n, piece in enumerate(model.pieces):
        key = (id(piece.cut), id(piece.wood))
        if key not in known:
            known[key] = allowed(piece, settings, code)
        found.append(known[key])
        piece_of[[model.frame.member_index[name] for name in piece.members]] = n
    return Judged(tuple(found), piece_of)


def stressed(model: Model, inner: Inner, judged: Judged) -> Stressed:
    """Bending with axial force, shear and torsion of every member at its places in every case."""
    rows = [
        (c.w_y, c.w_z, c.section.area, _twist(c), 4.0 / 3.0 if c.round_shape else 1.5)
        for c in (piece.cut for piece in model.pieces)
    ]
    limits = [
        (a.bending_y, a.bending_z, a.tension, a.compression, a.shear, a.cracked, a.turned, a.k_m)
        for a in judged.pieces
    ]
    own = np.array(rows)[judged.piece_of].T[:, None, :, None]
    may = np.array(limits)[judged.piece_of].T[:, None, :, None]
    w_y, w_z, area, twist, peak = own
    f_y, f_z, f_t, f_c, f_v, cracked, turned, k_m = may
    y, z, n = np.abs(inner.moment_y) / w_y, np.abs(inner.moment_z) / w_z, inner.normal / area
    r_y, r_z = y / f_y, z / f_z
    bending = np.maximum(r_y + k_m * r_z, k_m * r_y + r_z) + np.where(n >= 0.0, n / f_t, (n / f_c) ** 2)
    v = peak * np.hypot(inner.shear_y, inner.shear_z) / (area * cracked)
    t = np.abs(inner.torsion) * twist
    return Stressed(y, z, n, bending, v, v / f_v, t, t / (f_v * turned))


def _twist(cut: Cut) -> float:
    """Shear stress in a section for each Nmm of torsion."""
    return 1.0 / (2.0 * cut.w_y) if cut.round_shape else torsion_stress(1.0, cut.side_y, cut.side_z)


def used(
    model: Model, inner: Inner, stress: Stressed, judged: Judged, names: Sequence[str]
) -> Iterator[Utilisation]:
    """Bending with axial force, shear and torsion of every piece at its worst place and case."""
    index = model.frame.member_index
    worst = [_worst_places(ratio) for ratio in (stress.bending, stress.shear, stress.torsion)]
    for piece, may in zip(model.pieces, judged.pieces, strict=True):
        places = [index[name] for name in piece.members]
        if not places:
            continue
        at = [_of_piece(places, found) for found in worst]
        yield _bending(piece, may, inner, stress, at[0], names)
        yield _sheared(piece, may, stress, at[1], names)
        yield _twisted(piece, may, stress, at[2], names)


Place = tuple[int, int, int]


def _worst_places(ratio: FloatArray) -> tuple[FloatArray, IntArray, IntArray]:
    """Of each member the largest ratio, its case and its place."""
    cases, members, places = ratio.shape
    flat = ratio.transpose(1, 0, 2).reshape(members, cases * places)
    best = flat.argmax(axis=1)
    return flat[np.arange(members), best], best // places, best % places


def _of_piece(places: Sequence[int], found: tuple[FloatArray, IntArray, IntArray]) -> Place:
    """The worst of a piece's members: case, member, place."""
    ratio, case, place = found
    member = max(places, key=lambda n: float(ratio[n]))
    return int(case[member]), member, int(place[member])


def _bending(
    piece: Piece, may: Allowed, inner: Inner, stress: Stressed, at: Place, names: Sequence[str]
) -> Utilisation:
    y, z, n = float(stress.about_y[at]), float(stress.about_z[at]), float(stress.axial[at])
    ratio = float(stress.bending[at])
    worked = (
        f"M_z {float(inner.moment_z[at]) / 1e3:.0f} Nm on {piece.cut.w_z / 1e3:.1f} cm3 gives {z:.2f} MPa of "
        f"{may.bending_z:.2f}; M_y {y:.2f} MPa of {may.bending_y:.2f}; axial {n:.2f} MPa; {may.worked}"
    )
    bears = (y + z) / max(ratio, 1e-12)
    case = names[at[0]]
    return Utilisation(piece.name, "bending", may.clause_bending, ratio, y + z, bears, "MPa", case, worked)


def _sheared(piece: Piece, may: Allowed, stress: Stressed, at: Place, names: Sequence[str]) -> Utilisation:
    acts, ratio, case = float(stress.shear_stress[at]), float(stress.shear[at]), names[at[0]]
    worked = f"{acts:.2f} MPa on {may.cracked:.2f} of the width, of {may.shear:.2f} MPa"
    return Utilisation(piece.name, "shear", may.clause_shear, ratio, acts, may.shear, "MPa", case, worked)


def _twisted(piece: Piece, may: Allowed, stress: Stressed, at: Place, names: Sequence[str]) -> Utilisation:
    acts, ratio, case = float(stress.torsion_stress[at]), float(stress.torsion[at]), names[at[0]]
    worked = f"{acts:.2f} MPa of {may.shear:.2f} x {may.turned:.2f}"
    bears = may.shear * may.turned
    return Utilisation(piece.name, "torsion", may.clause_torsion, ratio, acts, bears, "MPa", case, worked)
