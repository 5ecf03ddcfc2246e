"""A handrail along a wall against the rules of its place: heights, space, reach, ends, extent. Lengths in mm.

Measured on the finished pieces. The stair that stands is reported, the rail is judged.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

from pitchline.catalogue.rules import Figure, RuleSet
from pitchline.checks.case import LIMIT_WORDS, worst_first
from pitchline.checks.clearances import overhead_of_wall_rail
from pitchline.checks.grip import check_grip
from pitchline.checks.standing import as_known
from pitchline.checks.wall_fixings import check_fixings
from pitchline.checks.wall_measure import (
    TopAt,
    WallCase,
    clears,
    end_of_run,
    gap_behind,
    level_length,
    reach,
    return_at,
    section_of_wall_rail,
    tops,
)
from pitchline.design.wall_brief import CornerWay
from pitchline.design.wall_model import WallLeg, WallRail
from pitchline.kit.finding import Finding, Verdict, judge
from pitchline.kit.words import Show, Words, plain_mm


def check_wall_rail(rail: WallRail, rules: RuleSet, show: Show = plain_mm) -> tuple[Finding, ...]:
    """Every finding on a wall rail, subject by subject, the worst first within each."""
    case = WallCase(rail, rules, Words(show))
    subjects = (
        _heights(case),
        _spaces(case),
        _widths(case),
        check_grip(case.of_hand(), section_of_wall_rail(rail)),
        _ends(case),
        _runs(case),
        check_fixings(case),
        overhead_of_wall_rail(case),
    )
    found = (finding for subject in subjects for finding in worst_first(tuple(subject)))
    return tuple(as_known(case.of_hand(), finding) for finding in found)


def _heights(case: WallCase) -> Iterator[Finding]:
    """The rail's top above every nosing, the one hardest to keep beside each figure told."""
    for number, leg in enumerate(case.rail.legs):
        found = _judged(case, number, leg)
        if not found:
            text = "The rail passes over no nosing here, so no height can be measured."
            yield case.tell("height.handrail", Verdict.ADVICE, f"wall beside {leg.id}", text)
            continue
        figures = [_height_figure(case, leg, end) for end in ("min", "max")]
        yield from (_height(case, leg, figure, found) for figure in figures if figure is not None)
        if figures[0] is None:
            low, high = (case.words.mm(choose(top.height for top in found)) for choose in (min, max))
            text = f"No least height of a handrail is stated here; this one stands {low} to {high} above the nosings."
            yield case.tell("height.handrail", Verdict.ADVICE, f"wall beside {leg.id}", text)


def _judged(case: WallCase, number: int, leg: WallLeg) -> tuple[TopAt, ...]:
    """Heights over a leg; along a floor those where the rail has begun to climb to a flight are left out."""
    found = tops(case.rail, leg)
    climbs = leg.is_level and number + 1 < len(case.rail.legs) and not case.rail.legs[number + 1].is_level
    if not climbs or len(found) < 2:
        return found
    following = case.rail.legs[number + 1]
    going = following.nosings[1].u - following.nosings[0].u if len(following.nosings) > 1 else 0.0
    return tuple(top for top in found if top.nosing.u <= leg.finish - going)


def _height_figure(case: WallCase, leg: WallLeg, end: str) -> Figure | None:
    landing = case.rules.figure(f"handrail.landing.{end}") if leg.is_level else None
    return landing or case.rules.figure(f"handrail.height.{end}")


def _height(case: WallCase, leg: WallLeg, figure: Figure, found: Sequence[TopAt]) -> Finding:
    lowest = figure.compare in ("ge", "gt")
    sense = 1.0 if lowest else -1.0
    worst = min(found, key=lambda top: sense * top.height - top.expanded)
    words = case.words
    name = worst.nosing.name
    text = (
        f"The top of the rail stands {words.measured(worst.height, worst.expanded)} above {name}, where it is "
        f"hardest to keep; {LIMIT_WORDS[figure.compare]} {words.mm(figure.value_mm)} is asked."
    )
    remedy = _height_remedy(case, worst, figure)
    return case.compare(figure, f"wall beside {leg.id}, {name}", text, worst.height, remedy, worst.expanded)


def _height_remedy(case: WallCase, top: TopAt, figure: Figure) -> str:
    off = top.height - figure.value_mm
    if judge(top.height, top.expanded, figure.value, figure.compare) is Verdict.UNSURE:
        return f"read the height of {top.nosing.name} again, or set the rail so that more is left"
    word = "lower" if off > 0.0 else "raise"
    return f"{word} the rail there by {case.words.enough(abs(off))}"


