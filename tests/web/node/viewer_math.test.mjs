import assert from "node:assert/strict";
import test from "node:test";
import {
  axes, cameraFrom, cross, dot, eyeOf, fitted, hit, multiply, nearer, nearest, orbited, panned, projection,
  rayThrough, towardsEye,
} from "../../../src/pitchline/app/web/static/viewer_math.js";

const near = (a, b, within = 1e-6) => assert.ok(Math.abs(a - b) <= within, `${a} is not ${b}`);
const camera = { turn: 0.7, tilt: 0.4, target: [1, 2, 3], distance: 6 };

// Where a point comes to lie in the picture, by the matrix alone.
function seen(m, [x, y, z]) {
  const [a, b, , w] = [0, 1, 2, 3].map((row) => m[row] * x + m[4 + row] * y + m[8 + row] * z + m[12 + row]);
  return [a / w, b / w];
}

test("the three axes of a camera are square to each other and right-handed", () => {
  const { right, up, back } = axes(camera);
  for (const [a, b] of [[right, up], [up, back], [back, right]]) near(dot(a, b), 0);
  cross(right, up).forEach((value, n) => near(value, back[n]));
});

test("a camera made from an eye looks from there", () => {
  const eye = [0.48, 0.6, -0.64];
  towardsEye(cameraFrom(eye)).forEach((value, n) => near(value, eye[n]));
});

test("what the camera looks at lies in the middle of the picture", () => {
  seen(projection(camera, 1.5, 2), camera.target).forEach((value) => near(value, 0));
});

test("a ray through a place of the picture meets the points that are seen there", () => {
  const m = projection(camera, 1.5, 2);
  for (const point of [[1, 2, 3], [1.4, 2.5, 3.1], [0.3, 1.2, 2.6]]) {
    const [x, y] = seen(m, point);
    const ray = rayThrough(camera, x, y, 1.5);
    const from = point.map((value, n) => value - ray.from[n]);
    near(Math.hypot(...cross(from, ray.way)), 0, 1e-5);
  }
});

test("a fitted box lies inside the picture and touches its rim", () => {
  const corners = [0, 1, 2, 3, 4, 5, 6, 7].map((k) => [(k & 1) * 4, ((k >> 1) & 1) * 3, ((k >> 2) & 1)]);
  for (const aspect of [0.6, 1, 2.2]) {
    for (const turn of [0, 0.5, 2, 4]) {
      const found = fitted({ ...camera, turn }, corners, aspect);
      const m = projection(found, aspect, 3);
      const reach = Math.max(...corners.flatMap((corner) => seen(m, corner).map(Math.abs)));
      assert.ok(reach <= 1 && reach > 0.75, `reach ${reach} at aspect ${aspect}`);
    }
  }
});

test("an orbit never turns over the top", () => {
  assert.ok(orbited(camera, 0, 9).tilt < Math.PI / 2);
  assert.ok(orbited(camera, 0, -9).tilt > -Math.PI / 2);
});

test("coming nearer and going back again leaves the camera where it was, within limits", () => {
  near(nearer(nearer(camera, 0.5, 2), 2, 2).distance, camera.distance);
  assert.ok(nearer(camera, 1e-9, 2).distance > 0);
});

test("panning by a share of the height moves the picture by that share", () => {
  const moved = panned(camera, 0.1, 0.25);
  const [x, y] = seen(projection(moved, 1, 2), camera.target);
  near(x, 0.2, 1e-5);
  near(y, -0.5, 1e-5);
  near(Math.hypot(...eyeOf(moved).map((value, n) => value - moved.target[n])), camera.distance, 1e-5);
});

test("a ray hits a triangle where arithmetic says", () => {
  const ray = { from: [0.25, 0.25, 5], way: [0, 0, -1] };
  near(hit(ray, [0, 0, 1], [1, 0, 1], [0, 1, 1]), 4);
  assert.equal(hit({ ...ray, from: [0.75, 0.75, 5] }, [0, 0, 1], [1, 0, 1], [0, 1, 1]), Infinity);
  assert.equal(hit({ ...ray, way: [0, 0, 1] }, [0, 0, 1], [1, 0, 1], [0, 1, 1]), Infinity);
});

test("of pieces behind each other the nearest is found", () => {
  const sheet = (z) => ({
    positions: new Float32Array([0, 0, z, 1, 0, z, 0, 1, z]), triangles: new Uint32Array([0, 1, 2]),
    low: [0, 0, z], high: [1, 1, z],
  });
  const ray = { from: [0.2, 0.2, 9], way: [0, 0, -1] };
  assert.equal(nearest(ray, [sheet(1), sheet(3), sheet(2)]), 1);
  assert.equal(nearest({ ...ray, from: [5, 5, 9] }, [sheet(1)]), -1);
});

test("multiplying by a matrix of unity changes nothing", () => {
  const unity = [1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1];
  const m = projection(camera, 1, 2);
  assert.deepEqual([...multiply(m, unity)], [...m]);
});
