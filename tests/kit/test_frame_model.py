"""What makes no frame is refused, every fault told."""

from dataclasses import replace

import numpy as np
import pytest
from tests.strategies_frames import FIXED, INF, random_frame

from pitchline.kit.errors import InputError
from pitchline.kit.frame.loads import Case, LineLoad, NodalLoad, PointLoad
from pitchline.kit.frame.model import RIGID, Frame, Member, Node, Section, Six, rectangle, round_bar
from pitchline.kit.frame.order import band_order
from pitchline.kit.frame.solve import solve

A = Node("a", (0, 0, 0), FIXED)
B = Node("b", (1000, 0, 0))
BEAM = Member("ab", "a", "b", 11000, 690, rectangle(50, 50))


def told(nodes: tuple[Node, ...], *members: Member) -> str:
    with pytest.raises(InputError) as refused:
        Frame(nodes, members)
    return str(refused.value)


def test_a_sound_frame_is_taken() -> None:
    assert Frame((A, B), (BEAM,)).node_index == {"a": 0, "b": 1}


def test_every_fault_is_told() -> None:
    text = told((A, B, A), replace(BEAM, e=-1.0), replace(BEAM, id="x", j="nowhere"))
    assert "node a: two nodes have this name" in text
    assert "its E is no size" in text
    assert "hangs on a node that is not there (found nowhere)" in text


@pytest.mark.parametrize(
    ("member", "words"),
    [
        (replace(BEAM, z_axis=(2.0, 0.0, 0.0)), "z axis runs along it"),
        (replace(BEAM, z_axis=(0.0, 0.0, 0.0)), "z axis runs along it"),
        (replace(BEAM, j="a"), "has no length"),
        (replace(BEAM, section=Section(1, 1, 1, 0.0)), "torsion constant is no size"),
        (replace(BEAM, section=Section(1, 1, 1, 1, 0.0)), "kappa_y is no share"),
        (replace(BEAM, end_i=(-1.0, *RIGID[1:])), "stiffness below zero"),
        (
            replace(BEAM, end_i=(INF, INF, INF, 0, 0, 0), end_j=(INF, INF, INF, 0, 0, 0)),
            "spin about its axis",
        ),
        (replace(BEAM, end_i=(0, *RIGID[1:]), end_j=(0, *RIGID[1:])), "slide along its axis"),
        (replace(BEAM, end_i=(INF, 0, *RIGID[2:]), end_j=(INF, 0, *RIGID[2:])), "move along its y"),
        (
            replace(BEAM, end_i=(INF, INF, 0, INF, 0, INF), end_j=(INF, INF, INF, INF, 0, INF)),
            "move along its z",
        ),
    ],
)
def test_members_that_cannot_be(member: Member, words: str) -> None:
    assert words in told((A, B), member)


def test_nodes_that_cannot_be() -> None:
    assert "no number" in told((A, Node("b", (float("nan"), 0, 0))), BEAM)
    assert "ground spring is below zero" in told((A, Node("b", (1, 0, 0), (-1.0, 0, 0, 0, 0, 0))), BEAM)
    assert "there is no member" in told((A, B))


def test_loads_on_nothing_are_refused() -> None:
    frame = Frame((A, B), (BEAM,))
    six: Six = (1, 0, 0, 0, 0, 0)
    case = Case(
        "q",
        (NodalLoad("z", six),),
        (PointLoad("zz", 1, (0, 0, 1)), PointLoad("ab", 1001, (0, 0, 1))),
        (LineLoad("ab", 500, 400, (0, 0, 1), (0, 0, 1)),),
        {"b": six, "q": six},
    )
    with pytest.raises(InputError) as refused:
        solve(frame, [case])
    text = str(refused.value)
    assert "no such node (found z)" in text
    assert "no such member (found zz)" in text
    assert text.count("lies off member ab") == 2
    assert "moves where it holds nothing" in text


def test_a_frame_held_everywhere_is_solved_too() -> None:
    frame = Frame((A, replace(B, ground=FIXED)), (BEAM,))
    q = LineLoad("ab", 0, 1000, (0, 0, -1.2), (0, 0, -1.2))
    found = solve(frame, [Case("q", line=(q,))])
    assert not found.movements.any()
    assert found.reaction("q", "a")[2] == pytest.approx(600.0)
    assert abs(found.reaction("q", "b")[4]) == pytest.approx(1.2 * 1000**2 / 12)


def test_quick_and_full_tests_agree() -> None:
    """A frame that the quick test doubts is still taken where the full test finds nothing."""
    sliding = replace(BEAM, end_i=(INF, 0.0, INF, INF, INF, INF))
    assert Frame((A, B), (sliding,)).members == (sliding,)
    for seed in range(20):
        frame, _ = random_frame(seed)
        assert Frame(frame.nodes, frame.members).node_index == frame.node_index


def test_a_long_ladder_has_a_narrow_band() -> None:
    """Neighbours in a ladder of 300 rungs stay within four places of each other."""
    rng = np.random.default_rng(3)
    names = rng.permutation(602)
    rungs = [(names[2 * n], names[2 * n + 1]) for n in range(301)]
    rails = [(names[2 * n + s], names[2 * n + 2 + s]) for n in range(300) for s in (0, 1)]
    order = band_order(602, np.array(rungs + rails))
    assert sorted(order) == list(range(602))
    place = {node: n for n, node in enumerate(order)}
    assert max(abs(place[i] - place[j]) for i, j in rungs + rails) <= 4


def test_round_bar() -> None:
    """Closed forms: pi d4/64 and twice that in torsion."""
    s = round_bar(20.0)
    assert s.iy == pytest.approx(np.pi * 20**4 / 64)
    assert s.torsion == pytest.approx(2 * s.iz)
