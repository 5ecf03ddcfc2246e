"""Read a job file: strictly, telling every fault at once, never guessing."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from pitchline.catalogue.rules import list_rule_sets
from pitchline.job import limits
from pitchline.job.convert_as_built import rounds_of
from pitchline.job.convert_design import briefs_of, edge_of
from pitchline.job.convert_layers import layers_slips, routing_of
from pitchline.job.convert_shop import shop_of
from pitchline.job.convert_stair import instruments_of, legs_of, reads_angles, reads_lengths
from pitchline.job.convert_strength import settings_of
from pitchline.job.convert_wall import wall_rail_of
from pitchline.job.convert_winders import winder_facts
from pitchline.job.cross_as_built import built_slips
from pitchline.job.cross_design import design_slips
from pitchline.job.cross_edge import Stack, edge_slips, stack_slips
from pitchline.job.cross_finish import address_slips, finish_of, finish_slips, labels_of, labels_slips
from pitchline.job.cross_flight import flight_slips
from pitchline.job.cross_names import clashing, repeated
from pitchline.job.cross_shop import shop_slips
from pitchline.job.cross_strength import base_slips, strength_slips
from pitchline.job.cross_turns import bay_ids, leg_ids
from pitchline.job.cross_wall import wall_rail_slips
from pitchline.job.cross_winders import winder_slips
from pitchline.job.faults import Slip, missing, model_slips, with_lines
from pitchline.job.fields import Setting, UnfitError, nearest
from pitchline.job.model import HeadTable, JobFile
from pitchline.job.model_readings import InstrumentTable
from pitchline.job.patterns import pattern_slips
from pitchline.job.pieces import Pieces, pieces_of, pieces_of_model
from pitchline.job.positions import Path as Place
from pitchline.job.rack import load_rack
from pitchline.job.read import decode, parse, read_bytes
from pitchline.job.value import FlightInput, Job, Paper, Projection
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
    pieces = pieces_of_model(file)
    slips = list(_cross(pieces, raw, path))
    if slips:
        raise InputError(with_lines(slips, text, raw), source)
    return _job(file, path)


_OF_STAIR = frozenset({"schema", "job", "instruments", "flights", "levels", "winders"})


def load_legs(text: str, source: str = "the job file", path: Path | None = None) -> tuple[FlightInput, ...]:
    """The flights and levels of a text alone, for a job whose designs may not be sound yet. Raises InputError."""
    raw = {key: value for key, value in parse(text, source).items() if key in _OF_STAIR}
    try:
        file = JobFile.model_validate(raw, context=_setting(raw))
    except ValidationError as error:
        raise InputError(with_lines(model_slips(error, raw), text, raw), source) from error
    cross = _cross(pieces_of_model(file), raw, path)
    slips = [slip for slip in cross if slip.path[0] in _OF_STAIR and slip.path[0] != "job"]
    if slips:
        raise InputError(with_lines(slips, text, raw), source)
    return legs_of(file, instruments_of(file.instruments))


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
    if pieces.shop is not None:
        yield from shop_slips(("shop",), pieces.shop)
        if pieces.shop.labels is not None:
            yield from labels_slips(("shop", "labels"), pieces.shop.labels, _setting(raw).unit)
    if pieces.finish is not None:
        yield from finish_slips(("finish",), pieces.finish)
    if pieces.layers is not None:
        yield from layers_slips(("layers",), pieces.layers)
    yield from _lists(pieces, raw)
    own = [table for _, table in pieces.instruments]
    instruments = instruments_of(own) if pieces.instruments_whole else None
    for flight in pieces.flights:
        yield from flight_slips(flight, instruments)
    stack = Stack.of(pieces)
    yield from stack_slips(stack)
    for place, winders in pieces.winders:
        yield from winder_slips(place, winders, stack)
    for edge in pieces.edges:
        yield from edge_slips(edge, stack)
    edges = {edge.id: edge for edge in pieces.edges if edge.id is not None}
    for design in pieces.designs:
        yield from design_slips(design, stack, edges)
        yield from pattern_slips(design, path)
        yield from base_slips(design, [edges[name] for _, name in design.edges if name in edges])
    if pieces.strength is not None:
        yield from strength_slips(("strength",), pieces.strength)
    for place, rail in pieces.wall_rails:
        yield from wall_rail_slips(place, rail, stack)
    asked = [design.id for design in pieces.designs if design.id is not None]
    sound = len(asked) == len(pieces.designs)
    yield from built_slips(pieces.as_built, asked if sound else (), instruments)


def _head(head: object, path: Path | None) -> Iterator[Slip]:
    if not isinstance(head, dict):
        return
    yield from _rack(head.get("rack"), path)
    yield from address_slips(("job", "pack_address"), head.get("pack_address"))
    own_rules = head.get("rules_file")
    if isinstance(own_rules, str):
        yield from _file_beside("rules_file", "rule file", own_rules, path)
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


def _rack(name: object, path: Path | None) -> Iterator[Slip]:
    """A rack that is there is read at once, so that its own faults are told with the job's."""
    if not isinstance(name, str):
        return
    faults = list(_file_beside("rack", "rack", name, path))
    yield from faults
    if not faults and path is not None and _resolved(name, path).is_file():
        try:
            load_rack(_resolved(name, path))
        except InputError as wrong:
            for fault in wrong.faults:
                yield Slip(("job", "rack"), f"in {name}, {fault.sentence().rstrip('.')}")


