"""The loads that a set of rules asks for, put on the model as cases. N, mm, MPa; characteristic (unfactored) values.

Outward is away from the walking side of each leg. Loads act one at a time (rules that add them say so by
``load.combine``). Over an edge of several legs a load along the top acts on all legs at once and on each alone.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from pitchline.catalogue.rules import Figure, RuleSet
from pitchline.kit.finding import RuleRef
from pitchline.kit.frame.loads import Case, LineLoad, NodalLoad, PointLoad
from pitchline.kit.geometry.frames import Vec3, scale
from pitchline.kit.geometry.lines import Line
from pitchline.kit.tolerances import SAME_PART
from pitchline.kit.words import PLAIN, Words
from pitchline.strength.model import Held, LegModel, Model
from pitchline.strength.paths import cable_pulls, over, spread_over

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

    ``kind``: line, point, infill (moves the infill too), vertical, permanent. ``at`` is the place of a single load in
    the unrolled elevation; ``pushes`` the level direction in which each leg (by number) is pushed.
    """

    id: str
    kind: str
    title: str
    value: str
    rule: RuleRef | None
    case: Case
    at: float | None = None
    pushes: Mapping[int, Vec3] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class LoadSet:
    """The cases and what was taken for granted with them. ``factor`` is the partial factor on imposed loads."""

    permanent: LoadCase
    imposed: tuple[LoadCase, ...]
    factor: float
    inward: float
    assumed: tuple[str, ...]


def loads_of(model: Model, rules: RuleSet, words: Words = PLAIN) -> LoadSet:
    """Every load that the rules ask for on the legs of an edge."""
    assumed: list[str] = []
    inward = rules.figure("load.inward")
    imposed = [
        *_lines(model, rules, 1.0 if inward is None else inward.value, assumed, words),
        *_points(model, rules),
        *_verticals(model, rules),
        *_infill(model, rules),
    ]
    factor = rules.figure("load.factor")
    permanent = LoadCase("weight", "permanent", "own weight and pull of cables", "", None, _permanent(model))
    return LoadSet(
        permanent,
        tuple(imposed),
        USUAL_FACTOR if factor is None else factor.value,
        1.0 if inward is None else inward.value,
        tuple(assumed),
    )


def top_members(model: Model, leg: LegModel) -> tuple[str, ...]:
    """The members of a leg's handrail in order, with the bent piece after it."""
    names = (leg.handrail, *leg.easing)
    return tuple(member for name in names for member in model.by_name[name].members)


def _line_load(rules: RuleSet, assumed: list[str]) -> tuple[float, str, RuleRef | None] | None:
    """The load along the top: N/mm, as written, and where; None where a single load takes its place."""
    figure = rules.figure("load.line")
    if figure is not None:
        return figure.value, figure.written, rules.ref("load.line")
    if rules.figure("load.top.point") is not None:
        return None
    assumed.append(f"level load of {USUAL_LINE:g} kN/m along the top: the rules name no load")
    return USUAL_LINE, f"{USUAL_LINE:g} kN/m", None


def _lines(
    model: Model, rules: RuleSet, inward: float, assumed: list[str], words: Words
) -> Iterator[LoadCase]:
    """The load along the top outward, on the whole edge and, of several legs, on each alone; inward on the whole."""
    load = _line_load(rules, assumed)
    if load is None:
        return
    value, written, ref = load
    numbers = range(len(model.legs))
    levers = _levers(model, rules, assumed, words)
    sets = [("line outward", "level load along the top, outward", 1.0, tuple(numbers))]
    if len(model.legs) > 1:
        sets += [
            (
                f"line outward on {model.legs[n].handrail}",
                f"level load along the top of {model.legs[n].handrail} alone, outward",
                1.0,
                (n,),
            )
            for n in numbers
        ]
    share = "" if inward == 1.0 else f", {inward:g} of it"
    sets.append(("line inward", f"level load along the top, inward{share}", -inward, tuple(numbers)))
    for name, title, sense, chosen in sets:
        pushes = {n: scale(model.legs[n].leg.outward, math.copysign(1.0, sense)) for n in chosen}
        lines = [
            line
            for n in chosen
            for line in over(model, top_members(model, model.legs[n]), scale(pushes[n], abs(sense) * value))
        ]
        turns = [turn for n in chosen for turn in _turned(levers[n], pushes[n], abs(sense) * value)]
        yield LoadCase(
            name, "line", title, written, ref, Case(name, tuple(turns), (), tuple(lines)), None, pushes
        )


