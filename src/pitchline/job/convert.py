"""From the tables of a sound job file to the values that the steps take: mm and radians."""

import math
from collections import Counter
from collections.abc import Iterator, Mapping

from pitchline.catalogue.moisture import Climate, Season, equilibrium_moisture
from pitchline.design.brief import (
    AtWall,
    BaseBrief,
    Bored,
    Brief,
    End,
    ExistingNewel,
    FreeEnd,
    Grooved,
    HalfNewel,
    Leaning,
    Making,
    NewNewel,
    RailBrief,
    SpacingBrief,
    Stacked,
    Station,
    UprightsBrief,
)
from pitchline.job.cross_flight import DEFAULT_INSTRUMENTS, kind_of
from pitchline.job.model_design import (
    AllowancesTable,
    DesignTable,
    EndTable,
    ExistingNewelEnd,
    GroovedTable,
    HalfNewelEnd,
    MakingTable,
    NewNewelEnd,
    SeasonTable,
    StackedTable,
    UprightsTable,
    WallEnd,
)
from pitchline.job.model_flight import (
    FinishesTable,
    FlightTable,
    GoingReading,
    InstrumentTable,
    LeanTable,
    LevelReading,
    MarginReading,
    PitchReading,
    PlumbReading,
    PostTable,
    ReadingTable,
    RiseReading,
    WallTable,
)
from pitchline.job.value import FlightInput
from pitchline.stair.facts import FlightFacts, PostFacts, StringFacts, WallFacts
from pitchline.stair.model import FinishLayers
from pitchline.survey.instruments import (
    Instrument,
    default_instruments,
    instrument_types,
    standard_uncertainty,
)
from pitchline.survey.readings import Kind, Reading

Instruments = Mapping[str, Instrument]


def instruments_of(tables: list[InstrumentTable]) -> dict[str, Instrument]:
    """The usual instruments and the job's own, by name; the job's own word goes first."""
    known = {instrument.id: instrument for instrument in default_instruments()}
    known.update({table.id: _instrument(table) for table in tables})
    return known


def _instrument(table: InstrumentTable) -> Instrument:
    """A limit in mm or in degrees: ``cross_file`` sees to it that only one of them is given."""
    angles = table.limit_deg is not None or table.in_use_deg is not None
    return Instrument(
        table.id,
        table.kind,
        limit=table.limit_deg if angles else table.limit,
        in_use=table.in_use_deg if angles else table.in_use,
        reach=table.reach,
    )


def reads_lengths(kind: str) -> bool:
    """Whether an instrument of this kind reads lengths."""
    return any(reads is not Kind.PITCH for reads in instrument_types()[kind].reads)


def reads_angles(kind: str) -> bool:
    """Whether an instrument of this kind reads angles."""
    return Kind.PITCH in instrument_types()[kind].reads


def flight_input(table: FlightTable, instruments: Instruments) -> FlightInput:
    """One flight: its facts and its readings."""
    return FlightInput(_facts(table), tuple(_readings(table, instruments)))


def _facts(table: FlightTable) -> FlightFacts:
    string = table.string
    return FlightFacts(
        id=table.id,
        risers=table.risers,
        width=table.width,
        nosing_overhang=table.nosing_overhang,
        headroom=table.headroom,
        finishes=_finishes(table.finishes),
        string=None if string is None else StringFacts(string.id, string.thickness, string.depth),
        posts=tuple(_post(post) for post in table.posts),
        walls=tuple(_wall(wall) for wall in table.walls),
    )


def _finishes(table: FinishesTable | None) -> FinishLayers:
    if table is None:
        return FinishLayers()
    return FinishLayers(table.lower_floor, table.treads, table.upper_floor, table.wraps_nosings)


def _lean(table: LeanTable | None) -> float:
    return 0.0 if table is None else table.offset / table.over


def _post(table: PostTable) -> PostFacts:
    return PostFacts(
        id=table.id,
        station=table.station,
        face_height=table.face_height,
        along=table.along,
        across=table.across,
        lean_along=_lean(table.lean_along),
        lean_across=_lean(table.lean_across),
        twist=math.radians(table.twist_deg),
        top_height=table.top_height,
    )


def _wall(table: WallTable) -> WallFacts:
    lean, skew = _lean(table.lean_along), math.radians(table.skew_deg)
    return WallFacts(table.id, table.station, table.face_height, lean, skew)


def _readings(table: FlightTable, instruments: Instruments) -> Iterator[Reading]:
    """Rises, goings, then the others as they stand; ids made readable and unique."""
    given = {reading.id for reading in table.readings if reading.id is not None}
    used: Counter[str] = Counter(given)
    for reading in (*_rises(table, instruments), *_goings(table, instruments)):
        yield _named(reading, None, used)
    for reading in _margins(table, instruments):
        yield _named(reading, None, used)
    for entry in table.readings:
        yield _named(_single(entry, instruments), entry.id, used)


def _named(reading: Reading, given: str | None, used: Counter[str]) -> Reading:
    name = given
    if name is None:
        name, again = reading.id, 1
        while used[name]:
            again += 1
            name = f"{reading.id} ({again})"
        used[name] += 1
    return Reading(
        name, reading.kind, reading.start, reading.end, reading.value, reading.sigma, reading.instrument
    )


def _rises(table: FlightTable, instruments: Instruments) -> Iterator[Reading]:
    if table.rises is None:
        return
    for k, value in enumerate(table.rises.values, start=1):
        if value is not None:
            name, sigma = table.rises.instrument, table.rises.sigma
            yield _rise(k, value, name, sigma, instruments)


