"""The handrail as something to hold: needed or not, grip, ends, continuity, reach into the stair. Lengths in mm."""

from collections.abc import Iterator

from pitchline.checks.case import LIMIT_WORDS, Case
from pitchline.checks.extensions import check_extensions, check_newels
from pitchline.checks.extent import drop_of
from pitchline.checks.grip import check_grip
from pitchline.checks.heights import top_is_handrail
from pitchline.checks.rail_ends import check_continuity, check_ends, where_is
from pitchline.checks.silhouettes import ends_of, middle_y, place_at
from pitchline.checks.widths import check_widths, reach_into_stair
from pitchline.kit.finding import Finding, Verdict, judge
from pitchline.stair.pitch import fitted_line

WALL_NEAR = 150.0
"""A wall within this of the rail's free end is near enough to catch a hand: the width of one."""


def check_handrail(case: Case) -> Iterator[Finding]:
    """Every finding on the handrail, in the order in which a hand meets it."""
    if case.design.flight.is_level:
        yield from _along_floor(case)
        return
    yield from _needed(case)
    yield from _sides(case)
    if not top_is_handrail(case):
        return
    yield from _within_reach(case)
    yield from check_grip(case)
    yield from check_ends(case)
    yield from check_continuity(case)
    yield from check_newels(case)
    yield from check_extensions(case)
    yield from _wall(case)
    yield from _below(case)
    yield from check_widths(case)


def _along_floor(case: Case) -> Iterator[Finding]:
    """Along the edge of a floor the handrail is held and ends as beside a flight; the rest speaks of steps."""
    yield from check_grip(case)
    yield from check_ends(case)
    yield from _wall(case)


def _needed(case: Case) -> Iterator[Finding]:
    """Whether a handrail is needed, by the risers or by the rise of the flight."""
    flight, has = case.design.flight, f"this design has one on the {case.design.side.value}"
    risers, rise = case.rules.figure("handrail.needed.risers"), case.rules.figure("handrail.needed.rise")
    if risers is not None:
        count = len(flight.nosings)
        needed = judge(count, 0.0, risers.value, risers.compare) is Verdict.PASS
        text = (
            f"A handrail is {'needed' if needed else 'not asked for'} beside {_risers(count)} "
            f"(the duty begins at {risers.value:g}); {has}."
        )
        verdict = Verdict.PASS if needed else Verdict.REPORT
        size = (float(count), 0.0, risers.value, "")
        yield Finding(
            "handrail.needed", verdict, case.at("handrail"), text, *size, rule=case.rules.ref(risers.id)
        )
    if rise is not None:
        total, expanded = drop_of(case.design)
        needed = judge(total, expanded, rise.value_mm, rise.compare) is not Verdict.FAIL
        slope = case.rules.figure("handrail.needed.slope")
        also = ""
        if slope is not None:
            pitch = fitted_line(flight.nosings).slope
            needed = needed and judge(pitch, 0.0, slope.value, slope.compare) is Verdict.PASS
            also = f" and the slope {LIMIT_WORDS[slope.compare]} {slope.value:.2f} (here {pitch:.2f})"
        text = (
            f"A handrail is {'needed' if needed else 'not asked for'}: the flight rises "
            f"{case.words.measured(total, expanded)}, and the duty holds where that is {LIMIT_WORDS[rise.compare]} "
            f"{case.words.mm(rise.value_mm)}{also}; {has}."
        )
        verdict = Verdict.PASS if needed else Verdict.REPORT
        rule = case.rules.ref(rise.id)
        size = (total, expanded, rise.value_mm, "mm")
        yield Finding("handrail.needed", verdict, case.at("handrail"), text, *size, rule=rule)


def _risers(count: int) -> str:
    return f"a flight of {count} riser{'' if count == 1 else 's'}"


def _sides(case: Case) -> Iterator[Finding]:
    """Whether the other side wants a handrail too: always, or from a width on."""
    always = case.rules.figure("handrail.sides")
    if always is not None and always.value >= 2.0:
        text = (
            "Both sides of the flight need a handrail; this design has one, so see to the other side as well."
        )
        rule = case.rules.ref(always.id)
        size = (1.0, 0.0, always.value, "")
        yield Finding("handrail.sides", Verdict.ADVICE, case.at("handrail"), text, *size, rule=rule)
    else:
        yield from _from_width(
            case, "both_sides", "both sides need a handrail", "see to the other side as well"
        )
    yield from _from_width(case, "centre", "a handrail in the middle is needed too", "plan for it")


