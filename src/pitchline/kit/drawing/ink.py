"""What is put on paper in the end: lines, arcs, tinted patches, arrowheads and lines of letters.

All in model mm (y up), letter heights and arrowheads already multiplied by the drawing's scale, so that a CAD
file takes them as they are and a picture divides everything by the scale.
"""

import math
from dataclasses import dataclass

from pitchline.kit.drawing.lettering import Face
from pitchline.kit.drawing.marks import Anchor, Bounds, Fill, Mark, Pen, Point, Points, arc_points


@dataclass(frozen=True, slots=True)
class Line:
    """A line through points."""

    points: Points
    pen: Pen
    closed: bool = False


@dataclass(frozen=True, slots=True)
class Arc:
    """An arc, anticlockwise; a whole circle where ``sweep_deg`` is 360."""

    centre: Point
    radius: float
    start_deg: float
    sweep_deg: float
    pen: Pen

    def at(self, deg: float) -> Point:
        """The point of its circle in a direction."""
        angle = math.radians(deg)
        return (
            self.centre[0] + self.radius * math.cos(angle),
            self.centre[1] + self.radius * math.sin(angle),
        )


@dataclass(frozen=True, slots=True)
class Patch:
    """A tinted area: its outer ring first, then its holes."""

    rings: tuple[Points, ...]
    fill: Fill


@dataclass(frozen=True, slots=True)
class RoundPatch:
    """A tinted circle."""

    centre: Point
    radius: float
    fill: Fill


@dataclass(frozen=True, slots=True)
class Hatching:
    """Hatch lines, already cut to their outline; the rest is for writers that hatch by themselves."""

    lines: tuple[tuple[Point, Point], ...]
    rings: tuple[Points, ...]
    angle_deg: float
    spacing: float
    pen: Pen


@dataclass(frozen=True, slots=True)
class Blot:
    """A small filled triangle in the colour of a pen: an arrowhead."""

    points: Points
    pen: Pen


@dataclass(frozen=True, slots=True)
class Dot:
    """A small filled circle in the colour of a pen."""

    centre: Point
    radius: float
    pen: Pen


@dataclass(frozen=True, slots=True)
class Writing:
    """One line of letters; ``height`` of the capitals and ``width`` in model mm."""

    at: Point
    text: str
    height: float
    width: float
    anchor: Anchor
    angle_deg: float
    pen: Pen

    @property
    def start(self) -> Point:
        """Where the base line starts."""
        back = {"left": 0.0, "centre": 0.5, "right": 1.0}[self.anchor.across] * self.width
        down = {"base": 0.0, "middle": 0.5, "top": 1.0}[self.anchor.upright] * self.height
        return self._moved(-back, -down)

    def corners(self) -> Points:
        """The box of the letters, room for what hangs below the line included."""
        x, y = self.start
        origin = Writing(
            (x, y), self.text, self.height, self.width, Anchor.BASE_LEFT, self.angle_deg, self.pen
        )
        low, high = -0.35 * self.height, 1.1 * self.height
        return (
            origin._moved(0.0, low),
            origin._moved(self.width, low),
            origin._moved(self.width, high),
            origin._moved(0.0, high),
        )

    def _moved(self, along: float, across: float) -> Point:
        turn = math.radians(self.angle_deg)
        cos, sin = math.cos(turn), math.sin(turn)
        return (self.at[0] + along * cos - across * sin, self.at[1] + along * sin + across * cos)


Ink = Line | Arc | Patch | RoundPatch | Hatching | Blot | Dot | Writing


@dataclass(frozen=True, slots=True)
class Inked:
    """A mark with the ink it takes."""

    mark: Mark
    ink: tuple[Ink, ...]


@dataclass(frozen=True, slots=True)
class Nib:
    """What the laying out of an annotation needs to know: the drawing's scale and its letters."""

    scale: float
    face: Face

    def model(self, paper_mm: float) -> float:
        """A paper length in model mm."""
        return paper_mm * self.scale

    def writing(
        self, at: Point, text: str, anchor: Anchor, angle_deg: float, pen: Pen, height_mm: float
    ) -> Writing:
        """A line of letters of a paper height."""
        height = self.model(height_mm)
        return Writing(at, text, height, self.face.width(text, height), anchor, angle_deg, pen)


def ink_bounds(ink: Ink) -> Bounds:
    """Box round the ink in model mm, line weights not counted."""
    match ink:
        case Line() | Blot():
            return Bounds.around(ink.points)
        case Arc():
            return Bounds.around(
                arc_points(ink.centre, ink.radius, ink.start_deg, ink.start_deg + ink.sweep_deg)
            )
        case Patch() | Hatching():
            return Bounds.around(ink.rings[0])
        case RoundPatch() | Dot():
            x, y = ink.centre
            return Bounds(x - ink.radius, y - ink.radius, x + ink.radius, y + ink.radius)
        case Writing():
            return Bounds.around(ink.corners())