def _goings(table: FlightTable, instruments: Instruments) -> Iterator[Reading]:
    if table.goings is None:
        return
    for k, value in enumerate(table.goings.values, start=1):
        if value is not None:
            name, sigma = table.goings.instrument, table.goings.sigma
            yield _going(k, value, name, sigma, instruments)


def _margins(table: FlightTable, instruments: Instruments) -> Iterator[Reading]:
    string = table.string
    if string is None:
        return
    for k, value in enumerate(string.margins, start=1):
        if value is not None:
            point, name = f"N{k}", string.instrument
            sigma = string.sigma or standard_uncertainty(instruments[name], Kind.MARGIN, value)
            words = f"margin of {string.id} at {point}"
            yield Reading(words, Kind.MARGIN, string.id, point, value, sigma, name)


def _rise(number: int, value: float, name: str, sigma: float | None, instruments: Instruments) -> Reading:
    start = "floor" if number == 1 else f"N{number - 1}"
    sigma = sigma or standard_uncertainty(instruments[name], Kind.HEIGHT, value)
    return Reading(f"rise {number}", Kind.HEIGHT, start, f"N{number}", value, sigma, name)


def _going(number: int, value: float, name: str, sigma: float | None, instruments: Instruments) -> Reading:
    sigma = sigma or standard_uncertainty(instruments[name], Kind.RUN, value)
    return Reading(f"going {number}", Kind.RUN, f"N{number}", f"N{number + 1}", value, sigma, name)


def _single(table: ReadingTable, instruments: Instruments) -> Reading:
    kind = kind_of(table)
    name = table.instrument or DEFAULT_INSTRUMENTS[kind]
    match table:
        case RiseReading():
            return _rise(table.number, table.value, name, table.sigma, instruments)
        case GoingReading():
            return _going(table.number, table.value, name, table.sigma, instruments)
        case PitchReading():
            value = math.radians(table.value_deg)
            given = None if table.sigma_deg is None else math.radians(table.sigma_deg)
            start, words = table.start, f"pitch {table.start} to {table.end}"
        case LevelReading() | PlumbReading():
            value, given = table.value, table.sigma
            start, words = table.setup, f"{table.kind} {table.setup} to {table.end}"
        case MarginReading():
            value, given = table.value, table.sigma
            start, words = table.string, f"margin of {table.string} at {table.end}"
        case _:
            value, given = table.value, table.sigma
            start, words = table.start, f"{table.kind} {table.start} to {table.end}"
    sigma = given or standard_uncertainty(instruments[name], kind, value)
    return Reading(words, kind, start, table.end, value, sigma, name)


def brief_of(table: DesignTable) -> Brief:
    """One design's brief."""
    rail, base = table.handrail, table.base_rail
    allowances = table.allowances or AllowancesTable()
    return Brief(
        id=table.id,
        title=table.title,
        flight=table.flight,
        side=table.side,
        rail=RailBrief(rail.width, rail.depth, rail.height, rail.round_over, rail.material),
        base=BaseBrief(
            base.width,
            base.depth,
            base.seat,
            base.clearance,
            base.least_packing,
            base.round_over,
            base.material,
        ),
        bottom=_end(table.bottom),
        top=_end(table.top),
        infill=_uprights(table.infill),
        making=_making(table.making),
        build_tolerance=allowances.build_tolerance,
        rail_trim=allowances.rail_trim,
        member_trim=allowances.member_trim,
        season=None if table.season is None else _season(table.season),
    )


def _season(table: SeasonTable) -> Season:
    """A season: ``cross_design`` sees to it that the moisture when made, or the shop's air, is given."""
    made = table.made_at_percent
    if made is None and table.made_rh_percent is not None:
        made = equilibrium_moisture(table.made_rh_percent, table.made_temperature_c)
    if made is None:
        raise ValueError("a season needs to know how dry the wood is when it is made")
    return Season(
        made,
        dry=Climate(table.dry_rh_percent, table.dry_temperature_c),
        damp=Climate(table.damp_rh_percent, table.damp_temperature_c),
    )


def _end(table: EndTable) -> End:
    match table:
        case NewNewelEnd():
            at = Station(table.at, table.offset)
            return NewNewel(
                at, table.along, table.across, table.above_rail, table.foot, table.lap, table.material
            )
        case ExistingNewelEnd():
            return ExistingNewel(table.post)
        case HalfNewelEnd():
            return HalfNewel(
                table.wall, table.along, table.across, table.above_rail, table.foot, table.lap, table.material
            )
        case WallEnd():
            return AtWall(table.wall)
        case _:
            return FreeEnd(Station(table.at, table.offset), table.overhang)


def _uprights(table: UprightsTable) -> UprightsBrief:
    lean = Leaning.PLUMB if table.lean is None else table.lean
    return UprightsBrief(
        shape=table.shape,
        width=table.width,
        thickness=table.width if table.thickness is None else table.thickness,
        lean=lean if table.lean_deg is None else math.radians(table.lean_deg),
        spacing=SpacingBrief(table.spread, table.count, table.max_gap, table.module, table.centred),
        profile=tuple((place.above, place.diameter) for place in table.profile),
        turned_from=table.turned_from,
        arris=table.arris,
        material=table.material,
    )


def _making(table: MakingTable) -> Making:
    match table:
        case GroovedTable():
            return Grooved(
                table.rail_groove,
                table.base_groove,
                table.fillet_thickness,
                table.clearance,
                table.end_play,
                table.fillet_material,
            )
        case StackedTable():
            return Stacked(
                table.layers,
                table.layer_thickness,
                tuple(table.member_layers),
                table.rail_block,
                table.base_block,
                table.end_play,
                table.material,
            )
        case _:
            return Bored(table.rail_depth, table.base_depth, table.clearance)
