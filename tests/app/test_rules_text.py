"""The listing of the rules says everything that the rule files say, and fits a terminal."""

from collections.abc import Iterable
from pathlib import Path

import pytest

from pitchline.app.rules_text import ASK, COLUMNS, one_rule_set, rule_set_list
from pitchline.catalogue.rules import FIGURES, STATUSES, list_rule_sets, load_rule_set
from pitchline.kit.errors import InputError

MUST_BE = {"lt": "below", "le": "at most", "ge": "at least", "gt": "above"}

OWN = """
id = "our-town"
parent = "us-irc-2021"
title = "Our town (invented)"

[sources.ordinance]
title = "Town ordinance on guards"
edition = "2026"
seen = "nothing, for it is invented"

[figures."guard.landing.height"]
in = 42
compare = "ge"
clause = "section 12"
source = "ordinance"
status = "M"
"""


def joined(lines: Iterable[str]) -> str:
    """The text with its line breaks undone."""
    return " ".join(" ".join(lines).split())


@pytest.mark.parametrize("rules_id", list_rule_sets())
def test_everything_a_set_holds_is_shown(rules_id: str) -> None:
    rules = load_rule_set(rules_id)
    text = joined(one_rule_set(rules_id))
    for told in (rules.title, rules.id, rules.edition, rules.in_force, rules.status):
        assert told in text
    for figure in rules.figures.values():
        place = text.index(f"{figure.id}: {figure.meaning} {MUST_BE[figure.compare]} {figure.written} ")
        told = text[place : place + 600]
        assert f"{figure.clause} [{figure.status}, {figure.source.id}]" in told
        assert figure.note in told
    for choice in rules.choices.values():
        assert f"{choice.id}: {choice.meaning} {choice.word} {choice.clause}" in text
    for note in (*rules.notes, *rules.cautions):
        assert joined([note.text]) in text
    for source in rules.sources.values():
        assert f"{source.id}: {source.title}" in text
    for status, meaning in STATUSES.items():
        assert f"{status} {meaning}" in text


@pytest.mark.parametrize("rules_id", list_rule_sets())
def test_what_was_not_read_itself_says_so_once_each(rules_id: str) -> None:
    rules = load_rule_set(rules_id)
    unread = len(rules.unverified) + sum(not choice.verified for choice in rules.choices.values())
    assert joined(one_rule_set(rules_id)).count(ASK) == unread


@pytest.mark.parametrize("rules_id", list_rule_sets())
def test_the_cautions_come_last_and_nothing_is_too_wide(rules_id: str) -> None:
    lines = list(one_rule_set(rules_id))
    last = load_rule_set(rules_id).cautions[-1].text
    after = lines[lines.index("Cautions") :]
    assert joined([last]) in joined(after[-4:])
    assert max(map(len, lines)) <= COLUMNS
    assert all(line == line.rstrip() for line in lines)
    assert all(line.isprintable() for line in lines)


def test_the_list_names_every_set() -> None:
    lines = list(rule_set_list())
    for rules_id in list_rule_sets():
        rules = load_rule_set(rules_id)
        assert rules_id in lines
        assert f"{len(rules.figures)} figures, {len(rules.unverified)} of them" in joined(lines)
    assert max(map(len, lines)) <= COLUMNS


def test_figures_stand_in_the_order_of_the_table() -> None:
    text = "\n".join(one_rule_set("england-dwelling"))
    stated = [figure_id for figure_id in FIGURES if figure_id in load_rule_set("england-dwelling").figures]
    places = [text.index(f"  {figure_id}: ") for figure_id in stated]
    assert places == sorted(places)


def test_a_file_of_ones_own_is_shown_with_its_parent(tmp_path: Path) -> None:
    path = tmp_path / "our-town.toml"
    path.write_text(OWN, encoding="utf-8")
    text = joined(one_rule_set(str(path)))
    assert "Our town (invented)" in text
    assert "parent us-irc-2021" in text
    assert f"at least 42 in section 12 [M, ordinance] {ASK}" in text
    assert "below 4 3/8 in R312.1.3, exception 2 [V-P, irc-2021]" in text


def test_an_unknown_set_names_the_nearest() -> None:
    with pytest.raises(InputError, match="england-dwelling"):
        list(one_rule_set("england-dweling"))
