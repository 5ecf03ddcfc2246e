"""What the tables of one flight must say of each other: counts, points, names, instruments, sensible sizes."""

import math
from collections.abc import Iterator, Mapping

from pitchline.job import limits
from pitchline.job.cross_names import repeated
from pitchline.job.cross_points import FLOOR, heights_read, places_along, point_slips, station_slips
from pitchline.job.faults import Slip
from pitchline.job.fields import Size, nearest
from pitchline.job.model_flight import SoffitTable, StringTable
from pitchline.job.model_readings import (
    GoingReading,
    HeightReading,
    MarginReading,
    PitchReading,
    ReadingTable,
    RiseReading,
    RunReading,
    StraightReading,
)
from pitchline.job.pieces import FlightPieces
from pitchline.job.positions import Path
from pitchline.kit.errors import InputError
from pitchline.stair.model import Seat
from pitchline.survey.instruments import Instrument, standard_uncertainty
from pitchline.survey.readings import Kind, nosing_number

_PairReading = HeightReading | RunReading | StraightReading | PitchReading

_MARGINS_FOR_A_LINE = 2

DEFAULT_INSTRUMENTS: Mapping[Kind, str] = {
    Kind.HEIGHT: "tape",
    Kind.RUN: "tape",
    Kind.STRAIGHT: "tape",
    Kind.PITCH: "gauge",
    Kind.LEVEL: "laser-level",
    Kind.PLUMB: "tape",
    Kind.MARGIN: "tape",
}
"""The instrument of a reading that names none."""


def flight_slips(flight: FlightPieces, instruments: Mapping[str, Instrument] | None) -> Iterator[Slip]:
    """Every contradiction inside one flight; ``instruments`` by name, None when their tables are faulty."""
    yield from _counts(flight)
    yield from _steps(flight)
    yield from point_slips(flight)
    yield from _repeated(flight)
    yield from _sizes(flight)
    yield from _string(flight)
    yield from _stations(flight)
    if instruments is not None:
        yield from _instruments(flight, instruments)


def kind_of(reading: ReadingTable) -> Kind:
    """What a reading compares: a rise is a height, a going a run."""
    if isinstance(reading, RiseReading):
        return Kind.HEIGHT
    return Kind.RUN if isinstance(reading, GoingReading) else Kind(reading.kind)


def _counts(flight: FlightPieces) -> Iterator[Slip]:
    count = flight.nosings
    if count is None:
        return
    lists: list[tuple[str, str, int, int]] = []
    for name, table, wanted in (
        ("rises", flight.rises, count),
        ("heights", flight.heights, count),
        ("runs" if flight.level else "goings", flight.steps, count - 1),
    ):
        if table is not None:
            lists.append((name, "values", len(table.values), wanted))
    if flight.string is not None and flight.string.margins:
        lists.append(("string", "margins", len(flight.string.margins), count))
    whole = f"an edge of {count} points" if flight.level else f"a flight of {count} risers"
    for name, key, listed, wanted in lists:
        if listed != wanted:
            points = "points" if flight.level else "nosings"
            what = points if key == "margins" or name == "heights" else name
            yield Slip(
                (*flight.path, name, key),
                f"{whole} has {wanted} {what}, but {listed} values are listed",
                allowed=f"{wanted} values",
                remedy='count again, and write "-" for one that was not read',
            )


def _steps(flight: FlightPieces) -> Iterator[Slip]:
    """Rises and goings named by number."""
    if flight.nosings is None:
        return
    for path, reading in flight.readings:
        if isinstance(reading, RiseReading | GoingReading):
            most = flight.nosings - (1 if isinstance(reading, GoingReading) else 0)
            if reading.number > most:
                problem = f"the flight has no {reading.kind} {reading.number}"
                yield Slip((*path, "number"), problem, reading.number, f"1 to {most}")


def _repeated(flight: FlightPieces) -> Iterator[Slip]:
    tables = [(path, post.id) for path, post in flight.posts]
    tables += [(path, wall.id) for path, wall in flight.walls]
    soffits = [(path, soffit.id) for path, soffit in flight.soffits]
    readings = [(path, reading.id) for path, reading in flight.readings if reading.id is not None]
    for what, named in (("post or wall", tables), ("soffit", soffits), ("reading", readings)):
        yield from repeated(what, named)


