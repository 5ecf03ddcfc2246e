"""From one leg of a stair and a brief to a finished design: rails, ends, infill, and what is to be said of them."""

from dataclasses import dataclass

from pitchline.design.bay import Trace, standing
from pitchline.design.brief import BaseSeat, Brief, Grooved, Making, Stacked
from pitchline.design.fitting import fit_remark
from pitchline.design.infill.dying import die_into_soffits, soffit_remark
from pitchline.design.infill.eased import under_easement
from pitchline.design.infill.lay import Field, lay_infill
from pitchline.design.limits import Limits
from pitchline.design.model import Bar, BarRole, Design, Easement, Upright
from pitchline.design.posts import BuiltEnd, Place, as_set, build_end
from pitchline.design.rails import BaseLines, base_lines, handrail_line, kept
from pitchline.design.remarks import Composed, remarks
from pitchline.design.seats import base_seat_depth, head_of, rail_seat_depth
from pitchline.kit.errors import ImpossibleDesignError
from pitchline.kit.finding import Finding
from pitchline.kit.geometry.lines import Line
from pitchline.kit.tolerances import LEAST_PACKER
from pitchline.kit.words import Show, Words, plain_mm
from pitchline.stair.model import Flight


@dataclass(frozen=True, slots=True)
class Joined:
    """How a leg hangs together with the legs beside it.

    ``start`` and ``finish`` are what stands at its ends where another leg begins (None: the brief says), ``rail``
    the handrail's top line where the legs settle it together. ``number`` is that of its bars, ``first_post`` and
    ``first_member`` the numbers its posts and members begin with, ``lead`` the place of the first upright of a
    module that runs on from the leg before, ``easements`` the bent pieces at its ends.
    """

    start: BuiltEnd | None = None
    finish: BuiltEnd | None = None
    rail: Line | None = None
    number: int = 1
    first_post: int = 1
    first_member: int = 1
    lead: float | None = None
    easements: tuple[Easement, ...] = ()


ALONE = Joined()
"""A leg with nothing beside it."""


def compose(
    flight: Flight, brief: Brief, limits: Limits, show: Show = plain_mm, joined: Joined = ALONE
) -> Design:
    """Lay out the balustrade of one leg; ``show`` writes a length in mm in what there is to say about it.

    ImpossibleDesignError (one sentence) when the brief leaves nothing to build: ends that overlap, rails that
    cross, a base rail on a string that is not there.
    """
    held = flight.fitted_rail(brief.balustrade, f"H{joined.number}") or joined.rail
    top, rail_line = (
        handrail_line(flight, brief.rail, limits)
        if held is None
        else (held, kept(flight, held, brief.rail, limits))
    )
    start, finish = _ends(flight, brief, top, joined)
    handrail = _handrail(brief, top, start, finish, joined.number)
    faces = (Trace.of(standing(start.base_end), 0.0), Trace.of(standing(finish.base_end), 0.0))
    fitted = flight.fitted_rail(brief.balustrade, f"B{joined.number}")
    lines = None if brief.base is None else base_lines(flight, brief.base, top, faces, fitted)
    base = None if lines is None else _base(brief, lines, start, finish, joined.number)
    laid = lay_infill(
        Field(flight, brief, handrail, base, start, finish, joined.first_member, joined.lead), limits
    )
    posts = tuple(end.post for end in (start, finish) if end.post is not None)
    eased = _eased(laid.uprights, handrail, joined.easements, brief.making)
    uprights = tuple(
        cut for upright in eased if (cut := die_into_soffits(upright, flight.soffits)) is not None
    )
    return Design(
        id=brief.id,
        title=brief.title,
        side=brief.side,
        flight=flight,
        brief=brief,
        rail_line=rail_line,
        handrail=handrail,
        base=base,
        packer=None if lines is None else _packer(brief, lines, start, finish, faces, joined.number),
        posts=posts,
        bay=laid.bay,
        uprights=uprights,
        making=brief.making,
        findings=(
            *remarks(
                Composed(
                    flight,
                    brief,
                    limits,
                    rail_line,
                    posts,
                    laid.bay,
                    laid.layout,
                    uprights,
                    handrail,
                    base,
                    laid.lean,
                    Words(show),
                )
            ),
            *soffit_remark(brief.id, flight, handrail, Words(show)),
            *_fit(brief, flight, handrail, (start, finish), Words(show)),
        ),
        strands=laid.strands,
        panels=laid.panels,
        easements=joined.easements,
        number=joined.number,
        first_member=joined.first_member,
    )


