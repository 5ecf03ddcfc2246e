"""The ways of making: how the infill of a balustrade is joined to its rails, treads and posts.

Lengths in mm. Nothing here is computed.
"""

from dataclasses import dataclass
from enum import StrEnum


@dataclass(frozen=True, slots=True)
class Grooved:
    """Rails ploughed with a groove; fillets between the uprights locate them.

    ``clearance`` is the play across the groove (groove width = upright thickness + clearance);
    fillets are ``fillet_thickness`` thick and ``end_play`` shorter than their place.
    """

    rail_groove: float
    base_groove: float
    fillet_thickness: float
    clearance: float = 0.0
    end_play: float = 0.0
    fillet_material: str = "pine-european"


@dataclass(frozen=True, slots=True)
class Stacked:
    """Rails glued up from layers of board: an outer strip with spacer blocks between the uprights.

    ``layers`` sheets lie side by side across the rail, each ``layer_thickness`` thick AS MEASURED. In the
    layers named by ``member_layers`` (from 1, counted from the walking side) blocks ``rail_block`` or
    ``base_block`` deep alternate with the uprights; the other layers run through as cheeks.
    """

    layers: int
    layer_thickness: float
    member_layers: tuple[int, ...]
    rail_block: float
    base_block: float
    end_play: float = 0.0
    material: str = "birch-plywood"

    def from_middle(self, layer: int) -> float:
        """How far the middle of a layer lies from the rail's middle, mm, positive towards the walking side."""
        return (self.layers / 2 - layer + 0.5) * self.layer_thickness

    @property
    def members_from_middle(self) -> float:
        """How far the middle of the layers that hold the uprights lies from the rail's middle, likewise."""
        places = [self.from_middle(layer) for layer in self.member_layers]
        return sum(places) / len(places)

    @property
    def room(self) -> float:
        """Thickness of the layers that hold the uprights, mm."""
        return len(self.member_layers) * self.layer_thickness


@dataclass(frozen=True, slots=True)
class Bored:
    """Holes bored into both rails along the uprights, ``depth`` deep at the shallow side, ``clearance`` over."""

    rail_depth: float
    base_depth: float
    clearance: float = 0.0


@dataclass(frozen=True, slots=True)
class Mortised:
    """Uprights tenoned into mortises in both rails.

    Tenons reach ``rail_depth`` and ``base_depth`` into the rails, square to them, and mortises ``end_room`` further.
    A tenon is ``tenon_thickness`` thick across the rail (None: the whole upright) and ``shoulder`` narrower than the
    upright on each of its two sides seen in the elevation; the mortise is ``clearance`` larger each way.
    """

    rail_depth: float
    base_depth: float
    tenon_thickness: float | None = None
    shoulder: float = 0.0
    clearance: float = 0.0
    end_room: float = 0.0


@dataclass(frozen=True, slots=True)
class Dowelled:
    """Uprights cut to the rails and held by a dowel in each end.

    A dowel ``diameter`` thick reaches ``rail_depth`` or ``base_depth`` into a rail and ``end_depth`` into the
    upright, along the upright's centre line; each hole is ``glue_room`` deeper than its dowel goes.
    """

    diameter: float
    rail_depth: float
    base_depth: float
    end_depth: float
    glue_room: float = 1.0
    material: str = "beech-european"


class BarFixing(StrEnum):
    """What holds a metal bar in its holes."""

    EPOXY = "epoxy"
    SHOES = "shoes with grub screws"


@dataclass(frozen=True, slots=True)
class BoredMetal:
    """Metal bars, round or square, in round holes in both rails, or in the handrail and the treads.

    Holes ``hole`` in diameter are ``rail_depth`` and ``base_depth`` deep along the bar at their shallow side (the
    latter in a tread where there is no base rail); the bars end ``end_room`` short of the bottom of the upper hole,
    so that each can be lifted in and dropped. Shoes hide the holes, ``shoe`` across.
    """

    rail_depth: float
    base_depth: float
    hole: float
    end_room: float = 0.0
    fixing: BarFixing = BarFixing.EPOXY
    shoe: float = 0.0


class TreadFoot(StrEnum):
    """How an upright stands on its tread."""

    DOWEL = "dowel"
    SCREW = "double-ended screw"
    DOVETAIL = "dovetail"


HeadMaking = Grooved | Mortised | Dowelled | Bored


@dataclass(frozen=True, slots=True)
class OnTreads:
    """Uprights that stand on the treads, each cut to its own length, without a base rail.

    ``head`` says how they meet the handrail; what it says of a base rail does not count. A dowel or screw
    ``diameter`` thick reaches ``depth`` into the tread and ``end_depth`` into the upright; a dovetail is cut
    ``depth`` high on the foot, let into the end of the tread and hidden by a return nosing ``cover`` thick. The
    outer faces of the uprights stand ``inset`` inside the outer face of the string.
    """

    head: HeadMaking
    foot: TreadFoot
    depth: float
    diameter: float = 0.0
    end_depth: float = 0.0
    cover: float = 0.0
    inset: float = 0.0


@dataclass(frozen=True, slots=True)
class Clamped:
    """Panels or sheets of glass held by clamps or brackets on the posts or rails.

    Clamps stand no further apart than ``apart`` along an edge, the first and the last ``from_end`` from its ends;
    each takes ``bite`` of the sheet's edge. ``on_posts``: they sit on the posts, else on the rails. ``what`` and
    ``size`` are the words to order them by.
    """

    apart: float
    from_end: float
    bite: float
    on_posts: bool = True
    what: str = "panel clamp"
    size: str = ""


@dataclass(frozen=True, slots=True)
class BetweenPosts:
    """Bars, rods or cables that run from post to post; the rails stay plain.

    They reach ``depth`` into the newels (bars square to the face, rods and cables along themselves; 0: they end on
    the faces), in housings ``clearance`` larger each way; a depth greater than the newel lets a rod or cable run
    right through. ``what`` and ``size`` are the words to order the fitting at each end by, ``spacer`` those for what
    holds cables between the posts.
    """

    depth: float = 0.0
    clearance: float = 0.0
    what: str = ""
    size: str = ""
    spacer: str = "spacer"


Making = Grooved | Stacked | Bored | Mortised | Dowelled | BoredMetal | OnTreads | Clamped | BetweenPosts
