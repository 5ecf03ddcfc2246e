"""Where the making of a balustrade puts its infill: how deep in the rails, and where across them. Lengths in mm."""

from pitchline.design.brief import Brief
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
    TreadFoot,
)

RailMaking = HeadMaking | Stacked | BoredMetal | Clamped | BetweenPosts
"""A way of making as the handrail sees it: what stands on treads is joined to it like any other upright."""


def head_of(making: Making) -> RailMaking:
    """How the infill meets the handrail."""
    return making.head if isinstance(making, OnTreads) else making


def rail_seat_depth(making: Making) -> float:
    """How far the uprights reach into the handrail, square to it (in bored holes: along the upright), mm."""
    match head_of(making):
        case Grooved(rail_groove=depth) | Stacked(rail_block=depth):
            return depth
        case Bored(rail_depth=depth) | Mortised(rail_depth=depth):
            return depth
        case BoredMetal(rail_depth=depth, end_room=room):
            return depth - room
        case Dowelled() | Clamped() | BetweenPosts():
            return 0.0


def base_seat_depth(making: Making) -> float:
    """How far the uprights reach into the base rail, square to it (in bored holes: along the upright), mm."""
    match making:
        case Grooved(base_groove=depth) | Stacked(base_block=depth):
            return depth
        case Bored(base_depth=depth) | Mortised(base_depth=depth) | BoredMetal(base_depth=depth):
            return depth
        case Dowelled() | Clamped() | BetweenPosts() | OnTreads():
            return 0.0


def foot_depth(making: Making) -> float:
    """How far the uprights themselves reach into a tread, mm: a dowel or screw is no part of them."""
    match making:
        case OnTreads(foot=TreadFoot.DOVETAIL, depth=depth) | BoredMetal(base_depth=depth):
            return depth
        case _:
            return 0.0


def ends_square(making: Making) -> bool:
    """Whether the uprights end square to themselves in the handrail, as in a bored hole, else along its rake."""
    return isinstance(head_of(making), Bored | BoredMetal)


def infill_y(brief: Brief) -> float:
    """Where the middle of the uprights lies across the rails: off centre where a stacked rail holds them so."""
    making = brief.making
    return brief.side.towards_stair * making.members_from_middle if isinstance(making, Stacked) else 0.0
