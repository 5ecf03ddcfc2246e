"""Sums that an engineer does on paper: rails on springy posts, newels, balusters, a whole bay of a guarding.

Beam formulas after Roark's Formulas for Stress and Strain and Kleinlogel (from memory; several programs agree).
Rows marked *worked out for this project* come from an independent script of ten lines (numpy), not from this program.
Second order: two benchmarks of the AISC as an open frame program prints them, with their closed forms.
"""

import math
from dataclasses import replace

import numpy as np
import pytest
from tests.builders import ENGLAND
from tests.strategies_stairs import LIMITS, plain_brief, regular_flight
from tests.strength.test_strength_model import AT_TOP

from pitchline.catalogue.rules import RuleSet
from pitchline.design.brief import BaseBrief, BaseSeat
from pitchline.design.compose import compose
from pitchline.kit.frame.loads import Case, LineLoad, NodalLoad
from pitchline.kit.frame.model import RIGID, Frame, Member, Node, Section, Six, rectangle
from pitchline.kit.frame.solve import factor, solve
from pitchline.strength.bases import supports
from pitchline.strength.bases.joints import InSocket, PostEnd
from pitchline.strength.bases.pull import post_movement
from pitchline.strength.ec5 import edition_2025, factors, lateral, members
from pitchline.strength.limits import allowed
from pitchline.strength.loads import walking_line
from pitchline.strength.model import Model, Piece, Standing
from pitchline.strength.rails import RAIL_SLIP
from pitchline.strength.report import StrengthReport
from pitchline.strength.run import strength_of
from pitchline.strength.sections import solid
from pitchline.strength.settings import Code, PostBase, StrengthSettings
from pitchline.strength.woods import Graded, wood_of

INF = math.inf
C24 = wood_of("pine-european", Graded({"pine-european": "C24"}, {}))


def level_rail(spans: int, span: float, ei: float, spring: float, held: Six | None = None) -> Frame:
    """A rail along x that bends level, over posts that are springs across it; twenty members a span, no shear."""
    count = 20 * spans
    section = Section(1e6, ei, ei, ei)
    nodes = []
    for n in range(count + 1):
        at_post = n % 20 == 0
        ground = held or (INF, spring, INF, INF, 0.0, 0.0)
        nodes.append(Node(f"n{n}", (n * span / 20, 0.0, 0.0), ground if at_post else None))
    rail = tuple(Member(f"m{n}", f"n{n}", f"n{n + 1}", 1.0, 1.0, section) for n in range(count))
    return Frame(tuple(nodes), rail)


POSTS = level_rail(4, 900.0, 11000 * 55 * 60**3 / 12, 50.0)
ON_FIVE_POSTS = {
    "1 kN at the middle post": (("n40",), (-0.515, 5.459, 10.112, 5.459, -0.515)),
    "1 kN at the end post": (("n0",), (17.043, 4.597, -0.515, -0.934, -0.191)),
    "1 kN in the middle of the third bay": (("n50",), (-1.040, 2.831, 8.604, 8.457, 1.147)),
    "0.36 N/mm along it": ((), (3.347, 6.136, 6.954, 6.136, 3.347)),
}


@pytest.mark.parametrize("name", ON_FIVE_POSTS)
def test_a_rail_on_five_springy_posts(name: str) -> None:
    """Posts 900 mm apart of 50 N/mm, rail 55 x 60 of 11 GPa: worked out for this project."""
    loaded, expected = ON_FIVE_POSTS[name]
    nodal = tuple(NodalLoad(node, (0.0, 1000.0, 0.0, 0.0, 0.0, 0.0)) for node in loaded)
    q = (0.0, 0.36, 0.0)
    line = () if loaded else tuple(LineLoad(m.id, 0.0, 45.0, q, q) for m in POSTS.members)
    solution = solve(POSTS, [Case("push", nodal, line=line)])
    moved = [float(solution.moved("push", f"n{20 * n}")[1]) for n in range(5)]
    assert moved == pytest.approx(expected, abs=6e-4)
    if name.startswith("1 kN in the middle"):
        assert solution.moved("push", "n50")[1] == pytest.approx(10.323, abs=6e-4)