def _spaces(case: WallCase) -> Iterator[Finding]:
    """The space between rail and wall, and under the rail down to the brackets' arms."""
    words = case.words
    for leg in case.rail.legs:
        least, most = clears(case.rail, leg)
        place = f"wall beside {leg.id}"
        rough = case.rules.figure("handrail.clear.rough") if leg.face.rough else None
        low = rough or case.rules.figure("handrail.clear.wall")
        if low is not None:
            text = (
                f"Between rail and wall {words.mm(least)} are clear where the wall is proudest; "
                f"{words.mm(low.value_mm)} are asked{' beside a rough wall' if rough else ''}."
            )
            remedy = f"take brackets that reach {words.enough(low.value_mm - least)} further"
            yield case.compare(low, place, text, least, remedy)
        high = case.rules.figure("handrail.clear.wall.max")
        if high is not None:
            limit = words.mm(high.value_mm)
            text = f"Between rail and wall up to {words.mm(most)} are clear; at most {limit} may be."
            remedy = f"set the rail {words.enough(most - high.value_mm)} nearer"
            yield case.compare(high, place, text, most, remedy)
    yield from _below(case)


def _below(case: WallCase) -> Iterator[Finding]:
    """Down to what a bracket sticks out, less for a section that is longer round."""
    figure = case.rules.figure("handrail.clear.below")
    if figure is None or not case.rail.brackets:
        return
    limit = _below_limit(case, figure)
    has = min(bracket.rail_z - bracket.plate_z for bracket in case.rail.brackets)
    words = case.words
    text = (
        f"The brackets' arms stand out {words.mm(has)} below the rail; {words.mm(limit)} are asked "
        f"round a section of this size ({words.mm(figure.value_mm)} at first)."
    )
    remedy = f"take brackets whose arms hang {words.enough(limit - has)} lower"
    yield case.compare(replace(figure, value=limit), "brackets", text, has, remedy)


