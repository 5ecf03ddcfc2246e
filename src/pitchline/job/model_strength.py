"""The tables of a job file that tell what strength is judged by and with. Lengths are held in mm, forces in N.

The code, the service class and the wood that was bought are the job's own; how posts stand and rails are fixed is
each design's, for the posts differ from one to the other.
"""

from enum import StrEnum
from typing import Annotated, Literal

from pydantic import Field

from pitchline.job import limits
from pitchline.job.fields import Choice
from pitchline.job.model_table import Table, as_brief
from pitchline.strength import settings
from pitchline.strength.bases import joints, pull
from pitchline.strength.nds.members import LoadDuration
from pitchline.strength.settings import Code


class Way(StrEnum):
    """Which way a post was pulled at."""

    ACROSS = "across"
    ALONG = "along"


class GradedTable(Table):
    """What was bought of one material: its strength class (EN 338) or its grade (NDS)."""

    material: Annotated[str, limits.MATERIAL] = Field(
        description="Timber or board, by its name in the catalogue."
    )
    strength_class: Annotated[str, limits.STRENGTH_CLASS] | None = Field(
        default=None, description="Strength class of EN 338 on its stamp or delivery note."
    )
    grade: Annotated[str, limits.LUMBER_GRADE] | None = Field(
        default=None, description="Lumber grade on its stamp, by its name in the catalogue."
    )


class StrengthTable(Table):
    """What the strength of all designs is judged by; leave the table out for the usual, which the sheets name."""

    code: Annotated[Code, Choice(Code)] | None = Field(
        default=None,
        description="Edition of the design code. Left out: NDS 2018 in the USA, elsewhere EN 1995-1-1:2004.",
    )
    service_class: Annotated[Literal[1, 2, 3], limits.SERVICE_CLASS] = as_brief(
        settings.StrengthSettings,
        "service",
        "Service class of EN 1995-1-1: 1 heated rooms, 2 under a roof, 3 in the weather.",
    )
    load_duration: Annotated[LoadDuration, Choice(LoadDuration)] = as_brief(
        settings.StrengthSettings, "duration", "With the NDS: how long a push on a guard counts as acting."
    )
    doubtful_fixings: Annotated[bool, limits.YES_NO] = as_brief(
        settings.StrengthSettings,
        "doubtful_fixings",
        "true if the strength of fixings is in doubt: the further factor for such fixings is then used.",
    )
    materials: list[GradedTable] = Field(
        default=[], description="Classes and grades of what was bought; anything else is taken as ungraded."
    )


class StringSupport(Table):
    """A string, held against twisting by its treads."""

    kind: Literal["string"] = Field(description='"string": a string.')
    thickness: Annotated[float, limits.STRING_THICKNESS] = Field(description="Its thickness, a length.")
    depth: Annotated[float, limits.STRING_DEPTH] = Field(
        description="Its depth square to the rake, a length."
    )
    material: Annotated[str, limits.MATERIAL] = Field(
        default="pine-european", description="Timber or board, by its name in the catalogue."
    )


class JoistSupport(Table):
    """A joist or rim that twists between what holds it."""

    kind: Literal["joist"] = Field(description='"joist": a joist or rim along the balustrade.')
    width: Annotated[float, limits.JOIST] = Field(description="Its width, a length.")
    depth: Annotated[float, limits.JOIST] = Field(description="Its depth, a length.")
    free: Annotated[float, limits.FREE_LENGTH] = Field(
        description="Length over which it can twist freely, such as between its bearings, a length."
    )
    blocked: Annotated[float, limits.FREE_LENGTH] | None = Field(
        default=None, description="Where blocking holds it: distance between blocks, a length."
    )
    material: Annotated[str, limits.MATERIAL] = Field(
        default="pine-european", description="Timber or board, by its name in the catalogue."
    )


class TrimmerSupport(JoistSupport):
    """A trimmer at the edge of a stairwell."""

    kind: Literal["trimmer"] = Field(description='"trimmer": a trimmer at the edge of the well.')  # type: ignore[assignment]  # one of two kinds


class FloorSupport(Table):
    """A boarded floor of which nothing more is known."""

    kind: Literal["floor"] = Field(description='"floor": a boarded floor on joists not known.')
    material: Annotated[str, limits.MATERIAL] = Field(
        default="pine-european", description="Timber or board, by its name in the catalogue."
    )


