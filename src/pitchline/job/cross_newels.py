"""What a design must say of the newels between the ends of its legs."""

from collections.abc import Iterator, Sequence

from pitchline.catalogue.timber import list_timbers
from pitchline.design.brief import Foot
from pitchline.job.cross_edge import Stack
from pitchline.job.cross_names import unknown
from pitchline.job.cross_points import places_along, station_slips
from pitchline.job.faults import Slip
from pitchline.job.model_ends import NewelBetweenTable
from pitchline.job.pieces import DesignPieces, EdgePieces, FlightPieces, on_side
from pitchline.job.positions import Path
from pitchline.stair.model import Side


def newel_slips(design: DesignPieces, edges: Sequence[EdgePieces], stack: Stack) -> Iterator[Slip]:
    """Every contradiction of the newels between; ``edges`` are those that the design guards."""
    for path, newel in design.newels:
        if newel.material not in list_timbers():
            known = list(list_timbers())
            yield unknown((*path, "material"), "the catalogue has no such material", newel.material, known)
        if newel.under_rail and "above_rail" in newel.model_fields_set:
            problem = "the handrail runs on over this newel, so above_rail has no say"
            remedy = "take it out, or take under_rail out"
            yield Slip((*path, "above_rail"), problem, newel.above_rail, remedy=remedy)
        if design.has_edge or design.has_edges:
            yield from _in_an_edge(path, newel, edges, stack)
        else:
            yield from _beside_a_flight(path, newel, design, stack)


def _beside_a_flight(
    path: Path, newel: NewelBetweenTable, design: DesignPieces, stack: Stack
) -> Iterator[Slip]:
    """A design of a single flight has one leg, which need not be named."""
    for key, value in (("leg", newel.leg), ("edge", newel.edge)):
        if value is not None:
            problem = f"{key} is for a design along an edge, and this one guards a single flight"
            yield Slip((*path, key), problem, value, remedy="take it out")
    flight = None if design.asked.flight is None else stack.flights.get(design.asked.flight)
    if flight is not None:
        yield from _place(path, newel, flight, design.asked.side)


def _in_an_edge(
    path: Path, newel: NewelBetweenTable, edges: Sequence[EdgePieces], stack: Stack
) -> Iterator[Slip]:
    if not edges or any(edge.legs is None for edge in edges):
        return
    meant = [edge for edge in edges if newel.edge in (None, edge.id)]
    if not meant:
        names = [edge.id for edge in edges if edge.id is not None]
        yield unknown((*path, "edge"), "the design guards no edge of this id", str(newel.edge), names)
        return
    legs = [leg for edge in meant for leg in edge.legs or ()]
    if newel.leg is None:
        if len(legs) > 1:
            allowed = ", ".join(f'"{leg}"' for leg in dict.fromkeys(legs))
            yield Slip((*path, "leg"), "it is not said in which leg this newel stands", None, allowed)
            return
    elif newel.leg not in legs:
        yield unknown((*path, "leg"), "the edge does not run over this leg", newel.leg, legs)
        return
    elif legs.count(newel.leg) > 1:
        told = ", ".join(f'"{edge.id}"' for edge in meant if newel.leg in (edge.legs or ()))
        yield Slip((*path, "edge"), "several edges run over this leg", None, told, "say in which it stands")
        return
    name = newel.leg or legs[0]
    flight = stack.flights.get(name)
    if flight is not None:
        side = next(edge.side for edge in meant if name in (edge.legs or ()))
        yield from _place(path, newel, flight, side)


def _place(path: Path, newel: NewelBetweenTable, flight: FlightPieces, side: Side | None) -> Iterator[Slip]:
    """Where it stands, and on what."""
    yield from station_slips((*path, "at"), newel.at, flight, places_along(flight))
    if newel.foot is Foot.STRING and not flight.has_string_on(side):
        problem = f"the {flight.what} has no string to stand on{on_side(flight, side)}"
        yield Slip((*path, "foot"), problem, newel.foot.value)
    if newel.foot is Foot.FLOOR and not flight.level:
        problem = "between the ends of a flight a newel stands on a tread or laps the string"
        yield Slip((*path, "foot"), problem, newel.foot.value, '"tread" or "string"')
    if newel.foot is Foot.TREAD and flight.level:
        problem = f"{flight.id!r} is the edge of a floor and has no treads"
        yield Slip((*path, "foot"), problem, newel.foot.value, '"floor" or "string"')
    if newel.lap > 0 and newel.foot is not Foot.STRING:
        remedy = 'take lap out, or write foot = "string"'
        yield Slip((*path, "lap"), "only a newel that stands on the string laps it", newel.lap, remedy=remedy)
