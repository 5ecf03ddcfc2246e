"""How far the guarding moves under the loads, where most, and what makes it: base, play, newel, rail, joint. mm."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

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


def play_movements(model: Model) -> Mapping[str, Six]:
    """Bolt holes' play as a turn of the ground under each post, outwards by its sign: (across, along) per foot."""
    return {
        standing.foot: (0.0, 0.0, 0.0, standing.base.play_across, standing.base.play_along, 0.0)
        for standing in model.posts
        if standing.base.play_across or standing.base.play_along
    }


def with_play(model: Model, load: LoadCase, out: float) -> Case:
    """The case with the posts' holes played out in the direction of its push."""
    play = play_movements(model)
    if not play or load.kind in {"permanent", "vertical"}:
        return load.case
    # a push towards +y turns a post about -x
    turned: dict[str, Six] = {
        foot: (0.0, 0.0, 0.0, -out * six[3], six[4] if "along" in load.id else 0.0, 0.0)
        for foot, six in play.items()
    }
    return Case(load.case.id, load.case.nodal, load.case.point, load.case.line, turned)


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
