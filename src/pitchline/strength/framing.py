"""From a finished design to a frame: rails on their axes, posts on springs, uprights with joints that give.

World axes of the frame are those of the design's elevation: u along the edge, y across, z up. Bars run on the middle
of their depth and on to the axes of the posts; no offsets are modelled, so that any other program can solve the frame
again. What the model leaves out is told in ``left_out``.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from pitchline.design.brief import BaseSeat
from pitchline.design.model import BarRole, Design, Post, PostRole, Upright
from pitchline.kit.frame.model import RIGID, Frame, Member, Node, Six
from pitchline.kit.geometry.frames import along
from pitchline.kit.geometry.lines import Line
from pitchline.kit.tolerances import SAME_NODE
from pitchline.strength.bases.joints import BaseStiffness
from pitchline.strength.bases.springs import Range
from pitchline.strength.rails import (
    INF,
    RAIL_END,
    RAIL_SLIP,
    WALL_FIXING,
    PostPlace,
    RailPlace,
    rail_place,
    take,
)
from pitchline.strength.sections import Cut, solid
from pitchline.strength.settings import LIKELY, Scenario, StrengthSettings
from pitchline.strength.uprights import joint_stiffness, upright_cut
from pitchline.strength.woods import Wood, wood_of

SEAT_ACROSS = Range(3.0, 6.0, 12.0)
"""A base rail screwed down every 300 mm: slip across and along, N/mm per mm of rail (table 7.1, screws of 5 mm)."""

SEAT_TURN = Range(3e3, 6e3, 12e3)
"""The same against rocking on its seat: screws in the middle pulling over half its width, Nmm/rad per mm."""

SEAT_PRESSED = 500.0
"""The same pressed on to its seat, N/mm per mm: E_90 of softwood times width over depth, all but rigid."""


@dataclass(frozen=True, slots=True)
class Piece:
    """A part of the balustrade as the model has it: name, what it is, section, wood, and its members in order."""

    name: str
    kind: str
    cut: Cut
    wood: Wood
    members: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Standing:
    """A post of the model: its design, base, foot node, node at the handrail, and height of that above the foot."""

    post: Post
    base: BaseStiffness
    foot: str
    head: str
    height: float


@dataclass(frozen=True, slots=True)
class Held:
    """An upright of the model with its member; ``width`` is the breadth of infill whose load it takes, mm."""

    upright: Upright
    member: str
    width: float
    length: float


@dataclass(frozen=True, eq=False)
class Model:
    """The frame and what its nodes and members stand for.

    ``rail_nodes`` run along the handrail with their u. ``rail_line`` is the line of its axis.
    """

    frame: Frame
    pieces: tuple[Piece, ...]
    posts: tuple[Standing, ...]
    uprights: tuple[Held, ...]
    rail_nodes: tuple[tuple[str, float], ...]
    rail_line: Line
    base_nodes: tuple[tuple[str, float], ...]
    left_out: tuple[str, ...]
    leaning: tuple[str, ...]


@dataclass
class _Drawing:
    """Nodes and members while the frame is drawn; it does not leave this module."""

    nodes: dict[str, Node] = field(default_factory=dict)
    members: list[Member] = field(default_factory=list)
    pieces: list[Piece] = field(default_factory=list)
    left_out: list[str] = field(default_factory=list)


def frame_of(design: Design, settings: StrengthSettings, scenario: Scenario = LIKELY) -> Model:
    """The frame of one leg of a balustrade."""
    drawing = _Drawing()
    posts = [PostPlace(post, design, settings, scenario) for post in design.posts]
    rails = [
        rail_place(bar, posts, design, settings, scenario)
        for bar in design.bars
        if bar.role is not BarRole.PACKER
    ]
    handrail = next(rail for rail in rails if rail.bar.role is BarRole.HANDRAIL)
    base = next((rail for rail in rails if rail.bar.role is BarRole.BASE), None)
    held = _place_uprights(design, handrail, base, drawing)
    for rail in rails:
        rail.subdivide()
        _draw_rail(rail, design, scenario, drawing)
    standing = tuple(_draw_post(post, rails, drawing) for post in posts)
    uprights = tuple(_draw_uprights(held, handrail, base, design, settings, scenario, drawing))
    frame = Frame(tuple(drawing.nodes.values()), tuple(drawing.members))
    return Model(
        frame,
        tuple(drawing.pieces),
        standing,
        uprights,
        tuple((handrail.node_at(u), u) for u in handrail.places),
        handrail.line,
        () if base is None else tuple((base.node_at(u), u) for u in base.places),
        tuple(drawing.left_out),
        tuple(handrail.leaning),
    )


def _place_uprights(
    design: Design, handrail: RailPlace, base: RailPlace | None, drawing: _Drawing
) -> list[tuple[Upright, float, float | None]]:
    """Uprights with the places where their axes cross the rails' axes; those that die into a newel are left out."""
    held = []
    for upright in design.uprights:
        lean = (math.sin(upright.lean), math.cos(upright.lean))
        top = handrail.line.meet(upright.foot, lean)[0]
        foot = None if base is None else base.line.meet(upright.foot, lean)[0]
        if not _within(handrail, top) or (base is not None and foot is not None and not _within(base, foot)):
            drawing.left_out.append(f"{upright.mark} ends on a newel and carries nothing in the model")
            continue
        held.append((upright, handrail.add(top), None if base is None or foot is None else base.add(foot)))
    return held


def _within(rail: RailPlace, u: float) -> bool:
    return rail.start < u < rail.finish


