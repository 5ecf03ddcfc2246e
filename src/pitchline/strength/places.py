"""Nodes of the model in a maker's words: which piece, where on it, and which way it moves."""

import math
from collections.abc import Iterator

from pitchline.kit.frame.mechanism import Mechanism
from pitchline.kit.geometry.frames import Vec3, dot
from pitchline.kit.words import PLAIN, Words
from pitchline.strength.legs import StandingLeg
from pitchline.strength.model import LegModel, Model

ON_AXIS = math.cos(math.radians(10.0))
"""A direction within ten degrees of an axis is said to be along it."""


def rail_name(model: Model, leg: LegModel) -> str:
    """A handrail as it is spoken of: by its id where there are several."""
    return "handrail" if len(model.legs) == 1 else f"handrail {leg.handrail}"


def where_on_rail(model: Model, node: str, words: Words = PLAIN) -> str:
    """A place along the handrails. KeyError for a node elsewhere."""
    leg = model.leg_of(node)
    rail = rail_name(model, leg)
    post = next((head.post for head in leg.heads if head.node == node), None)
    if post is not None:
        return f"{rail} at {post}"
    if any(node in end.nodes for end in model.wall_ends):
        return f"{rail} at the wall"
    others = [other.handrail for other in model.legs if any(name == node for name, _ in other.rail_nodes)]
    if len(others) > 1:
        return f"{rail} where it is joined to {others[1]}"
    free = next((words for name, words in free_ends(model) if name == node), None)
    if free is not None:
        return free
    u = next(place for name, place in leg.rail_nodes if name == node)
    return f"{rail} {words.about(u - leg.rail_nodes[0][1])} level from its lower end"


def free_ends(model: Model) -> Iterator[tuple[str, str]]:
    """Ends of handrails that nothing holds: the node, and the end in words."""
    held = {head.node for leg in model.legs for head in leg.heads}
    held |= {node for end in model.wall_ends for node in end.nodes}
    for number, leg in enumerate(model.legs):
        ends = {False: leg.rail_nodes[0][0], True: leg.rail_nodes[-1 - _bent(model, leg)][0]}
        for upper, node in ends.items():
            if node not in held and not _joined(model, number, node):
                yield node, f"{rail_name(model, leg)} at its free {'upper' if upper else 'lower'} end"


def _bent(model: Model, leg: LegModel) -> int:
    """How many of a leg's last nodes lie on the bent piece after it."""
    members = [name for piece in leg.easing for name in model.by_name[piece].members]
    return max(0, len(members) - 1)


def _joined(model: Model, number: int, node: str) -> bool:
    """Whether another leg's rail, or a bent piece, goes on from a node."""
    if any(name == node for n, other in enumerate(model.legs) if n != number for name, _ in other.rail_nodes):
        return True
    frame = model.frame
    place = frame.node_index[node]
    pieces = (joint.piece for joint in model.rail_joints if joint.how == "eased")
    return any(place in frame.ends[frame.member_index[m]] for p in pieces for m in model.by_name[p].members)


def place_of(model: Model, node: str, words: Words = PLAIN) -> str:
    """Any node of the model in words."""
    for standing in model.posts:
        if node in (standing.foot, f"{standing.post.id} top"):
            return f"the {'foot' if node == standing.foot else 'top'} of {standing.post.id}"
    for leg in model.legs:
        if any(name == node for name, _ in leg.rail_nodes):
            return f"the {where_on_rail(model, node, words)}"
        if any(name == node for name, _ in leg.base_nodes):
            return "the base rail"
    return node


def way_of(mechanism: Mechanism, leg: StandingLeg) -> str:
    """Which way something moves freely, as someone beside the stair sees it."""
    axes: tuple[tuple[Vec3, str, str], ...] = (
        (leg.along, "along the balustrade", "about a line along the balustrade"),
        (leg.outward, "across the balustrade", "about a line across the balustrade"),
        ((0.0, 0.0, 1.0), "up and down", "about a plumb line"),
    )
    for axis, moves, turns in axes:
        if abs(dot(axis, mechanism.direction)) > ON_AXIS:
            return turns if mechanism.turns else moves
    if mechanism.turns:
        return f"about {mechanism.way}"
    return (
        "level, aslant to the balustrade" if abs(mechanism.direction[2]) < 0.2 else f"along {mechanism.way}"
    )
