"""Laws of whole jobs on irregular stairs: a mirror changes no verdict and no length, a unit changes only words."""

import re
from collections import Counter
from typing import Any

import pytest
import tomlkit
from hypothesis import given, settings
from tests.restating import differences, in_unit, mirrored
from tests.strategies_jobs import Table, jobs

from pitchline.app.result import ResultDoc, result_document
from pitchline.job.load import load_text
from pitchline.kit.errors import InputError
from pitchline.kit.units import Unit
from pitchline.story import solve


def answer(job: Table) -> ResultDoc | list[str]:
    """The result document of a job, or the places at which solving refuses it; its file is always sound."""
    loaded = load_text(tomlkit.dumps(job))
    try:
        return result_document(solve(loaded))
    except InputError as refused:
        return [fault.where for fault in refused.faults]


def verdicts(document: Any) -> Counter[tuple[str, str, str]]:
    """How often each code has each verdict at each place."""
    findings = [f for part in ("stairs", "designs") for one in document[part] for f in one["findings"]]
    return Counter((f["code"], f["verdict"], f["where"]) for f in findings)


def without_step_numbers(document: Any) -> Any:
    """The document with N3 as N# in places: a rail of most margin is equally near its limits at several nosings."""
    if isinstance(document, dict):
        return {
            key: re.sub(r"(N|nosing )[0-9]+", r"\1#", value)
            if key == "where"
            else without_step_numbers(value)
            for key, value in document.items()
        }
    return [without_step_numbers(one) for one in document] if isinstance(document, list) else document


def parts(document: Any) -> list[tuple[str, str, int]]:
    """Mark, role and number of every kind of part."""
    made = [part for design in document["designs"] for part in design["parts"]]
    return [(part["mark"], part["role"], part["quantity"]) for part in made]


def sizes(document: Any) -> list[float]:
    """Length, width and thickness of every kind of part."""
    made = [part for design in document["designs"] for part in design["parts"]]
    return [part[size] for part in made for size in ("length", "width", "thickness")]


@settings(max_examples=40, deadline=None)
@given(jobs())
def test_the_other_side_of_the_stair_has_the_same_verdicts_and_part_lengths(job: Table) -> None:
    here, there = answer(job), answer(mirrored(job))
    if isinstance(here, list) or isinstance(there, list):
        assert here == there
        return
    assert verdicts(here) == verdicts(there)
    assert parts(here) == parts(there)
    assert sizes(here) == pytest.approx(sizes(there), abs=1e-6)


@settings(max_examples=40, deadline=None)
@given(jobs())
def test_the_unit_of_a_job_changes_only_its_words(job: Table) -> None:
    metric, inch = answer(job), answer(in_unit(job, Unit.INCH))
    if isinstance(metric, list) or isinstance(inch, list):
        assert metric == inch
        return
    assert differences(without_step_numbers(metric), without_step_numbers(inch), 1e-6) == []
