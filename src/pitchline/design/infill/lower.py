"""What bounds an infill from below: the base rail, else the string, else the floor or the line of the nosings."""

from pitchline.design.infill.place import Field
from pitchline.design.model import Bar
from pitchline.kit.geometry.lines import Line
from pitchline.stair.pitch import support_line


def lower_edge(place: Field) -> Line:
    """The line above which strands and panels run.

    Along a level edge without a base rail it is parallel to the handrail and touches the lowest point of the floor;
    an open stair is bounded by the line that rests on its nosings.
    """
    flight = place.flight
    if place.base is not None:
        return place.base.face
    if flight.string is not None:
        return flight.string.top
    if flight.is_level:
        slope = place.handrail.top.slope
        return Line(min(z - slope * u for u, z in flight.nosings), slope)
    return support_line(flight.nosings)


def widest_below(rail: Bar, lower: Line, us: tuple[float, float]) -> Line:
    """The line parallel to the handrail that leaves all of ``lower`` between two places above it."""
    slope = rail.bottom.slope
    return Line(min(lower.at(u) - slope * u for u in us), slope)
