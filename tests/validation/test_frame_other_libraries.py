"""The frame kernel against two independent frame libraries on 40 random frames each.

PyNiteFEA (no shear deformation): ground springs, released joints and loads on members. pyfe3d (shear deformation,
loads at nodes): every joint a spring of its own between two nodes, members cut where a force stands, so that shear,
joints that give and loads on members are tried together.
"""

import math
from dataclasses import replace

import numpy as np
import pyfe3d
import pytest
from pyfe3d.beamprop import BeamProp
from Pynite import FEModel3D
from scipy import sparse
from scipy.sparse import linalg
from tests.strategies_frames import random_frame

from pitchline.kit.frame.loads import Case
from pitchline.kit.frame.model import RIGID, FloatArray, Frame, Member, Node
from pitchline.kit.frame.solve import solve

PENALTY = 1e3
"""A rigid joint of the second library is a spring this many times as stiff as the member's own end, then ten times as
many: what remains of the error, which shrinks as the spring stiffens, is taken off (Richardson)."""


def pynite_movements(frame: Frame, case: Case) -> tuple[Frame, FloatArray]:
    """The frame with that library's own axes for its members, and the movements it finds."""
    model = FEModel3D()
    for node in frame.nodes:
        model.add_node(node.id, *node.at)
        held = node.ground or (0.0,) * 6
        model.def_support(node.id, *(math.isinf(k) for k in held))
        for dof, k in zip(("DX", "DY", "DZ", "RX", "RY", "RZ"), held, strict=True):
            if 0.0 < k < math.inf:
                model.def_support_spring(node.id, dof, k)
    members = []
    for member in frame.members:
        s = member.section
        model.add_material(member.id, member.e, member.g, 0.3, 0.0)
        model.add_section(member.id, s.area, s.iy, s.iz, s.torsion)
        model.add_member(member.id, member.i, member.j, member.id, member.id)
        loose = [k == 0.0 for k in (*member.end_i, *member.end_j)]
        model.def_releases(member.id, *loose)
        physical = model.members[member.id]
        z = physical.T()[2, :3]
        members.append(replace(member, z_axis=(float(z[0]), float(z[1]), float(z[2]))))
    _load_pynite(model, case)
    model.analyze_linear(check_stability=False)
    names = ("DX", "DY", "DZ", "RX", "RY", "RZ")
    moved = [[getattr(model.nodes[node.id], name)["Combo 1"] for name in names] for node in frame.nodes]
    return Frame(frame.nodes, tuple(members)), np.array(moved)


def _load_pynite(model: FEModel3D, case: Case) -> None:
    add_node, add_point, add_line = model.add_node_load, model.add_member_pt_load, model.add_member_dist_load
    for load in case.nodal:
        for dof, value in zip(("FX", "FY", "FZ", "MX", "MY", "MZ"), load.force, strict=True):
            add_node(load.node, dof, value)
    for point in case.point:
        for dof, value in zip(("FX", "FY", "FZ"), point.force, strict=True):
            add_point(point.member, dof, value, point.at)
    for line in case.line:
        for dof, q0, q1 in zip(("FX", "FY", "FZ"), line.q0, line.q1, strict=True):
            add_line(line.member, dof, q0, q1, line.start, line.finish)


@pytest.mark.parametrize("seed", range(40))
def test_pynite_finds_the_same(seed: int) -> None:
    """PyNiteFEA: frames without shear deformation, with released joints, springs in the ground, loads on members."""
    frame, case = random_frame(seed, shear=False)
    same, other = pynite_movements(frame, case)
    own = solve(same, [case]).movements[0]
    scale = np.abs(own).max(axis=0)
    np.testing.assert_allclose(own / scale, other / scale, rtol=0, atol=1e-8)


def cut_at_forces(frame: Frame, case: Case) -> tuple[Frame, Case]:
    """The same structure with a node wherever a force stands on a member, and the force moved there."""
    nodes, members, nodal = list(frame.nodes), list(frame.members), list(case.nodal)
    for load in case.point:
        place = next(n for n, m in enumerate(members) if m.id == load.member)
        member = members[place]
        i, j = (np.array(next(n.at for n in nodes if n.id == end)) for end in (member.i, member.j))
        x, y, z = (i + (j - i) * load.at / np.linalg.norm(j - i)).tolist()
        name = f"{member.id} cut"
        nodes.append(Node(name, (x, y, z)))
        nodal.append(type(case.nodal[0])(name, (*load.force, 0.0, 0.0, 0.0)))
        members[place] = replace(member, j=name, end_j=RIGID)
        members.append(replace(member, id=name, i=name, end_i=RIGID))
    return Frame(tuple(nodes), tuple(members)), Case(case.id, tuple(nodal))


def rigid_movements(frame: Frame, case: Case) -> FloatArray:
    """Movements found by the second library where its rigid joints are made endlessly stiff."""
    near, nearer = (pyfe3d_movements(frame, case, penalty) for penalty in (PENALTY, 10 * PENALTY))
    return (10 * nearer - near) / 9


