"""From a stair and a brief to a finished design: rails, ends, bay, uprights, and what there is to say about them."""

import math
from dataclasses import dataclass

from pitchline.design.bay import Trace, field
from pitchline.design.brief import BaseSeat, Brief, Grooved, Making, Stacked
from pitchline.design.infill.uprights import (
    Ends,
    Rails,
    Stand,
    lean_of,
    make_uprights,
    run_of,
    spread_uprights,
)
from pitchline.design.limits import Limits
from pitchline.design.model import Bar, BarRole, Bay, Design
from pitchline.design.posts import BuiltEnd, Place, build_end
from pitchline.design.rails import BaseLines, base_lines, handrail_line
from pitchline.design.remarks import Composed, remarks
from pitchline.design.season import opening_allowed
from pitchline.design.spacing import Layout, Run
from pitchline.kit.errors import ImpossibleDesignError
from pitchline.kit.geometry.lines import Line
from pitchline.kit.tolerances import LEAST_CROSSING_DEG, LEAST_PACKER
from pitchline.kit.words import Show, Words, plain_mm
from pitchline.stair.model import Flight


def compose(flight: Flight, brief: Brief, limits: Limits, show: Show = plain_mm) -> Design:
    """Lay out one balustrade; ``show`` writes a length in mm in what there is to say about it.

    ImpossibleDesignError (one sentence) when the brief leaves nothing to build: ends that overlap, rails that
    cross, a base rail on a string that is not there.
    """
    top, rail_line = handrail_line(flight, brief.rail, limits)
    start = build_end(brief.bottom, Place(flight, brief.side, at_head=False, rail_top=top))
    finish = build_end(brief.top, Place(flight, brief.side, at_head=True, rail_top=top))
    handrail = _handrail(brief, top, start, finish)
    faces = (Trace.of(start.rail_face, 0.0), Trace.of(finish.rail_face, 0.0))
    lines = base_lines(flight, brief.base, top, faces)
    base = _base(brief, lines, start, finish)
    bay, layout, lean = _bay(flight, brief, handrail, base, (start, finish), limits)
    rails = Rails(base.top, handrail.bottom, top.angle)
    uprights = make_uprights(layout, bay, rails, lean, brief.infill, Stand(brief.making, infill_y(brief)))
    posts = tuple(end.post for end in (start, finish) if end.post is not None)
    return Design(
        id=brief.id,
        title=brief.title,
        side=brief.side,
        flight=flight,
        brief=brief,
        rail_line=rail_line,
        handrail=handrail,
        base=base,
        packer=_packer(brief, lines, start, finish, faces),
        posts=posts,
        bay=bay,
        uprights=uprights,
        making=brief.making,
        findings=remarks(
            Composed(
                flight,
                brief,
                limits,
                rail_line,
                posts,
                bay,
                layout,
                uprights,
                handrail,
                base,
                lean,
                Words(show),
            )
        ),
    )


def rail_seat_depth(making: Making) -> float:
    """How far the uprights reach into the handrail, square to it, mm."""
    if isinstance(making, Grooved):
        return making.rail_groove
    return making.rail_block if isinstance(making, Stacked) else making.rail_depth


def base_seat_depth(making: Making) -> float:
    """How far the uprights reach into the base rail, square to it, mm."""
    if isinstance(making, Grooved):
        return making.base_groove
    return making.base_block if isinstance(making, Stacked) else making.base_depth


def infill_y(brief: Brief) -> float:
    """Where the middle of the uprights lies across the rails: off centre where a stacked rail holds them so."""
    making = brief.making
    return brief.side.towards_stair * making.members_from_middle if isinstance(making, Stacked) else 0.0


def _handrail(brief: Brief, top: Line, start: BuiltEnd, finish: BuiltEnd) -> Bar:
    bottom = top.offset(-brief.rail.depth)
    seat = bottom.offset(rail_seat_depth(brief.making))
    piece = _Piece("H1", BarRole.HANDRAIL, brief.rail.width, brief.rail.material, brief.rail.round_over)
    return _bar(piece, (bottom, top), seat, start, finish)


