"""What the author of a drawing says: marks with points in model mm (x to the right, y up), and nothing heavy.

Sizes that belong to the paper and not to the thing drawn (letter heights, offsets of dimension lines, hatch
spacing) are in paper mm and keep their size at every scale.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from pitchline.kit.drawing.scales import name_of_scale

Point = tuple[float, float]
Points = tuple[Point, ...]

LETTER_HEIGHT = 2.5
"""Height of capitals in paper mm (ISO 3098-1 series 1.8, 2.5, 3.5, 5, 7, 10, from memory)."""


class Pen(StrEnum):
    """The kinds of line; each has one weight and one line type on paper.

    An annotation said in ACCENT is drawn in ACCENT_NOTE, thin like every other annotation.
    """

    OUTLINE = "outline"
    CUT = "cut"
    THIN = "thin"
    HIDDEN = "hidden"
    CENTRE = "centre"
    DIMENSION = "dimension"
    NOTE = "note"
    GHOST = "ghost"
    ACCENT = "accent"
    ACCENT_NOTE = "accent note"

    @property
    def weight_mm(self) -> float:
        """Line weight on paper, from the series 0.13 0.18 0.25 0.35 0.5 0.7 of ISO 128-20 (from memory)."""
        return _WEIGHTS[self]

    @property
    def dashes_mm(self) -> tuple[float, ...]:
        """Lengths of dash and gap in turn on paper; empty for a continuous line."""
        return _DASHES.get(self, ())

    @property
    def colour(self) -> str:
        """Colour as ``#rrggbb``."""
        return _COLOURS.get(self, "#1c1c1c")


_WEIGHTS = {
    Pen.OUTLINE: 0.35,
    Pen.CUT: 0.5,
    Pen.THIN: 0.18,
    Pen.HIDDEN: 0.18,
    Pen.CENTRE: 0.18,
    Pen.DIMENSION: 0.18,
    Pen.NOTE: 0.18,
    Pen.GHOST: 0.13,
    Pen.ACCENT: 0.5,
    Pen.ACCENT_NOTE: 0.18,
}
_DASHES = {Pen.HIDDEN: (2.4, 0.8), Pen.CENTRE: (8.0, 1.0, 0.6, 1.0)}
_COLOURS = {
    Pen.DIMENSION: "#2f4858",
    Pen.NOTE: "#2f4858",
    Pen.CENTRE: "#4d5b63",
    Pen.GHOST: "#9a9a96",
    Pen.ACCENT: "#b3391f",
    Pen.ACCENT_NOTE: "#b3391f",
}


class Fill(StrEnum):
    """The few tints an area may have."""

    WHITE = "white"
    WOOD = "wood"
    END_GRAIN = "end grain"
    GREY = "grey"
    GLASS = "glass"
    WARNING = "warning"

    @property
    def colour(self) -> str:
        """Colour as ``#rrggbb``."""
        return _TINTS[self]


_TINTS = {
    Fill.WHITE: "#ffffff",
    Fill.WOOD: "#f5ead8",
    Fill.END_GRAIN: "#e6d2b1",
    Fill.GREY: "#ececea",
    Fill.GLASS: "#e6f0f2",
    Fill.WARNING: "#f8dfd8",
}


class Anchor(StrEnum):
    """Which place of a text lies on its point; base means the feet of the capitals of the first line."""

    BASE_LEFT = "base left"
    BASE_CENTRE = "base centre"
    BASE_RIGHT = "base right"
    MIDDLE_LEFT = "middle left"
    MIDDLE = "middle centre"
    MIDDLE_RIGHT = "middle right"
    TOP_LEFT = "top left"
    TOP_CENTRE = "top centre"
    TOP_RIGHT = "top right"

    @property
    def across(self) -> str:
        """``left``, ``centre`` or ``right``."""
        return self.value.split()[1]

    @property
    def upright(self) -> str:
        """``base``, ``middle`` or ``top``."""
        return self.value.split()[0]