def _eased(
    uprights: tuple[Upright, ...], handrail: Bar, easements: tuple[Easement, ...], making: Making
) -> tuple[Upright, ...]:
    if easements and isinstance(head_of(making), Grooved | Stacked):
        raise ImpossibleDesignError(
            "an eased handrail bends, and a groove or a stack of straight strips does not: let the uprights be "
            "bored, mortised or dowelled into it, or the rails be mitred"
        )
    for piece in easements:
        uprights = tuple(under_easement(upright, handrail, piece) for upright in uprights)
    return uprights


def _fit(
    brief: Brief, flight: Flight, handrail: Bar, ends: tuple[BuiltEnd, BuiltEnd], words: Words
) -> tuple[Finding, ...]:
    """Where to begin with the handrail; nothing once it is fitted."""
    if flight.fitted_rail(brief.balustrade, handrail.id) is not None:
        return ()
    return tuple(fit_remark(brief.id, flight, handrail, ends, words))


def _ends(flight: Flight, brief: Brief, top: Line, joined: Joined) -> tuple[BuiltEnd, BuiltEnd]:
    """What stands at the two ends: built already at a turn, else as the brief says."""
    number = joined.first_post
    foot = Place(flight, brief.side, at_head=False, rail_top=top, post_id=f"P{number}")
    head = Place(flight, brief.side, at_head=True, rail_top=top, post_id=f"P{number + 1}")
    owner = brief.balustrade
    return (
        joined.start or as_set(build_end(brief.bottom, foot), foot, owner),
        joined.finish or as_set(build_end(brief.top, head), head, owner),
    )


def _handrail(brief: Brief, top: Line, start: BuiltEnd, finish: BuiltEnd, number: int) -> Bar:
    bottom = top.offset(-brief.rail.depth)
    seat = bottom.offset(rail_seat_depth(brief.making))
    piece = _Piece(
        f"H{number}", BarRole.HANDRAIL, brief.rail.width, brief.rail.material, brief.rail.round_over
    )
    return _bar(piece, (bottom, top), seat, start, finish)


def _base(brief: Brief, lines: BaseLines, start: BuiltEnd, finish: BuiltEnd, number: int) -> Bar:
    seat = lines.top.offset(-base_seat_depth(brief.making))
    piece = _Piece(
        f"B{number}",
        BarRole.BASE,
        brief.base_rail.width,
        brief.base_rail.material,
        brief.base_rail.round_over,
    )
    return _bar(piece, (lines.bottom, lines.top), seat, start, finish)


def _packer(
    brief: Brief,
    lines: BaseLines,
    start: BuiltEnd,
    finish: BuiltEnd,
    faces: tuple[Trace, Trace],
    number: int,
) -> Bar | None:
    if brief.base_rail.seat is not BaseSeat.PACKED or lines.packer_bottom is None:
        return None
    places = [face.meets(lines.bottom)[0] for face in faces]
    if max(lines.bottom.at(u) - lines.packer_bottom.at(u) for u in places) < LEAST_PACKER:
        return None
    piece = _Piece(f"K{number}", BarRole.PACKER, brief.base_rail.width, brief.base_rail.material, 0.0)
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
    handrail = piece.role is BarRole.HANDRAIL
    return Bar(
        id=piece.id,
        role=piece.role,
        top=top,
        bottom=bottom,
        width=piece.width,
        y=0.0,
        start=(start.rail_face if handrail else start.base_end).flipped(),
        finish=(finish.rail_face if handrail else finish.base_end).flipped(),
        seat=seat,
        round_over=piece.round_over,
        material=piece.material,
        start_at=start.name,
        finish_at=finish.name,
    )
