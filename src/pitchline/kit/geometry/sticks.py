"""Fitting a straight stick between two faces: how its fit hangs on each reading, what to leave long, where to begin.

A stick has its own axes: x along it, y across its width, z through its depth. Each end is cut to a face whose place
and angles are known only so well. Lengths in mm, angles in degrees. See docs/method/turning-rails.md.
"""

import math
from dataclasses import dataclass
from enum import StrEnum

from pitchline.kit.geometry.frames import Vec3, cross, magnitude, unit
from pitchline.kit.tolerances import COVERAGE_FACTOR, FIT_ALIKE, SAME_DIRECTION, SETTING_OUT, TRIAL_SHAVING


@dataclass(frozen=True, slots=True)
class FittedEnd:
    """One end of a stick and what is known of the face it is cut to.

    ``normal`` is the cut's normal and ``up`` the plumb direction, both in the stick's own axes. ``place_sigma`` is
    the standard uncertainty of the face's place, square to it, ``lean_sigma_deg`` that of its angle to plumb and
    ``twist_sigma_deg`` that of its direction in plan. ``arm`` is how far, along the face, its place was read from
    where the stick meets it. ``hides`` is what error in length the joint covers (a housing, a moulding), ``moves``
    how far the thing the stick ends on can still be moved. Raises ValueError for a face that runs along the stick
    or lies level, and for anything below zero but the arm.
    """

    normal: Vec3
    up: Vec3
    place_sigma: float
    lean_sigma_deg: float
    twist_sigma_deg: float
    arm: float = 0.0
    hides: float = 0.0
    moves: float = 0.0

    def __post_init__(self) -> None:
        if abs(unit(self.normal)[0]) <= SAME_DIRECTION:
            raise ValueError("a face along the stick is no end")
        if magnitude(cross(unit(self.up), unit(self.normal))) <= SAME_DIRECTION:
            raise ValueError("a level face neither leans nor twists")
        if min(self.place_sigma, self.lean_sigma_deg, self.twist_sigma_deg, self.hides, self.moves) < 0.0:
            raise ValueError("uncertainties and allowances are not below zero")

    @property
    def square(self) -> float:
        """Cosine of the angle between the cut and a square one."""
        return abs(unit(self.normal)[0])

    @property
    def forgives(self) -> float:
        """What error in length this end takes up without being seen."""
        return self.hides + self.moves


@dataclass(frozen=True, slots=True)
class EndFit:
    """How the fit at one end hangs on the readings of its face, for a stick of a given section.

    ``length_per_mm`` is what the stick gains by 1 mm of the face's place square to it, ``length_per_lean_deg`` by one
    degree of lean over the arm. ``gape_per_lean_deg`` and ``gape_per_twist_deg`` are how far the joint stands open,
    square to the face, for one degree. ``length_sigma`` and ``gape_sigma`` put the end's own uncertainties in.
    """

    length_per_mm: float
    length_per_lean_deg: float
    gape_per_lean_deg: float
    gape_per_twist_deg: float
    length_sigma: float
    gape_sigma: float

    @property
    def gape(self) -> float:
        """How far the joint may stand open when cut by the readings alone, 19 times in 20 not more."""
        return COVERAGE_FACTOR * self.gape_sigma

    @property
    def trim(self) -> float:
        """What must come off along the stick to close such a joint."""
        return self.gape * self.length_per_mm


