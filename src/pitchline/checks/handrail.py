"""The handrail as something to hold: needed or not, grip, ends, continuity, reach into the stair. Lengths in mm."""

from collections.abc import Iterator

from pitchline.checks.case import Case
from pitchline.checks.grip import check_grip
from pitchline.checks.rail_ends import check_continuity, check_ends, where_is
from pitchline.checks.silhouettes import ends_of, middle_y, place_at
from pitchline.design.model import Design
from pitchline.kit.finding import Finding, Verdict, judge

WALL_NEAR = 150.0
"""A wall within this of the rail's free end is near enough to catch a hand: the width of one."""


def check_handrail(case: Case) -> Iterator[Finding]:
    """Every finding on the handrail, in the order in which a hand meets it."""
    yield from _needed(case)
    yield from _both_sides(case)
    yield from check_grip(case)
    yield from check_ends(case)
    yield from check_continuity(case)
    yield from _wall(case)
    yield from _reach(case)


def _needed(case: Case) -> Iterator[Finding]:
    rules, flight = case.rules, case.design.flight
    risers, figure = len(flight.nosings), rules.figure("handrail.needed.risers")
    if figure is not None:
        needed = judge(risers, 0.0, figure.value, figure.compare) is Verdict.PASS
        text = (
            f"A handrail is {'needed' if needed else 'not asked for'} beside {_risers(risers)} "
            f"(the duty begins at {figure.value:g}); this design has one on the {case.design.side.value}."
        )
        yield Finding(
            "handrail.needed",
            Verdict.PASS if needed else Verdict.REPORT,
            case.at("handrail"),
            text,
            float(risers),
            0.0,
            figure.value,
            "",
            rules.ref("handrail.needed.risers"),
        )


def _risers(count: int) -> str:
    return f"a flight of {count} riser{'' if count == 1 else 's'}"


def _both_sides(case: Case) -> Iterator[Finding]:
    figure, width = case.rules.figure("handrail.both_sides.width"), case.design.flight.width
    if figure is None:
        return
    limit = case.words.mm(figure.value_mm)
    if width is None:
        text = f"The stair's width was not given; from {limit} on both sides need a handrail."
        yield case.advise("handrail.sides", "handrail", text, "handrail.both_sides.width")
        return
    both = judge(width, 0.0, figure.value_mm, figure.compare) is Verdict.PASS
    text = f"The stair is {case.words.mm(width)} wide: " + (
        "both sides need a handrail, so see to the other side as well."
        if both
        else f"one side with a handrail is enough below {limit}."
    )
    yield Finding(
        "handrail.sides",
        Verdict.ADVICE if both else Verdict.PASS,
        case.at("handrail"),
        text,
        width,
        0.0,
        figure.value_mm,
        rule=case.rules.ref("handrail.both_sides.width"),
    )


def _wall(case: Case) -> Iterator[Finding]:
    """A wall close past a free end leaves a slot that a hand must still pass."""
    figure, design = case.rules.figure("handrail.clear.wall"), case.design
    if figure is None:
        return
    top, y = design.handrail.top, middle_y(design)
    for end, plane in zip(ends_of(design), (design.handrail.start, design.handrail.finish), strict=True):
        u = place_at(plane, y, top.at(plane.point[0]))
        gaps = [abs(wall.face_u - u) for wall in design.flight.walls if (wall.face_u > u) == end.at_head]
        if end.is_free and gaps and min(gaps) <= WALL_NEAR:
            text = (
                f"Between the handrail's end and the wall {case.words.mm(min(gaps))} are clear; a hand needs "
                f"{case.words.mm(figure.value_mm)}."
            )
            place = f"handrail at the {where_is(end)}"
            yield case.compare(figure, place, text, min(gaps), "run the rail into the wall or end it sooner")


def reach_into_stair(design: Design) -> float:
    """How far the handrail reaches into the stair beyond the inner face of the string (or the edge), mm."""
    sense = design.side.towards_stair
    string = design.flight.string
    inner = string.thickness / 2 if string is not None else 0.0
    return max(0.0, design.handrail.y * sense + design.handrail.width / 2 - inner)


def _reach(case: Case) -> Iterator[Finding]:
    """What the handrail takes of the width, and the clear width left."""
    design, rules, words = case.design, case.rules, case.words
    taken = reach_into_stair(design)
    figure = rules.figure("handrail.projection")
    if figure is not None:
        text = (
            f"The handrail reaches {words.mm(taken)} into the stair; at most {words.mm(figure.value_mm)} may be "
            "taken from one side."
        )
        yield case.compare(figure, "handrail", text, taken, "choose a narrower rail or set it further out")
    width = design.flight.width
    if width is None:
        return
    left = width - taken
    text = f"With this handrail {words.mm(left)} of the stair's {words.mm(width)} stay clear"
    clear = rules.figure("stair.width.one_rail")
    if clear is None:
        text += "; no least width is stated here."
        yield Finding("handrail.width", Verdict.REPORT, case.at("the stair"), text, left, 0.0)
        return
    text += f"; beside a handrail on one side {words.mm(clear.value_mm)} must."
    remedy = "set the balustrade further out or choose a narrower rail"
    yield case.compare(clear, "the stair", text, left, remedy, code="handrail.width")
