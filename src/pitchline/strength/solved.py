"""A design's model in one scenario, with its loads, factored and solved."""

from dataclasses import dataclass, replace

from pitchline.catalogue.rules import RuleSet
from pitchline.design.makings import Stacked
from pitchline.design.model import Design
from pitchline.kit.frame.mechanism import MechanismError, describe
from pitchline.kit.frame.results import Solution
from pitchline.kit.frame.solve import Factored, factor
from pitchline.kit.tolerances import FALLS_OVER
from pitchline.strength.framing import Model, frame_of
from pitchline.strength.loads import LoadCase, LoadSet, loads_of
from pitchline.strength.moves import with_play, worst_of
from pitchline.strength.settings import LIKELY, Code, Scenario, StrengthSettings

DEFAULTS = StrengthSettings()
"""Nothing stated: every assumption as usual."""


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


def solve_design(
    design: Design, rules: RuleSet, settings: StrengthSettings = DEFAULTS, scenario: Scenario = LIKELY
) -> Solved:
    """The model of a design in one scenario, solved.

    MechanismError, with names, where it is not stable, or so soft that it would fall over (``FALLS_OVER``).
    """
    solved = solve_anyway(design, rules, settings, scenario)
    worst = worst_of(solved.model, solved.solution, solved.imposed)
    if worst.value > FALLS_OVER:
        moved = solved.solution.movements[worst.case]
        raise MechanismError([describe(solved.model.frame, moved, "with hardly any resistance")])
    return solved


def solve_anyway(
    design: Design, rules: RuleSet, settings: StrengthSettings = DEFAULTS, scenario: Scenario = LIKELY
) -> Solved:
    """The same however far it moves; MechanismError only where it is not stable."""
    model = frame_of(design, settings, scenario)
    loads = loads_of(model, design, rules)
    if not model.frame.ground.any():
        raise MechanismError(())
    factored = factor(model.frame)
    out = -design.side.towards_stair
    loads = replace(loads, imposed=tuple(with_play(model, load, out) for load in loads.imposed))
    cases = [loads.permanent.case, *(load.case for load in loads.imposed)]
    return Solved(model, loads, factored, factored.solve(cases))


def code_for(rules: RuleSet, settings: StrengthSettings) -> Code:
    """The code stated, else NDS in the USA and EN 1995-1-1:2004 anywhere else."""
    if settings.code is not None:
        return settings.code
    return Code.NDS_2018 if rules.place.startswith("USA") else Code.EC5_2004


def bearing_of(
    design: Design, rules: RuleSet, settings: StrengthSettings, solved: Solved, bases: float = 1.0
) -> Solved:
    """For strength: the same without glue, which is never counted on; what was solved where there is none."""
    if not isinstance(design.making, Stacked):
        return solved
    return solve_anyway(design, rules, settings, Scenario("mean", bases, glue=0.0))