def end_fit(end: FittedEnd, width: float, depth: float) -> EndFit:
    """The sensitivities of one end.

    The cut is the plane x = p y + q z. A face that turns by a small angle about an axis w has its normal moved by
    w x n, and p and q with it: across the section the joint opens by (|dp| width + |dq| depth) times the cosine
    of the cut's angle from square. Leaning turns about the level line of the face, twisting about plumb.
    """
    n, up = unit(end.normal), unit(end.up)
    per_mm = 1.0 / end.square
    degree = math.radians(1.0)
    gapes = [_gape(n, axis, width, depth) * degree for axis in (unit(cross(up, n)), up)]
    per_lean = abs(end.arm) * degree * per_mm
    return EndFit(
        length_per_mm=per_mm,
        length_per_lean_deg=per_lean,
        gape_per_lean_deg=gapes[0],
        gape_per_twist_deg=gapes[1],
        length_sigma=math.hypot(per_mm * end.place_sigma, per_lean * end.lean_sigma_deg),
        gape_sigma=math.hypot(gapes[0] * end.lean_sigma_deg, gapes[1] * end.twist_sigma_deg),
    )


def _gape(n: Vec3, axis: Vec3, width: float, depth: float) -> float:
    """How far a joint opens across the section, square to the face, per radian about an axis."""
    dn = cross(axis, n)
    dp = (dn[1] * n[0] - n[1] * dn[0]) / n[0] ** 2
    dq = (dn[2] * n[0] - n[2] * dn[0]) / n[0] ** 2
    return (abs(dp) * width + abs(dq) * depth) * abs(n[0])


class WhyFirst(StrEnum):
    """Why one end of a stick is fitted before the other."""

    FORGIVES_LESS = "forgives less"
    """Its joint hides less, and what it ends on cannot be moved as far."""
    GAPES_MORE = "gapes more"
    """Both forgive alike; its cut is the one more likely to need a second go."""
    EITHER = "either"
    """Both ends are alike; the start is taken."""


@dataclass(frozen=True, slots=True)
class FitPlan:
    """Where to begin and what to leave long, along the stick.

    The first end only has its angles trimmed, since the stick can still slide along. The second takes up the
    length of both. ``length_sigma`` is the standard uncertainty of the stick's length by both faces.
    """

    start_first: bool
    why: WhyFirst
    start: EndFit
    finish: EndFit
    leave_at_start: float
    leave_at_finish: float
    length_sigma: float

    @property
    def leave(self) -> float:
        """What the blank is longer than the stick by, both ends together."""
        return self.leave_at_start + self.leave_at_finish


def fit_plan(start: FittedEnd, finish: FittedEnd, width: float, depth: float, *, trials: int = 2) -> FitPlan:
    """Which end of a stick to fit first, and how much to leave on each.

    The end that forgives less comes first; the other is then cut to what is there. ``trials`` is how many cuts a
    maker wants for trying before the last. An end that hides or takes up more than its error can be wants nothing
    left on. Raises ValueError for sizes not above zero or fewer trials than none.
    """
    if not min(width, depth) > 0.0 or trials < 0:
        raise ValueError("a stick has a width and a depth, and no fewer than no trials")
    fits = (end_fit(start, width, depth), end_fit(finish, width, depth))
    start_first, why = _begin(start, finish, fits)
    sigma = math.hypot(fits[0].length_sigma, fits[1].length_sigma)
    lengths = (0.0, COVERAGE_FACTOR * sigma) if start_first else (COVERAGE_FACTOR * sigma, 0.0)
    at_start, at_finish = (
        _left_on(length + fit.trim - end.forgives, trials)
        for length, fit, end in zip(lengths, fits, (start, finish), strict=True)
    )
    return FitPlan(start_first, why, *fits, at_start, at_finish, sigma)


def _begin(start: FittedEnd, finish: FittedEnd, fits: tuple[EndFit, EndFit]) -> tuple[bool, WhyFirst]:
    more = finish.forgives - start.forgives
    if abs(more) > SETTING_OUT:
        return more > 0.0, WhyFirst.FORGIVES_LESS
    wider = fits[0].gape - fits[1].gape
    if abs(wider) > FIT_ALIKE:
        return wider > 0.0, WhyFirst.GAPES_MORE
    return True, WhyFirst.EITHER


def _left_on(error: float, trials: int) -> float:
    return error + trials * TRIAL_SHAVING if error > 0.0 else 0.0
