"""The job from its readings to its checks, one line a step.

    readings -> stair -> design -> parts -> checks

Each step is a pure function of frozen values. A :class:`Memo` handed in by the caller remembers the last answer
of every step with the inputs that gave it, so an edit recomputes only what hangs on it.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from typing import TypeVar

from pitchline.catalogue.rules import RuleSet, load_rule_file, load_rule_set
from pitchline.checks.run import CheckReport, check
from pitchline.design.brief import Brief
from pitchline.design.compose import compose
from pitchline.design.limits import Limits
from pitchline.design.model import Design
from pitchline.job.value import FlightInput, Job
from pitchline.kit.errors import Fault, ImpossibleDesignError, InputError
from pitchline.kit.finding import Finding, Verdict
from pitchline.kit.units import Unit
from pitchline.kit.words import Show, Words, plain_mm, show_in
from pitchline.parts.explode import explode
from pitchline.parts.part import Part
from pitchline.stair.build import build_flight
from pitchline.stair.model import Flight
from pitchline.survey.adjust import Adjusted, adjust
from pitchline.survey.determined import UndeterminedError
from pitchline.survey.next_reading import USUAL_TAPE, next_reading, possible_readings
from pitchline.survey.readings import Coordinate, Reading
from pitchline.survey.review import review, suggestion_finding

T = TypeVar("T")


@dataclass(frozen=True, eq=False)
class SurveyedFlight:
    """One flight: its readings adjusted, the stair built from them, and what the survey has to say.

    ``takeable`` are the readings that could still be taken with the usual tape.
    """

    adjusted: Adjusted
    flight: Flight
    findings: tuple[Finding, ...]
    takeable: tuple[Reading, ...]


@dataclass(frozen=True, eq=False)
class SolvedDesign:
    """One design laid out, taken apart and checked."""

    design: Design
    parts: tuple[Part, ...]
    report: CheckReport
    survey_advice: tuple[Finding, ...] = ()

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What the design step, the checks and the survey have to say about it, in that order."""
        return (*self.design.findings, *self.report.findings, *self.survey_advice)


@dataclass(frozen=True, eq=False)
class Solved:
    """The whole job solved."""

    job: Job
    rules: RuleSet
    flights: tuple[SurveyedFlight, ...]
    designs: tuple[SolvedDesign, ...]

    def findings(self) -> tuple[Finding, ...]:
        """Every finding of the job, the survey's first."""
        surveyed = [finding for flight in self.flights for finding in flight.findings]
        return (*surveyed, *(finding for design in self.designs for finding in design.findings))

    def chapters(self) -> tuple[tuple[str, tuple[Finding, ...]], ...]:
        """The findings as a person reads them: the survey, each design's own, then what holds of all designs.

        What every design of the job would say in the same words is said once.
        """
        surveyed = tuple(finding for flight in self.flights for finding in flight.findings)
        shared = _shared(self.designs)
        own = [
            (
                f"Design {d.design.id}: {d.design.title}",
                tuple(f for f in d.findings if _saying(f) not in shared),
            )
            for d in self.designs
        ]
        chapters = [("Survey", surveyed), *own]
        if shared:
            chapters.append(("All designs", tuple(shared.values())))
        return tuple(chapters)

    @property
    def holds(self) -> bool:
        """Whether nothing fails and nothing is left unsure."""
        return not any(f.verdict in (Verdict.FAIL, Verdict.UNSURE) for f in self.findings())


def _saying(finding: Finding) -> tuple[str, Verdict, str, str]:
    return finding.code, finding.verdict, finding.where.partition(": ")[2], finding.text


def _shared(designs: tuple[SolvedDesign, ...]) -> dict[tuple[str, Verdict, str, str], Finding]:
    """What all of several designs say alike, with the design left out of the place."""
    if len(designs) < 2:
        return {}
    said = [{_saying(finding) for finding in design.findings} for design in designs]
    alike = set.intersection(*said)
    return {
        _saying(f): replace(f, where=f.where.partition(": ")[2])
        for f in designs[0].findings
        if _saying(f) in alike
    }


@dataclass
class Memo:
    """The last answer of each step, by the step's name, with the inputs that gave it."""

    last: dict[str, tuple[tuple[object, ...], object]] = field(default_factory=dict)

    def recall(self, step: str, inputs: tuple[object, ...], work: Callable[[], T]) -> T:
        """The remembered answer when the inputs are the same, else the step's work, remembered."""
        known = self.last.get(step)
        if known is not None and all(a is b or a == b for a, b in zip(known[0], inputs, strict=True)):
            return known[1]  # type: ignore[return-value]  # the step's name fixes the type of its answer
        answer = work()
        self.last[step] = (inputs, answer)
        return answer


