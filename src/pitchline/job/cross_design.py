"""What the tables of one design must say of each other, and of the flights and edges that it guards."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace

from pitchline.catalogue.moisture import equilibrium_moisture
from pitchline.catalogue.timber import list_timbers
from pitchline.design.brief import BaseSeat, Foot, Spread
from pitchline.job.cross_edge import Stack
from pitchline.job.cross_infill import infill_slips
from pitchline.job.cross_making import making_slips
from pitchline.job.cross_names import unknown
from pitchline.job.cross_newels import newel_slips
from pitchline.job.cross_points import places_along, station_slips
from pitchline.job.cross_turns import edge_design_slips
from pitchline.job.faults import Slip, missing
from pitchline.job.model_design import BaseRailTable, HandrailTable, SeasonTable
from pitchline.job.model_ends import (
    EndTable,
    ExistingNewelEnd,
    FreeEndTable,
    HalfNewelEnd,
    NewNewelEnd,
    WallEnd,
)
from pitchline.job.model_infill import InfillTable, PanelsTable, StrandsTable, UprightsTable
from pitchline.job.model_making import BoredMetalTable, ClampedTable, MakingTable, OnTreadsTable
from pitchline.job.model_table import NONE
from pitchline.job.pieces import DesignPieces, EdgePieces, FlightPieces, LegPieces, on_side
from pitchline.job.positions import Path
from pitchline.stair.model import Side
from pitchline.survey.readings import nosing_number

Say = Callable[[float], str]
"""Puts a length into the job's unit."""

_ON_STRING = (BaseSeat.STRING, BaseSeat.PACKED)


def design_slips(design: DesignPieces, stack: Stack, edges: Mapping[str, EdgePieces]) -> Iterator[Slip]:
    """Every contradiction inside one design; ``edges`` by id."""
    yield from _guards(design, stack)
    guarded = [edges[name] for _, name in design.edges if name in edges]
    if design.has_edge or design.has_edges:
        yield from edge_design_slips(design, guarded, stack, list(edges))
    yield from newel_slips(design, guarded, stack)
    for leg in _legs(design, guarded):
        yield from _leg_slips(leg, stack)
    if not guarded:
        yield from _both_ends(design.asked)
    if design.season is not None:
        yield from _season((*design.path, "season"), design.season)


def _guards(design: DesignPieces, stack: Stack) -> Iterator[Slip]:
    """A design guards either a side of one flight, or an edge, or several."""
    if design.has_edge and design.has_edges:
        problem = "edge and edges both say what is guarded"
        yield Slip((*design.path, "edges"), problem, remedy="keep one of them")
    if design.has_edge or design.has_edges:
        for key, there in (("flight", design.has_flight), ("side", design.has_side)):
            if there:
                problem = f"the edge says which {'flights it runs over' if key == 'flight' else 'side it is'}"
                yield Slip((*design.path, key), problem, remedy=f"take {key} out, or edge")
        return
    for key, there in (("flight", design.has_flight), ("side", design.has_side)):
        if not there:
            yield missing((*design.path, key))
    flight = design.asked.flight
    if flight is not None and flight not in stack.flights and stack.whole and stack.flights:
        what = "flight or level" if any(leg.level for leg in stack.flights.values()) else "flight"
        yield unknown((*design.path, "flight"), f"the job has no {what} of this id", flight, stack.names)
    for key, count in (("turns", design.turn_count), ("legs", len(design.legs))):
        if count:
            problem = f"{key} are for a design along an edge, and this one guards a single flight"
            yield Slip((*design.path, key), problem, remedy="name an edge, or take them out")


def _legs(design: DesignPieces, edges: Sequence[EdgePieces]) -> Iterator[LegPieces]:
    """What is asked of every leg of every edge, with its own changes put in place."""
    known = [edge for edge in edges if edge.legs is not None]
    if not known:
        yield design.asked
        return
    plain = replace(design.asked, bottom=None, top=None)
    for edge in known:
        changes = {
            change.flight: change for change in design.legs if change.edge is None or change.edge == edge.id
        }
        legs = edge.legs or ()
        for k, name in enumerate(legs):
            leg = replace(
                plain,
                flight=name,
                side=edge.side,
                bottom=design.asked.bottom if k == 0 else None,
                top=design.asked.top if k == len(legs) - 1 else None,
            )
            yield leg.changed_by(changes[name]) if name in changes else leg


def _leg_slips(leg: LegPieces, stack: Stack) -> Iterator[Slip]:
    flight = None if leg.flight is None else stack.flights.get(leg.flight)
    for name, end in (("bottom", leg.bottom), ("top", leg.top)):
        if end is not None:
            yield from _end(leg.at(name), end, flight, leg.side)
    if leg.handrail is not None:
        yield from _rounding(leg.at("handrail"), leg.handrail, leg.say)
    if isinstance(leg.base_rail, BaseRailTable):
        yield from _rounding(leg.at("base_rail"), leg.base_rail, leg.say)
        yield from _seat(leg.at("base_rail"), leg.base_rail, flight, leg.side)
    yield from _left_out(leg)
    yield from _on_a_level(leg, flight)
    yield from _held(leg)
    if leg.infill is not None:
        yield from infill_slips(leg.at("infill"), leg.infill, leg.say)
    if leg.making is not None:
        yield from making_slips(leg.at("making"), leg, leg.making)
    yield from _materials(leg)


