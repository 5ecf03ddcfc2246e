"""The tables of a design that say what stands at the ends of its rails. Lengths are held in mm."""

from typing import Annotated, Literal

from pydantic import Field

from pitchline.design import brief
from pitchline.job import limits
from pitchline.job.fields import Choice
from pitchline.job.model_table import Table, as_brief


class NewNewelEnd(Table):
    """A newel to be made."""

    kind: Literal["new newel"] = Field(description='"new newel": a newel to be made.')
    at: Annotated[str, limits.ID] = Field(
        description="The surveyed point its centre is set out from, such as N1."
    )
    offset: Annotated[float, limits.STATION_OFFSET] = as_brief(
        brief.Station,
        "offset",
        "How far up the stair from that point its centre stands, a length; below zero: down.",
    )
    along: Annotated[float, limits.POST_SECTION] = Field(description="Its side along the stair, a length.")
    across: Annotated[float, limits.POST_SECTION] = Field(description="Its side across the stair, a length.")
    above_rail: Annotated[float, limits.ABOVE_RAIL] = Field(
        description="How far its top stands above the handrail's top at its centre, plumb, a length."
    )
    foot: Annotated[brief.Foot, Choice(brief.Foot)] = as_brief(
        brief.NewNewel,
        "foot",
        'What it stands on: "floor", "tread" (behind the nosing named in `at`) or "string".',
    )
    lap: Annotated[float, limits.LAP] = as_brief(
        brief.NewNewel, "lap", 'With foot "string": how far it laps down the string, a length.'
    )
    material: Annotated[str, limits.MATERIAL] = as_brief(
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
    foot: Annotated[brief.Foot, Choice(brief.Foot)] = as_brief(
        brief.HalfNewel, "foot", 'What it stands on: "floor" or "string".'
    )
    lap: Annotated[float, limits.LAP] = as_brief(
        brief.HalfNewel, "lap", 'With foot "string": how far it laps down the string, a length.'
    )
    material: Annotated[str, limits.MATERIAL] = as_brief(
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
    offset: Annotated[float, limits.STATION_OFFSET] = as_brief(
        brief.Station,
        "offset",
        "How far up the stair from that point the rails end, a length; below zero: down.",
    )
    overhang: Annotated[float, limits.OVERHANG] = as_brief(
        brief.FreeEnd, "overhang", "How far the rails run on beyond the last upright, level, a length."
    )


EndTable = Annotated[
    NewNewelEnd | ExistingNewelEnd | HalfNewelEnd | WallEnd | FreeEndTable, Field(discriminator="kind")
]


class TurnNewelTable(Table):
    """A newel to be made where two legs meet, its centre where the middle lines of their rails do."""

    kind: Literal["turn newel"] = Field(description='"turn newel": a newel to be made.')
    along: Annotated[float, limits.POST_SECTION] = Field(
        description="Its side along the leg before, a length."
    )
    across: Annotated[float, limits.POST_SECTION] = Field(
        description="Its side across the leg before, a length."
    )
    above_rail: Annotated[float, limits.ABOVE_RAIL] = as_brief(
        brief.TurnNewel,
        "above_rail",
        "How far its top stands above the higher of the two handrails, plumb, a length.",
    )
    foot: Annotated[brief.Foot, Choice(brief.Foot)] = as_brief(
        brief.TurnNewel,
        "foot",
        'What it stands on: "floor" (that of the leg after) or "tread" (behind the nosing where the turn leaves).',
    )
    drop: Annotated[float, limits.DROP_BELOW] = as_brief(
        brief.TurnNewel, "drop", "How far its foot hangs below what it stands on, a length."
    )
    under_rail: Annotated[bool, limits.YES_NO] = as_brief(
        brief.TurnNewel,
        "under_rail",
        "true if the handrails are mitred over it; else they run into it.",
    )
    material: Annotated[str, limits.MATERIAL] = as_brief(
        brief.TurnNewel, "material", "Timber or board, by its name in the catalogue."
    )


class StandingNewelTable(Table):
    """A newel that stands already where two legs meet."""

    kind: Literal["standing newel"] = Field(
        description='"standing newel": a newel that stands already at the turn.'
    )
    post: Annotated[str, limits.ID] = Field(description="Its id among the posts of the leg before.")


class MitredTable(Table):
    """The rails of two legs are mitred together; nothing stands there."""

    kind: Literal["mitred"] = Field(
        description='"mitred": the rails of the two legs are mitred together, with no newel.'
    )


class EasedTable(Table):
    """The handrail bends from one leg into the next in line with it."""

    kind: Literal["eased"] = Field(
        description='"eased": the handrail bends on an arc into a leg that goes on in line.'
    )
    radius: Annotated[float, limits.EASING] = Field(
        description="Radius of the arc at the rail's top edge, a length."
    )


TurnTable = Annotated[
    TurnNewelTable | StandingNewelTable | MitredTable | EasedTable, Field(discriminator="kind")
]


class NewelBetweenTable(Table):
    """A newel to be made between the two ends of a leg; it divides the leg into bays."""

    leg: Annotated[str, limits.ID] | None = Field(
        default=None,
        description="With an edge of several legs: the one it stands in. Left out: the only one.",
    )
    edge: Annotated[str, limits.ID] | None = Field(
        default=None,
        description="With several edges: the one it stands in, where more than one runs over its leg.",
    )
    at: Annotated[str, limits.ID] = Field(
        description="The surveyed point its centre is set out from, such as N7."
    )
    offset: Annotated[float, limits.STATION_OFFSET] = as_brief(
        brief.Station,
        "offset",
        "How far up the stair from that point its centre stands, a length; below zero: down.",
    )
    along: Annotated[float, limits.POST_SECTION] = Field(description="Its side along the stair, a length.")
    across: Annotated[float, limits.POST_SECTION] = Field(description="Its side across the stair, a length.")
    above_rail: Annotated[float, limits.ABOVE_RAIL] = as_brief(
        brief.NewelBetween,
        "above_rail",
        "How far its top stands above the handrail's top at its centre, plumb, a length.",
    )
    foot: Annotated[brief.Foot, Choice(brief.Foot)] | None = Field(
        default=None,
        description='What it stands on: "string", "tread" or, along the edge of a floor, "floor". Left out: the '
        "tread or floor there.",
    )
    lap: Annotated[float, limits.LAP] = as_brief(
        brief.NewelBetween, "lap", 'With foot "string": how far it laps down the string, a length.'
    )
    under_rail: Annotated[bool, limits.YES_NO] = as_brief(
        brief.NewelBetween,
        "under_rail",
        "true if the handrail runs on over it; else the rails are cut between newels.",
    )
    material: Annotated[str, limits.MATERIAL] = as_brief(
        brief.NewelBetween, "material", "Timber or board, by its name in the catalogue."
    )
