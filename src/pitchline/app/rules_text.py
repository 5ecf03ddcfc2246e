"""The rule sets as plain text for a terminal: what must hold, where it is written and how well it is known.

Nothing is wider than 100 columns. A figure that was not read in the published text itself says so beside its
number, not only in a legend.
"""

import textwrap
from collections.abc import Iterable, Iterator
from itertools import groupby
from pathlib import Path

from pitchline.catalogue.rules import (
    FIGURES,
    STATUSES,
    Choice,
    Figure,
    Note,
    RuleSet,
    list_rule_sets,
    load_rule_file,
    load_rule_set,
)
from pitchline.kit.errors import InputError

COLUMNS = 100
ASK = "not read in the text itself: ask your building authority"

MUST_BE = {"lt": "below", "le": "at most", "ge": "at least", "gt": "above"}
TOPICS = {
    "guard": "Guarding",
    "handrail": "Handrail",
    "opening": "Openings",
    "climb": "Climbing",
    "stair": "The stair",
    "load": "Loads",
    "deflection": "Movement under load",
    "glass": "Glass",
}


def rule_set_list() -> Iterator[str]:
    """The built-in rule sets, a paragraph each, and how to see one."""
    for rules_id in list_rule_sets():
        rules = load_rule_set(rules_id)
        unread = len(rules.unverified)
        yield rules.id
        yield from wrapped(f"{rules.title}. {rules.edition}: {_standing(rules)}.", 4)
        yield from wrapped(
            f"{len(rules.figures)} figures, {unread} of them not read in the published text itself.", 4
        )
        yield ""
    yield from wrapped(
        "Show one with: pitchline rules ID. A file of your own (pitchline rules our-town.toml) may name one of "
        "these as its parent and state only what differs."
    )


def one_rule_set(rules_id: str) -> Iterator[str]:
    """One rule set in full, by its id or as a file of the user's own (a name that ends in .toml).

    InputError for an id that does not exist, naming the nearest, and for a file that cannot be used.
    """
    rules = loaded(rules_id)
    yield from _head(rules)
    yield from _figures(rules)
    yield from _choices(rules.choices.values())
    yield from _notes("Notes", rules.notes)
    yield from _sources(rules)
    yield from _legend()
    yield from _notes("Cautions", rules.cautions)


def loaded(rules_id: str) -> RuleSet:
    """A rule set by its id or as a file of the user's own; InputError where it cannot be had."""
    if rules_id.endswith(".toml"):
        return load_rule_file(Path(rules_id))
    try:
        return load_rule_set(rules_id)
    except InputError as unknown:
        raise InputError(unknown.faults, "the command") from unknown


def _head(rules: RuleSet) -> Iterator[str]:
    yield from wrapped(rules.title)
    yield "=" * min(len(rules.title), COLUMNS)
    parent = [("parent", rules.parent)] if rules.parent else []
    for name, value in [
        ("id", rules.id),
        ("edition", rules.edition),
        ("in force", _standing(rules)),
        ("written in", rules.units.value),
        *parent,
    ]:
        yield from hanging(f"{name:<11}", value)


def _standing(rules: RuleSet) -> str:
    return rules.in_force if rules.status in rules.in_force else f"{rules.in_force} ({rules.status})"


def _figures(rules: RuleSet) -> Iterator[str]:
    stated = [rules.figures[figure_id] for figure_id in FIGURES if figure_id in rules.figures]
    for topic, figures in groupby(stated, key=lambda figure: figure.id.split(".")[0]):
        yield from heading(TOPICS[topic])
        for figure in figures:
            yield from hanging(f"  {figure.id}: ", figure.meaning, 6)
            must = f"{MUST_BE[figure.compare]} {figure.written}"
            yield from hanging(f"      {must:<24}", _known(figure), 30)
            yield from _aside(figure)


def _choices(choices: Iterable[Choice]) -> Iterator[str]:
    yield from heading("Rules in a word")
    for choice in choices:
        yield from hanging(f"  {choice.id}: ", choice.meaning, 6)
        yield from hanging(f"      {choice.word:<24}", _known(choice), 30)
        yield from _aside(choice)


def _known(rule: Figure | Choice) -> str:
    return f"{rule.clause} [{rule.status}, {rule.source.id}]"


def _aside(rule: Figure | Choice) -> Iterator[str]:
    for words in (rule.note, "" if rule.verified else ASK):
        yield from wrapped(words, 30)


def _notes(title: str, notes: Iterable[Note]) -> Iterator[str]:
    yield from heading(title)
    for note in notes:
        clause = f"{note.clause}, " if note.clause else ""
        yield from hanging(f"  {note.topic}: ", f"{note.text} [{clause}{note.status}]", 4)


def _sources(rules: RuleSet) -> Iterator[str]:
    yield from heading("Sources, and what of each was seen")
    for source in rules.sources.values():
        yield from hanging(f"  {source.id}: ", f"{source.title}, {source.edition}. Seen: {source.seen}.", 4)


def _legend() -> Iterator[str]:
    yield from heading("Status words")
    for status, meaning in STATUSES.items():
        yield from hanging(f"  {status:<5}", meaning)


def heading(text: str) -> Iterator[str]:
    """An underlined heading with an empty line before it."""
    yield ""
    yield text
    yield "-" * len(text)


def wrapped(text: str, indent: int = 0) -> Iterator[str]:
    """Text in lines that fit, all indented alike."""
    yield from hanging(" " * indent, text, indent)


def hanging(lead: str, text: str, indent: int | None = None) -> Iterator[str]:
    """Text after a lead, further lines indented; a lead that fills its column is set off by two spaces."""
    lead = f"{lead.rstrip()}  " if lead.strip() and not lead.endswith(" ") else lead
    further = " " * (len(lead) if indent is None else indent)
    yield from textwrap.wrap(
        text, COLUMNS, initial_indent=lead, subsequent_indent=further, break_on_hyphens=False
    )
