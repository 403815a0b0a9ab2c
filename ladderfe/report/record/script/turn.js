// How the frame is looked at: two angles, a size, a shift.  x rearward, y to the right, z up; parallel rays.

const VIEWS = {
  corner: [-118, 24], side: [-90, 0], above: [-90, 89.9], below: [-90, -55], rear: [-14, 16],
};
const RAD = Math.PI / 180;

class Look {
  constructor() { this.to("corner"); }

  to(name) {
    [this.yaw, this.pitch] = VIEWS[name].map((v) => v * RAD);
    this.size = 1;
    this.shift = [0, 0];
  }

  turn(right, down) {
    this.yaw -= right;
    this.pitch = Math.max(-89.9 * RAD, Math.min(89.9 * RAD, this.pitch + down));
  }

  larger(times) { this.size = Math.max(0.4, Math.min(20, this.size * times)); }

  /** Unit vectors of the screen: to the right, up, and towards the eye. */
  axes() {
    const [s, c, t, e] = [Math.sin(this.yaw), Math.cos(this.yaw), Math.sin(this.pitch), Math.cos(this.pitch)];
    return [[-s, c, 0], [-t * c, -t * s, e], [e * c, e * s, t]];
  }

  /** Pixels per mm, so that a frame of these half lengths fits into the room however it is turned, and the size asked. */
  scale(half, width, height) {
    const up = this.axes()[1];
    const high = Math.abs(up[0]) * half[0] + Math.abs(up[1]) * half[1] + Math.abs(up[2]) * half[2];
    const fit = Math.min((width / 2 - 12) / Math.hypot(half[0], half[1]), (height / 2 - 22) / high);
    return Math.max(fit, 1e-4) * this.size;
  }

  /** Pixels right and down, and nearness in mm, of all points. */
  project(places, half, width, height) {
    const [right, up, near] = this.axes();
    const k = this.scale(half, width, height);
    const out = new Float32Array(places.length);
    for (let i = 0; i < places.length; i += 3) {
      const [x, y, z] = [places[i], places[i + 1], places[i + 2]];
      out[i] = width / 2 + this.shift[0] + k * (right[0] * x + right[1] * y + right[2] * z);
      out[i + 1] = height / 2 + this.shift[1] - k * (up[0] * x + up[1] * y + up[2] * z);
      out[i + 2] = near[0] * x + near[1] * y + near[2] * z;
    }
    return out;
  }
}

/** The wall under a point of the screen, and how its corners weigh there; null where there is none. */
function wallAt(seen, corners, x, y) {
  let best = null;
  for (let q = 0; q < corners.length; q += 4) {
    for (const [a, b, c] of [[0, 1, 2], [0, 2, 3]]) {
      const [i, j, k] = [corners[q + a], corners[q + b], corners[q + c]];
      const w = weights(seen, 3 * i, 3 * j, 3 * k, x, y);
      if (w && w[0] >= 0 && w[1] >= 0 && w[2] >= 0) {
        const near = w[0] * seen[3 * i + 2] + w[1] * seen[3 * j + 2] + w[2] * seen[3 * k + 2];
        if (!best || near > best.near) best = { wall: q / 4, at: [i, j, k], weights: w, near };
      }
    }
  }
  return best;
}

function weights(p, i, j, k, x, y) {
  const area = (p[j] - p[i]) * (p[k + 1] - p[i + 1]) - (p[k] - p[i]) * (p[j + 1] - p[i + 1]);
  if (Math.abs(area) < 1e-6) return null;
  const v = ((p[j] - x) * (p[k + 1] - y) - (p[k] - x) * (p[j + 1] - y)) / area;
  const u = ((p[k] - x) * (p[i + 1] - y) - (p[i] - x) * (p[k + 1] - y)) / area;
  return [v, u, 1 - v - u];
}