def _base(brief: Brief, lines: BaseLines, start: BuiltEnd, finish: BuiltEnd) -> Bar:
    seat = lines.top.offset(-base_seat_depth(brief.making))
    piece = _Piece("B1", BarRole.BASE, brief.base.width, brief.base.material, brief.base.round_over)
    return _bar(piece, (lines.bottom, lines.top), seat, start, finish)


def _packer(
    brief: Brief, lines: BaseLines, start: BuiltEnd, finish: BuiltEnd, faces: tuple[Trace, Trace]
) -> Bar | None:
    if brief.base.seat is not BaseSeat.PACKED or lines.packer_bottom is None:
        return None
    places = [face.meets(lines.bottom)[0] for face in faces]
    if max(lines.bottom.at(u) - lines.packer_bottom.at(u) for u in places) < LEAST_PACKER:
        return None
    piece = _Piece("K1", BarRole.PACKER, brief.base.width, brief.base.material, 0.0)
    return _bar(piece, (lines.packer_bottom, lines.bottom), None, start, finish)


@dataclass(frozen=True, slots=True)
class _Piece:
    """What a bar is, apart from where it runs."""

    id: str
    role: BarRole
    width: float
    material: str
    round_over: float


def _bar(
    piece: _Piece, edges: tuple[Line, Line], seat: Line | None, start: BuiltEnd, finish: BuiltEnd
) -> Bar:
    """A bar between two ends, from its lower to its upper edge."""
    bottom, top = edges
    return Bar(
        id=piece.id,
        role=piece.role,
        top=top,
        bottom=bottom,
        width=piece.width,
        y=0.0,
        start=start.rail_face.flipped(),
        finish=finish.rail_face.flipped(),
        seat=seat,
        round_over=piece.round_over,
        material=piece.material,
        start_at=start.name,
        finish_at=finish.name,
    )


def _bay(
    flight: Flight, brief: Brief, handrail: Bar, base: Bar, ends: tuple[BuiltEnd, BuiltEnd], limits: Limits
) -> tuple[Bay, Layout, float]:
    start, finish = ends
    y = infill_y(brief)
    sight = field(start.bay_face, finish.bay_face, base.face, handrail.face, y)
    full = field(start.bay_face, finish.bay_face, base.seat or base.face, handrail.seat or handrail.face, y)
    lean = _lean(brief, handrail, base)
    first, last = run_of(sight, full, lean, Ends(start.closed, finish.closed))
    run = Run(last - first, brief.infill.width, brief.infill.narrowest, start.closed, finish.closed)
    opening = opening_allowed(brief, limits.gap_beside(flight, sight.points))
    layout = spread_uprights(first, brief.infill, run, opening)
    sigma = flight.sigma(_difference(finish.station, start.station))
    bay = Bay(
        sight=sight.points,
        full=full,
        start=start.bay_face,
        finish=finish.bay_face,
        run=run.length,
        run_sigma=sigma,
        spacing_note=layout.note,
        closed_start=start.closed,
        closed_finish=finish.closed,
        start_station=start.station,
        finish_station=finish.station,
    )
    return bay, layout, lean


def _lean(brief: Brief, handrail: Bar, base: Bar) -> float:
    """The lean asked for; ImpossibleDesignError where the uprights would lie along the rails."""
    lean = lean_of(brief.infill.lean, handrail.top.angle)
    crossing = min(math.cos(lean + bar.top.angle) for bar in (handrail, base))
    if crossing < math.sin(math.radians(LEAST_CROSSING_DEG)):
        raise ImpossibleDesignError(
            f"uprights that lean {math.degrees(lean):.0f} degrees from plumb lie along the rails: lean them less"
        )
    return lean


def _difference(plus: str, minus: str) -> dict[str, float]:
    """Weights of ``plus`` minus ``minus``; nothing where both ends hang on one point."""
    return {} if plus == minus else {plus: 1.0, minus: -1.0}
