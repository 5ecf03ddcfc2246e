"""What can be read of a job file, piece by piece, so that every fault is told at once.

When the whole file fits its model the pieces are the model's own; where something does not, the tables that
do fit are still read, so that what they say of each other can be checked too. A piece that does not fit is
None: its fault is known already.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, TypeVar

from pydantic import TypeAdapter, ValidationError

from pitchline.job import limits
from pitchline.job.fields import Reader, Setting, UnfitError, shown
from pitchline.job.model_design import (
    BaseRailTable,
    DesignTable,
    EndTable,
    HandrailTable,
    MakingTable,
    SeasonTable,
    UprightsTable,
)
from pitchline.job.model_flight import (
    FlightTable,
    GoingsTable,
    InstrumentTable,
    PostTable,
    ReadingTable,
    RisesTable,
    StringTable,
    WallTable,
)
from pitchline.job.positions import Path
from pitchline.kit.units import Unit

T = TypeVar("T")
Raw = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class FlightPieces:
    """The readable pieces of a flight. ``whole`` tells that nothing is missing from them."""

    path: Path
    unit: Unit
    whole: bool
    id: str | None
    risers: int | None
    rises: RisesTable | None
    goings: GoingsTable | None
    readings: tuple[tuple[Path, ReadingTable], ...]
    string: StringTable | None
    has_string: bool
    posts: tuple[tuple[Path, PostTable], ...]
    walls: tuple[tuple[Path, WallTable], ...]

    def say(self, length: float) -> str:
        """A length (mm) in the job's unit, for a sentence."""
        return shown(length, self.unit)

    @property
    def post_names(self) -> list[str]:
        """The ids of the newels that stand already."""
        return [post.id for _, post in self.posts]

    @property
    def stations(self) -> list[tuple[Path, str]]:
        """The posts and walls, and the points they hang on."""
        posts = [(path, post.station) for path, post in self.posts]
        return posts + [(path, wall.station) for path, wall in self.walls]

    @property
    def wall_names(self) -> list[str]:
        """The ids of the walls."""
        return [wall.id for _, wall in self.walls]


@dataclass(frozen=True, slots=True)
class DesignPieces:
    """The readable pieces of a design."""

    path: Path
    unit: Unit
    id: str | None
    flight: str | None
    handrail: HandrailTable | None
    base_rail: BaseRailTable | None
    bottom: EndTable | None
    top: EndTable | None
    infill: UprightsTable | None
    making: MakingTable | None
    season: SeasonTable | None

    def say(self, length: float) -> str:
        """A length (mm) in the job's unit, for a sentence."""
        return shown(length, self.unit)


@dataclass(frozen=True, slots=True)
class Pieces:
    """The readable pieces of a job file."""

    instruments: tuple[tuple[Path, InstrumentTable], ...]
    instruments_whole: bool
    flights: tuple[FlightPieces, ...]
    designs: tuple[DesignPieces, ...]


def pieces_of(raw: Raw, setting: Setting) -> Pieces:
    """The readable pieces of the values of a job file."""
    instruments = _all(InstrumentTable, raw, "instruments", (), setting)
    return Pieces(
        instruments=instruments,
        instruments_whole=len(instruments) == len(_tables(raw, "instruments")),
        flights=tuple(
            _flight(("flights", k), table, setting) for k, table in enumerate(_tables(raw, "flights"))
        ),
        designs=tuple(
            _design(("designs", k), table, setting) for k, table in enumerate(_tables(raw, "designs"))
        ),
    )


@cache
def _adapter(kind: Any) -> TypeAdapter[Any]:
    return TypeAdapter(kind)


def _kept(kind: Any, value: object, setting: Setting) -> Any:
    """The value as its kind of table, None if it is none."""
    try:
        return _adapter(kind).validate_python(value, context=setting)
    except ValidationError:
        return None


def _tables(raw: Raw, name: str) -> list[Any]:
    tables = raw.get(name)
    return tables if isinstance(tables, list) else []


def _all(kind: Any, raw: Raw, name: str, path: Path, setting: Setting) -> tuple[tuple[Path, Any], ...]:
    read = (((*path, name, k), _kept(kind, table, setting)) for k, table in enumerate(_tables(raw, name)))
    return tuple((place, table) for place, table in read if table is not None)


def _word(reader: Reader, value: object, setting: Setting) -> Any:
    try:
        return reader.read(value, setting)
    except UnfitError:
        return None


def _flight(path: Path, raw: object, setting: Setting) -> FlightPieces:
    values: Raw = raw if isinstance(raw, dict) else {}
    return FlightPieces(
        path=path,
        unit=setting.unit,
        whole=_kept(FlightTable, raw, setting) is not None,
        id=_word(limits.ID, values.get("id"), setting),
        risers=_word(limits.RISERS, values.get("risers"), setting),
        rises=_kept(RisesTable, values.get("rises"), setting),
        goings=_kept(GoingsTable, values.get("goings"), setting),
        readings=_all(ReadingTable, values, "readings", path, setting),
        string=_kept(StringTable, values.get("string"), setting),
        has_string="string" in values,
        posts=_all(PostTable, values, "posts", path, setting),
        walls=_all(WallTable, values, "walls", path, setting),
    )


def _design(path: Path, raw: object, setting: Setting) -> DesignPieces:
    values: Raw = raw if isinstance(raw, dict) else {}
    tables: dict[str, Any] = {
        name: _kept(kind, values.get(name), setting)
        for name, kind in (
            ("handrail", HandrailTable),
            ("base_rail", BaseRailTable),
            ("bottom", EndTable),
            ("top", EndTable),
            ("infill", UprightsTable),
            ("making", MakingTable),
            ("season", SeasonTable),
        )
    }
    return DesignPieces(
        path=path,
        unit=setting.unit,
        id=_word(limits.ID, values.get("id"), setting),
        flight=_word(limits.ID, values.get("flight"), setting),
        **tables,
    )


def pieces_of_model(
    flights: list[FlightTable], designs: list[DesignTable], instruments: list[InstrumentTable], unit: Unit
) -> Pieces:
    """The pieces of a file that fits its model."""
    return Pieces(
        instruments=_placed((), "instruments", instruments),
        instruments_whole=True,
        flights=tuple(_flight_of(("flights", k), flight, unit) for k, flight in enumerate(flights)),
        designs=tuple(_design_of(("designs", k), design, unit) for k, design in enumerate(designs)),
    )


def _placed(path: Path, name: str, tables: list[T]) -> tuple[tuple[Path, T], ...]:
    return tuple(((*path, name, k), table) for k, table in enumerate(tables))


def _flight_of(path: Path, flight: FlightTable, unit: Unit) -> FlightPieces:
    return FlightPieces(
        path=path,
        unit=unit,
        whole=True,
        id=flight.id,
        risers=flight.risers,
        rises=flight.rises,
        goings=flight.goings,
        readings=_placed(path, "readings", flight.readings),
        string=flight.string,
        has_string=flight.string is not None,
        posts=_placed(path, "posts", flight.posts),
        walls=_placed(path, "walls", flight.walls),
    )


def _design_of(path: Path, design: DesignTable, unit: Unit) -> DesignPieces:
    return DesignPieces(
        path=path,
        unit=unit,
        id=design.id,
        flight=design.flight,
        handrail=design.handrail,
        base_rail=design.base_rail,
        bottom=design.bottom,
        top=design.top,
        infill=design.infill,
        making=design.making,
        season=design.season,
    )
