"""Parts of the infill that runs along a bay: bars, rods and cables, cut by what they meet. Lengths in mm."""

import math
from collections.abc import Iterator

from pitchline.design.brief import StrandKind
from pitchline.design.model import JOINED, Design, Post, Strand
from pitchline.kit.geometry.frames import Plane, Vec3, along, dot
from pitchline.kit.geometry.lines import Point2
from pitchline.kit.taut import spans_of
from pitchline.kit.tolerances import SAME_POINT
from pitchline.parts.part import Feature, Part, Role, RoundBar, RoundOver
from pitchline.parts.shaping import Stick, cut_to_length, face_names

_ROLES = {StrandKind.BAR: Role.STRAND, StrandKind.ROD: Role.ROD, StrandKind.CABLE: Role.CABLE}


def strand_parts(design: Design) -> Iterator[Part]:
    """One part a strand, from the lowest."""
    for strand in design.strands:
        yield _strand(design, strand)


def _strand(design: Design, strand: Strand) -> Part:
    stick = stick_of(strand)
    cut = cut_to_length(stick, (strand.start, strand.finish))
    return Part(
        place=strand.mark,
        mark=strand.mark,
        role=_ROLES[strand.kind],
        material=strand.material,
        length=cut.length,
        width=stick.width,
        thickness=stick.thickness,
        start_cuts=cut.start,
        finish_cuts=cut.finish,
        features=tuple(_shape(strand)),
        frame=cut.frame,
        trim=design.brief.member_trim,
        length_sigma=length_sigma(design, strand),
        face_names=face_names(cut.frame, design.side),
    )


def stick_of(strand: Strand) -> Stick:
    """A strand before its ends are cut."""
    u = (strand.start.point[0] + strand.finish.point[0]) / 2
    return Stick((u, strand.y, strand.line.at(u)), strand.line.direction, strand.depth, strand.thickness)


def length_sigma(design: Design, strand: Strand) -> float:
    """Standard uncertainty that the survey leaves in the length of a strand."""
    return design.bay.run_sigma / strand.line.direction[0]


def _shape(strand: Strand) -> Iterator[Feature]:
    if strand.is_round:
        yield RoundBar(strand.depth)
    elif strand.arris > 0:
        yield RoundOver(((-1, -1), (-1, 1), (1, -1), (1, 1)), strand.arris)


def clear_length(strand: Strand) -> float:
    """Length of a strand's centre line between what holds its two ends: what is seen of it."""
    (low_start, low_finish, high_finish, high_start) = strand.sight
    start = ((low_start[0] + high_start[0]) / 2, (low_start[1] + high_start[1]) / 2)
    finish = ((low_finish[0] + high_finish[0]) / 2, (low_finish[1] + high_finish[1]) / 2)
    return math.dist(start, finish)


def spacer_places(design: Design) -> tuple[float, ...]:
    """Where along the edge (u) spacers hold the cables between the posts: on the lowest, at equal spans."""
    if not design.strands:
        return ()
    strand = design.strands[0]
    count = spans_of(max(map(clear_length, design.strands)), strand.apart)
    start, finish = strand.sight[0][0], strand.sight[1][0]
    return tuple(start + (finish - start) * k / count for k in range(1, count))


def end_in(design: Design, post: Post, strand: Strand) -> tuple[Vec3, Vec3, float] | None:
    """Where a strand enters a newel on its centre line, the way it goes on, and how far along itself it reaches.

    None where it ends on the newel's face or meets another one.
    """
    if post.role in JOINED:
        return None
    at_head = post.foot[0] > (design.bay.start.point[0] + design.bay.finish.point[0]) / 2
    end, sense = (strand.finish, 1.0) if at_head else (strand.start, -1.0)
    way: Vec3 = (sense * strand.line.direction[0], 0.0, sense * strand.line.direction[1])
    start: Vec3 = (0.0, strand.y, strand.line.z0)
    entry = post.face(towards_head=not at_head).meet_line(start, way)
    tip = end.meet_line(start, way)
    depth = dot((tip[0] - entry[0], tip[1] - entry[1], tip[2] - entry[2]), way)
    return None if depth <= SAME_POINT else (entry, way, depth)


def runs_through(post: Post, entry: Vec3, way: Vec3, depth: float) -> bool:
    """Whether a strand comes out at the far side of a newel."""
    far = post.face(towards_head=way[0] > 0)
    return far.distance(along(entry, way, depth)) > -SAME_POINT


def mouth(strand: Strand, way: Vec3, face: Plane) -> tuple[Vec3, ...]:
    """The corners of a rectangular strand where it passes a plane."""
    normal: Point2 = strand.line.normal
    half_d, half_t = strand.depth / 2, strand.thickness / 2
    corners = []
    for up, across in ((-1, -1), (1, -1), (1, 1), (-1, 1)):
        start: Vec3 = (
            up * half_d * normal[0],
            strand.y + across * half_t,
            strand.line.z0 + up * half_d * normal[1],
        )
        corners.append(face.meet_line(start, way))
    return tuple(corners)
