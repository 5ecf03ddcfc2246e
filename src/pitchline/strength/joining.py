"""Where two legs meet: rails mitred into each other, bent pieces between them, rails that pass over a newel.

A joint of two rails is a rail bolt with glue or dowels round it. No published stiffness of one was found: from next
to a hinge to nearly as stiff as the rail, and the report says so.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from pitchline.design.model import Easement
from pitchline.kit.geometry.frames import Vec3
from pitchline.kit.tolerances import SAME_NODE
from pitchline.strength.drawing import Drawing, SixSprings
from pitchline.strength.drawn import DrawnLeg
from pitchline.strength.legs import StandingLeg
from pitchline.strength.model import Piece, RailJoint
from pitchline.strength.rails import INF, RAIL_JOINT, RailPlace
from pitchline.strength.sections import Cut, solid
from pitchline.strength.settings import StrengthSettings
from pitchline.strength.woods import Wood, wood_of

CHORDS = 4
"""Straight members that a bent piece is drawn with, at least: within 1 % of the arc up to a quarter."""

JOINT: SixSprings = (INF, INF, INF, INF, RAIL_JOINT, RAIL_JOINT)
"""Two rails joined: they neither part nor twist, and turn against each other with the stiffness of the joint."""


class EasedRail:
    """A bent piece of handrail after one leg: its axis, and the nodes on it by their u in that leg's elevation."""

    def __init__(self, piece: Easement, leg: StandingLeg, wood: Wood) -> None:
        self.piece, self.leg, self.wood = piece, leg, wood
        self.cut: Cut = solid(piece.width, piece.depth)
        self.axis = piece.easing.followed(-piece.depth / 2.0)
        first, last = self.axis.start[0], self.axis.end[0]
        step = (last - first) / CHORDS
        self.places: list[float] = [first + n * step for n in range(1, CHORDS)]

    @property
    def name(self) -> str:
        """Its id."""
        return self.piece.id

    def add(self, leg: StandingLeg, u: float) -> float:
        """The place of a node at a leg's ``u``: one that is there already if it is near enough."""
        own = self.leg.place.frame.to_local(leg.point((u, 0.0, 0.0)))[0]
        first, last = self.axis.start[0], self.axis.end[0]
        own = min(max(own, first + SAME_NODE), last - SAME_NODE)
        for known in self.places:
            if abs(known - own) < SAME_NODE:
                return known
        self.places = sorted([*self.places, own])
        return own

    def node_at(self, u: float) -> str:
        """The name of the node there."""
        return f"{self.name} {self.places.index(u) + 1}"

    def point(self, u: float) -> Vec3:
        """Where the axis is, in the world."""
        (cu, cz), radius = self.axis.arc.centre, self.axis.radius
        lift = math.sqrt(max(0.0, radius**2 - (u - cu) ** 2))
        z = cz - lift if self.axis.turn > 0.0 else cz + lift
        return self.leg.point((u, 0.0, z))


@dataclass(frozen=True, slots=True)
class Top:
    """Where an upright's head is: its place on the handrail, or on a bent piece."""

    u: float
    eased: EasedRail | None = None


def eased_rails(legs: Sequence[StandingLeg], settings: StrengthSettings) -> dict[int, EasedRail]:
    """The bent piece after each leg that another leg follows, by the leg's number."""
    return {
        number: EasedRail(piece, leg, wood_of(piece.material, settings.graded, piece.depth))
        for number, leg in enumerate(legs[:-1])
        for piece in leg.design.easements
        if not piece.shared
    }


def rails_over(drawn: Sequence[DrawnLeg]) -> frozenset[str]:
    """Newels over which the handrails of two legs pass, joined to each other."""
    found = set()
    for before, after in pairwise(drawn):
        first, second = (
            {post.post.id: post.crossing(one.handrail.line)[0] for post in one.handrail.at_posts.values()}
            for one in (before, after)
        )
        lengths = {post.post.id: post.post.length for post in before.posts}
        found |= {
            name for name in first.keys() & second.keys() if min(first[name], second[name]) > lengths[name]
        }
    return frozenset(found)


def join_legs(
    drawn: Sequence[DrawnLeg], eased: Mapping[int, EasedRail], drawing: Drawing
) -> dict[int, tuple[str, ...]]:
    """Join the rails of every two neighbours; the ends that lean on what is not in the model, by leg."""
    joined: set[tuple[int, bool]] = set()
    for before, after in pairwise(drawn):
        pairs = [(before.handrail, after.handrail, eased.get(before.number))]
        if before.base is not None and after.base is not None:
            pairs.append((before.base, after.base, None))
        for first, second, bent in pairs:
            if True in first.running_on and False in second.running_on:
                done = _join(before, after, (first, second), bent, drawing)
                if done and first is before.handrail:
                    joined |= {(before.number, True), (after.number, False)}
    return {
        one.number: tuple(
            name
            for at_finish, (_, name) in sorted(one.handrail.running_on.items())
            if (one.number, at_finish) not in joined
        )
        for one in drawn
    }


def _join(
    before: DrawnLeg,
    after: DrawnLeg,
    rails: tuple[RailPlace, RailPlace],
    bent: EasedRail | None,
    drawing: Drawing,
) -> bool:
    """Join the end of one rail to the start of the next; False where they do not meet."""
    first, second = rails
    here, there = first.running_on[True][0], second.running_on[False][0]
    last = f"{first.bar.id}.{len(first.places) - 1}"
    if bent is not None:
        ends = (first.node_at(here), second.node_at(there))
        _draw_bent(bent, ends, (first.bar.id, second.bar.id), drawing)
        return True
    apart = math.dist(before.leg.point(first.point(here)), after.leg.point(second.point(there)))
    if apart > max(first.bar.depth, first.bar.width):
        drawing.left_out.append(
            f"{first.bar.id} and {second.bar.id} end {apart:.0f} mm apart and are not joined in the model"
        )
        return False
    drawing.merge(second.node_at(there), first.node_at(here))
    drawing.ends[last, False] = JOINT
    drawing.rail_joints.append(RailJoint(first.bar.id, second.bar.id, last, False, "mitred"))
    return True


def _draw_bent(bent: EasedRail, ends: tuple[str, str], rails: tuple[str, str], drawing: Drawing) -> None:
    """The bent piece as chords from the end of one handrail to the start of the next, joined at both."""
    stops = [ends[0], *(bent.node_at(u) for u in bent.places), ends[1]]
    for u in bent.places:
        drawing.node(bent.node_at(u), bent.point(u))
    names = [f"{bent.name}.{n}" for n in range(1, len(stops))]
    for n, (name, pair) in enumerate(zip(names, pairwise(stops), strict=True)):
        joints = (JOINT if n == 0 else None, JOINT if n == len(names) - 1 else None)
        drawing.member(name, pair, bent.wood, bent.cut, (0.0, 0.0, 1.0), joints)
    drawing.pieces.append(Piece(bent.name, "easing", bent.cut, bent.wood, tuple(names)))
    drawing.rail_joints.append(RailJoint(bent.name, rails[0], names[0], True, "eased"))
    drawing.rail_joints.append(RailJoint(bent.name, rails[1], names[-1], False, "eased"))