def _draw_rail(rail: RailPlace, design: Design, scenario: Scenario, drawing: _Drawing) -> None:
    bar = rail.bar
    seated = bar.role is BarRole.BASE and _is_seated(design)
    for n, u in enumerate(rail.places):
        if u in rail.at_posts:
            post = rail.at_posts[u]
            point = post.crossing(rail.line)[1]
        else:
            point = rail.point(u)
        ground = _seat(rail, n, scenario) if seated and u not in rail.at_posts else rail.ground_at.get(u)
        drawing.nodes[rail.node_at(u)] = Node(rail.node_at(u), point, ground)
    turn, slip = take(RAIL_END, scenario), take(RAIL_SLIP, scenario)
    joint: Six = (slip, slip, slip, INF, turn, turn)
    names: list[str] = []
    for near, far in pairwise(rail.places):
        start = joint if near in rail.at_posts else RIGID
        finish = joint if far in rail.at_posts else RIGID
        names.append(f"{bar.id}.{len(names) + 1}")
        drawing.members.append(
            Member(
                names[-1],
                rail.node_at(near),
                rail.node_at(far),
                rail.wood.e,
                rail.wood.g,
                rail.cut.section,
                (0.0, 0.0, 1.0),
                start,
                finish,
            )
        )
    drawing.pieces.append(Piece(bar.id, bar.role.value, rail.cut, rail.wood, tuple(names)))


def _is_seated(design: Design) -> bool:
    base = design.brief.base
    return base is not None and base.seat is not BaseSeat.CLEAR


def _seat(rail: RailPlace, n: int, scenario: Scenario) -> Six:
    """Springs under a node of a base rail that lies on a string or floor: its share of the length."""
    places = rail.places
    before = places[n] - places[n - 1] if n else 0.0
    behind = places[n + 1] - places[n] if n + 1 < len(places) else 0.0
    share = (before + behind) / 2.0 / math.cos(rail.line.angle)
    slip, turn = take(SEAT_ACROSS, scenario) * share, take(SEAT_TURN, scenario) * share
    return (slip, slip, SEAT_PRESSED * share, turn, 0.0, 0.0)


def _draw_post(place: PostPlace, rails: Sequence[RailPlace], drawing: _Drawing) -> Standing:
    """A post from its foot through the rails that it holds to its top."""
    post = place.post
    stops = {0.0: f"{post.id} foot"}
    head, height = f"{post.id} top", post.length
    for rail in rails:
        for u, own in rail.at_posts.items():
            if own is place:
                reach = place.crossing(rail.line)[0]
                stops[reach] = rail.node_at(u)
                if rail.bar.role is BarRole.HANDRAIL:
                    head, height = rail.node_at(u), reach
    if post.length - max(stops) > SAME_NODE:
        stops[post.length] = f"{post.id} top"
    walled = post.role is PostRole.HALF
    k = take(WALL_FIXING, place.scenario)
    for reach, name in stops.items():
        if name not in drawing.nodes:
            ground = place.ground() if reach == 0.0 else None
            drawing.nodes[name] = Node(name, along(post.foot, post.axis, reach), ground)
        if walled and reach > 0.0:
            node = drawing.nodes[name]
            drawing.nodes[name] = Node(name, node.at, (k, k, k, 0.0, 0.0, 0.0))
    cut = solid(post.across, post.along)
    order = sorted(stops)
    names: list[str] = []
    for near, far in pairwise(order):
        names.append(f"{post.id}.{len(names) + 1}")
        drawing.members.append(
            Member(
                names[-1], stops[near], stops[far], place.wood.e, place.wood.g, cut.section, post.along_axis
            )
        )
    drawing.pieces.append(Piece(post.id, "newel", cut, place.wood, tuple(names)))
    return Standing(post, place.base, f"{post.id} foot", head, height)


def _draw_uprights(
    held: Sequence[tuple[Upright, float, float | None]],
    handrail: RailPlace,
    base: RailPlace | None,
    design: Design,
    settings: StrengthSettings,
    scenario: Scenario,
    drawing: _Drawing,
) -> Iterator[Held]:
    for upright, top, foot in held:
        wood = wood_of(upright.material, settings.graded, upright.thickness)
        cut = upright_cut(upright)
        below = handrail.wood if base is None else base.wood
        end_i = _joint(joint_stiffness(design.making, False, upright, below), scenario)
        end_j = _joint(joint_stiffness(design.making, True, upright, handrail.wood), scenario, twist=0.0)
        if base is not None and foot is not None:
            name, at = base.node_at(foot), base.point(foot)
        else:
            name, at = f"{upright.mark} foot", (upright.foot[0], upright.y, upright.foot[1])
            k = take(WALL_FIXING, scenario)
            drawing.nodes[name] = Node(name, at, (k, k, k, INF, INF, INF))
        head = handrail.point(top)
        drawing.members.append(
            Member(
                upright.mark,
                name,
                handrail.node_at(top),
                wood.e,
                wood.g,
                cut.section,
                (1.0, 0.0, 0.0),
                end_i,
                end_j,
            )
        )
        drawing.pieces.append(Piece(upright.mark, "upright", cut, wood, (upright.mark,)))
        width = upright.width + (upright.gap_before + upright.gap_after) / 2.0
        yield Held(upright, upright.mark, width, math.dist(at, head))


def _joint(stiffness: tuple[Range, Range], scenario: Scenario, twist: float = INF) -> Six:
    """Joint of an upright: about its own z (pushed across) and y (pushed along); it may spin in its head."""
    across, along_it = (take(known, scenario) for known in stiffness)
    return (INF, INF, INF, twist, along_it, across)
