"""`pitchline check`: how a job stands in one line, and what becomes of it without a piece."""

from tests.command import FAILING, LIMBER, SOUND
from typer.testing import CliRunner

from pitchline.app.cli import app
from pitchline.app.strength_words import strength_lines
from pitchline.job.load import load_text
from pitchline.story import solve

FREE_END = '[designs.bottom]\nkind = "free end"\nat = "N1"\noffset = -60\n\n'


def said(*arguments: str) -> tuple[int, str, str]:
    """Exit code and both streams."""
    done = CliRunner().invoke(app, arguments)
    return done.exit_code, done.stdout, done.stderr


def test_how_each_design_stands_comes_first() -> None:
    code, told, _ = said("check", str(SOUND))
    assert code == 0
    first = told.splitlines()[0]
    assert first.startswith("Design A moves ")
    assert "limit 25 mm" in first
    inches = said("check", str(FAILING))[1].splitlines()[0]
    assert '"' in inches
    assert " mm" not in inches


def test_what_falls_is_said_to_fall() -> None:
    text = LIMBER.read_text("utf-8")
    begin, end = text.index("[designs.bottom]"), text.index("[designs.top]")
    (line,) = strength_lines(solve(load_text(text[:begin] + FREE_END + text[end:])))
    assert line == "Design A does not stand"


def test_an_upright_less_changes_next_to_nothing_and_a_newel_less_all() -> None:
    slight, told, _ = said("check", str(SOUND), "--without", "U03")
    grave, falls, _ = said("check", str(SOUND), "--without", "P2")
    assert (slight, grave) == (0, 1)
    assert told.startswith("Design A: without U03 ")
    assert falls.startswith("Design A: without P2 ")


def test_what_is_not_there_cannot_be_left_out() -> None:
    code, told, fault = said("check", str(SOUND), "--without", "P9")
    assert (code, told) == (2, "")
    assert fault.count("\n") == 1
    assert "P1, P2, P3" in fault or "P1" in fault