def _left_out(leg: LegPieces) -> Iterator[Slip]:
    """A base rail is left out only on purpose, and only where infill and making do without; a making by strands."""
    infill, making = leg.infill, leg.making
    if isinstance(making, OnTreadsTable) and isinstance(leg.base_rail, BaseRailTable):
        problem = "uprights that stand on the treads have no base rail"
        remedy = f'write base_rail = "{NONE}" instead of its table, or choose another making'
        yield Slip(leg.at("base_rail"), problem, remedy=remedy)
    if infill is not None and not isinstance(infill, StrandsTable) and not leg.has_making:
        yield missing((*leg.path, "making"))
    if infill is None or making is None or not _needs_base(infill, making):
        return
    if leg.base_rail == NONE:
        what = "panels that are not clamped" if isinstance(infill, PanelsTable) else "uprights made like that"
        remedy = "add the table of the base rail, or choose another making"
        yield Slip(leg.at("base_rail"), f"{what} need a base rail below them", NONE, remedy=remedy)
    elif not leg.has_base_rail:
        yield missing((*leg.path, "base_rail"))


def _needs_base(infill: InfillTable, making: MakingTable) -> bool:
    """Whether an infill made in this way stands on a base rail: all but strands, clamped panels and what stands on
    treads does."""
    if isinstance(infill, StrandsTable):
        return False
    return not isinstance(making, ClampedTable | OnTreadsTable | BoredMetalTable)


def _held(leg: LegPieces) -> Iterator[Slip]:
    """Strands run from one thing that holds them to the next."""
    if not isinstance(leg.infill, StrandsTable):
        return
    for name, end in (("bottom", leg.bottom), ("top", leg.top)):
        if isinstance(end, FreeEndTable):
            problem = f"{leg.infill.strand.value}s need something to hold them, and here the rails end free"
            remedy = "let a newel, half newel or wall stand there"
            yield Slip((*leg.at(name), "kind"), problem, end.kind, remedy=remedy)


def _on_a_level(leg: LegPieces, flight: FlightPieces | None) -> Iterator[Slip]:
    """The edge of a floor has no treads."""
    if flight is None or not flight.level:
        return
    if isinstance(leg.infill, UprightsTable) and leg.infill.spread is Spread.PER_TREAD:
        remedy = "give this leg an infill of its own under [[designs.legs]]"
        problem = f"{flight.id!r} is the edge of a floor and has no treads to spread uprights over"
        yield Slip((*leg.at("infill"), "spread"), problem, leg.infill.spread.value, remedy=remedy)


def _materials(leg: LegPieces) -> Iterator[Slip]:
    """Every timber and board must be in the catalogue: its density and its movement are needed."""
    known = list(list_timbers())
    tables = {
        name: getattr(leg, name) for name in ("handrail", "base_rail", "bottom", "top", "infill", "making")
    }
    places = {name: leg.at(name) for name in tables}
    if isinstance(leg.making, OnTreadsTable):
        tables["head"], places["head"] = leg.making.head, (*leg.at("making"), "head")
    for name, table in tables.items():
        for key in ("material", "fillet_material"):
            material = getattr(table, key, None)
            if isinstance(material, str) and material not in known:
                yield unknown((*places[name], key), "the catalogue has no such material", material, known)


def _season(path: Path, season: SeasonTable) -> Iterator[Slip]:
    """How dry the wood is when it is made is said once, and the dry end of the year is the drier one."""
    if season.made_at_percent is None and season.made_rh_percent is None:
        remedy = "add made_at_percent = ... (by a meter), or made_rh_percent = ... (the air of the shop)"
        yield Slip(path, "it is not said how dry the wood is when it is made", remedy=remedy)
    if season.made_at_percent is not None:
        for key in ("made_rh_percent", "made_temperature_c"):
            if key in season.model_fields_set:
                problem = f"made_at_percent says already how dry the wood is, so {key} has no say"
                yield Slip((*path, key), problem, getattr(season, key), remedy="keep one of them")
    dry = equilibrium_moisture(season.dry_rh_percent, season.dry_temperature_c)
    damp = equilibrium_moisture(season.damp_rh_percent, season.damp_temperature_c)
    if dry > damp:
        key = "dry_rh_percent" if "dry_rh_percent" in season.model_fields_set else "damp_rh_percent"
        problem = (
            f"the dry end of the year brings {dry:.1f} % moisture, more than the {damp:.1f} % of the damp end"
        )
        yield Slip((*path, key), problem, getattr(season, key), remedy="change the two over")


