"""How far every piece and joint of a solved model is used: members, bases of posts, ends of rails."""

from collections.abc import Iterator

import numpy as np

from pitchline.catalogue.rules import RuleSet
from pitchline.design.model import Design
from pitchline.kit.frame.model import FloatArray
from pitchline.strength.bases.joints import FaceFixed
from pitchline.strength.ec5.members import k_notch
from pitchline.strength.fixed import (
    Actions,
    BaseStrength,
    Between,
    base_strength,
    fixing_strength,
    rail_end_ratio,
)
from pitchline.strength.framing import Piece, Standing
from pitchline.strength.infill import infill_loads, infill_uses
from pitchline.strength.limits import allowed
from pitchline.strength.loads import PERMANENT_FACTOR
from pitchline.strength.nds.members import notched_shear
from pitchline.strength.report import Utilisation
from pitchline.strength.settings import Code, StrengthSettings
from pitchline.strength.solved import Solved
from pitchline.strength.standing import how_it_stands, post_end
from pitchline.strength.stresses import Inner, inner_forces, judge_pieces, stressed, used

DOUBT = 1.5
"""Further factor on fixings whose strength is in doubt (BS 6180, 1999 text, second hand)."""


def utilisations(
    solved: Solved, design: Design, rules: RuleSet, settings: StrengthSettings, code: Code
) -> tuple[Utilisation, ...]:
    """Every piece and joint, the most used first. Loads are factored for EN 1995-1-1 and as stated for the NDS."""
    names = [case.id for case in solved.cases]
    inner = _inner(solved, code)
    judged = judge_pieces(solved.model, settings, code)
    stress = stressed(solved.model, inner, judged)
    found = [
        *used(solved.model, inner, stress, judged, names),
        *_joints(solved, design, settings, code),
        *infill_uses(design, infill_loads(rules, _factors(solved, code)[0]), settings, code),
    ]
    return tuple(sorted(found, key=lambda use: -use.ratio))


def highest(solved: Solved, design: Design, rules: RuleSet, settings: StrengthSettings, code: Code) -> float:
    """The largest utilisation alone."""
    judged = judge_pieces(solved.model, settings, code)
    of_members = stressed(solved.model, _inner(solved, code), judged).highest
    joints = (use.ratio for use in _joints(solved, design, settings, code))
    loads = infill_loads(rules, _factors(solved, code)[0])
    infill = (use.ratio for use in infill_uses(design, loads, settings, code))
    return max([of_members, *joints, *infill])


def _factors(solved: Solved, code: Code) -> tuple[float, float]:
    """Factors on imposed and permanent loads."""
    return (1.0, 1.0) if code is Code.NDS_2018 else (solved.loads.factor, PERMANENT_FACTOR)


def _inner(solved: Solved, code: Code) -> Inner:
    imposed, permanent = _factors(solved, code)
    factors = np.array([0.0, *[imposed] * len(solved.loads.imposed)])
    return inner_forces(solved.solution, factors, 0, permanent)


def _joints(solved: Solved, design: Design, settings: StrengthSettings, code: Code) -> Iterator[Utilisation]:
    imposed, permanent = _factors(solved, code)
    factors = (imposed * (DOUBT if settings.doubtful_fixings else 1.0), permanent)
    yield from _bases(solved, design, settings, code, factors)
    yield from _rail_ends(solved, settings, code, factors)


def _factored(values: FloatArray, factors: tuple[float, float]) -> FloatArray:
    """Imposed cases times their factor with the permanent case added; (cases, ...)."""
    combined: FloatArray = values * factors[0] + values[0] * factors[1]
    combined[0] = values[0] * factors[1]
    return combined


def _bases(
    solved: Solved, design: Design, settings: StrengthSettings, code: Code, factors: tuple[float, float]
) -> Iterator[Utilisation]:
    reactions, index = solved.solution.reactions, solved.model.frame.node_index
    for standing in solved.model.posts:
        base, support = how_it_stands(standing.post, design, settings)
        judged = base_strength(base, post_end(standing.post, settings), support, settings, code)
        if judged.judge is None:
            continue
        rows = _factored(reactions[:, index[standing.foot]], factors)
        yield _base(solved, standing, judged, rows)
        if isinstance(base, FaceFixed) and base.notch > 0.0:
            yield _notch(solved, standing, base, rows, settings, code)


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
    solved: Solved,
    standing: Standing,
    base: FaceFixed,
    rows: FloatArray,
    settings: StrengthSettings,
    code: Code,
) -> Utilisation:
    """What is left of a post where it is notched over its support: bending across, and shear beside the notch.

    EN 1995-1-1 6.5.2, or NDS 3.4.3.2; the support's force is taken to act as far from the notch's corner as the
    lowest row stands from the edge.
    """
    piece = next(piece for piece in solved.model.pieces if piece.name == standing.post.id)
    may = allowed(piece, settings, code)
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


def _rail_ends(
    solved: Solved, settings: StrengthSettings, code: Code, factors: tuple[float, float]
) -> Iterator[Utilisation]:
    """Ends of rails at posts: shear and pull on their fixings."""
    pieces = {piece.name: piece for piece in solved.model.pieces}
    frame = solved.model.frame
    for piece in solved.model.pieces:
        if piece.kind not in {"handrail", "base rail"}:
            continue
        for member in piece.members:
            place = frame.member_index[member]
            nodes = (frame.members[place].i, frame.members[place].j)
            for first, node in ((True, nodes[0]), (False, nodes[1])):
                post = pieces.get(node.removesuffix(f" {piece.name}"))
                if post is None or post.kind != "newel":
                    continue
                rows = _factored(solved.solution.end_forces[:, place], factors)
                rows = -rows[:, :6] if first else rows[:, 6:]
                yield _rail_end(solved, piece, post, rows, settings, code)


def _rail_end(
    solved: Solved, piece: Piece, post: Piece, rows: FloatArray, settings: StrengthSettings, code: Code
) -> Utilisation:
    """One end of a rail in its worst case; rows are inner forces there (cases, 6)."""
    rail = settings.rail_fixing
    between = Between(piece.wood, rail.thread, post.wood, rail.thread)
    strength = fixing_strength(rail.fixing, between, rail.thread, settings, code)
    shear, pull = np.hypot(rows[:, 1], rows[:, 2]), np.maximum(0.0, rows[:, 0])
    ratios = [
        rail_end_ratio(strength, rail, s, p) for s, p in zip(shear.tolist(), pull.tolist(), strict=True)
    ]
    at = int(np.argmax(ratios))
    worked = f"V {shear[at]:.0f} N, pull {pull[at]:.0f} N on {rail.count} x {strength.worked}"
    return Utilisation(
        piece.name,
        f"end at {post.name}",
        strength.clause,
        ratios[at],
        float(shear[at]),
        strength.lateral * rail.count,
        "N",
        solved.cases[at].id,
        worked,
    )
