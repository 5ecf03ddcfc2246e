"""The tables of a job file that ask for a design. Lengths are held in mm, angles in degrees.

What may be left out takes the value that the brief itself has for it, so that there is one place for defaults.
"""

from typing import Annotated, Literal

from pydantic import Field

from pitchline.catalogue.moisture import DAMP_SUMMER, HEATED_WINTER
from pitchline.design import brief
from pitchline.job import limits
from pitchline.job.fields import Choice
from pitchline.job.model_ends import EndTable, NewelBetweenTable, TurnTable
from pitchline.job.model_infill import InfillTable
from pitchline.job.model_making import MakingTable
from pitchline.job.model_strength import DesignStrengthTable
from pitchline.job.model_table import OrNone, Table, as_brief
from pitchline.stair.model import Side


class HandrailTable(Table):
    """The handrail."""

    width: Annotated[float, limits.RAIL] = Field(description="Width across, a length.")
    depth: Annotated[float, limits.RAIL] = Field(description="Depth square to the rake, a length.")
    height: Annotated[float, limits.RAIL_HEIGHT] | None = Field(
        default=None,
        description="Plumb height of its top above the nosings, a length. Left out: what best keeps the rules.",
    )
    round_over: Annotated[float, limits.ROUND_OVER] = as_brief(
        brief.RailBrief, "round_over", "Radius of the rounded top edges, a length."
    )
    material: Annotated[str, limits.MATERIAL] = as_brief(
        brief.RailBrief, "material", "Timber or board, by its name in the catalogue."
    )


class BaseRailTable(Table):
    """The base rail, which takes the feet of the uprights."""

    width: Annotated[float, limits.RAIL] = Field(description="Width across, a length.")
    depth: Annotated[float, limits.RAIL] = Field(description="Depth square to the rake, a length.")
    seat: Annotated[brief.BaseSeat, Choice(brief.BaseSeat)] = as_brief(
        brief.BaseBrief,
        "seat",
        '"string": lies on the string whatever its pitch; "packed": parallel to the handrail on a tapered packer; '
        '"clear": parallel to the handrail, clear above the nosings.',
    )
    clearance: Annotated[float, limits.BASE_CLEARANCE] = as_brief(
        brief.BaseBrief, "clearance", 'With seat "clear": plumb gap above the proudest nosing, a length.'
    )
    least_packing: Annotated[float, limits.PACKING] = as_brief(
        brief.BaseBrief, "least_packing", 'With seat "packed": the packer where it is thinnest, a length.'
    )
    round_over: Annotated[float, limits.ROUND_OVER] = as_brief(
        brief.BaseBrief, "round_over", "Radius of the rounded top edges, a length."
    )
    material: Annotated[str, limits.MATERIAL] = as_brief(
        brief.BaseBrief, "material", "Timber or board, by its name in the catalogue."
    )


BaseRailKind = Annotated[BaseRailTable | Literal["none"], OrNone()]


class AllowancesTable(Table):
    """What the making is given to play with; leave the table out for the usual."""

    build_tolerance: Annotated[float, limits.BUILD_TOLERANCE] = as_brief(
        brief.Brief, "build_tolerance", "Kept inside every limit on gaps, for what the making adds, a length."
    )
    rail_trim: Annotated[float, limits.TRIM] = as_brief(
        brief.Brief, "rail_trim", "Left on each rail blank for trimming to fit, a length."
    )
    member_trim: Annotated[float, limits.TRIM] = as_brief(
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


class LegTable(Table):
    """What is different along one leg of an edge; whatever is left out is as the design has it."""

    leg: Annotated[str, limits.ID] = Field(description="Id of the flight or level.")
    edge: Annotated[str, limits.ID] | None = Field(
        default=None,
        description="With several edges: the one along which it is meant. Left out: all of them.",
    )
    handrail: HandrailTable | None = Field(default=None, description="The handrail of this leg.")
    base_rail: BaseRailKind | None = Field(default=None, description='The base rail of this leg, or "none".')
    infill: InfillTable | None = Field(default=None, description="What fills the bay of this leg.")
    making: MakingTable | None = Field(default=None, description="How its members meet its rails.")
    bottom: EndTable | None = Field(
        default=None, description="With the first leg of an edge: what stands at its foot."
    )
    top: EndTable | None = Field(
        default=None, description="With the last leg of an edge: what stands at its head."
    )
    run_on: Annotated[bool, limits.YES_NO] = as_brief(
        brief.Brief,
        "run_on",
        'With spread "fixed module": true if the module goes on from the leg before, through the turn.',
    )


class DesignTable(Table):
    """One design; several may stand in a job and are compared."""

    id: Annotated[str, limits.ID] = Field(description='Its name on sheets and in file names, such as "A".')
    title: Annotated[str, limits.TITLE] = Field(description="One line that tells it from the others.")
    flight: Annotated[str, limits.ID] | None = Field(
        default=None, description="The id of the one flight or level it guards."
    )
    side: Annotated[Side, Choice(Side)] | None = Field(
        default=None,
        description='The guarded side as one walks up: "left" or "right". With `edge`, left out.',
    )
    edge: Annotated[str, limits.ID] | None = Field(
        default=None, description="Instead of `flight` and `side`: the id of the edge it guards."
    )
    edges: list[Annotated[str, limits.ID]] | None = Field(
        default=None,
        description="Instead of `edge`: ids of several edges guarded together, such as two sides of a flight: one "
        "numbering, one list of parts. Turns are told edge by edge; bottom and top hold for each edge.",
    )
    handrail: HandrailTable = Field(description="The handrail.")
    base_rail: BaseRailKind | None = Field(
        default=None, description='The base rail; "none" where the infill does without.'
    )
    bottom: EndTable = Field(description="What stands at the foot of the stair.")
    top: EndTable = Field(description="What stands at the head of the stair.")
    turns: list[TurnTable] = Field(
        default=[], description="With `edge`: what is built at each of its turns, in the edge's order."
    )
    newels: list[NewelBetweenTable] = Field(
        default=[], description="Newels between the two ends of a leg, in the order in which one walks up."
    )
    legs: list[LegTable] = Field(
        default=[], description="With `edge`: what is different along some of its legs."
    )
    infill: InfillTable = Field(description="What fills the space between the rails.")
    making: MakingTable | None = Field(
        default=None, description="How the members meet the rails. Only strands may leave it out."
    )
    allowances: AllowancesTable | None = Field(default=None, description="Tolerance and trimming allowances.")
    season: SeasonTable | None = Field(
        default=None, description="Moisture of the wood when it is made, and the air about the stair."
    )
    strength: DesignStrengthTable | None = Field(
        default=None, description="How its posts stand and its rails are fixed, for the strength."
    )
