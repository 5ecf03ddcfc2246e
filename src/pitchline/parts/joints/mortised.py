"""Uprights tenoned into mortises in the rails."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from pitchline.design.makings import Mortised
from pitchline.design.model import Bar, BarRole, Design, Upright
from pitchline.kit.geometry.frames import Frame, Plane
from pitchline.parts.joints.ends import label_of, meeting, sense_of, whole_ends
from pitchline.parts.joints.joint import Joint
from pitchline.parts.lengthwise import seat_depth
from pitchline.parts.part import Mortise, Tenon


@dataclass(frozen=True)
class MortisedJoint(Joint):
    """A mortise whose walls run along the upright for each tenon; shoulders lie on the rail's face."""

    making: Mortised

    def tenon(self, upright: Upright) -> tuple[float, float]:
        """Width of a tenon seen in the elevation, and its thickness across."""
        thick = self.making.tenon_thickness
        return upright.width - 2.0 * self.making.shoulder, upright.thickness if thick is None else thick

    def in_rail(self, design: Design, bar: Bar, frame: Frame) -> Iterator[Mortise]:
        """The mortises of one rail; an upright that dies into a newel with its middle has none."""
        for upright in whole_ends(design, bar):
            (u, z), axis = meeting(upright, bar)
            wide, thick = self.tenon(upright)
            across_rail = math.cos(upright.lean + bar.top.angle)
            yield Mortise(
                at=frame.to_local((u, upright.y, z)),
                axis=frame.direction_to_local(axis),
                length=(wide + self.making.clearance) / across_rail,
                width=thick + self.making.clearance,
                depth=seat_depth(bar) + self.making.end_room,
            )

    def on_upright(self, design: Design, upright: Upright, frame: Frame) -> Iterator[Tenon]:
        """The tenons, where the section is cut down at all."""
        wide, thick = self.tenon(upright)
        if wide >= upright.width and thick >= upright.thickness:
            return
        _, v, t = frame.direction_to_local((0.0, 1.0, 0.0))
        half = (wide / 2, thick / 2) if abs(t) > abs(v) else (thick / 2, wide / 2)
        for bar in design.bars:
            if bar.role is not BarRole.PACKER and upright.outline.edge(label_of(bar)) is not None:
                nu, nz = bar.face.normal
                sense = sense_of(bar)
                shoulder = Plane((0.0, 0.0, bar.face.z0), (sense * nu, 0.0, sense * nz))
                yield Tenon(frame.plane_to_local(shoulder), (-half[0], -half[1]), half)