def test_a_single_bay_on_two_springy_posts() -> None:
    """P L3/48EI + P/2k and 5wL4/384EI + wL/2k: 45.23 and 27.10 mm for 45 x 65 of 8 GPa over 2 m on 20 N/mm."""
    ei = 8000 * 45 * 65**3 / 12
    frame = level_rail(1, 2000.0, ei, 20.0)
    q = (0.0, 0.36, 0.0)
    cases = [
        Case("P", (NodalLoad("n10", (0.0, 1000.0, 0.0, 0.0, 0.0, 0.0)),)),
        Case("w", line=tuple(LineLoad(m.id, 0.0, 100.0, q, q) for m in frame.members)),
    ]
    solution = solve(frame, cases)
    point = 1000 * 2000**3 / (48 * ei) + 1000 / 40
    line = 5 * 0.36 * 2000**4 / (384 * ei) + 0.36 * 2000 / 40
    assert (point, line) == pytest.approx((45.23, 27.10), abs=5e-3)
    assert solution.moved("P", "n10")[1] == pytest.approx(point, rel=1e-5)
    assert solution.moved("w", "n10")[1] == pytest.approx(line, rel=1e-5)


def test_a_rail_between_two_springy_ends() -> None:
    """wL2/12/(1+a), PL/8/(1+a) with a = 2EI/kL: 84 990 and 177 062 Nmm, 3.945 and 9.484 mm at 20 kNm/rad."""
    ei, k, long = 8000 * 45 * 65**3 / 12, 20e6, 2000.0
    frame = level_rail(1, long, ei, 0.0, (INF, INF, INF, INF, 0.0, k))
    q = (0.0, 0.36, 0.0)
    cases = [
        Case("P", (NodalLoad("n10", (0.0, 1000.0, 0.0, 0.0, 0.0, 0.0)),)),
        Case("w", line=tuple(LineLoad(m.id, 0.0, 100.0, q, q) for m in frame.members)),
    ]
    solution = solve(frame, cases)
    held = 1 / (1 + 2 * ei / (k * long))
    by_point, by_line = 1000 * long / 8 * held, 0.36 * long**2 / 12 * held
    assert (by_line, by_point) == pytest.approx((84989.6, 177061.7), rel=1e-5)
    assert abs(solution.reaction("w", "n0")[5]) == pytest.approx(by_line, rel=1e-5)
    assert abs(solution.reaction("P", "n0")[5]) == pytest.approx(by_point, rel=1e-5)
    assert solution.moved("w", "n10")[1] == pytest.approx(3.9454, rel=1e-4)
    assert solution.moved("P", "n10")[1] == pytest.approx(9.4839, rel=1e-4)


@pytest.mark.parametrize(
    ("w", "h", "needed"),
    [
        (0.36, 900.0, (11, 15, 19, 24)),
        (0.50, 1000.0, (20, 28, 36, 45)),
        (0.74, 1000.0, (31, 45, 60, 77)),
    ],
)
def test_the_base_that_a_newel_needs(w: float, h: float, needed: tuple[int, ...]) -> None:
    """25 mm at the head of 90 x 90 C24, posts 0.9 to 1.8 m apart: kNm/rad, worked out for this project."""
    post = PostEnd(C24, 90.0, 90.0)
    for apart, stiffness in zip((900.0, 1200.0, 1500.0, 1800.0), needed, strict=True):
        low, high = (
            post_movement(w * apart, h, (stiffness + s) * 1e6, post, across=True) for s in (0.6, -0.6)
        )
        assert low <= 25.0 <= high


@pytest.mark.parametrize(
    ("side", "capacities"), [(90.0, (1.49, 2.24, 2.80, 3.73)), (70.0, (0.74, 1.11, 1.38, 1.84))]
)
def test_bending_strength_of_newels(side: float, capacities: tuple[float, ...]) -> None:
    """k_mod 0.9, gamma_M 1.3, k_h of (150/h)^0.2: kNm of C16, C24, D30, D40 (worked out for this project)."""
    for name, expected in zip(("C16", "C24", "D30", "D40"), capacities, strict=True):
        wood = wood_of("pine-european", Graded({"pine-european": name}, {}))
        piece = Piece("P1", "newel", solid(side, side), wood, ())
        bears = allowed(piece, StrengthSettings(), Code.EC5_2004).bending_z * side**3 / 6 / 1e6
        k_h = factors.k_h("solid", side, wood.rho_k)
        assert bears == pytest.approx(expected, rel=5e-3)
        assert bears == pytest.approx(wood.values.f_m * k_h * 0.9 / 1.3 * side**3 / 6 / 1e6)


