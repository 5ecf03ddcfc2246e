"""From a finished edge to a frame: rails on their axes, posts on springs, uprights with joints that give.

Every leg is drawn in its own elevation and carried into the world by its place; a newel that two legs share is drawn
once, and rails that run into each other are joined (see ``joining``). Bars run on the middle of their depth and on to
the axes of the posts; no offsets are modelled, so that any other program can solve the frame again. What the model
leaves out is told in ``left_out``.
"""

import math
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise

from pitchline.design.brief import BaseSeat
from pitchline.design.model import EASED, BarRole, Design, Post, PostRole, Upright
from pitchline.kit.geometry.frames import Vec3, along, scale, unit
from pitchline.kit.tolerances import SAME_NODE
from pitchline.strength.bases.springs import Range
from pitchline.strength.drawing import Drawing, SixSprings
from pitchline.strength.drawn import DrawnLeg
from pitchline.strength.joining import EasedRail, Top, eased_rails, join_legs, rails_over
from pitchline.strength.legs import StandingLeg, by_itself, quarters_of
from pitchline.strength.model import (
    Head,
    Held,
    LegModel,
    Model,
    Piece,
    RailEnd,
    Seated,
    Standing,
    Structure,
    WallEnd,
)
from pitchline.strength.rails import (
    INF,
    RAIL_END,
    RAIL_JOINT,
    WALL_APART,
    WALL_FIXING,
    PostPlace,
    RailPlace,
    rail_place,
    rail_slip,
)
from pitchline.strength.seats import seat_springs
from pitchline.strength.sections import Cut, solid
from pitchline.strength.settings import LIKELY, Scenario, StrengthSettings
from pitchline.strength.standing import stand
from pitchline.strength.uprights import joint_stiffness, upright_cut
from pitchline.strength.woods import Wood, wood_of

HELD: SixSprings = (INF,) * 6
"""Held every way."""


def frame_of(design: Design, settings: StrengthSettings, scenario: Scenario = LIKELY) -> Model:
    """The frame of one leg that nothing stands beside."""
    structure = structure_of((by_itself(design),), settings, scenario.glue)
    return _in_scenario(structure, scenario)


def _in_scenario(structure: Structure, scenario: Scenario) -> Model:
    return replace(structure.model, frame=structure.frame(scenario))


def structure_of(
    legs: Sequence[StandingLeg], settings: StrengthSettings, glue: float | None = None
) -> Structure:
    """The frame of the legs of an edge, from the foot up, with all that is known of its springs.

    ``glue`` of stacked rails: None for the slip of their blocks, 0 for layers that only lie together.
    """
    drawing = Drawing()
    drawn = tuple(_drawn(number, leg, settings, glue) for number, leg in enumerate(legs))
    eased = eased_rails(legs, settings)
    held = [_place_uprights(one, eased, drawing) for one in drawn]
    over = rails_over(drawn)
    for one in drawn:
        for rail in one.rails:
            rail.subdivide()
            _draw_rail(one, rail, over, settings, drawing)
    leaning = join_legs(drawn, eased, drawing)
    _draw_posts(drawn, settings, drawing)
    models = [
        _leg_model(one, tuple(_draw_uprights(one, mine, settings, drawing)), eased, leaning[one.number])
        for one, mine in zip(drawn, held, strict=True)
    ]
    return drawing.structure(models)


def _drawn(number: int, leg: StandingLeg, settings: StrengthSettings, glue: float | None) -> DrawnLeg:
    design = leg.design
    posts = tuple(PostPlace(post, settings) for post in design.posts)
    rails = tuple(
        rail_place(bar, posts, design, settings, glue)
        for bar in design.bars
        if bar.role is not BarRole.PACKER
    )
    return DrawnLeg(number, leg, rails, posts)


