"""Parts of the raking bars: ploughed or bored rails in one piece, stacked rails from strips and cheeks, packers."""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from pitchline.design.brief import Bored, Grooved, Stacked
from pitchline.design.model import Bar, BarRole, Design, Upright
from pitchline.kit.geometry.frames import Frame, Plane, Vec3
from pitchline.kit.geometry.lines import Line
from pitchline.kit.tolerances import SAME_POINT
from pitchline.parts.part import Feature, Groove, Hole, Part, Role, RoundOver, Taper
from pitchline.parts.shaping import Cut, Stick, cut_to_length, face_names, face_towards, stick_between

_BEYOND = 50.0
"""mm past the end of a packer where its blank is deep enough whatever its end leans."""

_ROLES = {BarRole.HANDRAIL: Role.HANDRAIL, BarRole.BASE: Role.BASE, BarRole.PACKER: Role.PACKER}


def rail_parts(design: Design) -> Iterator[Part]:
    """Every part of the handrail, base rail and packer."""
    for bar in design.bars:
        if bar.role is BarRole.PACKER:
            yield _packer(design, bar)
        elif isinstance(design.making, Stacked):
            yield from _layers(design, bar, design.making)
        else:
            yield _one_piece(design, bar)


def bar_sigma(design: Design, bar: Bar) -> float:
    """Standard uncertainty of a bar's length from the survey of its two ends."""
    return design.bay.run_sigma / math.cos(bar.top.angle)


@dataclass(frozen=True, slots=True)
class _Lengthwise:
    """A stick of a bar cut between the bar's end planes."""

    stick: Stick
    cut: Cut


def _between(bar: Bar, low: Line, high: Line, y: float, across: float) -> _Lengthwise:
    middle = (bar.start.point[0] + bar.finish.point[0]) / 2
    stick = stick_between(low, high, y, across, middle)
    return _Lengthwise(stick, cut_to_length(stick, (bar.start, bar.finish)))


def _part(
    design: Design, bar: Bar, made: _Lengthwise, place: str, role: Role, features: tuple[Feature, ...]
) -> Part:
    trim = design.brief.rail_trim
    return Part(
        place=place,
        mark=place,
        role=role,
        material=bar.material,
        length=made.cut.length,
        width=made.stick.width,
        thickness=made.stick.thickness,
        start_cuts=made.cut.start,
        finish_cuts=made.cut.finish,
        features=features,
        frame=made.cut.frame,
        trim=trim,
        length_sigma=bar_sigma(design, bar),
        face_names=face_names(made.cut.frame, design.side),
    )


def _one_piece(design: Design, bar: Bar) -> Part:
    made = _between(bar, bar.bottom, bar.top, bar.y, bar.width)
    features = [*_housing(design, bar, made.cut.frame), *_round_over(bar, made.cut.frame)]
    return _part(design, bar, made, bar.id, _ROLES[bar.role], tuple(features))


def _inwards(bar: Bar) -> Vec3:
    """Direction from the bar's face towards the infill."""
    nu, nz = bar.top.normal
    sign = -1.0 if bar.role is BarRole.HANDRAIL else 1.0
    return (sign * nu, 0.0, sign * nz)


def seat_depth(bar: Bar) -> float:
    """How deep the uprights reach into a bar, square to it."""
    if bar.seat is None:
        return 0.0
    return abs(bar.seat.z0 - bar.face.z0) * math.cos(bar.top.angle)


def _housing(design: Design, bar: Bar, frame: Frame) -> Iterator[Feature]:
    making = design.making
    if isinstance(making, Grooved):
        face = face_towards(frame, _inwards(bar))
        width = design.brief.uprights.thickness + making.clearance
        yield Groove(face, 0.0, width, seat_depth(bar))
    elif isinstance(making, Bored):
        for upright in design.uprights:
            hole = _bore(bar, upright, frame, making)
            if hole is not None:
                yield hole


def _bore(bar: Bar, upright: Upright, frame: Frame, making: Bored) -> Hole | None:
    """The hole for one upright: on its centre line, flat-bottomed where its end is."""
    sense = 1.0 if bar.role is BarRole.HANDRAIL else -1.0
    points = upright.outline.points
    if max(sense * (z - bar.face.at(u)) for u, z in points) <= SAME_POINT:
        return None
    up = (math.sin(upright.lean), math.cos(upright.lean))
    rises = [(u - upright.foot[0]) * up[0] + (z - upright.foot[1]) * up[1] for u, z in points]
    rise = max(rises) if sense > 0 else min(rises)
    bottom = (upright.foot[0] + rise * up[0], upright.foot[1] + rise * up[1])
    entry = bar.face.meet(bottom, up)
    depth = sense * ((bottom[0] - entry[0]) * up[0] + (bottom[1] - entry[1]) * up[1])
    if depth <= 0.0:
        return None
    axis = frame.direction_to_local((sense * up[0], 0.0, sense * up[1]))
    return Hole(
        at=frame.to_local((entry[0], upright.y, entry[1])),
        axis=axis,
        diameter=upright.width + making.clearance,
        depth=depth,
    )


