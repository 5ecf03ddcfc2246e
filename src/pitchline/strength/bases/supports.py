"""What a base is fixed to, and how far that twists: strings, joists and trimmers, floors, treads. Nmm/rad."""

import math
from dataclasses import dataclass

from pitchline.kit.frame.model import rectangle
from pitchline.strength.bases.springs import RIGID, Range
from pitchline.strength.woods import Wood


@dataclass(frozen=True, slots=True)
class Support:
    """A support: how stiff it is against being turned across and along, and what was assumed of it.

    ``wood`` is what fixings go into and ``thickness`` how deep they can go (mm); wood None: concrete or masonry.
    ``depth``: how high the face is that a post can lap, mm, where it is known.
    """

    name: str
    across: Range
    along: Range
    wood: Wood | None
    thickness: float
    assumed: str
    depth: float | None = None


@dataclass(frozen=True, slots=True)
class OnString:
    """A string as a support of which only wood, thickness and depth are stated; its treads are the design's."""

    wood: Wood
    thickness: float
    depth: float


def twist_stiffness(wood: Wood, width: float, depth: float, before: float, behind: float) -> float:
    """A beam held against twisting at both ends, turned in between: G J (1/a + 1/b), Nmm/rad."""
    return wood.g * rectangle(width, depth).torsion * (1.0 / before + 1.0 / behind)


def beam(
    wood: Wood, width: float, depth: float, free: float, *, name: str = "joist", blocked: float | None = None
) -> Support:
    """A joist, trimmer or rim along the balustrade: it twists about its own length, ``free`` between what holds it.

    Turned in the middle of that length. Low: as it is; mean: with blocking at ``blocked`` where there is some, else
    as it is; high: blocked so that it cannot twist. Along the balustrade it does not turn.
    """
    plain = twist_stiffness(wood, width, depth, free / 2, free / 2)
    held = plain if blocked is None else twist_stiffness(wood, width, depth, blocked / 2, blocked / 2)
    how = "without blocking" if blocked is None else f"blocked every {blocked:g} mm"
    assumed = f"{name} {width:g} x {depth:g} mm free to twist over {free:g} mm, {how}; high: cannot twist"
    return Support(name, Range(min(plain, held), held, math.inf), RIGID, wood, width, assumed, depth)


def string(wood: Wood, width: float, depth: float, going: float) -> Support:
    """A string that its treads hold against twisting.

    Low: held at every fourth tread; mean: at every second; high: at each (common practice, no source).
    """
    low, mean, high = (twist_stiffness(wood, width, depth, n * going / 2, n * going / 2) for n in (4, 2, 1))
    assumed = f"string {width:g} x {depth:g} mm held against twisting by every second tread (low: fourth, high: each)"
    return Support("string", Range(low, mean, high), RIGID, wood, width, assumed, depth)


def floor(wood: Wood) -> Support:
    """A boarded floor of which nothing is known: joists 45 x 195 as low, blocked as mean, a slab as high.

    12 and 35 kNm/rad are the twist of a joist over 1.2 m in its middle and of one blocked every 400 mm.
    """
    joist = Range(12e6, 35e6, math.inf)
    assumed = "floor: a joist 45 x 195 mm free over 1200 mm as low, blocked every 400 mm as mean, not turning as high"
    return Support("floor", joist, joist, wood, 60.0, assumed)


def tread(wood: Wood) -> Support:
    """A tread between strings: bends and turns in its housings (common practice, no source)."""
    assumed = "tread: 12 to 120 kNm/rad, 40 as mean, without source"
    return Support("tread", Range(12e6, 40e6, 120e6), Range(12e6, 40e6, 120e6), wood, 32.0, assumed)


def solid(wood: Wood | None = None) -> Support:
    """A slab, a wall or a beam that does not turn; wood None: fixings go into concrete or masonry."""
    return Support("solid", RIGID, RIGID, wood, 1e3, "what it stands on does not turn")
