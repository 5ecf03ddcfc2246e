"""The one more reading that would help most.

A further reading with derivatives g and uncertainty s lowers the variance of a wanted sum w'x from w'Qw by
(g'Qw)^2 / (s^2 + g'Qg): the rank-one update of the covariance (Sherman and Morrison). No value is needed, so
every reading that a maker could take is tried before any of them is taken.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np

from pitchline.kit.tolerances import COVERAGE_FACTOR
from pitchline.kit.words import Show, Words, plain_mm
from pitchline.survey.adjust import Adjusted
from pitchline.survey.equations import FloatArray, unknowns_of, write_equations
from pitchline.survey.instruments import Instrument, instrument_types, standard_uncertainty
from pitchline.survey.readings import SET_UP_KINDS, Coordinate, Kind, Reading, nosing_number
from pitchline.survey.start import computed

TAPE_REACH = 3000.0
"""Straight distances up to this are offered, mm: what a tape spans without sagging or a helper."""

LEVEL_REACH = 1200.0
"""Heights and runs are offered over this much plan distance and height, mm: a usual spirit level's length."""

STRAIGHTEDGE = 2000.0
"""Pitches are offered over this length, mm."""

USUAL_TAPE = Instrument("tape", "tape-ii")


@dataclass(frozen=True, slots=True)
class Suggestion:
    """The reading to take next and what it does to the wanted quantity's standard uncertainty, mm."""

    kind: Kind
    start: str
    end: str
    sigma_before: float
    sigma_after: float
    sentence: str

    @property
    def where(self) -> str:
        """The reading in short; what the user named (a level, a plumb line, a string) in quotes."""
        start = f"'{self.start}'" if self.kind in SET_UP_KINDS else self.start
        return f"{self.kind} {start} to {self.end}"


def next_reading(
    adjusted: Adjusted,
    wanted: Mapping[Coordinate, float],
    candidates: Sequence[Reading] | None = None,
    instrument: Instrument = USUAL_TAPE,
    purpose: str = "what is wanted",
    show: Show = plain_mm,
) -> Suggestion | None:
    """The reading that cuts the standard uncertainty of the weighted sum ``wanted`` most; None if none can.

    The sentence writes lengths as ``show`` does. ``candidates`` replaces the readings that ``instrument`` could
    take; they may speak only of what the survey knows (KeyError otherwise), and their values are not used.
    """
    if candidates is None:
        candidates = possible_readings(adjusted, instrument)
    vector = _wanted_vector(adjusted, wanted)
    before = float(vector @ adjusted.covariance @ vector)
    if not candidates or before <= 0.0:
        return None
    rows = _rows(adjusted, candidates)
    sigma = np.array([candidate.sigma for candidate in candidates])
    gain = rows @ adjusted.covariance
    cut = (gain @ vector) ** 2 / (sigma**2 + np.einsum("ij,ij->i", gain, rows))
    best = int(np.argmax(cut))
    if cut[best] <= 0.0:
        return None
    reading = candidates[best]
    one, two = math.sqrt(before), math.sqrt(max(before - float(cut[best]), 0.0))
    change = Words(show).narrowed(COVERAGE_FACTOR * one, COVERAGE_FACTOR * two)
    sentence = _sentence(adjusted, reading, f"the uncertainty of {purpose} {change}")
    return Suggestion(reading.kind, reading.start, reading.end, one, two, sentence)


def _wanted_vector(adjusted: Adjusted, wanted: Mapping[Coordinate, float]) -> FloatArray:
    vector = np.zeros(len(adjusted.unknowns))
    for coordinate, weight in wanted.items():
        place = adjusted.places[coordinate]
        if place < len(vector):
            vector[place] += weight
    return vector


def _rows(adjusted: Adjusted, candidates: Sequence[Reading]) -> FloatArray:
    """Derivatives of the candidates to the unknowns of the adjustment, at the adjusted values."""
    equations = write_equations(candidates, adjusted.fixed, ())
    columns = [adjusted.places[unknown] for unknown in equations.unknowns]
    _, design = equations.misfit(adjusted.values[columns])
    rows = np.zeros((len(candidates), len(adjusted.unknowns)))
    rows[:, columns] = design
    return rows


