"""What is told about a flight besides its readings: the input of the stair step. Lengths in mm, angles in radians."""

from dataclasses import dataclass, field

from pitchline.stair.model import CutString, FinishLayers, LegKind, Seat, Side


@dataclass(frozen=True, slots=True)
class StringFacts:
    """A closed string or knee wall on the guarded side: ``id`` as named by the margin readings."""

    id: str
    thickness: float
    depth: float
    kind: Seat = Seat.STRING


@dataclass(frozen=True, slots=True)
class PostFacts:
    """A newel that stands already.

    ``station`` is the surveyed point on the face that looks at the flight, read ``face_height`` above the
    lower finished floor; leans are mm per mm (along: + top leans up the stair; across: + top leans to the
    walking side); ``twist`` + turns anticlockwise seen from above; ``top_height`` above the lower floor or None.
    """

    id: str
    station: str
    face_height: float
    along: float
    across: float
    lean_along: float = 0.0
    lean_across: float = 0.0
    twist: float = 0.0
    top_height: float | None = None


@dataclass(frozen=True, slots=True)
class WallFacts:
    """A wall met by the rails: surveyed face point, its height, lean (+ top leans up the stair), skew in plan."""

    id: str
    station: str
    face_height: float
    lean_along: float = 0.0
    skew: float = 0.0


@dataclass(frozen=True, slots=True)
class SoffitFacts:
    """Something overhead: two surveyed points on its underside, in the elevation of the leg."""

    id: str
    start: str
    finish: str


@dataclass(frozen=True, slots=True)
class Support:
    """What a leg's own lower floor is: level with ``nosing`` (from 1) of the leg called ``leg``."""

    leg: str
    nosing: int


@dataclass(frozen=True, slots=True)
class FlightFacts:
    """One leg: its risers (of a level edge: its points), width and what stands around it.

    ``stands_on`` is None where its lower floor is the lowest finished floor of the stair; ``below`` is how far
    the floor on the open side lies under its own lower floor, None where that is the lowest floor. ``string_side``
    and ``cut_string_side`` tell on which side each string is, None for the guarded one whichever it is.
    ``set_posts`` are newels of the work itself, measured where they stand, and ``fitted_rails`` the lines of rails
    that are fitted.
    """

    id: str
    risers: int
    width: float | None = None
    nosing_overhang: float = 0.0
    headroom: float | None = None
    finishes: FinishLayers = field(default_factory=FinishLayers)
    string: StringFacts | None = None
    posts: tuple[PostFacts, ...] = ()
    walls: tuple[WallFacts, ...] = ()
    kind: LegKind = LegKind.FLIGHT
    stands_on: Support | None = None
    below: float | None = None
    cut_string: CutString | None = None
    string_side: Side | None = None
    cut_string_side: Side | None = None
    soffits: tuple[SoffitFacts, ...] = ()
    set_posts: tuple[PostFacts, ...] = ()
    fitted_rails: tuple[str, ...] = ()
