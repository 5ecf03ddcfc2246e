"""The table of a job file that tells how boards are cut into layers by the router. Lengths in mm."""

from typing import Annotated

from pydantic import Field

from pitchline.job import limits
from pitchline.job.fields import Choice
from pitchline.job.model_table import Table
from pitchline.kit.geometry.relief_kinds import Relief
from pitchline.making.routing import Holding


class LayersTable(Table):
    """How pieces of board are cut by the router, and how layers are registered."""

    corners: Annotated[Relief, Choice(Relief)] | None = Field(
        default=None,
        description='Inside corners that something square goes into: "dog-bone", "along the longer side" or '
        '"left round". Left out: "dog-bone".',
    )
    clearance: Annotated[float, limits.PLAY] | None = Field(
        default=None,
        description="Room on each side of a notch or channel, a length. Left out: 0.15 mm.",
    )
    hold: Annotated[Holding, Choice(Holding)] | None = Field(
        default=None,
        description='What holds a piece while its outline is cut: "tabs", "onion skin" or "none". Left out: "tabs".',
    )
    tab: Annotated[float, limits.TAB] | None = Field(
        default=None, description="Length of a tab, a length. Left out: 8 mm."
    )
    tab_height: Annotated[float, limits.TAB_HEIGHT] | None = Field(
        default=None, description="What a tab leaves standing, a length. Left out: 3 mm."
    )
    skin: Annotated[float, limits.SKIN] | None = Field(
        default=None, description="Thickness of the onion skin, a length. Left out: 0.4 mm."
    )
    dowel: Annotated[float, limits.LAYER_DOWEL] | None = Field(
        default=None,
        description="Diameter of the dowels that register layers, a length; 0: none. Left out: 6 mm.",
    )
    dowels_apart: Annotated[float, limits.DOWELS_APART] | None = Field(
        default=None, description="No further apart in a long layer, a length. Left out: 500 mm."
    )
    scarf: Annotated[int, limits.SCARF] | None = Field(
        default=None,
        description="Length of a scarf for one of the width, where a layer is longer than the bed. Left out: 8.",
    )
    room: Annotated[float, limits.NEST_ROOM] | None = Field(
        default=None,
        description="Left between nested layers beside the cutter's own way, a length. Left out: 4 mm.",
    )
    margin: Annotated[float, limits.NEST_MARGIN] | None = Field(
        default=None, description="Left at the edges of a sheet for clamps, a length. Left out: 15 mm."
    )
    newel_bore: Annotated[float, limits.HOLE] | None = Field(
        default=None,
        description="Rod or bolt up the middle of a newel glued up of boards: diameter, a length. Left out: none.",
    )
    newel_bore_depth: Annotated[float, limits.NEWEL_BORE] | None = Field(
        default=None, description="How far its channel goes up from the foot, a length."
    )
