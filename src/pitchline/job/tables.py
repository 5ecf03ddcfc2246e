"""Every table of a job file by its place: what sentences, the schema's tests and the reference page go by."""

from collections.abc import Mapping

from pydantic import BaseModel

from pitchline.job import (
    model,
    model_as_built,
    model_design,
    model_edge,
    model_ends,
    model_finish,
    model_flight,
    model_heads,
    model_infill,
    model_layers,
    model_making,
    model_readings,
    model_shop,
    model_strength,
    model_wall,
    model_winders,
)

Tables = Mapping[str, type[BaseModel] | Mapping[str, type[BaseModel]]]

_READINGS: dict[str, type[BaseModel]] = {
    "height": model_readings.HeightReading,
    "run": model_readings.RunReading,
    "straight": model_readings.StraightReading,
    "level": model_readings.LevelReading,
    "plumb": model_readings.PlumbReading,
    "margin": model_readings.MarginReading,
}

_STAIR_READINGS: dict[str, type[BaseModel]] = {
    "pitch": model_readings.PitchReading,
    "rise": model_readings.RiseReading,
    "going": model_readings.GoingReading,
}

_ENDS: dict[str, type[BaseModel]] = {
    "new newel": model_ends.NewNewelEnd,
    "existing newel": model_ends.ExistingNewelEnd,
    "half newel": model_ends.HalfNewelEnd,
    "wall": model_ends.WallEnd,
    "free end": model_ends.FreeEndTable,
}

_TURNS: dict[str, type[BaseModel]] = {
    "turn newel": model_ends.TurnNewelTable,
    "standing newel": model_ends.StandingNewelTable,
    "mitred": model_ends.MitredTable,
    "eased": model_ends.EasedTable,
}


_BASES: dict[str, type[BaseModel]] = {
    "notched": model_strength.NotchedBase,
    "face": model_strength.FaceBase,
    "plate": model_strength.PlateBase,
    "screwed": model_strength.ScrewedBase,
    "dowelled": model_strength.DowelledBase,
    "socket": model_strength.SocketBase,
    "as found": model_strength.FoundBase,
    "usual": model_strength.UsualBase,
}

_SUPPORTS: dict[str, type[BaseModel]] = {
    "string": model_strength.StringSupport,
    "joist": model_strength.JoistSupport,
    "trimmer": model_strength.TrimmerSupport,
    "floor": model_strength.FloorSupport,
    "tread": model_strength.TreadSupport,
    "solid": model_strength.SolidSupport,
}


def _around(place: str) -> Tables:
    """The tables of what stands around a flight or a level."""
    return {
        f"{place}.string": model_flight.StringTable,
        f"{place}.posts[]": model_flight.PostTable,
        f"{place}.posts[].lean_along": model_flight.LeanTable,
        f"{place}.posts[].lean_across": model_flight.LeanTable,
        f"{place}.walls[]": model_flight.WallTable,
        f"{place}.walls[].lean_along": model_flight.LeanTable,
        f"{place}.soffits[]": model_flight.SoffitTable,
        f"{place}.stands_on": model_flight.StandsOnTable,
    }


def _made(place: str) -> Tables:
    """The tables of what is to be made, of a design or of one of its legs."""
    return {
        f"{place}.handrail": model_design.HandrailTable,
        f"{place}.base_rail": model_design.BaseRailTable,
        f"{place}.infill": {
            "uprights": model_infill.UprightsTable,
            "strands": model_infill.StrandsTable,
            "panels": model_infill.PanelsTable,
        },
        f"{place}.infill.profile[]": model_infill.TurningTable,
        f"{place}.infill.pattern": model_infill.PatternTable,
        f"{place}.making": {
            "grooved": model_making.GroovedTable,
            "stacked": model_making.StackedTable,
            "bored": model_making.BoredTable,
            "mortised": model_making.MortisedTable,
            "dowelled": model_making.DowelledTable,
            "bored metal": model_making.BoredMetalTable,
            "on treads": model_making.OnTreadsTable,
            "clamped": model_making.ClampedTable,
            "between posts": model_making.BetweenPostsTable,
        },
        f"{place}.making.head": {
            "grooved": model_heads.GroovedHeadTable,
            "mortised": model_heads.MortisedHeadTable,
            "dowelled": model_heads.DowelledHeadTable,
            "bored": model_heads.BoredHeadTable,
        },
    }


