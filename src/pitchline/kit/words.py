"""Lengths in sentences, in the unit of the person who reads them. Inside everything stays in mm."""

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from pitchline.kit.tolerances import CUT_ROUNDING, SAME_POINT
from pitchline.kit.units import MM_PER_INCH, Unit, show_length

Show = Callable[[float], str]
"""How a length in mm is written for the user; inches bear their mark, mm no unit."""


def plain_mm(mm: float) -> str:
    """A length to a tenth of a millimetre, without its unit and never as "-0.0"."""
    return f"{round(mm, 1) + 0.0:.1f}"


def show_in(unit: Unit) -> Show:
    """How lengths are written in a job of this unit."""
    return partial(show_length, unit=unit)


@dataclass(frozen=True, slots=True)
class Words:
    """Lengths in sentences, in the unit that ``show`` writes."""

    show: Show = plain_mm

    @property
    def unit(self) -> Unit:
        """The unit that ``show`` writes."""
        return Unit.INCH if self.show(0.0).endswith('"') else Unit.MM

    def mm(self, length: float) -> str:
        """A length with its unit."""
        text = self.show(length)
        return text if text.endswith('"') else f"{text} mm"

    def about(self, length: float) -> str:
        """A length with its unit where tenths would say too much: whole mm, inches as they are shown."""
        return self.mm(length) if self.unit is Unit.INCH else f"{length:.0f} mm"

    def measured(self, length: float, expanded: float) -> str:
        """A measured length with its expanded uncertainty."""
        if self.show(expanded) == self.show(0.0):
            return self.mm(length)
        return f"{self.show(length)} ± {self.mm(expanded)}"

    def narrowed(self, before: float, after: float) -> str:
        """What becomes of an uncertainty: "from ±1.6 to ±1.3 mm", or by how much where that looks the same."""
        one, two = self._fine(before), self._fine(after)
        if one == two:
            return f"from ±{self._with_unit(one)} by {100.0 * (1.0 - after / before):.0f} %"
        return f"from ±{one} to ±{self._with_unit(two)}"

    def rounded_up(self, length: float) -> str:
        """A length that is at least this one: up to whole mm, or to the next 1/16 in."""
        step = MM_PER_INCH / 16 if self.unit is Unit.INCH else 1.0
        return self.about(math.ceil((length - SAME_POINT) / step) * step)

    def enough(self, length: float) -> str:
        """A change of at least this much with something in hand, so that it suffices as it is shown."""
        return self.mm(float(math.ceil(length + CUT_ROUNDING)))

    def _fine(self, length: float) -> str:
        """Uncertainties are small: in inches they want the finest fraction."""
        return show_length(length, Unit.INCH, denominator=64) if self.unit is Unit.INCH else self.show(length)

    def _with_unit(self, text: str) -> str:
        return text if self.unit is Unit.INCH else f"{text} mm"


PLAIN = Words()
"""Words in mm, to a tenth."""
