"""Rule sets side by side, and a job judged by the rules of another place."""

import pytest
from typer.testing import CliRunner

from pitchline.app.cli import app
from pitchline.app.rules_compared import NOT_STATED, compared
from pitchline.catalogue.rules import load_rule_set
from pitchline.job.load import load_text
from pitchline.job.new import starting_text
from pitchline.kit.errors import InputError
from pitchline.kit.finding import Verdict
from pitchline.kit.units import Unit
from pitchline.story import solve

PLACES = ("england-dwelling", "us-irc-2021")


def test_the_triangle_rule_of_two_places_stands_side_by_side() -> None:
    """Approved Document K 2013 clause 1.39 (100 mm everywhere) against IRC 2021 R312.1.3 exception 1 (6 in)."""
    lines = list(compared(PLACES, "opening"))
    at = next(i for i, line in enumerate(lines) if line.startswith("  opening.triangle: "))
    assert "below 100 mm" in lines[at + 1]
    assert "below 6 in" in lines[at + 2]


def test_only_what_differs_is_shown_and_nothing_is_too_wide() -> None:
    lines = list(compared(PLACES))
    assert max(map(len, lines)) <= 100
    assert any(NOT_STATED in line for line in lines)
    same = list(compared(("us-irc-2021", "us-irc-2021")))
    assert "They state the same." in same


def test_an_unknown_place_names_the_nearest() -> None:
    with pytest.raises(InputError, match="england-dwelling"):
        list(compared(("england-dweling", "us-irc-2021")))
    done = CliRunner().invoke(app, ["rules", "england-dwelling", "us-irc-2031"])
    assert done.exit_code == 2
    assert "us-irc-2021" in done.stderr


def test_a_job_judged_elsewhere_keeps_its_design() -> None:
    """The oak example has a 62 x 52 mm rail: IRC 2021 R311.7.8.5 wants a perimeter of at most 6 1/4 in."""
    job = load_text(starting_text("mm", Unit.MM))
    home, abroad = solve(job), solve(job, judged_by=load_rule_set("us-irc-2021"))
    assert abroad.rules.id == "us-irc-2021"
    for here, there in zip(home.designs, abroad.designs, strict=True):
        assert here.design.bay.run == there.design.bay.run
        assert [u.u for u in here.design.uprights] == [u.u for u in there.design.uprights]
    failed = {f.rule.clause for f in abroad.findings() if f.verdict is Verdict.FAIL and f.rule is not None}
    assert any(clause.startswith("R311.7.8.5") for clause in failed)
    assert not [
        f for f in home.findings() if f.verdict is Verdict.FAIL and not f.code.startswith("strength.")
    ]