Lever = tuple[str, float]
"""A node at a newel, and mm2: what the load's greater height adds to the lever times the rail that hangs on it."""


def _turned(levers: Sequence[Lever], push: Vec3, value: float) -> Iterator[NodalLoad]:
    """The moments z x push of a load that acts higher than the rail."""
    x, y, _ = push
    for node, size in levers:
        moment = value * size
        yield NodalLoad(node, (0.0, 0.0, 0.0, -y * moment, x * moment, 0.0))


def _levers(model: Model, rules: RuleSet, assumed: list[str], words: Words) -> list[list[Lever]]:
    """Where the load acts higher than the rail: what the greater lever adds at the newels of each leg."""
    height = rules.figure("load.line.height")
    if height is None or rules.word("load.line.at", "top of guarding") != "fixed height":
        return [[] for _ in model.legs]
    found = [_levers_of(leg, height.value) for leg in model.legs]
    if any(found):
        up = words.about(height.value) if words is not PLAIN else height.written
        assumed.append(f"the load acts {up} up whatever the rail's height: the rest of the lever on newels")
    return found


def _levers_of(leg: LegModel, height: float) -> list[Lever]:
    """Every newel of a leg with its share of the rail's length times what its axis lies lower than the load."""
    walked = walking_line(leg)
    start, finish = leg.rail_nodes[0][1], leg.rail_nodes[-1][1]
    slope = math.cos(leg.rail_line.angle)
    levers = []
    for n, head in enumerate(leg.heads):
        before = start if n == 0 else (leg.heads[n - 1].u + head.u) / 2.0
        behind = finish if n == len(leg.heads) - 1 else (head.u + leg.heads[n + 1].u) / 2.0
        extra = height - (leg.rail_line.at(head.u) - walked.at(head.u))
        if extra > 0.0:
            levers.append((head.node, extra * (behind - before) / slope))
    return levers


def walking_line(leg: LegModel) -> Line:
    """The line from the first nosing to the last (of a level leg its surface): heights of loads count from it."""
    nosings = leg.leg.design.flight.nosings
    if len(nosings) < 2:
        return Line(nosings[0][1], leg.rail_line.slope).raised(-leg.rail_line.slope * nosings[0][0])
    return Line.through(nosings[0], nosings[-1])


