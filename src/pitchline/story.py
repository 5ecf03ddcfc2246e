"""The job from its readings to its checks, one line a step.

    readings -> stair -> design -> parts -> checks, strength

Each step is a pure function of frozen values. A :class:`Memo` handed in by the caller remembers the last answer
of every step with the inputs that gave it, so an edit recomputes only what hangs on it.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from itertools import groupby, pairwise
from typing import TypeVar

from pitchline.catalogue.rules import RuleSet, load_rule_file, load_rule_set
from pitchline.checks.run import CheckReport, Following, check
from pitchline.design.balustrade import Balustrade, compose_edge, edge_with_bays, single
from pitchline.design.brief import Brief
from pitchline.design.compose import compose
from pitchline.design.limits import Limits
from pitchline.design.model import Design
from pitchline.job.value import FlightInput, Job
from pitchline.kit.errors import Fault, ImpossibleDesignError, InputError
from pitchline.kit.finding import Finding, Verdict
from pitchline.kit.units import Unit
from pitchline.kit.words import Show, Words, plain_mm, show_in
from pitchline.making.fitting_match import still_to_cut
from pitchline.making.fitting_report import AsBuilt
from pitchline.parts.explode import explode_legs
from pitchline.parts.part import Part
from pitchline.stair.build import build_flight, stacked_flights
from pitchline.stair.edge import Edge
from pitchline.stair.model import Flight
from pitchline.stair.winders import Winders, build_winders
from pitchline.story_as_built import Plan, as_built_of, built_job, measured_designs
from pitchline.story_strength import EdgeStrength, opened_under_push, strength_of_balustrade
from pitchline.story_walls import MeasuredWinders, SolvedWallRail, measure_winders, solve_wall_rail
from pitchline.strength.settings import StrengthSettings
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
    """One leg of a design laid out, taken apart and checked."""

    design: Design
    parts: tuple[Part, ...]
    report: CheckReport
    survey_advice: tuple[Finding, ...] = ()

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What the design step, the checks and the survey have to say about it, in that order."""
        return (*self.design.findings, *self.report.findings, *self.survey_advice)


