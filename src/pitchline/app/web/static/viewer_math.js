// Vectors, the camera and rays: pure functions, Y up, metres, radians. Matrices are 16 numbers, column by column.

export const FIELD_OF_VIEW = 0.42; // a long lens: plumb things stay nearly plumb
const STEEPEST = 1.53; // just short of straight up or down, where a turn would flip

export const sub = (a, b) => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
export const add = (a, b, k = 1) => [a[0] + k * b[0], a[1] + k * b[1], a[2] + k * b[2]];
export const dot = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
export const cross = (a, b) => [
  a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0],
];
export const unit = (a) => { const n = Math.hypot(...a) || 1; return [a[0] / n, a[1] / n, a[2] / n]; };

export function multiply(a, b) {
  const out = new Float32Array(16);
  for (let column = 0; column < 4; column++) {
    for (let row = 0; row < 4; row++) {
      let sum = 0;
      for (let k = 0; k < 4; k++) sum += a[4 * k + row] * b[4 * column + k];
      out[4 * column + row] = sum;
    }
  }
  return out;
}

export const identity = () => new Float32Array([1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1]);

export function place(m, x, y, z) {
  return [
    m[0] * x + m[4] * y + m[8] * z + m[12],
    m[1] * x + m[5] * y + m[9] * z + m[13],
    m[2] * x + m[6] * y + m[10] * z + m[14],
  ];
}

// A camera looks at `target` from `distance` away; `turn` is the bearing of the eye, `tilt` its height.
export function towardsEye({ turn, tilt }) {
  return [Math.cos(tilt) * Math.sin(turn), Math.sin(tilt), Math.cos(tilt) * Math.cos(turn)];
}

export function cameraFrom(eye) {
  const [x, y, z] = unit(eye);
  return { turn: Math.atan2(x, z), tilt: Math.asin(y) };
}

export function axes(camera) {
  const back = towardsEye(camera);
  const right = unit(cross([0, 1, 0], back));
  return { back, right, up: cross(back, right) };
}

export function orbited(camera, turn, tilt) {
  const steep = Math.max(-STEEPEST, Math.min(STEEPEST, camera.tilt + tilt));
  return { ...camera, turn: camera.turn + turn, tilt: steep };
}

export function nearer(camera, factor, radius) {
  const distance = Math.max(radius * 0.05, Math.min(radius * 40, camera.distance * factor));
  return { ...camera, distance };
}

// Moved so that what is seen shifts by a share of the picture's height to the right and down.
export function panned(camera, across, down) {
  const { right, up } = axes(camera);
  const reach = 2 * camera.distance * Math.tan(FIELD_OF_VIEW / 2);
  return { ...camera, target: add(add(camera.target, right, -across * reach), up, down * reach) };
}

// The camera turned as it is, far enough away that a box of the eight `corners` fills the picture.
export function fitted(camera, corners, aspect) {
  const { right, up, back } = axes(camera);
  const k = Math.tan(FIELD_OF_VIEW / 2) * 0.94;
  const middle = corners.reduce((sum, corner) => add(sum, corner, 1 / corners.length), [0, 0, 0]);
  let target = middle;
  let distance = 0.01;
  for (let pass = 0; pass < 3; pass++) {
    distance = 0.01;
    for (const corner of corners) {
      const from = sub(corner, target);
      const wide = Math.max(Math.abs(dot(from, right)) / aspect, Math.abs(dot(from, up)));
      distance = Math.max(distance, dot(from, back) + wide / k);
    }
    const seen = corners.map((corner) => {
      const from = sub(corner, target);
      const depth = distance - dot(from, back);
      return [dot(from, right) / depth, dot(from, up) / depth];
    });
    const off = [0, 1].map((n) => {
      const shares = seen.map((point) => point[n]);
      return (Math.min(...shares) + Math.max(...shares)) / 2;
    });
    target = add(add(target, right, off[0] * distance), up, off[1] * distance);
  }
  return { ...camera, target, distance };
}

export function eyeOf(camera) {
  return add(camera.target, towardsEye(camera), camera.distance);
}

export function projection(camera, aspect, radius) {
  const { right, up, back } = axes(camera);
  const eye = eyeOf(camera);
  const view = [
    right[0], up[0], back[0], 0, right[1], up[1], back[1], 0, right[2], up[2], back[2], 0,
    -dot(right, eye), -dot(up, eye), -dot(back, eye), 1,
  ];
  const far = camera.distance + 6 * radius;
  const near = Math.max(camera.distance - 6 * radius, far / 2000);
  const k = 1 / Math.tan(FIELD_OF_VIEW / 2);
  const lens = [
    k / aspect, 0, 0, 0, 0, k, 0, 0, 0, 0, (far + near) / (near - far), -1, 0, 0, (2 * far * near) / (near - far), 0,
  ];
  return multiply(lens, view);
}

// The ray through a place of the picture, each share from -1 (left, bottom) to 1.
export function rayThrough(camera, x, y, aspect) {
  const { right, up, back } = axes(camera);
  const k = Math.tan(FIELD_OF_VIEW / 2);
  const way = add(add(sub([0, 0, 0], back), right, x * k * aspect), up, y * k);
  return { from: eyeOf(camera), way: unit(way) };
}

// How far along a ray a triangle is hit (Moeller and Trumbore 1997), Infinity where it is missed.
export function hit(ray, a, b, c) {
  const ab = sub(b, a);
  const ac = sub(c, a);
  const p = cross(ray.way, ac);
  const size = dot(ab, p);
  if (Math.abs(size) < 1e-14) return Infinity;
  const from = sub(ray.from, a);
  const u = dot(from, p) / size;
  if (u < 0 || u > 1) return Infinity;
  const q = cross(from, ab);
  const v = dot(ray.way, q) / size;
  if (v < 0 || u + v > 1) return Infinity;
  const t = dot(ac, q) / size;
  return t > 0 ? t : Infinity;
}

// The number of the nearest of `pieces` (positions, triangles, low, high) that a ray meets, -1 for none.
export function nearest(ray, pieces) {
  let best = Infinity;
  let found = -1;
  pieces.forEach((piece, number) => {
    if (!meetsBox(ray, piece.low, piece.high)) return;
    const at = (k) => piece.positions.subarray(3 * k, 3 * k + 3);
    for (let k = 0; k < piece.triangles.length; k += 3) {
      const [a, b, c] = piece.triangles.subarray(k, k + 3);
      const t = hit(ray, at(a), at(b), at(c));
      if (t < best) { best = t; found = number; }
    }
  });
  return found;
}

function meetsBox({ from, way }, low, high) {
  let enter = 0;
  let leave = Infinity;
  for (let n = 0; n < 3; n++) {
    const a = (low[n] - from[n]) / way[n];
    const b = (high[n] - from[n]) / way[n];
    if (Number.isNaN(a) || Number.isNaN(b)) continue;
    enter = Math.max(enter, Math.min(a, b));
    leave = Math.min(leave, Math.max(a, b));
  }
  return enter <= leave + 1e-9;
}
