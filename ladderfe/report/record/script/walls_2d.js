// The same walls where there is no WebGL: painted one after the other, the farthest first, a wall in one colour.

class WallsByPaint {
  constructor(canvas, data) {
    Object.assign(this, { canvas, pen: canvas.getContext("2d"), data, kind: "Canvas 2D" });
  }

  setState(state) {
    this.state = state;
    this.edges = new Map();
    for (const line of state.lines) {
      const q = Math.floor(line / 4);
      this.edges.set(q, [...(this.edges.get(q) || []), line % 4]);
    }
  }

  setUse(use) { this.use = use; }

  colour(q) {
    const { corners, } = this.state;
    let sum = 0;
    for (let k = 0; k < 4; k += 1) sum += this.use[corners[q * 4 + k]];
    const band = this.data.edges.filter((e) => sum / 4 > e).length;
    return [this.data.bands[band], band > 3];
  }

  draw(look, state, ink, dots) {
    const { pen, canvas } = this;
    const [w, h] = [canvas.width / dots, canvas.height / dots];
    const seen = look.project(state.places, state.half, w, h);
    const far = (q) => [0, 1, 2, 3].reduce((s, k) => s + seen[3 * state.corners[4 * q + k] + 2], 0);
    const order = Array.from({ length: state.corners.length / 4 }, (_, q) => [far(q), q]).sort((a, b) => a[0] - b[0]);
    pen.setTransform(dots, 0, 0, dots, 0, 0);
    pen.clearRect(0, 0, w, h);
    for (const [, q] of order) {
      const at = [0, 1, 2, 3].map((k) => [seen[3 * state.corners[4 * q + k]], seen[3 * state.corners[4 * q + k] + 1]]);
      const [fill, over] = this.colour(q);
      pen.beginPath();
      at.forEach(([x, y], k) => (k ? pen.lineTo(x, y) : pen.moveTo(x, y)));
      pen.closePath();
      pen.fillStyle = fill;
      pen.strokeStyle = fill;
      pen.lineWidth = 0.7;
      pen.fill();
      pen.stroke();
      if (over) this.cross(at);
      pen.strokeStyle = ink;
      for (const k of this.edges.get(q) || []) {
        pen.beginPath();
        pen.moveTo(...at[k]);
        pen.lineTo(...at[(k + 1) % 4]);
        pen.stroke();
      }
    }
  }

  /** A light line across a wall that is over its limit. */
  cross(at) {
    this.pen.strokeStyle = "rgba(255, 255, 255, .6)";
    this.pen.beginPath();
    this.pen.moveTo(...at[0]);
    this.pen.lineTo(...at[2]);
    this.pen.stroke();
  }
}