def test_a_baluster_between_hinges_and_clamped() -> None:
    """32 x 32 C16 over 800 under 250 N: PL/4 gives 13.7 MPa factored of 14.4, 3.8 mm; clamped PL3/192EI 0.95 mm."""
    for joint, moved in (((INF, INF, INF, INF, 0.0, 0.0), 3.8), (RIGID, 0.95)):
        section = replace(rectangle(32.0, 32.0), kappa_y=INF, kappa_z=INF)
        ends = [Node("a", (0, 0, 0), RIGID), Node("b", (800.0, 0, 0), RIGID)]
        frame = Frame(
            (*ends, Node("m", (400.0, 0, 0))),
            (
                Member("1", "a", "m", 8000, 500, section, (0, 0, 1), joint),
                Member("2", "m", "b", 8000, 500, section, (0, 0, 1), RIGID, joint),
            ),
        )
        solution = solve(frame, [Case("P", (NodalLoad("m", (0, 250.0, 0, 0, 0, 0)),))])
        exact = 250 * 800**3 / ((48 if joint is not RIGID else 192) * 8000 * 32**4 / 12)
        assert solution.moved("P", "m")[1] == pytest.approx(exact, rel=1e-9)
        assert exact == pytest.approx(moved, rel=0.01)
    stress = 1.5 * 250 * 800 / 4 / (32**3 / 6)
    assert stress == pytest.approx(13.7, abs=0.05)
    strength = 16 * 1.3 * 0.9 / 1.3
    assert strength == pytest.approx(14.4)


def test_screws_worked_out_on_paper() -> None:
    """8.2.2: screw 5 (root 3.2) in 20 and 50 mm, not predrilled, roped: mode a, 1385 N; screw 8: mode d, 2983 N."""
    d = 1.1 * 3.2
    thin = lateral.embedment_along(d, 350.0, predrilled=False)
    assert thin == pytest.approx(0.082 * 350 * d**-0.3)
    modes = lateral.single_shear(20.0, 50.0, d, thin, thin, lateral.yield_moment(d, 900.0))
    roped = lateral.with_rope(modes, lateral.Fastener.SCREW, 12.0 * 5 * 50, "ab")
    assert lateral.weakest(roped).letter == "a"
    assert lateral.weakest(roped).resistance == pytest.approx(1385, rel=1e-3)
    d = 1.1 * 5.2
    soft, hard = (lateral.embedment_along(d, rho) for rho in (350.0, 530.0))
    modes = lateral.single_shear(40.0, 60.0, d, soft, hard, lateral.yield_moment(d, 900.0))
    assert lateral.weakest(modes).letter == "d"
    assert lateral.weakest(modes).johansen == pytest.approx(2983, rel=2e-3)


def test_shear_of_the_second_generation() -> None:
    """6.1.7 of 2025 through an open program: k_v = k_h,v 2.3 / f_v,k, 0.637 for C24 of 90 mm; 0.67 in 2004."""
    assert edition_2025.k_v(4.0, 90.0) == pytest.approx((150 / 90) ** 0.2 * 2.3 / 4.0)
    assert edition_2025.k_v(4.0, 90.0) == pytest.approx(0.637, abs=5e-4)
    assert members.K_CR == 0.67


def second_order(frame: Frame, case: Case, thrust: float, nodes: list[str], apart: float) -> np.ndarray:
    """Movements across a straight chain of nodes under a thrust along it: pushes P x kink, found by iteration."""
    known = factor(frame)
    pushes = np.zeros(len(nodes))
    index = [frame.node_index[name] for name in nodes]
    for _ in range(400):
        extra = tuple(
            NodalLoad(n, (0.0, float(p), 0.0, 0.0, 0.0, 0.0)) for n, p in zip(nodes, pushes, strict=True)
        )
        across = known.solve([replace(case, nodal=(*case.nodal, *extra))]).movements[0, index, 1]
        slopes = np.diff(across) / apart
        kinks = -np.diff(slopes, prepend=0.0, append=0.0)
        kinks[-1] = slopes[-1] if abs(across[-1]) > 1e-12 else 0.0
        following = thrust * kinks
        if np.abs(following - pushes).max() < 1e-9 * max(1.0, float(np.abs(following).max())):
            break
        pushes = following
    return across


def test_a_cantilever_in_second_order() -> None:
    """AISC (T24): L 240 in, H 5, P 100 kip, E 29 000, I 100: y = H L3/3EI 3(tan a - a)/a3 = 40.27 in, M 5227 kip.in.

    The kernel is of the first order; equal pushes for the kinks of a loaded line, iterated, make the second.
    """
    count, long = 60, 240.0
    apart = long / count
    section = Section(1e4, 100.0, 100.0, 100.0)
    nodes = tuple(Node(f"n{n}", (n * apart, 0.0, 0.0), RIGID if n == 0 else None) for n in range(count + 1))
    frame = Frame(
        nodes, tuple(Member(f"m{n}", f"n{n}", f"n{n + 1}", 29000.0, 11000.0, section) for n in range(count))
    )
    case = Case("push", (NodalLoad(f"n{count}", (0.0, 5.0, 0.0, 0.0, 0.0, 0.0)),))
    across = second_order(frame, case, 100.0, [node.id for node in nodes], apart)
    a = math.sqrt(100 * long**2 / (29000 * 100))
    exact = 5 * long**3 / (3 * 29000 * 100) * 3 * (math.tan(a) - a) / a**3
    assert exact == pytest.approx(40.274, rel=1e-4)
    assert across[-1] == pytest.approx(exact, rel=2e-3)
    moment = 5 * long + 100 * across[-1]
    assert 5 * long * math.tan(a) / a == pytest.approx(5227.4, rel=1e-4)
    assert moment == pytest.approx(5227.4, rel=2e-3)


