"""The tables of a design that say what fills its bays. Lengths are held in mm, angles in degrees."""

from typing import Annotated, Literal

from pydantic import Field

from pitchline.design import brief
from pitchline.job import limits
from pitchline.job.fields import Choice
from pitchline.job.model_table import Table, as_brief


class TurningTable(Table):
    """One place on a turned upright."""

    above: Annotated[float, limits.TURNING] = Field(description="Distance above `turned_from`, a length.")
    diameter: Annotated[float, limits.DIAMETER] = Field(description="Diameter there, a length.")


class UprightsTable(Table):
    """Upright members."""

    kind: Literal["uprights"] = Field(description='"uprights": plumb or leaning members between the rails.')
    shape: Annotated[brief.Shape, Choice(brief.Shape)] = Field(
        description='"rectangular", "round" or "turned" (square ends, turned between).'
    )
    width: Annotated[float, limits.UPRIGHT] = Field(
        description="Side seen from beside the stair, or the diameter, a length."
    )
    thickness: Annotated[float, limits.UPRIGHT] | None = Field(
        default=None, description="Side across the stair, a length. Left out: as the width."
    )
    lean: Annotated[brief.Leaning, Choice(brief.Leaning)] | None = Field(
        default=None, description='"plumb" or "square to the rake". Left out, with no lean_deg either: plumb.'
    )
    lean_deg: Annotated[float, limits.LEAN_DEG] | None = Field(
        default=None, description="Instead of `lean`: degrees from plumb, + when the top leans up the stair."
    )
    spread: Annotated[brief.Spread, Choice(brief.Spread)] = as_brief(
        brief.SpacingBrief, "spread", '"equal gaps", "half gaps at the ends" or "fixed module".'
    )
    count: Annotated[int, limits.COUNT] | None = Field(
        default=None, description="How many, if you wish a number. Left out: the fewest that keep the limit."
    )
    max_gap: Annotated[float, limits.GAP] | None = Field(
        default=None, description="A gap not to be passed, if tighter than the rules, a length."
    )
    module: Annotated[float, limits.MODULE] | None = Field(
        default=None, description='With spread "fixed module": centre to centre of neighbours, a length.'
    )
    centred: Annotated[brief.Centred, Choice(brief.Centred)] = as_brief(
        brief.SpacingBrief,
        "centred",
        'With spread "fixed module": "member" or "gap" on the middle of the bay.',
    )
    profile: list[TurningTable] = Field(
        default=[], description='With shape "turned": the turning from the foot upwards, two places or more.'
    )
    turned_from: Annotated[float, limits.TURNING] = as_brief(
        brief.UprightsBrief,
        "turned_from",
        'With shape "turned": the square foot below the turning, a length.',
    )
    arris: Annotated[float, limits.ARRIS] = as_brief(
        brief.UprightsBrief, "arris", "Chamfer taken off the long edges, a length."
    )
    material: Annotated[str, limits.MATERIAL] = as_brief(
        brief.UprightsBrief, "material", "Timber or board, by its name in the catalogue."
    )


InfillTable = UprightsTable