def _places(leg: LegModel, most: int) -> list[tuple[str, float]]:
    """Places along a leg's top for a single load: newels first, then evenly over the rest."""
    always_at = {head.node for head in leg.heads} | {leg.rail_nodes[0][0], leg.rail_nodes[-1][0]}
    always = [pair for pair in leg.rail_nodes if pair[0] in always_at]
    rest = [pair for pair in leg.rail_nodes if pair[0] not in always_at]
    step = max(1, math.ceil(len(rest) / max(1, most - len(always))))
    return sorted([*always, *rest[step // 2 :: step]], key=lambda pair: pair[1])


def _points(model: Model, rules: RuleSet) -> Iterator[LoadCase]:
    """The single load at every place along the top, outward; down and along the rail at fewer places."""
    most = max(8, POSITIONS // len(model.legs))
    for name in ("load.top.point", "load.handrail.point"):
        figure = rules.figure(name)
        if figure is None:
            continue
        for number, leg in enumerate(model.legs):
            yield from _points_on(number, leg, figure, rules.ref(name), _places(leg, most))


def _points_on(
    number: int, leg: LegModel, figure: Figure, ref: RuleRef, places: Sequence[tuple[str, float]]
) -> Iterator[LoadCase]:
    def load(place: tuple[str, float], force: Vec3, way: str, pushes: Mapping[int, Vec3]) -> LoadCase:
        what = "handrail" if "handrail" in figure.id else "top"
        case_id = f"point on {what} {way} at {place[0]}"
        if number and leg.rail_nodes[0][0] == place[0]:
            case_id += f" from {leg.handrail}"
        case = Case(case_id, (NodalLoad(place[0], (*force, 0.0, 0.0, 0.0)),))
        at = place[1] + leg.leg.place.du
        return LoadCase(
            case_id, "point", f"single load on the {what}, {way}", figure.written, ref, case, at, pushes
        )

    out, back = leg.leg.outward, scale(leg.leg.along, -1.0)
    for place in places:
        yield load(place, scale(out, figure.value), "outward", {number: out})
    for place in places[1::4]:
        yield load(place, (0.0, 0.0, -figure.value), "down", {})
    middle = places[len(places) // 2]
    yield load(middle, scale(leg.slope, -figure.value), "along the rail", {number: back})


def _verticals(model: Model, rules: RuleSet) -> Iterator[LoadCase]:
    figure = rules.figure("load.top.vertical")
    if figure is None:
        return
    lines = [
        line for leg in model.legs for line in over(model, top_members(model, leg), (0.0, 0.0, -figure.value))
    ]
    title = "load straight down along the top"
    ref = rules.ref("load.top.vertical")
    yield LoadCase("line down", "vertical", title, figure.written, ref, Case("line down", line=tuple(lines)))


def _infill(model: Model, rules: RuleSet) -> Iterator[LoadCase]:
    outward = {number: leg.leg.outward for number, leg in enumerate(model.legs)}
    pressure = rules.figure("load.infill.pressure")
    if pressure is not None:
        spread = [
            line
            for number, leg in enumerate(model.legs)
            for line in spread_over(model, leg, scale(outward[number], pressure.value))
        ]
        if spread:
            case, ref = Case("infill pressure", line=tuple(spread)), rules.ref("load.infill.pressure")
            title = "load spread over the infill"
            yield LoadCase("infill pressure", "infill", title, pressure.written, ref, case, None, outward)
    point = rules.figure("load.infill.point")
    if point is None:
        return
    for number, leg in enumerate(model.legs):
        if leg.uprights:
            most = max(held.length for held in leg.uprights)
            longest = next(held for held in leg.uprights if held.length >= most - SAME_PART)
            name = "infill point" if len(model.legs) == 1 else f"infill point on {longest.member}"
            force = scale(outward[number], point.value / engaged(rules, longest))
            case = Case(name, point=(PointLoad(longest.member, longest.length / 2.0, force),))
            title = f"single load on the middle of {longest.member}"
            ref = rules.ref("load.infill.point")
            push = {number: outward[number]}
            yield LoadCase(name, "infill", title, point.written, ref, case, None, push)


def engaged(rules: RuleSet, held: Held) -> int:
    """How many uprights share the single load: those that its area covers, no more than the rules allow."""
    area, most = rules.figure("load.infill.area"), rules.figure("load.infill.engaged")
    if area is None:
        return 1
    covered = max(1, int(math.sqrt(area.value) // held.width))
    return covered if most is None else min(covered, int(most.value))


def _permanent(model: Model) -> Case:
    lines: list[LineLoad] = []
    for piece in model.pieces:
        weight = piece.wood.rho_mean * 1e-9 * GRAVITY * piece.cut.section.area
        lines += over(model, piece.members, (0.0, 0.0, -weight))
    pulls = [pull for leg in model.legs for pull in cable_pulls(model, leg)]
    return Case("weight", (), tuple(pulls), tuple(lines))
