"""What a design along an edge must say of the edge: its turns, and what is different along its legs."""

from collections import Counter
from collections.abc import Iterator, Sequence

from pitchline.catalogue.timber import list_timbers
from pitchline.design.brief import Foot, Spread, StrandKind
from pitchline.job.cross_edge import Stack, angle_of
from pitchline.job.cross_names import unknown
from pitchline.job.faults import Slip
from pitchline.job.model_edge import EdgeTurnTable
from pitchline.job.model_ends import EasedTable, MitredTable, StandingNewelTable, TurnNewelTable, TurnTable
from pitchline.job.model_infill import InfillTable, StrandsTable, UprightsTable
from pitchline.job.pieces import DesignPieces, EdgePieces, LegPieces
from pitchline.job.positions import Path
from pitchline.kit.tolerances import SHARPEST_MITRE_DEG, STRAIGHT_ON
from pitchline.survey.readings import nosing_number


def leg_ids(design: str, edges: Sequence[tuple[str, Sequence[str]]]) -> list[list[str]]:
    """What the legs of a design's edges are called; each edge by its id and its legs.

    After the design and the leg; a leg that two edges run over, after the edge as well.
    """
    often = Counter(leg for _, legs in edges for leg in legs)
    return [
        [f"{design} {leg}" if often[leg] == 1 else f"{design} {edge} {leg}" for leg in legs]
        for edge, legs in edges
    ]


def bay_ids(leg: str, newels: int) -> list[str]:
    """What the bays are called into which so many newels between divide a leg: after it, with their numbers."""
    return [leg] if newels == 0 else [f"{leg} bay {number}" for number in range(1, newels + 2)]


def edge_design_slips(
    design: DesignPieces, edges: Sequence[EdgePieces], stack: Stack, known: list[str]
) -> Iterator[Slip]:
    """Every contradiction between a design and the edges that it guards; ``known`` are all edges of the job."""
    for path, turn in design.turns:
        yield from _material(path, turn)
    seen: set[str] = set()
    for path, name in design.edges:
        if name not in known:
            yield unknown(path, "the job has no edge of this id", name, known)
        elif name in seen:
            yield Slip(path, "this edge is guarded already", name, remedy="take it out")
        seen.add(name)
    if not edges or len(edges) != len(design.edges):
        return
    count = sum(edge.turn_count for edge in edges)
    if design.turn_count != count:
        whose = "the edge has" if len(edges) == 1 else "the edges have"
        problem = f"{whose} {_turns(count)}, but what is built is told of {_turns(design.turn_count)}"
        remedy = "add one [[designs.turns]] for each, in the edge's order"
        yield Slip((*design.path, "turns"), problem, None, _turns(count), remedy)
    else:
        yield from _every_turn(design, edges, stack)
    yield from _legs(design, edges)


def _every_turn(design: DesignPieces, edges: Sequence[EdgePieces], stack: Stack) -> Iterator[Slip]:
    """What is built at each turn, edge by edge."""
    told = [
        (edge, k, {path[-1]: turn for path, turn in edge.turns}.get(k))
        for edge in edges
        for k in range(edge.turn_count)
    ]
    for path, turn in design.turns:
        number = path[-1]
        if isinstance(number, int) and number < len(told):
            edge, k, there = told[number]
            if there is not None:
                yield from _turn(path, turn, there, design, (edge, k), stack)


def _turns(count: int) -> str:
    return f"{count or 'no'} turn{'' if count == 1 else 's'}"


def _material(path: Path, turn: TurnTable) -> Iterator[Slip]:
    if isinstance(turn, TurnNewelTable) and turn.material not in list_timbers():
        known = list(list_timbers())
        yield unknown((*path, "material"), "the catalogue has no such material", turn.material, known)


def _held(path: Path, turn: MitredTable | EasedTable, design: DesignPieces) -> Iterator[Slip]:
    """Cables are pulled, so that something must stand where they end."""
    infill = design.asked.infill
    if isinstance(infill, StrandsTable) and infill.strand is StrandKind.CABLE:
        problem = "cables need a newel at a turn to be held by, and here none would stand"
        allowed = '"turn newel" or "standing newel"'
        yield Slip((*path, "kind"), problem, turn.kind, allowed)


def _turn(
    path: Path,
    turn: TurnTable,
    told: EdgeTurnTable,
    design: DesignPieces,
    at: tuple[EdgePieces, int],
    stack: Stack,
) -> Iterator[Slip]:
    """What is built at turn ``at`` of an edge (from 0)."""
    angle = angle_of(told)
    if isinstance(turn, TurnNewelTable):
        yield from _newel(path, turn, told)
    elif isinstance(turn, StandingNewelTable):
        yield from _standing(path, turn, at, stack)
    elif isinstance(turn, EasedTable) and angle is not None and abs(angle) > STRAIGHT_ON:
        problem = "an easing bends in one upright plane, but here the edge turns in plan"
        yield Slip((*path, "kind"), problem, turn.kind, '"turn newel", "standing newel" or "mitred"')
    if isinstance(turn, MitredTable | EasedTable):
        yield from _held(path, turn, design)
    if isinstance(turn, MitredTable) or (isinstance(turn, TurnNewelTable) and turn.under_rail):
        yield from _mitre(path, angle)


