"""What stands of a design and what becomes of its pieces, for other programs; mm, degrees."""

import math

from typing_extensions import TypedDict

from pitchline.making.fitting_differences import Difference
from pitchline.making.fitting_match import LeftOver, Placed
from pitchline.making.fitting_report import AsBuilt


class DifferenceDoc(TypedDict):
    """One quantity as planned and as built; uncertainties are expanded (k = 2), null where none is known."""

    where: str
    what: str
    planned: float
    measured: float
    difference: float
    uncertainty_before: float | None
    uncertainty_after: float | None
    unit: str


class PlacedDoc(TypedDict):
    """What becomes of one place: the piece at hand that goes there and what comes off it at its longest."""

    place: str
    piece: str | None
    role: str
    fate: str
    planned_length: float | None
    length: float
    length_sigma: float
    trim_start: float
    trim_finish: float
    resawn: list[bool]


class LeftOverDoc(TypedDict):
    """A piece that is cut and goes nowhere; ``short`` is what it lacks at the place it comes nearest to."""

    piece: str
    role: str
    length: float
    nearest: str | None
    short: float | None


class AsBuiltDoc(TypedDict):
    """One design as it stands after a gate of the work."""

    gate: str
    date: str | None
    differences: list[DifferenceDoc]
    pieces: list[PlacedDoc]
    left_over: list[LeftOverDoc]
    gone: list[str]


def as_built_document(built: AsBuilt | None) -> AsBuiltDoc | None:
    """What stands of a design as data, None where nothing was measured."""
    if built is None:
        return None
    return {
        "gate": built.gate,
        "date": built.date or None,
        "differences": [_difference(one) for one in built.differences],
        "pieces": [_placed(one) for one in built.match.placed],
        "left_over": [_left_over(one) for one in built.match.left_over],
        "gone": list(built.match.gone),
    }


def _difference(one: Difference) -> DifferenceDoc:
    return {
        "where": one.where,
        "what": one.what,
        "planned": one.planned,
        "measured": one.measured,
        "difference": one.difference,
        "uncertainty_before": one.before,
        "uncertainty_after": one.after,
        "unit": one.unit,
    }


def _placed(one: Placed) -> PlacedDoc:
    fit = one.fit
    return {
        "place": one.place,
        "piece": one.piece or None,
        "role": one.role.value,
        "fate": one.fate.value,
        "planned_length": one.planned,
        "length": one.length,
        "length_sigma": one.sigma,
        "trim_start": 0.0 if fit is None else fit.trim_start,
        "trim_finish": 0.0 if fit is None else fit.trim_finish,
        "resawn": [False, False] if fit is None else list(fit.resawn),
    }


def _left_over(one: LeftOver) -> LeftOverDoc:
    known = one.fit is not None and math.isfinite(one.fit.short) and not one.fit.misplaced
    return {
        "piece": one.piece,
        "role": one.role.value,
        "length": one.length,
        "nearest": one.nearest or None,
        "short": one.fit.short if one.fit is not None and known else None,
    }
