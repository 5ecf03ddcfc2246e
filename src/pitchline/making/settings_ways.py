"""The ways in which the saws of a shop can make one cut: which saw, how the piece lies, with which taper block."""

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from pitchline.kit.geometry.bevels import SawReading
from pitchline.kit.geometry.frames import dot
from pitchline.kit.tolerances import ENDS_ALIKE_DEG, LEAST_BLOCK_DEG, RAIL_NEEDS
from pitchline.making.saws import OUTWARD, Lay, lays
from pitchline.making.settings import Cut, CutKind, Setting
from pitchline.making.shop import Saw, SawKind
from pitchline.parts.part import Face, Groove, Part, RoundBar, RoundOver, Taper, Turning

LEAST_BEARING = 0.3
"""Share of a face's width that must be left flat for a piece to lie or be pressed on it."""
STANDS = 1.6
"""A piece this many times as high as it is wide on the table stands rather than lies."""
BLOCK_STEP_DEG = 5.0
"""Taper blocks are made to whole steps of this."""
BLOCK_THIN = 15.0
"""Thickness of a taper block at its thin end, mm (common practice, no source)."""
SLANTS = 0.5
"""Share of a taper's normal along a face's above which it is that face that slants."""
TURNED_OVER = 1.9
"""A square cut is made from two sides through so many times the depth of one: the two kerfs must meet."""


@dataclass(frozen=True, slots=True)
class Way:
    """One way to make a cut: ``cost`` ranks ways by how well the piece lies and how quickly the saw is set."""

    setting: Setting
    lay: Lay
    exact: SawReading
    cost: float
    from_two_sides: bool = False

    def opens(self, part: Part, other: Setting) -> float:
        """How far the joint gapes, square to it, if cut at another setting; infinite at another saw or block."""
        mine = self.setting
        if (mine.saw, mine.block_deg) != (other.saw, other.block_deg):
            return math.inf
        wide, high = self.lay.section(part)
        wanted, made = self.exact.normal, other.made.normal
        along = wanted[0] / made[0]
        return wide * abs(wanted[1] - along * made[1]) + high * abs(wanted[2] - along * made[2])


def ways(cut: Cut, saws: Iterable[Saw]) -> tuple[Way, ...]:
    """How the first saw that can make the cut without a block can make it; empty where none can."""
    for saw in saws:
        found = tuple(_plain(cut, saw))
        if found:
            return found
    return ()


def block_needed(cut: Cut, saws: Iterable[Saw]) -> tuple[Saw, float] | None:
    """The first saw that makes the cut with a taper block, and the least angle of that; None where none can."""
    for saw in saws:
        if saw.kind is SawKind.RAIL:
            continue
        least = [
            over
            for lay in _lying(cut.part, saw)
            if (over := _beyond(saw, lay.reading(cut.plane.normal, saw.kind))) is not None
        ]
        if least:
            angle = max(LEAST_BLOCK_DEG, BLOCK_STEP_DEG * math.ceil(min(least) / BLOCK_STEP_DEG - 1e-9))
            if any(True for _ in blocked(cut, saw, angle)):
                return saw, angle
    return None


def blocked(cut: Cut, saw: Saw, angle: float) -> Iterator[Way]:
    """How a saw makes a cut with a taper block of this angle between the piece and its fence."""
    for lay in _lying(cut.part, saw):
        exact = lay.reading(cut.plane.normal, saw.kind)
        if abs(exact.mitre_deg) < angle:
            continue
        mitre = exact.mitre_deg - math.copysign(angle, exact.mitre_deg)
        wide, high = lay.section(cut.part)
        thin_at_blade = (exact.mitre_deg > 0.0) == on_right(cut, lay, saw.kind)
        reach = wide / math.cos(math.radians(exact.mitre_deg)) + BLOCK_THIN / math.cos(math.radians(mitre))
        if saw.kind is SawKind.TABLE:
            thin_at_blade = not thin_at_blade
        through = cut.kind is CutKind.SHOULDER or high / math.cos(math.radians(exact.bevel_deg)) <= saw.deep
        if thin_at_blade and through and reach <= saw.wide and saw.reaches(mitre, exact.bevel_deg):
            setting = Setting(saw, mitre, exact.bevel_deg, angle)
            yield Way(setting, lay, exact, _cost(cut, lay, saw, exact))


