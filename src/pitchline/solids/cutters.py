"""What is taken from a blank to make a piece, as solids in the piece's own axes, each with its curved surfaces.

Circles become polygons. With ``outside`` holes lie outside their true circle, so that what fits in truth never seems
to clash; without it every corner lies on the true circle, and the true surface can be found again. Lengths in mm.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from pitchline.kit.geometry.frames import Vec3, unit
from pitchline.kit.geometry.lines import Point2
from pitchline.kit.geometry.outlines import signed_area, without_repeats
from pitchline.parts.part import (
    Face,
    Feature,
    Groove,
    Hole,
    Mortise,
    Notch,
    Part,
    RoundOver,
    Sawn,
    Tenon,
    Turning,
)
from pitchline.solids.joinery import BEYOND, mortise_cutter, tenon_cutter
from pitchline.solids.surfaces import Round

if TYPE_CHECKING:
    from manifold3d import Manifold


@dataclass(frozen=True, eq=False)
class Cutter:
    """A solid and the curved surfaces that its facets stand for."""

    solid: "Manifold"
    rounds: tuple[Round, ...] = ()


def cutters(part: Part, feature: Feature, segments: int, *, outside: bool) -> Iterator[Cutter]:
    """The solids that a feature takes out of the blank."""
    if isinstance(feature, Groove):
        yield Cutter(_groove(part, feature))
    elif isinstance(feature, Notch):
        yield Cutter(_notch(part, feature))
    elif isinstance(feature, Hole):
        yield _drill(part, feature, segments, outside=outside)
    elif isinstance(feature, Mortise):
        yield Cutter(mortise_cutter(feature))
    elif isinstance(feature, Tenon):
        yield Cutter(tenon_cutter(part, feature))


def sawn_plate(part: Part, sawn: Sawn) -> Cutter:
    """An outline of the wide face with its openings, right through the thickness and past both faces."""
    from manifold3d import CrossSection, FillRule, Manifold  # loaded only when a solid is made

    rings = [np.array(ring, dtype=np.float64) for ring in (sawn.outline, *sawn.holes)]
    deep = part.thickness + 2 * BEYOND
    plate = Manifold.extrude(CrossSection(rings, FillRule.EvenOdd), deep).translate((0.0, 0.0, -deep / 2))
    edges = tuple(Round((x, y, 0.0), (0.0, 0.0, 1.0), radius) for _, _, x, y, radius in sawn.arcs)
    return Cutter(plate, edges)


def box(low: Sequence[float], high: Sequence[float]) -> "Manifold":
    """A box between two opposite corners."""
    from manifold3d import Manifold  # loaded only when a solid is made

    size = tuple(b - a for a, b in zip(low, high, strict=True))
    return Manifold.cube(size).translate(tuple(low))


def _groove(part: Part, groove: Groove) -> "Manifold":
    across = groove.face in (Face.PLUS_Y, Face.MINUS_Y)
    outer = (part.width if across else part.thickness) / 2
    reach = (outer - groove.depth, outer + BEYOND)
    if groove.face in (Face.MINUS_Y, Face.MINUS_Z):
        reach = (-reach[1], -reach[0])
    wide = (groove.centre - groove.width / 2, groove.centre + groove.width / 2)
    ys, zs = (reach, wide) if across else (wide, reach)
    return box((-BEYOND, ys[0], zs[0]), (part.length + BEYOND, ys[1], zs[1]))


def _notch(part: Part, notch: Notch) -> "Manifold":
    """A notch, run past every face of the blank that it reaches."""
    low, high = list(notch.low), list(notch.high)
    limits = (
        (0.0, part.length),
        (-part.width / 2, part.width / 2),
        (-part.thickness / 2, part.thickness / 2),
    )
    for axis, (least, most) in enumerate(limits):
        if low[axis] <= least:
            low[axis] = least - BEYOND
        if high[axis] >= most:
            high[axis] = most + BEYOND
    return box(low, high)


def _drill(part: Part, hole: Hole, segments: int, *, outside: bool) -> Cutter:
    """A drill with a flat point, from well outside the wood to its depth."""
    from manifold3d import Manifold  # loaded only when a solid is made

    run_in = 2 * (part.width + part.thickness)
    radius = hole.diameter / 2
    wide = radius / math.cos(math.pi / segments) if outside else radius
    drill = Manifold.cylinder(run_in + hole.depth, wide, wide, segments).translate((0.0, 0.0, -run_in))
    true = Round(hole.at, unit(hole.axis), radius)
    first, second = true.across
    axes = np.array((first, second, true.axis, hole.at), dtype=np.float64).T
    return Cutter(drill.transform(np.ascontiguousarray(axes)), () if outside else (true,))


def rounded_stick(part: Part, segments: int) -> Cutter | None:
    """The blank's section with its rounded edges, drawn out past both ends; None where no edge is rounded.

    A piece is cut from it as from a blank: nothing touches along a line, which the modeller would have to guess at.
    """
    radii: dict[tuple[int, int], float] = {}
    for feature in part.features:
        if isinstance(feature, RoundOver):
            for edge in feature.edges:
                radii[edge] = max(feature.radius, radii.get(edge, 0.0))
    if not radii:
        return None
    half = (part.width / 2, part.thickness / 2)
    outline: list[Point2] = []
    rounds = []
    for number, edge in enumerate(((1, 1), (-1, 1), (-1, -1), (1, -1))):
        radius = radii.get(edge, 0.0)
        y, z = edge[0] * (half[0] - radius), edge[1] * (half[1] - radius)
        if radius <= 0.0:
            outline.append((y, z))
            continue
        rounds.append(Round((0.0, y, z), (1.0, 0.0, 0.0), radius, sectors=1))
        outline += _quarter((y, z), radius, number, max(2, segments // 4))
    return Cutter(_extruded(without_repeats(outline), -BEYOND, part.length + BEYOND), tuple(rounds))


def _quarter(centre: Point2, radius: float, number: int, count: int) -> Iterator[Point2]:
    """The corners of a quarter turn, the ``number``-th from the first axis, its ends exactly on the flat faces."""
    axes = ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))
    (ax, ay), (bx, by) = axes[number], axes[(number + 1) % 4]
    for k in range(count + 1):
        turn = k * math.pi / 2 / count
        c, s = (1.0, 0.0) if k == 0 else (0.0, 1.0) if k == count else (math.cos(turn), math.sin(turn))
        yield (centre[0] + radius * (c * ax + s * bx), centre[1] + radius * (c * ay + s * by))


def _extruded(outline: Sequence[Point2], low: float, high: float) -> "Manifold":
    """An outline of the section (y, z) drawn out along x."""
    from manifold3d import CrossSection, FillRule, Manifold  # loaded only when a solid is made

    rule = FillRule.NonZero if signed_area(outline) > 0 else FillRule.Negative
    prism = Manifold.extrude(CrossSection([np.array(outline, dtype=np.float64)], rule), high - low)
    axes = np.array(((0.0, 0.0, 1.0, low), (1.0, 0.0, 0.0, 0.0), (0.0, 1.0, 0.0, 0.0)))
    return prism.transform(axes)


def revolved(profile: Iterable[tuple[float, float]], segments: int) -> Cutter:
    """A profile (x, diameter) turned about the centre line."""
    from manifold3d import CrossSection, Manifold  # loaded only when a solid is made

    points = [(diameter / 2, x) for x, diameter in profile]
    outline = [(0.0, points[0][1]), *points, (0.0, points[-1][1])]
    bar = Manifold.revolve(CrossSection([np.array(outline, dtype=np.float64)]), segments)
    axes = np.array(((0.0, 0.0, 1.0, 0.0), (1.0, 0.0, 0.0, 0.0), (0.0, 1.0, 0.0, 0.0)))
    return Cutter(bar.transform(axes), tuple(_turned_surfaces(points)))


def _turned_surfaces(points: Sequence[tuple[float, float]]) -> Iterator[Round]:
    axis: Vec3 = (1.0, 0.0, 0.0)
    for (r0, x0), (r1, x1) in pairwise(points):
        if x1 - x0 > BEYOND * 1e-6:
            yield Round((x0, 0.0, 0.0), axis, r0, (r1 - r0) / (x1 - x0))


def bar_surface(part: Part, diameter: float, segments: int) -> Cutter:
    """A round bar that runs past both ends of the piece."""
    return revolved(((-BEYOND, diameter), (part.length + BEYOND, diameter)), segments)


def turned_stretch(turning: Turning) -> tuple[float, float]:
    """From where to where along the piece it is turned."""
    return turning.profile[0][0], turning.profile[-1][0]
