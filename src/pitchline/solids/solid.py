"""Parts as solids, to see whether they fit: nothing may overlap, what belongs together must touch.

Circles become polygons: round wood lies inside the true circle and holes outside it, so that what fits in truth
never seems to clash. Lengths in mm, volumes in mm3.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from pitchline.design.model import Post
from pitchline.kit.geometry.lines import Point2
from pitchline.kit.tolerances import TOUCH_OVERLAP_VOLUME
from pitchline.parts.part import (
    Face,
    Feature,
    Groove,
    Hole,
    Mortise,
    Notch,
    Part,
    RoundBar,
    RoundOver,
    Sawn,
    Taper,
    Tenon,
    Turning,
)
from pitchline.solids.context import post_blank
from pitchline.solids.joinery import mortise_cutter, tenon_cutter
from pitchline.solids.mesh import Block, Mesh

if TYPE_CHECKING:
    from manifold3d import Manifold

SEGMENTS = 64
"""Sides of a full circle: a 40 mm bar is then at most 0.03 mm inside its true surface."""

_BEYOND = 1.0
"""mm by which a cutter runs past the wood, so that no face of it lies on a face of the piece."""


@dataclass(frozen=True, slots=True)
class Overlap:
    """Two pieces that share more wood than touching faces explain; volume in mm3."""

    a: str
    b: str
    volume: float


@dataclass(frozen=True, eq=False)
class Body:
    """A named solid in the edge's co-ordinates, with the box around it."""

    name: str
    solid: "Manifold"
    low: NDArray[np.float64]
    high: NDArray[np.float64]


def part_body(part: Part, segments: int = SEGMENTS) -> Body:
    """A part where it goes."""
    return _body(part.place, part_solid(part, segments))


def post_body(post: Post) -> Body:
    """A post as it stands, existing or new, without its notch."""
    frame, blank = post_blank(post)
    return _body(post.id, solid_of(Mesh.of_blocks([Block.of_box(blank).placed(frame)])))


def _body(name: str, solid: "Manifold") -> Body:
    box = solid.bounding_box()
    return Body(name, solid, np.array(box[:3]), np.array(box[3:]))


def part_solid(part: Part, segments: int = SEGMENTS) -> "Manifold":
    """A part in the edge's co-ordinates."""
    frame = part.frame
    columns = np.array((frame.x, frame.y, frame.z, frame.origin), dtype=np.float64).T
    return local_solid(part, segments).transform(np.ascontiguousarray(columns))


def part_mesh(part: Part, segments: int = SEGMENTS) -> Mesh:
    """A part's triangles in its own axes; without the solid modeller where planes alone shape it."""
    if all(isinstance(feature, Taper) for feature in part.features):
        return Mesh.of_blocks([Block.of_box(part.body)])
    mesh = local_solid(part, segments).to_mesh64()
    return Mesh(
        np.asarray(mesh.vert_properties)[:, :3].copy(), np.asarray(mesh.tri_verts, dtype=np.uint32).copy()
    )


def local_solid(part: Part, segments: int = SEGMENTS) -> "Manifold":
    """A part in its own axes."""
    body = solid_of(Mesh.of_blocks([Block.of_box(part.body)]))
    solid = body
    for feature in part.features:
        if isinstance(feature, RoundBar):
            solid = body ^ _revolved(
                ((-_BEYOND, feature.diameter), (part.length + _BEYOND, feature.diameter)), segments
            )
        elif isinstance(feature, Sawn):
            solid ^= _sawn(part, feature)
    cutters = [cutter for feature in part.features for cutter in _cutters(part, feature, segments)]
    for cutter in cutters:
        solid -= cutter
    for feature in part.features:
        if isinstance(feature, Turning):
            solid = _turned(part, feature, body, solid, segments)
    return solid


