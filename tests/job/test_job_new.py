import re
import tomllib

import pytest

from pitchline.job.load import load_text
from pitchline.job.new import EXAMPLES, demo_text, starting_text
from pitchline.kit.errors import InputError
from pitchline.kit.units import Unit

OPTIONAL = re.compile(r"#(?=[\[{\w])")


def optional_blocks(text: str) -> list[list[int]]:
    """Runs of neighbouring lines that a # in front of a word or bracket leaves out."""
    blocks: list[list[int]] = []
    for number, line in enumerate(text.split("\n")):
        if OPTIONAL.match(line.lstrip()):
            if blocks and blocks[-1][-1] == number - 1:
                blocks[-1].append(number)
            else:
                blocks.append([number])
    return blocks


def taken_up(text: str, numbers: list[int]) -> str:
    lines = text.split("\n")
    for number in numbers:
        lines[number] = lines[number].replace("#", "", 1)
    return "\n".join(lines)


def filled_in(text: str, unit: Unit) -> str:
    """The blank with every rise and going read."""
    rise, going = ('"7 1/2 in"', '"10 1/4 in"') if unit is Unit.INCH else ("190", "225")
    head, rises, goings = re.split(r"(?<=\n)values = ", text)
    rises = rises.replace('"-"', rise, rises.split("]")[0].count('"-"'))
    goings = goings.replace('"-"', going, goings.split("]")[0].count('"-"'))
    return f"{head}values = {rises}values = {goings}"


@pytest.mark.parametrize("unit", list(Unit))
def test_a_blank_says_what_is_still_to_be_filled_in(unit: Unit) -> None:
    with pytest.raises(InputError) as caught:
        load_text(starting_text(None, unit))
    assert {fault.where for fault in caught.value.faults} == {"flights[0].rises", "flights[0].goings"}


@pytest.mark.parametrize("unit", list(Unit))
def test_a_blank_with_its_rises_and_goings_is_a_job(unit: Unit) -> None:
    job = load_text(filled_in(starting_text(None, unit), unit))
    assert job.unit is unit
    assert job.flights[0].facts.risers == (13 if unit is Unit.MM else 12)


@pytest.mark.parametrize("unit", list(Unit))
def test_every_optional_part_of_a_blank_holds_when_taken_up(unit: Unit) -> None:
    text = filled_in(starting_text(None, unit), unit)
    blocks = optional_blocks(text)
    assert len(blocks) > 20
    for count in range(1, len(blocks) + 1):
        load_text(taken_up(text, [number for block in blocks[:count] for number in block]))


@pytest.mark.parametrize("unit", list(Unit))
def test_a_blank_explains_more_than_it_asks(unit: Unit) -> None:
    lines = starting_text(None, unit).split("\n")
    assert max(map(len, lines)) <= 120
    assert sum(line.startswith("# ") for line in lines) > 60


@pytest.mark.parametrize("example", EXAMPLES)
def test_an_example_says_that_it_is_invented(example: str) -> None:
    text = starting_text(example, Unit.MM)
    assert "INVENTED" in text.split("\n", 1)[0]
    job = load_text(text)
    assert "Invented" in job.title
    assert job.unit.value == example


def test_an_example_that_is_not_there() -> None:
    with pytest.raises(ValueError, match="no example"):
        starting_text("cm", Unit.MM)


def test_the_demo_is_the_plain_example_made_firm() -> None:
    """The same stair; what is added says how it stands and what it is cut from."""
    plain, firm = tomllib.loads(starting_text("mm", Unit.MM)), tomllib.loads(demo_text())
    assert firm["flights"] == plain["flights"]
    assert firm["job"] == {**plain["job"], "rack": "rack.toml"}
    for one, other in zip(plain["designs"], firm["designs"], strict=True):
        assert {key: other[key] for key in one} == one
        assert other.keys() - one.keys() == {"newels", "strength"}
