"""The scene for a viewer, read back with a general mesh library (trimesh) and by the glTF 2.0 specification."""

import io
import json
import math
import struct
import time
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
import trimesh
from tests.strategies_stairs import FOOT_POST, HEAD_WALL, LIMITS, plain_brief, regular_flight

from pitchline.design.brief import AtWall, ExistingNewel
from pitchline.design.compose import compose
from pitchline.design.model import Design
from pitchline.kit.geometry.frames import Frame, Plane
from pitchline.parts.explode import explode
from pitchline.parts.measure import volume
from pitchline.parts.part import Face, Groove, Hole, Part
from pitchline.solids.glb import SEGMENTS, scene_glb, write_glb
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


def read_back(data: bytes) -> Iterator[tuple[str, trimesh.Trimesh | trimesh.path.Path3D]]:
    """Every primitive that a general mesh library finds, by the name of its node, in metres and in place."""
    scene = trimesh.load_scene(io.BytesIO(data), file_type="glb")
    parents = scene.graph.transforms.parents
    for node in scene.graph.nodes_geometry:
        matrix, name = scene.graph[node]
        shape = scene.geometry[name].copy()
        shape.apply_transform(matrix)
        own = {n["name"] for n in document(data)["nodes"]}
        yield (node if node in own else parents[node]), shape


def test_read_back_the_parts_have_their_size_place_and_volume(
    design: Design, parts: tuple[Part, ...]
) -> None:
    solids = {
        name: shape
        for name, shape in read_back(write_glb(design, parts, around=False))
        if isinstance(shape, trimesh.Trimesh)
    }
    for part in parts:
        mesh = solids[part.place]
        mesh.merge_vertices(merge_norm=True)
        assert mesh.is_watertight
        assert mesh.volume * MM3_PER_M3 == pytest.approx(volume(part), rel=1e-4)
        world = part.frame.array_to_world(part.body.vertices) / 1000.0
        expected = np.stack((world[:, 0], world[:, 2], -world[:, 1]), axis=1)
        assert mesh.bounds[0] == pytest.approx(expected.min(axis=0), abs=1e-6)
        assert mesh.bounds[1] == pytest.approx(expected.max(axis=0), abs=1e-6)


def line_length(data: bytes, name: str) -> float:
    """Length of a node's lines in mm, decoded by the glTF 2.0 specification (3.6 buffers, 3.7.2 meshes)."""
    read = document(data)
    (size,) = struct.unpack_from("<I", data, 12)
    binary = data[20 + size + 8 :]
    node = next(node for node in read["nodes"] if node["name"] == name)
    lines = next(p for p in read["meshes"][node["mesh"]]["primitives"] if p["mode"] == 1)

    def values(index: int) -> Any:
        accessor = read["accessors"][index]
        kind = {5126: "<f4", 5123: "<u2", 5125: "<u4"}[accessor["componentType"]]
        start = accessor["byteOffset"] + read["bufferViews"][accessor["bufferView"]]["byteOffset"]
        count = accessor["count"] * (3 if accessor["type"] == "VEC3" else 1)
        return np.frombuffer(binary, kind, count, start)

    corners = values(lines["attributes"]["POSITION"]).reshape(-1, 3).astype(float)
    pairs = corners[values(lines["indices"]).reshape(-1, 2)]
    return float(np.linalg.norm(pairs[:, 0] - pairs[:, 1], axis=1).sum())


def test_lines_are_the_edges_of_the_piece(design: Design, parts: tuple[Part, ...]) -> None:
    data = write_glb(design, parts, around=False)
    plain = [part for part in parts if not part.features]
    assert plain
    for part in plain:
        corners = part.body.vertices
        told = [float(np.linalg.norm(corners[a] - corners[b])) for a, b, _, _ in part.body.edges]
        assert line_length(data, part.place) == pytest.approx(sum(told), rel=1e-6)


def test_what_is_worked_into_a_piece_shows(parts: tuple[Part, ...]) -> None:
    """A square board with a hole and a groove: both take their volume; edges of both are lines."""
    board = replace(
        parts[0],
        place="X",
        length=200.0,
        width=100.0,
        thickness=20.0,
        start_cuts=(Plane((0.0, 0.0, 0.0), (-1.0, 0.0, 0.0)),),
        finish_cuts=(Plane((200.0, 0.0, 0.0), (1.0, 0.0, 0.0)),),
        features=(
            Hole((60.0, 0.0, 10.0), (0.0, 0.0, -1.0), 30.0, 40.0),
            Groove(Face.PLUS_Z, 40.0, 10.0, 5.0),
        ),
        frame=Frame(),
    )
    found = list(read_back(scene_glb("one board", [board], ())))
    mesh = next(shape for _, shape in found if isinstance(shape, trimesh.Trimesh))
    # A regular polygon of n corners in its circle: n/2 r2 sin(2 pi / n), all round 2 n r sin(pi / n).
    n, r = SEGMENTS, 15.0
    hole = n / 2 * r * r * math.sin(math.tau / n)
    expected = 200.0 * 100.0 * 20.0 - hole * 20.0 - 200.0 * 10.0 * 5.0
    assert mesh.volume * MM3_PER_M3 == pytest.approx(expected, rel=1e-6)
    # Twelve edges of the board less the groove's mouth at both ends; its two arrises, floor and four short sides.
    straight = 4 * (200.0 + 100.0 + 20.0) + 4 * 200.0 - 2 * 10.0 + 2 * 10.0 + 4 * 5.0
    edges = straight + 2 * 2 * n * r * math.sin(math.pi / n)
    assert line_length(scene_glb("one board", [board], ()), "X") == pytest.approx(edges, rel=1e-6)


def test_faces_are_flat_and_look_outwards(design: Design, parts: tuple[Part, ...]) -> None:
    # Without normals a viewer makes every face flat (glTF 2.0, 3.7.2.1): corners run anticlockwise seen from outside.
    for primitive in (p for m in document(write_glb(design, parts))["meshes"] for p in m["primitives"]):
        assert set(primitive["attributes"]) == {"POSITION"}
    for _, shape in read_back(write_glb(design, parts, around=False)):
        if isinstance(shape, trimesh.Trimesh):
            assert shape.volume > 0.0


def test_identical_pieces_share_a_mesh(parts: tuple[Part, ...]) -> None:
    first = parts[0]
    twin = replace(first, place="twin", frame=Frame((0.0, 500.0, 0.0)))
    read = document(scene_glb("X", [first, twin], ()))
    assert len(read["meshes"]) == 1
    assert [node["mesh"] for node in read["nodes"][1:]] == [0, 0]


def test_glass_is_clear_and_metal_shines(parts: tuple[Part, ...]) -> None:
    pieces = [replace(parts[0], place=name, material=name) for name in ("glass", "steel", "oak-european")]
    told = {m["name"]: m for m in document(scene_glb("X", pieces, ()))["materials"]}
    assert told["glass"]["alphaMode"] == "BLEND"
    assert told["glass"]["pbrMetallicRoughness"]["baseColorFactor"][3] < 1.0
    assert told["steel"]["pbrMetallicRoughness"]["metallicFactor"] > 0.5
    assert "alphaMode" not in told["oak-european"]


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
