"""What the tables of one design must say of each other, and of the flight it guards."""

import math
from collections.abc import Callable, Iterator

from pitchline.catalogue.moisture import equilibrium_moisture
from pitchline.catalogue.timber import list_timbers
from pitchline.design.brief import BaseSeat, Foot, Shape, Spread
from pitchline.job.cross_flight import places_along, station_slips
from pitchline.job.faults import Slip
from pitchline.job.fields import nearest
from pitchline.job.model_design import (
    BaseRailTable,
    BoredTable,
    EndTable,
    ExistingNewelEnd,
    FreeEndTable,
    GroovedTable,
    HalfNewelEnd,
    HandrailTable,
    MakingTable,
    NewNewelEnd,
    SeasonTable,
    StackedTable,
    UprightsTable,
    WallEnd,
)
from pitchline.job.pieces import DesignPieces, FlightPieces
from pitchline.job.positions import Path
from pitchline.kit.tolerances import STACK_FIT
from pitchline.survey.readings import nosing_number

Say = Callable[[float], str]
"""Puts a length into the job's unit."""


def design_slips(design: DesignPieces, flights: tuple[FlightPieces, ...]) -> Iterator[Slip]:
    """Every contradiction inside one design."""
    flight = next(
        (flight for flight in flights if flight.id is not None and flight.id == design.flight), None
    )
    names = [flight.id for flight in flights if flight.id is not None]
    if design.flight is not None and flight is None and names and len(names) == len(flights):
        yield _unknown((*design.path, "flight"), "the job has no flight of this id", design.flight, names)
    for name, end in (("bottom", design.bottom), ("top", design.top)):
        if end is not None:
            yield from _end((*design.path, name), end, flight)
    yield from _both_ends(design)
    if design.handrail is not None:
        yield from _rounding((*design.path, "handrail"), design.handrail, design.say)
    if design.base_rail is not None:
        yield from _rounding((*design.path, "base_rail"), design.base_rail, design.say)
        yield from _seat((*design.path, "base_rail"), design.base_rail, flight)
    if design.infill is not None:
        yield from _infill((*design.path, "infill"), design.infill, design.say)
    if design.making is not None:
        yield from _making((*design.path, "making"), design, design.making)
    if design.season is not None:
        yield from _season((*design.path, "season"), design.season)
    yield from _materials(design)


def _materials(design: DesignPieces) -> Iterator[Slip]:
    """Every timber and board must be in the catalogue: its density and its movement are needed."""
    known = list(list_timbers())
    for name in ("handrail", "base_rail", "bottom", "top", "infill", "making"):
        for key in ("material", "fillet_material"):
            material = getattr(getattr(design, name), key, None)
            if isinstance(material, str) and material not in known:
                yield _unknown(
                    (*design.path, name, key), "the catalogue has no such material", material, known
                )


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


def _unknown(path: Path, problem: str, found: str, known: list[str]) -> Slip:
    allowed = ", ".join(f'"{name}"' for name in known) or "none is listed"
    guess = nearest(found, known)
    return Slip(path, problem, found, allowed, f'perhaps you mean "{guess}"' if guess else None)


def _end(path: Path, end: EndTable, flight: FlightPieces | None) -> Iterator[Slip]:
    if isinstance(end, NewNewelEnd | HalfNewelEnd):
        yield from _foot(path, end, flight)
    if flight is None:
        return
    if isinstance(end, ExistingNewelEnd) and end.post not in flight.post_names and flight.whole:
        yield _unknown(
            (*path, "post"), "the flight has no standing newel of this id", end.post, flight.post_names
        )
    if isinstance(end, HalfNewelEnd | WallEnd) and end.wall not in flight.wall_names and flight.whole:
        yield _unknown((*path, "wall"), "the flight has no wall of this id", end.wall, flight.wall_names)
    if isinstance(end, NewNewelEnd | FreeEndTable):
        yield from station_slips((*path, "at"), end.at, flight, places_along(flight))


def _foot(path: Path, end: NewNewelEnd | HalfNewelEnd, flight: FlightPieces | None) -> Iterator[Slip]:
    if end.foot is Foot.STRING:
        if flight is not None and not flight.has_string:
            yield Slip((*path, "foot"), "the flight has no closed string to stand on", end.foot.value)
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


