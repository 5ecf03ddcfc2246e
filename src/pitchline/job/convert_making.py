"""From the tables of a sound job file to the ways of making that the design step takes. Lengths in mm."""

from pitchline.design.makings import (
    BetweenPosts,
    Bored,
    BoredMetal,
    Clamped,
    Dowelled,
    Grooved,
    HeadMaking,
    Making,
    Mortised,
    OnTreads,
    Stacked,
)
from pitchline.job.model_heads import (
    BoredHeadTable,
    DowelledHeadTable,
    GroovedHeadTable,
    HeadTable,
    MortisedHeadTable,
)
from pitchline.job.model_making import (
    BetweenPostsTable,
    BoredMetalTable,
    BoredTable,
    ClampedTable,
    DowelledTable,
    GroovedTable,
    MakingTable,
    MortisedTable,
    OnTreadsTable,
    StackedTable,
)


def making_of(table: MakingTable | None) -> Making:
    """One way of making; where none is told, as only strands may leave it, they end on the faces of the posts."""
    if table is None:
        return BetweenPosts()
    match table:
        case StackedTable() | GroovedTable() | MortisedTable() | DowelledTable() | BoredTable():
            return _in_wood(table)
        case BoredMetalTable() | ClampedTable() | BetweenPostsTable():
            return _with_metal(table)
        case OnTreadsTable():
            return OnTreads(
                _head(table.head),
                table.foot,
                table.depth,
                table.diameter or 0.0,
                table.end_depth or 0.0,
                table.cover,
                table.inset,
            )


def _with_metal(table: BoredMetalTable | ClampedTable | BetweenPostsTable) -> Making:
    """A making of metal bars, or with fittings to be bought."""
    match table:
        case BoredMetalTable():
            return BoredMetal(
                table.rail_depth, table.base_depth, table.hole, table.end_room, table.fixing, table.shoe
            )
        case ClampedTable():
            return Clamped(
                table.apart, table.from_end, table.bite, table.on_posts, table.what, table.size or ""
            )
        case BetweenPostsTable():
            return BetweenPosts(
                table.depth, table.clearance, table.what or "", table.size or "", table.spacer
            )


def _in_wood(table: StackedTable | GroovedTable | MortisedTable | DowelledTable | BoredTable) -> Making:
    """A making in which wood meets wood in both rails."""
    match table:
        case StackedTable():
            return Stacked(
                table.layers,
                table.layer_thickness,
                tuple(table.member_layers),
                table.rail_block,
                table.base_block,
                table.end_play,
                table.material,
            )
        case GroovedTable():
            return _grooved(table, table.base_groove)
        case MortisedTable():
            return _mortised(table, table.base_depth)
        case DowelledTable():
            return _dowelled(table, table.base_depth)
        case BoredTable():
            return Bored(table.rail_depth, table.base_depth, table.clearance)


def _head(table: HeadTable) -> HeadMaking:
    """How heads meet the handrail; what is said of a base rail means nothing there."""
    match table:
        case GroovedHeadTable():
            return _grooved(table, table.rail_groove)
        case DowelledHeadTable():
            return _dowelled(table, table.rail_depth)
        case BoredHeadTable():
            return Bored(table.rail_depth, table.rail_depth, table.clearance)
        case _:
            return _mortised(table, table.rail_depth)


def _mortised(table: MortisedTable | MortisedHeadTable, base_depth: float) -> Mortised:
    return Mortised(
        table.rail_depth,
        base_depth,
        table.tenon_thickness,
        table.shoulder,
        table.clearance,
        table.end_room,
    )


def _grooved(table: GroovedTable | GroovedHeadTable, base_groove: float) -> Grooved:
    return Grooved(
        table.rail_groove,
        base_groove,
        table.fillet_thickness,
        table.clearance,
        table.end_play,
        table.fillet_material,
    )


def _dowelled(table: DowelledTable | DowelledHeadTable, base_depth: float) -> Dowelled:
    return Dowelled(
        table.diameter, table.rail_depth, base_depth, table.end_depth, table.glue_room, table.material
    )
