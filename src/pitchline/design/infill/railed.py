"""Uprights between a base rail and a handrail. Lengths in mm, angles in radians."""

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
from pitchline.design.model import Bar, Bay
from pitchline.design.season import opening_allowed
from pitchline.design.seats import base_seat_depth, ends_square, infill_y, rail_seat_depth
from pitchline.design.spacing import Layout, lay_out
from pitchline.design.tread_spacing import per_tread
from pitchline.kit.geometry.lines import Point2
from pitchline.kit.geometry.outlines import Outline, strip_within


def lay_between_rails(place: Field, base: Bar, infill: UprightsBrief, limits: Limits) -> Laid:
    """Uprights laid out between the two rails of a leg."""
    handrail, start, finish = place.handrail, place.start, place.finish
    y = infill_y(place.brief)
    sight = field(start.bay_face, finish.bay_face, base.face, handrail.face, y)
    full = field(start.bay_face, finish.bay_face, base.seat or base.face, handrail.seat or handrail.face, y)
    lean = crossing_lean(infill, handrail, base)
    first, last = run_of(sight, full, lean, Ends(start.closed, finish.closed))
    run = place.run(last - first, infill)
    opening = opening_allowed(place.brief, limits.gap_beside(place.flight, sight.points))
    if infill.spacing.spread is Spread.PER_TREAD:
        layout = per_tread(place.flight, infill, (first, last), run, opening, on_treads=False)
    else:
        layout = lay_out(run, opening, infill.spacing).moved(first)
    layout = around_fitted(layout, place.fixed(infill, base, lean), run, first, opening)
    bay = place.bay(sight.points, full, run.length, layout.note, opening)
    pieces = _pieces(place, base, bay, layout, lean, infill)
    return Laid(bay, layout, lean, numbered(pieces, layout, lean, infill, y, place.first))


def _pieces(
    place: Field, base: Bar, bay: Bay, layout: Layout, lean: float, infill: UprightsBrief
) -> list[Piece]:
    """Every upright cut by rails and ends.

    Strips that miss the field, or show less than a piece worth making, are left out.
    """
    axes = Axes.of(lean)
    sight = _opened(Outline(bay.sight, bay.full.labels), bay)
    full = _opened(bay.full, bay)
    pieces = []
    for s in layout.centres:
        centre = axes.at(s, axes.t(bay.full.points[0]))
        seen = strip_within(sight, centre, axes.up, infill.width)
        if ends_square(place.brief.making):
            whole = _bored(place, base, bay, s, axes, infill.width)
        else:
            whole = strip_within(full, centre, axes.up, infill.width)
        piece = Piece(s, whole, seen, base.top.meet(axes.at(s, 0.0), axes.up)[0])
        if is_worth_making(piece, axes):
            pieces.append(piece)
    return pieces


def _opened(outline: Outline, bay: Bay) -> Outline:
    """A field run on past its free ends, where no face cuts the uprights."""
    base_start, base_finish, rail_finish, rail_start = outline.points
    start = (base_start, rail_start)
    finish = (base_finish, rail_finish)
    if not bay.closed_start:
        start = (_beyond(base_finish, base_start), _beyond(rail_finish, rail_start))
    if not bay.closed_finish:
        finish = (_beyond(base_start, base_finish), _beyond(rail_start, rail_finish))
    return Outline((start[0], finish[0], finish[1], start[1]), outline.labels)


def _beyond(a: Point2, b: Point2) -> Point2:
    """The point as far past ``b`` as ``b`` is from ``a``."""
    return (2 * b[0] - a[0], 2 * b[1] - a[1])


def _bored(place: Field, base: Bar, bay: Bay, s: float, axes: Axes, width: float) -> Outline:
    making = place.brief.making
    low = bored_end(base.top, s, width, axes, base_seat_depth(making), at_head=False)
    high = bored_end(place.handrail.bottom, s, width, axes, rail_seat_depth(making), at_head=True)
    square = square_piece(s, width, axes, low, high)
    for label, closed in (("start", bay.closed_start), ("finish", bay.closed_finish)):
        if closed:
            square = clip_to_edge(square, bay.full, label)
    return square