def possible_readings(adjusted: Adjusted, instrument: Instrument) -> tuple[Reading, ...]:
    """Every reading that a maker could take with the instrument between points that are known already."""
    reads = instrument_types()[instrument.type].reads
    found = [reading for reading in _set_up_readings(adjusted) if reading.kind in reads]
    names = dict.fromkeys(name for axis, name in adjusted.coordinates if axis in {"x", "z"})
    order = sorted(names, key=lambda name: (nosing_number(name) is None, nosing_number(name) or 0))
    kinds = [kind for kind in reads if kind not in SET_UP_KINDS]
    for start, end in combinations(order, 2):
        found += [
            _draft(adjusted, kind, start, end) for kind in kinds if _in_reach(adjusted, kind, start, end)
        ]
    return tuple(replace(r, sigma=standard_uncertainty(instrument, r.kind, r.value)) for r in found)


def _set_up_readings(adjusted: Adjusted) -> list[Reading]:
    """Further readings from level set-ups and plumb lines that were used."""
    used = dict.fromkeys((r.kind, r.start) for r in adjusted.readings if r.kind in {Kind.LEVEL, Kind.PLUMB})
    found = []
    for kind, set_up in used:
        axis = "z" if kind is Kind.LEVEL else "x"
        for other, name in adjusted.coordinates:
            if other == axis:
                found.append(_draft(adjusted, kind, set_up, name))
    return found


def _in_reach(adjusted: Adjusted, kind: Kind, start: str, end: str) -> bool:
    """Whether both points have what the reading takes and a maker can reach from one to the other."""
    places = adjusted.places
    needed = {Kind.HEIGHT: "z", Kind.RUN: "x"}.get(kind, "xz")
    if not all((axis, name) in places for axis in needed for name in (start, end)):
        return False
    spans = [
        abs(adjusted.estimate((axis, end)) - adjusted.estimate((axis, start)))
        for axis in "xz"
        if (axis, start) in places and (axis, end) in places
    ]
    far = math.hypot(*spans)
    if len(spans) < 2:
        return _neighbours(start, end)
    if kind is Kind.PITCH:
        on_nosings = nosing_number(start) is not None and nosing_number(end) is not None
        return on_nosings and 1.0 < far <= STRAIGHTEDGE
    return far > 1.0 and (far <= TAPE_REACH if kind is Kind.STRAIGHT else max(spans) <= LEVEL_REACH)


def _neighbours(start: str, end: str) -> bool:
    """Where only heights are known, no more than a step between nosings can be taken to be in reach."""
    one, two = nosing_number(start), nosing_number(end)
    return one is not None and two is not None and abs(one - two) == 1


def _draft(adjusted: Adjusted, kind: Kind, start: str, end: str) -> Reading:
    spoken = unknowns_of(Reading("", kind, start, end, 1.0, 1.0))
    value = computed(kind, [adjusted.estimate(unknown) for unknown in spoken])
    return Reading(f"{kind} {start} {end}", kind, start, end, value, 1.0)


def _sentence(adjusted: Adjusted, reading: Reading, effect: str) -> str:
    ends = {reading.start, reading.end}
    taken = any(r.kind is reading.kind and {r.start, r.end} == ends for r in adjusted.readings)
    words = _IN_WORDS[reading.kind].format(start=reading.start, end=reading.end)
    return (
        f"The one more reading that helps most is {words}{' (once again)' if taken else ''}: it would bring down "
        f"{effect}."
    )


_IN_WORDS = {
    Kind.HEIGHT: "the height from {start} to {end}",
    Kind.RUN: "the level run from {start} to {end}",
    Kind.STRAIGHT: "the straight distance from {start} to {end}",
    Kind.PITCH: "the pitch of a straightedge from {start} to {end}",
    Kind.LEVEL: "the drop from the level line of '{start}' to {end}",
    Kind.PLUMB: "the distance from plumb line '{start}' to {end}",
    Kind.MARGIN: "the margin of string '{start}' at {end}",
    Kind.SLOPE: "the slope of '{start}'",
}
