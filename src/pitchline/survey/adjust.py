"""Weighted least-squares adjustment of everything read at a stair.

With the readings l, their computed values f(x) and weights P = diag(1/sigma^2), the adjusted unknowns make
v'Pv least, v = f(x) - l. Gauss-Newton with derivatives A: N = A'PA, covariance N^-1 (the stated
uncertainties are taken at their word), redundancy numbers r = 1 - diag(A N^-1 A' P). The theory is that of
any textbook of adjustment; the tests of single readings follow W. Baarda, A testing procedure for use in
geodetic networks (1968). The formulae are set out in the method page on the survey.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType

import numpy as np

from pitchline.kit.errors import Fault, InputError, PitchlineError
from pitchline.kit.tolerances import (
    ADJUSTMENT_STEP,
    BLUNDER_NOTICED,
    GLOBAL_TEST,
    HARDLY_FIXED,
    NO_CHECK,
    WEAK_PIVOT,
)
from pitchline.survey.determined import HardlyFixedError, UndeterminedError, undetermined
from pitchline.survey.equations import Equations, FloatArray, Unknown, write_equations
from pitchline.survey.readings import Coordinate, Fixed, Prior, Reading
from pitchline.survey.start import starting_values

__all__ = ["Adjusted", "NotSettledError", "UndeterminedError", "adjust"]

MOST_STEPS = 200


class NotSettledError(PitchlineError):
    """The readings contradict each other so much that no stair could be found near them."""


@dataclass(frozen=True, eq=False, slots=True)
class Adjusted:
    """Adjusted points and set-ups with their covariance, and how well the readings check each other.

    Arrays over readings run over ``readings``, then ``prior``; arrays over unknowns over ``unknowns``. All
    are read-only. mm throughout; rows of pitch readings in radians, slopes of strings as rise over going.
    ``residuals`` are adjusted minus read; ``design`` (readings, unknowns) holds the derivatives.
    """

    readings: tuple[Reading, ...]
    fixed: tuple[Fixed, ...]
    prior: tuple[Prior, ...]
    unknowns: tuple[Unknown, ...]
    values: FloatArray
    covariance: FloatArray
    design: FloatArray
    sigmas: FloatArray
    residuals: FloatArray
    redundancy_numbers: FloatArray
    places: Mapping[Unknown, int] = field(repr=False)
    _fixed_values: Mapping[Unknown, float] = field(repr=False)

    @property
    def coordinates(self) -> tuple[Coordinate, ...]:
        """Every coordinate that is known now, the fixed ones included."""
        names = (*self.unknowns, *self._fixed_values)
        return tuple(("x" if axis == "x" else "z", name) for axis, name in names if axis in {"x", "z"})

    def has(self, coordinate: Unknown) -> bool:
        """Whether a coordinate or an unknown of a set-up was read or fixed."""
        return coordinate in self.places

    def estimate(self, coordinate: Unknown) -> float:
        """The adjusted value of a coordinate (mm) or of an unknown of a set-up. KeyError if never read."""
        place = self.places[coordinate]
        if place < len(self.unknowns):
            return float(self.values[place])
        return self._fixed_values[coordinate]

    def point(self, name: str) -> tuple[float, float]:
        """(x, z) of a point, mm. KeyError if one of them was never read."""
        return (self.estimate(("x", name)), self.estimate(("z", name)))

    def string(self, name: str) -> tuple[float, float]:
        """(a, b) of a string's top edge z = a + b x: a in mm, b as rise over going. KeyError if never read."""
        return (self.estimate(("string", name)), self.estimate(("slope", name)))

    def covariance_of(self, coordinates: Sequence[Unknown]) -> FloatArray:
        """Covariance matrix of some coordinates, mm2; fixed ones have none. KeyError if never read."""
        gather = self._unit_rows(coordinates)
        return gather @ self.covariance @ gather.T

    def _unit_rows(self, coordinates: Sequence[Unknown]) -> FloatArray:
        rows = np.zeros((len(coordinates), len(self.unknowns)))
        for row, coordinate in enumerate(coordinates):
            place = self.places[coordinate]
            if place < len(self.unknowns):
                rows[row, place] = 1.0
        return rows

    def sigma_of(self, weights: Mapping[Coordinate, float]) -> float:
        """Standard uncertainty of a weighted sum of coordinates. KeyError if one was never read."""
        vector = np.array(list(weights.values())) @ self._unit_rows(list(weights))
        return float(np.sqrt(vector @ self.covariance @ vector))

    @property
    def redundancy(self) -> int:
        """How many readings more than needed were taken."""
        return len(self.residuals) - len(self.unknowns)

    @property
    def chi2(self) -> float:
        """v'Pv, to be compared with chi-square of ``redundancy`` degrees of freedom."""
        return float(np.sum((self.residuals / self.sigmas) ** 2))

    @property
    def chi2_low(self) -> float:
        """Lower bound of the two-sided global test."""
        return self._chi2_bound(1.0 - GLOBAL_TEST / 2)

    @property
    def chi2_high(self) -> float:
        """Upper bound of the two-sided global test."""
        return self._chi2_bound(GLOBAL_TEST / 2)

    def _chi2_bound(self, above: float) -> float:
        if self.redundancy == 0:
            return 0.0
        from scipy.special import chdtri  # (costs more to import than a whole adjustment)

        return float(chdtri(self.redundancy, above))

    @property
    def passed(self) -> bool:
        """Whether the residuals are as large as the stated uncertainties say; True where nothing is checked."""
        return self.redundancy == 0 or self.chi2_low <= self.chi2 <= self.chi2_high

    @property
    def standardised(self) -> FloatArray:
        """Residuals over their own standard deviations, with sign; 0 for a reading that nothing checks."""
        return _divide(self.residuals, self.sigmas * np.sqrt(self.redundancy_numbers), nothing=0.0)

    @property
    def slips(self) -> FloatArray:
        """By how much each reading alone would have to be too large (+) to explain its residual."""
        return _divide(-self.residuals, self.redundancy_numbers, nothing=0.0)

    @property
    def smallest_blunders(self) -> FloatArray:
        """The smallest slip of each reading that would be noticed (0.1 %, power 80 %); inf if none would."""
        return _divide(BLUNDER_NOTICED * self.sigmas, np.sqrt(self.redundancy_numbers), nothing=np.inf)

    @property
    def external_effect(self) -> FloatArray:
        """How far, at most, the smallest noticed slip of each reading moves any coordinate, mm."""
        points = [place for place, (axis, _) in enumerate(self.unknowns) if axis in {"x", "z"}]
        if not points:
            return np.zeros(len(self.residuals))
        gain = self.covariance[points] @ self.design.T / self.sigmas**2
        reach = np.max(np.abs(gain), axis=0)
        moved: FloatArray = np.where(reach > 0, reach, 1.0) * self.smallest_blunders
        return np.where(reach > 0, moved, 0.0)


