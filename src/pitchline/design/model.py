"""The finished design of one leg of an edge: bars, posts, uprights, in the edge's own co-ordinates (u, y, z), mm.

Everything that checks, strength and parts need is here; how it was found is not.
"""

import math
from dataclasses import dataclass, replace
from enum import StrEnum

from pitchline.design.brief import (
    AtTurn,
    BaseBrief,
    BaseSeat,
    Brief,
    Making,
    NewelBetween,
    PanelKind,
    Shape,
    StrandKind,
)
from pitchline.kit.finding import Finding
from pitchline.kit.geometry.contours import Arc, Contour
from pitchline.kit.geometry.easings import Easing
from pitchline.kit.geometry.frames import Plane, Vec3, along, cross, scale
from pitchline.kit.geometry.lines import Line, Point2
from pitchline.kit.geometry.outlines import Outline
from pitchline.stair.model import Flight, Seat, Side


class BarRole(StrEnum):
    """What a raking bar is for."""

    HANDRAIL = "handrail"
    BASE = "base rail"
    PACKER = "packer"


@dataclass(frozen=True, slots=True)
class Bar:
    """A straight bar along the edge between two end planes (outward normals).

    ``top`` and ``bottom`` are its edges in the elevation (not parallel for a tapered packer), ``width`` its
    size across, ``y`` its centre, ``seat`` the line where the uprights end inside it (None: nothing enters; bored
    holes end square to the uprights, and ``seat`` then stands their depth inside the face).
    """

    id: str
    role: BarRole
    top: Line
    bottom: Line
    width: float
    y: float
    start: Plane
    finish: Plane
    seat: Line | None
    round_over: float
    material: str
    start_at: str
    finish_at: str

    @property
    def depth(self) -> float:
        """Depth square to the top edge at the middle of the bar, mm."""
        middle = (self.start.point[0] + self.finish.point[0]) / 2
        return (self.top.at(middle) - self.bottom.at(middle)) * math.cos(self.top.angle)

    @property
    def face(self) -> Line:
        """The edge that looks at the infill."""
        return self.bottom if self.role is BarRole.HANDRAIL else self.top


def bar_name(bar: Bar, flight: Flight, base: BaseBrief | None) -> str:
    """What a bar is, in words: a base rail that lies on a knee wall is its capping."""
    on_it = base is not None and base.seat in (BaseSeat.STRING, BaseSeat.PACKED)
    wall = flight.string is not None and flight.string.kind is Seat.KNEE_WALL
    return "capping" if bar.role is BarRole.BASE and on_it and wall else bar.role.value


class PostRole(StrEnum):
    """What stands at an end."""

    NEW = "new newel"
    EXISTING = "existing newel"
    HALF = "half newel"
    TURN = "turn newel"
    BETWEEN = "newel between"


JOINED = (PostRole.TURN, PostRole.BETWEEN)
"""Newels that take the rails of two bays."""


@dataclass(frozen=True, slots=True)
class Post:
    """A post: its axis from ``foot`` along the unit vector ``axis``, section ``along`` x ``across``.

    ``along_axis`` is the horizontal-ish unit vector of the section's first side, square to ``axis``: with a
    plumb post without twist it points up the stair. ``length`` runs along the axis. ``station`` is the surveyed
    point whose place it hangs on. ``shared``: it stands at a turn and is made with the leg before. ``measured``: it
    has been set, and stands where it was measured.
    """

    id: str
    role: PostRole
    foot: Vec3
    axis: Vec3
    along_axis: Vec3
    along: float
    across: float
    length: float
    station: str
    material: str
    stands: str
    laps_string: bool = False
    shared: bool = False
    measured: bool = False

    def face(self, towards_head: bool) -> Plane:
        """Of its four faces the one that looks most up (or down) the leg; its normal points away from the post."""
        sense = 1.0 if towards_head else -1.0
        sides = (
            (self.along_axis, self.along / 2),
            (scale(self.along_axis, -1.0), self.along / 2),
            (self.across_axis, self.across / 2),
            (scale(self.across_axis, -1.0), self.across / 2),
        )
        normal, half = max(sides, key=lambda side: sense * side[0][0])
        return Plane(along(self.foot, normal, half), normal)

    @property
    def across_axis(self) -> Vec3:
        """Unit vector of the section's second side (axis x along_axis)."""
        return cross(self.axis, self.along_axis)

    @property
    def top_z(self) -> float:
        """Height of the middle of its top."""
        return self.foot[2] + self.length * self.axis[2]


@dataclass(frozen=True, slots=True)
class Upright:
    """One upright in the elevation.

    ``outline`` is the whole piece, housed ends included, its edges labelled ``left`` and ``right`` (its sides)
    or by what they meet (``base``, ``rail``, ``start``, ``finish``); ``sight`` is the part seen between the rails.
    ``u`` is where its centre line meets the upper face of the base rail; gaps are clear and square to the
    uprights, at their full width, to the neighbour or the end face at its widest. ``lean`` in radians from
    plumb, positive when the top leans up the stair.
    """

    mark: str
    u: float
    lean: float
    width: float
    thickness: float
    y: float
    shape: Shape
    outline: Outline
    sight: tuple[Point2, ...]
    foot: Point2
    gap_before: float
    gap_after: float
    profile: tuple[tuple[float, float], ...]
    narrowest: float
    arris: float
    material: str


