"""Reading a file of rules: its parents merged, its figures checked against the table of ids.

A child restates what differs. A figure with a number of its own is whole (comparison, clause, source, status);
one without a number moves the parent's number to another clause, and to another source only with its status.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import cast

from pitchline.catalogue.figures import FIGURES, SENSE_COMPARES, Choice, Figure, Note
from pitchline.catalogue.load import (
    MEASURES,
    Section,
    Source,
    did_you_mean,
    parse,
    read_measure,
    read_origin,
    read_sources,
)
from pitchline.kit.errors import Fault, InputError
from pitchline.kit.finding import Compare

HEAD = ("title", "place", "use", "edition", "in_force", "status", "units")
Table = dict[str, object]


@dataclass(frozen=True, slots=True)
class RuleText:
    """The text of one file of rules, the name by which messages speak of it, and its key for finding circles."""

    text: str
    name: str
    key: str


Finder = Callable[[str], RuleText]


@dataclass(frozen=True, slots=True)
class Raw:
    """A file of rules with its parents laid under it, not yet checked figure by figure."""

    id: str
    parent: str | None
    head: Table
    figures: dict[str, Table]
    notes: tuple[Table, ...]
    cautions: tuple[Table, ...]
    sources: Table


def gather(rules: RuleText, find: Finder, below: tuple[RuleText, ...] = ()) -> Raw:
    """A file of rules with its parents merged; InputError for unknown keys, lost or circular parents."""
    chain = (*below, rules)
    if rules.key in {other.key for other in below}:
        circle = " -> ".join(each.name for each in chain)
        problem = "the parents of these rules go round in a circle"
        raise InputError(
            [Fault("parent", problem, found=circle, remedy="give one of them no parent")], rules.name
        )
    root = parse(rules.text, rules.name)
    own_id = root.text("id")
    parent = root.text("parent", "")
    head: Table = {key: root.ask(key) for key in HEAD if root.ask(key) is not None}
    without = root.texts("without")
    figures = {name: dict(section.table) for name, section in root.named("figures").items()}
    notes = tuple(dict(section.table) for section in root.listed("notes"))
    cautions = tuple(dict(section.table) for section in root.listed("cautions"))
    sources = dict(root.section("sources").table)
    root.close()
    root.finish(rules.name)
    if not parent:
        if without:
            root.fault("without", "there is no parent to leave anything out of")
            root.finish(rules.name)
        return Raw(own_id, None, head, figures, notes, cautions, sources)
    base = gather(find(parent), find, chain)
    for name in without:
        if name not in base.figures:
            remedy = did_you_mean(name, base.figures)
            root.fault("without", "the parent states no such figure", found=name, remedy=remedy)
    root.finish(rules.name)
    return Raw(
        own_id,
        base.id,
        {**base.head, **head},
        _merged({key: value for key, value in base.figures.items() if key not in without}, figures),
        _by_topic(base.notes, notes),
        _by_topic(base.cautions, cautions),
        {**base.sources, **sources},
    )


def _merged(base: dict[str, Table], own: dict[str, Table]) -> dict[str, Table]:
    merged = dict(base)
    for name, table in own.items():
        states_value = any(key in MEASURES or key == "word" for key in table)
        under = {} if states_value else dict(base.get(name, {}))
        if "source" in table:
            under.pop("status", None)
            under.pop("edition", None)
        merged[name] = {**under, **table}
    return merged


def _by_topic(base: tuple[Table, ...], own: tuple[Table, ...]) -> tuple[Table, ...]:
    """Notes of the child, and those of the parent on topics of which the child does not speak."""
    spoken = {table.get("topic") for table in own}
    return (*(table for table in base if table.get("topic") not in spoken), *own)


@dataclass(frozen=True, slots=True)
class Contents:
    """What a merged file of rules holds, checked."""

    sources: Mapping[str, Source]
    figures: Mapping[str, Figure]
    choices: Mapping[str, Choice]
    notes: tuple[Note, ...]
    cautions: tuple[Note, ...]


def read_contents(raw: Raw, root: Section) -> Contents:
    """The figures, words and notes of merged rules; faults go to ``root``."""
    sources = read_sources(Section({"sources": raw.sources}, "", root.faults))
    figures: dict[str, Figure] = {}
    choices: dict[str, Choice] = {}
    for name, table in raw.figures.items():
        section = Section(table, f"figures.{name}", root.faults)
        kind = FIGURES.get(name)
        if kind is None:
            section.fault("", "there is no figure of this name", remedy=did_you_mean(name, FIGURES))
        elif kind.sense == "word":
            choices[name] = _choice(name, section, sources)
        else:
            figures[name] = _figure(name, section, sources)
    notes = _notes("notes", raw.notes, sources, root)
    return Contents(sources, figures, choices, notes, _notes("cautions", raw.cautions, sources, root))


def _figure(name: str, section: Section, sources: Mapping[str, Source]) -> Figure:
    kind = FIGURES[name]
    value, unit, written = read_measure(section, kind.quantity)
    compare = cast("Compare", section.word("compare", SENSE_COMPARES[kind.sense]))
    clause = section.text("clause")
    source, status = read_origin(section, sources)
    note = section.text("note", "")
    edition = section.text("edition", source.edition)
    section.close()
    return Figure(name, value, unit, compare, clause, edition, source, status, note, written)


def _choice(name: str, section: Section, sources: Mapping[str, Source]) -> Choice:
    word = section.word("word", FIGURES[name].words)
    clause = section.text("clause")
    source, status = read_origin(section, sources)
    note = section.text("note", "")
    edition = section.text("edition", source.edition)
    section.close()
    return Choice(name, word, clause, edition, source, status, note)


def _notes(
    where: str, tables: tuple[Table, ...], sources: Mapping[str, Source], root: Section
) -> tuple[Note, ...]:
    notes = []
    for number, table in enumerate(tables):
        section = Section(table, f"{where}[{number}]", root.faults)
        topic, text = section.text("topic"), section.text("text")
        clause = section.text("clause", "")
        source, status = read_origin(section, sources)
        section.close()
        notes.append(Note(topic, text, clause, source, status))
    return tuple(notes)
