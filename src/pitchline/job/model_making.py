"""The tables of a design that say how its members meet the rails. Lengths are held in mm."""

from typing import Annotated, Literal

from pydantic import Field

from pitchline.design import makings
from pitchline.job import limits
from pitchline.job.fields import Choice
from pitchline.job.model_heads import HeadTable
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
        makings.Grooved, "clearance", "Groove width less upright thickness, a length."
    )
    end_play: Annotated[float, limits.PLAY] = as_brief(
        makings.Grooved, "end_play", "How much shorter each fillet is than its place, a length."
    )
    fillet_material: Annotated[str, limits.MATERIAL] = as_brief(
        makings.Grooved, "fillet_material", "Timber of the fillets, by its name in the catalogue."
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
        makings.Stacked, "end_play", "How much shorter each block is than its place, a length."
    )
    material: Annotated[str, limits.MATERIAL] = as_brief(
        makings.Stacked, "material", "Board of the layers, by its name in the catalogue."
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
        makings.Bored, "clearance", "Diameter of the hole less that of the upright, a length."
    )


class MortisedTable(Table):
    """Uprights tenoned into both rails."""

    kind: Literal["mortised"] = Field(description='"mortised": uprights tenoned into mortises in both rails.')
    rail_depth: Annotated[float, limits.BORE] = Field(
        description="How far the tenon reaches into the handrail, square to it, a length."
    )
    base_depth: Annotated[float, limits.BORE] = Field(
        description="How far the tenon reaches into the base rail, square to it, a length."
    )
    tenon_thickness: Annotated[float, limits.TENON] | None = Field(
        default=None,
        description="Thickness of the tenon across the rail, a length. Left out: the whole upright.",
    )
    shoulder: Annotated[float, limits.SHOULDER] = as_brief(
        makings.Mortised,
        "shoulder",
        "How much narrower the tenon is than the upright on each side seen from beside the stair, a length.",
    )
    clearance: Annotated[float, limits.PLAY] = as_brief(
        makings.Mortised, "clearance", "How much larger the mortise is than the tenon each way, a length."
    )
    end_room: Annotated[float, limits.END_ROOM] = as_brief(
        makings.Mortised, "end_room", "How much deeper the mortise is than the tenon reaches, a length."
    )


class DowelledTable(Table):
    """Uprights cut to the rails, a dowel in each end."""

    kind: Literal["dowelled"] = Field(
        description='"dowelled": uprights cut to the rails, a dowel in each end.'
    )
    diameter: Annotated[float, limits.DOWEL] = Field(description="Diameter of the dowels, a length.")
    rail_depth: Annotated[float, limits.BORE] = Field(
        description="How far a dowel reaches into the handrail, a length."
    )
    base_depth: Annotated[float, limits.BORE] = Field(
        description="How far a dowel reaches into the base rail, a length."
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


class BoredMetalTable(Table):
    """Metal bars in bored holes."""

    kind: Literal["bored metal"] = Field(
        description='"bored metal": metal bars, round or square, in round holes in the rails, or in the treads below.'
    )
    rail_depth: Annotated[float, limits.BORE] = Field(
        description="Depth of the hole in the handrail at its shallow side, a length."
    )
    base_depth: Annotated[float, limits.BORE] = Field(
        description="Depth of the hole in the base rail, or in the tread where there is none, a length."
    )
    hole: Annotated[float, limits.HOLE] = Field(description="Diameter of the holes, a length.")
    end_room: Annotated[float, limits.END_ROOM] = as_brief(
        makings.BoredMetal,
        "end_room",
        "How far the bars end short of the bottom of the upper hole, so that each can be lifted in, a length.",
    )
    fixing: Annotated[makings.BarFixing, Choice(makings.BarFixing)] = as_brief(
        makings.BoredMetal, "fixing", 'What holds them: "epoxy" or "shoes with grub screws".'
    )
    shoe: Annotated[float, limits.SHOE] = as_brief(
        makings.BoredMetal, "shoe", "Size across of the shoes that hide the holes, a length; 0: none."
    )


class ClampedTable(Table):
    """Panels held by clamps or brackets."""

    kind: Literal["clamped"] = Field(description='"clamped": panels or glass held by clamps or brackets.')
    apart: Annotated[float, limits.CLAMPS_APART] = Field(
        description="Greatest distance between clamps along an edge, a length."
    )
    from_end: Annotated[float, limits.CLAMPS_APART] = Field(
        description="Distance of the first and the last from the ends of the edge, a length."
    )
    bite: Annotated[float, limits.BITE] = Field(
        description="How much of the sheet's edge a clamp takes, a length."
    )
    on_posts: Annotated[bool, limits.YES_NO] = as_brief(
        makings.Clamped, "on_posts", "true if they sit on the posts, false if on the rails."
    )
    what: Annotated[str, limits.TITLE] = as_brief(makings.Clamped, "what", "What to order them as.")
    size: Annotated[str, limits.TITLE] | None = Field(
        default=None, description="The size to order them by, as their maker writes it."
    )


class OnTreadsTable(Table):
    """Uprights that stand on the treads, without a base rail."""

    kind: Literal["on treads"] = Field(
        description='"on treads": uprights that stand on the treads, each cut to its own length, without a base rail.'
    )
    head: HeadTable = Field(description="How they meet the handrail.")
    foot: Annotated[makings.TreadFoot, Choice(makings.TreadFoot)] = Field(
        description='How they stand on the treads: "dowel", "double-ended screw" or "dovetail".'
    )
    depth: Annotated[float, limits.BORE] = Field(
        description="How far the dowel or screw reaches into the tread, or how high the dovetail is, a length."
    )
    diameter: Annotated[float, limits.DOWEL] | None = Field(
        default=None, description="Diameter of the dowel or screw, a length."
    )
    end_depth: Annotated[float, limits.BORE] | None = Field(
        default=None, description="How far the dowel or screw reaches into the upright, a length."
    )
    cover: Annotated[float, limits.COVER] = as_brief(
        makings.OnTreads,
        "cover",
        'With foot "dovetail": thickness of the return nosing that hides it, a length.',
    )
    inset: Annotated[float, limits.INSET] = as_brief(
        makings.OnTreads,
        "inset",
        "How far inside the outer face of the string the outer faces of the uprights stand, a length.",
    )


class BetweenPostsTable(Table):
    """Bars, rods or cables from post to post; the rails stay plain."""

    kind: Literal["between posts"] = Field(
        description='"between posts": bars, rods or cables from post to post; the rails stay plain.'
    )
    depth: Annotated[float, limits.HOUSED] = as_brief(
        makings.BetweenPosts,
        "depth",
        "How far they reach into the posts, a length; 0: they end on the faces; more than the post: right through.",
    )
    clearance: Annotated[float, limits.PLAY] = as_brief(
        makings.BetweenPosts, "clearance", "How much larger their housings are each way, a length."
    )
    what: Annotated[str, limits.TITLE] | None = Field(
        default=None, description="What to order the fitting at each end as. Left out: none is needed."
    )
    size: Annotated[str, limits.TITLE] | None = Field(
        default=None, description="The size to order it by, as its maker writes it."
    )
    spacer: Annotated[str, limits.TITLE] = as_brief(
        makings.BetweenPosts, "spacer", "What to order as that which holds cables between the posts."
    )


MakingTable = Annotated[
    GroovedTable
    | StackedTable
    | BoredTable
    | MortisedTable
    | DowelledTable
    | BoredMetalTable
    | OnTreadsTable
    | ClampedTable
    | BetweenPostsTable,
    Field(discriminator="kind"),
]