def on_right(cut: Cut, lay: Lay, kind: SawKind) -> bool:
    """Whether the piece lies to the right of the blade."""
    return lay.points_right(kind) == cut.at_start


def _plain(cut: Cut, saw: Saw) -> Iterator[Way]:
    for lay in _lying(cut.part, saw):
        exact = lay.reading(cut.plane.normal, saw.kind)
        if not saw.reaches(exact.mitre_deg, exact.bevel_deg, ENDS_ALIKE_DEG):
            continue
        wide, high = lay.section(cut.part)
        upright = 0.0 if cut.kind is CutKind.SHOULDER else high
        through = saw.passes(wide, upright, exact.mitre_deg, exact.bevel_deg)
        square = max(abs(exact.mitre_deg), abs(exact.bevel_deg)) <= ENDS_ALIKE_DEG
        turned = not through and square and saw.passes(wide, high / TURNED_OVER, 0.0, 0.0)
        if through or turned:
            setting = Setting(saw, exact.mitre_deg, exact.bevel_deg)
            yield Way(setting, lay, exact, _cost(cut, lay, saw, exact), turned)


def _lying(part: Part, saw: Saw) -> Iterator[Lay]:
    """The ways a piece can lie at a saw: on flat faces only, unless it has none; under a rail, wide face down."""
    sound = {face for face in Face if bearing(part, face) >= LEAST_BEARING} or set(Face)
    for lay in lays():
        wide, high = lay.section(part)
        under_rail = wide >= RAIL_NEEDS and wide >= high
        if lay.down in sound and lay.fence in sound and (saw.kind is not SawKind.RAIL or under_rail):
            yield lay


def _beyond(saw: Saw, exact: SawReading) -> float | None:
    """By how much a mitre is beyond the saw's scale; None where the tilt is too."""
    if not saw.reaches(0.0, exact.bevel_deg, ENDS_ALIKE_DEG):
        return None
    reach = saw.right_deg if exact.mitre_deg > 0.0 else saw.left_deg
    return max(0.0, abs(exact.mitre_deg) - reach)


def _cost(cut: Cut, lay: Lay, saw: Saw, exact: SawReading) -> float:
    wide, high = lay.section(cut.part)
    cost = 2.0 * (1.0 - bearing(cut.part, lay.down)) + 1.0 - bearing(cut.part, lay.fence)
    cost += 0.6 if high > STANDS * wide else 0.0
    cost += 0.3 + abs(exact.bevel_deg) / 45.0 if abs(exact.bevel_deg) > ENDS_ALIKE_DEG else 0.0
    return cost + (0.05 if on_right(cut, lay, saw.kind) else 0.0)


def bearing(part: Part, face: Face) -> float:
    """Share of a long face's width that is left flat for lying on; 1 for round bars, which lie in a cradle."""
    across = OUTWARD[face]
    size = part.thickness if across[1] else part.width
    lost = 0.0
    for feature in part.features:
        match feature:
            case RoundBar():
                return 1.0
            case RoundOver(edges, radius):
                sign = across[1] + across[2]
                lost += sum(radius for edge in edges if edge[0 if across[1] else 1] == sign)
            case Groove(face=grooved, width=width) if grooved is face:
                lost += width
            case Turning():
                lost += size / 2.0
            case Taper(plane) if dot(plane.normal, across) > SLANTS:
                return 0.0
            case _:
                pass
    return max(0.0, 1.0 - lost / size)
