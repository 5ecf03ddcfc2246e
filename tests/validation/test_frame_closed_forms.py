"""The frame kernel against closed forms.

Beam and portal forms: A. Kleinlogel, Rahmenformeln; W. Young and R. Budynas, Roark's Formulas for Stress and Strain;
S. Timoshenko, Strength of Materials (shear), from memory of the books, each confirmed by several other programs.
Beam on springs: M. Hetenyi, Beams on Elastic Foundation (1946), and a Fourier form derived from the slope-deflection
equations. Semi-rigid ends: Monforton and Wu (1963), formulae restated from the mechanics.
"""

import math

import numpy as np
import pytest
from tests.strategies_frames import FIXED, INF, PIN_TURNS, plain

from pitchline.kit.frame.loads import Case, LineLoad, NodalLoad, PointLoad
from pitchline.kit.frame.model import RIGID, Frame, Member, Node, Section, Six, rectangle
from pitchline.kit.frame.results import Solution
from pitchline.kit.frame.solve import solve

E, G = 11000.0, 690.0
HOLD_LINE: Six = (INF, INF, INF, INF, 0.0, 0.0)
SLIDE: Six = (0.0, INF, INF, INF, 0.0, 0.0)


def beam(
    length: float,
    section: Section,
    ends: tuple[Six, Six],
    grounds: tuple[Six, Six] = (FIXED, FIXED),
    loads: tuple[LineLoad | PointLoad, ...] = (),
    mid: bool = True,
) -> Solution:
    """A beam along x, loaded along z, with a node in its middle."""
    nodes = [Node("a", (0, 0, 0), grounds[0]), Node("b", (length, 0, 0), grounds[1])]
    if mid:
        nodes.insert(1, Node("c", (length / 2, 0, 0)))
        members = [
            Member("ac", "a", "c", E, G, section, (0, 0, 1), ends[0], RIGID),
            Member("cb", "c", "b", E, G, section, (0, 0, 1), RIGID, ends[1]),
        ]
    else:
        members = [Member("ab", "a", "b", E, G, section, (0, 0, 1), ends[0], ends[1])]
    points = tuple(load for load in loads if isinstance(load, PointLoad))
    lines = tuple(load for load in loads if isinstance(load, LineLoad))
    return solve(Frame(tuple(nodes), tuple(members)), [Case("q", (), points, lines)])


def full_line(length: float, w: float) -> tuple[LineLoad, ...]:
    q = (0.0, 0.0, -w)
    return (LineLoad("ac", 0, length / 2, q, q), LineLoad("cb", 0, length / 2, q, q))


def test_newel_on_a_springy_base() -> None:
    """Closed form: P h3/3EI + P h2/k + P h/(kappa G A)."""
    p, h, k, s = 500.0, 1000.0, 40e6, rectangle(90, 90)
    ground: Six = (INF, INF, INF, k, k, INF)
    frame = Frame(
        (Node("a", (0, 0, 0), ground), Node("b", (0, 0, h))), (Member("p", "a", "b", E, G, s, (1, 0, 0)),)
    )
    found = solve(frame, [Case("push", (NodalLoad("b", (0, p, 0, 0, 0, 0)),))]).moved("push", "b")[1]
    closed = p * h**3 / (3 * E * s.iy) + p * h**2 / k + p * h / (5 / 6 * G * s.area)
    assert found == pytest.approx(closed, rel=1e-12)


@pytest.mark.parametrize("k", [5.0, 50.0, 5e3])
def test_simple_beam_on_a_spring_in_its_middle(k: float) -> None:
    """Closed form by compatibility, with shear: w0 / (1 + k (L3/48EI + L/(4 kappa G A))), w0 of the beam alone."""
    w, long, s = 0.7, 1800.0, rectangle(45, 60)
    held: Six = (INF, INF, INF, INF, 0.0, 0.0)
    nodes = (
        Node("a", (0, 0, 0), held),
        Node("c", (long / 2, 0, 0), (0.0, 0.0, k, 0.0, 0.0, 0.0)),
        Node("b", (long, 0, 0), held),
    )
    halves = (Member("ac", "a", "c", E, G, s), Member("cb", "c", "b", E, G, s))
    found = -solve(Frame(nodes, halves), [Case("w", line=full_line(long, w))]).moved("w", "c")[2]
    shear = 5 / 6 * G * s.area
    alone = 5 * w * long**4 / (384 * E * s.iy) + w * long**2 / (8 * shear)
    assert found == pytest.approx(
        alone / (1 + k * (long**3 / (48 * E * s.iy) + long / (4 * shear))), rel=1e-11
    )


