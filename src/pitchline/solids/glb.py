"""The scene for a viewer as binary glTF 2.0 (GLB): metres and Y up on one root node, one node for each part.

A part's node bears its place mark and carries ``mark``, ``group``, ``role``, ``material`` and its sizes in mm
as extras; its mesh is in the part's own axes, so a viewer can move pieces apart. Faces are flat: every
triangle has its own corners and normals. Written by hand after the Khronos glTF 2.0 specification (2021),
the same bytes for the same design.
"""

import json
import struct
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pitchline.design.model import Design
from pitchline.kit.geometry.frames import Frame
from pitchline.parts.part import Part
from pitchline.solids.colours import around_colour, linear, wood_colour
from pitchline.solids.context import Surrounding, surroundings
from pitchline.solids.mesh import Mesh
from pitchline.solids.solid import part_mesh

SEGMENTS = 24
"""Sides of a full circle in the viewer."""

_MM_TO_M = 0.001
_FLOAT, _ARRAY_BUFFER, _TRIANGLES = 5126, 34962, 4
_JSON_CHUNK, _BINARY_CHUNK, _MAGIC, _VERSION = 0x4E4F534A, 0x004E4942, 0x46546C67, 2


def write_glb(design: Design, parts: Iterable[Part], *, around: bool = True) -> bytes:
    """The parts of a design, and the stair around them, as the bytes of a GLB file."""
    return scene_glb(f"balustrade {design.id}", parts, surroundings(design) if around else ())


def scene_glb(title: str, parts: Iterable[Part], around: Iterable[Surrounding]) -> bytes:
    """Parts and what stands around them, all in one frame, as the bytes of a GLB file."""
    scene = _Scene()
    for part in parts:
        scene.add_part(part)
    for thing in around:
        scene.add_surrounding(thing)
    return scene.to_bytes(title)


@dataclass
class _Scene:
    """The lists of a glTF document as they grow."""

    nodes: list[dict[str, Any]] = field(default_factory=list)
    meshes: list[dict[str, Any]] = field(default_factory=list)
    accessors: list[dict[str, Any]] = field(default_factory=list)
    materials: dict[str, dict[str, Any]] = field(default_factory=dict)
    positions: list[NDArray[np.float32]] = field(default_factory=list)
    normals: list[NDArray[np.float32]] = field(default_factory=list)
    size: int = 0

    def add_part(self, part: Part) -> None:
        """One node with a part's mesh, placed by its frame."""
        extras = {
            "mark": part.place,
            "group": part.mark,
            "role": part.role.value,
            "material": part.material,
            "length_mm": part.length,
            "width_mm": part.width,
            "thickness_mm": part.thickness,
            "kind": "part",
        }
        material = self._material(part.material, wood_colour(part.material))
        self._node(part.place, part_mesh(part, SEGMENTS), material, extras, _column_major(part.frame))

    def add_surrounding(self, thing: Surrounding) -> None:
        """One node with something of the stair, already where it stands."""
        if not thing.blocks:
            return
        material = self._material(thing.kind.value, around_colour(thing.kind))
        self._node(thing.name, Mesh.of_blocks(thing.blocks), material, {"kind": thing.kind.value}, None)

    def _material(self, name: str, colour: str) -> int:
        if name not in self.materials:
            look = {
                "baseColorFactor": [round(value, 6) for value in (*linear(colour), 1.0)],
                "metallicFactor": 0.0,
                "roughnessFactor": 0.85,
            }
            self.materials[name] = {"name": name, "pbrMetallicRoughness": look}
        return list(self.materials).index(name)

    def _node(
        self, name: str, mesh: Mesh, material: int, extras: Mapping[str, Any], matrix: list[float] | None
    ) -> None:
        places, normals = _flat(mesh)
        first = len(self.accessors)
        for view, values in enumerate((places, normals)):
            accessor = {
                "bufferView": view,
                "byteOffset": self.size,
                "componentType": _FLOAT,
                "count": len(values),
                "type": "VEC3",
            }
            if view == 0:
                accessor["min"] = [float(v) for v in values.min(axis=0)]
                accessor["max"] = [float(v) for v in values.max(axis=0)]
            self.accessors.append(accessor)
        self.positions.append(places)
        self.normals.append(normals)
        self.size += places.nbytes
        primitive = {
            "attributes": {"POSITION": first, "NORMAL": first + 1},
            "material": material,
            "mode": _TRIANGLES,
        }
        self.meshes.append({"name": name, "primitives": [primitive]})
        node: dict[str, Any] = {"name": name, "mesh": len(self.meshes) - 1, "extras": dict(extras)}
        if matrix is not None:
            node["matrix"] = matrix
        self.nodes.append(node)

    def to_bytes(self, title: str) -> bytes:
        """The whole file: header, the document, the numbers."""
        binary = b"".join(values.tobytes() for values in (*self.positions, *self.normals))
        document = {
            "asset": {"version": "2.0", "generator": "pitchline"},
            "scene": 0,
            "scenes": [{"nodes": [0]}],
            "nodes": [_root(title, len(self.nodes)), *self.nodes],
            "meshes": self.meshes,
            "accessors": self.accessors,
            "materials": list(self.materials.values()),
            "bufferViews": [_view(0, self.size), _view(self.size, self.size)],
            "buffers": [{"byteLength": len(binary)}],
        }
        text = json.dumps(document, ensure_ascii=False, allow_nan=False, separators=(",", ":")).encode()
        chunks = _chunk(_JSON_CHUNK, text, b" ") + _chunk(_BINARY_CHUNK, binary, b"\0")
        return struct.pack("<III", _MAGIC, _VERSION, 12 + len(chunks)) + chunks


def _root(title: str, count: int) -> dict[str, Any]:
    """The one node that turns (u, y, z) in mm into metres with Y up: x = u, y = z, z = -y."""
    k = _MM_TO_M
    matrix = [k, 0.0, 0.0, 0.0, 0.0, 0.0, -k, 0.0, 0.0, k, 0.0, 0.0, 0.0, 0.0, 0.0, 1.0]
    return {"name": title, "matrix": matrix, "children": list(range(1, count + 1))}


def _view(offset: int, size: int) -> dict[str, int]:
    return {
        "buffer": 0,
        "byteOffset": offset,
        "byteLength": size,
        "byteStride": 12,
        "target": _ARRAY_BUFFER,
    }


def _chunk(kind: int, data: bytes, padding: bytes) -> bytes:
    padded = data + padding * (-len(data) % 4)
    return struct.pack("<II", len(padded), kind) + padded


def _column_major(frame: Frame) -> list[float]:
    columns = ((*frame.x, 0.0), (*frame.y, 0.0), (*frame.z, 0.0), (*frame.origin, 1.0))
    return [value for column in columns for value in column]


def _flat(mesh: Mesh) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    """Three corners a triangle with the triangle's own normal; triangles without area are left out."""
    corners = mesh.corners[mesh.triangles]
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    sizes = np.linalg.norm(normals, axis=1)
    kept = sizes > 0.0
    normals = normals[kept] / sizes[kept, None]
    places = np.ascontiguousarray(corners[kept].reshape(-1, 3), dtype="<f4")
    return places, np.ascontiguousarray(np.repeat(normals, 3, axis=0), dtype="<f4")
