"""The tables of a job file that ask for a design. Lengths are held in mm, angles in degrees.

What may be left out takes the value that the brief itself has for it, so that there is one place for defaults.
"""

from dataclasses import MISSING, fields
from enum import StrEnum
from typing import Annotated, Any, Literal

from pydantic import Field

from pitchline.catalogue.moisture import DAMP_SUMMER, HEATED_WINTER
from pitchline.design import brief
from pitchline.job import limits
from pitchline.job.fields import Choice
from pitchline.job.model_flight import Table
from pitchline.stair.model import Side


def _as_brief(of: type, name: str, description: str) -> Any:
    """A field that may be left out, with the default that the brief's own value ``of`` gives it."""
    default = next(field.default for field in fields(of) if field.name == name)
    if default is MISSING:
        raise TypeError(f"{of.__name__}.{name} has no default")
    written = default.value if isinstance(default, StrEnum) else default
    if isinstance(written, float):
        written = f"{written:g} mm"
    return Field(default=default, description=description, json_schema_extra={"default": written})


class HandrailTable(Table):
    """The handrail."""

    width: Annotated[float, limits.RAIL] = Field(description="Width across, a length.")
    depth: Annotated[float, limits.RAIL] = Field(description="Depth square to the rake, a length.")
    height: Annotated[float, limits.RAIL_HEIGHT] | None = Field(
        default=None,
        description="Plumb height of its top above the nosings, a length. Left out: what best keeps the rules.",
    )
    round_over: Annotated[float, limits.ROUND_OVER] = _as_brief(
        brief.RailBrief, "round_over", "Radius of the rounded top edges, a length."
    )
    material: Annotated[str, limits.MATERIAL] = _as_brief(
        brief.RailBrief, "material", "Timber or board, by its name in the catalogue."
    )


class BaseRailTable(Table):
    """The base rail, which takes the feet of the uprights."""

    width: Annotated[float, limits.RAIL] = Field(description="Width across, a length.")
    depth: Annotated[float, limits.RAIL] = Field(description="Depth square to the rake, a length.")
    seat: Annotated[brief.BaseSeat, Choice(brief.BaseSeat)] = _as_brief(
        brief.BaseBrief,
        "seat",
        '"string": lies on the string whatever its pitch; "packed": parallel to the handrail on a tapered packer; '
        '"clear": parallel to the handrail, clear above the nosings.',
    )
    clearance: Annotated[float, limits.BASE_CLEARANCE] = _as_brief(
        brief.BaseBrief, "clearance", 'With seat "clear": plumb gap above the proudest nosing, a length.'
    )
    least_packing: Annotated[float, limits.PACKING] = _as_brief(
        brief.BaseBrief, "least_packing", 'With seat "packed": the packer where it is thinnest, a length.'
    )
    round_over: Annotated[float, limits.ROUND_OVER] = _as_brief(
        brief.BaseBrief, "round_over", "Radius of the rounded top edges, a length."
    )
    material: Annotated[str, limits.MATERIAL] = _as_brief(
        brief.BaseBrief, "material", "Timber or board, by its name in the catalogue."
    )


class NewNewelEnd(Table):
    """A newel to be made."""

    kind: Literal["new newel"] = Field(description='"new newel": a newel to be made.')
    at: Annotated[str, limits.ID] = Field(
        description="The surveyed point its centre is set out from, such as N1."
    )
    offset: Annotated[float, limits.STATION_OFFSET] = _as_brief(
        brief.Station,
        "offset",
        "How far up the stair from that point its centre stands, a length; below zero: down.",
    )
    along: Annotated[float, limits.POST_SECTION] = Field(description="Its side along the stair, a length.")
    across: Annotated[float, limits.POST_SECTION] = Field(description="Its side across the stair, a length.")
    above_rail: Annotated[float, limits.ABOVE_RAIL] = Field(
        description="How far its top stands above the handrail's top at its centre, plumb, a length."
    )
    foot: Annotated[brief.Foot, Choice(brief.Foot)] = _as_brief(
        brief.NewNewel,
        "foot",
        'What it stands on: "floor", "tread" (behind the nosing named in `at`) or "string".',
    )
    lap: Annotated[float, limits.LAP] = _as_brief(
        brief.NewNewel, "lap", 'With foot "string": how far it laps down the string, a length.'
    )
    material: Annotated[str, limits.MATERIAL] = _as_brief(
        brief.NewNewel, "material", "Timber or board, by its name in the catalogue."
    )


