"""The whole story: what hangs on what, what is said once, what is refused, and that the unit changes only words.

Limits: Approved Document K (2013), 1.34, 1.39 and Diagram 3.1 (900 to 1000 mm, ball of 100 mm); IRC 2021 R312.1.3,
exception 2 (ball of 4 3/8 in beside a stair), R311.7.8.1 (34 to 38 in), R311.7.8.5 (type I handrail).
"""

import math
import re
import tomllib
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import TypeVar

import pytest
import tomlkit
from tests.restating import differences, in_unit

from pitchline.app.result import result_document
from pitchline.design.brief import FreeEnd, Station
from pitchline.job.load import load_text
from pitchline.job.new import EXAMPLES, demo_text, starting_text
from pitchline.job.value import Job
from pitchline.kit.errors import InputError
from pitchline.kit.finding import Finding, Verdict
from pitchline.kit.units import MM_PER_INCH, Unit
from pitchline.story import Memo, Solved, next_readings, solve
from pitchline.survey.instruments import Instrument, standard_uncertainty
from pitchline.survey.readings import Kind, Reading

T = TypeVar("T")

TEXTS = {name: starting_text(name, Unit(name)) for name in EXAMPLES}
METRIC, INCH = load_text(TEXTS["mm"]), load_text(TEXTS["in"])
SOLVED = {"mm": solve(METRIC), "in": solve(INCH)}


@dataclass
class Diary(Memo):
    """A memo that notes the steps that were worked."""

    worked: list[str] = field(default_factory=list)

    def recall(self, step: str, inputs: tuple[object, ...], work: Callable[[], T]) -> T:
        def noted() -> T:
            self.worked.append(step)
            return work()

        return super().recall(step, inputs, noted)


def edited(job: Job) -> tuple[Solved, Solved, list[str]]:
    """The metric example solved, the edited job solved after it, and the steps worked for the edit."""
    diary = Diary()
    before = solve(METRIC, diary)
    diary.worked.clear()
    return before, solve(job, diary), diary.worked


def with_reading(job: Job, *changed: Reading) -> Job:
    """The job with readings of the same name replaced, or new ones added."""
    (flight,) = job.flights
    known = {reading.id: reading for reading in (*flight.readings, *changed)}
    return replace(job, flights=(replace(flight, readings=tuple(known.values())),))


class TestExamples:
    @pytest.mark.parametrize("solved", SOLVED.values(), ids=SOLVED)
    def test_everything_but_the_strength_of_long_spans_holds(self, solved: Solved) -> None:
        """Rails of one span over a whole flight, newels on usual bases: what they lack is told, each by its code."""
        lacking = {f.code for f in solved.findings() if f.verdict in (Verdict.FAIL, Verdict.UNSURE)}
        assert lacking <= {"strength.movement", "strength.used"}
        assert solved.holds is not bool(lacking)

    def test_no_ball_of_the_rule_passes(self) -> None:
        for name, ball in (("mm", 100.0), ("in", 4.375 * MM_PER_INCH)):
            for design in SOLVED[name].designs:
                assert design.report.openings
                assert all(opening.ball.diameter < ball for opening in design.report.openings)

    def test_the_rail_keeps_its_window_above_every_nosing(self) -> None:
        inch = MM_PER_INCH
        for name, low, high in (("mm", 900.0, 1000.0), ("in", 34.0 * inch, 38.0 * inch)):
            for solved in SOLVED[name].designs:
                top = solved.design.handrail.top
                heights = [top.at(u) - z for u, z in solved.design.flight.nosings]
                assert low <= min(heights)
                assert max(heights) <= high

    def test_the_inch_handrail_can_be_grasped(self) -> None:
        """Type I: 4 to 6 1/4 in round, 2 1/4 in across; worked here from the sizes in the file."""
        rail = INCH.design("A").rail
        width, depth, r = (size / MM_PER_INCH for size in (rail.width, rail.depth, rail.round_over))
        assert (width, depth, r) == pytest.approx((1.75, 1.5, 0.375))
        assert 4.0 <= 2.0 * (width + depth) - (4.0 - math.pi) * r <= 6.25
        assert math.hypot(width - r, depth - r) + r <= 2.25

    @pytest.mark.parametrize("solved", SOLVED.values(), ids=SOLVED)
    def test_uprights_and_gaps_fill_the_bay(self, solved: Solved) -> None:
        """Square to the uprights, widths and clear gaps add up to the run between the ends."""
        for one in solved.designs:
            uprights = one.design.uprights
            assert [u.gap_after for u in uprights[:-1]] == pytest.approx([u.gap_before for u in uprights[1:]])
            across = uprights[0].gap_before + sum(u.width + u.gap_after for u in uprights)
            assert across == pytest.approx(one.design.bay.run, abs=1e-6)

    def test_a_job_in_inches_speaks_inches(self) -> None:
        """Only the words of the rules themselves may say mm."""
        own = [f for f in SOLVED["in"].findings() if not f.code.startswith("notice.")]
        assert any('"' in finding.text for finding in own)
        said = [f"{finding.text} {finding.remedy or ''}" for finding in own]
        assert not [text for text in said if re.search(r"\b(mm|N|Nm|MPa)\b", text)]

    @pytest.mark.parametrize("name", EXAMPLES)
    def test_the_same_job_twice_gives_the_same_document(self, name: str) -> None:
        again = solve(load_text(TEXTS[name]))
        assert result_document(again) == result_document(SOLVED[name])