@dataclass(frozen=True, eq=False)
class SolvedBalustrade:
    """One design whole: a balustrade for each edge it guards, and each of their legs from the foot up.

    ``strength`` has each edge's; ``as_built`` tells what stands of it already, None before anything was measured.
    """

    edges: tuple[Balustrade, ...]
    legs: tuple[SolvedDesign, ...]
    strength: tuple[EdgeStrength, ...] = ()
    as_built: AsBuilt | None = None

    @property
    def id(self) -> str:
        """Its id in the job."""
        return self.edges[0].id

    @property
    def title(self) -> str:
        """Its title in the job."""
        return self.edges[0].title

    @property
    def designs(self) -> tuple[Design, ...]:
        """The legs as designed."""
        return tuple(leg.design for leg in self.legs)

    @property
    def parts(self) -> tuple[Part, ...]:
        """Every piece of every leg."""
        return tuple(part for leg in self.legs for part in leg.parts)

    @property
    def still_to_cut(self) -> tuple[Part, ...]:
        """The pieces that are not at hand yet: all of them before anything was cut."""
        return still_to_cut(self.parts, None if self.as_built is None else self.as_built.match)

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What there is to say of its turns, legs and strength; what all of several legs say alike is said once."""
        alike = _shared([leg.findings for leg in self.legs])
        told = [replace(finding, where=f"{self.id}: {finding.where}") for finding in alike.values()]
        own = (f for leg in self.legs for f in leg.findings if _saying(f) not in alike)
        turns = (finding for edge in self.edges for finding in edge.findings)
        built = () if self.as_built is None else self.as_built.findings
        strength = (finding for edge in self.strength for finding in edge.findings)
        return (*built, *turns, *told, *own, *strength)


@dataclass(frozen=True, eq=False)
class Solved:
    """The whole job solved: ``designs`` are the legs of all ``balustrades``, in the same order."""

    job: Job
    rules: RuleSet
    flights: tuple[SurveyedFlight, ...]
    balustrades: tuple[SolvedBalustrade, ...]
    winders: tuple[MeasuredWinders, ...] = ()
    wall_rails: tuple[SolvedWallRail, ...] = ()

    @property
    def designs(self) -> tuple[SolvedDesign, ...]:
        """Every leg of every design."""
        return tuple(leg for whole in self.balustrades for leg in whole.legs)

    def findings(self) -> tuple[Finding, ...]:
        """Every finding of the job, the survey's first."""
        told = [known.findings for known in self.winders]
        told += [whole.findings for whole in self.balustrades]
        told += [rail.findings for rail in self.wall_rails]
        return (*self.surveyed(), *(finding for findings in told for finding in findings))

    def surveyed(self) -> tuple[Finding, ...]:
        """What the survey has to say; where there are several legs, of which."""
        if len(self.flights) == 1:
            return self.flights[0].findings
        return tuple(
            replace(finding, where=f"{known.flight.id}: {finding.where}")
            for known in self.flights
            for finding in known.findings
        )

    def chapters(self) -> tuple[tuple[str, tuple[Finding, ...]], ...]:
        """The findings as a person reads them: the survey, each design's own, then what holds of all designs.

        What every design of the job would say in the same words is said once.
        """
        shared = _shared([whole.findings for whole in self.balustrades])
        own = [
            (f"Design {w.id}: {w.title}", tuple(f for f in w.findings if _saying(f) not in shared))
            for w in self.balustrades
        ]
        winders = [(f"Winders {known.winders.id}", known.findings) for known in self.winders]
        rails = [(f"Wall rail {rail.id}: {rail.title}", rail.findings) for rail in self.wall_rails]
        chapters = [("Survey", self.surveyed()), *winders, *own, *rails]
        if shared:
            chapters.append(("All designs", tuple(shared.values())))
        return tuple(chapters)

    @property
    def holds(self) -> bool:
        """Whether nothing fails and nothing is left unsure."""
        return not any(f.verdict in (Verdict.FAIL, Verdict.UNSURE) for f in self.findings())


def _saying(finding: Finding) -> tuple[str, Verdict, str, str]:
    return finding.code, finding.verdict, finding.where.partition(": ")[2], finding.text


def _shared(told: Sequence[Sequence[Finding]]) -> dict[tuple[str, Verdict, str, str], Finding]:
    """What each of several says in the same words, with its own name left out of the place."""
    if len(told) < 2:
        return {}
    alike = set.intersection(*({_saying(finding) for finding in findings} for findings in told))
    return {_saying(f): replace(f, where=f.where.partition(": ")[2]) for f in told[0] if _saying(f) in alike}