class ExistingNewelEnd(Table):
    """A newel that stands already."""

    kind: Literal["existing newel"] = Field(description='"existing newel": a newel that stands already.')
    post: Annotated[str, limits.ID] = Field(description="Its id among the flight's posts.")


class HalfNewelEnd(Table):
    """A half newel planted on a wall."""

    kind: Literal["half newel"] = Field(description='"half newel": a half newel planted on a wall.')
    wall: Annotated[str, limits.ID] = Field(description="The wall's id among the flight's walls.")
    along: Annotated[float, limits.POST_SECTION] = Field(description="Its thickness off the wall, a length.")
    across: Annotated[float, limits.POST_SECTION] = Field(description="Its side across the stair, a length.")
    above_rail: Annotated[float, limits.ABOVE_RAIL] = Field(
        description="How far its top stands above the handrail's top at its centre, plumb, a length."
    )
    foot: Annotated[brief.Foot, Choice(brief.Foot)] = _as_brief(
        brief.HalfNewel, "foot", 'What it stands on: "floor" or "string".'
    )
    lap: Annotated[float, limits.LAP] = _as_brief(
        brief.HalfNewel, "lap", 'With foot "string": how far it laps down the string, a length.'
    )
    material: Annotated[str, limits.MATERIAL] = _as_brief(
        brief.HalfNewel, "material", "Timber or board, by its name in the catalogue."
    )


class WallEnd(Table):
    """The rails die into a wall."""

    kind: Literal["wall"] = Field(description='"wall": the rails die into a wall.')
    wall: Annotated[str, limits.ID] = Field(description="The wall's id among the flight's walls.")


class FreeEndTable(Table):
    """The rails end free."""

    kind: Literal["free end"] = Field(description='"free end": the rails end free, cut plumb.')
    at: Annotated[str, limits.ID] = Field(
        description="The surveyed point the end is set out from, such as N1."
    )
    offset: Annotated[float, limits.STATION_OFFSET] = _as_brief(
        brief.Station,
        "offset",
        "How far up the stair from that point the rails end, a length; below zero: down.",
    )
    overhang: Annotated[float, limits.OVERHANG] = _as_brief(
        brief.FreeEnd, "overhang", "How far the rails run on beyond the last upright, level, a length."
    )


EndTable = Annotated[
    NewNewelEnd | ExistingNewelEnd | HalfNewelEnd | WallEnd | FreeEndTable, Field(discriminator="kind")
]


class TurningTable(Table):
    """One place on a turned upright."""

    above: Annotated[float, limits.TURNING] = Field(description="Distance above `turned_from`, a length.")
    diameter: Annotated[float, limits.DIAMETER] = Field(description="Diameter there, a length.")


