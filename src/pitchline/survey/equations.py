"""The readings as equations: computed values and their derivatives, for a whole visit at once.

Every coordinate the readings speak of, and every set-up of a level, plumb line or string, has a place in one
vector: the unknowns first, the fixed coordinates behind them.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
import numpy.typing as npt

from pitchline.survey.readings import Fixed, Kind, Prior, Reading

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.intp]
Unknown = tuple[str, str]
"""A coordinate ("x" or "z", point), or ("level", set-up), ("plumb", line), ("string", id), ("slope", id)."""


@dataclass(frozen=True, slots=True, eq=False)
class Equations:
    """Readings, then priors, as rows over the vector of unknowns (``count`` of them) and fixed coordinates.

    ``read`` and ``sigma`` are what was read; ``constant`` holds the derivatives of the linear rows; the rest
    are row numbers and places in the vector, one row per reading: (x start, z start, x end, z end) for
    straights and pitches, (height, slope, x, z) for margins, the slope alone for slopes.
    """

    unknowns: tuple[Unknown, ...]
    fixed_values: FloatArray
    places: Mapping[Unknown, int]
    read: FloatArray
    sigma: FloatArray
    constant: FloatArray
    straight_rows: IntArray
    straight_places: IntArray
    pitch_rows: IntArray
    pitch_places: IntArray
    margin_rows: IntArray
    margin_places: IntArray
    slope_rows: IntArray
    slope_places: IntArray

    @property
    def count(self) -> int:
        """How many unknowns there are."""
        return len(self.unknowns)

    def misfit(self, values: FloatArray) -> tuple[FloatArray, FloatArray]:
        """(computed - read, derivatives to the unknowns) at ``values`` (shape n); shapes (m), (m, n).

        Points that coincide give a straight distance or a pitch no direction; they are taken as one
        hundredth of a millimetre apart so that the adjustment can pull them apart.
        """
        full = np.concatenate((values, self.fixed_values))
        design = self.constant.copy()
        computed = self.constant @ full
        if len(self.straight_rows):
            dx, dz = _steps(full, self.straight_places)
            length = np.maximum(np.hypot(dx, dz), _APART)
            computed[self.straight_rows] = length
            _place(design, self.straight_rows, self.straight_places, dx / length, dz / length)
        if len(self.pitch_rows):
            dx, dz = _steps(full, self.pitch_places)
            square = np.maximum(dx * dx + dz * dz, _APART**2)
            computed[self.pitch_rows] = np.arctan2(dz, dx)
            _place(design, self.pitch_rows, self.pitch_places, -dz / square, dx / square)
        if len(self.margin_rows):
            height, slope, x, z = full[self.margin_places].T
            computed[self.margin_rows] = height + slope * x - z
            ones = np.ones_like(x)
            gradient = np.stack((ones, x, slope, -ones), axis=1)
            design[self.margin_rows[:, np.newaxis], self.margin_places] = gradient
        if len(self.slope_rows):
            slope = full[self.slope_places]
            computed[self.slope_rows] = np.arctan(slope)
            design[self.slope_rows, self.slope_places] = 1.0 / (1.0 + slope * slope)
        misfit = computed - self.read
        turns = misfit[self.pitch_rows]
        misfit[self.pitch_rows] = (turns + np.pi) % (2 * np.pi) - np.pi
        return misfit, design[:, : self.count]


_APART = 0.01


def _steps(full: FloatArray, places: IntArray) -> tuple[FloatArray, FloatArray]:
    return full[places[:, 2]] - full[places[:, 0]], full[places[:, 3]] - full[places[:, 1]]


def _place(design: FloatArray, rows: IntArray, places: IntArray, by_x: FloatArray, by_z: FloatArray) -> None:
    design[rows[:, np.newaxis], places] = np.stack((-by_x, -by_z, by_x, by_z), axis=1)


def unknowns_of(reading: Reading) -> tuple[Unknown, ...]:
    """What a reading speaks of, in the order in which its row is written."""
    start, end = reading.start, reading.end
    match reading.kind:
        case Kind.HEIGHT:
            return (("z", start), ("z", end))
        case Kind.RUN:
            return (("x", start), ("x", end))
        case Kind.LEVEL | Kind.PLUMB:
            return _from_set_up(reading)
        case Kind.MARGIN:
            return (("string", start), ("slope", start), ("x", end), ("z", end))
        case Kind.SLOPE:
            return (("slope", start),)
        case Kind.STRAIGHT | Kind.PITCH:
            return (("x", start), ("z", start), ("x", end), ("z", end))


def _from_set_up(reading: Reading) -> tuple[Unknown, ...]:
    if reading.kind is Kind.LEVEL:
        return (("z", reading.end), ("level", reading.start))
    return (("plumb", reading.start), ("x", reading.end))


def write_equations(readings: Sequence[Reading], fixed: Sequence[Fixed], prior: Sequence[Prior]) -> Equations:
    """The equations of these readings; the unknowns stand in the order in which they are first spoken of."""
    spoken = [unknowns_of(reading) for reading in readings]
    held = dict.fromkeys(entry.coordinate for entry in fixed)
    order = dict.fromkeys(unknown for unknowns in spoken for unknown in unknowns)
    order.update(dict.fromkeys(entry.coordinate for entry in prior))
    unknowns = tuple(unknown for unknown in order if unknown not in held)
    places = {unknown: place for place, unknown in enumerate((*unknowns, *held))}
    rows = len(readings) + len(prior)
    constant = np.zeros((rows, len(places)))
    curved: dict[Kind, tuple[list[int], list[list[int]]]] = {kind: ([], []) for kind in _CURVED}
    for row, (reading, names) in enumerate(zip(readings, spoken, strict=True)):
        where = [places[name] for name in names]
        if reading.kind in _CURVED:
            curved[reading.kind][0].append(row)
            curved[reading.kind][1].append(where)
        else:
            constant[row, where[0]], constant[row, where[1]] = -1.0, 1.0
    for row, entry in enumerate(prior, start=len(readings)):
        constant[row, places[entry.coordinate]] = 1.0
    straights, pitches, margins, slopes = (_tables(*curved[kind]) for kind in _CURVED)
    told: tuple[Reading | Prior, ...] = (*readings, *prior)
    return Equations(
        unknowns=unknowns,
        fixed_values=np.array([entry.value for entry in fixed]),
        places=MappingProxyType(places),
        read=np.array([entry.value for entry in told]),
        sigma=np.array([entry.sigma for entry in told]),
        constant=constant,
        straight_rows=straights[0],
        straight_places=straights[1].reshape(-1, 4),
        pitch_rows=pitches[0],
        pitch_places=pitches[1].reshape(-1, 4),
        margin_rows=margins[0],
        margin_places=margins[1].reshape(-1, 4),
        slope_rows=slopes[0],
        slope_places=slopes[1].reshape(-1),
    )


_CURVED = (Kind.STRAIGHT, Kind.PITCH, Kind.MARGIN, Kind.SLOPE)


def _tables(rows: list[int], places: list[list[int]]) -> tuple[IntArray, IntArray]:
    return np.array(rows, dtype=np.intp), np.array(places, dtype=np.intp)
