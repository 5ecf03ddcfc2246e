"""Pieces at hand given to the places where they fit, with the least waste; what becomes of every piece of a plan.

The assignment is that of linear programming (scipy's solver of the assignment problem): as many pieces as can be are
used again, and among all ways to do so the least wood comes off. Lengths in mm.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from pitchline.kit.tolerances import SAME_PART
from pitchline.making.fitting import Fit, fit_of, same_stuff
from pitchline.parts.explode import identical
from pitchline.parts.part import Part, Role

NO_PLACE = 1e7
"""What it costs to give a piece a place where it does not fit: more than all trimming of any job, mm."""

STRANGE_PLACE = 1.0
"""mm of trimming that it must save to give a piece another place than its own (common practice, no source)."""


class Fate(StrEnum):
    """What becomes of the piece of one place."""

    FITTED = "stands"
    FITS = "fits as cut"
    TRIM = "trim"
    SAME = "make as planned"
    CHANGED = "make to new sizes"
    NEW = "make anew"


TO_MAKE = frozenset({Fate.SAME, Fate.CHANGED, Fate.NEW})
"""The fates of pieces that are still to be cut."""


@dataclass(frozen=True, slots=True)
class Placed:
    """One place of the new plan: the piece at hand that goes there (its mark, "" for none) and what is done to it.

    ``planned`` is the length that the plan had for this place, None where it had none.
    """

    place: str
    piece: str
    role: Role
    fate: Fate
    planned: float | None
    length: float
    sigma: float
    fit: Fit | None = None

    @property
    def difference(self) -> float | None:
        """The new length less the planned one."""
        return None if self.planned is None else self.length - self.planned


@dataclass(frozen=True, slots=True)
class LeftOver:
    """A piece that was cut and fits nowhere: the place it comes nearest to, and how it fits there."""

    piece: str
    role: Role
    length: float
    nearest: str
    fit: Fit | None


@dataclass(frozen=True, slots=True)
class Match:
    """Every place of the new plan, pieces left over, and places of the old plan that are gone."""

    placed: tuple[Placed, ...]
    left_over: tuple[LeftOver, ...]
    gone: tuple[str, ...]


def match(
    planned: Sequence[Part], wanted: Sequence[Part], fitted: Mapping[str, str], cut: Mapping[str, Part]
) -> Match:
    """What becomes of every piece.

    ``planned`` and ``wanted`` are the pieces of the old and the new plan; ``fitted`` gives for each place of the new
    plan that is filled the mark of the piece there; ``cut`` are the pieces at hand by their marks.
    """
    before = {part.place: part for part in planned}
    free = [part for part in wanted if part.place not in fitted]
    given = _given(cut, free)
    placed = []
    for part in wanted:
        old = before.get(part.place)
        if part.place in fitted:
            piece, fate, fit = fitted[part.place], Fate.FITTED, None
        elif part.place in given:
            piece, fit = given[part.place]
            fate = Fate.FITS if fit.as_it_is else Fate.TRIM
        else:
            piece, fit = "", None
            fate = _unmade(part, old, cut)
        length = None if old is None else old.length
        placed.append(Placed(part.place, piece, part.role, fate, length, part.length, part.length_sigma, fit))
    used = {piece for piece, _ in given.values()} | set(fitted.values())
    left = tuple(_left_over(mark, part, wanted, fitted) for mark, part in cut.items() if mark not in used)
    here = {part.place for part in wanted}
    gone = tuple(part.place for part in planned if part.place not in here)
    return Match(tuple(placed), left, gone)


def _unmade(part: Part, old: Part | None, cut: Mapping[str, Part]) -> Fate:
    """What is done for a place to which no piece at hand goes."""
    if old is None or part.place in cut:
        return Fate.NEW
    return Fate.SAME if identical(old, part) else Fate.CHANGED


def _given(cut: Mapping[str, Part], free: Sequence[Part]) -> dict[str, tuple[str, Fit]]:
    """The places that pieces at hand go to."""
    given: dict[str, tuple[str, Fit]] = {}
    for marks, places in _alike(cut, free):
        given |= _assigned(marks, places, cut)
    return given


def _alike(cut: Mapping[str, Part], free: Sequence[Part]) -> Iterable[tuple[list[str], list[Part]]]:
    """Pieces and places of one role, material and section."""
    pieces: dict[tuple[object, ...], list[str]] = defaultdict(list)
    for mark, part in cut.items():
        pieces[_stuff(part)].append(mark)
    for marks in pieces.values():
        yield marks, [part for part in free if same_stuff(cut[marks[0]], part)]


def _stuff(part: Part) -> tuple[object, ...]:
    sizes = (round(size / SAME_PART) for size in (part.width, part.thickness))
    return (part.role, part.material, *sizes)


def _assigned(
    marks: Sequence[str], places: Sequence[Part], cut: Mapping[str, Part]
) -> dict[str, tuple[str, Fit]]:
    if not marks or not places:
        return {}
    from scipy.optimize import linear_sum_assignment  # slow to load, and only a job with cut pieces needs it

    fits = [[fit_of(cut[mark], place) for place in places] for mark in marks]
    cost = np.array([[_cost(fit, mark, place) for fit, place in zip(row, places, strict=True)]
                     for row, mark in zip(fits, marks, strict=True)])  # fmt: skip
    rows, columns = linear_sum_assignment(cost)
    return {
        places[column].place: (marks[row], fits[row][column])
        for row, column in zip(rows.tolist(), columns.tolist(), strict=True)
        if fits[row][column].fits
    }


def _cost(fit: Fit, mark: str, place: Part) -> float:
    return (fit.waste if fit.fits else NO_PLACE) + (0.0 if mark == place.place else STRANGE_PLACE)


def _left_over(mark: str, part: Part, wanted: Sequence[Part], fitted: Mapping[str, str]) -> LeftOver:
    """A piece without a place, with the free place that it comes nearest to: its own where that is still there."""
    places = [place for place in wanted if place.place not in fitted and same_stuff(part, place)]
    own = [place for place in places if place.place == mark]
    tried = [(place.place, fit_of(part, place)) for place in own or places]
    tried.sort(key=lambda one: (one[1].misplaced, one[1].short))
    nearest, fit = tried[0] if tried else ("", None)
    return LeftOver(mark, part.role, part.length, nearest, fit)


def still_to_cut(parts: Iterable[Part], found: Match | None) -> tuple[Part, ...]:
    """The pieces of a plan that are still to be cut from stock; all of them where nothing is at hand."""
    if found is None:
        return tuple(parts)
    made = {one.place for one in found.placed if one.fate not in TO_MAKE}
    return tuple(part for part in parts if part.place not in made)