class UprightsTable(Table):
    """Upright members."""

    kind: Literal["uprights"] = Field(description='"uprights": plumb or leaning members between the rails.')
    shape: Annotated[brief.Shape, Choice(brief.Shape)] = Field(
        description='"rectangular", "round" or "turned" (square ends, turned between).'
    )
    width: Annotated[float, limits.UPRIGHT] = Field(
        description="Side seen from beside the stair, or the diameter, a length."
    )
    thickness: Annotated[float, limits.UPRIGHT] | None = Field(
        default=None, description="Side across the stair, a length. Left out: as the width."
    )
    lean: Annotated[brief.Leaning, Choice(brief.Leaning)] | None = Field(
        default=None, description='"plumb" or "square to the rake". Left out, with no lean_deg either: plumb.'
    )
    lean_deg: Annotated[float, limits.LEAN_DEG] | None = Field(
        default=None, description="Instead of `lean`: degrees from plumb, + when the top leans up the stair."
    )
    spread: Annotated[brief.Spread, Choice(brief.Spread)] = _as_brief(
        brief.SpacingBrief, "spread", '"equal gaps", "half gaps at the ends" or "fixed module".'
    )
    count: Annotated[int, limits.COUNT] | None = Field(
        default=None, description="How many, if you wish a number. Left out: the fewest that keep the limit."
    )
    max_gap: Annotated[float, limits.GAP] | None = Field(
        default=None, description="A gap not to be passed, if tighter than the rules, a length."
    )
    module: Annotated[float, limits.MODULE] | None = Field(
        default=None, description='With spread "fixed module": centre to centre of neighbours, a length.'
    )
    centred: Annotated[brief.Centred, Choice(brief.Centred)] = _as_brief(
        brief.SpacingBrief,
        "centred",
        'With spread "fixed module": "member" or "gap" on the middle of the bay.',
    )
    profile: list[TurningTable] = Field(
        default=[], description='With shape "turned": the turning from the foot upwards, two places or more.'
    )
    turned_from: Annotated[float, limits.TURNING] = _as_brief(
        brief.UprightsBrief,
        "turned_from",
        'With shape "turned": the square foot below the turning, a length.',
    )
    arris: Annotated[float, limits.ARRIS] = _as_brief(
        brief.UprightsBrief, "arris", "Chamfer taken off the long edges, a length."
    )
    material: Annotated[str, limits.MATERIAL] = _as_brief(
        brief.UprightsBrief, "material", "Timber or board, by its name in the catalogue."
    )


class GroovedTable(Table):
    """Rails ploughed with a groove, fillets between the uprights."""

    kind: Literal["grooved"] = Field(
        description='"grooved": rails with a groove, fillets between the uprights.'
    )
    rail_groove: Annotated[float, limits.GROOVE] = Field(
        description="Depth of the handrail's groove, a length."
    )
    base_groove: Annotated[float, limits.GROOVE] = Field(
        description="Depth of the base rail's groove, a length."
    )
    fillet_thickness: Annotated[float, limits.FILLET] = Field(
        description="Thickness of the fillets, a length."
    )
    clearance: Annotated[float, limits.PLAY] = _as_brief(
        brief.Grooved, "clearance", "Groove width less upright thickness, a length."
    )
    end_play: Annotated[float, limits.PLAY] = _as_brief(
        brief.Grooved, "end_play", "How much shorter each fillet is than its place, a length."
    )
    fillet_material: Annotated[str, limits.MATERIAL] = _as_brief(
        brief.Grooved, "fillet_material", "Timber of the fillets, by its name in the catalogue."
    )


class StackedTable(Table):
    """Rails glued up from layers of board."""

    kind: Literal["stacked"] = Field(description='"stacked": rails glued up from layers, with blocks.')
    layers: Annotated[int, limits.LAYERS] = Field(description="How many layers side by side across the rail.")
    layer_thickness: Annotated[float, limits.LAYER] = Field(
        description="Thickness of one layer as measured, not as sold, a length."
    )
    member_layers: list[Annotated[int, limits.LAYERS]] = Field(
        description="The layers that hold the uprights, counted from 1 at the walking side."
    )
    rail_block: Annotated[float, limits.BLOCK] = Field(
        description="Depth of the blocks in the handrail, square to the rake, a length."
    )
    base_block: Annotated[float, limits.BLOCK] = Field(
        description="Depth of the blocks in the base rail, square to the rake, a length."
    )
    end_play: Annotated[float, limits.PLAY] = _as_brief(
        brief.Stacked, "end_play", "How much shorter each block is than its place, a length."
    )
    material: Annotated[str, limits.MATERIAL] = _as_brief(
        brief.Stacked, "material", "Board of the layers, by its name in the catalogue."
    )


