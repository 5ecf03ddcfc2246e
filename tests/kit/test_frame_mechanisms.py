"""Frames that move freely are refused, and how they move is told."""

import pytest
from tests.strategies_frames import FIXED, INF, plain

from pitchline.kit.frame.loads import Case, NodalLoad
from pitchline.kit.frame.mechanism import MechanismError
from pitchline.kit.frame.model import RIGID, Frame, Member, Node, Six, rectangle
from pitchline.kit.frame.solve import factor, solve

HINGE: Six = (INF, INF, INF, INF, 0.0, 0.0)
NO_TURN: Six = (0, 0, 0, INF, INF, INF)


def beam(
    name: str, i: str, j: str, end_i: Six = RIGID, end_j: Six = RIGID, z: tuple[int, int, int] = (0, 1, 0)
) -> Member:
    return Member(name, i, j, 11000, 690, rectangle(60, 60), z, end_i, end_j)


def refused(frame: Frame) -> MechanismError:
    with pytest.raises(MechanismError) as error:
        solve(frame, [Case("q", (NodalLoad(frame.nodes[-1].id, (0, 100, 0, 0, 0, 0)),))])
    return error.value


def test_a_rail_free_to_turn_about_its_bases() -> None:
    """Posts hinged about the line of their feet: the whole balustrade falls over."""
    foot: Six = (INF, INF, INF, 0.0, INF, INF)
    nodes = (
        Node("foot 1", (0, 0, 0), foot),
        Node("foot 2", (2000, 0, 0), foot),
        Node("head 1", (0, 0, 900)),
        Node("head 2", (2000, 0, 900)),
        Node("middle", (1000, 0, 950)),
    )
    members = (
        beam("p1", "foot 1", "head 1"),
        beam("p2", "foot 2", "head 2"),
        beam("r1", "head 1", "middle"),
        beam("r2", "middle", "head 2"),
    )
    error = refused(Frame(nodes, members))
    (mechanism,) = error.mechanisms
    assert mechanism.node == "middle"
    assert mechanism.way == "y"
    assert not mechanism.turns
    assert str(error) == "the frame is not stable: node middle moves along y without resistance"
    shape = dict(mechanism.shape)
    assert shape["middle"][1] == pytest.approx(950 / 900 * shape["head 1"][1], rel=1e-4)
    assert abs(shape["foot 1"][1]) < 1e-6


def test_a_raking_line_of_hinges() -> None:
    """The same about a line on the rake: Cholesky alone may not notice."""
    rise = 0.8
    up = (1.0, 0.0, rise)
    nodes = [
        Node("held", (0, 0, 0), (INF, INF, INF, 0, 0, 0)),
        Node("slide", (3000, 0, 3000 * rise), (0, INF, INF, 0, 0, 0)),
    ]
    nodes.append(Node("head", (1500, 0, 1500 * rise + 900)))
    members = (beam("a", "held", "head", z=(0, 1, 0)), beam("b", "head", "slide", z=(0, 1, 0)))
    error = refused(Frame(tuple(nodes), members))
    assert any(m.node == "head" and m.way == "y" for m in error.mechanisms)
    assert up[2] > 0


def test_a_node_that_nothing_holds_in_turning() -> None:
    nodes = (Node("a", (0, 0, 0), FIXED), Node("b", (1000, 0, 0)), Node("c", (1000, 0, 500), FIXED))
    members = (beam("ab", "a", "b", end_j=HINGE), beam("cb", "c", "b", end_j=(INF, INF, INF, 0.0, 0.0, 0.0)))
    error = refused(Frame(nodes, members))
    assert {(m.node, m.turns) for m in error.mechanisms} == {("b", True)}
    assert {m.way for m in error.mechanisms} == {"y", "z"}
    assert "node b turns about y without resistance" in str(error)


def test_a_floating_frame_moves_in_six_ways() -> None:
    nodes = (Node("a", (0, 0, 0)), Node("b", (1000, 0, 0)), Node("c", (1000, 0, 500)))
    error = refused(Frame(nodes, (beam("ab", "a", "b"), beam("bc", "b", "c"))))
    assert len(error.mechanisms) == 6


def test_a_node_without_member() -> None:
    nodes = (Node("a", (0, 0, 0), FIXED), Node("b", (1000, 0, 0)), Node("lone", (5, 5, 5), NO_TURN))
    error = refused(Frame(nodes, (beam("ab", "a", "b"),)))
    assert {m.node for m in error.mechanisms} == {"lone"}
    assert len(error.mechanisms) == 3


@pytest.mark.parametrize("k", [1e2, 1e5, 1e8])
def test_a_very_soft_base_is_still_stable(k: float) -> None:
    """0.1 N.m/rad under a newel and any more: slow to stand, yet a frame (closed form P h2/k governs)."""
    foot: Six = (INF, INF, INF, k, INF, INF)
    frame = Frame((Node("a", (0, 0, 0), foot), Node("b", (0, 0, 1000))), (beam("p", "a", "b"),))
    found = solve(frame, [Case("q", (NodalLoad("b", (0, 1.0, 0, 0, 0, 0)),))])
    closed = 1e6 / k + 1e9 / (3 * 11000 * 60**4 / 12) + 1000 / (5 / 6 * 690 * 3600)
    assert found.moved("q", "b")[1] == pytest.approx(closed, rel=1e-6)


def test_soft_and_stiff_together_are_no_mechanism() -> None:
    """A slim cable tie beside a thick newel: stiffnesses a million times apart."""
    nodes = (Node("a", (0, 0, 0), FIXED), Node("b", (0, 0, 1000)), Node("c", (2000, 0, 500), FIXED))
    thin = Member("tie", "b", "c", 200000, 80000, plain(7.0, 4.0))
    assert factor(Frame(nodes, (beam("p", "a", "b"), thin))).band.shape[1] == 6
