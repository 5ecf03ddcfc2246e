"""Points along a flight or an edge: how they are named, which readings speak of them, what may hang on them."""

import re
from collections import Counter
from collections.abc import Iterator

from pitchline.job.faults import Slip
from pitchline.job.fields import nearest
from pitchline.job.model_readings import (
    GoingReading,
    HeightReading,
    LevelReading,
    MarginReading,
    PitchReading,
    PlumbReading,
    RiseReading,
    RunReading,
    StraightReading,
)
from pitchline.job.pieces import FlightPieces
from pitchline.job.positions import Path
from pitchline.survey.readings import nosing_number

FLOOR = "floor"
_LOOKS_LIKE_NOSING = re.compile(r"[nN][ _.-]*0*([0-9]{1,4})")
_Named = tuple[Path, str, bool]
"""A point as a line of the file names it, and whether its place along the stair is spoken of."""


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


def point_slip(path: Path, point: str, flight: FlightPieces, along: bool) -> Slip | None:
    """What is wrong with the name of a point, or None; ``along`` if its place along the stair is spoken of."""
    if point == FLOOR:
        if not along:
            return None
        remedy = "measure heights from the floor; along the stair measure from N1"
        return Slip(path, "the floor has a height but no place along the stair", point, remedy=remedy)
    if point.casefold() == FLOOR:
        return Slip(path, "the lower floor is written in small letters", point, f'"{FLOOR}"')
    return None if flight.nosings is None else _nosing_slip(path, point, flight, flight.nosings)


def _nosing_slip(path: Path, point: str, flight: FlightPieces, nosings: int) -> Slip | None:
    match = _LOOKS_LIKE_NOSING.fullmatch(point)
    if match is None:
        return None
    number, allowed = int(match[1]), f'"N1" to "N{nosings}"'
    if not 1 <= number <= nosings:
        lacks = f"an edge of {nosings} points has no point" if flight.level else None
        problem = f"{lacks or f'a flight of {nosings} risers has no nosing'} {number}"
        return Slip(path, problem, point, allowed)
    if nosing_number(point) != number or point != f"N{number}":
        named = "a point of an edge" if flight.level else "a nosing"
        problem = f"{named} is written with a capital N and its number"
        return Slip(path, problem, point, allowed, f'write "N{number}"')
    return None


def point_slips(flight: FlightPieces) -> Iterator[Slip]:
    """Points that are not there, and names so much alike that one must be a slip of the pen."""
    named = list(_named_points(flight))
    stations = [point for _, point in flight.stations]
    stations += [point for _, soffit in flight.soffits for point in (soffit.start, soffit.end)]
    told = Counter([point for _, point, _ in named] + stations)
    for path, point, along in named:
        slip = point_slip(path, point, flight, along)
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


def places_along(flight: FlightPieces) -> set[str]:
    """The points whose place along the stair some reading speaks of."""
    along = {point for _, point, spoken in _named_points(flight) if spoken}
    if flight.steps is not None:
        for k, value in enumerate(flight.steps.values, start=1):
            along |= {f"N{k}", f"N{k + 1}"} if value is not None else set()
    for _, reading in flight.readings:
        if isinstance(reading, GoingReading):
            along |= {f"N{reading.number}", f"N{reading.number + 1}"}
    return along | {"N1"}


def heights_read(flight: FlightPieces) -> set[str]:
    """The points whose height some reading speaks of. Along the edge of a floor only plain heights do."""
    told: set[str] = set()
    for _, reading in flight.readings:
        if isinstance(reading, HeightReading):
            told |= {reading.start, reading.end}
        elif isinstance(reading, LevelReading):
            told.add(reading.end)
        elif flight.level:
            continue
        elif isinstance(reading, StraightReading | PitchReading):
            told |= {reading.start, reading.end}
        elif isinstance(reading, MarginReading):
            told.add(reading.end)
        elif isinstance(reading, RiseReading):
            told |= {f"N{reading.number}", f"N{reading.number - 1}"}
    for table in (flight.rises, flight.heights):
        if table is not None:
            told |= {f"N{k}" for k, value in enumerate(table.values, start=1) if value is not None}
    if flight.rises is not None:
        told |= {f"N{k}" for k, value in enumerate(flight.rises.values) if value is not None}
    return told


def station_slips(path: Path, point: str, flight: FlightPieces, along: set[str]) -> Iterator[Slip]:
    """What is wrong with a point that something hangs on."""
    slip = point_slip(path, point, flight, True)
    if slip is not None:
        yield slip
    elif point not in along and flight.whole and nosing_number(point) is None:
        guess = nearest(point, sorted(along))
        remedy = f'perhaps you mean "{guess}"' if guess else "add a run reading to it, such as from N1"
        yield Slip(path, "no reading tells where this point lies along the stair", point, remedy=remedy)
