"""What is used up on a design: finish, abrasive, tape, glue, fixings, plugs; each says what it is reckoned from."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from pitchline.catalogue.finishes import load_finishes
from pitchline.catalogue.load import FactRange
from pitchline.design.makings import Grooved, OnTreads
from pitchline.design.model import Design
from pitchline.making.finishing import TIN_REST, Amounts
from pitchline.making.order_parts import Family
from pitchline.making.order_plan import Planned
from pitchline.making.order_rooms import FaceRoom
from pitchline.parts.explode import fixings_of_legs
from pitchline.strength.settings import StrengthSettings

PINS_EACH = 2
"""Pins through a fillet (common practice, no source)."""

SPARE = 0.10
"""Share of fixings that is bought over (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Item:
    """One thing that is used up: from ``low`` to ``high`` of its ``unit``, and what that is reckoned from."""

    what: str
    low: float
    high: float
    unit: str
    reckoned: str


def items_of(planned: Planned, amounts: Amounts, strength: StrengthSettings) -> tuple[Item, ...]:
    """Everything that is used up on a design."""
    return (
        *_finish(planned, amounts),
        *_sanding(amounts),
        *_glue(amounts),
        *_fixings(planned, strength),
        *_listed(planned),
    )


def _finish(planned: Planned, amounts: Amounts) -> Iterator[Item]:
    plan = amounts.plan
    if plan is None or amounts.litres is None:
        return
    each = f"{_figures(plan.finish.coverage)} m2 a litre and coat ({_known(plan.finish.coverage)})"
    over = f"{100 * TIN_REST:.0f} % left in brush and tin"
    yield Item(
        plan.finish.name,
        amounts.litres.low,
        amounts.litres.high,
        "l",
        f"{amounts.area:.2f} m2 x {plan.coats} coats, {each}; {over}",
    )
    tape = tape_length(planned)
    if tape > 0.0:
        text = "along the edges of joint faces that are masked, before assembly"
        yield Item("masking tape", tape / 1000.0, tape / 1000.0, "m", text)


def tape_length(planned: Planned) -> float:
    """mm of edge between what is finished and what is kept bare, within faces."""
    return sum(_inner_edge(room) for room in planned.work.rooms.faces if room.is_part_bare)


def _inner_edge(room: FaceRoom) -> float:
    """mm of the edge of what is bare that does not lie on the edge of its face."""
    both = room.stays.length + room.bare.length - room.face.outline.length
    return max(0.0, float(both) / 2.0)


def _sanding(amounts: Amounts) -> Iterator[Item]:
    one = load_finishes().sheet_area
    for grit, sheets in sorted(amounts.sheets.items()):
        text = f"a sheet or disc sands {_figures(one)} m2 with one grit ({_known(one)})"
        yield Item(f"abrasive, grit {grit}", math.ceil(sheets.low), math.ceil(sheets.high), "sheets", text)


def _glue(amounts: Amounts) -> Iterator[Item]:
    if amounts.glue_area <= 0.0:
        return
    spread = amounts.glue_kind.spread
    text = f"{amounts.glue_area:.2f} m2 of joints, {_figures(spread)} g/m2 ({_known(spread)})"
    yield Item(amounts.glue_kind.name, amounts.glue.low, amounts.glue.high, "g", text)


def _fixings(planned: Planned, strength: StrengthSettings) -> Iterator[Item]:
    """Fixings of rail ends and base rails as its strength is judged with them; what hides the heads."""
    work = planned.work
    ends = 2 * len(work.of(Family.HANDRAIL))
    rail, seat = strength.rail_fixing, strength.seat_fixing
    if ends:
        count = ends * rail.count
        text = f"{rail.count} at each of {ends} handrail ends, as the strength sheets reckon"
        yield Item(f"{rail.fixing.name}, handrail ends", count, _over(count), "off", text)
    seats = sum(
        _along(base.length, seat.apart) for design in work.legs if (base := _base(design)) is not None
    )
    if seats:
        text = f"one every {work.words.mm(seat.apart)} along the base rails"
        yield Item(f"{seat.fixing.name}, base rails", seats, _over(seats), "off", text)
    hidden = all(_fillets_hide(design) for design in work.legs if design.base is not None)
    plugs = ends * rail.count + (0 if hidden else seats)
    if plugs:
        text = "over the heads at the handrail's ends" + ("" if hidden else " and on the base rails")
        yield Item("plugs, of the rail's wood, along its grain", plugs, _over(plugs), "off", text)
    fillets = len(work.of(Family.FILLET))
    if fillets:
        text = f"{PINS_EACH} through each of {fillets} fillets (common practice, no source)"
        yield Item("pins", PINS_EACH * fillets, _over(PINS_EACH * fillets), "off", text)


@dataclass(frozen=True, slots=True)
class _Base:
    length: float


def _base(design: Design) -> _Base | None:
    """The base rail of a leg, with its length along the rake, mm."""
    if design.base is None:
        return None
    return _Base(design.bay.run / math.cos(design.base.top.angle))


def _fillets_hide(design: Design) -> bool:
    """Whether the heads of a base rail's screws lie in its groove under the fillets."""
    making = design.making
    head = making.head if isinstance(making, OnTreads) else making
    return isinstance(head, Grooved)


def _along(length: float, apart: float) -> int:
    return math.ceil(length / apart) + 1


def _over(count: int) -> int:
    return math.ceil(count * (1.0 + SPARE))


def _listed(planned: Planned) -> Iterator[Item]:
    """Hardware that the joints need, as the list of fixings has it."""
    for fixing in fixings_of_legs(planned.work.legs):
        size = f", {fixing.size}" if fixing.size else ""
        sizes = " x ".join(planned.work.words.mm(value) for value in fixing.sizes)
        what = f"{fixing.what}{size}" + (f", {sizes}" if sizes else "")
        yield Item(what, fixing.quantity, fixing.quantity, "off", fixing.where)


def _figures(fact: FactRange) -> str:
    return f"{fact.low:g}" if fact.low == fact.high else f"{fact.low:g} to {fact.high:g}"


def _known(fact: FactRange) -> str:
    """How a figure is known, in a few words."""
    return {"CP": "common practice, no source", "M": "from memory"}.get(fact.status, fact.source.title)
