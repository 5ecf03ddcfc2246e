// Pieces drawn with WebGL2: shaded faces, their edges over them, chosen pieces in the accent colour.

const FACE_POINT = `#version 300 es
in vec3 spot; in vec4 look; in float number;
uniform mat4 lens; uniform sampler2D states;
out vec3 where; out vec4 colour; flat out float state; flat out float shine;
void main() {
  where = spot; colour = look; shine = 0.0;
  int n = int(abs(number)) - 1;
  if (number < 0.0) shine = 1.0;
  state = texelFetch(states, ivec2(n % 256, n / 256), 0).r * 255.0;
  gl_Position = lens * vec4(spot, 1.0);
}`;

// Light from above, from the left and from behind the eye, as on the printed pictures.
const FACE_COLOUR = `#version 300 es
precision highp float;
in vec3 where; in vec4 colour; flat in float state; flat in float shine;
uniform vec3 light; uniform vec3 eye; uniform vec3 accent; uniform vec3 ground; uniform float clear;
out vec4 ink;
void main() {
  vec3 normal = normalize(cross(dFdx(where), dFdy(where)));
  vec3 back = normalize(eye - where);
  if (dot(normal, back) < 0.0) normal = -normal;
  float lit = 0.62 + 0.44 * max(0.0, dot(normal, light));
  bool through = colour.a < 0.95;
  if (through != (clear > 0.5)) discard;
  vec3 body = colour.rgb * lit;
  body += shine * 0.35 * pow(max(0.0, dot(reflect(-light, normal), back)), 12.0);
  if (state > 0.5 && state < 1.5) body = mix(body, accent, 0.62);
  if (state > 1.5) body = mix(ground, body, 0.6);
  ink = vec4(body, through ? max(colour.a, state > 0.5 && state < 1.5 ? 0.6 : 0.0) : 1.0);
}`;

const LINE_COLOUR = `#version 300 es
precision highp float;
in vec3 where; in vec4 colour; flat in float state; flat in float shine;
uniform vec3 line; uniform vec3 accent; uniform float hidden; uniform vec3 ground;
out vec4 ink;
void main() {
  bool chosen = state > 0.5 && state < 1.5;
  if (hidden > 0.5 && !chosen) discard;
  vec3 drawn = chosen ? accent : line;
  float weight = hidden > 0.5 ? 0.45 : (state > 1.5 ? 0.3 : 0.85);
  ink = vec4(drawn, weight);
}`;

const NORMAL = 0;
export const CHOSEN = 1;
export const AROUND = 2;

export class Painter {
  constructor(gl) {
    this.gl = gl;
    this.faces = program(gl, FACE_POINT, FACE_COLOUR);
    this.lines = program(gl, FACE_POINT, LINE_COLOUR);
    this.buffers = { spot: gl.createBuffer(), look: gl.createBuffer(), number: gl.createBuffer() };
    this.triangles = gl.createBuffer();
    this.edges = gl.createBuffer();
    this.states = gl.createTexture();
    this.array = gl.createVertexArray();
    this.pieces = [];
  }

  hold(pieces) {
    const { gl } = this;
    const joined = join(pieces);
    this.pieces = pieces;
    this.counts = [joined.triangles.length, joined.edges.length];
    this.clear = pieces.some((piece) => piece.colour[3] < 0.95);
    gl.bindVertexArray(this.array);
    this.fill("spot", joined.spots, 3, gl.FLOAT, false);
    this.fill("look", joined.looks, 4, gl.UNSIGNED_BYTE, true);
    this.fill("number", joined.numbers, 1, gl.FLOAT, false);
    gl.bindBuffer(gl.ELEMENT_ARRAY_BUFFER, this.edges);
    gl.bufferData(gl.ELEMENT_ARRAY_BUFFER, joined.edges, gl.DYNAMIC_DRAW);
    gl.bindBuffer(gl.ELEMENT_ARRAY_BUFFER, this.triangles);
    gl.bufferData(gl.ELEMENT_ARRAY_BUFFER, joined.triangles, gl.DYNAMIC_DRAW);
    this.choose(new Set());
  }

  fill(name, values, width, type, shares) {
    const { gl } = this;
    const at = PLACES[name];
    gl.bindBuffer(gl.ARRAY_BUFFER, this.buffers[name]);
    gl.bufferData(gl.ARRAY_BUFFER, values, gl.DYNAMIC_DRAW);
    gl.enableVertexAttribArray(at);
    gl.vertexAttribPointer(at, width, type, shares, 0, 0);
  }