@pytest.mark.parametrize(("i2", "h"), [(1.0, 3000.0), (3.0, 2000.0), (0.4, 5000.0)])
def test_fixed_portal_under_sway(i2: float, h: float) -> None:
    """Kleinlogel: M at the base = H h/2 (3k+1)/(6k+1), k = (I2/I1)(h/l); axial strain made small here."""
    length, load, i1 = 4000.0, 1000.0, 1e7
    post, rail = plain(1e7, i1), plain(1e7, i1 * i2)
    nodes = (
        Node("a", (0, 0, 0), FIXED),
        Node("b", (0, 0, h)),
        Node("c", (length, 0, h)),
        Node("d", (length, 0, 0), FIXED),
    )
    members = (
        Member("ab", "a", "b", E, G, post, (1, 0, 0)),
        Member("bc", "b", "c", E, G, rail),
        Member("dc", "d", "c", E, G, post, (1, 0, 0)),
    )
    found = solve(Frame(nodes, members), [Case("sway", (NodalLoad("b", (load, 0, 0, 0, 0, 0)),))])
    k = i2 * h / length
    base = load * h / 2 * (3 * k + 1) / (6 * k + 1)
    assert abs(found.reaction("sway", "a")[4]) == pytest.approx(base, rel=1e-4)


@pytest.mark.parametrize("kappa", [INF, 5 / 6, 0.3])
def test_simple_beam_under_a_line(kappa: float) -> None:
    """Roark and Timoshenko: 5wL4/384EI + wL2/(8 kappa G A)."""
    length, w, s = 700.0, 2.0, plain(9000.0, 6e6, kappa=kappa)
    found = beam(length, s, (RIGID, RIGID), (HOLD_LINE, SLIDE), full_line(length, w))
    closed = 5 * w * length**4 / (384 * E * s.iy) + w * length**2 / (8 * kappa * G * s.area)
    assert -found.moved("q", "c")[2] == pytest.approx(closed, rel=1e-12)


@pytest.mark.parametrize("kappa", [INF, 5 / 6, 0.3])
def test_fixed_beam_under_a_line(kappa: float) -> None:
    """Roark: end moments wL2/12 whatever the shear; middle wL4/384EI + wL2/(8 kappa G A)."""
    length, w, s = 700.0, 2.0, plain(9000.0, 6e6, kappa=kappa)
    found = beam(length, s, (RIGID, RIGID), loads=full_line(length, w))
    assert abs(found.reaction("q", "a")[4]) == pytest.approx(w * length**2 / 12, rel=1e-12)
    closed = w * length**4 / (384 * E * s.iy) + w * length**2 / (8 * kappa * G * s.area)
    assert -found.moved("q", "c")[2] == pytest.approx(closed, rel=1e-12)


@pytest.mark.parametrize("kappa", [INF, 5 / 6, 0.3])
def test_propped_beam_with_shear(kappa: float) -> None:
    """Closed form by compatibility: M = wL2/8/(1 + Phi/4), Phi = 12EI/(kappa G A L2)."""
    length, w, s = 700.0, 2.0, plain(9000.0, 6e6, kappa=kappa)
    found = beam(length, s, (RIGID, PIN_TURNS), loads=full_line(length, w))
    phi = 12 * E * s.iy / (kappa * G * s.area * length**2)
    assert abs(found.reaction("q", "a")[4]) == pytest.approx(w * length**2 / 8 / (1 + phi / 4), rel=1e-12)


