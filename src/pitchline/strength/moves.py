"""How far the guarding moves under the loads, where most, and what makes it: base, play, newel, rail, joint. mm."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from pitchline.kit.frame.loads import Case, NodalLoad
from pitchline.kit.frame.model import FloatArray, Six
from pitchline.kit.frame.results import Solution, Split, split_movement
from pitchline.kit.frame.solve import Factored
from pitchline.strength.framing import Model
from pitchline.strength.loads import LoadCase


@dataclass(frozen=True, slots=True)
class Worst:
    """The node that moves most in a case, how far, and along which level direction (unit)."""

    case: int
    node: str
    u: float
    value: float
    direction: tuple[float, float]


def with_play(model: Model, load: LoadCase, out: float) -> LoadCase:
    """The case with the posts' holes played out the way it pushes, as a turn of the ground under each foot.

    ``out``: the sense of y of an outward push. A push towards +y turns a post about -x, one towards -u about -y.
    """
    if load.kind in {"permanent", "vertical"}:
        return load
    along = 1.0 if "along" in load.title.rsplit(",", 1)[-1] else 0.0
    turned: dict[str, Six] = {}
    for standing in model.posts:
        across_play, along_play = standing.base.play_across * (1.0 - along), standing.base.play_along * along
        if across_play or along_play:
            turned[standing.foot] = (0.0, 0.0, 0.0, -out * across_play, -along_play, 0.0)
    return replace(load, case=replace(load.case, displacements=turned)) if turned else load


def level_movements(model: Model, solution: Solution) -> FloatArray:
    """Level movement of every node of the handrail, (cases, nodes)."""
    index = [model.frame.node_index[name] for name, _ in model.rail_nodes]
    moved = solution.movements[:, index]
    found: FloatArray = np.hypot(moved[:, :, 0], moved[:, :, 1])
    return found


def worst_of(model: Model, solution: Solution, cases: Sequence[int]) -> Worst:
    """The worst place and case among some cases."""
    level = level_movements(model, solution)[list(cases)]
    row, column = np.unravel_index(int(level.argmax()), level.shape)
    case = cases[int(row)]
    node, u = model.rail_nodes[int(column)]
    x, y = (float(v) for v in solution.moved(solution.cases[case].id, node)[:2])
    value = float(level[row, column])
    direction = (x / value, y / value) if value > 0.0 else (0.0, 1.0)
    return Worst(case, node, u, value, direction)


def shares_of(model: Model, factored: Factored, solution: Solution, worst: Worst) -> dict[str, float]:
    """What the worst movement is made of, by the unit-load method; the shares add up to it."""
    x, y = worst.direction
    unit = factored.solve([Case("unit", (NodalLoad(worst.node, (x, y, 0.0, 0.0, 0.0, 0.0)),))])
    split = split_movement(solution, worst.case, unit, 0)
    return grouped(model, split)


def grouped(model: Model, split: Split) -> dict[str, float]:
    """The parts of a movement put together by what they are."""
    index = model.frame.member_index
    shares = {"bases": 0.0, "play of holes": 0.0, "joints": float(split.joints.sum())}
    feet = [model.frame.node_index[standing.foot] for standing in model.posts]
    shares["bases"] = float(split.ground[feet].sum())
    shares["play of holes"] = float(split.moved.sum())
    shares["fixings to string and wall"] = float(split.ground.sum()) - shares["bases"]
    for piece in model.pieces:
        name = {"newel": "newels", "upright": "uprights"}.get(piece.kind, piece.kind)
        places = [index[member] for member in piece.members]
        shares[name] = shares.get(name, 0.0) + float(split.members[places].sum())
    return {name: value for name, value in shares.items() if abs(value) > 1e-9}
