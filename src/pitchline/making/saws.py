"""How a piece lies at a saw, and what the saw must be set to so that it cuts a given plane.

A saw has its own axes, as one stands at it: x to the right, y away, z up. Its blade starts upright along y, square
to the fence. *Mitre* + is the blade's line turned anticlockwise seen from above: at a mitre saw the handle goes to
the right, at a mitre gauge the right end of the gauge comes towards you. *Tilt* + is the top of the blade leaning
to the left. Both are read from square. See docs/method/saw-settings.md.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from pitchline.kit.geometry.bevels import SawReading, saw_reading
from pitchline.kit.geometry.frames import Plane, Vec3, cross, dot, scale
from pitchline.making.shop import SawKind
from pitchline.parts.part import Face, Part, RoundBar, RoundOver

OUTWARD: dict[Face, Vec3] = {
    Face.PLUS_Y: (0.0, 1.0, 0.0),
    Face.MINUS_Y: (0.0, -1.0, 0.0),
    Face.PLUS_Z: (0.0, 0.0, 1.0),
    Face.MINUS_Z: (0.0, 0.0, -1.0),
}
"""The axis of a piece that points out of each long face."""

ROUNDED_ARRIS = 2.0
"""mm: a round-over up to this leaves the arris fit to be measured along; a larger one is measured on the face."""


@dataclass(frozen=True, slots=True)
class Lay:
    """How a piece lies: which long face is on the table, and which against the fence.

    The fence of a mitre saw or mitre box is beyond the piece, a mitre gauge on your side of it. A rail saw has none:
    that face is then the one away from you.
    """

    down: Face
    fence: Face

    def axes(self, kind: SawKind) -> tuple[Vec3, Vec3, Vec3]:
        """The saw's x, y and z in the piece's own axes."""
        z = scale(OUTWARD[self.down], -1.0)
        y = scale(OUTWARD[self.fence], -1.0 if kind is SawKind.TABLE else 1.0)
        return cross(y, z), y, z

    def points_right(self, kind: SawKind) -> bool:
        """Whether the far end of the piece points to the right."""
        return self.axes(kind)[0][0] > 0.0

    def reading(self, normal: Vec3, kind: SawKind) -> SawReading:
        """Mitre and tilt that cut a plane of this normal, given in the piece's own axes."""
        x, y, z = self.axes(kind)
        return saw_reading((dot(normal, x), dot(normal, y), dot(normal, z)))

    def plane_normal(self, reading: SawReading, kind: SawKind) -> Vec3:
        """The normal, in the piece's own axes, of what a saw set like this cuts; on the saw's right."""
        x, y, z = self.axes(kind)
        a, b, c = reading.normal
        return (
            x[0] * a + y[0] * b + z[0] * c,
            x[1] * a + y[1] * b + z[1] * c,
            x[2] * a + y[2] * b + z[2] * c,
        )

    def section(self, part: Part) -> tuple[float, float]:
        """Width on the table and height of a piece lying so."""
        flat = self.down in (Face.PLUS_Z, Face.MINUS_Z)
        return (part.width, part.thickness) if flat else (part.thickness, part.width)


def lays() -> Iterator[Lay]:
    """The eight ways a piece of four long faces can lie."""
    for down in Face:
        for fence in Face:
            if dot(OUTWARD[down], OUTWARD[fence]) == 0.0:
                yield Lay(down, fence)


@dataclass(frozen=True, slots=True)
class StopLine:
    """The line along a piece on which its length is set at the stop: (y, z) in its own axes.

    ``low`` tells that it is the arris on the table; otherwise it is the middle of the face at the fence.
    """

    y: float
    z: float
    low: bool


def stop_line(part: Part, lay: Lay) -> StopLine:
    """Where the stop is set along: the arris on table and fence, on rounded pieces the middle of the fence face."""
    down, fence = OUTWARD[lay.down], OUTWARD[lay.fence]
    half = (part.width / 2.0, part.thickness / 2.0)
    corner = ((down[1] + fence[1]) * half[0], (down[2] + fence[2]) * half[1])
    if not _rounded_there(part, corner):
        return StopLine(*corner, low=True)
    return StopLine(fence[1] * half[0], fence[2] * half[1], low=False)


def _rounded_there(part: Part, corner: tuple[float, float]) -> bool:
    signs = (int(math.copysign(1, corner[0])), int(math.copysign(1, corner[1])))
    for feature in part.features:
        if isinstance(feature, RoundBar):
            return True
        if isinstance(feature, RoundOver) and feature.radius > ROUNDED_ARRIS and signs in feature.edges:
            return True
    return False


def meets(plane: Plane, line: StopLine) -> float:
    """How far along the piece a cut crosses the stop line, mm from its start."""
    return -plane.distance((0.0, line.y, line.z)) / plane.normal[0]
