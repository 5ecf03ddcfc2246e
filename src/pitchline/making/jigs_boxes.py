"""Mitre boxes: for every angle and section that is sawn by hand, and for what is cut to fit on the stair."""

import math
from collections.abc import Iterator, Sequence

from pitchline.kit.geometry.bevels import SawReading
from pitchline.kit.tolerances import BOX_PLAY, ENDS_ALIKE_DEG, SETTING_OPENS
from pitchline.kit.words import PLAIN, Words
from pitchline.making.jigs import BOARD, Jig, JigAngle, JigKind, JigMark, JigView, Size, fine, rectangle
from pitchline.making.settings import Cut, SawWork
from pitchline.making.settings_ways import Way, ways
from pitchline.making.settings_work import cuts_of
from pitchline.making.shop import Saw, SawKind, Shop
from pitchline.parts.explode import Group
from pitchline.parts.part import Role

BOX_END = 60.0
"""Least wood of a mitre box beyond its slots at each end, mm (common practice, no source)."""
BETWEEN_SLOTS = 30.0
"""Least wood of a wall between its slots, mm (common practice, no source)."""
ABOVE = 4.0
"""mm that the walls of a mitre box stand above the piece, so that the saw is guided all the way."""
SHAVED_DEG = 1.0
"""What is fitted on the stair and is nearer to square than this gets no box: it is cut square and shaved (common
practice, no source)."""
FITTED_LAST = (Role.RAIL_FILLET, Role.BASE_FILLET)
"""What is cut on the stair, by hand, to the place it goes to: the last fillets take up what does not close."""


def mitre_boxes(groups: Sequence[Group], work: SawWork, shop: Shop, words: Words) -> Iterator[Jig]:
    """A box for every angle and section that is sawn by hand, and for what is cut to fit on the stair."""
    wanted: dict[tuple[float, ...], list[tuple[str, Saw]]] = {}
    for batch in work.batches:
        if batch.setting.saw.kind is SawKind.HAND:
            for one in batch.cuts:
                key = _box_key(batch.setting.made, one.lay.section(one.cut.part))
                wanted.setdefault(key, []).append((one.cut.mark, batch.setting.saw))
    saw = next((saw for saw in shop.saws if saw.kind is SawKind.HAND), None)
    if saw is not None:
        for cut in _fitted_last(groups):
            way = _best_by_hand(cut, saw)
            if way is not None and _slants(way.exact):
                key = _box_key(way.exact, way.lay.section(cut.part))
                wanted.setdefault(key, []).append((cut.mark, saw))
    for key, found in _merged(wanted).items():
        mitre, tilt, wide, high = key
        marks = tuple(dict.fromkeys(mark for mark, _ in found))
        yield mitre_box(SawReading(mitre, tilt), wide, high, marks, found[0][1].kerf, words)


def _box_key(reading: SawReading, section: tuple[float, float]) -> tuple[float, ...]:
    """Angles with the mitre counted positive: a box has both slots."""
    sign = -1.0 if reading.mitre_deg < 0.0 or (reading.mitre_deg == 0.0 and reading.bevel_deg < 0.0) else 1.0
    return (sign * reading.mitre_deg, sign * reading.bevel_deg, *section)


def _merged(
    wanted: dict[tuple[float, ...], list[tuple[str, Saw]]],
) -> dict[tuple[float, ...], list[tuple[str, Saw]]]:
    """Boxes of one section are one where a cut made in the one gapes no more at the other's place than may be."""
    kept: dict[tuple[float, ...], list[tuple[str, Saw]]] = {}
    for key, found in wanted.items():
        near = (known for known in kept if _one_box(known, key))
        kept.setdefault(next(near, key), []).extend(found)
    return kept


def _one_box(one: tuple[float, ...], other: tuple[float, ...]) -> bool:
    wide, high = one[2:]
    trace, depth = wide / math.cos(math.radians(one[0])), high / math.cos(math.radians(one[1]))
    off = [math.tan(math.radians(abs(a - b))) for a, b in zip(one[:2], other[:2], strict=True)]
    alike = max(abs(a - b) for a, b in zip(one[2:], other[2:], strict=True)) <= BOX_PLAY
    return alike and trace * off[0] + depth * off[1] <= SETTING_OPENS


def _fitted_last(groups: Sequence[Group]) -> Iterator[Cut]:
    for group in groups:
        if group.part.role in FITTED_LAST:
            yield from cuts_of(group)


def _best_by_hand(cut: Cut, saw: Saw) -> Way | None:
    return min(ways(cut, (saw,)), key=lambda way: way.cost, default=None)


def _slants(reading: SawReading) -> bool:
    """Whether a cut is far enough from square that it is not cut square and shaved."""
    return max(abs(reading.mitre_deg), abs(reading.bevel_deg)) > SHAVED_DEG


def _square(reading: SawReading) -> bool:
    return max(abs(reading.mitre_deg), abs(reading.bevel_deg)) <= ENDS_ALIKE_DEG


def angles_words(reading: SawReading) -> str:
    """Both angles of a cut from square, in words."""
    if _square(reading):
        return "square"
    mitre, tilt = abs(reading.mitre_deg), abs(reading.bevel_deg)
    if tilt <= ENDS_ALIKE_DEG:
        return f"{mitre:.2f}° from square"
    return f"{f'{mitre:.2f}° from square' if mitre > ENDS_ALIKE_DEG else 'square'}, leaning {tilt:.2f}°"


