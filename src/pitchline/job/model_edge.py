"""The tables of a job file that join flights into one stair: edges of floors, and the open edges to be guarded.

Lengths are held in mm, angles in degrees.
"""

from enum import StrEnum
from typing import Annotated

from pydantic import Field

from pitchline.job import limits
from pitchline.job.fields import Choice
from pitchline.job.model_flight import PostTable, SoffitTable, StandsOnTable, StringTable, WallTable
from pitchline.job.model_readings import LevelReadingTable
from pitchline.job.model_table import Table
from pitchline.stair.model import Side


class TurnWord(StrEnum):
    """A turn of the usual sort, as one walks up along the edge."""

    LEFT = "left"
    RIGHT = "right"
    STRAIGHT_ON = "straight on"


class RunsTable(Table):
    """The distances along the edge of a floor, read one by one with a tape from point to point."""

    instrument: Annotated[str, limits.ID] = Field(default="tape", description="Name of the instrument used.")
    sigma: Annotated[float, limits.SIGMA] | None = Field(
        default=None, description="Standard uncertainty of each, a length. Left out: from the instrument."
    )
    values: list[Annotated[float | None, limits.EDGE_RUN.or_unread]] = Field(
        description="Run 1 (N1 to N2), run 2 (N2 to N3) and so on: one length fewer than points; "
        '"-" where none was read.'
    )


class HeightsTable(Table):
    """How far the edge of an old floor sags or rises: the heights of its points, read one by one."""

    instrument: Annotated[str, limits.ID] = Field(default="tape", description="Name of the instrument used.")
    sigma: Annotated[float, limits.SIGMA] | None = Field(
        default=None, description="Standard uncertainty of each, a length. Left out: from the instrument."
    )
    values: list[Annotated[float | None, limits.SAG.or_unread]] = Field(
        description="How far N1, N2 and so on lie above the level the edge stands on, below zero where it sags: as "
        'many lengths as points; "-" where none was read, and the point is then taken as level.'
    )


class FloorTable(Table):
    """A covering still to be laid on a landing or floor; leave the table out if none is."""

    floor: Annotated[float, limits.COVERING] = Field(
        default=0.0, description="Thickness still to come on it, a length."
    )


class LevelTable(Table):
    """The straight edge of a landing, a gallery or a floor."""

    id: Annotated[str, limits.ID] = Field(
        description="Its name, to which edges and designs refer; no flight has the same."
    )
    points: Annotated[int, limits.POINTS] = Field(
        description="How many points were marked along it, both ends included: N1, N2 and so on as one walks on."
    )
    width: Annotated[float, limits.WIDTH] | None = Field(
        default=None, description="Walking room beside the edge, a length. Left out: not read."
    )
    headroom: Annotated[float, limits.HEADROOM] | None = Field(
        default=None, description="Least plumb height above it, a length. Left out: not read."
    )
    stands_on: StandsOnTable | None = Field(
        default=None, description="What it is level with. Left out: the lowest floor."
    )
    below: Annotated[float, limits.BELOW] | None = Field(
        default=None,
        description="How far the floor on the open side lies under it, a length. Left out: down to the lowest floor.",
    )
    finishes: FloorTable | None = Field(default=None, description="A covering still to be laid.")
    runs: RunsTable | None = Field(default=None, description="The distances from point to point, one by one.")
    heights: HeightsTable | None = Field(
        default=None, description="The heights of its points, where it is not level."
    )
    readings: list[LevelReadingTable] = Field(default=[], description="Any further readings, in any order.")
    string: StringTable | None = Field(
        default=None, description="A knee wall or upstand along the edge, if there is one."
    )
    posts: list[PostTable] = Field(default=[], description="Newels that stand already.")
    walls: list[WallTable] = Field(default=[], description="Walls that the rails meet.")
    soffits: list[SoffitTable] = Field(default=[], description="What is overhead: a flight, a beam, a slope.")


class EdgeTurnTable(Table):
    """Where the lines of the rails of two legs meet, seen from above."""

    turn: Annotated[TurnWord, Choice(TurnWord)] | None = Field(
        default=None,
        description='"left" or "right": a square turn as one walks up; "straight on": the next leg goes on in line.',
    )
    angle_deg: Annotated[float, limits.PLAN_TURN_DEG] | None = Field(
        default=None, description="Instead of `turn`: change of direction in degrees, + to the left going up."
    )
    leaves: Annotated[str, limits.ID] | None = Field(
        default=None,
        description="A surveyed point of the leg before, such as N7. Left out: its last nosing or point.",
    )
    leaves_offset: Annotated[float, limits.STATION_OFFSET] = Field(
        default=0.0,
        description="How far beyond that point, as one walks up, the middle lines of the rails meet, a length.",
    )
    joins: Annotated[str, limits.ID] = Field(
        default="N1", description="A surveyed point of the leg after, such as N1."
    )
    joins_offset: Annotated[float, limits.STATION_OFFSET] = Field(
        default=0.0,
        description="How far beyond that point the middle lines meet, a length; below zero: before it.",
    )


class EdgeTable(Table):
    """An open edge that runs over several flights and floors, guarded by one balustrade."""

    id: Annotated[str, limits.ID] = Field(description="Its name, to which designs refer.")
    side: Annotated[Side, Choice(Side)] = Field(
        description='The open side as one walks up along it: "left" or "right".'
    )
    legs: list[Annotated[str, limits.ID]] = Field(
        description="Ids of its flights and levels in the order in which one walks up."
    )
    turns: list[EdgeTurnTable] = Field(
        default=[], description="The turns between the legs: one fewer than legs."
    )
