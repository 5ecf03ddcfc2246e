"""The tables of a job file that tell what was measured while the work goes on.

Lengths are held in mm, angles in degrees.
"""

from typing import Annotated

from pydantic import Field

from pitchline.design.as_built import State
from pitchline.job import limits
from pitchline.job.fields import Choice
from pitchline.job.model_flight import LeanTable
from pitchline.job.model_readings import (
    HeightReading,
    LevelReading,
    PlumbReading,
    RunReading,
    StraightReading,
)
from pitchline.job.model_table import Table

FaceReadingTable = Annotated[
    RunReading | StraightReading | PlumbReading | HeightReading | LevelReading, Field(discriminator="kind")
]
"""The readings that can be taken of a newel's face."""


class BuiltPostTable(Table):
    """A newel as it stands."""

    post: Annotated[str, limits.ID] = Field(description='Its mark on the sheets, such as "P1".')
    leg: Annotated[str, limits.ID] | None = Field(
        default=None,
        description="Of a newel that two legs share: the flight or level from which its face was read. Left out: the "
        "lower of the two.",
    )
    face_height: Annotated[float, limits.FACE_HEIGHT] | None = Field(
        default=None,
        description="How high above the lower floor its face was read, a length. Only an existing newel may leave it "
        "out: it was then read where it was surveyed.",
    )
    readings: list[FaceReadingTable] = Field(
        default=[],
        description='Where its face stands that looks at the leg: readings as of a flight, the face called "face", '
        "other measured newels by their marks.",
    )
    along: Annotated[float, limits.POST_SECTION] | None = Field(
        default=None, description="Its side along the stair, a length. Left out: as planned."
    )
    across: Annotated[float, limits.POST_SECTION] | None = Field(
        default=None, description="Its side across the stair, a length. Left out: as planned."
    )
    lean_along: LeanTable | None = Field(
        default=None,
        description="Its lean along the stair: + when its top is out up the stair. Left out: as planned.",
    )
    lean_across: LeanTable | None = Field(
        default=None,
        description="Its lean across: + when its top is out towards the walking side. Left out: as planned.",
    )
    twist_deg: Annotated[float, limits.TWIST_DEG] | None = Field(
        default=None,
        description="Its twist in degrees: + anticlockwise seen from above. Left out: as planned.",
    )
    top_height: Annotated[float, limits.TOP_HEIGHT] | None = Field(
        default=None,
        description="Height of its top above the lower floor, a length. Left out: it is as long as it was cut.",
    )


class RailHeightTable(Table):
    """How high the top edge of a fitted rail stands above one nosing."""

    at: Annotated[str, limits.ID] = Field(description="The nosing, such as N2.")
    value: Annotated[float, limits.RAIL_ABOVE] = Field(
        description="Plumb height of the rail's top edge above it, a length."
    )
    sigma: Annotated[float, limits.SIGMA] | None = Field(
        default=None, description="Standard uncertainty, a length. Left out: from the instrument."
    )


class BuiltRailTable(Table):
    """A handrail or base rail that is fitted: heights above two nosings, or one and its slope; more is better."""

    rail: Annotated[str, limits.ID] = Field(description='Its mark, such as "H1" or "B1".')
    heights: list[RailHeightTable] = Field(
        default=[], description="How high its top edge stands above nosings, plumb."
    )
    instrument: Annotated[str, limits.ID] = Field(
        default="tape", description="Name of the instrument the heights were read with."
    )
    slope_deg: Annotated[float, limits.RAIL_SLOPE_DEG] | None = Field(
        default=None, description="Its slope from level, in degrees. Left out: not read."
    )
    slope_instrument: Annotated[str, limits.ID] = Field(
        default="gauge", description="Name of the instrument the slope was read with."
    )
    slope_sigma_deg: Annotated[float, limits.SIGMA_DEG] | None = Field(
        default=None,
        description="Standard uncertainty of the slope in degrees. Left out: from the instrument.",
    )


class BuiltPieceTable(Table):
    """Pieces at hand: fitted, or cut and not yet fitted."""

    marks: list[Annotated[str, limits.MARKS]] = Field(
        description='Their marks in the cut list of the plan: "U05", a run "U05 to U12", or the mark of a group.'
    )
    state: Annotated[State, Choice(State)] = Field(description='"fitted" or "cut".')
    edge: Annotated[float, limits.EDGE_MARK] | None = Field(
        default=None,
        description="Of one fitted upright: its lower edge along the rail from the datum of the running marks, a "
        "length. Left out: at its mark.",
    )
    length: Annotated[float, limits.PIECE_LENGTH] | None = Field(
        default=None,
        description="Of one cut piece: longest point to longest point, a length. Left out: as planned.",
    )
    start_mitre_deg: Annotated[float, limits.SAWN_DEG] | None = Field(
        default=None,
        description="Of one cut piece: mitre of its lower end from square, in degrees. Left out: as planned.",
    )
    start_bevel_deg: Annotated[float, limits.SAWN_DEG] | None = Field(
        default=None, description="Bevel of its lower end from square, in degrees. Left out: as planned."
    )
    finish_mitre_deg: Annotated[float, limits.SAWN_DEG] | None = Field(
        default=None, description="Mitre of its upper end from square, in degrees. Left out: as planned."
    )
    finish_bevel_deg: Annotated[float, limits.SAWN_DEG] | None = Field(
        default=None, description="Bevel of its upper end from square, in degrees. Left out: as planned."
    )


class BuiltRoundTable(Table):
    """What was measured of one design after a gate of the work; the latest round's word on a piece holds."""

    design: Annotated[str, limits.ID] = Field(description="Id of the design that is being built.")
    gate: Annotated[str, limits.TITLE] = Field(
        description='After which gate of the work, in words, such as "newels set".'
    )
    date: Annotated[str, limits.DAY] | None = Field(
        default=None, description='The day, written "2025-04-01".'
    )
    posts: list[BuiltPostTable] = Field(default=[], description="Newels, measured where they stand.")
    rails: list[BuiltRailTable] = Field(default=[], description="Rails that are fitted, measured in place.")
    pieces: list[BuiltPieceTable] = Field(default=[], description="Pieces that are fitted or cut.")
