"""How far every piece and joint of a solved model is used: members, bases of posts, fixings of rails, infill."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from pitchline.design.model import PostRole
from pitchline.kit.frame.model import FloatArray
from pitchline.kit.geometry.frames import Vec3
from pitchline.strength.bases.joints import FaceFixed
from pitchline.strength.ec5.members import k_notch
from pitchline.strength.fixed import Actions, BaseStrength, base_strength
from pitchline.strength.infill import infill_loads, infill_uses
from pitchline.strength.limits import allowed
from pitchline.strength.loads import PERMANENT_FACTOR
from pitchline.strength.model import Standing
from pitchline.strength.nds.members import notched_shear
from pitchline.strength.rail_uses import factored_rows, rail_uses
from pitchline.strength.report import Utilisation
from pitchline.strength.settings import Code
from pitchline.strength.solved import Solved, Study
from pitchline.strength.standing import how_it_stands, post_end
from pitchline.strength.stresses import Inner, inner_forces, judge_pieces, stressed, used

DOUBT = 1.5
"""Further factor on fixings whose strength is in doubt (BS 6180, 1999 text, second hand)."""


@dataclass(frozen=True, eq=False)
class Used:
    """Every piece and joint, the most used first; ``solved`` is what they were judged in.

    ``helped``: the newels hold only with the help of base rails and uprights, which are then judged with them.
    """

    uses: tuple[Utilisation, ...]
    solved: Solved
    helped: bool


def utilisations(study: Study) -> Used:
    """How far everything is used. Loads are factored for EN 1995-1-1 and as stated for the NDS.

    First the newels' own bases are to bear all; where they do not, base rails on their seats and uprights that stand
    stiff in their rails may help. Of two ways in which a push can be carried the one that uses things less will do,
    as fixings yield before they break.
    """
    alone = _judged(study, study.bearing(), helped=False)
    if alone.uses[0].ratio <= 1.0 or not study.structure.helping:
        return alone
    helped = _judged(study, study.bearing(helped=True), helped=True)
    return helped if helped.uses[0].ratio < alone.uses[0].ratio else alone


def _judged(study: Study, solved: Solved, *, helped: bool) -> Used:
    names = [case.id for case in solved.cases]
    inner = _inner(solved, study.code)
    judged = judge_pieces(solved.model, study.settings, study.code)
    stress = stressed(solved.model, inner, judged)
    found = [
        *used(solved.model, inner, stress, judged, names),
        *_joints(study, solved),
        *_infill(study, solved),
    ]
    return Used(tuple(sorted(found, key=lambda use: -use.ratio)), solved, helped)


def highest(study: Study, bases: float = 1.0) -> float:
    """The largest utilisation alone, with bases so many times as stiff as likely."""
    alone = highest_of(study, study.bearing(bases))
    if alone <= 1.0 or not study.structure.helping:
        return alone
    return min(alone, highest_of(study, study.bearing(bases, helped=True)))


def highest_of(study: Study, solved: Solved) -> float:
    """The largest utilisation in one solved frame."""
    judged = judge_pieces(solved.model, study.settings, study.code)
    of_members = stressed(solved.model, _inner(solved, study.code), judged).highest
    joints = (use.ratio for use in _joints(study, solved))
    infill = (use.ratio for use in _infill(study, solved))
    return max([of_members, *joints, *infill])


def _factors(solved: Solved, code: Code) -> tuple[float, float]:
    """Factors on imposed and permanent loads."""
    return (1.0, 1.0) if code is Code.NDS_2018 else (solved.loads.factor, PERMANENT_FACTOR)


def _inner(solved: Solved, code: Code) -> Inner:
    imposed, permanent = _factors(solved, code)
    factors = np.array([0.0, *[imposed] * len(solved.loads.imposed)])
    return inner_forces(solved.solution, factors, 0, permanent)


def fixing_factors(study: Study, solved: Solved) -> tuple[float, float]:
    """Factors on imposed and permanent loads where fixings are judged."""
    imposed, permanent = _factors(solved, study.code)
    if not study.settings.doubtful_fixings:
        return imposed, permanent
    figure = study.rules.figure("load.fixing.factor")
    return imposed * (DOUBT if figure is None else figure.value), permanent


def _joints(study: Study, solved: Solved) -> Iterator[Utilisation]:
    factors = fixing_factors(study, solved)
    yield from _bases(study, solved, factors)
    yield from rail_uses(study, solved, factors)


def _infill(study: Study, solved: Solved) -> Iterator[Utilisation]:
    loads = infill_loads(study.rules, _factors(solved, study.code)[0])
    for leg in study.legs:
        yield from infill_uses(leg.design, loads, study.settings, study.code)


def _bases(study: Study, solved: Solved, factors: tuple[float, float]) -> Iterator[Utilisation]:
    settings, code = study.settings, study.code
    index = solved.model.frame.node_index
    for standing in solved.model.posts:
        if standing.post.role is PostRole.HALF and standing.post.id not in settings.bases:
            continue
        design = study.legs[standing.leg].design
        base, support = how_it_stands(standing.post, design, settings)
        judged = base_strength(base, post_end(standing.post, settings), support, settings, code)
        if judged.judge is None:
            continue
        at_foot = solved.solution.reactions_at(index[standing.foot])
        rows = _in_own_axes(standing, factored_rows(at_foot, factors))
        yield _base(solved, standing, judged, rows)
        if isinstance(base, FaceFixed) and base.notch > 0.0:
            yield _notch(study, solved, standing, base, rows)


def _in_own_axes(standing: Standing, rows: FloatArray) -> FloatArray:
    """Reactions (cases, 6) of the world along a base's own axes: along, across and up."""
    turn = np.array([standing.along, standing.across, _UP])
    own: FloatArray = np.concatenate([rows[:, :3] @ turn.T, rows[:, 3:] @ turn.T], axis=1)
    return own