class TreadSupport(Table):
    """A tread between its strings."""

    kind: Literal["tread"] = Field(description='"tread": a tread.')
    material: Annotated[str, limits.MATERIAL] = Field(
        default="pine-european", description="Timber or board, by its name in the catalogue."
    )


class SolidSupport(Table):
    """What does not turn: a slab, a wall, a steel beam."""

    kind: Literal["solid"] = Field(description='"solid": a slab, wall or beam that does not turn.')
    material: Annotated[str, limits.MATERIAL] | None = Field(
        default=None, description="The timber that fixings go into. Left out: concrete or masonry."
    )


SupportKind = Annotated[
    StringSupport | JoistSupport | TrimmerSupport | FloorSupport | TreadSupport | SolidSupport,
    Field(discriminator="kind"),
]


class PullTable(Table):
    """A test on site: a pull at a post that stands free, and how far it moved there."""

    force: Annotated[float, limits.FORCE] = Field(description="The pull, a force.")
    height: Annotated[float, limits.PULL_HEIGHT] = Field(
        description="How high above the post's foot it was pulled and read, a length."
    )
    moved: Annotated[float, limits.PULL_MOVED] = Field(description="How far it moved there, a length.")
    way: Annotated[Way, Choice(Way)] = Field(
        default=Way.ACROSS,
        description="across: square to the balustrade; along: up or down the stair.",
        json_schema_extra={"default": "across"},
    )
    moved_sigma: Annotated[float, limits.SIGMA] = as_brief(
        pull.PullTest, "moved_sigma", "Standard uncertainty of that reading, a length."
    )


class _Standing(Table):
    """What every base tells."""

    post: Annotated[str, limits.ID] = Field(
        description="The post's name on the sheets: P1, P2, from the foot up."
    )
    support: SupportKind | None = Field(
        default=None, description="What it stands on or is fixed to. Left out: what is usual there."
    )
    pulls: list[PullTable] = Field(
        default=[], description="Pull tests at it; they take the place of the estimate."
    )


class _FixedToFace(_Standing):
    """Fixings through a face."""

    fixing: Annotated[str, limits.FIXING] = Field(description="The fixing, by its name in the catalogue.")
    rows: Annotated[int, limits.FIXING_ROWS] = as_brief(
        joints.FaceFixed, "rows", "Heights of fixings, one above the other."
    )
    columns: Annotated[int, limits.FIXING_ROWS] = as_brief(
        joints.FaceFixed, "columns", "Fixings side by side at each height."
    )
    pitch: Annotated[float, limits.FIXINGS_APART] = as_brief(
        joints.FaceFixed, "pitch", "Plumb distance between heights of fixings, a length."
    )
    spread: Annotated[float, limits.FIXINGS_APART] = as_brief(
        joints.FaceFixed, "spread", "Level distance between fixings side by side, a length."
    )
    edge: Annotated[float, limits.FIXINGS_APART] = as_brief(
        joints.FaceFixed, "edge", "From the lowest fixings to the lower edge that bears, a length."
    )
    thread: Annotated[float, limits.THREAD] = as_brief(
        joints.FaceFixed, "thread", "With screws: length of thread in the support, a length."
    )
    tight_holes: Annotated[bool, limits.YES_NO] = as_brief(
        joints.FaceFixed, "tight_holes", "true if bolt holes are bored to the bolt's own size."
    )


class NotchedBase(_FixedToFace):
    """The post is notched over a string, joist or trimmer and fixed through it."""

    kind: Literal["notched"] = Field(description='"notched": notched over its support and fixed through.')
    notch: Annotated[float, limits.NOTCH] = Field(
        description="How much of the post is cut away where it laps, a length."
    )


class FaceBase(_FixedToFace):
    """The whole post stands against a face and is fixed to it."""

    kind: Literal["face"] = Field(description='"face": whole against the face of its support.')


class _ScrewedDown(_Standing):
    """Screws into what it stands on."""

    fixing: Annotated[str, limits.FIXING] = Field(description="The screw, by its name in the catalogue.")
    count: Annotated[int, limits.SCREWS_DOWN] = as_brief(
        joints.OnPlate, "count", "Screws in all, half of them on each side."
    )
    lever_along: Annotated[float, limits.LEVER] = as_brief(
        joints.OnPlate,
        "lever_along",
        "Along the balustrade, from the screws that pull to the edge that bears, a length.",
    )
    lever_across: Annotated[float, limits.LEVER] = as_brief(
        joints.OnPlate, "lever_across", "The same across the balustrade, a length."
    )
    thread: Annotated[float, limits.THREAD] = as_brief(
        joints.OnPlate, "thread", "Length of thread in what it stands on, a length."
    )