class TestUnits:
    @pytest.mark.parametrize("name", EXAMPLES)
    def test_the_same_readings_in_the_other_unit_give_the_same_model(self, name: str) -> None:
        other = Unit.INCH if name == "mm" else Unit.MM
        text = tomlkit.dumps(in_unit(tomllib.loads(TEXTS[name]), other))
        job = load_text(text)
        assert job.unit is other
        assert differences(result_document(solve(job)), result_document(SOLVED[name]), 1e-9) == []

    def test_another_unit_is_another_wording_of_the_same_numbers(self) -> None:
        before, after, worked = edited(replace(METRIC, unit=Unit.INCH))
        assert after.flights[0].adjusted is before.flights[0].adjusted
        assert after.flights[0].flight is before.flights[0].flight
        assert {step.split()[0] for step in worked} >= {"review", "check", "advice"}
        pairs = list(zip(before.findings(), after.findings(), strict=True))
        assert any(one.text != two.text for one, two in pairs)
        assert all(bare(one) == bare(two) for one, two in pairs)


def bare(finding: Finding) -> Finding:
    """A finding without its words."""
    return replace(finding, text="", remedy=None)


class TestMemo:
    def test_nothing_changed_nothing_worked(self) -> None:
        before, after, worked = edited(load_text(TEXTS["mm"]))
        assert worked == []
        assert all(a is b for a, b in zip(before.designs, after.designs, strict=True))

    def test_a_title_touches_nothing(self) -> None:
        before, after, worked = edited(replace(METRIC, title="invented otherwise", paper="Tabloid"))
        assert worked == []
        assert after.job.title == "invented otherwise"
        assert after.flights[0] is before.flights[0]
        assert all(a is b for a, b in zip(before.designs, after.designs, strict=True))

    def test_a_brief_touches_its_own_design_alone(self) -> None:
        first, second = METRIC.designs
        brief = replace(first, rail=replace(first.rail, round_over=9.0))
        before, after, worked = edited(replace(METRIC, designs=(brief, second)))
        assert worked == ["design A", "parts A", "check A", "advice A", "solved A", "strength A", "whole A"]
        assert after.flights[0] is before.flights[0]
        assert after.designs[0].design.flight is before.designs[0].design.flight
        assert after.designs[0] is not before.designs[0]
        assert after.designs[1] is before.designs[1]

    def test_one_reading_touches_the_whole_stair(self) -> None:
        rise = next(r for r in METRIC.flights[0].readings if r.id == "rise 5")
        before, after, worked = edited(with_reading(METRIC, replace(rise, value=rise.value + 0.5)))
        assert worked == [
            *("adjust main", "build main", "review main", "takeable main", "survey main", "stairs"),
            *(
                f"{step} {name}"
                for name in "AB"
                for step in ("design", "parts", "check", "advice", "solved", "strength", "whole")
            ),
        ]
        assert after.rules is before.rules
        assert after.flights[0].flight is not before.flights[0].flight
        assert all(a is not b for a, b in zip(before.designs, after.designs, strict=True))

    def test_what_is_told_of_the_flight_leaves_its_adjustment(self) -> None:
        (flight,) = METRIC.flights
        wider = replace(flight, facts=replace(flight.facts, width=900.0))
        before, after, worked = edited(replace(METRIC, flights=(wider,)))
        assert not {"adjust main", "review main"} & set(worked)
        assert after.flights[0].adjusted is before.flights[0].adjusted
        assert after.designs[0].design.flight.width == 900.0

    def test_another_place_keeps_the_stair_and_checks_again(self) -> None:
        before, after, worked = edited(replace(METRIC, place="us-irc-2021"))
        assert worked[0] == "rules"
        assert after.flights[0] is before.flights[0]
        assert {"check A", "check B"} <= set(worked)

    def test_only_the_last_answer_is_kept_and_going_back_gives_the_same(self) -> None:
        memo = Memo()
        first = result_document(solve(METRIC, memo))
        rise = next(r for r in METRIC.flights[0].readings if r.id == "rise 5")
        solve(with_reading(METRIC, replace(rise, value=rise.value + 2.0)), memo)
        count = len(memo.last)
        assert result_document(solve(METRIC, memo)) == first
        assert len(memo.last) == count

    def test_with_and_without_a_memo(self) -> None:
        memo = Memo()
        solve(INCH, memo)
        assert result_document(solve(METRIC, memo)) == result_document(SOLVED["mm"])


