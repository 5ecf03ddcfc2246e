"""An edge in one scenario with its loads, factored and solved; and all that was found out about it so far."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from pitchline.catalogue.rules import RuleSet
from pitchline.design.makings import Stacked
from pitchline.design.model import Design
from pitchline.kit.frame.mechanism import MechanismError, describe
from pitchline.kit.frame.results import Solution
from pitchline.kit.frame.solve import Factored, factor, factor_again
from pitchline.kit.tolerances import FALLS_OVER
from pitchline.kit.words import PLAIN, Words
from pitchline.strength.framing import structure_of
from pitchline.strength.legs import StandingLeg, by_itself
from pitchline.strength.loads import LoadCase, LoadSet, loads_of
from pitchline.strength.model import Model, Structure
from pitchline.strength.moves import Worst, level_movements, with_play, worst_of
from pitchline.strength.settings import LIKELY, Code, Scenario, StrengthSettings

DEFAULTS = StrengthSettings()
"""Nothing stated: every assumption as usual."""


_OUTSIDE = {"infill point": "single load on the infill", "infill pressure": "load spread over the infill"}
"""Cases on infill that is not in the frame."""


@dataclass(frozen=True, eq=False)
class Solved:
    """A model in one scenario with its loads, factored and solved; case 0 is the permanent one."""

    model: Model
    loads: LoadSet
    factored: Factored
    solution: Solution

    @property
    def cases(self) -> tuple[LoadCase, ...]:
        """All cases in the order of the solution."""
        return (self.loads.permanent, *self.loads.imposed)

    @property
    def imposed(self) -> range:
        """Places of the imposed cases."""
        return range(1, len(self.cases))

    @cached_property
    def worst(self) -> Worst:
        """The largest level movement of all imposed cases."""
        return worst_of(self.model, self.solution, self.imposed)


@dataclass(frozen=True, eq=False)
class Study:
    """The legs of an edge under the loads of some rules, solved in as many scenarios as are asked for, once each."""

    legs: tuple[StandingLeg, ...]
    rules: RuleSet
    settings: StrengthSettings
    words: Words = PLAIN

    @property
    def code(self) -> Code:
        """The code they are judged by."""
        return code_for(self.rules, self.settings)

    @property
    def name(self) -> str:
        """The id of the design they belong to."""
        return self.legs[0].design.brief.balustrade

    def at(self, place: str) -> str:
        """Where a finding applies: the design's id and a place in it."""
        return f"{self.name}: {place}"

    def load_named(self, case: str) -> str:
        """A case by its kind, as a sentence has it: of many places of one load the place is told elsewhere."""
        known = {load.id: load.title for load in (self.loads.permanent, *self.loads.imposed)}
        return known.get(case, _OUTSIDE.get(case, case))

    @cached_property
    def structure(self) -> Structure:
        """Model and springs."""
        return structure_of(self.legs, self.settings)

    @cached_property
    def loads(self) -> LoadSet:
        """The loads, with the play of holes taken up the way each pushes."""
        return _loads(self.structure.model, self.rules, self.words)

    @cached_property
    def likely(self) -> Solved:
        """Likely springs; MechanismError, with names, where it is not stable or would fall over (``FALLS_OVER``)."""
        solved = self._first
        worst = solved.worst
        if worst.value > FALLS_OVER:
            moved = solved.solution.movements[worst.case]
            raise MechanismError([describe(solved.model.frame, moved, "with hardly any resistance")])
        return solved

    @cached_property
    def _first(self) -> Solved:
        return _solved(self.structure.model, self.loads)

    def other(self, scenario: Scenario) -> Solved:
        """Another scenario, all cases, however far it moves; MechanismError where it is not stable."""
        if scenario.glue is not None:
            structure = structure_of(self.legs, self.settings, scenario.glue)
            model = replace(structure.model, frame=structure.frame(scenario))
            return _solved(model, _loads(model, self.rules, self.words))
        if scenario == LIKELY:
            return self._first
        factored = self._factored(scenario)
        cases = [self.loads.permanent.case, *(load.case for load in self.loads.imposed)]
        model = replace(self.structure.model, frame=factored.frame)
        return Solved(model, self.loads, factored, factored.solve(cases))

    def _factored(self, scenario: Scenario) -> Factored:
        return factor_again(self._first.factored, self.structure.frame(scenario))

    def reach(self, scenario: Scenario, cases: Sequence[int]) -> list[float]:
        """The largest movement in each of some imposed cases in another scenario; MechanismError as above."""
        factored = self._factored(scenario)
        solution = factored.solve([self._first.cases[case].case for case in cases])
        found: list[float] = level_movements(self.structure.model, solution).max(axis=1).tolist()
        return found

    @property
    def stacked(self) -> bool:
        """Whether any rail is glued up of layers."""
        return any(isinstance(leg.design.making, Stacked) for leg in self.legs)

    def bearing(self, bases: float = 1.0, *, helped: bool = False) -> Solved:
        """For strength: without glue, which is never counted on, and with or without the help of base rails.

        ``bases``: so many times as stiff as likely.
        """
        glue = 0.0 if self.stacked else None
        return self.other(Scenario("mean", bases, glue, helped or not self.structure.helping))


def _loads(model: Model, rules: RuleSet, words: Words) -> LoadSet:
    loads = loads_of(model, rules, words)
    if any(standing.base.play_across or standing.base.play_along for standing in model.posts):
        return replace(loads, imposed=tuple(with_play(model, load) for load in loads.imposed))
    return loads


def _solved(model: Model, loads: LoadSet) -> Solved:
    if not model.frame.ground.any():
        raise MechanismError(())
    factored = factor(model.frame)
    cases = [loads.permanent.case, *(load.case for load in loads.imposed)]
    return Solved(model, loads, factored, factored.solve(cases))


def solve_design(
    design: Design, rules: RuleSet, settings: StrengthSettings = DEFAULTS, scenario: Scenario = LIKELY
) -> Solved:
    """One leg by itself in one scenario.

    MechanismError, with names, where it is not stable, or so soft that it would fall over (``FALLS_OVER``).
    """
    study = Study((by_itself(design),), rules, settings)
    return study.likely if scenario == LIKELY else study.other(scenario)


def code_for(rules: RuleSet, settings: StrengthSettings) -> Code:
    """The code stated, else NDS in the USA and EN 1995-1-1:2004 anywhere else."""
    if settings.code is not None:
        return settings.code
    return Code.NDS_2018 if rules.place.startswith("USA") else Code.EC5_2004
