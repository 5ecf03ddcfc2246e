"""Bars, rods and cables from post to post: housed in the newels, or ending on their faces."""

from collections.abc import Iterator
from dataclasses import dataclass

from pitchline.design.brief import StrandKind
from pitchline.design.makings import BetweenPosts
from pitchline.design.model import Design, Post, Strand
from pitchline.kit.geometry.frames import Frame
from pitchline.parts.joints.joint import Joint
from pitchline.parts.part import Feature, Fixing, Hole, Mortise
from pitchline.parts.strands import end_in, mouth, runs_through, spacer_places


@dataclass(frozen=True)
class BetweenPostsJoint(Joint):
    """Holes for rods and cables at their true angle, mortises for bars whose walls run along the bar."""

    making: BetweenPosts

    def in_post(self, design: Design, post: Post, frame: Frame) -> Iterator[Feature]:
        """What is worked into a newel, in its own axes ``frame``."""
        for strand in design.strands:
            feature = (
                self._mortise(design, post, strand, frame)
                if strand.kind is StrandKind.BAR
                else self._hole(design, post, strand, frame)
            )
            if feature is not None:
                yield feature

    def _hole(self, design: Design, post: Post, strand: Strand, frame: Frame) -> Hole | None:
        met = end_in(design, post, strand)
        if met is None:
            return None
        entry, way, depth = met
        beyond = strand.depth if runs_through(post, entry, way, depth) else 0.0
        diameter = strand.depth + self.making.clearance
        return Hole(frame.to_local(entry), frame.direction_to_local(way), diameter, depth + beyond)

    def _mortise(self, design: Design, post: Post, strand: Strand, frame: Frame) -> Mortise | None:
        """A mortise that the whole section enters; in a newel turned in plan its mouth takes in the skew."""
        met = end_in(design, post, strand)
        if met is None:
            return None
        entry, way, _ = met
        face = post.face(towards_head=way[0] < 0)
        corners = [frame.to_local(corner) for corner in mouth(strand, way, face)]
        across = 2 if abs(frame.direction_to_local(face.normal)[1]) > _MOSTLY else 1
        sizes = []
        middle = list(frame.to_local(entry))
        for axis in (0, across):
            low, high = min(c[axis] for c in corners), max(c[axis] for c in corners)
            sizes.append(high - low + self.making.clearance)
            middle[axis] = (low + high) / 2
        return Mortise(
            at=(middle[0], middle[1], middle[2]),
            axis=frame.direction_to_local(way),
            length=sizes[0],
            width=sizes[1],
            depth=self.making.depth,
        )

    def fixings(self, design: Design) -> Iterator[Fixing]:
        """The fittings at the ends, and the spacers between the posts."""
        if not design.strands:
            return
        making, many = self.making, len(design.strands)
        if making.what:
            yield Fixing(making.what, making.size, 2 * many, "ends of the strands")
        spacers = len(spacer_places(design))
        if spacers:
            first = design.strands[0]
            holes = f"{many} holes for {first.depth:g} mm"
            note = "plumb from the lower edge of the bay to the handrail, at equal distances"
            yield Fixing(making.spacer, holes, spacers, "between the posts", note)


_MOSTLY = 0.7
"""Share of a face's normal above which it is that of one of a newel's four sides."""
