"""What the rounds of measuring during the work must say of each other and of the rest of the job."""

from collections.abc import Iterator, Mapping, Sequence

from pitchline.design.as_built import State
from pitchline.job.convert_as_built import FACE, marks_of
from pitchline.job.cross_flight import instrument_slips
from pitchline.job.cross_names import unknown
from pitchline.job.faults import Slip
from pitchline.job.model_as_built import BuiltPieceTable, BuiltPostTable, BuiltRailTable, BuiltRoundTable
from pitchline.job.model_readings import HeightReading, LevelReading, PlumbReading
from pitchline.job.positions import Path
from pitchline.survey.instruments import Instrument
from pitchline.survey.readings import Kind

Rounds = Sequence[tuple[Path, BuiltRoundTable]]


def built_slips(
    rounds: Rounds, designs: Sequence[str], instruments: Mapping[str, Instrument] | None
) -> Iterator[Slip]:
    """Every contradiction of the rounds; ``designs`` are the ids of the job's, empty where some are faulty."""
    latest: dict[str, str] = {}
    for path, told in rounds:
        if designs and told.design not in designs:
            problem = "the job has no design of this id"
            yield unknown((*path, "design"), problem, told.design, list(designs))
        before = latest.get(told.design, "")
        if told.date is not None:
            if told.date < before:
                problem = f"an earlier round of design {told.design} has a later day, {before}"
                remedy = "let the rounds stand in the order in which they were measured"
                yield Slip((*path, "date"), problem, told.date, remedy=remedy)
            latest[told.design] = max(told.date, before)
        yield from _posts(path, told, instruments)
        yield from _rails(path, told, instruments)
        yield from _pieces(path, told)
        if not (told.posts or told.rails or told.pieces):
            remedy = "add posts, rails or pieces, or take the round out"
            yield Slip(path, "nothing is measured in this round", remedy=remedy)


def _posts(path: Path, told: BuiltRoundTable, instruments: Mapping[str, Instrument] | None) -> Iterator[Slip]:
    seen: set[tuple[str, str | None]] = set()
    for k, post in enumerate(told.posts):
        place: Path = (*path, "posts", k)
        if (post.post, post.leg) in seen:
            remedy = "put its readings into one table, or say from which other leg these were taken"
            yield Slip((*place, "post"), "this round has this newel already", post.post, remedy=remedy)
        seen.add((post.post, post.leg))
        yield from _face(place, post)
        for number, reading in enumerate(post.readings):
            if instruments is not None and reading.instrument is not None:
                where = (*place, "readings", number, "instrument")
                yield from instrument_slips(where, reading.instrument, Kind(reading.kind), instruments)


def _face(place: Path, post: BuiltPostTable) -> Iterator[Slip]:
    """At least one reading tells where the face lies along the stair; none runs from a point to itself."""
    along = False
    for number, reading in enumerate(post.readings):
        where: Path = (*place, "readings", number)
        ends = (
            (reading.end,)
            if isinstance(reading, PlumbReading | LevelReading)
            else (reading.start, reading.end)
        )
        if len(ends) == 2 and ends[0] == ends[1]:
            yield Slip((*where, "to"), "the reading ends at the point it starts from", reading.end)
        if FACE not in ends:
            remedy = f'call the face of this newel "{FACE}"'
            yield Slip(where, f"this reading does not speak of the face of {post.post}", remedy=remedy)
        along = along or (FACE in ends and not isinstance(reading, HeightReading | LevelReading))
    if not along:
        remedy = f'add one such as {{ kind = "run", from = "{FACE}", to = "N3", value = ... }}'
        yield Slip(
            (*place, "readings"), f"no reading tells where the face of {post.post} lies", remedy=remedy
        )


def _rails(path: Path, told: BuiltRoundTable, instruments: Mapping[str, Instrument] | None) -> Iterator[Slip]:
    seen: set[str] = set()
    for k, rail in enumerate(told.rails):
        place: Path = (*path, "rails", k)
        if rail.rail in seen:
            yield Slip((*place, "rail"), "this round has this rail already", rail.rail)
        seen.add(rail.rail)
        yield from _line(place, rail)
        if instruments is not None:
            used = [("instrument", rail.instrument, Kind.MARGIN)] if rail.heights else []
            if rail.slope_deg is not None and rail.slope_sigma_deg is None:
                used.append(("slope_instrument", rail.slope_instrument, Kind.PITCH))
            for key, name, kind in used:
                yield from instrument_slips((*place, key), name, kind, instruments)


def _line(place: Path, rail: BuiltRailTable) -> Iterator[Slip]:
    """A rail's line needs two heights, or one and its slope."""
    places = {height.at for height in rail.heights}
    if len(places) + (rail.slope_deg is not None) < 2 or not places:
        problem = f"the line of {rail.rail} needs heights at two nosings, or one and its slope"
        remedy = 'write heights = [{ at = "N2", value = ... }, { at = "N11", value = ... }]'
        yield Slip((*place, "heights"), problem, remedy=remedy)


def _pieces(path: Path, told: BuiltRoundTable) -> Iterator[Slip]:
    seen: set[str] = set()
    for k, piece in enumerate(told.pieces):
        place: Path = (*path, "pieces", k)
        marks: list[str] = []
        for number, written in enumerate(piece.marks):
            try:
                marks += marks_of(written)
            except ValueError:
                allowed = 'a mark such as "U05", or a run such as "U05 to U12"'
                yield Slip((*place, "marks", number), "this run of marks leads nowhere", written, allowed)
        for mark in marks:
            if mark in seen:
                yield Slip((*place, "marks"), f"{mark} stands twice in this round", remedy="name it once")
            seen.add(mark)
        if not piece.marks:
            yield Slip((*place, "marks"), "no piece is named")
        yield from _measures(place, piece, len(marks))


_OF_CUT = ("length", "start_mitre_deg", "start_bevel_deg", "finish_mitre_deg", "finish_bevel_deg")


def _measures(place: Path, piece: BuiltPieceTable, count: int) -> Iterator[Slip]:
    """What is measured of a piece fits its state, and is said of one piece only."""
    given = [key for key in ("edge", *_OF_CUT) if getattr(piece, key) is not None]
    for key in given:
        wanted = State.FITTED if key == "edge" else State.CUT
        if piece.state is not wanted:
            yield Slip(
                (*place, key),
                f"{key} is measured of a piece that is {wanted.value}",
                remedy=f'take it out, or write state = "{wanted.value}"',
            )
        elif count > 1:
            remedy = "give the piece a table of its own"
            yield Slip((*place, key), f"{key} is that of one piece, and {count} are named", remedy=remedy)
