"""The ends of the uprights as a joint sees them: on which rail or tread, where on it. Lengths in mm."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from pitchline.design.model import EASED, Bar, BarRole, Design, Upright
from pitchline.kit.geometry.frames import Frame, Vec3
from pitchline.kit.geometry.lines import Point2
from pitchline.kit.tolerances import SAME_POINT
from pitchline.parts.part import Hole


def along(upright: Upright) -> Point2:
    """Unit vector up an upright, in the elevation."""
    return (math.sin(upright.lean), math.cos(upright.lean))


def label_of(bar: Bar) -> str:
    """How an upright's outline names its end in a bar."""
    return "rail" if bar.role is BarRole.HANDRAIL else "base"


def sense_of(bar: Bar) -> float:
    """+1 where the uprights go up into the bar, -1 where they go down."""
    return 1.0 if bar.role is BarRole.HANDRAIL else -1.0


def meeting(upright: Upright, bar: Bar) -> tuple[Point2, Vec3]:
    """Where an upright's centre line enters a bar, and the way it goes on inside it."""
    up, sense = along(upright), sense_of(bar)
    return bar.face.meet(upright.foot, up), (sense * up[0], 0.0, sense * up[1])


def whole_ends(design: Design, bar: Bar) -> Iterator[Upright]:
    """The uprights whose centre line ends in a bar: those that die into a newel with their middle do not."""
    label = label_of(bar)
    for upright in design.uprights:
        edge = upright.outline.edge(label)
        if edge is None:
            continue
        (at, _), (a, b) = meeting(upright, bar), edge
        out = (math.cos(upright.lean), -math.sin(upright.lean))
        places = [(p[0] - at[0]) * out[0] + (p[1] - at[1]) * out[1] for p in (a, b)]
        if min(places) < -SAME_POINT and max(places) > SAME_POINT:
            yield upright


@dataclass(frozen=True, slots=True)
class Enters:
    """How deep the end of an upright goes into a bar, along its centre line from the bar's face."""

    entry: Point2
    depth: float


def enters(bar: Bar, upright: Upright) -> Enters | None:
    """The end of an upright inside a bar; None where nothing of it is, and where it meets a bent piece instead."""
    if bar.role is BarRole.HANDRAIL and EASED in upright.outline.labels:
        return None
    sense, up, points = sense_of(bar), along(upright), upright.outline.points
    if max(sense * (z - bar.face.at(u)) for u, z in points) <= SAME_POINT:
        return None
    rises = [(u - upright.foot[0]) * up[0] + (z - upright.foot[1]) * up[1] for u, z in points]
    rise = max(rises) if sense > 0 else min(rises)
    bottom = (upright.foot[0] + rise * up[0], upright.foot[1] + rise * up[1])
    entry = bar.face.meet(bottom, up)
    depth = sense * ((bottom[0] - entry[0]) * up[0] + (bottom[1] - entry[1]) * up[1])
    return Enters(entry, depth) if depth > 0.0 else None


def bored_for(bar: Bar, upright: Upright, frame: Frame, diameter: float, room: float = 0.0) -> Hole | None:
    """The hole for the end of an upright: on its centre line, flat-bottomed ``room`` past its end."""
    end = enters(bar, upright)
    if end is None:
        return None
    up, sense = along(upright), sense_of(bar)
    axis = frame.direction_to_local((sense * up[0], 0.0, sense * up[1]))
    at = frame.to_local((end.entry[0], upright.y, end.entry[1]))
    return Hole(at, axis, diameter, end.depth + room)
