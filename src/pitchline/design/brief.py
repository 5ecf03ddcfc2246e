"""What the user asks for: the brief of one balustrade along one flight. Lengths in mm, angles in radians.

Nothing here is computed; a brief says what is wanted and leaves open (None) what the program shall choose.
"""

from dataclasses import dataclass, field
from enum import StrEnum

from pitchline.catalogue.moisture import Season
from pitchline.stair.model import Side


@dataclass(frozen=True, slots=True)
class RailBrief:
    """The handrail: ``width`` across, ``depth`` square to the rake, plumb ``height`` of its top or None."""

    width: float
    depth: float
    height: float | None = None
    round_over: float = 0.0
    material: str = "pine-european"


class BaseSeat(StrEnum):
    """What the base rail follows."""

    STRING = "string"
    PACKED = "packed"
    CLEAR = "clear"


@dataclass(frozen=True, slots=True)
class BaseBrief:
    """The base rail.

    ``seat``: *string* lies on the string's top edge whatever its pitch; *packed* lies parallel to the handrail
    on a tapered packer at least ``least_packing`` thick; *clear* stands parallel to the handrail with its
    underside ``clearance`` (plumb) above the proudest nosing.
    """

    width: float
    depth: float
    seat: BaseSeat = BaseSeat.STRING
    clearance: float = 0.0
    least_packing: float = 3.0
    round_over: float = 0.0
    material: str = "pine-european"


@dataclass(frozen=True, slots=True)
class Station:
    """A place along the edge: ``offset`` mm up the stair from a surveyed point."""

    point: str
    offset: float = 0.0


class Foot(StrEnum):
    """How a new newel stands."""

    FLOOR = "floor"
    TREAD = "tread"
    STRING = "string"


@dataclass(frozen=True, slots=True)
class NewNewel:
    """A newel to be made: centre ``at`` a station, section ``along`` x ``across``, cap ``above_rail``.

    ``foot``: on the lower floor, on the tread behind ``at``'s nosing, or lapping ``lap`` mm down the string.
    """

    at: Station
    along: float
    across: float
    above_rail: float
    foot: Foot = Foot.FLOOR
    lap: float = 0.0
    material: str = "pine-european"


@dataclass(frozen=True, slots=True)
class ExistingNewel:
    """A newel that stands already, by the id it has in the survey."""

    post: str


@dataclass(frozen=True, slots=True)
class HalfNewel:
    """A half newel planted on a wall: ``along`` is its thickness off the wall."""

    wall: str
    along: float
    across: float
    above_rail: float
    foot: Foot = Foot.STRING
    lap: float = 0.0
    material: str = "pine-european"


@dataclass(frozen=True, slots=True)
class AtWall:
    """The rails die into a wall."""

    wall: str


@dataclass(frozen=True, slots=True)
class FreeEnd:
    """The rails end free at a station, ``overhang`` mm (along the plan) beyond the last upright's outer face."""

    at: Station
    overhang: float = 0.0


End = NewNewel | ExistingNewel | HalfNewel | AtWall | FreeEnd


class Shape(StrEnum):
    """Section of an upright."""

    RECTANGULAR = "rectangular"
    ROUND = "round"
    TURNED = "turned"


class Leaning(StrEnum):
    """Named leans; an angle may be given instead."""

    PLUMB = "plumb"
    SQUARE = "square to the rake"


class Spread(StrEnum):
    """How uprights are spread over a bay."""

    EQUAL = "equal gaps"
    HALF_ENDS = "half gaps at the ends"
    MODULE = "fixed module"


class Centred(StrEnum):
    """What a fixed module puts on the middle of the bay."""

    MEMBER = "member"
    GAP = "gap"


@dataclass(frozen=True, slots=True)
class SpacingBrief:
    """Wishes for the spacing: a count, a gap not to be passed, or a module (centre to centre)."""

    spread: Spread = Spread.EQUAL
    count: int | None = None
    max_gap: float | None = None
    module: float | None = None
    centred: Centred = Centred.MEMBER


@dataclass(frozen=True, slots=True)
class UprightsBrief:
    """Upright infill: ``width`` seen in the elevation, ``thickness`` across.

    ``lean`` is a name or an angle from plumb (radians, positive when the top leans up the stair).
    ``profile`` of a turned upright: (distance above ``turned_from``, diameter) pairs; ``turned_from`` is the
    distance from the foot of the upright, along its centre line, to where the turning starts.
    """

    shape: Shape
    width: float
    thickness: float
    lean: Leaning | float = Leaning.PLUMB
    spacing: SpacingBrief = field(default_factory=SpacingBrief)
    profile: tuple[tuple[float, float], ...] = ()
    turned_from: float = 0.0
    arris: float = 0.0
    material: str = "pine-european"

    @property
    def narrowest(self) -> float:
        """Smallest width seen in the elevation: the neck of a turned upright."""
        return min([self.width, *(diameter for _, diameter in self.profile)])


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


Making = Grooved | Stacked | Bored


@dataclass(frozen=True, slots=True)
class Brief:
    """All that is asked of one design; ``season`` is None where nothing is said of the wood's moisture."""

    id: str
    title: str
    flight: str
    side: Side
    rail: RailBrief
    base: BaseBrief
    bottom: End
    top: End
    infill: UprightsBrief
    making: Making
    build_tolerance: float = 1.0
    rail_trim: float = 12.0
    member_trim: float = 3.0
    season: Season | None = None
