"""From the tables of a sound job file to the stair's facts and readings: mm and radians."""

import math
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from pitchline.job.cross_flight import DEFAULT_INSTRUMENTS, kind_of
from pitchline.job.cross_points import FLOOR
from pitchline.job.model import JobFile
from pitchline.job.model_edge import HeightsTable, LevelTable, RunsTable
from pitchline.job.model_flight import (
    FinishesTable,
    FlightTable,
    LeanTable,
    PostTable,
    SoffitTable,
    StandsOnTable,
    StringTable,
    WallTable,
)
from pitchline.job.model_readings import (
    GoingReading,
    GoingsTable,
    InstrumentTable,
    LevelReading,
    MarginReading,
    PitchReading,
    PlumbReading,
    ReadingTable,
    RiseReading,
    RisesTable,
)
from pitchline.job.value import DATUM, FlightInput
from pitchline.stair.facts import FlightFacts, PostFacts, SoffitFacts, StringFacts, Support, WallFacts
from pitchline.stair.model import CutString, FinishLayers, LegKind
from pitchline.survey.instruments import (
    Instrument,
    default_instruments,
    instrument_types,
    standard_uncertainty,
)
from pitchline.survey.readings import Fixed, Kind, Reading

Instruments = Mapping[str, Instrument]


def instruments_of(tables: list[InstrumentTable]) -> dict[str, Instrument]:
    """The usual instruments and the job's own, by name; the job's own word goes first."""
    known = {instrument.id: instrument for instrument in default_instruments()}
    known.update({table.id: _instrument(table) for table in tables})
    return known


def _instrument(table: InstrumentTable) -> Instrument:
    """A limit in mm or in degrees: the loader sees to it that only one of them is given."""
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


def legs_of(file: JobFile, instruments: Instruments) -> tuple[FlightInput, ...]:
    """The flights and levels of a sound job, each after the one that it stands on, winders between them or not."""
    nosings = {flight.id: flight.risers for flight in file.flights}
    nosings |= {level.id: level.points for level in file.levels}
    for table in file.winders:
        nosings[table.id] = (table.leaves or nosings[table.lower]) + len(table.nosings) - 2
    flights = [flight_input(flight, instruments, nosings) for flight in file.flights]
    levels = [level_input(level, instruments, nosings) for level in file.levels]
    waiting = [
        replace(leg, place=f"{name}[{k}]")
        for name, legs in (("flights", flights), ("levels", levels))
        for k, leg in enumerate(legs)
    ]
    through = {table.id: table.lower for table in file.winders}
    placed: dict[str, FlightInput] = {}
    while waiting:
        ready = [leg for leg in waiting if _support(leg, through) in (None, *placed)]
        if not ready:
            raise ValueError("flights stand on each other in a circle")
        placed.update({leg.facts.id: leg for leg in ready})
        waiting = [leg for leg in waiting if leg.facts.id not in placed]
    return tuple(placed.values())


def _support(leg: FlightInput, through: Mapping[str, str]) -> str | None:
    """The flight or level that a leg stands on, if need be through winders."""
    if leg.facts.stands_on is None:
        return None
    return through.get(leg.facts.stands_on.leg, leg.facts.stands_on.leg)


def flight_input(table: FlightTable, instruments: Instruments, nosings: Mapping[str, int]) -> FlightInput:
    """One flight: its facts and its readings; ``nosings`` counts those of every leg, by id."""
    return FlightInput(_facts(table, nosings), tuple(_readings(table, instruments)))


def level_input(table: LevelTable, instruments: Instruments, nosings: Mapping[str, int]) -> FlightInput:
    """One edge of a floor: its facts and its readings; points whose height nobody read lie level with its floor."""
    readings = tuple(_level_readings(table, instruments))
    read = {
        point for reading in readings if reading.kind in _HEIGHTS for point in (reading.start, reading.end)
    }
    level = (f"N{k}" for k in range(1, table.points + 1))
    fixed = tuple(Fixed(("z", point), 0.0) for point in level if point not in read)
    return FlightInput(_level_facts(table, nosings), readings, (*DATUM, *fixed))


_HEIGHTS = frozenset({Kind.HEIGHT, Kind.LEVEL})


def _level_facts(table: LevelTable, nosings: Mapping[str, int]) -> FlightFacts:
    covering = 0.0 if table.finishes is None else table.finishes.floor
    return FlightFacts(
        id=table.id,
        risers=table.points,
        width=table.width,
        headroom=table.headroom,
        finishes=FinishLayers(lower_floor=covering, upper_floor=covering),
        string=_string(table.string),
        posts=tuple(_post(post) for post in table.posts),
        walls=tuple(_wall(wall) for wall in table.walls),
        kind=LegKind.LEVEL,
        stands_on=_stands_on(table.stands_on, nosings),
        below=table.below,
        soffits=tuple(_soffit(soffit) for soffit in table.soffits),
    )