@pytest.mark.parametrize("k", [1e5, 2e7, 1e12])
def test_equal_semi_rigid_ends(k: float) -> None:
    """Closed form: M = wL2/12/(1 + 2EI/kL), middle 5wL4/384EI - ML2/8EI; point load PL/8 likewise."""
    length, w, p = 2000.0, 0.36, 1000.0
    s = plain(2925.0, 55.0 * 60**3 / 12)
    joint: Six = (INF, INF, INF, INF, k, k)
    alpha = 2 * E * s.iy / (k * length)
    lined = beam(length, s, (joint, joint), loads=full_line(length, w))
    end = w * length**2 / 12 / (1 + alpha)
    assert abs(lined.reaction("q", "a")[4]) == pytest.approx(end, rel=1e-10)
    middle = 5 * w * length**4 / (384 * E * s.iy) - end * length**2 / (8 * E * s.iy)
    assert -lined.moved("q", "c")[2] == pytest.approx(middle, rel=1e-10)
    point = beam(length, s, (joint, joint), loads=(PointLoad("ab", length / 2, (0, 0, -p)),), mid=False)
    assert abs(point.reaction("q", "a")[4]) == pytest.approx(p * length / 8 / (1 + alpha), rel=1e-10)


def test_spring_in_the_ground_and_in_the_joint_are_one() -> None:
    """A spring under a node does the same as that spring in the joint of a member on fixed ground."""
    k, s = 3e7, rectangle(90, 70)
    p = NodalLoad("b", (0, 400, 0, 0, 0, 0))

    def moved(ground: Six, joint: Six) -> float:
        member = Member("p", "a", "b", E, G, s, (1, 0, 0), joint)
        frame = Frame((Node("a", (0, 0, 0), ground), Node("b", (0, 0, 900))), (member,))
        return float(solve(frame, [Case("p", (p,))]).moved("p", "b")[1])

    under = moved((INF, INF, INF, k, INF, INF), RIGID)
    inside = moved(FIXED, (INF, INF, INF, INF, INF, k))
    assert under == pytest.approx(inside, rel=1e-12)


@pytest.mark.parametrize("joint", [RIGID, PIN_TURNS, (INF, INF, INF, INF, 4e6, 9e5)])
@pytest.mark.parametrize("kappa", [INF, 0.4])
def test_a_force_inside_a_member_acts_as_at_a_node(joint: Six, kappa: float) -> None:
    """Shear, joints and member loads together: bi-axial force at 0.3 L, with and without a node there."""
    length, force = 1300.0, (70.0, 300.0, -500.0)
    s = Section(3000.0, 8e5, 3e5, 4e5, kappa, kappa / 2)
    far: Six = (INF, INF, INF, INF, 2e6, 2e6)
    whole = Member("ab", "a", "b", E, G, s, (0, 0.2, 1), joint, far)
    ground: Six = (INF, INF, INF, INF, 5e6, 7e6)
    ends = (Node("a", (0, 0, 0), FIXED), Node("b", (length, 0, 0), ground))
    inside = solve(Frame(ends, (whole,)), [Case("q", point=(PointLoad("ab", 0.3 * length, force),))])
    parts = (
        Member("ac", "a", "c", E, G, s, (0, 0.2, 1), joint, RIGID),
        Member("cb", "c", "b", E, G, s, (0, 0.2, 1), RIGID, far),
    )
    frame = Frame((*ends, Node("c", (0.3 * length, 0, 0))), parts)
    split = solve(frame, [Case("q", (NodalLoad("c", (*force, 0, 0, 0)),))])
    np.testing.assert_allclose(inside.moved("q", "b"), split.moved("q", "b"), rtol=1e-9, atol=1e-12)
    np.testing.assert_allclose(inside.reaction("q", "a"), split.reaction("q", "a"), rtol=1e-9, atol=1e-6)


