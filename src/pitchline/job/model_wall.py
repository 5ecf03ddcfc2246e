"""The tables of a job file that ask for a handrail on brackets along a wall. Lengths in mm, angles in degrees."""

from typing import Annotated

from pydantic import Field

from pitchline.design import wall_brief
from pitchline.job import limits
from pitchline.job.fields import Choice
from pitchline.job.model_design import HandrailTable
from pitchline.job.model_edge import TurnWord
from pitchline.job.model_flight import LeanTable
from pitchline.job.model_table import Table, as_brief
from pitchline.stair.model import Side


class StudTable(Table):
    """A stud behind the wall's lining."""

    at: Annotated[str, limits.ID] = Field(description="The surveyed point it is measured from, such as N3.")
    offset: Annotated[float, limits.STATION_OFFSET] = Field(
        default=0.0, description="How far up the stair from that point its centre is, level, a length."
    )
    half_width: Annotated[float, limits.STUD] = as_brief(
        wall_brief.Stud, "half_width", "Half its width along the wall, a length."
    )


class WallReadingTable(Table):
    """How far the wall's face is out at a place."""

    at: Annotated[str, limits.ID] = Field(description="The surveyed point it is measured from, such as N3.")
    offset: Annotated[float, limits.STATION_OFFSET] = Field(
        default=0.0, description="How far up the stair from that point it was read, a length."
    )
    proud: Annotated[float, limits.PROUD] = Field(
        description="How far the face stands proud of a straight line along it, a length; below zero: hollow."
    )


class WallFaceTable(Table):
    """The wall beside one leg."""

    leg: Annotated[str, limits.ID] = Field(
        description="Id of the flight or level it stands beside, or of the winders for a wall across their back."
    )
    backing: Annotated[wall_brief.Backing, Choice(wall_brief.Backing)] = Field(
        description='What the screws go into: "studs", "masonry" or "backing board".'
    )
    studs: list[StudTable] = Field(default=[], description='With backing "studs": those that were found.')
    lining: Annotated[float, limits.LINING] = as_brief(
        wall_brief.WallFace, "lining", "Thickness of plaster or board in front of studs, a length."
    )
    rough: Annotated[bool, limits.YES_NO] = as_brief(
        wall_brief.WallFace, "rough", "true where its face is rough, such as brick or render."
    )
    lean: LeanTable | None = Field(
        default=None,
        description="Its lean across: + when its top is out towards the stair. Left out: plumb.",
    )
    readings: list[WallReadingTable] = Field(
        default=[], description="Where its face is proud or hollow, if it is."
    )
    outside: Annotated[float, limits.OUTSIDE] = as_brief(
        wall_brief.WallFace, "outside", "How far it stands outside the width that was measured, a length."
    )


class WallTurnTable(Table):
    """A corner of the wall between two legs."""

    way: Annotated[wall_brief.CornerWay, Choice(wall_brief.CornerWay)] = as_brief(
        wall_brief.WallTurn,
        "way",
        '"mitred" (one cut), "levelled" (a level piece on either side, mitred flat) or "broken" (each rail ends by '
        "itself).",
    )
    level: Annotated[float, limits.LEVEL_PIECE] = as_brief(
        wall_brief.WallTurn, "level", 'With way "levelled": length of each level piece, a length.'
    )
    winders: Annotated[str, limits.ID] | None = Field(
        default=None,
        description="Id of the winders in whose corner it is; it says how the wall turns and where.",
    )
    turn: Annotated[TurnWord, Choice(TurnWord)] | None = Field(
        default=None, description='Without winders: "left", "right" or "straight on" as one walks up.'
    )
    angle_deg: Annotated[float, limits.PLAN_TURN_DEG] | None = Field(
        default=None, description="Instead of `turn`: change of direction in degrees, + to the left going up."
    )
    leaves: Annotated[str, limits.ID] | None = Field(
        default=None, description="A surveyed point of the leg before. Left out: its last nosing or point."
    )
    leaves_offset: Annotated[float, limits.STATION_OFFSET] = Field(
        default=0.0, description="How far beyond that point, as one walks up, the two faces meet, a length."
    )
    joins: Annotated[str, limits.ID] | None = Field(
        default=None, description="A surveyed point of the leg after. Left out: N1."
    )
    joins_offset: Annotated[float, limits.STATION_OFFSET] = Field(
        default=0.0,
        description="How far beyond that point the two faces meet, a length; below zero: before it.",
    )


