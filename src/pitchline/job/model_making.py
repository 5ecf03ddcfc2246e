"""The tables of a design that say how its members meet the rails. Lengths are held in mm."""

from typing import Annotated, Literal

from pydantic import Field

from pitchline.design import brief
from pitchline.job import limits
from pitchline.job.model_table import Table, as_brief


class GroovedTable(Table):
    """Rails ploughed with a groove, fillets between the uprights."""

    kind: Literal["grooved"] = Field(
        description='"grooved": rails with a groove, fillets between the uprights.'
    )
    rail_groove: Annotated[float, limits.GROOVE] = Field(
        description="Depth of the handrail's groove, a length."
    )
    base_groove: Annotated[float, limits.GROOVE] = Field(
        description="Depth of the base rail's groove, a length."
    )
    fillet_thickness: Annotated[float, limits.FILLET] = Field(
        description="Thickness of the fillets, a length."
    )
    clearance: Annotated[float, limits.PLAY] = as_brief(
        brief.Grooved, "clearance", "Groove width less upright thickness, a length."
    )
    end_play: Annotated[float, limits.PLAY] = as_brief(
        brief.Grooved, "end_play", "How much shorter each fillet is than its place, a length."
    )
    fillet_material: Annotated[str, limits.MATERIAL] = as_brief(
        brief.Grooved, "fillet_material", "Timber of the fillets, by its name in the catalogue."
    )


class StackedTable(Table):
    """Rails glued up from layers of board."""

    kind: Literal["stacked"] = Field(description='"stacked": rails glued up from layers, with blocks.')
    layers: Annotated[int, limits.LAYERS] = Field(description="How many layers side by side across the rail.")
    layer_thickness: Annotated[float, limits.LAYER] = Field(
        description="Thickness of one layer as measured, not as sold, a length."
    )
    member_layers: list[Annotated[int, limits.LAYERS]] = Field(
        description="The layers that hold the uprights, counted from 1 at the walking side."
    )
    rail_block: Annotated[float, limits.BLOCK] = Field(
        description="Depth of the blocks in the handrail, square to the rake, a length."
    )
    base_block: Annotated[float, limits.BLOCK] = Field(
        description="Depth of the blocks in the base rail, square to the rake, a length."
    )
    end_play: Annotated[float, limits.PLAY] = as_brief(
        brief.Stacked, "end_play", "How much shorter each block is than its place, a length."
    )
    material: Annotated[str, limits.MATERIAL] = as_brief(
        brief.Stacked, "material", "Board of the layers, by its name in the catalogue."
    )


class BoredTable(Table):
    """Holes bored into both rails."""

    kind: Literal["bored"] = Field(description='"bored": holes for round uprights, bored into both rails.')
    rail_depth: Annotated[float, limits.BORE] = Field(
        description="Depth of the hole in the handrail at its shallow side, a length."
    )
    base_depth: Annotated[float, limits.BORE] = Field(
        description="Depth of the hole in the base rail at its shallow side, a length."
    )
    clearance: Annotated[float, limits.PLAY] = as_brief(
        brief.Bored, "clearance", "Diameter of the hole less that of the upright, a length."
    )


MakingTable = Annotated[GroovedTable | StackedTable | BoredTable, Field(discriminator="kind")]
