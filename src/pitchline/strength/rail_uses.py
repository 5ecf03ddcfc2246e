"""How far the fixings of rails are used: ends at newels, joints of rails, base rails on their seats, ends at walls.

What a wall bears is not known unless it is stated: what it must bear is told instead.
"""

from collections.abc import Iterator, Sequence

import numpy as np

from pitchline.kit.frame.model import FloatArray
from pitchline.kit.tolerances import SAME_POINT
from pitchline.strength.ec5 import factors as ec5
from pitchline.strength.fixed import (
    STEEL_FACTOR,
    Between,
    FixingStrength,
    both,
    fixing_strength,
    rail_end_ratio,
)
from pitchline.strength.limits import grade_of
from pitchline.strength.model import Piece, RailJoint, Seated, WallEnd
from pitchline.strength.nds import members as nds
from pitchline.strength.report import Utilisation, WallDemand
from pitchline.strength.settings import Code, StrengthSettings, WallHold
from pitchline.strength.solved import Solved, Study
from pitchline.strength.woods import PSI, Wood, wood_of

ARM = 0.4
"""Share of a rail's side between a bolt in its middle and where its end presses: a fifth of the side in bearing
(project choice)."""

Factors = tuple[float, float]


def rail_uses(study: Study, solved: Solved, factors: Factors) -> Iterator[Utilisation]:
    """Every fixing of a rail whose strength is known."""
    yield from _ends(study, solved, factors)
    yield from (_joint(study, solved, joint, factors) for joint in solved.model.rail_joints)
    yield from (_seat(study, solved, seat, factors) for seat in solved.model.seats if seat.nodes)
    yield from _walls(study, solved, factors)


def factored_rows(values: FloatArray, factors: Factors) -> FloatArray:
    """Imposed cases times their factor with the permanent case added; (cases, ...)."""
    rows: FloatArray = values * factors[0] + values[0] * factors[1]
    rows[0] = values[0] * factors[1]
    return rows


def _ends(study: Study, solved: Solved, factors: Factors) -> Iterator[Utilisation]:
    """Ends of rails at posts: shear and pull on their fixings."""
    known: dict[tuple[int, int], FixingStrength] = {}
    for end in solved.model.rail_ends:
        piece, post = solved.model.by_name[end.piece], solved.model.by_name[end.post]
        key = (id(piece.wood), id(post.wood))
        if key not in known:
            rail = study.settings.rail_fixing
            between = Between(piece.wood, rail.thread, post.wood, rail.thread)
            known[key] = fixing_strength(rail.fixing, between, rail.thread, study.settings, study.code)
        rows = _cut_forces(solved, end.member, end.at_start, factors)
        yield _end(solved, piece, post, rows, study.settings, known[key])


def _cut_forces(solved: Solved, member: str, at_start: bool, factors: Factors) -> FloatArray:
    """Inner forces at one end of a member, its own axes, (cases, 6): pull, two shears, torsion, two moments."""
    place = solved.model.frame.member_index[member]
    ends = solved.solution.end_forces[:, place]
    return factored_rows(-ends[:, :6] if at_start else ends[:, 6:], factors)


def _end(
    solved: Solved,
    piece: Piece,
    post: Piece,
    rows: FloatArray,
    settings: StrengthSettings,
    strength: FixingStrength,
) -> Utilisation:
    """One end of a rail in its worst case; rows are inner forces there (cases, 6)."""
    rail = settings.rail_fixing
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
        *governing(strength, float(shear[at]), float(pull[at]), ratios[at]),
        "N",
        solved.cases[at].id,
        worked,
    )