@dataclass(frozen=True, slots=True)
class Bounds:
    """An upright box in model mm."""

    left: float
    bottom: float
    right: float
    top: float

    @property
    def width(self) -> float:
        """Size along x."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Size along y."""
        return self.top - self.bottom

    def grown(self, by: float) -> "Bounds":
        """The box moved outwards by ``by`` mm on each side."""
        return Bounds(self.left - by, self.bottom - by, self.right + by, self.top + by)

    def joined(self, other: "Bounds") -> "Bounds":
        """The smallest box round both."""
        return Bounds(
            min(self.left, other.left),
            min(self.bottom, other.bottom),
            max(self.right, other.right),
            max(self.top, other.top),
        )

    def meets(self, other: "Bounds") -> bool:
        """Whether the boxes share a point."""
        return (
            self.left <= other.right
            and other.left <= self.right
            and self.bottom <= other.top
            and other.bottom <= self.top
        )

    @staticmethod
    def around(points: Iterable[Point]) -> "Bounds":
        """The smallest box round the points; ValueError if there are none."""
        listed = tuple(points)
        if not listed:
            raise ValueError("no points, hence no bounds")
        xs = [point[0] for point in listed]
        ys = [point[1] for point in listed]
        return Bounds(min(xs), min(ys), max(xs), max(ys))


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line through points; ``closed`` joins the last to the first."""

    points: Points
    pen: Pen = Pen.OUTLINE
    closed: bool = False


@dataclass(frozen=True, slots=True)
class Area:
    """A tinted area with holes; ``pen`` also draws its edges."""

    outline: Points
    fill: Fill
    holes: tuple[Points, ...] = ()
    pen: Pen | None = None


@dataclass(frozen=True, slots=True)
class Hatch:
    """Parallel lines inside an outline; ``spacing_mm`` on paper, angle from the x axis."""

    outline: Points
    angle_deg: float = 45.0
    spacing_mm: float = 1.5
    pen: Pen = Pen.THIN
    holes: tuple[Points, ...] = ()


@dataclass(frozen=True, slots=True)
class ArcMark:
    """Part of a circle, anticlockwise from start to end."""

    centre: Point
    radius: float
    start_deg: float
    end_deg: float
    pen: Pen = Pen.OUTLINE


@dataclass(frozen=True, slots=True)
class Disc:
    """A whole circle, tinted where ``fill`` is given."""

    centre: Point
    radius: float
    pen: Pen = Pen.OUTLINE
    fill: Fill | None = None


@dataclass(frozen=True, slots=True)
class Label:
    """Text at a point; line feeds part its lines. ``height`` of the capitals in paper mm."""

    at: Point
    text: str
    height: float = LETTER_HEIGHT
    anchor: Anchor = Anchor.BASE_LEFT
    angle_deg: float = 0.0
    pen: Pen = Pen.NOTE


@dataclass(frozen=True, slots=True)
class Dimension:
    """A linear dimension between two points.

    With ``direction_deg`` None it is measured along a-b, otherwise along that direction (0 level, 90 plumb).
    ``offset`` (paper mm) is the distance of the dimension line from the nearer point, to the left of the
    measuring direction where positive and to the right where negative: above a level dimension, left of a
    plumb one. ``text_at`` is where its number stands along the line, as a share from ``a``'s end of the measuring
    direction to the other; a number without room between the arrows stands past the end all the same.
    """

    a: Point
    b: Point
    offset: float
    text: str
    direction_deg: float | None = None
    pen: Pen = Pen.DIMENSION
    text_at: float = 0.5


@dataclass(frozen=True, slots=True)
class RunningMarks:
    """Running dimensions from one datum on a single line (ISO 129-1 superimposed running dimensioning, from memory).

    One text for each point; the datum has a small circle. ``offset`` as for `Dimension`.
    """

    datum: Point
    points: Points
    direction_deg: float
    offset: float
    texts: tuple[str, ...]
    datum_text: str = "0"
    pen: Pen = Pen.DIMENSION

    def __post_init__(self) -> None:
        if len(self.points) != len(self.texts):
            raise ValueError(f"{len(self.points)} running marks need as many texts, not {len(self.texts)}")


@dataclass(frozen=True, slots=True)
class AngleMark:
    """An angle, anticlockwise from one direction to another; ``radius`` of its arc in paper mm.

    ``arms`` draws thin arms from the centre to the arc where the drawing has no edges there.
    """

    centre: Point
    from_deg: float
    to_deg: float
    radius: float
    text: str
    arms: bool = False
    pen: Pen = Pen.DIMENSION


@dataclass(frozen=True, slots=True)
class Leader:
    """A line from a text to what it speaks of; it ends in an arrowhead on an edge, in a dot inside a face."""

    tip: Point
    at: Point
    text: str
    dot: bool = False
    pen: Pen = Pen.NOTE


@dataclass(frozen=True, slots=True)
class HeightMark:
    """A level mark: a triangle standing on its point, with the level written beside it."""

    at: Point
    text: str
    to_left: bool = False
    pen: Pen = Pen.DIMENSION


Mark = (
    Stroke
    | Area
    | Hatch
    | ArcMark
    | Disc
    | Label
    | Dimension
    | RunningMarks
    | AngleMark
    | Leader
    | HeightMark
)
Annotation = Label | Dimension | RunningMarks | AngleMark | Leader | HeightMark


@dataclass(frozen=True, slots=True)
class Drawing:
    """Marks at a scale of 1:``scale``; ``viewed`` says from where ("from the walking side").

    ``id`` is a short name fit for a file.
    """

    id: str
    title: str
    scale: float
    marks: tuple[Mark, ...]
    viewed: str = ""

    def __post_init__(self) -> None:
        if not (self.scale > 0 and math.isfinite(self.scale)):
            raise ValueError(f"drawing {self.id}: the scale denominator must be positive, not {self.scale!r}")

    def bounds(self) -> Bounds:
        """Box round the points of all marks in model mm, letters and dimension lines not counted."""
        return bounds(self.marks)


def scale_name(drawing: Drawing) -> str:
    """How the drawing's scale is written beside it."""
    return name_of_scale(drawing.scale)


