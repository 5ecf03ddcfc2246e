"""What is left of the sections once the infill is joined to them: wood behind and beside every housing. mm."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from pitchline.design.brief import Shape
from pitchline.design.composed import Composed
from pitchline.design.makings import (
    BetweenPosts,
    Bored,
    BoredMetal,
    Clamped,
    Dowelled,
    Grooved,
    Making,
    Mortised,
    OnTreads,
    Stacked,
    TreadFoot,
)
from pitchline.design.model import Bar, BarRole, bar_name
from pitchline.kit.finding import Finding, Verdict
from pitchline.kit.tolerances import LEAST_CHEEK, LEAST_TENON, LEAST_UPRIGHT_WALL, STACK_FIT


@dataclass(frozen=True, slots=True)
class Housing:
    """What a joint takes out of a rail: ``depth`` square to it, ``width`` across it (None: no cheeks of its own)."""

    name: str
    depth: float
    width: float | None


def section_remarks(laid: Composed) -> Iterator[Finding]:
    """Rails and uprights that a joint leaves too little of, and uprights that do not fit their layers."""
    making = laid.brief.making
    head = making.head if isinstance(making, OnTreads) else making
    for bar in (laid.handrail, laid.base):
        housing = None if bar is None else _housing(laid, bar, head)
        if bar is not None and housing is not None:
            yield from _rail(laid, bar, housing)
    if isinstance(head, Stacked):
        yield from _stack(laid, head)
    yield from _upright_ends(laid, making)


def _housing(laid: Composed, bar: Bar, making: Making) -> Housing | None:
    """What the uprights take out of one rail."""
    upright, at_rail = laid.brief.uprights, bar.role is BarRole.HANDRAIL
    match making:
        case Stacked():
            return Housing("housing", making.rail_block if at_rail else making.base_block, None)
        case Grooved():
            depth = making.rail_groove if at_rail else making.base_groove
            return Housing("groove", depth, upright.thickness + making.clearance)
        case Mortised():
            depth = (making.rail_depth if at_rail else making.base_depth) + making.end_room
            thick = upright.thickness if making.tenon_thickness is None else making.tenon_thickness
            return Housing("mortise", depth, thick + making.clearance)
        case Dowelled() | Bored() | BoredMetal():
            enters, hole = _bore(laid, making)
            depth = (making.rail_depth if at_rail else making.base_depth) + _glue_room(making)
            return Housing("bore", bore_reach(depth, enters, hole, laid.lean + bar.top.angle), hole)
        case OnTreads() | Clamped() | BetweenPosts():
            return None


def _bore(laid: Composed, making: Dowelled | Bored | BoredMetal) -> tuple[float, float]:
    """How wide the end is that enters a bored hole and has its depth at its shallow side, and the hole."""
    width = laid.brief.uprights.width
    match making:
        case Dowelled():
            return 0.0, making.diameter
        case Bored():
            return width, width + making.clearance
        case BoredMetal():
            return width, making.hole


def _glue_room(making: Dowelled | Bored | BoredMetal) -> float:
    return making.glue_room if isinstance(making, Dowelled) else 0.0


def _rail(laid: Composed, bar: Bar, housing: Housing) -> Iterator[Finding]:
    name, left = bar_name(bar, laid.flight, laid.brief.base), bar.depth - housing.depth
    if left < LEAST_CHEEK:
        yield _thin(laid, name, "behind the housing", left)
    if housing.width is not None and (beside := (bar.width - housing.width) / 2) < LEAST_CHEEK:
        yield _thin(laid, name, f"beside the {housing.name}", beside)


def bore_reach(depth: float, width: float, diameter: float, turn: float) -> float:
    """How deep a flat-bottomed bore gets, square to the rail, mm.

    The bore stands ``turn`` radians off square, and is ``depth`` deep along itself where the shallow side of an
    upright ``width`` wide enters; its deep side enters further down and its bottom is ``diameter`` across.
    """
    on_centre_line = depth + width / 2 * abs(math.tan(turn))
    return on_centre_line * math.cos(turn) + diameter / 2 * abs(math.sin(turn))


def _stack(laid: Composed, making: Stacked) -> Iterator[Finding]:
    """Uprights of another thickness than the layers they stand in."""
    thickness = laid.brief.uprights.thickness
    if abs(thickness - making.room) <= STACK_FIT:
        return
    words = laid.words
    side = abs(thickness - making.room) / 2
    thicker = thickness > making.room
    yield Finding(
        code="design.stack.fit",
        verdict=Verdict.FAIL if thicker else Verdict.ADVICE,
        where=f"{laid.brief.id}: infill",
        text=f"The uprights are {words.mm(thickness)} thick, the layers that hold them {words.mm(making.room)} "
        "together: "
        + (
            "they do not go in. Make them thinner or give them another layer."
            if thicker
            else f"they lie {words.mm(side)} back on each side and the glue has that to bridge. Make them as thick "
            "as the layers, or pack them on both sides."
        ),
        measured=thickness,
        limit=making.room,
    )


def _upright_ends(laid: Composed, making: Making) -> Iterator[Finding]:
    """Ends that a tenon, a dowel or a hole leaves too thin, or that do not go into their hole."""
    for joint in (making, making.head) if isinstance(making, OnTreads) else (making,):
        match joint:
            case Dowelled(diameter=size):
                yield from _beside_dowel(laid, size)
            case OnTreads(foot=TreadFoot.DOWEL | TreadFoot.SCREW, diameter=size):
                yield from _beside_dowel(laid, size)
            case Mortised():
                yield from _tenon(laid, joint)
            case BoredMetal():
                yield from _hole(laid, joint)
            case _:
                pass


def _beside_dowel(laid: Composed, diameter: float) -> Iterator[Finding]:
    upright = laid.brief.uprights
    left = (min(upright.width, upright.thickness) - diameter) / 2
    if left < LEAST_UPRIGHT_WALL:
        yield _thin_end(laid, f"Only {laid.words.mm(max(left, 0.0))} of wood is left beside the dowel", left)


def _tenon(laid: Composed, making: Mortised) -> Iterator[Finding]:
    left = laid.brief.uprights.width - 2.0 * making.shoulder
    if left < LEAST_TENON:
        yield _thin_end(laid, f"The tenons are only {laid.words.mm(max(left, 0.0))} wide", left)


def _hole(laid: Composed, making: BoredMetal) -> Iterator[Finding]:
    """A bar that does not go into its hole: a square one is as wide as its diagonal."""
    upright = laid.brief.uprights
    across = upright.width if upright.shape is Shape.ROUND else math.hypot(upright.width, upright.thickness)
    if across > making.hole:
        yield Finding(
            code="design.bar.hole",
            verdict=Verdict.FAIL,
            where=f"{laid.brief.id}: infill",
            text=f"The bars measure {laid.words.mm(across)} across, more than their holes of "
            f"{laid.words.mm(making.hole)}: they do not go in. Bore larger holes.",
            measured=across,
            limit=making.hole,
        )
    elif 0.0 < making.shoe <= making.hole:
        yield Finding(
            code="design.bar.shoe",
            verdict=Verdict.FAIL,
            where=f"{laid.brief.id}: infill",
            text=f"Shoes {laid.words.mm(making.shoe)} across do not cover holes of {laid.words.mm(making.hole)}.",
            measured=making.shoe,
            limit=making.hole,
        )


def _thin_end(laid: Composed, what: str, left: float) -> Finding:
    return Finding(
        code="design.upright.thin",
        verdict=Verdict.FAIL if left <= 0 else Verdict.ADVICE,
        where=f"{laid.brief.id}: ends of the uprights",
        text=f"{what}: choose stouter uprights or a smaller joint.",
        measured=left,
    )


def _thin(laid: Composed, name: str, where: str, left: float) -> Finding:
    return Finding(
        code="design.section.thin",
        verdict=Verdict.FAIL if left <= 0 else Verdict.ADVICE,
        where=f"{laid.brief.id}: {name}",
        text=f"Only {laid.words.mm(max(left, 0.0))} of wood is left {where}: choose a larger {name} or a smaller "
        "housing.",
        measured=left,
        limit=LEAST_CHEEK,
    )
