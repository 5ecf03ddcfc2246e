"""From the tables of what was measured during the work to rounds: mm and radians."""

import math
import re
from collections.abc import Iterator, Mapping, Sequence

from pitchline.design.as_built import (
    BuiltRound,
    MadePiece,
    MeasuredPost,
    MeasuredRail,
    SawnEnd,
)
from pitchline.job.cross_flight import DEFAULT_INSTRUMENTS
from pitchline.job.model_as_built import (
    BuiltPieceTable,
    BuiltPostTable,
    BuiltRailTable,
    BuiltRoundTable,
    FaceReadingTable,
)
from pitchline.job.model_flight import LeanTable
from pitchline.job.model_readings import LevelReading, PlumbReading
from pitchline.stair.model import built_name
from pitchline.survey.instruments import Instrument, standard_uncertainty
from pitchline.survey.readings import Kind, Reading

FACE = "face"
"""What readings call the face of the newel in whose table they stand."""

Instruments = Mapping[str, Instrument]


def rounds_of(tables: Sequence[BuiltRoundTable], instruments: Instruments) -> tuple[BuiltRound, ...]:
    """The rounds of a sound job, in the order of the file."""
    marks: dict[str, set[str]] = {}
    for table in tables:
        marks.setdefault(table.design, set()).update(post.post for post in table.posts)
    return tuple(
        _round(table, f"as_built[{k}]", marks[table.design], instruments) for k, table in enumerate(tables)
    )


def _round(table: BuiltRoundTable, where: str, marks: set[str], instruments: Instruments) -> BuiltRound:
    design = table.design
    return BuiltRound(
        design,
        table.gate,
        table.date or "",
        where,
        tuple(
            _post(post, design, f"{where}.posts[{k}]", marks, instruments)
            for k, post in enumerate(table.posts)
        ),
        tuple(_rail(rail, design, f"{where}.rails[{k}]", instruments) for k, rail in enumerate(table.rails)),
        tuple(
            piece
            for k, listed in enumerate(table.pieces)
            for piece in _pieces(listed, f"{where}.pieces[{k}]")
        ),
    )


def _post(
    table: BuiltPostTable, design: str, where: str, marks: set[str], instruments: Instruments
) -> MeasuredPost:
    station = built_name(design, table.post)
    names = {mark: built_name(design, mark) for mark in marks} | {FACE: station}
    height = table.face_height or 0.0
    return MeasuredPost(
        post=table.post,
        station=station,
        where=where,
        leg=table.leg or "",
        readings=tuple(_reading(reading, table.post, names, instruments) for reading in table.readings),
        face_height=table.face_height,
        height_sigma=standard_uncertainty(instruments["tape"], Kind.HEIGHT, height),
        along=table.along,
        across=table.across,
        lean_along=_lean(table.lean_along),
        lean_across=_lean(table.lean_across),
        twist=None if table.twist_deg is None else math.radians(table.twist_deg),
        top_height=table.top_height,
    )


def _lean(table: LeanTable | None) -> float | None:
    return None if table is None else table.offset / table.over


def _reading(
    table: FaceReadingTable, post: str, names: Mapping[str, str], instruments: Instruments
) -> Reading:
    kind = Kind(table.kind)
    name = table.instrument or DEFAULT_INSTRUMENTS[kind]
    sigma = table.sigma or standard_uncertainty(instruments[name], kind, table.value)
    set_up = isinstance(table, LevelReading | PlumbReading)
    first = table.setup if isinstance(table, LevelReading | PlumbReading) else table.start
    words = table.id or f"{post} as built: {kind} {first} to {table.end}"
    start = first if set_up else names.get(first, first)
    return Reading(words, kind, start, names.get(table.end, table.end), table.value, sigma, name)


def _rail(table: BuiltRailTable, design: str, where: str, instruments: Instruments) -> MeasuredRail:
    line = built_name(design, table.rail)
    return MeasuredRail(table.rail, line, where, tuple(_rail_readings(table, line, instruments)))


def _rail_readings(table: BuiltRailTable, line: str, instruments: Instruments) -> Iterator[Reading]:
    for height in table.heights:
        known = instruments[table.instrument]
        sigma = height.sigma or standard_uncertainty(known, Kind.MARGIN, height.value)
        words = f"{table.rail} as built: height at {height.at}"
        yield Reading(words, Kind.MARGIN, line, height.at, height.value, sigma, table.instrument)
    if table.slope_deg is not None:
        name, slope = table.slope_instrument, math.radians(table.slope_deg)
        sigma = standard_uncertainty(instruments[name], Kind.SLOPE, slope)
        if table.slope_sigma_deg is not None:
            sigma = math.radians(table.slope_sigma_deg)
        yield Reading(f"{table.rail} as built: slope", Kind.SLOPE, line, "", slope, sigma, name)


def _pieces(table: BuiltPieceTable, where: str) -> Iterator[MadePiece]:
    for mark in (mark for written in table.marks for mark in marks_of(written)):
        yield MadePiece(
            mark=mark,
            state=table.state,
            where=f"{where}.marks",
            edge=table.edge,
            length=table.length,
            start=SawnEnd(table.start_mitre_deg, table.start_bevel_deg),
            finish=SawnEnd(table.finish_mitre_deg, table.finish_bevel_deg),
        )


_RUN = re.compile(r"([A-Za-z]+)([0-9]+) to ([A-Za-z]+)([0-9]+)")


def marks_of(written: str) -> tuple[str, ...]:
    """The marks of one entry: itself, or those of a run "U05 to U12". ValueError for a run that leads nowhere."""
    run = _RUN.fullmatch(written)
    if run is None:
        return (written,)
    prefix, first, other, last = run.groups()
    if prefix != other or int(last) < int(first):
        raise ValueError(f"{written!r} is no run of marks")
    return tuple(f"{prefix}{number:0{len(first)}d}" for number in range(int(first), int(last) + 1))
