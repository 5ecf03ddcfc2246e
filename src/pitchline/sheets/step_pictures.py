"""Which picture goes with a step: the design with its pieces picked out, or what is glued up, taken apart."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from pitchline.kit.drawing.svg import Picture
from pitchline.kit.geometry.frames import Vec3
from pitchline.making.order import STAIR, Act, Place, Step, bodies_after
from pitchline.making.order_parts import Family
from pitchline.making.order_plan import Planned
from pitchline.parts.part import Part
from pitchline.sheets.order_pictures import View, middle, taken_apart

LIFTED = 260.0
"""mm by which what comes on last is shown lifted off."""


@dataclass(frozen=True, eq=False)
class StepPictures:
    """The pictures of one design's steps. ``parts``: its pieces as the view shows them, seen along ``eye``."""

    planned: Planned
    view: View
    parts: Sequence[Part]
    eye: Vec3

    @cached_property
    def _by_place(self) -> Mapping[str, Part]:
        return {part.place: part for part in self.parts}

    @cached_property
    def _standing(self) -> Mapping[str, frozenset[str]]:
        """Which pieces stand at the stair before each step: those joined to it, and those laid in place dry."""
        steps, dry = self.planned.order.steps, set[str]()
        found = {}
        for number, step in enumerate(steps):
            fast = next((group for group in bodies_after(steps[:number]) if STAIR in group), ())
            found[step.key] = frozenset((*fast, *dry)) if step.at is Place.STAIR else frozenset()
            if step.at is Place.STAIR and step.act in (Act.SET, Act.FIX, Act.TRIAL, Act.FIT):
                dry |= set(step.parts)
        return found

    @cached_property
    def _units(self) -> Mapping[str, View]:
        """Glued-up rails, taken apart, by the place of each of their pieces."""
        found: dict[str, View] = {}
        for unit in self.planned.work.units:
            if unit.is_glued:
                view = taken_apart([self._by_place[place] for place in unit.places], self.eye)
                found.update(dict.fromkeys(unit.places, view))
        return found

    def of(self, step: Step) -> Picture | None:
        """The picture of a step; None where there is nothing to see."""
        there = self._standing[step.key]
        if step.act is Act.GLUE:
            joined = {place for join in step.joins for place in join}
            return self._units[step.parts[0]].drawn(step.parts, joined - set(step.parts))
        if step.key.startswith(("close ", "fix rail ")) and set(step.parts) & self._coming(step):
            return self._closing(step, there)
        return self.view.drawn(step.parts or self._asked(step), there)

    def _asked(self, step: Step) -> tuple[str, ...]:
        """What a gate measures between."""
        if step.gate is None:
            return ()
        family = Family.NEWEL if "newels" in step.key else Family.HANDRAIL
        return self.planned.work.places(family)

    def _coming(self, step: Step) -> set[str]:
        """What comes on last in a step: the newel, else the handrail where the infill stands before it."""
        work = self.planned.work
        entry = work.entries.get(step.leg)
        if entry is None:
            return set()
        if step.key.startswith("close "):
            return {entry.loose}
        stood = any(one.key.startswith(f"stand {step.leg} ") for one in self.planned.order.steps)
        return set(step.parts) if stood else set()

    def _closing(self, step: Step, there: frozenset[str]) -> Picture:
        """A leg with what comes on last moved off in the direction it comes from."""
        work = self.planned.work
        leg = [part for part in self.parts if work.leg_of[part.place] == step.leg]
        coming = self._coming(step)
        off = self._way_off(step, leg, coming)
        by = dict.fromkeys(coming, off)
        shown = [part for part in leg if part.place in there or part.place in step.parts]
        return taken_apart(shown, self.eye, by).drawn(step.parts, there - set(step.parts))

    def _way_off(self, step: Step, leg: Sequence[Part], coming: set[str]) -> Sequence[float]:
        if step.key.startswith("close "):
            centre = np.mean([middle(part) for part in leg if part.place not in coming], axis=0)
            moving = [middle(part) for part in leg if part.place in coming]
            away = (moving[0] if moving else centre) - centre
            away[2] = 0.0
            size = float(np.linalg.norm(away))
            return tuple(LIFTED * away / size) if size > 0 else (0.0, 0.0, 0.0)
        return (0.0, 0.0, LIFTED)
