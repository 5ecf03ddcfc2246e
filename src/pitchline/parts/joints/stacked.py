"""Rails glued up from layers of board, spacer blocks between the uprights."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from pitchline.design.makings import Stacked
from pitchline.design.model import Bar, BarRole, Design
from pitchline.kit.geometry.frames import Frame
from pitchline.parts.joints.joint import Band, Joint
from pitchline.parts.lengthwise import bar_part, between
from pitchline.parts.part import Feature, Part, Role, RoundOver


@dataclass(frozen=True)
class StackedJoint(Joint):
    """Blocks alternate with the uprights in some layers; the other layers run through."""

    making: Stacked
    between = "spacer block"
    is_layered = True

    def layers(self, design: Design, bar: Bar) -> Iterator[Part]:
        """Strips and cheeks, from the walking side."""
        return layer_parts(design, bar, self.making)

    def bands(self, design: Design) -> Iterator[Band]:
        """Blocks between the uprights, from the rail's face to the strips; panels leave no room for any."""
        for bar in design.bars:
            if design.uprights and bar.role is not BarRole.PACKER:
                yield self._band(design, bar)

    def _band(self, design: Design, bar: Bar) -> Band:
        handrail, making, seat = bar.role is BarRole.HANDRAIL, self.making, bar.seat or bar.face
        low, high = (bar.face, seat) if handrail else (seat, bar.face)
        layers = ((layer_letter(layer), layer_y(design, making, layer)) for layer in making.member_layers)
        return Band(
            bar=bar,
            low=low,
            high=high,
            role=Role.RAIL_BLOCK if handrail else Role.BASE_BLOCK,
            prefix="R" if handrail else "S",
            material=making.material,
            across=making.layer_thickness,
            layers=tuple(layers),
            end_play=making.end_play,
        )


def layer_y(design: Design, making: Stacked, layer: int) -> float:
    """Centre of a layer across the rail; layer 1 is on the walking side."""
    return design.side.towards_stair * making.from_middle(layer)


def layer_letter(layer: int) -> str:
    """a for layer 1, b for layer 2, ..."""
    return "abc"[layer - 1]


def layer_parts(design: Design, bar: Bar, making: Stacked) -> Iterator[Part]:
    """The strips and cheeks of one rail."""
    seat = bar.seat or bar.face
    handrail = bar.role is BarRole.HANDRAIL
    outer = (seat, bar.top) if handrail else (bar.bottom, seat)
    strip_role = Role.RAIL_STRIP if handrail else Role.BASE_STRIP
    cheek_role = Role.RAIL_CHEEK if handrail else Role.BASE_CHEEK
    for layer in range(1, making.layers + 1):
        housed = layer in making.member_layers
        low, high = outer if housed else (bar.bottom, bar.top)
        made = between(bar, low, high, layer_y(design, making, layer), making.layer_thickness)
        place = f"{bar.id}{layer_letter(layer)}"
        rounded = _layer_round_over(design, bar, making, layer, made.cut.frame)
        part = bar_part(design, bar, made, place, strip_role if housed else cheek_role, tuple(rounded))
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
