"""The tables of a job file that tell what was read, and with what. Lengths in mm, angles in degrees."""

from typing import Annotated, Literal

from pydantic import Field

from pitchline.job import limits
from pitchline.job.model_table import Table


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

LevelReadingTable = Annotated[
    HeightReading | RunReading | StraightReading | LevelReading | PlumbReading | MarginReading,
    Field(discriminator="kind"),
]
"""The readings that can be taken along the edge of a floor."""
