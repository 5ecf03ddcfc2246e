"""Fillets or spacer blocks: what lies between the uprights in the rails. Lengths in mm."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from pitchline.design.bay import half_plane
from pitchline.design.model import Bar, Design, Upright
from pitchline.kit.geometry.frames import Plane
from pitchline.kit.geometry.outlines import HalfPlane, Outline
from pitchline.parts.infill import cut_corners_too, reaches
from pitchline.parts.joints.joint import Band
from pitchline.parts.joints.registry import joint_of
from pitchline.parts.part import Part
from pitchline.parts.shaping import NothingLeftError, Stick, edge_planes, face_names


def band_ends(bar: Bar) -> dict[str, Plane]:
    """The true planes that end a bar, by the labels of an outline."""
    return {"start": bar.start, "finish": bar.finish}


def bands(design: Design) -> tuple[Band, ...]:
    """The bands of a design: none where nothing lies between its uprights in the rails."""
    return tuple(joint_of(design.making).bands(design))


@dataclass(frozen=True, slots=True)
class _Place:
    """A place in a band, and the planes that bound it whether or not they show in its outline."""

    outline: Outline
    walls: tuple[Plane, ...]


def band_outlines(design: Design, band: Band) -> tuple[Outline, ...]:
    """The places between the uprights in a band, from the foot of the stair, end play taken off."""
    return tuple(place.outline for place in _places(design, band))


def _places(design: Design, band: Band) -> Iterator[_Place]:
    housed = [upright for upright in design.uprights if reaches(design, upright, band.bar)]
    whole = _band_field(design, band)
    ends = tuple(band_ends(band.bar).values())
    for before, after in zip([None, *housed], [*housed, None], strict=True):
        piece, walls = whole, ends
        for upright, side, label in ((before, "right", "left"), (after, "left", "right")):
            if upright is not None:
                half = _beside(upright, side, band.end_play / 2)
                piece = piece.clipped(half, label)
                at, out = half.point, half.normal
                walls += (Plane((at[0], 0.0, at[1]), (out[0], 0.0, out[1])),)
        if len(piece.points) >= 3 and _worth_making(piece):
            yield _Place(piece, walls)


def _worth_making(piece: Outline) -> bool:
    us = [u for u, _ in piece.points]
    return max(us) - min(us) > 1.0


def _band_field(design: Design, band: Band) -> Outline:
    """The band from end to end of its bar: past a free end's last upright it fills the overhang too."""
    ends = band_ends(band.bar)
    reach = (min(p[0] for p in design.bay.full.points), max(p[0] for p in design.bay.full.points))
    u0, u1 = reach[0] - 500.0, reach[1] + 500.0
    corners = (band.low.point(u0), band.low.point(u1), band.high.point(u1), band.high.point(u0))
    outline = Outline(corners, ("low", "far", "high", "near"))
    y = sum(y for _, y in band.layers) / len(band.layers)
    for label, plane in ends.items():
        outline = outline.clipped(half_plane(plane, y), label)
    return outline


def _beside(upright: Upright, side: str, play: float) -> HalfPlane:
    """What lies beyond one side of an upright, ``play`` away from it."""
    sense = 1.0 if side == "right" else -1.0
    outward = (sense * math.cos(upright.lean), -sense * math.sin(upright.lean))
    away = upright.width / 2 + play
    point = (upright.foot[0] + away * outward[0], upright.foot[1] + away * outward[1])
    return HalfPlane(point, (-outward[0], -outward[1]))


def band_parts(design: Design) -> Iterator[Part]:
    """Fillets or spacer blocks, one for each place and layer."""
    for band in bands(design):
        for number, place in enumerate(_places(design, band), start=design.first_band):
            for letter, y in band.layers:
                part = _band_part(design, band, place, f"{band.prefix}{number:02d}{letter}", y)
                if part is not None:
                    yield part


def _band_part(design: Design, band: Band, where: _Place, place: str, y: float) -> Part | None:
    """One fillet or block; None where a leaning end leaves nothing of it in this layer."""
    u = where.outline.points[0][0]
    middle = band.high.offset(-_depth(band) / 2)
    stick = Stick((u, y, middle.at(u)), band.high.direction, _depth(band), band.across)
    try:
        planes = edge_planes(where.outline, ("low", "high"), band_ends(band.bar))
        cut = cut_corners_too(stick, planes, where.walls)
    except NothingLeftError:
        return None
    return Part(
        place=place,
        mark=place,
        role=band.role,
        material=band.material,
        length=cut.length,
        width=stick.width,
        thickness=stick.thickness,
        start_cuts=cut.start,
        finish_cuts=cut.finish,
        features=(),
        frame=cut.frame,
        face_names=face_names(cut.frame, design.side),
    )


def _depth(band: Band) -> float:
    return (band.high.z0 - band.low.z0) * band.high.direction[0]
