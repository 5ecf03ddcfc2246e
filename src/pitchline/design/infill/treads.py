"""Uprights without a base rail: each stands on the tread under it and is cut to its own length.

Lengths in mm, angles in radians.
"""

from pitchline.design.as_built_layout import around_fitted
from pitchline.design.bay import field
from pitchline.design.brief import Spread, UprightsBrief
from pitchline.design.infill.place import Field, Laid
from pitchline.design.infill.uprights import (
    Axes,
    Ends,
    Piece,
    bored_end,
    clip_to_edge,
    crossing_lean,
    is_worth_making,
    numbered,
    run_of,
    square_piece,
)
from pitchline.design.limits import Limits
from pitchline.design.makings import BoredMetal
from pitchline.design.model import Bay
from pitchline.design.season import opening_allowed
from pitchline.design.seats import ends_square, foot_depth, infill_y, rail_seat_depth
from pitchline.design.spacing import lay_out
from pitchline.design.tread_spacing import per_tread
from pitchline.kit.geometry.lines import Line
from pitchline.kit.geometry.outlines import HalfPlane, Outline, difference, from_shapely, to_shapely
from pitchline.stair.model import Flight
from pitchline.stair.pitch import support_line
from pitchline.stair.treads import Tread, profile_below, tread_below, treads_of

_FAR = 20_000.0
"""mm beyond both ends of an upright from which it is cut down: more than any leg is high."""


_PAST = 500.0
"""mm past the end of a bay to which the line under it is looked at: more than any end can lean over its height."""


def lay_on_treads(place: Field, infill: UprightsBrief, limits: Limits) -> Laid:
    """Uprights laid out between the treads and the handrail of a leg."""
    handrail, flight = place.handrail, place.flight
    start, finish, y = place.start, place.finish, infill_y(place.brief)
    low = _under_all(flight, finish.bay_face.point[0])
    sight = field(start.bay_face, finish.bay_face, low, handrail.face, y)
    full = field(start.bay_face, finish.bay_face, low, handrail.seat or handrail.face, y)
    lean = crossing_lean(infill, handrail)
    first, last = run_of(sight, full, lean, Ends(start.closed, finish.closed))
    run = place.run(last - first, infill)
    opening = opening_allowed(place.brief, limits.gap_beside(flight, sight.points))
    if infill.spacing.spread is Spread.PER_TREAD:
        layout = per_tread(flight, infill, (first, last), run, opening, on_treads=True)
    else:
        layout = lay_out(run, opening, infill.spacing).moved(first)
    layout = around_fitted(layout, place.fixed(infill, handrail, lean), run, first, opening)
    bay = place.bay(_above_steps(flight, sight), full, run.length, layout.note, opening)
    axes = Axes.of(lean)
    treads = treads_of(flight)
    pieces = [_piece(place, bay, treads, s, axes, infill.width) for s in layout.centres]
    pieces = [piece for piece in pieces if is_worth_making(piece, axes)]
    return Laid(bay, layout, lean, numbered(pieces, layout, lean, infill, y, place.first))


def _under_all(flight: Flight, finish: float) -> Line:
    """A line parallel to the nosings and below every tread and floor as far as the end at ``finish``."""
    line = support_line(flight.nosings)
    if flight.is_level:
        return line
    places = [u + flight.nosing_overhang for u, _ in flight.nosings]
    heights = [0.0, *(z for _, z in flight.nosings)]
    places.append(max(places[-1], finish + _PAST))
    return line.raised(min(z - line.at(u) for u, z in zip(places, heights, strict=True)))


def _above_steps(flight: Flight, sight: Outline) -> tuple[tuple[float, float], ...]:
    """What is seen between the walking surfaces and the handrail."""
    us, zs = zip(*sight.points, strict=True)
    lowest = min(*zs, 0.0, *(z for _, z in flight.nosings))
    body = profile_below(flight, min(us) - 1.0, max(us) + 1.0, lowest - 1.0)
    return from_shapely(difference(to_shapely(sight.points), [to_shapely(body)])[0])


def _piece(place: Field, bay: Bay, treads: tuple[Tread, ...], s: float, axes: Axes, width: float) -> Piece:
    """One upright cut by the tread under it, the handrail and the ends."""
    making, rail = place.brief.making, place.handrail
    tread = tread_below(treads, rail.face.meet(axes.at(s, 0.0), axes.up), axes.up, width)
    middle = axes.t(tread.surface.meet(axes.at(s, 0.0), axes.up))
    blank = square_piece(s, width, axes, middle - _FAR, middle + _FAR)
    seen = _under(blank, rail.face).clipped(_above(tread.surface), TREAD)
    if ends_square(making):
        high = bored_end(rail.face, s, width, axes, rail_seat_depth(making), at_head=True)
        whole = square_piece(s, width, axes, middle - _FAR, high)
    else:
        whole = _under(blank, rail.seat or rail.face)
    deep = foot_depth(making)
    if isinstance(making, BoredMetal):
        low = bored_end(tread.surface, s, width, axes, deep, at_head=False)
        foot = HalfPlane(axes.at(s, low), (-axes.up[0], -axes.up[1]))
    else:
        foot = _above(tread.surface.raised(-deep))
    whole = whole.clipped(foot, TREAD)
    for label, closed in (("start", bay.closed_start), ("finish", bay.closed_finish)):
        if closed:
            whole, seen = (clip_to_edge(outline, bay.full, label) for outline in (whole, seen))
    return Piece(s, whole, seen, tread.surface.meet(axes.at(s, 0.0), axes.up)[0])


TREAD = "tread"
"""The label of an upright's end that stands on a tread or a floor."""


def _under(outline: Outline, line: Line) -> Outline:
    nu, nz = line.normal
    return outline.clipped(HalfPlane((0.0, line.z0), (nu, nz)), "rail")


def _above(line: Line) -> HalfPlane:
    nu, nz = line.normal
    return HalfPlane((0.0, line.z0), (-nu, -nz))
