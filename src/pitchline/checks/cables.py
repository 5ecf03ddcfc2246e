"""Cables: the openings when two neighbours are pushed apart, and how hard they pull on what holds them.

A cable gives way by w = F L / (4 T), as a taut string does (see :mod:`pitchline.kit.taut`): the opening between two
grows by twice that, the one beside a rail by once. Forces in N, lengths in mm.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from pitchline.catalogue.rules import Figure
from pitchline.checks.case import Case, severity
from pitchline.checks.opening_limits import OpeningKind, judged_against, limit_figure
from pitchline.checks.silhouettes import EndFacts, ends_of
from pitchline.design.brief import StrandKind, StrandsBrief
from pitchline.design.model import Design, PostRole, Strand
from pitchline.kit.finding import Finding, RuleRef, Verdict, judge
from pitchline.kit.taut import push_to_move, pushed_aside, spans_of
from pitchline.kit.tolerances import CABLE_HELD, CABLE_POST


def cables_of(design: Design) -> tuple[Strand, ...]:
    """The cables of a design that are pulled."""
    return tuple(s for s in design.strands if s.kind is StrandKind.CABLE and s.pull)


def check_cables(case: Case) -> Iterator[Finding]:
    """Openings under a push, the distances at which cables are held, and what they ask of posts and walls."""
    cables = cables_of(case.design)
    if cables:
        yield _pushed(case, cables)
        yield from _held(case, cables)
        yield from (_pull(case, cables, end) for end in ends_of(case.design))


def span_of_cable(strand: Strand) -> float:
    """The distance along a cable from one thing that holds it to the next."""
    length = _length(strand)
    return length / spans_of(length, strand.apart)


def _length(strand: Strand) -> float:
    """Of what is seen of a strand, along its middle."""
    low_start, low_finish, high_finish, high_start = strand.sight
    ends = [
        ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
        for a, b in ((low_start, high_start), (low_finish, high_finish))
    ]
    return math.dist(*ends)


@dataclass(frozen=True, slots=True)
class _Gap:
    """A gap beside a cable: where, how wide at rest, and how many of its sides give way."""

    where: str
    rest: float
    sides: int


def _gaps(cables: tuple[Strand, ...]) -> tuple[_Gap, ...]:
    first, last = cables[0], cables[-1]
    inner = (_Gap(f"between {a.mark} and {b.mark}", a.gap_above, 2) for a, b in pairwise(cables))
    return (
        _Gap(f"under {first.mark}", first.gap_below, 1),
        *inner,
        _Gap(f"over {last.mark}", last.gap_above, 1),
    )


def push_asked(case: Case) -> tuple[float, RuleRef | None] | None:
    """The push that is asked for in N and the figure that names it; None where nobody names one."""
    infill, figure = case.design.brief.infill, case.rules.figure("opening.flex.force")
    if isinstance(infill, StrandsBrief) and infill.push is not None:
        return infill.push, None
    return None if figure is None else (figure.value, case.rules.ref(figure.id))


def _limit(case: Case) -> Figure | None:
    kind = OpeningKind.LANDING if case.design.flight.is_level else OpeningKind.INFILL
    return limit_figure(case.rules, kind)


def _pushed(case: Case, cables: tuple[Strand, ...]) -> Finding:
    """The widest opening while two neighbours are pushed apart, against the limit of the place."""
    asked, figure = push_asked(case), _limit(case)
    span = max(map(span_of_cable, cables))
    pull = min(strand.pull or 0.0 for strand in cables)
    stretch = cables[0].stretch
    where = f"cables pulled with {pull:.0f} N and held every {case.words.mm(span)}"
    if asked is None:
        return _holds_up_to(case, cables, figure, where)
    push, rule = asked
    aside = pushed_aside(push, span, pull, stretch)
    grown = [(gap, gap.rest + gap.sides * aside) for gap in _gaps(cables)]
    gap, opening = max(grown, key=lambda pair: (-severity(judged_against(pair[1], 0.0, figure)), pair[1]))
    verdict = judged_against(opening, 0.0, figure)
    named = "by the rules" if rule is not None else "in the job"
    becomes = case.words.mm(opening) if math.isfinite(opening) else "any size"
    text = (
        f"Pushed apart with {push:.0f} N each, the force named {named}, {where} give way by {_give(case, aside)}: "
        f"{gap.where} {case.words.mm(gap.rest)} become {becomes}"
    )
    text += "." if figure is None else f"; {_limit_words(case, figure)}."
    remedy = _more_held(case, cables, figure) if verdict is Verdict.FAIL else None
    return Finding(
        "opening.flex",
        verdict,
        case.at(gap.where),
        text,
        opening if math.isfinite(opening) else None,
        0.0,
        None if figure is None else figure.value_mm,
        rule=rule or (None if figure is None else case.rules.ref(figure.id)),
        remedy=remedy,
    )


def _give(case: Case, aside: float) -> str:
    return f"{case.words.mm(aside)} each" if math.isfinite(aside) else "as far as they are pushed"


def _limit_words(case: Case, figure: Figure) -> str:
    word = "must not pass" if figure.compare == "lt" else "may pass at the most"
    return f"a ball of {case.words.mm(figure.value_mm)} {word}"


def _holds_up_to(case: Case, cables: tuple[Strand, ...], figure: Figure | None, where: str) -> Finding:
    """Where nobody names a push: the one that brings the first opening to the limit."""
    if figure is None:
        text = f"No limit for openings and no push is known here, so {where} are not tried: ask."
        return case.advise("opening.flex", "infill", text)
    span, stretch = max(map(span_of_cable, cables)), cables[0].stretch
    pull = min(strand.pull or 0.0 for strand in cables)
    room = min((figure.value_mm - gap.rest) / gap.sides for gap in _gaps(cables))
    push = push_to_move(max(room, 0.0), span, pull, stretch)
    text = (
        f"Neither the rules nor the job say how hard a ball is pushed between two cables; {where} let one of "
        f"{case.words.mm(figure.value_mm)} through once each is pushed aside with {push:.0f} N. Try it on the "
        "finished balustrade, or name a push."
    )
    return Finding(
        "opening.flex",
        Verdict.ADVICE,
        case.at("infill"),
        text,
        push,
        unit="N",
        rule=case.rules.ref(figure.id),
    )


def _more_held(case: Case, cables: tuple[Strand, ...], figure: Figure | None) -> str:
    """How close the cables must be held for the widest opening to pass."""
    asked = push_asked(case)
    if figure is None or asked is None:
        return "hold the cables at shorter distances"
    pull, stretch = min(strand.pull or 0.0 for strand in cables), cables[0].stretch
    length = max(map(_length, cables))
    held = spans_of(length, cables[0].apart)
    for count in range(held + 1, held + _MOST_SPACERS):
        aside = pushed_aside(asked[0], length / count, pull, stretch)
        openings = [gap.rest + gap.sides * aside for gap in _gaps(cables)]
        if all(judge(opening, 0.0, figure.value_mm, figure.compare) is Verdict.PASS for opening in openings):
            apart = case.words.about(length / count)
            return f"hold the cables every {apart} ({count - 1} spacers), pull them harder or add cables"
    return "add cables, or pull them harder: no spacing of what holds them does"


_MOST_SPACERS = 12
"""So many spacers more are tried."""


def _held(case: Case, cables: tuple[Strand, ...]) -> Iterator[Finding]:
    span = max(map(span_of_cable, cables))
    if span > CABLE_HELD:
        text = (
            f"The cables are held only every {case.words.mm(span)}; the trade holds them at "
            f"{case.words.about(CABLE_HELD)} or less, so that neither a ball nor a foot spreads them."
        )
        yield Finding("cable.held", Verdict.ADVICE, case.at("infill"), text, span, 0.0, CABLE_HELD)


def _pull(case: Case, cables: tuple[Strand, ...], end: EndFacts) -> Finding:
    """What all cables together ask of one end: for whoever computes the post and its fixing."""
    design = case.design
    total = sum(strand.pull or 0.0 for strand in cables)
    cosine, sine = cables[0].line.direction
    foot = end.post.foot[2] if end.post is not None else 0.0
    u = design.bay.finish.point[0] if end.at_head else design.bay.start.point[0]
    moment = sum((strand.pull or 0.0) * cosine * (strand.line.at(u) - foot) for strand in cables)
    text = f"{len(cables)} cables draw {end.name} into the bay with {total:.0f} N in all, {total * cosine:.0f} level"
    if abs(total * sine) >= 1.0:
        text += f" and {abs(total * sine):.0f} N {'downwards' if end.at_head == (sine > 0.0) else 'upwards'}"
    if end.post is None or end.post.role is PostRole.HALF:
        text += ". What holds their fittings in the wall, and the wall itself, must bear that: have it worked out."
        return Finding("cable.pull", Verdict.ADVICE, case.at(end.name), text, total, unit="N")
    text += (
        f", on average {case.words.about(moment / (total * cosine))} above its foot: {moment / _NMM_PER_KNM:.2f} kNm "
        "there if nothing else holds it. The engineer needs these figures for the newel, its foot and the "
        "rails that strut it."
    )
    least = min(end.post.along, end.post.across)
    if least < CABLE_POST:
        text += (
            f" At {case.words.mm(least)} it is slimmer than the {case.words.mm(CABLE_POST)} that the trade gives a "
            "wooden end post: choose a stouter one."
        )
    if design.base is None:
        text += " No base rail struts it below: add one, or tie its foot to the floor beyond."
    return Finding("cable.pull", Verdict.ADVICE, case.at(end.name), text, total, unit="N")


_NMM_PER_KNM = 1e6
