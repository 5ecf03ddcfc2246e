"""Where the making of a balustrade puts its infill: how deep in the rails, and where across them. Lengths in mm."""

from pitchline.design.brief import Brief, Grooved, Making, Stacked


def rail_seat_depth(making: Making) -> float:
    """How far the uprights reach into the handrail, square to it, mm."""
    if isinstance(making, Grooved):
        return making.rail_groove
    return making.rail_block if isinstance(making, Stacked) else making.rail_depth


def base_seat_depth(making: Making) -> float:
    """How far the uprights reach into the base rail, square to it, mm."""
    if isinstance(making, Grooved):
        return making.base_groove
    return making.base_block if isinstance(making, Stacked) else making.base_depth


def infill_y(brief: Brief) -> float:
    """Where the middle of the uprights lies across the rails: off centre where a stacked rail holds them so."""
    making = brief.making
    return brief.side.towards_stair * making.members_from_middle if isinstance(making, Stacked) else 0.0
