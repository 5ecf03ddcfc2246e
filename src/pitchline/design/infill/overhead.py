"""Members and rails under something overhead: what of them is left, and where a hand still passes.

Everything lies in the elevation (u, z) of one leg. Lengths in mm. Nothing here knows a kind of infill.
"""

from collections.abc import Iterable, Sequence

from pitchline.kit.geometry.lines import Line
from pitchline.kit.geometry.outlines import HalfPlane, Outline
from pitchline.kit.tolerances import SAME_POINT
from pitchline.stair.model import Soffit

SOFFIT = "soffit"
"""Label of the edge that an underside cuts off a member."""

Stretch = tuple[float, float]
"""From where to where along the leg."""


def under_soffits(outline: Outline, soffits: Iterable[Soffit], gap: float = 0.0) -> Outline:
    """What is left of a member under the soffits that it stands beneath, ``gap`` (square) below them.

    The new end bears the label ``soffit``. A member of which only a part stands under a soffit is cut along the
    soffit's line for all its width, so that it gets one straight end cut. An outline without points says that
    nothing is left.
    """
    for soffit in soffits:
        if not outline.points:
            return outline
        if _stands_under(outline, soffit):
            underside = soffit.underside.offset(-gap)
            u = soffit.start[0]
            outline = outline.clipped(HalfPlane(underside.point(u), underside.normal), SOFFIT)
    return outline


def _stands_under(outline: Outline, soffit: Soffit) -> bool:
    """Whether the two share a stretch of the leg."""
    places = [u for u, _ in outline.points]
    low, high = sorted((soffit.start[0], soffit.finish[0]))
    return min(places) < high - SAME_POINT and max(places) > low + SAME_POINT


def free_stretches(top: Line, ends: Stretch, soffits: Iterable[Soffit], room: float) -> tuple[Stretch, ...]:
    """Where along a rail at least ``room`` (plumb) is free between its top and everything overhead, in order."""
    free: list[Stretch] = [ends]
    for soffit in soffits:
        taken = tight_stretch(top, soffit, room)
        if taken is not None:
            free = [left for stretch in free for left in _without(stretch, taken)]
    return tuple(free)


def tight_stretch(top: Line, soffit: Soffit, room: float) -> Stretch | None:
    """Where under one soffit less than ``room`` is free over a line; None where there is enough all along.

    Both are straight, so the room changes evenly and falls short on one stretch.
    """
    low, high = sorted((soffit.start[0], soffit.finish[0]))
    under = soffit.underside
    first, last = (under.at(u) - top.at(u) - room for u in (low, high))
    if first >= 0.0 and last >= 0.0:
        return None
    if first < 0.0 and last < 0.0:
        return low, high
    crossing = low + (high - low) * first / (first - last)
    return (crossing, high) if last < 0.0 else (low, crossing)


def _without(stretch: Stretch, taken: Stretch) -> Sequence[Stretch]:
    """A stretch less another: none, one or two pieces."""
    pieces = ((stretch[0], min(stretch[1], taken[0])), (max(stretch[0], taken[1]), stretch[1]))
    return [piece for piece in pieces if piece[1] - piece[0] > SAME_POINT]


def rail_under_soffits(top: Line, ends: Stretch, soffits: Iterable[Soffit], room: float) -> Stretch | None:
    """The longest stretch of a rail along which a hand passes; None where there is none.

    A rail is to end there: what lies beyond is no use to a hand and cannot be fitted.
    """
    free = free_stretches(top, ends, soffits, room)
    return max(free, key=lambda stretch: stretch[1] - stretch[0], default=None)
