"""The strength of an edge: model, loads, movements, utilisations, findings. Never a bare number.

Movements are found with the likely values of every uncertain stiffness, and again with all at their lowest and
highest: where the limit lies between, the verdict is *unsure*, and a pull test is what decides.
"""

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pitchline.catalogue.rules import RuleSet
from pitchline.design.model import Design
from pitchline.kit.force_words import ForceWords
from pitchline.kit.frame.mechanism import MechanismError
from pitchline.kit.frame.model import Six
from pitchline.kit.tolerances import FALLS_OVER
from pitchline.kit.units import Unit
from pitchline.kit.words import Words
from pitchline.parts.part import Part
from pitchline.strength.infill import not_judged
from pitchline.strength.legs import by_itself
from pitchline.strength.loads import PERMANENT_FACTOR
from pitchline.strength.moves import Worst, shares_of, worst_of
from pitchline.strength.places import where_on_rail
from pitchline.strength.rail_uses import wall_demands
from pitchline.strength.report import (
    Movement,
    Sensitivity,
    StandingPost,
    StrengthReport,
    Unstable,
)
from pitchline.strength.settings import Code, Scenario, StrengthSettings
from pitchline.strength.solved import DEFAULTS, Solved, Study
from pitchline.strength.uses import fixing_factors, highest, utilisations
from pitchline.strength.verdicts import deflection_limit, findings_of, not_standing

SOFT, STIFF = Scenario("low"), Scenario("high")


def strength_of(
    design: Design, parts: Sequence[Part], rules: RuleSet, settings: StrengthSettings = DEFAULTS
) -> StrengthReport | Unstable:
    """The strength and stiffness of one leg by itself; :class:`Unstable` where it would not stand at all.

    ``parts`` are not measured yet beyond what the design says of them; their fixings are taken from ``settings``.
    """
    del parts
    return strength_of_study(Study((by_itself(design),), rules, settings))


def strength_of_study(study: Study) -> StrengthReport | Unstable:
    """The strength and stiffness of the legs of an edge; :class:`Unstable` where they would not stand."""
    try:
        likely = study.likely
    except MechanismError as error:
        return _unstable(study, error)
    movement = movement_of(study, likely.worst)
    limit = deflection_limit(study.rules, likely.model, movement)
    found = utilisations(study)
    walls = wall_demands(found.solved, fixing_factors(study, found.solved))
    return StrengthReport(
        study.legs[0].design.brief.balustrade,
        study.code,
        study.settings,
        likely.model,
        likely.cases,
        movement,
        limit,
        found.uses,
        _posts(likely),
        walls,
        _assumptions(study, likely, helped=found.helped),
        findings_of(study, movement, limit, found.uses, walls),
        tuple(leg.name for leg in study.legs),
        _Later(study),
    )


def _unstable(study: Study, error: MechanismError) -> Unstable:
    model = study.structure.model
    told = tuple(f"{s.post.id}: {text}" for s in model.posts for text in s.base.assumed)
    return Unstable(
        study.legs[0].design.brief.balustrade,
        study.code,
        study.settings,
        error.mechanisms,
        told,
        (not_standing(study, error.mechanisms),),
        model.frame,
        tuple(leg.name for leg in study.legs),
    )


def movement_of(study: Study, worst: Worst) -> Movement:
    """A worst movement with its range and its shares."""
    likely = study.likely
    low = study.reach(STIFF, [worst.case])[0]
    try:
        high = study.reach(SOFT, [worst.case])[0]
    except MechanismError:
        high = math.inf
    high = high if high <= FALLS_OVER else math.inf
    shares = shares_of(likely.model, likely.factored, likely.solution, worst)
    return Movement(
        likely.cases[worst.case].id,
        where_on_rail(likely.model, worst.node, study.words),
        worst.u,
        worst.value,
        min(low, worst.value),
        max(high, worst.value),
        shares,
        worst.node,
        likely.model.leg_of(worst.node).handrail,
    )


def _posts(solved: Solved) -> tuple[StandingPost, ...]:
    index = solved.model.frame.node_index
    found = []
    for standing in solved.model.posts:
        moved = solved.solution.movements[1:, index[standing.head]]
        moves = float(np.hypot(moved[:, 0], moved[:, 1]).max(initial=0.0))
        found.append(StandingPost(standing.post.id, standing.base, moves))
    return tuple(found)