@dataclass(frozen=True, slots=True)
class Strand:
    """One bar, rod or cable that runs along a bay from end to end.

    ``line`` is its centre line in the elevation, ``depth`` what is seen square to it, ``thickness`` its size
    across (both the diameter where ``is_round``). ``start`` and ``finish`` are the planes where it ends, their
    normals outward; ``outline`` is the whole piece with its housed ends, ``sight`` the part seen in the bay. Gaps
    are clear and square to the strand, to the neighbour below and above or to the rail. ``pull`` is the tension
    of a cable in N, ``apart`` the greatest distance along it between what holds it, None for the whole bay;
    ``stretch`` its stiffness along itself (E A) in N.
    """

    mark: str
    kind: StrandKind
    line: Line
    depth: float
    thickness: float
    y: float
    start: Plane
    finish: Plane
    outline: Outline
    sight: tuple[Point2, ...]
    gap_below: float
    gap_above: float
    arris: float
    material: str
    is_round: bool = False
    pull: float | None = None
    apart: float | None = None
    stretch: float | None = None


@dataclass(frozen=True, slots=True)
class Panel:
    """One sheet that fills a bay or a share of it: ``outline`` is the whole piece with its housed edges.

    ``sight`` is what is seen between the rails, ``holes`` are the openings cut through it (u, z). ``edge_gap`` is
    the clearance left along its sides, ``hem`` names what holds it (groove, clamps). Of the openings of a pattern
    ``clipped`` were cut off at its margin and ``left_out`` not made.
    """

    mark: str
    kind: PanelKind
    outline: Outline
    sight: tuple[Point2, ...]
    holes: tuple[tuple[Point2, ...], ...]
    thickness: float
    y: float
    edge_gap: float
    material: str
    hem: str = ""
    clipped: int = 0
    left_out: int = 0


@dataclass(frozen=True, slots=True)
class Bay:
    """The field between two end faces and two rails.

    Both outlines lie where the middle of the uprights lies across the rails: ``sight`` is what is seen between
    the rails' faces, ``full`` reaches into the housings. ``run`` is the clear width square to the uprights;
    ``run_sigma`` is the standard uncertainty of the level distance between the points the two ends hang on,
    ``start_station`` and ``finish_station``. ``opening`` is the widest opening that uprights were laid out for.
    """

    sight: tuple[Point2, ...]
    full: Outline
    start: Plane
    finish: Plane
    run: float
    run_sigma: float
    spacing_note: str
    closed_start: bool
    closed_finish: bool
    start_station: str = ""
    finish_station: str = ""
    opening: float | None = None


EASED = "easing"
"""The label of an upright's end that meets a bent piece of handrail."""


@dataclass(frozen=True, slots=True)
class Easement:
    """The bent piece between the handrails of two legs in line: ``easing`` is the line of its top.

    ``shared``: it is made with the leg before.
    """

    id: str
    easing: Easing
    width: float
    depth: float
    round_over: float
    material: str
    shared: bool = False

    @property
    def outline(self) -> Contour:
        """What is seen of it in the elevation, its ends cut square to the rails."""
        return self.easing.outline(0.0, self.depth)

    def under(self, depth: float) -> Arc:
        """The arc ``depth`` below its top: the underside, or where members end inside it."""
        return self.easing.followed(-depth).arc

    def moved(self, du: float, dz: float) -> "Easement":
        """The same piece as the leg after sees it."""
        u, z = self.easing.corner
        return replace(self, easing=replace(self.easing, corner=(u + du, z + dz)), shared=True)


@dataclass(frozen=True, slots=True)
class RailLine:
    """How the handrail's line was chosen: window at each nosing, margin to it (negative: it does not hold)."""

    low: float
    high: float | None
    margin: float
    heights: tuple[float, ...]
    tightest: int
    wished: float | None


@dataclass(frozen=True, eq=False)
class Design:
    """The finished balustrade of one leg.

    ``base`` is None where the infill stands on the treads or runs between posts alone. Along an edge of several
    legs it is leg ``number`` from the foot, and its uprights are numbered on from ``first_member``.
    """

    id: str
    title: str
    side: Side
    flight: Flight
    brief: Brief
    rail_line: RailLine
    handrail: Bar
    base: Bar | None
    packer: Bar | None
    posts: tuple[Post, ...]
    bay: Bay
    uprights: tuple[Upright, ...]
    making: Making
    findings: tuple[Finding, ...]
    strands: tuple[Strand, ...] = ()
    panels: tuple[Panel, ...] = ()
    easements: tuple[Easement, ...] = ()
    number: int = 1
    first_member: int = 1

    @property
    def first_band(self) -> int:
        """Number that its fillets or blocks begin with: each leg before has one more of them than uprights."""
        return self.first_member + self.number - 1

    @property
    def between(self) -> tuple[bool, bool]:
        """Whether a newel between two bays stands at its foot, and at its head."""
        ends = (self.brief.bottom, self.brief.top)
        foot, head = (isinstance(end, AtTurn) and isinstance(end.turn, NewelBetween) for end in ends)
        return foot, head

    def name_of(self, bar: Bar) -> str:
        """What one of its bars is, in words."""
        return bar_name(bar, self.flight, self.brief.base)

    @property
    def bars(self) -> tuple[Bar, ...]:
        """Handrail and, where there are any, base rail and packer."""
        return tuple(bar for bar in (self.handrail, self.base, self.packer) if bar is not None)

    @property
    def base_rail(self) -> Bar:
        """The base rail. TypeError where there is none."""
        if self.base is None:
            raise TypeError(f"design {self.id} has no base rail")
        return self.base

    @property
    def leg(self) -> str:
        """The leg of the edge that it guards."""
        return self.flight.id