def _end(path: Path, end: EndTable, flight: FlightPieces | None, side: Side | None) -> Iterator[Slip]:
    if isinstance(end, NewNewelEnd | HalfNewelEnd):
        yield from _foot(path, end, flight, side)
    if flight is None:
        return
    if isinstance(end, ExistingNewelEnd) and end.post not in flight.post_names and flight.whole:
        yield unknown(
            (*path, "post"),
            f"the {flight.what} has no standing newel of this id",
            end.post,
            flight.post_names,
        )
    if isinstance(end, HalfNewelEnd | WallEnd) and end.wall not in flight.wall_names and flight.whole:
        yield unknown(
            (*path, "wall"), f"the {flight.what} has no wall of this id", end.wall, flight.wall_names
        )
    if isinstance(end, NewNewelEnd | FreeEndTable):
        yield from station_slips((*path, "at"), end.at, flight, places_along(flight))


def _foot(
    path: Path, end: NewNewelEnd | HalfNewelEnd, flight: FlightPieces | None, side: Side | None
) -> Iterator[Slip]:
    if end.foot is Foot.STRING:
        if flight is not None and not flight.has_string_on(side):
            problem = f"the {flight.what} has no string to stand on{on_side(flight, side)}"
            yield Slip((*path, "foot"), problem, end.foot.value)
    elif end.lap > 0:
        remedy = 'take lap out, or write foot = "string"'
        yield Slip((*path, "lap"), "only a newel that stands on the string laps it", end.lap, remedy=remedy)
    if end.foot is Foot.TREAD:
        if isinstance(end, HalfNewelEnd):
            allowed = '"floor" or "string"'
            yield Slip((*path, "foot"), "a half newel cannot stand on a tread", end.foot.value, allowed)
        elif not nosing_number(end.at):
            remedy = "name the nosing of that tread in at, such as N1"
            yield Slip((*path, "at"), "a newel on a tread is set out from a nosing", end.at, remedy=remedy)


def _both_ends(leg: LegPieces) -> Iterator[Slip]:
    bottom, top = leg.bottom, leg.top
    path = (*leg.path, "top")
    if isinstance(bottom, ExistingNewelEnd) and isinstance(top, ExistingNewelEnd) and bottom.post == top.post:
        yield Slip((*path, "post"), "the same newel stands at the foot and at the head", top.post)
    walls = (HalfNewelEnd, WallEnd)
    if isinstance(bottom, walls) and isinstance(top, walls) and bottom.wall == top.wall:
        yield Slip((*path, "wall"), "the same wall stands at the foot and at the head", top.wall)
    placed = (NewNewelEnd, FreeEndTable)
    if isinstance(bottom, placed) and isinstance(top, placed):
        low, high = nosing_number(bottom.at), nosing_number(top.at)
        if low is None or high is None:
            return
        if high < low or (low == high and top.offset <= bottom.offset):
            remedy = "bottom is the lower end of the flight, top the upper end"
            yield Slip(
                (*path, "at"),
                "the top end lies no higher up the stair than the bottom end",
                top.at,
                None,
                remedy,
            )


def _rounding(path: Path, rail: HandrailTable | BaseRailTable, say: Say) -> Iterator[Slip]:
    most = min(rail.width / 2, rail.depth)
    if rail.round_over > most:
        size = f"{say(rail.width)} x {say(rail.depth)}"
        problem = f"a round-over of {say(rail.round_over)} does not go into a rail {size}"
        yield Slip((*path, "round_over"), problem, allowed=f"up to {say(most)}")


def _seat(path: Path, base: BaseRailTable, flight: FlightPieces | None, side: Side | None) -> Iterator[Slip]:
    if base.seat in _ON_STRING and flight is not None and not flight.has_string_on(side):
        table = flight.path[0]
        there = on_side(flight, side)
        problem = f"a base rail on the string needs a closed string, and the {flight.what} has none{there}"
        if flight.level:
            problem = "a base rail on a knee wall needs one, and the level edge has none"
        other = f'"{BaseSeat.FLOOR.value if flight.level else BaseSeat.CLEAR.value}"'
        remedy = f"write seat = {other}, or add [{table}.string]"
        yield Slip((*path, "seat"), problem, base.seat.value, remedy=remedy)
    if base.seat is BaseSeat.FLOOR and flight is not None and not flight.level:
        problem = "a base rail lies on the floor only along the edge of one, and this leg is a flight"
        yield Slip((*path, "seat"), problem, base.seat.value, remedy='write seat = "clear" or "string"')
    for key, seat in (("clearance", BaseSeat.CLEAR), ("least_packing", BaseSeat.PACKED)):
        if key in base.model_fields_set and base.seat is not seat:
            problem = f'{key} only means something with seat = "{seat.value}"'
            remedy = f'take it out, or write seat = "{seat.value}"'
            yield Slip((*path, key), problem, getattr(base, key), remedy=remedy)