class PlateBase(_ScrewedDown):
    """The post stands on a metal plate that is screwed down."""

    kind: Literal["plate"] = Field(description='"plate": on a surface plate, screwed down.')


class ScrewedBase(_ScrewedDown):
    """The post is screwed down through its own foot, or from below."""

    kind: Literal["screwed"] = Field(description='"screwed": screwed down through its foot or from below.')


class DowelledBase(_Standing):
    """The post is dowelled into the stump of an old newel or into a block."""

    kind: Literal["dowelled"] = Field(description='"dowelled": on one dowel into a stump or block.')
    diameter: Annotated[float, limits.BASE_DOWEL] = Field(description="The dowel's diameter, a length.")
    depth: Annotated[float, limits.SOCKET] = Field(description="How deep it is glued in, a length.")


class SocketBase(_Standing):
    """The post stands in a blocked socket."""

    kind: Literal["socket"] = Field(description='"socket": in a socket that bears on all four faces.')
    depth: Annotated[float, limits.SOCKET] = Field(description="How deep it goes in, a length.")


class FoundBase(_Standing):
    """The post stands already and nobody can see how."""

    kind: Literal["as found"] = Field(description='"as found": stands already, its base not known.')


class UsualBase(_Standing):
    """Nothing is stated of its base but what it stands on, or a pull test."""

    kind: Literal["usual"] = Field(description='"usual": as is usual for a post of its kind.')


BaseKind = Annotated[
    NotchedBase | FaceBase | PlateBase | ScrewedBase | DowelledBase | SocketBase | FoundBase | UsualBase,
    Field(discriminator="kind"),
]


class RailEndsTable(Table):
    """How the ends of rails are fixed to newels and walls."""

    fixing: Annotated[str, limits.FIXING] = Field(description="The fixing, by its name in the catalogue.")
    count: Annotated[int, limits.RAIL_FIXINGS] = as_brief(
        settings.RailFixing, "count", "Fixings at each end."
    )
    thread: Annotated[float, limits.THREAD] = as_brief(
        settings.RailFixing, "thread", "Length of thread of each in the newel, a length."
    )


class BaseFixingsTable(Table):
    """How a base rail is fixed down."""

    fixing: Annotated[str, limits.FIXING] = Field(description="The screw, by its name in the catalogue.")
    apart: Annotated[float, limits.SEAT_APART] = as_brief(
        settings.SeatFixing, "apart", "Distance from one to the next along the rail, a length."
    )
    thread: Annotated[float, limits.THREAD] = as_brief(
        settings.SeatFixing, "thread", "Length of thread of each in what the rail lies on, a length."
    )


class RailJointsTable(Table):
    """What holds two rails together where one runs into the other; glue is not counted."""

    fixing: Annotated[str, limits.FIXING] = Field(
        description="The rail bolt or screw, by its name in the catalogue."
    )
    count: Annotated[int, limits.RAIL_FIXINGS] = as_brief(
        settings.JointFixing, "count", "How many of them along the rails."
    )


class WallHoldTable(Table):
    """What fixings bear in a wall: design values from their maker or a test (allowable ones with the NDS)."""

    piece: Annotated[str, limits.ID] | None = Field(
        default=None,
        description="The rail or half newel that hangs there, H1 or P2. Left out: all the others.",
    )
    pull: Annotated[float, limits.WALL_FORCE] = Field(description="What each bears out of the wall, a force.")
    shear: Annotated[float, limits.WALL_FORCE] = Field(description="What each bears along the wall, a force.")
    count: Annotated[int, limits.RAIL_FIXINGS] = as_brief(
        settings.WallHold, "count", "How many hold each piece there."
    )


class DesignStrengthTable(Table):
    """How one design stands; what is left out is taken as usual, and the strength sheet says so."""

    rail_ends: RailEndsTable | None = Field(
        default=None, description="How its rails are fixed at newels and walls."
    )
    base_fixings: BaseFixingsTable | None = Field(
        default=None, description="How its base rails are fixed down."
    )
    rail_joints: RailJointsTable | None = Field(
        default=None, description="What holds rails together where one runs into the other."
    )
    walls: list[WallHoldTable] = Field(
        default=[], description="What walls bear where rails and half newels hang on them."
    )
    posts: list[BaseKind] = Field(default=[], description="How its posts stand.")
