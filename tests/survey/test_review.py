"""What the review says, and that it names things as the maker booked them."""

import math
import re
from dataclasses import replace

import numpy as np
import pytest
from tests.strategies_survey import DATUM, GAUGE, good_visit, irregular_stair, perfect, read, slipped

from pitchline.kit.finding import Finding, Verdict
from pitchline.kit.units import Unit
from pitchline.kit.words import show_in
from pitchline.survey.adjust import adjust
from pitchline.survey.next_reading import Suggestion
from pitchline.survey.readings import Kind, Reading
from pitchline.survey.review import reading_table, review, suggestion_finding

TRUTH = irregular_stair(np.random.default_rng(17))
PLAN = good_visit(TRUTH)
VISIT = read(np.random.default_rng(3), PLAN)


def by_code(findings: tuple[Finding, ...], code: str) -> list[Finding]:
    return [finding for finding in findings if finding.code == code]


def test_a_sound_visit_passes() -> None:
    findings = review(adjust(VISIT, DATUM))
    (agreement,) = by_code(findings, "survey.global")
    assert agreement.verdict is Verdict.PASS
    assert not by_code(findings, "survey.blunder")
    assert not any(finding.verdict is Verdict.FAIL for finding in findings)


def test_a_slip_is_named_with_its_size_and_what_to_do() -> None:
    findings = review(adjust(slipped(PLAN, "straight N7 N10", 300.0), DATUM))
    (blunder,) = by_code(findings, "survey.blunder")
    assert blunder.where == "straight N7 N10"
    assert blunder.verdict is Verdict.FAIL
    assert blunder.measured == pytest.approx(300.0, abs=1e-3)
    assert "300.0 mm too large (three hundred?)" in blunder.text
    assert blunder.remedy == "read 'straight N7 N10' again"
    assert by_code(findings, "survey.global")[0].verdict is Verdict.FAIL
    assert by_code(findings, "survey.without-blunders")[0].verdict is not Verdict.FAIL


def test_a_slip_of_a_gauge_is_told_in_degrees() -> None:
    slip = math.radians(3.0)
    findings = review(adjust(slipped(PLAN, "pitch N1 N13", slip), DATUM))
    (blunder,) = by_code(findings, "survey.blunder")
    assert blunder.unit == "deg"
    assert blunder.measured == pytest.approx(3.0, abs=0.01)


def test_rivals_are_named_in_the_sentence() -> None:
    pair = [
        Reading(name, Kind.HEIGHT, "floor", "N1", value, 0.9) for name, value in (("a", 182.0), ("b", 212.0))
    ]
    (blunder,) = by_code(review(adjust(pair, DATUM)), "survey.blunder")
    assert "nothing tells them apart" in blunder.text
    assert blunder.remedy is not None
    assert "'a'" in blunder.remedy
    assert "'b'" in blunder.remedy


def test_unchecked_readings_are_grouped_in_one_sentence() -> None:
    steps = [perfect(TRUTH, Kind.HEIGHT, a, b) for a, b in (("floor", "N1"), ("N1", "N2"), ("N2", "N3"))]
    findings = review(adjust(steps, DATUM))
    (unchecked,) = by_code(findings, "survey.unchecked")
    assert unchecked.measured == 3
    assert "'height floor N1', 'height N1 N2' and 'height N2 N3'" in unchecked.text
    assert by_code(findings, "survey.global")[0].verdict is Verdict.ADVICE


def test_weakly_checked_readings_are_listed_with_the_slip_they_hide() -> None:
    """A fine reading checked only by a coarse one: redundancy number 0.3^2 / (0.3^2 + 3^2) = 0.0099."""
    fine = Reading("fine", Kind.HEIGHT, "floor", "N1", 182.0, 0.3)
    coarse = Reading("coarse", Kind.HEIGHT, "floor", "N1", 183.0, 3.0)
    adjusted = adjust([fine, coarse], DATUM)
    assert adjusted.redundancy_numbers[0] == pytest.approx(0.09 / 9.09)
    (weak,) = by_code(review(adjusted), "survey.weakly-checked")
    hidden = 4.13 * 0.3 / math.sqrt(0.09 / 9.09)
    assert f"'fine' (from {hidden:.0f} mm)" in weak.text
    assert "coarse" not in weak.text


def test_readings_too_good_to_be_true_are_only_remarked_on() -> None:
    (agreement,) = by_code(review(adjust(PLAN, DATUM)), "survey.global")
    assert agreement.verdict is Verdict.ADVICE
    assert "better than their instruments promise" in agreement.text


def test_the_table_has_a_line_a_reading() -> None:
    adjusted = adjust(VISIT, DATUM)
    table = reading_table(adjusted)
    assert [line.reading for line in table] == list(adjusted.readings)
    for line in table:
        assert line.adjusted - line.read == pytest.approx(line.residual)
        assert 0.0 <= line.checked <= 1.0
    (pitch,) = [line for line in table if line.reading.id == "pitch N1 N13"]
    assert pitch.unit == "deg"
    assert 35.0 < pitch.read < 45.0
    assert pitch.smallest_noticed == pytest.approx(math.degrees(4.13 * GAUGE / math.sqrt(pitch.checked)))


def test_the_next_reading_is_for_what_is_wanted() -> None:
    findings = review(adjust(VISIT, DATUM), {("x", "N13"): 1.0}, "the length of the rail")
    (advice,) = by_code(findings, "survey.next-reading")
    assert advice.verdict is Verdict.ADVICE
    assert "the length of the rail" in advice.text
    assert advice.measured is not None
    assert advice.limit is not None
    assert advice.measured < advice.limit


def test_a_job_in_inches_reads_inches() -> None:
    """An inch too much on 300 mm and more: 25.4 mm; the numbers behind the sentence stay in mm."""
    adjusted = adjust(slipped(PLAN, "straight N7 N10", 25.4), DATUM)
    findings = review(adjusted, show=show_in(Unit.INCH))
    (blunder,) = by_code(findings, "survey.blunder")
    assert 'about 1" too large (one inch?)' in blunder.text
    assert blunder.measured == pytest.approx(25.4, abs=1e-3)
    assert blunder.unit == "mm"
    assert not [finding.text for finding in findings if re.search(r"\bmm\b", finding.text)]
    plain = review(adjusted)
    assert [replace(f, text="") for f in plain] == [replace(f, text="") for f in findings]


def test_a_pitch_stays_in_degrees() -> None:
    adjusted = adjust(slipped(PLAN, "pitch N1 N13", math.radians(3.0)), DATUM)
    (blunder,) = by_code(review(adjusted, show=show_in(Unit.INCH)), "survey.blunder")
    assert "about 3.00 deg too large" in blunder.text


def test_the_place_of_a_suggestion_quotes_what_the_user_named() -> None:
    suggestion = Suggestion(Kind.PLUMB, "plumb line", "N1", 1.0, 0.5, "")
    assert suggestion_finding(suggestion).where == "plumb 'plumb line' to N1"
    assert suggestion_finding(replace(suggestion, kind=Kind.RUN, start="N3")).where == "run N3 to N1"
