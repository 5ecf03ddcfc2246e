"""The tables of a job file that tell of a flight: what was read at it and what stands around it.

Lengths are held in mm, angles in degrees, exactly as ``fields`` reads them.
"""

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

from pitchline.job import limits


class Table(BaseModel):
    """A table of the job file: no key but those listed, nothing converted silently, nothing changed later."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True, defer_build=True)


class InstrumentTable(Table):
    """An instrument of your own, or a better word on one of the usual ones."""

    id: Annotated[str, limits.ID] = Field(description='The name that readings give it, such as "tape".')
    kind: Annotated[str, limits.INSTRUMENT] = Field(
        description='What it is, such as "tape-ii" for a steel tape of class II.'
    )
    limit: Annotated[float, limits.LIMIT] | None = Field(
        default=None,
        description="Its limit of error, plus or minus, a length. Left out: the usual for its kind.",
    )
    in_use: Annotated[float, limits.LIMIT] | None = Field(
        default=None,
        description="What the hand adds, plus or minus, a length. Left out: the usual for its kind.",
    )
    limit_deg: Annotated[float, limits.LIMIT_DEG] | None = Field(
        default=None, description="For an angle: its limit of error, plus or minus, in degrees."
    )
    in_use_deg: Annotated[float, limits.LIMIT_DEG] | None = Field(
        default=None, description="For an angle: what the hand adds, plus or minus, in degrees."
    )
    reach: Annotated[float, limits.REACH] | None = Field(
        default=None, description="For a level: the distance it is used over, a length. Left out: the usual."
    )


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


class RisesTable(Table):
    """The rises read one by one with a tape, plumb, from surface to surface."""

    instrument: Annotated[str, limits.ID] = Field(default="tape", description="Name of the instrument used.")
    sigma: Annotated[float, limits.SIGMA] | None = Field(
        default=None, description="Standard uncertainty of each, a length. Left out: from the instrument."
    )
    values: list[Annotated[float | None, limits.RISE.or_unread]] = Field(
        description="Rise 1 (lower floor to N1), rise 2 (N1 to N2) and so on: as many lengths as risers; "
        '"-" where none was read.'
    )


class GoingsTable(Table):
    """The goings read one by one with a tape, level, from nosing to nosing."""

    instrument: Annotated[str, limits.ID] = Field(default="tape", description="Name of the instrument used.")
    sigma: Annotated[float, limits.SIGMA] | None = Field(
        default=None, description="Standard uncertainty of each, a length. Left out: from the instrument."
    )
    values: list[Annotated[float | None, limits.GOING.or_unread]] = Field(
        description="Going 1 (N1 to N2), going 2 (N2 to N3) and so on: one length fewer than risers; "
        '"-" where none was read.'
    )


class _Reading(Table):
    """What all single readings share."""

    id: Annotated[str, limits.READING_ID] | None = Field(
        default=None, description="A name for reports. Left out: made from the kind and the points."
    )
    instrument: Annotated[str, limits.ID] | None = Field(
        default=None, description="Name of the instrument used. Left out: the usual one for the kind."
    )


class _LengthReading(_Reading):
    sigma: Annotated[float, limits.SIGMA] | None = Field(
        default=None, description="Standard uncertainty, a length. Left out: from the instrument."
    )


class HeightReading(_LengthReading):
    """A plumb height between two points."""

    kind: Literal["height"] = Field(description='"height": how far `to` lies above `from`, plumb.')
    start: Annotated[str, limits.ID] = Field(
        alias="from", description="The lower point: floor, N1, N2 or a name."
    )
    end: Annotated[str, limits.ID] = Field(alias="to", description="The upper point.")
    value: Annotated[float, limits.SPAN] = Field(
        description="The height, a length; below zero if `to` is lower."
    )


class RunReading(_LengthReading):
    """A level distance between two points."""

    kind: Literal["run"] = Field(description='"run": how far `to` lies up the stair from `from`, level.')
    start: Annotated[str, limits.ID] = Field(
        alias="from", description="The point nearer the foot of the stair."
    )
    end: Annotated[str, limits.ID] = Field(alias="to", description="The point further up the stair.")
    value: Annotated[float, limits.SPAN] = Field(
        description="The run, a length; below zero if `to` is further down."
    )


class StraightReading(_LengthReading):
    """A straight distance, the tape held from point to point."""

    kind: Literal["straight"] = Field(description='"straight": the tape stretched from point to point.')
    start: Annotated[str, limits.ID] = Field(alias="from", description="One point, such as N2.")
    end: Annotated[str, limits.ID] = Field(alias="to", description="The other point, such as N7.")
    value: Annotated[float, limits.STRAIGHT] = Field(description="The distance, a length.")


class PitchReading(_Reading):
    """The pitch of a straightedge laid on two nosings."""

    kind: Literal["pitch"] = Field(
        description='"pitch": a gauge on a straightedge laid from `from` up to `to`.'
    )
    start: Annotated[str, limits.ID] = Field(
        alias="from", description="The lower nosing the straightedge touches."
    )
    end: Annotated[str, limits.ID] = Field(alias="to", description="The upper nosing it touches.")
    value_deg: Annotated[float, limits.PITCH_DEG] = Field(description="Angle above the level, in degrees.")
    sigma_deg: Annotated[float, limits.SIGMA_DEG] | None = Field(
        default=None, description="Standard uncertainty in degrees. Left out: from the instrument."
    )


class LevelReading(_LengthReading):
    """A point measured down from a level line."""

    kind: Literal["level"] = Field(description='"level": how far a point lies below a level line.')
    setup: Annotated[str, limits.ID] = Field(description='The set-up of the level, such as "laser 1".')
    end: Annotated[str, limits.ID] = Field(alias="to", description="The point: floor, N1, N2 or a name.")
    value: Annotated[float, limits.DROP] = Field(
        description="Distance down from the line, a length; below zero: up."
    )


class PlumbReading(_LengthReading):
    """A point measured from a plumb line."""

    kind: Literal["plumb"] = Field(
        description='"plumb": how far a point lies up the stair from a plumb line.'
    )
    setup: Annotated[str, limits.ID] = Field(description='The plumb line, such as "plumb 1".')
    end: Annotated[str, limits.ID] = Field(alias="to", description="The point: N1, N2 or a name.")
    value: Annotated[float, limits.DROP] = Field(
        description="Level distance from the line, a length; below zero down the stair from it."
    )


class MarginReading(_LengthReading):
    """How far a closed string stands above a nosing."""

    kind: Literal["margin"] = Field(description='"margin": how far the string stands above a nosing, plumb.')
    string: Annotated[str, limits.ID] = Field(description="The id of the flight's string.")
    end: Annotated[str, limits.ID] = Field(alias="at", description="The nosing, such as N2.")
    value: Annotated[float, limits.MARGIN] = Field(
        description="The margin, a length; below zero if it is lower."
    )


class RiseReading(_LengthReading):
    """A rise read once more."""

    kind: Literal["rise"] = Field(description='"rise": one rise, read again.')
    number: Annotated[int, limits.STEP] = Field(description="Which rise: 1 is from the lower floor to N1.")
    value: Annotated[float, limits.RISE] = Field(description="The rise, a length.")


class GoingReading(_LengthReading):
    """A going read once more."""

    kind: Literal["going"] = Field(description='"going": one going, read again.')
    number: Annotated[int, limits.STEP] = Field(description="Which going: 1 is from N1 to N2.")
    value: Annotated[float, limits.GOING] = Field(description="The going, a length.")


ReadingTable = Annotated[
    HeightReading
    | RunReading
    | StraightReading
    | PitchReading
    | LevelReading
    | PlumbReading
    | MarginReading
    | RiseReading
    | GoingReading,
    Field(discriminator="kind"),
]


class StringTable(Table):
    """The closed string on the guarded side."""

    id: Annotated[str, limits.ID] = Field(
        default="string", description="The name that margin readings give it."
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
    string: StringTable | None = Field(default=None, description="The closed string, if there is one.")
    posts: list[PostTable] = Field(default=[], description="Newels that stand already.")
    walls: list[WallTable] = Field(default=[], description="Walls that the rails meet.")
