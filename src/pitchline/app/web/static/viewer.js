// The balustrade in space: load, fit, highlight, pick. The host element holds a picture that stays where WebGL is not.
//
// host.dataset.drawn counts the pictures drawn, .state is "picture" or "space", .camera how it was seen last.
// Events on the host: "pick" {name, group, extras} (name null beside everything), "turn" {camera}.
import { readGlb } from "./viewer_glb.js";
import {
  axes, cameraFrom, eyeOf, fitted, nearer, nearest, orbited, panned, projection, rayThrough, unit,
} from "./viewer_math.js";
import { Painter } from "./viewer_paint.js";

const STEP = Math.PI / 18;
const STILL = 6; // px that a finger may move in a tap
const FINGER = 9; // px around a tap that are searched for a thin piece
const FROM = { broadside: null, foot: [-1.25, 0.35], above: [0, 1.2] };

export function mountViewer(host) {
  const canvas = document.createElement("canvas");
  const gl = canvas.getContext("webgl2", { antialias: true, alpha: false });
  host.dataset.drawn = "0";
  host.dataset.state = "picture";
  if (!gl) return null;
  return new Viewer(host, canvas, gl);
}

class Viewer {
  constructor(host, canvas, gl) {
    Object.assign(this, { host, canvas, gl, pieces: [], names: [], chosen: new Set(), touched: false });
    this.pointers = new Map();
    this.home = cameraFrom(eyeAsked(host.dataset.eye));
    this.camera = { ...this.home, target: [0, 0, 0], distance: 5 };
    this.painter = new Painter(gl);
    canvas.tabIndex = 0;
    canvas.setAttribute("role", "application");
    canvas.setAttribute("aria-label", host.dataset.label ?? "");
    if (host.dataset.describedby) canvas.setAttribute("aria-describedby", host.dataset.describedby);
    host.append(canvas);
    this.listen();
  }

  // ---------------------------------------------------------------- what a page calls

  async loadUrl(url, signal) {
    const answer = await fetch(url, { signal });
    if (!answer.ok) throw new Error(`${url}: ${answer.status}`);
    this.load(await answer.arrayBuffer());
  }

  load(buffer) {
    const first = this.pieces.length === 0;
    this.pieces = readGlb(buffer).pieces;
    const low = [0, 1, 2].map((n) => Math.min(...this.pieces.map((piece) => piece.low[n])));
    const high = [0, 1, 2].map((n) => Math.max(...this.pieces.map((piece) => piece.high[n])));
    this.corners = this.pieces.flatMap((piece) => [0, 1, 2, 3, 4, 5, 6, 7].map(
      (k) => [0, 1, 2].map((n) => (k >> n & 1 ? piece.high : piece.low)[n]),
    ));
    this.radius = Math.hypot(...high.map((value, n) => value - low[n])) / 2;
    this.painter.hold(this.pieces);
    this.host.dataset.state = "space";
    this.host.dataset.parts = String(this.pieces.filter((piece) => piece.extras.kind === "part").length);
    if (first || !this.touched) this.fit();
    this.highlight(this.names);
  }

  // From where it is looked at first: "x,y,z" towards the eye, z up.
  setEye(eye) {
    this.home = cameraFrom(eyeAsked(eye));
    if (!this.touched) this.camera = { ...this.camera, ...this.home };
  }

  fit() {
    this.camera = fitted(this.camera, this.corners ?? [[0, 0, 0]], this.aspect());
    this.moved();
  }

  look(name) {
    const off = FROM[name];
    const turned = off ? { turn: this.home.turn + off[0], tilt: off[1] } : this.home;
    this.camera = { ...this.camera, ...turned };
    this.touched = false;
    this.fit();
  }

  zoom(factor) {
    this.touched = true;
    this.camera = nearer(this.camera, factor, this.radius);
    this.moved();
  }

  // By the names of pieces; the pieces that share a name's rail (H1a, H1b of H1) go with it.
  highlight(names) {
    this.names = names;
    const asked = new Set(names);
    const meant = (piece) => asked.has(piece.name) || asked.has(piece.name.replace(/[a-z]+$/, ""));
    this.chosen = new Set(this.pieces.flatMap((piece, number) => (meant(piece) ? [number] : [])));
    this.host.dataset.chosen = [...this.chosen].map((number) => this.pieces[number].name).join(" ");
    this.painter.choose(this.chosen);
    this.draw();
  }

