"""The frame documents of whole balustrades, solved again by two independent frame libraries.

pyfe3d has shear deformation and springs for joints, so it solves the document as it is (its rigid joints are penalty
springs: the rest of the error is taken off by Richardson, what then remains is told by ``JOINTS``). PyNiteFEA has
neither shear deformation nor joints that give, so it solves the same document with every joint rigid or a hinge.
"""

import json
import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest
from tests.builders import ENGLAND, US_2021
from tests.strategies_edges import CORNER, QUARTER, Leg, composed
from tests.strategies_stairs import Sizes
from tests.strength.test_strength_model import KINDS, plain
from tests.validation.test_frame_other_libraries import pynite_movements, rigid_movements

from pitchline.catalogue.strength import fixing_type
from pitchline.kit.frame.document import read_frame, read_movements
from pitchline.kit.frame.loads import Case, NodalLoad
from pitchline.kit.frame.model import FloatArray, Frame, Six
from pitchline.kit.frame.solve import solve
from pitchline.strength.bases import supports
from pitchline.strength.bases.joints import FaceFixed
from pitchline.strength.document import frame_document, frame_text
from pitchline.strength.edge import StandingLeg, strength_of_edge
from pitchline.strength.legs import by_itself
from pitchline.strength.report import StrengthReport
from pitchline.strength.settings import PostBase, StrengthSettings

JOINTS = 2e-4
"""Penalty springs of a thousand times the stiffness of members of 20 to 1500 mm side by side leave this much."""

FLIGHT = Sizes((187.0, 190.0, 186.0, 188.0), (228.0, 225.0, 226.0), (200.0, 0.829))
WHOLE = composed([Leg("lower", FLIGHT), Leg("gallery", None, 1500.0)], [QUARTER], [CORNER])
EDGES = {
    "one leg": ((by_itself(plain()),), ENGLAND),
    "cables": ((by_itself(plain(**KINDS["cables"])),), US_2021),
    "a corner": (
        tuple(StandingLeg(d, (), place) for d, place in zip(WHOLE.legs, WHOLE.places, strict=True)),
        ENGLAND,
    ),
}


def report_of(name: str) -> StrengthReport:
    report = strength_of_edge(*EDGES[name])
    assert isinstance(report, StrengthReport)
    return report


@pytest.mark.parametrize("name", EDGES)
def test_the_document_is_solved_to_the_movements_it_tells(name: str) -> None:
    """Read back as a stranger would: nothing but the JSON, and no load inside a member."""
    report = report_of(name)
    raw = json.loads(frame_text(report))
    assert raw["schema"] == "pitchline-frame/1"
    assert all("point" not in case for case in raw["cases"])
    frame, cases = read_frame(raw)
    told = read_movements(raw)
    own = solve(frame, cases)
    for case in cases:
        rows = np.array([told[case.id][node.id] for node in frame.nodes])
        np.testing.assert_allclose(rows, own.movements[own.case_index[case.id]], rtol=1e-7, atol=1e-12)
    worst = told[report.movement.case][report.movement.node]
    assert math.hypot(*worst[:2]) == pytest.approx(report.movement.value, rel=1e-6)


def test_the_play_of_bolts_is_a_load_in_the_document() -> None:
    """A turn of the ground under a spring is the moment k times that turn on its node: the same movements."""
    design = plain()
    base = PostBase(FaceFixed(fixing_type("bolt-m12")), supports.solid())
    settings = StrengthSettings(bases={post.id: base for post in design.posts})
    report = strength_of_edge((by_itself(design),), US_2021, settings)
    assert isinstance(report, StrengthReport)
    assert any(case.case.displacements for case in report.cases)
    raw = json.loads(frame_text(report))
    assert all("settlements" not in case for case in raw["cases"])
    told = read_movements(raw)
    own = solve(report.model.frame, [load.case for load in report.cases])
    for load in report.cases:
        for node in report.model.frame.nodes:
            assert told[load.id][node.id] == pytest.approx(
                own.moved(load.id, node.id).tolist(), rel=1e-5, abs=1e-7
            )


def at_nodes(frame: Frame, case: Case) -> Case:
    """Lines of load as forces at the members' ends, halves (both programs then solve the same)."""
    index = frame.member_index
    loads = list(case.nodal)
    for line in case.line:
        member = frame.members[index[line.member]]
        half = (line.finish - line.start) / 4.0
        x, y, z = ((a + b) * half for a, b in zip(line.q0, line.q1, strict=True))
        loads += [NodalLoad(name, (x, y, z, 0.0, 0.0, 0.0)) for name in (member.i, member.j)]
    return Case(case.id, tuple(loads))


@pytest.mark.parametrize("name", EDGES)
def test_pyfe3d_finds_the_same_movements(name: str) -> None:
    """Shear, joints that give, ground springs, as they stand in the document."""
    report = report_of(name)
    frame, cases = read_frame(frame_document(report))
    case = at_nodes(frame, next(case for case in cases if case.id == report.movement.case))
    case = replace(case, displacements={})
    own = solve(frame, [case]).movements[0]
    other = rigid_movements(frame, case)
    largest = np.abs(own[:, :3]).max()
    np.testing.assert_allclose(other[:, :3], own[:, :3], rtol=0, atol=JOINTS * largest)


def idealised(frame: Frame) -> Frame:
    """Every joint rigid or a hinge about the bending axes, and no shear deformation."""

    def plainly(joint: Six) -> Six:
        turns = tuple(math.inf if k >= 1e9 else 0.0 for k in joint[4:])
        return (math.inf, math.inf, math.inf, math.inf, *turns)  # type: ignore[return-value]  # six in all

    members = tuple(
        replace(
            member,
            section=replace(member.section, kappa_y=math.inf, kappa_z=math.inf),
            end_i=plainly(member.end_i),
            end_j=plainly(member.end_j),
        )
        for member in frame.members
    )
    return Frame(frame.nodes, members)


@pytest.mark.parametrize("name", EDGES)
def test_pynite_finds_the_same_movements_without_what_it_lacks(name: str) -> None:
    """Hinges, rigid joints, ground springs and lines of load on members, for the case that moves most."""
    report = report_of(name)
    frame, cases = read_frame(frame_document(report))
    case = replace(next(c for c in cases if c.id == report.movement.case), displacements={})
    same, other = pynite_movements(idealised(frame), case)
    own = solve(same, [case]).movements[0]
    assert largest(own) > 1.0
    np.testing.assert_allclose(other[:, :3], own[:, :3], rtol=0, atol=1e-6 * largest(own))


def largest(movements: FloatArray) -> float:
    return float(np.abs(movements[:, :3]).max())


def test_every_value_of_the_document_is_plain() -> None:
    """Numbers, names and the three words of the format; no NaN and no infinity for a stranger's reader."""
    document = frame_document(report_of("one leg"))

    def walk(value: object) -> Sequence[object]:
        if isinstance(value, dict):
            return [leaf for item in value.values() for leaf in walk(item)]
        if isinstance(value, list):
            return [leaf for item in value for leaf in walk(item)]
        return [value]

    for leaf in walk(document):
        assert leaf is None or isinstance(leaf, str) or math.isfinite(float(str(leaf)))
