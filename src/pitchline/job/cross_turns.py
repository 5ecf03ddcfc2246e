"""What a design along an edge must say of the edge: its turns, and what is different along its legs."""

from collections.abc import Iterator, Mapping

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


def leg_id(design: str, leg: str) -> str:
    """What one leg of a design is called."""
    return f"{design} {leg}"


def edge_design_slips(
    design: DesignPieces, edge: EdgePieces | None, stack: Stack, edges: Mapping[str, EdgePieces]
) -> Iterator[Slip]:
    """Every contradiction between a design and the edge that it guards."""
    for path, turn in design.turns:
        yield from _material(path, turn)
    if edge is None:
        if design.edge is not None:
            problem = "the job has no edge of this id"
            yield unknown((*design.path, "edge"), problem, design.edge, list(edges))
        return
    if design.turn_count != edge.turn_count:
        problem = f"the edge has {_turns(edge.turn_count)}, but what is built is told of {_turns(design.turn_count)}"
        remedy = "add one [[designs.turns]] for each, in the edge's order"
        yield Slip((*design.path, "turns"), problem, None, _turns(edge.turn_count), remedy)
    else:
        told = {path[-1]: turn for path, turn in edge.turns}
        for path, turn in design.turns:
            if path[-1] in told:
                yield from _turn(path, turn, told[path[-1]], design, edge, stack)
    yield from _legs(design, edge)


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
    path: Path, turn: TurnTable, told: EdgeTurnTable, design: DesignPieces, edge: EdgePieces, stack: Stack
) -> Iterator[Slip]:
    angle = angle_of(told)
    if isinstance(turn, TurnNewelTable):
        yield from _newel(path, turn, told)
    elif isinstance(turn, StandingNewelTable):
        yield from _standing(path, turn, edge, stack)
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
    if turn.under_rail and "above_rail" in turn.model_fields_set:
        problem = "the rails pass over this newel, so above_rail has no say"
        remedy = "take it out, or take under_rail out"
        yield Slip((*path, "above_rail"), problem, turn.above_rail, remedy=remedy)


def _standing(path: Path, turn: StandingNewelTable, edge: EdgePieces, stack: Stack) -> Iterator[Slip]:
    k = path[-1]
    if edge.legs is None or not isinstance(k, int) or k >= len(edge.legs):
        return
    before = stack.flights.get(edge.legs[k])
    if before is not None and before.whole and turn.post not in before.post_names:
        problem = f"the leg before, {before.id!r}, has no standing newel of this id"
        yield unknown((*path, "post"), problem, turn.post, before.post_names)


def _legs(design: DesignPieces, edge: EdgePieces) -> Iterator[Slip]:
    """Changes are for legs that the edge has, once each."""
    if edge.legs is None:
        return
    seen: set[str] = set()
    for leg in design.legs:
        if leg.flight is None:
            continue
        path = (*leg.path, "leg")
        if leg.flight not in edge.legs:
            yield unknown(path, "the edge does not run over this leg", leg.flight, list(edge.legs))
        elif leg.flight in seen:
            problem = "this leg has its changes already"
            yield Slip(path, problem, leg.flight, remedy="put them in one [[designs.legs]]")
        elif leg.run_on and leg.flight == edge.legs[0]:
            problem = "nothing runs on into the first leg of an edge"
            yield Slip((*leg.path, "run_on"), problem, leg.run_on, remedy="take it out")
        else:
            yield from _runs_on(leg, leg.infill or design.asked.infill)
        seen.add(leg.flight)


def _runs_on(leg: LegPieces, infill: InfillTable | None) -> Iterator[Slip]:
    by_module = isinstance(infill, UprightsTable) and infill.spread is Spread.MODULE
    if leg.run_on and infill is not None and not by_module:
        problem = f'only uprights with spread = "{Spread.MODULE.value}" run on from the leg before'
        yield Slip(
            (*leg.path, "run_on"), problem, leg.run_on, remedy="take run_on out, or choose that spread"
        )
