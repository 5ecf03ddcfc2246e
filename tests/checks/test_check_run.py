"""The whole report of one design: order, words in the job's unit, guarding that is not needed, speed."""

import ast
import time
from dataclasses import replace
from importlib.resources import files

import pytest
from tests.builders import ENGLAND, US_2021, HandBuilt, even, full_length, hand_built
from tests.strategies_stairs import LIMITS, PLAIN_RAIL, plain_brief, regular_flight

from pitchline.catalogue.rules import load_rule_set
from pitchline.checks.case import severity
from pitchline.checks.openings import find_openings
from pitchline.checks.run import check
from pitchline.design.compose import compose
from pitchline.kit.finding import Verdict
from pitchline.kit.units import Unit, show_length

FLIGHT = regular_flight(13, 200.0, 225.0, 60.0)
BRIEF = plain_brief(FLIGHT, rail=replace(PLAIN_RAIL, height=None))
DESIGN = compose(FLIGHT, BRIEF, LIMITS)
SUBJECTS = (
    ("guard.",),
    ("height.",),
    ("opening.",),
    ("handrail.",),
    ("climb.",),
    ("stair.",),
    ("notice.",),
)


@pytest.mark.parametrize("rules", ["england-dwelling", "us-irc-2021", "us-irc-2024"])
def test_subjects_in_order_and_the_worst_first_in_each(rules: str) -> None:
    findings = check(DESIGN, load_rule_set(rules)).findings
    order = [next(k for k, starts in enumerate(SUBJECTS) if f.code.startswith(starts)) for f in findings]
    assert order == sorted(order)
    for subject in set(order):
        ranks = [severity(f.verdict) for f, k in zip(findings, order, strict=True) if k == subject]
        assert ranks == sorted(ranks)


def test_a_sound_design_has_nothing_that_fails() -> None:
    report = check(DESIGN, ENGLAND)
    assert not [f for f in report.findings if f.verdict in (Verdict.FAIL, Verdict.UNSURE)]
    assert len(report.heights) == 13
    assert len(report.openings) == len(DESIGN.uprights) + 1


def test_lengths_are_written_as_the_job_writes_them() -> None:
    inches = check(DESIGN, US_2021, lambda mm: show_length(mm, Unit.INCH)).findings
    texts = [f.text for f in inches if not f.code.startswith("notice.")]
    assert not [text for text in texts if " mm" in text]
    assert [text for text in texts if '"' in text]


def test_where_no_guarding_is_needed_its_findings_are_advice() -> None:
    """Two rises of 200 mm drop 400 mm: below the 600 mm of Approved Document K 1.41."""
    low = regular_flight(2, 200.0, 250.0, None)
    wide = hand_built(HandBuilt(even(2, 140.0), height=880.0), low)
    found = {f.code: f.verdict for f in check(wide, ENGLAND).findings}
    assert found["opening.stair"] is Verdict.ADVICE
    assert found["height.guard"] is Verdict.ADVICE
    assert found["height.handrail.least"] is Verdict.FAIL


def test_the_same_design_gives_the_same_report() -> None:
    assert check(DESIGN, ENGLAND) == check(replace(DESIGN), ENGLAND)


def test_openings_of_25_uprights_are_found_in_a_blink() -> None:
    """8 ms is the aim for 25 uprights on a quiet machine; the best of several runs, with room for a busy one."""
    flight = regular_flight(13, 200.0, 250.0, 60.0)
    design = compose(flight, plain_brief(flight), LIMITS)
    many = hand_built(HandBuilt(full_length(90.0, 32.0, flight), lift=60.0), flight)
    assert min(len(d.uprights) for d in (design, many)) >= 20
    for built, aim in ((design, 0.008), (many, 0.008)):
        taken = []
        for _ in range(7):
            start = time.perf_counter()
            find_openings(built, ENGLAND)
            taken.append(time.perf_counter() - start)
        assert min(taken) < 3 * aim


def test_no_check_leans_on_the_code_that_laid_the_design_out() -> None:
    """A check that calls the code it checks proves nothing."""
    told = ("model", "brief", "makings", "wall_model", "wall_brief")
    allowed = {f"pitchline.design.{name}" for name in told}
    folder = files("pitchline.checks")
    for module in sorted(entry.name for entry in folder.iterdir() if entry.name.endswith(".py")):
        tree = ast.parse(folder.joinpath(module).read_text(encoding="utf-8"))
        named = {node.module or "" for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)}
        assert {name for name in named if name.startswith("pitchline.design")} <= allowed, module
