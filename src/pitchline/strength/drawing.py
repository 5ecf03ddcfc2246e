"""Nodes, members and springs while a frame is drawn; what comes out is a :class:`Structure`.

Springs are drawn with their low, likely and high values at once, so that one drawing serves every scenario.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import cache
from typing import cast

from pitchline.kit.frame.model import RIGID, FloatArray, Frame, Member, Node, Six
from pitchline.kit.geometry.frames import Vec3
from pitchline.strength.bases.springs import Range
from pitchline.strength.model import (
    SLIDES,
    TURNS,
    LegModel,
    Model,
    Piece,
    RailEnd,
    RailJoint,
    Seated,
    Standing,
    Structure,
    WallEnd,
)
from pitchline.strength.sections import Cut
from pitchline.strength.settings import Way
from pitchline.strength.woods import Wood

Spring = float | Range
SixSprings = tuple[Spring, Spring, Spring, Spring, Spring, Spring]
WAYS: tuple[Way, ...] = ("low", "mean", "high")


def taken(spring: Spring, way: Way) -> float:
    """The value of a spring in one way."""
    if isinstance(spring, Range):
        return {"low": spring.low, "mean": spring.mean, "high": spring.high}[way]
    return spring


def six_taken(springs: SixSprings, way: Way) -> Six:
    """The values of six springs in one way."""
    if not _varies(springs):
        return cast("Six", springs)
    a, b, c, d, e, f = (taken(spring, way) for spring in springs)
    return (a, b, c, d, e, f)


def together(first: SixSprings, second: SixSprings) -> SixSprings:
    """Two sets of springs under one node."""
    a, b, c, d, e, f = (_sum(*pair) for pair in zip(first, second, strict=True))
    return (a, b, c, d, e, f)


def _sum(first: Spring, second: Spring) -> Spring:
    if not isinstance(first, Range) and not isinstance(second, Range):
        return first + second
    low, mean, high = (taken(first, way) + taken(second, way) for way in WAYS)
    return Range(low, mean, high)


@dataclass
class Drawing:
    """What is drawn so far; it does not leave the framing of an edge.

    ``same`` names nodes that turned out to be one with another; ``ground`` and ``ends`` hold springs whose low and
    high values differ or not; ``base_nodes`` and ``base_members`` hold the springs of bases; ``known`` remembers
    springs that were taken, as most joints are alike.
    """

    nodes: dict[str, Vec3] = field(default_factory=dict)
    ground: dict[str, SixSprings] = field(default_factory=dict)
    same: dict[str, str] = field(default_factory=dict)
    members: list[Member] = field(default_factory=list)
    ends: dict[tuple[str, bool], SixSprings] = field(default_factory=dict)
    base_nodes: list[str] = field(default_factory=list)
    base_members: list[str] = field(default_factory=list)
    pieces: list[Piece] = field(default_factory=list)
    posts: list[Standing] = field(default_factory=list)
    rail_ends: list[RailEnd] = field(default_factory=list)
    rail_joints: list[RailJoint] = field(default_factory=list)
    wall_ends: list[WallEnd] = field(default_factory=list)
    seats: list[Seated] = field(default_factory=list)
    left_out: list[str] = field(default_factory=list)
    known: dict[tuple[int, Way], Six] = field(default_factory=dict)

    def node(self, name: str, at: Vec3, ground: SixSprings | None = None) -> None:
        """A node, drawn once, and what is under it."""
        if name not in self.same:
            self.nodes.setdefault(name, at)
        if ground is not None:
            self.ground[self.real(name)] = ground

    def under(self, name: str, ground: SixSprings) -> None:
        """More springs under a node."""
        real = self.real(name)
        self.ground[real] = together(self.ground[real], ground) if real in self.ground else ground

    def merge(self, name: str, into: str) -> None:
        """One node in place of two at the same place."""
        first, second = self.real(into), self.real(name)
        if first == second:
            return
        self.same[second] = first
        if second in self.ground:
            under = self.ground.pop(second)
            self.ground[first] = together(self.ground[first], under) if first in self.ground else under
        self.nodes.pop(second, None)

    def real(self, name: str) -> str:
        """The node that a name stands for."""
        while name in self.same:
            name = self.same[name]
        return name

    def member(
        self,
        name: str,
        nodes: tuple[str, str],
        wood: Wood,
        cut: Cut,
        z_axis: Vec3,
        ends: tuple[SixSprings | None, SixSprings | None] = (None, None),
    ) -> None:
        """A member with the joints at its ends; None: rigid."""
        self.members.append(Member(name, *nodes, wood.e, wood.g, cut.section, z_axis))
        for at_start, springs in zip((True, False), ends, strict=True):
            if springs is not None:
                self.ends[name, at_start] = springs

    def structure(self, legs: Sequence[LegModel]) -> Structure:
        """Everything drawn as a structure."""
        nodes = tuple(
            Node(name, at, None if name not in self.ground else self.six(self.ground[name], "mean"))
            for name, at in self.nodes.items()
        )
        members = tuple(map(self._member, self.members))
        frame = Frame(nodes, members)
        model = Model(
            frame,
            tuple(self.pieces),
            tuple(self._standing(post) for post in self.posts),
            tuple(self._leg(leg) for leg in legs),
            tuple(self.rail_ends),
            tuple(self.rail_joints),
            tuple(replace(end, nodes=tuple(map(self.real, end.nodes))) for end in self.wall_ends),
            tuple(self._seat(seat) for seat in self.seats),
            tuple(self.left_out),
        )
        return Structure(
            model,
            cache(lambda way: (self._ground(frame, way), self._joints(frame, way))),
            tuple((frame.node_index[self.real(name)], n) for name in self.base_nodes for n in (3, 4, 5)),
            tuple((frame.member_index[name], n) for name in self.base_members for n in (3, 4, 5)),
            tuple(self._helping(frame)),
        )

    def _member(self, m: Member) -> Member:
        ends = self._end(m.id, True), self._end(m.id, False)
        return Member(m.id, self.real(m.i), self.real(m.j), m.e, m.g, m.section, m.z_axis, *ends)

    def _helping(self, frame: Frame) -> Iterator[tuple[int, int, float]]:
        """Joints that help newels against a push across, and what is left of them where they are not counted on."""
        seated = {seat.piece for seat in self.seats}
        for end in self.rail_ends:
            if end.piece in seated:
                first, place = 0 if end.at_start else 6, frame.member_index[end.member]
                yield place, first + 1, SLIDES
                yield place, first + 3, TURNS
        for piece in self.pieces:
            if piece.kind == "upright":
                for column in (5, 11):
                    yield frame.member_index[piece.name], column, TURNS

    def six(self, springs: SixSprings, way: Way) -> Six:
        """The values of six springs in one way; the same springs are the same object."""
        key = (id(springs), way)
        if key not in self.known:
            self.known[key] = six_taken(springs, way)
        return self.known[key]

    def _varies(self, springs: SixSprings) -> bool:
        """Whether six springs are known as a range only."""
        return self.six(springs, "low") is not self.six(springs, "mean")

    def _end(self, member: str, at_start: bool) -> Six:
        springs = self.ends.get((member, at_start))
        return RIGID if springs is None else self.six(springs, "mean")

    def _standing(self, standing: Standing) -> Standing:
        return replace(standing, foot=self.real(standing.foot), head=self.real(standing.head))

    def _seat(self, seat: Seated) -> Seated:
        return replace(seat, nodes=tuple((self.real(name), share) for name, share in seat.nodes))

    def _leg(self, leg: LegModel) -> LegModel:
        return replace(
            leg,
            rail_nodes=tuple((self.real(name), u) for name, u in leg.rail_nodes),
            base_nodes=tuple((self.real(name), u) for name, u in leg.base_nodes),
            heads=tuple(replace(head, node=self.real(head.node)) for head in leg.heads),
        )

    def _ground(self, frame: Frame, way: Way) -> FloatArray:
        table = frame.ground.copy()
        for name, springs in self.ground.items():
            if self._varies(springs):
                table[frame.node_index[name]] = self.six(springs, way)
        return table

    def _joints(self, frame: Frame, way: Way) -> FloatArray:
        table = frame.joints.copy()
        for (name, at_start), springs in self.ends.items():
            if self._varies(springs):
                first = 0 if at_start else 6
                table[frame.member_index[name], first : first + 6] = self.six(springs, way)
        return table


def _varies(springs: SixSprings) -> bool:
    """Whether any of six springs is known as a range only."""
    return any(isinstance(spring, Range) for spring in springs)