def _mitre(path: Path, angle: float | None) -> Iterator[Slip]:
    if angle is not None and abs(angle) > SHARPEST_MITRE_DEG:
        problem = f"rails that turn by {abs(angle):g} degrees at once cannot be mitred"
        remedy = "let a newel take both rails, or turn the well twice, with a level leg between"
        yield Slip((*path, "kind"), problem, None, f"up to {SHARPEST_MITRE_DEG:g} degrees", remedy)


def _newel(path: Path, turn: TurnNewelTable, told: EdgeTurnTable) -> Iterator[Slip]:
    if turn.foot is Foot.STRING:
        problem = "a newel at a turn stands on the floor there or on a tread"
        yield Slip((*path, "foot"), problem, turn.foot.value, '"floor" or "tread"')
    if turn.foot is Foot.TREAD and told.leaves is not None and not nosing_number(told.leaves):
        problem = f"a newel on a tread is set out from a nosing, and this turn leaves at {told.leaves!r}"
        yield Slip(
            (*path, "foot"), problem, turn.foot.value, remedy="let the turn leave at the nosing of that tread"
        )
    if turn.under_rail and "above_rail" in turn.model_fields_set:
        problem = "the rails pass over this newel, so above_rail has no say"
        remedy = "take it out, or take under_rail out"
        yield Slip((*path, "above_rail"), problem, turn.above_rail, remedy=remedy)


def _standing(
    path: Path, turn: StandingNewelTable, at: tuple[EdgePieces, int], stack: Stack
) -> Iterator[Slip]:
    edge, k = at
    if edge.legs is None or k >= len(edge.legs):
        return
    before = stack.flights.get(edge.legs[k])
    if before is not None and before.whole and turn.post not in before.post_names:
        problem = f"the leg before, {before.id!r}, has no standing newel of this id"
        yield unknown((*path, "post"), problem, turn.post, before.post_names)


def _legs(design: DesignPieces, edges: Sequence[EdgePieces]) -> Iterator[Slip]:
    """Changes are for legs that the edges have, once each."""
    if any(edge.legs is None for edge in edges):
        return
    seen: set[tuple[str | None, str]] = set()
    for leg in design.legs:
        if leg.flight is None:
            continue
        meant = [edge for edge in edges if leg.edge in (None, edge.id)]
        over = [edge for edge in meant if leg.flight in (edge.legs or ())]
        if not meant:
            names = [edge.id for edge in edges if edge.id is not None]
            yield unknown((*leg.path, "edge"), "the design guards no edge of this id", str(leg.edge), names)
        elif not over:
            legs = [name for edge in meant for name in edge.legs or ()]
            yield unknown((*leg.path, "leg"), "the edge does not run over this leg", leg.flight, legs)
        elif (leg.edge, leg.flight) in seen:
            problem = "this leg has its changes already"
            yield Slip((*leg.path, "leg"), problem, leg.flight, remedy="put them in one [[designs.legs]]")
        else:
            yield from _outer(leg, over)
            yield from _runs_on(leg, leg.infill or design.asked.infill, over)
        seen.add((leg.edge, leg.flight))


def _outer(leg: LegPieces, over: Sequence[EdgePieces]) -> Iterator[Slip]:
    """Only the outer legs of an edge have an end of their own."""
    for key, at, word in (("bottom", 0, "first"), ("top", -1, "last")):
        if key in leg.places and not any((edge.legs or ("",))[at] == leg.flight for edge in over):
            problem = f"only the {word} leg of an edge has a {key}; at the others the turns say what is built"
            yield Slip((*leg.path, key), problem, remedy="take it out")


def _runs_on(leg: LegPieces, infill: InfillTable | None, over: Sequence[EdgePieces]) -> Iterator[Slip]:
    if not leg.run_on:
        return
    if all((edge.legs or ("",))[0] == leg.flight for edge in over):
        problem = "nothing runs on into the first leg of an edge"
        yield Slip((*leg.path, "run_on"), problem, leg.run_on, remedy="take it out")
        return
    by_module = isinstance(infill, UprightsTable) and infill.spread is Spread.MODULE
    if infill is not None and not by_module:
        problem = f'only uprights with spread = "{Spread.MODULE.value}" run on from the leg before'
        yield Slip(
            (*leg.path, "run_on"), problem, leg.run_on, remedy="take run_on out, or choose that spread"
        )
