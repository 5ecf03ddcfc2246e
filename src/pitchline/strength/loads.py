"""The loads that a set of rules asks for, put on the model as cases. N, mm, MPa; characteristic (unfactored) values.

Outward is away from the walking side. Loads act one at a time (rules that add them say so by ``load.combine``).
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pitchline.catalogue.rules import RuleSet
from pitchline.design.model import Design
from pitchline.kit.finding import RuleRef
from pitchline.kit.frame.loads import Case, LineLoad, NodalLoad, PointLoad
from pitchline.kit.frame.model import Six
from pitchline.kit.geometry.frames import Vec3, scale
from pitchline.strength.framing import Held, Model

USUAL_LINE = 0.5
"""N/mm along the top where a set of rules names no load: the usual figure for dwellings after EN 1991-1-1 table 6.12
(read in national summaries)."""

USUAL_FACTOR = 1.5
"""Partial factor on imposed loads where the rules name none: EN 1990 (second hand)."""

PERMANENT_FACTOR = 1.35
"""Partial factor on weight and on the pull of cables: EN 1990 (second hand)."""

GRAVITY = 9.81
"""m/s2."""

POSITIONS = 50
"""At most so many places along the top for a single load; newels and the worst between them are always among them."""


@dataclass(frozen=True, slots=True)
class LoadCase:
    """One case on the frame: what it is in words, its size as the rules state it, and where that stands.

    ``kind``: line, point, infill (moves the infill too), vertical, permanent. ``at`` is the u of a single load.
    """

    id: str
    kind: str
    title: str
    value: str
    rule: RuleRef | None
    case: Case
    at: float | None = None


@dataclass(frozen=True, slots=True)
class LoadSet:
    """The cases and what was taken for granted with them. ``factor`` is the partial factor on imposed loads."""

    permanent: LoadCase
    imposed: tuple[LoadCase, ...]
    factor: float
    inward: float
    assumed: tuple[str, ...]


def loads_of(model: Model, design: Design, rules: RuleSet) -> LoadSet:
    """Every load that the rules ask for on one leg."""
    out = -design.side.towards_stair
    assumed: list[str] = []
    imposed = [
        *_lines(model, rules, out, assumed),
        *_points(model, rules, out),
        *_verticals(model, rules),
        *_infill(model, design, rules, out),
    ]
    factor = rules.figure("load.factor")
    inward = rules.figure("load.inward")
    permanent = LoadCase(
        "weight", "permanent", "own weight and pull of cables", "", None, _permanent(model, design)
    )
    return LoadSet(
        permanent,
        tuple(imposed),
        USUAL_FACTOR if factor is None else factor.value,
        1.0 if inward is None else inward.value,
        tuple(assumed),
    )


def _ref(rules: RuleSet, figure: str) -> RuleRef:
    return rules.ref(figure)


def handrail_members(model: Model) -> tuple[str, ...]:
    """The members of the handrail in order."""
    return next(piece.members for piece in model.pieces if piece.kind == "handrail")


def member_length(model: Model, member: str) -> float:
    """Length of one member, mm."""
    i, j = model.frame.ends[model.frame.member_index[member]]
    a, b = model.frame.nodes[i].at, model.frame.nodes[j].at
    return math.dist(a, b)


def over(model: Model, members: Sequence[str], q: Vec3) -> tuple[LineLoad, ...]:
    """The same load per mm all along some members."""
    return tuple(LineLoad(name, 0.0, member_length(model, name), q, q) for name in members)


def _lines(model: Model, rules: RuleSet, out: float, assumed: list[str]) -> Iterator[LoadCase]:
    figure = rules.figure("load.line")
    if figure is None and rules.figure("load.top.point") is None:
        assumed.append(f"level load of {USUAL_LINE:g} kN/m along the top: the rules name no load")
        value, written, ref = USUAL_LINE, f"{USUAL_LINE:g} kN/m", None
    elif figure is not None:
        value, written, ref = figure.value, figure.written, _ref(rules, "load.line")
    else:
        return
    q = (0.0, out * value, 0.0)
    lever = _lever(model, rules, value * out, assumed)
    case = Case("line outward", lever, (), over(model, handrail_members(model), q))
    yield LoadCase("line outward", "line", "level load along the top, outward", written, ref, case)


def _lever(model: Model, rules: RuleSet, q: float, assumed: list[str]) -> tuple[NodalLoad, ...]:
    """Where the load acts higher than the rail: what the greater lever adds, as moments on the posts."""
    height = rules.figure("load.line.height")
    if height is None or rules.word("load.line.at", "top of guarding") != "fixed height" or not model.posts:
        return ()
    places = [(p, next((u for node, u in model.rail_nodes if node == p.head), 0.0)) for p in model.posts]
    places.sort(key=lambda pair: pair[1])
    start, finish = model.rail_nodes[0][1], model.rail_nodes[-1][1]
    slope = math.cos(model.rail_line.angle)
    moments = []
    for n, (post, u) in enumerate(places):
        before = start if n == 0 else (places[n - 1][1] + u) / 2.0
        behind = finish if n == len(places) - 1 else (u + places[n + 1][1]) / 2.0
        extra = max(0.0, height.value - post.height)
        if extra > 0.0:
            turn: Six = (0.0, 0.0, 0.0, -q * extra * (behind - before) / slope, 0.0, 0.0)
            moments.append(NodalLoad(post.head, turn))
    if moments:
        assumed.append(
            f"the load acts {height.written} up whatever the rail's height: the rest of the lever on newels"
        )
    return tuple(moments)


def _places(model: Model) -> list[tuple[str, float]]:
    """Places along the top for a single load: newels first, then evenly over the rest."""
    heads = {post.head for post in model.posts}
    ends = {model.rail_nodes[0][0], model.rail_nodes[-1][0]}
    always = [pair for pair in model.rail_nodes if pair[0] in heads | ends]
    rest = [pair for pair in model.rail_nodes if pair[0] not in heads | ends]
    step = max(1, math.ceil(len(rest) / max(1, POSITIONS - len(always))))
    return sorted([*always, *rest[step // 2 :: step]], key=lambda pair: pair[1])


def _points(model: Model, rules: RuleSet, out: float) -> Iterator[LoadCase]:
    """The single load at every place along the top, outward; down and along the rail at fewer places."""
    for name in ("load.top.point", "load.handrail.point"):
        figure = rules.figure(name)
        if figure is None:
            continue
        places = _places(model)
        for node, u in places:
            yield _point(
                node, u, (0.0, out * figure.value, 0.0), "outward", figure.written, _ref(rules, name), name
            )
        slope = model.rail_line.direction
        for node, u in places[1::4]:
            down = (0.0, 0.0, -figure.value)
            yield _point(node, u, down, "down", figure.written, _ref(rules, name), name)
        middle = places[len(places) // 2]
        along = scale((slope[0], 0.0, slope[1]), -figure.value)
        yield _point(*middle, along, "along the rail", figure.written, _ref(rules, name), name)


def _point(node: str, u: float, force: Vec3, way: str, written: str, ref: RuleRef, name: str) -> LoadCase:
    what = "handrail" if "handrail" in name else "top"
    case_id = f"point on {what} {way} at {node}"
    case = Case(case_id, (NodalLoad(node, (*force, 0.0, 0.0, 0.0)),))
    return LoadCase(case_id, "point", f"single load on the {what}, {way}", written, ref, case, u)


def _verticals(model: Model, rules: RuleSet) -> Iterator[LoadCase]:
    figure = rules.figure("load.top.vertical")
    if figure is None:
        return
    case = Case("line down", line=over(model, handrail_members(model), (0.0, 0.0, -figure.value)))
    title = "load straight down along the top"
    yield LoadCase("line down", "vertical", title, figure.written, _ref(rules, "load.top.vertical"), case)


def _infill(model: Model, design: Design, rules: RuleSet, out: float) -> Iterator[LoadCase]:
    pressure = rules.figure("load.infill.pressure")
    if pressure is not None:
        case = Case("infill pressure", line=tuple(_spread(model, design, pressure.value * out)))
        if case.line:
            ref = _ref(rules, "load.infill.pressure")
            yield LoadCase(
                "infill pressure", "infill", "load spread over the infill", pressure.written, ref, case
            )
    point = rules.figure("load.infill.point")
    if point is not None and model.uprights:
        longest = max(model.uprights, key=lambda held: held.length)
        share = point.value / engaged(rules, longest)
        force = (0.0, out * share, 0.0)
        case = Case("infill point", point=(PointLoad(longest.member, longest.length / 2.0, force),))
        ref = _ref(rules, "load.infill.point")
        title = f"single load on the middle of {longest.member}"
        yield LoadCase("infill point", "infill", title, point.written, ref, case)


def engaged(rules: RuleSet, held: Held) -> int:
    """How many uprights share the single load: those that its area covers, no more than the rules allow."""
    area, most = rules.figure("load.infill.area"), rules.figure("load.infill.engaged")
    if area is None:
        return 1
    covered = max(1, int(math.sqrt(area.value) // held.width))
    return covered if most is None else min(covered, int(most.value))


def _spread(model: Model, design: Design, pressure: float) -> Iterator[LineLoad]:
    """Pressure on the gross face: on uprights by share; of panels half to each rail; of strands to the posts."""
    for held in model.uprights:
        yield from over(model, (held.member,), (0.0, pressure * held.width, 0.0))
    if design.uprights or not (design.panels or design.strands):
        return
    heights = [z for _, z in design.bay.sight]
    clear = max(heights) - min(heights)
    if design.panels:
        tall = _clear_height(design)
        for piece in model.pieces:
            if piece.kind in {"handrail", "base rail"}:
                level = math.cos(model.rail_line.angle)
                yield from over(model, piece.members, (0.0, pressure * tall / 2.0 * level, 0.0))
    elif clear > 0.0:
        run = design.bay.run / max(1, len(model.posts))
        for post in model.posts:
            names = next(piece.members for piece in model.pieces if piece.name == post.post.id)
            yield from over(model, names, (0.0, pressure * run, 0.0))


def _clear_height(design: Design) -> float:
    """Plumb height of the bay between its rails."""
    u = (design.bay.start.point[0] + design.bay.finish.point[0]) / 2.0
    low = design.handrail.bottom.at(u) if design.base is None else design.base.top.at(u)
    low = low if design.base is not None else min(z for _, z in design.bay.sight)
    return design.handrail.bottom.at(u) - low


def _permanent(model: Model, design: Design) -> Case:
    lines: list[LineLoad] = []
    for piece in model.pieces:
        weight = piece.wood.rho_mean * 1e-9 * GRAVITY * piece.cut.section.area
        lines += over(model, piece.members, (0.0, 0.0, -weight))
    return Case("weight", (), tuple(_cables(model, design)), tuple(lines))


def _cables(model: Model, design: Design) -> Iterator[PointLoad]:
    """Cables pull both end posts towards each other, each at its own height."""
    ordered = sorted(model.posts, key=lambda standing: standing.post.foot[0])
    if len(ordered) < 2:
        return
    for strand in design.strands:
        if not strand.pull:
            continue
        du, dz = strand.line.direction
        for standing, sense in ((ordered[0], 1.0), (ordered[-1], -1.0)):
            z = strand.line.at(standing.post.foot[0])
            force = (sense * strand.pull * du, 0.0, sense * strand.pull * dz)
            yield from _on_post(model, standing.post.id, z, force)


def _on_post(model: Model, post: str, z: float, force: Vec3) -> Iterator[PointLoad]:
    names = next(piece.members for piece in model.pieces if piece.name == post)
    frame = model.frame
    for name in names:
        i, j = frame.ends[frame.member_index[name]]
        low, high = frame.nodes[i].at[2], frame.nodes[j].at[2]
        if low <= z < high:
            yield PointLoad(name, (z - low) / (high - low) * member_length(model, name), force)
            return
