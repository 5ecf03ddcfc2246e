"""The field to be filled: between two end faces and the faces of two rails, in the elevation (u, z)."""

from dataclasses import dataclass

from pitchline.kit.errors import ImpossibleDesignError
from pitchline.kit.geometry.frames import Plane
from pitchline.kit.geometry.lines import Line, Point2
from pitchline.kit.geometry.outlines import HalfPlane, Outline


@dataclass(frozen=True, slots=True)
class Trace:
    """A plane cut by the elevation y = ``y``: a line through ``point`` along ``direction`` (upwards)."""

    point: Point2
    direction: Point2

    @staticmethod
    def of(plane: Plane, y: float) -> "Trace":
        """The trace of a plane that does not lie level (ValueError)."""
        nu, ny, nz = plane.normal
        if nu == 0.0:
            raise ValueError(
                "a plane that faces straight up or across the stair has no trace to end a rail on"
            )
        pu, py, pz = plane.point
        shift = -ny * (y - py) / (nu * nu + nz * nz)
        upwards = 1.0 if nu > 0 else -1.0
        return Trace((pu + shift * nu, pz + shift * nz), (-nz * upwards, nu * upwards))

    def meets(self, line: Line) -> Point2:
        """Where the trace crosses a line of the elevation."""
        return line.meet(self.point, self.direction)


def standing(plane: Plane) -> Plane:
    """The face of an end as it is; ImpossibleDesignError where it lies more than it stands."""
    nu, _, nz = plane.normal
    if abs(nu) < abs(nz):
        raise ImpossibleDesignError(
            "an end leans more than 45 degrees along the stair, so no rail can be fitted to it: check the lean "
            "of that newel or wall"
        )
    return plane


def half_plane(plane: Plane, y: float) -> HalfPlane:
    """What of the elevation lies on the material side of a standing plane."""
    trace = Trace.of(plane, y)
    return HalfPlane(trace.point, (plane.normal[0], plane.normal[2]))


def field(start: Plane, finish: Plane, base: Line, rail: Line, y: float) -> Outline:
    """The outline between two faces, above ``base`` and below ``rail``; edges labelled by what they meet.

    ImpossibleDesignError when nothing is left between them.
    """
    left, right = Trace.of(standing(start), y), Trace.of(standing(finish), y)
    points = (left.meets(base), right.meets(base), right.meets(rail), left.meets(rail))
    outline = Outline(points, ("base", "finish", "rail", "start"))
    narrow = points[0][0] >= points[1][0] or points[3][0] >= points[2][0]
    low = points[3][1] <= points[0][1] or points[2][1] <= points[1][1]
    if narrow or low:
        raise ImpossibleDesignError("the ends or the rails leave no field between them to fill")
    return outline
