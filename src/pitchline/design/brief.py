"""What the user asks for: the brief of one balustrade along one flight. Lengths in mm, angles in radians.

Nothing here is computed; a brief says what is wanted and leaves open (None) what the program shall choose.
"""

from dataclasses import dataclass, field
from enum import StrEnum

from pitchline.catalogue.moisture import Season
from pitchline.design.as_built import BuiltUprights
from pitchline.design.makings import (
    BarFixing,
    BetweenPosts,
    Bored,
    BoredMetal,
    Clamped,
    Dowelled,
    Grooved,
    HeadMaking,
    Making,
    Mortised,
    OnTreads,
    Stacked,
    TreadFoot,
)
from pitchline.stair.model import Side

__all__ = [
    "BarFixing",
    "BetweenPosts",
    "Bored",
    "BoredMetal",
    "Clamped",
    "Dowelled",
    "Grooved",
    "HeadMaking",
    "Making",
    "Mortised",
    "OnTreads",
    "Stacked",
    "TreadFoot",
]
"""The ways of making, which are briefs too; what is defined here needs no naming."""


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
    FLOOR = "floor"


@dataclass(frozen=True, slots=True)
class BaseBrief:
    """The base rail.

    ``seat``: *string* lies on the string's top edge whatever its pitch; *packed* lies parallel to the handrail
    on a tapered packer at least ``least_packing`` thick; *clear* stands parallel to the handrail with its
    underside ``clearance`` (plumb) above the proudest nosing; *floor* lies on the walking surface of a level edge.
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


@dataclass(frozen=True, slots=True)
class TurnNewel:
    """A newel to be made where two legs meet, its centre on both their lines.

    ``along`` and ``across`` as seen from the leg before. With ``under_rail`` it ends below the handrails, which
    are mitred over it; else the rails are housed between newels and its cap stands ``above_rail`` over the
    higher of them. ``drop`` is how far its foot hangs below the floor of the leg after.
    """

    along: float
    across: float
    above_rail: float = 0.0
    foot: Foot = Foot.FLOOR
    drop: float = 0.0
    under_rail: bool = False
    material: str = "pine-european"


@dataclass(frozen=True, slots=True)
class TurnStanding:
    """A newel that stands already where two legs meet, by its id in the survey of the leg before."""

    post: str


@dataclass(frozen=True, slots=True)
class Mitred:
    """The rails of two legs meet in the plane that bisects them; nothing stands there."""


@dataclass(frozen=True, slots=True)
class Eased:
    """The handrail bends from one leg into the next in line with it, on an arc of ``radius`` at its top edge.

    The base rails, where there are any, are mitred.
    """

    radius: float


@dataclass(frozen=True, slots=True)
class NewelBetween:
    """A newel to be made between the two ends of a leg, its centre ``at`` a station: a bay begins on each side of it.

    It stands on the tread (or floor) there or laps ``lap`` mm down the string. The rails end at its faces and its cap
    stands ``above_rail``; with ``under_rail`` the handrail passes over it, joined over its middle, and is fixed down.
    """

    at: Station
    along: float
    across: float
    above_rail: float = 0.0
    foot: Foot = Foot.TREAD
    lap: float = 0.0
    under_rail: bool = False
    material: str = "pine-european"


TurnBrief = TurnNewel | TurnStanding | Mitred | Eased | NewelBetween
"""What is built where two bays meet: at a turn of the edge, or at a newel between."""


@dataclass(frozen=True, slots=True)
class AtTurn:
    """A leg's end where another leg begins: turn ``number`` of the edge (from 1), and what is built there."""

    number: int
    turn: TurnBrief


End = NewNewel | ExistingNewel | HalfNewel | AtWall | FreeEnd | AtTurn


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
    GROUPS = "groups"
    PER_TREAD = "per tread"


class Centred(StrEnum):
    """What a fixed module puts on the middle of the bay."""

    MEMBER = "member"
    GAP = "gap"


class TreadPlace(StrEnum):
    """Where the uprights stand on each tread: its going is shared out equally among them.

    *flush*: the face of the first that looks down the stair is flush with the face of the riser below; *shares*:
    each stands in the middle of its share of the going.
    """

    FLUSH = "flush with the riser"
    SHARES = "middle of its share"


@dataclass(frozen=True, slots=True)
class SpacingBrief:
    """Wishes for the spacing: a count, a gap not to be passed, or a module (centre to centre).

    With groups ``group`` uprights stand ``inner_gap`` apart and the groups are spread with equal gaps (``count`` is
    then that of the groups). Per tread, ``per_tread`` uprights (None: as few
    as keep the limit) share each tread's own going, the first of them ``tread_place``.
    """

    spread: Spread = Spread.EQUAL
    count: int | None = None
    max_gap: float | None = None
    module: float | None = None
    centred: Centred = Centred.MEMBER
    group: int = 2
    inner_gap: float | None = None
    per_tread: int | None = None
    tread_place: TreadPlace = TreadPlace.FLUSH


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