def _place_uprights(
    one: DrawnLeg, eased: Mapping[int, EasedRail], drawing: Drawing
) -> list[tuple[Upright, Top, float | None]]:
    """Uprights with where their axes cross the rails' axes; those that die into a newel are left out."""
    held: list[tuple[Upright, Top, float | None]] = []
    idle: list[str] = []
    handrail, base = one.handrail, one.base
    for upright in one.leg.design.uprights:
        lean = (math.sin(upright.lean), math.cos(upright.lean))
        top = handrail.line.meet(upright.foot, lean)[0]
        foot = None if base is None else base.line.meet(upright.foot, lean)[0]
        bent = _under_easing(one, upright, top, eased)
        if not (_within(handrail, top) or bent is not None) or (
            base is not None and foot is not None and not _within(base, foot)
        ):
            idle.append(upright.mark)
            continue
        at = Top(handrail.add(top)) if bent is None else bent
        held.append((upright, at, None if base is None or foot is None else base.add(foot)))
    if idle:
        what = "ends on a newel and carries" if len(idle) == 1 else "end on newels and carry"
        drawing.left_out.append(f"{', '.join(idle)} {what} nothing in the model")
    return held


def _within(rail: RailPlace, u: float) -> bool:
    return rail.start < u < rail.finish


def _under_easing(one: DrawnLeg, upright: Upright, top: float, eased: Mapping[int, EasedRail]) -> Top | None:
    """The head of an upright that meets the bent piece at one of the leg's ends."""
    for number, beyond in (
        (one.number, top > one.handrail.finish),
        (one.number - 1, top < one.handrail.start),
    ):
        if beyond and number in eased and EASED in upright.outline.labels:
            rail = eased[number]
            return Top(rail.add(one.leg, upright.foot[0]), rail)
    return None


def _draw_rail(
    one: DrawnLeg, rail: RailPlace, over: frozenset[str], settings: StrengthSettings, drawing: Drawing
) -> None:
    """A rail's nodes and members, cut and hinged at every newel; its fixings to walls and to its seat."""
    bar, leg = rail.bar, one.leg
    for u in rail.places:
        post = rail.at_posts.get(u)
        point = rail.point(u) if post is None else post.crossing(rail.line)[1]
        drawing.node(rail.node_at(u), leg.point(point))
    names: list[str] = []
    for near, far in pairwise(rail.places):
        name = f"{bar.id}.{len(names) + 1}"
        names.append(name)
        ends = (_at_post(rail, near, over, settings), _at_post(rail, far, over, settings))
        drawing.member(
            name, (rail.node_at(near), rail.node_at(far)), rail.wood, rail.cut, (0.0, 0.0, 1.0), ends
        )
        for u, at_start in ((near, True), (far, False)):
            if u in rail.at_posts:
                drawing.rail_ends.append(RailEnd(bar.id, rail.at_posts[u].post.id, name, at_start))
    drawing.pieces.append(Piece(bar.id, bar.role.value, rail.cut, rail.wood, tuple(names)))
    _hold_at_walls(one, rail, names, drawing)
    if bar.role is BarRole.BASE and _is_seated(leg.design):
        _seat(one, rail, settings, drawing)


def _at_post(
    rail: RailPlace, u: float, over: frozenset[str], settings: StrengthSettings
) -> SixSprings | None:
    """A rail's joint at a newel: screws that slip and a hinge; where it passes over, half of a joint of rails."""
    post = rail.at_posts.get(u)
    if post is None:
        return None
    turn: Range = RAIL_JOINT.times(2.0) if post.post.id in over else RAIL_END
    slip = rail_slip(settings.rail_fixing)
    return (slip, slip, slip, INF, turn, turn)


def _hold_at_walls(one: DrawnLeg, rail: RailPlace, names: Sequence[str], drawing: Drawing) -> None:
    """Ends on walls: held each way by their fixings and against twisting, free to turn."""
    for u in rail.on_wall:
        node = rail.node_at(u)
        at_start = u == rail.places[0]
        sense = -1.0 if at_start else 1.0
        du, dz = rail.line.direction
        into = scale(one.leg.direction((du, 0.0, dz)), sense)
        drawing.wall_ends.append(WallEnd(rail.bar.id, "rail", (node,), into))
        k, quarters = WALL_FIXING, one.leg.quarters
        if quarters is None:
            drawing.ground[node] = HELD
            drawing.ends[names[0 if at_start else -1], at_start] = (k, k, k, INF, 0.0, 0.0)
        else:
            twist: SixSprings = (k, k, k, INF, 0.0, 0.0) if quarters % 2 == 0 else (k, k, k, 0.0, INF, 0.0)
            drawing.ground[node] = twist


def _is_seated(design: Design) -> bool:
    base = design.brief.base
    return base is not None and base.seat is not BaseSeat.CLEAR