class TestChapters:
    def test_what_all_designs_share_is_said_once(self) -> None:
        solved = SOLVED["mm"]
        chapters = dict(solved.chapters())
        assert list(chapters) == ["Survey", *(t for t in chapters if t.startswith("Design ")), "All designs"]
        assert len(chapters) == 4
        shared = {(f.code, f.where, f.text) for f in chapters["All designs"]}
        assert len(shared) == len(chapters["All designs"]) > 0
        for title, findings in chapters.items():
            if title.startswith("Design "):
                own = {(f.code, f.where.partition(": ")[2], f.text) for f in findings}
                assert not own & shared

    @pytest.mark.parametrize("solved", SOLVED.values(), ids=SOLVED)
    def test_nothing_is_lost_and_nothing_is_added(self, solved: Solved) -> None:
        said = {(f.code, f.verdict, f.text) for _, findings in solved.chapters() for f in findings}
        assert said == {(f.code, f.verdict, f.text) for f in solved.findings()}

    def test_a_lone_design_keeps_all_its_own(self) -> None:
        (survey, findings), (title, own) = SOLVED["in"].chapters()
        assert survey == "Survey"
        assert title.startswith("Design A: ")
        assert (*findings, *own) == SOLVED["in"].findings()


def refused(job: Job) -> InputError:
    with pytest.raises(InputError) as caught:
        solve(job)
    return caught.value


