"""What the tables of one flight must say of each other: counts, points, names, instruments, sensible sizes."""

import math
import re
from collections import Counter
from collections.abc import Callable, Iterator, Mapping

from pitchline.job import limits
from pitchline.job.faults import Slip
from pitchline.job.fields import nearest
from pitchline.job.model_flight import (
    GoingReading,
    HeightReading,
    LevelReading,
    MarginReading,
    PitchReading,
    PlumbReading,
    ReadingTable,
    RiseReading,
    RunReading,
    StraightReading,
    StringTable,
)
from pitchline.job.pieces import FlightPieces
from pitchline.job.positions import Path
from pitchline.kit.errors import InputError
from pitchline.kit.naming import same_name
from pitchline.survey.instruments import Instrument, standard_uncertainty
from pitchline.survey.readings import Kind, nosing_number

FLOOR = "floor"
_LOOKS_LIKE_NOSING = re.compile(r"[nN][ _.-]*0*([0-9]{1,4})")
_MARGINS_FOR_A_LINE = 2
_Named = tuple[Path, str, bool]
"""A point as a line of the file names it, and whether its place along the stair is spoken of."""

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
    yield from _points(flight)
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
    if flight.risers is None:
        return
    lists: list[tuple[str, str, int, int]] = []
    if flight.rises is not None:
        lists.append(("rises", "values", len(flight.rises.values), flight.risers))
    if flight.goings is not None:
        lists.append(("goings", "values", len(flight.goings.values), flight.risers - 1))
    if flight.string is not None and flight.string.margins:
        lists.append(("string", "margins", len(flight.string.margins), flight.risers))
    for table, key, count, wanted in lists:
        if count != wanted:
            what = "nosings" if key == "margins" else table
            yield Slip(
                (*flight.path, table, key),
                f"a flight of {flight.risers} risers has {wanted} {what}, but {count} values are listed",
                allowed=f"{wanted} values",
                remedy='count again, and write "-" for one that was not read',
            )


def _steps(flight: FlightPieces) -> Iterator[Slip]:
    """Rises and goings named by number."""
    if flight.risers is None:
        return
    for path, reading in flight.readings:
        if isinstance(reading, RiseReading | GoingReading):
            most = flight.risers - (1 if isinstance(reading, GoingReading) else 0)
            if reading.number > most:
                problem = f"the flight has no {reading.kind} {reading.number}"
                yield Slip((*path, "number"), problem, reading.number, f"1 to {most}")


def _named_points(flight: FlightPieces) -> Iterator[_Named]:
    for path, reading in flight.readings:
        match reading:
            case HeightReading():
                yield ((*path, "from"), reading.start, False)
                yield ((*path, "to"), reading.end, False)
            case RunReading() | StraightReading() | PitchReading():
                yield ((*path, "from"), reading.start, True)
                yield ((*path, "to"), reading.end, True)
            case LevelReading():
                yield ((*path, "to"), reading.end, False)
            case PlumbReading():
                yield ((*path, "to"), reading.end, True)
            case MarginReading():
                yield ((*path, "at"), reading.end, True)
            case _:
                pass


def point_slip(path: Path, point: str, risers: int | None, along: bool) -> Slip | None:
    """What is wrong with the name of a point, or None; ``along`` if its place along the stair is spoken of."""
    if point == FLOOR:
        if not along:
            return None
        remedy = "measure heights from the floor; along the stair measure from N1"
        return Slip(path, "the floor has a height but no place along the stair", point, remedy=remedy)
    if point.casefold() == FLOOR:
        return Slip(path, "the lower floor is written in small letters", point, f'"{FLOOR}"')
    return None if risers is None else _nosing_slip(path, point, risers)


def _nosing_slip(path: Path, point: str, risers: int) -> Slip | None:
    match = _LOOKS_LIKE_NOSING.fullmatch(point)
    if match is None:
        return None
    number, allowed = int(match[1]), f'"N1" to "N{risers}"'
    if not 1 <= number <= risers:
        return Slip(path, f"a flight of {risers} risers has no nosing {number}", point, allowed)
    if nosing_number(point) != number or point != f"N{number}":
        return Slip(
            path, "a nosing is written with a capital N and its number", point, allowed, f'write "N{number}"'
        )
    return None


