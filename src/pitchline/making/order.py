"""The order of work as values: steps, what each needs before it, what it closes, what it waits for, gates.

A step holds its own reasons: `needs` names the steps that come before it and why. `joins` tells what is one body once
it is done, so that anyone can follow which faces are still open at any time. Times in minutes of one person.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property

from pitchline.making.access import Tool

STAIR = "the stair"
"""The body that everything ends up on; what stands already belongs to it."""


class Act(StrEnum):
    """What is done in a step."""

    GUARD = "guard"
    STRIP = "take down"
    MILL = "mill"
    CUT = "cut"
    WORK = "joints"
    ROUND = "round over"
    GLUE = "glue up"
    SAND = "sand"
    COAT = "coat"
    SET = "set newels"
    MEASURE = "measure"
    TRIAL = "fit dry"
    FIX = "fix"
    FIT = "fit"
    CLEAN = "clean up"
    CHECK = "check"


class Place(StrEnum):
    """Where a step is done."""

    BENCH = "at the bench"
    STAIR = "at the stair"


@dataclass(frozen=True, slots=True)
class Need:
    """A step that comes before, and why; ``waits``: until its glue has set or its coat is dry too."""

    step: str
    why: str
    waits: bool = True


@dataclass(frozen=True, slots=True)
class Touch:
    """A face that the step must get at, and the tool: ``tool`` names one of the order's tools."""

    place: str
    face: str
    tool: str


@dataclass(frozen=True, slots=True)
class Wait:
    """What the clock does after the step's work: glue that sets, a coat that dries; so many clamps are held."""

    minutes: float
    what: str
    clamps: int = 0


@dataclass(frozen=True, slots=True)
class Hangs:
    """A length that hangs on what is not measured yet: its expanded uncertainty (k = 2) and what would still fit.

    ``readings`` are those it hangs on most, with their shares of the variance.
    """

    what: str
    expanded: float
    allowed: float
    readings: tuple[tuple[str, float], ...] = ()

    @property
    def stops(self) -> bool:
        """Whether it is too unsure to cut by."""
        return self.expanded > self.allowed


@dataclass(frozen=True, slots=True)
class Gate:
    """A step that stops the work: what to measure, what of it stops which pieces, and why."""

    asks: tuple[str, ...]
    stops: tuple[str, ...]
    hangs: tuple[Hangs, ...]


@dataclass(frozen=True, slots=True)
class Step:
    """One step. ``parts`` are place marks; ``leg`` that of the edge, empty where it is for all.

    ``joins`` are groups of places (and the stair) that are one body afterwards; ``whole`` steps are not broken off
    for the night. ``cautions`` name those of the order.
    """

    key: str
    act: Act
    at: Place
    title: str
    parts: tuple[str, ...]
    minutes: float
    words: tuple[str, ...] = ()
    needs: tuple[Need, ...] = ()
    joins: tuple[tuple[str, ...], ...] = ()
    touches: tuple[Touch, ...] = ()
    wait: Wait | None = None
    tools: tuple[str, ...] = ()
    uses: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    gate: Gate | None = None
    whole: bool = False
    leg: str = ""


@dataclass(frozen=True, slots=True)
class Remark:
    """Something the order has to say that no step says: clamps are lacking, a rail cannot be brought in."""

    code: str
    text: str


@dataclass(frozen=True, eq=False)
class Order:
    """The steps of one design in an order that holds, the tools that faces are got at with, and what is remarked."""

    design: str
    steps: tuple[Step, ...]
    tools: Mapping[str, Tool]
    remarks: tuple[Remark, ...]

    @cached_property
    def by_key(self) -> Mapping[str, Step]:
        """Steps by their keys."""
        return {step.key: step for step in self.steps}

    @cached_property
    def numbers(self) -> Mapping[str, int]:
        """The number of each step, from 1."""
        return {step.key: number for number, step in enumerate(self.steps, start=1)}

    @property
    def minutes(self) -> float:
        """Work of one person in all, minutes."""
        return sum(step.minutes for step in self.steps)


def bodies_after(steps: tuple[Step, ...]) -> tuple[tuple[str, ...], ...]:
    """Which places (and the stair) are one body once these steps are done, by their joins in turn."""
    groups: list[set[str]] = []
    for step in steps:
        for join in step.joins:
            together = set(join)
            apart = [group for group in groups if not group & together]
            for group in groups:
                if group & together:
                    together |= group
            groups = [*apart, together]
    return tuple(tuple(sorted(group)) for group in groups)
