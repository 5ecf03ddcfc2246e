"""Jigs of the saw: mitre boxes, stop blocks, taper blocks, carriers for short pieces."""

import math
from collections.abc import Iterator, Sequence

from pitchline.kit.geometry.bevels import SawReading
from pitchline.kit.tolerances import BOX_PLAY, ENDS_ALIKE_DEG, ONE_JIG_DEG, SETTING_OPENS
from pitchline.kit.words import PLAIN, Words
from pitchline.making.jigs import (
    BOARD,
    Jig,
    JigAngle,
    JigKind,
    JigMark,
    JigView,
    Points2,
    Size,
    fine,
    rectangle,
    some,
)
from pitchline.making.settings import Batch, Cut, CutKind, Holding, SawWork, SetCut
from pitchline.making.settings_ways import BLOCK_THIN, Way, ways
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
BLOCK_LENGTH = 220.0
"""Length of a taper block, mm: a hand's width of bearing beyond the widest piece (common practice, no source)."""
STOP_LENGTH, STOP_HIGH = 90.0, 40.0
"""Length and greatest height of a stop block, mm."""
RELIEF = 3.0
"""Chamfer along the foot of a stop, mm: sawdust goes there instead of between stop and piece."""
SHAVED_DEG = 1.0
"""What is fitted on the stair and is nearer to square than this gets no box: it is cut square and shaved (common
practice, no source)."""
AS_MANY = 3
"""A stop is made where at least so many pieces get their length from it."""
STOPS_UP_TO = 1500.0
"""Longer pieces are marked and cut one by one, mm: no bench has a stop that far out (common practice, no "
"source)."""
CARRIER_LENGTH, CARRIER_MARGIN = 400.0, 90.0
"""Length of a carrier, and how much wider than its piece it is, mm: both hands stay clear of the blade."""

FITTED_LAST = (Role.RAIL_FILLET, Role.BASE_FILLET)
"""What is cut on the stair, by hand, to the place it goes to: the last fillets take up what does not close."""


def saw_jigs(groups: Sequence[Group], work: SawWork, shop: Shop, words: Words) -> Iterator[Jig]:
    """The jigs that the sawing of a design needs."""
    yield from _boxes(groups, work, shop, words)
    yield from _stops(work, words)
    yield from _tapers(work)
    yield from _carriers(work, words)


def _boxes(groups: Sequence[Group], work: SawWork, shop: Shop, words: Words) -> Iterator[Jig]:
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
    apart = slant + 2.0 * lean + BETWEEN_SLOTS
    first = BOX_END + slant / 2.0 + lean
    length = 2.0 * first + apart
    turn = math.tan(math.radians(reading.mitre_deg)) * outer / 2.0
    return Jig(
        JigKind.MITRE_BOX,
        f"Mitre box, {angles_words(reading)}, for pieces of {words.show(wide)} x {words.mm(high)}",
        1,
        marks,
        (
            _box_plan(reading, length, inner, (first, first + apart)),
            _box_wall(reading, length, wall, (first + turn, first + apart - turn)),
        ),
        (
            f"Board of {words.about(BOARD)}: a floor and two walls glued and screwed on, screws clear of the "
            f"slots. The piece slides with {fine(BOX_PLAY, words)} on each side.",
            f"Saw the slots with the saw that is used in it ({fine(kerf, words)}): the left one cuts one hand, the "
            "right one is its mirror image for the other.",
            f"The slots stand {abs(reading.mitre_deg):.2f}° from square, {90.0 - abs(reading.mitre_deg):.2f}° from "
            "the wall.",
            "Glue the full-size template on top of the walls and square the lines down them.",
        ),
    )


def _box_plan(reading: SawReading, length: float, inner: float, places: tuple[float, float]) -> JigView:
    outer = inner + 2.0 * BOARD
    walls = (rectangle(length, BOARD), rectangle(length, BOARD, 0.0, BOARD + inner))
    turn = math.tan(math.radians(reading.mitre_deg)) * outer / 2.0
    marks, angles = [], []
    for x, sense in zip(places, (1.0, -1.0), strict=True):
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
            Size((places[0] - turn, outer), (places[1] + turn, outer), 1),
            Size((length, BOARD), (length, BOARD + inner), -1, 90.0),
        ),
        angles=tuple(angles),
        template=True,
    )