def _joint(study: Study, solved: Solved, joint: RailJoint, factors: Factors) -> Utilisation:
    """Two rails on rail bolts in their middle: the pull of axial force and of bending over the edge that presses."""
    piece = solved.model.by_name[joint.piece]
    fixing, count = study.settings.rail_joint.fixing, study.settings.rail_joint.count
    rows = np.abs(_cut_forces(solved, joint.member, joint.at_start, factors))
    axial = np.maximum(0.0, _cut_forces(solved, joint.member, joint.at_start, factors)[:, 0])
    pull = axial + rows[:, 5] / (ARM * piece.cut.side_y) + rows[:, 4] / (ARM * piece.cut.side_z)
    shear = np.hypot(rows[:, 1], rows[:, 2])
    between = Between(piece.wood, piece.cut.side_y, piece.wood, piece.cut.side_y)
    sideways = fixing_strength(fixing, between, piece.cut.side_y, study.settings, study.code)
    washer = np.pi * (fixing.head**2 - (fixing.d + fixing.hole) ** 2) / 4.0
    bears = min(
        float(washer) * _pressed_along(piece.wood, study.settings, study.code),
        _steel(fixing.f_u, fixing.stress_area, study.code),
    )
    strength = FixingStrength(sideways.lateral, bears, sideways.squared, sideways.clause, sideways.worked)
    ratios = [
        both(strength, s / count, p / count) for s, p in zip(shear.tolist(), pull.tolist(), strict=True)
    ]
    at = int(np.argmax(ratios))
    worked = (
        f"M across {rows[at, 5] / 1e3:.0f} Nm, M up {rows[at, 4] / 1e3:.0f} Nm, V {shear[at]:.0f} N: "
        f"{pull[at]:.0f} N on {count} x {fixing.name} that bear {bears:.0f} N each; glue is not counted"
    )
    return Utilisation(
        joint.piece,
        f"joint with {joint.other}",
        strength.clause,
        ratios[at],
        *governing(strength, float(shear[at]), float(pull[at]), ratios[at]),
        "N",
        solved.cases[at].id,
        worked,
    )


def _pressed_along(wood: Wood, settings: StrengthSettings, code: Code) -> float:
    """Strength of wood pressed along its grain under a washer, MPa."""
    if code is Code.NDS_2018:
        return grade_of(wood).f_c * PSI * nds.C_D[settings.duration]
    family = "solid" if wood.family == "metal" else wood.family
    k_mod = ec5.k_mod(family, settings.service, ec5.Duration.SHORT)
    return wood.values.f_c0 * k_mod / ec5.gamma_m(family)


def _steel(f_u: float, area: float, code: Code) -> float:
    """A bolt in tension: 0.9 f_u A_s / gamma_M2, or a third of f_u (allowable, common practice), N."""
    return f_u * area / 3.0 if code is Code.NDS_2018 else 0.9 * f_u * area / STEEL_FACTOR


def _seat(study: Study, solved: Solved, seat: Seated, factors: Factors) -> Utilisation:
    """A base rail's screws: what its seat does to it over the length that hangs on each, in its worst place."""
    piece = solved.model.by_name[seat.piece]
    fixing, leg = study.settings.seat_fixing, study.legs[seat.leg]
    index = solved.model.frame.node_index
    nodes = np.array([index[node] for node, _ in seat.nodes])
    pushes = factored_rows(solved.solution.reactions_of(nodes), factors)
    per_screw = _over_windows(pushes, [share for _, share in seat.nodes], fixing.apart)
    shear = np.hypot(per_screw[..., 0], per_screw[..., 1])
    rocking = np.abs(per_screw[..., 3:5] @ np.array(leg.along[:2]))
    pull = np.maximum(0.0, -per_screw[..., 2]) + rocking / (seat.width / 2.0)
    below = wood_of("pine-european", study.settings.graded)
    between = Between(piece.wood, piece.cut.side_z, below, fixing.thread)
    strength = fixing_strength(fixing.fixing, between, fixing.thread, study.settings, study.code)
    lateral, axial = shear / strength.lateral, pull / strength.axial
    ratios = np.hypot(lateral, axial) if strength.squared else lateral + axial
    row, node = np.unravel_index(int(ratios.argmax()), ratios.shape)
    worked = (
        f"V {shear[row, node]:.0f} N, pull {pull[row, node]:.0f} N on one of the screws {fixing.apart:g} mm apart, "
        f"{fixing.thread:g} mm of thread: {strength.worked}"
    )
    return Utilisation(
        seat.piece,
        "screws to its seat",
        strength.clause,
        float(ratios[row, node]),
        *governing(strength, float(shear[row, node]), float(pull[row, node]), float(ratios[row, node])),
        "N",
        solved.cases[int(row)].id,
        worked,
    )


