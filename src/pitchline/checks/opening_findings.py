"""What the openings amount to: one finding for each limit, at its worst place, with the change that would do."""

from collections.abc import Iterator, Sequence

from pitchline.catalogue.rules import Figure
from pitchline.checks.case import Case, severity
from pitchline.checks.openings import Opening, OpeningKind, limit_figure, triangle_share
from pitchline.checks.setting_out import height_weights, triangle_place
from pitchline.checks.silhouettes import ends_of
from pitchline.design.brief import Spread
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
            yield Finding(code, Verdict.PASS, case.at("under the base rail"), text, unit="")


def worst_of(openings: Sequence[Opening]) -> Opening:
    """The opening with the worst verdict, and among those the first that lets the largest ball through."""
    return min(openings, key=lambda opening: (severity(opening.verdict), -round(opening.ball.diameter, 2)))


def _finding(case: Case, code: str, found: Sequence[Opening]) -> Finding:
    worst = worst_of(found)
    figure = limit_figure(case.rules, worst.kind)
    text = f"The largest ball that passes {worst.where} is "
    text += case.words.measured(worst.ball.diameter, worst.expanded)
    rule = figure.id
    if worst.limit is None:
        rule = "opening.triangle.mode"
        text += "; the rule leaves this triangle free because the rail runs near the nosings."
    else:
        text += f"; {_LIMITS[figure.compare].format(limit=case.words.mm(figure.value_mm))}."
    return Finding(
        code,
        worst.verdict,
        case.at(worst.where),
        text,
        measured=worst.ball.diameter,
        expanded_uncertainty=worst.expanded,
        limit=worst.limit,
        rule=case.rules.ref(rule),
        remedy=_remedy(case, worst, hardest_of(found), figure),
    )


def hardest_of(openings: Sequence[Opening]) -> Opening:
    """The opening whose ball with its uncertainty reaches furthest: once it passes, all do."""
    limited = [opening for opening in openings if opening.limit is not None]
    return max(limited or openings, key=lambda opening: opening.ball.diameter + opening.expanded)


def _remedy(case: Case, worst: Opening, hardest: Opening, figure: Figure) -> str | None:
    if worst.verdict is Verdict.UNSURE:
        return _reading(case, worst)
    if worst.verdict is not Verdict.FAIL:
        return None
    if worst.kind is OpeningKind.UNDER:
        return _lower_base(case, hardest, figure)
    return _closer_uprights(case, hardest, figure)


def _reading(case: Case, worst: Opening) -> str:
    if worst.kind is OpeningKind.UNDER:
        nosing, level = triangle_place(case.design, worst.step or 0)
        wanted = height_weights(case.design, case.design.base.bottom, nosing, level).wanted()
        return case.reading_wanted(wanted, f"the base rail's height over {level}")
    foot, head = ends_of(case.design)
    return case.reading_wanted(
        {("x", head.station): 1.0, ("x", foot.station): -1.0}, "the run between the ends"
    )


def _lower_base(case: Case, worst: Opening, figure: Figure) -> str:
    """How far the base rail must come down, and whether the nosings beside the triangle let it."""
    underside = (case.design.packer or case.design.base).bottom
    excess = worst.ball.diameter + worst.expanded - figure.value_mm
    fall = excess / triangle_share(underside.slope)
    step = worst.step or 0
    beside = case.design.flight.nosings[max(step - 1, 0) : step + 1]
    room = min(underside.at(u) - z for u, z in beside)
    if fall <= room:
        return f"lower the base rail by {case.words.enough(fall)}"
    return (
        f"the base rail would have to come down by {case.words.enough(fall)} and has {case.words.mm(max(room, 0.0))} "
        "above the nosings: close the triangles with a string or let the uprights stand on the treads"
    )


def _closer_uprights(case: Case, worst: Opening, figure: Figure) -> str:
    """How many more uprights would do, or how much a fixed module must shrink."""
    design, spread = case.design, case.design.brief.infill.spacing.spread
    excess = worst.ball.diameter + worst.expanded - figure.value_mm
    if spread is Spread.MODULE:
        return (
            f"make the module smaller by {case.words.enough(excess)}, or put a gap instead of an upright in the "
            "middle (or the other way round)"
        )
    more = uprights_to_add(case, worst, figure)
    if more is None:
        return f"bring the uprights closer together there by {case.words.enough(excess)}"
    return f"add {more} upright{'' if more == 1 else 's'} ({len(design.uprights) + more} in all)"


def uprights_to_add(case: Case, worst: Opening, figure: Figure) -> int | None:
    """The fewest uprights that bring the worst opening within its limit when all gaps shrink alike."""
    design = case.design
    count, width = len(design.uprights), design.brief.infill.width
    parts = count if design.brief.infill.spacing.spread is Spread.HALF_ENDS and count else count + 1
    clear = design.bay.run - count * width
    beyond_gap = worst.ball.diameter - clear / parts
    for more in range(1, int(clear // width) + 1):
        ball = (clear - more * width) / (parts + more) + beyond_gap
        if judge(ball, worst.expanded, figure.value_mm, figure.compare) is Verdict.PASS:
            return more
    return None
