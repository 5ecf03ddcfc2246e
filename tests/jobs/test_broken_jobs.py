"""Job files with something wrong in them: each fault is told, at its line, in words a maker can act on.

Every case of the TOML files in ``broken`` is a sound invented example with a few lines changed. The line a fault
must name is the line of the edited text that holds the marker, found here by counting line ends; the words are
what a person needs to hear.
"""

import tomllib
from pathlib import Path
from typing import NamedTuple

import pytest

from pitchline.job.load import load_text
from pitchline.job.new import starting_text
from pitchline.kit.errors import Fault, InputError
from pitchline.kit.units import Unit


class Told(NamedTuple):
    """A fault to be told: its place, a text on its line, and words of its sentence."""

    where: str
    marker: str
    words: list[str]


class Case(NamedTuple):
    """A spoilt job, and everything that must be told of it, no more and no less."""

    name: str
    text: str
    told: list[Told]


def _spoilt(entry: dict[str, object]) -> Case:
    units = Unit(str(entry.get("units", "mm")))
    text = starting_text(str(entry.get("example", units.value)), units)
    edits, told = entry["edit"], entry["told"]
    assert isinstance(edits, list)
    assert isinstance(told, list)
    for edit in edits:
        assert edit["old"] in text, f"{entry['name']}: the sound file has no {edit['old']!r}"
        text = text.replace(edit["old"], edit["new"], 1)
    return Case(
        str(entry["name"]), text, [Told(one["where"], one.get("at", ""), one["words"]) for one in told]
    )


def _cases() -> list[Case]:
    files = sorted((Path(__file__).parent / "broken").glob("*.toml"))
    return [_spoilt(entry) for file in files for entry in tomllib.loads(file.read_text("utf-8"))["case"]]


CASES = _cases()


def faults_of(text: str) -> tuple[Fault, ...]:
    with pytest.raises(InputError) as caught:
        load_text(text, "job.toml")
    assert all(line.startswith("job.toml, ") for line in str(caught.value).split("\n"))
    return caught.value.faults


@pytest.mark.parametrize("broken", CASES, ids=lambda broken: broken.name)
def test_every_fault_is_told_at_its_line(broken: Case) -> None:
    faults = faults_of(broken.text)
    assert sorted(fault.where for fault in faults) == sorted(told.where for told in broken.told), faults
    for told in broken.told:
        fault = next(fault for fault in faults if fault.where == told.where)
        for word in told.words:
            assert word in fault.sentence()
        line = broken.text[: broken.text.index(told.marker)].count("\n") + 1 if told.marker else None
        assert fault.line == line, fault.sentence()


@pytest.mark.parametrize("broken", CASES, ids=lambda broken: broken.name)
def test_sentences_are_one_line_and_short_enough_to_read(broken: Case) -> None:
    for fault in faults_of(broken.text):
        sentence = fault.sentence()
        assert "\n" not in sentence
        assert len(sentence) < 700
        assert "Error" not in sentence
        assert "pydantic" not in sentence


def test_there_are_many_cases_and_none_has_the_name_of_another() -> None:
    assert len({broken.name for broken in CASES}) == len(CASES) >= 100
