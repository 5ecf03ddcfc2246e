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
        brief.SpacingBrief,
        "spread",
        '"equal gaps", "half gaps at the ends", "fixed module", "groups" (pairs, triplets) or "per tread".',
    )
    count: Annotated[int, limits.COUNT] | None = Field(
        default=None,
        description='How many, with spread "groups" how many groups, if you wish a number. Left out: the fewest that '
        "keep the limit.",
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
    group: Annotated[int, limits.GROUP] = as_brief(
        brief.SpacingBrief, "group", 'With spread "groups": how many uprights stand in a group.'
    )
    inner_gap: Annotated[float, limits.GAP] | None = Field(
        default=None,
        description='With spread "groups": clear gap between two in a group, a length. Left out: as wide as an '
        "upright.",
    )
    per_tread: Annotated[int, limits.PER_TREAD] | None = Field(
        default=None,
        description='With spread "per tread": how many stand on each. Left out: as few as keep the limit.',
    )
    tread_place: Annotated[brief.TreadPlace, Choice(brief.TreadPlace)] = as_brief(
        brief.SpacingBrief,
        "tread_place",
        'With spread "per tread": "flush with the riser" (the face of the first that looks down the stair) or '
        '"middle of its share" of the going.',
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


class StrandsTable(Table):
    """Members that run along the rails from end to end of a bay."""

    kind: Literal["strands"] = Field(
        description='"strands": bars, rods or cables along the rails from post to post.'
    )
    strand: Annotated[brief.StrandKind, Choice(brief.StrandKind)] = Field(
        description='"raking bar", "rod" or "cable".'
    )
    depth: Annotated[float, limits.STRAND] = Field(
        description="Side seen from beside the stair, square to the rake, or the diameter, a length."
    )
    thickness: Annotated[float, limits.STRAND] | None = Field(
        default=None, description="Side across the stair, a length. Left out: as the depth."
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
        'With spread "fixed module": "member" or "gap" half way between the rails.',
    )
    pull_n: Annotated[float, limits.PULL] | None = Field(
        default=None, description='With strand "cable": the tension of each, in newtons.'
    )
    push_n: Annotated[float, limits.PUSH] | None = Field(
        default=None,
        description='With strand "cable": the force, in newtons, that presses each of two neighbours away from the '
        "other while the gap is tried. Left out: what the rules name, if anything.",
    )
    stretch_n: Annotated[float, limits.STRETCH] | None = Field(
        default=None,
        description='With strand "cable": its stiffness along itself (E times A), in newtons. Left out: not known, '
        "and taken for nothing.",
    )
    apart: Annotated[float, limits.APART] | None = Field(
        default=None,
        description="Greatest distance along it between the posts and spacers that hold it, a length. Left out: the "
        "whole bay.",
    )
    arris: Annotated[float, limits.ARRIS] = as_brief(
        brief.StrandsBrief, "arris", 'With strand "raking bar": chamfer taken off the long edges, a length.'
    )
    material: Annotated[str, limits.MATERIAL] = as_brief(
        brief.StrandsBrief, "material", "Timber, board or metal, by its name in the catalogue."
    )


class PatternTable(Table):
    """The pattern of a cut panel, drawn by you: closed lines in an SVG or DXF file, one repeat of it."""

    file: Annotated[str, limits.FILE] = Field(
        description="Name of the SVG or DXF drawing, found from the job's folder; its closed lines are cut out."
    )
    width: Annotated[float, limits.REPEAT] | None = Field(
        default=None, description="Width of one repeat, a length. Left out: that of the drawing's sheet."
    )
    height: Annotated[float, limits.REPEAT] | None = Field(
        default=None, description="Height of one repeat, a length. Left out: that of the drawing's sheet."
    )
    follow: Annotated[brief.Follow, Choice(brief.Follow)] = as_brief(
        brief.CutPattern,
        "follow",
        'How repeats follow the rake: "sheared" (plumb stays plumb, level runs along the rake), "turned" (as a '
        'whole) or "stepped" (each plumb and level, higher than the last).',
    )
    margin: Annotated[float, limits.PATTERN_MARGIN] = as_brief(
        brief.CutPattern, "margin", "Left whole along the edges of each panel, a length."
    )
    clip: Annotated[bool, limits.YES_NO] = as_brief(
        brief.CutPattern,
        "clip",
        "true if openings that run into the margin are cut off along it; else they are left out.",
    )
    unit: Annotated[float, limits.DRAWING_UNIT] | None = Field(
        default=None, description="Length of one unit of a drawing that names none, a length."
    )


class PanelsTable(Table):
    """Panels between the rails."""

    kind: Literal["panels"] = Field(description='"panels": sheets that fill the bay.')
    panel: Annotated[brief.PanelKind, Choice(brief.PanelKind)] = Field(
        description='"solid panel", "slatted panel", "glass panel" or "cut pattern".'
    )
    thickness: Annotated[float, limits.PANEL] = Field(description="Thickness as measured, a length.")
    edge_gap: Annotated[float, limits.EDGE_GAP] = as_brief(
        brief.PanelsBrief, "edge_gap", "Left between a panel and what is beside it, a length."
    )
    widest: Annotated[float, limits.WIDEST] | None = Field(
        default=None,
        description="Greatest width of one panel, level, a length. Left out: one panel fills the bay.",
    )
    joint: Annotated[float, limits.EDGE_GAP] = as_brief(
        brief.PanelsBrief, "joint", "Gap between neighbouring panels, a length."
    )
    slat: Annotated[float, limits.SLAT] | None = Field(
        default=None, description='With panel "slatted panel": width of a slat, a length.'
    )
    slot: Annotated[float, limits.SLOT] | None = Field(
        default=None, description='With panel "slatted panel": width of a slot between two slats, a length.'
    )
    pattern: PatternTable | None = Field(
        default=None, description='With panel "cut pattern": the pattern cut through it.'
    )
    material: Annotated[str, limits.MATERIAL] = as_brief(
        brief.PanelsBrief, "material", "Board, timber or other material, by its name in the catalogue."
    )


InfillTable = Annotated[UprightsTable | StrandsTable | PanelsTable, Field(discriminator="kind")]
