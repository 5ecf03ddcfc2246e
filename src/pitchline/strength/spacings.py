"""Whether the fixings of a base stand far enough from each other and from edges: EN 1995-1-1 tables 8.2 and 8.4."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from pitchline.strength.bases.joints import Base, FaceFixed, PostEnd
from pitchline.strength.bases.supports import Support
from pitchline.strength.ec5.groups import Spacing, needs_hole, spacing
from pitchline.strength.ec5.lateral import Fastener
from pitchline.strength.woods import Wood


@dataclass(frozen=True, slots=True)
class TooNear:
    """A distance that is too small: what it is, as it is and as it should be, mm."""

    what: str
    have: float
    need: float
    clause: str


def too_near(base: Base, end: PostEnd, support: Support) -> tuple[TooNear, ...]:
    """Distances of a base's fixings that are too small, in the post (its grain upright) and in a timber support.

    The support's grain runs along the balustrade. Only fixings to a face are looked at; others keep no pattern here.
    """
    if not isinstance(base, FaceFixed):
        return ()
    return tuple(near for near in _distances(base, end, support) if near.have < near.need - 1e-9)


def _distances(base: FaceFixed, end: PostEnd, support: Support) -> Iterator[TooNear]:
    in_post = _spacing(base, end.wood)
    clause = "8.4" if base.fixing.kind == "bolt" or base.fixing.d > 6.0 else "8.2"
    side = (end.along - (base.columns - 1) * base.spread) / 2.0
    if base.rows > 1:
        yield TooNear("rows apart along the newel's grain", base.pitch, in_post.a1, clause)
    if base.columns > 1:
        yield TooNear("columns apart across the newel's grain", base.spread, in_post.a2, clause)
    yield TooNear("fixings from the newel's edge", side, in_post.a4_t, clause)
    if support.wood is None:
        return
    below = _spacing(base, support.wood)
    if base.rows > 1:
        yield TooNear(f"rows apart across the grain of the {support.name}", base.pitch, below.a2, clause)
    if base.columns > 1:
        yield TooNear(f"columns apart along the grain of the {support.name}", base.spread, below.a1, clause)
    yield TooNear(f"lowest row from the edge of the {support.name}", base.edge, below.a4_t, clause)


def _spacing(base: FaceFixed, wood: Wood) -> Spacing:
    """Along the grain as for a force along it, edges as for one square to it: the larger of both each time."""
    kind = Fastener.BOLT if base.fixing.kind == "bolt" else Fastener.SCREW
    bored = needs_hole(kind, base.fixing.d, wood.rho_k)
    along, square = (spacing(kind, base.fixing.d, angle, wood.rho_k, bored) for angle in (0.0, math.pi / 2))
    return Spacing(along.a1, square.a2, along.a3_t, square.a3_c, square.a4_t, square.a4_c)