def _facts(table: FlightTable, nosings: Mapping[str, int]) -> FlightFacts:
    cut = table.cut_string
    return FlightFacts(
        id=table.id,
        risers=table.risers,
        width=table.width,
        nosing_overhang=table.nosing_overhang,
        headroom=table.headroom,
        finishes=_finishes(table.finishes),
        string=_string(table.string),
        posts=tuple(_post(post) for post in table.posts),
        walls=tuple(_wall(wall) for wall in table.walls),
        stands_on=_stands_on(table.stands_on, nosings),
        below=table.below,
        cut_string=None if cut is None else CutString(cut.id, cut.thickness, cut.depth, cut.return_nosing),
        string_side=None if table.string is None else table.string.side,
        cut_string_side=None if cut is None else cut.side,
        soffits=tuple(_soffit(soffit) for soffit in table.soffits),
    )


def _stands_on(table: StandsOnTable | None, nosings: Mapping[str, int]) -> Support | None:
    return None if table is None else Support(table.flight, table.nosing or nosings[table.flight])


def _string(table: StringTable | None) -> StringFacts | None:
    return None if table is None else StringFacts(table.id, table.thickness, table.depth, table.kind)


def _soffit(table: SoffitTable) -> SoffitFacts:
    return SoffitFacts(table.id, table.start, table.end)


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
    listed = (*_rises(table.rises, instruments), *_steps(table.goings, "going", instruments))
    yield from _whole(listed, table, instruments)


def _level_readings(table: LevelTable, instruments: Instruments) -> Iterator[Reading]:
    """Runs, heights, then the others."""
    listed = (*_steps(table.runs, "run", instruments), *_heights(table.heights, instruments))
    yield from _whole(listed, table, instruments)


def _whole(
    listed: Sequence[Reading], table: FlightTable | LevelTable, instruments: Instruments
) -> Iterator[Reading]:
    given = {reading.id for reading in table.readings if reading.id is not None}
    used: Counter[str] = Counter(given)
    for reading in (*listed, *_margins(table.string, instruments)):
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


def _rises(table: RisesTable | None, instruments: Instruments) -> Iterator[Reading]:
    if table is None:
        return
    for k, value in enumerate(table.values, start=1):
        if value is not None:
            yield _rise(k, value, table.instrument, table.sigma, instruments)


def _steps(table: GoingsTable | RunsTable | None, word: str, instruments: Instruments) -> Iterator[Reading]:
    if table is None:
        return
    for k, value in enumerate(table.values, start=1):
        if value is not None:
            yield _step(word, k, value, table.instrument, table.sigma, instruments)


def _heights(table: HeightsTable | None, instruments: Instruments) -> Iterator[Reading]:
    if table is None:
        return
    name = table.instrument
    for k, value in enumerate(table.values, start=1):
        if value is not None:
            sigma = table.sigma or standard_uncertainty(instruments[name], Kind.HEIGHT, value)
            yield Reading(f"height of N{k}", Kind.HEIGHT, FLOOR, f"N{k}", value, sigma, name)


def _margins(string: StringTable | None, instruments: Instruments) -> Iterator[Reading]:
    if string is None:
        return
    for k, value in enumerate(string.margins, start=1):
        if value is not None:
            point, name = f"N{k}", string.instrument
            sigma = string.sigma or standard_uncertainty(instruments[name], Kind.MARGIN, value)
            words = f"margin of {string.id} at {point}"
            yield Reading(words, Kind.MARGIN, string.id, point, value, sigma, name)


def _rise(number: int, value: float, name: str, sigma: float | None, instruments: Instruments) -> Reading:
    start = FLOOR if number == 1 else f"N{number - 1}"
    sigma = sigma or standard_uncertainty(instruments[name], Kind.HEIGHT, value)
    return Reading(f"rise {number}", Kind.HEIGHT, start, f"N{number}", value, sigma, name)


def _step(
    word: str, number: int, value: float, name: str, sigma: float | None, instruments: Instruments
) -> Reading:
    sigma = sigma or standard_uncertainty(instruments[name], Kind.RUN, value)
    return Reading(f"{word} {number}", Kind.RUN, f"N{number}", f"N{number + 1}", value, sigma, name)


def _single(table: ReadingTable, instruments: Instruments) -> Reading:
    kind = kind_of(table)
    name = table.instrument or DEFAULT_INSTRUMENTS[kind]
    match table:
        case RiseReading():
            return _rise(table.number, table.value, name, table.sigma, instruments)
        case GoingReading():
            return _step("going", table.number, table.value, name, table.sigma, instruments)
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
