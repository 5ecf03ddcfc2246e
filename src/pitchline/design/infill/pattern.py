"""A pattern repeated over a panel: where its openings come, clipped to what the panel leaves, and its faults.

Pure: outlines are closed lists of points in mm, their last point not repeated. Reading a drawing is done by
:mod:`pitchline.design.infill.pattern_file`.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import shapely
from shapely.geometry import Polygon

from pitchline.design.brief import CutPattern, Follow
from pitchline.kit.errors import Fault
from pitchline.kit.geometry.lines import Line, Point2
from pitchline.kit.geometry.outlines import Points, from_shapely, to_shapely
from pitchline.kit.tolerances import LEAST_CUT, SAME_POINT


@dataclass(frozen=True, slots=True)
class Openings:
    """The openings of one panel, how many were cut off at its margin and how many left out."""

    holes: tuple[Points, ...]
    clipped: int
    left_out: int


def pattern_faults(outlines: Sequence[Points]) -> Iterator[Fault]:
    """What is wrong with the outlines of a drawing, each told by its number from 1."""
    if not outlines:
        yield Fault(
            "drawing",
            "there is no closed outline in it",
            remedy="draw each opening as one closed line (circle, rectangle, closed path)",
        )
    shapes = [Polygon(outline) for outline in outlines]
    sound = []
    for number, shape in enumerate(shapes, start=1):
        if _is_narrow(shape):
            yield Fault(
                f"outline {number}",
                "it is too narrow to be cut",
                allowed=f"openings at least {LEAST_CUT:g} mm wide",
            )
        elif not shape.is_valid:
            place = shapely.is_valid_reason(shape).split("[")[-1].rstrip("]")
            problem = f"it crosses itself (at {place}, in mm)"
            yield Fault(f"outline {number}", problem, remedy="draw it without crossing, or as two outlines")
        else:
            sound.append((number, shape))
    yield from _meeting(sound)


def _is_narrow(shape: Polygon) -> bool:
    """Whether nothing of an outline is wide enough for a cut; one that crosses itself is judged by its hull."""
    whole = shape if shape.is_valid else shapely.convex_hull(shape)
    return bool(shapely.buffer(whole, -LEAST_CUT / 2.0).is_empty)


def _meeting(shapes: Sequence[tuple[int, Polygon]]) -> Iterator[Fault]:
    tree = shapely.STRtree([shape for _, shape in shapes])
    for k, (number, shape) in enumerate(shapes):
        for other in sorted(int(j) for j in tree.query(shape, predicate="intersects") if j > k):
            name, beside = shapes[other]
            if shape.contains(beside) or beside.contains(shape):
                inner, outer = (name, number) if shape.contains(beside) else (number, name)
                yield Fault(
                    f"outline {inner}",
                    f"it lies inside outline {outer}, and what is left between the two falls out",
                    remedy="join the inner part to the rest by bridges, or leave one of the two out",
                )
            else:
                yield Fault(
                    f"outline {name}",
                    f"it runs into outline {number}",
                    remedy="leave wood between the two, or draw them as one outline",
                )


def repeated(pattern: CutPattern, panel: Points, rake: Line) -> Openings:
    """The pattern laid over a panel, centred on it, its repeats following ``rake``.

    As many whole repeats as the panel's margin leaves room for lie evenly about its middle; those beyond are drawn
    too, and what runs into the margin is left out or clipped. Nothing narrower than `LEAST_CUT` is left.
    """
    inner = shapely.buffer(to_shapely(panel), SAME_POINT - pattern.margin, join_style="mitre")
    holes: list[Points] = []
    clipped = left_out = 0
    if inner.is_empty:
        return Openings((), 0, 0)
    for outline in _laid(pattern, panel, rake):
        shape = Polygon(outline)
        if not shape.intersects(inner):
            continue
        if inner.contains(shape):
            holes.append(from_shapely(shape))
            continue
        pieces = list(_whole_enough(shapely.intersection(shape, inner))) if pattern.clip else []
        holes += pieces
        clipped += bool(pieces)
        left_out += not pieces
    return Openings(tuple(sorted(holes, key=_place)), clipped, left_out)


def _place(hole: Points) -> Point2:
    return (round(min(u for u, _ in hole), 3), round(min(z for _, z in hole), 3))


def _whole_enough(shape: shapely.Geometry) -> Iterator[Points]:
    for part in shapely.get_parts(shape):
        if isinstance(part, Polygon) and not shapely.buffer(part, -LEAST_CUT / 2.0).is_empty:
            yield from_shapely(part)


def _laid(pattern: CutPattern, panel: Points, rake: Line) -> Iterator[Points]:
    """Every opening of every repeat that could reach into the panel."""
    centre = _middle(panel)
    across, up = _directions(pattern, rake)
    shares = [_shares(point, centre, across, up) for point in panel]
    reach = [max(abs(share[axis]) for share in shares) for axis in (0, 1)]
    plumb = 1.0 if pattern.follow is Follow.TURNED else math.hypot(1.0, rake.slope)
    margins = (pattern.margin, pattern.margin * plumb)
    sizes = (pattern.width, pattern.height)
    counts = [
        math.floor(2.0 * (r - margin) / size + SAME_POINT)
        for r, margin, size in zip(reach, margins, sizes, strict=True)
    ]
    for i in _numbers(counts[0], reach[0], pattern.width):
        for k in _numbers(counts[1], reach[1], pattern.height):
            yield from (_moved(pattern, outline, (i, k), centre, rake) for outline in pattern.outlines)


def _numbers(count: int, reach: float, size: float) -> Iterator[float]:
    """Places of repeats about the middle, in repeats: whole numbers where their count is odd, else halves."""
    first = 0.0 if count % 2 else 0.5
    most = math.ceil(reach / size) + 1
    yield from (number + first for number in range(-most - 1, most + 1))


def _directions(pattern: CutPattern, rake: Line) -> tuple[Point2, Point2]:
    """Along which way repeats go on across and upwards, each as the step of one mm of the drawing."""
    if pattern.follow is Follow.TURNED:
        return rake.direction, rake.normal
    return (1.0, rake.slope), (0.0, 1.0)


def _shares(point: Point2, centre: Point2, across: Point2, up: Point2) -> Point2:
    """A point as so much across and so much up from the centre."""
    du, dz = point[0] - centre[0], point[1] - centre[1]
    det = across[0] * up[1] - across[1] * up[0]
    return ((du * up[1] - dz * up[0]) / det, (across[0] * dz - across[1] * du) / det)


def _moved(
    pattern: CutPattern, outline: Points, number: tuple[float, float], centre: Point2, rake: Line
) -> Points:
    """One opening of the repeat that stands so many repeats from the centre."""
    across, up = _directions(pattern, rake)
    i, k = number[0] * pattern.width, number[1] * pattern.height
    at = (centre[0] + i * across[0] + k * up[0], centre[1] + i * across[1] + k * up[1])
    if pattern.follow is Follow.STEPPED:
        across, up = (1.0, 0.0), (0.0, 1.0)
    middle = (pattern.width / 2.0, pattern.height / 2.0)
    return tuple(
        (
            at[0] + (x - middle[0]) * across[0] + (y - middle[1]) * up[0],
            at[1] + (x - middle[0]) * across[1] + (y - middle[1]) * up[1],
        )
        for x, y in outline
    )


def _middle(panel: Points) -> Point2:
    us, zs = zip(*panel, strict=True)
    return (sum(us) / len(us), sum(zs) / len(zs))
