"""How the infill of a leg gets in: between rails that are fixed, or before one of them, or before a newel.

Computed from the joint: how far an end goes into its housing, whether the piece can be leant in the plane of the
balustrade until it is short enough, lifted into a deep hole and dropped, or pushed in from the side. Lengths in mm.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

from pitchline.design.makings import (
    BetweenPosts,
    Bored,
    BoredMetal,
    Clamped,
    Dowelled,
    Grooved,
    Mortised,
    OnTreads,
    Stacked,
)
from pitchline.design.model import Design, PostRole, Upright
from pitchline.kit.geometry.frames import Vec3, dot
from pitchline.kit.tolerances import NEWEL_MOVES
from pitchline.parts.lengthwise import seat_depth

STEPS = 90
"""A lean is tried in so many steps up to what the gap allows."""


class Way(StrEnum):
    """When the infill goes in."""

    SINGLY = "piece by piece between the fixed rails"
    RAIL_LAST = "all at once, the handrail brought on last"
    NEWEL_LAST = "with the rails, one newel brought on last"
    AFTER = "last, onto the finished rails and newels"


@dataclass(frozen=True, slots=True)
class Entry:
    """How the infill of one leg gets in, and the reason in words.

    ``lean_deg`` is how far a piece is leant beside its own lean to get in. ``moves`` is the direction in which what
    comes last is brought on (the leg's co-ordinates), ``loose`` the newel that must still move.
    """

    way: Way
    why: str
    lean_deg: float = 0.0
    moves: Vec3 | None = None
    loose: str = ""


DOWN: Vec3 = (0.0, 0.0, -1.0)


def entry_of(design: Design) -> Entry:
    """How the infill of a leg gets in."""
    if design.strands:
        return _strands(design)
    if design.panels:
        return _panels(design)
    return _uprights(design)


def _strands(design: Design) -> Entry:
    making = design.making
    depth = making.depth if isinstance(making, BetweenPosts) else 0.0
    if depth <= 0.0:
        return Entry(Way.AFTER, "they end on the faces of the posts or in fittings there")
    through = all(depth > max(post.along, post.across) for post in design.posts)
    if through:
        return Entry(Way.AFTER, "they run right through the posts and are threaded in from outside")
    loose = _loose_newel(design)
    why = f"they are housed {depth:g} mm in the posts at both ends, and no piece grows shorter"
    return Entry(Way.NEWEL_LAST, why, loose=loose)


def _panels(design: Design) -> Entry:
    if isinstance(design.making, Clamped):
        return Entry(Way.AFTER, "clamps take them from the side")
    return _rail_last(design, "panels fill the grooves of both rails and cannot be leant in")


def _uprights(design: Design) -> Entry:
    making = design.making
    head = making.head if isinstance(making, OnTreads) else making
    match head:
        case Grooved():
            return _grooved(design, making, head)
        case BoredMetal() if head.end_room >= head.base_depth:
            return Entry(Way.SINGLY, "the hole above is so deep that each bar is lifted into it and dropped")
        case Stacked() if {1, head.layers} & set(head.member_layers):
            return Entry(
                Way.SINGLY, "the slots are open to one side, and the uprights are pushed in from there"
            )
        case _:
            return _rail_last(design, HOUSED.get(type(head), "both ends are housed"))


HOUSED: Mapping[type, str] = MappingProxyType(
    {
        Stacked: "their ends go into closed slots in both rails",
        Bored: "their ends go into holes in both rails",
        BoredMetal: "their ends go into holes in both rails",
        Mortised: "their tenons go into mortises in both rails",
        Dowelled: "dowels stand out of both ends",
    }
)
"""Joints whose two ends are housed, and in what."""


def _grooved(design: Design, making: object, head: Grooved) -> Entry:
    """An upright goes up into the handrail's groove, leant until its foot passes the cheek of the lower housing."""
    lift = head.base_groove
    below = "the cheek of the base rail's groove"
    if isinstance(making, OnTreads):
        lift, below = making.depth, "the dowel or screw in the tread"
    worst = 0.0
    for upright in design.uprights:
        lean = lean_needed(design, upright, lift)
        if lean is None:
            text = f"leaning an upright as far as its gap allows does not lift its foot over {below} ({lift:g} mm)"
            return _rail_last(design, text)
        worst = max(worst, lean)
    why = f"leant {worst:.1f} degrees along the rail, an upright is short enough to pass {below}"
    return Entry(Way.SINGLY, why, lean_deg=worst)


def lean_needed(design: Design, upright: Upright, lift: float) -> float | None:
    """How many degrees an upright must be leant along the rake to gain ``lift`` of room; None where no lean does.

    Between two parallel lines the room along a direction grows as it leans away from their normal; what the
    upright's own width takes of it when its square corners turn is counted. It may lean no further than the larger of
    its two gaps lets its far end go.
    """
    slope = design.handrail.face.angle
    own = abs(upright.lean + slope)
    ends = [z for _, z in upright.outline.points]
    length = (max(ends) - min(ends)) / math.cos(upright.lean)
    square = length * math.cos(own)
    far = max(upright.gap_before, upright.gap_after)
    most = math.atan2(far, length)
    for step in range(1, STEPS + 1):
        lean = most * step / STEPS
        if own + lean >= math.radians(85.0):
            break
        gained = square / math.cos(own + lean) - length - upright.width * math.sin(lean) / math.cos(own)
        if gained >= lift:
            return math.degrees(lean)
    return None


def _rail_last(design: Design, why: str) -> Entry:
    """The handrail comes down on everything, if its ends let it; else one newel comes last with the rail."""
    axis = _along_members(design)
    rail = design.handrail
    up: Vec3 = (-axis[0], -axis[1], -axis[2])
    blocked = [plane for plane in (rail.start, rail.finish) if _bites(plane.normal, up, design)]
    if not blocked:
        return Entry(Way.RAIL_LAST, why, moves=axis)
    loose = _loose_newel(design)
    text = f"{why}, and between its end faces the handrail cannot come down along them"
    return Entry(Way.NEWEL_LAST, text, loose=loose)


def _along_members(design: Design) -> Vec3:
    """The direction in which the handrail goes onto what stands: down along the members."""
    leans = {round(upright.lean, 9) for upright in design.uprights}
    if len(leans) == 1:
        lean = next(iter(leans))
        return (-math.sin(lean), 0.0, -math.cos(lean))
    return DOWN


def _bites(normal: Vec3, up: Vec3, design: Design) -> bool:
    """Whether an end of the rail would press into its neighbour while the rail is lifted by what the joint needs."""
    return dot(normal, up) * housed(design) > NEWEL_MOVES


def housed(design: Design) -> float:
    """How far the infill goes into the handrail along itself: what the rail must be lifted to come on."""
    making = design.making
    head = making.head if isinstance(making, OnTreads) else making
    if isinstance(head, Dowelled):
        return head.rail_depth
    lean = design.uprights[0].lean if design.uprights else -design.handrail.top.angle
    return seat_depth(design.handrail) / max(0.1, math.cos(lean + design.handrail.top.angle))


def _loose_newel(design: Design) -> str:
    """The newel that can still move: a new one, rather the one at the foot."""
    new = [post.id for post in design.posts if post.role is not PostRole.EXISTING]
    return new[0] if new else ""
