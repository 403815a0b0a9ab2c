"use strict";
// Data blocks of the page, and numbers packed by DEFLATE in base64 (little-endian, as machines with browsers are).

const block = (id) => JSON.parse(document.getElementById(id).textContent);

function bytes(text) {
  const raw = atob(text);
  const out = new Uint8Array(raw.length);
  for (let i = 0; i < raw.length; i += 1) out[i] = raw.charCodeAt(i);
  return out;
}

const unpack = (text, Kind) => new Kind(inflate(bytes(text)).buffer);

const unpackJson = (text) => JSON.parse(new TextDecoder().decode(inflate(bytes(text))));

/** Numbers told by how much they differ from the one before, as they are; they run over as they did on packing. */
function summed(numbers) {
  for (let i = 1; i < numbers.length; i += 1) numbers[i] += numbers[i - 1];
  return numbers;
}

/** One state of the frame: corners of walls, numbers of corners (4 a wall), places in mm from the middle of the frame. */
function unpackState(state, step) {
  const packed = unpack(state.places, Int16Array);
  const count = packed.length / 3;
  const axes = [0, 1, 2].map((k) => summed(packed.subarray(k * count, (k + 1) * count)));
  const places = new Float32Array(packed.length);
  const low = [1e9, 1e9, 1e9];
  const high = [-1e9, -1e9, -1e9];
  places.forEach((_, i) => {
    const k = i % 3;
    places[i] = axes[k][(i - k) / 3] * step;
    low[k] = Math.min(low[k], places[i]);
    high[k] = Math.max(high[k], places[i]);
  });
  const middle = low.map((v, k) => (v + high[k]) / 2);
  for (let i = 0; i < places.length; i += 1) places[i] -= middle[i % 3];
  const corners = summed(unpack(state.corners, state.wide ? Uint32Array : Uint16Array));
  const use = unpack(state.use, Uint8Array);
  return {
    name: state.name, parts: state.parts, across: state.across, walls: state.walls, places, corners, count,
    half: high.map((v, k) => (v - low[k]) / 2),
    lines: unpack(state.lines, Uint32Array),
    part: unpack(state.part, Uint16Array),
    wall: unpack(state.wall, Uint16Array),
    along: unpack(state.along, Int16Array),
    of: (c) => Uint8Array.from({ length: count }, (_, i) => use[i * (use.length / count) + c]),
    normals: normals(places, corners),
  };
}

/** Unit normals of walls, three numbers each. */
function normals(p, corners) {
  const out = new Float32Array((corners.length / 4) * 3);
  for (let q = 0; q < corners.length / 4; q += 1) {
    const [a, b, c, d] = [0, 1, 2, 3].map((k) => 3 * corners[4 * q + k]);
    const u = [0, 1, 2].map((k) => p[c + k] - p[a + k]);
    const v = [0, 1, 2].map((k) => p[d + k] - p[b + k]);
    const n = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
    const size = Math.hypot(...n) || 1;
    n.forEach((x, k) => { out[3 * q + k] = x / size; });
  }
  return out;
}
