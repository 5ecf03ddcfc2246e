"""Parts of the infill: the uprights, cut by what they meet."""

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise

from pitchline.design.brief import Shape
from pitchline.design.model import EASED, Bar, BarRole, Design, Upright
from pitchline.kit.geometry.cutbox import CutBox
from pitchline.kit.geometry.frames import Plane
from pitchline.kit.tolerances import CORNER_MISS
from pitchline.parts.joints.registry import joint_of
from pitchline.parts.part import Feature, Part, Role, RoundBar, RoundOver, Turning
from pitchline.parts.shaping import Cut, Stick, cut_to_length, edge_planes, face_names


def end_planes(design: Design) -> dict[str, Plane]:
    """The true planes (lean and twist included) that the labels ``start`` and ``finish`` of an outline mean."""
    return {"start": design.bay.start.flipped(), "finish": design.bay.finish.flipped()}


def upright_parts(design: Design) -> Iterator[Part]:
    """One part an upright."""
    for upright in design.uprights:
        yield _upright(design, upright)


def _upright(design: Design, upright: Upright) -> Part:
    up = _up(upright)
    stick = _stick(upright)
    cut = _cut_upright(design, upright, stick)
    joint = joint_of(design.making)
    lift = (upright.foot[0] - cut.frame.origin[0]) * up[0] + (upright.foot[1] - cut.frame.origin[2]) * up[1]
    return Part(
        place=upright.mark,
        mark=upright.mark,
        role=Role.UPRIGHT,
        material=upright.material,
        length=cut.length,
        width=stick.width,
        thickness=stick.thickness,
        start_cuts=cut.start,
        finish_cuts=cut.finish,
        features=(
            *_shape(upright, lift, cut.length, bored=joint.in_bores),
            *joint.on_upright(design, upright, cut.frame),
        ),
        frame=cut.frame,
        trim=design.brief.member_trim,
        length_sigma=0.0,
        face_names=face_names(cut.frame, design.side),
    )


def _stick(upright: Upright) -> Stick:
    centre = (upright.foot[0], upright.y, upright.foot[1])
    return Stick(centre, _up(upright), upright.width, upright.thickness)


def _cut_upright(design: Design, upright: Upright, stick: Stick) -> Cut:
    """Cut by what its outline meets, and by what only its corners meet where an end face is twisted."""
    planes = edge_planes(upright.outline, ("left", "right"), end_planes(design))
    return cut_corners_too(stick, planes, _near_misses(design, upright))


def cut_corners_too(stick: Stick, planes: Sequence[Plane], walls: Iterable[Plane]) -> Cut:
    """Cut by the planes, and by those walls past which a corner would still stand."""
    used = list(planes)
    cut = cut_to_length(stick, used)
    for wall in walls:
        body = CutBox(cut.length, stick.width, stick.thickness, (*cut.start, *cut.finish))
        local = cut.frame.plane_to_local(wall)
        if max(local.distance(corner) for corner in body.corners) > CORNER_MISS:
            used.append(wall)
            cut = cut_to_length(stick, used)
    return cut


def _near_misses(design: Design, upright: Upright) -> Iterator[Plane]:
    """Planes around the field that the outline does not meet but passes nearer than half the upright's thickness."""
    bay = design.bay
    ends = end_planes(design)
    planes = [
        (label, ends[label])
        for label, closed in (("start", bay.closed_start), ("finish", bay.closed_finish))
        if closed
    ]
    if not joint_of(design.making).in_bores:
        planes.append(("rail", _seat_plane(design.handrail, 1.0)))
        if design.base is not None:
            planes.append(("base", _seat_plane(design.base, -1.0)))
    eased = EASED in upright.outline.labels
    for label, plane in planes:
        if eased and label == "rail":
            continue
        points = [(u, upright.y, z) for u, z in upright.outline.points]
        if label not in upright.outline.labels and max(map(plane.distance, points)) > -upright.thickness / 2:
            yield plane


def _seat_plane(bar: Bar, outwards: float) -> Plane:
    seat = bar.seat or bar.face
    return Plane((0.0, bar.y, seat.z0), (outwards * seat.normal[0], 0.0, outwards * seat.normal[1]))


def _up(upright: Upright) -> tuple[float, float]:
    return (math.sin(upright.lean), math.cos(upright.lean))


def _shape(upright: Upright, lift: float, length: float, *, bored: bool) -> Iterator[Feature]:
    if upright.shape is Shape.ROUND:
        yield RoundBar(upright.width)
    elif upright.shape is Shape.TURNED:
        profile = [(lift + x, diameter) for x, diameter in upright.profile]
        yield Turning(tuple(_turned_to_the_ends(profile, length, upright.width) if bored else profile))
    if upright.shape is not Shape.ROUND and upright.arris > 0 and not bored:
        yield RoundOver(((-1, -1), (-1, 1), (1, -1), (1, 1)), upright.arris)


def _turned_to_the_ends(
    profile: list[tuple[float, float]], length: float, width: float
) -> Iterator[tuple[float, float]]:
    """For round holes a turned upright is round from end to end, as wide as its blank outside its profile."""
    outside = [(0.0, width), (profile[0][0], width), *profile, (profile[-1][0], width), (length, width)]
    inside = [(x, diameter) for x, diameter in outside if 0.0 <= x <= length]
    near = [] if inside[0][0] == 0.0 else [(0.0, _diameter_at(outside, 0.0))]
    far = [] if inside[-1][0] == length else [(length, _diameter_at(outside, length))]
    last = None
    for place in (*near, *inside, *far):
        if place != last:
            yield place
        last = place


def _diameter_at(profile: list[tuple[float, float]], x: float) -> float:
    """The diameter at a place of a profile, straight between its points."""
    for (ax, a), (bx, b) in pairwise(profile):
        if ax <= x <= bx and bx > ax:
            return a + (b - a) * (x - ax) / (bx - ax)
    return profile[0][1] if x < profile[0][0] else profile[-1][1]


def reaches(design: Design, upright: Upright, bar: Bar) -> bool:
    """Whether an upright goes into a bar, be it only with the tip of an end that dies into a newel."""
    label = "rail" if bar.role is BarRole.HANDRAIL else "base"
    if label in upright.outline.labels:
        return True
    stick = _stick(upright)
    cut = _cut_upright(design, upright, stick)
    body = CutBox(cut.length, stick.width, stick.thickness, (*cut.start, *cut.finish))
    sense = 1.0 if bar.role is BarRole.HANDRAIL else -1.0
    tips = (cut.frame.to_world(corner) for corner in body.corners)
    return max(sense * (z - bar.face.at(u)) for u, _, z in tips) > CORNER_MISS
