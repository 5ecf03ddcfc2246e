"""Read a job file: strictly, telling every fault at once, never guessing."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from pitchline.catalogue.rules import list_rule_sets
from pitchline.job import limits
from pitchline.job.convert import brief_of, flight_input, instruments_of, reads_angles, reads_lengths
from pitchline.job.cross_design import design_slips
from pitchline.job.cross_flight import clashing, flight_slips, repeated
from pitchline.job.faults import Slip, model_slips, with_lines
from pitchline.job.fields import Setting, UnfitError, nearest
from pitchline.job.model import HeadTable, JobFile
from pitchline.job.model_flight import InstrumentTable
from pitchline.job.pieces import Pieces, pieces_of, pieces_of_model
from pitchline.job.positions import Path as Place
from pitchline.job.read import decode, parse, read_bytes
from pitchline.job.value import Job, Paper, Projection
from pitchline.kit.errors import InputError
from pitchline.kit.units import Unit


def load_job(path: Path) -> Job:
    """The job in a file. Raises InputError with every fault found, each with its line."""
    return load_bytes(read_bytes(path), path.name, path)


def load_bytes(data: bytes, source: str, path: Path | None = None) -> Job:
    """The job in the bytes of a file; ``source`` names it in sentences. Raises InputError."""
    return load_text(decode(data, source), source, path)


def load_text(text: str, source: str = "the job file", path: Path | None = None) -> Job:
    """The job in a text; ``path`` is where it is kept, None if nowhere. Raises InputError."""
    raw = parse(text, source)
    setting = _setting(raw)
    try:
        file = JobFile.model_validate(raw, context=setting)
    except ValidationError as error:
        slips = [*model_slips(error, raw), *_cross(pieces_of(raw, setting), raw, path)]
        raise InputError(with_lines(slips, text, raw), source) from error
    pieces = pieces_of_model(file.flights, file.designs, file.instruments, file.job.units)
    slips = list(_cross(pieces, raw, path))
    if slips:
        raise InputError(with_lines(slips, text, raw), source)
    return _job(file, path)


def _setting(raw: dict[str, Any]) -> Setting:
    """The unit of plain numbers; where it cannot be read, sizes are not judged."""
    head = raw.get("job")
    word = head.get("units") if isinstance(head, dict) else None
    if isinstance(word, str) and word in set(Unit):
        return Setting(Unit(word))
    return Setting(Unit.MM, certain=False)


def _cross(pieces: Pieces, raw: dict[str, Any], path: Path | None) -> Iterator[Slip]:
    """What the tables say of each other."""
    yield from _head(raw.get("job"), path)
    yield from _instruments(pieces)
    yield from _lists(pieces, raw)
    own = [table for _, table in pieces.instruments]
    instruments = instruments_of(own) if pieces.instruments_whole else None
    for flight in pieces.flights:
        yield from flight_slips(flight, instruments)
    for design in pieces.designs:
        yield from design_slips(design, pieces.flights)


def _head(head: object, path: Path | None) -> Iterator[Slip]:
    if not isinstance(head, dict):
        return
    own_rules = head.get("rules_file")
    if isinstance(own_rules, str):
        yield from _rules_file(own_rules, path)
        return
    place = head.get("place")
    known = list(list_rule_sets())
    if isinstance(place, str) and place not in known and _reads(place):
        guess = nearest(place, known)
        remedy = f'perhaps you mean "{guess}"' if guess else "'pitchline rules' lists them"
        allowed = ", ".join(f'"{name}"' for name in known)
        yield Slip(("job", "place"), "there is no rule set of this name", place, allowed, remedy)


def _reads(place: str) -> bool:
    try:
        limits.RULES.read(place, Setting(Unit.MM))
    except UnfitError:
        return False
    return True


def _rules_file(name: str, path: Path | None) -> Iterator[Slip]:
    place: Place = ("job", "rules_file")
    if path is None:
        yield Slip(
            place, "a job that is not saved yet has no folder to look in", name, remedy="save the job first"
        )
    elif _printable(name) and not _resolved(name, path).is_file():
        remedy = "the name starts from the folder of the job file"
        yield Slip(place, "there is no such rule file", name, remedy=remedy)


def _printable(name: str) -> bool:
    return name.isprintable() and len(name) <= limits.FILE.longest


def _resolved(name: str, path: Path) -> Path:
    return path.parent / name


def _instruments(pieces: Pieces) -> Iterator[Slip]:
    yield from repeated("instrument", [(place, table.id) for place, table in pieces.instruments])
    for place, table in pieces.instruments:
        yield from _terms(place, table)


def _terms(place: Place, table: InstrumentTable) -> Iterator[Slip]:
    """An instrument's own limits must be of the sort that it reads."""
    lengths = [key for key in ("limit", "in_use") if getattr(table, key) is not None]
    angles = [key for key in ("limit_deg", "in_use_deg") if getattr(table, key) is not None]
    if lengths and angles:
        remedy = "describe it twice, with two ids: once for lengths and once for angles"
        yield Slip((*place, angles[0]), "limits for lengths and for angles stand together", remedy=remedy)
        return
    if lengths and not reads_lengths(table.kind):
        yield Slip((*place, lengths[0]), f"a {table.kind} reads no lengths", remedy=f"write {lengths[0]}_deg")
    if angles and not reads_angles(table.kind):
        remedy = f"write {angles[0].removesuffix('_deg')}"
        yield Slip((*place, angles[0]), f"a {table.kind} reads no angles", remedy=remedy)


def _lists(pieces: Pieces, raw: dict[str, Any]) -> Iterator[Slip]:
    flights, designs = raw.get("flights"), raw.get("designs")
    if isinstance(flights, list) and len(flights) != 1:
        problem = "this version works with one flight a job"
        remedy = "keep one flight here and write a job file for each other one"
        place: Place = ("flights", 1) if flights else ("flights",)
        yield Slip(place, problem, None, "one [[flights]]", remedy if flights else "add the flight")
    if isinstance(designs, list) and not designs:
        yield Slip(("designs",), "no design is asked for", allowed="one [[designs]] or more")
    for what, found in (("flight", pieces.flights), ("design", pieces.designs)):
        named = [(piece.path, piece.id) for piece in found if piece.id is not None]
        yield from repeated(what, named)
        yield from clashing(what, named)


def _job(file: JobFile, path: Path | None) -> Job:
    head = file.job
    instruments = instruments_of(file.instruments)
    return Job(
        title=head.title,
        place=head.place,
        unit=head.units,
        flights=tuple(flight_input(flight, instruments) for flight in file.flights),
        designs=tuple(brief_of(design) for design in file.designs),
        paper=_paper(head),
        projection=_projection(head),
        rules_file=_resolved(head.rules_file, path) if head.rules_file and path else None,
        drawn_by=head.drawn_by or "",
        date=head.date or "",
        currency=head.currency,
        path=path,
    )


def _paper(head: HeadTable) -> Paper:
    if head.paper is not None:
        return head.paper.value
    return "A3" if head.units is Unit.MM else "Tabloid"


def _projection(head: HeadTable) -> Projection:
    if head.projection is not None:
        return head.projection.value
    return "first" if head.units is Unit.MM else "third"
