"""Whole jobs and their strength: from the tables of the file to the finding, the sheet, the frame and the command."""

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import jsonschema
import numpy as np
import pytest
from pypdf import PdfReader
from tests.command import FAILING, LIMBER, SOUND, run

from pitchline.app.result import result_document, result_schema
from pitchline.app.strength_document import strength_document
from pitchline.job.load import load_text
from pitchline.kit.errors import InputError
from pitchline.kit.finding import Verdict
from pitchline.kit.frame.document import read_frame, read_movements
from pitchline.kit.frame.solve import solve as solve_frame
from pitchline.sheets.pack import write_pack
from pitchline.story import Solved, solve
from pitchline.strength.report import Unstable

FIRM, LONG, INCHES = (path.read_text("utf-8") for path in (SOUND, LIMBER, FAILING))


def solved(text: str) -> Solved:
    """A job text solved."""
    return solve(load_text(text))


@pytest.fixture(scope="module")
def firm() -> Solved:
    """The loft stair with a newel between and bases that were pulled at."""
    return solved(FIRM)


@pytest.fixture(scope="module")
def pack(firm: Solved, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Its pack."""
    folder = tmp_path_factory.mktemp("firm") / "pack"
    write_pack(firm, folder, result_document(firm))
    return folder


def codes(job: Solved, *verdicts: Verdict) -> list[str]:
    """Codes of what is said of strength with these verdicts."""
    return [f.code for f in job.findings() if f.code.startswith("strength.") and f.verdict in verdicts]


def test_one_span_over_a_whole_flight_moves_too_far_and_a_newel_between_mends_it(firm: Solved) -> None:
    """BS 6180 6.4.1 as held in the rules: 25 mm; a span halved moves an eighth, were there nothing but bending."""
    assert "strength.movement" in codes(solved(LONG), Verdict.FAIL)
    assert codes(firm, Verdict.FAIL, Verdict.UNSURE) == []
    assert firm.holds
    (report,) = (edge.report for edge in firm.balustrades[0].strength)
    assert report is not None
    assert report.movement.high <= 25.0
    assert report.utilisation <= 1.0


def test_a_newel_that_is_forgotten_is_found() -> None:
    """Both ends of the rail free, uprights in shallow grooves: nothing holds the rail across."""
    free = 'kind = "free end"\nat = "N1"\noffset = -60\n'
    begin, end = LONG.index("[designs.bottom]"), LONG.index("[designs.top]")
    text = LONG[:begin] + f"[designs.bottom]\n{free}\n" + LONG[end:]
    job = solved(text)
    (edge,) = job.balustrades[0].strength
    assert isinstance(edge.answer, Unstable)
    (told,) = (f for f in job.findings() if f.code == "strength.unstable")
    assert told.verdict is Verdict.FAIL
    assert "does not stand" in told.text
    assert "newel" in (told.remedy or "")
    assert told.measured is None
    document = strength_document(job.balustrades[0].strength)
    assert document is not None
    assert (document["deflection"], document["utilisation"]) == (None, None)
    assert not document["edges"][0]["stands"]


def test_a_pull_test_takes_the_place_of_the_estimate(firm: Solved) -> None:
    """k = P h^2 / (moved - own bending): the newel's own part is below the 2.5 mm read, so k > 200 x 900^2 / 2.5."""
    (edge,) = firm.balustrades[0].strength
    assert edge.report is not None
    by_post = {standing.post: standing.base for standing in edge.report.posts}
    assert by_post["P1"].across.mean > 200.0 * 900.0**2 / 2.5
    assert "pulled at" in by_post["P1"].name


def test_a_pull_that_cannot_be_is_told_at_its_line() -> None:
    wrong = FIRM.replace("moved = 3 }", "moved = 0.1 }")
    line = 1 + wrong[: wrong.index("moved = 0.1")].count("\n")
    with pytest.raises(InputError) as told:
        solved(wrong)
    (fault,) = told.value.faults
    assert fault.where == "designs[0].strength.posts[1].pulls[0]"
    assert "post alone bends" in fault.problem
    assert line > 1


def test_a_job_in_inches_is_judged_by_the_code_of_its_place_and_speaks_pounds() -> None:
    job = solved(INCHES)
    (edge,) = job.balustrades[0].strength
    assert edge.answer.code.value == "NDS 2018"
    used = [f for f in job.findings() if f.code == "strength.used"]
    assert used
    assert all("psi" in f.text or "lbf" in f.text for f in used)


def test_a_base_in_inches_is_the_same_base() -> None:
    """2 1/2 in of thread is 63.5 mm, 45 lbf is 200.17 N: the same numbers in either unit."""
    base = """
[[designs.strength.posts]]
post = "P1"
kind = "plate"
fixing = "screw-10"
count = 6
lever_along = {lever}
lever_across = {lever}
thread = {thread}
pulls = [{{ force = {force}, height = {height}, moved = {moved} }}]

[designs.infill]"""
    inches = base.format(lever=4, thread=2.5, force=45, height=36, moved=0.25)
    mm = base.format(
        lever='"101.6 mm"',
        thread='"63.5 mm"',
        force=f'"{45 * 4.4482216152605} N"',
        height='"914.4 mm"',
        moved='"6.35 mm"',
    )
    told = [
        solved(INCHES.replace("[designs.infill]", table, 1)).balustrades[0].strength[0].report
        for table in (inches, mm)
    ]
    assert told[0] is not None
    assert told[1] is not None
    first, second = (report.posts[0].base.across.mean for report in told if report is not None)
    assert first == pytest.approx(second, rel=1e-12)


def test_the_result_holds_the_answer_and_keeps_to_its_schema(firm: Solved) -> None:
    document: Mapping[str, Any] = json.loads(json.dumps(result_document(firm), allow_nan=False))
    jsonschema.validate(document, result_schema())
    strength = document["designs"][0]["strength"]
    (edge,) = strength["edges"]
    assert strength["deflection"] == edge["movement"]["value"] <= strength["deflection_limit"] == 25.0
    assert sum(edge["movement"]["shares"].values()) == pytest.approx(strength["deflection"], rel=1e-6)
    ratios = [use["ratio"] for use in edge["utilisations"]]
    assert ratios == sorted(ratios, reverse=True)
    assert strength["utilisation"] == ratios[0]
    assert {post["post"] for post in edge["posts"]} == {"P1", "P2", "P3"}
    assert [state["text"] for state in edge["sensitivity"]] == [
        "bases 0.5 times as stiff",
        "bases 2 times as stiff",
    ]
    assert edge["assumptions"]


def test_the_frame_in_the_pack_can_be_solved_again(pack: Path) -> None:
    """The movements that the document tells are those of its own nodes, members, springs and loads."""
    text = (pack / "strength" / "A.frame.json").read_text("utf-8")
    document = json.loads(text)
    assert document["schema"] == "pitchline-frame/1"
    frame, cases = read_frame(document)
    told = read_movements(document)
    assert len(told) == len(cases) > 1
    again = solve_frame(frame, cases)
    for number, case in enumerate(cases):
        moved = np.array([told[case.id][node.id] for node in frame.nodes])
        assert np.allclose(again.movements[number], moved, rtol=1e-6, atol=1e-6)


def test_the_sheet_tells_what_an_engineer_asks_for(pack: Path) -> None:
    words = " ".join(
        " ".join((page.extract_text() or "").split()) for page in PdfReader(pack / "strength.pdf").pages
    )
    for asked in (
        "What was taken for granted",
        "The model",
        "Loads",
        "How far it moves",
        "What governs",
        "Bases of the newels",
        "If the bases turn out softer or stiffer",
        "Without one of the newels",
        "how well it is known",
        "no certificate",
    ):
        assert asked in words, asked
    assert (pack / "drawings" / "A-strength-model.svg").is_file()
    assert (pack / "drawings" / "A-strength-model.dxf").is_file()
    assert (pack / "lists" / "A-utilisations.csv").is_file()
    assert "Moves under a push" in (pack / "index.html").read_text("utf-8")


def test_the_command_says_what_becomes_of_it_without_a_piece() -> None:
    without, unknown = run("check", SOUND, "--without", "P2"), run("check", SOUND, "--without", "P7")
    assert without.returncode == 1
    assert without.stdout.startswith("Design A: without P2 ")
    assert (unknown.returncode, unknown.stdout) == (2, "")
    assert "no design has a newel, upright or base rail of this name (found P7)" in unknown.stderr