def _seat(one: DrawnLeg, rail: RailPlace, settings: StrengthSettings, drawing: Drawing) -> None:
    """Springs under the nodes of a base rail that lies on a string or floor, each with its share of the length."""
    places, nodes = rail.places, []
    for n, u in enumerate(places):
        if u in rail.at_posts:
            continue
        before = u - places[n - 1] if n else 0.0
        behind = places[n + 1] - u if n + 1 < len(places) else 0.0
        share = (before + behind) / 2.0 / math.cos(rail.line.angle)
        drawing.under(rail.node_at(u), seat_springs(share, one.leg.quarters, settings.seat_fixing))
        nodes.append((rail.node_at(u), share))
    drawing.seats.append(Seated(rail.bar.id, one.number, tuple(nodes), rail.bar.width))


def _draw_posts(drawn: Sequence[DrawnLeg], settings: StrengthSettings, drawing: Drawing) -> None:
    """Every post once, with the rails of all legs that it holds."""
    seen: set[str] = set()
    for one in drawn:
        for place in one.posts:
            if place.post.id not in seen:
                seen.add(place.post.id)
                _draw_post(one, place, drawn, settings, drawing)


def _stops(post: Post, drawn: Sequence[DrawnLeg]) -> list[tuple[float, str, bool]]:
    """How far up a post each rail of each leg is held, by what node, and whether that is a handrail."""
    found = []
    for one in drawn:
        for rail in one.rails:
            for u, own in rail.at_posts.items():
                if own.post.id == post.id:
                    reach = own.crossing(rail.line)[0]
                    found.append((reach, rail.node_at(u), rail.bar.role is BarRole.HANDRAIL))
    return found


def _draw_post(
    one: DrawnLeg,
    place: PostPlace,
    drawn: Sequence[DrawnLeg],
    settings: StrengthSettings,
    drawing: Drawing,
) -> None:
    """A post from its foot through the rails that it holds to its top."""
    post, leg = place.post, one.leg
    base = stand(post, leg.design, settings)
    foot = f"{post.id} foot"
    head, height = f"{post.id} top", post.length
    stops = {0.0: foot}
    for reach, node, is_handrail in _stops(post, drawn):
        known = next((r for r in stops if abs(r - reach) < SAME_NODE), None)
        if known is None:
            stops[reach] = node
        else:
            drawing.merge(node, stops[known])
        if is_handrail and head == f"{post.id} top":
            head, height = node, reach
    if post.length - max(stops) > SAME_NODE:
        stops[post.length] = f"{post.id} top"
    if post.role is PostRole.HALF:
        stops |= {reach: f"{post.id} wall {n}" for n, reach in enumerate(_wall_heights(post, stops), start=1)}
    for reach, name in stops.items():
        drawing.node(name, leg.point(along(post.foot, post.axis, reach)))
    if post.role is PostRole.HALF:
        _fix_to_wall(one, post, [name for reach, name in stops.items() if reach > 0.0], drawing)
    order = sorted(stops)
    names = [f"{post.id}.{n}" for n in range(1, len(order))]
    z_axis = leg.direction(post.along_axis)
    cut = solid(post.across, post.along)
    for name, near, far in zip(names, order, order[1:], strict=False):
        drawing.member(name, (stops[near], stops[far]), place.wood, cut, z_axis)
    drawing.pieces.append(Piece(post.id, "newel", cut, place.wood, tuple(names)))
    standing = Standing(post, one.number, base, foot, head, height, leg.along, leg.across)
    drawing.posts.append(_on_its_base(standing, leg, names[0], drawing))


def _wall_heights(post: Post, stops: Collection[float]) -> list[float]:
    """Heights at which a half newel is screwed to its wall, besides those where rails meet it."""
    count = math.ceil(post.length / WALL_APART)
    heights = (post.length * n / count for n in range(1, count))
    return [height for height in heights if min(abs(height - stop) for stop in stops) > WALL_APART / 3.0]


