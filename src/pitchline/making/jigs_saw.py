"""Jigs of the saw: stop blocks, taper blocks, carriers for short pieces, and the mitre boxes."""

import math
from collections.abc import Iterator, Sequence

from pitchline.kit.geometry.bevels import SawReading
from pitchline.kit.tolerances import ENDS_ALIKE_DEG, ONE_JIG_DEG
from pitchline.kit.words import PLAIN, Words
from pitchline.making.jigs import (
    BOARD,
    Jig,
    JigAngle,
    JigKind,
    JigView,
    Points2,
    Size,
    rectangle,
    some,
)
from pitchline.making.jigs_boxes import angles_words, lean_in_wall, mitre_boxes
from pitchline.making.settings import Batch, CutKind, Holding, SawWork, SetCut
from pitchline.making.settings_ways import BLOCK_THIN
from pitchline.making.shop import Shop
from pitchline.parts.explode import Group

BLOCK_LENGTH = 220.0
"""Length of a taper block, mm: a hand's width of bearing beyond the widest piece (common practice, no source)."""
STOP_LENGTH, STOP_HIGH = 90.0, 40.0
"""Length and greatest height of a stop block, mm."""
RELIEF = 3.0
"""Chamfer along the foot of a stop, mm: sawdust goes there instead of between stop and piece."""
AS_MANY = 3
"""A stop is made where at least so many pieces get their length from it."""
STOPS_UP_TO = 1500.0
"""Longer pieces are marked and cut one by one, mm: no bench has a stop that far out (common practice, no "
"source)."""
CARRIER_LENGTH, CARRIER_MARGIN = 400.0, 90.0
"""Length of a carrier, and how much wider than its piece it is, mm: both hands stay clear of the blade."""


def saw_jigs(groups: Sequence[Group], work: SawWork, shop: Shop, words: Words) -> Iterator[Jig]:
    """The jigs that the sawing of a design needs."""
    yield from mitre_boxes(groups, work, shop, words)
    yield from _stops(work, words)
    yield from _tapers(work)
    yield from _carriers(work, words)


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
    return Jig(
        JigKind.STOP,
        f"Stop block, face {angles_words(reading)}, for {some(marks)}",
        1,
        marks,
        (
            _stop_from_above(reading, max(40.0, wide)),
            _stop_from_front(reading, min(STOP_HIGH, max(20.0, high))),
        ),
        (
            "Cut its face from a piece of the same stick at the setting of that end: it then meets the end "
            "everywhere.",
            f"A chamfer of {words.about(RELIEF)} along its foot takes the sawdust. Clamp it to the fence, not to "
            "the table.",
            "Blow it clean before every piece.",
        ),
    )


def _stop_from_above(reading: SawReading, depth: float) -> JigView:
    turn = depth * math.tan(math.radians(reading.mitre_deg))
    foot: Points2 = (
        (max(0.0, turn), 0.0),
        (STOP_LENGTH, 0.0),
        (STOP_LENGTH, depth),
        (max(0.0, -turn), depth),
    )
    slants = abs(reading.mitre_deg) > ENDS_ALIKE_DEG
    low, high = sorted((90.0, 90.0 + reading.mitre_deg))
    return JigView(
        "from above",
        (foot,),
        sizes=(
            Size((min(x for x, _ in foot), 0.0), (STOP_LENGTH, 0.0), -1),
            Size(foot[1], foot[2], -1, 90.0),
        ),
        angles=(JigAngle(foot[0], low, high, abs(reading.mitre_deg), 16.0),) if slants else (),
        template=slants,
    )


def _stop_from_front(reading: SawReading, height: float) -> JigView:
    lean = height * math.tan(math.radians(lean_in_wall(reading)))
    low = max(0.0, lean)
    side: Points2 = (
        (low + RELIEF, 0.0),
        (STOP_LENGTH, 0.0),
        (STOP_LENGTH, height),
        (low - lean, height),
        (low - lean * RELIEF / height, RELIEF),
    )
    return JigView(
        "from the front",
        (side,),
        sizes=(
            Size((STOP_LENGTH, 0.0), (STOP_LENGTH, height), -1, 90.0),
            Size((low, 0.0), (low + RELIEF, 0.0), -1),
        ),
        template=abs(reading.bevel_deg) > ENDS_ALIKE_DEG,
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