def lean_in_wall(reading: SawReading) -> float:
    """How far from upright, degrees, a slot leans in the wall of a box: tan = tan(tilt) / cos(mitre)."""
    tilt, mitre = math.radians(reading.bevel_deg), math.radians(reading.mitre_deg)
    return math.degrees(math.atan2(math.tan(tilt), math.cos(mitre)))


def mitre_box(
    reading: SawReading, wide: float, high: float, marks: tuple[str, ...], kerf: float, words: Words = PLAIN
) -> Jig:
    """A box for pieces ``wide`` on its floor and ``high``, with a slot for the cut and one for its mirror image."""
    inner = wide + 2.0 * BOX_PLAY
    outer, wall = inner + 2.0 * BOARD, high + ABOVE
    slant = outer * abs(math.tan(math.radians(reading.mitre_deg)))
    lean = wall * abs(math.tan(math.radians(lean_in_wall(reading))))
    first = BOX_END + slant / 2.0 + lean
    apart = 0.0 if _square(reading) else slant + 2.0 * lean + BETWEEN_SLOTS
    length = 2.0 * first + apart
    turn = math.tan(math.radians(reading.mitre_deg)) * outer / 2.0
    places = (first,) if _square(reading) else (first, first + apart)
    on_wall = tuple(place + sense * turn for place, sense in zip(places, (1.0, -1.0), strict=False))
    return Jig(
        JigKind.MITRE_BOX,
        f"Mitre box, {angles_words(reading)}, for pieces of {words.show(wide)} x {words.mm(high)}",
        1,
        marks,
        (_box_plan(reading, length, inner, places), _box_wall(reading, length, wall, on_wall)),
        (
            f"Board of {words.about(BOARD)}: a floor and two walls glued and screwed on, screws clear of the "
            f"slots. The piece slides with {fine(BOX_PLAY, words)} on each side.",
            *_slot_words(reading, fine(kerf, words)),
        ),
    )


def _slot_words(reading: SawReading, kerf: str) -> Iterator[str]:
    """How the slots are sawn."""
    if _square(reading):
        yield f"Saw the slot square with the saw that is used in it ({kerf})."
        return
    yield (
        f"Saw the slots with the saw that is used in it ({kerf}): the left one cuts one hand, the right one is its "
        "mirror image for the other."
    )
    if abs(reading.mitre_deg) > ENDS_ALIKE_DEG:
        mitre = abs(reading.mitre_deg)
        yield f"The slots stand {mitre:.2f}° from square, {90.0 - mitre:.2f}° from the wall."
    if abs(reading.bevel_deg) > ENDS_ALIKE_DEG:
        lean = abs(lean_in_wall(reading))
        yield f"Glue the full-size template on top of the walls; down them the lines lean {lean:.2f}° from square."
    else:
        yield "Glue the full-size template on top of the walls and square the lines down them."


def _box_plan(reading: SawReading, length: float, inner: float, places: tuple[float, ...]) -> JigView:
    outer = inner + 2.0 * BOARD
    walls = (rectangle(length, BOARD), rectangle(length, BOARD, 0.0, BOARD + inner))
    turn = math.tan(math.radians(reading.mitre_deg)) * outer / 2.0
    marks, angles = [], []
    for x, sense in zip(places, (1.0, -1.0), strict=False):
        low, high = (x + sense * turn, 0.0), (x - sense * turn, outer)
        marks.append(JigMark(low, high, saw=True))
        if abs(reading.mitre_deg) > ENDS_ALIKE_DEG:
            ends = sorted((90.0, 90.0 + sense * reading.mitre_deg))
            angles.append(JigAngle((x, outer / 2.0), ends[0], ends[1], abs(reading.mitre_deg), 24.0))
    return JigView(
        "from above",
        (rectangle(length, outer), *walls),
        tuple(marks),
        sizes=(
            Size((0.0, outer), (length, outer), 2),
            Size((0.0, outer), (places[0] - turn, outer), 1),
            *(Size((places[0] - turn, outer), (other + turn, outer), 1) for other in places[1:]),
            Size((length, BOARD), (length, BOARD + inner), -1, 90.0),
        ),
        angles=tuple(angles),
        template=True,
    )


def _box_wall(reading: SawReading, length: float, wall: float, places: tuple[float, ...]) -> JigView:
    """The wall on your side, with the slots as they stand in it; ``places`` are where they cross it on top."""
    lean = lean_in_wall(reading)
    reach = math.tan(math.radians(lean)) * wall
    marks: list[JigMark] = []
    angles: list[JigAngle] = []
    for x, sense in zip(places, (1.0, -1.0), strict=False):
        foot = x + sense * reach
        marks.append(JigMark((foot, BOARD), (x, BOARD + wall), saw=True))
        if abs(lean) > ENDS_ALIKE_DEG and not angles:
            ends = sorted((90.0, 90.0 + sense * lean))
            angles.append(JigAngle((foot, BOARD), ends[0], ends[1], abs(lean), 20.0))
    return JigView(
        "the wall on your side",
        (rectangle(length, BOARD), rectangle(length, wall, 0.0, BOARD)),
        tuple(marks),
        sizes=(
            Size((length, BOARD), (length, BOARD + wall), -1, 90.0),
            Size((length, 0.0), (length, BOARD), -1, 90.0),
        ),
        angles=tuple(angles),
    )