TABLES: Tables = {
    "": model.JobFile,
    "job": model.HeadTable,
    "shop": model_shop.ShopTable,
    "shop.saws[]": model_shop.SawTable,
    "shop.router": model_shop.RouterTable,
    "shop.clamps[]": model_shop.ClampsTable,
    "shop.glue": model_shop.GlueTable,
    "shop.printer": model_shop.PrinterTable,
    "shop.minutes": model_shop.MinutesTable,
    "shop.labels": model_finish.LabelsTable,
    "finish": model_finish.FinishTable,
    "layers": model_layers.LayersTable,
    "strength": model_strength.StrengthTable,
    "strength.materials[]": model_strength.GradedTable,
    "instruments[]": model_readings.InstrumentTable,
    "flights[]": model_flight.FlightTable,
    "flights[].finishes": model_flight.FinishesTable,
    "flights[].rises": model_readings.RisesTable,
    "flights[].goings": model_readings.GoingsTable,
    "flights[].readings[]": _READINGS | _STAIR_READINGS,
    "flights[].cut_string": model_flight.CutStringTable,
    **_around("flights[]"),
    "levels[]": model_edge.LevelTable,
    "levels[].finishes": model_edge.FloorTable,
    "levels[].runs": model_edge.RunsTable,
    "levels[].heights": model_edge.HeightsTable,
    "levels[].readings[]": _READINGS,
    **_around("levels[]"),
    "winders[]": model_winders.WindersTable,
    "winders[].nosings[]": model_winders.WinderNosingTable,
    "edges[]": model_edge.EdgeTable,
    "edges[].turns[]": model_edge.EdgeTurnTable,
    "designs[]": model_design.DesignTable,
    **_made("designs[]"),
    "designs[].bottom": _ENDS,
    "designs[].top": _ENDS,
    "designs[].turns[]": _TURNS,
    "designs[].newels[]": model_ends.NewelBetweenTable,
    "designs[].legs[]": model_design.LegTable,
    **_made("designs[].legs[]"),
    "designs[].legs[].bottom": _ENDS,
    "designs[].legs[].top": _ENDS,
    "designs[].allowances": model_design.AllowancesTable,
    "designs[].season": model_design.SeasonTable,
    "designs[].strength": model_strength.DesignStrengthTable,
    "designs[].strength.rail_ends": model_strength.RailEndsTable,
    "designs[].strength.base_fixings": model_strength.BaseFixingsTable,
    "designs[].strength.rail_joints": model_strength.RailJointsTable,
    "designs[].strength.walls[]": model_strength.WallHoldTable,
    "designs[].strength.posts[]": _BASES,
    "designs[].strength.posts[].support": _SUPPORTS,
    "designs[].strength.posts[].pulls[]": model_strength.PullTable,
    "as_built[]": model_as_built.BuiltRoundTable,
    "as_built[].posts[]": model_as_built.BuiltPostTable,
    "as_built[].posts[].lean_along": model_flight.LeanTable,
    "as_built[].posts[].lean_across": model_flight.LeanTable,
    "as_built[].posts[].readings[]": {kind: table for kind, table in _READINGS.items() if kind != "margin"},
    "as_built[].rails[]": model_as_built.BuiltRailTable,
    "as_built[].rails[].heights[]": model_as_built.RailHeightTable,
    "as_built[].pieces[]": model_as_built.BuiltPieceTable,
    "wall_rails[]": model_wall.WallRailTable,
    "wall_rails[].handrail": model_design.HandrailTable,
    "wall_rails[].walls[]": model_wall.WallFaceTable,
    "wall_rails[].walls[].studs[]": model_wall.StudTable,
    "wall_rails[].walls[].lean": model_flight.LeanTable,
    "wall_rails[].walls[].readings[]": model_wall.WallReadingTable,
    "wall_rails[].turns[]": model_wall.WallTurnTable,
    "wall_rails[].bottom": model_wall.WallEndTable,
    "wall_rails[].top": model_wall.WallEndTable,
    "wall_rails[].brackets": model_wall.BracketsTable,
}
"""Every table of a job file by its place; tables of several kinds by kind."""


def keys_of(table: type[BaseModel]) -> dict[str, bool]:
    """The keys a table may hold, as written in the file, and whether each must be there."""
    return {info.alias or name: info.is_required() for name, info in table.model_fields.items()}