def _below_limit(case: WallCase, figure: Figure) -> float:
    """The figure, less for every whole step that the way round the section is beyond the least one."""
    less, per = (case.rules.figure(f"handrail.clear.below.{name}") for name in ("less", "per"))
    least = case.rules.figure("handrail.grip.perimeter.min")
    if less is None or per is None or least is None:
        return figure.value_mm
    section = section_of_wall_rail(case.rail)
    round_it = sum(
        ((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2) ** 0.5 for a, b in pairwise((*section, section[0]))
    )
    steps = max(0, int((round_it - least.value_mm) / per.value_mm + 1e-9))
    return max(0.0, figure.value_mm - steps * less.value_mm)


def _widths(case: WallCase) -> Iterator[Finding]:
    """What the rail takes of the stair's width, and what is left."""
    words, figure = case.words, case.rules.figure("handrail.projection")
    for leg, centre in zip(case.rail.legs, case.rail.centres, strict=True):
        taken, place = reach(case.rail, leg, centre), f"wall beside {leg.id}"
        if figure is not None:
            text = f"The rail reaches {words.mm(taken)} into the stair; at most {words.mm(figure.value_mm)} may be."
            by = words.enough(max(0.0, taken - figure.value_mm))
            yield case.compare(
                figure, place, text, taken, f"set the rail {by} nearer to the wall or make it narrower"
            )
        if leg.width is None:
            continue
        left = leg.width - taken
        text = f"With this rail {words.mm(left)} of the {words.mm(leg.width)} beside it stay clear"
        one = case.rules.figure("stair.width.one_rail")
        if one is not None:
            fits = judge(left, 0.0, one.value, one.compare) is Verdict.PASS
            text += (
                f", {'within' if fits else 'outside'} the figure for a new stair ({LIMIT_WORDS[one.compare]} "
            )
            text += f"{words.mm(one.value_mm)})"
        rule = None if one is None else case.rules.ref(one.id)
        limit = None if one is None else one.value
        size = (left, 0.0, limit)
        yield Finding("handrail.width", Verdict.REPORT, case.at(place), text + ".", *size, rule=rule)


def _ends(case: WallCase) -> Iterator[Finding]:
    """How each end is finished: returned to the wall without a gap, or plain."""
    rail, word = case.rail, case.rules.word("handrail.ends", "any")
    gap_figure = case.rules.figure("handrail.return.gap")
    for run in rail.runs:
        for at_head in (False, True):
            leg, u = end_of_run(rail, run, at_head=at_head)
            place = f"{'head' if at_head else 'foot'} of the rail beside {leg.id}"
            piece = return_at(rail, leg, u)
            if piece is None:
                yield _plain_end(case, word, place)
                continue
            gap = gap_behind(leg, piece)
            if word != "any":
                text = f"The end is returned to the wall beside {leg.id}."
                yield case.tell("handrail.end", Verdict.PASS, place, text, "handrail.ends")
            if gap_figure is not None:
                text = f"The return ends {case.words.mm(gap)} from the wall; at most {gap_figure.written} may be."
                remedy = "make the return longer"
                yield case.compare(gap_figure, place, text, gap, remedy)


def _plain_end(case: WallCase, word: str, place: str) -> Finding:
    """A plain end: clothes and straps catch on it."""
    ruled = None if word == "any" else "handrail.ends"
    verdict = Verdict.FAIL if word in ("returned", "returned or post") else Verdict.ADVICE
    text = "The rail ends plain, where a sleeve or a strap catches: turn it back to the wall."
    finding = case.tell("handrail.end", verdict, place, text, ruled)
    return replace(finding, remedy="return the end to the wall")


def _runs(case: WallCase) -> Iterator[Finding]:
    """How far the rail runs past the outermost risers, and where it is broken."""
    rail = case.rail
    first, last = rail.runs[0], rail.runs[-1]
    yield from _reaches(case, first, at_head=False)
    yield from _reaches(case, last, at_head=True)
    word = case.rules.word("handrail.continuity", "any")
    for number, way in enumerate(rail.corners):
        if way is CornerWay.BROKEN:
            yield _broken(case, number, word)


def _broken(case: WallCase, number: int, word: str) -> Finding:
    before, after = case.rail.legs[number], case.rail.legs[number + 1]
    place = f"corner from {before.id} to {after.id}"
    at_landing = before.is_level or after.is_level
    text = f"The rail is broken at the {place}, so the hand lets go there"
    if word == "any" or at_landing:
        text += "; between flights that may be, on a flight it should run on." if at_landing else "."
        return case.tell("handrail.continuity", Verdict.ADVICE, place, text)
    text += "; it must run on without a break along a flight, its winders included."
    finding = case.tell("handrail.continuity", Verdict.FAIL, place, text, "handrail.continuity")
    return replace(finding, remedy="carry it round the corner with level pieces or a round section")


def _reaches(case: WallCase, run: tuple[int, ...], *, at_head: bool) -> Iterator[Finding]:
    """One outer end: extensions, or reaching the outermost nosing or riser."""
    rail = case.rail
    leg, u = end_of_run(rail, run, at_head=at_head)
    if leg.is_level:
        return
    outer = leg.nosings[-1 if at_head else 0].u + leg.overhang
    past = u - outer if at_head else outer - u
    place = f"{'head' if at_head else 'foot'} of the rail beside {leg.id}"
    figures = ("handrail.extension.top",) if at_head else ("handrail.extension.bottom",)
    asked = False
    for figure_id in figures:
        figure = case.rules.figure(figure_id)
        if figure is not None:
            asked = True
            level = min(past, level_length(rail, leg, at_head=at_head))
            yield _extension(case, figure, place, level, figure.value_mm, "level")
    treads = None if at_head else case.rules.figure("handrail.extension.bottom.treads")
    if treads is not None and len(leg.nosings) > 1:
        asked = True
        needed = treads.value * (leg.nosings[1].u - leg.nosings[0].u)
        yield _extension(case, treads, place, past, needed, "at the slope of the flight")
    word = case.rules.word("handrail.continuity", "any")
    if not asked and word != "any":
        yield _continuity(case, leg, place, past, word, at_head=at_head)


def _extension(case: WallCase, figure: Figure, place: str, has: float, needed: float, how: str) -> Finding:
    words = case.words
    text = (
        f"The rail must run on {words.mm(needed)} {how} past the outermost riser; it runs on "
        f"{words.mm(max(has, 0.0))}."
    )
    remedy = f"lengthen it by {words.enough(needed - max(has, 0.0))}"
    return case.compare(replace(figure, value=needed, unit="mm"), place, text, has, remedy)


def _continuity(
    case: WallCase, leg: WallLeg, place: str, past: float, word: str, *, at_head: bool
) -> Finding:
    """Whether the rail reaches the outermost riser or nosing."""
    mark = "riser" if word == "riser to riser" else "nosing"
    short = -past if mark == "riser" else -past + (-leg.overhang if at_head else leg.overhang)
    outermost = f"the {'top' if at_head else 'lowest'} {mark}"
    if short <= 1e-6:
        text = f"The rail reaches {outermost}."
        return case.tell("handrail.continuity", Verdict.PASS, place, text, "handrail.continuity")
    text = f"The rail stops {case.words.mm(short)} short of {outermost}."
    finding = case.tell("handrail.continuity", Verdict.FAIL, place, text, "handrail.continuity")
    return replace(finding, measured=short, remedy=f"lengthen it by {case.words.enough(short)}")