def adjust(readings: Sequence[Reading], fixed: Sequence[Fixed], prior: Sequence[Prior] = ()) -> Adjusted:
    """Adjust the readings to fixed coordinates (the datum) and, if any, coordinates known beforehand.

    Raises UndeterminedError where a coordinate that a reading speaks of is not tied to the rest, InputError
    for two readings of one name, NotSettledError where the readings contradict each other beyond repair.
    """
    _refuse_doubles(readings)
    equations = write_equations(readings, fixed, prior)
    start = starting_values(equations, readings, fixed, prior)
    values, misfit, design = _settle(equations, start)
    covariance = _inverse(equations, values, design)
    spread = np.einsum("ij,jk,ik->i", design, covariance, design)
    numbers = np.clip(1.0 - spread / equations.sigma**2, 0.0, 1.0)
    numbers[numbers < NO_CHECK] = 0.0
    return Adjusted(
        readings=tuple(readings),
        fixed=tuple(fixed),
        prior=tuple(prior),
        unknowns=equations.unknowns,
        values=_closed(values),
        covariance=_closed(covariance),
        design=_closed(design),
        sigmas=_closed(equations.sigma),
        residuals=_closed(misfit),
        redundancy_numbers=_closed(numbers),
        places=equations.places,
        _fixed_values=MappingProxyType({entry.coordinate: entry.value for entry in fixed}),
    )


def _refuse_doubles(readings: Sequence[Reading]) -> None:
    seen: set[str] = set()
    faults = []
    for reading in readings:
        if reading.id in seen:
            faults.append(Fault(f"reading {reading.id}", "two readings have this name", remedy="rename one"))
        seen.add(reading.id)
    if faults:
        raise InputError(faults, source="the readings")