def _sawn(part: Part, sawn: Sawn) -> "Manifold":
    """An outline of the wide face with its openings, right through the thickness."""
    from manifold3d import CrossSection, FillRule, Manifold  # loaded only when a solid is made

    rings = [np.array(ring, dtype=np.float64) for ring in (sawn.outline, *sawn.holes)]
    deep = part.thickness + 2 * _BEYOND
    return Manifold.extrude(CrossSection(rings, FillRule.EvenOdd), deep).translate((0.0, 0.0, -deep / 2))


def solid_of(mesh: Mesh) -> "Manifold":
    """A closed mesh as a solid, kept in doubles. ValueError when it is not closed."""
    from manifold3d import Error, Manifold, Mesh64  # loaded only when a solid is made

    solid = Manifold(Mesh64(mesh.corners, mesh.triangles.astype(np.uint64)))
    if solid.status() != Error.NoError:
        raise ValueError(f"the mesh is not a closed solid: {solid.status()}")
    return solid


def _box(low: Sequence[float], high: Sequence[float]) -> "Manifold":
    from manifold3d import Manifold  # loaded only when a solid is made

    size = tuple(b - a for a, b in zip(low, high, strict=True))
    return Manifold.cube(size).translate(tuple(low))


def _cutters(part: Part, feature: Feature, segments: int) -> Iterator["Manifold"]:
    """The solids that a feature takes out of the blank."""
    if isinstance(feature, Groove):
        yield _groove(part, feature)
    elif isinstance(feature, Notch):
        yield _box(feature.low, feature.high)
    elif isinstance(feature, Hole):
        yield _drill(part, feature, segments)
    elif isinstance(feature, Mortise):
        yield mortise_cutter(feature)
    elif isinstance(feature, Tenon):
        yield tenon_cutter(part, feature)
    elif isinstance(feature, RoundOver):
        for edge in feature.edges:
            yield _rounding(part, edge, feature.radius, segments)


def _groove(part: Part, groove: Groove) -> "Manifold":
    across = groove.face in (Face.PLUS_Y, Face.MINUS_Y)
    outer = (part.width if across else part.thickness) / 2
    reach = (outer - groove.depth, outer + _BEYOND)
    if groove.face in (Face.MINUS_Y, Face.MINUS_Z):
        reach = (-reach[1], -reach[0])
    wide = (groove.centre - groove.width / 2, groove.centre + groove.width / 2)
    ys, zs = (reach, wide) if across else (wide, reach)
    return _box((-_BEYOND, ys[0], zs[0]), (part.length + _BEYOND, ys[1], zs[1]))


def _drill(part: Part, hole: Hole, segments: int) -> "Manifold":
    """A drill with a flat point, polygon outside the true circle, from well outside the wood to its depth."""
    from manifold3d import Manifold  # loaded only when a solid is made

    run_in = 2 * (part.width + part.thickness)
    radius = hole.diameter / 2 / math.cos(math.pi / segments)
    drill = Manifold.cylinder(run_in + hole.depth, radius, radius, segments).translate((0.0, 0.0, -run_in))
    y = np.cross(hole.axis, (1.0, 0.0, 0.0) if abs(hole.axis[0]) < 0.9 else (0.0, 1.0, 0.0))
    y /= np.linalg.norm(y)
    x = np.cross(y, hole.axis)
    return drill.transform(np.ascontiguousarray(np.array((x, y, hole.axis, hole.at), dtype=np.float64).T))