def _box_wall(reading: SawReading, length: float, wall: float, places: tuple[float, float]) -> JigView:
    """The wall on your side, with the slots as they stand in it; ``places`` are where they cross it on top."""
    lean = lean_in_wall(reading)
    reach = math.tan(math.radians(lean)) * wall
    marks: list[JigMark] = []
    angles: list[JigAngle] = []
    for x, sense in zip(places, (1.0, -1.0), strict=True):
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


def _stops(work: SawWork, words: Words) -> Iterator[Jig]:
    """A stop for every angle that an end already cut is set against."""
    found: list[tuple[SawReading, float, float, list[SetCut]]] = []
    for batch in work.batches:
        for one in batch.cuts:
            other = _against(one, batch)
            if other is None:
                continue
            wide, high = one.lay.section(one.cut.part)
            for index, (known, w, h, cuts) in enumerate(found):
                off = max(abs(known.mitre_deg - other.mitre_deg), abs(known.bevel_deg - other.bevel_deg))
                if off <= ONE_JIG_DEG:
                    cuts.append(one)
                    found[index] = (known, max(w, wide), max(h, high), cuts)
                    break
            else:
                found.append((other, wide, high, [one]))
    for reading, wide, high, cuts in found:
        if sum(one.cut.quantity for one in cuts) >= AS_MANY:
            marks = tuple(dict.fromkeys(one.cut.mark for one in cuts))
            yield stop_block(reading, wide, high, marks, words)


def _against(one: SetCut, batch: Batch) -> SawReading | None:
    """How the end that is set against the stop stands as the piece lies; None where there is no stop.

    A stop on the left is told as it looks when turned round, so that its face is always on the left of the block.
    """
    part = one.cut.part
    others = part.finish_cuts if one.cut.at_start else part.start_cuts
    if one.first or one.cut.kind is not CutKind.END or len(others) != 1 or part.length > STOPS_UP_TO:
        return None
    reading = one.lay.reading(others[0].normal, batch.setting.saw.kind)
    return reading if one.on_right else SawReading(reading.mitre_deg, -reading.bevel_deg)


def stop_block(
    reading: SawReading, wide: float, high: float, marks: tuple[str, ...], words: Words = PLAIN
) -> Jig:
    """A block that meets an end cut at ``reading`` over its whole face."""
    depth, height = max(40.0, wide), min(STOP_HIGH, max(20.0, high))
    turn = depth * math.tan(math.radians(reading.mitre_deg))
    lean = height * math.tan(math.radians(lean_in_wall(reading)))
    foot: Points2 = (
        (max(0.0, turn), 0.0),
        (STOP_LENGTH, 0.0),
        (STOP_LENGTH, depth),
        (max(0.0, -turn), depth),
    )
    low = max(0.0, lean)
    side: Points2 = (
        (low + RELIEF, 0.0),
        (STOP_LENGTH, 0.0),
        (STOP_LENGTH, height),
        (low - lean, height),
        (low - lean * RELIEF / height, RELIEF),
    )
    angles: tuple[JigAngle, ...] = ()
    if abs(reading.mitre_deg) > ENDS_ALIKE_DEG:
        low_deg, high_deg = sorted((90.0, 90.0 + reading.mitre_deg))
        angles = (JigAngle(foot[0], low_deg, high_deg, abs(reading.mitre_deg), 16.0),)
    return Jig(
        JigKind.STOP,
        f"Stop block, face {angles_words(reading)}, for {some(marks)}",
        1,
        marks,
        (
            JigView(
                "from above",
                (foot,),
                sizes=(
                    Size((min(x for x, _ in foot), 0.0), (STOP_LENGTH, 0.0), -1),
                    Size(foot[1], foot[2], -1, 90.0),
                ),
                angles=angles,
                template=abs(reading.mitre_deg) > ENDS_ALIKE_DEG,
            ),
            JigView(
                "from the front",
                (side,),
                sizes=(
                    Size((STOP_LENGTH, 0.0), (STOP_LENGTH, height), -1, 90.0),
                    Size((low, 0.0), (low + RELIEF, 0.0), -1),
                ),
                template=abs(reading.bevel_deg) > ENDS_ALIKE_DEG,
            ),
        ),
        (
            "Cut its face from a piece of the same stick at the setting of that end: it then meets the end "
            "everywhere.",
            f"A chamfer of {words.about(RELIEF)} along its foot takes the sawdust. Clamp it to the fence, not to "
            "the table.",
            "Blow it clean before every piece.",
        ),
    )