@pytest.mark.parametrize(
    ("thrust", "moment", "moved"),
    [(0, 235.2, 0.1971), (150, 268.9, 0.2246), (300, 313.5, 0.2611), (450, 375.4, 0.3116)],
)
def test_a_simple_column_in_second_order(thrust: float, moment: float, moved: float) -> None:
    """AISC case 1 (T25): 28 ft, 200 lb/ft, I 484 in4: 235 / 269 / 313 / 375 kip.in, .197 / .224 / .261 / .311 in."""
    count, long, w = 40, 336.0, 0.2 / 12
    apart = long / count
    section = Section(1e4, 484.0, 484.0, 484.0)
    ends: dict[int, Six] = {0: (INF, INF, INF, INF, INF, 0.0), count: (0.0, INF, INF, 0.0, 0.0, 0.0)}
    nodes = tuple(Node(f"n{n}", (n * apart, 0.0, 0.0), ends.get(n)) for n in range(count + 1))
    frame = Frame(
        nodes, tuple(Member(f"m{n}", f"n{n}", f"n{n + 1}", 29000.0, 11000.0, section) for n in range(count))
    )
    q = (0.0, w, 0.0)
    case = Case("w", line=tuple(LineLoad(m.id, 0.0, apart, q, q) for m in frame.members))
    across = second_order(frame, case, float(thrust), [node.id for node in nodes], apart)
    middle = float(across[count // 2])
    assert middle == pytest.approx(moved, rel=5e-3)
    assert w * long**2 / 8 + thrust * middle == pytest.approx(moment, rel=5e-3)


def newel_head(model: Model, standing: Standing, load: float, extra: float) -> float:
    """P h3/3EI + P h/(kappa G A) + P h2/k, and with the moment P e: M h2/2EI + M h/k."""
    piece = model.by_name[standing.post.id]
    e, h, k, moment = piece.wood.e, standing.height, standing.base.across.mean, load * extra
    i = standing.post.along * standing.post.across**3 / 12
    end = PostEnd(piece.wood, standing.post.along, standing.post.across)
    own: float = post_movement(load, h, k, end, across=True)
    return own + moment * h**2 / (2 * e * i) + moment * h / k


@pytest.mark.parametrize("rules", [ENGLAND, AT_TOP], ids=["1100 mm up", "at the top"])
def test_a_whole_bay_of_a_guarding_on_paper(rules: RuleSet) -> None:
    """5wL4/384EI of the rail, its screws, and the mean of both newels' heads; infill helps by a third at most.

    The base rail hangs free, so that uprights only carry the handrail's movement down to a second, weaker rail.
    """
    flight = regular_flight()
    base = BaseBrief(70.0, 30.0, BaseSeat.CLEAR, clearance=40.0)
    design = compose(flight, plain_brief(flight, base=base), LIMITS)
    sockets = {name: PostBase(InSocket(250.0), supports.floor(C24)) for name in ("P1", "P2")}
    report = strength_of(design, (), rules, StrengthSettings(bases=sockets))
    assert isinstance(report, StrengthReport)
    model, w = report.model, rules.require("load.line").value
    leg, rail = model.legs[0], model.by_name["H1"]
    long = sum(model.length_of(name) for name in rail.members)
    beam = 5 * w * long**4 / (384 * rail.wood.e * rail.cut.section.iz)
    beam += w * long**2 / (8 * rail.cut.section.kappa_y * rail.wood.g * rail.cut.section.area)
    fixed = rules.figure("load.line.height")
    extra = 0.0 if fixed is None else fixed.value - (leg.rail_line.at(0.0) - walking_line(leg).at(0.0))
    heads = [newel_head(model, standing, w * long / 2, extra) for standing in model.posts]
    paper = beam + w * long / 2 / RAIL_SLIP.mean + sum(heads) / 2
    found = next(m for m in report.by_case if m.case == "line outward").value
    assert 0.65 * paper < found < paper