def _round_over(bar: Bar, frame: Frame) -> Iterator[Feature]:
    """Both upper edges of a handrail; of a base rail the two edges beside the infill.

    No rounder than half the rail's width, where the two meet, or the whole of its depth.
    """
    if bar.round_over <= 0:
        return
    nu, nz = bar.top.normal
    up = frame.direction_to_local((nu, 0.0, nz))
    if abs(up[1]) > abs(up[2]):
        edges = tuple((1 if up[1] > 0 else -1, side) for side in (-1, 1))
    else:
        edges = tuple((side, 1 if up[2] > 0 else -1) for side in (-1, 1))
    yield RoundOver(edges, min(bar.round_over, bar.width / 2, bar.depth))


def layer_y(design: Design, making: Stacked, layer: int) -> float:
    """Centre of a layer across the rail; layer 1 is on the walking side."""
    return design.side.towards_stair * making.from_middle(layer)


def layer_letter(layer: int) -> str:
    """a for layer 1, b for layer 2, ..."""
    return "abc"[layer - 1]


def _layers(design: Design, bar: Bar, making: Stacked) -> Iterator[Part]:
    seat = bar.seat or bar.face
    handrail = bar.role is BarRole.HANDRAIL
    outer = (seat, bar.top) if handrail else (bar.bottom, seat)
    strip_role = Role.RAIL_STRIP if handrail else Role.BASE_STRIP
    cheek_role = Role.RAIL_CHEEK if handrail else Role.BASE_CHEEK
    for layer in range(1, making.layers + 1):
        housed = layer in making.member_layers
        low, high = outer if housed else (bar.bottom, bar.top)
        made = _between(bar, low, high, layer_y(design, making, layer), making.layer_thickness)
        place = f"{bar.id}{layer_letter(layer)}"
        rounded = _layer_round_over(design, bar, making, layer, made.cut.frame)
        part = _part(design, bar, made, place, strip_role if housed else cheek_role, tuple(rounded))
        yield replace(part, material=making.material)


def layer_round_over(bar: Bar, making: Stacked) -> float:
    """Radius on the outer upper edges of a stacked rail: no more than one layer takes."""
    widest = making.layer_thickness if making.layers > 1 else making.layer_thickness / 2
    return min(bar.round_over, widest, bar.depth)


def _layer_round_over(
    design: Design, bar: Bar, making: Stacked, layer: int, frame: Frame
) -> Iterator[Feature]:
    """The outer upper edges of the outermost layers; a base strip below blocks has no upper edge to round."""
    radius = layer_round_over(bar, making)
    if radius <= 0 or (bar.role is BarRole.BASE and layer in making.member_layers):
        return
    nu, nz = bar.top.normal
    edges = []
    for outermost, sense in ((1, 1.0), (making.layers, -1.0)):
        if layer == outermost:
            y = sense * design.side.towards_stair
            _, width, thick = frame.direction_to_local((nu, y, nz))
            edges.append((1 if width > 0 else -1, 1 if thick > 0 else -1))
    if edges:
        yield RoundOver(tuple(edges), radius)


def _packer(design: Design, bar: Bar) -> Part:
    """A tapered packer: as deep as its deep end, tapered on the underside."""
    thicker = 1.0 if bar.top.slope > bar.bottom.slope else -1.0
    end = bar.finish if thicker > 0 else bar.start
    deep = end.meet_line((0.0, bar.y, bar.top.z0), (1.0, 0.0, bar.top.slope))[0] + thicker * _BEYOND
    stick = stick_between(bar.bottom, bar.top, bar.y, bar.width, deep)
    nu, nz = bar.bottom.normal
    taper = Plane((deep, 0.0, bar.bottom.at(deep)), (-nu, 0.0, -nz))
    made = _Lengthwise(stick, cut_to_length(stick, (bar.start, bar.finish), (taper,)))
    return _part(design, bar, made, bar.id, Role.PACKER, (Taper(made.cut.frame.plane_to_local(taper)),))
