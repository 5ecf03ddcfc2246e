"""Round uprights in holes bored into the rails."""

from collections.abc import Iterator
from dataclasses import dataclass

from pitchline.design.makings import Bored
from pitchline.design.model import Bar, Design
from pitchline.kit.geometry.frames import Frame
from pitchline.parts.joints.ends import bored_for
from pitchline.parts.joints.joint import Joint
from pitchline.parts.part import Hole


@dataclass(frozen=True)
class BoredJoint(Joint):
    """A flat-bottomed hole for each upright, on its centre line."""

    making: Bored
    in_bores = True

    def in_rail(self, design: Design, bar: Bar, frame: Frame) -> Iterator[Hole]:
        """The holes of one rail."""
        for upright in design.uprights:
            hole = bored_for(bar, upright, frame, upright.width + self.making.clearance)
            if hole is not None:
                yield hole
