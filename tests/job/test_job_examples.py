"""Every invented example is a whole job: it says that it is invented, its readings agree, its designs are built."""

import pytest

from pitchline.app.example import Example
from pitchline.job.load import load_text
from pitchline.job.new import EXAMPLES, STAIRS, example_unit, starting_text
from pitchline.job.value import Job
from pitchline.kit.finding import Verdict
from pitchline.kit.units import Unit
from pitchline.story import Solved, solve
from pitchline.survey.adjust import adjust
from pitchline.survey.review import review

JOBS = {name: load_text(starting_text(name, Unit.MM)) for name in STAIRS}


@pytest.fixture(scope="module")
def solved() -> dict[str, Solved]:
    return {name: solve(job) for name, job in JOBS.items()}


def test_the_command_line_names_every_example() -> None:
    assert [example.value for example in Example] == [*EXAMPLES, *STAIRS]


def test_an_example_that_is_not_there_is_told_with_those_that_are() -> None:
    with pytest.raises(ValueError, match="quarter-turn"):
        example_unit("spiral")


@pytest.mark.parametrize("name", STAIRS)
def test_an_example_says_that_it_is_invented_and_explains_itself(name: str) -> None:
    text = starting_text(name, Unit.MM)
    lines = text.split("\n")
    assert "INVENTED" in lines[0]
    assert max(map(len, lines)) <= 120
    assert sum(line.startswith("# ") for line in lines) >= 10
    assert "Invented" in JOBS[name].title
    assert JOBS[name].unit is STAIRS[name]


@pytest.mark.parametrize("job", JOBS.values(), ids=JOBS)
def test_the_readings_of_every_leg_agree_and_no_stair_is_regular(job: Job) -> None:
    for flight in job.flights:
        codes = {f.code: f.verdict for f in review(adjust(flight.readings, flight.fixed))}
        assert codes["survey.global"] in (Verdict.PASS, Verdict.ADVICE)
        assert "survey.blunder" not in codes


FIRM = ("winders", "dog-leg")
"""Examples that tell how every newel stands, with pull tests."""


@pytest.mark.parametrize("name", STAIRS)
def test_every_design_is_built_and_nothing_fails_but_strength(name: str, solved: dict[str, Solved]) -> None:
    """Not every example says how it stands, and some span too far: what that leads to is told."""
    found = solved[name].findings()
    lacking = [f for f in found if f.verdict in (Verdict.FAIL, Verdict.UNSURE)]
    assert [f.text for f in lacking if not f.code.startswith("strength.")] == []
    assert {f.code for f in lacking} <= {"strength.movement", "strength.used"}
    assert bool(lacking) is (name not in FIRM)
    assert all(edge.report is not None for whole in solved[name].balustrades for edge in whole.strength)
    assert all(leg.parts for leg in solved[name].designs)
