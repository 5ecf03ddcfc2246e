"""The tables that say how uprights on treads meet the handrail above them. Lengths are held in mm."""

from typing import Annotated, Literal

from pydantic import Field

from pitchline.design import makings
from pitchline.job import limits
from pitchline.job.model_table import Table, as_brief


class GroovedHeadTable(Table):
    """The handrail ploughed with a groove, fillets between the heads."""

    kind: Literal["grooved"] = Field(
        description='"grooved": a groove in the handrail, fillets between the heads.'
    )
    rail_groove: Annotated[float, limits.GROOVE] = Field(
        description="Depth of the handrail's groove, a length."
    )
    fillet_thickness: Annotated[float, limits.FILLET] = Field(
        description="Thickness of the fillets, a length."
    )
    clearance: Annotated[float, limits.PLAY] = as_brief(
        makings.Grooved, "clearance", "Groove width less upright thickness, a length."
    )
    end_play: Annotated[float, limits.PLAY] = as_brief(
        makings.Grooved, "end_play", "How much shorter each fillet is than its place, a length."
    )
    fillet_material: Annotated[str, limits.MATERIAL] = as_brief(
        makings.Grooved, "fillet_material", "Timber of the fillets, by its name in the catalogue."
    )


class MortisedHeadTable(Table):
    """Heads tenoned into the handrail."""

    kind: Literal["mortised"] = Field(description='"mortised": heads tenoned into the handrail.')
    rail_depth: Annotated[float, limits.BORE] = Field(
        description="How far the tenon reaches into the handrail, square to it, a length."
    )
    tenon_thickness: Annotated[float, limits.TENON] | None = Field(
        default=None,
        description="Thickness of the tenon across the rail, a length. Left out: the whole upright.",
    )
    shoulder: Annotated[float, limits.SHOULDER] = as_brief(
        makings.Mortised,
        "shoulder",
        "How much narrower the tenon is than the upright on each side, a length.",
    )
    clearance: Annotated[float, limits.PLAY] = as_brief(
        makings.Mortised, "clearance", "How much larger the mortise is than the tenon each way, a length."
    )
    end_room: Annotated[float, limits.END_ROOM] = as_brief(
        makings.Mortised, "end_room", "How much deeper the mortise is than the tenon reaches, a length."
    )


class DowelledHeadTable(Table):
    """Heads cut to the handrail, with a dowel."""

    kind: Literal["dowelled"] = Field(description='"dowelled": heads cut to the handrail, with a dowel.')
    diameter: Annotated[float, limits.DOWEL] = Field(description="Diameter of the dowels, a length.")
    rail_depth: Annotated[float, limits.BORE] = Field(
        description="How far a dowel reaches into the handrail, a length."
    )
    end_depth: Annotated[float, limits.BORE] = Field(
        description="How far a dowel reaches into the upright, a length."
    )
    glue_room: Annotated[float, limits.END_ROOM] = as_brief(
        makings.Dowelled, "glue_room", "How much deeper each hole is than its dowel goes, a length."
    )
    material: Annotated[str, limits.MATERIAL] = as_brief(
        makings.Dowelled, "material", "Timber of the dowels, by its name in the catalogue."
    )


class BoredHeadTable(Table):
    """Round heads in holes bored into the handrail."""

    kind: Literal["bored"] = Field(description='"bored": round heads in holes bored into the handrail.')
    rail_depth: Annotated[float, limits.BORE] = Field(
        description="Depth of the hole in the handrail at its shallow side, a length."
    )
    clearance: Annotated[float, limits.PLAY] = as_brief(
        makings.Bored, "clearance", "Diameter of the hole less that of the upright, a length."
    )


HeadTable = Annotated[
    GroovedHeadTable | MortisedHeadTable | DowelledHeadTable | BoredHeadTable, Field(discriminator="kind")
]
