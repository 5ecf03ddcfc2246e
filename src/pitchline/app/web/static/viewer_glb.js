// A GLB file (binary glTF 2.0) read into pieces: one for each node with a mesh, placed in the world.
import { cross, dot, identity, multiply, place, sub, unit } from "./viewer_math.js";

const JSON_CHUNK = 0x4e4f534a;
const MAGIC = 0x46546c67;
const ARRAYS = { 5121: Uint8Array, 5123: Uint16Array, 5125: Uint32Array, 5126: Float32Array };
const WIDTHS = { SCALAR: 1, VEC3: 3 };
const CREASE = 0.9; // cosine of about 25 degrees: two faces that differ by less stand for one curve
const FLAT = 0.998; // cosine of about 3.6 degrees: two faces that differ by less are one
const WIDER = 3; // a face so many times larger than its neighbour is a flat that runs into a curve

// {title, pieces: [{name, extras, colour [r, g, b, a], metal, positions, triangles, edges, low, high}]}
export function readGlb(buffer) {
  const head = new DataView(buffer);
  if (buffer.byteLength < 20 || head.getUint32(0, true) !== MAGIC) throw new Error("not a GLB file");
  const length = head.getUint32(12, true);
  if (head.getUint32(16, true) !== JSON_CHUNK) throw new Error("a GLB file begins with its JSON");
  const gltf = JSON.parse(new TextDecoder().decode(new Uint8Array(buffer, 20, length)));
  const shapes = (gltf.meshes ?? []).map(() => null);
  const pieces = [];
  const walk = (number, above) => {
    const node = gltf.nodes[number];
    const matrix = node.matrix ? multiply(above, node.matrix) : above;
    if (node.mesh !== undefined) {
      shapes[node.mesh] ??= shapeOf(gltf, gltf.meshes[node.mesh], buffer, 28 + length);
      pieces.push(placed(node, shapes[node.mesh], matrix));
    }
    for (const child of node.children ?? []) walk(child, matrix);
  };
  const roots = gltf.scenes[gltf.scene ?? 0].nodes;
  for (const root of roots) walk(root, identity());
  return { title: gltf.nodes[roots[0]]?.name ?? "", pieces };
}

function numbers(gltf, index, buffer, start) {
  const accessor = gltf.accessors[index];
  const view = gltf.bufferViews[accessor.bufferView];
  const kind = ARRAYS[accessor.componentType];
  const width = WIDTHS[accessor.type];
  const first = start + (view.byteOffset ?? 0) + (accessor.byteOffset ?? 0);
  const size = width * kind.BYTES_PER_ELEMENT;
  if (!view.byteStride || view.byteStride === size) return new kind(buffer, first, accessor.count * width);
  const out = new kind(accessor.count * width);
  for (let k = 0; k < accessor.count; k++) out.set(new kind(buffer, first + k * view.byteStride, width), k * width);
  return out;
}

function shapeOf(gltf, mesh, buffer, start) {
  const faces = mesh.primitives.find((one) => (one.mode ?? 4) === 4);
  const lines = mesh.primitives.find((one) => one.mode === 1);
  const read = (index) => numbers(gltf, index, buffer, start);
  const positions = read(faces.attributes.POSITION);
  const triangles = faces.indices === undefined ? counted(positions.length / 3) : read(faces.indices);
  const { material } = faces;
  const shared = lines && lines.attributes.POSITION === faces.attributes.POSITION && lines.indices !== undefined;
  if (shared) return { positions, triangles, edges: read(lines.indices), look: lookOf(gltf, material) };
  const whole = welded(positions, triangles);
  return { ...whole, edges: creases(whole.positions, whole.triangles), look: lookOf(gltf, material) };
}

const counted = (n) => Uint32Array.from({ length: n }, (_, k) => k);

function lookOf(gltf, number) {
  const material = (gltf.materials ?? [])[number]?.pbrMetallicRoughness ?? {};
  const [r, g, b, a] = material.baseColorFactor ?? [1, 1, 1, 1];
  return { colour: [seen(r), seen(g), seen(b), a], metal: (material.metallicFactor ?? 0) > 0.5 };
}

// From an amount of light to what a screen is told (IEC 61966-2-1).
export function seen(light) {
  return light <= 0.0031308 ? 12.92 * light : 1.055 * light ** (1 / 2.4) - 0.055;
}

// The same faces with every corner once.
export function welded(positions, triangles) {
  const known = new Map();
  const numberOf = new Uint32Array(positions.length / 3);
  const kept = [];
  for (let k = 0; k < numberOf.length; k++) {
    const corner = positions.subarray(3 * k, 3 * k + 3);
    const key = corner.join();
    let number = known.get(key);
    if (number === undefined) {
      number = known.size;
      known.set(key, number);
      kept.push(...corner);
    }
    numberOf[k] = number;
  }
  return { positions: new Float32Array(kept), triangles: Uint32Array.from(triangles, (k) => numberOf[k]) };
}

// Pairs of corners of the edges to be drawn: where faces meet at an angle, where a flat runs into a curve, and
// where a face ends.
export function creases(positions, triangles) {
  const sides = new Map();
  const count = positions.length / 3;
  for (let k = 0; k < triangles.length; k += 3) {
    const [a, b, c] = triangles.subarray(k, k + 3);
    const at = (n) => positions.subarray(3 * n, 3 * n + 3);
    const normal = cross(sub(at(b), at(a)), sub(at(c), at(a)));
    const size = Math.hypot(...normal);
    if (size === 0) continue;
    const face = { normal: unit(normal), size };
    for (const [from, to] of [[a, b], [b, c], [c, a]]) {
      const key = Math.min(from, to) * count + Math.max(from, to);
      if (sides.has(key)) sides.get(key).push(face);
      else sides.set(key, [face]);
    }
  }
  const edges = [];
  for (const [key, faces] of sides) {
    if (isDrawn(faces)) edges.push(Math.floor(key / count), key % count);
  }
  return Uint32Array.from(edges);
}

function isDrawn(faces) {
  if (faces.length !== 2) return true;
  const [a, b] = faces;
  const alike = dot(a.normal, b.normal);
  return alike < CREASE || (alike < FLAT && Math.max(a.size, b.size) > WIDER * Math.min(a.size, b.size));
}

function placed(node, shape, matrix) {
  const positions = new Float32Array(shape.positions.length);
  const low = [Infinity, Infinity, Infinity];
  const high = [-Infinity, -Infinity, -Infinity];
  for (let k = 0; k < positions.length; k += 3) {
    const at = place(matrix, shape.positions[k], shape.positions[k + 1], shape.positions[k + 2]);
    for (let n = 0; n < 3; n++) {
      positions[k + n] = at[n];
      low[n] = Math.min(low[n], at[n]);
      high[n] = Math.max(high[n], at[n]);
    }
  }
  const { triangles, edges, look } = shape;
  return { name: node.name ?? "", extras: node.extras ?? {}, ...look, positions, triangles, edges, low, high };
}
