"""The tables of a job file that tell of a flight: what was read at it and what stands around it.

Lengths are held in mm, angles in degrees, exactly as ``fields`` reads them.
"""

from typing import Annotated

from pydantic import Field

from pitchline.job import limits
from pitchline.job.fields import Choice
from pitchline.job.model_readings import GoingsTable, ReadingTable, RisesTable
from pitchline.job.model_table import Table, as_brief
from pitchline.stair.model import CutString, Seat, Side


class FinishesTable(Table):
    """Coverings still to be laid after the stair was read; leave the table out if none are."""

    lower_floor: Annotated[float, limits.COVERING] = Field(
        default=0.0, description="Thickness still to come on the lower floor, a length."
    )
    treads: Annotated[float, limits.COVERING] = Field(
        default=0.0, description="Thickness still to come on every tread, a length."
    )
    upper_floor: Annotated[float, limits.COVERING] = Field(
        default=0.0, description="Thickness still to come on the upper floor, a length."
    )
    wraps_nosings: Annotated[bool, limits.YES_NO] = Field(
        default=False,
        description="true if the covering of the treads goes round their nosings, as carpet does.",
    )


class StandsOnTable(Table):
    """What the lower floor of a flight is, or what the edge of a floor is level with."""

    flight: Annotated[str, limits.ID] = Field(description="Id of the flight or level it stands on.")
    nosing: Annotated[int, limits.STEP] | None = Field(
        default=None, description="Number of the nosing it is level with. Left out: the top one."
    )


class StringTable(Table):
    """The closed string on the guarded side, or the knee wall that stands there instead."""

    id: Annotated[str, limits.ID] = Field(
        default="string", description="The name that margin readings give it."
    )
    kind: Annotated[Seat, Choice(Seat)] = Field(
        default=Seat.STRING,
        description='"closed string" or "knee wall".',
        json_schema_extra={"default": Seat.STRING.value},
    )
    side: Annotated[Side, Choice(Side)] | None = Field(
        default=None,
        description='On which side it is as one walks up: "left" or "right". Left out: on the side that is guarded. '
        "Two strings of unlike kinds each say theirs.",
    )
    thickness: Annotated[float, limits.STRING_THICKNESS] = Field(description="Thickness across, a length.")
    depth: Annotated[float, limits.STRING_DEPTH] = Field(
        description="Depth square to its top edge, a length."
    )
    margins: list[Annotated[float | None, limits.MARGIN.or_unread]] = Field(
        default=[],
        description="How far it stands above N1, N2 and so on, plumb: as many lengths as risers; "
        '"-" where none was read, below zero where it is lower. Two or more are needed, here or among the readings.',
    )
    instrument: Annotated[str, limits.ID] = Field(
        default="tape", description="Name of the instrument the margins were read with."
    )
    sigma: Annotated[float, limits.SIGMA] | None = Field(
        default=None,
        description="Standard uncertainty of each margin, a length. Left out: from the instrument.",
    )


class CutStringTable(Table):
    """A string cut to the steps on the guarded side: the treads lie on it and are seen from beside the stair."""

    id: Annotated[str, limits.ID] = Field(default="cut string", description="A name for reports.")
    side: Annotated[Side, Choice(Side)] | None = Field(
        default=None,
        description='On which side it is as one walks up: "left" or "right". Left out: on the side that is guarded. '
        "Two strings of unlike kinds each say theirs.",
    )
    thickness: Annotated[float, limits.STRING_THICKNESS] = Field(description="Thickness across, a length.")
    depth: Annotated[float, limits.STRING_DEPTH] = Field(
        description="Depth left square to the rake below its notches, a length."
    )
    return_nosing: Annotated[float, limits.NOSING] = as_brief(
        CutString,
        "return_nosing",
        "How far the returned nosings of the treads stand out beyond its outer face, a length.",
    )


class SoffitTable(Table):
    """Something overhead, such as a flight above: the straight line of its underside, in the plane of the rail."""

    id: Annotated[str, limits.ID] = Field(description="A name for reports.")
    start: Annotated[str, limits.ID] = Field(
        alias="from", description="A point of the underside; readings give its place and its height."
    )
    end: Annotated[str, limits.ID] = Field(
        alias="to", description="Another point of it, further up the stair."
    )


