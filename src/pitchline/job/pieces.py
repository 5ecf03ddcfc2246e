"""What can be read of a job file, piece by piece, so that every fault is told at once.

When the whole file fits its model the pieces are the model's own; where something does not, the tables that
do fit are still read, so that what they say of each other can be checked too. A piece that does not fit is
None: its fault is known already.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Literal

from pitchline.job import limits
from pitchline.job.fields import Choice, Setting, shown
from pitchline.job.model import JobFile
from pitchline.job.model_as_built import BuiltRoundTable
from pitchline.job.model_design import (
    BaseRailKind,
    BaseRailTable,
    HandrailTable,
    SeasonTable,
)
from pitchline.job.model_edge import EdgeTurnTable, FloorTable, HeightsTable, LevelTable, RunsTable
from pitchline.job.model_ends import EndTable, NewelBetweenTable, TurnTable
from pitchline.job.model_finish import FinishTable
from pitchline.job.model_flight import (
    CutStringTable,
    FinishesTable,
    FlightTable,
    PostTable,
    SoffitTable,
    StandsOnTable,
    StringTable,
    WallTable,
)
from pitchline.job.model_infill import InfillTable
from pitchline.job.model_layers import LayersTable
from pitchline.job.model_making import MakingTable
from pitchline.job.model_readings import (
    GoingsTable,
    InstrumentTable,
    LevelReadingTable,
    ReadingTable,
    RisesTable,
)
from pitchline.job.model_shop import ShopTable
from pitchline.job.model_strength import (
    BaseFixingsTable,
    BaseKind,
    RailEndsTable,
    StrengthTable,
    WallHoldTable,
)
from pitchline.job.model_wall import WallRailTable
from pitchline.job.model_winders import WindersTable
from pitchline.job.positions import Path
from pitchline.job.sources import FromModel, FromRaw, Raw, Source
from pitchline.kit.units import Unit
from pitchline.stair.model import Side

Placed = tuple[Path, ReadingTable]


@dataclass(frozen=True, slots=True)
class FlightPieces:
    """The readable pieces of a flight or of the edge of a floor. ``whole`` tells that nothing is missing from them.

    ``nosings`` is the number of risers, or of points along the edge; ``steps`` are the goings or the runs.
    """

    path: Path
    unit: Unit
    whole: bool
    id: str | None
    nosings: int | None
    rises: RisesTable | None
    heights: HeightsTable | None
    steps: GoingsTable | RunsTable | None
    readings: tuple[Placed, ...]
    string: StringTable | None
    has_string: bool
    cut_string: CutStringTable | None
    has_cut_string: bool
    posts: tuple[tuple[Path, PostTable], ...]
    walls: tuple[tuple[Path, WallTable], ...]
    soffits: tuple[tuple[Path, SoffitTable], ...]
    stands_on: StandsOnTable | None
    finishes: FinishesTable | FloorTable | None

    @property
    def level(self) -> bool:
        """Whether it is the edge of a floor."""
        return self.path[0] == "levels"

    def has_string_on(self, side: Side | None) -> bool:
        """Whether a string with a straight edge, or a knee wall, stands on this side; None for either side."""
        told = None if self.string is None else self.string.side
        return self.has_string and (told is None or side is None or told is side)

    @property
    def what(self) -> str:
        """What a sentence calls it."""
        return "level edge" if self.level else "flight"

    def say(self, length: float) -> str:
        """A length (mm) in the job's unit, for a sentence."""
        return shown(length, self.unit)

    @property
    def post_names(self) -> list[str]:
        """The ids of the newels that stand already."""
        return [post.id for _, post in self.posts]

    @property
    def stations(self) -> list[tuple[Path, str]]:
        """Where posts and walls name the points they hang on, and those points."""
        hung: list[tuple[Path, str]] = [((*path, "station"), post.station) for path, post in self.posts]
        return hung + [((*path, "station"), wall.station) for path, wall in self.walls]

    @property
    def wall_names(self) -> list[str]:
        """The ids of the walls."""
        return [wall.id for _, wall in self.walls]


def on_side(flight: FlightPieces, side: Side | None) -> str:
    """The end of a sentence that tells on which side a flight has no string, where it has one on the other."""
    return f" on its {side.value}" if flight.has_string and side is not None else ""


@dataclass(frozen=True, slots=True)
class EdgePieces:
    """The readable pieces of an edge. ``turn_count`` counts the faulty ones too."""

    path: Path
    id: str | None
    side: Side | None
    legs: tuple[str, ...] | None
    turns: tuple[tuple[Path, EdgeTurnTable], ...]
    turn_count: int


