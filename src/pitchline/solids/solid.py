"""Parts as solids, to see whether they fit: nothing may overlap, what belongs together must touch.

Circles become polygons: round wood lies inside the true circle and holes outside it, so that what fits in truth
never seems to clash. Lengths in mm, volumes in mm3.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from pitchline.design.model import Post
from pitchline.kit.geometry.cutbox import CutBox
from pitchline.kit.geometry.frames import Plane, add
from pitchline.kit.tolerances import TOUCH_OVERLAP_VOLUME
from pitchline.parts.part import Part, RoundBar, Sawn, Taper, Turning
from pitchline.solids.context import post_blank
from pitchline.solids.cutters import (
    Cutter,
    bar_surface,
    box,
    cutters,
    revolved,
    rounded_stick,
    sawn_plate,
    turned_stretch,
)
from pitchline.solids.joinery import BEYOND
from pitchline.solids.mesh import Block, Mesh

if TYPE_CHECKING:
    from manifold3d import Manifold

SEGMENTS = 64
"""Sides of a full circle: a 40 mm bar is then at most 0.03 mm inside its true surface."""


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
    """A part in its own axes; its holes are polygons outside their true circles."""
    return shaped(part, segments, lambda cutter: cutter.solid, outside=True)


def shaped(
    part: Part, segments: int, use: Callable[[Cutter], "Manifold"], *, outside: bool = False
) -> "Manifold":
    """A part in its own axes, worked from its blank; ``use`` gets every solid that is worked with."""
    stick = rounded_stick(part, segments)
    bar = next((feature for feature in part.features if isinstance(feature, RoundBar)), None)
    if stick is None and bar is not None:
        stick = bar_surface(part, bar.diameter, segments)
    body = use(Cutter(solid_of(_blank(part, spare=stick is not None))))
    if stick is not None:
        body ^= use(stick)
    solid = body
    for feature in part.features:
        if isinstance(feature, Sawn):
            solid ^= use(sawn_plate(part, feature))
    taken = [one for feature in part.features for one in cutters(part, feature, segments, outside=outside)]
    for one in taken:
        solid -= use(one)
    for feature in part.features:
        if isinstance(feature, Turning):
            solid = _turned(part, feature, segments, solid, use)
    return solid


def solid_of(mesh: Mesh) -> "Manifold":
    """A closed mesh as a solid, kept in doubles. ValueError when it is not closed."""
    from manifold3d import Error, Manifold, Mesh64  # loaded only when a solid is made

    solid = Manifold(Mesh64(mesh.corners, mesh.triangles.astype(np.uint64)))
    if solid.status() != Error.NoError:
        raise ValueError(f"the mesh is not a closed solid: {solid.status()}")
    return solid


def _blank(part: Part, *, spare: bool) -> Mesh:
    """The blank between its end planes; with room to spare where its long faces are shaped otherwise."""
    if not spare:
        return Mesh.of_blocks([Block.of_box(part.body)])
    shift = (_SPARE, 0.0, 0.0)
    planes = tuple(Plane(add(plane.point, shift), plane.normal) for plane in part.body.planes)
    room = 2 * BEYOND
    box = CutBox(part.length + 2 * _SPARE, part.width + room, part.thickness + room, planes)
    block = Block.of_box(box)
    return Mesh.of_blocks([replace(block, corners=block.corners - np.array(shift))])


_SPARE = 100.0
"""mm beyond the longest point that a blank with room to spare reaches: its end planes cut it off."""


def _turned(
    part: Part, turning: Turning, segments: int, squared: "Manifold", use: Callable[[Cutter], "Manifold"]
) -> "Manifold":
    """The squared ends and the turned length between them."""
    low, high = turned_stretch(turning)
    lathe = use(Cutter(solid_of(_blank(part, spare=True))))
    solid = lathe ^ use(revolved(turning.profile, segments))
    far = part.length + part.width + part.thickness
    if low > BEYOND:
        solid += squared ^ use(Cutter(box((-far, -far, -far), (low, far, far))))
    if high < part.length - BEYOND:
        solid += squared ^ use(Cutter(box((high, -far, -far), (2 * far, far, far))))
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
