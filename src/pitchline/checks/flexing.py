"""Openings between uprights, bars and rods while a push that the rules name spreads them. Lengths in mm, forces in N.

How far they bend is worked out by the strength step and handed in; cables are told of in :mod:`cables`, and panels do
not part.
"""

from collections.abc import Iterator

from pitchline.checks.cables import cables_of
from pitchline.checks.case import LIMIT_WORDS, Case
from pitchline.checks.infill_remedies import member_name
from pitchline.checks.opening_limits import OpeningKind, judged_against, limit_figure
from pitchline.kit.finding import Finding, Verdict


def check_flexing(case: Case) -> Iterator[Finding]:
    """The widest gap under the push against the limit of the place; where it was not worked out, that it was not."""
    figure = case.rules.figure("opening.flex.force")
    if case.design.panels or cables_of(case.design):
        return
    if case.opened:
        yield _spread(case)
    elif figure is not None:
        text = (
            f"The opening limit must also hold while {figure.value:g} N pulls two neighbouring "
            f"{member_name(case.design)}s apart: not "
            "yet tested, so try the finished balustrade or have the infill's stiffness worked out."
        )
        yield case.advise("opening.flex", "infill", text, figure.id)


def _spread(case: Case) -> Finding:
    """The gap that opens widest."""
    widest = max(case.opened, key=lambda gap: gap.opening)
    kind = OpeningKind.LANDING if case.design.flight.is_level else OpeningKind.INFILL
    limit, named = limit_figure(case.rules, kind), case.rules.figure("opening.flex.force")
    verdict = judged_against(widest.opening, 0.0, limit)
    mm = case.words.mm
    by = "" if named is None else ", the force named by the rules,"
    text = (
        f"Pushed apart with {widest.push:.0f} N each{by} and bending over {case.words.about(widest.span)}, "
        f"{widest.where} {mm(widest.rest)} become {mm(widest.opening)}"
    )
    if limit is not None:
        text += f"; {LIMIT_WORDS[limit.compare]} {mm(limit.value_mm)} may be"
    remedy = f"set the {member_name(case.design)}s nearer, make them stouter, or tie them together half-way"
    return Finding(
        "opening.flex",
        verdict,
        case.at(widest.where),
        f"{text}.",
        widest.opening,
        0.0,
        None if limit is None else limit.value_mm,
        rule=case.rules.ref("opening.flex.force" if named is not None else limit.id) if limit else None,
        remedy=remedy if verdict is Verdict.FAIL else None,
    )
