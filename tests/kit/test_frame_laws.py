"""Laws that every frame obeys: balance, reciprocity, no sense of direction in space, parts that add up."""

from dataclasses import replace

import numpy as np
from hypothesis import given, settings
from tests.strategies_frames import random_frame, seeds

from pitchline.kit.frame.loads import Case, LineLoad, NodalLoad, PointLoad
from pitchline.kit.frame.model import FloatArray, Frame, Six
from pitchline.kit.frame.results import split_movement
from pitchline.kit.frame.solve import factor, solve
from pitchline.kit.geometry.frames import Vec3

FEW = settings(max_examples=25, deadline=None)


def resultant(case: Case, frame: Frame) -> FloatArray:
    """Sum of all forces of a case, and of their moments about the origin."""
    total = np.zeros(6)
    for load in case.nodal:
        at = frame.xyz[frame.node_index[load.node]]
        total += load.force
        total[3:] += np.cross(at, load.force[:3])
    for point in case.point:
        total += wrench(frame, point.member, point.at, np.array(point.force))
    for line in case.line:
        for share in (0.5 - np.sqrt(1 / 12), 0.5 + np.sqrt(1 / 12)):
            length = line.finish - line.start
            q = np.array(line.q0) + (np.array(line.q1) - np.array(line.q0)) * share
            total += wrench(frame, line.member, line.start + share * length, q * length / 2)
    return total


def wrench(frame: Frame, member: str, at: float, force: FloatArray) -> FloatArray:
    i, j = frame.xyz[frame.ends[frame.member_index[member]]]
    place = i + (j - i) * at / np.linalg.norm(j - i)
    return np.concatenate([force, np.cross(place, force)])


@FEW
@given(seeds())
def test_the_ground_balances_the_loads(seed: int) -> None:
    frame, case = random_frame(seed, give=seed % 2 == 0)
    reactions = solve(frame, [case]).reactions[0]
    total = reactions.sum(axis=0)
    total[3:] += np.cross(frame.xyz, reactions[:, :3]).sum(axis=0)
    applied = resultant(case, frame)
    np.testing.assert_allclose(total, -applied, atol=1e-7 * np.abs(applied).max() + 1e-4)


@FEW
@given(seeds())
def test_springs_push_as_they_give(seed: int) -> None:
    frame, case = random_frame(seed)
    found = solve(frame, [case])
    soft = (frame.ground > 0) & np.isfinite(frame.ground)
    pushed = -frame.ground[soft] * found.movements[0][soft]
    np.testing.assert_allclose(found.reactions[0][soft], pushed, rtol=1e-6, atol=1e-4)


@FEW
@given(seeds())
def test_maxwell_betti(seed: int) -> None:
    """Work of one system of forces on the movements of another is the same the other way round."""
    frame, _ = random_frame(seed, give=True)
    rng = np.random.default_rng(seed)
    cases = [
        Case(name, tuple(NodalLoad(n.id, random_six(rng)) for n in frame.nodes)) for name in ("one", "two")
    ]
    found = solve(frame, cases)
    forth = np.vdot(found.applied[0], found.movements[1])
    back = np.vdot(found.applied[1], found.movements[0])
    assert abs(forth - back) <= 1e-8 * max(abs(forth), np.vdot(found.applied[0], found.movements[0]))


def random_six(rng: np.random.Generator) -> Six:
    a, b, c, d, e, f = (float(v) for v in rng.normal(0, 1, 6) * [100, 100, 100, 1e4, 1e4, 1e4])
    return (a, b, c, d, e, f)


def turned(frame: Frame, case: Case, turn: FloatArray) -> tuple[Frame, Case]:
    """The same structure and loads turned in space; ground springs must be alike in all directions."""

    def vec(v: Vec3) -> Vec3:
        x, y, z = (turn @ np.array(v)).tolist()
        return (x, y, z)

    def six(v: Six) -> Six:
        return (*vec((v[0], v[1], v[2])), *vec((v[3], v[4], v[5])))

    nodes = tuple(replace(node, at=vec(node.at)) for node in frame.nodes)
    members = tuple(replace(member, z_axis=vec(member.z_axis)) for member in frame.members)
    return Frame(nodes, members), Case(
        case.id,
        tuple(NodalLoad(load.node, six(load.force)) for load in case.nodal),
        tuple(PointLoad(p.member, p.at, vec(p.force)) for p in case.point),
        tuple(LineLoad(q.member, q.start, q.finish, vec(q.q0), vec(q.q1)) for q in case.line),
    )


@FEW
@given(seeds())
def test_turning_everything_in_space_changes_nothing(seed: int) -> None:
    frame, case = random_frame(seed, give=True)
    alike = (200.0, 200.0, 200.0, 3e7, 3e7, 3e7)
    nodes = tuple(replace(node, ground=None if node.ground is None else alike) for node in frame.nodes)
    frame = replace(frame, nodes=nodes)
    turn, _ = np.linalg.qr(np.random.default_rng(seed).standard_normal((3, 3)))
    turn *= np.sign(np.linalg.det(turn))
    before = solve(frame, [case])
    same, there = turned(frame, case, turn)
    after = solve(same, [there])
    moved = np.concatenate([before.movements[0, :, :3] @ turn.T, before.movements[0, :, 3:] @ turn.T], axis=1)
    np.testing.assert_allclose(after.movements[0], moved, atol=1e-8 * np.abs(moved).max())
    np.testing.assert_allclose(
        after.end_forces, before.end_forces, atol=1e-7 * np.abs(before.end_forces).max()
    )


@FEW
@given(seeds())
def test_the_parts_of_a_movement_add_up(seed: int) -> None:
    """Unit-load method: strain of members, joints and ground, and moved ground, make the whole movement."""
    frame, case = random_frame(seed, give=seed % 3 > 0)
    sunk = {"n0": (1.0, -2.0, 3.0, 1e-3, 0.0, 2e-3), "n1": (0.0, 5.0, 0.0, 0.0, 1e-3, 0.0)}
    case = replace(case, displacements=sunk)
    stable = factor(frame)
    unit = stable.solve([Case("unit", (NodalLoad("n4", (0, 0, 1, 0, 0, 0)),))])
    real = stable.solve([case])
    split = split_movement(real, 0, unit, 0)
    assert abs(split.total - real.moved("random", "n4")[2]) < 1e-12 * abs(split.total)
    parts = split.members.sum() + split.joints.sum() + split.ground.sum() + split.moved.sum()
    np.testing.assert_allclose(parts, split.total, rtol=1e-7, atol=1e-7 * np.abs(real.movements).max())


@FEW
@given(seeds())
def test_forces_inside_end_as_the_forces_at_the_ends(seed: int) -> None:
    frame, case = random_frame(seed)
    found = solve(frame, [case])
    for place, member in enumerate(frame.members):
        i, j = frame.xyz[frame.ends[place]]
        length = float(np.linalg.norm(j - i))
        inside = found.inside("random", member.id, np.array([0.0, length * (1 + 1e-12)]))
        f = found.end_forces[0, place]
        size = np.abs(f).max()
        rows = [
            inside.normal,
            inside.shear_y,
            inside.shear_z,
            inside.torsion,
            inside.moment_y,
            inside.moment_z,
        ]
        first, last = np.array([row[0] for row in rows]), np.array([row[1] for row in rows])
        np.testing.assert_allclose(first, -f[:6], atol=1e-9 * size)
        np.testing.assert_allclose(last, f[6:], atol=1e-7 * size)
