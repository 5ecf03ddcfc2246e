"""Uprights that stand on the treads by a dowel, a screw or a dovetail; their heads as in any other way of making."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from pitchline.design.makings import OnTreads, TreadFoot
from pitchline.design.model import Bar, Design, Upright
from pitchline.kit.geometry.frames import Frame, Plane
from pitchline.parts.joints.ends import along
from pitchline.parts.joints.joint import Band, Joint
from pitchline.parts.part import Feature, Fixing, Hole, Tenon

TAIL_SLOPE = 1.0 / 6.0
"""How far each side of a dovetail leans: 1 in 6, for softwood (common practice, no source)."""

_LABEL = "tread"


@dataclass(frozen=True)
class OnTreadsJoint(Joint):
    """A hole or a dovetail in the foot of each upright; ``head`` joins it to the handrail."""

    making: OnTreads
    head: Joint

    def __post_init__(self) -> None:
        object.__setattr__(self, "between", self.head.between)
        object.__setattr__(self, "in_bores", self.head.in_bores)

    def in_rail(self, design: Design, bar: Bar, frame: Frame) -> Iterable[Feature]:
        """What the head works into the handrail."""
        return self.head.in_rail(design, bar, frame)

    def bands(self, design: Design) -> Iterable[Band]:
        """The head's bands in the handrail."""
        return self.head.bands(design)

    def on_upright(self, design: Design, upright: Upright, frame: Frame) -> Iterator[Feature]:
        """The head's features, and the foot's."""
        yield from self.head.on_upright(design, upright, frame)
        if not stands(upright):
            return
        if self.making.foot is TreadFoot.DOVETAIL:
            yield self._tail(design, upright, frame)
        else:
            up = along(upright)
            at = frame.to_local((upright.foot[0], upright.y, upright.foot[1]))
            axis = frame.direction_to_local((up[0], 0.0, up[1]))
            yield Hole(at, axis, self.making.diameter, self.making.end_depth)

    def _tail(self, design: Design, upright: Upright, frame: Frame) -> Tenon:
        """The dovetail: as wide as the upright at its tip, in the outer half of its thickness."""
        tread = min(z for _, z in upright.outline.points) + self.making.depth
        shoulder = frame.plane_to_local(Plane((0.0, 0.0, tread), (0.0, 0.0, -1.0)))
        _, v, t = frame.direction_to_local((0.0, -design.side.towards_stair, 0.0))
        wide, thick = upright.width / 2, upright.thickness / 2
        if abs(t) > abs(v):
            low, high = sorted((0.0, thick if t > 0 else -thick))
            return Tenon(shoulder, (-wide, low), (wide, high), (TAIL_SLOPE, 0.0))
        low, high = sorted((0.0, thick if v > 0 else -thick))
        return Tenon(shoulder, (low, -wide), (high, wide), (0.0, TAIL_SLOPE))

    def fixings(self, design: Design) -> Iterator[Fixing]:
        """The head's hardware, and a dowel or screw a foot, or the return nosings that hide dovetails."""
        yield from self.head.fixings(design)
        standing = [upright for upright in design.uprights if stands(upright)]
        if not standing:
            return
        if self.making.foot is TreadFoot.DOVETAIL:
            treads = len({round(min(z for _, z in upright.outline.points), 1) for upright in standing})
            cover = (self.making.cover,) if self.making.cover else ()
            note = "taken off, and planted again over the dovetails"
            yield Fixing("return nosing", "", treads, "the ends of the treads", note, cover)
            return
        length = self.making.depth + self.making.end_depth
        sizes = (self.making.diameter, length)
        yield Fixing(self.making.foot.value, "", len(standing), "feet of the uprights", "", sizes)


def stands(upright: Upright) -> bool:
    """Whether an upright stands on a tread with its whole foot, and not against a newel."""
    edge = upright.outline.edge(_LABEL)
    return edge is not None and abs(edge[1][0] - edge[0][0]) >= upright.width / 2