def _sizes(flight: FlightPieces) -> Iterator[Slip]:
    for path, reading in flight.readings:
        if isinstance(reading, HeightReading | RunReading | StraightReading | PitchReading):
            if reading.start == reading.end:
                yield Slip((*path, "to"), "the reading ends at the point it starts from", reading.end)
            elif (steps := _steps_between(reading.start, reading.end)) is not None:
                if flight.level:
                    yield from _along_edge(path, reading, steps, flight)
                else:
                    yield from _span(path, reading, steps, flight)
    for path, post in flight.posts:
        if post.top_height is not None and post.top_height <= post.face_height:
            problem = "the post's top would be no higher than the point where its face was read"
            yield Slip(
                (*path, "top_height"), problem, remedy="check both heights; they start at the lower floor"
            )


def _steps_between(start: str, end: str) -> int | None:
    """How many steps up from one nosing (or the floor) to another, None if one is another point."""
    first, last = nosing_number(start), nosing_number(end)
    return None if first is None or last is None else last - first


def _span(path: Path, reading: _PairReading, steps: int, flight: FlightPieces) -> Iterator[Slip]:
    """Sizes that a whole number of steps can have; the sign must tell up from down."""
    if isinstance(reading, PitchReading):
        if steps < 0:
            remedy = "name the lower nosing first"
            yield Slip((*path, "to"), "a pitch is read up the stair", reading.end, remedy=remedy)
        return
    rise, going = limits.RISE, limits.GOING
    low, high = {
        "height": (rise.low, rise.high),
        "run": (going.low, going.high),
        "straight": (math.hypot(rise.low, going.low), math.hypot(rise.high, going.high)),
    }[reading.kind]
    value, say = reading.value, flight.say
    if reading.kind == "straight":
        steps = abs(steps)
    if not low <= value / steps <= high:
        ends = sorted((low * steps, high * steps))
        yield Slip(
            (*path, "value"),
            f"{say(value)} cannot be the {reading.kind} from {reading.start} to {reading.end}, "
            f"{abs(steps)} step{'s' if abs(steps) > 1 else ''}",
            allowed=f"{say(ends[0])} to {say(ends[1])}",
            remedy="check the figure, its unit and the two points",
        )


def _along_edge(path: Path, reading: _PairReading, steps: int, flight: FlightPieces) -> Iterator[Slip]:
    """Along the edge of a floor heights are small, and runs lead from one point on to a later one."""
    if isinstance(reading, HeightReading):
        yield from _out_of(limits.SAG, path, reading.value, flight)
    elif isinstance(reading, RunReading) and reading.value * steps <= 0:
        problem = f"the run from {reading.start} to {reading.end} leads the wrong way"
        remedy = "change the two points over, or the sign"
        yield Slip((*path, "value"), problem, reading.value, "above zero towards the later point", remedy)


def _out_of(size: Size, path: Path, value: float, flight: FlightPieces) -> Iterator[Slip]:
    if not size.low <= value <= size.high:
        problem = f"{size.what} of {flight.say(value)} is out of reach ({size.why})"
        yield Slip((*path, "value"), problem, None, f"{flight.say(size.low)} to {flight.say(size.high)}")


def _string(flight: FlightPieces) -> Iterator[Slip]:
    margins = [(path, reading) for path, reading in flight.readings if isinstance(reading, MarginReading)]
    if not flight.has_string:
        for path, reading in margins:
            remedy = f"add the table [{flight.path[0]}.string], or take the reading out"
            what = "knee wall" if flight.level else "closed string"
            yield Slip((*path, "string"), f"the {flight.what} has no {what}", reading.string, remedy=remedy)
        return
    yield from _two_strings(flight)
    if flight.string is None:
        return
    for path, reading in margins:
        if reading.string != flight.string.id:
            allowed = f'"{flight.string.id}"'
            problem = f"the {flight.what}'s string has another id"
            yield Slip((*path, "string"), problem, reading.string, allowed)
    if flight.level and flight.string.kind is not Seat.KNEE_WALL:
        remedy = 'write kind = "knee wall"'
        problem = "along the edge of a floor stands no string but a knee wall or upstand"
        yield Slip((*flight.path, "string"), problem, flight.string.kind.value, remedy=remedy)
    places = {reading.end for _, reading in margins} | margin_points(flight.string)
    if flight.whole and len(places) < _MARGINS_FOR_A_LINE:
        points, ends = ("points", "end of the edge") if flight.level else ("nosings", "head of the flight")
        foot = "start" if flight.level else "foot"
        yield Slip(
            (*flight.path, "string", "margins"),
            f"the string's edge needs margins at two {points} or more, but {len(places) or 'none'} is read",
            remedy=f"read the margin near the {foot} and near the {ends}",
        )