def _file_beside(key: str, what: str, name: str, path: Path | None) -> Iterator[Slip]:
    place: Place = ("job", key)
    if path is None:
        yield Slip(
            place, "a job that is not saved yet has no folder to look in", name, remedy="save the job first"
        )
    elif _printable(name) and not _resolved(name, path).is_file():
        remedy = "the name starts from the folder of the job file"
        yield Slip(place, f"there is no such {what}", name, remedy=remedy)


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
    flights, designs = raw.get("flights", []), raw.get("designs")
    if not flights and not raw.get("levels") and isinstance(flights, list):
        if "flights" in raw:
            yield Slip(
                ("flights",), "the job has no flight", None, "one [[flights]] or more", "add the flight"
            )
        else:
            yield missing(("flights",))
    if not raw.get("wall_rails") and isinstance(raw.get("designs", []), list) and not designs:
        if "designs" in raw:
            yield Slip(("designs",), "no design is asked for", allowed="one [[designs]] or more")
        else:
            yield missing(("designs",))
    legs = [(piece.path, piece.id) for piece in pieces.flights if piece.id is not None]
    asked = [(piece.path, piece.id) for piece in pieces.designs if piece.id is not None]
    for what, named in (
        ("flight or level", legs + [(place, table.id) for place, table in pieces.winders]),
        ("edge", [(piece.path, piece.id) for piece in pieces.edges if piece.id is not None]),
        (
            "design or wall rail" if pieces.wall_rails else "design",
            asked + [(place, table.id) for place, table in pieces.wall_rails],
        ),
    ):
        yield from repeated(what, named)
        yield from clashing(what, named)
    yield from _legs_named(pieces)


def _legs_named(pieces: Pieces) -> Iterator[Slip]:
    """The legs of a design are named after it and must not be taken for another design."""
    edges = {edge.id: edge for edge in pieces.edges}
    plain = {piece.id.casefold() for piece in pieces.designs if piece.id is not None}
    for piece in pieces.designs:
        if piece.id is None:
            continue
        legs = [(name, edges[name].legs or ()) for _, name in piece.edges if name in edges]
        called = [name for edge in leg_ids(piece.id, legs) for name in edge]
        bays = [bay for name in called or [piece.id] for bay in bay_ids(name, len(piece.newels))]
        for name in [*called, *bays] if called or piece.newels else []:
            if name.casefold() in plain:
                problem = f"one of its legs would be called {name!r}, as another design is"
                yield Slip((*piece.path, "id"), problem, piece.id, remedy="give it another id")


def _job(file: JobFile, path: Path | None) -> Job:
    head = file.job
    legs = legs_of(file, instruments_of(file.instruments))
    nosings = {leg.facts.id: leg.facts.risers for leg in legs}
    folder = Path() if path is None else path.parent
    edges = {table.id: edge_of(table, nosings) for table in file.edges}
    return Job(
        title=head.title,
        place=head.place,
        unit=head.units,
        flights=legs,
        designs=tuple(brief for table in file.designs for brief in briefs_of(table, edges, folder)),
        paper=_paper(head),
        projection=_projection(head),
        rules_file=_resolved(head.rules_file, path) if head.rules_file and path else None,
        rack=_resolved(head.rack, path) if head.rack and path else None,
        drawn_by=head.drawn_by or "",
        date=head.date or "",
        currency=head.currency,
        path=path,
        edges=tuple(edges.values()),
        winders=tuple(winder_facts(table, nosings[table.lower]) for table in file.winders),
        wall_rails=tuple(wall_rail_of(table, nosings) for table in file.wall_rails),
        strength=settings_of(file),
        shop=shop_of(file.shop, head.units),
        finish=finish_of(file.finish),
        routing=routing_of(file.layers),
        labels=labels_of(None if file.shop is None else file.shop.labels, head.units),
        pack_address=head.pack_address,
        as_built=rounds_of(file.as_built, instruments_of(file.instruments)),
    )


def _paper(head: HeadTable) -> Paper:
    if head.paper is not None:
        return head.paper.value
    return "A3" if head.units is Unit.MM else "Tabloid"


def _projection(head: HeadTable) -> Projection:
    if head.projection is not None:
        return head.projection.value
    return "first" if head.units is Unit.MM else "third"