def _both_ends(design: DesignPieces) -> Iterator[Slip]:
    bottom, top = design.bottom, design.top
    path = (*design.path, "top")
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


def _seat(path: Path, base: BaseRailTable, flight: FlightPieces | None) -> Iterator[Slip]:
    if base.seat is not BaseSeat.CLEAR and flight is not None and not flight.has_string:
        yield Slip(
            (*path, "seat"),
            "a base rail on the string needs a closed string, and the flight has none",
            base.seat.value,
            remedy='write seat = "clear", or add [flights.string]',
        )
    for key, seat in (("clearance", BaseSeat.CLEAR), ("least_packing", BaseSeat.PACKED)):
        if key in base.model_fields_set and base.seat is not seat:
            problem = f'{key} only means something with seat = "{seat.value}"'
            remedy = f'take it out, or write seat = "{seat.value}"'
            yield Slip((*path, key), problem, getattr(base, key), remedy=remedy)


def _infill(path: Path, infill: UprightsTable, say: Say) -> Iterator[Slip]:
    if "lean" in infill.model_fields_set and "lean_deg" in infill.model_fields_set:
        yield Slip(
            (*path, "lean_deg"), "lean and lean_deg both say how the uprights lean", remedy="keep one of them"
        )
    thickness = infill.width if infill.thickness is None else infill.thickness
    if infill.shape is not Shape.RECTANGULAR and thickness != infill.width:
        problem = f"a {infill.shape.value} upright is as thick as it is wide"
        yield Slip((*path, "thickness"), problem, remedy="take thickness out, or write the width again")
    if infill.arris > min(infill.width, thickness) / 2:
        allowed = f"up to {say(min(infill.width, thickness) / 2)}"
        yield Slip(
            (*path, "arris"), f"a chamfer of {say(infill.arris)} leaves nothing of the upright", None, allowed
        )
    if infill.shape is Shape.ROUND and infill.arris > 0:
        yield Slip((*path, "arris"), "a round upright has no long edges to chamfer", remedy="take arris out")
    yield from _spacing(path, infill, say)
    yield from _turning(path, infill, say)


def _spacing(path: Path, infill: UprightsTable, say: Say) -> Iterator[Slip]:
    by_module = infill.spread is Spread.MODULE
    word = f'spread = "{Spread.MODULE.value}"'
    if by_module and infill.module is None:
        remedy = "add module = ... (centre to centre), or choose another spread"
        yield Slip((*path, "spread"), "a fixed module is asked for, but not how large", remedy=remedy)
    for key in ("module", "centred"):
        if not by_module and key in infill.model_fields_set:
            problem = f"{key} only means something with {word}"
            yield Slip((*path, key), problem, getattr(infill, key), remedy=f"take it out, or write {word}")
    if infill.module is not None and infill.module <= infill.width:
        problem = f"a module of {say(infill.module)} leaves no gap between uprights {say(infill.width)} wide"
        yield Slip((*path, "module"), problem, allowed=f"more than {say(infill.width)}")
    others = [key for key in ("count", "module") if getattr(infill, key) is not None]
    if infill.max_gap is not None and others:
        problem = f"the gap follows from {' and '.join(others)}, so max_gap has no say"
        yield Slip((*path, "max_gap"), problem, remedy="keep max_gap or the other, not both")


def _turning(path: Path, infill: UprightsTable, say: Say) -> Iterator[Slip]:
    if infill.shape is not Shape.TURNED:
        for key in ("profile", "turned_from"):
            if key in infill.model_fields_set:
                problem = f'{key} only means something with shape = "turned"'
                yield Slip((*path, key), problem, remedy='take it out, or write shape = "turned"')
        return
    if len(infill.profile) < 2:
        remedy = "add profile = [ { above = ..., diameter = ... }, ... ] from the foot upwards"
        yield Slip(
            (*path, "profile"), "a turned upright needs two places of its turning or more", remedy=remedy
        )
    last = -math.inf
    for k, place in enumerate(infill.profile):
        here = (*path, "profile", k)
        if place.diameter > infill.width:
            problem = (
                f"a turning {say(place.diameter)} thick does not come out of a blank {say(infill.width)} wide"
            )
            yield Slip((*here, "diameter"), problem, allowed=f"up to {say(infill.width)}")
        if place.above <= last:
            yield Slip((*here, "above"), "the places of a turning go upwards, each above the last")
        last = place.above