@dataclass
class Memo:
    """The last answer of each step, by the step's name, with the inputs that gave it.

    ``plan`` remembers the same of the job as it was planned, where something is built already.
    """

    last: dict[str, tuple[tuple[object, ...], object]] = field(default_factory=dict)
    plan: "Memo | None" = None

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

    Where something is built already the job is solved as planned first, then around what stands.

    InputError when the readings do not determine a stair (all flights are told) or a brief leaves nothing to
    build (all designs are told).
    """
    memo = Memo() if memo is None else memo
    if not job.as_built:
        return _solve(job, memo, judged_by)
    memo.plan = memo.plan or Memo()
    planned = _solve(replace(job, as_built=()), memo.plan, judged_by).balustrades
    plans = {whole.id: Plan(whole.id, whole.designs, whole.parts) for whole in planned}
    built = memo.recall("as built", (job, planned), lambda: built_job(job, plans))
    solved = _solve(built, memo, judged_by)
    told = tuple(_told(job, whole, plans.get(whole.id), memo) for whole in solved.balustrades)
    return replace(solved, job=job, balustrades=told)


def _told(job: Job, whole: SolvedBalustrade, plan: Plan | None, memo: Memo) -> SolvedBalustrade:
    """A design with what stands of it, where something was measured."""
    if plan is None or plan.id not in measured_designs(job):
        return whole
    built = Plan(whole.id, whole.designs, whole.parts)
    return memo.recall(
        f"built {whole.id}",
        (job, whole, plan.legs, plan.parts),
        lambda: replace(whole, as_built=as_built_of(job, plan, built)),
    )


def _solve(job: Job, memo: Memo, judged_by: RuleSet | None) -> Solved:
    own = memo.recall("rules", (job.place, job.rules_file), lambda: rules_of(job))
    rules = own if judged_by is None else judged_by
    surveyed = _whole(partial(_survey, given, job.unit, memo) for given in job.flights)
    turning = memo.recall("winders", (job.winders,), lambda: tuple(map(build_winders, job.winders)))
    surveyed = memo.recall(
        "stairs", (surveyed, job.flights, turning), lambda: _stacked(surveyed, job.flights, turning)
    )
    flights = {known.flight.id: known for known in surveyed}
    edges = {edge.id: edge for edge in job.edges}
    asked = [list(legs) for _, legs in groupby(job.designs, key=lambda brief: brief.balustrade)]
    balustrades = _whole(
        partial(_balustrade, index, legs, flights, edges, (own, rules), job, memo)
        for index, legs in enumerate(asked)
    )
    stairs = {name: known.flight for name, known in flights.items()}
    return Solved(
        job, rules, surveyed, balustrades, *_beside(job, stairs, turning, balustrades, (own, rules), memo)
    )


def _beside(
    job: Job,
    stairs: Mapping[str, Flight],
    turning: tuple[Winders, ...],
    balustrades: tuple[SolvedBalustrade, ...],
    places: tuple[RuleSet, RuleSet],
    memo: Memo,
) -> tuple[tuple[MeasuredWinders, ...], tuple[SolvedWallRail, ...]]:
    """The winders of the stair and the handrails along its walls."""
    show, legs = show_in(job.unit), tuple(stairs.values())
    edges = tuple(edge for whole in balustrades for edge in whole.edges)
    winders = tuple(
        memo.recall(
            f"winders {known.id}",
            (known, legs, edges, places[1], job.unit),
            partial(measure_winders, known, stairs, edges, places[1], show),
        )
        for known in turning
    )
    rails = _whole(
        partial(
            memo.recall,
            f"wall rail {brief.id}",
            (brief, legs, winders, places, job.unit),
            partial(solve_wall_rail, index, brief, stairs, winders, places, show),
        )
        for index, brief in enumerate(job.wall_rails)
    )
    return winders, rails


def _stacked(
    surveyed: tuple[SurveyedFlight, ...], given: tuple[FlightInput, ...], turning: tuple[Winders, ...]
) -> tuple[SurveyedFlight, ...]:
    """The flights of the stair set on one another."""
    placed = stacked_flights([known.flight for known in surveyed], [entry.facts for entry in given], turning)
    return tuple(
        known if flight is known.flight else replace(known, flight=flight)
        for known, flight in zip(surveyed, placed, strict=True)
    )


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


def _survey(given: FlightInput, unit: Unit, memo: Memo) -> SurveyedFlight:
    name = given.facts.id
    adjusted = memo.recall(
        f"adjust {name}", (given.readings, given.fixed), lambda: _adjust(given, Words(show_in(unit)))
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


def _adjust(given: FlightInput, words: Words) -> Adjusted:
    try:
        return adjust(given.readings, given.fixed)
    except UndeterminedError as gap:
        where = f"{given.place}.readings"
        faults = [Fault(where, sentence.removesuffix(".")) for sentence in gap.sentences(words)]
        raise InputError(faults, "the job") from gap


def _balustrade(
    index: int,
    legs: Sequence[Brief],
    flights: Mapping[str, SurveyedFlight],
    edges: Mapping[str, Edge],
    places: tuple[RuleSet, RuleSet],
    job: Job,
    memo: Memo,
) -> SolvedBalustrade:
    """One design, laid out for the first of two places and judged by the second."""
    name, (own, rules), unit = legs[0].balustrade, places, job.unit
    show = show_in(unit)
    surveyed = tuple(flights[brief.flight] for brief in legs)
    stairs = tuple(known.flight for known in surveyed)
    limits = tuple(Limits.beside(own, flight) for flight in stairs)
    guarded = tuple(edges.get(brief.edge) for brief in legs)
    whole = memo.recall(
        f"design {name}",
        (guarded, stairs, tuple(legs), limits, unit),
        lambda: _compose(index, guarded, stairs, legs, limits, show),
    )
    designs = tuple(design for done in whole for design in done.legs)
    parts = memo.recall(f"parts {name}", (whole,), lambda: explode_legs(designs))
    followings = tuple(following for done in whole for following in _followings(done))
    settings = job.strength.get(name, StrengthSettings())
    solved = tuple(
        _leg(design, pieces, (rules, unit, next_leg), known, (settings, memo))
        for design, pieces, known, next_leg in zip(designs, parts, surveyed, followings, strict=True)
    )
    strength = memo.recall(
        f"strength {name}",
        (whole, parts, rules, settings, unit),
        lambda: strength_of_balustrade(index, whole, parts, rules, settings, show),
    )
    return memo.recall(
        f"whole {name}", (whole, solved, strength), lambda: SolvedBalustrade(whole, solved, strength)
    )


def _followings(whole: Balustrade) -> tuple[Following | None, ...]:
    """Of every leg the one after it, shifted as the edge is unrolled."""
    after = [
        Following(design, second.du - first.du, second.dz - first.dz)
        for design, (first, second) in zip(whole.legs[1:], pairwise(whole.places), strict=True)
    ]
    return (*after, None)


def _leg(
    design: Design,
    parts: tuple[Part, ...],
    judged: tuple[RuleSet, Unit, Following | None],
    surveyed: SurveyedFlight,
    asked: tuple[StrengthSettings, Memo],
) -> SolvedDesign:
    name, (rules, unit, following), (settings, memo) = design.id, judged, asked
    show = show_in(unit)
    after = None if following is None else following.design
    report = memo.recall(
        f"check {name}",
        (design, after, rules, unit, settings),
        lambda: check(design, rules, show, following, opened_under_push(design, rules, settings)),
    )
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


def _compose(
    index: int,
    guarded: Sequence[Edge | None],
    stairs: Sequence[Flight],
    legs: Sequence[Brief],
    limits: Sequence[Limits],
    show: Show,
) -> tuple[Balustrade, ...]:
    """A balustrade for each edge that a design guards, numbered on from edge to edge."""
    done: list[Balustrade] = []
    try:
        for edge, told in groupby(zip(guarded, legs, limits, stairs, strict=True), key=lambda leg: leg[0]):
            of_edge = list(told)
            briefs, windows = [leg[1] for leg in of_edge], [leg[2] for leg in of_edge]
            by_id = {leg[3].id: leg[3].guarded(briefs[0].side) for leg in of_edge}
            if edge is None and len(briefs) == 1:
                done.append(single(compose(by_id[briefs[0].flight], briefs[0], windows[0], show)))
            else:
                built = edge_with_bays(edge, briefs)
                done.append(compose_edge(built, by_id, briefs, windows, show, done))
    except ImpossibleDesignError as nothing:
        problem = f"design {legs[0].balustrade} cannot be built: {nothing}"
        raise InputError([Fault(f"designs[{index}]", problem)], "the job") from nothing
    return tuple(done)
