"""Rails ploughed with a groove, fillets between the uprights."""

from collections.abc import Iterator
from dataclasses import dataclass

from pitchline.design.makings import Grooved
from pitchline.design.model import Bar, BarRole, Design
from pitchline.kit.geometry.frames import Frame
from pitchline.parts.joints.joint import Band, Joint
from pitchline.parts.lengthwise import inwards, seat_depth
from pitchline.parts.part import Groove, Role
from pitchline.parts.shaping import face_towards


@dataclass(frozen=True)
class GroovedJoint(Joint):
    """A groove in each rail as wide as the infill and its play."""

    making: Grooved
    between = "fillet"

    def in_rail(self, design: Design, bar: Bar, frame: Frame) -> Iterator[Groove]:
        """The groove, on the rail's middle."""
        face = face_towards(frame, inwards(bar))
        width = design.brief.infill.thickness + self.making.clearance
        yield Groove(face, 0.0, width, seat_depth(bar))

    def bands(self, design: Design) -> Iterator[Band]:
        """Fillets lie at the bottom of the grooves between uprights."""
        if design.uprights:
            for bar in design.bars:
                if bar.role is not BarRole.PACKER:
                    yield self._band(design, bar)

    def _band(self, design: Design, bar: Bar) -> Band:
        handrail, seat = bar.role is BarRole.HANDRAIL, bar.seat or bar.face
        thick = self.making.fillet_thickness
        low, high = (seat.offset(-thick), seat) if handrail else (seat, seat.offset(thick))
        return Band(
            bar=bar,
            low=low,
            high=high,
            role=Role.RAIL_FILLET if handrail else Role.BASE_FILLET,
            prefix="F" if handrail else "G",
            material=self.making.fillet_material,
            across=design.brief.uprights.thickness,
            layers=(("", 0.0),),
            end_play=self.making.end_play,
        )
