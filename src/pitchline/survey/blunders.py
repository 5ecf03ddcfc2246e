"""Which readings are slips: the worst is set aside, the rest adjusted again, until nothing stands out.

Data snooping after W. Baarda (1968): a standardised residual beyond 3.29 is met by chance once in 1000 sound
readings. Two residuals may be so alike that either reading could be the slip; then both are named.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pitchline.kit.tolerances import BLUNDER_SUSPECTED, RIVALS_ALIKE, RIVALS_WITHIN
from pitchline.kit.units import Unit
from pitchline.survey.adjust import Adjusted, UndeterminedError, adjust
from pitchline.survey.equations import FloatArray, unknowns_of
from pitchline.survey.readings import ANGLES, Reading
from pitchline.survey.start import computed


@dataclass(frozen=True, slots=True)
class Blunder:
    """A reading that the others contradict.

    ``slip`` is by how much it seems too large (+) or too small (-), in mm or radians, with its standard
    uncertainty; ``standardised`` its residual in standard deviations when it was accused; ``rivals`` are
    readings that could be the slip just as well.
    """

    reading: Reading
    slip: float
    slip_sigma: float
    standardised: float
    rivals: tuple[Reading, ...]

    def likely_cause(self, unit: Unit = Unit.MM) -> str | None:
        """The usual mishap with a tape of this unit that explains the slip within two standard uncertainties."""
        if self.reading.kind in ANGLES:
            return None
        for cause, size in _MISHAPS[unit].items():
            times = round(abs(self.slip) / size)
            if 1 <= times <= 3 and self._within(abs(self.slip) - times * size):
                return cause.format(number=_TIMES[times])
        return "two figures changed places" if self._swapped(unit) else None

    def _swapped(self, unit: Unit) -> bool:
        """Whether neighbouring figures of the whole mm or inches, put the other way round, explain the slip."""
        value = self.reading.value
        digits = str(math.floor(abs(value) / unit.in_mm))
        for k in range(len(digits) - 1):
            swapped = digits[:k] + digits[k + 1] + digits[k] + digits[k + 2 :]
            gap = math.copysign((int(digits) - int(swapped)) * unit.in_mm, value)
            if swapped != digits and self._within(gap - self.slip):
                return True
        return False

    def _within(self, gap: float) -> bool:
        return abs(gap) <= 2.0 * self.slip_sigma


_FOOT_AND_INCH = {"{number} foot": 304.8, "{number} inch": 25.4}
_MISHAPS = {
    Unit.MM: {"{number} metre": 1000.0, "{number} hundred": 100.0, **_FOOT_AND_INCH},
    Unit.INCH: _FOOT_AND_INCH,
}
_TIMES = {1: "one", 2: "two", 3: "three"}


@dataclass(frozen=True, slots=True)
class _Accused:
    reading: Reading
    standardised: float
    rivals: tuple[Reading, ...]


def find_blunders(adjusted: Adjusted) -> tuple[tuple[Blunder, ...], Adjusted]:
    """The readings that stand out, worst first, and the adjustment without them.

    A reading that cannot be spared is named but stays in. One that fits again once worse ones are out is let
    off.
    """
    accused: list[_Accused] = []
    clean = adjusted
    kept: Blunder | None = None
    while kept is None and (suspect := _worst(clean)) is not None:
        try:
            clean = _without(clean, suspect.reading)
        except UndeterminedError:
            kept = _blunder(clean, suspect, float(clean.slips[clean.readings.index(suspect.reading)]))
        else:
            accused.append(suspect)
    blunders = []
    for suspect in accused:
        again = adjust((*clean.readings, suspect.reading), clean.fixed, clean.prior)
        if len(accused) > 1 and abs(again.standardised[len(clean.readings)]) <= BLUNDER_SUSPECTED:
            clean = again
        else:
            blunders.append(_blunder(again, suspect, _slip(clean, suspect.reading)))
    return (*blunders, kept) if kept else tuple(blunders), clean


def _worst(adjusted: Adjusted) -> _Accused | None:
    """The reading with the largest standardised residual, if that is beyond chance."""
    sizes = np.abs(adjusted.standardised[: len(adjusted.readings)])
    worst = int(np.argmax(sizes)) if len(sizes) else 0
    if not len(sizes) or sizes[worst] <= BLUNDER_SUSPECTED:
        return None
    return _Accused(adjusted.readings[worst], float(sizes[worst]), _rivals(adjusted, worst, sizes))


def _blunder(adjusted: Adjusted, suspect: _Accused, slip: float) -> Blunder:
    """``adjusted`` holds the suspect; its redundancy number there gives the slip's uncertainty."""
    reading = suspect.reading
    number = float(adjusted.redundancy_numbers[adjusted.readings.index(reading)])
    return Blunder(reading, slip, reading.sigma / math.sqrt(number), suspect.standardised, suspect.rivals)


def _without(adjusted: Adjusted, reading: Reading) -> Adjusted:
    rest = [other for other in adjusted.readings if other is not reading]
    return adjust(rest, adjusted.fixed, adjusted.prior)


def _slip(clean: Adjusted, reading: Reading) -> float:
    """Read minus what the others say; exact where the linear estimate would not be, as for a coarse slip."""
    slip = reading.value - computed(
        reading.kind, [clean.estimate(unknown) for unknown in unknowns_of(reading)]
    )
    return math.remainder(slip, math.tau) if reading.kind in ANGLES else slip


def _rivals(adjusted: Adjusted, worst: int, sizes: FloatArray) -> tuple[Reading, ...]:
    """Readings whose residuals go with the worst one so closely that chance may have decided between them."""
    alike = np.abs(residual_correlations(adjusted, worst)[: len(sizes)])
    margin = RIVALS_WITHIN * np.sqrt(2.0 * np.clip(1.0 - alike, 0.0, 1.0)) + 1e-6 * sizes[worst]
    close = (alike >= RIVALS_ALIKE) & (sizes > BLUNDER_SUSPECTED) & (sizes >= sizes[worst] - margin)
    close[worst] = False
    return tuple(adjusted.readings[k] for k in np.flatnonzero(close))


def residual_correlations(adjusted: Adjusted, row: int) -> FloatArray:
    """Correlation of the residual of one reading with every other; 0 where nothing checks the other."""
    spread = -adjusted.design @ (adjusted.covariance @ adjusted.design[row])
    spread[row] += adjusted.sigmas[row] ** 2
    own = adjusted.sigmas * np.sqrt(adjusted.redundancy_numbers)
    scale = own * own[row]
    result: FloatArray = np.zeros(len(own))
    np.divide(spread, scale, out=result, where=scale > 0.0)
    return result


def names_of(readings: Sequence[Reading]) -> list[str]:
    """The readings' ids, as they are named to a person."""
    return [f"'{reading.id}'" for reading in readings]
