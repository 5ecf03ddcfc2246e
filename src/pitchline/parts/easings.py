"""The bent pieces of a handrail: sawn to true arcs from a blank whose grain runs along their chord. Lengths in mm."""

import math
from collections.abc import Iterator

from pitchline.design.model import Design, Easement
from pitchline.kit.geometry.contours import Arc, Contour, chords
from pitchline.kit.geometry.easings_stock import least_blank
from pitchline.kit.geometry.frames import Frame, Plane, Vec3
from pitchline.kit.geometry.lines import Point2
from pitchline.kit.tolerances import CHORD_OFF_ARC
from pitchline.parts.part import Part, Role, Sawn
from pitchline.parts.shaping import face_names


def easing_parts(design: Design) -> Iterator[Part]:
    """One part for each bent piece that is made with this leg."""
    for piece in design.easements:
        if not piece.shared:
            yield _easing(design, piece)


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


def _easing(design: Design, piece: Easement) -> Part:
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
        features=(sawn(piece.outline, frame),),
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
