import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";
import { creases, readGlb, seen, welded } from "../../../src/pitchline/app/web/static/viewer_glb.js";

// A box of 1 x 2 x 3 as a file of 12 single triangles, moved by its node and halved by the root.
const CORNERS = [0, 1, 2, 3, 4, 5, 6, 7].map((k) => [k & 1, 2 * ((k >> 1) & 1), 3 * ((k >> 2) & 1)]);
const FACES = [[0, 2, 3, 1], [4, 5, 7, 6], [0, 1, 5, 4], [2, 6, 7, 3], [0, 4, 6, 2], [1, 3, 7, 5]];
const TRIANGLES = FACES.flatMap(([a, b, c, d]) => [a, b, c, a, c, d]);

function file(gltf, binary) {
  const pad = (bytes, fill) => Buffer.concat([bytes, Buffer.alloc((4 - (bytes.length % 4)) % 4, fill)]);
  const chunk = (kind, bytes) => {
    const head = Buffer.alloc(8);
    head.writeUInt32LE(bytes.length, 0);
    head.writeUInt32LE(kind, 4);
    return Buffer.concat([head, bytes]);
  };
  const body = Buffer.concat([
    chunk(0x4e4f534a, pad(Buffer.from(JSON.stringify(gltf)), 0x20)), chunk(0x004e4942, pad(Buffer.from(binary), 0)),
  ]);
  const head = Buffer.alloc(12);
  [0x46546c67, 2, 12 + body.length].forEach((value, k) => head.writeUInt32LE(value, 4 * k));
  const whole = Buffer.concat([head, body]);
  return whole.buffer.slice(whole.byteOffset, whole.byteOffset + whole.length);
}

const nodes = [
  { name: "whole", children: [1, 2], matrix: [0.5, 0, 0, 0, 0, 0.5, 0, 0, 0, 0, 0.5, 0, 0, 0, 0, 1] },
  { name: "U01", mesh: 0, extras: { kind: "part" }, matrix: [1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 10, 0, 0, 1] },
  { name: "step 1", mesh: 0, extras: { kind: "step" } },
];
const common = {
  asset: { version: "2.0" }, scene: 0, scenes: [{ nodes: [0] }], nodes,
  materials: [{ pbrMetallicRoughness: { baseColorFactor: [1, 0.2158605, 0, 0.5], metallicFactor: 1 } }],
};

function loose() {
  const numbers = new Float32Array(TRIANGLES.flatMap((k) => CORNERS[k]));
  return file({
    ...common, bufferViews: [{ buffer: 0, byteLength: numbers.byteLength }],
    accessors: [{ bufferView: 0, componentType: 5126, count: 36, type: "VEC3" }],
    meshes: [{ primitives: [{ attributes: { POSITION: 0 }, material: 0 }] }],
  }, new Uint8Array(numbers.buffer));
}

function indexed() {
  const corners = new Float32Array(CORNERS.flat());
  const triangles = new Uint16Array(TRIANGLES);
  const lines = new Uint8Array([0, 1, 1, 3]);
  const binary = Buffer.concat([corners, triangles, lines].map((list) => Buffer.from(list.buffer)));
  return file({
    ...common,
    bufferViews: [
      { buffer: 0, byteLength: 96, byteStride: 12 }, { buffer: 0, byteOffset: 96, byteLength: 72 },
      { buffer: 0, byteOffset: 168, byteLength: 4 },
    ],
    accessors: [
      { bufferView: 0, componentType: 5126, count: 8, type: "VEC3" },
      { bufferView: 1, componentType: 5123, count: 36, type: "SCALAR" },
      { bufferView: 2, componentType: 5121, count: 4, type: "SCALAR" },
    ],
    meshes: [{ primitives: [
      { attributes: { POSITION: 0 }, indices: 1, material: 0 }, { attributes: { POSITION: 0 }, indices: 2, mode: 1 },
    ] }],
  }, binary);
}

test("single triangles are welded and the twelve edges of a box are found", () => {
  const { title, pieces } = readGlb(loose());
  assert.equal(title, "whole");
  assert.deepEqual(pieces.map((piece) => piece.name), ["U01", "step 1"]);
  assert.equal(pieces[0].positions.length, 24);
  assert.equal(pieces[0].edges.length, 24);
});

test("matrices of the nodes on the way are all applied", () => {
  const { pieces } = readGlb(loose());
  assert.deepEqual(pieces[0].low, [5, 0, 0]);
  assert.deepEqual(pieces[0].high, [5.5, 1, 1.5]);
});

test("lines that the file brings are taken as they are", () => {
  const [piece] = readGlb(indexed()).pieces;
  assert.deepEqual([...piece.edges], [0, 1, 1, 3]);
  assert.equal(piece.triangles.length, 36);
});

test("colours are told as a screen shows them, glass and metal apart", () => {
  const [piece] = readGlb(indexed()).pieces;
  [1, 0.5, 0, 0.5].forEach((value, n) => assert.ok(Math.abs(piece.colour[n] - value) < 0.01));
  assert.equal(piece.metal, true);
  assert.ok(Math.abs(seen(0.5) - 0.7354) < 1e-3);
});

test("facets that stand for a curve have no lines between them, a flat beside them has", () => {
  const ring = 24;
  const corners = [];
  const triangles = [];
  for (let k = 0; k < ring; k++) {
    const turn = (2 * Math.PI * k) / ring;
    for (const z of [0, 9]) corners.push(Math.cos(turn), Math.sin(turn), z);
    const [a, b] = [2 * k, 2 * ((k + 1) % ring)];
    triangles.push(a, b, b + 1, a, b + 1, a + 1);
  }
  // Open at both ends: only the two rims are drawn.
  assert.equal(creases(new Float32Array(corners), new Uint32Array(triangles)).length, 2 * 2 * ring);
});

test("welding keeps faces and joins equal corners", () => {
  const made = welded(new Float32Array([0, 0, 0, 1, 0, 0, 0, 1, 0, 1, 0, 0]), new Uint32Array([0, 1, 2, 3, 2, 1]));
  assert.equal(made.positions.length, 9);
  assert.deepEqual([...made.triangles], [0, 1, 2, 1, 2, 1]);
});

test("another file is refused", () => {
  assert.throws(() => readGlb(new ArrayBuffer(64)), /not a GLB/);
});

if (process.env.PITCHLINE_GLB) {
  test("the file of a real balustrade has a piece for each node with a mesh, each with its edges", () => {
    const bytes = readFileSync(process.env.PITCHLINE_GLB);
    const { pieces } = readGlb(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.length));
    assert.ok(pieces.length > 30);
    for (const piece of pieces) {
      assert.ok(piece.edges.length >= 24 || piece.extras.kind !== "part", piece.name);
      assert.ok(Math.max(...piece.triangles) < piece.positions.length / 3);
    }
    assert.ok(pieces.some((piece) => piece.extras.kind === "part" && piece.name === "U01"));
  });
}
