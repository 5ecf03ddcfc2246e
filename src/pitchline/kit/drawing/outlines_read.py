"""Closed outlines read from a drawing that a user made: SVG or DXF, in mm, curves as chords.

Lines and arcs that meet end to end are joined; what stays open is a fault, for nothing can be cut along it.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from pitchline.kit.errors import Fault, InputError
from pitchline.kit.geometry.lines import Point2
from pitchline.kit.geometry.outlines import Points, anticlockwise, without_repeats
from pitchline.kit.tolerances import OUTLINE_CLOSES

MOST_LINES = 20_000
"""Lines and curves in one drawing; a repeat of a pattern has a few hundred."""


@dataclass(frozen=True, slots=True)
class DrawnOutlines:
    """Closed outlines in mm, y upwards; ``page`` is the size of the sheet, None where the format has none."""

    outlines: tuple[Points, ...]
    page: Point2 | None


@dataclass(frozen=True, slots=True)
class Chain:
    """A drawn line as points in mm; ``closed`` where the drawing says so."""

    points: Points
    closed: bool


def read_outlines(path: Path, unit_mm: float | None = None) -> DrawnOutlines:
    """The outlines of a drawing; ``unit_mm`` says how long one of its units is where it does not say so itself.

    InputError, with every fault found, for a file that cannot be read, is of another kind, names no units or holds
    lines that are not closed.
    """
    kind = path.suffix.lower()
    if kind not in (".svg", ".dxf"):
        problem = "it is neither an SVG nor a DXF drawing"
        raise InputError([Fault("file", problem, path.suffix or "no ending", ".svg or .dxf")], path.name)
    try:
        if kind == ".svg":
            from pitchline.kit.drawing.svg_read import read_svg  # it brings the reader of paths

            chains, page = read_svg(path.read_bytes(), path.name, unit_mm)
        else:
            from pitchline.kit.drawing.dxf_read import read_dxf  # it brings the reader of DXF

            chains, page = read_dxf(path, unit_mm), None
    except OSError as problem:
        words = problem.strerror or "it cannot be read"
        raise InputError([Fault("file", f"it cannot be read: {words.lower()}")], path.name) from problem
    if len(chains) > MOST_LINES:
        found = f"{len(chains)} lines"
        raise InputError([Fault("drawing", "too much is drawn", found, f"up to {MOST_LINES}")], path.name)
    closed, open_ = joined(chains)
    if open_:
        raise InputError(list(_open_faults(open_, len(closed))), path.name)
    return DrawnOutlines(tuple(anticlockwise(points) for points in closed), page)


def _open_faults(chains: Sequence[Points], closed: int) -> Iterator[Fault]:
    for number, points in enumerate(chains, start=closed + 1):
        apart = math.dist(points[0], points[-1])
        (x, y), _ = points[0], points[-1]
        yield Fault(
            f"outline {number} (it begins {x:.1f} across and {y:.1f} up, in mm)",
            "it is not closed",
            f"its two ends lie {apart:.2f} mm apart",
            f"ends within {OUTLINE_CLOSES:g} mm",
            "close it, or take it out of the drawing",
        )


def joined(chains: Sequence[Chain]) -> tuple[list[Points], list[Points]]:
    """The closed outlines that lines make when those that meet are joined, and what stays open."""
    closed = [_ring(chain.points) for chain in chains if chain.closed or _meets(chain.points)]
    loose = [list(chain.points) for chain in chains if not (chain.closed or _meets(chain.points))]
    left: list[Points] = []
    while loose:
        chain = loose.pop(0)
        while not _meets(chain):
            following = next(_continuing(chain[-1], loose), None)
            if following is None:
                break
            place, backwards = following
            more = loose.pop(place)
            chain += (more[::-1] if backwards else more)[1:]
        if _meets(chain):
            closed.append(_ring(tuple(chain)))
        else:
            left.append(tuple(chain))
    return [ring for ring in closed if len(ring) >= 3], left


def _meets(points: Sequence[Point2]) -> bool:
    return len(points) > 2 and math.dist(points[0], points[-1]) <= OUTLINE_CLOSES


def _continuing(end: Point2, loose: Sequence[Sequence[Point2]]) -> Iterator[tuple[int, bool]]:
    for place, points in enumerate(loose):
        if math.dist(end, points[0]) <= OUTLINE_CLOSES:
            yield place, False
        elif math.dist(end, points[-1]) <= OUTLINE_CLOSES:
            yield place, True


def _ring(points: Points) -> Points:
    if len(points) > 2 and math.dist(points[0], points[-1]) <= OUTLINE_CLOSES:
        points = points[:-1]
    return without_repeats(points)


def chords_of_cubic(a: Point2, b: Point2, c: Point2, d: Point2, off: float) -> Iterator[Point2]:
    """Points along a cubic Bezier curve after its first, its chords no further than ``off`` from it.

    Wang's bound: n chords leave it by no more than 6/8 m / n2, m being the larger second difference of its four
    points (Wang 1984, as cited in the literature on flattening curves; from memory).
    """
    second = max(
        math.hypot(a[0] - 2 * b[0] + c[0], a[1] - 2 * b[1] + c[1]),
        math.hypot(b[0] - 2 * c[0] + d[0], b[1] - 2 * c[1] + d[1]),
    )
    count = max(1, math.ceil(math.sqrt(0.75 * second / off)))
    for k in range(1, count + 1):
        t = k / count
        s = 1.0 - t
        w = (s * s * s, 3 * s * s * t, 3 * s * t * t, t * t * t)
        yield (
            w[0] * a[0] + w[1] * b[0] + w[2] * c[0] + w[3] * d[0],
            w[0] * a[1] + w[1] * b[1] + w[2] * c[1] + w[3] * d[1],
        )