class TestRefused:
    def test_every_gap_in_the_readings_is_told_with_its_path(self) -> None:
        """Without rise 7 the heights from N7 up hang in the air; without going 4 the places from N5 up do."""
        (flight,) = METRIC.flights
        chain = {f"rise {k}" for k in range(1, 14)} | {f"going {k}" for k in range(1, 13)}
        kept = tuple(r for r in flight.readings if r.id in chain - {"rise 7", "going 4"})
        error = refused(replace(METRIC, flights=(replace(flight, readings=kept),)))
        assert [fault.where for fault in error.faults] == ["flights[0].readings"] * 2
        heights, places = (fault.sentence() for fault in error.faults)
        if "the height of" not in heights:
            heights, places = places, heights
        named = {k for k in range(1, 14) if re.search(rf"the height of N{k}\b", heights)}
        assert named == set(range(7, 14))
        named = {k for k in range(1, 14) if re.search(rf"along the stair of N{k}\b", places)}
        assert named == set(range(5, 14))
        assert "the job, flights[0].readings: " in str(error)

    def test_every_impossible_design_is_told_with_its_path(self) -> None:
        """Leaning 45 degrees up a stair of 40 they meet the rails at 5 degrees."""
        leaning = tuple(
            replace(brief, infill=replace(brief.uprights, lean=math.radians(45.0)))
            for brief in METRIC.designs
        )
        error = refused(replace(METRIC, designs=leaning))
        assert [fault.where for fault in error.faults] == ["designs[0]", "designs[1]"]
        assert all("45 degrees" in fault.problem for fault in error.faults)
        assert [fault.problem.split()[1] for fault in error.faults] == ["A", "B"]

    def test_one_impossible_design_is_told_alone(self) -> None:
        first, second = METRIC.designs
        bad = replace(second, infill=replace(second.uprights, lean=math.radians(45.0)))
        error = refused(replace(METRIC, designs=(first, bad)))
        assert [fault.where for fault in error.faults] == ["designs[1]"]

    def test_a_refusal_is_not_remembered(self) -> None:
        first, second = METRIC.designs
        memo = Memo()
        bad = replace(first, infill=replace(first.uprights, lean=math.radians(45.0)))
        with pytest.raises(InputError):
            solve(replace(METRIC, designs=(bad, second)), memo)
        assert result_document(solve(METRIC, memo)) == result_document(SOLVED["mm"])


class TestNextReadings:
    @pytest.mark.parametrize("name", EXAMPLES)
    def test_taking_the_reading_leaves_the_uncertainty_it_promised(self, name: str) -> None:
        """The reading is taken as the model has it, as sure as a class II tape, and all are adjusted again."""
        solved = SOLVED[name]
        design = solved.designs[0].design
        (advice,) = next_readings(design)
        assert advice.limit == pytest.approx(2.0 * design.bay.run_sigma)
        match = re.fullmatch(r"plumb '(.+)' to (N\d+)", advice.where)
        assert match is not None
        survey = design.flight.survey
        value = survey.estimate(("x", match[2])) - survey.estimate(("plumb", match[1]))
        sigma = standard_uncertainty(Instrument("tape", "tape-ii"), Kind.PLUMB, value)
        taken = Reading("taken", Kind.PLUMB, match[1], match[2], value, sigma)
        after = solve(with_reading(solved.job, taken)).designs[0].design
        assert 2.0 * after.bay.run_sigma == pytest.approx(advice.measured, rel=1e-3)
        assert after.bay.run_sigma < design.bay.run_sigma

    def test_ends_that_hang_on_one_point_need_no_reading(self) -> None:
        brief = METRIC.design("A")
        ends = [FreeEnd(Station("N5", offset), 20.0) for offset in (0.0, 900.0)]
        job = replace(METRIC, designs=(replace(brief, bottom=ends[0], top=ends[1]),))
        (solved,) = solve(job).designs
        assert solved.design.bay.run_sigma == 0.0
        assert solved.survey_advice == ()


def test_the_demo_stands_whatever_its_uncertain_values_turn_out_to_be() -> None:
    """BS 6180 6.4.1 as held in the rules: 25 mm."""
    solved = solve(load_text(demo_text().replace('rack = "rack.toml"\n', "")))
    assert solved.holds
    for edge in (edge for whole in solved.balustrades for edge in whole.strength):
        assert edge.report is not None
        assert edge.report.movement.high <= 25.0
        assert edge.report.utilisation <= 1.0