def _points(flight: FlightPieces) -> Iterator[Slip]:
    named = list(_named_points(flight))
    stations = [point for _, point in flight.stations]
    told = Counter([point for _, point, _ in named] + stations)
    for path, point, along in named:
        slip = point_slip(path, point, flight.risers, along)
        if slip is not None:
            yield slip
        elif told[point] == 1 and nosing_number(point) is None:
            others = [other for other in told if other != point and nosing_number(other) is None]
            guess = _nearly(point, others)
            if guess is not None:
                problem = "nothing else names this point, and it is much like one that is named"
                yield Slip(path, problem, point, remedy=f'write "{guess}", or give it a name of its own')


def _nearly(point: str, others: list[str]) -> str | None:
    """Another name so like this one that one of them must be a slip: not merely another number."""
    guess = nearest(point, others)
    if guess is None:
        return None
    words, others_words = (re.sub(r"[0-9]", "", name) for name in (point, guess))
    if words == others_words and point.casefold() != guess.casefold():
        return None
    return guess if abs(len(guess) - len(point)) <= 1 else None


def _repeated(flight: FlightPieces) -> Iterator[Slip]:
    tables = [(path, post.id) for path, post in flight.posts]
    tables += [(path, wall.id) for path, wall in flight.walls]
    readings = [(path, reading.id) for path, reading in flight.readings if reading.id is not None]
    for what, named in (("post or wall", tables), ("reading", readings)):
        yield from repeated(what, named)


def repeated(what: str, named: list[tuple[Path, str]]) -> Iterator[Slip]:
    """A slip for every name that stands a second time."""
    seen: set[str] = set()
    for path, name in named:
        if name.casefold() in seen:
            problem = f"another {what} has this id already"
            yield Slip((*path, "id"), problem, name, remedy="give each its own")
        seen.add(name.casefold())


def clashing(what: str, named: list[tuple[Path, str]]) -> Iterator[Slip]:
    """A slip for every name that is another one's once both are made into names of files."""
    for index, (path, name) in enumerate(named):
        for _, other in named[:index]:
            if same_name(other, name) and other.casefold() != name.casefold():
                problem = f"files are named after it, and {what} {other!r} would name the same ones"
                yield Slip((*path, "id"), problem, name, remedy="let the two differ in letters or digits")


def _sizes(flight: FlightPieces) -> Iterator[Slip]:
    for path, reading in flight.readings:
        if isinstance(reading, HeightReading | RunReading | StraightReading | PitchReading):
            if reading.start == reading.end:
                yield Slip((*path, "to"), "the reading ends at the point it starts from", reading.end)
            elif (steps := _steps_between(reading.start, reading.end)) is not None:
                yield from _span(path, reading, steps, flight.say)
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


def _span(
    path: Path,
    reading: HeightReading | RunReading | StraightReading | PitchReading,
    steps: int,
    say: Callable[[float], str],
) -> Iterator[Slip]:
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
    value = reading.value
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


def _string(flight: FlightPieces) -> Iterator[Slip]:
    margins = [(path, reading) for path, reading in flight.readings if isinstance(reading, MarginReading)]
    if not flight.has_string:
        for path, reading in margins:
            remedy = "add the table [flights.string], or take the reading out"
            yield Slip((*path, "string"), "the flight has no closed string", reading.string, remedy=remedy)
        return
    if flight.string is None:
        return
    for path, reading in margins:
        if reading.string != flight.string.id:
            allowed = f'"{flight.string.id}"'
            yield Slip((*path, "string"), "the flight's string has another id", reading.string, allowed)
    places = {reading.end for _, reading in margins} | margin_points(flight.string)
    if flight.whole and len(places) < _MARGINS_FOR_A_LINE:
        yield Slip(
            (*flight.path, "string", "margins"),
            f"the string's edge needs margins at two nosings or more, but {len(places) or 'none'} is read",
            remedy="read the margin near the foot and near the head of the flight",
        )


