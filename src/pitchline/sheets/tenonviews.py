"""Ends worked to a tenon or a dovetail, as they are seen in a view of a part. Lengths in mm."""

from collections.abc import Iterable, Iterator

from pitchline.kit.drawing.marks import Points
from pitchline.kit.geometry.frames import Vec3
from pitchline.kit.geometry.lines import Point2
from pitchline.kit.geometry.outlines import clip_half_plane
from pitchline.parts.part import Tenon

Line2 = tuple[Point2, Point2]


def parted_at_shoulders(outline: Points, tenons: Iterable[Tenon], up: Vec3) -> list[Points]:
    """A view's outline as the body between the shoulders and the tenons beyond them; ``up`` is the view's axis."""
    body = outline
    tongues: list[Points] = []
    for tenon in tenons:
        at, normal = _trace(tenon, up)
        beyond = clip_half_plane(body, at, (-normal[0], -normal[1]))
        body = clip_half_plane(body, at, normal)
        tongues.append(_tongue(beyond, tenon, up))
    return [shape for shape in (body, *tongues) if len(shape) > 2]


def strokes_of(shapes: Iterable[Points]) -> Iterator[Line2]:
    """The edges of shapes in turn."""
    for shape in shapes:
        yield from zip(shape, (*shape[1:], shape[0]), strict=True)


def _trace(tenon: Tenon, up: Vec3) -> tuple[Point2, Point2]:
    """A shoulder on the piece's middle plane: a point of the line, and the way to the tip."""
    (nx, ny, nz) = tenon.shoulder.normal
    across = ny * up[1] + nz * up[2]
    return (-tenon.shoulder.distance((0.0, 0.0, 0.0)) / nx, 0.0), (nx, across)


def _tongue(beyond: Points, tenon: Tenon, up: Vec3) -> Points:
    """What is left beyond a shoulder, its sides leaning where it is a dovetail."""
    if not beyond:
        return beyond
    axis = 0 if abs(up[1]) > abs(up[2]) else 1
    sense = up[axis + 1]
    low, high = sorted((sense * tenon.low[axis], sense * tenon.high[axis]))
    inwards = 1.0 if tenon.shoulder.normal[0] < 0.0 else -1.0
    tip = min(x for x, _ in beyond) if inwards > 0.0 else max(x for x, _ in beyond)
    lean = tenon.flare[axis] * inwards
    return clip_half_plane(clip_half_plane(beyond, (tip, low), (lean, -1.0)), (tip, high), (lean, 1.0))