  setCamera(camera) {
    this.touched = true;
    this.camera = camera;
    this.draw();
  }

  // The piece at a place of the canvas in CSS px; thin ones are found beside the finger too.
  pick(x, y) {
    const rings = [[0, 0], ...[0, 1, 2, 3, 4, 5, 6, 7].map((k) => [
      FINGER * Math.cos((k * Math.PI) / 4), FINGER * Math.sin((k * Math.PI) / 4),
    ])];
    let beside = null;
    for (const [dx, dy] of rings) {
      const number = this.at(x + dx, y + dy);
      if (number < 0) continue;
      if (this.pieces[number].extras.kind === "part") return this.pieces[number];
      beside ??= this.pieces[number];
    }
    return beside;
  }

  // ---------------------------------------------------------------- drawing

  draw() {
    if (this.waiting) return;
    this.waiting = requestAnimationFrame(() => { this.waiting = 0; this.paint(); });
  }

  paint() {
    const { canvas, gl, camera } = this;
    if (gl.isContextLost()) return;
    const ratio = Math.min(window.devicePixelRatio || 1, 2);
    const [wide, high] = [canvas.clientWidth, canvas.clientHeight].map((side) => Math.max(1, Math.round(side * ratio)));
    if (canvas.width !== wide || canvas.height !== high) Object.assign(canvas, { width: wide, height: high });
    const { right, back } = axes(camera);
    const light = unit([0, 1, 2].map((n) => (n === 1 ? 0.75 : 0) - 0.35 * right[n] + 0.55 * back[n]));
    this.painter.paint(projection(camera, this.aspect(), this.radius ?? 1), eyeOf(camera), light, this.tokens());
    this.host.dataset.camera = [camera.turn, camera.tilt, camera.distance, ...camera.target].map((v) => v.toFixed(4)).join(" ");
    this.host.dataset.drawn = String(Number(this.host.dataset.drawn) + 1);
    this.host.dispatchEvent(new CustomEvent("drawn"));
  }

  // The page's own colours: ground, ink and accent are the host's background, colour and outline.
  tokens() {
    const style = getComputedStyle(this.host);
    const [ground, line, accent] = [style.backgroundColor, style.color, style.outlineColor].map(shares);
    return { ground, line, accent };
  }

  aspect() {
    return Math.max(1, this.canvas.clientWidth) / Math.max(1, this.canvas.clientHeight);
  }

  at(x, y) {
    const [wide, high] = [this.canvas.clientWidth, this.canvas.clientHeight];
    return nearest(rayThrough(this.camera, (2 * x) / wide - 1, 1 - (2 * y) / high, wide / high), this.pieces);
  }

  moved() {
    this.draw();
    this.host.dispatchEvent(new CustomEvent("turn", { detail: { camera: this.camera } }));
  }

  // ---------------------------------------------------------------- hands