def test_forces_inside_a_member_under_a_sloping_line() -> None:
    """Statics: cantilever with q from 1 to 3 N/mm over its outer part."""
    length, start = 1000.0, 400.0
    s = rectangle(50, 80)
    frame = Frame((Node("a", (0, 0, 0), FIXED), Node("b", (length, 0, 0))), (Member("m", "a", "b", E, G, s),))
    line = LineLoad("m", start, length, (0, 0, -1.0), (0, 0, -3.0))
    found = solve(frame, [Case("q", line=(line,))]).inside("q", "m", np.array([0.0, 400.0, 700.0, 1000.0]))
    total = 2.0 * 600.0
    arm = start + 600.0 * (1.0 + 2 * 3.0) / (3 * (1.0 + 3.0))
    assert abs(found.moment_y[0]) == pytest.approx(total * arm, rel=1e-12)
    rest = [total, total, (2.0 + 3.0) / 2 * 300.0, 0.0]
    np.testing.assert_allclose(np.abs(found.shear_z), rest, rtol=1e-12, atol=1e-7)
    at_700 = 300.0**2 * (2.0 + 2 * 3.0) / 6
    assert abs(found.moment_y[2]) == pytest.approx(at_700, rel=1e-10)
    assert found.moment_y[3] == pytest.approx(0.0, abs=1e-5)


def rail_on_springs(k: float, s: float, section: Section, spans: int) -> Solution:
    """A rail over equal springs, its middle spring loaded."""
    nodes = [Node(f"{n}", (n * s, 0, 0), (INF, INF, k, INF, 0.0, INF)) for n in range(spans + 1)]
    members = [Member(f"m{n}", f"{n}", f"{n + 1}", E, G, section) for n in range(spans)]
    frame = Frame(tuple(nodes), tuple(members))
    return solve(frame, [Case("p", (NodalLoad(f"{spans // 2}", (0, 0, -1000.0, 0, 0, 0)),))])


def test_rail_on_many_springs() -> None:
    """Fourier form over equal springs: w0 = (P/pi) Int dt / (k + 12EI/s3 (1-cos t)2/(2+cos t)), 0 to pi.

    Hetenyi's continuous foundation, P lambda s / 2k with lambda = (k / 4 s E I)^(1/4), is within 5 per cent here.
    """
    k, s, section = 50.0, 110.0, rectangle(45, 55)
    steps = (np.arange(200000) + 0.5) / 200000 * math.pi
    bend = 12 * E * section.iy / s**3 * (1 - np.cos(steps)) ** 2 / (2 + np.cos(steps))
    closed = 1000.0 * float(np.mean(1.0 / (k + bend)))
    plain_section = Section(section.area, section.iy, section.iz, section.torsion)
    found = -rail_on_springs(k, s, plain_section, 200).moved("p", "100")[2]
    assert found == pytest.approx(closed, rel=1e-8)
    flat = (k / (4 * s * E * section.iy)) ** 0.25
    assert found == pytest.approx(1000.0 * flat * s / (2 * k), rel=0.05)


def test_rectangle_in_torsion() -> None:
    """Saint-Venant's series for rectangles, b/a = 1, 2, 10: 0.1406, 0.2287, 0.3123 (Timoshenko and Goodier)."""
    for ratio, factor in ((1.0, 0.1406), (2.0, 0.2287), (10.0, 0.3123)):
        assert rectangle(30.0 * ratio, 30.0).torsion / (30.0**4 * ratio) == pytest.approx(factor, rel=0.005)


def test_ground_that_moves() -> None:
    """A simple beam turns as a whole where one support sinks; a fixed one gets 6EI d / L2 (Kleinlogel)."""
    length, d, s = 1000.0, 3.0, plain(4000.0, 2e6)
    nodes = (Node("a", (0, 0, 0), FIXED), Node("b", (length, 0, 0), FIXED))
    sunk = {"b": (0.0, 0.0, -d, 0.0, 0.0, 0.0)}
    fixed = solve(Frame(nodes, (Member("m", "a", "b", E, G, s),)), [Case("sink", displacements=sunk)])
    assert abs(fixed.reaction("sink", "a")[4]) == pytest.approx(6 * E * s.iy * d / length**2, rel=1e-12)
    spring = 200.0
    soft = (nodes[0], Node("b", (length, 0, 0), (INF, INF, spring, INF, 0.0, INF)))
    sprung = solve(Frame(soft, (Member("m", "a", "b", E, G, s),)), [Case("sink", displacements=sunk)])
    beam_spring = 3 * E * s.iy / length**3
    assert -sprung.moved("sink", "b")[2] == pytest.approx(d * spring / (spring + beam_spring), rel=1e-12)
