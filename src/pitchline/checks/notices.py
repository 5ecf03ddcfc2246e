"""What a reader of the findings must know besides: how well figures are known, what was not checked, cautions."""

from collections.abc import Callable, Iterator, Mapping
from types import MappingProxyType

from pitchline.catalogue.rules import Note
from pitchline.checks.case import Case
from pitchline.checks.standing import check_unknown
from pitchline.design.brief import BaseSeat, PanelKind
from pitchline.design.model import Design, PostRole
from pitchline.kit.finding import Finding, RuleRef, Verdict
from pitchline.kit.units import Unit

_STATUS_WORDS = {
    "V-S": "second hand",
    "M": "from memory",
    "CP": "common practice",
    "D": "worked out here",
}


def check_notices(case: Case) -> Iterator[Finding]:
    """Advice that goes with every sheet of findings."""
    yield _scope(case)
    yield from _standing(case)
    yield from check_unknown(case)
    yield from _unverified(case)
    yield _strength(case)
    for note in case.rules.notes_on("controlled work"):
        yield _note(case, "notice.controlled", "the work", note)
    for note in case.rules.cautions:
        if _speaks_here(case, note.topic):
            yield _note(case, "notice.caution", note.topic, note)
    yield from _site(case)


def _scope(case: Case) -> Finding:
    text = (
        f"Compared with: {case.rules.title} ({case.rules.edition}). These findings are a help, no consent: the "
        "building authority decides."
    )
    return case.advise("notice.scope", "all findings", text)


def _standing(case: Case) -> Iterator[Finding]:
    if case.rules.status in ("superseded", "unknown"):
        text = f"This edition is marked {case.rules.status}: ask which one holds where the stair stands."
        yield case.advise("notice.edition", "the rules", text)


def used_here(figure_id: str) -> bool:
    """Whether a figure belongs to what this version checks."""
    return figure_id.split(".", maxsplit=1)[0] in ("guard", "handrail", "opening", "climb", "stair")


def _unverified(case: Case) -> Iterator[Finding]:
    """Which of the figures used were not read in the published text."""
    by_status: dict[str, list[str]] = {}
    for figure in case.rules.unverified:
        if used_here(figure.id):
            by_status.setdefault(_STATUS_WORDS[figure.status], []).append(figure.id)
    if by_status:
        count = sum(len(ids) for ids in by_status.values())
        listed = "; ".join(f"{word}: {', '.join(ids)}" for word, ids in by_status.items())
        text = f"Figures used here but not read in the published text, to be checked with it: {listed}."
        yield Finding("notice.figures", Verdict.ADVICE, case.at("the rules"), text, float(count), unit="")


def _strength(case: Case) -> Finding:
    text = (
        "What is said of stiffness and strength rests on what was told and on usual values, above all for the bases "
        "of newels: pull at them, and have an engineer judge the structure or test the finished balustrade."
    )
    return case.advise("notice.strength", "the structure", text)


def _note(case: Case, code: str, place: str, note: Note) -> Finding:
    rule = RuleRef(case.rules.id, note.clause, note.status) if note.clause else None
    return Finding(code, Verdict.ADVICE, case.at(place), note.text, unit="", rule=rule)


def _has_existing(design: Design) -> bool:
    return any(post.role is PostRole.EXISTING for post in design.posts)


def _has_new(design: Design) -> bool:
    return any(post.role is PostRole.NEW for post in design.posts)


_ONLY_WHERE: Mapping[str, Callable[[Design], bool]] = MappingProxyType(
    {
        "glass": lambda design: any(panel.kind is PanelKind.GLASS for panel in design.panels),
        "wires": lambda design: any(strand.is_round for strand in design.strands),
        "level rails": lambda design: bool(design.strands),
        "old newels": _has_existing,
        "newel post": _has_new,
        "triangle": lambda design: design.brief.base is not None and design.brief.base.seat is BaseSeat.CLEAR,
        "spacing on the rake": lambda design: bool(design.uprights),
    }
)
"""Cautions that are spoken only where the design has what they warn of."""


def _speaks_here(case: Case, topic: str) -> bool:
    if topic == "inches":
        return case.rules.units is Unit.INCH
    return topic not in _ONLY_WHERE or _ONLY_WHERE[topic](case.design)


def _site(case: Case) -> Iterator[Finding]:
    """Dangers of the site itself (common practice, no source)."""
    text = (
        "Until the balustrade stands the edge is open: close it off with a temporary barrier, day and night."
    )
    yield case.advise("notice.open-edge", "the site", text)
    if _has_existing(case.design):
        text = "Old paint may hold lead: test it before sanding or burning anything off the parts that stay."
        yield case.advise("notice.lead", "the parts that stay", text)