class BoredTable(Table):
    """Holes bored into both rails."""

    kind: Literal["bored"] = Field(description='"bored": holes for round uprights, bored into both rails.')
    rail_depth: Annotated[float, limits.BORE] = Field(
        description="Depth of the hole in the handrail at its shallow side, a length."
    )
    base_depth: Annotated[float, limits.BORE] = Field(
        description="Depth of the hole in the base rail at its shallow side, a length."
    )
    clearance: Annotated[float, limits.PLAY] = _as_brief(
        brief.Bored, "clearance", "Diameter of the hole less that of the upright, a length."
    )


MakingTable = Annotated[GroovedTable | StackedTable | BoredTable, Field(discriminator="kind")]


class AllowancesTable(Table):
    """What the making is given to play with; leave the table out for the usual."""

    build_tolerance: Annotated[float, limits.BUILD_TOLERANCE] = _as_brief(
        brief.Brief, "build_tolerance", "Kept inside every limit on gaps, for what the making adds, a length."
    )
    rail_trim: Annotated[float, limits.TRIM] = _as_brief(
        brief.Brief, "rail_trim", "Left on each rail blank for trimming to fit, a length."
    )
    member_trim: Annotated[float, limits.TRIM] = _as_brief(
        brief.Brief, "member_trim", "Left on each upright's blank for trimming, a length."
    )


class SeasonTable(Table):
    """What the uprights' wood goes through in a year; left out, no gap is kept smaller for it."""

    made_at_percent: Annotated[float, limits.MOISTURE] | None = Field(
        default=None, description="Moisture content of the wood when it is made up, by a meter, in percent."
    )
    made_rh_percent: Annotated[float, limits.HUMIDITY] | None = Field(
        default=None,
        description="Instead of `made_at_percent`: relative humidity of the shop where the wood has settled.",
    )
    made_temperature_c: Annotated[float, limits.TEMPERATURE] = Field(
        default=DAMP_SUMMER.temperature,
        description="With `made_rh_percent`: temperature of the shop, degrees Celsius.",
    )
    dry_rh_percent: Annotated[float, limits.HUMIDITY] = Field(
        default=HEATED_WINTER.humidity,
        description="Relative humidity about the stair at the dry end of the year.",
    )
    dry_temperature_c: Annotated[float, limits.TEMPERATURE] = Field(
        default=HEATED_WINTER.temperature, description="Temperature there at the dry end, degrees Celsius."
    )
    damp_rh_percent: Annotated[float, limits.HUMIDITY] = Field(
        default=DAMP_SUMMER.humidity,
        description="Relative humidity about the stair at the damp end of the year.",
    )
    damp_temperature_c: Annotated[float, limits.TEMPERATURE] = Field(
        default=DAMP_SUMMER.temperature, description="Temperature there at the damp end, degrees Celsius."
    )


class DesignTable(Table):
    """One design; several may stand in a job and are compared."""

    id: Annotated[str, limits.ID] = Field(description='Its name on sheets and in file names, such as "A".')
    title: Annotated[str, limits.TITLE] = Field(description="One line that tells it from the others.")
    flight: Annotated[str, limits.ID] = Field(description="The id of the flight it guards.")
    side: Annotated[Side, Choice(Side)] = Field(
        description='The guarded side as one walks up: "left" or "right".'
    )
    handrail: HandrailTable = Field(description="The handrail.")
    base_rail: BaseRailTable = Field(description="The base rail.")
    bottom: EndTable = Field(description="What stands at the foot of the stair.")
    top: EndTable = Field(description="What stands at the head of the stair.")
    infill: UprightsTable = Field(description="What fills the space between the rails.")
    making: MakingTable = Field(description="How the uprights meet the rails.")
    allowances: AllowancesTable | None = Field(default=None, description="Tolerance and trimming allowances.")
    season: SeasonTable | None = Field(
        default=None, description="Moisture of the wood when it is made, and the air about the stair."
    )
