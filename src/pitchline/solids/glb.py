"""The scene for a viewer as binary glTF 2.0 (GLB): metres and Y up on one root node, one node for each part.

A part's node bears its place mark and carries ``mark``, ``group``, ``role``, ``material`` and its sizes in mm as
extras; its mesh is in the part's own axes, so a viewer can move pieces apart, and has everything that is worked into
the piece. The mesh's first primitive are its triangles (without normals: by the specification faces are flat then),
its second the lines of its sharp edges; both refer to the same corners, and identical pieces share a mesh. Written by
hand after the Khronos glTF 2.0 specification (2021), the same bytes for the same design.
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
from pitchline.solids.colours import Look, Surface, around_colour, linear, look_of
from pitchline.solids.context import Surrounding, surroundings
from pitchline.solids.shapes import Shape, blocks_shape, part_shape

SEGMENTS = 24
"""Sides of a full circle in the viewer."""

_LIGHT = {Surface.METAL: (0.85, 0.4), Surface.GLASS: (0.0, 0.1)}
"""Metallic and roughness factors where they are not those of wood."""

_MOST_SHORT = 65535
"""Corners that an index of two bytes can tell apart (the last number is kept for a restart)."""

_MM_TO_M = 0.001
_FLOAT, _SHORT, _INT = 5126, 5123, 5125
_LINES, _TRIANGLES = 1, 4
_ARRAY_BUFFER, _ELEMENTS = 34962, 34963
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
    known: dict[tuple[bytes, bytes, int], int] = field(default_factory=dict)
    corners: list[bytes] = field(default_factory=list)
    numbers: list[bytes] = field(default_factory=list)
    corners_size: int = 0
    numbers_size: int = 0

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
        material = self._material(part.material, look_of(part.material))
        mesh = self._mesh(part.mark, part_shape(part, SEGMENTS), material)
        self._node(part.place, mesh, extras, _column_major(part.frame))

    def add_surrounding(self, thing: Surrounding) -> None:
        """One node with something of the stair, already where it stands."""
        if not thing.blocks:
            return
        material = self._material(thing.kind.value, Look(around_colour(thing.kind), Surface.BOARD))
        mesh = self._mesh(thing.name, blocks_shape(thing.blocks), material)
        self._node(thing.name, mesh, {"kind": thing.kind.value}, None)

    def _material(self, name: str, look: Look) -> int:
        if name not in self.materials:
            metallic, rough = _LIGHT.get(look.surface, (0.0, 0.85))
            told: dict[str, Any] = {
                "name": name,
                "extras": {"look": look.surface.value},
                "pbrMetallicRoughness": {
                    "baseColorFactor": [round(value, 6) for value in (*linear(look.colour), look.opacity)],
                    "metallicFactor": metallic,
                    "roughnessFactor": rough,
                },
            }
            if look.is_clear:
                told["alphaMode"] = "BLEND"
            self.materials[name] = told
        return list(self.materials).index(name)

    def _mesh(self, name: str, shape: Shape, material: int) -> int:
        """The mesh of a shape in a material; one for all pieces that come out the same."""
        places = np.ascontiguousarray(shape.corners, dtype="<f4")
        wide = len(places) > _MOST_SHORT
        faces, edges = (
            np.ascontiguousarray(some, dtype="<u4" if wide else "<u2")
            for some in (shape.triangles, shape.edges)
        )
        key = (places.tobytes(), faces.tobytes(), material)
        if key not in self.known:
            self.known[key] = len(self.meshes)
            position = {"POSITION": self._positions(places)}
            kind = _INT if wide else _SHORT
            rows = [(faces, _TRIANGLES)] if not edges.size else [(faces, _TRIANGLES), (edges, _LINES)]
            primitives = [
                {
                    "attributes": position,
                    "indices": self._indices(row, kind),
                    "material": material,
                    "mode": mode,
                }
                for row, mode in rows
            ]
            self.meshes.append({"name": name, "primitives": primitives})
        return self.known[key]

    def _positions(self, places: NDArray[np.float32]) -> int:
        self.accessors.append(
            {
                "bufferView": 0,
                "byteOffset": self.corners_size,
                "componentType": _FLOAT,
                "count": len(places),
                "type": "VEC3",
                "min": [float(v) for v in places.min(axis=0)],
                "max": [float(v) for v in places.max(axis=0)],
            }
        )
        self.corners.append(places.tobytes())
        self.corners_size += places.nbytes
        return len(self.accessors) - 1

    def _indices(self, row: NDArray[np.unsignedinteger[Any]], kind: int) -> int:
        self.accessors.append(
            {
                "bufferView": 1,
                "byteOffset": self.numbers_size,
                "componentType": kind,
                "count": row.size,
                "type": "SCALAR",
            }
        )
        padded = row.tobytes() + b"\0" * (-row.nbytes % 4)
        self.numbers.append(padded)
        self.numbers_size += len(padded)
        return len(self.accessors) - 1

    def _node(self, name: str, mesh: int, extras: Mapping[str, Any], matrix: list[float] | None) -> None:
        node: dict[str, Any] = {"name": name, "mesh": mesh, "extras": dict(extras)}
        if matrix is not None:
            node["matrix"] = matrix
        self.nodes.append(node)

    def to_bytes(self, title: str) -> bytes:
        """The whole file: header, the document, the numbers."""
        binary = b"".join((*self.corners, *self.numbers))
        document = {
            "asset": {"version": "2.0", "generator": "pitchline"},
            "scene": 0,
            "scenes": [{"nodes": [0]}],
            "nodes": [_root(title, len(self.nodes)), *self.nodes],
            "meshes": self.meshes,
            "accessors": self.accessors,
            "materials": list(self.materials.values()),
            "bufferViews": [
                {**_view(0, self.corners_size, _ARRAY_BUFFER), "byteStride": 12},
                _view(self.corners_size, self.numbers_size, _ELEMENTS),
            ],
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


def _view(offset: int, size: int, target: int) -> dict[str, int]:
    return {"buffer": 0, "byteOffset": offset, "byteLength": size, "target": target}


def _chunk(kind: int, data: bytes, padding: bytes) -> bytes:
    padded = data + padding * (-len(data) % 4)
    return struct.pack("<II", len(padded), kind) + padded


def _column_major(frame: Frame) -> list[float]:
    columns = ((*frame.x, 0.0), (*frame.y, 0.0), (*frame.z, 0.0), (*frame.origin, 1.0))
    return [value for column in columns for value in column]