@dataclass(frozen=True, slots=True)
class LegPieces:
    """What is asked of one leg of a design; ``places`` tells where in the file each table of it stands.

    ``edge`` is the edge along which it is meant, where that is said. ``bottom`` and ``top`` are None too where
    another leg begins there.
    """

    path: Path
    unit: Unit
    flight: str | None
    handrail: HandrailTable | None
    base_rail: BaseRailTable | Literal["none"] | None
    infill: InfillTable | None
    making: MakingTable | None
    bottom: EndTable | None
    top: EndTable | None
    has_base_rail: bool
    has_making: bool
    places: Mapping[str, Path]
    run_on: bool = False
    edge: str | None = None
    side: Side | None = None

    def say(self, length: float) -> str:
        """A length (mm) in the job's unit, for a sentence."""
        return shown(length, self.unit)

    def at(self, name: str) -> Path:
        """Where a table stands."""
        return self.places.get(name, (*self.path, name))

    def changed_by(self, other: "LegPieces") -> "LegPieces":
        """The same leg with what another table says of it put in place."""
        put = {name: getattr(other, name) for name in other.places}
        return replace(
            self,
            **put,
            flight=other.flight,
            has_base_rail=self.has_base_rail or other.has_base_rail,
            has_making=self.has_making or other.has_making,
            places={**self.places, **other.places},
            run_on=other.run_on,
        )


@dataclass(frozen=True, slots=True)
class DesignPieces:
    """The readable pieces of a design: ``asked`` of every leg, then what ``legs`` change of it."""

    path: Path
    id: str | None
    has_flight: bool
    has_side: bool
    edges: tuple[tuple[Path, str], ...]
    has_edge: bool
    has_edges: bool
    asked: LegPieces
    turns: tuple[tuple[Path, TurnTable], ...]
    turn_count: int
    newels: tuple[tuple[Path, NewelBetweenTable], ...]
    newels_whole: bool
    legs: tuple[LegPieces, ...]
    season: SeasonTable | None
    bases: tuple[tuple[Path, BaseKind], ...] = ()
    rail_ends: RailEndsTable | None = None
    base_fixings: BaseFixingsTable | None = None
    wall_holds: tuple[tuple[Path, WallHoldTable], ...] = ()


@dataclass(frozen=True, slots=True)
class Pieces:
    """The readable pieces of a job file; ``flights`` holds the edges of floors too."""

    instruments: tuple[tuple[Path, InstrumentTable], ...]
    instruments_whole: bool
    flights: tuple[FlightPieces, ...]
    winders: tuple[tuple[Path, WindersTable], ...]
    winders_whole: bool
    edges: tuple[EdgePieces, ...]
    designs: tuple[DesignPieces, ...]
    wall_rails: tuple[tuple[Path, WallRailTable], ...]
    strength: StrengthTable | None
    shop: ShopTable | None
    finish: FinishTable | None
    layers: LayersTable | None
    as_built: tuple[tuple[Path, BuiltRoundTable], ...]


def pieces_of(raw: Raw, setting: Setting) -> Pieces:
    """The readable pieces of the values of a job file."""
    return _pieces(FromRaw((), raw, setting))


def pieces_of_model(file: JobFile) -> Pieces:
    """The pieces of a file that fits its model."""
    return _pieces(FromModel((), file, file.job.units))


def _pieces(file: Source) -> Pieces:
    instruments = file.tables(InstrumentTable, "instruments")
    flights = [_flight(source) for source in file.parts("flights")]
    levels = [_level(source) for source in file.parts("levels")]
    winders = file.tables(WindersTable, "winders")
    return Pieces(
        instruments=instruments,
        instruments_whole=len(instruments) == file.count("instruments"),
        flights=(*flights, *levels),
        winders=winders,
        winders_whole=len(winders) == file.count("winders"),
        edges=tuple(_edge(source) for source in file.parts("edges")),
        designs=tuple(_design(source) for source in file.parts("designs")),
        wall_rails=file.tables(WallRailTable, "wall_rails"),
        strength=file.table(StrengthTable, "strength"),
        shop=file.table(ShopTable, "shop"),
        finish=file.table(FinishTable, "finish"),
        layers=file.table(LayersTable, "layers"),
        as_built=file.tables(BuiltRoundTable, "as_built"),
    )