  listen() {
    const { canvas } = this;
    const on = (name, work) => canvas.addEventListener(name, work.bind(this));
    on("pointerdown", this.pressed);
    on("pointermove", this.dragged);
    on("pointerup", this.lifted);
    on("pointercancel", this.lifted);
    on("contextmenu", (event) => event.preventDefault());
    on("keydown", this.typed);
    canvas.addEventListener("wheel", (event) => {
      event.preventDefault();
      this.zoom(Math.exp(Math.max(-60, Math.min(60, event.deltaY)) * 0.003));
    }, { passive: false });
    canvas.addEventListener("webglcontextlost", (event) => {
      event.preventDefault();
      this.host.dataset.state = "picture";
    });
    canvas.addEventListener("webglcontextrestored", () => {
      this.painter = new Painter(this.gl);
      this.painter.hold(this.pieces);
      this.painter.choose(this.chosen);
      this.host.dataset.state = "space";
      this.draw();
    });
    new ResizeObserver(() => { if (this.corners && !this.touched) this.fit(); else this.draw(); }).observe(canvas);
    matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => this.draw());
  }

  pressed(event) {
    this.canvas.setPointerCapture(event.pointerId);
    this.pointers.set(event.pointerId, { x: event.offsetX, y: event.offsetY, way: 0 });
    if (this.pointers.size > 1) for (const pointer of this.pointers.values()) pointer.way = Infinity;
  }

  dragged(event) {
    const pointer = this.pointers.get(event.pointerId);
    if (!pointer) return;
    const before = this.spread();
    const [dx, dy] = [event.offsetX - pointer.x, event.offsetY - pointer.y];
    Object.assign(pointer, { x: event.offsetX, y: event.offsetY, way: pointer.way + Math.hypot(dx, dy) });
    if (pointer.way <= STILL) return;
    this.touched = true;
    const high = this.canvas.clientHeight;
    if (this.pointers.size > 1) {
      const after = this.spread();
      this.camera = nearer(this.camera, before.apart / Math.max(1, after.apart), this.radius);
      this.camera = panned(this.camera, (after.x - before.x) / high, (after.y - before.y) / high);
    } else if (event.shiftKey || event.buttons & 6) {
      this.camera = panned(this.camera, dx / high, dy / high);
    } else {
      this.camera = orbited(this.camera, -dx * 0.008, dy * 0.008);
    }
    this.moved();
  }

  lifted(event) {
    const pointer = this.pointers.get(event.pointerId);
    this.pointers.delete(event.pointerId);
    if (event.type === "pointerup" && pointer && pointer.way <= STILL) this.told(this.pick(pointer.x, pointer.y));
  }

  // Middle of the pointers and how far they are apart.
  spread() {
    const all = [...this.pointers.values()];
    const [x, y] = ["x", "y"].map((key) => all.reduce((sum, one) => sum + one[key], 0) / all.length);
    return { x, y, apart: all.length > 1 ? Math.hypot(all[0].x - all[1].x, all[0].y - all[1].y) : 1 };
  }

  typed(event) {
    if (event.ctrlKey || event.altKey || event.metaKey) return;
    const ways = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
    const way = ways[event.key];
    if (way) {
      this.touched = true;
      this.camera = event.shiftKey
        ? panned(this.camera, -0.06 * way[0], 0.06 * way[1])
        : orbited(this.camera, STEP * way[0], STEP * way[1]);
      this.moved();
    } else if (event.key === "+" || event.key === "=") this.zoom(0.85);
    else if (event.key === "-") this.zoom(1 / 0.85);
    else if (event.key === "Home") this.look("broadside");
    else if (event.key === "PageDown") this.step(1);
    else if (event.key === "PageUp") this.step(-1);
    else if (event.key === "Escape") this.told(null);
    else return;
    event.preventDefault();
  }

  // The part after or before the one chosen.
  step(by) {
    const parts = this.pieces.filter((piece) => piece.extras.kind === "part");
    if (!parts.length) return;
    const now = parts.indexOf(this.pieces[[...this.chosen][0]]);
    this.told(parts[now < 0 ? (by > 0 ? 0 : parts.length - 1) : (now + by + parts.length) % parts.length]);
  }

  told(piece) {
    const part = piece?.extras.kind === "part" ? piece : null;
    this.highlight(part ? [part.name] : []);
    const detail = { name: part?.name ?? null, group: part?.extras.group ?? null, extras: piece?.extras ?? {} };
    this.host.dispatchEvent(new CustomEvent("pick", { detail, bubbles: true }));
  }
}

// Viewers that turn together: where one turns, the others follow.
export function turnTogether(viewers) {
  for (const viewer of viewers) {
    viewer.host.addEventListener("turn", (event) => {
      for (const other of viewers) if (other !== viewer) other.setCamera(event.detail.camera);
    });
  }
}

// "rgb(1, 2, 3)" as three shares of one.
function shares(colour) {
  const found = colour.match(/[\d.]+/g)?.slice(0, 3).map(Number) ?? [0, 0, 0];
  return colour.startsWith("color(") ? found : found.map((value) => value / 255);
}

// The direction towards the eye in the job's axes (z up) as "x,y,z", turned into the file's (y up).
function eyeAsked(eye) {
  const [x, y, z] = (eye || "-0.45,-1,0.55").split(",").map(Number);
  return [x, z, -y];
}