_UP: Vec3 = (0.0, 0.0, 1.0)


def _base(solved: Solved, standing: Standing, judged: BaseStrength, rows: FloatArray) -> Utilisation:
    """One base in its worst case; rows are reactions (cases, 6)."""
    actions = [Actions(row[3], row[4], row[1], row[0], -row[2]) for row in rows.tolist()]
    judge = judged.judge
    ratios = [0.0 if judge is None else judge(action) for action in actions]
    at = int(np.argmax(ratios))
    worst = actions[at]
    moment = max(abs(worst.across), abs(worst.along))
    worked = (
        f"M across {worst.across / 1e3:.0f} Nm, along {worst.along / 1e3:.0f} Nm, V {worst.shear_across:.0f} N; "
        f"{judged.worked}"
    )
    return Utilisation(
        standing.post.id,
        f"base {standing.base.name}",
        judged.clause,
        ratios[at],
        moment,
        moment / ratios[at] if ratios[at] > 0.0 else 0.0,
        "Nmm",
        solved.cases[at].id,
        worked,
    )


def _notch(
    study: Study, solved: Solved, standing: Standing, base: FaceFixed, rows: FloatArray
) -> Utilisation:
    """What is left of a post where it is notched over its support: bending across, and shear beside the notch.

    EN 1995-1-1 6.5.2, or NDS 3.4.3.2; the support's force is taken to act as far from the notch's corner as the
    lowest row stands from the edge.
    """
    code = study.code
    may = allowed(solved.model.by_name[standing.post.id], study.settings, code)
    whole, wide = standing.post.across, standing.post.along
    left = whole - base.notch
    bending = np.abs(rows[:, 3]) / (wide * left**2 / 6.0) / may.bending_z
    if code is Code.NDS_2018:
        bears = notched_shear(may.shear, wide, left, whole)
        clause = "NDS 2018 3.4.3.2"
    else:
        bears = may.shear * k_notch(whole, left, base.edge) * may.cracked * wide * left / 1.5
        clause = f"{code} 6.5.2"
    shear = np.abs(rows[:, 1]) / bears
    ratio = np.maximum(bending, shear)
    at = int(ratio.argmax())
    acts = abs(float(rows[at, 1]))
    worked = (
        f"{left:.0f} of {whole:.0f} mm left: bending {100 * bending[at]:.0f} %, shear {acts:.0f} N of "
        f"{bears:.0f} N"
    )
    case = solved.cases[at].id
    return Utilisation(standing.post.id, "notch", clause, float(ratio[at]), acts, bears, "N", case, worked)