def bounds(marks: Iterable[Mark]) -> Bounds:
    """Box round the points of the marks in model mm; ValueError if there are no marks."""
    return Bounds.around(point for mark in marks for point in mark_points(mark))


def arc_points(centre: Point, radius: float, start_deg: float, end_deg: float) -> Points:
    """The ends of an arc and the extreme points of its circle that lie on it."""
    sweep = (end_deg - start_deg) % 360.0 or 360.0
    quarters = [
        90.0 * k for k in range(math.ceil(start_deg / 90.0), math.floor((start_deg + sweep) / 90.0) + 1)
    ]
    return tuple(
        (centre[0] + radius * math.cos(math.radians(deg)), centre[1] + radius * math.sin(math.radians(deg)))
        for deg in (start_deg, *quarters, start_deg + sweep)
    )


def mark_points(mark: Mark) -> Points:
    """The points in model mm that span a mark."""
    match mark:
        case Stroke():
            points = mark.points
        case Area() | Hatch():
            points = mark.outline
        case ArcMark():
            points = arc_points(mark.centre, mark.radius, mark.start_deg, mark.end_deg)
        case Disc():
            points = arc_points(mark.centre, mark.radius, 0.0, 360.0)
        case Label() | HeightMark():
            points = (mark.at,)
        case Dimension():
            points = (mark.a, mark.b)
        case RunningMarks():
            points = (mark.datum, *mark.points)
        case AngleMark():
            points = (mark.centre,)
        case Leader():
            points = (mark.tip, mark.at)
    return points