@dataclass(frozen=True, eq=False)
class _Later:
    """What a report works out only when it is asked for."""

    study: Study

    def by_case(self) -> tuple[Movement, ...]:
        """The worst movement of each kind of load."""
        likely = self.study.likely
        kinds: dict[str, list[int]] = {}
        for place in likely.imposed:
            kinds.setdefault(likely.cases[place].title, []).append(place)
        return tuple(
            movement_of(self.study, worst_of(likely.model, likely.solution, places))
            for places in kinds.values()
        )

    def sensitivity(self) -> tuple[Sensitivity, ...]:
        """With bases half and twice as stiff."""
        return tuple(self._with(factor) for factor in (0.5, 2.0))

    def _with(self, factor: float) -> Sensitivity:
        solved = self.study.other(Scenario("mean", bases=factor))
        return Sensitivity(factor, _unless_over(solved), highest(self.study, factor))

    def unglued(self) -> float | None:
        """The worst movement without glue."""
        return _unless_over(self.study.bearing(helped=True)) if self.study.stacked else None

    def shape(self) -> tuple[tuple[str, Six], ...]:
        """The movement of every node in the worst case."""
        likely = self.study.likely
        rows = likely.solution.movements[likely.worst.case].tolist()
        return tuple((node.id, tuple(row)) for node, row in zip(likely.model.frame.nodes, rows, strict=True))


def _unless_over(solved: Solved) -> float:
    """The worst movement of all, mm; inf where it falls over."""
    value = solved.worst.value
    return value if value <= FALLS_OVER else math.inf


def _assumptions(study: Study, solved: Solved, *, helped: bool) -> tuple[str, ...]:
    """Everything taken for granted, each once."""
    settings, code, model = study.settings, study.code, solved.model
    told = [f"judged by {code}, service class {settings.service}"]
    told += [piece.wood.assumed for piece in model.pieces]
    for standing in model.posts:
        told += [f"{standing.post.id}: {text}" for text in standing.base.assumed]
    rail, seat, joint = settings.rail_fixing, settings.seat_fixing, settings.rail_joint
    told.append(f"ends of rails: {rail.count} x {rail.fixing.name}, {rail.thread:g} mm of thread, hinges")
    if model.seats:
        told.append(f"base rails: {seat.fixing.name} every {seat.apart:g} mm, {seat.thread:g} mm of thread")
    if model.rail_joints:
        told.append(
            f"rails joined to each other: {joint.count} x {joint.fixing.name} along them; "
            "1 to 50 kNm/rad, 5 as mean, without source"
        )
    if study.structure.helping:
        told.append(
            "newels hold with the help of base rails on their seats and of uprights"
            if helped
            else "strength: the newels' own bases bear all; base rails and uprights help their stiffness only"
        )
    told += _of_loads(study, solved)
    told += model.left_out
    for leg in study.legs:
        told += not_judged(leg.design, settings)
    if study.stacked:
        told.append("glue of stacked rails counts for stiffness and never for strength")
    return tuple(dict.fromkeys(in_units(text, study.words) for text in told))


_LENGTH = re.compile(r"(?<!screw )(?<!with )(?:(\d+(?:\.\d+)?) x )?(\d+(?:\.\d+)?) mm\b")
"""Lengths in what is told of bases and supports; sizes of screws, bolts and washers stay what they are sold by."""


_FORCE = re.compile(r"(\d+(?:\.\d+)?) N\b")
"""Forces there, such as the pull of a test."""


def in_units(text: str, words: Words) -> str:
    """What was put into words in mm, in the units of the person who reads it."""
    if words.unit is Unit.MM:
        return text
    forces = ForceWords(words.unit)
    text = _FORCE.sub(lambda m: forces.force(float(m[1])), text)
    return _LENGTH.sub(lambda m: " x ".join(words.about(float(size)) for size in m.groups() if size), text)


def _of_loads(study: Study, solved: Solved) -> list[str]:
    if study.code is Code.NDS_2018:
        told = [
            f"load duration: {study.settings.duration.value}; many take ten minutes (1.6) for a push on a guard"
        ]
    else:
        told = [f"partial factor {solved.loads.factor:g} on imposed loads, {PERMANENT_FACTOR:g} on weight"]
    return [*told, *solved.loads.assumed]
