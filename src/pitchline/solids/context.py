"""The stair around a balustrade as plain blocks: floors, steps, string, standing newels and walls.

Only what was measured is true in it; thicknesses of treads, floors and walls are drawn, not known.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

from pitchline.design.makings import OnTreads
from pitchline.design.model import Design, Post, PostRole
from pitchline.kit.geometry.cutbox import CutBox
from pitchline.kit.geometry.frames import Frame
from pitchline.kit.geometry.lines import Line, Point2
from pitchline.kit.geometry.outlines import HalfPlane, Outline
from pitchline.solids.mesh import Block
from pitchline.stair.model import CutString, Flight, StringBoard, Wall

_TREAD, _FLOOR, _WALL = 25.0, 40.0, 80.0
_FLOOR_SHOWN, _WIDTH = 600.0, 850.0
"""mm drawn: thickness of treads, floors and walls, floor shown at both ends, width of a flight not measured."""

_OUTSIDE = 15.0
"""mm that steps without a string are drawn to run past the base rail on the open side."""


class Kind(StrEnum):
    """What stands around a balustrade."""

    FLOOR = "floor"
    STEP = "step"
    STRING = "string"
    NEWEL = "existing newel"
    WALL = "wall"


@dataclass(frozen=True, eq=False)
class Surrounding:
    """One named thing of the stair, as convex blocks in the edge's co-ordinates."""

    name: str
    kind: Kind
    blocks: tuple[Block, ...]


def post_blank(post: Post) -> tuple[Frame, CutBox]:
    """A post as a box in its own axes: X up it, Y along its first side."""
    return Frame.from_xy(post.foot, post.axis, post.along_axis), CutBox(post.length, post.along, post.across)


def surroundings(design: Design) -> tuple[Surrounding, ...]:
    """Everything that stands already, from the foot of the stair to its head."""
    flight = design.flight
    across = _across(design)
    string = () if flight.string is None else (_string(design, flight.string),)
    if flight.cut_string is not None and not flight.is_level:
        string = (*string, _cut_string(design, flight.cut_string))
    newels = (post for post in design.posts if post.role is PostRole.EXISTING and not post.shared)
    standing = (
        tuple(_slab(flight, across))
        if flight.is_level
        else (*_floors(flight, across), *_steps(flight, across))
    )
    return (
        *standing,
        *string,
        *(_newel(post) for post in newels),
        *(_wall(design, wall) for wall in flight.walls if _is_met(design, wall)),
    )


def _across(design: Design) -> tuple[float, float]:
    """From where to where the steps run in y."""
    towards = design.side.towards_stair
    string = design.flight.string
    widest = max(bar.width for bar in design.bars)
    inside = -(widest / 2 + _OUTSIDE) if string is None else string.thickness / 2
    if string is None and design.flight.cut_string is not None:
        inside = -_outer_face(design) - design.flight.cut_string.return_nosing
    return (towards * inside, towards * (inside + (design.flight.width or _WIDTH)))


def _rectangle(u0: float, u1: float, z0: float, z1: float) -> tuple[Point2, ...]:
    return ((u0, z0), (u1, z0), (u1, z1), (u0, z1))


def _floors(flight: Flight, across: tuple[float, float]) -> Iterator[Surrounding]:
    first, (last, top) = flight.nosings[0][0] + flight.nosing_overhang, flight.nosings[-1]
    spread = 60.0 if across[1] > across[0] else -60.0
    wide = (across[0] - spread, across[1])
    low = Block.of_prism(_rectangle(first - _FLOOR_SHOWN, first, -_FLOOR, 0.0), *wide)
    high = Block.of_prism(_rectangle(last, last + _FLOOR_SHOWN, top - _FLOOR, top), *wide)
    yield Surrounding("lower floor", Kind.FLOOR, (low,))
    yield Surrounding("upper floor", Kind.FLOOR, (high,))


def _slab(flight: Flight, across: tuple[float, float]) -> Iterator[Surrounding]:
    """The floor along a level edge, from its first to its last point."""
    (first, low), (last, high) = flight.nosings[0], flight.nosings[-1]
    outline = ((first, low - _FLOOR), (last, high - _FLOOR), (last, high), (first, low))
    yield Surrounding(f"floor {flight.id}", Kind.FLOOR, (Block.of_prism(outline, *across),))


