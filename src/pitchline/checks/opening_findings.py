"""What the openings amount to: one finding for each limit, at its worst place, with the change that would do."""

import math
from collections.abc import Iterator, Sequence

from pitchline.catalogue.rules import Figure
from pitchline.checks.case import Case, severity
from pitchline.checks.infill_remedies import member_name, smaller_opening
from pitchline.checks.opening_limits import Opening, OpeningKind, triangle_mode, unneeded_figures
from pitchline.checks.setting_out import height_weights, triangle_place
from pitchline.checks.silhouettes import ends_of
from pitchline.checks.triangles import opening_share, rail_above_nosings
from pitchline.kit.finding import Finding, Verdict, judge

_CODES = {
    OpeningKind.INFILL: "opening.stair",
    OpeningKind.LANDING: "opening.landing",
    OpeningKind.UNDER: "opening.triangle",
}

_LIMITS = {"lt": "a ball of {limit} must not pass", "le": "no ball larger than {limit} may pass"}


def check_openings(case: Case, openings: Sequence[Opening]) -> Iterator[Finding]:
    """One finding for each limit that openings of this design fall under, at its worst place."""
    for kind, code in _CODES.items():
        found = [opening for opening in openings if opening.kind is kind]
        if found:
            yield _finding(case, code, found)
        elif kind is OpeningKind.UNDER:
            text = "Nothing is open under the base rail: it lies on what is below it."
            if case.design.base is None:
                text = "There is no base rail, and so no opening under one."
            yield Finding(code, Verdict.PASS, case.at("under the base rail"), text, unit="")


def check_unneeded(case: Case, openings: Sequence[Opening]) -> Iterator[Finding]:
    """Openings of guarding that nobody asks for: small enough, or so large that no head is caught."""
    figures = tuple(unneeded_figures(case.rules))
    infill = [o for o in openings if o.kind in (OpeningKind.INFILL, OpeningKind.LANDING)]
    if not figures or not infill:
        return

    def verdict_of(opening: Opening) -> Verdict:
        size = opening.measured
        found = [judge(size, opening.expanded, figure.value_mm, figure.compare) for figure in figures]
        return max(found, key=severity)

    worst = min(infill, key=lambda opening: severity(verdict_of(opening)))
    verdict, figure = verdict_of(worst), figures[0]
    bounds = " or ".join(
        f"{'below' if figure.compare in ('lt', 'le') else 'over'} {case.words.mm(figure.value_mm)}"
        for figure in figures
    )
    size = case.words.measured(worst.measured, worst.expanded)
    text = f"Guarding that is not asked for must not catch a head: openings {bounds}; {worst.where} it is {size}."
    remedies = {
        Verdict.FAIL: f"bring the {member_name(case.design)}s closer together by {_excess(case, worst, figure)}, or "
        "leave them out",
        Verdict.UNSURE: _reading(case, worst),
    }
    yield Finding(
        "opening.unneeded",
        verdict,
        case.at(worst.where),
        text,
        worst.measured,
        worst.expanded,
        figure.value_mm,
        rule=case.rules.ref(figure.id),
        remedy=remedies.get(verdict),
    )


def _excess(case: Case, opening: Opening, figure: Figure) -> str:
    return case.words.enough(max(0.0, opening.measured + opening.expanded - figure.value_mm))


def worst_of(openings: Sequence[Opening]) -> Opening:
    """The opening with the worst verdict, and among those the first that lets the largest ball through."""
    return min(openings, key=lambda opening: (severity(opening.verdict), -round(opening.measured, 2)))


