"""How a job wants its pieces cut by the router. Lengths in mm."""

from dataclasses import dataclass
from enum import StrEnum

from pitchline.catalogue.shop import load_shop
from pitchline.kit.geometry.relief_kinds import Relief


class Holding(StrEnum):
    """What keeps a piece from moving when its outline is nearly cut."""

    TABS = "tabs"
    """Bridges that are left standing and chiselled off."""
    SKIN = "onion skin"
    """A thin skin left under the whole outline, cut through with a trimming cutter or sanded off."""
    NONE = "none"
    """A vacuum bed or screws."""


@dataclass(frozen=True, slots=True)
class Routing:
    """How layers are cut.

    ``clearance`` is the room on each side of a slot or notch, from the measured thickness of what goes in. ``tab`` is
    the length of a tab, ``tab_height`` what it leaves standing, ``skin`` the thickness of an onion skin. Dowels of
    diameter ``dowel`` register layers, no further apart than ``dowels_apart``; 0: none. ``scarf`` is the length of a
    scarf for one of the piece's width. ``room`` is left between nested pieces beside the cutter, ``margin`` at the
    edges of a sheet. ``newel_bore`` is the channel up the middle of a layered newel for a rod or a bolt, and
    ``newel_bore_depth`` its length from the foot; 0: none.
    """

    corners: Relief = Relief.DOG_BONE
    clearance: float = 0.15
    holding: Holding = Holding.TABS
    tab: float = 8.0
    tab_height: float = 3.0
    skin: float = 0.4
    dowel: float = 6.0
    dowels_apart: float = 500.0
    scarf: float = 8.0
    room: float = 4.0
    margin: float = 15.0
    newel_bore: float = 0.0
    newel_bore_depth: float = 0.0


def usual_routing() -> Routing:
    """What a job says nothing of: the slot clearance of the catalogue, its middle; the rest is common practice."""
    clearance = load_shop().working["slot-clearance"]
    return Routing(clearance=(clearance.low + clearance.high) / 2.0)
