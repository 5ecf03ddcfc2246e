"""Looking for what would make an edge hold: what is tried on, and the least of some sizes that does."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from pitchline.design.model import Design
from pitchline.kit.frame.mechanism import MechanismError
from pitchline.kit.units import Unit
from pitchline.kit.words import Words
from pitchline.strength.changes import State, state_of
from pitchline.strength.legs import StandingLeg
from pitchline.strength.settings import StrengthSettings
from pitchline.strength.solved import Study

STEP, INCH_STEP = 5.0, 6.35
"""Sizes are told in whole steps, mm: 5 mm, or a quarter of an inch."""

FALLS = State(math.inf, math.inf)
"""What does not stand."""

Try = Callable[[float], State]


@dataclass(frozen=True, slots=True)
class Change:
    """A change and where it leads: ``size`` in ``unit`` that would do, None where no size does."""

    what: str
    size: float | None
    unit: str
    after: State
    sentence: str

    @property
    def holds(self) -> bool:
        """Whether it would do alone."""
        return self.size is not None


@dataclass(frozen=True, slots=True)
class Search:
    """What is tried on: the legs as they are, how it is judged, and whether they move too far as they are."""

    study: Study
    limit: float
    too_far: bool = True

    def changed(
        self, legs: Sequence[StandingLeg] | None = None, settings: StrengthSettings | None = None
    ) -> Study:
        """The study of changed legs or settings."""
        study = self.study
        return Study(
            study.legs if legs is None else tuple(legs),
            study.rules,
            study.settings if settings is None else settings,
            study.words,
        )

    def state(
        self, legs: Sequence[StandingLeg] | None = None, settings: StrengthSettings | None = None
    ) -> State:
        """Movement and utilisation of changed legs or settings; all infinite where they do not stand."""
        try:
            return state_of(self.changed(legs, settings))
        except MechanismError:
            return FALLS

    def each(self, change: Callable[[Design], Design]) -> State:
        """With a change made to every leg."""
        return self.state([replace(leg, design=change(leg.design)) for leg in self.study.legs])

    def holds(self, state: State) -> bool:
        """Whether movement and strength hold."""
        return state.movement <= self.limit and state.utilisation <= 1.0

    @property
    def words(self) -> Words:
        """How lengths are written."""
        return self.study.words

    @property
    def step(self) -> float:
        """A whole step of a size, mm."""
        return INCH_STEP if self.words.unit is Unit.INCH else STEP

    def told(self, size: float, unit: str) -> str:
        """A size with its unit."""
        return self.words.about(size) if unit == "mm" else f"{size:.3g} {unit}"

    def leads_to(self, after: State) -> str:
        """Where a change leads, in words."""
        moved, used = self.words.about(after.movement), after.used
        return f"it then moves {moved} and is used to {used}"


def least_of(search: Search, what: str, unit: str, try_size: Try, sizes: Sequence[float]) -> Change:
    """The least of some rising sizes that holds, by halving; None where the largest does not."""
    most = try_size(sizes[-1])
    if not search.holds(most):
        return Change(what, None, unit, most, _not_alone(search, what, unit, try_size, sizes, most))
    place, after = _least(try_size, sizes, search.holds, most)
    size = sizes[place]
    sentence = f"{what} would do: {search.told(size, unit)} ({search.leads_to(after)})"
    return Change(what, size, unit, after, sentence)


def _least(
    try_size: Try, sizes: Sequence[float], holds: Callable[[State], bool], after: State
) -> tuple[int, State]:
    """The first of some rising sizes that holds, with its state; the last holds with ``after``."""
    low, high = -1, len(sizes) - 1
    while high - low > 1:
        middle = (low + high) // 2
        found = try_size(sizes[middle])
        if holds(found):
            high, after = middle, found
        else:
            low = middle
    return high, after


def _not_alone(
    search: Search, what: str, unit: str, try_size: Try, sizes: Sequence[float], most: State
) -> str:
    """Why a change would not do alone; the size at which at least the movement holds, where there is one."""
    if math.isinf(most.movement):
        return f"{what} would not do alone: it still does not stand"
    if most.movement > search.limit or not search.too_far:
        moves = "still moves" if search.too_far else "moves"
        return (
            f"{what} would not do alone: at {search.told(sizes[-1], unit)} it {moves} "
            f"{search.words.about(most.movement)} and is still used to {most.used}"
        )
    place, after = _least(try_size, sizes, lambda state: state.movement <= search.limit, most)
    return (
        f"{what} would not do alone: from {search.told(sizes[place], unit)} on it moves no more than "
        f"{search.words.about(after.movement)}, but is still used to {after.used}"
    )
