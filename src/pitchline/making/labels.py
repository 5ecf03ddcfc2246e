"""What the label of each piece says: its mark, where it goes, which end is up, both ends, what its code holds.

A label for every piece that is handled by itself; fillets and blocks share one for their bag. Lengths in mm,
angles in degrees from a square cut.
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from pitchline.making.order_parts import BLOCKS, FAMILIES, Family
from pitchline.parts.measure import EndReading, end_readings
from pitchline.parts.part import Part, Role

STEEP = 0.05
"""Pieces that rise by more than this share of their length have an upper end."""

BAGGED = (Family.FILLET,)
"""Families whose pieces share one label for their bag."""


@dataclass(frozen=True, slots=True)
class LabelEnd:
    """One end of a piece: how it is called, and how the saw reads it; more than one cut is left to the drawing."""

    name: str
    mitre_deg: float
    bevel_deg: float
    cuts: int


@dataclass(frozen=True, slots=True)
class Label:
    """The label of a piece, or of a bag of ``quantity``; ``up`` names its higher end, empty for a level piece.

    ``code``: what its QR code holds; ``anchor``: its place on the page of the parts.
    """

    design: str
    place: str
    what: str
    where: str
    material: str
    size: tuple[float, float, float]
    up: str
    ends: tuple[LabelEnd, ...]
    quantity: int
    anchor: str
    code: str


def anchor_of(design: str, place: str) -> str:
    """The name of a piece's place on the page of the parts, fit for an address."""
    return re.sub(r"[^A-Za-z0-9]+", "-", f"{design}-{place}").strip("-") or "piece"


def code_of(design: str, place: str, address: str | None) -> str:
    """What a code holds: where the piece is shown, or its name where the pack has no address."""
    if address is None:
        return f"{design} {place}"
    return f"{address.rstrip('/')}/parts.html#{anchor_of(design, place)}"


def labels_of(
    design: str, legs: Iterable[tuple[str, Sequence[Part]]], address: str | None
) -> Iterator[Label]:
    """The labels of a design or wall rail: ``legs`` are its legs or bays from the foot up, each with its name and its
    pieces, in frames whose third axis is plumb.
    """
    for leg, parts in legs:
        counts: dict[Role, int] = {}
        totals = {role: sum(part.role is role for part in parts) for role in {part.role for part in parts}}
        bags: dict[Role, list[Part]] = {}
        for part in parts:
            counts[part.role] = counts.get(part.role, 0) + 1
            if FAMILIES[part.role] in BAGGED or part.role in BLOCKS:
                bags.setdefault(part.role, []).append(part)
                continue
            total = totals[part.role]
            nth = f"{counts[part.role]} of {total} from the foot" if total > 1 else ""
            yield _label(design, leg, part, nth, address)
        for bag in bags.values():
            yield _bag(design, leg, bag, address)


def _label(design: str, leg: str, part: Part, nth: str, address: str | None) -> Label:
    start, finish = end_readings(part)
    rise = part.frame.x[2]
    return Label(
        design=design,
        place=part.place,
        what=part.role.value,
        where=f"{leg}, {nth}" if nth else leg,
        material=part.material,
        size=(part.length, part.width, part.thickness),
        up="far end" if rise > STEEP else "start end" if rise < -STEEP else "",
        ends=(_end("start", start), _end("far", finish)),
        quantity=1,
        anchor=anchor_of(design, part.place),
        code=code_of(design, part.place, address),
    )


def _end(name: str, reading: EndReading) -> LabelEnd:
    return LabelEnd(name, reading.mitre_deg, reading.bevel_deg, reading.planes)


def _bag(design: str, leg: str, parts: Sequence[Part], address: str | None) -> Label:
    first, last = parts[0], parts[-1]
    return Label(
        design=design,
        place=first.place if len(parts) == 1 else f"{first.place} to {last.place}",
        what=f"{first.role.value}s" if len(parts) > 1 else first.role.value,
        where=leg,
        material=first.material,
        size=(max(part.length for part in parts), first.width, first.thickness),
        up="",
        ends=(),
        quantity=len(parts),
        anchor=anchor_of(design, first.place),
        code=code_of(design, first.place, address),
    )
