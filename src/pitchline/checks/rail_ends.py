"""The two ends of the handrail: how they are finished, and whether the rail runs the whole flight. Lengths in mm."""

import math
from collections.abc import Callable, Iterator

from pitchline.checks.case import Case
from pitchline.checks.silhouettes import EndFacts, ends_of
from pitchline.design.model import Design
from pitchline.kit.finding import Finding, Verdict, judge


def check_ends(case: Case) -> Iterator[Finding]:
    """How each end of the handrail is finished."""
    word = case.rules.word("handrail.ends", "any")
    if word == "any":
        return
    for end in ends_of(case.design):
        if end.passes_over:
            continue
        verdict, text, remedy = _END_RULES[word](case, end)
        place = f"handrail at the {where_is(end)}"
        yield Finding(
            "handrail.end",
            verdict,
            case.at(place),
            text,
            unit="",
            rule=case.rules.ref("handrail.ends"),
            remedy=remedy,
        )


def where_is(end: EndFacts) -> str:
    """Foot or head, in a word."""
    return "head" if end.at_head else "foot"


_EndVerdict = tuple[Verdict, str, str | None]

_TURN = "turn the end back to the wall or into the balustrade, or let it meet a newel"


def _shaped(case: Case, end: EndFacts) -> _EndVerdict:
    if end.is_free:
        text = f"The handrail ends free at the {where_is(end)}: it should be shaped or turned back there."
        return Verdict.ADVICE, text, _TURN
    return Verdict.PASS, f"The handrail ends against {end.name} at the {where_is(end)}.", None


def _returned_or_post(case: Case, end: EndFacts) -> _EndVerdict:
    if end.is_free:
        text = f"The handrail ends free at the {where_is(end)}: it must turn back or stop at a post."
        return Verdict.FAIL, text, _TURN
    return Verdict.PASS, f"The handrail ends against {end.name} at the {where_is(end)}.", None


def _returned(case: Case, end: EndFacts) -> _EndVerdict:
    if end.is_free:
        text = f"The handrail ends free at the {where_is(end)}: it must turn back."
        return Verdict.FAIL, text, "turn the end back to the wall, the balustrade or itself"
    if end.post is not None and not end.is_wall and not newel_is_excepted(case.design, end):
        text = (
            f"The handrail stops at {end.name} in the middle of the flight; a post counts as an end only at the "
            "lowest tread or a landing."
        )
        return Verdict.FAIL, text, "move the newel to the lowest tread or the landing, or return the rail"
    if end.post is not None and not end.is_wall:
        text = (
            f"The handrail stops at {end.name} at the {where_is(end)}, where a newel may stand in its way; this "
            "edition no longer names a post as an end of its own, so ask how that is read."
        )
        return Verdict.ADVICE, text, None
    return Verdict.PASS, f"The handrail runs into {end.name} at the {where_is(end)}.", None


_END_RULES: dict[str, Callable[[Case, EndFacts], _EndVerdict]] = {
    "shaped or returned": _shaped,
    "returned or post": _returned_or_post,
    "returned": _returned,
}


def newel_is_excepted(design: Design, end: EndFacts) -> bool:
    """Whether a newel stands where it may break a handrail: on the lowest tread, a floor or a landing."""
    if end.post is None or end.is_between:
        return False
    nosings = design.flight.nosings
    if end.at_head:
        return end.outer >= nosings[-1][0]
    return end.outer <= nosings[min(1, len(nosings) - 1)][0]


def check_continuity(case: Case) -> Iterator[Finding]:
    """Whether the handrail, with the posts that may stand at its ends, runs as far as the rules ask."""
    word = case.rules.word("handrail.continuity", "any")
    if word == "any":
        return
    flight = case.design.flight
    back = flight.nosing_overhang if word == "riser to riser" else 0.0
    marks = {"riser to riser": "riser", "landing to nosing": "nosing", "flight": "nosing"}[word]
    foot, head = ends_of(case.design)
    low = foot.outer - (flight.nosings[0][0] + back)
    high = flight.nosings[-1][0] + back - head.outer
    for end, short, mark in ((foot, low, f"the lowest {marks}"), (head, high, f"the top {marks}")):
        if not end.is_between:
            yield _short_at(case, end, short, mark)


def _short_at(case: Case, end: EndFacts, short: float, mark: str) -> Finding:
    """How far the handrail, with the post that may stand at its end, stops short of where it must reach."""
    nosing = case.design.flight.nosing_names[-1 if end.at_head else 0]
    expanded = 0.0 if end.station == nosing else _end_expanded(case, end, nosing)
    verdict = judge(short, expanded, 0.0, "le")
    endless = math.isinf(short)
    missing = "" if endless else case.words.measured(abs(short), expanded)
    remedy = None
    if endless:
        text = f"The handrail reaches past {mark}, to {end.name}."
    elif verdict is Verdict.PASS:
        text = f"The handrail with {end.name} reaches past {mark} by {missing}."
    elif verdict is Verdict.UNSURE:
        text = f"The handrail with {end.name} ends within the uncertainty of {mark} ({missing} from it)."
        remedy = case.reading_wanted({("x", end.station): 1.0, ("x", nosing): -1.0}, "that end's place")
    else:
        text = f"The handrail stops {missing} short of {mark}."
        remedy = f"move {end.name} out by {case.words.enough(short + expanded)}"
        if not end.at_head and _only_bottom_steps(case, end):
            verdict = Verdict.ADVICE
            text += " Only the bottom steps are without; whether they may be is read in more than one way, so ask."
    return Finding(
        "handrail.continuity",
        verdict,
        case.at(f"handrail at the {where_is(end)}"),
        text,
        measured=None if endless else short,
        expanded_uncertainty=expanded,
        limit=0.0,
        rule=case.rules.ref("handrail.continuity"),
        remedy=remedy,
    )


def _end_expanded(case: Case, end: EndFacts, nosing: str) -> float:
    return case.design.flight.expanded({end.station: 1.0, nosing: -1.0})


def _only_bottom_steps(case: Case, end: EndFacts) -> bool:
    exempt = case.rules.figure("handrail.exempt.bottom_steps")
    missed = sum(1 for u, _ in case.design.flight.nosings if u < end.outer)
    return exempt is not None and judge(missed, 0.0, exempt.value, exempt.compare) is Verdict.PASS
