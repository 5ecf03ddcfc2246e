"""How far the guarding moves under the loads, where most, and what makes it: base, play, newel, rail, joint. mm."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from pitchline.kit.frame.loads import Case, NodalLoad
from pitchline.kit.frame.model import FloatArray, Six
from pitchline.kit.frame.results import Solution, Split, split_movement
from pitchline.kit.frame.solve import Factored
from pitchline.kit.geometry.frames import Vec3, dot
from pitchline.strength.loads import LoadCase
from pitchline.strength.model import Model, Standing

PUSHED = 0.1
"""A push that has less than this share of itself along an axis of a base does not take up its play there."""


@dataclass(frozen=True, slots=True)
class Worst:
    """The node that moves most in a case, how far, and along which level direction (unit)."""

    case: int
    node: str
    u: float
    value: float
    direction: tuple[float, float]


def with_play(model: Model, load: LoadCase) -> LoadCase:
    """The case with the posts' holes played out the way it pushes, as a turn of the ground under each foot."""
    turned: dict[str, Six] = {}
    for standing in model.posts:
        pushes = [
            push
            for number, push in load.pushes.items()
            if any(head.post == standing.post.id for head in model.legs[number].heads)
        ]
        turn = _played(standing, pushes)
        if any(turn):
            x, y = turn
            turned[standing.foot] = (0.0, 0.0, 0.0, x, y, 0.0)
    return replace(load, case=replace(load.case, displacements=turned)) if turned else load


def _played(standing: Standing, pushes: Sequence[Vec3]) -> tuple[float, float]:
    """The turn z x push of a base, about the world's x and y, by all the play it has the way it is pushed."""
    x = y = 0.0
    for way, play in (
        (standing.across, standing.base.play_across),
        (standing.along, standing.base.play_along),
    ):
        share = sum(dot(push, way) for push in pushes)
        if play and abs(share) > PUSHED:
            sense = 1.0 if share > 0.0 else -1.0
            x -= way[1] * sense * play
            y += way[0] * sense * play
    return x, y


def level_movements(model: Model, solution: Solution) -> FloatArray:
    """Level movement of every node of the handrails, (cases, nodes)."""
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
    x, y = (float(v) for v in solution.movements[case, model.frame.node_index[node], :2])
    value = float(level[row, column])
    direction = (x / value, y / value) if value > 0.0 else (0.0, 1.0)
    return Worst(case, node, u, value, direction)


def shares_of(model: Model, factored: Factored, solution: Solution, worst: Worst) -> dict[str, float]:
    """What the worst movement is made of, by the unit-load method; the shares add up to it."""
    x, y = worst.direction
    unit = factored.solve([Case("unit", (NodalLoad(worst.node, (x, y, 0.0, 0.0, 0.0, 0.0)),))])
    split = split_movement(solution, worst.case, unit, 0)
    return grouped(model, split)


NAMES: Mapping[str, str] = {"newel": "newels", "upright": "uprights", "easing": "handrail"}
"""What pieces of a kind are called together."""


def grouped(model: Model, split: Split) -> dict[str, float]:
    """The parts of a movement put together by what they are."""
    index = model.frame.member_index
    feet = [model.frame.node_index[standing.foot] for standing in model.posts]
    sprung = [index[standing.sprung] for standing in model.posts if standing.sprung is not None]
    in_ends = float(split.joints[sprung, :6].sum())
    shares = {"bases": 0.0, "play of holes": 0.0, "joints": float(split.joints.sum()) - in_ends}
    in_ground = float(split.ground[feet].sum())
    shares["bases"] = in_ground + in_ends
    shares["play of holes"] = float(split.moved.sum())
    shares["fixings to string and wall"] = float(split.ground.sum()) - in_ground
    for piece in model.pieces:
        name = NAMES.get(piece.kind, piece.kind)
        places = [index[member] for member in piece.members]
        shares[name] = shares.get(name, 0.0) + float(split.members[places].sum())
    return {name: value for name, value in shares.items() if abs(value) > 1e-9}
