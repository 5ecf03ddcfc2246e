"""Parts of the raking bars: rails as their way of making has them, packers. Lengths in mm."""

from collections.abc import Iterator

from pitchline.design.model import Bar, BarRole, Design
from pitchline.kit.geometry.frames import Frame, Plane
from pitchline.parts.joints.registry import joint_of
from pitchline.parts.lengthwise import Lengthwise, bar_part, between
from pitchline.parts.part import Feature, Part, Role, RoundOver, Taper
from pitchline.parts.shaping import cut_to_length, stick_between

_BEYOND = 50.0
"""mm past the end of a packer where its blank is deep enough whatever its end leans."""

_ROLES = {BarRole.HANDRAIL: Role.HANDRAIL, BarRole.BASE: Role.BASE, BarRole.PACKER: Role.PACKER}


def rail_parts(design: Design) -> Iterator[Part]:
    """Every part of the handrail, base rail and packer."""
    joint = joint_of(design.making)
    for bar in design.bars:
        if bar.role is BarRole.PACKER:
            yield _packer(design, bar)
        elif joint.is_layered:
            yield from joint.layers(design, bar)
        else:
            yield _one_piece(design, bar)


def _one_piece(design: Design, bar: Bar) -> Part:
    made = between(bar, bar.bottom, bar.top, bar.y, bar.width)
    housings = joint_of(design.making).in_rail(design, bar, made.cut.frame)
    features = (*housings, *_round_over(bar, made.cut.frame))
    return bar_part(design, bar, made, bar.id, _ROLES[bar.role], features)


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


def _packer(design: Design, bar: Bar) -> Part:
    """A tapered packer: as deep as its deep end, tapered on the underside."""
    thicker = 1.0 if bar.top.slope > bar.bottom.slope else -1.0
    end = bar.finish if thicker > 0 else bar.start
    deep = end.meet_line((0.0, bar.y, bar.top.z0), (1.0, 0.0, bar.top.slope))[0] + thicker * _BEYOND
    stick = stick_between(bar.bottom, bar.top, bar.y, bar.width, deep)
    nu, nz = bar.bottom.normal
    taper = Plane((deep, 0.0, bar.bottom.at(deep)), (-nu, 0.0, -nz))
    made = Lengthwise(stick, cut_to_length(stick, (bar.start, bar.finish), (taper,)))
    return bar_part(design, bar, made, bar.id, Role.PACKER, (Taper(made.cut.frame.plane_to_local(taper)),))