def _steps(flight: Flight, across: tuple[float, float]) -> Iterator[Surrounding]:
    """Each step: a tread that overhangs its riser, and the body below it."""
    back = flight.nosing_overhang
    below = 0.0
    for number, ((u, z), (further, _)) in enumerate(pairwise(flight.nosings), start=1):
        tread = min(_TREAD, (z - below) / 2)
        blocks = (
            Block.of_prism(_rectangle(u, further + back, z - tread, z), *across),
            Block.of_prism(_rectangle(u + back, further + back, below, z - tread), *across),
        )
        yield Surrounding(f"step {number}", Kind.STEP, blocks)
        below = z - tread
    (u, z), rise = flight.nosings[-1], flight.nosings[-1][1] - below
    if rise > _FLOOR:
        riser = Block.of_prism(_rectangle(u + back, u + back + _TREAD, below, z - _FLOOR), *across)
        yield Surrounding(f"riser {len(flight.nosings)}", Kind.STEP, (riser,))


def _string(design: Design, string: StringBoard) -> Surrounding:
    """The string between the two ends of the base rail, cut off at the floor."""
    foot = string.top.offset(-string.depth)
    ends = design.base or design.handrail
    u0, u1 = ends.start.point[0] - 400.0, ends.finish.point[0] + 400.0
    outline = Outline.of((foot.point(u0), foot.point(u1), string.top.point(u1), string.top.point(u0)))
    for number, plane in enumerate((ends.start, ends.finish)):
        normal = (1.0 if number else -1.0, 0.0)
        at = plane.meet_line((0.0, 0.0, string.top.z0), (1.0, 0.0, string.top.slope))
        outline = outline.clipped(HalfPlane((at[0], at[2]), normal), f"end {number}")
    outline = outline.clipped(HalfPlane((0.0, 0.0), (0.0, -1.0)), "floor")
    half = string.thickness / 2
    blocks = (Block.of_prism(outline.points, -half, half),) if len(outline.points) >= 3 else ()
    return Surrounding(f"string {string.id}", Kind.STRING, blocks)


def _outer_face(design: Design) -> float:
    """How far outside the middle of the rails a cut string's outer face is: in line with the uprights or beyond."""
    making = design.making
    inset = making.inset if isinstance(making, OnTreads) else 0.0
    thick = design.uprights[0].thickness if design.uprights else design.handrail.width
    return thick / 2 + inset


def _cut_string(design: Design, string: CutString) -> Surrounding:
    """A string cut to the steps: under each tread from riser to riser, down to an edge along the rake."""
    flight, towards = design.flight, design.side.towards_stair
    back, nosings = flight.nosing_overhang, flight.nosings
    line = Line.through(nosings[0], nosings[-1])
    floors = (0.0, *(z for _, z in nosings[:-1]))
    lowest = min(low - line.at(u + back) for (u, _), low in zip(nosings, floors, strict=True))
    edge = line.raised(lowest).offset(-string.depth)
    ends = sorted((-towards * _outer_face(design), towards * (string.thickness - _outer_face(design))))
    blocks = []
    for (u, z), (further, _) in pairwise(nosings):
        near, far, top = u + back, further + back, z - _TREAD
        outline = Outline.of((edge.point(near), edge.point(far), (far, top), (near, top)))
        outline = outline.clipped(HalfPlane((0.0, 0.0), (0.0, -1.0)), "floor")
        if len(outline.points) >= 3:
            blocks.append(Block.of_prism(outline.points, ends[0], ends[1]))
    return Surrounding(f"string {string.id}", Kind.STRING, tuple(blocks))


def _newel(post: Post) -> Surrounding:
    frame, blank = post_blank(post)
    return Surrounding(f"newel {post.id}", Kind.NEWEL, (Block.of_box(blank).placed(frame),))


def _is_met(design: Design, wall: Wall) -> bool:
    return any(wall.id in end for end in (design.handrail.start_at, design.handrail.finish_at)) or any(
        post.role is PostRole.HALF and post.station == wall.station for post in design.posts
    )


def _wall(design: Design, wall: Wall) -> Surrounding:
    """A piece of wall behind the rail's end."""
    middle = (design.bay.start.point[0] + design.bay.finish.point[0]) / 2
    behind = wall.face_u - _WALL if wall.face_u < middle else wall.face_u + _WALL
    rail = design.handrail.top.at(wall.face_u)
    near, far = sorted((wall.face_u, behind))
    outline = _rectangle(near, far, rail - 1300.0, rail + 250.0)
    towards = design.side.towards_stair
    block = Block.of_prism(outline, -towards * 120.0, towards * 260.0)
    return Surrounding(f"wall {wall.id}", Kind.WALL, (block,))
