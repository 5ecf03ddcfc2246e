"""The legs of a job as the stair page shows them: which there are, and what the survey says of their readings.

A leg is a flight or the edge of a floor. Its readings are joined with the adjustment by their order, which is that of
the file: rises and goings (of an edge: runs and heights), margins of the string, then the others.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from pitchline.app.web.guess import count_of
from pitchline.app.web.shown import NOT_READ, Path, items
from pitchline.app.web.state import Bench, State

if TYPE_CHECKING:
    from pitchline.kit.finding import Finding
    from pitchline.survey.adjust import Adjusted
    from pitchline.survey.readings import Reading
    from pitchline.survey.review import CheckedReading


@dataclass(frozen=True, slots=True)
class Leg:
    """One leg: where its table stands in the job, its id, and what the table holds."""

    path: Path
    id: str
    table: Mapping[str, Any]

    @property
    def level(self) -> bool:
        """Whether it is the edge of a floor."""
        return self.path[0] == "levels"

    @property
    def count(self) -> int:
        """Its nosings or points."""
        return count_of(self.table, level=self.level)

    @property
    def rows(self) -> tuple[tuple[str, str], ...]:
        """Its lists of readings: the table's key and the kind of each reading in it."""
        return (
            (("runs", "run"), ("heights", "height"))
            if self.level
            else (("rises", "rise"), ("goings", "going"))
        )


@dataclass(frozen=True, eq=False, slots=True)
class Surveyed:
    """What the survey says of a leg: its adjustment, the line of each reading by its place, and the findings."""

    adjusted: "Adjusted"
    lines: Mapping[Path, "CheckedReading"]
    findings: tuple["Finding", ...]
    takeable: tuple["Reading", ...]

    def said_of(self, path: Path) -> "Finding | None":
        """The slip that the survey names in the reading at a place."""
        line = self.lines.get(path)
        if line is None:
            return None
        name = line.reading.id
        return next((f for f in self.findings if f.code == "survey.blunder" and f.where == name), None)


def legs(raw: Mapping[str, Any]) -> tuple[Leg, ...]:
    """The legs in the order of the file, flights first."""
    found = []
    for kind in ("flights", "levels"):
        for number, table in enumerate(items(raw, kind)):
            if isinstance(table, dict):
                name = table.get("id")
                found.append(Leg((kind, number), str(name) if name else f"{kind}[{number}]", table))
    return tuple(found)


def surveyed(bench: Bench, state: State, leg: Leg) -> Surveyed | None:
    """What the survey says of a leg as it is read now, also where only the designs are not sound."""
    if state.fresh and state.solved is not None:
        for known in state.solved.flights:
            if known.flight.id == leg.id:
                return _joined(leg, known.adjusted, known.findings, known.takeable)
        return None
    adjusted = bench.stair(state).get(leg.id) if state.faults else None
    if adjusted is None:
        return None
    from pitchline.kit.words import show_in
    from pitchline.survey.next_reading import USUAL_TAPE, possible_readings
    from pitchline.survey.review import review

    said = review(adjusted, show=show_in(state.unit))
    return _joined(leg, adjusted, said, possible_readings(adjusted, USUAL_TAPE))


def _joined(
    leg: Leg, adjusted: "Adjusted", findings: tuple["Finding", ...], takeable: tuple["Reading", ...]
) -> Surveyed:
    from pitchline.survey.review import reading_table

    lines = dict(zip(places(leg), reading_table(adjusted), strict=False))
    return Surveyed(adjusted, lines, findings, takeable)


def places(leg: Leg) -> Iterator[Path]:
    """The places of the readings of a leg that were read, in the order in which the job takes them in."""
    lists: list[tuple[str, str]] = [*((key, "values") for key, _ in leg.rows), ("string", "margins")]
    for path in lists:
        for number, value in enumerate(items(leg.table, *path)):
            if value != NOT_READ:
                yield (*leg.path, *path, number)
    for number, entry in enumerate(items(leg.table, "readings")):
        angle = isinstance(entry, dict) and entry.get("kind") == "pitch"
        yield (*leg.path, "readings", number, "value_deg" if angle else "value")
