"""Saw settings: every end cut of a design, which saw makes it, how the piece lies, and in which order.

Cuts that one setting makes within a shaving are made together; as few settings as possible are found, and an order
in which as few scales as possible are moved. Angles in degrees from a square cut, lengths in mm.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from pitchline.kit.geometry.bevels import SawReading
from pitchline.kit.geometry.frames import Plane
from pitchline.making.saws import Lay
from pitchline.making.shop import Saw
from pitchline.parts.part import Part


class CutKind(StrEnum):
    """What a cut is on its piece."""

    END = "end"
    """The end itself, right through."""
    CORNER = "corner"
    """A corner taken off an end that is cut already."""
    SHOULDER = "shoulder"
    """The shoulder of a tenon: only down to the tenon."""


class Holding(StrEnum):
    """How a piece is held while it is cut."""

    BY_HAND = "by hand"
    STICK = "off a long stick"
    CARRIER = "in a carrier"


@dataclass(frozen=True, slots=True)
class Cut:
    """One cut of a group of identical pieces: a plane in their own axes, at their start or their far end."""

    mark: str
    places: tuple[str, ...]
    part: Part
    plane: Plane
    at_start: bool
    kind: CutKind

    @property
    def quantity(self) -> int:
        """How many pieces get it."""
        return len(self.places)

    @property
    def end(self) -> str:
        """Which end, in words."""
        return "start" if self.at_start else "far end"


@dataclass(frozen=True, slots=True)
class Setting:
    """A saw set to a mitre (+ right) and a tilt (+ top of the blade left); ``block_deg`` of the taper block, 0: none.

    With a block ``mitre_deg`` is still what the scale shows: the block turns the piece by the rest.
    """

    saw: Saw
    mitre_deg: float
    tilt_deg: float
    block_deg: float = 0.0

    @property
    def made(self) -> SawReading:
        """What is cut relative to a piece lying straight at the fence: the block's share put back."""
        turned = self.block_deg if self.mitre_deg >= 0.0 else -self.block_deg
        return SawReading(self.mitre_deg + turned, self.tilt_deg)


@dataclass(frozen=True, slots=True)
class SetCut:
    """A cut at its saw: how the piece lies, on which side of the blade, and where the stop stands.

    ``exact`` is the reading that the plane asks for, of a piece lying straight; ``opens`` how far the joint may gape
    by the setting being shared. ``stop`` is the length along the stop line, at the table (``low``) or in the middle
    of the fence face, from this cut to the other end. ``from_two_sides``: the piece is thicker than the blade
    reaches, and is turned over half way. ``first`` tells that the other end is not cut yet.
    """

    cut: Cut
    lay: Lay
    exact: SawReading
    opens: float
    on_right: bool
    stop: float
    low: bool
    holding: Holding
    from_two_sides: bool = False
    first: bool = True


@dataclass(frozen=True, slots=True)
class Batch:
    """One setting and all that is cut at it, longest first."""

    setting: Setting
    cuts: tuple[SetCut, ...]


class WhyNot(StrEnum):
    """Why the saws of the shop have nothing to set for a part."""

    GLASS = "glass is ordered to size"
    CABLE = "cables are cut on site"
    TEMPLATE = "sawn to its template"
    METAL = "metal, cut with a saw for metal at these angles"
    BEYOND = "no saw here reaches it: cut by hand to a line from the full-size bevel"


@dataclass(frozen=True, slots=True)
class Unset:
    """A cut that no setting is given for, and why."""

    cut: Cut
    why: WhyNot


@dataclass(frozen=True, slots=True)
class SawWork:
    """All the sawing of a design: the settings in working order, and what is cut otherwise.

    ``moves`` counts the scales and blocks that are changed from setting to setting, beginning with saws at square.
    """

    batches: tuple[Batch, ...]
    unset: tuple[Unset, ...]
    moves: int

    @property
    def settings(self) -> int:
        """How many settings there are."""
        return len(self.batches)

    @property
    def blocks_deg(self) -> tuple[float, ...]:
        """The taper blocks that are needed, by their angles."""
        return tuple(sorted({b.setting.block_deg for b in self.batches if b.setting.block_deg > 0.0}))

    @property
    def cuts(self) -> int:
        """How many cuts are made in all."""
        return sum(one.cut.quantity for batch in self.batches for one in batch.cuts)

    def of(self, holding: Holding) -> tuple[SetCut, ...]:
        """The cuts whose pieces are held in this way."""
        return tuple(one for batch in self.batches for one in batch.cuts if one.holding is holding)


def marks_of(cuts: Sequence[SetCut]) -> tuple[str, ...]:
    """The marks of the pieces, each once."""
    return tuple(dict.fromkeys(one.cut.mark for one in cuts))