def _tapers(work: SawWork) -> Iterator[Jig]:
    """The taper blocks of the settings that need one."""
    found: dict[float, list[SetCut]] = {}
    for batch in work.batches:
        if batch.setting.block_deg > 0.0:
            found.setdefault(batch.setting.block_deg, []).extend(batch.cuts)
    for angle, cuts in sorted(found.items()):
        marks = tuple(dict.fromkeys(one.cut.mark for one in cuts))
        high = max(one.lay.section(one.cut.part)[1] for one in cuts)
        yield taper_block(angle, high, marks)


def taper_block(angle_deg: float, high: float, marks: tuple[str, ...]) -> Jig:
    """A wedge that turns a piece by ``angle_deg`` away from the fence."""
    thick = BLOCK_THIN + BLOCK_LENGTH * math.tan(math.radians(angle_deg))
    plan: Points2 = ((0.0, 0.0), (BLOCK_LENGTH, 0.0), (BLOCK_LENGTH, thick), (0.0, BLOCK_THIN))
    height = max(30.0, high)
    return Jig(
        JigKind.TAPER,
        f"Taper block of {angle_deg:g}°, for {some(marks)}",
        1,
        marks,
        (
            JigView(
                "from above, its long face at the fence",
                (plan,),
                sizes=(
                    Size((0.0, 0.0), (BLOCK_LENGTH, 0.0), -1),
                    Size((0.0, 0.0), (0.0, BLOCK_THIN), 1, 90.0),
                    Size((BLOCK_LENGTH, 0.0), (BLOCK_LENGTH, thick), -1, 90.0),
                ),
                angles=(JigAngle((0.0, BLOCK_THIN), 0.0, angle_deg, angle_deg, 40.0),),
                template=True,
            ),
            JigView(
                "its end",
                (rectangle(BLOCK_THIN, height),),
                sizes=(Size((BLOCK_THIN, 0.0), (BLOCK_THIN, height), -1, 90.0),),
            ),
        ),
        (
            "Grain along the fence. Saw the slant over its line and plane to it; check against the full-size "
            "template.",
            "Stick fine sandpaper on both faces and clamp the piece to the block, the block to the fence: the cut "
            "pulls the piece along the slant.",
            "Its thin end stands at the blade. What the scale shows and the block's angle add up to the mitre.",
        ),
    )


def _carriers(work: SawWork, words: Words) -> Iterator[Jig]:
    cuts = work.of(Holding.CARRIER)
    if cuts:
        marks = tuple(dict.fromkeys(one.cut.mark for one in cuts))
        widest = max(one.lay.section(one.cut.part)[0] for one in cuts)
        longest = max(one.cut.part.blank_length for one in cuts)
        yield carrier(widest, longest, marks, words)


def carrier(wide: float, long: float, marks: tuple[str, ...], words: Words = PLAIN) -> Jig:
    """A board that carries a short piece past the blade, both hands far from it."""
    length, width = max(CARRIER_LENGTH, long + 200.0), wide + CARRIER_MARGIN
    at = length / 2.0 - long / 2.0
    return Jig(
        JigKind.CARRIER,
        f"Carrier for short pieces, {some(marks)}",
        1,
        marks,
        (
            JigView(
                "from above, the fence above it",
                (
                    rectangle(length, width),
                    rectangle(length, 20.0, 0.0, width - 20.0),
                    rectangle(long, wide, at, width - 20.0 - wide),
                ),
                sizes=(
                    Size((0.0, width), (length, width), 1),
                    Size((length, 0.0), (length, width), -1, 90.0),
                    Size((length, width - 20.0), (length, width), -2, 90.0),
                ),
            ),
        ),
        (
            f"Board of {words.about(BOARD)} with a strip glued along its far edge; the piece lies against the "
            "strip under a toggle clamp whose handle is at the end away from the blade.",
            "The first cut goes through the carrier as well: its edge then shows where the blade passes.",
            "Both hands hold the carrier at its ends, never the piece.",
        ),
    )
