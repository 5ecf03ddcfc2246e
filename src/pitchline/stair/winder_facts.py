"""What a tape tells of winders: where each nosing meets the two sides of the stair, measured from the corners.

The *inner* side turns on a newel, at its corner: where the line of the flight below's inner side meets that of
the flight above. The lines run along the newel's faces that look at the stair, so the corner is the arris between
them; places and widths are all read from these lines. The *outer* side has one corner, or two where a half turn has
a wall across its back. Lengths in mm, angles in radians.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from pitchline.stair.model import Side


@dataclass(frozen=True, slots=True)
class WinderNosing:
    """One nosing: where it meets the inner and the outer side, and its rise.

    Both places are measured along the side from its corner: below zero before the corner as one walks up, above
    zero after it. ``corner`` is the outer corner (from 1) from which ``outer`` is measured; ``rise`` is plumb from
    the nosing before.
    """

    inner: float
    outer: float
    rise: float = 0.0
    corner: int = 1


@dataclass(frozen=True, slots=True)
class WinderFacts:
    """Winders between two flights.

    ``side`` is the inner side as one walks up, towards which the stair turns. ``nosings`` begin with nosing
    ``leaves`` of the flight ``lower`` (its rise is not asked for) and end with the first nosing of the flight
    ``upper``; those between are the winders'. ``turns`` are the outer corners' changes of direction, all above
    zero; ``widths`` the square distances from the inner corner to each outer wall, one more than ``turns``.
    ``newel`` is the square size of the newel at the inner corner, 0 where there is none.

    The upper flight's own lower floor is the last winder's tread, so it stands on the winders' last nosing but
    one. The sigmas are standard uncertainties of one place, one rise, one width and one turn.
    """

    id: str
    side: Side
    lower: str
    leaves: int
    upper: str
    turns: tuple[float, ...]
    widths: tuple[float, ...]
    nosings: tuple[WinderNosing, ...]
    newel: float = 0.0
    place_sigma: float = 1.0
    rise_sigma: float = 1.0
    width_sigma: float = 1.0
    turn_sigma: float = 0.005

    @property
    def names(self) -> tuple[str, ...]:
        """The nosings' names, numbered on from the lower flight: N5, N6, ..."""
        return tuple(f"N{self.leaves + k}" for k in range(len(self.nosings)))


def winder_faults(facts: WinderFacts) -> Iterator[str]:
    """What makes winders impossible as told, each a clause without a full stop; nothing where they can be."""
    if len(facts.nosings) < 3:
        yield (
            "winders need at least three nosings: the last of the flight below, one between, and the first of "
            "the flight above"
        )
    if not 1 <= len(facts.turns) <= 2 or len(facts.widths) != len(facts.turns) + 1:
        yield "winders turn at one or two outer corners and have one width more than corners"
        return
    if not all(0.0 < turn < 3.1 for turn in facts.turns) or not all(width > 0.0 for width in facts.widths):
        yield "every turn is above 0 and below 180 degrees and every width above zero"
    for name, nosing in zip(facts.names, facts.nosings, strict=True):
        if not 1 <= nosing.corner <= len(facts.turns):
            yield f"{name} is measured from outer corner {nosing.corner}, and there are {len(facts.turns)}"
    for (low, first), (high, second) in pairwise(zip(facts.names, facts.nosings, strict=True)):
        if second.inner < first.inner:
            yield f"along the inner side {high} lies before {low}"
        if (second.corner, second.outer) <= (first.corner, first.outer) and second.corner == first.corner:
            yield f"along the outer side {high} lies before {low}"
        if second.rise <= 0.0:
            yield f"the rise up to {high} must be above zero"