def pyfe3d_movements(frame: Frame, case: Case, penalty: float) -> FloatArray:
    """Movements of the frame's nodes found by the second library with springs for rigid joints."""
    beams, springs, places = _pieces(frame, penalty)
    size = 6 * len(places)
    x = np.array(places).ravel()
    total = len(beams) * 144 + len(springs) * pyfe3d.SpringData().KC0_SPARSE_SIZE
    rows, columns, values = (
        np.zeros(total, dtype=pyfe3d.INT),
        np.zeros(total, dtype=pyfe3d.INT),
        np.zeros(total),
    )
    at = 0
    for member, i, j in beams:
        beam = pyfe3d.BeamC(pyfe3d.BeamCProbe())
        beam.init_k_KC0, beam.n1, beam.n2, beam.c1, beam.c2 = at, i, j, 6 * i, 6 * j
        axis = np.cross(member.z_axis, x[3 * j : 3 * j + 3] - x[3 * i : 3 * i + 3])
        beam.update_rotation_matrix(*axis, x)
        beam.update_probe_xe(x)
        beam.update_KC0(rows, columns, values, _prop(member))
        at += 144
    for i, j, k, turn in springs:
        spring = pyfe3d.Spring(pyfe3d.SpringProbe())
        spring.init_k_KC0, spring.n1, spring.n2, spring.c1, spring.c2 = at, i, j, 6 * i, 6 * j
        for name, value in zip(("kxe", "kye", "kze", "krxe", "krye", "krze"), k, strict=True):
            setattr(spring, name, value)
        spring.update_rotation_matrix(*turn[0], *turn[1])
        spring.update_KC0(rows, columns, values)
        at += pyfe3d.SpringData().KC0_SPARSE_SIZE
    stiff = sparse.coo_matrix((values, (rows, columns)), shape=(size, size)).tocsc()
    ground = np.zeros((len(places), 6))
    ground[: len(frame.nodes)] = frame.ground
    free = np.isfinite(ground).ravel()
    stiff = stiff + sparse.diags(np.where(free, ground.ravel(), 0.0))
    push = np.zeros((len(places), 6))
    for load in case.nodal:
        push[frame.node_index[load.node]] += load.force
    moved = np.zeros(size)
    moved[free] = linalg.spsolve(stiff.tocsc()[free][:, free], push.ravel()[free])
    return moved.reshape(-1, 6)[: len(frame.nodes)]


Pieces = tuple[
    list[tuple[Member, int, int]],
    list[tuple[int, int, tuple[float, ...], FloatArray]],
    list[tuple[float, float, float]],
]


def _pieces(frame: Frame, penalty: float) -> Pieces:
    """Beams between places, springs between places, and the places: a member's loose end gets a place of its own."""
    places = [node.at for node in frame.nodes]
    beams, springs = [], []
    for n, member in enumerate(frame.members):
        ends = [int(frame.ends[n, 0]), int(frame.ends[n, 1])]
        axis = frame.xyz[ends[1]] - frame.xyz[ends[0]]
        length = float(np.linalg.norm(axis))
        x = axis / length
        z = np.array(member.z_axis) - x * np.dot(member.z_axis, x)
        z /= np.linalg.norm(z)
        s = member.section
        along, turning = member.e * s.area / length, member.e * max(s.iy, s.iz) / length
        stiff = (*[penalty * along] * 3, *[penalty * turning] * 3)
        for side, joint in enumerate((member.end_i, member.end_j)):
            if joint != RIGID:
                places.append(places[ends[side]])
                k = tuple(p if math.isinf(j) else j for p, j in zip(stiff, joint, strict=True))
                springs.append((ends[side], len(places) - 1, k, np.array([x, np.cross(z, x)])))
                ends[side] = len(places) - 1
        beams.append((member, ends[0], ends[1]))
    return beams, springs, places


def _prop(member: Member) -> object:
    prop, s = BeamProp(), member.section
    prop.A, prop.E, prop.G, prop.Iyy, prop.Izz, prop.J = s.area, member.e, member.g, s.iy, s.iz, s.torsion
    prop.G12, prop.G13, prop.GJ = s.kappa_y * member.g, s.kappa_z * member.g, member.g * s.torsion
    return prop


@pytest.mark.parametrize("seed", range(40))
def test_pyfe3d_finds_the_same(seed: int) -> None:
    """pyfe3d: shear, joints that give and forces inside members together; its rigid joints are penalty springs."""
    frame, case = random_frame(seed + 1000, shear=True, give=True)
    case = replace(case, line=())
    own = solve(frame, [case]).movements[0]
    other = rigid_movements(*cut_at_forces(frame, case))[: len(frame.nodes)]
    scale = np.abs(own).max(axis=0)
    np.testing.assert_allclose(own / scale, other / scale, rtol=0, atol=5e-6)


@pytest.mark.parametrize("seed", range(3))
def test_pyfe3d_finds_the_same_exactly_without_joints(seed: int) -> None:
    """pyfe3d without penalty springs: the whole rest agrees to rounding."""
    frame, case = random_frame(seed + 2000, shear=True, loose=0.0)
    case = replace(case, line=())
    own = solve(frame, [case]).movements[0]
    other = rigid_movements(*cut_at_forces(frame, case))[: len(frame.nodes)]
    np.testing.assert_allclose(own, other, rtol=1e-7, atol=1e-9 * np.abs(own).max())