def _settle(equations: Equations, values: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Gauss-Newton from ``values``; steps that make things worse are shortened (Levenberg and Marquardt)."""
    misfit, design = equations.misfit(values)
    chi2 = float(np.sum((misfit / equations.sigma) ** 2))
    damping = 0.0
    for _ in range(MOST_STEPS):
        step, size = _step(equations, misfit, design, damping)
        if step is None:
            _raise_if_open(equations, values, shake=True)
            damping = max(10.0 * damping, 1e-6)
            continue
        moved = values + step
        misfit_there, design_there = equations.misfit(moved)
        chi2_there = float(np.sum((misfit_there / equations.sigma) ** 2))
        if chi2_there > chi2 * (1.0 + _SLACK) + _SLACK and size > ADJUSTMENT_STEP:
            damping = max(10.0 * damping, 1e-3)
            continue
        values, misfit, design, chi2 = moved, misfit_there, design_there, chi2_there
        at_rest = bool(np.all(np.abs(step) <= _ROUNDING * (1.0 + np.abs(values))))
        if size <= ADJUSTMENT_STEP or at_rest:
            return values, misfit, design
        damping = damping / 10.0 if damping > 1e-5 else 0.0
    _inverse(equations, values, design)
    raise NotSettledError(
        "The readings contradict each other so much that no stair fits them; check for a slip of a metre, "
        "mixed units or a reading booked to the wrong step."
    )


_SLACK = 1e-9
_ROUNDING = 1e-12


def _step(
    equations: Equations, misfit: FloatArray, design: FloatArray, damping: float
) -> tuple[FloatArray | None, float]:
    """The next step and its largest part in standard uncertainties; None where the normal matrix is singular."""
    normal, scale, weighted = _normal(equations, design)
    normal.flat[:: len(normal) + 1] += damping
    try:
        lower = np.linalg.cholesky(normal)
    except np.linalg.LinAlgError:
        return None, 0.0
    if lower.size and np.min(np.diag(lower)) < WEAK_PIVOT:
        return None, 0.0
    downhill = -(weighted.T @ (misfit / equations.sigma)) / scale
    part = np.linalg.solve(normal, downhill)
    return part / scale, float(np.max(np.abs(part), initial=0.0))


def _normal(equations: Equations, design: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """The normal matrix scaled to a unit diagonal, the scale, and the weighted derivatives."""
    weighted = design / equations.sigma[:, np.newaxis]
    scale = np.sqrt(np.einsum("ij,ij->j", weighted, weighted))
    scale = np.where(scale > 0.0, scale, 1.0)
    scaled = weighted / scale
    return scaled.T @ scaled, scale, weighted


def _inverse(equations: Equations, values: FloatArray, design: FloatArray) -> FloatArray:
    """The covariance. Raises UndeterminedError where a coordinate is open, or so weak that it is as good as open."""
    normal, scale, _ = _normal(equations, design)
    try:
        lower = np.linalg.cholesky(normal)
    except np.linalg.LinAlgError:
        lower = np.zeros((1, 1))
    if lower.size and np.min(np.diag(lower)) < WEAK_PIVOT:
        _raise_if_open(equations, values, shake=False)
        raise NotSettledError(
            "The readings hardly fix the stair: points lie in one line; add heights or runs."
        )
    inverse: FloatArray = np.linalg.inv(normal) / np.outer(scale, scale)
    inverse = (inverse + inverse.T) / 2
    variances = np.diag(inverse)
    spread = np.where(variances > 0.0, np.sqrt(np.abs(variances)), np.inf)
    pairs = zip(equations.unknowns, spread, strict=True)
    weak = {unknown: float(s) for unknown, s in pairs if unknown[0] in {"x", "z"} and s > HARDLY_FIXED}
    if weak:
        raise HardlyFixedError(weak)
    return inverse


def _raise_if_open(equations: Equations, values: FloatArray, *, shake: bool) -> None:
    error = undetermined(equations, values, shake=shake)
    if error is not None:
        raise error


def _closed(array: FloatArray) -> FloatArray:
    array.flags.writeable = False
    return array


def _divide(above: FloatArray, below: FloatArray, nothing: float) -> FloatArray:
    checked = below > 0.0
    result: FloatArray = np.full(len(below), nothing)
    np.divide(above, below, out=result, where=checked)
    return result