def solve(job: Job, memo: Memo | None = None, judged_by: RuleSet | None = None) -> Solved:
    """Carry a job through every step; what is found is worded in the job's unit.

    With ``judged_by`` the designs are laid out for the job's own place and judged by these other rules.

    InputError when the readings do not determine a stair (all flights are told) or a brief leaves nothing to
    build (all designs are told).
    """
    memo = Memo() if memo is None else memo
    own = memo.recall("rules", (job.place, job.rules_file), lambda: rules_of(job))
    rules = own if judged_by is None else judged_by
    surveyed = _whole(
        partial(_survey, index, given, job.unit, memo) for index, given in enumerate(job.flights)
    )
    flights = {known.flight.id: known for known in surveyed}
    designs = _whole(
        partial(_design, index, brief, flights[brief.flight], (own, rules), job.unit, memo)
        for index, brief in enumerate(job.designs)
    )
    return Solved(job, rules, surveyed, designs)


def _whole(works: Iterable[Callable[[], T]]) -> tuple[T, ...]:
    """What each piece of work gives; one InputError with the faults of all where some give none."""
    done: list[T] = []
    faults: list[Fault] = []
    for work in works:
        try:
            done.append(work())
        except InputError as wrong:
            faults += wrong.faults
    if faults:
        raise InputError(faults, "the job")
    return tuple(done)


def rules_of(job: Job) -> RuleSet:
    """The rules the job is checked against."""
    return load_rule_file(job.rules_file) if job.rules_file else load_rule_set(job.place)


def _survey(index: int, given: FlightInput, unit: Unit, memo: Memo) -> SurveyedFlight:
    name = given.facts.id
    adjusted = memo.recall(
        f"adjust {name}", (given.readings, given.fixed), lambda: _adjust(index, given, Words(show_in(unit)))
    )
    flight = memo.recall(
        f"build {name}", (adjusted, given.facts), lambda: build_flight(adjusted, given.facts)
    )
    findings = memo.recall(f"review {name}", (adjusted, unit), lambda: review(adjusted, show=show_in(unit)))
    takeable = memo.recall(f"takeable {name}", (adjusted,), lambda: possible_readings(adjusted, USUAL_TAPE))
    return memo.recall(
        f"survey {name}",
        (adjusted, flight, findings),
        lambda: SurveyedFlight(adjusted, flight, findings, takeable),
    )


def _adjust(index: int, given: FlightInput, words: Words) -> Adjusted:
    try:
        return adjust(given.readings, given.fixed)
    except UndeterminedError as gap:
        where = f"flights[{index}].readings"
        faults = [Fault(where, sentence.removesuffix(".")) for sentence in gap.sentences(words)]
        raise InputError(faults, "the job") from gap


def _design(
    index: int,
    brief: Brief,
    surveyed: SurveyedFlight,
    places: tuple[RuleSet, RuleSet],
    unit: Unit,
    memo: Memo,
) -> SolvedDesign:
    """One design, laid out for the first of two places and judged by the second."""
    name, flight = brief.id, surveyed.flight
    own, rules = places
    limits, show = Limits.of(own), show_in(unit)
    design = memo.recall(
        f"design {name}", (flight, brief, limits, unit), lambda: _compose(index, brief, flight, limits, show)
    )
    parts = memo.recall(f"parts {name}", (design,), lambda: explode(design))
    report = memo.recall(f"check {name}", (design, rules, unit), lambda: check(design, rules, show))
    advice = memo.recall(
        f"advice {name}", (design, unit), lambda: next_readings(design, show, surveyed.takeable)
    )
    return memo.recall(
        f"solved {name}", (design, parts, report, advice), lambda: SolvedDesign(design, parts, report, advice)
    )


def next_readings(
    design: Design, show: Show = plain_mm, takeable: Sequence[Reading] | None = None
) -> tuple[Finding, ...]:
    """The one extra reading that would sharpen most the length between the design's two ends.

    ``show`` writes a length in mm for the reader; ``takeable`` are the readings to choose from, None for all that
    the usual tape can take.
    """
    bay, adjusted = design.bay, design.flight.survey
    ends = ((bay.finish_station, 1.0), (bay.start_station, -1.0))
    wanted: dict[Coordinate, float] = {("x", point): w for point, w in ends if adjusted.has(("x", point))}
    if not wanted or bay.start_station == bay.finish_station:
        return ()
    purpose = f"the length between the two ends of design {design.id}"
    suggestion = next_reading(adjusted, wanted, takeable, purpose=purpose, show=show)
    return () if suggestion is None else (suggestion_finding(suggestion),)


def _compose(index: int, brief: Brief, flight: Flight, limits: Limits, show: Show) -> Design:
    try:
        return compose(flight, brief, limits, show)
    except ImpossibleDesignError as nothing:
        problem = f"design {brief.id} cannot be built: {nothing}"
        raise InputError([Fault(f"designs[{index}]", problem)], "the job") from nothing
