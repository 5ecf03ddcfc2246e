"""Sets of rules by place, use and edition: what they ask of guarding, handrails and stairs, and why we think so.

A set may have a parent and state only what differs. Sets are data: a figure is corrected in its file, or in
a file of the user's own that names the built-in set as its parent.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Literal, cast, get_args

from pitchline.catalogue.figures import FIGURES, Choice, Figure, Kind, Note
from pitchline.catalogue.load import (
    STATUSES,
    Section,
    Source,
    Status,
    data_names,
    data_text,
    did_you_mean,
    read_text,
)
from pitchline.catalogue.rule_reading import RuleText, gather, read_contents
from pitchline.kit.errors import Fault, InputError
from pitchline.kit.finding import RuleRef
from pitchline.kit.units import Unit

__all__ = [
    "FIGURES",
    "STATUSES",
    "Choice",
    "Figure",
    "Kind",
    "Note",
    "RuleSet",
    "Source",
    "Status",
    "list_rule_sets",
    "load_rule_file",
    "load_rule_set",
]

Standing = Literal["in force", "model code", "superseded", "unknown"]


@dataclass(frozen=True, slots=True)
class RuleSet:
    """The rules of one place, use and edition.

    ``figures`` are numbers and ``choices`` words, both keyed by the ids of FIGURES; ``in_force`` is a date or a
    sentence; ``status`` says whether the edition stands; ``units`` is the unit the rules are written in.
    """

    id: str
    title: str
    place: str
    use: str
    edition: str
    in_force: str
    status: Standing
    units: Unit
    parent: str | None
    figures: Mapping[str, Figure] = field(hash=False)
    choices: Mapping[str, Choice] = field(hash=False)
    notes: tuple[Note, ...]
    cautions: tuple[Note, ...]
    sources: Mapping[str, Source] = field(hash=False)

    def figure(self, figure_id: str) -> Figure | None:
        """The number of that id, or None where the rules set none. KeyError for an id that does not exist."""
        _known(figure_id)
        return self.figures.get(figure_id)

    def require(self, figure_id: str) -> Figure:
        """The number of that id; InputError naming it where the rules set none."""
        found = self.figure(figure_id)
        if found is None:
            raise InputError([self._missing(figure_id)], f"the rules {self.id}")
        return found

    def choice(self, choice_id: str) -> Choice | None:
        """The word of that id, or None where the rules say nothing. KeyError for an id that does not exist."""
        _known(choice_id)
        return self.choices.get(choice_id)

    def word(self, choice_id: str, default: str) -> str:
        """The word of that id, or ``default`` where the rules say nothing."""
        found = self.choice(choice_id)
        return default if found is None else found.word

    def ref(self, figure_id: str) -> RuleRef:
        """Where a figure or choice stands, for a finding; InputError where the rules lack it."""
        found = self.figure(figure_id) or self.choice(figure_id)
        if found is None:
            raise InputError([self._missing(figure_id)], f"the rules {self.id}")
        return RuleRef(self.id, found.clause, found.status)

    def notes_on(self, topic: str) -> tuple[Note, ...]:
        """The notes on one topic, such as "glass" or "ends"."""
        return tuple(note for note in self.notes if note.topic == topic)

    @property
    def unverified(self) -> tuple[Figure, ...]:
        """The figures not read in the published text itself: ask the building authority about them."""
        return tuple(figure for figure in self.figures.values() if not figure.verified)

    def _missing(self, figure_id: str) -> Fault:
        remedy = "state it in a rule file of your own with this set as its parent"
        return Fault(
            f"figures.{figure_id}", f"no such figure is stated: {FIGURES[figure_id].meaning}", remedy=remedy
        )


def _known(figure_id: str) -> None:
    if figure_id not in FIGURES:
        hint = did_you_mean(figure_id, FIGURES)
        raise KeyError(f"there is no figure {figure_id}" + (f"; {hint}" if hint else ""))


@cache
def list_rule_sets() -> tuple[str, ...]:
    """The ids of the built-in rule sets, in alphabetical order."""
    return data_names("rules")


@cache
def load_rule_set(rules_id: str) -> RuleSet:
    """A built-in rule set by id; read once per process. InputError naming the nearest for an unknown id."""
    return _assemble(_built_in(rules_id), None)


def load_rule_file(path: Path) -> RuleSet:
    """A rule set of the user's own; its parent is a built-in id or a TOML file beside it.

    Raises InputError with every fault of the file: an unknown id or key, a missing source or status, a
    comparison that makes no sense, a parent that is not there or goes round in a circle.
    """
    return _assemble(_from_file(path), path.parent)


def _built_in(rules_id: str) -> RuleText:
    if rules_id not in list_rule_sets():
        allowed = ", ".join(list_rule_sets())
        remedy = did_you_mean(rules_id, list_rule_sets()) or "name one of these or a rule file of your own"
        fault = Fault("rules", "there are no rules of this name", repr(rules_id), allowed, remedy)
        raise InputError([fault])
    return RuleText(data_text("rules", f"{rules_id}.toml"), f"the rules {rules_id}", rules_id)


def _from_file(path: Path) -> RuleText:
    return RuleText(read_text(path), str(path), str(path.resolve()))


def _assemble(rules: RuleText, folder: Path | None) -> RuleSet:
    def find(parent: str) -> RuleText:
        if folder is not None and parent.endswith(".toml"):
            return _from_file(folder / parent)
        return _built_in(parent)

    raw = gather(rules, find)
    root = Section(raw.head, "", [])
    contents = read_contents(raw, root)
    rule_set = RuleSet(
        id=raw.id,
        title=root.text("title"),
        place=root.text("place"),
        use=root.text("use"),
        edition=root.text("edition"),
        in_force=root.text("in_force"),
        status=cast("Standing", root.word("status", get_args(Standing))),
        units=Unit(root.word("units", [unit.value for unit in Unit])),
        parent=raw.parent,
        figures=MappingProxyType(contents.figures),
        choices=MappingProxyType(contents.choices),
        notes=contents.notes,
        cautions=contents.cautions,
        sources=MappingProxyType(contents.sources),
    )
    root.finish(rules.name)
    return rule_set