def _from_width(case: Case, name: str, duty: str, advice: str) -> Iterator[Finding]:
    """A duty that begins at a width of the stair."""
    figure, width = case.rules.figure(f"handrail.{name}.width"), case.design.flight.width
    if figure is None:
        return
    code = "handrail.sides" if name == "both_sides" else f"handrail.{name}"
    limit = case.words.mm(figure.value_mm)
    if width is None:
        text = f"The stair's width was not given; from {limit} on {duty}."
        yield case.advise(code, "handrail", text, figure.id)
        return
    asked = judge(width, 0.0, figure.value_mm, figure.compare) is Verdict.PASS
    text = f"The stair is {case.words.mm(width)} wide: " + (
        f"{duty}, so {advice}." if asked else f"it is only from {limit} that {duty}."
    )
    verdict = Verdict.ADVICE if asked else Verdict.PASS
    size = (width, 0.0, figure.value_mm)
    yield Finding(code, verdict, case.at("handrail"), text, *size, rule=case.rules.ref(figure.id))


def _within_reach(case: Case) -> Iterator[Finding]:
    """How far the far side of the stair lies from this handrail."""
    figure, width = case.rules.figure("handrail.reach"), case.design.flight.width
    if figure is None or width is None:
        return
    inner = width - reach_into_stair(case.design)
    passed = judge(inner, 0.0, figure.value_mm, figure.compare) is Verdict.PASS
    text = (
        f"The far side of the stair lies {case.words.mm(inner)} from this handrail; no part of the needed width may "
        f"be more than {case.words.mm(figure.value_mm)} from one"
    )
    text += "." if passed else ", so the other side needs a handrail too."
    size = (inner, 0.0, figure.value_mm)
    verdict = Verdict.PASS if passed else Verdict.ADVICE
    rule = case.rules.ref(figure.id)
    yield Finding("handrail.reach", verdict, case.at("handrail"), text, *size, rule=rule)


def _wall(case: Case) -> Iterator[Finding]:
    """A wall close past a free end leaves a slot that a hand must still pass."""
    low, most = case.rules.figure("handrail.clear.wall"), case.rules.figure("handrail.clear.wall.max")
    design, rough = case.design, case.rules.figure("handrail.clear.rough")
    if low is None:
        return
    top, y = design.handrail.top, middle_y(design)
    for end, plane in zip(ends_of(design), (design.handrail.start, design.handrail.finish), strict=True):
        u = place_at(plane, y, top.at(plane.point[0]))
        gaps = [abs(wall.face_u - u) for wall in design.flight.walls if (wall.face_u > u) == end.at_head]
        if end.is_free and gaps and min(gaps) <= WALL_NEAR:
            clear = case.words.mm(min(gaps))
            text = (
                f"Between the handrail's end and the wall {clear} are clear; a hand needs "
                f"{case.words.mm(low.value_mm)}"
            )
            if rough is not None:
                text += f", {case.words.mm(rough.value_mm)} beside a rough wall"
            place = f"handrail at the {where_is(end)}"
            remedy = (
                f"end it {case.words.enough(low.value_mm - min(gaps))} sooner, or run the rail into the wall"
            )
            yield case.compare(low, place, text + ".", min(gaps), remedy)
            if most is not None:
                text = (
                    f"Between the handrail's end and the wall {clear} are clear; it should be no more than "
                )
                text += (
                    f"{case.words.mm(most.value_mm)} where the rail runs along a wall, so ask about an end."
                )
                yield case.advise("handrail.clear.wall.max", place, text, most.id)


def _below(case: Case) -> Iterator[Finding]:
    """How much of the handrail's length is taken up below by what carries it."""
    figure, design = case.rules.figure("handrail.bottom.obstructed"), case.design
    if figure is None or not design.uprights or design.bay.run <= 0.0:
        return
    share = sum(upright.width for upright in design.uprights) / design.bay.run
    text = (
        f"The uprights meet the handrail's underside over {100.0 * share:.0f} % of its length; at most "
        f"{100.0 * figure.value:.0f} % may be taken up."
    )
    remedy = "let the uprights end in a rail of their own and hold the handrail on a few brackets over it"
    yield case.compare(figure, "handrail", text, share, remedy)