def _on_its_base(standing: Standing, leg: StandingLeg, lowest: str, drawing: Drawing) -> Standing:
    """The springs of a base along the newel's own sides: in the ground where those lie on the world's axes.

    Else in the end of the lowest member, which has those sides for axes. A newel that leans is taken as plumb here.
    """
    base, post = standing.base, standing.post
    along_it, across_it = leg.direction(_level(post.along_axis)), leg.direction(_level(post.across_axis))
    standing = replace(standing, along=along_it, across=across_it)
    quarters = quarters_of(along_it)
    if quarters is not None:
        about = (base.across, base.along) if quarters % 2 == 0 else (base.along, base.across)
        drawing.ground[standing.foot] = (INF, INF, INF, *about, INF)
        drawing.base_nodes.append(standing.foot)
        return standing
    drawing.ground[standing.foot] = HELD
    drawing.ends[lowest, True] = (INF, INF, INF, INF, base.along, base.across)
    drawing.base_members.append(lowest)
    return replace(standing, sprung=lowest)


def _level(way: Vec3) -> Vec3:
    """A direction laid level."""
    x, y, _ = way
    return unit((x, y, 0.0))


def _fix_to_wall(one: DrawnLeg, post: Post, nodes: Sequence[str], drawing: Drawing) -> None:
    """A half newel is held by its wall at every node above its foot."""
    k = WALL_FIXING
    for name in nodes:
        drawing.ground[name] = (k, k, k, 0.0, 0.0, 0.0)
    middle = one.handrail.finish + one.handrail.start
    sense = 1.0 if 2.0 * post.foot[0] > middle else -1.0
    drawing.wall_ends.append(WallEnd(post.id, "half newel", tuple(nodes), scale(one.leg.along, sense)))


def _draw_uprights(
    one: DrawnLeg,
    held: Sequence[tuple[Upright, Top, float | None]],
    settings: StrengthSettings,
    drawing: Drawing,
) -> Iterator[Held]:
    leg, handrail, base = one.leg, one.handrail, one.base
    alike: dict[object, tuple[Wood, Cut, tuple[SixSprings, SixSprings]]] = {}
    for upright, top, foot in held:
        key = (upright.material, upright.width, upright.thickness, upright.narrowest, upright.shape)
        if key not in alike:
            wood = wood_of(upright.material, settings.graded, upright.thickness)
            alike[key] = wood, upright_cut(upright), _upright_ends(one, upright)
        wood, cut, ends = alike[key]
        if base is not None and foot is not None:
            name, at = base.node_at(foot), leg.point(base.point(foot))
        else:
            name, at = f"{upright.mark} foot", leg.point((upright.foot[0], upright.y, upright.foot[1]))
            k = WALL_FIXING
            drawing.node(name, at, (k, k, k, INF, INF, INF))
        if top.eased is None:
            node, head = handrail.node_at(top.u), leg.point(handrail.point(top.u))
        else:
            node, head = top.eased.node_at(top.u), top.eased.point(top.u)
        drawing.member(upright.mark, (name, node), wood, cut, leg.along, ends)
        drawing.pieces.append(Piece(upright.mark, "upright", cut, wood, (upright.mark,)))
        width = upright.width + (upright.gap_before + upright.gap_after) / 2.0
        yield Held(upright, upright.mark, width, math.dist(at, head))


def _upright_ends(one: DrawnLeg, upright: Upright) -> tuple[SixSprings, SixSprings]:
    """The joints of an upright at its foot and its head."""
    making, handrail = one.leg.design.making, one.handrail
    below = handrail.wood if one.base is None else one.base.wood
    return (
        _joint(joint_stiffness(making, False, upright, below), INF),
        _joint(joint_stiffness(making, True, upright, handrail.wood), 0.0),
    )


def _joint(stiffness: tuple[Range, Range], twist: float) -> SixSprings:
    """Joint of an upright: about its own z (pushed across) and y (pushed along); it may spin in its head."""
    across, along_it = stiffness
    return (INF, INF, INF, twist, along_it, across)


def _leg_model(
    one: DrawnLeg, uprights: tuple[Held, ...], eased: Mapping[int, EasedRail], leaning: tuple[str, ...]
) -> LegModel:
    handrail, base = one.handrail, one.base
    nodes = [(handrail.node_at(u), u) for u in handrail.places]
    bent = eased.get(one.number)
    if bent is not None:
        nodes += [(bent.node_at(u), u) for u in bent.places]
    return LegModel(
        one.leg,
        handrail.bar.id,
        tuple(nodes),
        handrail.line,
        () if base is None else tuple((base.node_at(u), u) for u in base.places),
        uprights,
        tuple(Head(post.post.id, handrail.node_at(u), u) for u, post in sorted(handrail.at_posts.items())),
        leaning,
        () if bent is None else (bent.name,),
    )
