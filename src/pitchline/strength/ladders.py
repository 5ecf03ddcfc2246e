"""Stronger and stiffer bases for a newel, each a step above the one before: what a maker could do, in that order.

At a face: rows as far apart as the support is high, one row more, wide washers, thicker bolts; at last what twists
is blocked. On a plate: more screws, then down through the floor into a blocked socket. Steps whose fixings would
stand too near to each other are left out.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from pitchline.catalogue.strength import FixingType, fixing_type
from pitchline.kit.words import PLAIN, Words
from pitchline.strength.bases.joints import AsFound, Base, Dowelled, FaceFixed, InSocket, OnPlate, PostEnd
from pitchline.strength.bases.springs import Range
from pitchline.strength.bases.supports import Support
from pitchline.strength.spacings import too_near

WIDER = {"bolt-m10": "bolt-m10-wide", "bolt-m12": "bolt-m12-wide"}
THICKER = {"bolt-m8": "bolt-m10", "bolt-m10": "bolt-m12", "bolt-m10-wide": "bolt-m12-wide"}

MOST_ROWS = 4
SCREWS = (6, 8)
SOCKETS = (150.0, 200.0, 250.0, 300.0)
"""mm deep (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Rung:
    """A base that could stand in place of another, on what it stands on or on that made stiffer, in words."""

    base: Base
    words: str
    support: Support


def ladder(base: Base, end: PostEnd, support: Support, words: Words = PLAIN) -> tuple[Rung, ...]:
    """Bases above this one, the next first; empty for a base as found."""
    found: list[tuple[Base, str]] = []
    if isinstance(base, FaceFixed):
        found += _at_face(base, end, support, words)
    elif isinstance(base, OnPlate):
        found += _on_plate(base, words)
    elif isinstance(base, Dowelled):
        lever = min(end.along, end.across)
        plate = OnPlate(fixing_type("screw-8"), 4, lever, lever)
        found += [(plate, _plate_words(plate)), *_on_plate(plate, words)]
    elif isinstance(base, InSocket):
        found += _sockets(base.depth, words)
    rungs = [Rung(stronger, told, support) for stronger, told in found]
    last = rungs[-1] if rungs else Rung(base, "its base as it is", support)
    if not isinstance(base, AsFound) and math.isfinite(support.across.mean):
        told = f"{last.words}, the {support.name} blocked there so that it does not twist"
        rungs.append(Rung(last.base, told, blocked(support)))
    return tuple(rungs)


def blocked(support: Support) -> Support:
    """A support that is kept from twisting: a string by the tread at the newel, anything else altogether."""
    mean = support.across.high
    high = math.inf if support.name != "string" else mean
    told = f"{support.assumed}; blocked so that it does not twist there"
    return replace(support, across=Range(support.across.mean, mean, high), assumed=told)


def room_for_rows(base: FaceFixed, support: Support) -> float:
    """How far the highest row may stand above the lowest, mm: as high as the support is; as it is where not known."""
    now = (base.rows - 1) * base.pitch
    return now if support.depth is None else max(now, support.depth - 2.0 * base.edge)


def _at_face(base: FaceFixed, end: PostEnd, support: Support, words: Words) -> Iterator[tuple[Base, str]]:
    room = room_for_rows(base, support)
    now = base
    for rows in range(base.rows, max(base.rows, MOST_ROWS) + 1):
        stronger = replace(base, rows=rows, pitch=room / max(1, rows - 1) if rows > 1 else base.pitch)
        if stronger != now and _fits(stronger, base, end, support):
            now = stronger
            yield now, _face_words(now, words)
    for table in (WIDER, THICKER, WIDER):
        larger = table.get(_id_of(now.fixing))
        if larger is not None and _fits(replace(now, fixing=fixing_type(larger)), base, end, support):
            now = replace(now, fixing=fixing_type(larger))
            yield now, _face_words(now, words)


def _id_of(fixing: FixingType) -> str:
    return next((name for name in (*WIDER, *THICKER) if fixing_type(name) == fixing), "")


def _fits(stronger: FaceFixed, base: FaceFixed, end: PostEnd, support: Support) -> bool:
    """Whether no distance is too small that was large enough before."""
    before = {near.what for near in too_near(base, end, support)}
    return {near.what for near in too_near(stronger, end, support)} <= before


def _face_words(base: FaceFixed, words: Words) -> str:
    across = "" if base.columns == 1 else f" of {base.columns}"
    return f"{base.rows} rows{across} of {base.fixing.name}, {words.about(base.pitch)} apart"


def _on_plate(base: OnPlate, words: Words) -> Iterator[tuple[Base, str]]:
    for count in SCREWS:
        if count > base.count:
            plate = replace(base, count=count)
            yield plate, _plate_words(plate)
    yield from _sockets(0.0, words)


def _plate_words(plate: OnPlate) -> str:
    return f"a plate on {plate.count} x {plate.fixing.name}"


def _sockets(above: float, words: Words) -> Iterator[tuple[Base, str]]:
    for depth in SOCKETS:
        if depth > above:
            yield InSocket(depth), f"a blocked socket {words.about(depth)} deep"
