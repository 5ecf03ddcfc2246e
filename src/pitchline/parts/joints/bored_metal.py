"""Metal bars in round holes in the rails, or in the handrail and the treads."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from pitchline.design.brief import Shape
from pitchline.design.makings import BarFixing, BoredMetal
from pitchline.design.model import Bar, BarRole, Design, Upright
from pitchline.kit.geometry.frames import Frame
from pitchline.parts.joints.ends import bored_for, enters
from pitchline.parts.joints.joint import Joint
from pitchline.parts.part import Fixing, Hole

MM3_PER_ML = 1000.0


@dataclass(frozen=True)
class BoredMetalJoint(Joint):
    """A hole for each bar, deeper in the handrail than the bar goes; shoes or epoxy hold it."""

    making: BoredMetal
    in_bores = True

    def in_rail(self, design: Design, bar: Bar, frame: Frame) -> Iterator[Hole]:
        """The holes of one rail."""
        room = self.making.end_room if bar.role is BarRole.HANDRAIL else 0.0
        for upright in design.uprights:
            hole = bored_for(bar, upright, frame, self.making.hole, room)
            if hole is not None:
                yield hole

    def fixings(self, design: Design) -> Iterator[Fixing]:
        """Two shoes a bar, or the resin that fills the holes around the bars."""
        if not design.uprights:
            return
        if self.making.fixing is BarFixing.SHOES:
            sizes = (self.making.shoe,) if self.making.shoe else ()
            count = 2 * len(design.uprights)
            yield Fixing("shoe with grub screw", "", count, "both ends of every bar", "slide on first", sizes)
            return
        resin = sum(self._around(design, upright) for upright in design.uprights) / MM3_PER_ML
        note = "fills the holes around the bars"
        yield Fixing("two-part epoxy", f"{math.ceil(resin)} ml", 1, "the holes of the bars", note)

    def _around(self, design: Design, upright: Upright) -> float:
        """What is left of the holes of one bar around it, mm3."""
        making, solid = self.making, upright.width * upright.thickness
        if upright.shape is Shape.ROUND:
            solid = math.pi / 4 * upright.width**2
        hole = math.pi / 4 * making.hole**2
        total = 0.0
        for bar in (design.handrail, design.base):
            end = None if bar is None else enters(bar, upright)
            if end is not None:
                total += (hole - solid) * end.depth
        if design.base is None:
            total += (hole - solid) * making.base_depth
        return total