def margin_points(string: StringTable) -> set[str]:
    """The nosings at which the string's own list gives a margin."""
    return {f"N{k}" for k, margin in enumerate(string.margins, start=1) if margin is not None}


def places_along(flight: FlightPieces) -> set[str]:
    """The points whose place along the stair some reading speaks of."""
    along = {point for _, point, spoken in _named_points(flight) if spoken}
    if flight.goings is not None:
        for k, value in enumerate(flight.goings.values, start=1):
            along |= {f"N{k}", f"N{k + 1}"} if value is not None else set()
    for _, reading in flight.readings:
        if isinstance(reading, GoingReading):
            along |= {f"N{reading.number}", f"N{reading.number + 1}"}
    return along | {"N1"}


def heights_read(flight: FlightPieces) -> set[str]:
    """The points whose height some reading speaks of."""
    named = {
        reading.end
        for _, reading in flight.readings
        if not isinstance(reading, RunReading | PlumbReading | RiseReading | GoingReading)
    }
    starts = {
        reading.start
        for _, reading in flight.readings
        if isinstance(reading, HeightReading | StraightReading | PitchReading)
    }
    rises = {reading.number for _, reading in flight.readings if isinstance(reading, RiseReading)}
    if flight.rises is not None:
        rises |= {k for k, value in enumerate(flight.rises.values, start=1) if value is not None}
    return named | starts | {f"N{k}" for k in rises} | {f"N{k - 1}" for k in rises}


def _stations(flight: FlightPieces) -> Iterator[Slip]:
    """Posts and walls hang on points that are read; every nosing must be spoken of."""
    along = places_along(flight)
    for path, point in flight.stations:
        yield from station_slips((*path, "station"), point, flight, along)
    if not flight.whole or flight.risers is None:
        return
    nosings = [f"N{k}" for k in range(1, flight.risers + 1)]
    for table, what, known in (
        ("rises", "height", heights_read(flight)),
        ("goings", "place along the stair", along),
    ):
        silent = [name for name in nosings if name not in known]
        if silent:
            shown = ", ".join(silent[:6]) + (f" and {len(silent) - 6} more" if len(silent) > 6 else "")
            remedy = f"fill in the {table}, or add readings to these nosings"
            yield Slip((*flight.path, table), f"no reading speaks of the {what} of {shown}", remedy=remedy)


def station_slips(path: Path, point: str, flight: FlightPieces, along: set[str]) -> Iterator[Slip]:
    """What is wrong with a point that something hangs on."""
    slip = point_slip(path, point, flight.risers, True)
    if slip is not None:
        yield slip
    elif point not in along and flight.whole and nosing_number(point) is None:
        guess = nearest(point, sorted(along))
        remedy = f'perhaps you mean "{guess}"' if guess else "add a run reading to it, such as from N1"
        yield Slip(path, "no reading tells where this point lies along the stair", point, remedy=remedy)


def _instruments(flight: FlightPieces, known: Mapping[str, Instrument]) -> Iterator[Slip]:
    uses: list[tuple[Path, str, Kind]] = []
    for name, table, kind in (("rises", flight.rises, Kind.HEIGHT), ("goings", flight.goings, Kind.RUN)):
        if table is not None:
            uses.append(((*flight.path, name), table.instrument, kind))
    if flight.string is not None:
        uses.append(((*flight.path, "string"), flight.string.instrument, Kind.MARGIN))
    for path, reading in flight.readings:
        if reading.instrument is not None:
            uses.append((path, reading.instrument, kind_of(reading)))
    for path, name, kind in uses:
        yield from _instrument((*path, "instrument"), name, kind, known)


def _instrument(path: Path, name: str, kind: Kind, known: Mapping[str, Instrument]) -> Iterator[Slip]:
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