def _making(path: Path, design: DesignPieces, making: MakingTable) -> Iterator[Slip]:
    infill = design.infill
    round_ones = infill is not None and infill.shape is Shape.ROUND
    if round_ones and not isinstance(making, BoredTable):
        yield Slip((*path, "kind"), "round uprights need bored holes", making.kind, '"bored"')
    if infill is not None and infill.shape is Shape.RECTANGULAR and isinstance(making, BoredTable):
        problem = "rectangular uprights do not fit bored holes"
        yield Slip((*path, "kind"), problem, making.kind, '"grooved" or "stacked"')
    match making:
        case GroovedTable():
            yield from _grooved(path, design, making)
        case StackedTable():
            yield from _stacked(path, design, making)
        case BoredTable():
            yield from _within_rails(
                path, design, "rail_depth", "base_depth", making.rail_depth, making.base_depth
            )


def _within_rails(
    path: Path, design: DesignPieces, rail_key: str, base_key: str, in_rail: float, in_base: float
) -> Iterator[Slip]:
    say = design.say
    for key, depth, rail, name in (
        (rail_key, in_rail, design.handrail, "handrail"),
        (base_key, in_base, design.base_rail, "base rail"),
    ):
        if rail is not None and depth >= rail.depth:
            problem = f"{say(depth)} cuts through the {name}, which is {say(rail.depth)} deep"
            yield Slip((*path, key), problem, allowed=f"less than {say(rail.depth)}")


def _grooved(path: Path, design: DesignPieces, making: GroovedTable) -> Iterator[Slip]:
    say = design.say
    yield from _within_rails(
        path, design, "rail_groove", "base_groove", making.rail_groove, making.base_groove
    )
    for key, groove in (("rail_groove", making.rail_groove), ("base_groove", making.base_groove)):
        if making.fillet_thickness > groove:
            problem = f"fillets {say(making.fillet_thickness)} thick stand out of a groove {say(groove)} deep"
            yield Slip((*path, key), problem, allowed=f"{say(making.fillet_thickness)} or more")
    if design.infill is None:
        return
    thickness = design.infill.width if design.infill.thickness is None else design.infill.thickness
    groove = thickness + making.clearance
    for rail, name in ((design.handrail, "handrail"), (design.base_rail, "base_rail")):
        if rail is not None and groove >= rail.width:
            problem = f"a groove {say(groove)} wide for the uprights leaves nothing of the rail"
            yield Slip((*design.path, name, "width"), problem, allowed=f"more than {say(groove)}")


def _stacked(path: Path, design: DesignPieces, making: StackedTable) -> Iterator[Slip]:
    say = design.say
    yield from _within_rails(path, design, "rail_block", "base_block", making.rail_block, making.base_block)
    wanted = making.layers * making.layer_thickness
    for rail, name in ((design.handrail, "handrail"), (design.base_rail, "base_rail")):
        if rail is not None and abs(rail.width - wanted) > STACK_FIT:
            problem = (
                f"{making.layers} layers of {say(making.layer_thickness)} make a rail {say(wanted)} wide"
            )
            yield Slip(
                (*design.path, name, "width"),
                problem,
                allowed=f"{say(wanted)}",
                remedy="make the two agree",
            )
    yield from _member_layers(path, making)
    if design.infill is None:
        return
    thickness = design.infill.width if design.infill.thickness is None else design.infill.thickness
    room = len(making.member_layers) * making.layer_thickness
    if thickness > room + STACK_FIT:
        problem = f"uprights {say(thickness)} thick do not go into {say(room)}, the layers kept for them"
        key = "width" if design.infill.thickness is None else "thickness"
        yield Slip((*design.path, "infill", key), problem, allowed=f"up to {say(room)}")


def _member_layers(path: Path, making: StackedTable) -> Iterator[Slip]:
    here = (*path, "member_layers")
    layers = making.member_layers
    allowed = f"neighbouring layers, from 1 to {making.layers}, in order"
    if not layers:
        yield Slip(here, "no layer is kept for the uprights", allowed=allowed)
    elif max(layers) > making.layers:
        yield Slip(here, f"there is no layer {max(layers)} among {making.layers}", allowed=allowed)
    elif layers != list(range(layers[0], layers[0] + len(layers))):
        yield Slip(here, "the layers for the uprights must lie side by side", allowed=allowed)
