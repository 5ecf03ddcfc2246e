"""The scene for a viewer, read back with a general mesh library (trimesh) and by the glTF 2.0 specification."""

import io
import json
import math
import struct
import time
from typing import Any

import numpy as np
import pytest
import trimesh
from tests.strategies_stairs import FOOT_POST, HEAD_WALL, LIMITS, plain_brief, regular_flight

from pitchline.design.brief import AtWall, ExistingNewel
from pitchline.design.compose import compose
from pitchline.design.model import Design
from pitchline.parts.explode import explode
from pitchline.parts.measure import volume
from pitchline.parts.part import Part
from pitchline.solids.glb import write_glb
from pitchline.stair.facts import PostFacts, WallFacts

MM3_PER_M3 = 1e9


@pytest.fixture(scope="module")
def design() -> Design:
    post = PostFacts("old", FOOT_POST, 700.0, 92.0, 90.0, 0.021, -0.014, math.radians(3.0), 1300.0)
    wall = WallFacts("end", HEAD_WALL, 3000.0)
    flight = regular_flight(posts=(post,), walls=(wall,))
    return compose(flight, plain_brief(flight, bottom=ExistingNewel("old"), top=AtWall("end")), LIMITS)


@pytest.fixture(scope="module")
def parts(design: Design) -> tuple[Part, ...]:
    return explode(design)


def document(data: bytes) -> dict[str, Any]:
    """The JSON chunk of a GLB file."""
    size, kind = struct.unpack_from("<II", data, 12)
    assert kind == 0x4E4F534A
    read: dict[str, Any] = json.loads(data[20 : 20 + size])
    return read


def test_header_and_chunks_are_as_specified(design: Design, parts: tuple[Part, ...]) -> None:
    # Khronos glTF 2.0 (2021), section 4.4: magic, version, length; chunks aligned to 4 bytes.
    data = write_glb(design, parts)
    magic, version, length = struct.unpack_from("<4sII", data)
    assert (magic, version, length) == (b"glTF", 2, len(data))
    (size,) = struct.unpack_from("<I", data, 12)
    binary, kind = struct.unpack_from("<I4s", data, 20 + size)
    assert kind == b"BIN\0"
    assert size % 4 == binary % 4 == 0
    assert 20 + size + 8 + binary == length
    assert document(data)["buffers"][0]["byteLength"] == binary


def test_every_part_is_a_node_with_its_own_figures(design: Design, parts: tuple[Part, ...]) -> None:
    nodes = {node["name"]: node for node in document(write_glb(design, parts))["nodes"]}
    for part in parts:
        extras = nodes[part.place]["extras"]
        assert extras["mark"] == part.place
        assert extras["group"] == part.mark
        assert extras["role"] == part.role.value
        assert extras["material"] == part.material
        assert extras["length_mm"] == part.length


def test_one_root_carries_metres_and_y_up(design: Design, parts: tuple[Part, ...]) -> None:
    read = document(write_glb(design, parts))
    assert read["scenes"][0]["nodes"] == [0]
    assert sorted(read["nodes"][0]["children"]) == list(range(1, len(read["nodes"])))
    matrix = np.array(read["nodes"][0]["matrix"]).reshape(4, 4).T
    assert matrix @ (1000.0, 0.0, 0.0, 1.0) == pytest.approx((1.0, 0.0, 0.0, 1.0))
    assert matrix @ (0.0, 0.0, 1000.0, 1.0) == pytest.approx((0.0, 1.0, 0.0, 1.0))
    assert matrix @ (0.0, 1000.0, 0.0, 1.0) == pytest.approx((0.0, 0.0, -1.0, 1.0))


def test_read_back_the_parts_have_their_size_place_and_volume(
    design: Design, parts: tuple[Part, ...]
) -> None:
    scene = trimesh.load_scene(io.BytesIO(write_glb(design, parts, around=False)), file_type="glb")
    for part in parts:
        matrix, name = scene.graph[part.place]
        mesh = scene.geometry[name].copy()
        mesh.apply_transform(matrix)
        mesh.merge_vertices(merge_norm=True)
        assert mesh.is_watertight
        assert mesh.volume * MM3_PER_M3 == pytest.approx(volume(part), rel=1e-4)
        world = part.frame.array_to_world(part.body.vertices) / 1000.0
        expected = np.stack((world[:, 0], world[:, 2], -world[:, 1]), axis=1)
        assert mesh.bounds[0] == pytest.approx(expected.min(axis=0), abs=1e-6)
        assert mesh.bounds[1] == pytest.approx(expected.max(axis=0), abs=1e-6)


def test_normals_are_flat_and_point_outwards(design: Design, parts: tuple[Part, ...]) -> None:
    scene = trimesh.load_scene(io.BytesIO(write_glb(design, parts)), file_type="glb")
    for mesh in scene.geometry.values():
        corners = mesh.vertices[mesh.faces]
        across = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
        sizes = np.linalg.norm(across, axis=1, keepdims=True)
        own = mesh.vertex_normals[mesh.faces[:, 0]]
        assert np.einsum("ij,ij->i", across / sizes, own).min() > 0.999


def test_the_stair_is_there_by_name(design: Design, parts: tuple[Part, ...]) -> None:
    names = {node["name"] for node in document(write_glb(design, parts))["nodes"]}
    assert {f"step {k}" for k in range(1, 13)} <= names
    assert {"lower floor", "upper floor", "string string", "newel P1", "wall end"} <= names
    alone = {node["name"] for node in document(write_glb(design, parts, around=False))["nodes"]}
    assert alone == {"balustrade A", *(part.place for part in parts)}


def test_one_material_for_each_timber(design: Design, parts: tuple[Part, ...]) -> None:
    read = document(write_glb(design, parts, around=False))
    assert [material["name"] for material in read["materials"]] == ["pine-european"]


def test_the_same_bytes_every_time(design: Design, parts: tuple[Part, ...]) -> None:
    assert write_glb(design, parts) == write_glb(design, parts)


def test_it_is_quick(design: Design, parts: tuple[Part, ...]) -> None:
    # The reach is 60 ms for 70 parts; the best of three runs leaves room for a busy machine.
    write_glb(design, parts)
    took = []
    for _ in range(3):
        start = time.perf_counter()
        write_glb(design, parts)
        took.append(time.perf_counter() - start)
    assert min(took) < 0.06
