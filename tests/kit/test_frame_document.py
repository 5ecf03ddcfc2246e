"""The frame document is written, read back the same, and refused with every fault."""

import json
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from tests.strategies_frames import FIXED, random_frame, seeds

from pitchline.kit.errors import InputError
from pitchline.kit.frame.cut import cut_at_forces
from pitchline.kit.frame.document import (
    frame_document,
    frame_text,
    read_frame,
    read_frame_file,
    read_movements,
)
from pitchline.kit.frame.loads import Case, NodalLoad
from pitchline.kit.frame.model import Frame, Member, Node, rectangle
from pitchline.kit.frame.solve import solve

SMALL = Frame(
    (Node("a", (0, 0, 0), FIXED), Node("b", (0, 0, 900))),
    (Member("p", "a", "b", 11000, 690, rectangle(90, 90), (1, 0, 0)),),
)
PUSH = Case("push", (NodalLoad("b", (0, 500, 0, 0, 0, 0)),), displacements={"a": (0, 0, 0, 0.001, 0, 0)})


@settings(max_examples=20, deadline=None)
@given(seeds())
def test_what_is_written_is_read_back(seed: int) -> None:
    frame, case = random_frame(seed, shear=seed % 2 == 0, give=seed % 3 == 0)
    again, cases = read_frame(json.loads(frame_text(frame, [case])))
    assert again.nodes == tuple(frame.nodes)
    assert again.members == frame.members
    assert cases == (case,)


def test_the_document_is_as_described() -> None:
    document = frame_document(SMALL, [PUSH])
    assert document["schema"] == "pitchline-frame/1"
    assert document["nodes"] == [
        {"id": "a", "xyz": [0, 0, 0], "ground": ["fixed"] * 6},
        {"id": "b", "xyz": [0, 0, 900], "ground": None},
    ]
    members = document["members"]
    assert isinstance(members, list)
    assert members[0]["end_i"] == ["rigid"] * 6
    assert set(members[0]) >= {"E", "G", "A", "Iy", "Iz", "J", "kappa_y", "kappa_z", "z_axis", "i", "j"}
    assert document["cases"] == [
        {
            "id": "push",
            "nodal": [{"node": "b", "force": [0, 500, 0, 0, 0, 0]}],
            "line": [],
            "displacements": {},
            "settlements": {"a": [0, 0, 0, 0.001, 0, 0]},
        }
    ]


def test_movements_found_are_told_with_it() -> None:
    """P h3/3EI + P h/(kappa G A) and the ground's turn times the height, read back from the file."""
    text = frame_text(SMALL, [PUSH], solve(SMALL, [PUSH]))
    moved = read_movements(json.loads(text))["push"]
    area, i = 90.0**2, 90.0**4 / 12
    head = 500 * 900**3 / (3 * 11000 * i) + 1.2 * 500 * 900 / (690 * area) - 0.001 * 900
    assert moved["b"][1] == pytest.approx(head, rel=1e-8)
    assert moved["a"][3] == 0.001


@pytest.mark.parametrize("seed", range(20))
def test_cut_where_forces_stand_nothing_else_changes(seed: int) -> None:
    """The same movements at the nodes there were before, and no force inside a member is left."""
    frame, case = random_frame(seed, give=seed % 2 == 0)
    parted, (other,) = cut_at_forces(frame, [case])
    assert other.point == ()
    assert len(parted.nodes) > len(frame.nodes)
    before, after = solve(frame, [case]).movements[0], solve(parted, [other]).movements[0]
    np.testing.assert_allclose(after[: len(frame.nodes)], before, rtol=1e-6, atol=1e-8 * np.abs(before).max())


def test_a_file_is_solved_as_the_frame(tmp_path: Path) -> None:
    path = tmp_path / "d.frame.json"
    path.write_text(frame_text(SMALL, [PUSH]), encoding="utf-8")
    frame, cases = read_frame_file(path)
    np.testing.assert_array_equal(solve(frame, cases).movements, solve(SMALL, [PUSH]).movements)


def test_every_fault_is_told() -> None:
    raw = json.loads(frame_text(SMALL, [PUSH]))
    raw["schema"] = "another/2"
    raw["nodes"][0]["xyz"] = [0, 0]
    raw["nodes"][1]["colour"] = "red"
    raw["members"][0]["E"] = "stiff"
    del raw["members"][0]["G"]
    raw["members"][0]["end_i"][3] = "loose"
    raw["cases"][0]["nodal"][0]["force"][1] = float("nan")
    raw["cases"][0]["displacements"] = 3
    with pytest.raises(InputError) as refused:
        read_frame(raw)
    text = str(refused.value)
    for words in (
        "another kind of document",
        "nodes[0].xyz: this must be a list of 3",
        "nodes[1].colour: this key is not known",
        "members[0].E: this is no number",
        "members[0]: the G is missing",
        "members[0].end_i[3]: this is no number (found 'loose')",
        "cases[0].nodal[0].force[1]: this is no number",
        "cases[0].displacements: this must be a table",
    ):
        assert words in text


def test_a_file_that_is_no_json(tmp_path: Path) -> None:
    path = tmp_path / "d.json"
    path.write_text("{", encoding="utf-8")
    with pytest.raises(InputError, match="cannot be read"):
        read_frame_file(path)
    with pytest.raises(InputError, match="must be a table"):
        read_frame([])
