"""Rule files of the user's own: parents, overrides, and what is refused."""

from pathlib import Path

import pytest

from pitchline.catalogue.rules import load_rule_file, load_rule_set
from pitchline.kit.errors import InputError

SOURCE = '\n[sources.town]\ntitle = "Town notice"\nedition = "2026"\nseen = "the notice itself"\n'
TALLER = """
[figures."guard.flight.height"]
mm = 1000
compare = "ge"
clause = "notice 4"
source = "town"
status = "V-P"
"""


def rule_file(folder: Path, text: str, name: str = "town.toml", parent: str = "england-dwelling") -> Path:
    path = folder / name
    head = f'id = "{path.stem}"\nparent = "{parent}"\ntitle = "An invented town"\n' if parent else ""
    path.write_text(head + text, encoding="utf-8")
    return path


def refusal(path: Path) -> str:
    with pytest.raises(InputError) as refused:
        load_rule_file(path)
    return str(refused.value)


def test_a_child_overrides_one_figure(tmp_path: Path) -> None:
    rules = load_rule_file(rule_file(tmp_path, SOURCE + TALLER))
    parent = load_rule_set("england-dwelling")
    assert rules.require("guard.flight.height").value_mm == 1000.0
    assert rules.require("guard.flight.height").edition == "2026"
    assert rules.require("guard.landing.height") == parent.require("guard.landing.height")
    assert (rules.id, rules.parent, rules.place, rules.units) == (
        "town",
        parent.id,
        parent.place,
        parent.units,
    )
    assert rules.cautions == parent.cautions
    assert rules.ref("guard.flight.height").id == "town"


def test_a_child_may_change_only_the_clause(tmp_path: Path) -> None:
    text = SOURCE + '[figures."opening.stair"]\nclause = "notice 7"\nsource = "town"\n'
    assert "figures.opening.stair: the status is missing" in refusal(rule_file(tmp_path, text))
    figure = load_rule_file(rule_file(tmp_path, text + 'status = "M"\n')).require("opening.stair")
    assert (figure.value_mm, figure.clause, figure.edition) == (100.0, "notice 7", "2026")
    assert (figure.source.id, figure.status) == ("town", "M")
    text = '[figures."opening.stair"]\nclause = "notice 8"\n'
    figure = load_rule_file(rule_file(tmp_path, text)).require("opening.stair")
    assert (figure.clause, figure.source.id, figure.status) == ("notice 8", "adk-2013", "V-P")


def test_a_child_may_leave_figures_out(tmp_path: Path) -> None:
    path = rule_file(tmp_path, 'without = ["stair.pitch.max"]\n')
    assert load_rule_file(path).figure("stair.pitch.max") is None
    assert "did you mean stair.pitch.max" in refusal(rule_file(tmp_path, 'without = ["stair.pich.max"]\n'))


def test_a_grandchild_finds_its_parents_beside_it(tmp_path: Path) -> None:
    rule_file(tmp_path, SOURCE + TALLER)
    street = rule_file(tmp_path, "", "street.toml", "town.toml")
    rules = load_rule_file(street)
    assert (rules.parent, rules.require("guard.flight.height").value_mm) == ("town", 1000.0)


def test_a_whole_set_without_a_parent(tmp_path: Path) -> None:
    head = 'id = "own"\ntitle = "Own"\nplace = "Here"\nuse = "dwelling"\nedition = "1"\nin_force = "now"\n'
    path = rule_file(tmp_path, head + 'status = "unknown"\nunits = "mm"\n' + SOURCE + TALLER, "own.toml", "")
    rules = load_rule_file(path)
    assert rules.parent is None
    assert set(rules.figures) == {"guard.flight.height"}
    assert "there is no parent" in refusal(rule_file(tmp_path, 'without = ["x"]\n' + head, "own.toml", ""))
    assert "the units is missing" in refusal(rule_file(tmp_path, head, "own.toml", ""))


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        (
            SOURCE + TALLER.replace('source = "town"\n', ""),
            "figures.guard.flight.height: the source is missing",
        ),
        (
            SOURCE + TALLER.replace('status = "V-P"\n', ""),
            "figures.guard.flight.height: the status is missing",
        ),
        (SOURCE + TALLER.replace('clause = "notice 4"\n', ""), "the clause is missing"),
        (SOURCE + TALLER.replace('compare = "ge"\n', ""), "the compare is missing"),
        (
            SOURCE + TALLER.replace('"ge"', '"=="'),
            "figures.guard.flight.height.compare: this word is not known",
        ),
        (SOURCE + TALLER.replace('"ge"', '"lt"'), "allowed: ge, gt"),
        (SOURCE + TALLER.replace("flight", "flihgt"), "did you mean guard.flight.height"),
        (SOURCE + TALLER.replace("mm = 1000", "kN = 1"), "allowed: mm, in"),
        (SOURCE + TALLER + 'colour = "red"\n', "figures.guard.flight.height.colour: this key is not known"),
        (SOURCE + '[figures."stair.rise.variation"]\nclause = "9"\n', "one number with its unit as its key"),
        (
            SOURCE
            + '[figures."climb.mode"]\nword = "zoned"\nclause = "9"\nsource = "town"\nstatus = "V-P"\n',
            "did you mean zone?",
        ),
        ('titel = "x"\n', "titel: this key is not known here"),
        ('status = "valid"\n', "status: this word is not known here"),
        ('units = "cm"\n', "units: this word is not known here"),
        ('[[notes]]\ntopic = "ends"\nsource = "practice"\nstatus = "CP"\n', "notes["),
        ("[figures]\nx = 1\n", "figures.x: this must be a table"),
    ],
)
def test_faults_are_told_in_a_sentence(tmp_path: Path, text: str, sentence: str) -> None:
    message = refusal(rule_file(tmp_path, text))
    assert sentence in message
    assert "town.toml" in message


def test_parents_that_are_not_there_or_go_round(tmp_path: Path) -> None:
    assert "there are no rules of this name" in refusal(rule_file(tmp_path, "", parent="england-dweling"))
    assert "cannot be read" in refusal(rule_file(tmp_path, "", parent="lost.toml"))
    rule_file(tmp_path, "", "a.toml", "b.toml")
    message = refusal(rule_file(tmp_path, "", "b.toml", "a.toml"))
    assert "go round in a circle" in message
    assert "a.toml" in message
    assert "go round in a circle" in refusal(rule_file(tmp_path, "", "self.toml", "self.toml"))


def test_files_that_cannot_be_read(tmp_path: Path) -> None:
    assert "cannot be read" in refusal(tmp_path / "absent.toml")
    (tmp_path / "bytes.toml").write_bytes(b"\xff\xfe")
    assert "cannot be read" in refusal(tmp_path / "bytes.toml")
    (tmp_path / "broken.toml").write_text("id = \n", encoding="utf-8")
    assert "line 1" in refusal(tmp_path / "broken.toml")