class WallEndTable(Table):
    """An end of a rail on a wall."""

    way: Annotated[wall_brief.EndWay, Choice(wall_brief.EndWay)] = as_brief(
        wall_brief.WallEnd, "way", '"returned to the wall" or "plain".'
    )
    past: Annotated[float, limits.PAST] | None = Field(
        default=None,
        description="How far, level, it runs on beyond the outermost riser, a length; below zero: short of it. Left "
        "out: as far as the rules ask.",
    )
    level: Annotated[float, limits.LEVEL_PIECE] | None = Field(
        default=None, description="How much of that is turned level, a length. Left out: as the rules ask."
    )


class BracketsTable(Table):
    """The brackets; leave the table out for the usual."""

    apart: Annotated[float, limits.BRACKETS_APART] | None = Field(
        default=None,
        description="Greatest level distance between two, a length. Left out: the rules, else the trade's practice.",
    )
    first: Annotated[float, limits.BRACKETS_APART] | None = Field(
        default=None, description="Greatest distance of the first from an end, a length. Left out: likewise."
    )
    rose: Annotated[float, limits.ROSE] = as_brief(
        wall_brief.BracketBrief, "rose", "Width of its plate on the wall, a length."
    )
    rose_height: Annotated[float, limits.ROSE] = as_brief(
        wall_brief.BracketBrief, "rose_height", "Height of its plate on the wall, a length."
    )
    drop: Annotated[float, limits.ROSE] = as_brief(
        wall_brief.BracketBrief, "drop", "How far the middle of the plate lies under the rail, a length."
    )
    screws: Annotated[int, limits.SCREWS] = as_brief(
        wall_brief.BracketBrief, "screws", "How many screws hold each."
    )
    screw_length: Annotated[float, limits.SCREW] = as_brief(
        wall_brief.BracketBrief, "screw_length", "Length of the screws, a length."
    )
    edge: Annotated[float, limits.COVER] = as_brief(
        wall_brief.BracketBrief, "edge", "Least distance of a screw from a stud's edge, a length."
    )
    what: Annotated[str, limits.TITLE] = as_brief(wall_brief.BracketBrief, "what", "What to order them as.")


class WallRailTable(Table):
    """A handrail on brackets along a wall."""

    id: Annotated[str, limits.ID] = Field(description='Its name on sheets and in file names, such as "W".')
    title: Annotated[str, limits.TITLE] = Field(description="One line that tells it from the others.")
    side: Annotated[Side, Choice(Side)] = Field(
        description='The side on which the wall stands as one walks up: "left" or "right".'
    )
    handrail: HandrailTable = Field(description="The rail; of a round one the width is its diameter.")
    is_round: Annotated[bool, limits.YES_NO] = as_brief(
        wall_brief.WallRailBrief, "is_round", "true for a round rail."
    )
    clear: Annotated[float, limits.HAND_ROOM] | None = Field(
        default=None,
        description="Space between rail and wall, a length. Left out: what the rules ask and a little more.",
    )
    walls: list[WallFaceTable] = Field(
        description="The wall beside each leg, in the order in which one walks up."
    )
    turns: list[WallTurnTable] = Field(
        default=[], description="The corners between those walls: one fewer than walls."
    )
    bottom: WallEndTable | None = Field(default=None, description="Its lower end. Left out: as usual.")
    top: WallEndTable | None = Field(default=None, description="Its upper end. Left out: as usual.")
    brackets: BracketsTable | None = Field(default=None, description="The brackets. Left out: as usual.")
    rail_trim: Annotated[float, limits.TRIM] = as_brief(
        wall_brief.WallRailBrief, "rail_trim", "Left on each rail blank for trimming to fit, a length."
    )
