"""How loads on the infill reach rails and posts, and how cables pull on posts.

Uprights are members of the frame and take their share of the breadth. A panel hands its load to both rails, or to
both posts where its clamps sit on them; bars, rods and cables hand theirs to the posts between the lowest and the
highest of them. None of these stiffens the frame.
"""

import math
from collections.abc import Iterator, Sequence

from pitchline.design.makings import Clamped
from pitchline.design.model import Design
from pitchline.kit.frame.loads import LineLoad, PointLoad
from pitchline.kit.geometry.frames import Vec3, scale
from pitchline.strength.model import LegModel, Model, Standing


def over(model: Model, members: Sequence[str], q: Vec3) -> tuple[LineLoad, ...]:
    """The same load per mm all along some members."""
    return tuple(LineLoad(name, 0.0, model.length_of(name), q, q) for name in members)


def spread_over(model: Model, leg: LegModel, pressure: Vec3) -> Iterator[LineLoad]:
    """A pressure (MPa, a direction) on the gross face of a leg's infill, as it comes to the frame."""
    for held in leg.uprights:
        yield from over(model, (held.member,), scale(pressure, held.width))
    design = leg.leg.design
    if design.uprights:
        return
    if design.panels and not _on_posts(design):
        yield from _on_rails(model, leg, pressure)
    elif design.panels or design.strands:
        for standing, _ in end_posts(model, leg):
            yield from _on_post(model, standing, leg, scale(pressure, design.bay.run / 2.0))


def _on_posts(design: Design) -> bool:
    """Whether clamps on the posts hold the panels: one panel that reaches from post to post."""
    return isinstance(design.making, Clamped) and design.making.on_posts and len(design.panels) == 1


def _on_rails(model: Model, leg: LegModel, pressure: Vec3) -> Iterator[LineLoad]:
    """Half to each rail; where there is no base rail the lower half goes into the stair."""
    design = leg.leg.design
    share = clear_height(design) / 2.0 * math.cos(leg.rail_line.angle)
    rails = [leg.handrail] + ([] if design.base is None else [design.base.id])
    for name in rails:
        yield from over(model, model.by_name[name].members, scale(pressure, share))


def clear_height(design: Design) -> float:
    """Plumb height of the bay between its rails."""
    u = (design.bay.start.point[0] + design.bay.finish.point[0]) / 2.0
    low = min(z for _, z in design.bay.sight) if design.base is None else design.base.top.at(u)
    return design.handrail.bottom.at(u) - low


def _on_post(model: Model, standing: Standing, leg: LegModel, q: Vec3) -> Iterator[LineLoad]:
    """A load per mm of height on a post from the lowest to the highest of what it holds."""
    low, high = _infill_heights(leg.leg.design, _own_u(standing, leg))
    lift = leg.leg.place.frame.origin[2]
    for name, start, finish in _post_spans(model, standing):
        first, last = max(low + lift, start), min(high + lift, finish)
        if last > first:
            long = model.length_of(name) / (finish - start)
            yield LineLoad(name, (first - start) * long, (last - start) * long, q, q)


def _own_u(standing: Standing, leg: LegModel) -> float:
    """Place of a shared post along this leg."""
    return next(post.foot[0] for post in leg.leg.design.posts if post.id == standing.post.id)


def _infill_heights(design: Design, u: float) -> tuple[float, float]:
    """Heights between which strands or panels are held at a post, in the leg's elevation."""
    if design.strands:
        heights = [strand.line.at(u) for strand in design.strands]
        return min(heights) - design.strands[0].gap_below, max(heights) + design.strands[-1].gap_above
    top = design.handrail.bottom.at(u)
    return top - clear_height(design), top


def _post_spans(model: Model, standing: Standing) -> Iterator[tuple[str, float, float]]:
    """The members of a post with the heights they reach from and to."""
    frame = model.frame
    for name in model.by_name[standing.post.id].members:
        i, j = frame.ends[frame.member_index[name]]
        yield name, frame.nodes[i].at[2], frame.nodes[j].at[2]


def end_posts(model: Model, leg: LegModel) -> Iterator[tuple[Standing, float]]:
    """The posts at a leg's ends, with the sense of u that points from each into the bay."""
    bay = leg.leg.design.bay
    middle = (bay.start.point[0] + bay.finish.point[0]) / 2.0
    for head in leg.heads:
        yield model.by_post[head.post], 1.0 if head.u < middle else -1.0


def cable_pulls(model: Model, leg: LegModel) -> Iterator[PointLoad]:
    """Cables pull the posts at both ends towards each other, each at its own height."""
    for strand in leg.leg.design.strands:
        if not strand.pull:
            continue
        du, dz = strand.line.direction
        for standing, sense in end_posts(model, leg):
            z = strand.line.at(_own_u(standing, leg)) + leg.leg.place.frame.origin[2]
            force = leg.leg.direction((sense * strand.pull * du, 0.0, sense * strand.pull * dz))
            for name, start, finish in _post_spans(model, standing):
                if start <= z < finish:
                    yield PointLoad(name, (z - start) / (finish - start) * model.length_of(name), force)
