"""Invented frames for the kernel's tests: random ones from a seed, and short ways to write members by hand."""

import math
from dataclasses import replace

import numpy as np
from hypothesis import strategies as st

from pitchline.kit.frame.loads import Case, LineLoad, NodalLoad, PointLoad
from pitchline.kit.frame.model import RIGID, Frame, Member, Node, Section, Six
from pitchline.kit.geometry.frames import Vec3

INF = math.inf
FIXED: Six = RIGID
PIN_TURNS: Six = (INF, INF, INF, INF, 0.0, 0.0)
"""A hinge about both bending axes."""


def plain(area: float, i: float, torsion: float | None = None, kappa: float = INF) -> Section:
    """A section with the same second moment both ways."""
    return Section(area, i, i, torsion if torsion is not None else 2 * i, kappa, kappa)


def random_frame(seed: int, shear: bool = True, loose: float = 0.5, give: bool = False) -> tuple[Frame, Case]:
    """A random frame of 5 to 9 nodes in space, on fixed and springy ground, under loads of every kind.

    A chain runs through all nodes, so that it is stable; of the other members the share ``loose`` has a hinge at one
    end. With ``give`` every chain member has a joint that gives.
    """
    rng = np.random.default_rng(seed)
    count = int(rng.integers(5, 10))
    places = rng.uniform(-1000.0, 1000.0, (count, 3)) + 400.0 * np.arange(count)[:, None] * [1, 0.3, 0]
    nodes = [Node(f"n{k}", _vec(places[k]), _ground(rng, k)) for k in range(count)]
    pairs = {(k, k + 1) for k in range(count - 1)} | {(0, count - 1)}
    pairs |= {(int(a), int(b)) for a, b in np.sort(rng.integers(0, count, (count, 2)), axis=1) if a != b}
    members = [_member(rng, (i, j), shear, loose, give) for i, j in sorted(pairs)]
    frame = Frame(tuple(nodes), tuple(members))
    nodal = tuple(NodalLoad(n.id, _six(rng.normal(0, 1, 6) * [500, 500, 500, 2e5, 2e5, 2e5])) for n in nodes)
    case = Case("random", nodal)
    return frame, replace(case, point=_points(rng, frame), line=_lines(rng, frame))


def _ground(rng: np.random.Generator, place: int) -> Six | None:
    if place == 0:
        return FIXED
    if place == 1:
        return _six(np.concatenate([rng.uniform(50, 5000, 3), rng.uniform(1e6, 1e8, 3)]))
    if place == 2:
        return (INF, 0.0, 300.0, 0.0, INF, 2e6)
    return None


def _member(rng: np.random.Generator, pair: tuple[int, int], shear: bool, loose: float, give: bool) -> Member:
    i, j = pair
    b, h = rng.uniform(20, 120, 2)
    kappa = rng.uniform(0.5, 0.9, 2) if shear else (INF, INF)
    section = Section(b * h, b**3 * h / 12, b * h**3 / 12, b**3 * h / 5, float(kappa[0]), float(kappa[1]))
    ends: list[Six] = [RIGID, RIGID]
    if j == i + 1:
        ends[0] = (INF, INF, INF, INF, 3e7, 8e6) if give else RIGID
    elif rng.random() < loose:
        ends[int(rng.integers(0, 2))] = PIN_TURNS
    e = float(rng.uniform(7000, 14000))
    return Member(
        f"m{i}-{j}", f"n{i}", f"n{j}", e, e / 16.0, section, _vec(rng.normal(0, 1, 3)), ends[0], ends[1]
    )


def _length(frame: Frame, place: int) -> float:
    i, j = frame.ends[place]
    return float(np.linalg.norm(frame.xyz[j] - frame.xyz[i]))


def _points(rng: np.random.Generator, frame: Frame) -> tuple[PointLoad, ...]:
    return tuple(
        PointLoad(m.id, float(rng.uniform(0, 1)) * _length(frame, k), _vec(rng.normal(0, 300, 3)))
        for k, m in enumerate(frame.members)
        if k % 2 == 0
    )


def _lines(rng: np.random.Generator, frame: Frame) -> tuple[LineLoad, ...]:
    lines = []
    for k, m in enumerate(frame.members):
        if k % 3 == 0:
            start, finish = np.sort(rng.uniform(0, 1, 2)) * _length(frame, k)
            q0, q1 = _vec(rng.normal(0, 0.5, 3)), _vec(rng.normal(0, 0.5, 3))
            lines.append(LineLoad(m.id, float(start), float(finish), q0, q1))
    return tuple(lines)


def _vec(values: np.typing.NDArray[np.float64]) -> Vec3:
    x, y, z = (float(v) for v in values)
    return (x, y, z)


def _six(values: np.typing.NDArray[np.float64]) -> Six:
    a, b, c, d, e, f = (float(v) for v in values)
    return (a, b, c, d, e, f)


def seeds() -> st.SearchStrategy[int]:
    """Seeds of random frames."""
    return st.integers(min_value=0, max_value=100_000)
