"""Uprights cut to the rails and held by a dowel in each end."""

from collections.abc import Iterator
from dataclasses import dataclass

from pitchline.design.makings import Dowelled
from pitchline.design.model import Bar, BarRole, Design, Upright
from pitchline.kit.geometry.frames import Frame
from pitchline.parts.joints.ends import meeting, whole_ends
from pitchline.parts.joints.joint import Joint
from pitchline.parts.part import Fixing, Hole


@dataclass(frozen=True)
class DowelledJoint(Joint):
    """A hole in the rail and one in the upright, both on its centre line."""

    making: Dowelled

    def in_rail(self, design: Design, bar: Bar, frame: Frame) -> Iterator[Hole]:
        """The dowels' holes in one rail."""
        for upright in whole_ends(design, bar):
            (u, z), axis = meeting(upright, bar)
            depth = self._depth(bar) + self.making.glue_room
            at = frame.to_local((u, upright.y, z))
            yield Hole(at, frame.direction_to_local(axis), self.making.diameter, depth)

    def on_upright(self, design: Design, upright: Upright, frame: Frame) -> Iterator[Hole]:
        """The dowels' holes in the ends of one upright."""
        depth = self.making.end_depth + self.making.glue_room
        for bar in _rails(design):
            if any(other is upright for other in whole_ends(design, bar)):
                (u, z), axis = meeting(upright, bar)
                back = (-axis[0], -axis[1], -axis[2])
                at = frame.to_local((u, upright.y, z))
                yield Hole(at, frame.direction_to_local(back), self.making.diameter, depth)

    def fixings(self, design: Design) -> Iterator[Fixing]:
        """The dowels, by the rail they go into."""
        for bar in _rails(design):
            count = sum(1 for _ in whole_ends(design, bar))
            if count:
                length = self._depth(bar) + self.making.end_depth
                what = f"dowel, {self.making.material}"
                sizes = (self.making.diameter, length)
                note = "along the upright's centre line"
                yield Fixing(what, "", count, f"uprights into {bar.id}", note, sizes)

    def _depth(self, bar: Bar) -> float:
        return self.making.rail_depth if bar.role is BarRole.HANDRAIL else self.making.base_depth


def _rails(design: Design) -> Iterator[Bar]:
    return (bar for bar in design.bars if bar.role is not BarRole.PACKER)
