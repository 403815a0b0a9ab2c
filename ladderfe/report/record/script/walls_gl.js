// Walls by WebGL 1: bands of colour by pixel, hatched over 100 %, edges a little nearer than their walls.

const VERTEX = `
attribute vec3 place; attribute vec3 normal; attribute float use;
uniform vec3 right, up, near; uniform vec4 fit; uniform float lift;
varying float percent; varying float lit;
void main() {
  gl_Position = vec4(dot(place, right) * fit.x + fit.z, dot(place, up) * fit.y + fit.w,
                     -dot(place, near) * lift - step(normal.x + normal.y + normal.z, -8.0) * 0.0015, 1.0);
  percent = use;
  lit = 0.86 + 0.14 * abs(dot(normal, near));
}`;
const FRAGMENT = `
#ifdef GL_FRAGMENT_PRECISION_HIGH
precision highp float;
#else
precision mediump float;
#endif
uniform vec3 bands[6]; uniform float ends[5]; uniform vec3 line; uniform float lines; uniform float gap;
varying float percent; varying float lit;
void main() {
  if (lines > 0.5) { gl_FragColor = vec4(line, 1.0); return; }
  vec3 c = bands[0];
  for (int k = 0; k < 5; k++) if (percent > ends[k] + 0.5) c = bands[k + 1];
  c *= lit;
  if (percent > ends[3] + 0.5 && mod(gl_FragCoord.x + gl_FragCoord.y, 7.0 * gap) < 1.5 * gap) c = mix(c, vec3(1.0), 0.6);
  gl_FragColor = vec4(c, 1.0);
}`;

const parts255 = (hex) => [1, 3, 5].map((k) => parseInt(hex.slice(k, k + 2), 16));

class WallsByGl {
  /** Null where this browser has no WebGL. */
  static on(canvas, data) {
    const gl = canvas.getContext("webgl", { antialias: true, alpha: true, preserveDrawingBuffer: true });
    return gl ? new WallsByGl(canvas, gl, data) : null;
  }

  constructor(canvas, gl, data) {
    Object.assign(this, { canvas, gl, kind: "WebGL" });
    const program = gl.createProgram();
    for (const [kind, text] of [[gl.VERTEX_SHADER, VERTEX], [gl.FRAGMENT_SHADER, FRAGMENT]]) {
      const shader = gl.createShader(kind);
      gl.shaderSource(shader, text);
      gl.compileShader(shader);
      if (!gl.getShaderParameter(shader, gl.COMPILE_STATUS)) throw new Error(gl.getShaderInfoLog(shader));
      gl.attachShader(program, shader);
    }
    gl.linkProgram(program);
    gl.useProgram(program);
    this.program = program;
    this.buffers = { place: gl.createBuffer(), normal: gl.createBuffer(), use: gl.createBuffer() };
    gl.enable(gl.DEPTH_TEST);
    gl.uniform3fv(this.at("bands"), data.bands.flatMap((c) => parts255(c).map((v) => v / 255)));
    gl.uniform1fv(this.at("ends"), data.edges);
  }

  at(name) { return this.gl.getUniformLocation(this.program, name); }

  fill(name, values, size) {
    const { gl } = this;
    const place = gl.getAttribLocation(this.program, name);
    gl.bindBuffer(gl.ARRAY_BUFFER, this.buffers[name]);
    gl.bufferData(gl.ARRAY_BUFFER, values, gl.STATIC_DRAW);
    gl.enableVertexAttribArray(place);
    gl.vertexAttribPointer(place, size, gl.FLOAT, false, 0, 0);
  }

  /** Two triangles a wall, then the ends of all edges, in one list of corners. */
  setState(state) {
    const order = [];
    const place = [];
    const normal = [];
    const add = (corner, n) => {
      order.push(corner);
      place.push(...state.places.subarray(3 * corner, 3 * corner + 3));
      normal.push(...n);
    };
    for (let q = 0; q < state.corners.length; q += 4) {
      const n = state.normals.subarray((3 * q) / 4, (3 * q) / 4 + 3);
      for (const k of [0, 1, 2, 0, 2, 3]) add(state.corners[q + k], n);
    }
    this.walls = order.length;
    for (const line of state.lines) {
      const q = line - (line % 4);
      add(state.corners[line], [-9, 0, 0]);
      add(state.corners[q + ((line + 1) % 4)], [-9, 0, 0]);
    }
    this.order = order;
    this.fill("place", new Float32Array(place), 3);
    this.fill("normal", new Float32Array(normal), 3);
  }

  setUse(use) { this.fill("use", Float32Array.from(this.order, (corner) => use[corner]), 1); }

  draw(look, state, ink, dots) {
    const { gl, canvas } = this;
    const [w, h] = [canvas.width, canvas.height];
    const k = 2 * look.scale(state.half, w / dots, h / dots) * dots;
    const [right, up, near] = look.axes();
    gl.viewport(0, 0, w, h);
    gl.clearColor(0, 0, 0, 0);
    gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
    gl.uniform3fv(this.at("right"), right);
    gl.uniform3fv(this.at("up"), up);
    gl.uniform3fv(this.at("near"), near);
    gl.uniform4f(this.at("fit"), k / w, k / h, (2 * look.shift[0] * dots) / w, (-2 * look.shift[1] * dots) / h);
    gl.uniform1f(this.at("lift"), 0.9 / Math.hypot(...state.half));
    gl.uniform1f(this.at("gap"), dots);
    gl.uniform3fv(this.at("line"), parts255(ink).map((v) => v / 255));
    gl.uniform1f(this.at("lines"), 0);
    gl.drawArrays(gl.TRIANGLES, 0, this.walls);
    gl.uniform1f(this.at("lines"), 1);
    gl.drawArrays(gl.LINES, this.walls, this.order.length - this.walls);
  }
}
