"""The bent pieces of a handrail: sawn to true arcs from a blank whose grain runs along their chord. Lengths in mm."""

import math
from collections.abc import Iterator
from dataclasses import replace

from pitchline.design.model import EASED, Bar, Design, Easement, Upright
from pitchline.kit.geometry.contours import Arc, Contour, chords
from pitchline.kit.geometry.easings_stock import least_blank
from pitchline.kit.geometry.frames import Frame, Plane, Vec3
from pitchline.kit.geometry.lines import Line, Point2
from pitchline.kit.tolerances import CHORD_OFF_ARC, SAME_POINT
from pitchline.parts.joints.registry import joint_of
from pitchline.parts.part import Feature, Part, Role, Sawn
from pitchline.parts.shaping import face_names


def easing_parts(design: Design, following: Design | None = None) -> Iterator[Part]:
    """One part for each bent piece that is made with this leg, bored or mortised for the uprights of both legs."""
    for piece in design.easements:
        if piece.shared:
            continue
        seen = [(design, piece)]
        if following is not None:
            seen += [(following, other) for other in following.easements if other.id == piece.id]
        housings = [feature for leg, other in seen for feature in _housings(leg, other)]
        yield _easing(design, piece, tuple(housings))


def _housings(design: Design, piece: Easement) -> Iterator[Feature]:
    """What the joint cuts into the bent piece for the uprights of one leg, each as into a rail along its chord."""
    frame, _, _ = easing_frame(piece)
    for upright in design.uprights:
        if EASED in upright.outline.labels and _meets(piece, upright):
            rail, straight = _along_chord(design.handrail, piece, upright)
            alone = replace(design, handrail=rail, uprights=(straight,))
            yield from joint_of(design.making).in_rail(alone, rail, frame)


def _tops(upright: Upright) -> list[Point2]:
    """The two upper corners of what is seen of an upright."""
    up = (math.sin(upright.lean), math.cos(upright.lean))
    return sorted(upright.sight, key=lambda p: p[0] * up[0] + p[1] * up[1])[-2:]


def _meets(piece: Easement, upright: Upright) -> bool:
    """Whether an upright ends on this bent piece."""
    arc = piece.under(piece.depth)
    return any(
        abs(math.dist(top, arc.centre) - arc.radius) <= SAME_POINT
        and arc.reaches(math.atan2(top[1] - arc.centre[1], top[0] - arc.centre[0]))
        for top in _tops(upright)
    )


def _along_chord(handrail: Bar, piece: Easement, upright: Upright) -> tuple[Bar, Upright]:
    """The handrail as it would be along the chord over one upright, and the upright as if it met that."""
    face = Line.through(*sorted(_tops(upright)))
    reach = (
        0.0
        if handrail.seat is None
        else (handrail.seat.z0 - handrail.bottom.z0) * math.cos(handrail.top.angle)
    )
    seat = None if handrail.seat is None else face.offset(reach)
    labels = tuple("rail" if label == EASED else label for label in upright.outline.labels)
    rail = replace(handrail, bottom=face, top=face.offset(piece.depth), seat=seat)
    return rail, replace(upright, outline=replace(upright.outline, labels=labels))


def easing_frame(piece: Easement) -> tuple[Frame, float, float]:
    """The piece's own frame, with the length and width of its blank: X along the grain, Y across it, Z level."""
    contour = piece.outline
    blank = least_blank(contour)
    along, up = blank.angle, blank.angle + math.pi / 2.0
    low, _ = contour.extent(along)
    bottom, top = contour.extent(up)
    middle = (bottom + top) / 2.0
    origin = (
        low * math.cos(along) + middle * math.cos(up),
        0.0,
        low * math.sin(along) + middle * math.sin(up),
    )
    x: Vec3 = (math.cos(along), 0.0, math.sin(along))
    return Frame.from_xy(origin, x, (math.cos(up), 0.0, math.sin(up))), blank.length, blank.width


def _easing(design: Design, piece: Easement, housings: tuple[Feature, ...]) -> Part:
    frame, length, width = easing_frame(piece)
    return Part(
        place=piece.id,
        mark=piece.id,
        role=Role.EASING,
        material=piece.material,
        length=length,
        width=width,
        thickness=piece.width,
        start_cuts=(Plane((0.0, 0.0, 0.0), (-1.0, 0.0, 0.0)),),
        finish_cuts=(Plane((length, 0.0, 0.0), (1.0, 0.0, 0.0)),),
        features=(sawn(piece.outline, frame), *housings),
        frame=frame,
        face_names=face_names(frame, design.side),
    )


def sawn(contour: Contour, frame: Frame) -> Sawn:
    """A contour of the elevation as the outline of a piece, its arcs told truly beside their chords."""
    points: list[tuple[float, float]] = []
    arcs: list[tuple[int, int, float, float, float]] = []
    for piece in contour.pieces:
        first = len(points)
        points += [_local(frame, point) for point in chords(piece, CHORD_OFF_ARC)]
        if isinstance(piece, Arc):
            cx, cy = _local(frame, piece.centre)
            arcs.append((first, len(points), cx, cy, piece.radius))
    count = len(points)
    told = tuple((first, last % count, cx, cy, radius) for first, last, cx, cy, radius in arcs)
    return Sawn(tuple(points), (), told)


def _local(frame: Frame, point: Point2) -> tuple[float, float]:
    x, y, _ = frame.to_local((point[0], 0.0, point[1]))
    return (x, y)