class LeanTable(Table):
    """How far out of plumb something is: so much over so much."""

    offset: Annotated[float, limits.LEAN_OFFSET] = Field(
        description="How far its top is out, a length; the sign tells the side."
    )
    over: Annotated[float, limits.LEAN_OVER] = Field(description="The height this was read over, a length.")


class PostTable(Table):
    """A newel that stands already."""

    id: Annotated[str, limits.ID] = Field(description="Its name, to which a design's end refers.")
    station: Annotated[str, limits.ID] = Field(
        description="The point, named in readings, where its face that looks at the flight was measured."
    )
    face_height: Annotated[float, limits.FACE_HEIGHT] = Field(
        description="How high above the lower floor that point was taken, a length."
    )
    along: Annotated[float, limits.POST_SECTION] = Field(description="Its side along the stair, a length.")
    across: Annotated[float, limits.POST_SECTION] = Field(description="Its side across the stair, a length.")
    lean_along: LeanTable | None = Field(
        default=None,
        description="Its lean along the stair: + when its top is out up the stair. Left out: plumb.",
    )
    lean_across: LeanTable | None = Field(
        default=None,
        description="Its lean across: + when its top is out towards the walking side. Left out: plumb.",
    )
    twist_deg: Annotated[float, limits.TWIST_DEG] = Field(
        default=0.0, description="Its twist in degrees: + anticlockwise seen from above."
    )
    top_height: Annotated[float, limits.TOP_HEIGHT] | None = Field(
        default=None, description="Height of its top above the lower floor, a length. Left out: not read."
    )


class WallTable(Table):
    """A wall that the rails or a half newel meet."""

    id: Annotated[str, limits.ID] = Field(description="Its name, to which a design's end refers.")
    station: Annotated[str, limits.ID] = Field(
        description="The point, named in readings, where its face was measured."
    )
    face_height: Annotated[float, limits.FACE_HEIGHT] = Field(
        description="How high above the lower floor that point was taken, a length."
    )
    lean_along: LeanTable | None = Field(
        default=None,
        description="Its lean along the stair: + when its top is out up the stair. Left out: plumb.",
    )
    skew_deg: Annotated[float, limits.SKEW_DEG] = Field(
        default=0.0, description="How far it is turned from square to the stair, in degrees: + anticlockwise."
    )


class FlightTable(Table):
    """One straight flight."""

    id: Annotated[str, limits.ID] = Field(description="Its name, to which designs refer.")
    risers: Annotated[int, limits.RISERS] = Field(
        description="How many rises, the last one onto the upper floor."
    )
    width: Annotated[float, limits.WIDTH] | None = Field(
        default=None, description="Clear width of the flight, a length. Left out: not read."
    )
    nosing_overhang: Annotated[float, limits.NOSING] = Field(
        default=0.0, description="How far each nosing stands out beyond the riser below it, a length."
    )
    headroom: Annotated[float, limits.HEADROOM] | None = Field(
        default=None, description="Least plumb height above the nosings, a length. Left out: not read."
    )
    finishes: FinishesTable | None = Field(default=None, description="Coverings still to be laid.")
    rises: RisesTable | None = Field(default=None, description="The rises, one by one.")
    goings: GoingsTable | None = Field(default=None, description="The goings, one by one.")
    readings: list[ReadingTable] = Field(default=[], description="Any further readings, in any order.")
    stands_on: StandsOnTable | None = Field(
        default=None, description="What its lower floor is, if another flight or a level of the job."
    )
    below: Annotated[float, limits.BELOW] | None = Field(
        default=None,
        description="How far the floor on the open side lies under its own lower floor, a length. Left out: down to "
        "the lowest floor.",
    )
    string: StringTable | None = Field(
        default=None, description="The closed string or knee wall, if there is one."
    )
    cut_string: CutStringTable | None = Field(default=None, description="The cut string, if there is one.")
    posts: list[PostTable] = Field(default=[], description="Newels that stand already.")
    walls: list[WallTable] = Field(default=[], description="Walls that the rails meet.")
    soffits: list[SoffitTable] = Field(default=[], description="What is overhead: a flight, a beam, a slope.")