def governing(strength: FixingStrength, shear: float, pull: float, ratio: float) -> tuple[float, float]:
    """Of shear and pull the one that uses fixings more, N, and what they may take of it while the other acts too."""
    acts = pull if pull * strength.lateral > shear * strength.axial else shear
    return acts, acts / ratio if ratio > 0.0 else 0.0


def _over_windows(pushes: FloatArray, shares: Sequence[float], apart: float) -> FloatArray:
    """What a fixing takes at each node: of the ``apart`` mm of rail around it; both (cases, nodes, 6)."""
    ends = np.cumsum([0.0, *shares])
    middles = (ends[:-1] + ends[1:]) / 2.0
    first = np.searchsorted(middles, middles - apart / 2.0 - SAME_POINT)
    last = np.searchsorted(middles, middles + apart / 2.0 + SAME_POINT)
    so_far = np.concatenate([np.zeros_like(pushes[:, :1]), np.cumsum(pushes, axis=1)], axis=1)
    lengths = ends[last] - ends[first]
    found: FloatArray = (so_far[:, last] - so_far[:, first]) * (apart / lengths)[None, :, None]
    return found


def wall_demands(solved: Solved, factors: Factors) -> tuple[WallDemand, ...]:
    """What every wall that a rail or half newel hangs on must bear, factored as fixings are."""
    return tuple(_demand(solved, end, factors) for end in solved.model.wall_ends)


def _demand(solved: Solved, end: WallEnd, factors: Factors) -> WallDemand:
    """The worst place and case: the largest sum of pull and shear."""
    index = solved.model.frame.node_index
    into = np.array(end.into)
    worst = (-1.0, 0.0, 0.0, "")
    for node in end.nodes:
        forces = factored_rows(solved.solution.reactions_at(index[node]), factors)[:, :3]
        pull = forces @ into
        shear = np.linalg.norm(forces - pull[:, None] * into, axis=1)
        drawn = np.maximum(0.0, pull)
        at = int((drawn + shear).argmax())
        found = (float(drawn[at] + shear[at]), float(drawn[at]), float(shear[at]), solved.cases[at].id)
        worst = max(worst, found)
    return WallDemand(end.piece, end.kind, worst[1], worst[2], worst[3], len(end.nodes))


def hold_of(settings: StrengthSettings, piece: str) -> WallHold | None:
    """What is stated of the wall a piece hangs on."""
    return settings.walls.get(piece, settings.walls.get(""))


def _walls(study: Study, solved: Solved, factors: Factors) -> Iterator[Utilisation]:
    for demand in wall_demands(solved, factors):
        hold = hold_of(study.settings, demand.piece)
        if hold is None:
            continue
        ratio = (demand.pull / hold.pull + demand.shear / hold.shear) / hold.count
        worked = (
            f"pull {demand.pull:.0f} N, shear {demand.shear:.0f} N on {hold.count} fixings that bear "
            f"{hold.pull:.0f} N and {hold.shear:.0f} N each as stated; both ratios added"
        )
        yield Utilisation(
            demand.piece,
            "fixings in the wall",
            "as stated",
            ratio,
            max(demand.pull, demand.shear),
            max(hold.pull, hold.shear) * hold.count,
            "N",
            demand.case,
            worked,
        )
