"""The few limits that shape a design, taken from the rules of the place. Lengths in mm."""

from collections.abc import Sequence
from dataclasses import dataclass

from pitchline.catalogue.rules import RuleSet
from pitchline.kit.finding import Compare
from pitchline.kit.geometry.lines import Point2
from pitchline.kit.tolerances import SAME_POINT
from pitchline.stair.model import Flight


@dataclass(frozen=True, slots=True)
class Limits:
    """The window for the top of the rail above every nosing, and the ball no gap may let through.

    ``high`` is None where the place sets no upper limit. ``gap`` is the limit of the rule itself beside a
    flight, ``level_gap`` beside a floor (None: the same), ``compare`` what must hold of a gap against it; a design
    keeps a build tolerance, and what the season takes, inside them. ``push`` is the force in N that presses each of
    two neighbouring members away from the other while the gap is tried, None where the rules name none.
    """

    low: float
    high: float | None
    gap: float
    level_gap: float | None = None
    compare: Compare = "lt"
    push: float | None = None

    def gap_over(self, reaches_floor: bool) -> float:
        """The limit for a bay that stays beside the flight, or that runs on over the upper floor."""
        return min(self.gap, self.level_gap or self.gap) if reaches_floor else self.gap

    def gap_beside(self, flight: Flight, field: Sequence[Point2]) -> float:
        """The limit for a field of the elevation (u, z) beside this flight."""
        return self.gap_over(max(u for u, _ in field) > flight.nosings[-1][0] + SAME_POINT)

    @staticmethod
    def beside(rules: RuleSet, flight: Flight) -> "Limits":
        """The limits for one leg: those beside a flight, or those along the edge of a landing or floor."""
        return Limits.along_floor(rules) if flight.is_level else Limits.of(rules)

    @staticmethod
    def along_floor(rules: RuleSet) -> "Limits":
        """The limits along the edge of a landing or floor; a place that asks no handrail there sets no upper one."""
        general = rules.require("opening.general")
        names = ("guard.landing.height", "handrail.landing.min")
        lows = [figure.value_mm for name in names if (figure := rules.figure(name)) is not None]
        beside = Limits.of(rules)
        low = max(lows, default=beside.low)
        highest = rules.figure("handrail.landing.max")
        high = None if highest is None or highest.value_mm < low else highest.value_mm
        return Limits(low, high, general.value_mm, general.value_mm, general.compare, beside.push)

    @staticmethod
    def of(rules: RuleSet) -> "Limits":
        """The limits of one rule set: the rail is guarding and handrail at once, so both windows hold.

        Where guarding must stand above every handrail the rail is guarding alone: no upper limit, and the checks
        ask for a handrail of its own.
        """
        lows = [rules.figure("guard.flight.height"), rules.figure("handrail.height.min")]
        highest = rules.figure("handrail.height.max")
        general = rules.require("opening.general")
        gap = rules.figure("opening.stair") or general
        push = rules.figure("opening.flex.force")
        low = max(figure.value_mm for figure in lows if figure is not None)
        return Limits(
            low=low,
            high=None if highest is None or highest.value_mm < low else highest.value_mm,
            gap=gap.value_mm,
            level_gap=general.value_mm,
            compare=gap.compare,
            push=None if push is None else push.value,
        )
