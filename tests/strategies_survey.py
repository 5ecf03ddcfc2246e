"""Invented stairs and invented visits with a tape, for the tests of the survey."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from hypothesis import strategies as st

from pitchline.survey.readings import Fixed, Kind, Reading

DATUM = (Fixed(("x", "N1"), 0.0), Fixed(("z", "floor"), 0.0))
TAPE = 0.9
GAUGE = math.radians(0.15)


@dataclass(frozen=True, slots=True)
class Truth:
    """An invented stair: true places (x, z) of the points, and its true string (height, slope)."""

    points: dict[str, tuple[float, float]]
    string: tuple[float, float]

    @property
    def risers(self) -> int:
        return sum(name.startswith("N") for name in self.points)


def irregular_stair(rng: np.random.Generator, risers: int = 13) -> Truth:
    """Rises of 180-200 mm and goings of 215-240 mm, each off by a few millimetres."""
    rises = rng.uniform(180, 200) + rng.normal(0, 4, risers)
    goings = rng.uniform(215, 240) + rng.normal(0, 4, risers - 1)
    x = np.concatenate(([0.0], np.cumsum(goings)))
    z = np.cumsum(rises)
    points = {f"N{k + 1}": (float(x[k]), float(z[k])) for k in range(risers)}
    points["floor"] = (-200.0, 0.0)
    points["post"] = (float(x[-1]) - 30.0, float(z[-1]) + 500.0)
    slope = (z[-1] - z[0]) / x[-1] + rng.normal(0, 0.003)
    return Truth(points, (float(z[0]) + 55.0 + float(rng.normal(0, 3)), float(slope)))


def true_value(truth: Truth, kind: Kind, start: str, end: str) -> float:
    """What a perfect reading would say; set-ups of the level stand at 1500 mm, plumb lines at x = -100 mm."""
    x, z = truth.points[end]
    if kind is Kind.LEVEL:
        return 1500.0 - z
    if kind is Kind.PLUMB:
        return x + 100.0
    if kind is Kind.MARGIN:
        return truth.string[0] + truth.string[1] * x - z
    dx, dz = x - truth.points[start][0], z - truth.points[start][1]
    plain = {Kind.HEIGHT: dz, Kind.RUN: dx, Kind.STRAIGHT: math.hypot(dx, dz)}
    return plain[kind] if kind in plain else math.atan2(dz, dx)


def perfect(truth: Truth, kind: Kind, start: str, end: str, mark: str = "") -> Reading:
    sigma = GAUGE if kind is Kind.PITCH else TAPE
    return Reading(
        f"{kind} {start} {end}{mark}", kind, start, end, true_value(truth, kind, start, end), sigma
    )


def good_visit(truth: Truth) -> tuple[Reading, ...]:
    """About 3 n + 1 perfect readings: rises, goings, straights, levels, plumb lines, pitches, margins."""
    n = truth.risers
    steps = [(f"N{k}", f"N{k + 1}") for k in range(1, n)]
    plan = [(Kind.HEIGHT, "floor", "N1")]
    plan += [(kind, a, b) for a, b in steps for kind in (Kind.HEIGHT, Kind.RUN)]
    plan += [(Kind.STRAIGHT, f"N{k}", f"N{min(k + 3, n)}") for k in range(1, n - 1, 2)]
    plan += [(Kind.LEVEL, "set-up", name) for name in ("floor", f"N{n // 2}", f"N{n}")]
    plan += [(Kind.PLUMB, "line", name) for name in ("N1", f"N{n // 2}", f"N{n}")]
    plan += [(Kind.PITCH, "N1", f"N{n}"), (Kind.PITCH, "N2", f"N{n - 1}")]
    plan += [(Kind.MARGIN, "string", f"N{k}") for k in (1, n // 3 + 1, n - 1, n)]
    return tuple(perfect(truth, kind, start, end) for kind, start, end in plan)


def read(rng: np.random.Generator, readings: Sequence[Reading]) -> tuple[Reading, ...]:
    """The readings with errors drawn from their standard uncertainties."""
    return tuple(replace(r, value=r.value + float(rng.normal(0.0, r.sigma))) for r in readings)


def slipped(readings: Sequence[Reading], name: str, slip: float) -> tuple[Reading, ...]:
    """The readings with one of them off by ``slip``."""
    return tuple(replace(r, value=r.value + slip) if r.id == name else r for r in readings)


def visits(smallest: int = 4, largest: int = 16) -> st.SearchStrategy[tuple[Truth, tuple[Reading, ...]]]:
    """An irregular stair of some number of risers and one well-checked visit to it."""

    def draw(seed: int, risers: int) -> tuple[Truth, tuple[Reading, ...]]:
        rng = np.random.default_rng(seed)
        truth = irregular_stair(rng, risers)
        return truth, read(rng, good_visit(truth))

    return st.builds(draw, st.integers(0, 2**32 - 1), st.integers(smallest, largest))
