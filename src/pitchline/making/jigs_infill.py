"""Jigs of setting out: spacer sticks, story sticks, drilling guides."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pitchline.design.brief import StrandKind
from pitchline.design.model import Bar, BarRole, Design
from pitchline.kit.tolerances import ENDS_ALIKE_DEG, ONE_SPACER, SAME_PART
from pitchline.kit.words import PLAIN, Words
from pitchline.making.jigs import Jig, JigAngle, JigKind, JigMark, JigView, Points2, Size, rectangle, some
from pitchline.making.saws import OUTWARD
from pitchline.parts.explode import Group
from pitchline.parts.marks import BarMarks, running_marks, tread_places
from pitchline.parts.part import Face, Hole, Part, RoundBar

SPACER_HIGH, SPACER_THICK = 40.0, 12.0
"""Height and thickness of a spacer stick, mm."""
BLOCK_LONG = 80.0
"""Length of a spacer block along the bars, mm."""
STICK_WIDE = 25.0
"""Width of a story stick, mm."""
GUIDE_HIGH = 60.0
"""Height of a drilling guide, mm: five times a usual drill, so that it cannot wander (common practice, no "
"source)."""
GUIDE_END = 30.0
"""Wood beyond the hole at each end of a guide, mm."""
LIP = 15.0
"""Thickness of the lip that runs along the piece's edge, mm."""
SEVERAL = 3
"""A story stick is made for at least so many places."""


def infill_jigs(designs: Sequence[Design], groups: Sequence[Group], words: Words) -> Iterator[Jig]:
    """The jigs that the infill's setting out needs."""
    yield from _spacers(designs, words)
    yield from _strand_spacers(designs, words)
    for design in designs:
        yield from _story_sticks(design, words)
    yield from _hole_sticks(groups)
    yield from _guides(groups, words)


@dataclass(frozen=True, slots=True)
class _Rail:
    """Where a spacer lies: on which rail, at what slope, between uprights that stand how far from square to it."""

    role: BarRole
    slope_deg: float
    end_deg: float

    def like(self, other: "_Rail") -> bool:
        off = max(abs(self.slope_deg - other.slope_deg), abs(self.end_deg - other.end_deg))
        return self.role is other.role and off <= ENDS_ALIKE_DEG


def _spacers(designs: Sequence[Design], words: Words) -> Iterator[Jig]:
    found: list[tuple[_Rail, list[float]]] = []
    for design in designs:
        leans = [math.degrees(upright.lean) for upright in design.uprights]
        if not leans or max(leans) - min(leans) > ENDS_ALIKE_DEG:
            continue
        for bar in running_marks(design).bars:
            rail = _Rail(bar.role, bar.slope_deg, bar.slope_deg + leans[0])
            for clear in _clears(bar):
                _counted(found, rail, clear)
    for rail, clears in found:
        if len(clears) >= SEVERAL:
            yield spacer(
                sum(clears) / len(clears), rail.end_deg, rail.slope_deg, len(clears), rail.role, words
            )


def _strand_spacers(designs: Sequence[Design], words: Words) -> Iterator[Jig]:
    """Blocks that hold raking bars, rods and cables as far apart as they are, square to them."""
    gaps = [
        strand.gap_above
        for design in designs
        for strand in design.strands[:-1]
        if strand.gap_above > 0.0 and strand.kind is not StrandKind.CABLE
    ]
    found: list[list[float]] = []
    for gap in gaps:
        near = next((known for known in found if abs(known[0] - gap) <= ONE_SPACER), None)
        if near is None:
            found.append([gap])
        else:
            near.append(gap)
    for alike in found:
        if len(alike) >= SEVERAL:
            yield strand_spacer(sum(alike) / len(alike), len(alike), words)


def strand_spacer(gap: float, count: int, words: Words = PLAIN) -> Jig:
    """A block between two raking bars, ``gap`` square to them."""
    view = JigView(
        "as it stands on the lower bar",
        (rectangle(BLOCK_LONG, gap),),
        sizes=(Size((BLOCK_LONG, 0.0), (BLOCK_LONG, gap), -1, 90.0), Size((0.0, 0.0), (BLOCK_LONG, 0.0), -1)),
        template=True,
    )
    return Jig(
        JigKind.SPACER,
        f"Spacer block, {words.mm(gap)} between bars",
        2,
        (),
        (view,),
        (
            f"For {count} gaps, {words.mm(gap)} square to the bars. One near each post holds a bar parallel to its "
            "neighbour while it is fixed.",
            "Check the top bar against the rail before the last one is fixed: an error of a block adds up.",
        ),
    )


def _counted(found: list[tuple[_Rail, list[float]]], rail: _Rail, clear: float) -> None:
    """One more clear length on a rail, put to those that one spacer serves."""
    for known, clears in found:
        if known.like(rail) and abs(clears[0] - clear) <= ONE_SPACER:
            clears.append(clear)
            return
    found.append((rail, [clear]))


def _clears(bar: BarMarks) -> list[float]:
    """The clear lengths between uprights, those at the ends left out: what does not close goes there."""
    return [mark.clear_before for mark in bar.marks[1:] if mark.clear_before > 0.0]


def spacer(
    clear: float, end_deg: float, slope_deg: float, count: int, role: BarRole, words: Words = PLAIN
) -> Jig:
    """A stick that lies on the rail between two uprights: ``clear`` along it, ends ``end_deg`` from square."""
    lean = SPACER_HIGH * math.tan(math.radians(end_deg))
    shape: Points2 = (
        (max(0.0, -lean), 0.0),
        (max(0.0, -lean) + clear, 0.0),
        (max(0.0, -lean) + clear + lean, SPACER_HIGH),
        (max(0.0, -lean) + lean, SPACER_HIGH),
    )
    angles: tuple[JigAngle, ...] = ()
    where = f"{'under' if role is BarRole.HANDRAIL else 'along'} the {role.value}"
    if abs(end_deg) > ENDS_ALIKE_DEG:
        low, high = sorted((90.0, 90.0 - end_deg))
        angles = (JigAngle(shape[0], low, high, abs(end_deg), 18.0),)
    square = clear * math.cos(math.radians(end_deg))
    level = clear * math.cos(math.radians(slope_deg))
    view = JigView(
        "as it lies on the rail",
        (shape,),
        sizes=(
            Size(shape[0], shape[1], -1),
            Size(shape[1], shape[2], -1, 90.0),
        ),
        angles=angles,
        template=True,
    )
    return Jig(
        JigKind.SPACER,
        f"Spacer stick, {words.mm(clear)} {where}",
        1,
        (),
        (view,),
        (
            f"For {count} gaps: {words.mm(clear)} along the rail, {words.mm(level)} level, {words.mm(square)} "
            "square between the uprights.",
            f"Stick of {words.about(SPACER_THICK)}, its ends parallel to the uprights.",
            "It holds an upright in its place while it is fixed. The places themselves are marked from the story "
            "stick: stepped off with a spacer, its error grows with every gap.",
        ),
    )


def _story_sticks(design: Design, words: Words) -> Iterator[Jig]:
    if len(design.uprights) < SEVERAL:
        return
    for bar in running_marks(design).bars:
        if len(bar.marks) >= SEVERAL:
            yield story_stick(design, bar, words)
    if design.base is None and not design.strands:
        places = [(place.upright, place.along) for place in tread_places(design)]
        if places:
            yield _stick(
                f"Story stick of the feet, leg {design.leg}, level",
                [(along, name) for name, along in places if along >= 0.0],
                max(along for _, along in places) + 50.0,
                ("Level from the first nosing. Hang a plumb bob from it to each tread.",),
                tuple(name for name, _ in places),
                "nosing 1",
            )


def story_stick(design: Design, bar: BarMarks, words: Words = PLAIN) -> Jig:
    """Every centre along one rail from one datum, along the rake, with both sides of the upright."""
    half = bar.upright_width / 2.0
    places = [(mark.centre, mark.upright) for mark in bar.marks]
    said = (
        f"Along the {bar.role.value}'s face from {bar.datum}; {bar.slope_deg:.2f}° from the level. Centres are "
        f"long lines, the upright's sides short ones, {words.mm(bar.upright_width)} apart.",
        f"The rail's face is {words.mm(bar.length)} long: mark that on the stick too, and compare it with the "
        "rail.",
    )
    title = f"Story stick of the {design.name_of(_bar_of(design, bar))}, design {design.id}"
    return _stick(title, places, bar.length, said, tuple(mark.upright for mark in bar.marks), "datum", half)


def _bar_of(design: Design, marks: BarMarks) -> Bar:
    return next(
        bar for bar in design.bars if bar.id == marks.bar and bar.role in (BarRole.BASE, BarRole.HANDRAIL)
    )


def _stick(
    title: str,
    places: Sequence[tuple[float, str]],
    length: float,
    said: tuple[str, ...],
    marks: tuple[str, ...],
    datum: str,
    half: float = 0.0,
) -> Jig:
    lines = [JigMark((0.0, 0.0), (0.0, STICK_WIDE), datum)]
    for centre, name in places:
        lines.append(JigMark((centre, 0.0), (centre, STICK_WIDE), name))
        if half > 0.0:
            lines += [JigMark((x, 0.0), (x, STICK_WIDE / 3.0)) for x in (centre - half, centre + half)]
    view = JigView("the stick", (rectangle(length, STICK_WIDE),), tuple(lines), template=True)
    return Jig(
        JigKind.STORY,
        title,
        1,
        marks,
        (view,),
        (
            *said,
            "A straight lath with both ends square. Every mark is measured from the datum, none from its "
            "neighbour.",
        ),
    )


def _hole_sticks(groups: Sequence[Group]) -> Iterator[Jig]:
    """A stick for every kind of newel or upright that is bored through for bars, rods or cables."""
    for group in groups:
        part = group.part
        holes = sorted({round(hole.at[0], 3) for hole in _across(part)})
        if len(holes) >= SEVERAL and not _lies_along_a_rail(part):
            yield _stick(
                f"Story stick of the holes of {group.mark}, {part.role.value}",
                [(x, f"hole {number}") for number, x in enumerate(holes, start=1)],
                part.length,
                (f"From the start end of {group.mark}, where the holes go in; {len(holes)} holes.",),
                (group.mark,),
                "start",
            )


def _lies_along_a_rail(part: Part) -> bool:
    return "rail" in part.role.value


def _across(part: Part) -> list[Hole]:
    return [f for f in part.features if isinstance(f, Hole) and abs(f.axis[0]) < 0.9]


def _guides(groups: Sequence[Group], words: Words) -> Iterator[Jig]:
    """A guide for every slant, side and size of hole that is not bored square to its face."""
    found: dict[tuple[float, float, float, float], list[tuple[str, float, int]]] = {}
    for group in groups:
        if any(isinstance(feature, RoundBar) for feature in group.part.features):
            continue
        for hole in _across(group.part):
            face = _entered(hole)
            along_deg, aside_deg = slants(hole, face)
            if max(abs(along_deg), abs(aside_deg)) <= ENDS_ALIKE_DEG:
                continue
            wide = group.part.thickness if OUTWARD[face][1] else group.part.width
            key = (abs(along_deg), abs(aside_deg), hole.diameter, wide)
            near = (known for known in found if _one_guide(known, key))
            bored = (group.mark, hole.depth, group.quantity)
            found.setdefault(next(near, key), []).append(bored)
    for (along_deg, aside_deg, diameter, wide), holes in found.items():
        marks = tuple(dict.fromkeys(mark for mark, _, _ in holes))
        depth = max(depth for _, depth, _ in holes)
        yield drilling_guide(
            along_deg, aside_deg, diameter, wide, depth, marks, sum(n for _, _, n in holes), words
        )


def _one_guide(one: tuple[float, ...], other: tuple[float, ...]) -> bool:
    angles = max(abs(a - b) for a, b in zip(one[:2], other[:2], strict=True))
    sizes = max(abs(a - b) for a, b in zip(one[2:], other[2:], strict=True))
    return angles <= ENDS_ALIKE_DEG and sizes <= SAME_PART


def _entered(hole: Hole) -> Face:
    """The long face that a hole goes in at: the one its axis enters most squarely."""
    return min(Face, key=lambda face: sum(a * b for a, b in zip(OUTWARD[face], hole.axis, strict=True)))


def slants(hole: Hole, face: Face) -> tuple[float, float]:
    """How far the drill leans from square to a face, degrees: along the piece, and across it."""
    out = OUTWARD[face]
    down = -sum(a * b for a, b in zip(out, hole.axis, strict=True))
    aside = hole.axis[2] if out[1] else hole.axis[1]
    return math.degrees(math.atan2(hole.axis[0], down)), math.degrees(math.atan2(aside, down))


def drilling_guide(
    along_deg: float,
    aside_deg: float,
    diameter: float,
    wide: float,
    depth: float,
    marks: tuple[str, ...],
    count: int,
    words: Words = PLAIN,
) -> Jig:
    """A block with a lip that leads the drill at its slant; ``aside_deg`` is bored by tilting it on a packer."""
    end = JigView(
        "from the end",
        (rectangle(wide, GUIDE_HIGH), rectangle(LIP, GUIDE_HIGH + LIP, -LIP, -LIP)),
        sizes=(
            Size((0.0, GUIDE_HIGH), (wide, GUIDE_HIGH), 1),
            Size((-LIP, GUIDE_HIGH), (0.0, GUIDE_HIGH), 2),
        ),
    )
    through = depth + GUIDE_HIGH / math.cos(math.radians(along_deg))
    return Jig(
        JigKind.DRILL,
        f"Drilling guide, {along_deg:.2f}° from square, drill {words.mm(diameter)}",
        1,
        marks,
        (_guide_side(along_deg, diameter), end),
        (
            f"For {count} holes in {some(marks)}. Hardwood block with a lip along the piece's edge; bore it at the "
            "drill press with the block tilted, and check it against the full-size template.",
            f"Line on the lip over the centre mark, clamp, bore. The drill must reach {words.mm(through)}; set its "
            "stop ring with the guide in place.",
            *_packed(along_deg, aside_deg),
        ),
    )


def _guide_side(along_deg: float, diameter: float) -> JigView:
    """The guide from the side, where its slant is true."""
    reach = GUIDE_HIGH * math.tan(math.radians(along_deg))
    length = reach + 2.0 * GUIDE_END + diameter
    foot = GUIDE_END + diameter / 2.0
    half = diameter / 2.0 / math.cos(math.radians(along_deg))
    return JigView(
        "from the side",
        (rectangle(length, GUIDE_HIGH), rectangle(length, LIP, 0.0, -LIP)),
        (
            JigMark((foot, 0.0), (foot + reach, GUIDE_HIGH), "drill"),
            JigMark((foot, 0.0), (foot, -LIP), "centre mark"),
        ),
        hidden=tuple(((foot + s * half, 0.0), (foot + s * half + reach, GUIDE_HIGH)) for s in (-1.0, 1.0)),
        sizes=(
            Size((0.0, -LIP), (length, -LIP), -2),
            Size((0.0, -LIP), (foot, -LIP), -1),
            Size((0.0, GUIDE_HIGH), (foot + reach, GUIDE_HIGH), 1),
            Size((length, 0.0), (length, GUIDE_HIGH), -1, 90.0),
        ),
        angles=(JigAngle((foot, 0.0), 90.0 - along_deg, 90.0, along_deg, 30.0),) if along_deg > 0.0 else (),
        template=True,
    )


def tilted_on_a_packer(along_deg: float, aside_deg: float) -> float:
    """How far the table is tilted along, degrees, under a packer that leans the block ``aside_deg`` across.

    The drill stands plumb; leaning across shortens the way down by the cosine: tan = tan(along) cos(aside).
    """
    return math.degrees(math.atan(math.tan(math.radians(along_deg)) * math.cos(math.radians(aside_deg))))


def _packed(along_deg: float, aside_deg: float) -> tuple[str, ...]:
    if aside_deg <= ENDS_ALIKE_DEG:
        return ()
    tilt = tilted_on_a_packer(along_deg, aside_deg)
    return (
        f"Across the piece the drill leans {aside_deg:.2f}° as well: lay the block on a packer of that angle on "
        f"the table of the drill press, and tilt the table along by {tilt:.2f}°. Turn the packer round for the "
        "other hand.",
    )
