"""Sticks of a bar cut between the bar's end planes, and the parts they make. Lengths in mm."""

import math
from dataclasses import dataclass

from pitchline.design.model import Bar, BarRole, Design
from pitchline.kit.geometry.frames import Vec3
from pitchline.kit.geometry.lines import Line
from pitchline.parts.part import Feature, Part, Role
from pitchline.parts.shaping import Cut, Stick, cut_to_length, face_names, stick_between


def bar_sigma(design: Design, bar: Bar) -> float:
    """Standard uncertainty of a bar's length from the survey of its two ends."""
    return design.bay.run_sigma / math.cos(bar.top.angle)


@dataclass(frozen=True, slots=True)
class Lengthwise:
    """A stick of a bar cut between the bar's end planes."""

    stick: Stick
    cut: Cut


def between(bar: Bar, low: Line, high: Line, y: float, across: float) -> Lengthwise:
    """The stick between two lines of the elevation, cut at the ends of its bar."""
    middle = (bar.start.point[0] + bar.finish.point[0]) / 2
    stick = stick_between(low, high, y, across, middle)
    return Lengthwise(stick, cut_to_length(stick, (bar.start, bar.finish)))


def bar_part(
    design: Design, bar: Bar, made: Lengthwise, place: str, role: Role, features: tuple[Feature, ...]
) -> Part:
    """The part that a stick of a bar becomes."""
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


def inwards(bar: Bar) -> Vec3:
    """Direction from the bar's face towards the infill."""
    nu, nz = bar.top.normal
    sign = -1.0 if bar.role is BarRole.HANDRAIL else 1.0
    return (sign * nu, 0.0, sign * nz)


def seat_depth(bar: Bar) -> float:
    """How deep the uprights reach into a bar, square to it."""
    if bar.seat is None:
        return 0.0
    return abs(bar.seat.z0 - bar.face.z0) * math.cos(bar.top.angle)