def _flight(source: Source) -> FlightPieces:
    return FlightPieces(
        path=source.path,
        unit=source.unit,
        whole=source.fits(FlightTable),
        id=source.word(limits.ID, "id"),
        nosings=source.word(limits.RISERS, "risers"),
        rises=source.table(RisesTable, "rises"),
        heights=None,
        steps=source.table(GoingsTable, "goings"),
        readings=source.tables(ReadingTable, "readings"),
        string=source.table(StringTable, "string"),
        has_string=source.has("string"),
        cut_string=source.table(CutStringTable, "cut_string"),
        has_cut_string=source.has("cut_string"),
        posts=source.tables(PostTable, "posts"),
        walls=source.tables(WallTable, "walls"),
        soffits=source.tables(SoffitTable, "soffits"),
        stands_on=source.table(StandsOnTable, "stands_on"),
        finishes=source.table(FinishesTable, "finishes"),
    )


def _level(source: Source) -> FlightPieces:
    return FlightPieces(
        path=source.path,
        unit=source.unit,
        whole=source.fits(LevelTable),
        id=source.word(limits.ID, "id"),
        nosings=source.word(limits.POINTS, "points"),
        rises=None,
        heights=source.table(HeightsTable, "heights"),
        steps=source.table(RunsTable, "runs"),
        readings=source.tables(LevelReadingTable, "readings"),
        string=source.table(StringTable, "string"),
        has_string=source.has("string"),
        cut_string=None,
        has_cut_string=False,
        posts=source.tables(PostTable, "posts"),
        walls=source.tables(WallTable, "walls"),
        soffits=source.tables(SoffitTable, "soffits"),
        stands_on=source.table(StandsOnTable, "stands_on"),
        finishes=source.table(FloorTable, "finishes"),
    )


def _edge(source: Source) -> EdgePieces:
    return EdgePieces(
        path=source.path,
        id=source.word(limits.ID, "id"),
        side=source.word(_SIDE, "side"),
        legs=source.words(limits.ID, "legs"),
        turns=source.tables(EdgeTurnTable, "turns"),
        turn_count=source.count("turns"),
    )


_SIDE = Choice(Side)

MADE = ("handrail", "base_rail", "infill", "making", "bottom", "top")
"""What a leg may have of its own."""


def _made(source: Source, flight: str) -> LegPieces:
    return LegPieces(
        path=source.path,
        unit=source.unit,
        flight=source.word(limits.ID, flight),
        handrail=source.table(HandrailTable, "handrail"),
        base_rail=source.table(BaseRailKind, "base_rail"),
        infill=source.table(InfillTable, "infill"),
        making=source.table(MakingTable, "making"),
        bottom=source.table(EndTable, "bottom"),
        top=source.table(EndTable, "top"),
        has_base_rail=source.has("base_rail"),
        has_making=source.has("making"),
        places={name: (*source.path, name) for name in MADE if source.has(name)},
        run_on=bool(source.word(limits.YES_NO, "run_on")),
        edge=source.word(limits.ID, "edge"),
        side=source.word(_SIDE, "side"),
    )


def _edges(source: Source) -> tuple[tuple[Path, str], ...]:
    """The edges that a design names, with their places."""
    one = source.word(limits.ID, "edge")
    if one is not None:
        return (((*source.path, "edge"), one),)
    several = source.words(limits.ID, "edges") or ()
    return tuple(((*source.path, "edges", k), name) for k, name in enumerate(several))


def _design(source: Source) -> DesignPieces:
    strength = source.part("strength")
    return DesignPieces(
        path=source.path,
        id=source.word(limits.ID, "id"),
        has_flight=source.has("flight"),
        has_side=source.has("side"),
        edges=_edges(source),
        has_edge=source.has("edge"),
        has_edges=source.has("edges"),
        asked=_made(source, "flight"),
        turns=source.tables(TurnTable, "turns"),
        turn_count=source.count("turns"),
        newels=source.tables(NewelBetweenTable, "newels"),
        newels_whole=len(source.tables(NewelBetweenTable, "newels")) == source.count("newels"),
        legs=tuple(_made(leg, "leg") for leg in source.parts("legs")),
        season=source.table(SeasonTable, "season"),
        bases=tuple(base for told in strength for base in told.tables(BaseKind, "posts")),
        rail_ends=next((told.table(RailEndsTable, "rail_ends") for told in strength), None),
        base_fixings=next((told.table(BaseFixingsTable, "base_fixings") for told in strength), None),
        wall_holds=tuple(wall for told in strength for wall in told.tables(WallHoldTable, "walls")),
    )
