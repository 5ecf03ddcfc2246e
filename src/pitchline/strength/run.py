"""The strength of one leg of a finished design: model, loads, movements, utilisations, findings. Never a bare number.

Movements are found with the likely values of every uncertain stiffness, and again with all at their lowest and
highest: where the limit lies between, the verdict is *unsure*, and a pull test is what decides.
"""

import math
from collections.abc import Sequence

import numpy as np

from pitchline.catalogue.rules import RuleSet
from pitchline.design.makings import Stacked
from pitchline.design.model import Design
from pitchline.kit.frame.mechanism import MechanismError
from pitchline.kit.tolerances import FALLS_OVER
from pitchline.parts.part import Part
from pitchline.strength.framing import Model, frame_of
from pitchline.strength.infill import not_judged
from pitchline.strength.loads import PERMANENT_FACTOR
from pitchline.strength.moves import Worst, level_movements, shares_of, worst_of
from pitchline.strength.report import (
    Movement,
    Sensitivity,
    StandingPost,
    StrengthReport,
    Unstable,
)
from pitchline.strength.settings import Code, Scenario, StrengthSettings
from pitchline.strength.solved import DEFAULTS, Solved, bearing_of, code_for, solve_anyway, solve_design
from pitchline.strength.standing import stand
from pitchline.strength.uses import highest, utilisations
from pitchline.strength.verdicts import deflection_limit, findings_of, not_standing, spacing_findings


def strength_of(
    design: Design, parts: Sequence[Part], rules: RuleSet, settings: StrengthSettings = DEFAULTS
) -> StrengthReport | Unstable:
    """The strength and stiffness of one leg; :class:`Unstable` where it would not stand at all.

    ``parts`` are not measured yet beyond what the design says of them; their fixings are taken from ``settings``.
    """
    code = code_for(rules, settings)
    try:
        likely = solve_design(design, rules, settings)
    except MechanismError as error:
        return _unstable(design, settings, code, error)
    soft = _softest(design, rules, settings)
    stiff = solve_anyway(design, rules, settings, Scenario("high"))
    movement = movement_of(likely, soft, stiff, likely.imposed)
    limit = deflection_limit(rules, likely.model, movement)
    bearing = bearing_of(design, rules, settings, likely)
    uses = utilisations(bearing, design, rules, settings, code)
    unglued = None if bearing is likely else _movement(bearing)
    sensitivity = tuple(_sensitive(design, rules, settings, code, factor_) for factor_ in (0.5, 2.0))
    posts = _posts(likely)
    assumptions = _assumptions(likely, design, settings, code)
    found = (
        *findings_of(design, code, movement, limit, uses, likely.model),
        *spacing_findings(design, settings),
    )
    return StrengthReport(
        design.id,
        code,
        settings,
        likely.model,
        likely.cases,
        movement,
        _by_case(likely, soft, stiff),
        limit,
        uses,
        posts,
        sensitivity,
        unglued,
        assumptions,
        found,
    )


def _unstable(design: Design, settings: StrengthSettings, code: Code, error: MechanismError) -> Unstable:
    found = not_standing(design, error.mechanisms, frame_of(design, settings).leaning)
    told = tuple(
        f"{post.id}: {text}" for post in design.posts for text in stand(post, design, settings).assumed
    )
    return Unstable(design.id, code, settings, error.mechanisms, told, (found,))


def _softest(design: Design, rules: RuleSet, settings: StrengthSettings) -> Solved | None:
    """Everything uncertain at its lowest; None where it then does not stand."""
    try:
        return solve_design(design, rules, settings, Scenario("low"))
    except MechanismError:
        return None


def movement_of(likely: Solved, soft: Solved | None, stiff: Solved, cases: Sequence[int]) -> Movement:
    """The worst movement among some cases, its range and its shares."""
    worst = worst_of(likely.model, likely.solution, cases)
    low = _there(stiff, worst)
    high = math.inf if soft is None else _there(soft, worst)
    shares = shares_of(likely.model, likely.factored, likely.solution, worst)
    return Movement(
        likely.cases[worst.case].id,
        where_on_rail(likely.model, worst.u),
        worst.u,
        worst.value,
        min(low, worst.value),
        max(high, worst.value),
        shares,
    )


def _there(solved: Solved, worst: Worst) -> float:
    """The largest movement in that case with other stiffnesses."""
    return float(level_movements(solved.model, solved.solution)[worst.case].max())


def where_on_rail(model: Model, u: float) -> str:
    """A place along the handrail in words."""
    for standing in model.posts:
        place = next((v for name, v in model.rail_nodes if name == standing.head), None)
        if place is not None and abs(place - u) < 1.0:
            return f"the handrail at {standing.post.id}"
    ends = (model.rail_nodes[0][1], model.rail_nodes[-1][1])
    if u in ends:
        return "the free end of the handrail"
    return f"the handrail {u - ends[0]:.0f} mm level from its lower end"


def _by_case(likely: Solved, soft: Solved | None, stiff: Solved) -> tuple[Movement, ...]:
    """The worst movement of each kind of load."""
    kinds: dict[str, list[int]] = {}
    for place in likely.imposed:
        kinds.setdefault(likely.cases[place].title, []).append(place)
    return tuple(movement_of(likely, soft, stiff, places) for places in kinds.values())


def _posts(solved: Solved) -> tuple[StandingPost, ...]:
    index = solved.model.frame.node_index
    found = []
    for standing in solved.model.posts:
        moved = solved.solution.movements[1:, index[standing.head]]
        found.append(
            StandingPost(
                standing.post.id, standing.base, float(np.hypot(moved[:, 0], moved[:, 1]).max(initial=0.0))
            )
        )
    return tuple(found)


def _movement(solved: Solved) -> float:
    """The worst movement of all, mm; inf where it falls over."""
    value = worst_of(solved.model, solved.solution, solved.imposed).value
    return value if value <= FALLS_OVER else math.inf


def _sensitive(
    design: Design, rules: RuleSet, settings: StrengthSettings, code: Code, scale: float
) -> Sensitivity:
    solved = solve_anyway(design, rules, settings, Scenario("mean", bases=scale))
    bearing = bearing_of(design, rules, settings, solved, scale)
    return Sensitivity(scale, _movement(solved), highest(bearing, design, rules, settings, code))


def _assumptions(solved: Solved, design: Design, settings: StrengthSettings, code: Code) -> tuple[str, ...]:
    """Everything taken for granted, each once."""
    told = [f"judged by {code}, service class {settings.service}"]
    told += [piece.wood.assumed for piece in solved.model.pieces]
    for standing in solved.model.posts:
        told += [f"{standing.post.id}: {text}" for text in standing.base.assumed]
    rail = settings.rail_fixing
    told.append(f"ends of rails: {rail.count} x {rail.fixing.name}, {rail.thread:g} mm of thread, hinges")
    if code is Code.NDS_2018:
        told.append(
            f"load duration: {settings.duration.value}; many take ten minutes (1.6) for a push on a guard"
        )
    else:
        told.append(
            f"partial factor {solved.loads.factor:g} on imposed loads, {PERMANENT_FACTOR:g} on weight"
        )
    told += solved.loads.assumed
    told += solved.model.left_out
    told += not_judged(design, settings)
    if isinstance(design.making, Stacked):
        told.append("glue of stacked rails counts for stiffness and never for strength")
    return tuple(dict.fromkeys(told))