class StrandKind(StrEnum):
    """What runs along a bay from end to end."""

    BAR = "raking bar"
    ROD = "rod"
    CABLE = "cable"


@dataclass(frozen=True, slots=True)
class StrandsBrief:
    """Infill that runs along the rails from end to end of a bay.

    ``depth`` is seen in the elevation, square to the strand, ``thickness`` lies across (both the diameter of a
    rod or cable). ``pull`` is the tension of a cable in N; ``apart`` the greatest distance along it between
    the posts and spacers that hold it, None for the whole bay. ``push`` is the force in N that presses each of two
    neighbouring cables away from the other while the gap is tried (None: the one that the rules name, if any);
    ``stretch`` the stiffness of a cable along itself (E A) in N, None where it is not known and taken for nothing.
    """

    kind: StrandKind
    depth: float
    thickness: float
    spacing: SpacingBrief = field(default_factory=SpacingBrief)
    pull: float | None = None
    apart: float | None = None
    arris: float = 0.0
    material: str = "pine-european"
    push: float | None = None
    stretch: float | None = None


class PanelKind(StrEnum):
    """What fills a bay as a sheet."""

    SOLID = "solid panel"
    SLATTED = "slatted panel"
    GLASS = "glass panel"
    CUT = "cut pattern"


class Follow(StrEnum):
    """How the repeats of a pattern follow the rake.

    *sheared*: what is plumb stays plumb and what is level runs along the rake; *turned*: the drawing is turned as a
    whole; *stepped*: each repeat stands plumb and level, as much higher than the one before as the rake climbs.
    """

    SHEARED = "sheared"
    TURNED = "turned"
    STEPPED = "stepped"


@dataclass(frozen=True, slots=True)
class CutPattern:
    """A pattern cut through a panel, as drawn by the user: ``outlines`` are its openings, mm, in one repeat.

    A repeat is ``width`` wide and ``height`` high, its lower left corner at (0, 0); repeats go on in both directions
    and ``follow`` says how they climb. ``margin`` is left whole along the edges of a panel: openings that run into
    it are left out, with ``clip`` cut off along it. ``source`` names the drawing.
    """

    outlines: tuple[tuple[tuple[float, float], ...], ...]
    width: float
    height: float
    follow: Follow = Follow.SHEARED
    margin: float = 0.0
    source: str = ""
    clip: bool = False


@dataclass(frozen=True, slots=True)
class PanelsBrief:
    """Infill of sheet: panels no wider (level) than ``widest`` with ``joint`` between them.

    ``edge_gap`` is left between a panel and what is beside it (in grooves: their bottom). A slatted panel has
    plumb slots ``slot`` wide sawn through it, its slats between them at least ``slat`` wide, which is also left whole
    along its edges; ``pattern`` is the drawing of a cut panel.
    """

    kind: PanelKind
    thickness: float
    edge_gap: float = 0.0
    widest: float | None = None
    joint: float = 0.0
    slat: float = 0.0
    slot: float = 0.0
    pattern: CutPattern | None = None
    material: str = "birch-plywood"


InfillBrief = UprightsBrief | StrandsBrief | PanelsBrief


@dataclass(frozen=True, slots=True)
class Brief:
    """All that is asked of one leg; ``season`` is None where nothing is said of the wood's moisture.

    The legs of one balustrade along an edge share ``whole``, its id, and stand in the order of the edge called
    ``edge``; a balustrade of a single flight is its own whole and has no edge. With ``run_on`` a fixed module goes on
    from the leg before. ``built`` are the uprights that are fitted or cut already.
    """

    id: str
    title: str
    flight: str
    side: Side
    rail: RailBrief
    base: BaseBrief | None
    bottom: End
    top: End
    infill: InfillBrief
    making: Making
    build_tolerance: float = 1.0
    rail_trim: float = 12.0
    member_trim: float = 3.0
    season: Season | None = None
    whole: str = ""
    edge: str = ""
    run_on: bool = False
    built: BuiltUprights | None = None

    @property
    def balustrade(self) -> str:
        """Id of the balustrade that this leg belongs to."""
        return self.whole or self.id

    @property
    def uprights(self) -> UprightsBrief:
        """The uprights asked for. TypeError where the infill is of another kind."""
        if not isinstance(self.infill, UprightsBrief):
            raise TypeError(f"design {self.id} has no uprights")
        return self.infill

    @property
    def base_rail(self) -> BaseBrief:
        """The base rail asked for. TypeError where the design has none."""
        if self.base is None:
            raise TypeError(f"design {self.id} has no base rail")
        return self.base
