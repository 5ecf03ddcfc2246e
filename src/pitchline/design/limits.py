"""The few limits that shape a design, taken from the rules of the place. Lengths in mm."""

from dataclasses import dataclass

from pitchline.catalogue.rules import RuleSet


@dataclass(frozen=True, slots=True)
class Limits:
    """The window for the top of the rail above every nosing, and the ball no gap may let through.

    ``high`` is None where the place sets no upper limit. ``gap`` is the limit of the rule itself; a design
    keeps a build tolerance inside it.
    """

    low: float
    high: float | None
    gap: float

    @staticmethod
    def of(rules: RuleSet) -> "Limits":
        """The limits of one rule set: the rail is guarding and handrail at once, so both windows hold."""
        lows = [rules.figure("guard.flight.height"), rules.figure("handrail.height.min")]
        highest = rules.figure("handrail.height.max")
        gap = rules.figure("opening.stair") or rules.require("opening.general")
        return Limits(
            low=max(figure.value_mm for figure in lows if figure is not None),
            high=None if highest is None else highest.value_mm,
            gap=gap.value_mm,
        )