def _rounding(part: Part, edge: tuple[int, int], radius: float, segments: int) -> "Manifold":
    """What a rounded edge loses, as a long prism that runs past the edge and both ends."""
    y, z = edge[0] * part.width / 2, edge[1] * part.thickness / 2
    cy, cz = y - edge[0] * radius, z - edge[1] * radius
    count = max(2, segments // 4)
    turns = [k * math.pi / 2 / count for k in range(count + 1)]
    arc = [(cy + edge[0] * radius * math.cos(a), cz + edge[1] * radius * math.sin(a)) for a in turns]
    past_y, past_z = y + edge[0] * _BEYOND, z + edge[1] * _BEYOND
    outline = [*arc, (cy, past_z), (past_y, past_z), (past_y, cz)]
    return _extruded(outline, -_BEYOND, part.length + _BEYOND)


def _extruded(outline: Sequence[Point2], low: float, high: float) -> "Manifold":
    """An outline of the section (y, z) drawn out along x."""
    from manifold3d import CrossSection, FillRule, Manifold  # loaded only when a solid is made

    section = CrossSection(
        [np.array(outline, dtype=np.float64)], FillRule.NonZero if _left(outline) else FillRule.Negative
    )
    prism = Manifold.extrude(section, high - low)
    axes = np.array(((0.0, 0.0, 1.0, low), (1.0, 0.0, 0.0, 0.0), (0.0, 1.0, 0.0, 0.0)))
    return prism.transform(axes)


def _left(outline: Sequence[Point2]) -> bool:
    return (
        sum(a[0] * b[1] - a[1] * b[0] for a, b in zip(outline, [*outline[1:], outline[0]], strict=True)) > 0
    )


def _revolved(profile: Iterable[tuple[float, float]], segments: int) -> "Manifold":
    """A profile (x, diameter) turned about the centre line."""
    from manifold3d import CrossSection, Manifold  # loaded only when a solid is made

    points = [(diameter / 2, x) for x, diameter in profile]
    outline = [(0.0, points[0][1]), *points, (0.0, points[-1][1])]
    bar = Manifold.revolve(CrossSection([np.array(outline, dtype=np.float64)]), segments)
    axes = np.array(((0.0, 0.0, 1.0, 0.0), (1.0, 0.0, 0.0, 0.0), (0.0, 1.0, 0.0, 0.0)))
    return bar.transform(axes)


def _turned(part: Part, turning: Turning, body: "Manifold", squared: "Manifold", segments: int) -> "Manifold":
    """The squared ends and the turned length between them."""
    low, high = turning.profile[0][0], turning.profile[-1][0]
    solid = body ^ _revolved(turning.profile, segments)
    if low > _BEYOND:
        solid += squared.trim_by_plane((-1.0, 0.0, 0.0), -low)
    if high < part.length - _BEYOND:
        solid += squared.trim_by_plane((1.0, 0.0, 0.0), high)
    return solid


def overlaps(
    parts: Iterable[Part], standing: Iterable[Post] = (), more_than: float = TOUCH_OVERLAP_VOLUME
) -> tuple[Overlap, ...]:
    """Pairs that share more than ``more_than`` mm3 of wood: parts among themselves and with what stands there.

    Boxes around the pieces are compared first, solids only where these meet.
    """
    own = [part_body(part) for part in parts]
    others = [post_body(post) for post in standing]
    found = []
    for a, b in _near_pairs(own, others):
        shared = (a.solid ^ b.solid).volume()
        if shared > more_than:
            found.append(Overlap(a.name, b.name, shared))
    return tuple(found)


def _near_pairs(own: Sequence[Body], others: Sequence[Body]) -> Iterator[tuple[Body, Body]]:
    """Pairs whose boxes meet; two of the others are not compared."""
    everything = [*own, *others]
    if not everything:
        return
    lows = np.array([body.low for body in everything])
    highs = np.array([body.high for body in everything])
    for i, body in enumerate(own):
        meets = ((lows[i + 1 :] < body.high) & (highs[i + 1 :] > body.low)).all(axis=1)
        for j in np.flatnonzero(meets):
            yield body, everything[i + 1 + int(j)]


def gap(a: Body, b: Body, search: float = 10.0) -> float:
    """Least distance between two solids in mm, up to ``search``; 0 where they touch or overlap."""
    return float(a.solid.min_gap(b.solid, search))


def touching(a: Body, b: Body, within: float = 0.05) -> bool:
    """Whether two solids touch, within mm: half the step at which pieces count as alike."""
    return gap(a, b, max(1.0, 2 * within)) <= within