def _two_strings(flight: FlightPieces) -> Iterator[Slip]:
    """Of two strings each says its side."""
    straight, cut = flight.string, flight.cut_string
    if straight is None or cut is None:
        return
    if straight.side is None and cut.side is None:
        problem = "one side has either a string with a straight edge or a cut string, not both"
        remedy = (
            'say side = "left" and side = "right" in their tables, or describe only the side that is guarded'
        )
        yield Slip((*flight.path, "cut_string"), problem, remedy=remedy)
    elif straight.side is None or cut.side is None:
        silent = "string" if straight.side is None else "cut_string"
        told = cut.side or straight.side
        other = None if told is None else told.other.value
        yield Slip((*flight.path, silent, "side"), "of two strings each says its side", None, f'"{other}"')
    elif straight.side is cut.side:
        problem = "both strings are said to be on the same side"
        yield Slip((*flight.path, "cut_string", "side"), problem, cut.side.value, f'"{cut.side.other.value}"')


def margin_points(string: StringTable) -> set[str]:
    """The nosings at which the string's own list gives a margin."""
    return {f"N{k}" for k, margin in enumerate(string.margins, start=1) if margin is not None}


def _stations(flight: FlightPieces) -> Iterator[Slip]:
    """Posts, walls and soffits hang on points that are read; every nosing must be spoken of."""
    along, heights = places_along(flight), heights_read(flight)
    for path, point in flight.stations:
        yield from station_slips(path, point, flight, along)
    for path, soffit in flight.soffits:
        yield from _overhead(path, soffit, along, heights, flight)
    if not flight.whole or flight.nosings is None:
        return
    steps = "runs" if flight.level else "goings"
    wanted = [(steps, "place along the edge" if flight.level else "place along the stair", along)]
    if not flight.level:
        wanted.insert(0, ("rises", "height", heights))
    for table, what, known in wanted:
        silent = [name for name in (f"N{k}" for k in range(1, flight.nosings + 1)) if name not in known]
        if silent:
            shown = ", ".join(silent[:6]) + (f" and {len(silent) - 6} more" if len(silent) > 6 else "")
            remedy = (
                f"fill in the {table}, or add readings to these {'points' if flight.level else 'nosings'}"
            )
            yield Slip((*flight.path, table), f"no reading speaks of the {what} of {shown}", remedy=remedy)


def _overhead(
    path: Path, soffit: SoffitTable, along: set[str], heights: set[str], flight: FlightPieces
) -> Iterator[Slip]:
    """An underside runs between two points whose places and heights are read."""
    if soffit.start == soffit.end:
        yield Slip((*path, "to"), "the underside ends at the point it starts from", soffit.end)
        return
    for key, point in (("from", soffit.start), ("to", soffit.end)):
        told = list(station_slips((*path, key), point, flight, along))
        yield from told
        if not told and point not in heights and flight.whole:
            remedy = f"add a height reading to it, such as from {FLOOR}"
            yield Slip((*path, key), "no reading tells how high this point lies", point, remedy=remedy)


def _instruments(flight: FlightPieces, known: Mapping[str, Instrument]) -> Iterator[Slip]:
    uses: list[tuple[Path, str, Kind]] = []
    steps = "runs" if flight.level else "goings"
    for name, table, kind in (
        ("rises", flight.rises, Kind.HEIGHT),
        ("heights", flight.heights, Kind.HEIGHT),
        (steps, flight.steps, Kind.RUN),
    ):
        if table is not None:
            uses.append(((*flight.path, name), table.instrument, kind))
    if flight.string is not None:
        uses.append(((*flight.path, "string"), flight.string.instrument, Kind.MARGIN))
    for path, reading in flight.readings:
        if reading.instrument is not None:
            uses.append((path, reading.instrument, kind_of(reading)))
    for path, name, kind in uses:
        yield from instrument_slips((*path, "instrument"), name, kind, known)


def instrument_slips(path: Path, name: str, kind: Kind, known: Mapping[str, Instrument]) -> Iterator[Slip]:
    """What is wrong with the name of an instrument that is to have read this."""
    if name not in known:
        guess = nearest(name, list(known))
        remedy = f'perhaps you mean "{guess}"' if guess else "add it under [[instruments]]"
        yield Slip(path, "there is no instrument of this name", name, ", ".join(known), remedy)
        return
    try:
        standard_uncertainty(known[name], kind, 1.0)
    except InputError as error:
        reads = error.faults[0].allowed
        yield Slip(
            path, f"this instrument does not read a {kind.value}", name, reads, "name the one you used"
        )