  // Pieces whose numbers are in the set are drawn as chosen.
  choose(numbers) {
    const { gl } = this;
    const rows = Math.max(1, Math.ceil(this.pieces.length / 256));
    const values = new Uint8Array(256 * rows);
    this.pieces.forEach((piece, number) => {
      values[number] = numbers.has(number) ? CHOSEN : piece.extras.kind === "part" ? NORMAL : AROUND;
    });
    gl.bindTexture(gl.TEXTURE_2D, this.states);
    gl.pixelStorei(gl.UNPACK_ALIGNMENT, 1);
    gl.texImage2D(gl.TEXTURE_2D, 0, gl.R8, 256, rows, 0, gl.RED, gl.UNSIGNED_BYTE, values);
    gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_MIN_FILTER, gl.NEAREST);
    gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_MAG_FILTER, gl.NEAREST);
    this.anyChosen = numbers.size > 0;
  }

  paint(lens, eye, light, tokens) {
    const { gl } = this;
    gl.viewport(0, 0, gl.drawingBufferWidth, gl.drawingBufferHeight);
    gl.clearColor(...tokens.ground, 1);
    gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
    if (!this.pieces.length) return;
    gl.bindVertexArray(this.array);
    gl.enable(gl.DEPTH_TEST);
    gl.depthFunc(gl.LEQUAL);
    gl.blendFuncSeparate(gl.SRC_ALPHA, gl.ONE_MINUS_SRC_ALPHA, gl.ONE, gl.ONE_MINUS_SRC_ALPHA);
    const shared = { lens, eye, light, ...tokens };
    this.drawFaces({ ...shared, clear: 0 });
    gl.enable(gl.BLEND);
    this.drawLines({ ...shared, hidden: 0 });
    if (this.clear) {
      gl.depthMask(false);
      this.drawFaces({ ...shared, clear: 1 });
      gl.depthMask(true);
    }
    if (this.anyChosen) {
      gl.disable(gl.DEPTH_TEST);
      this.drawLines({ ...shared, hidden: 1 });
    }
    gl.disable(gl.BLEND);
  }

  drawFaces(values) {
    const { gl } = this;
    gl.enable(gl.POLYGON_OFFSET_FILL);
    gl.polygonOffset(1, 1);
    this.use(this.faces, values);
    gl.bindBuffer(gl.ELEMENT_ARRAY_BUFFER, this.triangles);
    gl.drawElements(gl.TRIANGLES, this.counts[0], gl.UNSIGNED_INT, 0);
    gl.disable(gl.POLYGON_OFFSET_FILL);
  }

  drawLines(values) {
    const { gl } = this;
    this.use(this.lines, values);
    gl.bindBuffer(gl.ELEMENT_ARRAY_BUFFER, this.edges);
    gl.drawElements(gl.LINES, this.counts[1], gl.UNSIGNED_INT, 0);
  }

  use(made, values) {
    const { gl } = this;
    gl.useProgram(made);
    for (const [name, value] of Object.entries(values)) {
      const at = gl.getUniformLocation(made, name);
      if (at === null) continue;
      if (name === "lens") gl.uniformMatrix4fv(at, false, value);
      else if (typeof value === "number") gl.uniform1f(at, value);
      else gl.uniform3fv(at, value);
    }
  }
}

const PLACES = { spot: 0, look: 1, number: 2 };

function program(gl, point, colour) {
  const made = gl.createProgram();
  for (const [kind, text] of [[gl.VERTEX_SHADER, point], [gl.FRAGMENT_SHADER, colour]]) {
    const shader = gl.createShader(kind);
    gl.shaderSource(shader, text);
    gl.compileShader(shader);
    gl.attachShader(made, shader);
  }
  for (const [name, at] of Object.entries(PLACES)) gl.bindAttribLocation(made, at, name);
  gl.linkProgram(made);
  if (!gl.getProgramParameter(made, gl.LINK_STATUS) && !gl.isContextLost()) {
    throw new Error(gl.getProgramInfoLog(made));
  }
  return made;
}

// All pieces in one set of arrays; counted from 1, a metal piece below zero.
function join(pieces) {
  const total = (key) => pieces.reduce((sum, piece) => sum + piece[key].length, 0);
  const corners = total("positions") / 3;
  const joined = {
    spots: new Float32Array(3 * corners),
    looks: new Uint8Array(4 * corners),
    numbers: new Float32Array(corners),
    triangles: new Uint32Array(total("triangles")),
    edges: new Uint32Array(total("edges")),
  };
  const at = { corners: 0, triangles: 0, edges: 0 };
  pieces.forEach((piece, number) => {
    const count = piece.positions.length / 3;
    const colour = piece.colour.map((share) => Math.round(255 * share));
    joined.spots.set(piece.positions, 3 * at.corners);
    joined.numbers.fill(piece.metal ? -number - 1 : number + 1, at.corners, at.corners + count);
    for (let k = at.corners; k < at.corners + count; k++) joined.looks.set(colour, 4 * k);
    for (const key of ["triangles", "edges"]) {
      const into = joined[key];
      for (let k = 0; k < piece[key].length; k++) into[at[key] + k] = piece[key][k] + at.corners;
      at[key] += piece[key].length;
    }
    at.corners += count;
  });
  return joined;
}