def _finding(case: Case, code: str, found: Sequence[Opening]) -> Finding:
    worst = worst_of(found)
    figure = case.rules.figure(worst.rule)
    body = "ball" if worst.cube is None else "cube, turned as it likes in the plane of the balustrade,"
    text = f"The largest {body} that passes {worst.where} "
    text += (
        f"{'is' if worst.cube is None else 'measures'} {case.words.measured(worst.measured, worst.expanded)}"
    )
    rule: str | None = worst.rule
    if figure is None:
        rule = None
        text += "; the limit of this place is unknown here: ask the building authority."
    elif worst.limit is None and worst.kind is OpeningKind.UNDER:
        rule = "opening.triangle.mode"
        text += "; the rule leaves this triangle free because the rail runs near the nosings."
    elif worst.limit is None:
        text += "; the rule leaves openings free at this height."
    else:
        text += f"; {_limit_words(case, worst, figure)}."
    return Finding(
        code,
        worst.verdict,
        case.at(worst.where),
        text,
        measured=worst.measured,
        expanded_uncertainty=worst.expanded,
        limit=worst.limit,
        rule=None if rule is None else case.rules.ref(rule),
        remedy=None if figure is None else _remedy(case, worst, hardest_of(found), figure),
    )


def _limit_words(case: Case, opening: Opening, figure: Figure) -> str:
    words, limit = _LIMITS[figure.compare], case.words.mm(figure.value_mm)
    text = words.format(limit=limit)
    if triangle_mode(case.rules) == "cube" and opening.rule == "opening.triangle":
        cube = text.replace("ball", "cube")
        return cube if opening.cube is not None else f"{cube}, and one of that size holds a larger ball"
    return text


def hardest_of(openings: Sequence[Opening]) -> Opening:
    """The opening whose ball with its uncertainty reaches furthest: once it passes, all do."""
    limited = [opening for opening in openings if opening.limit is not None]
    return max(limited or openings, key=lambda opening: opening.measured + opening.expanded)


def _remedy(case: Case, worst: Opening, hardest: Opening, figure: Figure) -> str | None:
    if worst.verdict is Verdict.UNSURE:
        return _reading(case, worst)
    if worst.verdict is not Verdict.FAIL:
        return None
    if hardest.at_turn:
        return _AT_TURN
    if worst.kind is OpeningKind.UNDER:
        return _lower_base(case, hardest, figure)
    return smaller_opening(case, hardest, figure)


_AT_TURN = (
    "let the rails below meet at the turn (another seat or clearance on one of the two legs), choose one more member "
    "there, or let a newel stand at the turn"
)


def _reading(case: Case, worst: Opening) -> str:
    if worst.kind is OpeningKind.UNDER:
        nosing, level = triangle_place(case.design, worst.step or 0)
        wanted = height_weights(case.design, case.design.base_rail.bottom, nosing, level).wanted()
        return case.reading_wanted(wanted, f"the base rail's height over {level}")
    if case.design.strands:
        line, nosing = case.design.strands[0].line, case.design.rail_line.tightest
        wanted = height_weights(case.design, line, nosing).wanted()
        return case.reading_wanted(wanted, "the height of the lowest strand")
    foot, head = ends_of(case.design)
    return case.reading_wanted(
        {("x", head.station): 1.0, ("x", foot.station): -1.0}, "the run between the ends"
    )


def fall_needed(case: Case, worst: Opening, figure: Figure) -> float:
    """How far the base rail must come down for the opening to pass, mm, by the mode of the place."""
    underside = (case.design.packer or case.design.base_rail).bottom
    mode = triangle_mode(case.rules)
    fall = (worst.measured + worst.expanded - figure.value_mm) / opening_share(underside.slope, mode)
    within = case.rules.figure("opening.triangle.rail_within")
    if mode != "exempt_if_rail_within" or within is None:
        return fall
    steps = range(1, len(case.design.flight.nosings))
    above = (sum(rail_above_nosings(case.design, step)) for step in steps)
    return min(fall, max(above, default=math.inf) - within.value_mm)


def _lower_base(case: Case, worst: Opening, figure: Figure) -> str:
    """How far the base rail must come down, and whether the nosings beside the triangle let it."""
    underside = (case.design.packer or case.design.base_rail).bottom
    fall = fall_needed(case, worst, figure)
    step = worst.step or 0
    beside = case.design.flight.nosings[max(step - 1, 0) : step + 1]
    room = min(underside.at(u) - z for u, z in beside)
    if fall <= room:
        return f"lower the base rail by {case.words.enough(fall)}"
    return (
        f"the base rail would have to come down by {case.words.enough(fall)} and has {case.words.mm(max(room, 0.0))} "
        "above the nosings: close the triangles with a string or let the uprights stand on the treads"
    )
